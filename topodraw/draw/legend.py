"""The legend: made only of what is on the sheet, so views build it from what they drew."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from topodraw.draw import text_metrics
from topodraw.draw.faceplate import PortFace
from topodraw.draw.finding_marks import flag, flag_width
from topodraw.draw.primitives import TEXT_SIZE, Group, Rect, Shape, Text, line, moved
from topodraw.draw.theme import PurposeLook, Theme

ROW = 22.0
SAMPLE_HEIGHT = 16.0
_HEAD = 24.0
_GAP = 22.0
_BELOW = 10.0
"""Between two groups of a column, in px."""


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


def port_entries(ports: Sequence[PortFace], sample: Callable[[PortFace], Shape]) -> Iterator[LegendEntry]:
    """An entry for each kind and state of the ports on a sheet, its sample drawn like the first of them."""
    for kind in ("jack", "cage"):
        for used in (True, False):
            like = [port for port in ports if port.kind == kind and port.used == used and not port.shut]
            if like:
                yield LegendEntry((sample(like[0]),), 22, f"{kind}, {'used' if used else 'free'}")
    shut = [port for port in ports if port.shut]
    if shut:
        yield LegendEntry((sample(shut[0]),), 22, "port, shut")


def legend_block(
    groups: tuple[LegendGroup, ...], x: float, y: float, width: float, theme: Theme
) -> tuple[Group, float]:
    """The legend with its top left at (`x`, `y`), in columns no wider together than `width`; and its height
    in px.

    Columns are as even as the groups allow: a long group is split, short ones share a column.
    """
    shapes: list[Shape] = [
        Text(x, y + 12, "LEGEND", theme.ink, size=15, style="bold"),
        line(x, y + 20, x + width, y + 20, theme.ink, 1.2),
    ]
    left, height = x, 0.0
    for column in _columns(tuple(group for group in groups if group.entries), width):
        top = y + 32
        for group in column:
            shapes.extend(_group_shapes(group, left, top, theme))
            top += _group_height(group) + _BELOW
        height = max(height, top - _BELOW - y)
        left += max(_group_width(group) for group in column) + _GAP
    return Group(tuple(shapes), kind="legend", title="Legend"), height


def _columns(groups: tuple[LegendGroup, ...], width: float) -> list[list[LegendGroup]]:
    """Groups cut and stacked into columns of as few rows as lets them all stand side by side."""
    all_rows = sum(len(group.entries) + 2 for group in groups)
    for rows in range(min(6, all_rows), all_rows + 1):
        parts = [part for group in groups for part in _cut(group, rows)]
        for columns in ([[part] for part in parts], _stacked(parts, _HEAD + ROW * rows)):
            widths = (max(_group_width(part) for part in column) + _GAP for column in columns)
            if sum(widths) - _GAP <= width:
                return columns
    return [list(groups)]


def _stacked(parts: list[LegendGroup], height: float) -> list[list[LegendGroup]]:
    """Parts in order, each below the first ones that leave room for it within a height in px."""
    columns: list[list[LegendGroup]] = []
    for part in parts:
        for column in columns:
            if sum(_group_height(each) + _BELOW for each in column) + _group_height(part) <= height:
                column.append(part)
                break
        else:
            columns.append([part])
    return columns


def _cut(group: LegendGroup, rows: int) -> list[LegendGroup]:
    starts = range(0, len(group.entries), rows)
    return [
        LegendGroup(group.heading if start == 0 else "", group.entries[start : start + rows])
        for start in starts
    ]


def _group_width(group: LegendGroup) -> float:
    heading = text_metrics.width(group.heading, TEXT_SIZE, "bold")
    return max(heading, *(_words_left(group) + text_metrics.width(e.words, TEXT_SIZE) for e in group.entries))


def _group_height(group: LegendGroup) -> float:
    return _HEAD + ROW * len(group.entries)


def _words_left(group: LegendGroup) -> float:
    return max(entry.sample_width for entry in group.entries) + 10


def _group_shapes(group: LegendGroup, x: float, y: float, theme: Theme) -> list[Shape]:
    shapes: list[Shape] = []
    if group.heading:
        shapes.append(Text(x, y + 12, group.heading, theme.ink, style="bold"))
    words_left = x + _words_left(group)
    for place, entry in enumerate(group.entries):
        top = y + _HEAD + ROW * place
        shapes.extend(moved(shape, x, top) for shape in entry.sample)
        shapes.append(Text(words_left, top + 12.7, entry.words, theme.ink))
    return shapes
