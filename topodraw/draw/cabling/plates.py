"""Boxes as they look: gear with ports, remotes, references to other sheets, groups of end stations."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

from topodraw.draw import text_metrics
from topodraw.draw.cabling.plan import INSET, Edge, Socket
from topodraw.draw.faceplate import CABLING, PortFace, PortSpot, lay_out_ports
from topodraw.draw.primitives import LINE_PITCH, TEXT_SIZE
from topodraw.draw.text_metrics import Style
from topodraw.draw.theme import PurposeLook
from topodraw.model.gear import Gear

BACK_HEIGHT = 6.0
"""Height of the mark for a panel port's rear, in px."""
NAME_SIZE = 14.0
FLAGS_ROW = 24.0
"""Room below the words of a plate for the flags of findings, in px."""
ROOT_ROW = 20.0
"""Room for the mark of a root bridge, in px."""
_NAME_ROOM = 150.0
_PAD = 7.0
ONE_LINE = 7.0
"""What a column is wider by where a line runs down between its ports and the next, in px."""
TWO_LINES = 17.0
APART = 4.0
BUNDLE_PITCH = 34.0
"""Room for a bundle's end at a plate, in px."""
_FREE_COLUMNS = 4
"""Stretches of at least this many columns without cables are shown in words."""

Words = tuple[str, Style]
Form = Literal["gear", "panel", "remote", "elsewhere", "group"]


@dataclass(frozen=True, slots=True)
class Back:
    """The rear of a panel's port: the middle of its mark, and the look of the cable there."""

    port: str
    x: float
    edge: Edge
    look: PurposeLook | None
    used: bool


@dataclass(frozen=True, slots=True)
class Upright:
    """Words along a socket, read from below, as references to other sheets have them."""

    x: float
    words: str
    socket: str


@dataclass(frozen=True, slots=True)
class Plate:
    """A box from (0, 0): what is written at its left, its ports, and where wires meet it."""

    form: Form
    width: float
    height: float
    words: tuple[Words, ...]
    split: float
    """Where the line between words and ports stands; 0 without ports."""
    spots: tuple[PortSpot, ...] = ()
    backs: tuple[Back, ...] = ()
    stretches: tuple[tuple[float, str], ...] = ()
    """Words for ports that are not drawn one by one, and their left side."""
    uprights: tuple[Upright, ...] = ()
    sockets: Mapping[str, Socket] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Use:
    """What a cable end means to a port: the look of the cable's purpose, and the edges by which wires
    leave."""

    look: PurposeLook | None
    leaves: tuple[Edge, ...]


def words_block(words: Sequence[Words], least: float = 0.0) -> tuple[float, float]:
    """Width and height that lines of words take with some air, in px."""
    widths = [
        text_metrics.width(text, NAME_SIZE if style == "bold" else TEXT_SIZE, style) for text, style in words
    ]
    return max(least, max(widths, default=0.0) + 2 * _PAD), LINE_PITCH * len(words) + 10


def last_line_is_short(words: Sequence[Words], width: float) -> bool:
    """Whether a root's mark fits beside the last line of words in a block of that width."""
    text, style = words[-1]
    return text_metrics.width(text, TEXT_SIZE, style) + 52 <= width - _PAD


def name_words(name: str, more: Sequence[Words]) -> tuple[Words, ...]:
    """A name in as many lines as it needs, then further lines broken the same way."""
    lines: list[Words] = [(part, "bold") for part in text_metrics.wrap(name, _NAME_ROOM, NAME_SIZE, "bold")]
    for text, style in more:
        lines += [(part, style) for part in text_metrics.wrap(text, _NAME_ROOM, TEXT_SIZE, style)]
    return tuple(lines)


