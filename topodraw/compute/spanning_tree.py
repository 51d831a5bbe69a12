"""The spanning tree: root, costs, roles and states (IEEE 802.1D-2004 clause 17)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from topodraw.compute.election import NONE, TreeIndex, TreeState, elect
from topodraw.compute.network import Network

Role = Literal["root", "designated", "alternate", "backup", "disabled"]
PortState = Literal["forwarding", "discarding"]


@dataclass(frozen=True, slots=True)
class BridgeInTree:
    """What one bridge knows: who is root, how far, and by which port (None on the root itself)."""

    root: str
    root_path_cost: int
    root_port: str | None


@dataclass(frozen=True, slots=True)
class PortInTree:
    """Role and state of one bridge port."""

    role: Role
    state: PortState
    cost: int
    edge: bool


@dataclass(frozen=True, slots=True)
class Tree:
    """The spanning tree of every connected bridged part. Ports are keyed by (bridge, port name).

    It holds the bridges that run spanning tree, and each of their ports that has a link: `disabled` where no
    link of the port is up.
    """

    roots: tuple[str, ...]
    bridges: Mapping[str, BridgeInTree]
    ports: Mapping[tuple[str, str], PortInTree]
    left_to_chance: tuple[tuple[str, ...], ...]
    """Groups of bridges among which only an unknown MAC decides who is root."""


def spanning_tree(network: Network) -> Tree:
    """Return the spanning tree with nothing failed; `compute.outage` gives it after a failure."""
    index = TreeIndex(network)
    return tree_of(index, elect(index, joins_in_use(network)))


def joins_in_use(network: Network, dead: frozenset[int] | set[int] = frozenset()) -> list[int]:
    """The joins over which bridges hold the election when some are dead.

    Of a bridge port that uses one join at a time it is the first that lives; a station's standby link is up.
    """
    idle: set[int] = set()
    for port in network.ports.values():
        if port.one_join_at_a_time:
            living = [join for join in port.joins if join not in dead]
            idle.update(living[1:])
    return [join for join in range(len(network.joins)) if join not in dead and join not in idle]


def tree_of(index: TreeIndex, state: TreeState) -> Tree:
    """Name what an election found. A failed bridge is left out, and its ports are disabled."""
    bridges: dict[str, BridgeInTree] = {}
    for name in index.network.bridges:
        number = index.bridge_number.get(name)
        if number is None or state.root[number] == NONE:
            continue
        port = state.root_port[number]
        bridges[name] = BridgeInTree(
            root=index.bridges[state.root[number]].name,
            root_path_cost=state.cost[number],
            root_port=None if port == NONE else index.ports[port].name,
        )
    ports: dict[tuple[str, str], PortInTree] = {}
    for key in index.network.ports:
        number = index.port_number.get(key)
        if number is not None:
            role = role_of(index, state, number)
            forwards: PortState = "forwarding" if role in ("root", "designated") else "discarding"
            ports[key] = PortInTree(role, forwards, index.cost[number], index.ports[number].edge)
    roots = sorted({bridge.root for bridge in bridges.values()})
    return Tree(tuple(roots), bridges, ports, _left_to_chance(index, state))


def role_of(index: TreeIndex, state: TreeState, port: int) -> Role:
    """The role of a port, by number."""
    segment, bridge = state.segment_of[port], index.owner[port]
    if segment == NONE:
        return "disabled"
    if state.root_port[bridge] == port:
        return "root"
    if state.designated[segment] == port:
        return "designated"
    return "backup" if index.owner[state.designated[segment]] == bridge else "alternate"


def _left_to_chance(index: TreeIndex, state: TreeState) -> tuple[tuple[str, ...], ...]:
    """Per connected part, the bridges that could be root because a MAC among the best priority is unknown.

    Of those whose MAC is known only the lowest could win.
    """
    parts: dict[int, list[int]] = {}
    for bridge, root in enumerate(state.root):
        if root != NONE and index.bridges[bridge].priority == index.bridges[root].priority:
            parts.setdefault(root, []).append(bridge)
    groups = []
    for members in parts.values():
        unknown = [index.bridges[b].name for b in members if index.bridges[b].mac is None]
        known = [index.bridges[b].name for b in members if index.bridges[b].mac is not None]
        if unknown and len(members) > 1:
            groups.append(tuple(sorted(unknown + known[:1])))
    return tuple(sorted(groups))
