"""Rules about VLANs on links: whether each link carries what it must, and no more."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from topodraw.compute.vlans import MissingVlan
from topodraw.model.finding import SourcePath
from topodraw.rules.rule import COMMON_PRACTICE, NotJudged, Objection, Outcome, rule
from topodraw.source.suggest import with_and

if TYPE_CHECKING:
    from topodraw.compute.facts import Facts
    from topodraw.model.gear import Port
    from topodraw.model.site import Site

_IEEE = "IEEE 802.1Q"
_HARDWARE = """\
hardware:
  bridge-4:
    function: switch
    ports: {p1..p2: {jack: RJ45, speeds: [1G]}, t1..t2: {jack: RJ45, speeds: [1G]}}
  cam: {function: camera, ports: {eth: {jack: RJ45, speeds: [1G]}}}
vlans: {science: {id: 20}, watch: {id: 40}}
"""
_CABLES = """\
cables:
  C1: {ends: [north/p1, cam-1/eth], medium: Cat6A, length: 9m}
  C2: {ends: [south/p1, cam-2/eth], medium: Cat6A, length: 9m}
  T1: {ends: [north/t1, south/t1], medium: Cat6A, length: 9m}
"""
_SECOND_TRUNK = "  T2: {ends: [north/t2, south/t2], medium: Cat6A, length: 9m}\n"


def _gear(north: str, south: str) -> str:
    """Two bridges with a camera in VLAN watch each; `north` and `south` state their trunk ports."""
    return f"""\
gear:
  north: {{model: bridge-4, bridge: {{priority: 4096}}, ports: {{p1: {{untagged: watch}}, {north}}}}}
  south: {{model: bridge-4, bridge: {{priority: 8192}}, ports: {{p1: {{untagged: watch}}, {south}}}}}
  cam-1: {{model: cam}}
  cam-2: {{model: cam}}
