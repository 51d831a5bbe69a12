"""The frame of a sheet and its grid references, as ISO 5457 has them: numbers along, letters down, no I and
no O."""

from __future__ import annotations

from dataclasses import dataclass

from topodraw.draw.primitives import Group, Path, Point, Rect, Shape, Text
from topodraw.draw.theme import Theme
from topodraw.standards.sheets import GRID_LETTERS, grid_letter, grid_reference

OUTER = 8.0
"""From the edge of the sheet to the outer line of its frame, in px."""
INNER = 26.0
"""From the edge of the sheet to the inner line of its frame, in px."""
MARGIN = 38.0
"""From the edge of the sheet to where a view may draw, in px."""
_FIELD = 165.0


@dataclass(frozen=True, slots=True)
class Grid:
    """The grid of a sheet of a size in px. ISO 5457 has fields of 50 mm in even numbers; a sheet here has no
    paper size, so its fields are as near to a fixed length as an even number of them allows."""

    width: float
    height: float

    @property
    def columns(self) -> int:
        """Fields along the top."""
        return _fields(self.width)

    @property
    def rows(self) -> int:
        """Fields down the side, at most as many as there are letters."""
        return min(_fields(self.height), len(GRID_LETTERS.value))

    def square(self, x: float, y: float) -> str:
        """The field that a point is in, e.g. `C4`; a point in the frame belongs to the nearest one."""
        column = int((x - INNER) / (self.width - 2 * INNER) * self.columns)
        row = int((y - INNER) / (self.height - 2 * INNER) * self.rows)
        return grid_reference(min(max(row, 0), self.rows - 1), min(max(column, 0), self.columns - 1))

    def frame(self, theme: Theme) -> Group:
        """The two lines of the frame, the ticks between the fields, and their names on all four sides."""
        ink = theme.ink
        across = (self.width - 2 * INNER) / self.columns
        down = (self.height - 2 * INNER) / self.rows
        right, bottom = self.width - INNER, self.height - INNER
        ticks: list[tuple[Point, ...]] = []
        names: list[Shape] = []
        middle = (OUTER + INNER) / 2
        for column in range(self.columns):
            x = INNER + column * across
            for y in (middle, self.height - middle):
                names.append(
                    Text(x + across / 2, y + 4.6, str(column + 1), ink, style="mono", anchor="middle")
                )
            if column:
                ticks += [((x, OUTER), (x, INNER)), ((x, bottom), (x, self.height - OUTER))]
        for row in range(self.rows):
            y = INNER + row * down
            for x in (middle, self.width - middle):
                names.append(
                    Text(x, y + down / 2 + 4.6, grid_letter(row), ink, style="mono", anchor="middle")
                )
            if row:
                ticks += [((OUTER, y), (INNER, y)), ((right, y), (self.width - OUTER, y))]
        outer = Rect(OUTER, OUTER, self.width - 2 * OUTER, self.height - 2 * OUTER, stroke=ink, weight=0.6)
        inner = Rect(INNER, INNER, self.width - 2 * INNER, self.height - 2 * INNER, stroke=ink, weight=1.6)
        return Group(
            (outer, inner, Path(tuple(ticks), stroke=ink, weight=0.6), *names),
            kind="frame",
            title="Frame with grid references",
        )


def _fields(length: float) -> int:
    return max(2, 2 * round((length - 2 * INNER) / _FIELD / 2))
