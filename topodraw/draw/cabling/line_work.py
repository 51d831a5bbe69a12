"""Lines as they are drawn: corners cut, a level line giving way where it crosses an upright one, patterns
by medium."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from topodraw.draw.cabling.wire_looks import Pattern
from topodraw.draw.primitives import Path, Point, Shape
from topodraw.draw.theme import Theme

CHAMFER = 3.0
_GAP_BESIDE = 3.4
_MERGE = 6.0
_TICK_EVERY = 26.0

Stretch = tuple[Point, ...]
"""A polyline without gaps."""


@dataclass(frozen=True, slots=True)
class _Upright:
    x: float
    top: float
    bottom: float
    half: float
    wire: str


def drawn_weight(pattern: Pattern, weight: float) -> float:
    """The full width of a line in px: fibre is a double line."""
    return weight + 2.2 if pattern == "fibre" else weight


def line_stretches(
    lines: Mapping[str, Sequence[Point]], weights: Mapping[str, float]
) -> dict[str, list[Stretch]]:
    """Each wire's stretches: its corners chamfered, level runs broken where others' upright ones cross."""
    uprights = sorted(
        (
            _Upright(a[0], min(a[1], b[1]), max(a[1], b[1]), weights[key] / 2 + 1.1, key)
            for key, points in lines.items()
            for a, b in itertools.pairwise(points)
            if a[0] == b[0]
        ),
        key=lambda upright: upright.x,
    )
    return {key: _stretches(key, points, uprights) for key, points in lines.items()}


def crossings(lines: Mapping[str, Sequence[Point]]) -> int:
    """How often two wires cross."""
    uprights = [
        _Upright(a[0], min(a[1], b[1]), max(a[1], b[1]), 0.0, key)
        for key, points in lines.items()
        for a, b in itertools.pairwise(points)
        if a[0] == b[0]
    ]
    return sum(
        len(_crossing(key, a, b, uprights))
        for key, points in lines.items()
        for a, b in itertools.pairwise(points)
        if a[1] == b[1]
    )


def _crossing(key: str, one: Point, other: Point, uprights: Sequence[_Upright]) -> list[_Upright]:
    left, right = sorted((one[0], other[0]))
    return [
        upright
        for upright in uprights
        if upright.wire != key and left < upright.x < right and upright.top < one[1] < upright.bottom
    ]


def _stretches(key: str, points: Sequence[Point], uprights: Sequence[_Upright]) -> list[Stretch]:
    path = _chamfered(points)
    result: list[list[Point]] = [[path[0]]]
    for one, other in itertools.pairwise(path):
        if one[1] == other[1]:
            for start, end in _gaps(_crossing(key, one, other, uprights), one[0] > other[0]):
                result[-1].append((start, one[1]))
                result.append([(end, one[1])])
        result[-1].append(other)
    return [tuple(stretch) for stretch in result]


def _gaps(crossed: Sequence[_Upright], leftward: bool) -> list[tuple[float, float]]:
    gaps: list[tuple[float, float]] = []
    for upright in sorted(crossed, key=lambda u: u.x):
        left, right = upright.x - upright.half - _GAP_BESIDE, upright.x + upright.half + _GAP_BESIDE
        if gaps and left - gaps[-1][1] < _MERGE:
            gaps[-1] = (gaps[-1][0], right)
        else:
            gaps.append((left, right))
    return [(right, left) for left, right in reversed(gaps)] if leftward else gaps


def _chamfered(points: Sequence[Point]) -> list[Point]:
    path = [points[0]]
    for before, corner, after in zip(points, points[1:], points[2:], strict=False):
        cut = min(CHAMFER, _length(before, corner) / 2, _length(corner, after) / 2)
        path.append(_towards(corner, before, cut))
        path.append(_towards(corner, after, cut))
    return [*path, points[-1]]


def _length(one: Point, other: Point) -> float:
    return abs(one[0] - other[0]) + abs(one[1] - other[1])


def _towards(start: Point, end: Point, distance: float) -> Point:
    length = _length(start, end) or 1.0
    share = distance / length
    return (start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share)


def line_shapes(
    stretches: Sequence[Stretch],
    pattern: Pattern,
    weight: float,
    colour: str,
    theme: Theme,
    out_of_service: bool,
) -> list[Shape]:
    """The shapes of one line."""
    lines = tuple(stretches)
    dash: tuple[float, ...] = (6.0, 4.0) if out_of_service else ()
    if pattern == "service":
        dash = (5.0, 3.0)
    if pattern == "radio":
        dash = (1.5, 3.5)
    shapes: list[Shape] = [
        Path(lines, stroke=colour, weight=drawn_weight(pattern, weight), dash=dash, kind="run")
    ]
    if pattern == "fibre":
        shapes.append(Path(lines, stroke=theme.paper, weight=max(1.0, weight - 0.6), kind="core"))
    if pattern == "twinax":
        ticks = _ticks(lines, weight)
        if ticks:
            shapes.append(Path(ticks, stroke=colour, weight=1.1, kind="ticks"))
    return shapes


def _ticks(lines: Sequence[Stretch], weight: float) -> tuple[Stretch, ...]:
    half = weight / 2 + 2.6
    ticks: list[Stretch] = []
    for stretch in lines:
        for (x0, y0), (x1, y1) in itertools.pairwise(stretch):
            length = abs(x1 - x0) + abs(y1 - y0)
            if (x0 != x1 and y0 != y1) or length < _TICK_EVERY * 0.7:
                continue
            count = int(length // _TICK_EVERY) or 1
            for number in range(count):
                share = (number + 0.5) / count
                x, y = x0 + (x1 - x0) * share, y0 + (y1 - y0) * share
                ticks.append(((x - half, y), (x + half, y)) if x0 == x1 else ((x, y - half), (x, y + half)))
    return tuple(ticks)
