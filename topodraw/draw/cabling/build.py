"""A scene made ready to be placed: rows for its tiers, plates for its boxes, wires for its strands."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from topodraw.draw.cabling.ends import speed_words
from topodraw.draw.cabling.panel_plate import panel_plate
from topodraw.draw.cabling.plan import Box, Edge, Plan, Socket, Wire
from topodraw.draw.cabling.plates import (
    Plate,
    Use,
    Words,
    gear_plate,
    listing_plate,
    name_words,
    remote_plate,
)
from topodraw.draw.cabling.rows import Standing, rows_for
from topodraw.draw.cabling.scene import BELOW, SHARED, Scene, Strand, gear_words
from topodraw.draw.cabling.tiers import END_STATIONS, Level
from topodraw.draw.finding_marks import flag_width
from topodraw.model.gear import Gear
from topodraw.model.network import Remote

_DOWNSTAIRS: Level = (20_000_000, 0)
_REFERENCE_ROOM = "W99"
_SHEET_ROOM = "sheet 99"
_SHIFT = 7.5


@dataclass(frozen=True, slots=True)
class Built:
    """A scene with rows and plates, ready to be placed."""

    plan: Plan
    plates: Mapping[str, Plate]
    rows: Mapping[str, int]
    width: float
    """What the areas take side by side, in px."""


def build(
    scene: Scene,
    room: float,
    ranks: Mapping[str, float],
    socket_x: Mapping[tuple[str, str], float],
    references: Mapping[tuple[str, str], str],
) -> Built:
    """Rows, plates and plan of a scene. `ranks` order boxes from left to right and `socket_x` their listed
    sockets, as far as known; `references` gives for each listed socket what stands behind its words (a grid
    square on another sheet)."""
    ordered = sorted(set(scene.levels.values()))
    by_level = {key: ordered.index(level) for key, level in scene.levels.items()}
    plates = _plates(scene, by_level, socket_x, references)
    things = {
        key: Standing(level, scene.area_of[key], plates[key].width, ranks.get(key, float(place)))
        for place, (key, level) in enumerate(scene.levels.items())
    }
    wires = [(strand.ends[0].box, strand.ends[1].box) for strand in scene.strands]
    backbone = frozenset(scene.tiers.levels[name] for name in scene.tiers.backbone)
    rows, width = rows_for(things, wires, room, backbone, frozenset())
    downstairs: frozenset[str] = frozenset()
    if width > room:
        downstairs = _leaf_areas(scene)
        below = {
            key: replace(thing, level=_DOWNSTAIRS) if thing.area in downstairs else thing
            for key, thing in things.items()
        }
        rows, width = rows_for(below, wires, room, backbone, downstairs)
    plates = _plates(scene, rows, socket_x, references)
    return Built(_plan(scene, rows, plates, downstairs), plates, rows, width)


def _leaf_areas(scene: Scene) -> frozenset[str]:
    """Areas that hold nothing but end stations, unless all do."""
    least = {
        area: min(scene.levels[key] for key, own in scene.area_of.items() if own == area)
        for area in scene.area_of.values()
    }
    leaves = frozenset(area for area, level in least.items() if END_STATIONS <= level < BELOW)
    return leaves if len(leaves) < len(least) else frozenset()


def _plan(
    scene: Scene, rows: Mapping[str, int], plates: Mapping[str, Plate], downstairs: frozenset[str]
) -> Plan:
    boxes = []
    for key, plate in plates.items():
        inside = key.startswith(("gear:", "group:"))
        boxes.append(
            Box(key, plate.width, plate.height, rows[key], scene.area_of[key], inside, plate.sockets)
        )
    wires = tuple(
        Wire(
            strand.key,
            strand.ends,
            strand.tags,
            strand.label,
            strand.comb,
            flags_room(scene.wire_flags.get(strand.key, ())),
            strand.pull,
            _level_side(scene, strand),
        )
        for strand in scene.strands
    )
    used = dict.fromkeys(scene.area_of.values())
    titles = {place.name: _area_title(scene, place.name) for place in scene.facts.site.places.values()}
    areas = {name: titles.get(name, "") for name in [*titles, *used] if name in used}
    joined = []
    for stack in scene.facts.site.stacks.values():
        members = [f"gear:{name}" for name in stack.members if f"gear:{name}" in rows]
        for one, other in itertools.pairwise(members):
            if rows[one] == rows[other] and scene.area_of[one] == scene.area_of[other]:
                joined.append((one, other))
    return Plan(scene.name, tuple(boxes), wires, areas, tuple(scene.rings), tuple(joined), downstairs)


def _area_title(scene: Scene, place: str) -> str:
    racks = {
        gear.position.rack
        for key in scene.area_of
        if (gear := scene.gear(key)) and gear.place == place and gear.position
    }
    title = scene.facts.site.places[place].title
    return f"{title}, rack {min(racks)}" if len(racks) == 1 else title


def flags_room(numbers: Sequence[int]) -> float:
    """Width that the flags of findings take side by side, in px."""
    return sum(flag_width(number) + 4 for number in numbers)


def port_row(gear: Gear, name: str) -> Edge | None:
    """The row that a port is in on a faceplate of two rows; None where there is only one."""
    if gear.function == "panel" or name not in gear.hardware.ports:
        return None
    rows = gear.hardware.ports[name].rows or (2 if len(gear.hardware.ports) >= 7 else 1)
    if rows == 1:
        return None
    group = [port.name for port in gear.ports.values() if port.group == gear.ports[name].group]
    return "bottom" if group.index(name) % 2 else "top"


def _level_side(scene: Scene, strand: Strand) -> Edge:
    sides = [port_row(gear, end.socket) if (gear := scene.gear(end.box)) else None for end in strand.ends]
    return "bottom" if sides == ["bottom", "bottom"] else "top"


def leaving(scene: Scene, rows: Mapping[str, int], strand: Strand) -> tuple[Edge, Edge]:
    """The edges by which a strand leaves its two ends."""
    one, other = (rows[end.box] for end in strand.ends)
    if one == other:
        side = _level_side(scene, strand)
        return (side, side)
    return ("bottom", "top") if one < other else ("top", "bottom")


def _plates(
    scene: Scene,
    rows: Mapping[str, int],
    socket_x: Mapping[tuple[str, str], float],
    references: Mapping[tuple[str, str], str],
) -> dict[str, Plate]:
    uses: dict[str, dict[str, Use]] = {key: {} for key in scene.levels}
    for strand in scene.strands:
        for end, edge in zip(strand.ends, leaving(scene, rows, strand), strict=True):
            known = uses[end.box].get(end.socket)
            leaves = (*(known.leaves if known else ()), edge)
            uses[end.box][end.socket] = Use(strand.look.purpose, leaves)
    plates = {}
    for key in scene.levels:
        shared = [socket for socket in uses[key] if SHARED in socket and not key.startswith("away:")]
        for socket in shared:
            base = socket.partition(SHARED)[0]
            use = uses[key].pop(socket)
            known = uses[key].get(base, use)
            uses[key][base] = Use(known.look, (*known.leaves, *use.leaves))
        plate = _plate(scene, key, uses[key], socket_x, references)
        extra = {socket: _beside(plate.sockets, socket) for socket in shared}
        plates[key] = replace(plate, sockets={**plate.sockets, **extra})
    return plates


def _beside(sockets: Mapping[str, Socket], socket: str) -> Socket:
    """The socket of a further cable in one port, at the port's side."""
    base, _, number = socket.partition(SHARED)
    return replace(sockets[base], x=sockets[base].x + _SHIFT * (int(number) - 1))


