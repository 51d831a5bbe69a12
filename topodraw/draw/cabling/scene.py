"""What one sheet shows: gear in full, and every cable that ends on it, with a reference where the far end is elsewhere."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from topodraw.compute.facts import Facts
from topodraw.draw.cabling.ends import CableEnds, speed_words
from topodraw.draw.cabling.plan import Box, Edge, End, Plan, Ring, Wire
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
from topodraw.draw.cabling.tiers import END_STATIONS, OUTSIDE, Level, Tiers
from topodraw.draw.cabling.wire_looks import Look, cable_look, service_look
from topodraw.draw.theme import PurposeLook
from topodraw.draw.finding_marks import flag_width
from topodraw.model.cabling import Cable
from topodraw.model.cabling import End as CableEnd
from topodraw.model.gear import Gear
from topodraw.model.network import Remote

ABOVE: Level = (-1, 0)
BELOW: Level = (10_000_000, 0)
_DOWNSTAIRS: Level = (20_000_000, 0)
_REFERENCE_ROOM = "W99"
_SHEET_ROOM = "sheet 99"


@dataclass(frozen=True, slots=True)
class Strand:
    """A line to draw before rows are known: what joins which sockets, and how it looks."""

    key: str
    ends: tuple[End, End]
    tags: tuple[str, str]
    look: Look
    label: str = ""
    comb: tuple[str, ...] = ()
    pull: float = 1.0


@dataclass(slots=True)
class Scene:
    """Everything on a sheet before it has a place. Box keys are `gear:NAME`, `remote:NAME`, `away:PLACE`, `group:PLACE`."""

    name: str
    facts: Facts
    tiers: Tiers
    looks: Mapping[str, PurposeLook]
    strands: list[Strand] = field(default_factory=list)
    levels: dict[str, Level] = field(default_factory=dict)
    area_of: dict[str, str] = field(default_factory=dict)
    away: dict[str, list[tuple[str, str, str]]] = field(default_factory=dict)
    """Boxes that refer elsewhere: socket, words, and the gear that they refer to."""
    groups: dict[str, tuple[Words, ...]] = field(default_factory=dict)
    only_used: bool = False
    """Whether ports without a line on this sheet are left out."""
    titles: dict[str, str] = field(default_factory=dict)
    """Heading of a reference or group box."""
    rings: list[Ring] = field(default_factory=list)
    flags: dict[str, tuple[int, ...]] = field(default_factory=dict)
    """Numbers of the findings that stand on a box, by its key."""
    wire_flags: dict[str, tuple[int, ...]] = field(default_factory=dict)
    """Numbers of the findings that stand on a line, by its key."""
    roots: frozenset[str] = frozenset()
    """Gear that is, or is part of, a root bridge."""

    def gear(self, key: str) -> Gear | None:
        """The gear of a box, where it is one."""
        return self.facts.site.gear[key[5:]] if key.startswith("gear:") else None


def detail_scene(
    name: str,
    facts: Facts,
    tiers: Tiers,
    shown: Sequence[str],
    looks: Mapping[str, PurposeLook],
    ends: CableEnds,
) -> Scene:
    """The scene that shows the gear `shown` in full."""
    scene = Scene(name, facts, tiers, looks, roots=root_gear(facts))
    for gear in shown:
        key = f"gear:{gear}"
        scene.levels[key] = tiers.levels[gear]
        scene.area_of[key] = facts.site.gear[gear].place or ""
    inside = frozenset(shown)
    for cable in facts.site.cables.values():
        if any(end.gear in inside for end in cable.ends):
            _add_cable(scene, cable, inside, ends)
    add_services(scene, inside)
    _add_rings(scene)
    return scene


def _add_cable(scene: Scene, cable: Cable, inside: frozenset[str], ends: CableEnds) -> None:
    spots = []
    for end, far in (cable.ends, cable.ends[::-1]):
        spots.append(_spot(scene, cable, end, far, inside))
    tags = tuple(ends.tag(cable, number) for number in (0, 1))
    trunk = ends.trunk(cable)
    scene.strands.append(
        Strand(
            f"cable:{cable.name}",
            (spots[0], spots[1]),
            (tags[0], tags[1]),
            cable_look(cable, scene.facts, scene.looks, ends),
            ends.label(cable) if trunk else "",
            ends.comb(cable) if trunk else (),
            2.0 if trunk else 1.0,
        )
    )


def _spot(scene: Scene, cable: Cable, end: CableEnd, far: CableEnd, inside: frozenset[str]) -> End:
    """Where a cable's end is on this sheet: on gear, on a remote, or on a reference to another sheet."""
    site = scene.facts.site
    if end.remote is not None:
        key = f"remote:{end.remote}"
        scene.levels[key] = OUTSIDE
        scene.area_of.setdefault(key, site.gear[far.gear].place or "" if far.gear else "")
        return End(key, f"cable:{cable.name}")
    gear = site.gear[end.gear or ""]
    port = f"{end.port}:back" if end.back else f"{end.port}"
    if gear.name in inside:
        return End(f"gear:{gear.name}", port)
    own = scene.tiers.levels[gear.name]
    local = scene.tiers.levels[far.gear or ""]
    above = own <= local
    key = f"away:{'above' if above else 'below'}:{gear.place or ''}"
    scene.levels[key] = ABOVE if above else BELOW
    scene.area_of.setdefault(key, site.gear[far.gear or ""].place or "")
    socket = f"{cable.name} {gear.name}/{port}"
    scene.away.setdefault(key, []).append((socket, f"{gear.name}/{port}", gear.name))
    place = site.places[gear.place].title if gear.place else "no place"
    scene.titles[key] = place
    return End(key, socket)


