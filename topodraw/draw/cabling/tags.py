"""Where cables' names stand beside their ends: across the line where there is room, along it where lines
are close."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from topodraw.draw import text_metrics
from topodraw.draw.primitives import TEXT_SIZE

ROW = 16.0
"""Height of a row of names in px."""
_CLEAR = 3.0
_BESIDE = 4.0
_UPRIGHT_PITCH = 13.5
_ROWS_AT_MOST = 2


@dataclass(frozen=True, slots=True)
class Tag:
    """A name wanted on the leg at `x`. Tags with the same `group` (the ends at one side of a box) are set
    alike."""

    wire: str
    end: int
    x: float
    words: str
    group: str


@dataclass(frozen=True, slots=True)
class PlacedTag:
    """A name with its place: `near` px from the border to its nearer side; `upright` ones read from below."""

    tag: Tag
    near: float
    upright: bool


def tag_width(words: str) -> float:
    """Length of a name in px as it is set in tags."""
    return text_metrics.width(words, TEXT_SIZE, "mono")


def place_tags(
    tags: Sequence[Tag], legs: Sequence[float], limits: tuple[float, float]
) -> tuple[list[PlacedTag], float]:
    """All tags of one border with their places, and the height of the strip that holds them, in px.

    `legs` are the columns of every line that passes the strip, the tags' own among them; no name that
    stands across its line goes beyond `limits`.
    """
    placed: list[PlacedTag] = []
    taken: list[list[tuple[float, float]]] = [[] for _ in range(_ROWS_AT_MOST)]
    height = 0.0
    for group in dict.fromkeys(tag.group for tag in tags):
        own = sorted((tag for tag in tags if tag.group == group), key=lambda tag: tag.x)
        across = _across(own, [*legs, *limits], taken)
        if across is None:
            along = _along(own)
            placed += along
            height = max(height, *(spot.near + tag_width(spot.tag.words) + 4 for spot in along))
            for spans in taken:
                spans += [(tag.x - ROW / 2, tag.x + ROW / 2) for tag in own]
            continue
        placed += [PlacedTag(tag, row * ROW, False) for tag, row in across]
        height = max(height, *((row + 1) * ROW for _, row in across))
        for tag, row in across:
            taken[row].append(_span(tag))
    return placed, height


def _along(tags: Sequence[Tag]) -> list[PlacedTag]:
    """Names along their lines; where two lines are too close, the second name stands behind the first."""
    placed: list[PlacedTag] = []
    for tag in tags:
        last = placed[-1] if placed else None
        behind = last is not None and tag.x - last.tag.x < _UPRIGHT_PITCH
        near = last.near + tag_width(last.tag.words) + 8 if last and behind else 2.0
        placed.append(PlacedTag(tag, near, True))
    return placed


def _span(tag: Tag) -> tuple[float, float]:
    half = tag_width(tag.words) / 2 + _CLEAR
    return (tag.x - half, tag.x + half)


def _across(
    tags: Sequence[Tag], legs: Sequence[float], taken: Sequence[Sequence[tuple[float, float]]]
) -> list[tuple[Tag, int]] | None:
    """A row for every tag, or None where one of them would always stand on a neighbour's line or name."""
    rows: list[list[tuple[float, float]]] = [list(row) for row in taken]
    found = []
    for tag in tags:
        left, right = _span(tag)
        if any(left - _BESIDE < x < right + _BESIDE for x in legs if x != tag.x):
            return None
        free = [row for row, spans in enumerate(rows) if not any(a < right and left < b for a, b in spans)]
        if not free:
            return None
        rows[free[0]].append((left, right))
        found.append((tag, free[0]))
    return found
