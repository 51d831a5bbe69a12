"""A plan made into places on a sheet: boxes, lines, names, areas and ties, all in px. Nothing is drawn
here."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from topodraw.draw.cabling.arrange import Arrangement, arrange
from topodraw.draw.cabling.channels import CLOSE, MARKS, Channel, channels, end_x
from topodraw.draw.cabling.plan import INSET, Box, Edge, Plan, Ring
from topodraw.draw.cabling.tags import ROW, tag_width
from topodraw.draw.cabling.titles import tab_height, tab_width, title_settings
from topodraw.draw.placement import Engine
from topodraw.draw.primitives import Point

JACK_HALF = 8.0
"""Half the width of a port as drawn, in px."""
JACK_MIDDLE = 8.0
"""From the edge of a box to the middle of its ports, in px."""
_TIE_AT_MOST = 130.0
Tab = tuple[float, tuple[str, ...]]
"""The left side of a title's tab, and its lines."""


@dataclass(frozen=True, slots=True)
class TagSpot:
    """A name on a line: the middle of its text, and whether it reads from below."""

    wire: str
    end: int
    x: float
    y: float
    words: str
    upright: bool


@dataclass(frozen=True, slots=True)
class NoteSpot:
    """A level stretch with room for words above and VLAN letters below: its left end and its line's y."""

    wire: str
    x: float
    y: float
    width: float


@dataclass(frozen=True, slots=True)
class AreaSpot:
    """An area's border and its title's tab: lines of the title, and the tab's left side."""

    key: str
    left: float
    top: float
    right: float
    bottom: float
    title: tuple[str, ...]
    tab_left: float


@dataclass(frozen=True, slots=True)
class TieSpot:
    """Where the wires of an aggregate are tied: the outermost columns, and the y."""

    key: str
    left: float
    right: float
    y: float
    number_x: float
    """The middle of its number, beside the ring where no line runs."""


@dataclass(slots=True)
class Geometry:
    """Where everything of one sheet stands."""

    boxes: dict[str, Point] = field(default_factory=dict)
    lines: dict[str, tuple[Point, ...]] = field(default_factory=dict)
    """Each wire's corners from its first end to its second."""
    tags: list[TagSpot] = field(default_factory=list)
    notes: list[NoteSpot] = field(default_factory=list)
    areas: list[AreaSpot] = field(default_factory=list)
    ties: list[TieSpot] = field(default_factory=list)
    marks_y: dict[tuple[str, int], float] = field(default_factory=dict)
    """The y where a bar across a wire's end stands, by wire and end."""
    rows: list[tuple[float, float]] = field(default_factory=list)
    """Top and bottom of each row of boxes."""
    right: float = 0.0
    bottom: float = 0.0


def geometry(
    plan: Plan,
    left: float,
    top: float,
    width: float,
    barred: Sequence[tuple[str, int]],
    engine: Engine | None,
    refine: bool = True,
) -> Geometry:
    """Places for everything in a plan, from (`left`, `top`) on. `barred` are wire ends that need room for a
    mark.

    Raises PlacementError when the engine fails.
    """
    title_room: dict[str, float] = {}
    while True:
        arrangement = arrange(plan, left, width, engine, title_room, refine)
        spans = _area_rows(plan)
        ties = _ties(plan, arrangement)
        marked = {(channel, upper): True for channel, upper, _, _, _ in ties}
        marked |= dict.fromkeys(_barred_borders(plan, arrangement, barred), True)
        ending = [last for _, last in spans.values()]
        found = channels(plan, arrangement, marked, ending)
        tabs, crowded = _tabs(plan, arrangement, found, spans, title_room)
        if not crowded:
            for area, (first, _) in spans.items():
                strips = found[first].strips
                strips["titles"] = max(strips["titles"], tab_height(tabs[area][1]) + 12)
            return _place(plan, arrangement, found, spans, tabs, ties, top)
        title_room |= crowded


def _area_rows(plan: Plan) -> dict[str, tuple[int, int]]:
    """The first and last row of each area that is drawn."""
    rows: dict[str, list[int]] = {}
    for box in plan.boxes:
        if box.inside and plan.areas[box.area]:
            rows.setdefault(box.area, []).append(box.row)
    return {area: (min(own), max(own)) for area, own in rows.items()}


