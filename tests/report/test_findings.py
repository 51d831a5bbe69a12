"""Findings as text for people and JSON for programs, and their places on sheets."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from topodraw.model.finding import Finding, Unchecked
from topodraw.report.findings import (
    Located,
    SheetsError,
    findings_json,
    findings_lines,
    located,
    located_problems,
    marked_sheets,
)
from topodraw.rules.catalogue import rules
from topodraw.source.problem import Position, Problem

FINDING = Finding(
    rule="trunk-vlan-missing",
    severity="error",
    on=("core/x5", "watch"),
    message="watch is missing",
    why="frames are dropped",
    fix="add it",
    at=("gear", "core"),
)
WAIVED = Finding(
    "rack-overlap", "warning", ("a", "b"), "they overlap", "why", "fix", ("gear", "a"), "2027-03-31"
)
NOT_JUDGED = Unchecked("link-too-long", ("F07",), "length")


class Fixed:
    """Everything stands in one place."""

    def find(self, path: tuple[str, ...]) -> Position:
        return Position("network.yaml", 12, 5, 12, 9)


def text(findings: list[Located], unchecked: tuple[Unchecked, ...] = (), prefix: str = "") -> list[str]:
    return [" " * line.indent + line.text for line in findings_lines(findings, unchecked, prefix)]


def test_the_json_has_exactly_the_keys_that_other_programs_rely_on() -> None:
    document = json.loads(findings_json(located([FINDING, WAIVED], Fixed()), [NOT_JUDGED]))
    assert document == {
        "findings": [
            {
                "rule": "trunk-vlan-missing",
                "severity": "error",
                "on": ["core/x5", "watch"],
                "message": "watch is missing",
                "why": "frames are dropped",
                "fix": "add it",
                "file": "network.yaml",
                "line": 12,
                "column": 5,
                "sheet": None,
                "waived": False,
            },
            {
                "rule": "rack-overlap",
                "severity": "warning",
                "on": ["a", "b"],
                "message": "they overlap",
                "why": "why",
                "fix": "fix",
                "file": "network.yaml",
                "line": 12,
                "column": 5,
                "sheet": None,
                "waived": True,
            },
        ],
        "unchecked": [{"rule": "link-too-long", "on": ["F07"], "missing": "length"}],
    }


def test_input_that_can_not_be_used_has_the_same_shape() -> None:
    problem = Problem("unknown-key", "unknown key 'gaer'", "write gear", Position("site.yaml", 3, 1, 3, 5))
    document = json.loads(findings_json(located_problems([problem]), []))
    (found,) = document["findings"]
    assert found["severity"] == "error"
    assert (found["file"], found["line"], found["column"]) == ("site.yaml", 3, 1)
    assert found["why"] == rules()["unknown-key"].why
    assert (found["on"], found["sheet"], found["waived"]) == ([], None, False)


def test_people_read_where_what_why_and_what_to_do() -> None:
    assert text(located([FINDING], Fixed()), prefix="site/") == [
        "site/network.yaml:12:5: error: trunk-vlan-missing on core/x5, watch",
        "    watch is missing",
        "    Why: frames are dropped",
        "    Do:  add it",
        "",
        "1 error.",
    ]


def test_why_a_rule_matters_is_said_once() -> None:
    lines = text(located([FINDING, FINDING], Fixed()))
    assert lines.count("    Why: frames are dropped") == 1
    assert lines.count("    Do:  add it") == 2
    assert lines[-1] == "2 errors."


def test_a_waived_finding_shows_its_end_date_and_is_not_counted() -> None:
    lines = text(located([WAIVED], Fixed()))
    assert lines[0] == "Waived (1):"
    assert "waived until 2027-03-31" in lines[1]
    assert lines[-1] == "All clear: 1 waived."


def test_what_was_not_checked_stands_above_the_sum_and_takes_the_all_clear_away() -> None:
    lines = text([], (NOT_JUDGED,))
    assert lines[0] == "Not checked, for want of data (1):"
    assert lines[1] == "  link-too-long: F07: length"
    assert lines[-1] == "Nothing found in what could be checked; 1 not checked."
    assert text([])[-1] == "All clear."


def test_a_name_can_not_steer_the_terminal() -> None:
    nasty = Finding("rack-overlap", "error", ("a\x1b[2J",), "gear a\x1b[2J\nAll clear.", "w", "f", ("gear",))
    assert all("\x1b" not in line and "\n" not in line for line in text(located([nasty], Fixed())))


SHEET = """<svg xmlns="http://www.w3.org/2000/svg">
<g class="finding" data-rule="trunk-vlan-missing" data-on="core/x5 watch" data-square="{square}"/>
<g class="gear" data-rule="rack-overlap" data-on="a b" data-square="A1"/>
</svg>"""


def test_the_sheet_tells_in_which_square_a_finding_stands(tmp_path: Path) -> None:
    (tmp_path / "zones.svg").write_text(SHEET.format(square="B2"))
    (tmp_path / "cabling.svg").write_text(SHEET.format(square="C4"))
    found = located([FINDING, WAIVED], Fixed(), marked_sheets(tmp_path))
    assert [one.sheet for one in found] == ["cabling C4", None]


def test_a_folder_without_readable_sheets_is_told(tmp_path: Path) -> None:
    with pytest.raises(SheetsError, match="no folder"):
        marked_sheets(tmp_path / "nowhere")
    (tmp_path / "torn.svg").write_text("<svg><g")
    with pytest.raises(SheetsError, match=r"torn\.svg"):
        marked_sheets(tmp_path)
