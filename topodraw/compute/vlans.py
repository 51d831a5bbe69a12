"""How far each VLAN really reaches, and how far it needs to.

A VLAN is *needed* on a link if frames between two of its members cross that link with nothing failed, or
after any one link (an aggregate counts as one), bridge or run fails. *Missing* is needed and not carried at
an end, *unneeded* is carried at both ends and never needed. An access port's untagged VLAN is never unneeded:
whoever is plugged in is its member.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from topodraw.compute.frames import Frames
from topodraw.compute.network import Join, Network
from topodraw.compute.outage import Failure, NetworkState, Outages, link_failure, single_failures
from topodraw.compute.vlan_members import Membership
from topodraw.compute.vlan_need import NO_PARENT, VlanNeed, Walk


@dataclass(frozen=True, slots=True)
class MissingVlan:
    """A link (or aggregate) that needs a VLAN and doesn't carry it."""

    link: tuple[str, str]
    """Its two bridge or station ports, `gear/port` (for an aggregate: the first member's)."""
    at: tuple[str, ...]
    """The ends that don't carry it."""
    when: Literal["active", "standby"]
    after: str | None
    """For standby: what fails so that the link is needed, e.g. `cable B08` or `gear core-2`."""
    cut_off: tuple[str, ...]
    """Who loses the rest of the VLAN: gear or workload names."""


@dataclass(frozen=True, slots=True)
class VlanSpread:
    """One VLAN: `segments` are the ports of end stations and gateways that reach each other now."""

    name: str
    id: int
    segments: tuple[tuple[str, ...], ...]
    missing: tuple[MissingVlan, ...]
    unneeded: tuple[tuple[str, str], ...]


def vlan_spread(outages: Outages, members: Membership, frames: Frames) -> Mapping[str, VlanSpread]:
    """Return each VLAN's spread, by name.

    Links to what lies outside need nothing. A bridge port without VLAN statement carries no VLAN, so that
    what needs its link is missing there; whether that is a mistake or unknown, a rule has to say.
    """
    need = VlanNeed(outages.network, members)
    ever, missing = _needed(outages, need)
    unneeded: dict[str, list[tuple[str, str]]] = {}
    for number, join in enumerate(outages.network.joins):
        if any(end.kind == "remote" for end in join.ends):
            continue
        first, second = need.carried[number]
        spare = first & second & ~ever[number] & ~_access_vlans(need, number)
        if spare and _is_chosen(need.network, join):
            for vlan in need.named(spare):
                unneeded.setdefault(vlan, []).append(_pair(join.physical))
    segments = frames.segments()
    return {
        vlan.name: VlanSpread(
            name=vlan.name,
            id=vlan.id,
            segments=segments.get(vlan.name, ()),
            missing=tuple(sorted(missing.get(vlan.name, ()), key=lambda m: (m.when, m.link))),
            unneeded=tuple(sorted(unneeded.get(vlan.name, ()))),
        )
        for vlan in outages.site.vlans.values()
    }


def _needed(outages: Outages, need: VlanNeed) -> tuple[list[int], dict[str, list[MissingVlan]]]:
    """For each join the VLANs that ever need it, and what is missing where."""
    ever = [0] * len(outages.network.joins)
    missing: dict[str, list[MissingVlan]] = {}
    for failure, state, starts in _states(outages, need):
        needs, walk = need.needs(state, starts)
        sides: _Sides | None = None
        for number in sorted(needs):
            bits = needs[number] & ~ever[number]
            ever[number] |= bits
            first, second = need.carried[number]
            lacking = bits & ~(first & second)
            if not lacking or any(end.kind == "remote" for end in outages.network.joins[number].ends):
                continue
            sides = sides or _Sides(need, state, walk)
            for vlan in need.named(lacking):
                missing.setdefault(vlan, []).append(_missing(need, number, vlan, failure, sides))
    return ever, missing


def _states(
    outages: Outages, need: VlanNeed
) -> Iterator[tuple[Failure | None, NetworkState, list[int] | None]]:
    """The normal state, then every state after one failure that brings a join into use, and where.

    After any other failure a VLAN needs no link that it didn't need before: members and ways became fewer.
    """
    yield None, outages.normal, None
    site, network = outages.site, outages.network
    links = (
        link_failure(network, number)
        for number, join in enumerate(network.joins)
        if outages.normal.is_active(number) and (join.between_bridges or _has_standby(outages, number))
    )
    several = (*single_failures(site, network, "bridge"), *single_failures(site, network, "run"))
    for failure in (*links, *several):
        state = outages.after(failure)
        starts = {
            need.number[end.owner]
            for number in _maybe_new(outages, state)
            if state.is_active(number) and not outages.normal.is_active(number)
            for end in network.joins[number].ends
            if end.kind == "bridge"
        }
        if starts:
            yield failure, state, sorted(starts)


def _maybe_new(outages: Outages, state: NetworkState) -> set[int]:
    """The joins that could be in use after a failure and not before."""
    joins = {join for port in state.changed_ports for join in outages.index.ports[port].joins}
    for lost in state.loss.joins:
        for end in outages.network.joins[lost].ends:
            if end.kind == "station":
                joins.update(outages.network.station_ports[end.key].joins)
    return joins


