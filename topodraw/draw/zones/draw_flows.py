"""Conduits as lines: level in their lane, upright to their areas; upright lines are whole, level ones
yield to them with a gap."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from topodraw.draw.finding_marks import Mark
from topodraw.draw.primitives import Ellipse, Group, Path, Point, Rect, Shape
from topodraw.draw.theme import Theme
from topodraw.draw.zones.labels import Label, label_shapes
from topodraw.draw.zones.lanes import Leg, Route

WEIGHT = 1.9
_CHAMFER = 3.0
_HEAD = 12.0
_HEAD_HALF = 5.2
_DOUBLE = 2.4
_CASING = 6.0
_MERGE = 6.0


def half_width(route: Route) -> float:
    """Half the width in px of a line with all that belongs to it."""
    if route.flow.casing:
        return _CASING
    return _DOUBLE + 1 if route.flow.both_ways else 1.0


def draw_route(
    route: Route, routes: Sequence[Route], label: Label | None, plate_top: float, theme: Theme
) -> tuple[Group, list[Mark]]:
    """One conduit's line, ends, joints and label as a group; and its findings."""
    colour = theme.severity("error") if route.flow.broken else theme.ink
    shapes: list[Shape] = []
    offsets = (-_DOUBLE, _DOUBLE) if route.flow.both_ways else (0.0,)
    gaps = _gaps(route, routes)
    if len(route.legs) == 2:
        for offset in offsets:
            shapes.append(_line(_simple(route, offset), gaps, colour, WEIGHT, ()))
        if route.flow.casing:
            for offset in (-_CASING, _CASING):
                shapes.append(_line(_simple(route, offset, 15.0), gaps, colour, 0.8, (4.0, 3.0)))
    else:
        shapes += _bus(route, gaps, colour)
    for leg in route.legs:
        if not leg.is_source or route.flow.both_ways:
            shapes.append(_head(leg, colour))
        else:
            shapes.append(_bar(leg, colour))
    if route.flow.forward:
        shapes += _jack(route.legs[0], plate_top, colour, theme)
    marks: list[Mark] = []
    if label is not None:
        words, marks = label_shapes(route, label, theme)
        shapes += words
    data = (("lane", str(route.lane + 1)),)
    return (
        Group(tuple(shapes), route.flow.id, "conduit", route.flow.title, route.flow.desc, data=data),
        marks,
    )


def _inward(leg: Leg) -> float:
    """1 where the plate is below the area's edge, -1 where it is above."""
    return 1.0 if leg.area.on_top else -1.0


def _end(route: Route, leg: Leg, back: float = 0.0) -> float:
    """How far a line goes towards an area: up to the foot of its head, or to the edge."""
    has_head = not leg.is_source or route.flow.both_ways
    return leg.area.edge + _inward(leg) * max(_HEAD - 1 if has_head else 0.0, back)


def _simple(route: Route, offset: float, back: float = 0.0) -> list[Point]:
    """The corners of a line with two ends, shifted sideways by `offset` px all along."""
    one, two = route.legs
    start, end = (one.x, _end(route, one, back)), (two.x, _end(route, two, back))
    if one.x == two.x:
        return [(one.x + offset, start[1]), (two.x + offset, end[1])]
    points = [start, (one.x, route.y), (two.x, route.y), end]
    return _shifted(points, offset)


def _shifted(points: list[Point], offset: float) -> list[Point]:
    if not offset:
        return points
    sides = []
    for (x1, y1), (x2, y2) in itertools.pairwise(points):
        dx, dy = (x2 > x1) - (x2 < x1), (y2 > y1) - (y2 < y1)
        sides.append((-dy * offset, dx * offset))
    (x0, y0), (xn, yn) = points[0], points[-1]
    moved = [(x0 + sides[0][0], y0)]
    for (x, y), before, after in zip(points[1:-1], sides, sides[1:], strict=False):
        moved.append((x + before[0] + after[0], y + before[1] + after[1]))
    return [*moved, (xn + sides[-1][0], yn)]


