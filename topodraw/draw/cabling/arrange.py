"""Where everything stands along its row: first order by the placement engine, the rest is ours.

Each area has a band from top to bottom that no other area enters. A wire that skips rows keeps a column of
its own in each of them, a pass, so that it never meets a box.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from topodraw.draw.cabling.order import Joint, Order
from topodraw.draw.cabling.plan import Edge, Plan
from topodraw.draw.cabling.refine import Chain, Refiner
from topodraw.draw.cabling.settle import (
    BETWEEN_PASSES,
    SWEEPS,
    TRIAL_SWEEPS,
    Item,
    Pull,
    gap_between,
    settle,
    straighten,
)
from topodraw.draw.cabling.titles import tab_widths
from topodraw.draw.placement import Engine, Node, horizontal_places

BAND_PAD = 14.0
"""From a band's border to what stands in it, in px."""
BAND_GAP = 10.0


@dataclass(frozen=True, slots=True)
class Way:
    """How a wire leaves its ends and which rows it passes. `upper` is the index of its upper end (0 where
    both are level)."""

    upper: int
    leaves: tuple[Edge, Edge]
    passes: tuple[int, ...]
    """Rows between its ends, from the top down."""
    channel: int
    """The first channel that it uses; channel n is above row n."""


@dataclass(frozen=True, slots=True)
class Arrangement:
    """Left sides of boxes, columns of passes (by wire and row), borders of bands, and the ways of wires;
    px."""

    box_x: Mapping[str, float]
    pass_x: Mapping[tuple[str, int], float]
    bands: Mapping[str, tuple[float, float]]
    ways: Mapping[str, Way]
    rows: int
    right: float


def ways(plan: Plan) -> dict[str, Way]:
    """The way of each wire: down from its upper end, or round the nearer side where both ends stand in one
    row."""
    row = {box.key: box.row for box in plan.boxes}
    found = {}
    for wire in plan.wires:
        first, second = wire.ends
        rows = (row[first.box], row[second.box])
        if rows[0] == rows[1]:
            side = wire.level_side
            found[wire.key] = Way(0, (side, side), (), rows[0] + (side == "bottom"))
            continue
        upper = 0 if rows[0] < rows[1] else 1
        leaves: tuple[Edge, Edge] = ("bottom", "top") if upper == 0 else ("top", "bottom")
        found[wire.key] = Way(upper, leaves, tuple(range(min(rows) + 1, max(rows))), min(rows) + 1)
    return found


def arrange(
    plan: Plan,
    left: float,
    width: float,
    engine: Engine | None,
    title_room: Mapping[str, float],
    refine: bool,
) -> Arrangement:
    """Places for everything in a drawing from `left` px on, `width` px wide (wider where its contents need
    it).

    `title_room` keeps px free at the left of areas whose titles find no room between wires. With `refine`
    detours are taken back, which takes its time. Raises PlacementError when the engine fails.
    """
    way_of = ways(plan)
    items, pulls, index = _items(plan, way_of)
    nodes = [
        Node(max(item.width, BETWEEN_PASSES), item.row, list(plan.areas).index(item.area)) for item in items
    ]
    joined = [(index[one, -1], index[other, -1]) for one, other in plan.joined]
    pairs = [(pull.one, pull.other) for pull in pulls] + joined
    places = horizontal_places(nodes, pairs, plan.name, engine)
    areas, order = _order(items, places, plan, index)
    joints = [_joint(pull, items) for pull in pulls if items[pull.one].row != items[pull.other].row]
    better = Order(order, areas, [item.area for item in items], joints, joined)
    better.improve()
    bands: dict[str, tuple[float, float]] = {}
    sides = {frozenset(pair) for pair in plan.joined}

    def place_all(sweeps: Sequence[str] = TRIAL_SWEEPS, straight: bool = False) -> None:
        bands.clear()
        bands.update(_bands(items, order, better.areas, plan, left, width, title_room))
        inner = {
            area: (low + BAND_PAD + title_room.get(area, 0.0), high - BAND_PAD)
            for area, (low, high) in bands.items()
        }
        settle(items, order, pulls, inner, sides, sweeps)
        if straight:
            straighten(items, order, pulls, inner, sides)

    if refine:
        Refiner(
            better,
            _chains(plan, way_of, index),
            [at for at, item in enumerate(items) if item.box and len(order[item.row]) > 1],
            joined,
            place_all,
            lambda at: items[at].x + items[at].width / 2,
            lambda: sum(_reach(pull, items) for pull in pulls),
        ).improve()
    place_all(SWEEPS, straight=True)
    return Arrangement(
        {item.box.key: item.x for item in items if item.box},
        {(key, row): round(items[at].x, 2) for (key, row), at in index.items() if row >= 0},
        bands,
        way_of,
        1 + max(box.row for box in plan.boxes),
        max(right for _, right in bands.values()),
    )


