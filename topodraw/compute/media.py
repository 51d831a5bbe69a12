"""The channel between two ports: its media, kind, length, and what is wrong with their mixture."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from topodraw.compute.link_problems import LinkProblem
from topodraw.compute.paths import Path
from topodraw.model.site import Site
from topodraw.standards.ethernet_phys import PHYS, reach
from topodraw.standards.media import MEDIA, MediumKind


@dataclass(frozen=True, slots=True)
class Channel:
    """All cables of a path taken together."""

    media: tuple[str, ...]
    """Each medium once, in path order."""
    kind: MediumKind | None
    """None where kinds are mixed, so that no PHY is specified."""
    active: bool
    """Twinax with electronics in its plugs."""
    length_m: float | None
    """Sum of the lengths; None where one is unknown."""
    known_length_m: float
    """Sum of the lengths that are known: the channel is at least this long."""


def channel_of(path: Path) -> Channel:
    """Take the cables of a path together."""
    if len(path.cables) == 1:
        (cable,) = path.cables
        kind = MEDIA[cable.medium].kind
        return Channel((cable.medium,), kind, cable.active, cable.length_m, cable.length_m or 0)
    media = tuple(dict.fromkeys(cable.medium for cable in path.cables))
    kinds = {MEDIA[medium].kind for medium in media}
    lengths = [cable.length_m for cable in path.cables if cable.length_m is not None]
    known = round(sum(lengths), 6)
    return Channel(
        media=media,
        kind=kinds.pop() if len(kinds) == 1 else None,
        active=any(cable.active for cable in path.cables),
        length_m=known if len(lengths) == len(path.cables) else None,
        known_length_m=known,
    )


def mixture_problems(site: Site, path: Path, channel: Channel) -> list[LinkProblem]:
    """Judge the media of one path against each other and against the jacks of the panels between them.

    Multimode fibres of different core mix at a loss only (62.5 µm into 50 µm); copper with fibre, single-mode
    with multimode, and twinax through a panel give no link at all.
    """
    cables = tuple(cable.name for cable in path.cables)
    named = " and ".join(channel.media)
    if channel.kind is None:
        detail = f"one path is made of {named}: no PHY is specified on such a mixture"
        return [LinkProblem("mixed-media", cables, detail, True, f"{named} in one path")]
    problems = []
    if channel.kind == "twinax" and path.through:
        detail = "twinax carries its plugs with it and can't be led through a patch panel"
        at = (*cables, *path.through)
        problems.append(LinkProblem("mixed-media", at, detail, True, "twinax through a panel"))
    if channel.kind == "multimode" and len({MEDIA[medium].core_um for medium in channel.media}) > 1:
        cores = " and ".join(f"{medium} ({MEDIA[medium].core_um:g} µm core)" for medium in channel.media)
        detail = f"one path is made of {cores}: light is lost where the core narrows"
        problems.append(LinkProblem("mixed-media", cables, detail, False, f"{named} in one path"))
    return problems + _panel_jack_problems(site, path, channel)


@cache
def kinds_of_connector(connector: str) -> tuple[MediumKind, ...]:
    """The kinds of medium that a connector joins, from the PHYs that use it; empty for one that none uses."""
    return tuple(
        dict.fromkeys(kind for phy in PHYS.values() if connector in phy.connectors for kind in phy.kinds)
    )


def _panel_jack_problems(site: Site, path: Path, channel: Channel) -> list[LinkProblem]:
    problems = []
    for reference in path.through:
        panel, _, port = reference.partition("/")
        jack = site.gear[panel].ports[port].hardware.jack
        kinds = kinds_of_connector(jack) if jack else ()
        if jack and kinds and channel.kind not in kinds:
            medium = channel.media[0]
            detail = f"{reference} is an {jack} jack, which {medium} can't be plugged into"
            why = f"{medium} in an {jack} jack"
            problems.append(LinkProblem("medium-mismatch", (reference,), detail, True, why))
    return problems


def channel_problems(phy: str, path: Path, channel: Channel) -> list[LinkProblem]:
    """Judge a channel's grade and length against the PHY that runs over it.

    The weakest medium of the channel sets the limit, for the sum of all lengths (IEEE 802.3, reaches of the
    PHY). A channel of the right kind whose grade is too low, or which is too long, may still come up and run
    badly, so neither rules the link out.
    """
    problems = []
    rows = []
    for medium in channel.media:
        row = reach(phy, medium, channel.active)
        if row is not None:
            rows.append(row)
        elif reach(phy, medium) is None:
            at = tuple(cable.name for cable in path.cables if cable.medium == medium)
            detail = f"{phy} is not specified on {medium} at any length"
            problems.append(
                LinkProblem("medium-mismatch", at, detail, False, detail, source=PHYS[phy].source)
            )
    if rows:
        limit = min(rows, key=lambda row: row.reach_m)
        if channel.known_length_m > limit.reach_m:
            at = tuple(cable.name for cable in path.cables)
            least = "" if channel.length_m is not None else "at least "
            detail = (
                f"{least}{channel.known_length_m:g} m of {limit.medium}, but {phy} is specified on it "
                f"to {limit.reach_m:g} m"
            )
            problems.append(
                LinkProblem(
                    "too-long",
                    at,
                    detail,
                    False,
                    "too long",
                    channel.known_length_m,
                    limit.reach_m,
                    limit.source,
                )
            )
    return problems