def _line(
    points: list[Point],
    gaps: Sequence[tuple[float, float]],
    colour: str,
    weight: float,
    dash: tuple[float, ...],
) -> Path:
    """A line with cut corners; its level part leaves out the gaps."""
    if len(points) == 2:
        return Path((tuple(points),), stroke=colour, weight=weight, dash=dash)
    start, corner, turn, end = points
    ahead = 1.0 if turn[0] > corner[0] else -1.0
    cut = min(_CHAMFER, abs(turn[0] - corner[0]) / 2)
    up1 = cut if start[1] > corner[1] else -cut
    up2 = cut if end[1] > turn[1] else -cut
    first = [start, (corner[0], corner[1] + up1), (corner[0] + ahead * cut, corner[1])]
    last = [(turn[0] - ahead * cut, turn[1]), (turn[0], turn[1] + up2), end]
    pieces: list[tuple[Point, ...]] = []
    current = first
    for low, high in gaps if ahead > 0 else [(high, low) for low, high in reversed(gaps)]:
        if (low - current[-1][0]) * ahead > 0 and (last[0][0] - high) * ahead > 0:
            pieces.append((*current, (low, corner[1])))
            current = [(high, corner[1])]
    pieces.append((*current, *last))
    return Path(tuple(pieces), stroke=colour, weight=weight, dash=dash)


def _gaps(route: Route, routes: Sequence[Route]) -> list[tuple[float, float]]:
    """Where the level run yields to others' upright lines."""
    gaps: list[tuple[float, float]] = []
    for other in routes:
        if other is route:
            continue
        for leg in other.legs:
            low, high = sorted((leg.area.edge, other.y))
            if len(other.legs) == 2 and other.legs[0].x == other.legs[1].x:
                low, high = sorted((other.legs[0].area.edge, other.legs[1].area.edge))
            if low < route.y < high and route.left < leg.x < route.right:
                half = half_width(other) + half_width(route) + 3.4
                gaps.append((leg.x - half, leg.x + half))
    merged: list[tuple[float, float]] = []
    for low, high in sorted(gaps):
        if merged and low - merged[-1][1] < _MERGE:
            merged[-1] = (merged[-1][0], max(high, merged[-1][1]))
        else:
            merged.append((low, high))
    return merged


def _bus(route: Route, gaps: Sequence[tuple[float, float]], colour: str) -> list[Shape]:
    """A level run from the first leg to the last, with a dot where another leaves it."""
    left, right, y = route.left, route.right, route.y
    pieces: list[tuple[Point, ...]] = []
    start = left
    for low, high in gaps:
        if low > start and high < right:
            pieces.append(((start, y), (low, y)))
            start = high
    pieces.append(((start, y), (right, y)))
    pieces += [((leg.x, y), (leg.x, _end(route, leg))) for leg in route.legs]
    shapes: list[Shape] = [Path(tuple(pieces), stroke=colour, weight=WEIGHT)]
    shapes += [Ellipse(leg.x, y, 3.6, 3.6, colour) for leg in route.legs if left < leg.x < right]
    return shapes


def _head(leg: Leg, colour: str) -> Path:
    tip, back = leg.area.edge, leg.area.edge + _inward(leg) * _HEAD
    points = ((leg.x, tip), (leg.x - _HEAD_HALF, back), (leg.x + _HEAD_HALF, back))
    return Path((points,), closed=True, fill=colour, kind="head")


def _bar(leg: Leg, colour: str) -> Path:
    edge = leg.area.edge
    return Path((((leg.x - 6, edge), (leg.x + 6, edge)),), stroke=colour, weight=3.0, kind="tail")


def _jack(leg: Leg, plate_top: float, colour: str, theme: Theme) -> list[Shape]:
    """The opening in the plate by which a port is forwarded."""
    return [
        Rect(leg.x - 7, plate_top - 7, 14, 14, theme.plate, colour, 1.3),
        Rect(leg.x - 3, plate_top - 7, 6, 4, theme.plate, colour, 1.0),
    ]
