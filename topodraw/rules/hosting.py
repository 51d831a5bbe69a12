"""Rules about where workloads run."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from topodraw.rules.rule import Objection, Outcome, rule

if TYPE_CHECKING:
    from topodraw.compute.facts import Facts
    from topodraw.model.site import Site

_SITE = """\
hardware:
  host: {function: server}
gear:
  host-1..host-2: {model: host}
workloads:
  box: {on: host-1}
"""


@rule(
    name="workload-in-two-places",
    severity="error",
    question="Does each workload run where the workload around it runs?",
    why="A workload inside another one moves with it, so it can't run somewhere else.",
    fix="Leave `on` out of the inner workload, or correct one of the two.",
    source="the source language: where both `on` and `inside` are given they must agree",
    breaks=_SITE + "  web: {inside: box, on: host-2}\n",
    keeps=_SITE + "  web: {inside: box}\n",
)
def workload_in_two_places(facts: Facts) -> Iterator[Outcome]:
    for workload in facts.site.workloads.values():
        if workload.on is None or workload.inside is None:
            continue
        around = _host_of(facts.site, workload.inside)
        if around is not None and around != workload.on:
            yield Objection(
                (workload.name, workload.inside),
                f"{workload.name} is on {workload.on} and inside {workload.inside}, which runs on {around}.",
                ("workloads", workload.name, "on"),
            )


def _host_of(site: Site, name: str) -> str | None:
    seen = set()
    while name not in seen:
        seen.add(name)
        workload = site.workloads[name]
        if workload.on is not None:
            return workload.on
        if workload.inside is None:
            return None
        name = workload.inside
    return None
