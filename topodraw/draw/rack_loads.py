"""Under the elevations: what the rack carries against its limits, and the names that found no room on their
plates."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from topodraw.draw import text_metrics
from topodraw.draw.primitives import LINE_PITCH, TEXT_SIZE, Group, Path, Rect, Shape, Text, line
from topodraw.draw.rack_contents import Occupant, RackContents
from topodraw.draw.rack_plates import units_words
from topodraw.draw.text_metrics import Style
from topodraw.draw.theme import Theme

_ROW = 26.0
_LABEL_WIDTH = 60.0
_BAR_WIDTH = 200.0
_NAMED_AT_MOST = 6


@dataclass(frozen=True, slots=True)
class _Load:
    label: str
    amount: float
    limit: float | None
    figure: str
    remark: str


def loads_panel(
    contents: RackContents, x: float, y: float, width: float, theme: Theme
) -> tuple[Group, float]:
    """Bars for units and mass, full at their limit, with the top left at (`x`, `y`); and the height."""
    ink = theme.ink
    remark = "full bar = limit; planned and switched-off gear counts"
    shapes = heading("LOADS", remark, x, y, width, theme)
    top = y + 32
    for load in _loads(contents):
        shapes.append(Text(x, top + 13, load.label, ink, style="bold"))
        bar_x = x + _LABEL_WIDTH
        if load.limit:
            share = min(1.0, load.amount / load.limit)
            shapes.append(Rect(bar_x, top + 2, _BAR_WIDTH, 13, theme.plate, ink, 1.0))
            if share:
                shapes.append(Rect(bar_x, top + 2, _BAR_WIDTH * share, 13, ink))
            ticks = tuple(
                ((bar_x + _BAR_WIDTH * n / 10, top + 12), (bar_x + _BAR_WIDTH * n / 10, top + 15))
                for n in range(1, 10)
                if n / 10 > share
            )
            shapes.append(Path(ticks, stroke=ink, weight=0.6, opacity=0.6))
            figure_x = bar_x + _BAR_WIDTH + 14
        else:
            figure_x = bar_x
        shapes.append(Text(figure_x, top + 13, load.figure, ink, style="mono"))
        remark_x = figure_x + text_metrics.width(load.figure, TEXT_SIZE, "mono") + 14
        lines = text_metrics.wrap(load.remark, x + width - remark_x, TEXT_SIZE)
        for place, words in enumerate(lines):
            shapes.append(Text(remark_x, top + 13 + LINE_PITCH * place, words, ink, opacity=0.85))
        top += _ROW + LINE_PITCH * max(0, len(lines) - 1)
        shapes.append(line(x, top - 3, x + width, top - 3, ink, 0.5, 0.4))
    return Group(tuple(shapes), kind="loads", title="Loads"), top - y


def _loads(contents: RackContents) -> list[_Load]:
    planned = sum(each.units for each in contents.occupants if each.state == "planned")
    units = f"{contents.used} of {contents.units} U used"
    loads = [
        _Load("units", contents.used, contents.units, units, f"{planned} U of it planned" if planned else "")
    ]
    unknown, limit = contents.mass_unknown, contents.max_load_kg
    at_least = "at least " if unknown else ""
    figure = f"{at_least}{contents.mass_kg:g}{f' of {limit:g}' if limit else ''} kg"
    more = f" and {len(unknown) - _NAMED_AT_MOST} more" if len(unknown) > _NAMED_AT_MOST else ""
    not_stated = f"mass not stated: {', '.join(unknown[:_NAMED_AT_MOST])}{more}" if unknown else ""
    remark = "; ".join(words for words in ("" if limit else "no limit stated", not_stated) if words)
    return [*loads, _Load("mass", contents.mass_kg, limit, figure, remark)]


def names_panel(
    contents: RackContents, shortened: Sequence[str], x: float, y: float, width: float, theme: Theme
) -> tuple[Group, float]:
    """In full: names shortened on the plates, and gear that can't be drawn in the rack. Nothing if there are
    none."""
    rows = []
    for occupant in contents.occupants:
        for name in (occupant.name, *(node.name for node in occupant.nodes)):
            if name in shortened:
                rows.append((units_words(occupant), name, ""))
    rows += [(f"{units_words(each)}, outside", each.name, "") for each in contents.outside]
    rows += [("no height stated", name, "") for name in contents.unsized]
    return _list("NAMES IN FULL", "where a plate has no room", rows, x, y, width, theme)


def hidden_panel(
    hidden: Sequence[Occupant], x: float, y: float, width: float, theme: Theme
) -> tuple[Group, float]:
    """The inlets of gear whose back is hidden by other gear, and where their cords lead. Nothing if there are
    none."""
    rows = []
    for occupant in hidden:
        cords = [f"{each.name}: {each.label or 'no cord'}" for each in occupant.back.inlets]
        if cords and occupant.state == "in-service":
            rows.append((units_words(occupant), occupant.name, f"inlets {', '.join(cords)}"))
    return _list("BEHIND OTHER GEAR", "not seen at the rear", rows, x, y, width, theme)


def _list(
    head: str,
    remark: str,
    rows: Sequence[tuple[str, str, str]],
    x: float,
    y: float,
    width: float,
    theme: Theme,
) -> tuple[Group, float]:
    """Rows of a place in mono, a name in bold and some words, under a heading; and the height."""
    if not rows:
        return Group(()), 0.0
    shapes = heading(head, remark, x, y, width, theme)
    top = y + 30
    for where, name, words in rows:
        shapes.append(Text(x, top + 13, where, theme.ink, style="mono", opacity=0.85))
        indent = max(92.0, text_metrics.width(where, TEXT_SIZE, "mono") + 10)
        lines: list[tuple[str, Style]] = [
            (each, "bold") for each in text_metrics.wrap(name, width - indent, TEXT_SIZE, "bold")
        ]
        lines += [(each, "regular") for each in text_metrics.wrap(words, width - indent, TEXT_SIZE)]
        for line_words, style in lines:
            shapes.append(Text(x + indent, top + 13, line_words, theme.ink, style=style))
            top += LINE_PITCH
        top += 4
    return Group(tuple(shapes), kind="names", title=head.capitalize()), top + 10 - y


def heading(head: str, remark: str, x: float, y: float, width: float, theme: Theme) -> list[Shape]:
    """A panel's heading over a rule."""
    indent = text_metrics.width(head, 15, "bold") + 12
    return [
        Text(x, y + 13, head, theme.ink, size=15, style="bold"),
        Text(
            x + indent, y + 13, text_metrics.fit(remark, width - indent, TEXT_SIZE), theme.ink, opacity=0.85
        ),
        line(x, y + 21, x + width, y + 21, theme.ink, 1.2),
    ]
