"""What is said above a lane: a conduit's number in a box, its services, and words; and where there is room for
it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from topodraw.draw import text_metrics
from topodraw.draw.characters import element_id
from topodraw.draw.finding_marks import Mark, flag_width
from topodraw.draw.primitives import TEXT_SIZE, Rect, Shape, Text
from topodraw.draw.theme import Theme
from topodraw.draw.zones.boxes import FAINT
from topodraw.draw.zones.flows import Flow
from topodraw.draw.zones.lanes import Route

HEIGHT = 17.0
ABOVE = 3.0
"""From a lane up to the foot of its label, in px."""
_BESIDE = 6.0
_CLEAR = 7.0


@dataclass(frozen=True, slots=True)
class Label:
    """A label with its left end at `x`; `full` is False where there was only room for the number."""

    x: float
    full: bool


def number_words(flow: Flow) -> str:
    """The numbers of the conduits that a line stands for."""
    return " ".join(str(number) for number in flow.numbers)


def _number_width(flow: Flow) -> float:
    return text_metrics.width(number_words(flow), TEXT_SIZE, "bold") + 10 if flow.numbers else 0.0


def label_width(flow: Flow, full: bool = True) -> float:
    """Width in px of a flow's label."""
    width = _number_width(flow)
    if full:
        width += _BESIDE + text_metrics.width(flow.services, TEXT_SIZE, "mono")
        if flow.words:
            width += _BESIDE + text_metrics.width(flow.words, TEXT_SIZE)
    return width + sum(_BESIDE + flag_width(number) for number, _ in flow.flags)


def place_labels(
    routes: Sequence[Route], plate: tuple[float, float], edges: tuple[float, float]
) -> dict[str, Label]:
    """Where each label stands: above its own run, between the legs that pass there; by flow id.

    `plate` is from where to where, `edges` the plate's top and bottom in px. A label that fits nowhere is left
    out (its number then stands at its legs).
    """
    placed: dict[str, Label] = {}
    used: dict[int, list[tuple[float, float]]] = {}
    for route in sorted(routes, key=lambda each: (each.right - each.left, each.flow.id)):
        blocked = _blocked(route, routes) + used.get(route.lane, [])
        spans = _spans(route, routes, plate)
        for full in (True, False):
            width = label_width(route.flow, full)
            spot = next((x for low, high in spans if (x := _fit(width, low, high, blocked)) is not None), None)
            if spot is not None:
                placed[route.flow.id] = Label(spot, full)
                used.setdefault(route.lane, []).append((spot, spot + width))
                break
    return placed


def _blocked(route: Route, routes: Sequence[Route]) -> list[tuple[float, float]]:
    """Stretches beside every leg that passes where the label would stand."""
    top, bottom = route.y - ABOVE - HEIGHT - 1, route.y - ABOVE + 1
    blocked = []
    for other in routes:
        for leg in other.legs:
            low, high = sorted((leg.area.edge, other.y))
            if low < bottom and high > top:
                half = _CLEAR + (2 if other.flow.both_ways else 0) + (4 if other.flow.casing else 0)
                blocked.append((leg.x - half, leg.x + half))
        if other is not route and abs(other.y - route.y) < 1:
            blocked.append((other.left - 4, other.right + 4))
    return blocked


def _spans(route: Route, routes: Sequence[Route], plate: tuple[float, float]) -> list[tuple[float, float]]:
    """Where to look, in turn: over its own run, what was kept for it, anywhere close to its ends."""
    left, right = route.left, route.right
    return [
        (left, right),
        route.taken,
        (max(plate[0], left - 8), min(plate[1], right + label_width(route.flow) + 24)),
        (max(plate[0], left - label_width(route.flow) - 24), min(plate[1], right + 8)),
    ]


def _fit(width: float, low: float, high: float, blocked: Sequence[tuple[float, float]]) -> float | None:
    """The leftmost place for a width between `low` and `high` that touches nothing blocked."""
    starts = sorted({low, *(end for _, end in blocked if low <= end <= high)})
    for x in starts:
        if x + width <= high and all(x + width <= begin or x >= end for begin, end in blocked):
            return x
    return None


def label_shapes(flow: Flow, label: Label, lane_y: float, theme: Theme) -> tuple[list[Shape], list[Mark]]:
    """The label and its flags, standing on a lane."""
    colour = theme.severity("error") if flow.broken else theme.ink
    base = lane_y - ABOVE - 4
    x = label.x
    shapes: list[Shape] = []
    if flow.numbers:
        wide = _number_width(flow)
        box = element_id("number", *(str(number) for number in flow.numbers))
        shapes += [
            Rect(x, lane_y - ABOVE - HEIGHT, wide, HEIGHT, theme.paper, colour, 1.0, id=box),
            Text(x + wide / 2, base, number_words(flow), colour, style="bold", anchor="middle", within=box),
        ]
        x += wide
    if label.full:
        x += _BESIDE
        shapes.append(Text(x, base, flow.services, colour, style="mono"))
        x += text_metrics.width(flow.services, TEXT_SIZE, "mono")
        if flow.words:
            x += _BESIDE
            shapes.append(Text(x, base, flow.words, colour, opacity=FAINT))
            x += text_metrics.width(flow.words, TEXT_SIZE)
    marks = []
    for number, finding in flow.flags:
        marks.append(Mark(number, finding, x + _BESIDE, base - 4.5, f"conduit {number_words(flow)}"))
        x += _BESIDE + flag_width(number)
    return shapes, marks
