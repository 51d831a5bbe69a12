"""What became of each promise: kept, broken, or not judged for want of data."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from topodraw.compute.flow_scope import allowed_services, paper_only
from topodraw.compute.outage import Failure
from topodraw.compute.services import includes
from topodraw.compute.survival import CANNOT_FOLLOW, failures_named, first_losses, pairs_to_keep
from topodraw.model.network import Endpoint
from topodraw.model.promises import Promise

if TYPE_CHECKING:
    from topodraw.compute.facts import Facts

Outcome = Literal["kept", "broken", "unchecked"]


@dataclass(frozen=True, slots=True)
class Verdict:
    """What became of one promise. `because` is a sentence; `missing` what an unchecked promise would need."""

    promise: Promise
    outcome: Outcome
    because: str
    failures: tuple[Failure, ...] = ()
    """The failures that break a `survive` promise."""
    missing: str | None = None


def judge_promises(facts: Facts) -> tuple[Verdict, ...]:
    """Judge each promise of the site, in its order.

    `root` by the spanning tree; `never` and `always` by the conduits and what enforces them; `survive` by the
    failure engine. Promises about rate, runtime and the power supply are unchecked.
    """
    return tuple(_judge(facts, promise) for promise in facts.site.expect)


def _judge(facts: Facts, promise: Promise) -> Verdict:
    if promise.kind == "root":
        return _root(facts, promise, promise.root or "")
    if promise.source is not None and promise.target is not None:
        if promise.kind == "never":
            return _never(facts, promise, _directions(promise, promise.source, promise.target))
        if promise.kind == "always":
            return _always(facts, promise, _directions(promise, promise.source, promise.target))
        if promise.kind == "survive":
            return _survive(facts, promise, promise.source, promise.target)
    missing = "the speed along the way" if promise.kind == "rate" else "how long the battery lasts"
    return _unchecked(promise, missing)


def _unchecked(promise: Promise, missing: str) -> Verdict:
    return Verdict(promise, "unchecked", f"Not judged for want of {missing}.", missing=missing)


def _root(facts: Facts, promise: Promise, wanted: str) -> Verdict:
    name = facts.network.bridge_of.get(wanted, wanted)
    entry = facts.tree.bridges.get(name)
    if entry is None:
        return Verdict(promise, "broken", f"{wanted} is no bridge in service that runs spanning tree.")
    if entry.root != name:
        root, own = facts.network.bridges[entry.root], facts.network.bridges[name]
        if root.priority < own.priority:
            reason = f"its priority {root.priority} is lower than {own.priority}"
        else:
            reason = f"both have priority {own.priority}, and its MAC address or name comes first"
        return Verdict(promise, "broken", f"{entry.root} is root: {reason}.")
    group = next((group for group in facts.tree.left_to_chance if name in group), None)
    if group is not None:
        unknown = [one for one in group if facts.network.bridges[one].mac is None]
        return _unchecked(promise, f"the MAC address of {', '.join(unknown)}")
    return Verdict(promise, "kept", f"{name} is root.")


def _directions(promise: Promise, source: Endpoint, target: Endpoint) -> list[tuple[Endpoint, Endpoint]]:
    both = promise.flow is not None and promise.flow.both_ways
    return [(source, target), (target, source)] if both else [(source, target)]


def _never(facts: Facts, promise: Promise, directions: list[tuple[Endpoint, Endpoint]]) -> Verdict:
    for source, target in directions:
        for service, conduit in allowed_services(facts, source, target, whole=False):
            why = f"conduit {conduit} allows it" if conduit else "inside one zone everything is allowed"
            sentence = f"{source.name} may start {service} towards {target.name}: {why}."
            return Verdict(promise, "broken", sentence)
        open_pairs = paper_only(facts, source, target)
        if open_pairs:
            one, other = open_pairs[0]
            return Verdict(
                promise,
                "broken",
                f"It is refused on paper only: nothing filters between {one} and {other}.",
            )
    return Verdict(promise, "kept", "No conduit allows it.")


def _always(facts: Facts, promise: Promise, directions: list[tuple[Endpoint, Endpoint]]) -> Verdict:
    allowed: list[str] = []
    for source, target in directions:
        services = [service for service, _ in allowed_services(facts, source, target, whole=True)]
        fitting = [one for one in services if promise.service is None or includes(one, promise.service)]
        if not fitting:
            said = f"only {', '.join(services)}" if services else "nothing"
            return Verdict(promise, "broken", f"{source.name} may start {said} towards {target.name}.")
        allowed += fitting
    return Verdict(promise, "kept", f"A conduit allows {', '.join(dict.fromkeys(allowed))}.")


def _survive(facts: Facts, promise: Promise, source: Endpoint, target: Endpoint) -> Verdict:
    failures = failures_named(facts, promise.survive or "", promise.survive_kind)
    if failures is None or promise.for_s is not None:
        return _unchecked(promise, "what each breaker and cord feeds, and for how long batteries last")
    pairs = pairs_to_keep(facts, source, target, promise.vlan)
    if pairs is None:
        return _unchecked(promise, CANNOT_FOLLOW)
    lost = first_losses(facts, pairs, failures)
    if not lost:
        return Verdict(promise, "kept", f"Every way holds after each of {len(failures)} failures.")
    if lost[0].failure is None:
        return Verdict(promise, "broken", f"Even with nothing failed, nothing joins {lost[0].what}.")
    parting = tuple(dict.fromkeys(one.failure for one in lost if one.failure is not None))
    others = f" ({len(parting)} such failures in all)" if len(parting) > 1 else ""
    return Verdict(
        promise, "broken", f"With {parting[0]} failed, nothing joins {lost[0].what}{others}.", parting
    )
