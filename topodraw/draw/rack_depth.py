"""The depth section of a rack sheet: how deep each gear is, front at the left, and which way it blows."""

from __future__ import annotations

from collections.abc import Mapping

from topodraw.draw import text_metrics
from topodraw.draw.characters import element_id
from topodraw.draw.primitives import TEXT_SIZE, Group, Hatch, Path, Rect, Shape, Text, line
from topodraw.draw.rack_contents import Occupant, RackContents
from topodraw.draw.rack_geometry import DEPTH_WIDTH, Elevation, dimension
from topodraw.draw.rack_plates import OFF_HATCH_OPACITY
from topodraw.draw.theme import Theme

_ARROW_SPACE = 36.0
_UNKNOWN_DEPTH_SHARE = 0.16
_STICKS_OUT = 20.0
"""How far gear deeper than the rack is drawn out of it, in px: to be seen, not to scale."""


def depth_section(
    contents: RackContents, elevation: Elevation, x: float, air_colours: Mapping[str, str], theme: Theme
) -> list[Shape]:
    """The section within a block whose left edge is `x`, beside the rear elevation.

    `air_colours` gives the colour of the air's arrows for gear that has a finding about it.
    """
    left, right = x + _ARROW_SPACE, x + DEPTH_WIDTH - _ARROW_SPACE
    deepest = contents.depth_mm or max(
        (each.depth_mm for each in contents.occupants if each.depth_mm is not None), default=0.0
    )
    shapes: list[Shape] = [
        Rect(
            left, elevation.top, right - left, elevation.bottom - elevation.top, stroke=theme.ink, weight=0.8
        )
    ]
    if contents.depth_mm:
        shapes += dimension(left, right, elevation.bottom + 15, f"{contents.depth_mm:g} mm", theme)
    else:
        words = Text(
            (left + right) / 2, elevation.bottom + 19.7, "depth not stated", theme.ink, anchor="middle"
        )
        shapes.append(words)
    scale = (right - left) / deepest if deepest else 0.0
    for occupant in contents.occupants:
        facing = [
            _width(other, left, right, scale)
            for other in contents.occupants
            if other.side != occupant.side
            and other.lowest <= occupant.highest
            and other.highest >= occupant.lowest
        ]
        room = right - left - max(facing, default=0.0)
        colour = air_colours.get(occupant.name)
        shapes.append(_slice(occupant, elevation, left, right, scale, room, colour, theme))
    return shapes


def _width(occupant: Occupant, left: float, right: float, scale: float) -> float:
    """Width of a gear's slice in px, as deep as it is."""
    if occupant.depth_mm is None:
        return (right - left) * _UNKNOWN_DEPTH_SHARE
    return max(3.0, occupant.depth_mm * scale)


def _slice(
    occupant: Occupant,
    elevation: Elevation,
    left: float,
    right: float,
    scale: float,
    room: float,
    air_colour: str | None,
    theme: Theme,
) -> Group:
    """One gear. `room` is the width in px that gear facing it in the same units leaves."""
    lane_height = (occupant.units * 40 - 8) / occupant.lanes
    top = elevation.top_of(occupant.lowest, occupant.highest) + 4 + occupant.lane * lane_height
    known = occupant.depth_mm is not None
    wide = (
        occupant.depth_mm * scale if occupant.depth_mm is not None else (right - left) * _UNKNOWN_DEPTH_SHARE
    )
    too_deep = wide > right - left + 0.01
    wide = min(wide, right - left + (_STICKS_OUT if too_deep else 0))
    start = left if occupant.side == "front" else right - wide
    dash = () if known and occupant.state != "planned" else (4.0, 3.0)
    box = element_id("depth", occupant.name)
    fill = theme.paper if occupant.state == "planned" else theme.plate
    shapes: list[Shape] = [Rect(start, top, wide, lane_height, fill, theme.ink, 1.1, dash, id=box)]
    if occupant.state == "switched-off":
        hatch = Hatch("diagonal", theme.ink, OFF_HATCH_OPACITY, 9)
        shapes.append(Rect(start, top, wide, lane_height, hatch))
    shapes += _figure(occupant, start, top + lane_height / 2, wide, room, box, theme)
    if occupant.lane == 0 and occupant.state == "in-service" and not too_deep:
        middle = elevation.top_of(occupant.lowest, occupant.highest) + occupant.units * 20
        shapes += _air(occupant.airflow, middle, left, right, air_colour or theme.ink, theme)
    return Group(
        tuple(shapes),
        id=element_id("gear", occupant.name, "depth"),
        kind="gear",
        title=f"{occupant.name}, depth",
        desc=f"{occupant.depth_mm:g} mm deep" if occupant.depth_mm is not None else "depth not stated",
    )


def _figure(
    occupant: Occupant, start: float, middle: float, wide: float, room: float, box: str, theme: Theme
) -> list[Shape]:
    """The depth in mm: inside where there is room, else beside; a question mark where it is not stated."""
    words = f"{occupant.depth_mm:g}" if occupant.depth_mm is not None else "?"
    words_width = text_metrics.width(words, TEXT_SIZE, "mono")
    if occupant.lanes > 2 * occupant.units:
        return []  # so many in one unit that their figures would run into each other
    baseline = middle + 4.7
    if words_width + 10 <= wide and wide <= room + _STICKS_OUT:
        x = start + wide - 5 if occupant.side == "front" else start + 5 + words_width
        figure = Text(x, baseline, words, theme.ink, style="mono", anchor="end", within=box)
        if occupant.state == "switched-off":
            return [Rect(x - words_width - 2, middle - 8, words_width + 4, 16, theme.plate), figure]
        return [figure]
    if wide + words_width + 8 > room:
        return []
    if occupant.side == "front":
        return [Text(start + wide + 5, baseline, words, theme.ink, style="mono")]
    return [Text(start - 5, baseline, words, theme.ink, style="mono", anchor="end")]


def _air(airflow: str | None, y: float, left: float, right: float, colour: str, theme: Theme) -> list[Shape]:
    """Arrows for the way the air goes; to the side it is a word, because the section can't show it."""
    if airflow in (None, "fanless"):
        return []
    if airflow in ("front-to-rear", "rear-to-front"):
        rightward = airflow == "front-to-rear"
        weight = 1.2 if colour == theme.ink else 2.0
        return [
            *_arrow(left - 29, left - 9, y, rightward, colour, weight),
            *_arrow(right + 9, right + 29, y, rightward, colour, weight),
        ]
    return [
        Text(left - 5, y + 4.7, "side", colour, anchor="end"),
        Text(right + 5, y + 4.7, "side", colour),
    ]


def _arrow(x1: float, x2: float, y: float, rightward: bool, colour: str, weight: float) -> list[Shape]:
    tip, back = (x2, x2 - 6) if rightward else (x1, x1 + 6)
    return [
        line(x1, y, x2, y, colour, weight),
        Path((((back, y - 4), (tip, y), (back, y + 4)),), stroke=colour, weight=weight),
    ]


def air_sample(theme: Theme) -> tuple[Shape, ...]:
    """The arrow as the legend shows it."""
    return tuple(_arrow(2, 30, 8, True, theme.ink, 1.2))
