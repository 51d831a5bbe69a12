"""What is said above a lane: a conduit's number in a box, its services, and words; and where there is room
for it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from topodraw.draw import text_metrics
from topodraw.draw.characters import element_id
from topodraw.draw.finding_marks import Mark, flag_width
from topodraw.draw.primitives import TEXT_SIZE, Rect, Shape, Text
from topodraw.draw.text_metrics import Style
from topodraw.draw.theme import Theme
from topodraw.draw.zones.boxes import FAINT
from topodraw.draw.zones.flows import Flow
from topodraw.draw.zones.lanes import Route

HEIGHT = 17.0
SECOND_ROW = 16.0
"""Height in px that a second row adds."""
_ABOVE = 3.0
_ABOVE_CASING = 9.0
_BESIDE = 7.0
_CLEAR = 7.0
_NEXT = 14.0

Pieces = tuple[tuple[str, Style], ...]


@dataclass(frozen=True, slots=True)
class Form:
    """One way to set a label: the pieces beside the number, and those of a second row."""

    first: Pieces
    second: Pieces = ()


@dataclass(frozen=True, slots=True)
class Label:
    """A label with its left end at `x`; `flagged` if its findings stand beside it."""

    x: float
    form: Form
    flagged: bool


def compact(services: str) -> str:
    """`tcp/22 tcp/443 udp/53` as `tcp/22,443 udp/53`."""
    ports: dict[str, list[str]] = {}
    for service in services.split(" "):
        protocol, _, port = service.partition("/")
        ports.setdefault(protocol, []).append(port)
    return " ".join(
        f"{protocol}/{','.join(each)}" if each[0] else protocol for protocol, each in ports.items()
    )


def _pieces(*pieces: tuple[str, Style]) -> Pieces:
    return tuple(piece for piece in pieces if piece[0])


def forms(flow: Flow, two_rows: bool) -> list[Form]:
    """The ways to set a flow's label, the best first; the number alone is the last."""
    words: tuple[str, Style] = (flow.words, "regular")
    short = compact(flow.services)
    found = [Form(_pieces((flow.services, "mono"), words)), Form(_pieces((short, "mono"), words))]
    if two_rows:
        services = flow.services.split(" ")
        half = (len(services) + 1) // 2
        found.append(Form(_pieces((short, "mono")), _pieces(words)))
        first, _, rest = short.partition(" ")
        found.append(Form(_pieces((first, "mono")), _pieces((rest, "mono"), words)))
        rows = [" ".join(services[:half]), " ".join(services[half:])]
        found.append(
            Form(
                _pieces((compact(rows[0]), "mono")),
                _pieces((compact(rows[1]) if rows[1] else "", "mono"), words),
            )
        )
    if flow.numbers:
        found.append(Form(()))
    return found


def number_words(flow: Flow) -> str:
    """The numbers of the conduits that a line stands for."""
    return " ".join(str(number) for number in flow.numbers)


def _number_width(flow: Flow) -> float:
    return text_metrics.width(number_words(flow), TEXT_SIZE, "bold") + 10 if flow.numbers else 0.0


def _row_width(pieces: Pieces) -> float:
    return sum(_BESIDE + text_metrics.width(words, TEXT_SIZE, style) for words, style in pieces)


def form_width(flow: Flow, form: Form, flagged: bool) -> float:
    """Width in px of a label set in a form, with or without the flags of its findings."""
    flags = sum(_BESIDE + flag_width(number) for number, _ in flow.flags) if flagged else 0.0
    return _number_width(flow) + max(_row_width(form.first) + flags, _row_width(form.second))


def label_width(flow: Flow) -> float:
    """Width in px of a flow's label in one row."""
    return form_width(flow, forms(flow, two_rows=False)[0], flagged=True)


