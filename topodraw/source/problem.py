"""Where a text stands, and what makes an input unusable there."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Position:
    """A stretch of a source file; lines and columns count from 1, the end is the first column after it."""

    file: str
    line: int
    column: int
    end_line: int
    end_column: int

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True, slots=True)
class Problem:
    """Why an input can't be understood: the rule it breaks, and what would be right."""

    rule: str
    message: str
    fix: str
    position: Position
