"""Whether two things can talk inside a VLAN, by which ports and cables, and if not, where it ends."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from topodraw.compute.network import JoinEnd, Network
from topodraw.compute.outage import Failure, NetworkState
from topodraw.compute.vlan_members import hosts_of, offers_of
from topodraw.compute.vlan_path import Attachment, Crossing, VlanPaths

if TYPE_CHECKING:
    from topodraw.compute.facts import Facts


@dataclass(frozen=True, slots=True)
class Hop:
    """One link on the way: the port left, the port reached, and what lies between.

    An aggregate's hop names the first live member's ports and all its live cables and panel ports.
    """

    leaves: str
    arrives: str
    aggregate: str | None
    cables: tuple[str, ...]
    through: tuple[str, ...]
    tag: str | None
    """The VLAN the frames are tagged with; None where they carry no tag."""
    speed_bps: int | None


@dataclass(frozen=True, slots=True)
class Reached:
    """They can talk: the hops, and the narrowest speed in bit/s (None where one is unknown)."""

    vlan: str
    hops: tuple[Hop, ...]
    speed_bps: int | None


@dataclass(frozen=True, slots=True)
class NotReached:
    """They can't: why in a sentence, and the ports where it ends."""

    vlan: str | None
    because: str
    at: tuple[str, ...]


def layer2_path(
    facts: Facts, source: str, target: str, vlan: str | None = None, failures: Sequence[Failure] = ()
) -> Reached | NotReached:
    """Say whether frames get from `source` to `target` on the active tree, after `failures`.

    Both are the name of gear, a stack, or a workload, or a port `gear/port`. Without `vlan` every VLAN that
    both take part in is tried in the site's order. Raises ValueError for a name that is none of these.
    """
    ends = places_of(facts, source), places_of(facts, target)
    shared = [name for name in facts.site.vlans if name in ends[0] and name in ends[1]]
    tried = shared if vlan is None else [vlan]
    if not tried:
        said = " and ".join(
            f"{name} is in {_listed(list(at))}" for name, at in zip((source, target), ends, strict=True)
        )
        return NotReached(None, f"They share no VLAN: {said}.", ())
    state = facts.outages.after(*failures) if failures else facts.outages.normal
    first_reason: NotReached | None = None
    for name in tried:
        starts, goals = ends[0].get(name, []), ends[1].get(name, [])
        if not starts or not goals:
            absent = source if not starts else target
            return NotReached(name, f"{absent} takes no part in {name}.", ())
        way = facts.paths.way(state, name, starts, goals)
        if way is not None:
            return _reached(state, name, way)
        first_reason = first_reason or _where_it_ends(facts.paths, state, name, starts, goals)
    assert first_reason is not None  # `tried` isn't empty
    return first_reason


def places_of(facts: Facts, name: str) -> dict[str, list[Attachment]]:
    """Where a thing takes part in each VLAN: as a member, and as a bridge or port that carries it.

    Raises ValueError for a name that is no gear, stack, workload or port of the network.
    """
    network, site = facts.network, facts.site
    if name in network.port_key:
        return _places_of_port(facts, network.port_key[name])
    if name in site.workloads and name not in site.gear:
        found: dict[str, list[Attachment]] = {}
        for host in dict.fromkeys(hosts_of(site, name)):
            for vlan, places in _places_as_member(facts, host, name).items():
                found.setdefault(vlan, []).extend(places)
        return found
    if name not in site.gear and name not in site.stacks:
        raise ValueError(f"the site has no gear, stack, workload or cabled port {name}")
    found = {} if name in site.stacks else _places_as_member(facts, name, None)
    bridge = network.bridge_of.get(name, name)
    if bridge in network.bridges:
        own = Attachment(bridge)
        for port_name in network.bridges[bridge].ports:
            for vlan in facts.paths.tags(JoinEnd("bridge", bridge, port_name)):
                if own not in found.setdefault(vlan, []):
                    found[vlan].append(own)
    return found


def _places_of_port(facts: Facts, key: tuple[str, str]) -> dict[str, list[Attachment]]:
    """A station's port itself; of a bridge's port the bridge, in the VLANs that the port carries."""
    is_bridge = key in facts.network.ports
    tags = facts.paths.tags(JoinEnd("bridge" if is_bridge else "station", *key))
    place = Attachment(key[0]) if is_bridge else Attachment(*key)
    return {vlan: [place] for vlan in tags}