def gear_plate(
    gear: Gear,
    words: tuple[Words, ...],
    uses: Mapping[str, Use],
    only_used: bool = False,
    bundles: Mapping[str, Edge] | None = None,
    flags_width: float = 0.0,
    root: bool = False,
) -> Plate:
    """A piece of gear with its ports; `uses` by socket: a port's name, with `:back` for a panel's rear.

    With `only_used` no other ports are drawn. `bundles` are sockets without a port,
    and the edges that they are at. Below the words there is room for `flags_width` px of flags, and for a
    root's mark.
    """
    faces = _faces(gear, uses, only_used)
    block_width, words_height = words_block(words, flags_width + 8)
    block_height = words_height + (FLAGS_ROW if flags_width else 0.0) + (ROOT_ROW if root else 0.0)
    if root and not flags_width and last_line_is_short(words, block_width):
        block_height = words_height
    if not faces:
        width = max(block_width, 90 + BUNDLE_PITCH * len(bundles or {}))
        loose = {
            key: Socket(width - BUNDLE_PITCH * (place + 0.5), edge, 0.0)
            for place, (key, edge) in enumerate((bundles or {}).items())
        }
        return Plate("gear", width, max(block_height, 40), words, 0.0, sockets=loose)
    single: Edge = _better_edge(uses.values())
    spots, stretches, high, room = _ports(faces, single, frozenset(uses))
    if all(spot.row in ("top", "bottom") for spot in spots) and len({spot.row for spot in spots}) == 2:
        height = max(block_height, high + 2 * INSET)
    else:
        height = max(block_height, 46.0)
    spots = [_at_edge(spot, height) for spot in spots]
    split = block_width
    spots, stretches, room = _widened(spots, stretches, uses, room)
    shift = split + 5
    placed = tuple(replace(spot, x=spot.x + shift) for spot in spots)
    sockets = _sockets(placed, uses)
    right = shift + room + 5
    for key, edge in (bundles or {}).items():
        sockets[key] = Socket(right + BUNDLE_PITCH / 2, edge, 0.0)
        right += BUNDLE_PITCH
    return Plate(
        "gear",
        right,
        height,
        words,
        split,
        placed,
        stretches=tuple((x + shift, text) for x, text in stretches),
        sockets=sockets,
    )


def _faces(gear: Gear, uses: Mapping[str, Use], only_used: bool) -> list[PortFace]:
    """The ports to draw, in faceplate order; a console port only where a cable is in it."""
    hardware = gear.hardware.ports
    many = len(hardware) >= 7
    return [
        PortFace(
            name,
            "cage" if port.cage else "jack",
            used=name in uses,
            look=uses[name].look if name in uses else None,
            shut=gear.ports[name].shut,
            group=gear.ports[name].group,
            rows=min(2, port.rows or (2 if many else 1)),
        )
        for name, port in hardware.items()
        if name in uses or (port.use != "console" and not only_used)
    ]


def _better_edge(uses: Iterable[Use]) -> Edge:
    leaves = [edge for use in uses for edge in use.leaves]
    return "bottom" if leaves.count("bottom") > leaves.count("top") else "top"


def _ports(
    faces: Sequence[PortFace], single: Edge, shown: frozenset[str]
) -> tuple[list[PortSpot], list[tuple[float, str]], float, float]:
    """Ports in faceplate order, long stretches without cables told in words; also the height and width
    taken."""
    spots: list[PortSpot] = []
    stretches: list[tuple[float, str]] = []
    x = 0.0
    high = 0.0
    parts = column_parts(faces, shown)
    for place, (kind, members) in enumerate(parts):
        if place:
            x += CABLING.range_gap
        if kind == "words":
            text = stretch_words(members)
            stretches.append((x, text))
            x += text_metrics.width(text.split("\n")[0], TEXT_SIZE, "mono") + 4
            continue
        layout = lay_out_ports(members, CABLING, single=single)
        spots += layout.at(x, 0)
        high = max(high, layout.height)
        x += layout.width
    return spots, stretches, high, x


def column_parts(faces: Sequence[PortFace], shown: frozenset[str]) -> list[tuple[str, list[PortFace]]]:
    """Faces cut into what is drawn and what is told: whole columns of unused ports, many in a row."""
    columns: list[list[PortFace]] = []
    for face in faces:
        last = columns[-1] if columns else []
        if last and last[0].group == face.group and len(last) < (face.rows or 1):
            last.append(face)
        else:
            columns.append([face])
    parts: list[tuple[str, list[PortFace]]] = []
    at = 0
    while at < len(columns):
        end = at
        while end < len(columns) and _alike(columns[at], columns[end], shown):
            end += 1
        if end - at >= _FREE_COLUMNS:
            parts.append(("words", [face for column in columns[at:end] for face in column]))
            at = end
            continue
        if not parts or parts[-1][0] != "ports":
            parts.append(("ports", []))
        parts[-1][1].extend(columns[at])
        at += 1
    return parts


def _alike(one: Sequence[PortFace], other: Sequence[PortFace], shown: frozenset[str]) -> bool:
    """Whether no cable is shown at two columns of one range, for the same reason."""
    faces = [*one, *other]
    return (
        not any(face.name in shown for face in faces)
        and len({face.shut for face in faces}) == 1
        and one[0].group == other[0].group
    )


