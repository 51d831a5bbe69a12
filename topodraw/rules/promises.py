"""Rules about promises: what must hold, holds. What later computing will judge is listed as unchecked."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from topodraw.rules.rule import NotJudged, Objection, Outcome, rule

if TYPE_CHECKING:
    from topodraw.compute.facts import Facts
    from topodraw.compute.promises import Verdict

_SOURCE = "the site's own promises, under `expect`"
_TREE = """\
hardware:
  bridge-4: {function: switch, ports: {p1..p4: {jack: RJ45, speeds: [1G]}}}
gear:
  north: {model: bridge-4, bridge: {priority: 8192}}
  south: {model: bridge-4, bridge: {priority: 4096}}
cables:
  C1: {ends: [north/p1, south/p1], medium: Cat6A, length: 9m}
"""
_ZONES = """\
hardware:
  gate-2: {function: firewall, ports: {p1..p2: {jack: RJ45, speeds: [1G]}}}
zones: {science: {title: Science}, watch: {title: Cameras}}
vlans:
  science: {id: 20, zone: science, subnet: 192.0.2.0/26, gateway: gate}
  watch: {id: 40, zone: watch, subnet: 192.0.2.64/26, gateway: gate}
gear:
  gate: {model: gate-2, addresses: {science: 192.0.2.1, watch: 192.0.2.65}}
conduits:
  - science -> watch
"""


def _of(facts: Facts, of_root: bool) -> Iterator[Outcome]:
    for verdict in facts.promises:
        if (verdict.promise.kind == "root") == of_root:
            if verdict.outcome == "unchecked":
                yield NotJudged(_about(verdict), f'{verdict.missing} (promise "{verdict.promise.text}")')
            elif verdict.outcome == "broken":
                yield _objection(verdict)


def _objection(verdict: Verdict) -> Objection:
    promise = verdict.promise
    because = f" It was promised because: {promise.because}" if promise.because else ""
    return Objection(
        _about(verdict), f'The promise "{promise.text}" is broken. {verdict.because}{because}', promise.at
    )


def _about(verdict: Verdict) -> tuple[str, ...]:
    promise = verdict.promise
    ends = [end.name for end in (promise.source, promise.target) if end is not None]
    single = [name for name in (promise.root, promise.ups) if name is not None]
    return tuple(dict.fromkeys((*single, *ends, *(failure.name for failure in verdict.failures))))


@rule(
    name="root-not-where-expected",
    severity="error",
    question="Is the root of the spanning tree where it was promised to be?",
    why="All traffic between bridges takes the ways that lead to the root: with another root it takes other "
    "links than those that were built for it.",
    fix="Give the promised root the lowest bridge priority, or change the promise.",
    source=_SOURCE,
    breaks=_TREE + "expect:\n  - {root: north}\n",
    keeps=_TREE + "expect:\n  - {root: south}\n",
)
def root_not_where_expected(facts: Facts) -> Iterator[Outcome]:
    yield from _of(facts, of_root=True)


@rule(
    name="promise-broken",
    severity="error",
    question="Does everything hold that was promised?",
    why="Somebody relies on it: a promise is written down so that a later change can't break it unseen.",
    fix="Undo what broke it, or change the promise together with those who rely on it.",
    source=_SOURCE,
    breaks=_ZONES + "expect:\n  - {never: science -> watch}\n",
    keeps=_ZONES + "expect:\n  - {never: watch -> science}\n  - {always: science -> watch}\n",
)
def promise_broken(facts: Facts) -> Iterator[Outcome]:
    yield from _of(facts, of_root=False)
