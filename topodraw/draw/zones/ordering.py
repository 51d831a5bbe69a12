"""The order of zones: those that share gear are neighbours, and conduits are short."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise, permutations

_SHARED = 40.0
_EXACT = 6


def order_zones(
    names: Sequence[str],
    shared: Callable[[str, str], int],
    talks: Sequence[tuple[str, str]],
    above: Sequence[str],
) -> list[str]:
    """The order of a row of zones in which as much gear as can be is shared by neighbours and conduits are
    short.

    `shared` says how many things two zones share, `talks` which zones have conduits, `above` the row above in
    its order. Few zones are tried in all orders; many are improved by swaps from the order given.
    """
    if len(names) <= _EXACT:
        orders = [list(each) for each in permutations(names)]
        return min(orders, key=lambda each: _cost(each, shared, talks, above))
    order = list(names)
    best = _cost(order, shared, talks, above)
    improved = True
    while improved:
        improved = False
        for one in range(len(order)):
            for other in range(one + 1, len(order)):
                for change in (_swapped, _carried):
                    tried = change(order, one, other)
                    cost = _cost(tried, shared, talks, above)
                    if cost < best - 1e-9:
                        order, best, improved = tried, cost, True
    return order


def _swapped(order: Sequence[str], one: int, other: int) -> list[str]:
    changed = list(order)
    changed[one], changed[other] = changed[other], changed[one]
    return changed


def _carried(order: Sequence[str], one: int, other: int) -> list[str]:
    changed = list(order)
    changed.insert(one, changed.pop(other))
    return changed


def _cost(
    order: Sequence[str],
    shared: Callable[[str, str], int],
    talks: Sequence[tuple[str, str]],
    above: Sequence[str],
) -> float:
    cost = 0.0
    for left, right in pairwise(order):
        count = shared(left, right)
        cost -= _SHARED + count if count else 0.0
    at = {name: (place + 0.5) / len(order) for place, name in enumerate(order)}
    at |= {name: (place + 0.5) / len(above) for place, name in enumerate(above) if name not in at}
    return cost + sum(abs(at[one] - at[two]) for one, two in talks if one in at and two in at)
