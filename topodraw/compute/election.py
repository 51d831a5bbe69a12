"""The spanning-tree election on integer arrays, whole or for what one failure leaves to decide again.

Bridges are numbered in the order of their identifiers (priority, MAC; then the name, where no MAC is known),
and ports in the order of bridge and port identifier (priority, number). So "lower identifier wins" is "lower
number wins" throughout, and a port's number stands for the pair (designated bridge, designated port).

Source of the method: IEEE 802.1D-2004 17.5 and 17.6 (priority vectors), 17.21.25 updtRolesTree (roles), 17.13
(restricted role).
"""

from __future__ import annotations

import heapq
from collections.abc import Collection, Iterable
from dataclasses import dataclass

from topodraw.compute.network import Bridge, JoinEnd, Network

NONE = -1


def bridge_order(bridge: Bridge) -> tuple[int, bool, str, str]:
    """The sort key by which bridges win: identifier, then name; unknown MACs come after known ones."""
    return (bridge.priority, bridge.mac is None, bridge.mac or "", bridge.name)


class TreeIndex:
    """What never changes: bridges and ports by number, and which joins lie at each port."""

    def __init__(self, network: Network) -> None:
        self.network = network
        spanning = [bridge for bridge in network.bridges.values() if bridge.runs_spanning_tree]
        self.bridges = sorted(spanning, key=bridge_order)
        self.bridge_number = {bridge.name: number for number, bridge in enumerate(self.bridges)}
        self.ports = sorted(
            (port for port in network.ports.values() if port.bridge in self.bridge_number),
            key=lambda p: (self.bridge_number[p.bridge], p.priority, p.number, p.name),
        )
        self.port_number = {(port.bridge, port.name): number for number, port in enumerate(self.ports)}
        self.owner = [self.bridge_number[port.bridge] for port in self.ports]
        self.cost = [port.cost for port in self.ports]
        self.restricted = [port.restricted_role for port in self.ports]
        self.ports_of: list[list[int]] = [[] for _ in self.bridges]
        for number, bridge in enumerate(self.owner):
            self.ports_of[bridge].append(number)
        through = [name for name, bridge in network.bridges.items() if not bridge.runs_spanning_tree]
        self._element_of_through = {name: len(self.ports) + i for i, name in enumerate(through)}
        self.join_elements = [
            tuple(e for e in map(self._element, join.ends) if e is not None) for join in network.joins
        ]

    def _element(self, end: JoinEnd) -> int | None:
        """A number for what a join's end adds to a segment: a port, or a bridge that passes everything on."""
        if end.kind != "bridge":
            return None
        return self.port_number.get(end.key, self._element_of_through.get(end.owner))

    def segments(self, joins: Iterable[int]) -> list[tuple[list[int], list[int]]]:
        """The segments that some joins make: (port numbers, joins) of each, ports in ascending order."""
        parent: dict[int, int] = {}

        def find(element: int) -> int:
            while parent.setdefault(element, element) != element:
                parent[element] = parent[parent[element]]
                element = parent[element]
            return element

        used = [join for join in joins if self.join_elements[join]]
        for join in used:
            elements = self.join_elements[join]
            parent[find(elements[-1])] = find(elements[0])
        made: dict[int, tuple[set[int], list[int]]] = {}
        for join in used:
            ports, members = made.setdefault(find(self.join_elements[join][0]), (set(), []))
            ports.update(e for e in self.join_elements[join] if e < len(self.ports))
            members.append(join)
        return [(sorted(ports), members) for ports, members in made.values()]


@dataclass(slots=True)
class TreeState:
    """The outcome of one election: `root`, `cost`, `root_port` by bridge; `segment_of` by port."""

    root: list[int]
    """The root's number; NONE for a failed bridge."""
    cost: list[int]
    root_port: list[int]
    segment_of: list[int]
    """NONE for a port that joins nothing."""
    segment_ports: list[list[int]]
    segment_joins: list[list[int]]
    designated: list[int]
    """The designated port of each segment; NONE where a segment has no port."""

    def copy(self) -> TreeState:
        """A state that may be changed without changing this one."""
        return TreeState(
            self.root.copy(), self.cost.copy(), self.root_port.copy(), self.segment_of.copy(),
            self.segment_ports.copy(), self.segment_joins.copy(), self.designated.copy(),
        )  # fmt: skip

    def forwards(self, index: TreeIndex, port: int) -> bool:
        """Whether a port is a root port or a designated port."""
        segment = self.segment_of[port]
        return segment != NONE and (
            self.designated[segment] == port or self.root_port[index.owner[port]] == port
        )


def elect(index: TreeIndex, joins: Iterable[int], dead_bridges: Collection[int] = ()) -> TreeState:
    """Hold the whole election over the joins in use."""
    count = len(index.bridges)
    state = TreeState([NONE] * count, [0] * count, [NONE] * count, [NONE] * len(index.ports), [], [], [])
    for ports, members in index.segments(joins):
        _add_segment(state, ports, members)
    _settle(index, state, [bridge for bridge in range(count) if bridge not in dead_bridges])
    return state


