"""The titles of areas: set in one line where there is room for it, else broken."""

from __future__ import annotations

from topodraw.draw import text_metrics
from topodraw.draw.primitives import LINE_PITCH, TEXT_SIZE

SIZE = TEXT_SIZE + 1
_BREAKS = (230.0, 120.0, 76.0)
_PAD = 8.0


def title_settings(title: str) -> list[tuple[str, ...]]:
    """The ways to break a title into lines, the widest first."""
    found: list[tuple[str, ...]] = []
    for at_most in _BREAKS:
        lines = tuple(text_metrics.wrap(title, at_most, SIZE, "bold"))
        if lines not in found:
            found.append(lines)
    return found


def tab_width(lines: tuple[str, ...]) -> float:
    """Width of the tab round a title, in px."""
    return max((text_metrics.width(words, SIZE, "bold") for words in lines), default=0.0) + 2 * _PAD


def tab_height(lines: tuple[str, ...]) -> float:
    """Height of the tab round a title, in px."""
    return 6 + LINE_PITCH * len(lines)


def tab_widths(title: str) -> list[float]:
    """Widths of the tabs for each way to set a title, in px."""
    return [tab_width(lines) for lines in title_settings(title)]
