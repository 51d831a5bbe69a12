"""Who may talk to whom: a row for each zone that starts, a column for each that answers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from topodraw.compute.facts import Facts
from topodraw.draw import text_metrics
from topodraw.draw.characters import element_id
from topodraw.draw.primitives import TEXT_SIZE, Group, Hatch, Rect, Shape, Text
from topodraw.draw.text_metrics import Style
from topodraw.draw.theme import Theme
from topodraw.draw.zones.boxes import FAINT

_ROW = 16.0
_PAD = 4.0
_WIDEST_HEAD = 118.0
LEAST_CELL = 74.0
GOOD_CELL = 94.0
_INDENT = 15.0


@dataclass(frozen=True, slots=True)
class Entry:
    """One conduit in a cell: its number, services, and what part of the zones it is about."""

    number: int
    services: tuple[str, ...]
    words: str


@dataclass(frozen=True, slots=True)
class Cell:
    """What one zone may start towards another."""

    kind: str
    """inside, all, some or refused."""
    entries: tuple[Entry, ...]
    open_on_paper: bool
    """Refused (or limited), but nothing filters somewhere between the two."""


Placed = tuple[int, float, str, Style]
"""Row, indent, words, style."""


def cell_of(facts: Facts, source: str, target: str) -> Cell:
    """The cell of two zones, from the reach between them."""
    if source == target:
        return Cell("inside", (), False)
    entries = []
    for one in facts.reach.conduits:
        if source in one.source_zones and target in one.target_zones:
            conduit = facts.site.conduits[one.number - 1]
            backwards = conduit.both_ways and one.source != conduit.source.name
            aim = one.target if one.target != target else ""
            start = one.source if one.source != source else ""
            if backwards and conduit.source.kind == "zone":
                aim = ""
            words = " ".join([*([f"from {start}"] if start else []), *([f"to {aim}"] if aim else [])])
            services = ("all",) if one.services == ("any",) else one.services
            entries.append(Entry(one.number, services, words))
    allowed = facts.reach.zones[source][target]
    kind = "all" if allowed == "all" else "refused" if allowed == "none" else "some"
    return Cell(kind, tuple(entries), kind != "all" and (source, target) in facts.reach.unfiltered)


def _cell_lines(cell: Cell, width: float) -> list[Placed]:
    placed: list[Placed] = []
    row = 0
    room = width - 2 * _PAD
    for entry in cell.entries:
        number = str(entry.number)
        indent = max(_INDENT, text_metrics.width(number, TEXT_SIZE, "bold") + 5)
        placed.append((row, 0.0, number, "bold"))
        longest = max(text_metrics.width(service, TEXT_SIZE, "mono") for service in entry.services)
        if longest > room - indent:
            row, indent = row + 1, 0.0
        for service in entry.services:
            for words in text_metrics.wrap(service, room - indent, TEXT_SIZE, "mono"):
                placed.append((row, indent, words, "mono"))
                row += 1
        for words in text_metrics.wrap(entry.words, room - indent, TEXT_SIZE):
            placed.append((row, indent, words, "regular"))
            row += 1
    if cell.open_on_paper:
        for words in text_metrics.wrap("not filtered", room, TEXT_SIZE):
            placed.append((row, 0.0, words, "regular"))
            row += 1
    return placed


def matrix_panel(
    facts: Facts, names: Sequence[str], x: float, y: float, width: float, theme: Theme
) -> tuple[Group, float]:
    """The matrix with its top left at (`x`, `y`), the columns in several blocks where they are too many; and
    its height."""
    shapes: list[Shape] = [
        Text(x, y + 14, "Who may talk to whom", theme.ink, 15.5, "bold"),
    ]
    after = x + text_metrics.width("Who may talk to whom", 15.5, "bold") + 10
    remark = "rows: from; columns: to; bold figures: conduits"
    if after + text_metrics.width(remark, TEXT_SIZE) <= x + width:
        shapes.append(Text(after, y + 14, remark, theme.ink, opacity=FAINT))
    down = y + 28
    head = head_width(names)
    per_block = max(1, int((width - head) // LEAST_CELL))
    blocks = -(-len(names) // per_block)
    size = -(-len(names) // blocks)
    for block in range(blocks):
        columns = names[block * size : (block + 1) * size]
        cell_width = min((width - head) / size, 150.0)
        down = _block(facts, names, columns, x, down, cell_width, theme, shapes) + 14
    return Group(tuple(shapes), element_id("panel", "matrix"), "matrix", "Who may talk to whom"), down - y


def head_width(names: Sequence[str]) -> float:
    """Width in px of the names at the left."""
    longest = max(text_metrics.width(name, TEXT_SIZE, "bold") for name in names)
    return min(longest + 12, _WIDEST_HEAD)


def _block(
    facts: Facts,
    names: Sequence[str],
    columns: Sequence[str],
    x: float,
    y: float,
    cell_width: float,
    theme: Theme,
    shapes: list[Shape],
) -> float:
    heads = [text_metrics.wrap(name, cell_width - 8, TEXT_SIZE, "bold") for name in columns]
    head_rows = max(len(lines) for lines in heads)
    left = x + head_width(names)
    for place, lines in enumerate(heads):
        middle = left + (place + 0.5) * cell_width
        for row, words in enumerate(lines):
            base = y + 13 + _ROW * (row + head_rows - len(lines))
            shapes.append(Text(middle, base, words, theme.ink, style="bold", anchor="middle"))
    down = y + _ROW * head_rows + 6
    top = down
    for name in names:
        cells = [cell_of(facts, name, target) for target in columns]
        rows = [_cell_lines(cell, cell_width) for cell in cells]
        head = text_metrics.wrap(name, _WIDEST_HEAD - 12, TEXT_SIZE, "bold")
        count = max([len(head), 1, *(max((row for row, *_ in placed), default=0) + 1 for placed in rows)])
        height = _ROW * count + 10
        start = down + (height - _ROW * len(head)) / 2 + 12.5
        for row, words in enumerate(head):
            shapes.append(Text(left - 8, start + _ROW * row, words, theme.ink, style="bold", anchor="end"))
        for place, (cell, placed, target) in enumerate(zip(cells, rows, columns, strict=True)):
            box = (left + place * cell_width, down, cell_width, height)
            shapes.append(_cell_group(cell, placed, (name, target), box, theme))
        down += height
    shapes.append(Rect(left, top, cell_width * len(columns), down - top, "none", theme.ink, 1.4))
    return down


def _cell_group(
    cell: Cell,
    placed: list[Placed],
    pair: tuple[str, str],
    box: tuple[float, float, float, float],
    theme: Theme,
) -> Group:
    x, y, width, height = box
    ink = theme.ink
    id_ = element_id("cell", *pair)
    ground = {"all": ink, "some": theme.plate}.get(cell.kind, theme.paper)
    shapes: list[Shape] = [Rect(x, y, width, height, ground, ink, 0.6, id=f"{id_}-box")]
    if cell.kind == "refused":
        shapes.append(Rect(x, y, width, height, Hatch("diagonal", ink, 0.3, 7, 0.8)))
        if placed:
            shapes.append(Rect(x + 3, y + height / 2 - 10, width - 6, 20, theme.paper))
    colour = theme.paper if cell.kind == "all" else ink
    rows = max((row for row, *_ in placed), default=0) + 1
    start = y + (height - _ROW * rows) / 2 + 12.5
    if cell.kind == "inside":
        shapes.append(
            Text(x + width / 2, start, "inside", ink, anchor="middle", opacity=FAINT, within=f"{id_}-box")
        )
    shapes += [
        Text(x + _PAD + indent, start + _ROW * row, words, colour, style=style, within=f"{id_}-box")
        for row, indent, words, style in placed
    ]
    services = "; ".join(f"conduit {e.number} {' '.join(e.services)} {e.words}".strip() for e in cell.entries)
    told = {"inside": "inside one zone everything is allowed", "refused": "refused: no conduit"}
    title = f"{pair[0]} to {pair[1]}: {services or told.get(cell.kind, cell.kind)}"
    if cell.open_on_paper:
        title += "; nothing filters between them"
    return Group(tuple(shapes), id_, "reach", title)
