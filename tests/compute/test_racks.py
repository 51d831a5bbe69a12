"""Racks: what is where, what is free, what collides, what it weighs.

Units and the mounting side: EIA-310-E / IEC 60297-3-100. Widths and depths side by side: common practice, no
published source.
"""

from __future__ import annotations

from typing import Literal

import pytest

from topodraw.compute.racks import RackOccupancy, rack_occupancy
from topodraw.model.gear import Gear, RackPosition
from topodraw.model.hardware import Hardware
from topodraw.model.places import Place, Rack
from topodraw.model.site import Site, SiteInfo


def mounted(
    name: str,
    unit: int,
    units: int | None = 1,
    side: Literal["front", "rear"] = "front",
    **more: object,
) -> Gear:
    """Gear in rack A at `unit`; `size` keys and gear fields by name."""
    keys = {"width", "depth", "mass"}
    size = {key: value for key, value in more.items() if key in keys}
    if units is not None:
        size["units"] = units
    hardware = Hardware.model_validate({"@name": "m", "function": "server", "size": size})
    fields = {key: value for key, value in more.items() if key not in keys}
    return Gear(name, hardware, {}, position=RackPosition("A", unit, side), **fields)  # type: ignore[arg-type]


def rack_a(gears: list[Gear], units: int = 12, **more: object) -> RackOccupancy:
    rack = Rack.model_validate({"@name": "A", "@place": "comms", "units": units, **more})
    place = Place.model_construct(name="comms", title="Comms room", racks={"A": rack})
    info = SiteInfo(name="Saltmarsh", ref="SMF")
    return rack_occupancy(Site(info, places={"comms": place}, gear={gear.name: gear for gear in gears}))["A"]


def test_taller_gear_fills_upward_and_items_stand_from_the_top_down() -> None:
    rack = rack_a([mounted("ups", 1, 3), mounted("core", 12), mounted("store", 6, 2)])
    assert [(item.gear, item.lowest, item.highest) for item in rack.items] == [
        ("core", 12, 12),
        ("store", 6, 7),
        ("ups", 1, 3),
    ]
    assert rack.used == 6
    assert rack.free == ((8, 11), (4, 5))


def test_a_rack_numbered_from_the_top_still_fills_upward() -> None:
    rack = rack_a([mounted("core", 1), mounted("ups", 12, 3)], numbering="top-down")
    assert [(item.gear, item.lowest, item.highest, item.from_bottom) for item in rack.items] == [
        ("core", 1, 1, 12),
        ("ups", 12, 10, 1),
    ]
    assert rack.free == ((9, 2),)


def test_an_empty_rack_is_one_free_stretch() -> None:
    rack = rack_a([])
    assert (rack.items, rack.used, rack.free, rack.mass_kg) == ((), 0, ((1, 12),), 0)


def test_what_is_not_in_service_keeps_its_space_and_mass() -> None:
    rack = rack_a(
        [
            mounted("later", 3, mass="4kg", state="planned"),
            mounted("cold", 4, mass="5kg", state="switched-off"),
            mounted("shelf-spare", 5, mass="6.5kg", state="spare"),
        ]
    )
    assert (rack.used, rack.mass_kg) == (3, 15.5)


def test_an_unknown_mass_makes_the_sum_unknown_and_names_the_gear() -> None:
    rack = rack_a([mounted("a", 1, mass="4kg"), mounted("b", 2), mounted("c", 3, mass_kg=2.0)])
    assert (rack.mass_kg, rack.known_mass_kg, rack.mass_unknown) == (None, 6.0, ("b",))


def test_nodes_weigh_in_the_rack_of_their_chassis_and_take_no_units() -> None:
    chassis = mounted("chassis", 1, 2, mass="20kg")
    node = Gear("node-1", mounted("n", 1, None, mass="3kg").hardware, {}, node_of="chassis")
    rack = rack_a([chassis, node])
    assert (rack.mass_kg, rack.used, rack.unsized) == (23, 2, ())


def test_two_things_in_one_unit_overlap() -> None:
    rack = rack_a([mounted("a", 4, 3), mounted("b", 6, 2)])
    (overlap,) = rack.overlaps
    assert {overlap.first, overlap.second} == {"a", "b"}
    assert (overlap.lowest, overlap.highest, overlap.by_depth) == (6, 6, False)
    assert rack_a([mounted("a", 4, 3), mounted("b", 7, 2)]).overlaps == ()


@pytest.mark.parametrize(
    ("widths", "pairs"), [(["half", "half"], 0), (["half", "full"], 1), (["half", "half", "half"], 3)]
)
def test_two_of_half_width_share_a_unit_but_not_three(widths: list[str], pairs: int) -> None:
    gears = [mounted(f"g{index}", 5, width=width) for index, width in enumerate(widths)]
    rack = rack_a(gears)
    assert len(rack.overlaps) == pairs
    assert rack.used == 1


@pytest.mark.parametrize(("depth", "collides"), [("400mm", False), ("401mm", True)])
def test_front_and_rear_share_a_unit_where_the_rack_is_deep_enough(depth: str, collides: bool) -> None:
    gears = [mounted("a", 2, depth="600mm"), mounted("b", 2, side="rear", depth=depth)]
    rack = rack_a(gears, depth="1000mm")
    assert [overlap.by_depth for overlap in rack.overlaps] == [True] * collides
    assert rack.used == 1


def test_front_against_rear_of_unknown_depth_is_not_judged() -> None:
    rack = rack_a([mounted("a", 2, depth="600mm"), mounted("b", 2, side="rear")], depth="1000mm")
    assert (rack.overlaps, rack.depth_unknown) == ((), (("a", "b"),))


def test_rear_gear_leaves_the_front_free() -> None:
    rack = rack_a([mounted("pdu", 1, side="rear")], units=3)
    assert (rack.used, rack.free) == (1, ((1, 3),))


@pytest.mark.parametrize(
    ("unit", "units", "numbering"),
    [(12, 2, "bottom-up"), (0, 1, "bottom-up"), (1, 2, "top-down"), (13, 1, "top-down")],
)
def test_gear_beyond_the_rack_is_named_and_counts_only_the_units_inside(
    unit: int, units: int, numbering: str
) -> None:
    rack = rack_a([mounted("tall", unit, units)], numbering=numbering)
    assert (rack.beyond, rack.used) == (("tall",), units - 1)


def test_gear_without_a_height_takes_no_space_and_is_named() -> None:
    rack = rack_a([mounted("mini", 3, None, mass="1kg")])
    assert (rack.unsized, rack.used, rack.items, rack.mass_kg) == (("mini",), 0, (), 1)
