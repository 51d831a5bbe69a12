"""What each rack holds, what is free, and what it weighs."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from topodraw.model.gear import Gear
from topodraw.model.places import Rack
from topodraw.model.site import Site


@dataclass(frozen=True, slots=True)
class RackItem:
    """Gear in a rack: `lowest` to `highest` unit as the rack numbers them.

    Lowest means nearest to the floor, so in a rack that is numbered top-down `lowest` is the larger number.
    """

    gear: str
    lowest: int
    highest: int
    side: Literal["front", "rear"]
    from_bottom: int
    """The unit of its lower edge, counted from 1 at the floor whatever way the rack is numbered."""
    units: int
    half_width: bool


@dataclass(frozen=True, slots=True)
class Overlap:
    """Two things that can't both be where they are said to be."""

    first: str
    second: str
    lowest: int
    highest: int
    """The units they share, as the rack numbers them, the lowest nearest to the floor."""
    by_depth: bool
    """One is mounted at the front and one at the rear, and together they are deeper than the rack."""


@dataclass(frozen=True, slots=True)
class RackOccupancy:
    """One rack: items from the top down, units used, and mass (None where one item's mass is unknown).

    What is planned, switched off or spare keeps its space and mass. Nodes weigh in the rack of their chassis.
    """

    name: str
    units: int
    items: tuple[RackItem, ...]
    used: int
    """Units with something mounted at the front or the rear."""
    free: tuple[tuple[int, int], ...]
    """Stretches of units free at the front from the top down, lowest and highest unit of each."""
    mass_kg: float | None
    known_mass_kg: float
    """Mass of all whose mass is known: the rack holds at least this."""
    mass_unknown: tuple[str, ...]
    """Gear whose mass is not stated."""
    overlaps: tuple[Overlap, ...]
    beyond: tuple[str, ...]
    """Gear that reaches above the top or below the bottom."""
    unsized: tuple[str, ...]
    """Gear said to be in the rack whose height in units is not stated; it takes no space here."""
    depth_unknown: tuple[tuple[str, str], ...]
    """Front and rear gear in the same units that can't be judged for want of a depth."""


def rack_occupancy(site: Site) -> dict[str, RackOccupancy]:
    """Every rack by name, in the order of the places.

    Units follow EIA-310 / IEC 60297: one thing fills whole units; two of half width share them side by side.
    """
    inside: dict[str, list[Gear]] = {name: [] for name in site.racks}
    for gear in site.gear.values():
        holder = gear if gear.node_of is None else site.gear.get(gear.node_of, gear)
        if holder.position is not None and holder.position.rack in inside:
            inside[holder.position.rack].append(gear)
    return {name: _occupancy(site, rack, inside[name]) for name, rack in site.racks.items()}


def rack_unit(rack: Rack, from_bottom: int) -> int:
    """The number that a rack gives to a unit counted from the floor, and the other way round."""
    return from_bottom if rack.numbering == "bottom-up" else rack.units + 1 - from_bottom


def mass_of(gear: Gear) -> float | None:
    """The mass of one gear in kg: its own statement, else its hardware's."""
    if gear.mass_kg is not None:
        return gear.mass_kg
    return gear.hardware.size.mass_kg if gear.hardware.size else None


def _occupancy(site: Site, rack: Rack, inside: list[Gear]) -> RackOccupancy:
    mounted = [gear for gear in inside if gear.node_of is None]
    items = [item for gear in mounted if (item := _item(rack, gear)) is not None]
    items.sort(key=lambda item: (-(item.from_bottom + item.units), item.side, item.gear))
    overlaps, depth_unknown = _overlaps(site, rack, items)
    masses = {gear.name: mass_of(gear) for gear in inside}
    known = round(sum(mass for mass in masses.values() if mass is not None), 6)
    unknown = tuple(sorted(name for name, mass in masses.items() if mass is None))
    return RackOccupancy(
        name=rack.name,
        units=rack.units,
        items=tuple(items),
        used=len(_filled(rack, items)),
        free=_stretches(rack, _filled(rack, (item for item in items if item.side == "front"))),
        mass_kg=None if unknown else known,
        known_mass_kg=known,
        mass_unknown=unknown,
        overlaps=overlaps,
        beyond=tuple(sorted(item.gear for item in items if _is_beyond(rack, item))),
        unsized=tuple(sorted(gear.name for gear in mounted if gear.units is None)),
        depth_unknown=depth_unknown,
    )


