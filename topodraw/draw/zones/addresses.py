"""A VLAN's addresses in numbers and in short: how many are used, and an address without what its subnet
says."""

from __future__ import annotations

import ipaddress
from dataclasses import dataclass

from topodraw.draw.zones.contents import gateways_of
from topodraw.model.fields import Address, Network
from topodraw.model.network import Vlan
from topodraw.model.site import Site

_SMALL_IPV6 = 2**32


@dataclass(frozen=True, slots=True)
class Use:
    """Addresses of a VLAN's first IPv4 subnet: stated ones, those handed out by DHCP beside them, and all."""

    stated: int
    handed_out: int
    total: int


def short(address: Address, subnets: tuple[Network, ...]) -> str:
    """`.1` for 10.0.0.1 in 10.0.0.0/24, `::1` for an IPv6 address; whole where no subnet holds it."""
    for subnet in subnets:
        if address.version == subnet.version and address in subnet:
            if address.version == 4:
                kept = min(subnet.prefixlen // 8, 3)
                return "." + ".".join(str(address).split(".")[kept:]) if kept else str(address)
            inside = int(address) - int(subnet.network_address)
            return str(ipaddress.IPv6Address(inside)) if inside < _SMALL_IPV6 else str(address)
    return str(address)


def gateway_addresses(site: Site, vlan: Vlan) -> list[Address]:
    """Addresses of a VLAN's gateway: the shared ones, else those of who is it."""
    if vlan.gateway is None:
        return []
    if vlan.gateway.shared:
        return list(vlan.gateway.shared)
    found: list[Address] = []
    for name in gateways_of(vlan):
        if name in site.gear:
            found += site.gear[name].addresses.get(vlan.name, ())
        elif name in site.workloads:
            found += _of_workload(site, name, vlan.name)
    return list(dict.fromkeys(found))


def _of_workload(site: Site, name: str, vlan: str) -> list[Address]:
    workload = site.workloads[name]
    own = [workload.address] if workload.vlan == vlan and workload.address is not None else []
    return [*own, *workload.addresses.get(vlan, ())]


def stated_addresses(site: Site, vlan: Vlan) -> set[Address]:
    """Every address that the model gives to somebody in a VLAN."""
    found: set[Address] = set(vlan.gateway.shared if vlan.gateway is not None else ())
    for gear in site.gear.values():
        found.update(gear.addresses.get(vlan.name, ()))
    for name in site.workloads:
        found.update(_of_workload(site, name, vlan.name))
    return found


def use(site: Site, vlan: Vlan) -> Use | None:
    """Use of a VLAN's first IPv4 subnet; None where it has none."""
    subnet = next((net for net in vlan.subnets if net.version == 4), None)
    if subnet is None:
        return None
    total = subnet.num_addresses - (2 if subnet.prefixlen < 31 else 0)
    stated = {address for address in stated_addresses(site, vlan) if address in subnet}
    handed_out = 0
    if vlan.dhcp is not None and vlan.dhcp.first.version == 4 and vlan.dhcp.last.version == 4:
        first, last = int(vlan.dhcp.first), int(vlan.dhcp.last)
        inside = sum(first <= int(address) <= last for address in stated)
        handed_out = max(0, last - first + 1 - inside)
    return Use(len(stated), handed_out, total)
