"""Ports on a faceplate: where each one stands, for any view, from the faceplate order that the hardware
states.

Ports of one range stand together, in two rows where there are many, odd numbers above even ones, with a
little more air after every six: as the trade builds and numbers them (common practice, no published source).
Ports are enlarged; their proportions to the plate are not to scale.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from typing import Literal

from topodraw.draw import text_metrics
from topodraw.draw.primitives import TEXT_SIZE
from topodraw.draw.theme import PurposeLook

Row = Literal["top", "bottom", "middle"]
_LAST_NUMBER = re.compile(r"[0-9]+(?=[^0-9]*$)")
_TWO_ROWS_FROM = 7
_DENSE_NUMBER_LINE = 13.0


@dataclass(frozen=True, slots=True)
class PortFace:
    """A port as its faceplate shows it. `look` is that of the cable in it, None where it is free or without
    purpose.

    `group` tells the ranges of the hardware apart; `rows` is what the hardware states for the range.
    """

    name: str
    kind: Literal["jack", "cage", "outlet"]
    used: bool = False
    look: PurposeLook | None = None
    shut: bool = False
    group: int = 0
    rows: int | None = None
    rear_used: bool = False
    """Whether a cable is at a panel port's rear: then it keeps its number though its front be free."""


@dataclass(frozen=True, slots=True)
class FaceScale:
    """Sizes in px. `labels` says where numbers stand: inside the ports, between the rows, or only at every
    sixth."""

    jack: tuple[float, float]
    cage: tuple[float, float]
    jack_pitch: float
    cage_pitch: float
    six_gap: float
    range_gap: float
    row_gap: float
    labels: Literal["inside", "between", "sixths"]


RACK = FaceScale((18, 15), (18, 15), 20, 20, 4, 7, 3, "inside")
"""For elevations at 40 px a unit."""
RACK_CLOSE = FaceScale((17.4, 15), (17.4, 15), 18.4, 18.4, 2, 5, 3, "inside")
"""The same for plates with little room."""
CABLING = FaceScale((15, 13), (17, 11), 24, 28, 4, 10, 34, "between")
"""For cabling sheets: cables leave upward from the top row and downward from the bottom row."""


@dataclass(frozen=True, slots=True)
class PortSpot:
    """A port at its place: top left and size in px, the row it is in, and what is written at it (perhaps
    nothing)."""

    face: PortFace
    x: float
    y: float
    width: float
    height: float
    row: Row
    label: str
    label_y: float

    @property
    def middle_x(self) -> float:
        """Where a cable leaves it, across."""
        return self.x + self.width / 2

    @property
    def outer_y(self) -> float:
        """Where a cable leaves it, down: the top edge in the top row, else the bottom edge."""
        return self.y if self.row == "top" else self.y + self.height


@dataclass(frozen=True, slots=True)
class PortLayout:
    """Ports placed from (0, 0), and the room they take in px."""

    spots: tuple[PortSpot, ...]
    width: float
    height: float
    labels: Literal["inside", "between", "sixths"]

    def at(self, x: float, y: float, mirrored: bool = False) -> tuple[PortSpot, ...]:
        """The ports with the layout's top left at (`x`, `y`); `mirrored` as seen from behind."""
        return tuple(
            replace(
                spot,
                x=x + (self.width - spot.x - spot.width if mirrored else spot.x),
                y=y + spot.y,
                label_y=y + spot.label_y,
            )
            for spot in self.spots
        )


def lay_out_ports(
    faces: Sequence[PortFace],
    scale: FaceScale,
    *,
    room: float | None = None,
    height: float = 37.0,
    single: Row = "middle",
) -> PortLayout:
    """The places of the ports of one gear, in faceplate order.

    `room` is the width in px that they must fit into: if they don't, they move together, with numbers at
    every sixth only. `height` bounds that closer layout. `single` is where the ports of a single row count as
    standing.
    """
    layout = _spread(faces, scale, single)
    if room is None or layout.width <= room:
        return layout
    if scale.labels == "inside":
        doubled = [replace(face, rows=2) if face.kind == "outlet" else face for face in faces]
        for closer in (_spread(faces, RACK_CLOSE, single), _spread(doubled, RACK_CLOSE, single)):
            if closer.width <= room:
                return closer
        faces = doubled
    return _dense(faces, scale, room, height)


def _ranges(faces: Sequence[PortFace]) -> list[tuple[list[PortFace], int]]:
    """The ranges, each with its number of rows."""
    many = len(faces) >= _TWO_ROWS_FROM
    ranges = [list(members) for _, members in groupby(faces, key=lambda face: face.group)]
    return [(members, members[0].rows or (2 if many else 1)) for members in ranges]


