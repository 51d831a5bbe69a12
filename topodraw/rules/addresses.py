"""Rules about where IP addresses lie: inside their subnet, used once, not reserved."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from ipaddress import IPv4Network
from typing import TYPE_CHECKING

from topodraw.model.fields import Address, Network
from topodraw.model.finding import SourcePath
from topodraw.rules.rule import COMMON_PRACTICE, NotJudged, Objection, Outcome, rule

if TYPE_CHECKING:
    from topodraw.compute.facts import Facts
    from topodraw.model.site import Site


@dataclass(frozen=True, slots=True)
class Holder:
    """Who has an address in a VLAN: a gear or workload, and where that is said."""

    name: str
    vlan: str | None
    address: Address
    at: SourcePath
    alike: str
    """What holders that may share one address have in common: their stack under one control, or the name."""


def holders(site: Site) -> list[Holder]:
    """Every address of gear and workloads that are in service, in the source's order."""
    one_control = {
        member: stack.name
        for stack in site.stacks.values()
        if stack.control == "shared"
        for member in stack.members
    }
    found = []
    for gear in site.gear.values():
        if gear.state == "in-service":
            for vlan, addresses in gear.addresses.items():
                at = ("gear", gear.name, "addresses", vlan)
                alike = one_control.get(gear.name, gear.name)
                found += [Holder(gear.name, vlan, address, at, alike) for address in addresses]
    for workload in site.workloads.values():
        name = workload.name
        if workload.address is not None:
            stated_at = ("workloads", name, "address")
            found.append(Holder(name, workload.vlan, workload.address, stated_at, name))
        for vlan, addresses in workload.addresses.items():
            at = ("workloads", name, "addresses", vlan)
            found += [Holder(name, vlan, address, at, name) for address in addresses]
    return found


def _subnets_of(site: Site, holder: Holder) -> list[Network]:
    vlan = site.vlans.get(holder.vlan) if holder.vlan else None
    return [net for net in vlan.subnets if net.version == holder.address.version] if vlan else []


_HARDWARE = """\
hardware:
  cam: {function: camera, ports: {eth: {jack: RJ45, speeds: [100M]}}}
"""
_VLAN = (
    _HARDWARE
    + """\
vlans:
  watch: {id: 40, subnet: 192.0.2.0/26}
gear:
"""
)


@rule(
    name="address-outside-subnet",
    severity="error",
    question="Does each address lie inside a subnet of its VLAN?",
    why="Gear with an address outside its VLAN's subnet can't talk to its neighbours or its gateway.",
    fix="Give it a free address of the VLAN's subnet, or state it under the VLAN it is really in.",
    source="RFC 1122 section 3.3.1.1 (a host sends directly only within its own subnet; from memory)",
    breaks=_VLAN + "  cam-1: {model: cam, addresses: {watch: 192.0.2.70}}\n",
    keeps=_VLAN + "  cam-1: {model: cam, addresses: {watch: 192.0.2.7}}\n",
)
def address_outside_subnet(facts: Facts) -> Iterator[Outcome]:
    for holder in holders(facts.site):
        if holder.address.is_link_local or holder.vlan is None:
            continue
        subnets = _subnets_of(facts.site, holder)
        if not subnets:
            yield NotJudged(
                (holder.name, holder.vlan), f"an IPv{holder.address.version} subnet of {holder.vlan}"
            )
        elif not any(holder.address in subnet for subnet in subnets):
            listed = " or ".join(map(str, subnets))
            yield Objection(
                (holder.name, holder.vlan),
                f"{holder.name} has {holder.address} in {holder.vlan}, which is outside {listed}.",
                holder.at,
                f"Give {holder.name} a free address of {listed}, or state it under the VLAN it is really in.",
            )


@rule(
    name="address-used-twice",
    severity="error",
    question="Does each address belong to one thing?",
    why="Two things with one address take each other's traffic: both fail now and then, and hard to find.",
    fix="Give one of them a free address.",
    source="RFC 5227 section 1 (address conflicts; from memory)",
    breaks=_VLAN
    + """\
  cam-1: {model: cam, addresses: {watch: 192.0.2.7}}
  cam-2: {model: cam, addresses: {watch: 192.0.2.7}}
""",
    keeps=_VLAN
    + """\
  cam-1: {model: cam, addresses: {watch: 192.0.2.7}}
  cam-2: {model: cam, addresses: {watch: 192.0.2.8}}
""",
)
def address_used_twice(facts: Facts) -> Iterator[Outcome]:
    first: dict[tuple[Address, str | None], Holder] = {}
    shared = _shared_addresses(facts.site)
    for holder in holders(facts.site):
        # A link-local address means something only inside its own VLAN, so routers often repeat it.
        key = (holder.address, holder.vlan if holder.address.is_link_local else None)
        earlier = first.setdefault(key, holder)
        if earlier is holder or (earlier.alike == holder.alike and earlier.vlan == holder.vlan):
            continue
        if {earlier.name, holder.name} <= set(shared.get(holder.address, ())):
            continue
        if earlier.name == holder.name:
            message = f"{holder.name} states {holder.address} twice: in {earlier.vlan} and in {holder.vlan}."
        else:
            message = f"{earlier.name} and {holder.name} both have the address {holder.address}."
        names = tuple(dict.fromkeys((earlier.name, holder.name)))
        yield Objection(names, message, holder.at)
    for address, members in shared.items():
        owner = first.get((address, None))
        if owner is not None and owner.name not in members:
            yield Objection(
                (owner.name, *members),
                f"{owner.name} has the address {address}, which {' and '.join(members)} share as a gateway.",
                owner.at,
            )


