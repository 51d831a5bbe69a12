"""Rules about links: whether the two ends, the modules and the cables between them make a link at all."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from topodraw.compute.link_problems import LinkProblem, ProblemKind
from topodraw.compute.links import Link
from topodraw.compute.phy_choice import module_fault
from topodraw.model.finding import SourcePath
from topodraw.rules.rule import NotJudged, Objection, Outcome, rule

if TYPE_CHECKING:
    from topodraw.compute.facts import Facts
    from topodraw.model.gear import Port
    from topodraw.model.site import Site

_SITE = """\
hardware:
  bridge-c:
    function: switch
    ports: {p1..p4: {jack: RJ45, speeds: [100M, 1G]}, x1: {cage: SFP+}, s1: {cage: SFP}}
  cam-fast: {function: camera, ports: {eth: {jack: RJ45, speeds: [100M]}}}
  host-10g: {function: server, ports: {eth: {jack: RJ45, speeds: [10G]}}}
  fibre-panel: {function: panel, ports: {1..4: {jack: LC, through: true}}}
"""


def _of_kind(facts: Facts, kind: ProblemKind) -> Iterator[Outcome]:
    for link in facts.links:
        at_place: dict[SourcePath, list[LinkProblem]] = {}
        for problem in link.problems:
            if problem.kind == kind:
                at_place.setdefault(_place(facts.site, link, problem), []).append(problem)
        for place, problems in at_place.items():
            on = tuple(dict.fromkeys((*(name for problem in problems for name in problem.at), *link.ends)))
            details = (f"{one.detail} ({one.source})" if one.source else one.detail for one in problems)
            yield Objection(on, f"The link {' - '.join(link.ends)}: {'; '.join(details)}.", place)


def _place(site: Site, link: Link, problem: LinkProblem) -> SourcePath:
    """The text to change: the module or speed of the port to blame where one is stated, else the cable."""
    if problem.kind in ("module-cage-mismatch", "phy-mismatch", "speed-mismatch"):
        for port in _ports(site, link):
            if port is None or port.reference not in {at.partition(":")[0] for at in problem.at}:
                continue
            if port.module is not None:
                return ("gear", port.gear, "ports", port.name, "module")
            if port.speed_bps is not None:
                return ("gear", port.gear, "ports", port.name, "speed")
    cables = [name for name in link.cables if name in problem.at] or list(link.cables)
    if problem.kind == "too-long":
        longest = max(cables, key=lambda name: site.cables[name].length_m or 0)
        return ("cables", longest, "length")
    if problem.kind in ("mixed-media", "medium-mismatch"):
        return ("cables", _odd_one(site, cables), "medium")
    stated = [name for name in cables if site.cables[name].phy is not None]
    return ("cables", stated[0], "phy") if stated else ("cables", cables[0])


def _odd_one(site: Site, cables: list[str]) -> str:
    """The cable of the medium that is rarest along the path; of two as rare, the later one in the source."""
    media = [site.cables[name].medium for name in cables]
    order = list(site.cables)
    return min(cables, key=lambda name: (media.count(site.cables[name].medium), -order.index(name)))


def _ports(site: Site, link: Link) -> tuple[Port | None, Port | None]:
    return (site.port(link.terminals[0]), site.port(link.terminals[1]))


def _is_console(site: Site, link: Link) -> bool:
    return any(port is not None and port.hardware.use == "console" for port in _ports(site, link))


@rule(
    name="link-speed-mismatch",
    severity="error",
    question="Have the two ends of each link a speed in common?",
    why="Ports without a common speed bring up no link at all.",
    fix="Use ports or modules that share a speed, or change the speed that is set on a port.",
    source="IEEE 802.3 clause 28 (auto-negotiation finds the highest common ability; from memory)",
    breaks=_SITE
    + """\
gear:
  north: {model: bridge-c}
  host: {model: host-10g}
cables:
  C1: {ends: [north/p1, host/eth], medium: Cat6A, length: 3m, untagged: science}
vlans: {science: {id: 20}}
""",
    keeps=_SITE
    + """\
gear:
  north: {model: bridge-c}
  cam: {model: cam-fast}
cables:
  C1: {ends: [north/p1, cam/eth], medium: Cat6A, length: 3m, untagged: science}