def _spread(faces: Sequence[PortFace], scale: FaceScale, single: Row) -> PortLayout:
    most = (
        2 if scale.labels == "between" else 4
    )  # cables leave upward or downward, so there are two rows at most
    ranges = [(members, min(rows, most)) for members, rows in _ranges(faces)]
    most_rows = max((rows for _, rows in ranges), default=1)
    line_height = max(scale.jack[1], scale.cage[1])
    height = _height(scale, line_height, most_rows)
    spots: list[PortSpot] = []
    left = 0.0
    for place, (members, rows) in enumerate(ranges):
        labels = _labels(members, scale)
        pitch = _pitch(members, labels, scale)
        if place:
            left += scale.range_gap
        start = left
        for index, (face, label) in enumerate(zip(members, labels, strict=True)):
            column, row_number = divmod(index, rows)
            wide, high = scale.jack if face.kind == "jack" else scale.cage
            air = scale.six_gap * (column // max(1, 6 // rows))
            x = start + column * pitch + air + (pitch - wide) / 2
            row: Row = single if most_rows == 1 else "top" if row_number == 0 else "bottom"
            y, label_y = _heights(scale, row, row_number, high, line_height, height)
            spots.append(PortSpot(face, x, y, wide, high, row, label, label_y))
            left = max(left, start + (column + 1) * pitch + air)
    return PortLayout(tuple(spots), left, height, scale.labels)


def _height(scale: FaceScale, line_height: float, rows: int) -> float:
    if scale.labels == "between" and rows == 1:
        return line_height + scale.row_gap / 2
    return rows * line_height + (rows - 1) * scale.row_gap


def _heights(
    scale: FaceScale, row: Row, row_number: int, high: float, line_height: float, height: float
) -> tuple[float, float]:
    """Top of a port and baseline of its label; ports stand at the outer edge of their row."""
    if scale.labels == "between":
        if row == "bottom":
            return height - high, height - high - 4
        return row_number * (line_height + scale.row_gap), high + 12.5
    top = row_number * (line_height + scale.row_gap)
    y = top if row == "top" else top + line_height - high
    # The key of a jack takes from its outer edge, so the number moves inwards.
    return y, y + high / 2 + 4.6 + (0.9 if row == "top" else -0.7 if row == "bottom" else 0)


def _labels(members: Sequence[PortFace], scale: FaceScale) -> list[str]:
    """What is written at the ports of a range: whole names if they all fit, else numbers, else first
    letters."""
    names = [face.name for face in members]
    room = 17.0 if scale.labels == "inside" else scale.jack_pitch if len(names) > 4 else 60.0
    outlets = all(face.kind == "outlet" and any(map(str.isdigit, face.name)) for face in members)
    if not outlets and all(text_metrics.width(name, TEXT_SIZE, "mono") <= room for name in names):
        return names
    numbers = [match.group() if (match := _LAST_NUMBER.search(name)) else name[:1] for name in names]
    if scale.labels == "inside" or len(names) > 4:
        return [text_metrics.fit(number, 24, TEXT_SIZE, "mono") for number in numbers]
    return [text_metrics.fit(name, room, TEXT_SIZE, "mono") for name in names]


def _short(name: str) -> str:
    """A name of two characters, else its last number, else its first letter."""
    match = _LAST_NUMBER.search(name)
    return name if len(name) <= 2 else match.group() if match else name[:1]


def _pitch(members: Sequence[PortFace], labels: Sequence[str], scale: FaceScale) -> float:
    pitch = max(scale.jack_pitch if face.kind == "jack" else scale.cage_pitch for face in members)
    widest = max(text_metrics.width(label, TEXT_SIZE, "mono") for label in labels)
    return max(pitch, widest + (4 if scale.labels == "between" else 1.5))


def _dense(faces: Sequence[PortFace], scale: FaceScale, room: float, height: float) -> PortLayout:
    """Ports as close as the room demands, with a line of numbers in the middle: one for the first of every
    six."""
    ranges = _ranges(faces)
    gap = scale.range_gap
    columns = [-(-len(members) // rows) for members, rows in ranges]
    air = [
        scale.six_gap * ((count - 1) // max(1, 6 // rows))
        for count, (_, rows) in zip(columns, ranges, strict=True)
    ]
    pitch = min(scale.jack_pitch, (room - gap * (len(ranges) - 1) - sum(air)) / sum(columns))
    if pitch < 4:  # the air goes before the ports do
        pitch = room / (sum(columns) + 0.5 * (len(ranges) - 1))
        gap, air = 0.5 * pitch, [0.0] * len(ranges)
    spots: list[PortSpot] = []
    left = 0.0
    for (members, rows), count, extra in zip(ranges, columns, air, strict=True):
        upper_rows = -(-rows // 2)
        high = min(12.0, (height - _DENSE_NUMBER_LINE) / max(2, rows) - 1)
        middle = upper_rows * (high + 1)
        every = max(1, 6 // rows)
        named_every = every * rows
        while named_every // rows * pitch < 26 and named_every < len(members):
            named_every += every * rows
        for index, face in enumerate(members):
            column, row_number = divmod(index, rows)
            x = left + column * pitch + (scale.six_gap * (column // every) if extra else 0)
            lower = row_number >= upper_rows
            y = row_number * (high + 1) + (_DENSE_NUMBER_LINE if lower else 0)
            label = "" if index % named_every else _short(face.name)
            spots.append(
                PortSpot(
                    face,
                    x,
                    y,
                    max(0.7 * pitch, pitch - 1.5),
                    high,
                    "bottom" if lower else "top",
                    label,
                    middle + 10.4,
                )
            )
        left += count * pitch + extra + gap
    width = min(room, left - gap)
    return PortLayout(_without_collisions(spots, width), width, height, "sixths")


def _without_collisions(spots: Sequence[PortSpot], width: float) -> tuple[PortSpot, ...]:
    """The spots, with those numbers left out that would run into the one before or out of the layout."""
    kept = []
    free_from = 0.0
    for spot in spots:
        end = spot.x + text_metrics.width(spot.label, TEXT_SIZE, "mono")
        if spot.label and spot.x >= free_from and end <= width + 2:
            free_from = end + 4
        elif spot.label:
            spot = replace(spot, label="")
        kept.append(spot)
    return tuple(kept)
