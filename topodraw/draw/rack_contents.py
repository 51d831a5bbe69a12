"""What a rack sheet shows, gathered from the facts as plain values: every gear with its faces, before any
drawing.

Which side of a gear its ports are on is not modelled: those of servers, storage and power gear are drawn at
its back, all others at its faceplate, a panel's at both (common practice, no published source).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Literal

from topodraw.compute.facts import Facts
from topodraw.compute.racks import RackItem
from topodraw.draw.faceplate import PortFace
from topodraw.draw.rack_power import InletFace, inlet_faces, outlets_used, power_strip_keys
from topodraw.draw.theme import PurposeLook
from topodraw.model.gear import Gear
from topodraw.model.site import Site

Side = Literal["front", "rear"]
_PORTS_AT_BACK = ("server", "storage", "ups", "pdu", "transfer-switch", "workstation", "converter")
_WORDS = {"panel": "patch panel", "pdu": "power strip", "ups": "UPS"}


@dataclass(frozen=True, slots=True)
class Face:
    """One side of a gear: ports, outlets and inlets as seen from there."""

    ports: tuple[PortFace, ...] = ()
    outlets: tuple[PortFace, ...] = ()
    inlets: tuple[InletFace, ...] = ()


@dataclass(frozen=True, slots=True)
class Node:
    """A node in a chassis."""

    name: str
    words: str
    state: str
    ports: tuple[PortFace, ...]


@dataclass(frozen=True, slots=True)
class Occupant:
    """One gear in a rack. `lowest` and `highest` are unit numbers of the rack; `lane` of `lanes` says where
    it stands where several share its units: half-width gear, or a mistake. `depth_mm` is None where it is not
    stated."""

    name: str
    words: str
    function: str
    lowest: int
    highest: int
    side: Side
    state: str
    faceplate: Face
    back: Face
    nodes: tuple[Node, ...]
    depth_mm: float | None
    airflow: str | None
    remark: str
    lane: int = 0
    lanes: int = 1

    @property
    def units(self) -> int:
        """Height in units."""
        return self.highest - self.lowest + 1


@dataclass(frozen=True, slots=True)
class RackContents:
    """A rack and what is in it. `outside` are gear whose units the rack doesn't have."""

    name: str
    place: str
    units: int
    top_down: bool
    depth_mm: float | None
    max_load_kg: float | None
    mass_kg: float
    """Mass of all gear whose mass is known."""
    mass_unknown: tuple[str, ...]
    unsized: tuple[str, ...]
    """Gear said to be in the rack whose height in units is not stated."""
    used: int
    occupants: tuple[Occupant, ...]
    outside: tuple[Occupant, ...]
    strip_keys: Mapping[str, str]


def rack_contents(facts: Facts, rack_name: str, looks: Mapping[str, PurposeLook]) -> RackContents:
    """The contents of one rack, items from the top down."""
    site, occupancy = facts.site, facts.racks[rack_name]
    rack = site.racks[rack_name]
    names = [item.gear for item in occupancy.items]
    nodes = [gear.name for gear in site.gear.values() if gear.node_of in names]
    keys = power_strip_keys(site, [*names, *nodes])
    cables = _looks_by_port(site, looks)
    occupants = [_occupant(site, item, keys, cables) for item in occupancy.items]
    inside = [each for each in occupants if each.lowest >= 1 and each.highest <= rack.units]
    return RackContents(
        name=rack_name,
        place=site.places[rack.place].title,
        units=rack.units,
        top_down=rack.numbering == "top-down",
        depth_mm=rack.depth_mm,
        max_load_kg=rack.max_load_kg,
        mass_kg=occupancy.known_mass_kg,
        mass_unknown=occupancy.mass_unknown,
        unsized=occupancy.unsized,
        used=occupancy.used,
        occupants=tuple(_in_lanes(inside)),
        outside=tuple(each for each in occupants if each not in inside),
        strip_keys=keys,
    )


_CablesByPort = Mapping[tuple[str, str, bool], PurposeLook | None]