def _shared_addresses(site: Site) -> dict[Address, tuple[str, ...]]:
    gateways = (vlan.gateway for vlan in site.vlans.values() if vlan.gateway is not None)
    return {address: gateway.by for gateway in gateways for address in gateway.shared}


@rule(
    name="address-not-for-hosts",
    severity="error",
    question="Is no subnet's first or last IPv4 address given to a thing?",
    why="The first address of a subnet names the subnet itself and the last one everybody in it.",
    fix="Give it an address between the two.",
    source="RFC 1122 section 3.2.1.3; RFC 3021 for /31 (from memory)",
    breaks=_VLAN + "  cam-1: {model: cam, addresses: {watch: 192.0.2.63}}\n",
    keeps=_VLAN + "  cam-1: {model: cam, addresses: {watch: 192.0.2.62}}\n",
)
def address_not_for_hosts(facts: Facts) -> Iterator[Outcome]:
    for holder in holders(facts.site):
        for subnet in _subnets_of(facts.site, holder):
            if not isinstance(subnet, IPv4Network) or subnet.prefixlen >= 31:
                continue
            if holder.address in (subnet.network_address, subnet.broadcast_address):
                what = "names the subnet" if holder.address == subnet.network_address else "is for broadcasts"
                usable = f"{subnet.network_address + 1} to {subnet.broadcast_address - 1}"
                yield Objection(
                    (holder.name, str(holder.vlan)),
                    f"{holder.name} has {holder.address}, which in {subnet} {what}.",
                    holder.at,
                    f"Give {holder.name} an address from {usable}.",
                )


@rule(
    name="address-in-dhcp-range",
    severity="warning",
    question="Does no fixed address lie inside the range that is handed out?",
    why="The server may hand the same address to somebody else while its owner is switched off.",
    fix="Move the address out of the range, or shorten the range.",
    source=COMMON_PRACTICE,
    breaks=_HARDWARE
    + """\
vlans:
  watch: {id: 40, subnet: 192.0.2.0/26, dhcp: {range: 192.0.2.30-192.0.2.50}}
gear:
  cam-1: {model: cam, addresses: {watch: 192.0.2.40}}
""",
    keeps=_HARDWARE
    + """\
vlans:
  watch: {id: 40, subnet: 192.0.2.0/26, dhcp: {range: 192.0.2.30-192.0.2.50}}
gear:
  cam-1: {model: cam, addresses: {watch: 192.0.2.20}}
""",
)
def address_in_dhcp_range(facts: Facts) -> Iterator[Outcome]:
    for holder in holders(facts.site):
        vlan = facts.site.vlans.get(holder.vlan) if holder.vlan else None
        dhcp = vlan.dhcp if vlan else None
        if vlan is None or dhcp is None or dhcp.first.version != holder.address.version:
            continue
        if int(dhcp.first) <= int(holder.address) <= int(dhcp.last):
            yield Objection(
                (holder.name, vlan.name),
                f"{holder.name} has {holder.address}, inside the range {dhcp.first}-{dhcp.last} "
                f"that is handed out in {vlan.name}.",
                holder.at,
            )


@rule(
    name="mac-used-twice",
    severity="error",
    question="Does each MAC address belong to one thing?",
    why="Bridges learn where a MAC address is: two things with one address take each other's frames, and two "
    "bridges with one address have one bridge identifier.",
    fix="Read the address off the device again; one of the two is a slip.",
    source="IEEE 802 (universally administered addresses are unique); IEEE 802.1D-2004 9.2.5 (from memory)",
    breaks=_HARDWARE
    + """\
gear:
  cam-1: {model: cam, mac: "02:00:5e:10:00:31"}
  cam-2: {model: cam, mac: "02:00:5e:10:00:31"}
""",
    keeps=_HARDWARE
    + """\
gear:
  cam-1: {model: cam, mac: "02:00:5e:10:00:31"}
  cam-2: {model: cam, mac: "02:00:5e:10:00:32"}
""",
)
def mac_used_twice(facts: Facts) -> Iterator[Outcome]:
    first: dict[str, str] = {}
    for gear in facts.site.gear.values():
        if gear.mac is not None and first.setdefault(gear.mac, gear.name) != gear.name:
            other = first[gear.mac]
            yield Objection(
                (other, gear.name),
                f"{other} and {gear.name} both have the MAC address {gear.mac}.",
                ("gear", gear.name, "mac"),
            )
    for stack in facts.site.stacks.values():
        owner = first.get(stack.mac) if stack.mac else None
        if owner is not None and owner not in stack.members:
            yield Objection(
                (owner, stack.name),
                f"{owner} and the stack {stack.name} both have the MAC address {stack.mac}.",
                ("stacks", stack.name, "mac"),
            )
