"""The way a VLAN's frames take from one place to another, in any state of the network."""

from __future__ import annotations

from collections import deque
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass

from topodraw.compute.network import JoinEnd, Network
from topodraw.compute.outage import NetworkState
from topodraw.compute.vlan_members import Membership
from topodraw.compute.vlan_tags import Tags, stated_tags, station_tags
from topodraw.compute.wires import find_wires


@dataclass(frozen=True, slots=True)
class Attachment:
    """Where a thing takes part: at a bridge itself (`port` None), or by a port of a station."""

    owner: str
    port: str | None = None


@dataclass(frozen=True, slots=True)
class Crossing:
    """A join that frames cross from end `start` to the other; `tag` is what they carry on it (None: none)."""

    join: int
    start: int
    tag: str | None


_Spot = tuple[str, str | None, bool]
"""Bridge, label (the VLAN; the tag where tags aren't read), and False; or station, port, and True."""
_Came = dict[_Spot, "tuple[_Spot, Crossing] | None"]
"""Each spot reached, and from where; None where the way starts."""


class VlanPaths:
    """Finds ways through one network."""

    def __init__(self, network: Network, members: Membership) -> None:
        self.network = network
        self._wires = find_wires(network)
        self._members = members
        self._joins_of: dict[str, list[tuple[int, int]]] = {}
        for number, join in enumerate(network.joins):
            for side, end in enumerate(join.ends):
                if end.kind == "bridge":
                    self._joins_of.setdefault(end.owner, []).append((number, side))
        self._tags: dict[tuple[str, str], Tags] = {}

    def tags(self, end: JoinEnd) -> Tags:
        """How the port at a join's end carries its VLANs."""
        if end.key not in self._tags:
            if end.kind == "bridge":
                self._tags[end.key] = stated_tags(self.network, self.network.ports[end.key])
            else:
                port = self.network.station_ports[end.key]
                self._tags[end.key] = station_tags(self.network, self._wires, self._members, port)
        return self._tags[end.key]

    def way(
        self, state: NetworkState, vlan: str, sources: Iterable[Attachment], targets: Collection[Attachment]
    ) -> tuple[Crossing, ...] | None:
        """The joins crossed from any source to any target in a VLAN; None where frames don't arrive."""
        came: _Came = {}
        waiting: deque[_Spot] = deque()
        for source in sources:
            for spot in self._spots(state, vlan, source):
                if spot not in came:
                    came[spot] = None
                    waiting.append(spot)
        goals = {spot for target in targets for spot in self._spots(state, vlan, target)}
        while waiting:
            spot = waiting.popleft()
            if spot in goals:
                return _way_back(came, spot)
            for crossing, reached in self._onward(state, vlan, spot, came):
                if reached not in came:
                    came[reached] = (spot, crossing)
                    waiting.append(reached)
        return None

    def _spots(self, state: NetworkState, vlan: str, place: Attachment) -> Iterator[_Spot]:
        if place.port is not None:
            yield (place.owner, place.port, True)
        elif place.owner not in state.loss.bridges:
            yield (place.owner, vlan, False)
            if not self.network.bridges[place.owner].reads_tags:
                yield (place.owner, None, False)

    def _onward(
        self, state: NetworkState, vlan: str, spot: _Spot, came: _Came
    ) -> Iterator[tuple[Crossing, _Spot]]:
        owner, label, is_station = spot
        if is_station:
            # A station never passes on what it hears: only a source sends.
            if label is None or came[spot] is not None:
                return
            for number in self.network.station_ports[owner, label].joins:
                ends = self.network.joins[number].ends
                side = 0 if ends[0].key == (owner, label) else 1
                tags = self.tags(ends[side])
                if vlan in tags:
                    yield from self._cross(state, vlan, Crossing(number, side, tags[vlan]))
            return
        reads = self.network.bridges[owner].reads_tags
        for number, side in self._joins_of.get(owner, ()):
            tags = self.tags(self.network.joins[number].ends[side])
            if not reads:
                yield from self._cross(state, vlan, Crossing(number, side, label))
            elif label is not None and label in tags:
                yield from self._cross(state, vlan, Crossing(number, side, tags[label]))

    def _cross(self, state: NetworkState, vlan: str, crossing: Crossing) -> Iterator[tuple[Crossing, _Spot]]:
        if not state.is_active(crossing.join):
            return
        far = self.network.joins[crossing.join].ends[1 - crossing.start]
        if far.kind == "station":
            if self.tags(far).get(vlan, "") == crossing.tag:
                yield crossing, (far.owner, far.port, True)
        elif far.kind == "bridge":
            if not self.network.bridges[far.owner].reads_tags:
                yield crossing, (far.owner, crossing.tag, False)
                return
            for name, tag in self.tags(far).items():
                if tag == crossing.tag:
                    yield crossing, (far.owner, name, False)


def _way_back(came: _Came, spot: _Spot) -> tuple[Crossing, ...]:
    crossings: list[Crossing] = []
    while (step := came[spot]) is not None:
        spot, crossing = step
        crossings.append(crossing)
    return tuple(reversed(crossings))