def _places_as_member(facts: Facts, gear: str, who: str | None) -> dict[str, list[Attachment]]:
    """Where gear (or a workload `who` on it) is a member, and the VLANs that its station ports take."""
    found: dict[str, list[Attachment]] = {}
    for port in facts.network.station_ports.values():
        if port.station == gear and port.joins:
            members = facts.members.at_port.get((gear, port.name), {})
            taken = facts.paths.tags(JoinEnd("station", gear, port.name)) if who is None else {}
            for vlan in dict.fromkeys((*members, *taken)):
                if who is None or who in members.get(vlan, ()):
                    found.setdefault(vlan, []).append(Attachment(gear, port.name))
    if who is None:
        for point, vlan in offers_of(facts.site, facts.network, facts.site.gear[gear]):
            found.setdefault(vlan, []).append(Attachment(point))
    bridge = facts.network.bridge_of.get(gear)
    if bridge is not None:
        for vlan, names in facts.members.at_bridge.get(bridge, {}).items():
            if (who or gear) in names:
                found.setdefault(vlan, []).append(Attachment(bridge))
    return found


def _reached(state: NetworkState, vlan: str, way: Sequence[Crossing]) -> Reached:
    hops = tuple(_hop(state, crossing) for crossing in way)
    speeds = [hop.speed_bps for hop in hops]
    narrowest = None if None in speeds else min((s for s in speeds if s is not None), default=None)
    return Reached(vlan, hops, narrowest)


def _hop(state: NetworkState, crossing: Crossing) -> Hop:
    network = state.network
    join = network.joins[crossing.join]
    live = [i for i in join.links if i not in state.loss.links]
    links = [network.links[i] for i in live]
    first = links[0].ends
    if network.port_key.get(first[0], (first[0], first[0])) != join.ends[0].key:
        first = (first[1], first[0])
    leaves, arrives = first if crossing.start == 0 else (first[1], first[0])
    onward = 1 if leaves == links[0].ends[0] else -1
    return Hop(
        leaves=leaves,
        arrives=arrives,
        aggregate=links[0].aggregate if len(join.links) > 1 else None,
        cables=tuple(cable for link in links for cable in link.cables[::onward]),
        through=tuple(port for link in links for port in link.through[::onward]),
        tag=crossing.tag,
        speed_bps=state.speed_bps(crossing.join),
    )


def _where_it_ends(
    paths: VlanPaths,
    state: NetworkState,
    vlan: str,
    starts: Sequence[Attachment],
    goals: Sequence[Attachment],
) -> NotReached:
    """Follow the active links whatever they carry, and name the first that doesn't let the VLAN through."""
    way = _bare_way(paths.network, state, starts, goals)
    if way is None:
        return NotReached(vlan, "No active link joins them.", ())
    for number, start in way:
        join = paths.network.joins[number]
        near, far = join.ends[start], join.ends[1 - start]
        physical = join.physical[start], join.physical[1 - start]
        for end, port in ((near, physical[0]), (far, physical[1])):
            if _reads_tags(paths.network, end) and vlan not in paths.tags(end):
                return NotReached(vlan, f"{port} does not carry {vlan}.", (port,))
        if _reads_tags(paths.network, near) and _reads_tags(paths.network, far):
            one, other = paths.tags(near)[vlan], paths.tags(far)[vlan]
            if one != other:
                tagged = physical[0] if one is not None else physical[1]
                plain = physical[1] if one is not None else physical[0]
                return NotReached(vlan, f"{vlan} is tagged at {tagged} and untagged at {plain}.", physical)
    return NotReached(vlan, f"{vlan} does not pass the bridges in between.", ())


def _reads_tags(network: Network, end: JoinEnd) -> bool:
    return end.kind == "station" or (end.kind == "bridge" and network.bridges[end.owner].reads_tags)


def _bare_way(
    network: Network, state: NetworkState, starts: Sequence[Attachment], goals: Sequence[Attachment]
) -> list[tuple[int, int]] | None:
    """The active joins from a start to a goal, VLANs aside: (join, end it is entered by)."""
    joins_at: dict[Attachment, list[tuple[int, int]]] = {}
    for number, join in enumerate(network.joins):
        for side, end in enumerate(join.ends):
            joins_at.setdefault(_attachment(end), []).append((number, side))
    came: dict[Attachment, tuple[Attachment, int, int] | None] = dict.fromkeys(starts)
    waiting = list(starts)
    for place in waiting:
        if place in goals:
            return _trace(came, place)
        if place.port is not None and place not in starts:
            continue
        for number, side in joins_at.get(place, ()):
            far = _attachment(network.joins[number].ends[1 - side])
            if state.is_active(number) and far not in came:
                came[far] = (place, number, side)
                waiting.append(far)
    return None


def _attachment(end: JoinEnd) -> Attachment:
    return Attachment(end.owner) if end.kind == "bridge" else Attachment(end.owner, end.port)


def _trace(
    came: dict[Attachment, tuple[Attachment, int, int] | None], place: Attachment
) -> list[tuple[int, int]]:
    way: list[tuple[int, int]] = []
    while (step := came[place]) is not None:
        place, number, side = step
        way.append((number, side))
    return way[::-1]


def _listed(names: Iterable[str]) -> str:
    return ", ".join(names) or "none"
