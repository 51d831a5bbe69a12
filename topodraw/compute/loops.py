"""Loops of bridges that nothing cuts."""

from __future__ import annotations

from dataclasses import dataclass

from topodraw.compute.network import Network


@dataclass(frozen=True, slots=True)
class OpenLoop:
    """Bridges in a loop none of which runs spanning tree, and the join that closes it."""

    bridges: tuple[str, ...]
    join: int
    """Index into `Network.joins`."""
    vlan: str | None
    """The VLAN that goes round; None where that is the frames of ports without VLAN statement."""


def open_loops(network: Network) -> tuple[OpenLoop, ...]:
    """Every loop of bridges without spanning tree that some VLAN can go round, each once.

    A bridge that runs spanning tree cuts every loop that it is in (IEEE 802.1D-2004 clause 17).
    """
    loops: dict[tuple[str, ...], OpenLoop] = {}
    candidates = [number for number in range(len(network.joins)) if _nothing_cuts(network, number)]
    # A port without VLAN statement is in the factory's VLAN, so it counts for each VLAN and for none.
    for vlan in (None, *network.vlan_names) if candidates else ():
        above: dict[str, tuple[str, int]] = {}
        for number in candidates:
            if not _passes(network, number, vlan):
                continue
            one, other = (end.owner for end in network.joins[number].ends)
            if _top(above, one) == _top(above, other):
                cycle = _cycle(above, one, other)
                loops.setdefault(cycle, OpenLoop(cycle, number, vlan))
            else:
                _hang(above, one, other, number)
    return tuple(loops.values())


def _nothing_cuts(network: Network, number: int) -> bool:
    """Whether a join lies between bridges that both run no spanning tree, and is in use."""
    join = network.joins[number]
    if not join.between_bridges or any(network.bridges[end.owner].runs_spanning_tree for end in join.ends):
        return False
    ports = [network.ports[end.key] for end in join.ends]
    return not any(port.one_join_at_a_time and port.joins[:1] != (number,) for port in ports)


def _passes(network: Network, number: int, vlan: str | None) -> bool:
    """Whether both ends of a join pass a VLAN's frames (None: those of ports without VLAN statement)."""
    for end in network.joins[number].ends:
        bridge, port = network.bridges[end.owner], network.ports[end.key]
        if bridge.reads_tags and port.stated and (vlan is None or not network.carries(port, vlan)):
            return False
    return True


def _top(above: dict[str, tuple[str, int]], bridge: str) -> str:
    while bridge in above:
        bridge = above[bridge][0]
    return bridge


def _hang(above: dict[str, tuple[str, int]], one: str, other: str, number: int) -> None:
    """Join two trees: turn the way from `one` to its top round, and hang it below `other`."""
    below, link = other, number
    while True:
        step = above.get(one)
        above[one] = (below, link)
        if step is None:
            return
        below, (one, link) = one, step


def _cycle(above: dict[str, tuple[str, int]], one: str, other: str) -> tuple[str, ...]:
    ways = []
    for start in (one, other):
        way = [start]
        while way[-1] in above:
            way.append(above[way[-1]][0])
        ways.append(way)
    first, second = ways
    meet = next(bridge for bridge in first if bridge in second)
    return tuple(sorted({*first[: first.index(meet) + 1], *second[: second.index(meet)]}))
