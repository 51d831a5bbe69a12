"""The cases of each rule: small sites that must pass, or fail on the marked lines (cases/README.md)."""

from __future__ import annotations

import re
from collections import Counter
from datetime import date
from pathlib import Path
from typing import Any

import pytest
import yaml

from tests.rules.sites import read_text, usable
from topodraw.rules.catalogue import rules
from topodraw.rules.check import CheckResult, check

CASES = Path(__file__).parent / "cases"
HEADER = "topodraw: 1\nsite: {name: Case, ref: C}\ninclude: [given.yaml]\n"
MARK = re.compile(r"# <- (.+)$")


def all_cases() -> list[Any]:
    found = []
    for path in sorted(CASES.glob("*.yaml")):
        content = yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)
        for case in content["cases"]:
            found.append(
                pytest.param(path.stem, content.get("given", ""), case, id=f"{path.stem}: {case['it']}")
            )
    return found


def checked(folder: Path, given: str, case: dict[str, Any]) -> tuple[CheckResult, list[tuple[int, Any]]]:
    reading = read_text(folder, HEADER + case["site"], given or "{}")
    result = check(usable(reading), date.fromisoformat(case.get("today", "2026-01-01")))
    placed = [(reading.positions.find(finding.at), finding) for finding in result.findings]
    return result, [(place.line, finding) for place, finding in placed if place.file == "site.yaml"]


@pytest.mark.parametrize(("rule", "given", "case"), all_cases())
def test_a_rule_finds_what_is_marked_and_nothing_else(
    rule: str, given: str, case: dict[str, Any], tmp_path: Path
) -> None:
    result, placed = checked(tmp_path, given, case)
    marked = Counter(
        (number, name.strip())
        for number, line in enumerate((HEADER + case["site"]).splitlines(), start=1)
        if (mark := MARK.search(line))
        for name in mark[1].split(",")
    )
    on_line = [(line, finding.on) for line, finding in placed if finding.rule == rule]
    assert all(any(line == number and name in on for line, on in on_line) for number, name in marked), on_line
    assert sum(finding.rule == rule for finding in result.findings) == sum(marked.values()), on_line
    not_judged = [item.on for item in result.unchecked if item.rule == rule]
    expected = set(case.get("unchecked", []))
    assert expected <= {name for on in not_judged for name in on}
    assert all(expected.intersection(on) for on in not_judged), not_judged


@pytest.mark.parametrize(("rule", "given", "case"), all_cases())
def test_no_rule_crashes_on_any_case(rule: str, given: str, case: dict[str, Any], tmp_path: Path) -> None:
    result, _ = checked(tmp_path, given, case)
    assert [finding.message for finding in result.findings if finding.rule == "tool-error"] == []


def test_every_case_file_is_about_a_rule_and_shows_both_sides() -> None:
    for path in sorted(CASES.glob("*.yaml")):
        assert path.stem in rules()
        text = path.read_text(encoding="utf-8")
        assert "# <- " in text or "unchecked:" in text, path.name


def test_every_rule_has_cases() -> None:
    without = [
        name
        for name, rule in rules().items()
        if rule.about in ("site", "waivers") and not (CASES / f"{name}.yaml").exists()
    ]
    assert without == []
