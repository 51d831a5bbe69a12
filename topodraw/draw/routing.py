"""Square routing of cables in one channel: the strip between two tiers where nothing but cables stands.

Every cable enters a channel by two legs, each of which runs straight up or down to one of its borders;
between them it runs level in a lane. Lanes are chosen so that no two cables ever share a stretch, whatever
the input:

- level runs that overlap never share a lane;
- where one cable's leg comes down above a place where another's leg goes on down, the first takes the
  higher lane;
- where that can't be (a knot of cables that each want to be above the other), one of them changes columns
  on the way.

Within that, lanes are ordered so that legs cross as few level runs as possible.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field

NEAR = 7.0
"""Legs closer than this many px count as standing in the same column."""
CLEAR = 12.0
"""The least distance in px along a lane between the ends of two level runs."""


@dataclass(frozen=True, slots=True)
class Leg:
    """A straight stretch from the channel's upper (`up`) or lower border to the cable's lane, at `x` px."""

    x: float
    up: bool


@dataclass(frozen=True, slots=True)
class Crossing:
    """One cable's way through a channel, from its first leg to its second."""

    cable: str
    first: Leg
    second: Leg

    @property
    def straight(self) -> bool:
        """Whether it needs no lane: it only passes from border to border in one column."""
        return self.first.up != self.second.up and self.first.x == self.second.x


@dataclass(frozen=True, slots=True)
class LevelRun:
    """A stretch in a lane (0 is the highest) from one leg's column to another's."""

    cable: str
    lane: int
    first: Leg
    second: Leg

    @property
    def left(self) -> float:
        return min(self.first.x, self.second.x)

    @property
    def right(self) -> float:
        return max(self.first.x, self.second.x)


@dataclass(slots=True, eq=False)
class _Piece:
    """A crossing, or one of the two parts that it was cut into; legs to a cut go towards the other part's
    lane."""

    cable: str
    first: Leg
    second: Leg
    below: set[_Piece] = field(default_factory=set)
    """Pieces that must have a lower lane."""
    lane: int = -1

    @property
    def left(self) -> float:
        return min(self.first.x, self.second.x)

    @property
    def right(self) -> float:
        return max(self.first.x, self.second.x)

    def legs(self, up: bool) -> list[float]:
        return [leg.x for leg in (self.first, self.second) if leg.up == up]

    def overlaps(self, other: _Piece) -> bool:
        return self.left < other.right + CLEAR and other.left < self.right + CLEAR


def lanes(crossings: Sequence[Crossing]) -> dict[str, tuple[LevelRun, ...]]:
    """The level runs of each cable in the order in which it passes them; none for a straight one.

    Legs at one border must stand at least NEAR px apart, and no leg nearer than that to a straight cable of
    another name; cables' names must differ.
    """
    pieces = [_Piece(c.cable, c.first, c.second) for c in crossings if not c.straight]
    columns = sorted({leg.x for c in crossings for leg in (c.first, c.second)})
    ordered = _ordered(pieces, columns)
    for place, piece in enumerate(ordered):
        # Pieces whose legs are NEAR each other overlap too.
        above = [other.lane for other in ordered[:place] if other.overlaps(piece) or piece in other.below]
        piece.lane = max(above, default=-1) + 1
    parts: dict[str, list[_Piece]] = {c.cable: [] for c in crossings}
    for piece in pieces:
        parts[piece.cable].append(piece)
    # The part that holds the crossing's own first leg comes first.
    return {
        c.cable: tuple(
            LevelRun(p.cable, p.lane, p.first, p.second)
            for p in sorted(parts[c.cable], key=lambda piece: piece.first != c.first)
        )
        for c in crossings
    }


def _crossed(upper: _Piece, lower: _Piece) -> int:
    """How often two pieces cross when the first has the higher lane."""
    down = sum(lower.left < x < lower.right for x in upper.legs(False))
    up = sum(upper.left < x < upper.right for x in lower.legs(True))
    return down + up


