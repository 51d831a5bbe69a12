"""Where only a MAC address that nobody has stated decides which way the spanning tree takes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from topodraw.compute.election import NONE, TreeIndex, TreeState
from topodraw.compute.outage import NetworkState


@dataclass(frozen=True, slots=True)
class LeftToChance:
    """Bridges of which the one with the lowest MAC address wins, and what hangs on it."""

    bridges: tuple[str, ...]
    root_ports: tuple[str, ...]
    """Bridges whose way to the root leads through the winner."""
    discarding: tuple[str, ...]
    """Ports one of which forwards, that of the winner, where the others discard."""


def ways_left_to_chance(state: NetworkState) -> tuple[LeftToChance, ...]:
    """What an unknown MAC decides besides the root, sorted by the bridges concerned.

    A bridge hears messages as good from several bridges, or several bridges offer a segment the same (IEEE
    802.1D-2004 17.6: root, cost, then the identifier of the designated bridge). Where the root itself is left
    to chance nothing is listed: its priority has to be settled first.
    """
    index, tree = state.index, state.tree_state
    unsettled = {name for group in state.tree.left_to_chance for name in group}
    root_ports: dict[tuple[str, ...], set[str]] = {}
    discarding: dict[tuple[str, ...], set[str]] = {}
    for bridge in range(len(index.bridges)):
        if tied := _tied(index, tree, _senders(index, tree, bridge), unsettled):
            root_ports.setdefault(tied, set()).add(index.bridges[bridge].name)
    for segment, best in enumerate(tree.designated):
        ports = tree.segment_ports[segment] if best != NONE else []
        equals = [port for port in ports if _offer(index, tree, port) == _offer(index, tree, best)]
        if tied := _tied(index, tree, (index.owner[port] for port in equals), unsettled):
            names = (
                index.ports[port].name for port in equals if index.bridges[index.owner[port]].name in tied
            )
            discarding.setdefault(tied, set()).update(names)
    return tuple(
        LeftToChance(tied, tuple(sorted(root_ports.get(tied, ()))), tuple(sorted(discarding.get(tied, ()))))
        for tied in sorted({*root_ports, *discarding})
    )


def _offer(index: TreeIndex, tree: TreeState, port: int) -> tuple[int, int]:
    bridge = index.owner[port]
    return tree.root[bridge], tree.cost[bridge]


def _senders(index: TreeIndex, tree: TreeState, bridge: int) -> Iterator[int]:
    """The bridges through which the way to the root is as short as through the one that was taken."""
    for port in index.ports_of[bridge] if tree.root_port[bridge] != NONE else ():
        if tree.segment_of[port] == NONE or index.restricted[port]:
            continue
        designated = tree.designated[tree.segment_of[port]]
        root, cost = _offer(index, tree, designated)
        if (root, cost + index.cost[port]) == (tree.root[bridge], tree.cost[bridge]):
            yield index.owner[designated]


def _tied(index: TreeIndex, tree: TreeState, numbers: Iterable[int], unsettled: set[str]) -> tuple[str, ...]:
    """Of bridges that compete, those that could win because a MAC is unknown; empty where it is settled.

    Of those whose MAC is known only the lowest could win.
    """
    order = sorted(set(numbers))
    rivals = [n for n in order if index.bridges[n].priority == index.bridges[order[0]].priority]
    if len(rivals) < 2 or index.bridges[tree.root[rivals[0]]].name in unsettled:
        return ()
    unknown = [index.bridges[n].name for n in rivals if index.bridges[n].mac is None]
    known = [index.bridges[n].name for n in rivals if index.bridges[n].mac is not None]
    return tuple(sorted(unknown + known[:1])) if unknown else ()
