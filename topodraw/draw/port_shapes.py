"""The shapes of ports and power couplers on a faceplate: jack, cage, inlet, outlet; free, used or shut."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from topodraw.draw import text_metrics
from topodraw.draw.characters import element_id
from topodraw.draw.faceplate import PortSpot
from topodraw.draw.primitives import TEXT_SIZE, Group, Path, Point, Shape, Text, line
from topodraw.draw.theme import Theme

INLET_HEIGHT = 17.0


def port_groups(
    spots: Iterable[PortSpot],
    theme: Theme,
    *,
    face: str,
    gear: str,
    labels: Literal["inside", "between", "sixths"],
    within: str,
) -> tuple[Group, ...]:
    """Every port as a group of class `port`, told apart by `face` (a word such as `front`), gear and name.

    `labels` is the layout's; `within` the id of the plate. Numbers between the rows stand at used and shut
    ports only.
    """
    return tuple(
        Group(
            (*_port(spot, theme), *_label(spot, theme, labels, within)),
            id=element_id(face + "port", gear, spot.face.name),
            kind="port",
            title=f"{gear}/{spot.face.name}{_state_words(spot)}",
        )
        for spot in spots
    )


def _state_words(spot: PortSpot) -> str:
    words = [spot.face.look.name] if spot.face.look else ["used"] if spot.face.used else ["free"]
    return ", " + ", ".join([*words, *(["shut"] if spot.face.shut else [])])


def outline(kind: str, row: str, x: float, y: float, width: float, height: float) -> tuple[Point, ...]:
    """The outline of a port: a cage is a rectangle, a jack has the key for its latch at the outer edge, an
    outlet has its lower corners cut."""
    right, bottom = x + width, y + height
    if kind == "outlet":
        cut = min(4.0, width / 4)
        return (
            (x, y),
            (right, y),
            (right, bottom - cut),
            (right - cut, bottom),
            (x + cut, bottom),
            (x, bottom - cut),
        )
    if kind == "cage":
        return ((x, y), (right, y), (right, bottom), (x, bottom))
    third, deep = width / 3, height * 0.16
    if row == "top":
        key = ((x, y), (x + third, y), (x + third, y + deep), (right - third, y + deep), (right - third, y))
        return (*key, (right, y), (right, bottom), (x, bottom))
    key = (
        (right - third, bottom),
        (right - third, bottom - deep),
        (x + third, bottom - deep),
        (x + third, bottom),
        (x, bottom),
    )
    return ((x, y), (right, y), (right, bottom), *key)


def _port(spot: PortSpot, theme: Theme) -> list[Shape]:
    lines = (outline(spot.face.kind, spot.row, spot.x, spot.y, spot.width, spot.height),)
    colour = port_colour(spot, theme)
    shapes: list[Shape] = []
    if spot.face.used:
        shapes.append(Path(lines, True, colour, colour, 1.0))
        if spot.face.look and spot.face.look.weave:
            shapes.append(Path(lines, True, spot.face.look.weave))
    else:
        shapes.append(Path(lines, True, theme.plate, theme.ink, 0.8, opacity=0.75))
    if spot.face.shut:
        stroke = theme.colour("on-purpose") if spot.face.used else theme.ink
        shapes.append(line(spot.x, spot.y + spot.height, spot.x + spot.width, spot.y, stroke, 0.9, 0.45))
    return shapes


def port_colour(spot: PortSpot, theme: Theme) -> str:
    """The colour of a used port, and of the cable in it."""
    if spot.face.kind == "outlet":
        return theme.ink
    return spot.face.look.colour if spot.face.look else theme.colour("no-purpose")


def _label(
    spot: PortSpot, theme: Theme, labels: Literal["inside", "between", "sixths"], within: str
) -> tuple[Shape, ...]:
    used, shut = spot.face.used, spot.face.shut
    if not spot.label or (labels == "between" and not (used or shut or spot.face.rear_used)):
        return ()
    if labels == "sixths":
        return (Text(spot.x, spot.label_y, spot.label, theme.ink, style="mono", opacity=0.85, within=within),)
    inside_used = labels == "inside" and used
    return (
        Text(
            spot.middle_x,
            spot.label_y,
            spot.label,
            theme.colour("on-purpose") if inside_used else theme.ink,
            style="mono-bold" if inside_used else "mono",
            anchor="middle",
            opacity=1.0 if used or shut else 0.8,
            within=within,
        ),
    )


def inlet_width(label: str) -> float:
    """Width in px of an inlet with this label."""
    return max(20.0, 8 + text_metrics.width(label, TEXT_SIZE, "mono-bold"))


def inlet(x: float, y: float, label: str, *, theme: Theme, within: str, title: str, identifier: str) -> Group:
    """A power inlet (upper corners cut) with its top left at (`x`, `y`), filled where a cord is in it.

    `label` says where the cord leads, and is empty where there is none.
    """
    width, cut = inlet_width(label), 4.0
    right, bottom = x + width, y + INLET_HEIGHT
    points = ((x + cut, y), (right - cut, y), (right, y + cut), (right, bottom), (x, bottom), (x, y + cut))
    shapes: list[Shape] = [Path((points,), True, theme.ink if label else theme.plate, theme.ink, 1.0)]
    if label:
        baseline = y + INLET_HEIGHT / 2 + TEXT_SIZE * 0.36
        shapes.append(
            Text(
                x + width / 2, baseline, label, theme.plate, style="mono-bold", anchor="middle", within=within
            )
        )
    return Group(tuple(shapes), id=identifier, kind="inlet", title=title)
