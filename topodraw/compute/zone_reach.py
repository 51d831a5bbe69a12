"""What the conduits allow between zones, and what enforces it (IEC 62443-3-2)."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from topodraw.compute.links import Link
from topodraw.compute.membership import Side, remotes_of_zone, side_of, vlans_of_zone, zone_names
from topodraw.compute.services import merge_services
from topodraw.model.network import Conduit
from topodraw.model.site import Site

ANY = "any"


@dataclass(frozen=True, slots=True)
class ConduitReach:
    """One direction of one conduit. `services` is ("any",) for all."""

    number: int
    source: str
    target: str
    """The workload or gear that `to` names, where it does."""
    services: tuple[str, ...]
    enforced_by: tuple[str, ...]
    """Filtering gear in the way; empty: allowed or refused on paper only."""
    source_zones: tuple[str, ...]
    target_zones: tuple[str, ...]
    passes: tuple[str, ...]
    """Every gateway in the way, gear or workload, whether it filters or not."""
    whole: bool
    """It is about all of both zones, not about a VLAN, gear or workload in them."""


@dataclass(frozen=True, slots=True)
class ZoneReach:
    """`zones[a][b]`: "all", "none", or the services that a may start towards b, or towards a part of b.

    ("any",) is everything, but from or into a part of the zone only.
    """

    zones: Mapping[str, Mapping[str, str | tuple[str, ...]]]
    conduits: tuple[ConduitReach, ...]
    unfiltered: Mapping[tuple[str, str], tuple[tuple[str, str], ...]]
    """For zones a and b: pairs of VLANs (or remotes) that are routed to each other with no filter between."""


def zone_reach(site: Site, links: Iterable[Link] = ()) -> ZoneReach:
    """What each zone may start towards each other zone, by the conduits; inside a zone everything is allowed.

    `links` tell the VLAN of gear that states no address. What no conduit names is refused; whether anything
    enforces the refusal is in `unfiltered`.
    """
    names = zone_names(site)
    ways = tuple(sorted(links, key=lambda link: link.ends))
    conduits = tuple(reach for conduit in site.conduits for reach in _directions(site, ways, conduit))
    return ZoneReach(
        zones={source: {target: _allowed(conduits, source, target) for target in names} for source in names},
        conduits=conduits,
        unfiltered=_unfiltered(site, names),
    )


def _directions(site: Site, links: tuple[Link, ...], conduit: Conduit) -> list[ConduitReach]:
    start, end = side_of(site, links, conduit.source), side_of(site, links, conduit.target)
    target = conduit.target
    if conduit.to is not None:
        target = conduit.to
        inner = side_of(site, links, target, within=end.zones)
        end = Side(end.zones, inner.gateways or end.gateways, whole=False)
    there = _reach(site, conduit, (conduit.source.name, start), (target.name, end))
    if not conduit.both_ways:
        return [there]
    return [there, _reach(site, conduit, (target.name, end), (conduit.source.name, start))]


def _reach(site: Site, conduit: Conduit, source: tuple[str, Side], target: tuple[str, Side]) -> ConduitReach:
    start, end = source[1], target[1]
    passes = tuple(sorted({*start.gateways, *end.gateways}))
    return ConduitReach(
        number=conduit.number,
        source=source[0],
        target=target[0],
        services=(ANY,) if ANY in conduit.allow or not conduit.allow else merge_services(conduit.allow),
        enforced_by=tuple(name for name in passes if filters(site, name)),
        source_zones=start.zones,
        target_zones=end.zones,
        passes=passes,
        whole=start.whole and end.whole,
    )


def filters(site: Site, gateway: str) -> bool:
    """Whether a gateway enforces conduits: gear in service whose hardware does. A workload doesn't."""
    gear = site.gear.get(gateway)
    return gear is not None and gear.state == "in-service" and gear.hardware.filters


def _allowed(conduits: tuple[ConduitReach, ...], source: str, target: str) -> str | tuple[str, ...]:
    if source == target:
        return "all"
    concerned = [one for one in conduits if source in one.source_zones and target in one.target_zones]
    if any(one.whole and one.services == (ANY,) for one in concerned):
        return "all"
    services = [service for one in concerned for service in one.services]
    if ANY in services:
        return (ANY,)
    return merge_services(services) or "none"


def _unfiltered(site: Site, names: tuple[str, ...]) -> dict[tuple[str, str], tuple[tuple[str, str], ...]]:
    """Between two VLANs the gateways of both are in the way; of a shared gateway any member may be active.

    A VLAN without gateway is reached by nobody, so nothing needs to filter there.
    """
    doors = {name: _doors(site, name) for name in names}
    found = {}
    for source in names:
        for target in names:
            pairs = tuple(
                (one, two)
                for one, filtered_one in doors[source]
                for two, filtered_two in doors[target]
                if source != target and not (filtered_one or filtered_two)
            )
            if pairs:
                found[source, target] = pairs
    return found


def _doors(site: Site, zone: str) -> list[tuple[str, bool]]:
    """The VLANs and remotes of a zone that have a gateway, and whether every gateway of each filters."""
    doors = []
    for vlan in vlans_of_zone(site, zone):
        gateway = site.vlans[vlan].gateway
        if gateway is not None:
            doors.append((vlan, all(filters(site, by) for by in gateway.by)))
    for name in remotes_of_zone(site, zone):
        by = site.remotes[name].by
        if by is not None:
            doors.append((name, filters(site, by)))
    return doors
