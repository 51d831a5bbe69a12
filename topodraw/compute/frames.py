"""Which ports hear each other's frames now: VLAN by VLAN, with what leaks between them.

Frames are followed as they are: a VLAN inside a bridge, a tag (or none) on a wire. An untagged VLAN that
faces another untagged VLAN therefore joins the two, as it does in reality.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from dataclasses import dataclass
from itertools import combinations
from typing import Literal

from topodraw.compute.network import BridgePort, Network, StationPort
from topodraw.compute.outage import NetworkState
from topodraw.compute.vlan_members import Membership, offers_of
from topodraw.compute.vlan_tags import stated_tags, station_tags
from topodraw.compute.wires import Wires, find_wires
from topodraw.model.site import Site

Segments = dict[str, tuple[tuple[str, ...], ...]]
WIRELESS = "wireless"
"""What stands for the port of a station that joins by radio: `gear/wireless`."""


@dataclass(frozen=True, slots=True)
class UntaggedMismatch:
    """Two ports at the ends of a link that disagree about the frames without a tag.

    `joined`: each has an untagged VLAN of its own, and the two become one. `one-sided`: what `vlans[0]` is
    untagged at `ports[0]` and tagged at `ports[1]`, so that its frames don't arrive.
    """

    ports: tuple[str, str]
    vlans: tuple[str, str]
    kind: Literal["joined", "one-sided"]


class Frames:
    """Where frames go in one state of the network."""

    def __init__(self, site: Site, state: NetworkState, members: Membership) -> None:
        self.site = site
        self.state = state
        self.network = state.network
        self._members = members
        self._all_wires = find_wires(self.network)
        self._parent: dict[Hashable, Hashable] = {}
        up = [join for join in range(len(self.network.joins)) if state.is_up(join)]
        self.wires: Wires = find_wires(self.network, up)
        for wire, ends in self.wires.ends.items():
            for end in ends:
                if end.kind == "bridge" and state.forwards(end):
                    port = self.network.ports[end.key]
                    for vlan, tag in stated_tags(self.network, port).items():
                        self._join((end.owner, vlan), (wire, tag))

    def places_of(self, port: StationPort) -> Iterator[tuple[str, tuple[int, str | None], int]]:
        """For each VLAN and live join of a station's port: the VLAN, its place on the wire, and the join."""
        tags = station_tags(self.network, self._all_wires, self._members, port)
        for join in port.joins:
            if not self.state.is_up(join):
                continue
            wire = self.wires.wire_of[join]
            for vlan, tag in tags.items():
                yield vlan, (wire, tag), join

    def segments(self) -> Segments:
        """Per VLAN, the ports of stations that reach each other; where VLANs leak, the ports of all."""
        ports_at: dict[Hashable, set[str]] = {}
        vlans_at: dict[Hashable, set[str]] = {}
        for port in self.network.station_ports.values():
            for vlan, place, join in self.places_of(port):
                group = self._find(place)
                ports_at.setdefault(group, set()).update(self._ports_at(port, join))
                vlans_at.setdefault(group, set()).add(vlan)
        for station in self.site.gear.values():
            for bridge, vlan in offers_of(self.site, self.network, station):
                if station.state == "in-service" and bridge not in self.state.loss.bridges:
                    group = self._find((bridge, vlan))
                    ports_at.setdefault(group, set()).add(f"{station.name}/{WIRELESS}")
        for known in list(self._parent):
            if isinstance(known, tuple) and isinstance(known[0], str):  # (bridge, VLAN)
                group = self._find(known)
                if group in ports_at:
                    vlans_at.setdefault(group, set()).add(known[1])
        by_vlan: dict[str, set[tuple[str, ...]]] = {}
        for group, ports in ports_at.items():
            for vlan in vlans_at.get(group, ()):
                by_vlan.setdefault(vlan, set()).add(tuple(sorted(ports)))
        return {vlan: tuple(sorted(by_vlan[vlan])) for vlan in self.network.vlan_names if vlan in by_vlan}

    def _ports_at(self, port: StationPort, join: int) -> list[str]:
        """The physical ports of a station that use a join."""
        live = [i for i in self.network.joins[join].links if i not in self.state.loss.links]
        return [text for i in live for text in self.network.links[i].ends if text in port.members]

    def _find(self, place: Hashable) -> Hashable:
        parent = self._parent
        while parent.setdefault(place, place) != place:
            parent[place] = parent[parent[place]]
            place = parent[place]
        return place

    def _join(self, one: Hashable, other: Hashable) -> None:
        self._parent[self._find(other)] = self._find(one)


def untagged_mismatches(network: Network) -> tuple[UntaggedMismatch, ...]:
    """Every pair of bridge ports on one wire that disagree about frames without a tag, sorted by their ports.

    A wire leads through bridges that don't look at tags, so the two need not face each other directly.
    """
    found: list[UntaggedMismatch] = []
    for ends in find_wires(network).ends.values():
        ports = (network.ports[end.key] for end in ends if end.kind == "bridge")
        for one, other in combinations(sorted(ports, key=lambda port: port.members[0]), 2):
            found.extend(_disagreement(network, one, other))
    return tuple(sorted(found, key=lambda m: (m.ports, m.vlans)))


def _disagreement(network: Network, first: BridgePort, second: BridgePort) -> Iterator[UntaggedMismatch]:
    if not (first.stated and second.stated):
        return
    if first.untagged is not None and second.untagged is not None:
        if first.untagged != second.untagged:
            ports = (first.members[0], second.members[0])
            yield UntaggedMismatch(ports, (first.untagged, second.untagged), "joined")
        return
    for near, far in ((first, second), (second, first)):
        if near.untagged is not None and near.untagged in network.tagged_vlans(far):
            yield UntaggedMismatch(
                (near.members[0], far.members[0]), (near.untagged, near.untagged), "one-sided"
            )
