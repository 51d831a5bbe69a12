"""Rules about subnets, the ranges handed out in them, their gateways and routes."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from topodraw.model.fields import Address, Network
from topodraw.rules.addresses import holders
from topodraw.rules.rule import COMMON_PRACTICE, Objection, Outcome, rule

if TYPE_CHECKING:
    from topodraw.compute.facts import Facts
    from topodraw.model.site import Site


@rule(
    name="subnets-overlap",
    severity="error",
    question="Does no subnet overlap another one?",
    why="Where two subnets overlap, a gateway can't tell which VLAN an address is in, so one of "
    "them is cut off.",
    fix="Choose a free subnet for one of them.",
    source="RFC 1812 section 5.2.4 (one longest match decides; from memory)",
    breaks="""\
vlans:
  science: {id: 20, subnet: 192.0.2.0/25}
  watch: {id: 40, subnet: 192.0.2.64/26}
""",
    keeps="""\
vlans:
  science: {id: 20, subnet: 192.0.2.0/26}
  watch: {id: 40, subnet: 192.0.2.64/26}
""",
)
def subnets_overlap(facts: Facts) -> Iterator[Outcome]:
    vlans = facts.site.vlans.values()
    order = {vlan.name: number for number, vlan in enumerate(vlans)}
    stated = [(subnet, vlan.name) for vlan in vlans for subnet in vlan.subnets]
    stated.sort(
        key=lambda item: (item[0].version, int(item[0].network_address), item[0].prefixlen, order[item[1]])
    )
    around: list[tuple[Network, str]] = []
    for subnet, name in stated:
        while around and not _overlaps(around[-1][0], subnet):
            around.pop()
        if around:
            wider, other = around[-1]
            later = max(name, other, key=lambda vlan: order[vlan])
            relation = "is the same as" if wider == subnet else "lies inside"
            yield Objection(
                tuple(dict.fromkeys((other, name))),
                f"The subnet {subnet} of {name} {relation} {wider} of {other}.",
                ("vlans", later, "subnet"),
            )
        around.append((subnet, name))
    yield from _remote_inside_vlan(facts.site)


def _overlaps(one: Network, other: Network) -> bool:
    return one.version == other.version and one.overlaps(other)


def _remote_inside_vlan(site: Site) -> Iterator[Outcome]:
    # A remote may hold a wider range that takes the site in: the longest match still finds the VLAN.
    for remote in site.remotes.values():
        for far in remote.subnets:
            for vlan in site.vlans.values():
                for near in vlan.subnets:
                    if _overlaps(near, far) and far.prefixlen >= near.prefixlen:
                        relation = "is the same as" if near == far else "lies inside"
                        yield Objection(
                            (vlan.name, remote.name),
                            f"The subnet {far} of {remote.name} {relation} {near} of {vlan.name}.",
                            ("remotes", remote.name, "subnets"),
                        )


@rule(
    name="dhcp-range-outside-subnet",
    severity="error",
    question="Does each range that is handed out lie inside a subnet of its VLAN?",
    why="Whoever gets an address from outside the subnet can't reach the gateway.",
    fix="Choose a range inside the VLAN's subnet.",
    source="RFC 2131 section 4.3.1 (an address fit for the client's subnet; from memory)",
    breaks="""\
vlans:
  science: {id: 20, subnet: 192.0.2.0/26, dhcp: {range: 192.0.2.40-192.0.2.80}}
""",
    keeps="""\
vlans:
  science: {id: 20, subnet: 192.0.2.0/26, dhcp: {range: 192.0.2.40-192.0.2.60}}
""",
)
def dhcp_range_outside_subnet(facts: Facts) -> Iterator[Outcome]:
    for vlan in facts.site.vlans.values():
        if vlan.dhcp is None or not vlan.subnets:
            continue
        ends = (vlan.dhcp.first, vlan.dhcp.last)
        if not any(all(end in subnet for end in ends) for subnet in vlan.subnets):
            listed = " or ".join(map(str, vlan.subnets))
            yield Objection(
                (vlan.name,),
                f"{vlan.name} hands out {ends[0]}-{ends[1]}, which is not inside {listed}.",
                ("vlans", vlan.name, "dhcp", "range"),
            )


@rule(
    name="dhcp-range-backwards",
    severity="error",
    question="Does each range that is handed out run from its lower to its higher address?",
    why="A range that ends before it begins holds no address: nobody gets one.",
    fix="Swap the two ends of the range.",
    source=COMMON_PRACTICE,
    breaks="""\
vlans:
  science: {id: 20, subnet: 192.0.2.0/26, dhcp: {range: 192.0.2.60-192.0.2.40}}
