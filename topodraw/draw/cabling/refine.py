"""The order refined by trial: things are put elsewhere in their row, with the wires that lead to them, and
stay if that saves detours.

The order before knows only what crosses. Here places are known too, so that a crossing can be weighed
against the way round it.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from topodraw.draw.cabling.order import Order

CROSSING = 70.0
"""What a crossing is worth, in px of cable."""
OUT_OF_TURN = 160.0
"""What it is worth that things which belong side by side stand in their order, in px of cable."""
_EFFORT = 40_000
"""Trials times things that stand in rows: so that a crowded sheet takes no longer than a calm one."""
_DETOUR = 40.0


@dataclass(frozen=True, slots=True)
class Chain:
    """The passes of one wire, from the top down, and the items that it joins."""

    upper: int
    passes: tuple[int, ...]
    lower: int


class Refiner:
    """Tries moves on an order whose items have places.

    `settle` gives all items their places for the order as it is now; `x` tells an item's middle and
    `detours` the horizontal way of all wires, in px.
    """

    def __init__(
        self,
        order: Order,
        chains: Sequence[Chain],
        movable: Sequence[int],
        pairs: Sequence[tuple[int, int]],
        settle: Callable[[], None],
        x: Callable[[int], float],
        length: Callable[[], float],
    ) -> None:
        self._order = order
        self._chains = chains
        self._movable = movable
        self._pairs = pairs
        self._settle = settle
        self._x = x
        self._length = length
        self._left = _EFFORT // sum(len(row) for row in order.rows)
        self._cost = self._evaluate()
        self._places = self._all_places()

    def improve(self) -> None:
        """Move boxes, then single wires, until nothing pays or the number of trials is spent."""
        better = True
        while better and self._left > 0:
            better = False
            # Where nothing crosses, boxes stand well; only single wires may still go round.
            for item in self._movable if self._order.crossings() else ():
                better |= self._try_box(item)
            for chain in self._chains:
                better |= self._try_chain(chain)

    def _evaluate(self) -> float:
        self._settle()
        rows = self._order.rows
        place = {item: number for row in rows for number, item in enumerate(row)}
        turned = sum(place[one] > place[other] for one, other in self._pairs)
        return self._length() + CROSSING * self._order.crossings() + OUT_OF_TURN * turned

    def _keep_if_better(self, before: list[list[int]]) -> bool:
        self._left -= 1
        cost = self._evaluate()
        if cost < self._cost - 1:
            self._cost = cost
            self._places = self._all_places()
            return True
        self._order.set_rows(before)
        return False

    def _all_places(self) -> dict[int, float]:
        return {item: self._x(item) for row in self._order.rows for item in row}

    def _snapshot(self) -> list[list[int]]:
        return [list(row) for row in self._order.rows]

    def _try_box(self, item: int) -> bool:
        """The box in each other place among its neighbours, its wires' passes going along."""
        found = False
        for place in self._order.places_for(item):
            if self._left <= 0:
                break
            before = self._snapshot()
            target = self._order.x_at(item, place, self._places)
            self._order.move(item, place)
            for chain in self._chains:
                if chain.lower == item:
                    self._lead(chain, target)
            found |= self._keep_if_better(before)
        return found

    def _try_chain(self, chain: Chain) -> bool:
        """A wire with a detour straight above its lower end, or below its upper one."""
        xs = [self._places[item] for item in (chain.upper, *chain.passes, chain.lower)]
        way = sum(abs(one - other) for one, other in itertools.pairwise(xs))
        if way - abs(xs[0] - xs[-1]) < _DETOUR:
            return False
        found = False
        for target in (xs[-1], xs[0]):
            if self._left <= 0:
                break
            before = self._snapshot()
            self._lead(chain, target)
            found |= self._keep_if_better(before)
        return found

    def _lead(self, chain: Chain, target: float) -> None:
        for item in chain.passes:
            self._order.move_towards(item, target, self._places)
