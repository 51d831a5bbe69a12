"""Tiers made into rows: a tier too wide for the sheet is broken into several rows, area by area."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from topodraw.draw.cabling.arrange import BAND_GAP, BAND_PAD
from topodraw.draw.cabling.settle import BETWEEN_BOXES, BETWEEN_PASSES
from topodraw.draw.cabling.tiers import Level

_ROWS_AT_MOST = 6
_WORTHWHILE = 24.0


@dataclass(frozen=True, slots=True)
class Standing:
    """A thing to give a row: its level, area and width in px, and its rank among its neighbours from left
    to right."""

    level: Level
    area: str
    width: float
    rank: float


def rows_for(
    things: Mapping[str, Standing],
    wires: Sequence[tuple[str, str]],
    room: float,
    keep_whole: frozenset[Level],
    downstairs: frozenset[str],
) -> tuple[dict[str, int], float]:
    """The row of each thing, so that the sheet's contents are no wider than `room` px if that can be; and
    their width.

    Areas `downstairs` stand below the others, not beside them.

    `wires` are pairs of things; tiers in `keep_whole` are broken only when nothing else helps.
    """
    parts: dict[tuple[str, Level], int] = {(thing.area, thing.level): 1 for thing in things.values()}
    while True:
        rows = _rows(things, parts)
        total, widest = _width(things, wires, rows, downstairs)
        if total <= room:
            return rows, total
        best: tuple[bool, float, tuple[str, Level]] | None = None
        for area, row in widest.items():
            for key in sorted(
                {(area, t.level) for n, t in things.items() if t.area == area and rows[n] == row}
            ):
                members = sum(t.area == area and t.level == key[1] for t in things.values())
                if parts[key] >= min(members, _ROWS_AT_MOST):
                    continue
                tried, _ = _width(things, wires, _rows(things, {**parts, key: parts[key] + 1}), downstairs)
                if total - tried > _WORTHWHILE:
                    option = (key[1] in keep_whole, tried, key)
                    best = min(best, option) if best else option
        if best is None:
            return rows, total
        parts[best[2]] += 1


def _rows(things: Mapping[str, Standing], parts: Mapping[tuple[str, Level], int]) -> dict[str, int]:
    levels = sorted({thing.level for thing in things.values()})
    first: dict[Level, int] = {}
    row = 0
    for level in levels:
        first[level] = row
        row += max(count for (_, own), count in parts.items() if own == level)
    found = {}
    for key, count in parts.items():
        members = [name for name, thing in things.items() if (thing.area, thing.level) == key]
        members.sort(key=lambda name: things[name].rank)
        for place, name in enumerate(members):
            found[name] = first[key[1]] + place % count
    return {name: found[name] for name in things}


def _width(
    things: Mapping[str, Standing],
    wires: Sequence[tuple[str, str]],
    rows: Mapping[str, int],
    downstairs: frozenset[str],
) -> tuple[float, dict[str, int]]:
    """The width that the areas take side by side, and the row that makes each as wide as it is."""
    need: dict[tuple[str, int], float] = {}
    ground = min((rows[name] for name, thing in things.items() if thing.area in downstairs), default=0)
    for name, thing in things.items():
        key = (thing.area, rows[name])
        need[key] = need.get(key, 2 * BAND_PAD - BETWEEN_BOXES) + thing.width + BETWEEN_BOXES
    for one, other in wires:
        upper, lower = sorted((one, other), key=lambda name: rows[name])
        for row in range(rows[upper] + 1, rows[lower]):
            below = things[lower].area in downstairs and row < ground
            key = (things[upper if below else lower].area, row)
            need[key] = need.get(key, 2 * BAND_PAD) + BETWEEN_PASSES
    widest: dict[str, int] = {}
    for (area, row), width in need.items():
        if area not in widest or width > need[area, widest[area]]:
            widest[area] = row
    totals = []
    for below in (False, True):
        floor = [need[area, row] for area, row in widest.items() if (area in downstairs) == below]
        totals.append(sum(floor) + BAND_GAP * (len(floor) - 1))
    return max(totals), widest