def _ordered(pieces: list[_Piece], columns: list[float]) -> list[_Piece]:
    """The pieces from the highest lane down; cuts a piece (and adds the new part to `pieces`) where a knot
    demands it."""
    waiting = list(pieces)
    _link(waiting)
    done: list[_Piece] = []
    while waiting:
        held = Counter(lower for piece in waiting for lower in piece.below)
        regret = _regrets(waiting)
        while free := [piece for piece in waiting if not held[piece]]:
            best = min(free, key=lambda p: (regret[p], p.left, p.right, p.cable))
            waiting.remove(best)
            done.append(best)
            held.subtract(best.below)
            for other in waiting:
                if other.left < best.right and best.left < other.right:
                    regret[other] -= _crossed(other, best) - _crossed(best, other)
        if waiting:
            waiting.append(_cut(waiting, pieces, columns))
            _link(waiting)
    return _swapped(done)


def _link(pieces: list[_Piece]) -> None:
    """Tell each piece which of the others must have a lower lane."""
    legs = sorted((x, place) for place, piece in enumerate(pieces) for x in piece.legs(False))
    for one in pieces:
        lower = {other for other in one.below if other.cable == one.cable}
        for up in one.legs(True):
            near = slice(bisect_left(legs, (up - 2 * NEAR, 0)), bisect_left(legs, (up + 2 * NEAR, 0)))
            for x, place in legs[near]:
                if abs(up - x) < NEAR and pieces[place].cable != one.cable:
                    lower.add(pieces[place])
        one.below = lower


def _regrets(waiting: list[_Piece]) -> dict[_Piece, int]:
    """How many crossings more it costs to give each piece the highest lane instead of the lowest.

    That is the sum of `_crossed(piece, other) - _crossed(other, piece)` over all others, counted in sorted
    columns.
    """
    wide = [piece for piece in waiting if piece.left < piece.right]
    lefts, rights = sorted(piece.left for piece in wide), sorted(piece.right for piece in wide)
    ups, downs = (sorted(x for piece in waiting for x in piece.legs(up)) for up in (True, False))

    def spanning(x: float) -> int:
        return bisect_left(lefts, x) - bisect_right(rights, x)

    def inside(columns: list[float], piece: _Piece) -> int:
        return max(0, bisect_left(columns, piece.right) - bisect_right(columns, piece.left))

    return {
        piece: sum(map(spanning, piece.legs(False)))
        + inside(ups, piece)
        - sum(map(spanning, piece.legs(True)))
        - inside(downs, piece)
        for piece in waiting
    }


def _cut(waiting: list[_Piece], pieces: list[_Piece], columns: list[float]) -> _Piece:
    """Break a knot: one piece's way down is moved to a free column, so that its two parts have lanes of
    their own."""
    piece = next(p for p in _knot(waiting) if p.first.up != p.second.up)
    x = _free_column(columns, piece.left, piece.right)
    columns.append(x)
    columns.sort()
    upper_leg, lower_leg = sorted((piece.first, piece.second), key=lambda leg: not leg.up)
    goes_down = piece.first.up
    upper_far, lower_far = Leg(x, up=False), Leg(x, up=True)
    if goes_down:
        rest = _Piece(piece.cable, lower_far, lower_leg)
        piece.first, piece.second = upper_leg, upper_far
    else:
        rest = _Piece(piece.cable, lower_leg, lower_far)
        piece.first, piece.second = upper_far, upper_leg
    piece.below = {rest}
    pieces.append(rest)
    return rest


def _knot(waiting: list[_Piece]) -> list[_Piece]:
    """A circle of pieces that each must be above the next."""
    path = [waiting[0]]
    while True:
        held_by = next(other for other in waiting if other is not path[-1] and path[-1] in other.below)
        if held_by in path:
            return path[path.index(held_by) :]
        path.append(held_by)


def _free_column(columns: list[float], left: float, right: float) -> float:
    """An x at least NEAR px from every one of the sorted columns, between `left` and `right` if possible,
    else as near as can be."""
    middle = (left + right) / 2
    places = [x + step for x in columns for step in (-NEAR - 1, NEAR + 1)]
    free = []
    for place in places:
        after = bisect_left(columns, place)
        if all(abs(place - x) >= NEAR for x in columns[max(0, after - 1) : after + 1]):
            free.append(place)
    return min(free, key=lambda place: (not left < place < right, abs(place - middle), place))


def _swapped(order: list[_Piece]) -> list[_Piece]:
    """The order after exchanging neighbours as long as that saves crossings."""
    better = True
    while better:
        better = False
        for place in range(len(order) - 1):
            one, other = order[place], order[place + 1]
            if other in one.below or not one.overlaps(other):
                continue
            if _crossed(other, one) < _crossed(one, other):
                order[place], order[place + 1] = other, one
                better = True
    return order
