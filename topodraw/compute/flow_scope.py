"""What the conduits allow between any two things: zones, VLANs, gear, workloads, clusters or remotes.

A thing is taken apart into the VLANs and remotes it is in, and who in them is meant; a conduit covers it if
it names all of that or more.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from topodraw.compute.membership import (
    remotes_of_zone,
    side_of,
    vlans_of_gear,
    vlans_of_workload,
    vlans_of_zone,
)
from topodraw.model.network import Conduit, Endpoint

if TYPE_CHECKING:
    from topodraw.compute.facts import Facts

Everyone = None
Scope = dict[str, frozenset[str] | None]
"""`zone:z`, `vlan:v` or `remote:r` to who in it is meant; None for everyone."""


def scope_of(facts: Facts, endpoint: Endpoint) -> Scope:
    """Take an endpoint apart. A zone without VLANs or remotes is one part by itself."""
    site, name = facts.site, endpoint.name
    if endpoint.kind == "zone":
        parts = [f"vlan:{v}" for v in vlans_of_zone(site, name)]
        parts += [f"remote:{r}" for r in remotes_of_zone(site, name)]
        return dict.fromkeys(parts or [f"zone:{name}"], Everyone)
    if endpoint.kind in ("vlan", "remote"):
        return {f"{endpoint.kind}:{name}": Everyone}
    if endpoint.kind == "workload":
        return {f"vlan:{v}": frozenset({name}) for v in vlans_of_workload(site, name, facts.links)}
    gear = [name]
    if endpoint.kind == "cluster":
        gear = list(site.clusters[name].members)
    elif endpoint.kind == "pool":
        gear = [site.pools[name].on]
    scope: dict[str, frozenset[str] | None] = {}
    for one in gear:
        for vlan in vlans_of_gear(site, site.gear[one], facts.links):
            scope[f"vlan:{vlan}"] = (scope.get(f"vlan:{vlan}") or frozenset()) | {one}
    return scope


def allowed_services(
    facts: Facts, source: Endpoint, target: Endpoint, whole: bool
) -> Iterator[tuple[str, int | None]]:
    """What `source` may start towards `target`: services, and the number of the conduit (None inside a zone).

    With `whole` a conduit counts only if it holds for all of both ends (for gear, workloads and clusters: for
    one of the VLANs they are in); without, if it holds for any part.
    """
    here, there = scope_of(facts, source), scope_of(facts, target)
    fits = _covers if whole else _meets
    zones = [set(side_of(facts.site, facts.links, end).zones) for end in (source, target)]
    if zones[0] & zones[1]:
        yield "any", None
    for conduit in facts.site.conduits:
        for start, end in _both_ways(facts, conduit):
            if fits(start, here, source.kind) and fits(end, there, target.kind):
                for service in conduit.allow or ("any",):
                    yield service, conduit.number


def paper_only(facts: Facts, source: Endpoint, target: Endpoint) -> list[tuple[str, str]]:
    """The pairs of VLANs or remotes of two things between which traffic is routed and nothing filters."""
    ends = [set(side_of(facts.site, facts.links, end).zones) for end in (source, target)]
    names = [{part.partition(":")[2] for part in scope_of(facts, end)} for end in (source, target)]
    return [
        pair
        for (one, other), pairs in facts.reach.unfiltered.items()
        if one in ends[0] and other in ends[1]
        for pair in pairs
        if pair[0] in names[0] and pair[1] in names[1]
    ]


def _both_ways(facts: Facts, conduit: Conduit) -> list[tuple[Scope, Scope]]:
    start, end = scope_of(facts, conduit.source), scope_of(facts, conduit.target)
    if conduit.to is not None:
        inner = scope_of(facts, conduit.to)
        end = {part: who for part, who in inner.items() if part in end} or inner
    return [(start, end), (end, start)] if conduit.both_ways else [(start, end)]


def _covers(conduit: Scope, thing: Scope, kind: str) -> bool:
    covered = [_part_covered(conduit, part, who) for part, who in thing.items()]
    if kind in ("zone", "vlan", "remote"):
        return bool(covered) and all(covered)
    return any(covered)


def _part_covered(conduit: Scope, part: str, who: frozenset[str] | None) -> bool:
    if part not in conduit:
        return False
    named = conduit[part]
    return named is None or (who is not None and who <= named)


def _meets(conduit: Scope, thing: Scope, kind: str) -> bool:
    for part, who in thing.items():
        if part in conduit:
            named = conduit[part]
            if named is None or who is None or named & who:
                return True
    return False
