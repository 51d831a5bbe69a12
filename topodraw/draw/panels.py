"""What stands under a drawing in words: its findings, what could not be judged, and the caution."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from topodraw.draw import text_metrics
from topodraw.draw.characters import element_id
from topodraw.draw.finding_marks import Mark, flag, flag_width
from topodraw.draw.primitives import LINE_PITCH, TEXT_SIZE, Group, Rect, Shape, Text, line
from topodraw.draw.text_metrics import Style
from topodraw.draw.theme import Theme
from topodraw.model.finding import SEVERITIES, Unchecked

COLUMN_GAP = 26.0
_ENTRY_GAP = 10.0
_NAMED_AT_MOST = 12


@dataclass(frozen=True, slots=True)
class _Words:
    """One line of an entry: a baseline below the entry's top, a distance from its left."""

    down: float
    right: float
    words: str
    style: Style = "regular"
    opacity: float = 1.0


@dataclass(frozen=True, slots=True)
class _Entry:
    lines: tuple[_Words, ...]
    height: float
    shapes_at: Callable[[float, float], tuple[Shape, ...]]


def findings_panel(
    marks: Sequence[Mark],
    unchecked: Sequence[Unchecked],
    squares: Callable[[float, float], str],
    x: float,
    y: float,
    width: float,
    theme: Theme,
) -> tuple[Group, float]:
    """The findings of a sheet and below them what could not be judged, with the top left at (`x`, `y`); and
    the height.

    `squares` gives the grid square of a point. A finding with several marks is told once, with all its
    squares.
    """
    columns = 2 if width >= 800 else 1
    column_width = (width - COLUMN_GAP * (columns - 1)) / columns
    shapes: list[Shape] = []
    height = _heading("FINDINGS", _counts(marks), x, y, width, theme, shapes)
    by_number: dict[int, list[Mark]] = {}
    for mark in marks:
        by_number.setdefault(mark.number, []).append(mark)
    entries = [
        _finding_entry(by_number[number], squares, column_width, theme) for number in sorted(by_number)
    ]
    height += _flow(entries, x, y + height, column_width, columns, theme, shapes)
    if unchecked:
        height += 6
        told = "silence about these says nothing"
        height += _heading("NOT JUDGED", told, x, y + height, width, theme, shapes)
        entries = [_unchecked_entry(words, column_width) for words in _unchecked_sentences(unchecked)]
        height += _flow(entries, x, y + height, column_width, columns, theme, shapes)
    return Group(tuple(shapes), kind="findings", title="Findings on this sheet"), height


def caution_box(words: str, x: float, y: float, width: float, theme: Theme) -> tuple[Group, float]:
    """A ruled box with the cautions for whoever works from the sheet; and its height."""
    head = "CAUTION"
    indent = text_metrics.width(head, TEXT_SIZE, "bold") + 22
    lines = text_metrics.wrap(words, width - indent - 12, TEXT_SIZE)
    height = 11 + LINE_PITCH * len(lines)
    box = element_id("panel", "caution")
    shapes: list[Shape] = [
        Rect(x, y, width, height, stroke=theme.ink, weight=1.2, id=box),
        Text(x + 11, y + 18, head, theme.ink, style="bold", within=box),
    ]
    shapes += [
        Text(x + indent, y + 18 + LINE_PITCH * place, words, theme.ink, within=box)
        for place, words in enumerate(lines)
    ]
    return Group(tuple(shapes), kind="caution", title="Caution"), height


def _heading(
    head: str, remark: str, x: float, y: float, width: float, theme: Theme, shapes: list[Shape]
) -> float:
    shapes.append(Text(x, y + 13, head, theme.ink, size=15, style="bold"))
    indent = text_metrics.width(head, 15, "bold") + 12
    shapes.append(Text(x + indent, y + 13, remark, theme.ink, opacity=0.85))
    shapes.append(line(x, y + 21, x + width, y + 21, theme.ink, 1.2))
    return 30.0