vlans: {science: {id: 20}}
""",
)
def link_speed_mismatch(facts: Facts) -> Iterator[Outcome]:
    yield from _of_kind(facts, "speed-mismatch")
    for link in facts.links:
        for thing, key in link.missing:
            if key != "length" and not _is_console(facts.site, link):
                yield NotJudged((thing,), key)


@rule(
    name="link-medium-mismatch",
    severity="error",
    question="Is each cable of a medium that the ports and modules at its ends can use?",
    why="A connector that doesn't fit, or a medium that the PHY isn't specified on, gives no "
    "link or a bad one.",
    fix="Use a cable of the right medium, or other modules.",
    source="IEEE 802.3, medium of each PHY",
    breaks=_SITE
    + """\
gear:
  north: {model: bridge-c, ports: {x1: {module: 10GBASE-SR}}}
  south: {model: bridge-c, ports: {x1: {module: 10GBASE-SR}}}
cables:
  F1: {ends: [north/x1, south/x1], medium: OS2, length: 40m, untagged: science}
vlans: {science: {id: 20}}
""",
    keeps=_SITE
    + """\
gear:
  north: {model: bridge-c, ports: {x1: {module: 10GBASE-SR}}, bridge: {priority: 4096}}
  south: {model: bridge-c, ports: {x1: {module: 10GBASE-SR}}}
cables:
  F1: {ends: [north/x1, south/x1], medium: OM4, length: 40m}
""",
)
def link_medium_mismatch(facts: Facts) -> Iterator[Outcome]:
    yield from _of_kind(facts, "medium-mismatch")


@rule(
    name="link-mixed-media",
    severity="error",
    question="Is each link made of one kind of medium from end to end?",
    why="Fibres of different core lose light where they meet, and copper doesn't join to fibre at a panel.",
    fix="Use cables of one medium from end to end.",
    source="ISO/IEC 11801-1 (a channel is of one category); ANSI/TIA-568.3-D (from memory)",
    breaks=_SITE
    + """\
gear:
  north: {model: bridge-c, ports: {x1: {module: 10GBASE-LR}}}
  south: {model: bridge-c, ports: {x1: {module: 10GBASE-LR}}}
  pan: {model: fibre-panel}
cables:
  F1: {ends: [north/x1, pan/1], medium: OS2, length: 2m}
  F2: {ends: [pan/1:back, south/x1], medium: OM4, length: 80m}
""",
    keeps=_SITE
    + """\
gear:
  north: {model: bridge-c, ports: {x1: {module: 10GBASE-LR}}, bridge: {priority: 4096}}
  south: {model: bridge-c, ports: {x1: {module: 10GBASE-LR}}}
  pan: {model: fibre-panel}
cables:
  F1: {ends: [north/x1, pan/1], medium: OS2, length: 2m}
  F2: {ends: [pan/1:back, south/x1], medium: OS2, length: 80m}
""",
)
def link_mixed_media(facts: Facts) -> Iterator[Outcome]:
    yield from _of_kind(facts, "mixed-media")


@rule(
    name="link-phy-mismatch",
    severity="error",
    question="Do the modules at the two ends of each link run the same PHY?",
    why="Two modules of one speed but different wavelength or coding don't understand each other.",
    fix="Use the same kind of module at both ends.",
    source="IEEE 802.3, wavelength and coding of each PHY",
    breaks=_SITE
    + """\
gear:
  north: {model: bridge-c, ports: {x1: {module: 10GBASE-LR}}}
  south: {model: bridge-c, ports: {x1: {module: 10GBASE-ER}}}
cables:
  F1: {ends: [north/x1, south/x1], medium: OS2, length: 900m}
""",
    keeps=_SITE
    + """\
gear:
  north: {model: bridge-c, ports: {x1: {module: 10GBASE-LR}}, bridge: {priority: 4096}}
  south: {model: bridge-c, ports: {x1: {module: 10GBASE-LR}}}
cables:
  F1: {ends: [north/x1, south/x1], medium: OS2, length: 900m}
""",
)
def link_phy_mismatch(facts: Facts) -> Iterator[Outcome]:
    yield from _of_kind(facts, "phy-mismatch")


@rule(
    name="module-cage-mismatch",
    severity="error",
    question="Does each module go into its cage and run there?",
    why="A module of another form doesn't go in; a faster one than the cage is made for goes in "
    "and stays dark.",
    fix="Use a module of the cage's own form, or a port with the right cage.",
    source="SFF-8431, SFF-8402, SFF-8436, SFF-8665 (forms of modules and cages)",
    breaks=_SITE
    + """\