def _item(rack: Rack, gear: Gear) -> RackItem | None:
    if gear.position is None or gear.units is None:
        return None
    from_bottom = rack_unit(rack, gear.position.unit)
    return RackItem(
        gear=gear.name,
        lowest=gear.position.unit,
        highest=rack_unit(rack, from_bottom + gear.units - 1),
        side=gear.position.mounted,
        from_bottom=from_bottom,
        units=gear.units,
        half_width=gear.hardware.size is not None and gear.hardware.size.width == "half",
    )


def _is_beyond(rack: Rack, item: RackItem) -> bool:
    return item.from_bottom < 1 or item.from_bottom + item.units - 1 > rack.units


def _filled(rack: Rack, items: Iterable[RackItem]) -> set[int]:
    """The units of the rack that items fill, counted from the floor."""
    places = (unit for item in items for unit in range(item.from_bottom, item.from_bottom + item.units))
    return {unit for unit in places if 1 <= unit <= rack.units}


def _stretches(rack: Rack, filled: set[int]) -> tuple[tuple[int, int], ...]:
    stretches: list[tuple[int, int]] = []
    top: int | None = None
    for unit in range(rack.units, -1, -1):
        is_free = unit >= 1 and unit not in filled
        if is_free and top is None:
            top = unit
        elif not is_free and top is not None:
            stretches.append((rack_unit(rack, unit + 1), rack_unit(rack, top)))
            top = None
    return tuple(stretches)


def _overlaps(
    site: Site, rack: Rack, items: list[RackItem]
) -> tuple[tuple[Overlap, ...], tuple[tuple[str, str], ...]]:
    crowded = _crowded_units(items)
    overlaps, depth_unknown = [], []
    for index, one in enumerate(items):
        for two in items[index + 1 :]:
            shared = range(
                max(one.from_bottom, two.from_bottom),
                min(one.from_bottom + one.units, two.from_bottom + two.units),
            )
            if not shared:
                continue
            if one.side != two.side:
                deeper = _deeper_than_rack(rack, site.gear[one.gear], site.gear[two.gear])
                if deeper is None:
                    depth_unknown.append((one.gear, two.gear))
                if not deeper:
                    continue
            elif not any((one.side, unit) in crowded for unit in shared):
                continue
            lowest, highest = rack_unit(rack, shared[0]), rack_unit(rack, shared[-1])
            overlaps.append(Overlap(one.gear, two.gear, lowest, highest, one.side != two.side))
    return tuple(overlaps), tuple(depth_unknown)


def _crowded_units(items: list[RackItem]) -> set[tuple[str, int]]:
    """Side and unit (from the floor) where more is mounted than one full width or two half widths."""
    halves: dict[tuple[str, int], int] = {}
    for item in items:
        for unit in range(item.from_bottom, item.from_bottom + item.units):
            key = (item.side, unit)
            halves[key] = halves.get(key, 0) + (1 if item.half_width else 2)
    return {key for key, count in halves.items() if count > 2}


def _deeper_than_rack(rack: Rack, one: Gear, two: Gear) -> bool | None:
    depths = [gear.hardware.size.depth_mm if gear.hardware.size else None for gear in (one, two)]
    if rack.depth_mm is None or depths[0] is None or depths[1] is None:
        return None
    return depths[0] + depths[1] > rack.depth_mm
