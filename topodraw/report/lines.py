"""Lines of text for people: plain in a file or pipe, with colour and wrapping on a terminal."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TextIO


@dataclass(frozen=True, slots=True)
class Line:
    """One line (wrapped on a terminal), its style by meaning, and how far it is set in, in characters."""

    text: str = ""
    style: str = ""
    indent: int = 0


_STYLES = {"error": "bold red", "warning": "bold yellow", "note": "bold cyan", "bold": "bold", "": ""}


def print_lines(lines: Iterable[Line], stream: TextIO | None = None) -> None:
    """Print to `stream` (default: standard output)."""
    out = stream or sys.stdout
    if not out.isatty():
        out.write("".join(f"{' ' * line.indent}{line.text}".rstrip() + "\n" for line in lines))
        return
    from rich.console import Console  # takes long to load, and a pipe doesn't need it
    from rich.padding import Padding
    from rich.text import Text

    console = Console(file=out, highlight=False)
    for line in lines:
        console.print(Padding(Text(line.text, style=_STYLES[line.style]), (0, 0, 0, line.indent)))


def table_lines(rows: Iterable[tuple[str, ...]], indent: int = 2) -> list[Line]:
    """Rows of cells as lines whose columns stand under each other; the first row is the heading."""
    kept = list(rows)
    widths = [max(len(cell) for cell in column) for column in zip(*kept, strict=True)]
    lines = []
    for number, row in enumerate(kept):
        text = "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True))
        lines.append(Line(text.rstrip(), "bold" if number == 0 else "", indent))
    return lines
