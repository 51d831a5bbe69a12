"""Rules about aggregates: members alike, ends in one place, both ends of one mind."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from topodraw.compute.links import Link
from topodraw.model.finding import SourcePath
from topodraw.rules.rule import COMMON_PRACTICE, NotJudged, Objection, Outcome, rule
from topodraw.source.quantities import speed_text
from topodraw.source.suggest import with_and

if TYPE_CHECKING:
    from topodraw.compute.facts import Facts
    from topodraw.model.cabling import Aggregate
    from topodraw.model.gear import Port, VlanStatement
    from topodraw.model.site import Site

_SWITCHES = ("lacp", "static")
"""Modes in which all members forward together, so that they need one partner."""

_SITE = """\
hardware:
  bridge-6:
    function: switch
    ports: {p1..p4: {jack: RJ45, speeds: [1G]}, q1..q2: {jack: RJ45, speeds: [100M]}}
gear:
  north: {model: bridge-6, bridge: {priority: 4096}}
  south: {model: bridge-6, bridge: {priority: 8192}}
  west: {model: bridge-6}
"""
_KEPT = (
    _SITE
    + """\
cables:
  C1..C2: {ends: [north/p1..p2, south/p1..p2], medium: Cat6A, length: 2m}
aggregates:
  north-south: {cables: [C1, C2], mode: lacp}
"""
)
_IEEE = "IEEE 802.1AX"


def _members(facts: Facts) -> dict[str, list[Link]]:
    found: dict[str, list[Link]] = {name: [] for name in facts.site.aggregates}
    for link in facts.links:
        if link.aggregate is not None:
            found[link.aggregate].append(link)
    return found


@rule(
    name="aggregate-members-unequal",
    severity="error",
    question="Have all members of each aggregate one speed?",
    why="Members of another speed are left out of the aggregate or slow it down: the capacity "
    "isn't what it seems.",
    fix="Use ports, modules and cables of one speed for all members.",
    source=f"{_IEEE}-2008 5.6.1 (members of one link speed; clause from memory); {COMMON_PRACTICE}",
    breaks=_SITE
    + """\
cables:
  C1: {ends: [north/p1, south/p1], medium: Cat6A, length: 2m}
  C2: {ends: [north/q1, south/q1], medium: Cat6A, length: 2m}
aggregates:
  north-south: {cables: [C1, C2], mode: lacp}
""",
    keeps=_KEPT,
)
def aggregate_members_unequal(facts: Facts) -> Iterator[Outcome]:
    for name, links in _members(facts).items():
        aggregate = facts.site.aggregates[name]
        if aggregate.mode not in _SWITCHES and not any(mode in _SWITCHES for _, mode in aggregate.modes):
            continue
        unknown = [link for link in links if link.speed_bps is None and link.why is None]
        for link in unknown:
            yield NotJudged((name, link.cables[0]), "speed")
        speeds = {link.speed_bps for link in links if link.speed_bps is not None}
        if len(speeds) > 1:
            parts = ", ".join(
                f"{link.cables[0]} {speed_text(link.speed_bps)}"
                for link in links
                if link.speed_bps is not None
            )
            yield Objection(
                (name, *(link.cables[0] for link in links)),
                f"The members of {name} have different speeds: {parts}.",
                _speed_place(facts.site, links) or ("aggregates", name, "cables"),
            )


def _speed_place(site: Site, links: list[Link]) -> SourcePath | None:
    """Where a member's speed is set, if it is."""
    ports = (site.port(end) for link in links for end in link.terminals)
    set_one = next((port for port in ports if port is not None and port.speed_bps is not None), None)
    return ("gear", set_one.gear, "ports", set_one.name, "speed") if set_one else None


@rule(
    name="aggregate-to-different-gear",
    severity="error",
    question="Do all members of each aggregate end on the same two things (a stack counts as one)?",
    why="An aggregate needs one partner at each end; spread over two that don't act as one, it "
    "drops frames or loops.",
    fix="End all members on one device or one stack, or use a mode that one side decides: "
    "active-standby or spread.",
    source=f"{_IEEE} (one partner system for each aggregate; clause not looked up)",
    breaks=_SITE
    + """\
cables:
  C1: {ends: [north/p1, south/p1], medium: Cat6A, length: 2m}
  C2: {ends: [north/p2, west/p1], medium: Cat6A, length: 2m}
aggregates:
  north-south: {cables: [C1, C2], mode: lacp}
""",
    keeps=_KEPT,
)
def aggregate_to_different_gear(facts: Facts) -> Iterator[Outcome]:
    acts_as = {member: stack.name for stack in facts.site.stacks.values() for member in stack.members}
    for name, links in _members(facts).items():
        aggregate = facts.site.aggregates[name]
        sides = [tuple(_one(acts_as, end) for end in link.ends) for link in links]
        ends = tuple(dict.fromkeys(side for pair in sides for side in pair))
        deciding = {side for side in ends if _mode(facts.site, aggregate, side) not in _SWITCHES}
        # One side that uses its members one by one, or apart, may end wherever it likes.
        if len(ends) > 2 and not all(deciding.intersection(pair) for pair in sides):
            yield Objection(
                (name, *ends),
                f"The members of {name} end on {len(ends)} different things: {with_and(ends)}.",
                ("aggregates", name, "cables"),
            )


