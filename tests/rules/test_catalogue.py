"""The catalogue itself: every rule explains itself, and its examples do what they say."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest

from tests.rules.sites import read_text, usable
from topodraw.rules.catalogue import families, near_names, rules
from topodraw.rules.check import check
from topodraw.rules.rule import Rule
from topodraw.rules.waivers import WaiverUse

TODAY = date(2026, 1, 1)
JUDGED_ON_A_SITE = [
    pytest.param(rule, id=name) for name, rule in rules().items() if rule.about in ("site", "waivers")
]
JUDGED_WHILE_READING = [
    pytest.param(rule, id=name) for name, rule in rules().items() if rule.about == "input" and rule.breaks
]
WITHOUT_EXAMPLES = {
    "no-site": "what it is about is that there is no text",
    "tool-error": "no site can show it: it is about a fault in the code",
}
UNCHECKED_ONLY = {"port-without-vlan-statement"}
SECTIONS = Path(__file__).parents[2] / "topodraw"


@pytest.mark.parametrize("rule", [pytest.param(rule, id=name) for name, rule in rules().items()])
def test_a_rule_says_what_it_asks_why_what_to_do_and_on_whose_word(rule: Rule[object]) -> None:
    assert re.fullmatch(r"[a-z]+(-[a-z]+)+", rule.name)
    assert rule.question.endswith("?")
    assert "\n" not in rule.question
    assert len(rule.why) > 30
    assert rule.why.endswith(".")
    assert rule.fix.endswith(".")
    assert rule.source
    if rule.name not in WITHOUT_EXAMPLES:
        assert rule.breaks
        assert rule.keeps
        assert rule.breaks != rule.keeps


@pytest.mark.parametrize("rule", JUDGED_ON_A_SITE)
def test_the_example_that_breaks_a_rule_breaks_this_rule_alone(rule: Rule[object], tmp_path: Path) -> None:
    result = check(usable(read_text(tmp_path, rule.example_that_breaks)), TODAY)
    found = {finding.rule for finding in result.findings if finding.waived_until is None}
    if rule.name in UNCHECKED_ONLY:
        assert found == set()
        assert rule.name in {item.rule for item in result.unchecked}
    elif rule.name == "waiver-expired":
        assert found == {rule.name, "bridge-priority-not-a-step"}, "what was waived counts again"
    else:
        assert found == {rule.name}


@pytest.mark.parametrize("rule", JUDGED_ON_A_SITE)
def test_the_example_that_keeps_a_rule_keeps_all_rules(rule: Rule[object], tmp_path: Path) -> None:
    result = check(usable(read_text(tmp_path, rule.example_that_keeps)), TODAY)
    assert [finding.message for finding in result.findings if finding.waived_until is None] == []
    assert rule.name not in {item.rule for item in result.unchecked}


@pytest.mark.parametrize("rule", JUDGED_WHILE_READING)
def test_the_examples_of_unusable_input(rule: Rule[object], tmp_path: Path) -> None:
    assert {problem.rule for problem in read_text(tmp_path, rule.example_that_breaks).problems} == {rule.name}
    assert read_text(tmp_path, rule.example_that_keeps).problems == ()


def test_every_reason_to_refuse_an_input_is_explained() -> None:
    said = re.compile(r'(?:Problem|tell|tell_key|_tell|_read|report)\(\s*(?:[\w.]+, )*"([a-z]+(?:-[a-z]+)+)"')
    told = {
        name
        for room in ("source", "model")
        for path in sorted((SECTIONS / room).glob("*.py"))
        for name in said.findall(path.read_text(encoding="utf-8"))
    }
    assert "missing-reference" in told
    assert told <= {name for name, rule in rules().items() if rule.about == "input"}


def test_the_name_of_a_family_is_a_file_and_every_file_is_a_family() -> None:
    files = {path.stem for path in (SECTIONS / "rules").glob("*.py")}
    assert files - set(families()) == {"__init__", "rule", "catalogue", "check"}


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("trunk-vlan-mising", "trunk-vlan-missing"),
        ("rack_overlap", "rack-overlap"),
        ("Port used twice", "port-used-twice"),
    ],
)
def test_a_misspelt_rule_is_told_the_right_one(written: str, meant: str) -> None:
    assert near_names(written)[0] == meant


def test_nothing_is_near_to_nonsense() -> None:
    assert near_names("xyzzy") == ()


def test_a_waiver_that_could_not_be_judged_is_not_called_idle() -> None:
    from topodraw.model.promises import Waiver
    from topodraw.rules.waivers import waiver_idle

    waiver = Waiver("link-too-long", "F07", "measured", "2099-01-01", ("waivers", "0"))
    use = WaiverUse(waiver, expired=False, met=False, judged=False, near=None)
    assert list(waiver_idle.judge((use,))) == []
