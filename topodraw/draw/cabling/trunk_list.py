"""The trunks whose medium, length and VLANs found no room along their lines, told below the drawing."""

from __future__ import annotations

from topodraw.draw.cabling.geometry import Geometry
from topodraw.draw.cabling.scene import Scene, Strand
from topodraw.draw.primitives import LINE_PITCH, TEXT_SIZE, Group, Shape, Text
from topodraw.draw.text_metrics import width as width_of
from topodraw.draw.theme import Theme

_HEAD = "Other trunks: medium, length, VLANs"
_GAP = 30.0


def other_trunks(
    scene: Scene, found: Geometry, x: float, y: float, theme: Theme
) -> tuple[tuple[Shape, ...], float]:
    """Lines of text with their top left at (`x`, `y`), and the height that they take in px.

    A link of several cables is told once, and not at all where one of its cables says it on the sheet.
    """
    noted = {note.wire for note in found.notes}
    told = {strand.trunk for strand in scene.strands if strand.key in noted}
    entries: list[str] = []
    for strand in scene.strands:
        if strand.trunk and strand.trunk not in told:
            told.add(strand.trunk)
            entries.append(_entry(strand))
    if not entries:
        return (), 0.0
    shapes: list[Shape] = [Text(x, y + 12, _HEAD, theme.ink, style="bold")]
    left, top = x, y + 12 + LINE_PITCH
    for words in entries:
        wide = width_of(words, TEXT_SIZE, "mono")
        if left > x and left + wide > max(found.right, x + 1200):
            left, top = x, top + LINE_PITCH
        shapes.append(Text(left, top, words, theme.ink, style="mono"))
        left += wide + _GAP
    return (Group(tuple(shapes), kind="trunks", title=_HEAD),), top - y + 6


def _entry(strand: Strand) -> str:
    letters = [
        f"{letter.strip('()')} missing" if letter.startswith("(") else letter for letter in strand.comb
    ]
    return f"{strand.label}: {' '.join(letters)}"
