"""Conduits as lines to draw: from which area to which, with what said beside them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from topodraw.compute.facts import Facts
from topodraw.compute.flow_scope import allowed_services
from topodraw.compute.membership import side_of
from topodraw.draw.characters import element_id
from topodraw.draw.zones.boxes import Numbered
from topodraw.draw.zones.findings import FindingSpots
from topodraw.draw.zones.residents import PUBLISHED
from topodraw.model.network import INTERNET, Conduit, Endpoint


@dataclass(frozen=True, slots=True)
class Flow:
    """One line: a conduit, several alike from one source, or a tunnel. Areas by key."""

    id: str
    numbers: tuple[int, ...]
    source: str
    targets: tuple[str, ...]
    both_ways: bool
    services: str
    words: str
    title: str
    desc: str = ""
    casing: bool = False
    forward: bool = False
    broken: bool = False
    flags: tuple[Numbered, ...] = field(default=())


def zone_key(name: str) -> str:
    """The key of a zone's area."""
    return f"zone:{name}"


def remote_key(name: str) -> str:
    """The key of a remote's area."""
    return f"remote:{name}"


def flows_of(facts: Facts, spots: FindingSpots) -> list[Flow]:
    """Every conduit, those alike from one source joined, and after them the tunnels that end inside a
    zone."""
    broken = _broken(facts)
    flows = [
        flow
        for conduit in facts.site.conduits
        if (flow := _flow(facts, conduit, conduit.number in broken, spots))
    ]
    joined = _joined(flows)
    for remote in facts.site.remotes.values():
        if remote.kind == "tunnel" and remote.zone is not None:
            by = f" by {remote.by}" if remote.by else ""
            joined.append(
                Flow(
                    element_id("tunnel", remote.name),
                    (),
                    remote_key(remote.name),
                    (zone_key(remote.zone),),
                    True,
                    "all",
                    f"site tunnel{by}",
                    f"{remote.name} is part of zone {remote.zone}, through a tunnel{by}",
                    casing=True,
                )
            )
    return joined


def _area_of(facts: Facts, endpoint: Endpoint) -> str | None:
    if endpoint.kind == "zone":
        return zone_key(endpoint.name)
    if endpoint.kind == "remote" and facts.site.remotes[endpoint.name].kind == "tunnel":
        return remote_key(endpoint.name)
    zones = side_of(facts.site, facts.links, endpoint).zones
    return zone_key(zones[0]) if zones else None


def _flow(facts: Facts, conduit: Conduit, broken: bool, spots: FindingSpots) -> Flow | None:
    source, target = _area_of(facts, conduit.source), _area_of(facts, conduit.target)
    if source is None or target is None:
        return None
    services = "all" if not conduit.allow or "any" in conduit.allow else " ".join(conduit.allow)
    words = []
    if conduit.source.kind != "zone" and source != remote_key(conduit.source.name):
        words.append(f"from {conduit.source.name}")
    aim = conduit.to or conduit.target
    if aim.kind != "zone" and target != remote_key(aim.name):
        words.append(f"to {aim.name}")
    published = _published(facts, conduit)
    if published:
        words.append(PUBLISHED[published])
    if conduit.both_ways:
        words.append("both ways")
    reaches = [each for each in facts.reach.conduits if each.number == conduit.number]
    if reaches and not all(each.enforced_by for each in reaches):
        words.append("not filtered")
    title = f"conduit {conduit.number}: {conduit.flow}, {services}"
    return Flow(
        element_id("conduit", str(conduit.number)),
        (conduit.number,),
        source,
        (target,),
        conduit.both_ways,
        services,
        " ".join(words),
        title + "".join(f", {each}" for each in words),
        conduit.because or "",
        casing=published == "tunnel",
        forward=published == "forward",
        broken=broken,
        flags=spots.take("conduit", str(conduit.number)),
    )


def _published(facts: Facts, conduit: Conduit) -> str | None:
    """How the workload that a conduit from the internet leads to is published."""
    if conduit.to is None or conduit.source.name != INTERNET:
        return None
    workload = facts.site.workloads.get(conduit.to.name)
    return workload.published if workload is not None and conduit.to.kind == "workload" else None


def _joined(flows: Sequence[Flow]) -> list[Flow]:
    """Plain one-way flows from one source with the same services to different areas become one."""
    joined: list[Flow] = []
    for flow in flows:
        plain = not (flow.both_ways or flow.words or flow.casing or flow.broken)
        for place, other in enumerate(joined):
            alike = (other.source, other.services, other.words, other.both_ways, other.broken) == (
                flow.source, flow.services, flow.words, False, False,
            )  # fmt: skip
            if plain and alike and not other.casing and flow.targets[0] not in (*other.targets, other.source):
                if other.source in other.targets:
                    continue
                joined[place] = replace(
                    other,
                    numbers=other.numbers + flow.numbers,
                    targets=other.targets + flow.targets,
                    title=f"{other.title}; {flow.title}",
                    desc=" ".join(words for words in (other.desc, flow.desc) if words),
                    flags=other.flags + flow.flags,
                )
                break
        else:
            joined.append(flow)
    return joined


def _broken(facts: Facts) -> set[int]:
    """Numbers of the conduits by which a broken `never` comes about."""
    numbers: set[int] = set()
    for verdict in facts.promises:
        promise = verdict.promise
        if verdict.outcome != "broken" or promise.kind != "never" or not (promise.source and promise.target):
            continue
        for _, number in allowed_services(facts, promise.source, promise.target, whole=False):
            if number is not None:
                numbers.add(number)
    return numbers
