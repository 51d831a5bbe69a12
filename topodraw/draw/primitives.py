"""The handful of shapes that everything on a sheet is made of, as plain values.

Coordinates and sizes are px of the sheet (1300 px is its natural width), y downwards. Colours are what a
theme gives (`theme.colour("ink")`); a fill may also be a `Hatch`. Shapes know nothing of SVG: svg.py writes
them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Literal

from topodraw.draw import text_metrics
from topodraw.draw.text_metrics import Style

Point = tuple[float, float]
TEXT_SIZE = 13.1
"""The smallest text in px: 9 px where a sheet 1300 px wide is shown 900 px wide."""
LINE_PITCH = 16.0
"""From one line of text of that size to the next, in px."""

HatchForm = Literal["diagonal", "counter", "horizontal", "vertical", "dots", "cross", "lattice"]


@dataclass(frozen=True, slots=True)
class Hatch:
    """A ruled filling: its form, colour, opacity, distance between its lines in px and their width in px."""

    form: HatchForm
    colour: str
    opacity: float = 0.12
    pitch: float = 9.0
    weight: float = 0.8


Fill = str | Hatch


@dataclass(frozen=True, slots=True)
class Rect:
    """A rectangle; `radius` rounds its corners. Give an `id` to a box that texts name as theirs."""

    x: float
    y: float
    width: float
    height: float
    fill: Fill = "none"
    stroke: str = "none"
    weight: float = 1.0
    dash: tuple[float, ...] = ()
    opacity: float = 1.0
    radius: float = 0.0
    id: str = ""
    kind: str = ""


@dataclass(frozen=True, slots=True)
class Path:
    """One or several polylines drawn as one; `closed` joins each one's end with its start."""

    lines: tuple[tuple[Point, ...], ...]
    closed: bool = False
    fill: Fill = "none"
    stroke: str = "none"
    weight: float = 1.0
    dash: tuple[float, ...] = ()
    opacity: float = 1.0
    id: str = ""
    kind: str = ""


@dataclass(frozen=True, slots=True)
class Ellipse:
    """An ellipse or circle around (`x`, `y`)."""

    x: float
    y: float
    radius_x: float
    radius_y: float
    fill: Fill = "none"
    stroke: str = "none"
    weight: float = 1.0
    dash: tuple[float, ...] = ()
    opacity: float = 1.0
    id: str = ""
    kind: str = ""


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text; (`x`, `y`) is the start, middle or end of its baseline.

    `upright` turns it to read from below. `within` is the id of the box that it belongs in.
    """

    x: float
    y: float
    words: str
    fill: str
    size: float = TEXT_SIZE
    style: Style = "regular"
    anchor: Literal["start", "middle", "end"] = "start"
    opacity: float = 1.0
    upright: bool = False
    within: str = ""
    kind: str = ""

    @property
    def width(self) -> float:
        """The measured width in px."""
        return text_metrics.width(self.words, self.size, self.style)

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, top, right, bottom of the ink, in px."""
        wide = self.width
        before = {"start": 0.0, "middle": wide / 2, "end": wide}[self.anchor]
        up, down = text_metrics.ASCENT * self.size, text_metrics.DESCENT * self.size
        if self.upright:
            return (self.x - up, self.y + before - wide, self.x + down, self.y + before)
        return (self.x - before, self.y - up, self.x - before + wide, self.y + down)


@dataclass(frozen=True, slots=True)
class Group:
    """Shapes that are one thing: `kind` says what (gear, cable, zone, finding, legend), `id` which one.

    `title` and `desc` are for the reader of the drawing's text; `data` become `data-*` attributes;
    `link` makes the group a link to another sheet (a relative address only).
    """

    shapes: tuple[Shape, ...]
    id: str = ""
    kind: str = ""
    title: str = ""
    desc: str = ""
    role: str = ""
    aria_label: str = ""
    data: tuple[tuple[str, str], ...] = ()
    link: str = ""


Shape = Rect | Path | Ellipse | Text | Group


def line(
    x1: float, y1: float, x2: float, y2: float, stroke: str, weight: float = 1.0, opacity: float = 1.0
) -> Path:
    """A straight line."""
    return Path((((x1, y1), (x2, y2)),), stroke=stroke, weight=weight, opacity=opacity)


def moved(shape: Shape, dx: float, dy: float) -> Shape:
    """The same shape elsewhere, shifted by px."""
    match shape:
        case Group():
            return replace(shape, shapes=tuple(moved(inner, dx, dy) for inner in shape.shapes))
        case Path():
            return replace(
                shape, lines=tuple(tuple((x + dx, y + dy) for x, y in points) for points in shape.lines)
            )
        case _:
            return replace(shape, x=shape.x + dx, y=shape.y + dy)


def every(shapes: Iterable[Shape]) -> Iterator[Shape]:
    """All shapes, groups before what is in them, in drawing order."""
    for shape in shapes:
        yield shape
        if isinstance(shape, Group):
            yield from every(shape.shapes)


def texts(shapes: Iterable[Shape]) -> list[Text]:
    """All texts, in drawing order."""
    return [shape for shape in every(shapes) if isinstance(shape, Text)]
