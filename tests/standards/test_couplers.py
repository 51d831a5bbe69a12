"""Couplers against IEC 60320-1 (as AS/NZS 60320.1 tabulates it) and feed plugs against their kVA."""

import math

import pytest

from topodraw.standards import couplers, electrical
from topodraw.standards.published import UnknownEntryError


# AS/NZS 60320.1:2004 table and a connector chart.
@pytest.mark.parametrize(
    ("female", "male", "mate"),
    [
        ("C13", "C14", True),
        ("C15", "C16", True),
        ("C15", "C14", True),
        ("C13", "C16", False),
        ("C19", "C20", True),
        ("C13", "C20", False),
        ("C19", "C14", False),
        ("C21", "C22", True),
        ("C21", "C20", True),
        ("C19", "C22", False),
        ("C5", "C6", True),
        ("C7", "C8", True),
        ("C14", "C13", False),
        ("C13", "C13", False),
    ],
)
def test_what_mates(female: str, male: str, mate: bool) -> None:
    assert couplers.mates(female, male) is mate


def test_no_connector_meets_pins_hotter_or_a_current_greater_than_its_own() -> None:
    for female in couplers.COUPLERS.values():
        for name in female.fits_into:
            male = couplers.coupler(name)
            assert female.female
            assert not male.female
            assert male.hot_c <= female.hot_c
            assert male.current_a == female.current_a


# AS/NZS 60320.1:2004: 10 A, 16 A and 2.5 A; North American 15 A and 20 A from a product-safety list.
@pytest.mark.parametrize(
    ("name", "current_a", "north_american_a"), [("C13", 10, 15), ("C20", 16, 20), ("C7", 2.5, None)]
)
def test_rated_currents(name: str, current_a: float, north_american_a: float | None) -> None:
    assert couplers.rated_current_a(name) == current_a
    assert couplers.rated_current_a(name, north_american=True) == north_american_a


def test_an_unknown_coupler_is_refused() -> None:
    with pytest.raises(UnknownEntryError, match=r"no coupler 'C99'.*C13"):
        couplers.mates("C99", "C14")


# NEC 210.20 at 80 %: 15, 20 and 30 A circuits carry 12, 16 and 24 A; three phases give sqrt(3) V I.
@pytest.mark.parametrize(
    ("name", "continuous_a", "kva"),
    [
        ("NEMA 5-15", 12, 1.44),
        ("NEMA L5-20", 16, 1.92),
        ("NEMA L5-30", 24, 2.88),
        ("NEMA L6-30", 24, 4.99),
        ("NEMA L21-20", 16, 5.76),
        ("NEMA L21-30", 24, 8.65),
        ("IEC 60309 60 A 3P+E", 48, 17.3),
    ],
)
def test_feed_plugs_carry_four_fifths_for_hours(name: str, continuous_a: float, kva: float) -> None:
    plug = couplers.FEED_PLUGS[name]
    current_a = plug.current_a * electrical.CONTINUOUS_LOAD_FACTOR.value
    assert current_a == pytest.approx(continuous_a)
    line = {1: 1.0, 3: math.sqrt(3)}[plug.phases]
    assert line * plug.voltage_v * current_a / 1000 == pytest.approx(kva, rel=0.002)


# IEC 60309-2 plugs at full rating: 3.68, 7.36, 11.085 and 22.17 kVA; NEMA L6-20 at 80 %: 3.33 kVA.
@pytest.mark.parametrize(
    ("name", "factor", "kva"),
    [
        ("IEC 60309 16 A blue", 1, 3.68),
        ("IEC 60309 32 A blue", 1, 7.36),
        ("IEC 60309 16 A red", 1, 11.085),
        ("IEC 60309 32 A red", 1, 22.17),
        ("NEMA L6-20", 0.8, 3.33),
        ("NEMA 5-20", 0.8, 1.92),
    ],
)
def test_feed_plugs_by_their_power(name: str, factor: float, kva: float) -> None:
    plug = couplers.FEED_PLUGS[name]
    line = {1: 1.0, 3: math.sqrt(3)}[plug.phases]
    assert line * plug.voltage_v * plug.current_a * factor / 1000 == pytest.approx(kva, rel=0.0015)


# AS/NZS 60320.1:2004 table: rating, pin temperature of the inlet; the North American C21 rating from memory.
def test_the_whole_coupler_table() -> None:
    inlets = {row.name: row[2:6] for row in couplers.COUPLERS.values() if not row.female}
    assert inlets == {
        "C6": (2.5, None, 250, 70),
        "C8": (2.5, None, 250, 70),
        "C14": (10, 15, 250, 70),
        "C16": (10, 15, 250, 120),
        "C20": (16, 20, 250, 70),
        "C22": (16, 20, 250, 155),
    }
    # Each connector is rated like the inlet that is made for it.
    for row in couplers.COUPLERS.values():
        if row.female:
            assert row[2:6] == inlets[row.fits_into[0]]