""",
    keeps="""\
vlans:
  science: {id: 20, subnet: 192.0.2.0/26, dhcp: {range: 192.0.2.40-192.0.2.60}}
""",
)
def dhcp_range_backwards(facts: Facts) -> Iterator[Outcome]:
    for vlan in facts.site.vlans.values():
        dhcp = vlan.dhcp
        if dhcp and dhcp.first.version == dhcp.last.version and int(dhcp.first) > int(dhcp.last):
            yield Objection(
                (vlan.name,),
                f"{vlan.name} hands out {dhcp.first}-{dhcp.last}, which ends before it begins.",
                ("vlans", vlan.name, "dhcp", "range"),
                f"Write {dhcp.last}-{dhcp.first}.",
            )


_GATE = """\
hardware:
  gate-4: {function: firewall, ports: {p1..p4: {jack: RJ45, speeds: [1G]}}}
vlans:
  science: {id: 20, subnet: 192.0.2.0/26, gateway: gate}
gear:
"""


@rule(
    name="gateway-without-address",
    severity="warning",
    question="Has each gateway an address in the VLAN that it is the gateway of?",
    why="Whoever is in the VLAN sends everything for elsewhere to the gateway's address there.",
    fix="State the gateway's address in that VLAN.",
    source="RFC 1812 section 2.2.3 (a router has an address on each network it joins; from memory)",
    breaks=_GATE + "  gate: {model: gate-4}\n",
    keeps=_GATE + "  gate: {model: gate-4, addresses: {science: 192.0.2.1}}\n",
)
def gateway_without_address(facts: Facts) -> Iterator[Outcome]:
    has = {(holder.name, holder.vlan) for holder in holders(facts.site)}
    for vlan in facts.site.vlans.values():
        if vlan.gateway is None or not vlan.subnets or vlan.gateway.shared:
            continue
        for name in vlan.gateway.by:
            gear = facts.site.gear.get(name)
            if (name, vlan.name) not in has and (gear is None or gear.state == "in-service"):
                section = "workloads" if gear is None else "gear"
                yield Objection(
                    (name, vlan.name),
                    f"{name} is the gateway of {vlan.name} and has no address there.",
                    (section, name),
                    f"State an address of {' or '.join(map(str, vlan.subnets))} for {name} under "
                    f"{vlan.name}.",
                )


_ROUTE = """\
hardware:
  gate-4: {function: firewall, ports: {p1..p4: {jack: RJ45, speeds: [1G]}}}
vlans:
  science: {id: 20, subnet: 192.0.2.0/26}
  transit: {id: 99, subnet: 198.51.100.0/29}
gear:
"""


@rule(
    name="route-next-hop-out-of-reach",
    severity="error",
    question="Is the next hop of each route in a VLAN where the gear has an address, and not the "
    "gear itself?",
    why="A route whose next hop can't be reached directly is not used: its traffic is dropped.",
    fix="Name a next hop in a VLAN that the gear is in, or give the gear an address there.",
    source="RFC 1812 section 5.2.4 (next hop on a directly connected network; from memory)",
    breaks=_ROUTE
    + "  gate: {model: gate-4, addresses: {science: 192.0.2.1}, routes: {203.0.113.0/24: 198.51.100.2}}\n",
    keeps=_ROUTE
    + "  gate: {model: gate-4, addresses: {transit: 198.51.100.1}, routes: {203.0.113.0/24: 198.51.100.2}}\n",
)
def route_next_hop_out_of_reach(facts: Facts) -> Iterator[Outcome]:
    shared: dict[str, set[str]] = {}
    for vlan in facts.site.vlans.values():
        for name in vlan.gateway.by if vlan.gateway else ():
            shared.setdefault(name, set()).add(vlan.name)
    for gear in facts.site.gear.values():
        joined = set(gear.addresses) | shared.get(gear.name, set())
        own = {address for addresses in gear.addresses.values() for address in addresses}
        for prefix, hop in gear.routes.items():
            vlan_name = _vlan_around(facts.site, hop)
            if hop in own:
                message = f"{gear.name} sends {prefix} to {hop}, which is its own address."
            elif vlan_name is not None and vlan_name not in joined:
                message = f"{gear.name} sends {prefix} to {hop} in {vlan_name}, where it has no address."
            else:
                continue
            yield Objection((gear.name,), message, ("gear", gear.name, "routes", str(prefix)))


def _vlan_around(site: Site, address: Address) -> str | None:
    for vlan in site.vlans.values():
        if any(address.version == subnet.version and address in subnet for subnet in vlan.subnets):
            return vlan.name
    return None