def _has_standby(outages: Outages, number: int) -> bool:
    ends = outages.network.joins[number].ends
    ports = [outages.network.station_ports[end.key] for end in ends if end.kind == "station"]
    return any(port.one_join_at_a_time for port in ports)


def _access_vlans(need: VlanNeed, number: int) -> int:
    """The untagged VLAN that a bridge port gives to a station."""
    join = need.network.joins[number]
    if join.between_bridges:
        return 0
    untagged = [need.network.ports[end.key].untagged for end in join.ends if end.kind == "bridge"]
    return sum(need.bit[vlan] for vlan in untagged if vlan is not None)


def _is_chosen(network: Network, join: Join) -> bool:
    """Whether what a join carries is somebody's choice: tags are read, and one end says something."""
    bridges = [end for end in join.ends if end.kind == "bridge"]
    if not all(network.bridges[end.owner].reads_tags for end in bridges):
        return False
    return bool(bridges) or any(network.station_ports[end.key].stated for end in join.ends)


def _missing(need: VlanNeed, number: int, vlan: str, failure: Failure | None, sides: _Sides) -> MissingVlan:
    join = need.network.joins[number]
    lacking = [
        port
        for port, carried in zip(join.physical, need.carried[number], strict=True)
        if not carried & need.bit[vlan]
    ]
    return MissingVlan(
        link=_pair(join.physical),
        at=tuple(sorted(lacking)),
        when="active" if failure is None else "standby",
        after=None if failure is None else str(failure),
        cut_off=sides.cut_off(number, vlan),
    )


class _Sides:
    """Who stands on either side of a join, in one state."""

    def __init__(self, need: VlanNeed, state: NetworkState, walk: Walk) -> None:
        self._need = need
        self._state = state
        self._position = {bridge: i for i, bridge in enumerate(walk.order)}
        self._end = {bridge: i + 1 for i, bridge in enumerate(walk.order)}
        self._part: dict[int, int] = {}
        for bridge in reversed(walk.order):
            parent = walk.parent[bridge]
            if parent != NO_PARENT:
                self._end[parent] = max(self._end[parent], self._end[bridge])
        for bridge in walk.order:
            parent = walk.parent[bridge]
            self._part[bridge] = bridge if parent == NO_PARENT else self._part[parent]
        self._child_at = {join: bridge for bridge, join in walk.parent_join.items()}
        self._order = walk.order
        self._by_vlan: dict[str, tuple[list[int], list[tuple[int | None, tuple[str, ...]]]]] = {}

    def cut_off(self, number: int, vlan: str) -> tuple[str, ...]:
        """The members on the side of a join without a gateway of the VLAN; failing that, on the smaller side.

        Empty where the join closes a loop, so that nobody is cut off.
        """
        join = self._need.network.joins[number]
        if join.between_bridges:
            child = self._child_at.get(number)
            if child is None:
                return ()
            part, first, end = self._part[child], self._position[child], self._end[child]
            below = self._names(vlan, first, end)
            rest = self._names(vlan, self._position[part], first) | self._names(vlan, end, self._end[part])
        else:
            station, bridge = sorted(join.ends, key=lambda end: end.kind == "bridge")
            part = self._part[self._need.number[bridge.owner]]
            below = set(self._need.members.at_port.get(station.key, {}).get(vlan, ()))
            rest = self._names(vlan, self._position[part], self._end[part], without=number)
        gateways = self._need.members.gateways.get(vlan, frozenset())
        if bool(gateways & below) != bool(gateways & rest):
            return tuple(sorted(rest if gateways & below else below))
        return tuple(sorted(rest if len(rest) < len(below) else below))

    def _names(self, vlan: str, first: int, end: int, without: int | None = None) -> set[str]:
        """The members at bridges from position `first` to before `end`, leaving one join aside."""
        positions, places = self._members_of(vlan)
        found = places[bisect_left(positions, first) : bisect_left(positions, end)]
        return {name for join, names in found if join is None or join != without for name in names}

    def _members_of(self, vlan: str) -> tuple[list[int], list[tuple[int | None, tuple[str, ...]]]]:
        """The members of a VLAN in walk order: position of their bridge, their join (if any) and names."""
        if vlan not in self._by_vlan:
            positions: list[int] = []
            places: list[tuple[int | None, tuple[str, ...]]] = []
            for position, bridge in enumerate(self._order):
                for join, at_place in self._at(bridge):
                    if vlan in at_place:
                        positions.append(position)
                        places.append((join, at_place[vlan]))
            self._by_vlan[vlan] = (positions, places)
        return self._by_vlan[vlan]

    def _at(self, bridge: int) -> Iterator[tuple[int | None, Mapping[str, tuple[str, ...]]]]:
        members, network = self._need.members, self._need.network
        yield None, members.at_bridge.get(self._need.names[bridge], {})
        for number in self._need.leaves[bridge]:
            if self._state.is_up(number):
                yield number, members.at_remote.get(number, {})
                for end in network.joins[number].ends:
                    if end.kind == "station":
                        yield number, members.at_port.get(end.key, {})


def _pair(ports: tuple[str, str]) -> tuple[str, str]:
    return (min(ports), max(ports))