def _plate(
    scene: Scene,
    key: str,
    uses: Mapping[str, Use],
    socket_x: Mapping[tuple[str, str], float],
    references: Mapping[tuple[str, str], str],
) -> Plate:
    gear = scene.gear(key)
    if gear:
        loose = {socket: use.leaves[0] for socket, use in uses.items() if ":" in socket and _loose(socket)}
        ports = {socket: use for socket, use in uses.items() if socket not in loose}
        if gear.function == "panel":
            return panel_plate(
                gear, gear_words(gear, scene.facts), ports, flags_room(scene.flags.get(key, ()))
            )
        return gear_plate(
            gear,
            gear_words(gear, scene.facts),
            ports,
            scene.only_used,
            loose,
            flags_room(scene.flags.get(key, ())),
            gear.name in scene.roots,
        )
    if key.startswith("remote:"):
        remote = scene.facts.site.remotes[key[7:]]
        more: list[Words] = [(remote_words(remote), "regular")]
        return remote_plate(name_words(remote.name, more), list(uses), flags_room(scene.flags.get(key, ())))
    if key.startswith("group:"):
        edge: Edge = "top"
        order = sorted(uses, key=lambda socket: socket_x.get((key, socket), 0.0))
        return listing_plate("group", scene.groups[key], [(socket, "") for socket in order], edge)
    entries = sorted(scene.away[key], key=lambda entry: socket_x.get((key, entry[0]), 0.0))
    listed = [
        (socket, f"{words} {references.get((key, gear), _REFERENCE_ROOM)}") for socket, words, gear in entries
    ]
    edge = "bottom" if key.startswith("away:above") else "top"
    sheet = references.get((key, ""), _SHEET_ROOM)
    words = name_words(scene.titles[key], [(sheet, "regular")])
    return listing_plate("elsewhere", words, listed, edge)


def _loose(socket: str) -> bool:
    return socket.startswith(("service:", "bundle:"))


def remote_words(remote: Remote) -> str:
    """What a remote is, in a few words."""
    rate = speed_words(remote.rate_bps) if remote.rate_bps else ""
    return ", ".join(part for part in (remote.kind, rate, *map(str, remote.subnets)) if part)


def away_order(scene: Scene, xs: Mapping[tuple[str, str], float]) -> dict[tuple[str, str], float]:
    """Where the near ends of strands to listed sockets stand, so that the sockets can stand in that order."""
    found = {}
    for strand in scene.strands:
        for end, other in (strand.ends, strand.ends[::-1]):
            if end.box.startswith(("away:", "group:")):
                found[end.box, end.socket] = xs.get((other.box, other.socket), 0.0)
    return found
