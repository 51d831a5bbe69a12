"""Running all rules: waivers, order, and a rule that crashes."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from tests.rules.sites import read_text, usable
from topodraw.compute.facts import Facts
from topodraw.rules.catalogue import rules
from topodraw.rules.check import check
from topodraw.rules.rule import COMMON_PRACTICE, NotJudged, Objection, Outcome, Rule, rule

SITE = """\
topodraw: 1
site: {name: Small, ref: S}
hardware: {sw: {function: switch}}
vlans: {two: {id: 4095}, one: {id: 5000}}
gear:
  north: {model: sw, bridge: {priority: 5000}}
waivers:
  - {rule: bridge-priority-not-a-step, on: north, because: replaced in spring, until: 2026-03-31}
"""
IN_FORCE, AFTER = date(2026, 3, 31), date(2026, 4, 1)


@pytest.fixture
def facts(tmp_path: Path) -> Facts:
    return usable(read_text(tmp_path, SITE))


def crashing() -> Rule[Facts]:
    @rule(
        name="made-to-crash",
        severity="note",
        question="?",
        why="",
        fix="",
        source=COMMON_PRACTICE,
        breaks="",
        keeps="",
    )
    def made_to_crash(facts: Facts) -> Iterator[Outcome]:
        yield Objection(("north",), "found before the crash", ("gear", "north"))
        yield NotJudged(("north",), "nothing")
        raise ZeroDivisionError("one over nought")

    return made_to_crash


def test_a_waived_finding_stays_in_the_list_and_does_not_count(facts: Facts) -> None:
    result = check(facts, IN_FORCE)
    waived = [finding for finding in result.findings if finding.rule == "bridge-priority-not-a-step"]
    assert [finding.waived_until for finding in waived] == ["2026-03-31"]
    assert "bridge-priority-not-a-step" not in {finding.rule for finding in result.at_or_above("note")}


def test_the_day_after_its_end_a_waiver_waives_nothing(facts: Facts) -> None:
    result = check(facts, AFTER)
    assert {"bridge-priority-not-a-step", "waiver-expired"} <= {
        finding.rule for finding in result.at_or_above("note")
    }


def test_only_findings_as_severe_as_asked_for_count(facts: Facts) -> None:
    result = check(facts, AFTER)
    errors = {finding.rule for finding in result.at_or_above("error")}
    assert errors == {"bridge-priority-not-a-step", "vlan-id-out-of-range"}
    assert {finding.rule for finding in result.at_or_above("warning")} == {*errors, "waiver-expired"}


def test_findings_come_in_the_order_of_the_text(facts: Facts, tmp_path: Path) -> None:
    reading = read_text(tmp_path, SITE)

    def order(path: tuple[str, ...]) -> tuple[int, int]:
        place = reading.positions.find(path)
        return place.line, place.column

    result = check(facts, IN_FORCE, order)
    assert [finding.on[0] for finding in result.findings] == ["two", "one", "north"]


def test_without_the_text_they_come_by_severity_rule_and_thing(facts: Facts) -> None:
    found = check(facts, AFTER).findings
    assert [(finding.severity, finding.rule, finding.on) for finding in found] == [
        ("error", "bridge-priority-not-a-step", ("north",)),
        ("error", "vlan-id-out-of-range", ("one",)),
        ("error", "vlan-id-out-of-range", ("two",)),
        ("warning", "waiver-expired", ("north",)),
    ]


def test_a_rule_that_crashes_is_a_finding_against_the_tool_and_the_others_run_on(facts: Facts) -> None:
    result = check(facts, IN_FORCE, only=[crashing(), *rules().values()])
    told = [finding for finding in result.findings if finding.rule == "tool-error"]
    assert len(told) == 1
    assert "made-to-crash" in told[0].message
    assert "ZeroDivisionError: one over nought" in told[0].message
    assert "test_check.py" in told[0].message
    assert told[0].severity == "error"
    assert "fault of topodraw" in told[0].message
    assert "vlan-id-out-of-range" in {finding.rule for finding in result.findings}


def test_what_a_rule_found_before_it_crashed_is_kept(facts: Facts) -> None:
    result = check(facts, IN_FORCE, only=[crashing()])
    assert "found before the crash" in {finding.message for finding in result.findings}
    assert [item.missing for item in result.unchecked] == ["nothing"]


def test_a_crash_can_not_be_waived(tmp_path: Path) -> None:
    text = SITE.replace("rule: bridge-priority-not-a-step, on: north", "rule: tool-error, on: north")
    result = check(usable(read_text(tmp_path, text)), IN_FORCE, only=[crashing()])
    assert "tool-error" in {finding.rule for finding in result.at_or_above("error")}