def elect_again(
    index: TreeIndex,
    before: TreeState,
    children: list[list[int]],
    dead_joins: set[int],
    dead_bridges: set[int],
) -> tuple[TreeState, list[int]]:
    """Hold the election again where the loss of joins and bridges leaves something to decide.

    A bridge decides again if its path to the root is broken: losing anything else never makes its own path
    better or worse. `children` are those of `children_of(index, before)`. Returns the state after, and the
    numbers of the ports whose role may have changed.
    """
    state = before.copy()
    touched = {
        before.segment_of[element]
        for join in dead_joins
        for element in index.join_elements[join]
        if element < len(index.ports)
    }
    touched.update(_segments_without_ports_near(index, before, dead_joins))
    touched.discard(NONE)
    looked_at: set[int] = set()
    for segment in touched:
        looked_at.update(before.segment_ports[segment])
        for port in before.segment_ports[segment]:
            state.segment_of[port] = NONE
        rest = [join for join in before.segment_joins[segment] if join not in dead_joins]
        state.segment_ports[segment], state.segment_joins[segment] = [], []
        state.designated[segment] = NONE
        for ports, members in index.segments(rest):
            _add_segment(state, ports, members)
    broken = [bridge for bridge in dead_bridges if before.root[bridge] != NONE]
    for port in looked_at:
        bridge = index.owner[port]
        if before.root_port[bridge] == port:
            better = before.designated[before.segment_of[port]]
            if state.segment_of[port] == NONE or state.segment_of[better] != state.segment_of[port]:
                broken.append(bridge)
    undecided: set[int] = set()
    while broken:
        bridge = broken.pop()
        if bridge not in undecided:
            undecided.add(bridge)
            broken.extend(children[bridge])
    for bridge in undecided:
        state.root[bridge] = state.root_port[bridge] = NONE
        state.cost[bridge] = 0
        looked_at.update(index.ports_of[bridge])
    again = {state.segment_of[port] for port in looked_at} - {NONE}
    _settle(index, state, sorted(undecided - dead_bridges), again)
    for segment in again:
        looked_at.update(state.segment_ports[segment])
    return state, sorted(looked_at)


def children_of(index: TreeIndex, state: TreeState) -> list[list[int]]:
    """For each bridge, those whose path to the root goes through it next."""
    children: list[list[int]] = [[] for _ in index.bridges]
    for bridge, port in enumerate(state.root_port):
        if port != NONE:
            children[index.owner[state.designated[state.segment_of[port]]]].append(bridge)
    return children


def _segments_without_ports_near(index: TreeIndex, state: TreeState, dead_joins: set[int]) -> set[int]:
    """Segments that dead joins belong to between two bridges that pass everything on."""
    inner = {
        join
        for join in dead_joins
        if index.join_elements[join] and min(index.join_elements[join]) >= len(index.ports)
    }
    if not inner:
        return set()
    return {number for number, joins in enumerate(state.segment_joins) if not inner.isdisjoint(joins)}


def _add_segment(state: TreeState, ports: list[int], joins: list[int]) -> None:
    for port in ports:
        state.segment_of[port] = len(state.segment_ports)
    state.segment_ports.append(ports)
    state.segment_joins.append(joins)
    state.designated.append(NONE)


def _settle(
    index: TreeIndex, state: TreeState, undecided: list[int], segments: Iterable[int] | None = None
) -> None:
    """Let the undecided bridges find root, cost and root port, then find the designated ports.

    Every bridge first claims to be root itself; the lowest (root, cost) is final and spreads on.
    """
    heap = [(bridge, 0, bridge) for bridge in undecided]
    waiting = set(undecided)
    for bridge in undecided if segments is not None else ():
        for offer in _offers_to(index, state, bridge):
            heap.append(offer)
    heapq.heapify(heap)
    while heap:
        root, cost, bridge = heapq.heappop(heap)
        if bridge not in waiting:
            continue
        waiting.discard(bridge)
        state.root[bridge], state.cost[bridge] = root, cost
        for port in index.ports_of[bridge]:
            segment = state.segment_of[port]
            for far in state.segment_ports[segment] if segment != NONE else ():
                if index.owner[far] in waiting and not index.restricted[far]:
                    heapq.heappush(heap, (root, cost + index.cost[far], index.owner[far]))
    for segment in range(len(state.segment_ports)) if segments is None else segments:
        state.designated[segment] = _designated(index, state, segment)
    for bridge in undecided:
        state.root_port[bridge] = _root_port(index, state, bridge)


def _offers_to(index: TreeIndex, state: TreeState, bridge: int) -> Iterable[tuple[int, int, int]]:
    """What the neighbours that have already decided offer a bridge: (root, cost, the bridge)."""
    for port in index.ports_of[bridge]:
        segment = state.segment_of[port]
        if segment == NONE or index.restricted[port]:
            continue
        for far in state.segment_ports[segment]:
            owner = index.owner[far]
            if state.root[owner] != NONE:
                yield state.root[owner], state.cost[owner] + index.cost[port], bridge


def _designated(index: TreeIndex, state: TreeState, segment: int) -> int:
    ports = state.segment_ports[segment]
    if len(ports) == 1:
        return ports[0]
    owner, root, cost = index.owner, state.root, state.cost
    return min(ports, key=lambda p: (root[owner[p]], cost[owner[p]], p), default=NONE)


def _root_port(index: TreeIndex, state: TreeState, bridge: int) -> int:
    """The port with the best message received; NONE on a root."""
    if state.root[bridge] == bridge:
        return NONE
    best = (NONE, NONE)
    for port in index.ports_of[bridge]:
        segment = state.segment_of[port]
        if segment == NONE or index.restricted[port]:
            continue
        designated = state.designated[segment]
        sender = index.owner[designated]
        if sender == bridge or state.root[sender] != state.root[bridge]:
            continue
        reaches_cost = state.cost[sender] + index.cost[port] == state.cost[bridge]
        if reaches_cost and (best[1] == NONE or (designated, port) < best):
            best = (designated, port)
    return best[1]