def _counts(marks: Sequence[Mark]) -> str:
    findings = {mark.number: mark.finding for mark in marks}.values()
    parts = []
    for severity in SEVERITIES:
        count = sum(finding.severity == severity and finding.waived_until is None for finding in findings)
        if count:
            parts.append(f"{count} {severity}{'' if count == 1 else 's'}")
    waived = sum(finding.waived_until is not None for finding in findings)
    return ", ".join([*parts, *([f"{waived} waived"] if waived else [])]) or "none stands on this sheet"


def _finding_entry(
    marks: list[Mark], squares: Callable[[float, float], str], width: float, theme: Theme
) -> _Entry:
    number, finding = marks[0].number, marks[0].finding
    waived = finding.waived_until is not None
    indent = flag_width(max(number, 10)) + 10
    room = width - indent
    spots = ", ".join(dict.fromkeys(_spot(mark, squares) for mark in marks))
    paragraphs: list[tuple[str, Style, float]] = [
        (finding.rule, "mono-bold", 1),
        (f"{', '.join(finding.on)}, at {spots}", "regular", 1),
        (finding.message, "regular", 1),
        (f"Do: {finding.fix}" if finding.fix else "", "regular", 0.85),
        (f"Accepted in writing until {finding.waived_until}." if waived else "", "bold", 1),
    ]
    lines: list[_Words] = []
    for words, style, opacity in paragraphs:
        for wrapped in text_metrics.wrap(words, room, TEXT_SIZE, style):
            lines.append(_Words(14 + LINE_PITCH * len(lines), indent, wrapped, style, opacity))

    def shapes_at(x: float, y: float) -> tuple[Shape, ...]:
        return flag(number, finding.severity, x, y + 10, theme, waived)

    return _Entry(tuple(lines), LINE_PITCH * len(lines) + 4, shapes_at)


def _spot(mark: Mark, squares: Callable[[float, float], str]) -> str:
    square = squares(mark.x, mark.y)
    return f"{mark.where} ({square})" if mark.where else square


def _unchecked_sentences(unchecked: Sequence[Unchecked]) -> list[tuple[str, str]]:
    things: dict[tuple[str, str], list[str]] = {}
    for item in unchecked:
        things.setdefault((item.rule, item.missing), []).extend(item.on)
    sentences = []
    for (rule, missing), names in sorted(things.items()):
        named = list(dict.fromkeys(names))
        more = len(named) - _NAMED_AT_MOST
        told = ", ".join(named[:_NAMED_AT_MOST]) + (f" and {more} more" if more > 0 else "")
        sentences.append((rule, f"{missing}: {told}"))
    return sentences


def _unchecked_entry(sentence: tuple[str, str], width: float) -> _Entry:
    rule, words = sentence
    wrapped = [(part, "mono") for part in text_metrics.wrap(rule, width, TEXT_SIZE, "mono")]
    wrapped += [(part, "regular") for part in text_metrics.wrap(words, width, TEXT_SIZE)]
    lines = tuple(
        _Words(14 + LINE_PITCH * place, 0, part, style)  # type: ignore[arg-type]
        for place, (part, style) in enumerate(wrapped)
    )
    return _Entry(lines, LINE_PITCH * len(lines) + 2, lambda _x, _y: ())


def _flow(
    entries: list[_Entry],
    x: float,
    y: float,
    column_width: float,
    columns: int,
    theme: Theme,
    shapes: list[Shape],
) -> float:
    """Sets entries in columns read downwards, the first at least as long as the others; returns the height
    used."""
    total = sum(entry.height + _ENTRY_GAP for entry in entries)
    column, top, deepest = 0, 0.0, 0.0
    for entry in entries:
        if column < columns - 1 and top >= total / columns:
            column, top = column + 1, 0.0
        left = x + column * (column_width + COLUMN_GAP)
        shapes.extend(entry.shapes_at(left, y + top))
        shapes.extend(
            Text(
                left + words.right,
                y + top + words.down,
                words.words,
                theme.ink,
                style=words.style,
                opacity=words.opacity,
            )
            for words in entry.lines
        )
        top += entry.height + _ENTRY_GAP
        deepest = max(deepest, top)
    return deepest