def _looks_by_port(site: Site, looks: Mapping[str, PurposeLook]) -> _CablesByPort:
    """The look of the cable in each port (gear, port, whether at the back); planned cables are in none
    yet."""
    found: dict[tuple[str, str, bool], PurposeLook | None] = {}
    for cable in site.cables.values():
        if cable.state == "planned":
            continue
        for end in cable.ends:
            if end.gear is not None and end.port is not None:
                found[end.gear, end.port, end.back] = looks.get(cable.purpose) if cable.purpose else None
    return found


def _occupant(site: Site, item: RackItem, keys: Mapping[str, str], cables: _CablesByPort) -> Occupant:
    gear = site.gear[item.gear]
    size = gear.hardware.size
    outlets = _outlets(site, gear)
    inlets = inlet_faces(site, gear.name, keys)
    front, behind = _ports(gear, cables, back=False), _ports(gear, cables, back=True)
    if gear.function == "panel":
        faceplate, back = Face(front), Face(behind, inlets=inlets)
    elif gear.function == "pdu":
        faceplate, back = Face(front, outlets, inlets), Face()
    elif gear.function in _PORTS_AT_BACK:
        faceplate, back = Face(), Face(front, outlets, inlets)
    else:
        faceplate, back = Face(front), Face((), outlets, inlets)
    nodes = tuple(
        Node(node.name, _words(site, node), node.state, _ports(node, cables, back=False))
        for node in site.gear.values()
        if node.node_of == gear.name
    )
    power = gear.hardware.power
    return Occupant(
        name=gear.name,
        words=_words(site, gear),
        function=gear.function,
        lowest=min(item.lowest, item.highest),
        highest=max(item.lowest, item.highest),
        side=item.side,
        state=gear.state,
        faceplate=faceplate,
        back=back,
        nodes=nodes,
        depth_mm=size.depth_mm if size else None,
        airflow=gear.hardware.airflow,
        remark=f"{power.capacity_w:g} W" if power and power.capacity_w else "",
        lanes=2 if size and size.width == "half" else 1,
    )


def _words(site: Site, gear: Gear) -> str:
    words = _WORDS.get(gear.function, gear.function.replace("-", " "))
    for stack in site.stacks.values():
        if gear.name in stack.members:
            words += f", {stack.name} {stack.members.index(gear.name) + 1}"
    size = gear.hardware.size
    if size and size.nodes:
        words = f"{size.nodes}-node chassis"
    return words


def _ports(gear: Gear, cables: _CablesByPort, *, back: bool) -> tuple[PortFace, ...]:
    return tuple(
        PortFace(
            name=port.name,
            kind="cage" if port.hardware.cage else "jack",
            used=(gear.name, port.name, back) in cables,
            look=cables.get((gear.name, port.name, back)),
            shut=port.shut,
            group=port.group,
            rows=port.hardware.rows,
        )
        for port in gear.ports.values()
    )


def _outlets(site: Site, gear: Gear) -> tuple[PortFace, ...]:
    power = gear.hardware.power
    if power is None:
        return ()
    used = outlets_used(site, gear.name)
    rows = 1 if len(power.outlets) <= 10 else 2
    couplers = list(dict.fromkeys(outlet.coupler for outlet in power.outlets.values()))
    return tuple(
        PortFace(name, "outlet", used=name in used, group=couplers.index(outlet.coupler), rows=rows)
        for name, outlet in power.outlets.items()
    )


def _in_lanes(occupants: list[Occupant]) -> list[Occupant]:
    """Gives gear that shares units on one side a place beside each other."""
    placed: list[Occupant] = []
    for each in occupants:
        taken = {other.lane for other in placed if _share_units(each, other)}
        placed.append(replace(each, lane=next(lane for lane in range(len(occupants)) if lane not in taken)))
    return [replace(each, lanes=max(each.lanes, _most_lanes(each, placed))) for each in placed]


def _most_lanes(start: Occupant, occupants: list[Occupant]) -> int:
    """Lanes needed by all that a gear shares units with, directly or through others."""
    joined = [start]
    for each in joined:
        joined += [other for other in occupants if other not in joined and _share_units(each, other)]
    return 1 + max(each.lane for each in joined)


def _share_units(one: Occupant, other: Occupant) -> bool:
    return one.side == other.side and one.lowest <= other.highest and one.highest >= other.lowest
