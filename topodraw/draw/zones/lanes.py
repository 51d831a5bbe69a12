"""Where conduits run: the places of their legs on the areas' edges, and a lane for each inside the plate."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from topodraw.draw.zones.area import LEG_PITCH, Area
from topodraw.draw.zones.flows import Flow

LANE = 28.0
_NEAR = 9.0
_CLEAR = 16.0
_PASSES = 6
_WIDEST_PITCH = 84.0
Group = Literal["top", "middle", "bottom"]


@dataclass(slots=True)
class Leg:
    """Where a flow meets an area: at (`x`, area's edge)."""

    area: Area
    is_source: bool
    x: float = 0.0


@dataclass(slots=True)
class Route:
    """A flow's legs, source first, and the number of its lane, 0 being the highest."""

    flow: Flow
    legs: list[Leg]
    label_width: float
    lane: int = 0
    y: float = 0.0
    tall: bool = False
    """Its lane has room for a label of two rows."""
    taken: tuple[float, float] = field(default=(0.0, 0.0))

    @property
    def left(self) -> float:
        """Where its level run begins."""
        return min(leg.x for leg in self.legs)

    @property
    def right(self) -> float:
        """Where its level run ends."""
        return max(leg.x for leg in self.legs)

    @property
    def group(self) -> Group:
        """Whether it stays above the plate, below it, or passes through."""
        tops = [leg.area.on_top for leg in self.legs]
        return "top" if all(tops) else "middle" if any(tops) else "bottom"


def routes_of(flows: Sequence[Flow], areas: Mapping[str, Area], label_widths: Sequence[float]) -> list[Route]:
    """Routes without places yet, of the flows all of whose ends are there."""
    routes = []
    for flow, width in zip(flows, label_widths, strict=True):
        if flow.source in areas and all(target in areas for target in flow.targets):
            legs = [Leg(areas[flow.source], True), *(Leg(areas[target], False) for target in flow.targets)]
            routes.append(Route(flow, legs, width))
    return routes


def place_legs(routes: Sequence[Route], areas: Sequence[Area]) -> None:
    """Give every leg its place: evenly on the lower areas' edges, then on the upper ones, straight above
    their
    partner where that is free."""
    taken: list[tuple[float, Route]] = []
    for area in (*(a for a in areas if not a.on_top), *(a for a in areas if a.on_top)):
        here = [(route, leg) for route in routes for leg in route.legs if leg.area is area]
        here.sort(key=lambda pair: _order(pair[0], pair[1]))
        left, right = area.usable()
        wanted = _even(len(here), left, right, 44.0 if area.on_top else _WIDEST_PITCH)
        if area.on_top:
            for place, (route, leg) in enumerate(here):
                others = [each for each in route.legs if each is not leg]
                if len(others) == 1 and not others[0].area.on_top and left <= others[0].x <= right:
                    wanted[place] = others[0].x
        pitch = min(LEG_PITCH, (right - left) / max(len(here) - 1, 1))
        places = _apart(wanted, left, right, pitch)
        for place, (route, leg) in enumerate(here):
            before = places[place - 1] if place else left - pitch
            after = places[place + 1] if place + 1 < len(here) else right + pitch
            places[place] = leg.x = _clear(places[place], before, after, route, taken, (left, right))
            taken.append((leg.x, route))


def _even(count: int, left: float, right: float, widest: float) -> list[float]:
    if count == 1:
        return [(left + right) / 2]
    pitch = min((right - left) / max(count - 1, 1), widest)
    start = (left + right) / 2 - pitch * (count - 1) / 2
    return [start + pitch * place for place in range(count)]


def _apart(wanted: list[float], left: float, right: float, pitch: float) -> list[float]:
    """The nearest places to those wanted that keep order and distance."""
    places = list(wanted)
    for place in range(1, len(places)):
        places[place] = max(places[place], places[place - 1] + pitch)
    limit = right
    for place in reversed(range(len(places))):
        places[place] = max(min(places[place], limit), left)
        limit = places[place] - pitch
    return places


def _clear(
    x: float,
    before: float,
    after: float,
    route: Route,
    taken: Sequence[tuple[float, Route]],
    room: tuple[float, float],
) -> float:
    """A place near `x` where no other route's leg of the other side runs in the same column."""
    others = [where for where, other in taken if other is not route and abs(where - x) < 60]

    def free(at: float) -> bool:
        return all(abs(at - where) >= _NEAR for where in others)

    own = [where for where, other in taken if other is route]
    tries = [
        0.0,
        *(sign * step for step in (2.0, 4.0, 6.0, 8.0, 10.0, 13.0, 16.0, 20.0, 24.0) for sign in (1, -1)),
    ]
    for least in (11.0, 8.0):
        for shift in tries:
            at = x + shift
            inside = room[0] <= at <= room[1] and at - before >= least and after - at >= least
            # A jog of a few px looks like a slip: exactly straight, or clearly not.
            jog = any(0 < abs(at - where) < 16 for where in own)
            if inside and free(at) and not jog:
                return at
    return x


def _middle(area: Area) -> float:
    left, right = area.usable()
    return (left + right) / 2


def _order(route: Route, leg: Leg) -> tuple[int, float, int]:
    """From left to right along an edge: what turns left (nearest first), what passes through, what turns
    right
    (farthest first)."""
    partners = route.legs[1:] if leg.is_source else route.legs[:1]
    at = sum(_middle(each.area) for each in partners) / len(partners)
    across = at - _middle(leg.area)
    number = route.flow.numbers[0] if route.flow.numbers else 10_000
    if leg.area.on_top != partners[0].area.on_top:
        return (1, at, number)
    if across < 0 or (across == 0 and leg.is_source):
        return (0, -across, number)
    return (2, -across, -number)


def assign_lanes(routes: Sequence[Route], plate: tuple[float, float]) -> int:
    """Give every route its lane, level runs that overlap never the same one; returns how many there are.

    Runs between areas of one side lie outermost, the shortest first. `plate` is from where to where lanes may
    run, in px.
    """
    for route in routes:
        route.taken = _taken(route, plate)
    count = 0
    for group in ("top", "middle", "bottom"):
        members = [route for route in routes if route.group == group]
        if group == "middle":
            members = _untangled(sorted(members, key=_slant))
        else:
            members.sort(key=lambda route: (route.right - route.left, route.left))
        depth = _pack(members)
        for route in members:
            route.lane = count + (depth - 1 - route.lane if group == "bottom" else route.lane)
        count += depth
    return count


def _taken(route: Route, plate: tuple[float, float]) -> tuple[float, float]:
    left, right = route.left, route.right
    need = route.label_width + 34
    if right - left < need:
        if left + need <= plate[1]:
            right = left + need
        else:
            left = max(plate[0], right - need)
    return left, right


def _slant(route: Route) -> tuple[float, float]:
    """Runs that climb to the right: the rightmost highest; to the left: the leftmost highest."""
    bottom = next(leg.x for leg in route.legs if not leg.area.on_top)
    top = next(leg.x for leg in route.legs if leg.area.on_top)
    return (0.0, bottom) if top < bottom else (1.0, -bottom)


def _pack(members: Sequence[Route]) -> int:
    """Each into the first lane behind all earlier ones that it overlaps; returns how many lanes that
    takes."""
    for place, route in enumerate(members):
        before = [other.lane for other in members[:place] if _overlap(route, other)]
        route.lane = max(before, default=-1) + 1
    return max((route.lane for route in members), default=-1) + 1


def _overlap(one: Route, other: Route) -> bool:
    return one.taken[0] <= other.taken[1] + _CLEAR and other.taken[0] <= one.taken[1] + _CLEAR


def _untangled(members: list[Route]) -> list[Route]:
    """In an order from the top with few crossings: each is carried to a better place while there is one."""
    cost = {(id(high), id(low)): _crossings(high, low) for high in members for low in members}
    order = list(members)
    for _ in range(_PASSES):
        moved = False
        for route in members:
            at = order.index(route)
            gains = {at: 0}
            for step in (-1, 1):
                gain, place = 0, at + step
                while 0 <= place < len(order):
                    other = order[place]
                    pair = (id(route), id(other))
                    gain += (cost[pair] - cost[pair[::-1]]) * -step
                    gains[place] = gain
                    place += step
            best = min(gains, key=lambda place: (gains[place], abs(place - at)))
            if gains[best] < 0:
                order.insert(best, order.pop(at))
                moved = True
        if not moved:
            break
    return order


def _crossings(high: Route, low: Route) -> int:
    """How often two routes cross if one lies above the other."""
    count = sum(low.left < leg.x < low.right for leg in high.legs if not leg.area.on_top)
    return count + sum(high.left < leg.x < high.right for leg in low.legs if leg.area.on_top)
