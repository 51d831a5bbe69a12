"""Plain text tables that stay readable at the width of a terminal or a printed page."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

TEXT_WIDTH = 100
_GAP = "  "
_INDENT = "    "
_NARROWEST = 8


def text_table(headings: Sequence[str], rows: Sequence[Sequence[str]], notes: Sequence[str] = ()) -> str:
    """Set rows under headings in columns, each line ending in a newline; `notes[n]` goes under row n.

    A column in which every cell is empty is left out. Where the table is wider than `TEXT_WIDTH`, the widest
    columns are narrowed and their cells continue on the next line; nothing is cut off.
    """
    kept = [index for index in range(len(headings)) if any(row[index] for row in rows)]
    top = [headings[index] for index in kept]
    cells = [[row[index] for index in kept] for row in rows]
    widths = _widths([top, *cells])
    text = _set_line(top, widths) + _set_line(["-" * width for width in widths], widths)
    for number, line in enumerate(cells):
        text += _set_line(line, widths)
        if number < len(notes):
            text += note_lines(notes[number])
    return text


def _widths(lines: Sequence[Sequence[str]]) -> list[int]:
    widths = [max(map(len, column)) for column in zip(*lines, strict=True)]
    room = TEXT_WIDTH - len(_GAP) * (len(widths) - 1)
    while sum(widths) > room and max(widths) > _NARROWEST:
        widths[widths.index(max(widths))] -= 1
    return widths


def _set_line(cells: Sequence[str], widths: Sequence[int]) -> str:
    columns = [_wrap(cell, width) for cell, width in zip(cells, widths, strict=True)]
    text = ""
    for number in range(max(map(len, columns), default=0)):
        parts = (
            (column[number] if number < len(column) else "").ljust(width)
            for column, width in zip(columns, widths, strict=True)
        )
        text += _GAP.join(parts).rstrip() + "\n"
    return text


def _wrap(cell: str, width: int) -> list[str]:
    return textwrap.wrap(cell, width, break_on_hyphens=False) or [""]


def note_lines(text: str) -> str:
    """Set a sentence under a row, indented and wrapped at `TEXT_WIDTH`; nothing for an empty text."""
    lines = textwrap.wrap(text, TEXT_WIDTH - len(_INDENT), break_on_hyphens=False)
    return "".join(f"{_INDENT}{line}\n" for line in lines)


def heading(text: str) -> str:
    """Set a heading with a rule under it, and an empty line."""
    return f"{text}\n{'=' * min(len(text), TEXT_WIDTH)}\n\n"