def stretch_words(faces: Sequence[PortFace]) -> str:
    first, last = faces[0].name, faces[-1].name
    state = "shut" if faces[0].shut else "free"
    return f"{first}–{last}\n{state}"


def _at_edge(spot: PortSpot, height: float) -> PortSpot:
    if spot.row == "bottom":
        y = height - INSET - spot.height
        return replace(spot, y=y, label_y=y - 4)
    return replace(spot, y=INSET, label_y=INSET + spot.height + 12.5)


def _columns(spots: Sequence[PortSpot]) -> list[list[PortSpot]]:
    found: dict[float, list[PortSpot]] = {}
    for spot in spots:
        found.setdefault(round(spot.middle_x, 2), []).append(spot)
    return [found[x] for x in sorted(found)]


def _against(spot: PortSpot, uses: Mapping[str, Use]) -> bool:
    """Whether a wire leaves this port by the plate's other edge."""
    use = uses.get(spot.face.name)
    return use is not None and any(edge != spot.row for edge in use.leaves)


def _widened(
    spots: list[PortSpot], stretches: list[tuple[float, str]], uses: Mapping[str, Use], room: float
) -> tuple[list[PortSpot], list[tuple[float, str]], float]:
    """Columns moved apart where a wire runs down or up between ports."""
    shifted: list[PortSpot] = []
    moves: list[tuple[float, float]] = []
    extra = 0.0
    for column in _columns(spots):
        shifted += [replace(spot, x=spot.x + extra) for spot in column]
        lines = sum(_against(spot, uses) for spot in column)
        extra += (0.0, ONE_LINE, TWO_LINES)[min(lines, 2)]
        moves.append((column[0].middle_x, extra))
    words = [
        (x + max((move for left, move in moves if left < x), default=0.0), text) for x, text in stretches
    ]
    order = {spot.face.name: place for place, spot in enumerate(spots)}
    return sorted(shifted, key=lambda spot: order[spot.face.name]), words, room + extra


def _sockets(spots: Sequence[PortSpot], uses: Mapping[str, Use]) -> dict[str, Socket]:
    found: dict[str, Socket] = {}
    columns = _columns(spots)
    for place, column in enumerate(columns):
        right = min((spot.x for spot in columns[place + 1]), default=0.0) if place + 1 < len(columns) else 0.0
        edge = max(spot.x + spot.width for spot in column)
        middle = (edge + right) / 2 if edge < right < edge + 60 else edge + 7
        both = sum(_against(spot, uses) for spot in column) > 1
        for spot in column:
            half = middle - spot.middle_x
            if both:
                half += -APART if spot.row == "top" else APART
            row: Edge = "bottom" if spot.row == "bottom" else "top"
            found[spot.face.name] = Socket(spot.middle_x, row, half)
    return found


def remote_plate(words: tuple[Words, ...], sockets: Sequence[str], flags_width: float = 0.0) -> Plate:
    """What lies outside: a box with words, wires leaving side by side from its lower edge."""
    width, height = words_block(words, max(110.0, flags_width + 8))
    height += FLAGS_ROW if flags_width else 0.0
    width = max(width, 24.0 * len(sockets) + 20)
    step = width / (len(sockets) + 1)
    return Plate(
        "remote",
        width,
        height,
        words,
        0.0,
        sockets={key: Socket(step * (place + 1), "bottom", 0.0) for place, key in enumerate(sockets)},
    )


def _padded(text: str) -> str:
    words, space, square = text.rpartition(" ")
    return f"{words}{space}{square:0<3}" if space else text


def listing_plate(
    form: Form, words: tuple[Words, ...], entries: Sequence[tuple[str, str]], edge: Edge
) -> Plate:
    """A box whose sockets have words along them: (socket, words), in order, wires leaving by one edge."""
    block_width, block_height = words_block(words)
    # A grid square has the room of three characters, however many it has, so that its text moves nothing.
    longest = max((text_metrics.width(_padded(text), TEXT_SIZE, "mono") for _, text in entries), default=0.0)
    pitch = 26.0
    height = max(block_height, longest + 18 if longest else 0.0)
    left = block_width + 6
    uprights = tuple(
        Upright(left + pitch * (place + 0.5), text, key) for place, (key, text) in enumerate(entries)
    )
    sockets = {upright.socket: Socket(upright.x, edge, pitch / 2) for upright in uprights}
    width = left + pitch * len(entries) + 4
    return Plate(form, width, height, words, block_width, uprights=uprights, sockets=sockets)
