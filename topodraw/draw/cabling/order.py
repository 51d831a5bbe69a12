"""The order of things in each row, made better than the engine's: it sees boxes, but cables leave from ports.

Neighbours are exchanged, rows are sorted by where their wires lead, and whole areas change places, as long
as that leaves fewer crossings (the usual sweeps over a layered drawing, after Sugiyama, Tagawa and Toda
1981).
"""

from __future__ import annotations

import itertools
from bisect import bisect_left, bisect_right, insort
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

_ROUNDS = 8


@dataclass(frozen=True, slots=True)
class Joint:
    """A piece of wire between two items one row apart: the items, and where it meets each, from the item's
    left."""

    upper: int
    upper_offset: float
    lower: int
    lower_offset: float


class Order:
    """Items of each row from left to right, in areas; improved in place."""

    def __init__(
        self,
        rows: list[list[int]],
        areas: Sequence[str],
        area: Sequence[str],
        joints: Sequence[Joint],
        held: Sequence[tuple[int, int]],
    ) -> None:
        """`areas` from left to right, and the `area` of each item; `held` are pairs of items that stay side
        by side."""
        self.rows = rows
        self.areas = list(areas)
        self._area = area
        self._below: list[list[tuple[float, int, float]]] = [[] for _ in area]
        self._above: list[list[tuple[float, int, float]]] = [[] for _ in area]
        for joint in joints:
            self._below[joint.upper].append((joint.upper_offset, joint.lower, joint.lower_offset))
            self._above[joint.lower].append((joint.lower_offset, joint.upper, joint.upper_offset))
        self._held = {frozenset(pair) for pair in held}
        self._place = [0] * len(area)
        self._row = [0] * len(area)
        for number, row in enumerate(rows):
            for item in row:
                self._row[item] = number
        self._index()

    def improve(self) -> None:
        """Change the order until a round of sweeps brings nothing more."""
        best, fewest, areas = [list(row) for row in self.rows], self.crossings(), list(self.areas)
        for turn in range(_ROUNDS):
            down = turn % 2 == 0
            for row in range(len(self.rows)) if down else reversed(range(len(self.rows))):
                self._sort_row(row, down)
            for row in range(len(self.rows)):
                self._exchange(row)
            self._exchange_areas()
            count = self.crossings()
            if count < fewest:
                best, fewest, areas = [list(row) for row in self.rows], count, list(self.areas)
        self.rows[:] = best
        self.areas = areas
        self._index()

    def crossings(self) -> int:
        """How many pairs of wires cross between neighbouring rows, whatever their lanes."""
        return sum(self._between(row) for row in range(len(self.rows) - 1))

    def set_rows(self, rows: Sequence[Sequence[int]]) -> None:
        """Take back an earlier order."""
        self.rows[:] = [list(row) for row in rows]
        self._index()

    def places_for(self, item: int) -> list[int]:
        """Other places of an item among the neighbours of its area, in its row."""
        row, start, end = self._own_group(item)
        return [place for place in range(start, end) if self.rows[row][place] != item]

    def x_at(self, item: int, place: int, x: Mapping[int, float]) -> float:
        """Where what now stands at a place of the item's row has its middle."""
        row, _, _ = self._own_group(item)
        return x[self.rows[row][place]]

    def move(self, item: int, place: int) -> None:
        """Put an item at a place of its row, and what it is held with beside it."""
        row, _, _ = self._own_group(item)
        items = self.rows[row]
        items.remove(item)
        items.insert(place, item)
        for begin, stop in self._groups(row):
            items[begin:stop] = self._kept_together(items[begin:stop])
        self._index()

    def move_towards(self, item: int, target: float, x: Mapping[int, float]) -> None:
        """Put an item between those neighbours of its area whose middles are left and right of `target`."""
        row, start, end = self._own_group(item)
        others = [other for other in self.rows[row][start:end] if other != item]
        place = sum(x[other] < target for other in others)
        self.rows[row][start:end] = self._kept_together([*others[:place], item, *others[place:]])
        self._index()

    def _own_group(self, item: int) -> tuple[int, int, int]:
        row = self._row[item]
        start, end = next(
            (start, end) for start, end in self._groups(row) if start <= self._place[item] < end
        )
        return row, start, end

    def _index(self) -> None:
        for row in self.rows:
            for place, item in enumerate(row):
                self._place[item] = place

    def _between(self, row: int) -> int:
        seen: list[tuple[int, float]] = []
        count = 0
        for item in self.rows[row]:
            ends = sorted((offset, self._place[other], at) for offset, other, at in self._below[item])
            for _, place, at in ends:
                count += len(seen) - bisect_right(seen, (place, at))
                insort(seen, (place, at))
        return count

    def _keys(self, item: int, above: bool) -> list[tuple[int, float]]:
        joints = self._above[item] if above else self._below[item]
        return sorted((self._place[other], at) for _, other, at in joints)

    def _cost(self, left: int, right: int) -> int:
        """Crossings between the wires of two items of one row that stand in this order."""
        count = 0
        for above in (True, False):
            lefts, rights = self._keys(left, above), self._keys(right, above)
            count += sum(bisect_left(rights, key) for key in lefts)
        return count

    def _groups(self, row: int) -> list[tuple[int, int]]:
        """Stretches of one area in a row, as slices."""
        items = self.rows[row]
        groups = []
        start = 0
        for place in range(1, len(items) + 1):
            if place == len(items) or self._area[items[place]] != self._area[items[start]]:
                groups.append((start, place))
                start = place
        return groups

    def _sort_row(self, row: int, down: bool) -> None:
        items = self.rows[row]
        for start, end in self._groups(row):
            members = items[start:end]
            wish = {item: self._wish(item, down) for item in members}
            ordered = sorted(members, key=lambda item: (wish[item], self._place[item]))
            items[start:end] = self._kept_together(ordered)
        self._index()

    def _wish(self, item: int, above: bool) -> float:
        """Where an item's wires lead on average, as a place in the neighbouring row."""
        keys = self._keys(item, above) or self._keys(item, not above)
        if not keys:
            return float(self._place[item])
        return sum(place + at / 10_000 for place, at in keys) / len(keys)

    def _kept_together(self, ordered: list[int]) -> list[int]:
        result = list(ordered)
        for pair in self._held:
            both = [item for item in result if item in pair]
            if len(both) == 2:
                second = both[1]
                result.remove(second)
                result.insert(result.index(both[0]) + 1, second)
        return result

    def _exchange(self, row: int) -> None:
        items = self.rows[row]
        for start, end in self._groups(row):
            for _ in range(end - start):
                changed = False
                for place in range(start, end - 1):
                    one, other = items[place], items[place + 1]
                    if self._parts_a_pair(items, place) or self._cost(other, one) >= self._cost(one, other):
                        continue
                    items[place], items[place + 1] = other, one
                    self._place[one], self._place[other] = place + 1, place
                    changed = True
                if not changed:
                    break

    def _parts_a_pair(self, items: Sequence[int], place: int) -> bool:
        """Whether an exchange would put something between two that belong side by side."""
        around = items[max(0, place - 1) : place + 3]
        pairs = {frozenset(pair) for pair in itertools.pairwise(around)} & self._held
        return bool(pairs - {frozenset((items[place], items[place + 1]))})

    def _exchange_areas(self) -> None:
        count = self.crossings()
        for place in range(len(self.areas) - 1):
            tried = [*self.areas]
            tried[place], tried[place + 1] = tried[place + 1], tried[place]
            kept = [list(row) for row in self.rows]
            rank = {area: number for number, area in enumerate(tried)}
            for row in self.rows:
                row.sort(key=lambda item: rank[self._area[item]])
            self._index()
            now = self.crossings()
            if now < count:
                count, self.areas = now, tried
            else:
                self.rows[:] = kept
                self._index()
