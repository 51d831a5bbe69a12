"""Run every rule on a site's facts, and apply what has been waived in writing."""

from __future__ import annotations

import traceback
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any

from topodraw.compute.facts import Facts
from topodraw.model.finding import SEVERITIES, Finding, Severity, SourcePath, Unchecked
from topodraw.model.promises import Waiver
from topodraw.rules.catalogue import near_names, rules
from topodraw.rules.rule import NotJudged, Objection, Rule
from topodraw.rules.tool import Crash, tool_error
from topodraw.rules.waivers import WaiverUse

Order = Callable[[SourcePath], tuple[Any, ...]]
"""A sort key for the place that a path stands at, e.g. (file, line, column)."""


@dataclass(frozen=True, slots=True)
class CheckResult:
    """All that the rules have to say, in a fixed order."""

    findings: tuple[Finding, ...]
    unchecked: tuple[Unchecked, ...]

    def at_or_above(self, severity: Severity) -> tuple[Finding, ...]:
        """The findings that are as severe as that or more, without the waived ones."""
        counted = SEVERITIES[: SEVERITIES.index(severity) + 1]
        return tuple(f for f in self.findings if f.waived_until is None and f.severity in counted)


def check(
    facts: Facts, today: date, order: Order | None = None, only: Iterable[Rule[Any]] | None = None
) -> CheckResult:
    """Run all rules (or `only` those) and apply the site's waivers as they stand on the day `today`.

    A waiver holds to the end of its `until` day; what it waives stays in the result with `waived_until` set.
    Findings come in the source's order where `order` can tell it, then by severity, rule and thing.
    """
    chosen = tuple(rules().values() if only is None else only)
    findings: list[Finding] = []
    unchecked: list[Unchecked] = []
    crashes: list[Crash] = []
    for rule in chosen:
        if rule.about == "site":
            _run(rule, facts, findings, unchecked, crashes)
    findings = _waived(findings, facts.site.waivers, today)
    uses = _uses(facts.site.waivers, findings, unchecked, crashes, today)
    for rule in chosen:
        if rule.about == "waivers":
            _run(rule, uses, findings, unchecked, crashes)
    _run(tool_error, tuple(crashes), findings, unchecked, crashes)
    place: Order = order or (lambda path: ())
    findings.sort(key=lambda f: (place(f.at), SEVERITIES.index(f.severity), f.rule, f.on, f.message))
    unchecked.sort(key=lambda u: (u.rule, u.on, u.missing))
    return CheckResult(tuple(findings), tuple(unchecked))


def _run(
    rule: Rule[Any],
    subject: object,
    findings: list[Finding],
    unchecked: list[Unchecked],
    crashes: list[Crash],
) -> None:
    try:
        for outcome in rule.judge(subject):
            if isinstance(outcome, NotJudged):
                unchecked.append(Unchecked(rule.name, outcome.on, outcome.missing))
            else:
                findings.append(_finding(rule, outcome))
    except Exception as error:
        crashes.append(Crash(rule.name, f"{type(error).__name__}: {error}", _place(error)))


def _finding(rule: Rule[Any], objection: Objection) -> Finding:
    fix = objection.fix or rule.fix
    return Finding(rule.name, rule.severity, objection.on, objection.message, rule.why, fix, objection.at)


def _place(error: Exception) -> str:
    frames = traceback.extract_tb(error.__traceback__)
    return f"{Path(frames[-1].filename).name}:{frames[-1].lineno}" if frames else "an unknown place"


def _expired(waiver: Waiver, today: date) -> bool:
    return date.fromisoformat(waiver.until) < today


def _waived(findings: Sequence[Finding], waivers: Sequence[Waiver], today: date) -> list[Finding]:
    until: dict[tuple[str, str], str] = {}
    for waiver in waivers:
        if not _expired(waiver, today):
            key = (waiver.rule, waiver.on)
            until[key] = max(waiver.until, until.get(key, ""))
    waived = []
    for finding in findings:
        ends = [until[finding.rule, name] for name in finding.on if (finding.rule, name) in until]
        waived.append(replace(finding, waived_until=max(ends)) if ends else finding)
    return waived


def _uses(
    waivers: Sequence[Waiver],
    findings: Sequence[Finding],
    unchecked: Sequence[Unchecked],
    crashes: Sequence[Crash],
    today: date,
) -> tuple[WaiverUse, ...]:
    found = {(finding.rule, name) for finding in findings for name in finding.on}
    not_judged = {(item.rule, name) for item in unchecked for name in item.on}
    crashed = {crash.rule for crash in crashes}
    known = rules()
    return tuple(
        WaiverUse(
            waiver,
            expired=_expired(waiver, today),
            met=(waiver.rule, waiver.on) in found,
            judged=waiver.rule not in crashed and (waiver.rule, waiver.on) not in not_judged,
            near=None if waiver.rule in known else near_names(waiver.rule),
        )
        for waiver in waivers
    )
