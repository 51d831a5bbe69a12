"""What a check has to say, for people and for programs."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

from topodraw.draw.characters import shown
from topodraw.model.finding import SEVERITIES, Finding, Severity, Unchecked
from topodraw.report.lines import Line
from topodraw.rules.catalogue import rules
from topodraw.source.problem import Position, Problem

MarkedSheets = Mapping[tuple[str, str], str]
"""Where findings stand on sheets: (rule, things joined by blanks) to e.g. `cabling C4`."""


class Places(Protocol):
    """What can tell where a part of the model stands in the text."""

    def find(self, path: tuple[str, ...]) -> Position:
        """The place of the longest known beginning of `path`."""


class SheetsError(Exception):
    """The sheets of a folder can't be read; the message says which and why."""


@dataclass(frozen=True, slots=True)
class Located:
    """A finding, or an input that can't be used, with its place in the text (lines and columns from 1)."""

    rule: str
    severity: Severity
    on: tuple[str, ...]
    message: str
    why: str
    fix: str
    file: str
    line: int
    column: int
    sheet: str | None = None
    waived_until: str | None = None


def located(findings: Iterable[Finding], places: Places, sheets: MarkedSheets | None = None) -> list[Located]:
    """Findings with their places in the source and, where `sheets` knows them, on the sheets."""
    marked = sheets or {}
    found = []
    for finding in findings:
        at = places.find(finding.at)
        found.append(
            Located(
                rule=finding.rule,
                severity=finding.severity,
                on=finding.on,
                message=finding.message,
                why=finding.why,
                fix=finding.fix,
                file=at.file,
                line=at.line,
                column=at.column,
                sheet=marked.get((finding.rule, shown(" ".join(finding.on)))),
                waived_until=finding.waived_until,
            )
        )
    return found


def located_problems(problems: Iterable[Problem]) -> list[Located]:
    """Inputs that can't be used, in the shape of findings: all are errors."""
    declared = rules()
    return [
        Located(
            rule=problem.rule,
            severity="error",
            on=(),
            message=problem.message,
            why=declared[problem.rule].why,
            fix=problem.fix,
            file=problem.position.file,
            line=problem.position.line,
            column=problem.position.column,
        )
        for problem in problems
    ]


def marked_sheets(folder: Path) -> dict[tuple[str, str], str]:
    """Where each finding is marked on the SVG sheets in `folder`: on the first sheet by name that marks it.

    Raises SheetsError if there is no such folder, or a sheet in it can't be read.
    """
    from xml.etree import ElementTree  # a check without sheets doesn't need it

    if not folder.is_dir():
        raise SheetsError(f"there is no folder {folder} with sheets")
    found: dict[tuple[str, str], str] = {}
    for path in sorted(folder.glob("*.svg")):
        try:
            elements = ElementTree.parse(path).iter()
            for element in elements:
                if "finding" in element.get("class", "").split() and (square := element.get("data-square")):
                    key = (element.get("data-rule", ""), element.get("data-on", ""))
                    found.setdefault(key, f"{path.stem} {square}")
        except (OSError, ElementTree.ParseError) as error:
            raise SheetsError(f"the sheet {path} can't be read: {error}") from error
    return found


def findings_json(findings: Sequence[Located], unchecked: Sequence[Unchecked]) -> str:
    """The JSON that other programs rely on: `findings` and `unchecked`, in the order given."""
    document = {
        "findings": [
            {
                "rule": found.rule,
                "severity": found.severity,
                "on": list(found.on),
                "message": found.message,
                "why": found.why,
                "fix": found.fix,
                "file": found.file,
                "line": found.line,
                "column": found.column,
                "sheet": found.sheet,
                "waived": found.waived_until is not None,
            }
            for found in findings
        ],
        "unchecked": [
            {"rule": item.rule, "on": list(item.on), "missing": item.missing} for item in unchecked
        ],
    }
    return json.dumps(document, indent=2)


def findings_lines(
    findings: Sequence[Located], unchecked: Sequence[Unchecked], prefix: str = ""
) -> list[Line]:
    """A check's result for people: findings, waived ones, what was not checked, and the sum of it last.

    `prefix` leads from where the reader stands to the site's folder. Why a rule matters is said once.
    """
    lines: list[Line] = []
    explained: set[str] = set()
    for found in findings:
        if found.waived_until is None:
            lines += _finding_lines(found, prefix, explained)
            lines.append(Line())
    waived = [found for found in findings if found.waived_until is not None]
    if waived:
        lines.append(Line(f"Waived ({len(waived)}):", "bold"))
        for found in waived:
            until = f"waived until {found.waived_until}"
            lines.append(Line(f"{_place(found, prefix)}: {_title(found)}, {until}", indent=2))
            lines.append(Line(shown(found.message), indent=6))
        lines.append(Line())
    if unchecked:
        lines.append(Line(f"Not checked, for want of data ({len(unchecked)}):", "bold"))
        for item in unchecked:
            on = ", ".join(item.on)
            about = f"{on}: {item.missing}" if on else item.missing
            lines.append(Line(f"{item.rule}: {shown(about)}", indent=2))
        lines.append(Line())
    lines.append(_summary(findings, len(unchecked)))
    return lines


def _finding_lines(found: Located, prefix: str, explained: set[str]) -> list[Line]:
    marked = f" (sheet {found.sheet})" if found.sheet else ""
    lines = [
        Line(f"{_place(found, prefix)}: {found.severity}: {_title(found)}{marked}", found.severity),
        Line(shown(found.message), indent=4),
    ]
    if found.rule not in explained:
        explained.add(found.rule)
        lines.append(Line(f"Why: {shown(found.why)}", indent=4))
    lines.append(Line(f"Do:  {shown(found.fix)}", indent=4))
    return lines


def _place(found: Located, prefix: str) -> str:
    return f"{prefix}{shown(found.file)}:{found.line}:{found.column}"


def _title(found: Located) -> str:
    return f"{found.rule} on {shown(', '.join(found.on))}" if found.on else found.rule


def counted(number: int, word: str) -> str:
    """`1 error`, `2 errors`."""
    return f"{number} {word}" if number == 1 else f"{number} {word}s"


def _summary(findings: Sequence[Located], unchecked: int) -> Line:
    open_ones = Counter(found.severity for found in findings if found.waived_until is None)
    waived = sum(found.waived_until is not None for found in findings)
    extra = [f"{waived} waived"] if waived else []
    if unchecked:
        extra.append(f"{unchecked} not checked")
    if open_ones:
        parts = [counted(open_ones[severity], severity) for severity in SEVERITIES if open_ones[severity]]
        return Line(", ".join(parts + extra) + ".", "bold")
    if unchecked:
        return Line(f"Nothing found in what could be checked; {', '.join(extra)}.", "bold")
    return Line(f"All clear{': ' + extra[0] if extra else ''}.", "bold")
