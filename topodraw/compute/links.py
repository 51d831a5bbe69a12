"""Links: port to port of active gear, through however many panels and cables lie between."""

from __future__ import annotations

from dataclasses import dataclass, field

from topodraw.compute.link_problems import LinkProblem
from topodraw.compute.media import Channel, channel_of, channel_problems, mixture_problems
from topodraw.compute.paths import Path, find_paths
from topodraw.compute.phy_choice import Choice, Missing, choose_phy, offer_of
from topodraw.model.cabling import End
from topodraw.model.site import Site
from topodraw.standards.ethernet_phys import PHYS
from topodraw.standards.form_factors import CAGES


@dataclass(frozen=True, slots=True)
class Link:
    """One link. `ends` are sorted, written `gear/port` or the name of a remote; the rest runs from 0 to 1.

    One lane of a port that is split by a breakout is written `gear/port:lane`; `terminals` are the same ends,
    resolved.
    """

    ends: tuple[str, str]
    cables: tuple[str, ...]
    through: tuple[str, ...]
    """The panel ports passed, `panel/port`, in order."""
    phy: str | None
    why: str | None
    """Why no PHY results; None where one does, or where too little is known to say."""
    speed_bps: int | None
    length_m: float | None
    """Sum of the cables' lengths; None where one is unknown."""
    aggregate: str | None
    carries: bool
    """Every cable and gear of it is in service, no port of it is shut, and a PHY isn't ruled out.

    A console line carries no frames. A link that is too long, or of too low a grade, still carries: it may
    come up and run badly, and taking it away would hide what depends on it.
    """
    terminals: tuple[End, End]
    media: tuple[str, ...]
    """Each medium once, in path order."""
    problems: tuple[LinkProblem, ...] = ()
    missing: tuple[Missing, ...] = ()
    """What is not stated and would be needed to judge the link: (thing, key), e.g. `("F07", "length")`."""


def find_links(site: Site) -> tuple[Link, ...]:
    """Every link of the site, sorted by its ends.

    A row of cables that stops at a panel with nothing in the other face gives no link; `find_paths` has it.
    A converter or injector ends the link on each of its sides.
    """
    shared = _Shared(
        aggregate_of={cable: name for name, group in site.aggregates.items() for cable in group.cables},
        breakouts=frozenset(name for name, run in site.runs.items() if run.kind == "breakout"),
    )
    links = [
        _link(site, path, first, last, shared)
        for path in find_paths(site)
        if (first := path.ends[0]) is not None and (last := path.ends[1]) is not None
    ]
    return tuple(sorted(links, key=lambda link: (link.ends, link.cables)))


@dataclass(frozen=True, slots=True)
class _Shared:
    """What is looked up for every link, gathered once."""

    aggregate_of: dict[str, str]
    """By cable."""
    breakouts: frozenset[str]
    agreements: dict[tuple[object, ...], Choice] = field(default_factory=dict)


def _link(site: Site, path: Path, first: End, last: End, shared: _Shared) -> Link:
    channel = channel_of(path)
    console = any(port.hardware.use == "console" for end in (first, last) if (port := site.port(end)))
    choice = Choice() if console else _choice(site, path, first, last, channel, shared)
    why = choice.why
    cables = tuple(cable.name for cable in path.cables)
    return Link(
        ends=(str(first), str(last)),
        cables=cables,
        through=path.through,
        phy=None if why else choice.phy,
        why=why,
        speed_bps=None if why else choice.rate_bps,
        length_m=channel.length_m,
        aggregate=next((shared.aggregate_of[name] for name in cables if name in shared.aggregate_of), None),
        carries=why is None and not console and _in_service(site, path, first, last),
        terminals=(first, last),
        media=channel.media,
        problems=tuple(choice.problems),
        missing=choice.missing + _missing_lengths(path, channel),
    )


def _choice(site: Site, path: Path, first: End, last: End, channel: Channel, shared: _Shared) -> Choice:
    problems = mixture_problems(site, path, channel)
    if channel.kind is None:
        return Choice(problems=problems)
    if channel.kind == "radio":
        speeds = [cable.speed_bps for cable in path.cables if cable.speed_bps is not None]
        return Choice(None, min(speeds, default=None), problems)
    choice = _agreement(site, path, (first, last), channel, shared)
    problems += choice.problems
    if choice.phy is not None and choice.phy in PHYS:
        problems += channel_problems(choice.phy, path, channel)
    return Choice(choice.phy, choice.rate_bps, problems, choice.missing)


def _agreement(site: Site, path: Path, ends: tuple[End, End], channel: Channel, shared: _Shared) -> Choice:
    """What the two ports agree on; remembered for alike ports and channels where nothing is wrong."""
    cable_phy = next((cable.phy for cable in path.cables if cable.phy is not None), None)
    broken_out = any(run in shared.breakouts for cable in path.cables for run in cable.within)
    lanes = tuple(_is_lane(site, end, other, broken_out) for end, other in (ends, ends[::-1]))
    ports = tuple(
        (id(port.hardware), port.module, port.speed_bps) if port else None for port in map(site.port, ends)
    )
    length_m = channel.length_m if channel.kind == "twinax" else None
    key = (ports, lanes, channel.media, channel.active, cable_phy, length_m)
    known = shared.agreements.get(key)
    if known is not None:
        return known
    offers = [offer_of(site, end, channel, cable_phy, lane) for end, lane in zip(ends, lanes, strict=True)]
    choice = choose_phy(offers[0], offers[1], channel, cable_phy)
    if not choice.problems and not choice.missing:
        shared.agreements[key] = choice
    return choice


def _is_lane(site: Site, end: End, other: End, broken_out: bool) -> bool:
    """Whether an end is one lane of its port: stated, or the many-laned end of a breakout to single lanes."""
    if end.lane is not None:
        return True
    return broken_out and _lanes(site, end) > 1 and _lanes(site, other) <= 1


def _lanes(site: Site, end: End) -> int:
    port = site.port(end)
    cage = CAGES.get(port.hardware.cage) if port and port.hardware.cage else None
    return cage.lanes if cage else 1


def _in_service(site: Site, path: Path, first: End, last: End) -> bool:
    if any(cable.state != "in-service" for cable in path.cables):
        return False
    ports = [port for end in (first, last) if (port := site.port(end))]
    passed = [port.gear for port in ports] + [reference.partition("/")[0] for reference in path.through]
    return not any(port.shut for port in ports) and all(
        site.gear[name].state == "in-service" for name in passed
    )


def _missing_lengths(path: Path, channel: Channel) -> tuple[Missing, ...]:
    if channel.length_m is not None or channel.kind == "radio":
        return ()
    return tuple((cable.name, "length") for cable in path.cables if cable.length_m is None)


__all__ = ["Link", "LinkProblem", "Missing", "find_links"]
