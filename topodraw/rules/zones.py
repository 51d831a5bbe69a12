"""Rules about zones and conduits: is what they say also enforced, and does it fit what is there."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from topodraw.compute.membership import side_of
from topodraw.compute.services import overlap
from topodraw.model.finding import SourcePath
from topodraw.rules.rule import COMMON_PRACTICE, NotJudged, Objection, Outcome, rule

if TYPE_CHECKING:
    from topodraw.compute.facts import Facts
    from topodraw.model.site import Site

_IEC = "IEC 62443-3-2 (zones and conduits; clause not looked up)"
_ZONES = """\
hardware:
  router-2: {function: router, ports: {p1..p2: {jack: RJ45, speeds: [1G]}}}
  gate-2: {function: firewall, ports: {p1..p2: {jack: RJ45, speeds: [1G]}}}
zones: {science: {title: Science}, guests: {title: Guests}}
vlans:
  science: {id: 20, zone: science, subnet: 192.0.2.0/26, gateway: gate}
  guests: {id: 60, zone: guests, subnet: 192.0.2.64/26, gateway: gate}
gear:
  gate: {model: gate-2, addresses: {science: 192.0.2.1, guests: 192.0.2.65}}
"""


def _gateways(site: Site, name: str) -> tuple[str, ...]:
    """Who routes for a VLAN, or ends a remote."""
    if name in site.vlans:
        gateway = site.vlans[name].gateway
        return gateway.by if gateway else ()
    by = site.remotes[name].by
    return (by,) if by else ()


def _gateway_place(site: Site, name: str) -> SourcePath:
    return ("vlans", name, "gateway") if name in site.vlans else ("remotes", name, "by")


@rule(
    name="refused-on-paper-only",
    severity="warning",
    question="Is what the conduits refuse also kept out by something that filters?",
    why="A gateway that doesn't filter passes everything on, whatever the conduits say: the "
    "refusal is only written.",
    fix="Make a filtering device the gateway, state `filters: true` if it filters, or allow the "
    "traffic by a conduit.",
    source=_IEC,
    breaks=_ZONES.replace("model: gate-2", "model: router-2"),
    keeps=_ZONES,
)
def refused_on_paper_only(facts: Facts) -> Iterator[Outcome]:
    site, reach = facts.site, facts.reach
    told: set[frozenset[str]] = set()
    for (source, target), pairs in reach.unfiltered.items():
        if reach.zones[source][target] == "all" or frozenset((source, target)) in told:
            continue
        shared = next((pair for pair in pairs if _shared_gateway(site, pair)), None)
        if shared is None:
            # Two gateways: whether a way leads from one to the other is not computed yet.
            yield NotJudged(
                (source, target), f"routing between the gateways of {pairs[0][0]} and {pairs[0][1]}"
            )
            continue
        told.add(frozenset((source, target)))
        gateway = _shared_gateway(site, shared)
        yield Objection(
            (source, target, str(gateway)),
            f"Not everything may pass from {source} to {target}, but {gateway} routes between "
            f"{shared[0]} and "
            f"{shared[1]} and does not filter.",
            _gateway_place(site, shared[0]),
        )


def _shared_gateway(site: Site, pair: tuple[str, str]) -> str | None:
    others = _gateways(site, pair[1])
    return next((name for name in _gateways(site, pair[0]) if name in others), None)


_SERVED = (
    _ZONES
    + """\
workloads:
  web: {on: host, vlan: science, serves: [tcp/443]}
conduits:
"""
)
_SERVED = _SERVED.replace("gear:\n", "gear:\n  host: {model: box}\n").replace(
    "hardware:\n", "hardware:\n  box: {function: server}\n"
)


@rule(
    name="conduit-to-elsewhere",
    severity="error",
    question="Does each conduit lead to something inside the zone that it names?",
    why="A conduit into one zone can't let anybody through to a thing in another one.",
    fix="Name the zone that the thing is in, or another thing.",
    source=_IEC,
    breaks=_SERVED + "  - {flow: science -> guests, allow: [tcp/443], to: web}\n",
    keeps=_SERVED + "  - {flow: guests -> science, allow: [tcp/443], to: web}\n",
)
def conduit_to_elsewhere(facts: Facts) -> Iterator[Outcome]:
    site = facts.site
    for conduit in site.conduits:
        if conduit.to is None:
            continue
        zones = side_of(site, facts.links, conduit.target).zones
        own = side_of(site, facts.links, conduit.to).zones
        if own and zones and not set(own) & set(zones):
            yield Objection(
                (str(conduit.flow), conduit.to.name),
                f"The conduit {conduit.flow} leads to {conduit.to.name}, which is in {' and '.join(own)}.",
                (*conduit.at, "to"),
            )


@rule(
    name="conduit-service-not-served",
    severity="warning",
    question="Does the workload at the end of each conduit serve what the conduit lets through?",
    why="An opening that nobody answers is a way in for nothing: mostly a slip in the number.",
    fix="Allow what the workload serves, or say that it serves this too.",
    source=COMMON_PRACTICE,
    breaks=_SERVED + "  - {flow: guests -> science, allow: [tcp/8443], to: web}\n",
    keeps=_SERVED + "  - {flow: guests -> science, allow: [tcp/443], to: web}\n",
)
def conduit_service_not_served(facts: Facts) -> Iterator[Outcome]:
    for conduit in facts.site.conduits:
        workload = facts.site.workloads.get(conduit.to.name) if conduit.to else None
        if conduit.to is None or conduit.to.kind != "workload" or workload is None or not workload.serves:
            continue
        for service in conduit.allow:
            if service not in ("any", "icmp") and not any(overlap(service, own) for own in workload.serves):
                yield Objection(
                    (str(conduit.flow), workload.name, service),
                    f"The conduit {conduit.flow} lets {service} through to {workload.name}, "
                    f"which serves {', '.join(workload.serves)}.",
                    (*conduit.at, "allow"),
                )
