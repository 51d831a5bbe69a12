"""Rules about waivers: one that no longer waives anything is itself told."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from topodraw.model.promises import Waiver
from topodraw.rules.rule import COMMON_PRACTICE, Objection, Outcome, rule


@dataclass(frozen=True, slots=True)
class WaiverUse:
    """One waiver after all other rules have judged.

    `near` holds like rule names, and is None where the waiver's rule exists; `judged` is False where that
    rule could not judge what the waiver is on, so that nobody can say whether it is still needed.
    """

    waiver: Waiver
    expired: bool
    met: bool
    """Whether there is a finding of its rule on its thing."""
    judged: bool
    near: tuple[str, ...] | None


_SITE = """\
hardware:
  bridge-4: {function: switch, ports: {p1..p4: {jack: RJ45, speeds: [1G]}}}
gear:
  north: {model: bridge-4, bridge: {priority: 5000}}
waivers:
"""
_WAIVED = (
    _SITE
    + """\
  - {rule: bridge-priority-not-a-step, on: north, because: "replaced in spring", until: 2099-12-31}
"""
)


@rule(
    name="waiver-expired",
    severity="warning",
    question="Has the end date of each waiver not passed yet?",
    why="A waiver is a promise to look again by its end date; after it the finding counts as before.",
    fix="Mend what was waived, or agree on a new end date and say why.",
    source=COMMON_PRACTICE,
    breaks=_SITE
    + """\
  - {rule: bridge-priority-not-a-step, on: north, because: "replaced in spring", until: 2020-03-31}
""",
    keeps=_WAIVED,
    about="waivers",
)
def waiver_expired(uses: tuple[WaiverUse, ...]) -> Iterator[Outcome]:
    for use in uses:
        if use.expired and use.near is None and (use.met or not use.judged):
            waiver = use.waiver
            yield Objection(
                (waiver.on,),
                f"The waiver of {waiver.rule} on {waiver.on} ended on {waiver.until}: the finding "
                "counts again.",
                (*waiver.at, "until"),
            )


@rule(
    name="waiver-idle",
    severity="warning",
    question="Does each waiver still waive something?",
    why="A waiver that nothing needs would silently hide the same mistake when it comes back.",
    fix="Delete the waiver, or correct what it is on.",
    source=COMMON_PRACTICE,
    breaks=_SITE.replace("5000", "4096")
    + """\
  - {rule: bridge-priority-not-a-step, on: north, because: "replaced in spring", until: 2099-12-31}
""",
    keeps=_WAIVED,
    about="waivers",
)
def waiver_idle(uses: tuple[WaiverUse, ...]) -> Iterator[Outcome]:
    for use in uses:
        if use.near is None and use.judged and not use.met:
            waiver = use.waiver
            yield Objection(
                (waiver.on,),
                f"The waiver of {waiver.rule} on {waiver.on} waives nothing: there is no such finding.",
                waiver.at,
            )


@rule(
    name="waiver-of-unknown-rule",
    severity="warning",
    question="Does each waiver name a rule that exists?",
    why="A waiver with a misspelt rule waives nothing, and nobody would notice.",
    fix="Write the rule's name as `topodraw explain --all` lists it.",
    source=COMMON_PRACTICE,
    breaks=_SITE.replace("5000", "4096")
    + """\
  - {rule: bridge-priority-not-a-stop, on: north, because: "replaced in spring", until: 2099-12-31}
""",
    keeps=_WAIVED,
    about="waivers",
)
def waiver_of_unknown_rule(uses: tuple[WaiverUse, ...]) -> Iterator[Outcome]:
    for use in uses:
        if use.near is not None:
            waiver = use.waiver
            meant = f" Did you mean {' or '.join(use.near)}?" if use.near else ""
            yield Objection(
                (waiver.on,),
                f"The waiver on {waiver.on} names the rule {waiver.rule}, which does not exist.{meant}",
                (*waiver.at, "rule"),
                f"Write {use.near[0]}." if use.near else None,
            )
