"""How wide a text is, from metrics that ship with the program, so that no sheet depends on installed fonts.

Widths are those of DejaVu Sans Condensed and DejaVu Sans Mono (data/README.md). A text is written with the
width measured here as its `textLength`, so that another font is squeezed or stretched into the same place.
"""

from __future__ import annotations

import json
import re
import unicodedata
from functools import lru_cache
from pathlib import Path
from typing import Literal

from topodraw.draw.characters import shown

Style = Literal["regular", "bold", "mono", "mono-bold"]

ASCENT = 0.76
"""Height of capitals and ascenders above the baseline, in em (DejaVu Sans: 0.76)."""
DESCENT = 0.24
"""Depth of descenders below the baseline, in em (DejaVu Sans: 0.236)."""

_FACE: dict[Style, str] = {"regular": "regular", "bold": "bold", "mono": "mono", "mono-bold": "mono"}
_BREAK_AFTER = re.compile(r"(?<=[/\-,._:;@])")


@lru_cache(maxsize=1)
def _tables() -> dict[str, dict[int, float]]:
    text = (Path(__file__).parent / "data" / "text-widths.json").read_text(encoding="ascii")
    raw = json.loads(text)
    units_per_em = raw["units_per_em"]
    return {
        face: {
            first + offset: advance / units_per_em
            for first, advances in raw[face]
            for offset, advance in enumerate(advances)
            if advance >= 0
        }
        for face in ("regular", "bold", "mono")
    }


@lru_cache(maxsize=65536)
def _advance_em(character: str, face: str) -> float:
    if unicodedata.category(character) in ("Mn", "Me", "Cf"):
        return 0.0  # marks stand on the letter before; joiners have no width
    return _tables()[face].get(ord(character), 1.0)  # ideographs fill their em; the unknown is given as much


def is_measured(text: str, style: Style = "regular") -> bool:
    """Whether the width of every character is known, not merely bounded: in the tables, or a wide East Asian
    one (UAX #11)."""
    table = _tables()[_FACE[style]]
    return all(
        ord(character) in table
        or unicodedata.category(character) in ("Mn", "Me", "Cf")
        or unicodedata.east_asian_width(character) in ("W", "F")
        for character in shown(text)
    )


def width(text: str, size_px: float, style: Style = "regular") -> float:
    """Width of a line of text in px at a size in px."""
    face = _FACE[style]
    return size_px * sum(_advance_em(character, face) for character in shown(text))


def fit(text: str, width_px: float, size_px: float, style: Style = "regular") -> str:
    """The text if it fits into a width in px, else as much of its beginning as fits, with an ellipsis.

    Whoever shortens a name owes the reader the full one elsewhere on the sheet.
    """
    text = shown(text)
    if width(text, size_px, style) <= width_px:
        return text
    pieces = _clusters(text)
    while pieces:
        pieces.pop()
        shortened = "".join(pieces).rstrip() + "…"
        if width(shortened, size_px, style) <= width_px:
            return shortened
    return ""


def wrap(text: str, width_px: float, size_px: float, style: Style = "regular") -> list[str]:
    """The text in lines no wider than a width in px: broken at spaces, then after punctuation, then anywhere.

    A single character wider than the line stays whole; an empty text gives no line.
    """
    lines: list[str] = []
    line = ""
    for word in shown(text).split(" "):
        joined = f"{line} {word}" if line else word
        if width(joined, size_px, style) <= width_px:
            line = joined
            continue
        if line:
            lines.append(line)
        *full, line = _broken(word, width_px, size_px, style)
        lines.extend(full)
    return [*lines, line] if line else lines


def _broken(word: str, width_px: float, size_px: float, style: Style) -> list[str]:
    """A word cut into pieces that fit, the last one last; at least one piece."""
    pieces: list[str] = []
    piece = ""
    for part in _BREAK_AFTER.split(word):
        if width(piece + part, size_px, style) <= width_px:
            piece += part
            continue
        if piece:
            pieces.append(piece)
        piece = ""
        for cluster in _clusters(part):
            if piece and width(piece + cluster, size_px, style) > width_px:
                pieces.append(piece)
                piece = ""
            piece += cluster
    return [*pieces, piece]


def _clusters(text: str) -> list[str]:
    """Characters with the marks and joiners that belong to them, roughly the grapheme clusters of UAX #29."""
    clusters: list[str] = []
    for character in text:
        belongs = unicodedata.category(character) in ("Mn", "Me", "Cf") or (
            clusters and clusters[-1].endswith("\u200d")
        )
        if belongs and clusters:
            clusters[-1] += character
        else:
            clusters.append(character)
    return clusters
