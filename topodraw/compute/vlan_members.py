"""Who takes part in which VLAN, and where: at a bridge itself, or at a port of a station.

Members of a VLAN are end stations and gateways, the workloads on every host that may run them, the SSIDs of
access points, and the management addresses of gear. A port that faces a station makes the station a member of
the port's untagged VLAN. A station of which neither address, duty nor workload is known is a member of every
VLAN that its port carries by name (a telephone on a port with a tagged voice VLAN).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Generic, TypeVar

from topodraw.compute.network import Network, StationPort
from topodraw.compute.wires import Given, Wires, given_to
from topodraw.model.gear import Gear
from topodraw.model.site import Site

Names = Mapping[str, tuple[str, ...]]
"""VLAN to the gear and workloads that are its members at one place."""


@dataclass(frozen=True, slots=True)
class Membership:
    """Members by place: at a bridge itself, at a station port (keys of `Network.station_ports`), outside."""

    at_bridge: Mapping[str, Names]
    at_port: Mapping[tuple[str, str], Names]
    at_remote: Mapping[int, Names]
    """By join that leads from a bridge to a remote."""
    gateways: Mapping[str, frozenset[str]]
    """VLAN to the gear and workloads that route for it."""


Place = TypeVar("Place")


class _Gathered(Generic[Place]):
    """Names gathered by place and VLAN."""

    def __init__(self) -> None:
        self._places: dict[Place, dict[str, set[str]]] = {}

    def add(self, place: Place, vlan: str, who: str) -> None:
        self._places.setdefault(place, {}).setdefault(vlan, set()).add(who)

    def named(self) -> dict[Place, Names]:
        return {
            place: {vlan: tuple(sorted(names)) for vlan, names in vlans.items()}
            for place, vlans in self._places.items()
        }


def membership(site: Site, network: Network, wires: Wires) -> Membership:
    """Return who is a member of which VLAN, and at which bridge, station port or remote."""
    at_bridge, at_port = _Gathered[str](), _Gathered[tuple[str, str]]()
    ports_of: dict[str, list[StationPort]] = {}
    for port in network.station_ports.values():
        ports_of.setdefault(port.station, []).append(port)
    wanted = wanted_vlans(site)
    given = {key: given_to(network, wires, port) for key, port in network.station_ports.items()}
    for name, gear in site.gear.items():
        if gear.state != "in-service":
            continue
        own = sorted(ports_of.get(name, ()), key=lambda port: not port.joins)
        bridge = network.bridge_of.get(name)
        for vlan, names in wanted.get(name, {}).items():
            ports = _ports_for(network, given, own, vlan, must_choose=bridge is None)
            for who in names:
                for port in ports:
                    at_port.add((port.station, port.name), vlan, who)
                if bridge is not None and not ports:
                    at_bridge.add(bridge, vlan, who)
        for port in own:
            for vlan in _by_port_alone(port, given[port.station, port.name], name in wanted):
                at_port.add((port.station, port.name), vlan, name)
        for vlan in gear.ssids.values() if bridge is not None else ():
            at_bridge.add(bridge or name, vlan, name)
        for point, vlan in offers_of(site, network, gear):
            at_bridge.add(point, vlan, name)
    gateways = {v.name: frozenset(v.gateway.by) for v in site.vlans.values() if v.gateway is not None}
    return Membership(at_bridge.named(), at_port.named(), _at_remotes(network), gateways)


def _at_remotes(network: Network) -> dict[int, Names]:
    """What lies outside is a member of every VLAN that a bridge hands to it by name."""
    at_remote = _Gathered[int]()
    for number, join in enumerate(network.joins):
        for near, far in (join.ends, join.ends[::-1]):
            if far.kind == "remote" and near.kind == "bridge":
                port = network.ports[near.key]
                for vlan in (port.untagged, *(() if port.tagged == "all" else port.tagged)):
                    if vlan is not None:
                        at_remote.add(number, vlan, far.owner)
    return at_remote.named()


def wanted_vlans(site: Site) -> dict[str, dict[str, list[str]]]:
    """For each gear, the VLANs in which it, or a workload that may run on it, has an address or a duty.

    `wanted[gear][vlan]` are the names of the gear and workloads concerned.
    """
    wanted: dict[str, dict[str, list[str]]] = {}

    def add(gear: str, vlan: str, who: str) -> None:
        names = wanted.setdefault(gear, {}).setdefault(vlan, [])
        if who not in names:
            names.append(who)

    for gear in site.gear.values():
        for vlan in gear.addresses:
            add(gear.name, vlan, gear.name)
    for workload in site.workloads.values():
        vlans = [workload.vlan] if workload.vlan is not None else []
        for vlan in (*vlans, *workload.addresses):
            for host in hosts_of(site, workload.name):
                add(host, vlan, workload.name)
    for entry in site.vlans.values():
        for who in entry.gateway.by if entry.gateway is not None else ():
            for gear_name in (who,) if who in site.gear else hosts_of(site, who):
                add(gear_name, entry.name, who)
    return wanted


def hosts_of(site: Site, workload: str) -> tuple[str, ...]:
    """The gear that may run a workload: where it stands, every member of its cluster, or what runs its host.

    A workload that is said to be inside itself, however far round, runs nowhere.
    """
    seen: set[str] = set()
    while workload in site.workloads and workload not in seen:
        seen.add(workload)
        entry = site.workloads[workload]
        if entry.on is not None:
            return site.clusters[entry.on].members if entry.on_kind == "cluster" else (entry.on,)
        workload = entry.inside or ""
    return ()


def _ports_for(
    network: Network,
    given: Mapping[tuple[str, str], Given],
    ports: Iterable[StationPort],
    vlan: str,
    must_choose: bool,
) -> list[StationPort]:
    """The ports by which a station takes part in a VLAN: those that carry it in the plainest way.

    Stated on the port itself, then untagged, tagged by name, and in `all`. Where none carries it, the first
    port that is up (if one must be chosen): that is the one that should.
    """
    ranked: dict[int, list[StationPort]] = {}
    for port in ports:
        rank = _plainness(network, port, given[port.station, port.name], vlan)
        if rank is not None and port.joins:
            ranked.setdefault(rank, []).append(port)
    if ranked:
        return ranked[min(ranked)]
    first = next(iter(ports), None)
    return [first] if must_choose and first is not None else []


def _plainness(network: Network, port: StationPort, given: Given, vlan: str) -> int | None:
    if port.stated:
        return 0 if network.carries(port, vlan) else None
    if vlan in given.untagged:
        return 1
    if vlan in given.tagged:
        return 2
    return 3 if given.all_tagged else None


def _by_port_alone(port: StationPort, given: Given, is_known: bool) -> list[str]:
    """The VLANs that a station is a member of because of how its port is set."""
    if not port.joins:
        return []
    if port.stated:
        untagged = [port.untagged] if port.untagged is not None else []
        tagged = list(port.tagged) if port.tagged != "all" else []
    else:
        untagged, tagged = list(given.untagged), list(given.tagged)
    return untagged if is_known else untagged + tagged


def offers_of(site: Site, network: Network, station: Gear) -> list[tuple[str, str]]:
    """Where the SSID that a station joins by radio is offered: (access point's bridge, VLAN)."""
    if station.wireless is None:
        return []
    return [
        (network.bridge_of[point.name], point.ssids[station.wireless])
        for point in site.gear.values()
        if station.wireless in point.ssids and point.name in network.bridge_of
    ]