def _one(acts_as: dict[str, str], end: str) -> str:
    gear = end.partition("/")[0]
    return acts_as.get(gear, gear)


def _mode(site: Site, aggregate: Aggregate, side: str) -> str:
    members = site.stacks[side].members if side in site.stacks else (side,)
    stated = dict(aggregate.modes)
    return next((stated[member] for member in (side, *members) if member in stated), aggregate.mode)


@rule(
    name="aggregate-mode-mismatch",
    severity="error",
    question="Do both ends of each aggregate use the protocol, or neither?",
    why="An end that speaks LACP takes only members that answer it: facing a static end, none or "
    "one comes up.",
    fix="Set both ends to lacp (it notices wrong cabling), or both to static.",
    source=f"{_IEEE} (LACP aggregates only links whose partner answers; clause not looked up)",
    breaks=_KEPT.replace("mode: lacp", "mode: {north: lacp, south: static}"),
    keeps=_KEPT,
)
def aggregate_mode_mismatch(facts: Facts) -> Iterator[Outcome]:
    for name, links in _members(facts).items():
        aggregate = facts.site.aggregates[name]
        for link in links:
            gear = [end.partition("/")[0] for end in link.ends]
            modes = [aggregate.mode_of(one) for one in gear]
            if set(modes) == {"lacp", "static"}:
                yield Objection(
                    (name, *gear),
                    f"{gear[0]} runs {name} as {modes[0]} and {gear[1]} as {modes[1]}.",
                    ("aggregates", name, "mode"),
                )
                break


@rule(
    name="aggregate-least-too-many",
    severity="error",
    question="Does each aggregate have at least as many members as it needs to come up?",
    why="With fewer members than `least` the aggregate stays down for good.",
    fix="Lower `least`, or add members.",
    source=COMMON_PRACTICE,
    breaks=_KEPT.replace("mode: lacp", "mode: lacp, least: 3"),
    keeps=_KEPT.replace("mode: lacp", "mode: lacp, least: 1"),
)
def aggregate_least_too_many(facts: Facts) -> Iterator[Outcome]:
    for aggregate in facts.site.aggregates.values():
        if aggregate.least is not None and aggregate.least > len(aggregate.cables):
            yield Objection(
                (aggregate.name,),
                f"{aggregate.name} needs {aggregate.least} members to come up and has "
                f"{len(aggregate.cables)}.",
                ("aggregates", aggregate.name, "least"),
            )


@rule(
    name="aggregate-vlans-unequal",
    severity="error",
    question="Do all members of an aggregate at one end carry the same VLANs?",
    why="The members act as one port: a member with other VLANs is suspended, or loses some of the frames.",
    fix="State the VLANs once, in the aggregate, or make the members alike.",
    source=f"{COMMON_PRACTICE}; {_IEEE} (members share one port of the bridge)",
    breaks=_KEPT.replace(
        "south: {model: bridge-6,",
        "south: {model: bridge-6, ports: {p1: {tagged: [science]}, p2: {tagged: [watch]}},",
    )
    + "vlans: {science: {id: 20}, watch: {id: 40}}\n",
    keeps=_KEPT,
)
def aggregate_vlans_unequal(facts: Facts) -> Iterator[Outcome]:
    for name, links in _members(facts).items():
        aggregate = facts.site.aggregates[name]
        sides: dict[str, list[Port]] = {}
        for link in links:
            for end in link.terminals:
                port = facts.site.port(end)
                if port is not None and aggregate.mode_of(port.gear) in _SWITCHES:
                    sides.setdefault(port.gear, []).append(port)
        for ports in sides.values():
            odd = next((port for port in ports if _carried(port.vlans) != _carried(ports[0].vlans)), None)
            if odd is not None:
                yield Objection(
                    (name, ports[0].reference, odd.reference),
                    f"{ports[0].reference} and {odd.reference} are members of {name} and carry "
                    "different VLANs.",
                    odd.vlans.at if odd.vlans else ("gear", odd.gear, "ports", odd.name),
                )


def _carried(statement: VlanStatement | None) -> tuple[str | None, frozenset[str]] | None:
    return (
        None
        if statement is None
        else (statement.untagged, frozenset(("all",) if statement.tagged == "all" else statement.tagged))
    )
