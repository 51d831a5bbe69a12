"""Rules about where workloads run."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from topodraw.rules.rule import COMMON_PRACTICE, Objection, Outcome, rule

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


@rule(
    name="workload-nowhere",
    severity="error",
    question="Does each workload run on something?",
    why="What runs nowhere has no way to the network, no power and nothing that a failure could "
    "be judged by.",
    fix="State the gear or cluster under `on`, or the workload around it under `inside`.",
    source=COMMON_PRACTICE,
    breaks=_SITE + "  web: {kind: container}\n",
    keeps=_SITE + "  web: {kind: container, inside: box}\n",
)
def workload_nowhere(facts: Facts) -> Iterator[Outcome]:
    for workload in facts.site.workloads.values():
        if workload.on is None and (workload.inside is None or _host_of(facts.site, workload.name) is None):
            inside = (
                f": {workload.inside}, around it, does not run on anything either" if workload.inside else ""
            )
            yield Objection(
                (workload.name,),
                f"{workload.name} runs on nothing{inside}.",
                ("workloads", workload.name),
            )


_RADIO = """\
hardware:
  air: {function: access-point, ports: {eth: {jack: RJ45, speeds: [1G]}}}
  pad: {function: workstation}
vlans: {guests: {id: 60}}
gear:
  mast: {model: air, ssids: {field-guests: guests}}
"""


@rule(
    name="ssid-not-offered",
    severity="error",
    question="Does some access point offer each network name that gear joins by radio?",
    why="Gear that looks for a name which nobody offers never joins.",
    fix="Correct the name, or offer it on an access point.",
    source="IEEE 802.11 (a station joins by the network's name, the SSID)",
    breaks=_RADIO + "  tablet: {model: pad, wireless: field-guest}\n",
    keeps=_RADIO + "  tablet: {model: pad, wireless: field-guests}\n",
)
def ssid_not_offered(facts: Facts) -> Iterator[Outcome]:
    offered = dict.fromkeys(ssid for gear in facts.site.gear.values() for ssid in gear.ssids)
    for gear in facts.site.gear.values():
        if gear.wireless is not None and gear.wireless not in offered:
            known = f" Offered are: {', '.join(offered)}." if offered else ""
            yield Objection(
                (gear.name,),
                f"{gear.name} joins {gear.wireless} by radio, which no access point offers.{known}",
                ("gear", gear.name, "wireless"),
            )