def add_services(scene: Scene, inside: frozenset[str]) -> None:
    """Remotes that end at gear shown here; one without a cable rides in what its gear has."""
    cabled = {end.box for strand in scene.strands for end in strand.ends}
    for remote in scene.facts.site.remotes.values():
        key = f"remote:{remote.name}"
        if remote.by not in inside:
            continue
        scene.levels[key] = OUTSIDE
        scene.area_of.setdefault(key, scene.area_of[f"gear:{remote.by}"])
        if key not in cabled:
            words = "tunnel" if remote.kind == "tunnel" else "service"
            scene.strands.append(
                Strand(
                    f"service:{remote.name}",
                    (End(key, "service"), End(f"gear:{remote.by}", f"service:{remote.name}")),
                    (words, ""),
                    service_look(remote),
                )
            )


def _add_rings(scene: Scene) -> None:
    present = {strand.key for strand in scene.strands}
    for aggregate in scene.facts.site.aggregates.values():
        wires = tuple(f"cable:{name}" for name in aggregate.cables if f"cable:{name}" in present)
        if len(wires) > 1:
            scene.rings.append(Ring(aggregate.name, wires))


@dataclass(frozen=True, slots=True)
class Built:
    """A scene with rows and plates, ready to be placed."""

    plan: Plan
    plates: Mapping[str, Plate]
    rows: Mapping[str, int]


def build(
    scene: Scene,
    room: float,
    ranks: Mapping[str, float],
    socket_x: Mapping[tuple[str, str], float],
    references: Mapping[tuple[str, str], str],
) -> Built:
    """Rows, plates and plan of a scene. `ranks` order boxes from left to right and `socket_x` their listed sockets, as far
    as known; `references` gives for each listed socket what stands behind its words (a grid square on another sheet)."""
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
        rows, _ = rows_for(below, wires, room, backbone, downstairs)
    plates = _plates(scene, rows, socket_x, references)
    return Built(_plan(scene, rows, plates, downstairs), plates, rows)


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
    used = set(scene.area_of.values())
    titles = {place.name: _area_title(scene, place.name) for place in scene.facts.site.places.values()}
    areas = {name: title for name, title in {**titles, "": ""}.items() if name in used}
    joined = []
    for stack in scene.facts.site.stacks.values():
        members = [f"gear:{name}" for name in stack.members if f"gear:{name}" in rows]
        for one, other in zip(members, members[1:], strict=False):
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
    sides = [
        port_row(gear, end.socket) if (gear := scene.gear(end.box)) else None for end in strand.ends
    ]
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
    return {key: _plate(scene, key, uses[key], socket_x, references) for key in scene.levels}


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


def function_words(function: str) -> str:
    """A function as the trade writes it."""
    return function.upper() if function in ("ups", "pdu") else function.replace("-", " ")


def gear_words(gear: Gear, facts: Facts) -> tuple[Words, ...]:
    """What a plate says at its left: name, function, stack, position, state."""
    name = f"{gear.name} ×{gear.count}" if gear.count > 1 else gear.name
    position = f"{gear.position.rack}/U{gear.position.unit}" if gear.position else ""
    function = function_words(gear.function)
    stacks = [stack.name for stack in facts.site.stacks.values() if gear.name in stack.members]
    more: list[Words] = []
    if gear.function == "panel" and position:
        more.append((f"panel {position}", "regular"))
    else:
        more.append((f"{function}, stack {stacks[0]}" if stacks else function, "regular"))
        if position:
            more.append((position, "mono"))
    if gear.state != "in-service":
        more.append((gear.state.replace("-", " "), "regular"))
    if gear.wireless:
        more.append((f"by radio: {gear.wireless}", "regular"))
    return name_words(name, more)


def root_gear(facts: Facts) -> frozenset[str]:
    """Every gear that is a root bridge, or a member of one, where there is more than one bridge."""
    alone = {name for name, bridge in facts.tree.bridges.items() if bridge.root == name}
    led = {bridge.root for name, bridge in facts.tree.bridges.items() if bridge.root != name}
    stacks = facts.site.stacks
    return frozenset(
        member
        for root in sorted(alone & led)
        for member in (stacks[root].members if root in stacks else (root,))
    )


def gear_to_draw(facts: Facts) -> list[str]:
    """All gear that has ports for data or joins by radio, or that no rack sheet shows; in the site's order."""
    cabled = {end.gear for cable in facts.site.cables.values() for end in cable.ends}
    fittings = ("cable-manager", "blank", "shelf", "module")
    return [
        gear.name
        for gear in facts.site.gear.values()
        if gear.name in cabled
        or gear.wireless
        or (gear.function not in fittings and (_data_ports(gear) or gear.position is None) and gear.node_of is None)
    ]


def _data_ports(gear: Gear) -> bool:
    return any(port.hardware.use != "console" for port in gear.ports.values())


def away_order(scene: Scene, xs: Mapping[tuple[str, str], float]) -> dict[tuple[str, str], float]:
    """Where the near ends of strands to listed sockets stand, so that the sockets can stand in that order."""
    found = {}
    for strand in scene.strands:
        for end, other in (strand.ends, strand.ends[::-1]):
            if end.box.startswith(("away:", "group:")):
                found[end.box, end.socket] = xs.get((other.box, other.socket), 0.0)
    return found

