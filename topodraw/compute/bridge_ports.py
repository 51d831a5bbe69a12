"""Which physical ports act as one port of a bridge or station, and that port's cost, priority and VLANs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from topodraw.compute.links import Link
from topodraw.model.cabling import AggregateMode, End
from topodraw.model.gear import Port, Tagged
from topodraw.model.site import Site
from topodraw.standards.path_costs import PORT_PRIORITY_DEFAULT, path_cost_1998, path_cost_2004

_Kind = Literal["bridge", "station", "remote"]
_Mode = Literal["single"] | AggregateMode
_EndKey = tuple[_Kind, str, str]

NEVER_FORWARDING: tuple[AggregateMode, ...] = ("active-standby", "spread")
"""Modes whose members never forward between each other and need no agreement with the far end."""


@dataclass(slots=True)
class PortGroup:
    """Physical ports that act as one port. `number` counts in faceplate order, through a stack's members."""

    kind: _Kind
    owner: str
    name: str
    mode: _Mode
    number: int
    ports: list[Port] = field(default_factory=list)
    links: list[int] = field(default_factory=list)


@dataclass(slots=True)
class PortPlan:
    """The groups by (owner, name), and for each link the two groups at its ends."""

    groups: dict[tuple[str, str], PortGroup] = field(default_factory=dict)
    key_of_port: dict[str, tuple[str, str]] = field(default_factory=dict)
    ends_of_link: dict[int, tuple[_EndKey, _EndKey]] = field(default_factory=dict)


def plan_ports(site: Site, links: Sequence[Link], bridge_of: Mapping[str, str]) -> PortPlan:
    """Group the ports of all links. Console lines and cables inside a stack are left out."""
    plan = PortPlan()
    inside_stacks = {cable for stack in site.stacks.values() for cable in stack.joined_by}
    first_number = _first_numbers(site)
    modes = _bridge_modes(site, links, bridge_of)
    for index, link in enumerate(links):
        ports = [site.port(end) for end in link.terminals]
        if inside_stacks.intersection(link.cables) or any(p and p.hardware.use == "console" for p in ports):
            continue
        ends: list[_EndKey] = []
        for end, text, port in zip(link.terminals, link.ends, ports, strict=True):
            if port is None:
                ends.append(("remote", end.remote or text, end.remote or text))
                continue
            group = _group(site, link, end, port, bridge_of, modes)
            group.number += first_number[port.gear]
            known = plan.groups.setdefault((group.owner, group.name), group)
            known.number = min(known.number, group.number)
            known.ports.append(port)
            known.links.append(index)
            plan.key_of_port[text] = (group.owner, group.name)
            ends.append((group.kind, group.owner, group.name))
        plan.ends_of_link[index] = (ends[0], ends[1])
    return plan


def _first_numbers(site: Site) -> dict[str, int]:
    """What to add to a port's number so that numbers go on through the members of a stack."""
    first = dict.fromkeys(site.gear, 0)
    for stack in site.stacks.values():
        before = 0
        for member in stack.members:
            first[member] = before
            before += len(site.gear[member].ports)
    return first


def _group(
    site: Site,
    link: Link,
    end: End,
    port: Port,
    bridge_of: Mapping[str, str],
    modes: Mapping[tuple[str, str], _Mode],
) -> PortGroup:
    """The group of one port, without members yet."""
    bridge = bridge_of.get(port.gear) if port.hardware.use == "data" else None
    name = str(end)
    if bridge is not None:
        mode = modes.get((link.aggregate, bridge), "single") if link.aggregate else "single"
        if mode != "single" and link.aggregate:
            name = link.aggregate
        return PortGroup("bridge", bridge, name, mode, port.number)
    if link.aggregate:
        mode = site.aggregates[link.aggregate].mode_of(port.gear)
        return PortGroup("station", port.gear, link.aggregate, mode, port.number)
    return PortGroup("station", port.gear, name, "single", port.number)


def _bridge_modes(
    site: Site, links: Sequence[Link], bridge_of: Mapping[str, str]
) -> dict[tuple[str, str], _Mode]:
    """How each bridge takes part in each aggregate that ends on it.

    Where the far end is a host's active-standby or spread pair, a bridge runs its ports one by one (an
    aggregate by protocol finds no partner). A bridge that itself has such a pair towards other bridges owns
    all of the aggregate's links.
    """
    links_of: dict[str, list[Link]] = {}
    for link in links:
        if link.aggregate:
            links_of.setdefault(link.aggregate, []).append(link)
    modes: dict[tuple[str, str], _Mode] = {}
    for name, members in links_of.items():
        aggregate = site.aggregates[name]
        for link in members:
            for end, far in (link.terminals, link.terminals[::-1]):
                bridge = bridge_of.get(end.gear or "")
                if end.gear is None or bridge is None:
                    continue
                mode = aggregate.mode_of(end.gear)
                far_mode = aggregate.mode_of(far.gear) if far.gear else mode
                alone = mode == "lacp" and far_mode in NEVER_FORWARDING
                if mode in NEVER_FORWARDING:
                    alone = not _has_pair_towards_bridges(bridge, members, bridge_of)
                modes[name, bridge] = "single" if alone else mode
    return modes


def _has_pair_towards_bridges(bridge: str, members: Sequence[Link], bridge_of: Mapping[str, str]) -> bool:
    owners = [[bridge_of.get(end.gear or "") for end in link.terminals] for link in members]
    return all(bridge in pair and None not in pair for pair in owners)


def cost_of(site: Site, group: PortGroup, speed_bps: int | None) -> int:
    """Path cost of a port: an aggregate's own, else a member's `port-cost`, else by its speed in bit/s.

    For an aggregate the `port-cost` of one bridge comes before its `cost`, which is about both ends. A stated
    cost of 0 means "by speed", as in RFC 4318.
    """
    tables = [(site.gear[port.gear].bridge.port_cost, port.name) for port in group.ports]
    aggregate = site.aggregates.get(group.name) if group.mode != "single" else None
    stated = [costs.get(group.name) for costs, _ in tables]
    stated += [aggregate.cost] if aggregate is not None else []
    stated += [costs.get(port) for costs, port in tables]
    by_speed = path_cost_1998 if site.info.path_costs == 1998 else path_cost_2004
    return next((cost for cost in stated if cost), None) or by_speed(speed_bps)


def priority_of(site: Site, group: PortGroup) -> int:
    """Port priority: the aggregate's, else the first stated for a member, else the standard's default."""
    tables = [(site.gear[port.gear].bridge.port_priority, port.name) for port in group.ports]
    stated = [priorities.get(group.name) for priorities, _ in tables]
    stated += [priorities.get(port) for priorities, port in tables]
    return next((priority for priority in stated if priority is not None), PORT_PRIORITY_DEFAULT.value)


def vlans_of(ports: Sequence[Port]) -> tuple[str | None, Tagged, bool]:
    """The untagged VLAN, the tagged ones, and whether they are stated: from the first member that says so."""
    for port in ports:
        if port.vlans is not None:
            return port.vlans.untagged, port.vlans.tagged, True
    return None, (), False
