"""What one sheet shows: gear in full, and every cable that ends on it, with a reference where the far end
is elsewhere."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from topodraw.compute.facts import Facts
from topodraw.draw import text_metrics
from topodraw.draw.cabling.ends import CableEnds
from topodraw.draw.cabling.plan import End, Ring
from topodraw.draw.cabling.plates import (
    Words,
    name_words,
)
from topodraw.draw.cabling.tiers import OUTSIDE, Level, Tiers
from topodraw.draw.cabling.wire_looks import Look, cable_look, service_look
from topodraw.draw.primitives import TEXT_SIZE
from topodraw.draw.theme import PurposeLook
from topodraw.model.cabling import Cable
from topodraw.model.cabling import End as CableEnd
from topodraw.model.gear import Gear

ABOVE: Level = (-1, 0)
_AWAY_NAME = 130.0
"""Room for the name of gear on another sheet, in px."""
BELOW: Level = (10_000_000, 0)
SHARED = "\N{MULTIPLICATION SIGN}"
"""Between a port's name and the number of the cable in it, where several claim it."""
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
    trunk: tuple[str, ...] = ()
    """The ends of the link that it is part of, where its VLANs are worth telling."""


@dataclass(slots=True)
class Scene:
    """Everything on a sheet before it has a place. Box keys are `gear:NAME`, `remote:NAME`, `away:PLACE`,
    `group:PLACE`."""

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
    _part_shared_ports(scene)
    return scene


def _part_shared_ports(scene: Scene) -> None:
    """Cables that claim the same port (a mistake that a finding tells) get sockets side by side there."""
    taken: dict[tuple[str, str], int] = {}
    for place, strand in enumerate(scene.strands):
        ends = []
        for end in strand.ends:
            times = taken[end.box, end.socket] = taken.get((end.box, end.socket), 0) + 1
            ends.append(end if times == 1 else End(end.box, f"{end.socket}{SHARED}{times}"))
        scene.strands[place] = replace(strand, ends=(ends[0], ends[1]))


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
            ends.link_of[cable.name].ends if trunk else (),
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
    # Here a long name may be cut: it stands in full on the sheet that this refers to.
    name = text_metrics.fit(gear.name, _AWAY_NAME, TEXT_SIZE, "mono")
    scene.away.setdefault(key, []).append((socket, f"{name}/{port}", gear.name))
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
    """All gear that has ports for data, joins by radio, or is on no rack sheet; in the site's order."""
    cabled = {end.gear for cable in facts.site.cables.values() for end in cable.ends}
    fittings = ("cable-manager", "blank", "shelf", "module")
    return [
        gear.name
        for gear in facts.site.gear.values()
        if gear.name in cabled
        or gear.wireless
        or (
            gear.function not in fittings
            and (_data_ports(gear) or gear.position is None)
            and gear.node_of is None
        )
    ]


def _data_ports(gear: Gear) -> bool:
    return any(port.hardware.use != "console" for port in gear.ports.values())
