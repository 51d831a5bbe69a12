"""The legend: made only of what is on the sheet, so views build it from what they drew."""

from __future__ import annotations

from dataclasses import dataclass

from topodraw.draw import text_metrics
from topodraw.draw.finding_marks import flag, flag_width
from topodraw.draw.primitives import TEXT_SIZE, Group, Hatch, Rect, Shape, Text, line, moved
from topodraw.draw.theme import PurposeLook, Theme

ROW = 22.0
SAMPLE_HEIGHT = 16.0
_HEAD = 24.0
_GAP = 22.0


@dataclass(frozen=True, slots=True)
class LegendEntry:
    """A sample and its meaning. The sample is drawn from (0, 0) to (`sample_width`, SAMPLE_HEIGHT)."""

    sample: tuple[Shape, ...]
    sample_width: float
    words: str


@dataclass(frozen=True, slots=True)
class LegendGroup:
    """Entries under a heading."""

    heading: str
    entries: tuple[LegendEntry, ...]


def purposes_legend(looks: tuple[PurposeLook, ...], theme: Theme) -> LegendGroup:
    """The purposes that occur on a sheet: patch of colour and weave, letter, name."""
    return LegendGroup("purpose", tuple(_purpose_entry(look, theme) for look in looks))


def _purpose_entry(look: PurposeLook, theme: Theme) -> LegendEntry:
    letter = Text(35, 12.7, look.letter, theme.ink, style="bold", anchor="middle")
    return LegendEntry((*purpose_patch(look, 0, 1, 25, 14), letter), 44, look.name)


def purpose_patch(look: PurposeLook, x: float, y: float, width: float, height: float) -> tuple[Shape, ...]:
    """A patch filled with a purpose's colour and weave."""
    patch: list[Shape] = [Rect(x, y, width, height, look.colour, look.colour, 0.8)]
    if look.weave:
        patch.append(Rect(x, y, width, height, look.weave))
    return tuple(patch)


def findings_legend(severities: tuple[str, ...], any_waived: bool, theme: Theme) -> LegendGroup:
    """The flags that occur on a sheet."""
    width = flag_width(1)
    entries = [
        LegendEntry(flag("n", severity, 0, 8, theme), width, f"finding n: {severity}")
        for severity in ("error", "warning", "note")
        if severity in severities
    ]
    if any_waived:
        entries.append(LegendEntry(flag("n", "note", 0, 8, theme, waived=True), width, "finding n, waived"))
    return LegendGroup("findings", tuple(entries))


def area_entry(hatch: Hatch, words: str, theme: Theme) -> LegendEntry:
    """An entry for a hatched area."""
    return LegendEntry((Rect(0, 1, 34, 14, hatch, theme.ink, 0.8),), 34, words)


def legend_block(
    groups: tuple[LegendGroup, ...], x: float, y: float, width: float, theme: Theme
) -> tuple[Group, float]:
    """The legend with its top left at (`x`, `y`), in columns no wider together than `width`; and its height
    in px.

    Columns are as even as the groups allow: a group longer than the rest is split.
    """
    shapes: list[Shape] = [
        Text(x, y + 12, "LEGEND", theme.ink, size=15, style="bold"),
        line(x, y + 20, x + width, y + 20, theme.ink, 1.2),
    ]
    columns = _columns(tuple(group for group in groups if group.entries), width)
    left, top, band_height = x, y + 32, 0.0
    for column in columns:
        column_width = _column_width(column)
        if left > x and left + column_width > x + width:
            left, top, band_height = x, top + band_height + 10, 0.0
        shapes.extend(_column_shapes(column, left, top, theme))
        band_height = max(band_height, _HEAD + ROW * len(column.entries))
        left += column_width + _GAP
    bottom = top + band_height
    return Group(tuple(shapes), kind="legend", title="Legend"), bottom - y


def _columns(groups: tuple[LegendGroup, ...], width: float) -> list[LegendGroup]:
    """Groups cut into columns of as few rows as lets them all stand side by side, down to eight rows."""
    longest = max((len(group.entries) for group in groups), default=1)
    for rows in range(min(6, longest), longest + 1):
        columns = [part for group in groups for part in _cut(group, rows)]
        if sum(_column_width(column) + _GAP for column in columns) - _GAP <= width:
            return columns
    return [part for group in groups for part in _cut(group, 8)]


def _cut(group: LegendGroup, rows: int) -> list[LegendGroup]:
    starts = range(0, len(group.entries), rows)
    return [
        LegendGroup(group.heading if start == 0 else "", group.entries[start : start + rows])
        for start in starts
    ]


def _column_width(column: LegendGroup) -> float:
    heading = text_metrics.width(column.heading, TEXT_SIZE, "bold")
    return max(
        heading, *(_words_left(column) + text_metrics.width(e.words, TEXT_SIZE) for e in column.entries)
    )


def _words_left(column: LegendGroup) -> float:
    return max(entry.sample_width for entry in column.entries) + 10


def _column_shapes(column: LegendGroup, x: float, y: float, theme: Theme) -> list[Shape]:
    shapes: list[Shape] = []
    if column.heading:
        shapes.append(Text(x, y + 12, column.heading, theme.ink, style="bold"))
    words_left = x + _words_left(column)
    for place, entry in enumerate(column.entries):
        top = y + _HEAD + ROW * place
        shapes.extend(moved(shape, x, top) for shape in entry.sample)
        shapes.append(Text(words_left, top + 12.7, entry.words, theme.ink))
    return shapes
