"""Panels as slim plates that cables pass through: fronts at one edge, rears at the other."""

from __future__ import annotations

from collections.abc import Mapping

from topodraw.draw import text_metrics
from topodraw.draw.cabling.plan import INSET, Edge, Socket
from topodraw.draw.cabling.plates import (
    APART,
    FLAGS_ROW,
    ONE_LINE,
    TWO_LINES,
    Back,
    Plate,
    Use,
    Words,
    column_parts,
    stretch_words,
    words_block,
)
from topodraw.draw.faceplate import CABLING, PortFace, PortSpot
from topodraw.draw.primitives import TEXT_SIZE
from topodraw.model.gear import Gear
from topodraw.model.hardware import HardwarePort


def panel_plate(gear: Gear, words: tuple[Words, ...], uses: Mapping[str, Use], flags_width: float) -> Plate:
    """A panel as a slim plate: fronts at one edge, rears at the other, so that cables pass through."""
    front = _front_edge(uses)
    faces = [_panel_face(gear, name, port, uses) for name, port in gear.hardware.ports.items()]
    fronts = frozenset(key.removesuffix(":back") for key in uses)
    parts = column_parts(faces, fronts)
    block_width, block_height = words_block(words, flags_width + 8)
    height = max(44.0, block_height + (FLAGS_ROW if flags_width else 0.0))
    x = block_width + 5
    spots: list[PortSpot] = []
    backs: list[Back] = []
    stretches: list[tuple[float, str]] = []
    sockets: dict[str, Socket] = {}
    for kind, members in parts:
        if kind == "words":
            text = stretch_words(members)
            stretches.append((x + 4, text))
            x += text_metrics.width(text.split("\n")[0], TEXT_SIZE, "mono") + 10
            continue
        for face in members:
            label = (
                face.name if text_metrics.width(face.name, TEXT_SIZE, "mono") <= 26 else _number(face.name)
            )
            pitch = max(22.0, text_metrics.width(label, TEXT_SIZE, "mono") + 5)
            middle = x + pitch / 2
            wide, tall = CABLING.jack
            y = INSET if front == "top" else height - INSET - tall
            label_y = height / 2 + (6.5 if front == "top" else 2.5)
            row: Edge = front
            spots.append(PortSpot(face, middle - wide / 2, y, wide, tall, row, label, label_y))
            back: Edge = "bottom" if front == "top" else "top"
            rear = uses.get(f"{face.name}:back")
            backs.append(Back(face.name, middle, back, rear.look if rear else None, rear is not None))
            against = [
                key
                for key, edge in ((face.name, front), (f"{face.name}:back", back))
                if key in uses and any(leaves != edge for leaves in uses[key].leaves)
            ]
            x += pitch + (0.0, ONE_LINE, TWO_LINES)[len(against)]
            line = (middle + wide / 2 + x + pitch / 2 - wide / 2) / 2 - middle
            shifts = (-APART, APART) if len(against) > 1 else (0.0, 0.0)
            sockets[face.name] = Socket(middle, front, line + shifts[0])
            sockets[f"{face.name}:back"] = Socket(middle, back, line + shifts[1])
    return Plate(
        "panel",
        x + 6,
        height,
        words,
        block_width,
        tuple(spots),
        tuple(backs),
        tuple(stretches),
        sockets=sockets,
    )


def _number(name: str) -> str:
    return text_metrics.fit(name, 26, TEXT_SIZE, "mono")


def _panel_face(gear: Gear, name: str, port: HardwarePort, uses: Mapping[str, Use]) -> PortFace:
    front = uses.get(name)
    return PortFace(
        name,
        "cage" if port.cage else "jack",
        used=front is not None,
        look=front.look if front else None,
        shut=gear.ports[name].shut,
        group=gear.ports[name].group,
        rows=1,
        rear_used=f"{name}:back" in uses,
    )


def _front_edge(uses: Mapping[str, Use]) -> Edge:
    up = 0
    for key, use in uses.items():
        for edge in use.leaves:
            up += 1 if (edge == "top") != key.endswith(":back") else -1
    return "top" if up >= 0 else "bottom"
