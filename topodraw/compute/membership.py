"""Which VLANs and zones a thing belongs to, and which gateways lead there."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from topodraw.compute.links import Link
from topodraw.model.gear import Gear
from topodraw.model.network import INTERNET, Endpoint, Remote
from topodraw.model.site import Site


@dataclass(frozen=True, slots=True)
class Side:
    """One side of a conduit."""

    zones: tuple[str, ...]
    gateways: tuple[str, ...]
    """Gear or workloads that route for it."""
    whole: bool
    """It is all of its zones."""


def zone_names(site: Site) -> tuple[str, ...]:
    """Every zone of the site, `internet` too, sorted."""
    return tuple(sorted({*site.zones, INTERNET}))


def vlans_of_zone(site: Site, zone: str) -> tuple[str, ...]:
    """The VLANs of a zone, sorted."""
    return tuple(sorted(name for name, vlan in site.vlans.items() if vlan.zone == zone))


def remotes_of_zone(site: Site, zone: str) -> tuple[str, ...]:
    """The remotes that count as part of a zone, sorted."""
    return tuple(sorted(name for name, remote in site.remotes.items() if zone_of_remote(remote) == zone))


def zone_of_remote(remote: Remote) -> str | None:
    """The zone stated for a remote; the internet where it is one; None for a tunnel without zone."""
    return remote.zone or (INTERNET if remote.kind == "internet" else None)


def vlans_of_gear(site: Site, gear: Gear, links: Iterable[Link]) -> tuple[str, ...]:
    """The VLANs that gear belongs to, sorted.

    Those of its addresses; without any, what the ports at the far ends of its links give it untagged.
    """
    if gear.addresses:
        return tuple(sorted(gear.addresses))
    found = set()
    for link in links:
        for end, other in (link.terminals, link.terminals[::-1]):
            port = site.port(other)
            if end.gear == gear.name and port and port.vlans and port.vlans.untagged:
                found.add(port.vlans.untagged)
    return tuple(sorted(found))


def vlans_of_workload(site: Site, name: str, links: Iterable[Link]) -> tuple[str, ...]:
    """The VLANs of a workload, sorted: its own, else those of what it is inside, else those of its host."""
    workload = site.workloads[name]
    around = {name}
    while not (workload.vlan or workload.addresses) and workload.inside and workload.inside not in around:
        around.add(workload.inside)
        workload = site.workloads[workload.inside]
    own = {*workload.addresses} | ({workload.vlan} if workload.vlan else set())
    if own:
        return tuple(sorted(own))
    host = site.gear.get(workload.on) if workload.on and workload.on_kind != "cluster" else None
    return vlans_of_gear(site, host, links) if host else ()


def side_of(
    site: Site, links: Iterable[Link], endpoint: Endpoint, within: tuple[str, ...] | None = None
) -> Side:
    """The zones an endpoint of a conduit is in, and the gateways that lead to it.

    `within` narrows a thing that has a foot in several zones to those given.
    """
    name = endpoint.name
    if endpoint.kind == "zone":
        gateways = _gateways(site, vlans_of_zone(site, name)) | _ends_of(site, remotes_of_zone(site, name))
        return Side((name,), tuple(sorted(gateways)), whole=True)
    if endpoint.kind == "remote":
        zone = zone_of_remote(site.remotes[name])
        alone = zone is not None and remotes_of_zone(site, zone) == (name,) and not vlans_of_zone(site, zone)
        return Side((zone,) if zone else (), tuple(sorted(_ends_of(site, (name,)))), whole=alone)
    vlans = _vlans_of(site, links, endpoint)
    if within is not None:
        vlans = tuple(vlan for vlan in vlans if site.vlans[vlan].zone in within)
    zones = tuple(sorted({zone for vlan in vlans if (zone := site.vlans[vlan].zone)}))
    alone = endpoint.kind == "vlan" and all(
        vlans_of_zone(site, zone) == (name,) and not remotes_of_zone(site, zone) for zone in zones
    )
    return Side(zones, tuple(sorted(_gateways(site, vlans))), whole=alone and bool(zones))


def _vlans_of(site: Site, links: Iterable[Link], endpoint: Endpoint) -> tuple[str, ...]:
    name = endpoint.name
    if endpoint.kind == "vlan":
        return (name,)
    if endpoint.kind == "workload":
        return vlans_of_workload(site, name, links)
    if endpoint.kind == "gear":
        return vlans_of_gear(site, site.gear[name], links)
    hosts = site.clusters[name].members if endpoint.kind == "cluster" else (site.pools[name].on,)
    return tuple(
        sorted(
            {
                vlan
                for host in hosts
                if host in site.gear
                for vlan in vlans_of_gear(site, site.gear[host], links)
            }
        )
    )


def _gateways(site: Site, vlans: Iterable[str]) -> set[str]:
    return {by for vlan in vlans if (gateway := site.vlans[vlan].gateway) for by in gateway.by}


def _ends_of(site: Site, remotes: Iterable[str]) -> set[str]:
    return {by for name in remotes if (by := site.remotes[name].by)}
