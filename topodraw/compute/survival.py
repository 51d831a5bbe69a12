"""Whether two things keep each other after every single failure of a kind."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from topodraw.compute.outage import Failure, FailureClass, FailureKind, NetworkState, single_failures
from topodraw.compute.reach import places_of
from topodraw.compute.vlan_members import hosts_of
from topodraw.compute.vlan_path import Attachment, Crossing
from topodraw.model.network import Endpoint

if TYPE_CHECKING:
    from topodraw.compute.facts import Facts

CANNOT_FOLLOW = "a VLAN that both ends are in, or a gateway between their VLANs"


@dataclass(frozen=True, slots=True)
class Lost:
    """One failure after which something is no longer kept; `failure` None: it isn't there to begin with."""

    failure: Failure | None
    what: str


@dataclass(frozen=True, slots=True)
class _Leg:
    """One stretch inside a VLAN that has to hold, with the way it takes when nothing has failed."""

    vlan: str
    sources: tuple[Attachment, ...]
    targets: tuple[Attachment, ...]
    normal: tuple[Crossing, ...] | None


@dataclass(frozen=True, slots=True)
class Pair:
    """Two things to be kept together: any of `choices`, each a chain of legs that must all hold."""

    source: str
    target: str
    what: str
    choices: tuple[tuple[_Leg, ...], ...]
    excluded: frozenset[Failure]


def pairs_to_keep(facts: Facts, source: Endpoint, target: Endpoint, vlan: str | None) -> list[Pair] | None:
    """What `keep: source -> target` asks for; None where it can't be followed.

    Between gear or workloads: every VLAN that both are in, or `vlan` alone. Without a common VLAN the way
    leads through a gateway of both VLANs. A zone or VLAN stands for all of its members.
    """
    pairs: list[Pair] = []
    for one in _things(facts, source):
        for other in _things(facts, target):
            if one != other:
                found = _pairs_between(facts, one, other, vlan)
                if found is None:
                    return None
                pairs += found
    return pairs or None


def _things(facts: Facts, endpoint: Endpoint) -> list[str]:
    """The gear and workloads that an endpoint stands for, sorted."""
    site = facts.site
    if endpoint.kind in ("gear", "workload"):
        return [endpoint.name]
    if endpoint.kind == "cluster":
        return sorted(site.clusters[endpoint.name].members)
    if endpoint.kind == "pool":
        return [site.pools[endpoint.name].on]
    if endpoint.kind == "remote":
        by = site.remotes[endpoint.name].by
        return [by] if by else []
    vlans = [v.name for v in site.vlans.values() if endpoint.name in (v.name, v.zone)]
    if endpoint.kind == "zone":
        vlans = [v.name for v in site.vlans.values() if v.zone == endpoint.name]
        ends = [r.by for r in site.remotes.values() if r.by and endpoint.name in (r.zone, r.kind)]
    else:
        vlans, ends = [endpoint.name], []
    places = (*facts.members.at_bridge.values(), *facts.members.at_port.values())
    return sorted({name for at in places for v in vlans for name in at.get(v, ())} | set(ends))


def _pairs_between(facts: Facts, one: str, other: str, vlan: str | None) -> list[Pair] | None:
    here, there = places_of(facts, one), places_of(facts, other)
    shared = [name for name in facts.site.vlans if name in here and name in there]
    wanted = shared if vlan is None else [vlan]
    excluded = frozenset({*_own_failures(facts, one), *_own_failures(facts, other)})
    pairs = []
    for name in wanted:
        leg = _leg(facts, name, here.get(name, []), there.get(name, []))
        pairs.append(Pair(one, other, f"{one} and {other} in {name}", ((leg,),), excluded))
    if pairs:
        return pairs
    choices = tuple(_through_gateways(facts, here, there))
    return [Pair(one, other, f"{one} and {other}", choices, excluded)] if choices else None


def _through_gateways(
    facts: Facts, here: dict[str, list[Attachment]], there: dict[str, list[Attachment]]
) -> Iterator[tuple[_Leg, ...]]:
    """The ways from a VLAN of one thing to a VLAN of the other by one gateway that serves both."""
    for near in here:
        for far in there:
            both = facts.members.gateways.get(near, frozenset()) & facts.members.gateways.get(
                far, frozenset()
            )
            for gateway in sorted(both):
                door = places_of(facts, gateway)
                if near in door and far in door:
                    first = _leg(facts, near, here[near], door[near])
                    yield first, _leg(facts, far, door[far], there[far])


def _leg(facts: Facts, vlan: str, sources: Sequence[Attachment], targets: Sequence[Attachment]) -> _Leg:
    normal = facts.paths.way(facts.outages.normal, vlan, sources, targets)
    return _Leg(vlan, tuple(sources), tuple(targets), normal)


def _own_failures(facts: Facts, name: str) -> Iterator[Failure]:
    """The failures of an end itself: of its gear, of its bridge, of a workload's only host."""
    if name in facts.site.workloads and name not in facts.site.gear:
        hosts = dict.fromkeys(hosts_of(facts.site, name))
        if len(hosts) == 1:
            yield from _own_failures(facts, next(iter(hosts)))
        return
    yield Failure("gear", name)
    yield Failure("bridge", name)
    gear = facts.site.gear.get(name)
    if gear is not None and gear.node_of is not None:
        yield Failure("gear", gear.node_of)


def first_losses(facts: Facts, pairs: Sequence[Pair], failures: Sequence[Failure]) -> list[Lost]:
    """For each pair that isn't kept, every failure that parts it, in the order of `failures`."""
    normal = facts.outages.normal
    missing = [Lost(None, pair.what) for pair in pairs if not _holds(facts, pair, normal)]
    if missing:
        return missing
    lost: list[Lost] = []
    for failure in failures:
        state = facts.outages.after(failure)
        for pair in pairs:
            if failure not in pair.excluded and not _holds(facts, pair, state):
                lost.append(Lost(failure, pair.what))
    return lost


def _holds(facts: Facts, pair: Pair, state: NetworkState) -> bool:
    return any(all(_leg_holds(facts, leg, state) for leg in legs) for legs in pair.choices)


def _leg_holds(facts: Facts, leg: _Leg, state: NetworkState) -> bool:
    """Whether a leg's usual way still stands, or frames find another."""
    if leg.normal is None and state is facts.outages.normal:
        return False
    if leg.normal and all(state.is_active(crossing.join) for crossing in leg.normal):
        return True
    return facts.paths.way(state, leg.vlan, leg.sources, leg.targets) is not None


def failures_named(facts: Facts, survive: str, kind: str | None) -> list[Failure] | None:
    """The failures that `survive` speaks of; None for those of the power supply (breakers, cords)."""
    site, network = facts.site, facts.network
    classes: dict[str, FailureClass] = {"any cable": "cable", "any gear": "gear", "any run": "run"}
    if survive in classes:
        return list(single_failures(site, network, classes[survive]))
    named: dict[str | None, FailureKind] = {"cable": "cable", "run": "run", "gear": "gear", "stack": "bridge"}
    return [Failure(named[kind], survive)] if kind in named else None
