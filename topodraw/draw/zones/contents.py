"""What stands in each zone: its VLANs, and in each VLAN the workloads and gear with their addresses."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from topodraw.compute.facts import Facts
from topodraw.compute.membership import vlans_of_gear, vlans_of_workload, zone_of_remote
from topodraw.model.gear import Gear
from topodraw.model.network import INTERNET, Remote, Vlan
from topodraw.model.site import Site

NO_ZONE = ""
"""Key of what is in no zone."""


@dataclass(frozen=True, slots=True)
class Resident:
    """A workload or gear in one VLAN, with its addresses there."""

    name: str
    is_workload: bool
    vlan: str
    addresses: tuple[str, ...]
    zones: tuple[str, ...]
    """All zones it has a foot in, this one too, in the site's order."""


@dataclass(frozen=True, slots=True)
class VlanContents:
    """A VLAN (None: what is in no VLAN) and who is in it: workloads before gear, in the site's order."""

    vlan: Vlan | None
    residents: tuple[Resident, ...]


@dataclass(slots=True)
class ZoneContents:
    """A zone's VLANs in the site's order, and the remotes that stand in its area."""

    name: str
    title: str
    note: str
    vlans: list[VlanContents] = field(default_factory=list)
    remotes: list[Remote] = field(default_factory=list)

    @property
    def residents(self) -> list[Resident]:
        """Everybody in it, VLAN by VLAN."""
        return [resident for vlan in self.vlans for resident in vlan.residents]


def zone_contents(facts: Facts) -> dict[str, ZoneContents]:
    """Contents by zone name, `NO_ZONE` for what is in none (absent if empty); tunnels are not in them."""
    site = facts.site
    names = list(dict.fromkeys([*site.zones, INTERNET]))
    found = {name: _empty(site, name) for name in [*names, NO_ZONE]}
    feet = _feet(facts)
    zones_of = {who: _zones_of(site, vlans, names) for who, vlans in feet.items()}
    for vlan in site.vlans.values():
        residents = tuple(
            Resident(name, is_workload, vlan.name, _addresses(site, name, is_workload, vlan.name), zones)
            for (name, is_workload), zones in zones_of.items()
            if vlan.name in feet[name, is_workload]
        )
        found[vlan.zone or NO_ZONE].vlans.append(VlanContents(vlan, residents))
    nowhere = tuple(
        Resident(name, True, "", (), ()) for (name, workload), v in feet.items() if workload and not v
    )
    if nowhere:
        found[NO_ZONE].vlans.append(VlanContents(None, nowhere))
    for remote in site.remotes.values():
        if remote.kind == "internet":
            found[zone_of_remote(remote) or INTERNET].remotes.append(remote)
    if not found[NO_ZONE].vlans:
        del found[NO_ZONE]
    return found


def _empty(site: Site, name: str) -> ZoneContents:
    zone = site.zones.get(name)
    if zone is None:
        return ZoneContents(name, "in no zone" if name == NO_ZONE else name, "")
    return ZoneContents(name, zone.title, zone.note or "")


def _zones_of(site: Site, vlans: tuple[str, ...], order: list[str]) -> tuple[str, ...]:
    zones = {site.vlans[vlan].zone for vlan in vlans}
    return tuple(name for name in order if name in zones)


def _feet(facts: Facts) -> Mapping[tuple[str, bool], tuple[str, ...]]:
    """The VLANs of every workload and of all gear that is in one, (name, is it a workload) as key."""
    site = facts.site
    feet: dict[tuple[str, bool], tuple[str, ...]] = {}
    for name in site.workloads:
        feet[name, True] = vlans_of_workload(site, name, facts.links)
    for gear in site.gear.values():
        vlans = _vlans_of(facts, gear)
        if vlans:
            feet[gear.name, False] = vlans
    return feet


def _vlans_of(facts: Facts, gear: Gear) -> tuple[str, ...]:
    """VLANs in which gear is somebody: not where it is the gateway (those borders are the plate's), and not
    where it only hands frames on."""
    site = facts.site
    if gear.addresses or not gear.hardware.forwards:
        vlans = list(vlans_of_gear(site, gear, facts.links))
    else:
        vlans = []
    if gear.wireless is not None and not gear.addresses:
        vlans += [point.ssids[gear.wireless] for point in site.gear.values() if gear.wireless in point.ssids]
    return tuple(
        name
        for name in dict.fromkeys(vlans)
        if name in site.vlans and gear.name not in gateways_of(site.vlans[name])
    )


def gateways_of(vlan: Vlan) -> tuple[str, ...]:
    """Who routes for a VLAN."""
    return vlan.gateway.by if vlan.gateway is not None else ()


def _addresses(site: Site, name: str, is_workload: bool, vlan: str) -> tuple[str, ...]:
    if not is_workload:
        return tuple(str(address) for address in site.gear[name].addresses.get(vlan, ()))
    workload = site.workloads[name]
    found = [str(address) for address in workload.addresses.get(vlan, ())]
    if workload.vlan == vlan and workload.address is not None:
        found.insert(0, str(workload.address))
    return tuple(dict.fromkeys(found))
