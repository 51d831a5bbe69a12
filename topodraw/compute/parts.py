"""What cabling joins, whatever the links carry: the connected parts of the bridged network."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from topodraw.compute.network import Network
from topodraw.compute.vlan_members import offers_of
from topodraw.model.site import Site

Parts = Mapping[str, int]
"""Bridge to the number of the connected part that it is in."""


def bridged_parts(network: Network) -> dict[str, int]:
    """The number of the connected part that each bridge is in, whatever the links carry."""
    neighbours: dict[str, list[str]] = {name: [] for name in network.bridges}
    for join in network.joins:
        if join.between_bridges:
            one, other = (end.owner for end in join.ends)
            neighbours[one].append(other)
            neighbours[other].append(one)
    part: dict[str, int] = {}
    for number, start in enumerate(network.bridges):
        ahead = [start] if start not in part else []
        while ahead:
            bridge = ahead.pop()
            if bridge not in part:
                part[bridge] = number
                ahead += neighbours[bridge]
    return part


def never_meet(network: Network, parts: Parts, one: str, other: str) -> bool:
    """Whether two VLANs are both on bridges, and no cable joins a bridge of the one to one of the other."""
    found = [
        {parts[port.bridge] for port in network.ports.values() if network.carries(port, vlan)}
        for vlan in (one, other)
    ]
    return all(found) and found[0].isdisjoint(found[1])


def pieces(
    site: Site, network: Network, parts: Parts, segments: Iterable[tuple[str, ...]]
) -> list[list[str]]:
    """The ports of a VLAN's segments, put together where some way of cables joins them; largest first."""
    found: list[tuple[set[int], list[str]]] = []
    for ports in segments:
        own, members = _parts_of(site, network, parts, ports), list(ports)
        for piece in [piece for piece in found if piece[0] & own]:
            found.remove(piece)
            own, members = own | piece[0], piece[1] + members
        found.append((own, members))
    return sorted((members for _, members in found), key=lambda members: (-len(members), members))


def _parts_of(site: Site, network: Network, parts: Parts, ports: Iterable[str]) -> set[int]:
    """The parts that ports of stations are in: of the bridges at the far ends of their links, or by radio."""
    found: set[int] = set()
    for reference in ports:
        key = network.port_key.get(reference)
        if key is None:
            station = site.gear[reference.partition("/")[0]]
            found.update(parts[bridge] for bridge, _ in offers_of(site, network, station))
            continue
        for number in network.station_ports[key].joins:
            found.update(parts[end.owner] for end in network.joins[number].ends if end.owner in parts)
    return found
