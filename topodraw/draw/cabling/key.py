"""The legend of a cabling sheet: only what is on it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from topodraw.draw.cabling.ends import CableEnds, speed_words
from topodraw.draw.cabling.geometry import Geometry
from topodraw.draw.cabling.line_work import line_shapes
from topodraw.draw.cabling.plates import Plate
from topodraw.draw.cabling.scene import Scene
from topodraw.draw.cabling.wire_looks import Pattern
from topodraw.draw.faceplate import PortFace, PortSpot
from topodraw.draw.legend import LegendEntry, LegendGroup, port_entries, purposes_legend
from topodraw.draw.port_shapes import port_groups
from topodraw.draw.primitives import Ellipse, Group, Hatch, Rect, Shape, Text, line
from topodraw.draw.theme import Theme

_LINE = 44.0


def cabling_legend(
    scene: Scene, plates: Mapping[str, Plate], found: Geometry, ends: CableEnds, theme: Theme
) -> tuple[LegendGroup, ...]:
    """Purposes, lines, ports, marks and VLANs of one sheet."""
    seen = [strand.look.purpose for strand in scene.strands if strand.look.purpose]
    used = [look for look in scene.looks.values() if look in seen]
    purposes = purposes_legend(tuple(used), theme)
    if any(strand.look.purpose is None and strand.look.kind == "cable" for strand in scene.strands):
        patch = Rect(0, 1, 25, 14, theme.colour("no-purpose"))
        purposes = LegendGroup(
            purposes.heading, (*purposes.entries, LegendEntry((patch,), 44, "none stated"))
        )
    return (
        purposes,
        LegendGroup("speed and medium", tuple(_lines(scene, theme))),
        LegendGroup("ports", tuple(_ports(plates, theme))),
        LegendGroup("marks", tuple(_marks(scene, plates, found, theme))),
        LegendGroup("VLANs on trunks", tuple(_vlans(scene, ends, theme))),
    )


def _lines(scene: Scene, theme: Theme) -> Iterator[LegendEntry]:
    kinds: dict[tuple[Pattern, float], float | None] = {}
    for strand in scene.strands:
        if strand.look.kind == "cable" and not strand.look.out_of_service:
            kinds.setdefault((strand.look.pattern, strand.look.weight), strand.look.speed_bps)
    for pattern, weight in sorted(kinds, key=lambda kind: (kind[0], kind[1])):
        speed = kinds[pattern, weight]
        words = f"{_class_of(weight, speed)} {pattern}"
        yield LegendEntry(_sample(pattern, weight, theme), _LINE, words)
    if any(strand.look.out_of_service for strand in scene.strands):
        yield LegendEntry(_sample("copper", 1.5, theme, True), _LINE, "not in service")
    if any(strand.look.pattern == "bundle" for strand in scene.strands):
        yield LegendEntry(_sample("bundle", 3.4, theme), _LINE, "several, with their number")
    if any(strand.look.pattern == "service" for strand in scene.strands):
        yield LegendEntry(_sample("service", 1.2, theme), _LINE, "rides in other cables")
    yield LegendEntry(
        (
            line(0, 8, 17, 8, theme.ink, 1.5),
            line(27, 8, _LINE, 8, theme.ink, 1.5),
            line(22, 0, 22, 16, theme.ink, 1.5),
        ),
        _LINE,
        "crossing, not joined",
    )


def _class_of(weight: float, speed: float | None) -> str:
    if speed is None:
        return "unknown speed,"
    if weight < 1.4:
        return "below 1G"
    return speed_words(speed) if weight < 3.4 else "25G and more"


def _sample(pattern: Pattern, weight: float, theme: Theme, off: bool = False) -> tuple[Shape, ...]:
    return tuple(line_shapes((((0.0, 8.0), (_LINE, 8.0)),), pattern, weight, theme.ink, theme, off))


def _ports(plates: Mapping[str, Plate], theme: Theme) -> Iterator[LegendEntry]:
    faces = [spot.face for plate in plates.values() for spot in plate.spots]
    yield from port_entries(faces, lambda face: _port(face, theme))
    if any(plate.backs for plate in plates.values()):
        yield LegendEntry(
            (Rect(3, 5, 12, 6, theme.colour("no-purpose"), theme.ink, 0.7),), 22, "rear of a panel's port"
        )


def _port(face: PortFace, theme: Theme) -> Shape:
    wide, high = (15.0, 13.0) if face.kind == "jack" else (17.0, 11.0)
    spot = PortSpot(face, 1, 2, wide, high, "top", "", 0)
    (group,) = port_groups((spot,), theme, face="legend", gear="", labels="inside", within="")
    return Group(group.shapes)


def _marks(scene: Scene, plates: Mapping[str, Plate], found: Geometry, theme: Theme) -> Iterator[LegendEntry]:
    ink = theme.ink
    tags = [words.split(" ") for strand in scene.strands for words in strand.tags]
    if found.ties:
        yield LegendEntry(
            (Ellipse(14, 8, 13, 5.5, stroke=ink, weight=1.1),), 34, "aggregate, with its number"
        )
    if scene.roots & {key[5:] for key in scene.levels if key.startswith("gear:")}:
        box = Rect(0, 0, 38, 17, theme.plate, ink, 1.2)
        yield LegendEntry((box, Text(19, 13, "ROOT", ink, style="bold", anchor="middle")), 38, "root bridge")
    if any("D" in words[1:] for words in tags):
        colour = theme.colour("cable.discarding")
        bars = (line(4, 6, 18, 6, colour, 1.8), line(4, 10, 18, 10, colour, 1.8))
        yield LegendEntry((*bars, Text(24, 12.7, "D", ink, style="mono")), 34, "discarding end")
    if any("P" in words[1:] for words in tags):
        yield LegendEntry((Text(4, 12.7, "P", ink, style="mono"),), 34, "feeds by power over Ethernet")
    states = {gear.state for key in scene.levels if (gear := scene.gear(key))}
    if "planned" in states:
        yield LegendEntry((Rect(0, 1, 34, 14, theme.paper, ink, 1.2, (6, 4)),), 34, "planned")
    if "switched-off" in states:
        yield LegendEntry(
            (Rect(0, 1, 34, 14, Hatch("diagonal", ink, 0.16, 9.0), ink, 1.2),), 34, "switched off"
        )
    if "spare" in states:
        yield LegendEntry((Rect(0, 1, 34, 14, theme.plate, ink, 1.2, (1.5, 2.5)),), 34, "spare")
    if any(plate.form == "elsewhere" for plate in plates.values()):
        yield LegendEntry(
            (Rect(0, 1, 34, 14, theme.paper, ink, 1.1, (9, 3)),), 34, "goes on there, in that square"
        )


def _vlans(scene: Scene, ends: CableEnds, theme: Theme) -> Iterator[LegendEntry]:
    shown: Sequence[str] = [letter for strand in scene.strands for letter in strand.comb]
    for name, letter in ends.letters.items():
        if letter in shown or f"({letter})" in shown:
            vlan = scene.facts.site.vlans[name]
            yield LegendEntry((Text(6, 12.7, letter, theme.ink, style="mono-bold"),), 14, f"{name} {vlan.id}")
    if any(letter.startswith("(") for letter in shown):
        colour = theme.severity("warning")
        ring = Ellipse(8, 8, 7.2, 7.2, stroke=colour, weight=1.4)
        yield LegendEntry((ring,), 18, "needed, not carried")
