"""Ruled boxes of text lines: a line has words at its left and words at its right, and wraps if both don't
fit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal, Protocol

from topodraw.draw import text_metrics
from topodraw.draw.finding_marks import Mark, flag_width
from topodraw.draw.primitives import TEXT_SIZE, Group, Rect, Shape, Text
from topodraw.draw.text_metrics import Style
from topodraw.draw.theme import Theme
from topodraw.model.finding import Finding

ROW = 17.0
"""From one line of text in a box to the next, in px."""
PAD = 7.0
_BETWEEN = 10.0
_FLAG_ROW = 24.0
FAINT = 0.85
"""Opacity of what is said beside a name."""

Numbered = tuple[int, Finding]
Anchor = Literal["start", "middle", "end"]


@dataclass(frozen=True, slots=True)
class Line:
    """One line: words at the left, words at the right."""

    left: str
    right: str = ""
    left_style: Style = "regular"
    right_style: Style = "mono"
    left_opacity: float = 1.0
    right_opacity: float = 1.0


@dataclass(frozen=True, slots=True)
class Part:
    """Lines that are one thing, with what the reader of the drawing's text is told and the findings on it."""

    lines: tuple[Line, ...]
    id: str = ""
    kind: str = ""
    title: str = ""
    desc: str = ""
    flags: tuple[Numbered, ...] = ()


@dataclass(slots=True)
class Drawn:
    """Shapes, and where findings stand among them."""

    shapes: list[Shape] = field(default_factory=list)
    marks: list[Mark] = field(default_factory=list)

    def add(self, other: Drawn) -> None:
        """Take over another's shapes and marks."""
        self.shapes += other.shapes
        self.marks += other.marks


class Box(Protocol):
    """Something of any width that knows how high it then is."""

    def height(self, width: float) -> float:
        """Height in px for a width in px."""

    def draw(self, x: float, y: float, width: float, theme: Theme) -> Drawn:
        """The box with its top left at (`x`, `y`)."""

    def natural_width(self) -> float:
        """The width in px at which no line has to wrap."""


@dataclass(frozen=True, slots=True)
class _Placed:
    row: int
    words: str
    style: Style
    anchor: Anchor
    opacity: float


def set_lines(lines: Sequence[Line], width: float) -> tuple[list[_Placed], int]:
    """The texts of lines in a width in px, and how many rows they take."""
    placed: list[_Placed] = []
    row = 0
    for line in lines:
        left, right = line.left, line.right
        needed = text_metrics.width(left, TEXT_SIZE, line.left_style)
        needed += (_BETWEEN if left and right else 0) + text_metrics.width(right, TEXT_SIZE, line.right_style)
        if needed <= width:
            if left:
                placed.append(_Placed(row, left, line.left_style, "start", line.left_opacity))
            if right:
                placed.append(_Placed(row, right, line.right_style, "end", line.right_opacity))
            row += 1
            continue
        for words in text_metrics.wrap(left, width, TEXT_SIZE, line.left_style):
            placed.append(_Placed(row, words, line.left_style, "start", line.left_opacity))
            row += 1
        for words in text_metrics.wrap(right, width, TEXT_SIZE, line.right_style):
            placed.append(_Placed(row, words, line.right_style, "end", line.right_opacity))
            row += 1
    return placed, row


def lines_width(lines: Sequence[Line]) -> float:
    """The width in px that lines take without wrapping."""
    return max(
        (
            text_metrics.width(line.left, TEXT_SIZE, line.left_style)
            + (_BETWEEN if line.left and line.right else 0)
            + text_metrics.width(line.right, TEXT_SIZE, line.right_style)
            for line in lines
        ),
        default=0.0,
    )


def flags_height(flags: Sequence[Numbered], width: float) -> float:
    """Height in px of a row (or several) of flags."""
    return _FLAG_ROW * len(_flag_rows(flags, width))


def flag_marks(flags: Sequence[Numbered], x: float, y: float, width: float, where: str) -> list[Mark]:
    """Flags in rows from the top left (`x`, `y`)."""
    marks = []
    for row, numbered in enumerate(_flag_rows(flags, width)):
        left = x
        for number, finding in numbered:
            marks.append(Mark(number, finding, left, y + 12 + row * _FLAG_ROW, where))
            left += flag_width(number) + 6
    return marks


def _flag_rows(flags: Sequence[Numbered], width: float) -> list[list[Numbered]]:
    rows: list[list[Numbered]] = []
    used = 0.0
    for number, finding in flags:
        wide = flag_width(number) + 6
        if not rows or used + wide > width:
            rows.append([])
            used = 0.0
        rows[-1].append((number, finding))
        used += wide
    return rows


@dataclass(frozen=True, slots=True)
class PartsBox:
    """A ruled plate that holds one or several parts under an optional heading."""

    id: str
    parts: tuple[Part, ...]
    heading: tuple[Line, ...] = ()
    weight: float = 1.4
    dash: tuple[float, ...] = ()

    def natural_width(self) -> float:
        """The width in px at which every name stands beside its address."""
        lines = [*self.heading, *(part.lines[0] for part in self.parts)]
        return lines_width(lines) + 2 * PAD

    def height(self, width: float) -> float:
        """Height in px for a width in px."""
        inner = width - 2 * PAD
        _, rows = set_lines(self.heading, inner)
        height = PAD + ROW * rows
        for part in self.parts:
            height += ROW * set_lines(part.lines, inner)[1] + flags_height(part.flags, inner)
        return height

    def draw(self, x: float, y: float, width: float, theme: Theme) -> Drawn:
        """The box with its top left at (`x`, `y`)."""
        inner = width - 2 * PAD
        drawn = Drawn()
        rect = Rect(
            x, y, width, self.height(width), theme.plate, theme.ink, self.weight, self.dash, id=self.id
        )
        placed, rows = set_lines(self.heading, inner)
        heading = texts_at(placed, x + PAD, y, inner, self.id, theme)
        down = y + ROW * rows
        groups: list[Shape] = []
        for part in self.parts:
            placed, rows = set_lines(part.lines, inner)
            words = texts_at(placed, x + PAD, down, inner, self.id, theme)
            down += ROW * rows
            groups.append(Group(tuple(words), part.id, part.kind, part.title, part.desc))
            drawn.marks += flag_marks(part.flags, x + PAD, down + 3, inner, part.title)
            down += flags_height(part.flags, inner)
        drawn.shapes = [rect, *heading, *groups]
        return drawn


def texts_at(
    placed: Sequence[_Placed], x: float, y: float, width: float, within: str, theme: Theme
) -> list[Text]:
    """Texts of lines set in a box whose first row's top is at `y`."""
    left_of = {"start": x, "middle": x + width / 2, "end": x + width}
    return [
        Text(
            left_of[each.anchor],
            y + 16.5 + ROW * each.row,
            each.words,
            theme.ink,
            style=each.style,
            anchor=each.anchor,
            opacity=each.opacity,
            within=within,
        )
        for each in placed
    ]
