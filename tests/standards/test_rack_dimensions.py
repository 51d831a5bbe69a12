"""Rack dimensions against EIA-310-D/E, in inches as that standard gives them."""

import itertools

import pytest

from topodraw.standards import rack_dimensions as rack

_INCH_MM = 25.4


# EIA-310: 1 U = 1.75 in, panel 19 in, hole centres 18 5/16 in (rounded), holes 5/8 + 5/8 + 1/2 in apart.
def test_the_dimensions_are_the_inch_ones() -> None:
    assert pytest.approx(1.75 * _INCH_MM) == rack.UNIT_MM.value
    assert pytest.approx(19 * _INCH_MM) == rack.PANEL_WIDTH_MM.value
    assert pytest.approx(18.3125 * _INCH_MM, abs=0.05) == rack.HOLE_CENTRES_ACROSS_MM.value
    assert pytest.approx(0.625 * _INCH_MM) == rack.RAIL_FACE_MM.value
    assert rack.CLEAR_OPENING_MM.value <= 17.75 * _INCH_MM < rack.PANEL_WIDTH_MM.value


# EIA-310 panels of one, two and four units, as public rail templates have them: 43.66, 88.11, 177.01 mm.
@pytest.mark.parametrize(("units", "height_mm"), [(1, 43.66), (2, 88.11), (4, 177.01)])
def test_a_panel_is_a_little_lower_than_its_units(units: int, height_mm: float) -> None:
    assert rack.panel_height_mm(units) == pytest.approx(height_mm, abs=0.005)


def test_a_panel_has_at_least_one_unit() -> None:
    with pytest.raises(ValueError, match="0 units"):
        rack.panel_height_mm(0)


# EIA-310 universal hole pattern: 6.35, 22.225, 38.10 mm, and again from the next unit line.
def test_the_hole_pattern_repeats_each_unit() -> None:
    holes = rack.hole_centres_mm(3)
    assert holes[:3] == (6.35, 22.225, 38.10)
    steps = [high - low for low, high in itertools.pairwise(holes)]
    assert steps == pytest.approx([15.875, 15.875, 12.70] * 2 + [15.875, 15.875])


# Arithmetic on 44.45 mm: 42 U make 1,866.9 mm of mounting space.
def test_a_rack_of_42_units() -> None:
    assert rack.opening_height_mm(42) == pytest.approx(1866.9)


# From memory: the cabinets that the trade sells, and the cautions' limits. EIA-310 itself sets no depth.
def test_customary_cabinets_and_cautions() -> None:
    assert rack.COMMON_HEIGHTS_UNITS.value == (6, 9, 12, 15, 18, 24, 42, 45, 47, 48)
    assert rack.COMMON_DEPTHS_MM.value == (600, 800, 1000, 1070, 1200)
    assert rack.CENTRE_OF_MASS_WARNING.value == 0.5
    assert rack.TWO_PERSON_LIFT_KG.value == 18
