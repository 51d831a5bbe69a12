"""Exact places along a row, where wires run straightest, for an order that stands."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from topodraw.draw.cabling.plan import Box

BETWEEN_BOXES = 18.0
BETWEEN_JOINED = 50.0
BETWEEN_PASSES = 12.0
SMALL_JOG = 12.0
"""Jogs shorter than this many px look like slips."""
SWEEPS = ("down", "up", "down", "up", "down", "up", "down", "both", "both", "both", "both")
TRIAL_SWEEPS = ("down", "up", "both")


@dataclass(slots=True)
class Item:
    """A box or a pass in a row; a pass has no width."""

    row: int
    area: str
    width: float
    box: Box | None
    x: float = 0.0


@dataclass(frozen=True, slots=True)
class Pull:
    """A wire's piece between two items one row apart (or in one row), with where it meets each, from the
    item's left."""

    one: int
    one_offset: float
    other: int
    other_offset: float
    weight: float


def gap_between(one: Item, other: Item, joined: set[frozenset[str]]) -> float:
    """The least distance between two neighbours of one band."""
    if one.box and other.box:
        return BETWEEN_JOINED if frozenset((one.box.key, other.box.key)) in joined else BETWEEN_BOXES
    return BETWEEN_PASSES


def settle(
    items: list[Item],
    order: list[list[int]],
    pulls: Sequence[Pull],
    bands: Mapping[str, tuple[float, float]],
    joined: set[frozenset[str]],
    sweeps: Sequence[str],
) -> None:
    """Move everything, row by row and again, to where its wires run straightest, keeping order and
    distances."""
    by_item: list[list[tuple[int, float, float]]] = [[] for _ in items]
    for pull in pulls:
        by_item[pull.one].append((pull.other, pull.other_offset - pull.one_offset, pull.weight))
        by_item[pull.other].append((pull.one, pull.one_offset - pull.other_offset, pull.weight))
    groups = []
    for row in order:
        for area in dict.fromkeys(items[at].area for at in row):
            groups.append([at for at in row if items[at].area == area])
    for group in groups:
        _spread(group, items, bands, joined)
    for sweep in sweeps:
        for group in groups if sweep != "up" else reversed(groups):
            _place_group(group, items, by_item, bands, joined, sweep)


def _spread(
    group: list[int],
    items: list[Item],
    bands: Mapping[str, tuple[float, float]],
    joined: set[frozenset[str]],
) -> None:
    """A first place: in the middle of the band, next to each other."""
    left, right = bands[items[group[0]].area]
    offsets = _offsets(group, items, joined)
    start = (left + right - offsets[-1] - items[group[-1]].width) / 2
    for at, offset in zip(group, offsets, strict=True):
        items[at].x = start + offset


def _offsets(group: list[int], items: list[Item], joined: set[frozenset[str]]) -> list[float]:
    offsets = [0.0]
    for one, other in itertools.pairwise(group):
        offsets.append(offsets[-1] + items[one].width + gap_between(items[one], items[other], joined))
    return offsets


def _place_group(
    group: list[int],
    items: list[Item],
    by_item: list[list[tuple[int, float, float]]],
    bands: Mapping[str, tuple[float, float]],
    joined: set[frozenset[str]],
    sweep: str,
) -> None:
    """The places in one band of one row that make the sum of all jogs least (isotonic regression by
    weighted medians)."""
    offsets = _offsets(group, items, joined)
    blocks: list[tuple[list[tuple[float, float]], int, float]] = []
    for at, offset in zip(group, offsets, strict=True):
        wishes = []
        for other, shift, weight in by_item[at]:
            above = items[other].row < items[at].row
            if (
                items[other].row == items[at].row
                or (sweep == "down" and not above)
                or (sweep == "up" and above)
            ):
                continue
            wishes.append((items[other].x + shift - offset, weight))
        if not wishes:
            wishes.append((items[at].x - offset, 0.05))
        blocks.append((wishes, 1, _median(wishes)))
        while len(blocks) > 1 and blocks[-2][2] > blocks[-1][2]:
            (first, count, _), (second, more, _) = blocks[-2:]
            blocks[-2:] = [(first + second, count + more, _median(first + second))]
    low, right = bands[items[group[0]].area]
    high = right - offsets[-1] - items[group[-1]].width
    place = 0
    for _, count, middle in blocks:
        start = min(max(middle, low), high)
        for at, offset in zip(group[place : place + count], offsets[place : place + count], strict=True):
            items[at].x = start + offset
        place += count


def straighten(
    items: list[Item],
    order: list[list[int]],
    pulls: Sequence[Pull],
    bands: Mapping[str, tuple[float, float]],
    joined: set[frozenset[str]],
) -> None:
    """Take out small jogs, from the top down: what hangs on one wire moves under it where its neighbours
    leave room."""
    above: list[list[tuple[int, float]]] = [[] for _ in items]
    for pull in pulls:
        if items[pull.one].row < items[pull.other].row:
            above[pull.other].append((pull.one, pull.one_offset - pull.other_offset))
        elif items[pull.one].row > items[pull.other].row:
            above[pull.one].append((pull.other, pull.other_offset - pull.one_offset))
    for row in order:
        for place, at in enumerate(row):
            if len(above[at]) != 1:
                continue
            other, shift = above[at][0]
            x = items[other].x + shift
            low, high = bands[items[at].area]
            least, most = low, high - items[at].width
            for beside, sign in ((place - 1, -1), (place + 1, 1)):
                if 0 <= beside < len(row) and items[row[beside]].area == items[at].area:
                    neighbour = items[row[beside]]
                    gap = gap_between(neighbour, items[at], joined)
                    if sign < 0:
                        least = max(least, neighbour.x + neighbour.width + gap)
                    else:
                        most = min(most, neighbour.x - gap - items[at].width)
            if abs(x - items[at].x) < SMALL_JOG and least <= x <= most:
                items[at].x = x


def _median(wishes: list[tuple[float, float]]) -> float:
    """The weighted lower median."""
    if len(wishes) == 1:
        return wishes[0][0]
    half = sum([weight for _, weight in wishes]) / 2
    total = 0.0
    for value, weight in sorted(wishes):
        total += weight
        if total >= half:
            return value
    return wishes[-1][0]