def _tabs(
    plan: Plan,
    arrangement: Arrangement,
    found: Sequence[Channel],
    spans: Mapping[str, tuple[int, int]],
    title_room: Mapping[str, float],
) -> tuple[dict[str, Tab], dict[str, float]]:
    """Each area's tab, in a gap between the lines that come down there; and what room must be made first."""
    tabs: dict[str, Tab] = {}
    crowded: dict[str, float] = {}
    for area, (first, _) in spans.items():
        left, right = arrangement.bands[area]
        legs = [x for x in found[first].legs(False) if left < x < right]
        edges = [left - 8, *legs, right + 8]
        settings = title_settings(plan.areas[area])
        for lines in settings:
            wide = tab_width(lines)
            free = [a + 8 for a, b in itertools.pairwise(edges) if b - a - 16 >= wide]
            if free:
                tabs[area] = (free[0], lines)
                break
        else:
            crowded[area] = tab_width(settings[-1])
            if area in title_room:
                tabs[area] = (left, settings[-1])
                del crowded[area]
    return tabs, crowded


def _borders(plan: Plan, arrangement: Arrangement) -> dict[tuple[int, bool], list[tuple[float, str, int]]]:
    """The wire ends at each border of a channel, from left to right: column, wire, number of the end."""
    boxes = {box.key: box for box in plan.boxes}
    found: dict[tuple[int, bool], list[tuple[float, str, int]]] = {}
    for wire in plan.wires:
        way = arrangement.ways[wire.key]
        for number, (end, edge) in enumerate(zip(wire.ends, way.leaves, strict=True)):
            box = boxes[end.box]
            border = (box.row + (edge == "bottom"), edge == "bottom")
            found.setdefault(border, []).append((end_x(box, arrangement, end.socket, edge), wire.key, number))
    for (wire_key, row), x in arrangement.pass_x.items():
        for border in ((row, False), (row + 1, True)):
            found.setdefault(border, []).append((x, wire_key, -1))
    return {border: sorted(ends) for border, ends in found.items()}


def _ties(plan: Plan, arrangement: Arrangement) -> list[tuple[int, bool, str, float, float]]:
    """Where aggregates are tied: (channel, upper border, ring, left, right), wherever no other line runs
    between."""
    borders = _borders(plan, arrangement)
    found = []
    for ring in plan.rings:
        spots = [
            (border, stretch)
            for border, ends in borders.items()
            if (stretch := _neighbours(ends, ring)) is not None
        ]
        for (channel, upper), (left, right) in sorted(spots):
            found.append((channel, upper, ring.key, left, right))
    return found


def _neighbours(ends: Sequence[tuple[float, str, int]], ring: Ring) -> tuple[float, float] | None:
    """The outermost columns of a ring's wires where they end side by side at one border."""
    places = [place for place, (_, wire, number) in enumerate(ends) if wire in ring.wires and number >= 0]
    if len(places) != len(ring.wires) or places[-1] - places[0] != len(places) - 1:
        return None
    left, right = ends[places[0]][0], ends[places[-1]][0]
    return (left, right) if right - left <= _TIE_AT_MOST else None


def _barred_borders(
    plan: Plan, arrangement: Arrangement, barred: Sequence[tuple[str, int]]
) -> list[tuple[int, bool]]:
    rows = {box.key: box.row for box in plan.boxes}
    wires = {wire.key: wire for wire in plan.wires}
    borders = []
    for key, number in barred:
        edge = arrangement.ways[key].leaves[number]
        borders.append((rows[wires[key].ends[number].box] + (edge == "bottom"), edge == "bottom"))
    return borders


def _place(
    plan: Plan,
    arrangement: Arrangement,
    found: Sequence[Channel],
    spans: Mapping[str, tuple[int, int]],
    tabs: Mapping[str, Tab],
    ties: Sequence[tuple[int, bool, str, float, float]],
    top: float,
) -> Geometry:
    result = Geometry(right=arrangement.right)
    heights = [0.0] * arrangement.rows
    for box in plan.boxes:
        heights[box.row] = max(heights[box.row], box.height)
    channel_top = []
    y = top
    for channel in found:
        channel_top.append(y)
        y += channel.height
        if channel.number < arrangement.rows:
            result.rows.append((y, y + heights[channel.number]))
            y += heights[channel.number]
    result.bottom = y
    for box in plan.boxes:
        result.boxes[box.key] = (arrangement.box_x[box.key], result.rows[box.row][0])
    _place_areas(plan, arrangement, found, channel_top, spans, tabs, result)
    for channel in found:
        _place_words(channel, channel_top[channel.number], result)
    for number, upper, key, left, right in ties:
        legs = found[number].legs(upper)
        y = _mark_y(found[number], channel_top[number], upper)
        result.ties.append(TieSpot(key, left, right, y, _number_x(left, right, legs)))
    boxes = {box.key: box for box in plan.boxes}
    for wire in plan.wires:
        way = arrangement.ways[wire.key]
        for number, (end, edge) in enumerate(zip(wire.ends, way.leaves, strict=True)):
            at = boxes[end.box].row + (edge == "bottom")
            result.marks_y[wire.key, number] = _mark_y(found[at], channel_top[at], edge == "bottom")
        result.lines[wire.key] = _corners(wire.key, plan, arrangement, found, channel_top, boxes, result)
    return result