def place_labels(routes: Sequence[Route], plate: tuple[float, float]) -> dict[str, Label]:
    """Where each label stands: above its own run, between the legs that pass there; by flow id.

    `plate` is from where to where labels may stand, in px.
    """
    placed: dict[str, Label] = {}
    used: dict[int, list[tuple[float, float]]] = {}
    for route in sorted(routes, key=lambda each: (each.right - each.left, each.flow.id)):
        ways = [(form, True) for form in forms(route.flow, route.tall)]
        if route.flow.flags:
            ways += [(form, False) for form, _ in ways]
        for form, flagged in ways:
            blocked = _blocked(route, routes, bool(form.second)) + used.get(route.lane, [])
            width = form_width(route.flow, form, flagged)
            spot = _spot(route, width, plate, blocked)
            if spot is not None:
                placed[route.flow.id] = Label(spot, form, flagged)
                used.setdefault(route.lane, []).append((spot - 8, spot + width + 8))
                break
    return placed


def is_whole(label: Label | None) -> bool:
    """Whether a label says more than the number."""
    return label is not None and bool(label.form.first)


def _foot(route: Route) -> float:
    return route.y - (_ABOVE_CASING if route.flow.casing else _ABOVE)


def _blocked(route: Route, routes: Sequence[Route], two_rows: bool) -> list[tuple[float, float]]:
    """Stretches beside every leg that passes where the label would stand."""
    bottom = _foot(route)
    top = bottom - HEIGHT - (SECOND_ROW if two_rows else 0) - 1
    blocked = []
    for other in routes:
        straight = len(other.legs) == 2 and other.legs[0].x == other.legs[1].x
        for leg in other.legs:
            far = other.legs[1].area.edge if straight and leg is other.legs[0] else other.y
            low, high = sorted((leg.area.edge, far))
            if low < bottom + 2 and high > top:
                half = _CLEAR + (2 if other.flow.both_ways else 0) + (4 if other.flow.casing else 0)
                blocked.append((leg.x - half, leg.x + half))
        if other is not route and other.lane == route.lane:
            blocked.append((other.left - 6, other.right + 6))
    return blocked


def _spot(
    route: Route, width: float, plate: tuple[float, float], blocked: Sequence[tuple[float, float]]
) -> float | None:
    """The left end of a free place for a width: over its own run from the left, else at one of its ends."""
    low, high = max(plate[0], route.left - width - _NEXT), min(plate[1], route.right + width + _NEXT)
    starts = [route.left, *(end for _, end in blocked), *(begin - width for begin, _ in blocked)]
    free = [
        x
        for x in starts
        if low <= x and x + width <= high and all(x + width <= begin or x >= end for begin, end in blocked)
    ]

    def outside(x: float) -> float:
        """How much of the label has nothing of the run below it."""
        return width - max(0.0, min(x + width, route.right) - max(x, route.left))

    return min(free, key=lambda x: (outside(x), x), default=None)


def label_shapes(route: Route, label: Label, theme: Theme) -> tuple[list[Shape], list[Mark]]:
    """The label and its flags, standing on its lane."""
    flow, foot = route.flow, _foot(route) - (SECOND_ROW if label.form.second else 0)
    colour = theme.severity("error") if flow.broken else theme.ink
    base, x = foot - 4, label.x
    shapes: list[Shape] = []
    if flow.numbers:
        wide = _number_width(flow)
        box = element_id("number", *(str(number) for number in flow.numbers))
        shapes += [
            Rect(x, foot - HEIGHT, wide, HEIGHT, theme.paper, colour, 1.0, id=box),
            Text(x + wide / 2, base, number_words(flow), colour, style="bold", anchor="middle", within=box),
        ]
        x += wide
    start = x
    for row, pieces in enumerate((label.form.first, label.form.second)):
        at = start
        for words, style in pieces:
            opacity = FAINT if style == "regular" else 1.0
            shapes.append(
                Text(at + _BESIDE, base + SECOND_ROW * row, words, colour, style=style, opacity=opacity)
            )
            at += _BESIDE + text_metrics.width(words, TEXT_SIZE, style)
        x = at if row == 0 else x
    marks = []
    for number, finding in flow.flags if label.flagged else ():
        marks.append(Mark(number, finding, x + _BESIDE, base - 4.5, f"conduit {number_words(flow)}"))
        x += _BESIDE + flag_width(number)
    return shapes, marks
