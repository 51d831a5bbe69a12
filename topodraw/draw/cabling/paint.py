"""Geometry made visible: areas, lines with their gaps, plates, names, ties and marks."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import replace

from topodraw.draw.cabling.build import Built
from topodraw.draw.cabling.channels import COMB_PITCH
from topodraw.draw.cabling.geometry import AreaSpot, Geometry, TagSpot
from topodraw.draw.cabling.line_work import Stretch, line_shapes, line_stretches
from topodraw.draw.cabling.plan import INSET
from topodraw.draw.cabling.plates import BACK_HEIGHT, FLAGS_ROW, NAME_SIZE, Back, Plate
from topodraw.draw.cabling.scene import Scene, Strand, function_words
from topodraw.draw.cabling.titles import SIZE, tab_height, tab_width
from topodraw.draw.characters import element_id
from topodraw.draw.faceplate import PortSpot
from topodraw.draw.port_shapes import port_groups
from topodraw.draw.primitives import (
    LINE_PITCH,
    TEXT_SIZE,
    Ellipse,
    Group,
    Hatch,
    HatchForm,
    Point,
    Rect,
    Shape,
    Text,
    line,
)
from topodraw.draw.theme import Theme
from topodraw.model.gear import Gear

AREA_HATCHES: tuple[tuple[HatchForm, float], ...] = (
    ("diagonal", 9.0),
    ("horizontal", 8.0),
    ("dots", 8.0),
    ("counter", 9.0),
    ("vertical", 8.0),
    ("cross", 12.0),
)
_ASCENT_MIDDLE = 4.6


def area_shapes(areas: Sequence[AreaSpot], theme: Theme) -> list[Shape]:
    """Areas with their hatching, and the tabs with their titles, as two layers in one list."""
    grounds: list[Shape] = []
    tabs: list[Shape] = []
    for place, area in enumerate(areas):
        form, pitch = AREA_HATCHES[place % len(AREA_HATCHES)]
        hatch = Hatch(form, theme.colour("area"), 0.13, pitch, 0.7)
        box = element_id("place-tab", area.key)
        title = " ".join(area.title)
        grounds.append(
            Group(
                (
                    Rect(
                        area.left,
                        area.top,
                        area.right - area.left,
                        area.bottom - area.top,
                        hatch,
                        theme.ink,
                        1.0,
                    ),
                ),
                id=element_id("place", area.key),
                kind="place",
                title=title,
            )
        )
        tabs.append(_tab(area, box, theme))
    return [*grounds, *tabs]


def _tab(area: AreaSpot, box: str, theme: Theme) -> Group:
    width, height = tab_width(area.title), tab_height(area.title)
    top = area.top - height / 2
    shapes: list[Shape] = [Rect(area.tab_left, top, width, height, theme.paper, theme.ink, 1.0, id=box)]
    for place, words in enumerate(area.title):
        baseline = top + 15 + LINE_PITCH * place
        shapes.append(Text(area.tab_left + 8, baseline, words, theme.ink, SIZE, "bold", within=box))
    return Group(tuple(shapes), kind="place-title")


def wire_shapes(scene: Scene, found: Geometry, theme: Theme) -> list[Shape]:
    """All lines, each a group of its own."""
    weights = {strand.key: strand.look.weight for strand in scene.strands}
    stretches = line_stretches(found.lines, weights)
    return [_wire(strand, stretches[strand.key], theme) for strand in scene.strands]


def strand_colour(strand: Strand, theme: Theme) -> str:
    """A line's colour: its purpose's, or the one for cables without purpose."""
    if strand.look.purpose:
        return strand.look.purpose.colour
    return theme.ink if strand.look.pattern in ("service", "bundle") else theme.colour("no-purpose")


def _wire(strand: Strand, stretches: Sequence[Stretch], theme: Theme) -> Group:
    look = strand.look
    shapes = line_shapes(
        stretches, look.pattern, look.weight, strand_colour(strand, theme), theme, look.out_of_service
    )
    return Group(
        tuple(shapes), id=element_id(look.kind, look.name), kind=look.kind, title=look.title, desc=look.desc
    )


def tag_shapes(scene: Scene, found: Geometry, theme: Theme) -> list[Shape]:
    """Names on lines, each over a piece of paper that keeps it legible."""
    strands = {strand.key: strand for strand in scene.strands}
    shapes: list[Shape] = []
    for spot in found.tags:
        shapes += _tag(spot, strand_colour(strands[spot.wire], theme), theme)
    for note in found.notes:
        strand = strands[note.wire]
        colour = strand_colour(strand, theme)
        if strand.label:
            shapes.append(Text(note.x, note.y - 5, strand.label, colour, style="mono"))
        shapes += _comb(strand, note.x, note.y, theme)
    return shapes


def _tag(spot: TagSpot, colour: str, theme: Theme) -> list[Shape]:
    text = Text(
        spot.x, spot.y + _ASCENT_MIDDLE, spot.words, colour, style="mono", anchor="middle", kind="tag"
    )
    if spot.upright:
        text = Text(
            spot.x + _ASCENT_MIDDLE,
            spot.y,
            spot.words,
            colour,
            style="mono",
            anchor="middle",
            upright=True,
            kind="tag",
        )
    left, top, right, bottom = text.box
    if spot.upright:
        return [Rect(left, top - 2, right - left, bottom - top + 4, theme.paper), text]
    return [Rect(left - 1, top + 0.5, right - left + 2, bottom - top - 1, theme.paper), text]


def _comb(strand: Strand, x: float, y: float, theme: Theme) -> list[Shape]:
    shapes: list[Shape] = []
    for place, letter in enumerate(strand.comb):
        middle = x + COMB_PITCH * (place + 0.5)
        missing = letter.startswith("(")
        colour = theme.severity("warning") if missing else theme.ink
        shapes.append(line(middle, y, middle, y + 6, theme.ink, 0.9))
        shapes.append(
            Text(
                middle,
                y + 17.5,
                letter.strip("()"),
                colour,
                style="mono-bold" if missing else "mono",
                anchor="middle",
            )
        )
        if missing:
            shapes.append(Ellipse(middle, y + 13, 7.2, 7.2, stroke=colour, weight=1.4))
    return shapes


def tie_shapes(scene: Scene, found: Geometry, theme: Theme) -> list[Shape]:
    """Rings round the lines of aggregates, with their number; bars across discarding ends."""
    count = {ring.key: len(ring.wires) for ring in scene.rings}
    shapes: list[Shape] = []
    for tie in found.ties:
        middle, half = (tie.left + tie.right) / 2, (tie.right - tie.left) / 2 + 7
        shapes.append(
            Group(
                (
                    Ellipse(middle, tie.y, half, 5.5, stroke=theme.ink, weight=1.1),
                    Text(
                        tie.number_x,
                        tie.y + _ASCENT_MIDDLE,
                        str(count[tie.key]),
                        theme.ink,
                        style="mono-bold",
                        anchor="middle",
                    ),
                ),
                id=element_id("aggregate", tie.key),
                kind="aggregate",
                title=f"{tie.key}: aggregate of {count[tie.key]}",
            )
        )
    return shapes


def bar_shapes(found: Geometry, barred: Sequence[tuple[str, int]], theme: Theme) -> list[Shape]:
    """Double bars across the ends where spanning tree discards."""
    shapes: list[Shape] = []
    for key, number in barred:
        points = found.lines[key]
        end, inner = (points[0], points[1]) if number == 0 else (points[-1], points[-2])
        x = inner[0] if end[0] != inner[0] else end[0]
        y = found.marks_y[key, number]
        colour = theme.colour("cable.discarding")
        shapes.append(
            Group(
                (
                    line(x - 7, y - 2, x + 7, y - 2, colour, 1.8),
                    line(x - 7, y + 2, x + 7, y + 2, colour, 1.8),
                ),
                kind="discarding",
                title="discarding end",
            )
        )
    return shapes


def plate_shapes(key: str, plate: Plate, at: Point, scene: Scene, theme: Theme, link: str = "") -> Group:
    """One box as a group; `link` is the sheet that it refers to."""
    x, y = at
    gear = scene.gear(key)
    name = key.split(":", 1)[1]
    kind = {
        "gear": "gear",
        "panel": "gear",
        "remote": "remote",
        "elsewhere": "reference",
        "group": "gear-group",
    }[plate.form]
    identifier = element_id(kind, *name.split(":"))
    box = element_id("plate", *key.split(":"))
    shapes: list[Shape] = [_body(plate, x, y, box, gear, theme)]
    if plate.split and plate.width > plate.split + 8:
        shapes.append(line(x + plate.split, y, x + plate.split, y + plate.height, theme.ink, 0.8))
    shapes += _words(plate, x, y, box, theme)
    if gear and gear.name in scene.roots:
        flagged = bool(scene.flags.get(key))
        shapes += _root_mark(plate, x, y - (FLAGS_ROW if flagged else 0), box, theme)
    moved = tuple(_shifted(spot, x, y) for spot in plate.spots)
    if gear:
        shapes += port_groups(moved, theme, face="", gear=gear.name, labels="between", within=box)
    shapes += [_back(back.x + x, back, plate, y, theme) for back in plate.backs]
    for left, text in plate.stretches:
        shapes += _stretch(left + x, y, plate, text, box, theme)
    for upright in plate.uprights:
        if upright.words:
            shapes.append(
                Text(
                    x + upright.x + _ASCENT_MIDDLE,
                    y + plate.height / 2,
                    upright.words,
                    theme.ink,
                    style="mono",
                    anchor="middle",
                    upright=True,
                    within=box,
                )
            )
    title = " ".join(text for text, _ in plate.words)
    return Group(tuple(shapes), id=identifier, kind=kind, title=title, desc=_facts(gear, scene), link=link)


def _facts(gear: Gear | None, scene: Scene) -> str:
    if gear is None:
        return ""
    words = [function_words(gear.function), gear.hardware.name]
    if gear.position:
        words.append(f"rack {gear.position.rack}, unit {gear.position.unit}")
    words += [f"{vlan} {', '.join(map(str, addresses))}" for vlan, addresses in gear.addresses.items()]
    bridge = scene.facts.network.bridge_of.get(gear.name)
    if bridge and bridge in scene.facts.tree.bridges:
        state = scene.facts.tree.bridges[bridge]
        words.append(
            "root bridge"
            if state.root_port is None
            else f"root {state.root}, path cost {state.root_path_cost}"
        )
    if gear.state != "in-service":
        words.append(gear.state.replace("-", " "))
    return ", ".join(words)


def _body(plate: Plate, x: float, y: float, box: str, gear: Gear | None, theme: Theme) -> Rect:
    dash: tuple[float, ...] = ()
    fill: str | Hatch = theme.plate
    if plate.form in ("remote", "elsewhere"):
        dash, fill = (9.0, 3.0), theme.paper
    if gear and gear.state != "in-service":
        dash = {"planned": (6.0, 4.0), "spare": (1.5, 2.5)}.get(gear.state, ())
        if gear.state == "switched-off":
            fill = Hatch("diagonal", theme.ink, 0.16, 9.0)
    return Rect(x, y, plate.width, plate.height, fill, theme.ink, 1.4 if gear else 1.1, dash, id=box)


def _words(plate: Plate, x: float, y: float, box: str, theme: Theme) -> list[Shape]:
    shapes: list[Shape] = []
    top = y + max(0.0, (plate.height - LINE_PITCH * len(plate.words) - 4) / 2)
    if plate.form == "gear":
        top = y + min(top - y, 3)
    for place, (text, style) in enumerate(plate.words):
        size = NAME_SIZE if style == "bold" else TEXT_SIZE
        shapes.append(Text(x + 7, top + 13.5 + LINE_PITCH * place, text, theme.ink, size, style, within=box))
    return shapes


def _root_mark(plate: Plate, x: float, y: float, box: str, theme: Theme) -> list[Shape]:
    width = Text(0, 0, "ROOT", theme.ink, style="bold").width + 8
    right = x + (plate.split or plate.width) - 4
    top = y + plate.height - 20
    return [
        Rect(right - width, top, width, 17, theme.plate, theme.ink, 1.2, kind="root"),
        Text(right - width / 2, top + 13, "ROOT", theme.ink, style="bold", anchor="middle", within=box),
    ]


def _shifted(spot: PortSpot, x: float, y: float) -> PortSpot:
    return replace(spot, x=spot.x + x, y=spot.y + y, label_y=spot.label_y + y)


def _back(x: float, back: Back, plate: Plate, y: float, theme: Theme) -> Shape:
    top = y + plate.height - INSET - BACK_HEIGHT if back.edge == "bottom" else y + INSET
    look = back.look
    fill = theme.plate
    if back.used:
        fill = look.colour if look else theme.colour("no-purpose")
    return Rect(x - 6, top, 12, BACK_HEIGHT, fill, theme.ink, 0.7, kind="port-rear")


def _stretch(x: float, y: float, plate: Plate, text: str, box: str, theme: Theme) -> list[Shape]:
    lines = text.split("\n")
    top = y + plate.height / 2 - LINE_PITCH * len(lines) / 2
    return [
        Text(
            x,
            top + 12.5 + LINE_PITCH * place,
            words,
            theme.ink,
            style="mono" if place == 0 else "regular",
            opacity=0.85,
            within=box,
        )
        for place, words in enumerate(lines)
    ]


def tier_shapes(tiers: Sequence[tuple[str, float, float]], x: float, theme: Theme) -> list[Shape]:
    """Names of tiers down the left side, with the ticks that part them."""
    shapes: list[Shape] = []
    for name, top, bottom in tiers:
        middle = (top + bottom) / 2
        shapes.append(
            Text(x, middle, name, theme.ink, anchor="middle", upright=True, opacity=0.85, kind="tier")
        )
        shapes.append(line(x + 8, top, x + 8, bottom, theme.ink, 0.7, 0.7))
    return shapes


def joint_shapes(built: Built, found: Geometry, theme: Theme) -> list[Shape]:
    """The joint between members of a stack that stand side by side with nothing between them."""
    shapes: list[Shape] = []
    boxes = {box.key: box for box in built.plan.boxes}
    for pair in built.plan.joined:
        one, other = sorted(pair, key=lambda key: found.boxes[key][0])
        left, top = found.boxes[one]
        start, end = left + boxes[one].width, found.boxes[other][0]
        between = [points for points in found.lines.values() if _passes(points, start, end, top + 20)]
        if between or any(start < found.boxes[key][0] < end and found.boxes[key][1] == top for key in boxes):
            continue
        y = top + min(boxes[one].height, boxes[other].height) / 2
        shapes.append(Rect(start, y - 10, end - start, 20, theme.plate, theme.ink, 1.2, kind="stack"))
        if end - start >= 46:
            shapes.append(Text((start + end) / 2, y + _ASCENT_MIDDLE, "stack", theme.ink, anchor="middle"))
    return shapes


def _passes(points: Sequence[Point], left: float, right: float, y: float) -> bool:
    """Whether an upright run stands between two columns at a height."""
    return any(
        a[0] == b[0] and left < a[0] < right and min(a[1], b[1]) < y < max(a[1], b[1])
        for a, b in itertools.pairwise(points)
    )