gear:
  north: {model: bridge-c, ports: {s1: {module: 10GBASE-LR}}}
  south: {model: bridge-c, ports: {x1: {module: 10GBASE-LR}}}
cables:
  F1: {ends: [north/s1, south/x1], medium: OS2, length: 900m}
""",
    keeps=_SITE
    + """\
gear:
  north: {model: bridge-c, ports: {x1: {module: 10GBASE-LR}}, bridge: {priority: 4096}}
  south: {model: bridge-c, ports: {x1: {module: 10GBASE-LR}}}
cables:
  F1: {ends: [north/x1, south/x1], medium: OS2, length: 900m}
""",
)
def module_cage_mismatch(facts: Facts) -> Iterator[Outcome]:
    yield from _of_kind(facts, "module-cage-mismatch")
    linked = {end.reference for link in facts.links for end in _ports(facts.site, link) if end is not None}
    for gear in facts.site.gear.values():
        for port in gear.ports.values():
            if port.module is None or port.reference in linked:
                continue
            fault = module_fault(facts.site, port, port.reference, port.module)
            if fault is not None:
                at = ("gear", port.gear, "ports", port.name, "module")
                yield Objection(fault.at, f"{fault.detail[0].upper()}{fault.detail[1:]}.", at)


@rule(
    name="link-too-long",
    severity="error",
    question="Is each link no longer than its PHY is specified for on its medium?",
    why="Beyond that length the link may fail, or run with errors that come and go.",
    fix="Use a better medium, another PHY, or a shorter way.",
    source="IEEE 802.3, reach of each PHY on each medium",
    breaks=_SITE
    + """\
gear:
  north: {model: bridge-c}
  cam: {model: cam-fast}
cables:
  C1: {ends: [north/p1, cam/eth], medium: Cat6A, length: 130m, untagged: science}
vlans: {science: {id: 20}}
""",
    keeps=_SITE
    + """\
gear:
  north: {model: bridge-c}
  cam: {model: cam-fast}
cables:
  C1: {ends: [north/p1, cam/eth], medium: Cat6A, length: 90m, untagged: science}
vlans: {science: {id: 20}}
""",
)
def link_too_long(facts: Facts) -> Iterator[Outcome]:
    yield from _of_kind(facts, "too-long")
    for link in facts.links:
        found = any(problem.kind == "too-long" for problem in link.problems)
        if found or link.why is not None or _is_console(facts.site, link):
            continue
        for thing, key in link.missing:
            if key == "length":
                yield NotJudged((thing,), key)


@rule(
    name="link-duplex-mismatch",
    severity="error",
    question="Are both ends of each link set to the same duplex?",
    why="A half-duplex end takes the other's frames for collisions: the link works, slowly and with losses.",
    fix="Leave both ends to negotiate, or set both to full.",
    source="IEEE 802.3 clause 28 (a fixed end isn't negotiated with and is taken for half "
    "duplex; from memory)",
    breaks=_SITE
    + """\
gear:
  north: {model: bridge-c, ports: {p1: {speed: 100M, duplex: full}}}
  south: {model: bridge-c, ports: {p1: {speed: 100M, duplex: half}}, bridge: {priority: 4096}}
cables:
  C1: {ends: [north/p1, south/p1], medium: Cat6A, length: 9m}
""",
    keeps=_SITE
    + """\
gear:
  north: {model: bridge-c, ports: {p1: {speed: 100M, duplex: full}}}
  south: {model: bridge-c, ports: {p1: {speed: 100M, duplex: full}}, bridge: {priority: 4096}}
cables:
  C1: {ends: [north/p1, south/p1], medium: Cat6A, length: 9m}
""",
)
def link_duplex_mismatch(facts: Facts) -> Iterator[Outcome]:
    for link in facts.links:
        one, other = _ports(facts.site, link)
        if one is None or other is None or one.duplex is None or other.duplex is None:
            continue
        set_to = {one.duplex, other.duplex}
        # From 1 Gbit/s up there is no half duplex to fall back to (IEEE 802.3 clause 40 on).
        falls_back = set_to == {"auto", "full"} and link.speed_bps is not None and link.speed_bps < 10**9
        if set_to >= {"full", "half"} or falls_back:
            yield Objection(
                (one.reference, other.reference),
                f"{one.reference} is set to {one.duplex} duplex and {other.reference} to {other.duplex}.",
                ("gear", other.gear, "ports", other.name, "duplex"),
            )