def _items(
    plan: Plan, way_of: Mapping[str, Way]
) -> tuple[list[Item], list[Pull], dict[tuple[str, int], int]]:
    """Boxes and passes, what pulls them together, and where they are: boxes under row -1, passes under
    their row."""
    items = [Item(box.row, box.area, box.width, box) for box in plan.boxes]
    index = {(box.key, -1): place for place, box in enumerate(plan.boxes)}
    boxes = {box.key: box for box in plan.boxes}
    pulls = []
    ground = min((box.row for box in plan.boxes if box.area in plan.downstairs), default=0)
    for wire in plan.wires:
        way = way_of[wire.key]
        ends = wire.ends if way.upper == 0 else wire.ends[::-1]
        leaves = way.leaves if way.upper == 0 else way.leaves[::-1]
        spots = []
        for end, edge in zip(ends, leaves, strict=True):
            spots.append((index[end.box, -1], boxes[end.box].sockets[end.socket].offset(edge)))
        chain = [spots[0]]
        for row in way.passes:
            index[wire.key, row] = len(items)
            chain.append((len(items), 0.0))
            area = boxes[ends[1].box].area
            if area in plan.downstairs and row < ground:
                area = boxes[ends[0].box].area
            items.append(Item(row, area, 0.0, None))
        chain.append(spots[1])
        for step, (one, other) in enumerate(itertools.pairwise(chain)):
            weight = wire.pull * (1.0 if step == 0 else 6.0 if step < len(chain) - 2 else 4.0)
            pulls.append(Pull(one[0], one[1], other[0], other[1], weight))
    return items, pulls, index


def _reach(pull: Pull, items: list[Item]) -> float:
    """How far a piece of wire runs level, in px."""
    one, other = items[pull.one], items[pull.other]
    return abs(one.x + pull.one_offset - other.x - pull.other_offset)


def _chains(plan: Plan, way_of: Mapping[str, Way], index: Mapping[tuple[str, int], int]) -> list[Chain]:
    """The wires that pass rows."""
    found = []
    for wire in plan.wires:
        way = way_of[wire.key]
        if way.passes:
            upper, lower = wire.ends if way.upper == 0 else wire.ends[::-1]
            passes = tuple(index[wire.key, row] for row in way.passes)
            found.append(Chain(index[upper.box, -1], passes, index[lower.box, -1]))
    return found


def _joint(pull: Pull, items: list[Item]) -> Joint:
    if items[pull.one].row < items[pull.other].row:
        return Joint(pull.one, pull.one_offset, pull.other, pull.other_offset)
    return Joint(pull.other, pull.other_offset, pull.one, pull.one_offset)


def _order(
    items: list[Item], places: list[float], plan: Plan, index: Mapping[tuple[str, int], int]
) -> tuple[list[str], list[list[int]]]:
    """Areas from left to right, and the items of each row, area by area."""
    middle: dict[str, float] = {}
    for area in plan.areas:
        own = [place for item, place in zip(items, places, strict=True) if item.area == area]
        middle[area] = sum(own) / len(own) if own else 0.0
    areas = sorted(middle, key=lambda area: middle[area])
    area_rank = {area: rank for rank, area in enumerate(areas)}
    rows = 1 + max(item.row for item in items)
    order: list[list[int]] = [[] for _ in range(rows)]
    for at in sorted(range(len(items)), key=lambda at: (area_rank[items[at].area], places[at], at)):
        order[items[at].row].append(at)
    for one, other in plan.joined:
        _bring_together(order[items[index[one, -1]].row], index[one, -1], index[other, -1], items)
    return areas, order


def _bring_together(row: list[int], one: int, other: int, items: list[Item]) -> None:
    """Put what stands between two joined boxes to the right of them."""
    if items[one].row != items[other].row or items[one].area != items[other].area:
        return
    first, last = sorted((row.index(one), row.index(other)))
    moved = row.pop(last)
    row.insert(first + 1, moved)


def _bands(
    items: list[Item],
    order: list[list[int]],
    sequence: Sequence[str],
    plan: Plan,
    left: float,
    width: float,
    title_room: Mapping[str, float],
) -> dict[str, tuple[float, float]]:
    """The borders of each area's band: as wide as its widest row and its title, what is left over shared
    out."""
    joined = {frozenset(pair) for pair in plan.joined}
    need = {
        area: max(tab_widths(title)[-1] + 8, 2 * BAND_PAD) if title else 2 * BAND_PAD
        for area, title in plan.areas.items()
    }
    for row in order:
        for area in dict.fromkeys(items[at].area for at in row):
            own = [items[at] for at in row if items[at].area == area]
            gaps = sum(gap_between(a, b, joined) for a, b in itertools.pairwise(own))
            need[area] = max(
                need[area], sum(item.width for item in own) + gaps + 2 * BAND_PAD + title_room.get(area, 0.0)
            )
    bands: dict[str, tuple[float, float]] = {}
    for downstairs in (False, True):
        floor = [area for area in sequence if (area in plan.downstairs) == downstairs]
        bands |= _side_by_side(floor, need, left, width)
    return bands


def _side_by_side(
    floor: Sequence[str], need: Mapping[str, float], left: float, width: float
) -> dict[str, tuple[float, float]]:
    """Bands next to each other in the middle of the sheet; what is left over is shared out, up to a point."""
    used = sum(need[area] for area in floor)
    total = used + BAND_GAP * (len(floor) - 1)
    spare = min(max(0.0, width - total), 0.6 * total)
    start = left + max(0.0, width - total - spare) / 2
    bands = {}
    for area in floor:
        wide = need[area] + spare * need[area] / used
        bands[area] = (start, start + wide)
        start += wide + BAND_GAP
    return bands
