"""The bridged network: bridges, their ports, what joins them, and the stations at the edge.

A *bridge* is gear that forwards frames, or a stack that acts as one. A *station* is everything else that has
a link: end stations, gateways, hosts, and the management port of a bridge. A *join* is what bridges see
between two ports: one link, or all the links of an aggregate between the same two ends.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from topodraw.compute.bridge_ports import PortGroup, PortPlan, cost_of, plan_ports, priority_of, vlans_of
from topodraw.compute.links import Link
from topodraw.model.cabling import AggregateMode
from topodraw.model.gear import Gear, Tagged
from topodraw.model.site import Site
from topodraw.standards.path_costs import BRIDGE_PRIORITY_DEFAULT

OwnerKind = Literal["bridge", "station", "remote"]


@dataclass(frozen=True, slots=True)
class BridgePort:
    """A port of a bridge as spanning tree sees it: a single port, or a whole aggregate.

    `name` is `gear/port`, or the aggregate's name; `members` are the physical ports.
    """

    bridge: str
    name: str
    members: tuple[str, ...]
    links: tuple[int, ...]
    """Indices into `Network.links`."""
    speed_bps: int | None
    cost: int
    priority: int
    number: int
    edge: bool
    untagged: str | None
    tagged: Tagged
    stated: bool
    """Whether any VLAN statement applies; without one it is an untagged member of no VLAN."""
    joins: tuple[int, ...]
    """Indices into `Network.joins`; none where no link of the port carries frames."""
    one_join_at_a_time: bool
    """Whether only the first live join is used: active-standby, or an aggregate spread over two partners."""
    restricted_role: bool


@dataclass(frozen=True, slots=True)
class Bridge:
    """Gear that forwards frames, or a stack that acts as one."""

    name: str
    members: tuple[str, ...]
    """Gear names; one, or the stack's members."""
    runs_spanning_tree: bool
    priority: int
    mac: str | None
    ports: tuple[str, ...]
    """Names of its bridge ports in port-number order: those with a link, up or down."""
    reads_tags: bool
    """False: every frame passes with the tag it has (`managed: false`, converters, injectors)."""

    @property
    def bridge_id(self) -> str | None:
        """`priority.mac`; None where the MAC is unknown."""
        return None if self.mac is None else f"{self.priority}.{self.mac}"


@dataclass(frozen=True, slots=True)
class StationPort:
    """A port of a station, or several that act as one and never forward between each other.

    Without a VLAN statement of its own (`stated` False) it takes what the bridge port at its far end gives.
    """

    station: str
    name: str
    members: tuple[str, ...]
    mode: Literal["single"] | AggregateMode
    untagged: str | None
    tagged: Tagged
    stated: bool
    joins: tuple[int, ...]
    """Indices into `Network.joins`, in the order in which an active-standby group uses them."""
    one_join_at_a_time: bool


@dataclass(frozen=True, slots=True)
class JoinEnd:
    """One end of a join: the bridge, station or remote, and the name of its (logical) port."""

    kind: OwnerKind
    owner: str
    port: str

    @property
    def key(self) -> tuple[str, str]:
        """The key into `Network.ports` or `Network.station_ports`."""
        return (self.owner, self.port)


@dataclass(frozen=True, slots=True)
class Join:
    """What lies between two ports: one link, or all links of an aggregate between the same two ends.

    `physical` are the ends of its first link in the order of `ends`, `gear/port` or the name of a remote.
    """

    ends: tuple[JoinEnd, JoinEnd]
    links: tuple[int, ...]
    physical: tuple[str, str]

    @property
    def between_bridges(self) -> bool:
        """Whether both ends are bridge ports."""
        return self.ends[0].kind == self.ends[1].kind == "bridge"