def _number_x(left: float, right: float, legs: Sequence[float]) -> float:
    """Right of a ring, left of it, or in it, wherever a number has most room between lines."""
    places = [right + 15, left - 15, (left + right) / 2]
    return max(places, key=lambda x: (min(min(abs(x - leg) for leg in legs), 8.0), -places.index(x)))


def _mark_y(channel: Channel, top: float, upper: bool) -> float:
    if upper:
        return top + MARKS / 2
    return top + channel.height - MARKS / 2


def _place_areas(
    plan: Plan,
    arrangement: Arrangement,
    found: Sequence[Channel],
    channel_top: Sequence[float],
    spans: Mapping[str, tuple[int, int]],
    tabs: Mapping[str, Tab],
    result: Geometry,
) -> None:
    for area, (first, last) in spans.items():
        left, right = arrangement.bands[area]
        above, below = found[first], found[last + 1]
        result.areas.append(
            AreaSpot(
                area,
                left,
                channel_top[above.number] + above.strip_top("titles") + above.strips["titles"] / 2 - 3,
                right,
                channel_top[below.number] + below.strip_top("closing") + CLOSE / 2,
                tabs[area][1],
                tabs[area][0],
            )
        )


def _place_words(channel: Channel, top: float, result: Geometry) -> None:
    lane_top = top + channel.strip_top("lanes")
    for edge, placed in channel.tags.items():
        start = top + channel.strip_top("upper tags")
        if edge == "top":
            start = top + channel.strip_top("lower tags") + channel.strips["lower tags"]
        for spot in placed:
            reach = tag_width(spot.tag.words) if spot.upright else ROW
            away = spot.near + reach / 2
            y = start + away if edge == "bottom" else start - away
            tag = spot.tag
            result.tags.append(TagSpot(tag.wire, tag.end, tag.x, y, tag.words, spot.upright))
    for note in channel.notes:
        result.notes.append(NoteSpot(note.wire, note.left, lane_top + channel.lane_y[note.lane], note.width))


def _corners(
    key: str,
    plan: Plan,
    arrangement: Arrangement,
    found: Sequence[Channel],
    channel_top: Sequence[float],
    boxes: Mapping[str, Box],
    result: Geometry,
) -> tuple[Point, ...]:
    """The corners of a wire from its first end to its second."""
    wire = next(wire for wire in plan.wires if wire.key == key)
    way = arrangement.ways[key]
    ends, leaves = list(wire.ends), list(way.leaves)
    if way.upper == 1:
        ends.reverse()
        leaves.reverse()
    points = _start(boxes[ends[0].box], ends[0].socket, leaves[0], arrangement, result)
    for number in range(way.channel, way.channel + len(way.passes) + 1):
        lane_top = channel_top[number] + found[number].strip_top("lanes")
        for run in found[number].runs[key]:
            y = lane_top + found[number].lane_y[run.lane]
            points += [(run.first.x, y), (run.second.x, y)]
    points += reversed(_start(boxes[ends[1].box], ends[1].socket, leaves[1], arrangement, result))
    if way.upper == 1:
        points.reverse()
    return tuple(_without_repeats(points))


def _start(box: Box, key: str, leaves: Edge, arrangement: Arrangement, result: Geometry) -> list[Point]:
    """The first points of a wire, from its port to the edge of its box."""
    left, top = result.boxes[box.key]
    socket = box.sockets[key]
    bottom = top + box.height
    border = top if leaves == "top" else bottom
    if socket.edge == leaves:
        inset = INSET if leaves == "top" else -INSET
        # What leaves from no port (a bundle, a service) begins at the box's edge.
        ported = not key.startswith(("service", "bundle:")) and box.inside
        return [(end_x(box, arrangement, key, leaves), border + (inset if ported else 0.0))]
    level = top + JACK_MIDDLE if socket.edge == "top" else bottom - JACK_MIDDLE
    x = end_x(box, arrangement, key, leaves)
    return [(left + socket.x + JACK_HALF, level), (x, level), (x, border)]


def _without_repeats(points: Sequence[Point]) -> list[Point]:
    """The points without those in the middle of a straight stretch."""
    kept: list[Point] = []
    for point in points:
        if kept and kept[-1] == point:
            continue
        while len(kept) > 1 and (
            kept[-2][0] == kept[-1][0] == point[0] or kept[-2][1] == kept[-1][1] == point[1]
        ):
            kept.pop()
        kept.append(point)
    return kept
