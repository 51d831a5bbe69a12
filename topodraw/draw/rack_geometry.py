"""Where things stand on a rack sheet, in px: the elevations to scale, their rails, unit numbers and
dimensions."""

from __future__ import annotations

from dataclasses import dataclass

from topodraw.draw import text_metrics
from topodraw.draw.grid import MARGIN
from topodraw.draw.primitives import TEXT_SIZE, Path, Point, Rect, Shape, Text, line
from topodraw.draw.rack_contents import Occupant, RackContents, Side
from topodraw.draw.theme import Theme
from topodraw.standards.rack_dimensions import (
    HOLE_CENTRES_ACROSS_MM,
    HOLE_CENTRES_MM,
    PANEL_WIDTH_MM,
    RAIL_FACE_MM,
    UNIT_MM,
)

UNIT = 40.0
"""Height of a unit in px."""
SCALE = UNIT / UNIT_MM.value
"""px for each mm."""
PLATE_WIDTH = PANEL_WIDTH_MM.value * SCALE
RAIL = RAIL_FACE_MM.value * SCALE
BLOCK_WIDTH = PLATE_WIDTH + 56
DEPTH_WIDTH = 1300 - 2 * MARGIN - 2 * BLOCK_WIDTH - 2 * 18
BLOCK_TOP = 60.0
_UNITS_TOP = BLOCK_TOP + 16
_NUMBER_SPACE = 28.0


@dataclass(frozen=True, slots=True)
class Elevation:
    """The front or rear of a rack: the left edge of its block, and the rack's units."""

    x: float
    units: int
    top_down: bool

    @property
    def plate_x(self) -> float:
        """Left edge of the plates."""
        return self.x + _NUMBER_SPACE

    @property
    def top(self) -> float:
        """Top of the highest unit."""
        return _UNITS_TOP

    @property
    def bottom(self) -> float:
        """Bottom of the lowest unit."""
        return _UNITS_TOP + self.units * UNIT

    @property
    def block_bottom(self) -> float:
        """Bottom of the ruled area around the elevation."""
        return self.bottom + 30

    def top_of(self, lowest: int, highest: int) -> float:
        """Top of a stretch of units, given by their numbers."""
        above = lowest - 1 if self.top_down else self.units - highest
        return _UNITS_TOP + above * UNIT

    def box(self, occupant: Occupant, seen_from: Side) -> tuple[float, float, float, float]:
        """Left, top, width, height of a gear: its whole plate on its own side, its body between the rails
        behind it."""
        inset = 0.0 if occupant.side == seen_from else RAIL + 3
        wide = (PLATE_WIDTH - 2 * inset) / occupant.lanes
        # Seen from behind, what stands left is right.
        lane = occupant.lane if seen_from == "front" else occupant.lanes - 1 - occupant.lane
        top = self.top_of(occupant.lowest, occupant.highest)
        return (self.plate_x + inset + lane * wide, top + 1.5, wide, occupant.units * UNIT - 3)


def elevations(contents: RackContents) -> tuple[Elevation, Elevation, float]:
    """Front and rear elevation, and the left edge of the depth section."""
    front = Elevation(MARGIN, contents.units, contents.top_down)
    rear = Elevation(MARGIN + BLOCK_WIDTH + 18, contents.units, contents.top_down)
    return front, rear, rear.x + BLOCK_WIDTH + 18


def titled_block(
    x: float, width: float, bottom: float, title: str, remark: str, theme: Theme, identifier: str
) -> list[Shape]:
    """A ruled area with its title cut into the top edge."""
    room = width - 44
    title = text_metrics.fit(title, room, 15, "bold")
    title_width = text_metrics.width(title, 15, "bold")
    remark = text_metrics.fit(remark, room - title_width - 8, TEXT_SIZE) if title_width < room - 60 else ""
    tab = title_width + (text_metrics.width(remark, TEXT_SIZE) + 8 if remark else 0) + 16
    ink = theme.ink
    shapes: list[Shape] = [
        Rect(x, BLOCK_TOP, width, bottom - BLOCK_TOP, stroke=ink, id=identifier),
        Rect(x + 14, BLOCK_TOP - 9, tab, 18, theme.paper),
        Path(
            tuple(((edge, BLOCK_TOP - 9), (edge, BLOCK_TOP + 9)) for edge in (x + 14, x + 14 + tab)),
            stroke=ink,
        ),
        Text(x + 22, BLOCK_TOP + 5, title, ink, size=15, style="bold"),
    ]
    if remark:
        shapes.append(Text(x + 30 + title_width, BLOCK_TOP + 5, remark, ink, opacity=0.85))
    return shapes


def rails(elevation: Elevation, theme: Theme) -> list[Shape]:
    """The two rails with their holes, and the unit numbers on both sides, every fifth one bold."""
    ink = theme.ink
    hole_inset = (PANEL_WIDTH_MM.value - HOLE_CENTRES_ACROSS_MM.value) / 2 * SCALE
    left, right = elevation.plate_x, elevation.plate_x + PLATE_WIDTH
    edges = [left + 1, left + RAIL, right - RAIL, right - 1]
    holes: list[tuple[Point, ...]] = []
    shapes: list[Shape] = [
        Path(
            tuple(((x, elevation.top), (x, elevation.bottom)) for x in edges),
            stroke=ink,
            weight=0.6,
            opacity=0.5,
        )
    ]
    for unit in range(1, elevation.units + 1):
        top = elevation.top_of(unit, unit)
        for centre in (left + hole_inset, right - hole_inset):
            for up in HOLE_CENTRES_MM.value:
                y = top + UNIT - up * SCALE
                holes.append(
                    ((centre - 2, y - 2), (centre + 2, y - 2), (centre + 2, y + 2), (centre - 2, y + 2))
                )
        style = "mono-bold" if unit % 5 == 0 else "mono"
        for x in (elevation.x + 14, elevation.x + BLOCK_WIDTH - 14):
            shapes.append(
                Text(
                    x,
                    top + UNIT / 2 + 4.7,
                    str(unit),
                    ink,
                    style=style,  # type: ignore[arg-type]
                    anchor="middle",
                    opacity=1 if unit % 5 == 0 else 0.85,
                )
            )
    shapes.append(Path(tuple(holes), True, theme.paper, ink, 0.6, opacity=0.75))
    return shapes


def dimension(x1: float, x2: float, y: float, words: str, theme: Theme) -> list[Shape]:
    """A dimension line with arrow heads, broken for its figure."""
    ink = theme.ink
    half = text_metrics.width(words, TEXT_SIZE, "mono") / 2 + 5
    middle = (x1 + x2) / 2
    heads = (((x1 + 6, y - 3), (x1, y), (x1 + 6, y + 3)), ((x2 - 6, y - 3), (x2, y), (x2 - 6, y + 3)))
    return [
        line(x1, y - 5, x1, y + 5, ink, 0.7, 0.75),
        line(x2, y - 5, x2, y + 5, ink, 0.7, 0.75),
        line(x1, y, middle - half, y, ink, 0.7, 0.75),
        line(middle + half, y, x2, y, ink, 0.7, 0.75),
        Path(heads, stroke=ink, weight=0.7, opacity=0.75),
        Text(middle, y + 4.7, words, ink, style="mono", anchor="middle"),
    ]