@dataclass(frozen=True, slots=True)
class Network:
    """The bridged network of a site; names in source order, ports in port-number order."""

    links: tuple[Link, ...]
    bridges: Mapping[str, Bridge]
    bridge_of: Mapping[str, str]
    """The bridge that a gear is, or is a member of."""
    ports: Mapping[tuple[str, str], BridgePort]
    """Bridge ports that have a link, by (bridge, port name)."""
    station_ports: Mapping[tuple[str, str], StationPort]
    """By (station, port name)."""
    joins: tuple[Join, ...]
    port_key: Mapping[str, tuple[str, str]]
    """Physical port `gear/port` to the key of the bridge or station port that it belongs to."""
    join_of_link: Mapping[int, int]
    """Link index to join index; a link that doesn't carry has no join."""
    vlan_names: tuple[str, ...]

    def carries(self, port: BridgePort | StationPort, vlan: str) -> bool:
        """Whether a port's own statement gives it a VLAN, tagged or untagged."""
        if port.untagged == vlan:
            return True
        return port.tagged == "all" or vlan in port.tagged

    def tagged_vlans(self, port: BridgePort | StationPort) -> tuple[str, ...]:
        """The VLANs a port carries tagged; `all` is every VLAN of the site but the untagged one."""
        if port.tagged == "all":
            return tuple(name for name in self.vlan_names if name != port.untagged)
        return port.tagged


def bridged_network(site: Site, links: Sequence[Link]) -> Network:
    """Return the bridged network that `links` make of a site.

    Only links that carry join anything; a bridge port whose links are all down is kept, without joins. Path
    costs are those of `site.path-costs` (IEEE 802.1D-2004 Table 17-3 or 802.1D-1998 Table 8-5) for the sum of
    an aggregate's members, unless a cost is stated. A port is an edge port where stated, else where all its
    links lead to stations.
    """
    bridge_of = _bridge_of(site)
    plan = plan_ports(site, links, bridge_of)
    joins, join_of_link, joins_of = _joins(site, links, plan)
    ports = {
        key: _bridge_port(site, links, group, joins, joins_of.get(key, ()))
        for key, group in sorted(plan.groups.items(), key=lambda item: item[1].number)
        if group.kind == "bridge"
    }
    names_of: dict[str, list[str]] = {}
    for bridge, name in ports:
        names_of.setdefault(bridge, []).append(name)
    stations = {
        key: _station_port(site, group, joins, joins_of.get(key, ()))
        for key, group in plan.groups.items()
        if group.kind == "station"
    }
    return Network(
        links=tuple(links),
        bridges=_bridges(site, bridge_of, names_of),
        bridge_of=bridge_of,
        ports=ports,
        station_ports=stations,
        joins=joins,
        port_key=plan.key_of_port,
        join_of_link=join_of_link,
        vlan_names=tuple(site.vlans),
    )


def _bridge_of(site: Site) -> dict[str, str]:
    stack_of = {member: stack.name for stack in site.stacks.values() for member in stack.members}
    return {
        name: stack_of.get(name, name)
        for name, gear in site.gear.items()
        if gear.state == "in-service" and (gear.hardware.forwards or _only_passes_on(gear))
    }


def _only_passes_on(gear: Gear) -> bool:
    """Whether frames pass between its ports although it decides nothing, as in a media converter."""
    return gear.hardware.forwards_stated is None and gear.function in ("converter", "injector")


def _bridges(
    site: Site, bridge_of: Mapping[str, str], names_of: Mapping[str, list[str]]
) -> dict[str, Bridge]:
    members: dict[str, list[Gear]] = {}
    for stack in site.stacks.values():  # in the stack's own order
        living = [site.gear[name] for name in stack.members if name in bridge_of]
        if living:
            members[stack.name] = living
    for gear_name, bridge in bridge_of.items():
        if bridge not in members:
            members[bridge] = [site.gear[gear_name]]
    in_source_order = dict.fromkeys(bridge_of.values())
    return {name: _bridge(site, name, members[name], names_of.get(name, [])) for name in in_source_order}


