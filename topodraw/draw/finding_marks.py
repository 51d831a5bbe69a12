"""Findings on a sheet: numbered flags where they stand.

A flag is a ring with the number and a box with the severity's letter. Form doubles colour: an error is full,
a warning half (hollow ring, full box), a note hollow; what is waived has dashed outlines.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from topodraw.draw import text_metrics
from topodraw.draw.characters import element_id
from topodraw.draw.primitives import TEXT_SIZE, Group, Rect, Shape, Text
from topodraw.draw.theme import Theme
from topodraw.model.finding import SEVERITIES, Finding, Severity

FLAG_HEIGHT = 20.0
_BOX_WIDTH = 18.0


@dataclass(frozen=True, slots=True)
class Mark:
    """A finding's spot on a sheet: its number there, and the left middle of its flag in px.

    `where` says the spot in the view's own words ("U9 rear"), beside the grid square.
    """

    number: int
    finding: Finding
    x: float
    y: float
    where: str = ""


def numbered(findings: Iterable[Finding]) -> list[tuple[int, Finding]]:
    """Findings with their numbers on a sheet, from 1: open ones before waived ones, errors first, then by
    rule and thing."""

    def order(finding: Finding) -> tuple[bool, int, str, tuple[str, ...], str]:
        waived = finding.waived_until is not None
        return (waived, SEVERITIES.index(finding.severity), finding.rule, finding.on, finding.message)

    return list(enumerate(sorted(findings, key=order), start=1))


def flag_width(number: int) -> float:
    """Width of a finding's flag in px."""
    return _ring_width(number) + _BOX_WIDTH


def flag(
    number: int | str, severity: Severity, x: float, y: float, theme: Theme, waived: bool = False
) -> tuple[Shape, ...]:
    """The shapes of a flag whose left middle is at (`x`, `y`)."""
    colour, ground = theme.severity(severity), theme.paper
    full_ring = severity == "error" and not waived
    full_box = severity != "note" and not waived
    dash = (3.0, 2.0) if waived else ()
    ring = _ring_width(number)
    baseline = y + 4.7
    box_x = x + ring
    return (
        Rect(x, y - 10, ring, FLAG_HEIGHT, colour if full_ring else ground, colour, 1.5, dash, radius=10),
        Text(
            x + ring / 2,
            baseline,
            str(number),
            ground if full_ring else colour,
            style="mono-bold",
            anchor="middle",
        ),
        Rect(box_x, y - 9, _BOX_WIDTH, 18, colour if full_box else ground, colour, 1.5, dash),
        Text(
            box_x + _BOX_WIDTH / 2,
            baseline,
            severity[0].upper(),
            ground if full_box else colour,
            style="bold",
            anchor="middle",
        ),
    )


def mark_group(mark: Mark, square: str, theme: Theme) -> Group:
    """A mark as it stands on the sheet, saying for a reader of the SVG what it is about and in which grid
    square."""
    finding = mark.finding
    on = " ".join(finding.on)
    return Group(
        flag(mark.number, finding.severity, mark.x, mark.y, theme, finding.waived_until is not None),
        id=element_id("finding", finding.rule, *finding.on),
        kind="finding",
        title=f"{finding.severity}: {finding.rule} on {on}",
        desc=finding.message,
        data=(
            ("rule", finding.rule),
            ("on", on),
            ("severity", finding.severity),
            ("square", square),
            ("number", str(mark.number)),
        ),
    )


def _ring_width(number: int | str) -> float:
    return max(FLAG_HEIGHT, text_metrics.width(str(number), TEXT_SIZE, "mono-bold") + 9)
