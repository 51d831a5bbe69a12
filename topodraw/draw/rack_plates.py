"""One gear on an elevation: its plate or its back, with name, ports, outlets, inlets, nodes and flags in
their places."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from topodraw.draw import text_metrics
from topodraw.draw.characters import element_id
from topodraw.draw.faceplate import RACK, RACK_CLOSE, PortFace, lay_out_ports
from topodraw.draw.finding_marks import Mark, flag_width
from topodraw.draw.port_shapes import INLET_HEIGHT, inlet, inlet_width, port_groups
from topodraw.draw.primitives import LINE_PITCH, TEXT_SIZE, Group, Hatch, Path, Rect, Shape, Text, line
from topodraw.draw.rack_contents import Node, Occupant, Side
from topodraw.draw.rack_geometry import RAIL
from topodraw.draw.theme import Theme
from topodraw.model.finding import Finding

_NAME_COLUMN = 102.0
_GAP = 8.0
_NAME_GAP = 4.0
_NODE_HEIGHT = 26.0
_LEAST_PORTS_ROOM = 16.0
OFF_HATCH_OPACITY = 0.3
STATE_WORDS = {"planned": "planned", "switched-off": "switched off", "spare": "spare"}
Numbered = tuple[int, Finding]


@dataclass(frozen=True, slots=True)
class Plate:
    """A drawn gear: its shapes, the marks of its findings, what found no room, and whether its name was
    shortened."""

    group: Group
    marks: tuple[Mark, ...]
    left_over: tuple[Numbered, ...]
    shortened: tuple[str, ...]
    in_full: tuple[str, ...]


def plate(
    occupant: Occupant,
    seen_from: Side,
    box: tuple[float, float, float, float],
    findings: Sequence[Numbered],
    theme: Theme,
) -> Plate:
    """A gear drawn in a box (left, top, width, height), as seen from the front or the rear of the rack."""
    return _PlateDrawing(occupant, seen_from, box, theme).drawn(findings)


class _PlateDrawing:
    """Works from both ends of the plate towards the middle: name left, flags and inlets right, ports
    between."""

    def __init__(
        self, occupant: Occupant, seen_from: Side, box: tuple[float, float, float, float], theme: Theme
    ) -> None:
        self.occupant, self.seen_from, self.theme = occupant, seen_from, theme
        self.x, self.y, self.width, self.height = box
        self.own_side = occupant.side == seen_from
        self.face = occupant.faceplate if self.own_side else occupant.back
        self.id = element_id(seen_from, occupant.name)
        self.shapes: list[Shape] = []
        self.marks: list[Mark] = []
        self.shortened: list[str] = []
        self.in_full: list[str] = []
        ear = RAIL if self.own_side else 0.0
        self.left = self.x + (ear if occupant.lane == 0 or not self.own_side else 0) + 6
        last = occupant.lane == occupant.lanes - 1
        self.right = self.x + self.width - (ear if last or not self.own_side else 0) - 5
        self.middle = self.y + self.height / 2

    def drawn(self, findings: Sequence[Numbered]) -> Plate:
        self._body()
        left_over = self._flags(findings)
        if self.occupant.state == "in-service":
            self._inlets()
            self._name(self._natural_ports_width())
            self._contents()
        else:
            self._name(120.0)
            self._state()
        where = "front" if self.seen_from == "front" else "rear"
        group = Group(
            tuple(self.shapes),
            id=self._gear_id(self.occupant.name),
            kind="gear",
            title=self.occupant.name,
            desc=f"{self.occupant.words}, {units_words(self.occupant)}, mounted at the {self.occupant.side}, "
            f"{self.occupant.state}; seen from the {where}",
        )
        return Plate(group, tuple(self.marks), left_over, tuple(self.shortened), tuple(self.in_full))

    def _gear_id(self, name: str) -> str:
        return element_id("gear", name) if self.own_side else element_id("gear", name, "behind")

    def _body(self) -> None:
        theme, planned = self.theme, self.occupant.state == "planned"
        dash = (6.0, 4.0) if planned else (1.5, 2.5) if self.occupant.state == "spare" else ()
        fill = theme.paper if planned else theme.plate
        self.shapes.append(
            Rect(self.x, self.y, self.width, self.height, fill, theme.ink, 1.4, dash, id=self.id)
        )
        if self.own_side and self.occupant.lanes == 1:
            inner = (self.x + RAIL, self.x + self.width - RAIL)
            lines = tuple(((x, self.y), (x, self.y + self.height)) for x in inner)
            self.shapes.append(Path(lines, stroke=theme.ink, weight=0.6, opacity=0.75))
            for x in (self.x + RAIL / 2 - 3.5, self.x + self.width - RAIL / 2 - 3.5):
                for y in (self.y + 4, self.y + self.height - 8):
                    self.shapes.append(Rect(x, y, 7, 4, theme.paper, theme.ink, 0.7, radius=2))

    def _flags(self, findings: Sequence[Numbered]) -> tuple[Numbered, ...]:
        """Sets flags from the right, one below the other where the plate is tall; what has no room is left
        over."""
        rows = max(1, int(self.height // 26))
        columns = 2 if self.width > 300 else 1
        placed = findings[: rows * columns]
        while placed and self.right - 50 * (-(-len(placed) // rows)) < self.left + 100:
            placed = placed[:-rows]
        where = f"{units_words(self.occupant)} {self.seen_from}"
        for start in range(0, len(placed), rows):
            column = placed[start : start + rows]
            self.right -= max(flag_width(number) for number, _ in column)
            for place, (number, finding) in enumerate(column):
                y = self.middle + (place - (len(column) - 1) / 2) * 26
                self.marks.append(Mark(number, finding, self.right, y, where))
            self.right -= 6
        return tuple(findings[len(placed) :])

    def _inlets(self) -> None:
        room = self.right - self.left - _NAME_COLUMN
        for face in reversed(self.face.inlets):
            label = text_metrics.fit(face.label, 96, TEXT_SIZE, "mono-bold")
            wide = inlet_width(label)
            if wide > room:
                label, wide = "", inlet_width("")
            room -= wide + 4
            self.right -= wide
            self.shapes.append(
                inlet(
                    self.right,
                    self.middle - INLET_HEIGHT / 2,
                    label,
                    theme=self.theme,
                    within=self.id,
                    title=f"{self.occupant.name}: {face.title}",
                    identifier=element_id(self.seen_from + "inlet", self.occupant.name, face.name),
                )
            )
            self.right -= 4
        if self.face.inlets:
            self.right -= _GAP - 4

    def _natural_ports_width(self) -> float:
        """The room in px that everything between name and inlets would like to have."""
        if self.occupant.nodes:
            return self.right - self.left - _NAME_COLUMN
        return sum(
            lay_out_ports(faces, RACK).width + _GAP for faces in (self.face.ports, self.face.outlets) if faces
        )

    def _name(self, wanted_by_others: float) -> None:
        """Name and function at the left, in as many lines as fit; a name that doesn't fit is shortened."""
        available = self.right - self.left - _NAME_GAP
        name_width = text_metrics.width(self.occupant.name, TEXT_SIZE, "bold")
        wanted = max(name_width, text_metrics.width(self.occupant.words, TEXT_SIZE)) + 10
        least = min(_NAME_COLUMN - 6, available)
        room = max(least, min(wanted, available - wanted_by_others))
        lines_at_most = max(1, int((self.height - 3) // LINE_PITCH))
        name, shortened = name_lines(self.occupant.name, room - 8, lines_at_most)
        (self.shortened if shortened else self.in_full).append(self.occupant.name)
        words = text_metrics.wrap(self.occupant.words, room - 8, TEXT_SIZE)[: lines_at_most - len(name)]
        top = self.middle - (len(name) + len(words)) * LINE_PITCH / 2
        for place, (text, bold) in enumerate(
            [(text, True) for text in name] + [(text, False) for text in words]
        ):
            self.shapes.append(
                Text(
                    self.left,
                    top + LINE_PITCH * place + 12.4,
                    text,
                    self.theme.ink,
                    style="bold" if bold else "regular",
                    opacity=1.0 if bold else 0.85,
                    within=self.id,
                )
            )
        self.left += room
        self.shapes.append(
            line(self.left, self.y, self.left, self.y + self.height, self.theme.ink, 0.6, 0.75)
        )
        self.left += _NAME_GAP

    def _state(self) -> None:
        words = STATE_WORDS[self.occupant.state]
        wide = self.right + 5 - (self.left - _NAME_GAP)
        if self.occupant.state == "switched-off":
            hatch = Hatch("diagonal", self.theme.ink, OFF_HATCH_OPACITY, 9)
            x = self.left - _NAME_GAP
            self.shapes.append(Rect(x, self.y, wide, self.height, hatch))
        words_width = text_metrics.width(words, TEXT_SIZE)
        if words_width + 14 > wide:
            return
        middle = self.left - _NAME_GAP + wide / 2
        self.shapes.append(
            Rect(middle - words_width / 2 - 5, self.middle - 9, words_width + 10, 18, self.theme.plate)
        )
        self.shapes.append(
            Text(middle, self.middle + 4.7, words, self.theme.ink, anchor="middle", within=self.id)
        )

    def _contents(self) -> None:
        if self.occupant.nodes:
            self._nodes()
            return
        # Power outlets stand beside the inlets, data ports beside the name.
        left = self.left
        ports, outlets = self.face.ports, self.face.outlets
        mirrored = not self.own_side and self.occupant.function == "panel"
        room = self.right - left
        wanted = [lay_out_ports(faces, RACK).width if faces else 0.0 for faces in (outlets, ports)]
        room -= _GAP if all(wanted) else 0
        # Where both can't have what they want, the few keep their size and the many move closer.
        least = min(min(wanted), room / 2)
        for faces, share in zip((outlets, ports), wanted, strict=True):
            if faces:
                left = self._ports(
                    faces, left, min(share, room - least if share > least else least), mirrored
                )
        if self.occupant.function == "cable-manager":
            self._brush(left, self.right)
        elif self.occupant.remark and self.own_side:
            left = self._remark(left)
        if self.occupant.function not in ("cable-manager", "panel", "blank", "shelf", "pdu"):
            self._vent(left, self.right)

    def _ports(self, faces: Sequence[PortFace], left: float, room: float, mirrored: bool) -> float:
        if room < _LEAST_PORTS_ROOM:
            return left
        layout = lay_out_ports(faces, RACK, room=room + 0.01, height=min(self.height - 3, 37))
        x = self.right - layout.width if mirrored else left
        spots = layout.at(x, self.middle - layout.height / 2, mirrored)
        self.shapes.extend(
            port_groups(
                spots,
                self.theme,
                face=self.seen_from,
                gear=self.occupant.name,
                labels=layout.labels,
                within=self.id,
            )
        )
        return left + layout.width + _GAP

    def _remark(self, left: float) -> float:
        wide = text_metrics.width(self.occupant.remark, TEXT_SIZE, "mono") + 20
        if left + wide > self.right:
            return left
        box = element_id("remark", self.occupant.name)
        self.shapes += [
            Rect(left, self.middle - 13, wide, 26, self.theme.paper, self.theme.ink, 0.8, id=box),
            Text(
                left + wide / 2,
                self.middle + 4.7,
                self.occupant.remark,
                self.theme.ink,
                style="mono",
                anchor="middle",
                within=box,
            ),
        ]
        return left + wide + 2 * _GAP

    def _vent(self, left: float, right: float) -> None:
        if self.occupant.airflow in (None, "fanless") or right - left < 40:
            return
        top, bottom = self.y + 8, self.y + self.height - 8
        count = min(int((right - left - 12) // 4.5), 24)
        lines = tuple(((right - 6 - 4.5 * n, top), (right - 6 - 4.5 * n, bottom)) for n in range(count))
        self.shapes.append(Path(lines, stroke=self.theme.ink, weight=0.8, opacity=0.35, kind="vent"))

    def _brush(self, left: float, right: float) -> None:
        if right - left < 30:
            return
        top, wide = self.middle - 8, right - left
        self.shapes.append(Rect(left, top, wide, 16, self.theme.paper, self.theme.ink, 0.8))
        lines = tuple(
            ((left + 3 + 4 * n, top + 1), (left + 3 + 4 * n, top + 15)) for n in range(int(wide // 4) - 1)
        )
        self.shapes.append(Path(lines, stroke=self.theme.ink, weight=0.7, opacity=0.5, kind="vent"))

    def _nodes(self) -> None:
        nodes = self.occupant.nodes
        rows = self._node_rows()
        columns = -(-len(nodes) // rows)
        wide, high = (self.right - self.left) / columns, (self.height - 4) / rows
        for place, node in enumerate(nodes):
            row, column = divmod(place, columns)
            if not self.own_side:
                column = columns - 1 - column
            self._node(node, self.left + column * wide, self.y + 4 + row * high, wide - 4, high - 4)

    def _node_rows(self) -> int:
        """As few rows of nodes as give every name and every port room, else as many as have room for
        ports."""
        nodes, room = self.occupant.nodes, self.right - self.left
        widest = max(
            max(
                text_metrics.width(node.name, TEXT_SIZE, "bold"),
                lay_out_ports(node.ports, RACK_CLOSE).width if node.ports and not self.own_side else 0.0,
            )
            for node in nodes
        )
        most = min(
            len(nodes), max(1, int(self.height // (_NODE_HEIGHT if self.own_side else 1.5 * _NODE_HEIGHT)))
        )
        for rows in range(1, most + 1):
            if room / -(-len(nodes) // rows) - 16 >= widest:
                return rows
        return -(-len(nodes) // -(-len(nodes) // most))

    def _node(self, node: Node, x: float, y: float, wide: float, high: float) -> None:
        box = element_id(self.seen_from + "node", node.name)
        ink = self.theme.ink
        dash = () if node.state == "in-service" else (6.0, 4.0)
        shapes: list[Shape] = [Rect(x, y, wide, high, self.theme.plate, ink, 1.0, dash, id=box)]
        name, shortened = name_lines(node.name, wide - 12, 1)
        (self.shortened if shortened else self.in_full).append(node.name)
        shapes += [Text(x + 6, y + 15, text, ink, style="bold", within=box) for text in name]
        if node.state != "in-service" and high > 34:
            words = text_metrics.fit(STATE_WORDS[node.state], wide - 12, TEXT_SIZE)
            shapes.append(Text(x + 6, y + 31, words, ink, within=box))
        elif not self.own_side and node.ports and high > 34:
            layout = lay_out_ports(node.ports, RACK, room=wide - 12, height=min(high - 20, 37))
            spots = layout.at(x + 6, y + 18 + (high - 20 - layout.height) / 2)
            shapes += port_groups(
                spots, self.theme, face=self.seen_from, gear=node.name, labels=layout.labels, within=box
            )
        self.shapes.append(
            Group(
                tuple(shapes),
                id=self._gear_id(node.name),
                kind="gear",
                title=node.name,
                desc=f"{node.words}, node of {self.occupant.name}",
            )
        )


def units_words(occupant: Occupant) -> str:
    """Its units: `U9`, or `U5-U6`."""
    if occupant.units == 1:
        return f"U{occupant.lowest}"
    return f"U{occupant.lowest}-U{occupant.highest}"


def name_lines(name: str, room: float, lines_at_most: int) -> tuple[list[str], bool]:
    """A name in at most so many lines of a width in px, and whether it had to be shortened."""
    lines = text_metrics.wrap(name, room, TEXT_SIZE, "bold")
    if len(lines) <= lines_at_most and all(
        text_metrics.width(each, TEXT_SIZE, "bold") <= room for each in lines
    ):
        return lines, False
    kept = lines[: lines_at_most - 1]
    rest = "".join(lines[len(kept) :])
    return [*kept, text_metrics.fit(rest, room, TEXT_SIZE, "bold")], True