"""


_WATCH = "t1: {tagged: [watch]}"
_KEPT = _HARDWARE + _gear(_WATCH, _WATCH) + _CABLES


def _port(site: Site, reference: str) -> Port | None:
    gear, _, name = reference.partition("/")
    owner = site.gear.get(gear)
    return owner.ports.get(name.partition(":")[0]) if owner else None


def _statement_place(site: Site, reference: str, key: str) -> SourcePath:
    port = _port(site, reference)
    if port is None:
        return ("remotes", reference)
    return (*port.vlans.at, key) if port.vlans else ("gear", port.gear, "ports", port.name)


def _aggregates(facts: Facts, ports: Iterable[str]) -> tuple[str, ...]:
    """The aggregates that some ports are members of."""
    keys = (facts.network.port_key.get(port, ("", "")) for port in ports)
    return tuple(dict.fromkeys(name for _, name in keys if name in facts.site.aggregates))


def _link_named(facts: Facts, link: tuple[str, str]) -> str:
    ends = " - ".join(link)
    aggregates = _aggregates(facts, link)
    return f"aggregate {aggregates[0]} ({ends} and its other members)" if aggregates else f"link {ends}"


def _missing(facts: Facts, when: str) -> Iterator[tuple[str, MissingVlan]]:
    """What is missing at ends that say something; an end that says nothing is told as unchecked."""
    for spread in facts.vlans.values():
        for missing in spread.missing:
            if missing.when == when:
                silent = [
                    end for end in missing.at if (port := _port(facts.site, end)) and port.vlans is None
                ]
                if stated := tuple(end for end in missing.at if end not in silent):
                    yield spread.name, replace(missing, at=stated)


def _cut_off(missing: MissingVlan, vlan: str, verb: str) -> str:
    if not missing.cut_off:
        return ""
    return f"; {with_and(missing.cut_off)} {verb} cut off from the rest of {vlan}"


def _missing_objection(facts: Facts, vlan: str, missing: MissingVlan, message: str) -> Objection:
    ports = with_and(missing.at)
    return Objection(
        (*missing.at, *_aggregates(facts, missing.at), vlan),
        message,
        _statement_place(facts.site, missing.at[0], "tagged"),
        f"Add {vlan} to the tagged VLANs of {ports}.",
    )


@rule(
    name="trunk-vlan-missing",
    severity="error",
    question="Does each link carry every VLAN whose members talk across it now?",
    why="Frames of a VLAN that a trunk doesn't carry are dropped there without a word: whoever "
    "is behind is cut off.",
    fix="Add the VLAN to the tagged VLANs at the end that lacks it.",
    source=f"{_IEEE} 8.6.2 and 8.6.4 (a frame passes only ports in its VLAN's member set; clauses "
    "from memory)",
    breaks=_HARDWARE + _gear(_WATCH, "t1: {tagged: [science]}") + _CABLES,
    keeps=_KEPT,
)
def trunk_vlan_missing(facts: Facts) -> Iterator[Outcome]:
    for vlan, missing in _missing(facts, "active"):
        verb = "is" if len(missing.cut_off) == 1 else "are"
        message = (
            f"The {_link_named(facts, missing.link)} does not carry {vlan} at {with_and(missing.at)}"
            f"{_cut_off(missing, vlan, verb)}."
        )
        yield _missing_objection(facts, vlan, missing, message)


@rule(
    name="trunk-vlan-missing-standby",
    severity="error",
    question="Does each link carry every VLAN that would cross it after any one failure?",
    why="The spare way looks fine until the day it is needed, and then cuts the VLAN off.",
    fix="Add the VLAN to the tagged VLANs at the end that lacks it.",
    source=f"{COMMON_PRACTICE}; {_IEEE} 8.6.2 and 8.6.4 (clauses from memory)",
    breaks=_HARDWARE
    + _gear("t1..t2: {tagged: [watch]}", "t1: {tagged: [watch]}, t2: {tagged: [science]}")
    + _CABLES
    + _SECOND_TRUNK,
    keeps=_HARDWARE
    + _gear("t1..t2: {tagged: [watch]}", "t1..t2: {tagged: [watch]}")
    + _CABLES
    + _SECOND_TRUNK,
)
def trunk_vlan_missing_standby(facts: Facts) -> Iterator[Outcome]:
    for vlan, missing in _missing(facts, "standby"):
        after = f" once {missing.after} fails" if missing.after else ""
        message = (
            f"The {_link_named(facts, missing.link)} does not carry {vlan} at {with_and(missing.at)}, "
            f"though it is the spare way{after}{_cut_off(missing, vlan, 'would then be')}."
        )
        yield _missing_objection(facts, vlan, missing, message)


@rule(
    name="trunk-vlan-unneeded",
    severity="warning",
    question="Does each link carry only VLANs that somebody needs across it, now or after one failure?",
    why="A VLAN led where nobody needs it spreads its broadcasts and gives a way in that nobody watches.",
    fix="Take the VLAN off both ends of the link, or waive it with the reason.",
    source=COMMON_PRACTICE,
    breaks=_HARDWARE + _gear("t1: {tagged: [watch, science]}", "t1: {tagged: [watch, science]}") + _CABLES,
    keeps=_KEPT,
)
def trunk_vlan_unneeded(facts: Facts) -> Iterator[Outcome]:
    on_link: dict[tuple[str, str], list[str]] = {}
    for spread in facts.vlans.values():
        for link in spread.unneeded:
            on_link.setdefault(link, []).append(spread.name)
    for link, vlans in on_link.items():
        first = next((end for end in link if (port := _port(facts.site, end)) and port.vlans), link[0])
        port = _port(facts.site, first)
        untagged = port is not None and port.vlans is not None and [port.vlans.untagged] == vlans
        yield Objection(
            (*link, *_aggregates(facts, link), *vlans),
            f"The {_link_named(facts, link)} carries {with_and(vlans)}, which nobody needs across it, "
            "now or after any one failure.",
            _statement_place(facts.site, first, "untagged" if untagged else "tagged"),
            f"Take {with_and(vlans)} off {with_and(link)}, or waive it with the reason.",
        )


@rule(
    name="untagged-mismatch",
    severity="error",
    question="Do bridge ports that hear each other agree on which VLAN is untagged?",
    why="An untagged frame belongs to the VLAN of the port that takes it in: it leaves one VLAN "
    "and arrives in another.",
    fix="State the same untagged VLAN at both ports, or tag everything.",
    source=f"{_IEEE} 6.9.1 (the port VLAN identifier is given to untagged frames; clause from memory)",
    breaks=_HARDWARE + _gear("t1: {untagged: science, tagged: [watch]}", "t1: {untagged: watch}") + _CABLES,
    keeps=_KEPT,
)
def untagged_mismatch(facts: Facts) -> Iterator[Outcome]:
    for mismatch in facts.untagged_mismatches:
        sends = dict(zip(mismatch.ports, mismatch.vlans, strict=True))
        if mismatch.kind == "one-sided":
            sends[mismatch.ports[1]] = "nothing"
        one, other = sorted(mismatch.ports)
        yield Objection(
            (one, other),
            f"{one} sends {sends[one]} untagged and {other} sends {sends[other]} untagged.",
            _statement_place(facts.site, other, "untagged"),
        )


@rule(
    name="vlan-tagged-and-untagged",
    severity="error",
    question="Is each VLAN on a port either tagged or untagged?",
    why="A port sends the frames of one VLAN with a tag or without, never both: the bridge "
    "refuses one of the two.",
    fix="Leave the VLAN in one of the two.",
    source=f"{_IEEE} 8.8.10 (untagged set of a VLAN; clause from memory)",
    breaks=_HARDWARE + _gear("t1: {untagged: watch, tagged: [watch]}", "t1: {untagged: watch}") + _CABLES,
    keeps=_KEPT,
)
def vlan_tagged_and_untagged(facts: Facts) -> Iterator[Outcome]:
    for gear in facts.site.gear.values():
        alike: dict[str, list[Port]] = {}
        for port in gear.ports.values():
            said = port.vlans
            if said is not None and said.untagged is not None and said.untagged in said.tagged:
                alike.setdefault(said.untagged, []).append(port)
        for vlan, ports in alike.items():
            names = [port.reference for port in ports]
            yield Objection(
                (*names, vlan),
                f"{with_and(names)} {'carries' if len(names) == 1 else 'carry'} {vlan} both "
                "untagged and tagged.",
                _statement_place(facts.site, names[0], "tagged"),
            )


@rule(
    name="port-without-vlan-statement",
    severity="note",
    question="Does each port of a bridge that is in use say which VLANs it carries?",
    why="Without a statement the port counts as a member of no VLAN, so what lies behind it can't be judged.",
    fix="State `untagged` or `tagged` for the port, its cable or its aggregate.",
    source="the source language: a port without statement is in no VLAN",
    breaks=_HARDWARE
    + _gear(_WATCH, _WATCH)
    + "  cam-3: {model: cam}\n"
    + _CABLES
    + "  C3: {ends: [south/p2, cam-3/eth], medium: Cat6A, length: 9m}\n",
    keeps=_KEPT,
)
def port_without_vlan_statement(facts: Facts) -> Iterator[Outcome]:
    if not facts.site.vlans:
        return
    for port in facts.network.ports.values():
        if port.joins and not port.stated and facts.network.bridges[port.bridge].reads_tags:
            yield NotJudged((port.name,), "untagged or tagged VLANs")