def _bridge(site: Site, name: str, members: Sequence[Gear], ports: Sequence[str]) -> Bridge:
    stack = site.stacks.get(name) if members[0].name != name else None
    priorities = [gear.bridge.priority for gear in members if gear.bridge.priority is not None]
    if stack is not None and stack.priority is not None:
        priorities.insert(0, stack.priority)
    macs = [gear.mac for gear in members if gear.mac is not None]
    if stack is not None and stack.mac is not None:
        macs.insert(0, stack.mac)
    reads_tags = all(gear.hardware.managed and not _only_passes_on(gear) for gear in members)
    protocols = [gear.bridge.protocol for gear in members if gear.bridge.protocol is not None]
    protocol = protocols[0] if protocols else ("none" if members[0].function == "access-point" else "rstp")
    return Bridge(
        name=name,
        members=tuple(gear.name for gear in members),
        runs_spanning_tree=reads_tags and protocol != "none",
        priority=priorities[0] if priorities else BRIDGE_PRIORITY_DEFAULT.value,
        mac=macs[0] if macs else None,
        ports=tuple(ports),
        reads_tags=reads_tags,
    )


def _joins(
    site: Site, links: Sequence[Link], plan: PortPlan
) -> tuple[tuple[Join, ...], dict[int, int], dict[tuple[str, str], tuple[int, ...]]]:
    """Group the links that carry by the two logical ports at their ends."""
    position = {cable: i for group in site.aggregates.values() for i, cable in enumerate(group.cables)}
    between: dict[tuple[JoinEnd, JoinEnd], list[int]] = {}
    for index, link in enumerate(links):
        ends = plan.ends_of_link.get(index)
        if ends is None or not link.carries:
            continue
        pair = (JoinEnd(*ends[0]), JoinEnd(*ends[1]))
        if pair[0] != pair[1]:  # a link from an aggregate to itself joins nothing
            between.setdefault(pair[::-1] if pair[::-1] in between else pair, []).append(index)
    joins: list[Join] = []
    join_of_link: dict[int, int] = {}
    order_of: dict[tuple[str, str], list[tuple[int, int]]] = {}
    for pair, indices in between.items():
        first = links[indices[0]]
        rank = min(position.get(cable, 0) for cable in first.cables)
        join_of_link.update(dict.fromkeys(indices, len(joins)))
        for end in pair:
            order_of.setdefault(end.key, []).append((rank, len(joins)))
        forwards = plan.ends_of_link[indices[0]][0] == (pair[0].kind, pair[0].owner, pair[0].port)
        physical = first.ends if forwards else (first.ends[1], first.ends[0])
        joins.append(Join(pair, tuple(indices), physical))
    return tuple(joins), join_of_link, {key: tuple(j for _, j in sorted(of)) for key, of in order_of.items()}


def _bridge_port(
    site: Site, links: Sequence[Link], group: PortGroup, joins: Sequence[Join], own_joins: tuple[int, ...]
) -> BridgePort:
    live = [index for index in group.links if links[index].carries] or list(group.links)
    speeds = [links[index].speed_bps for index in live]
    speed = None if None in speeds else sum(rate for rate in speeds if rate is not None)
    untagged, tagged, stated = vlans_of(group.ports)
    edges = [port.edge for port in group.ports if port.edge is not None]
    far = [end for join in own_joins for end in joins[join].ends if end.key != (group.owner, group.name)]
    faces_stations = bool(far) and all(end.kind == "station" for end in far)
    return BridgePort(
        bridge=group.owner,
        name=group.name,
        members=tuple(port.reference for port in group.ports),
        links=tuple(group.links),
        speed_bps=speed,
        cost=cost_of(site, group, speed),
        priority=priority_of(site, group),
        number=group.number,
        edge=edges[0] if edges else faces_stations,
        untagged=untagged,
        tagged=tagged,
        stated=stated,
        joins=own_joins,
        one_join_at_a_time=group.mode != "single" and len(own_joins) > 1,
        restricted_role=any(port.restricted_role for port in group.ports),
    )


def _station_port(
    site: Site, group: PortGroup, joins: Sequence[Join], own_joins: tuple[int, ...]
) -> StationPort:
    untagged, tagged, stated = vlans_of(group.ports)
    return StationPort(
        station=group.owner,
        name=group.name,
        members=tuple(port.reference for port in group.ports),
        mode=group.mode,
        untagged=untagged,
        tagged=tagged,
        stated=stated,
        joins=own_joins,
        one_join_at_a_time=group.mode not in ("single", "spread") and len(own_joins) > 1,
    )
