"""On which joins a VLAN's frames have to pass, in one state of the network.

Over a tree, a join is needed by a VLAN exactly if there are members on both of its sides. One walk answers
that for all VLANs at once: sets of VLANs are the bits of an integer, gathered from the leaves to the root and
handed back down without what came from each branch itself.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from topodraw.compute.network import BridgePort, Join, JoinEnd, Network, StationPort
from topodraw.compute.outage import NetworkState
from topodraw.compute.vlan_members import Membership

NO_PARENT = -1


@dataclass(slots=True)
class Walk:
    """A walk over the active joins between bridges, from the root of each part down. Bridges are numbers."""

    order: list[int] = field(default_factory=list)
    parent: dict[int, int] = field(default_factory=dict)
    parent_join: dict[int, int] = field(default_factory=dict)
    loops: list[tuple[int, int, int]] = field(default_factory=list)
    """Active joins that close a loop: (join, bridge, bridge). Only where nothing runs spanning tree."""
    above: dict[int, int] = field(default_factory=dict)
    """VLANs that have members beyond a bridge's parent join."""
    below: dict[int, int] = field(default_factory=dict)
    """VLANs that have members at a bridge or further down."""


class VlanNeed:
    """Which VLANs need which joins of one network; a set of VLANs is an integer, bits as in `vlans`."""

    def __init__(self, network: Network, members: Membership) -> None:
        self.network = network
        self.members = members
        self.vlans = network.vlan_names
        self.bit = {name: 1 << i for i, name in enumerate(self.vlans)}
        self.every_vlan = (1 << len(self.vlans)) - 1
        self.names = list(network.bridges)
        self.number = {name: i for i, name in enumerate(self.names)}
        self.neighbours: list[list[tuple[int, int]]] = [[] for _ in self.names]
        self.leaves: list[list[int]] = [[] for _ in self.names]
        self.leaf_vlans: dict[int, int] = {}
        """Joins from a bridge to a station or remote, with the VLANs of the members there."""
        for number, join in enumerate(network.joins):
            self._place(number, join)
        self.at_bridge = [self._bits(members.at_bridge.get(name, {})) for name in self.names]
        self.carried = [tuple(self._carried(end) for end in join.ends) for join in network.joins]

    def _place(self, number: int, join: Join) -> None:
        first, second = join.ends
        if join.between_bridges:
            one, other = self.number[first.owner], self.number[second.owner]
            if one != other:
                self.neighbours[one].append((number, other))
                self.neighbours[other].append((number, one))
            return
        for near, far in ((first, second), (second, first)):
            if near.kind == "bridge":
                at_far = self.members.at_port.get(far.key, {}) if far.kind == "station" else None
                vlans = self.members.at_remote.get(number, {}) if at_far is None else at_far
                self.leaves[self.number[near.owner]].append(number)
                self.leaf_vlans[number] = self._bits(vlans)

    def _bits(self, vlans: Iterable[str]) -> int:
        bits = 0
        for vlan in vlans:
            bits |= self.bit[vlan]
        return bits

    def _carried(self, end: JoinEnd) -> int:
        """The VLANs one end of a join lets through; a station without a statement takes what it is given."""
        port: BridgePort | StationPort
        if end.kind == "remote":
            return self.every_vlan
        if end.kind == "station":
            port = self.network.station_ports[end.key]
            if not port.stated:
                return self.every_vlan
        else:
            port = self.network.ports[end.key]
            if not self.network.bridges[end.owner].reads_tags:
                return self.every_vlan
        if port.tagged == "all":
            return self.every_vlan
        return self._bits((*port.tagged, *((port.untagged,) if port.untagged is not None else ())))

    def named(self, bits: int) -> list[str]:
        """The VLANs that some bits stand for."""
        return [name for i, name in enumerate(self.vlans) if bits >> i & 1]

    def needs(self, state: NetworkState, starts: Iterable[int] | None = None) -> tuple[dict[int, int], Walk]:
        """The VLANs that need each join that is up, in the parts around `starts` (default: all)."""
        walk = self._walk(state, range(len(self.names)) if starts is None else starts)
        once, twice = self._gather(state, walk)
        need: dict[int, int] = {}
        for bridge in walk.order:
            parent = walk.parent[bridge]
            below = walk.below[bridge]
            if parent == NO_PARENT:
                walk.above[bridge] = above = 0
            else:
                above = walk.above[parent] | twice[parent] | (once[parent] & ~below)
                walk.above[bridge] = above
                need[walk.parent_join[bridge]] = below & above
            for join in self.leaves[bridge]:
                if state.is_up(join):
                    here = self.leaf_vlans[join]
                    need[join] = here & (above | twice[bridge] | (once[bridge] & ~here))
        for join, one, other in walk.loops:
            need[join] = _along(walk, need, one, other)
        return need, walk

    def _walk(self, state: NetworkState, starts: Iterable[int]) -> Walk:
        walk = Walk()
        active, neighbours = state.active, self.neighbours
        parents, parent_join = walk.parent, walk.parent_join
        dead = {self.number[name] for name in state.loss.bridges}
        for start in starts:
            if start in walk.parent or start in dead:
                continue
            walk.parent[start] = NO_PARENT
            stack = [start]
            while stack:
                bridge = stack.pop()
                walk.order.append(bridge)
                way_up = parent_join.get(bridge, NO_PARENT)
                for join, other in neighbours[bridge]:
                    if not active[join] or join == way_up:
                        continue
                    if other not in parents:
                        parents[other] = bridge
                        parent_join[other] = join
                        stack.append(other)
                    elif parent_join.get(other) != join:
                        walk.loops.append((join, bridge, other))
        return walk

    def _gather(self, state: NetworkState, walk: Walk) -> tuple[dict[int, int], dict[int, int]]:
        """For each bridge the VLANs that have members in one, and in two or more, of what hangs there."""
        once: dict[int, int] = {}
        twice: dict[int, int] = {}
        for bridge in walk.order:
            one, two = self.at_bridge[bridge], 0
            for join in self.leaves[bridge]:
                if state.is_up(join):
                    two |= one & self.leaf_vlans[join]
                    one |= self.leaf_vlans[join]
            once[bridge], twice[bridge] = one, two
        for bridge in reversed(walk.order):
            walk.below[bridge] = once[bridge]
            parent = walk.parent[bridge]
            if parent != NO_PARENT:
                twice[parent] |= once[parent] & once[bridge]
                once[parent] |= once[bridge]
        return once, twice


def _along(walk: Walk, need: Mapping[int, int], one: int, other: int) -> int:
    """What any join needs on the way between two bridges."""
    from_one: dict[int, int] = {}
    bits, bridge = 0, one
    while bridge != NO_PARENT:
        from_one[bridge] = bits
        bits |= need.get(walk.parent_join.get(bridge, NO_PARENT), 0)
        bridge = walk.parent[bridge]
    bits, bridge = 0, other
    while bridge not in from_one:
        bits |= need[walk.parent_join[bridge]]
        bridge = walk.parent[bridge]
    return bits | from_one[bridge]
