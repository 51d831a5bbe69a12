"""The address register: who has which address, VLAN by VLAN, and what is handed out by DHCP."""

from __future__ import annotations

from dataclasses import dataclass

from topodraw.compute.facts import Facts
from topodraw.model.fields import Address
from topodraw.model.network import Vlan
from topodraw.model.site import Site
from topodraw.report.tables import text_table

CSV_HEADINGS = ("vlan", "vlan_id", "zone", "subnet", "address", "last_address", "who", "what")


@dataclass(frozen=True, slots=True)
class AddressLine:
    """One address, or a range that is handed out. `subnet` is empty for an address outside its VLAN's."""

    address: Address
    last: Address | None
    who: str
    what: str
    subnet: str


def address_register(facts: Facts) -> list[tuple[Vlan, list[AddressLine]]]:
    """Every VLAN in the order of its identifier, with its addresses in rising order, IPv4 first."""
    site = facts.site
    given: dict[str, list[AddressLine]] = {name: [] for name in site.vlans}
    for vlan, address, who, what in _stated(site):
        gateway = site.vlans[vlan].gateway
        role = f"{what}, gateway" if gateway and who in gateway.by else what
        given[vlan].append(AddressLine(address, None, who, role, _subnet(site.vlans[vlan], address)))
    for vlan, lines in given.items():
        dhcp = site.vlans[vlan].dhcp
        if dhcp is not None:
            subnet = _subnet(site.vlans[vlan], dhcp.first)
            lines.append(AddressLine(dhcp.first, dhcp.last, dhcp.by or "", "handed out by DHCP", subnet))
        lines.sort(key=lambda line: (line.address.version, int(line.address), line.who))
    return [
        (vlan, given[vlan.name])
        for vlan in sorted(site.vlans.values(), key=lambda vlan: (vlan.id, vlan.name))
    ]


def _stated(site: Site) -> list[tuple[str, Address, str, str]]:
    found: list[tuple[str, Address, str, str]] = []
    for gear in site.gear.values():
        found += [
            (vlan, address, gear.name, gear.function)
            for vlan, addresses in gear.addresses.items()
            for address in addresses
        ]
    for workload in site.workloads.values():
        if workload.vlan is not None and workload.address is not None:
            found.append((workload.vlan, workload.address, workload.name, workload.kind))
        found += [
            (vlan, address, workload.name, workload.kind)
            for vlan, addresses in workload.addresses.items()
            for address in addresses
        ]
    for vlan in site.vlans.values():
        if vlan.gateway is not None:
            by = ", ".join(vlan.gateway.by)
            found += [(vlan.name, address, by, "shared gateway") for address in vlan.gateway.shared]
    return found


def _subnet(vlan: Vlan, address: Address) -> str:
    return next((str(subnet) for subnet in vlan.subnets if address in subnet), "")


def address_text(facts: Facts) -> str:
    """The register as one text table a VLAN, each under what the VLAN is."""
    return "\n".join(_vlan_text(vlan, lines) for vlan, lines in address_register(facts))


def _vlan_text(vlan: Vlan, lines: list[AddressLine]) -> str:
    about = [f"VLAN {vlan.id} {vlan.name}", ", ".join(map(str, vlan.subnets)) or "no subnet stated"]
    if vlan.zone is not None:
        about.append(f"zone {vlan.zone}")
    about.append(f"gateway {', '.join(vlan.gateway.by)}" if vlan.gateway else "no gateway")
    headings = ("Address", "Who", "What", "")
    rows = [
        (
            str(line.address) if line.last is None else f"{line.address}-{line.last}",
            line.who,
            line.what,
            "outside the subnet" if vlan.subnets and not line.subnet else "",
        )
        for line in lines
    ]
    return f"{'; '.join(about)}\n{text_table(headings, rows) if rows else ''}"


def address_records(facts: Facts) -> list[tuple[str, ...]]:
    """The register as rows under `CSV_HEADINGS`; `last_address` is empty but for a range."""
    return [
        (
            vlan.name,
            str(vlan.id),
            vlan.zone or "",
            line.subnet,
            str(line.address),
            "" if line.last is None else str(line.last),
            line.who,
            line.what,
        )
        for vlan, lines in address_register(facts)
        for line in lines
    ]
