"""Quantities: plain arithmetic on the units of ISO 80000 and IEC 80000-13 is the yardstick."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from topodraw.source.quantities import parse_quantity, quantity_pattern

# unit -> (dimension, how many base units it holds), written out by hand from the SI and IEC prefixes
UNITS = {
    ("W", "W"): 1,
    ("W", "kW"): 1000,
    ("VA", "VA"): 1,
    ("VA", "kVA"): 1000,
    ("V", "V"): 1,
    ("A", "A"): 1,
    ("kWh", "kWh"): 1,
    ("m", "mm"): Fraction(1, 1000),
    ("m", "m"): 1,
    ("m", "km"): 1000,
    ("mm", "mm"): 1,
    ("mm", "m"): 1000,
    ("kg", "kg"): 1,
    ("s", "s"): 1,
    ("s", "min"): 60,
    ("s", "h"): 3600,
    ("s", "d"): 86400,
    ("bit/s", "M"): 10**6,
    ("bit/s", "G"): 10**9,
    ("B", "GB"): 10**9,
    ("B", "TB"): 10**12,
    ("B", "MiB"): 2**20,
    ("B", "GiB"): 2**30,
    ("B", "TiB"): 2**40,
    ("%", "%"): Fraction(1, 100),
}


@given(
    whole=st.integers(0, 99_999),
    thousandths=st.integers(0, 999),
    unit=st.sampled_from(sorted(UNITS)),
    space=st.sampled_from(["", " "]),
)
def test_a_quantity_is_its_number_times_its_unit(
    whole: int, thousandths: int, unit: tuple, space: str
) -> None:
    dimension, symbol = unit
    exact = (whole + Fraction(thousandths, 1000)) * UNITS[unit]
    written = f"{whole}.{thousandths:03}{space}{symbol}"
    if dimension in ("bit/s", "B"):
        if exact.denominator == 1:
            assert parse_quantity(written, dimension) == exact
            assert isinstance(parse_quantity(written, dimension), int)
        else:
            with pytest.raises(ValueError, match="whole number"):
                parse_quantity(written, dimension)
    else:
        assert parse_quantity(written, dimension) == float(exact)


@given(st.text(max_size=12), st.sampled_from(sorted({dimension for dimension, _ in UNITS})))
def test_any_other_text_is_refused_in_words(text: str, dimension: str) -> None:
    import re

    if re.search(quantity_pattern(dimension), text):
        parse_quantity(text, dimension)
        return
    with pytest.raises(ValueError, match=r"write|whole"):
        parse_quantity(text, dimension)


@pytest.mark.parametrize(
    ("value", "dimension", "said"),
    [
        (48, "W", "48 lacks a unit: write 48W"),
        (2.5, "bit/s", "2.5 lacks a unit: write 2.5G"),
        ("48", "W", "48 lacks a unit: write 48W"),
        ("48w", "W", "'48w' is not a power: write 48W"),
        ("5m", "W", "'5m' is a length, not a power: write it like 48W (units: W kW)"),
        ("10Gbit/s", "bit/s", "'10Gbit/s' is not a speed: write 10G"),
        ("4Gib", "B", "'4Gib' is not an amount of data: write 4GiB"),
        ("5parsecs", "m", "'5parsecs' has an unknown unit 'parsecs': write it like 0.5m (units: m mm cm km)"),
        ("-5W", "W", "'-5W' is not a power: write it like 48W (units: W kW)"),
        ("1e3W", "W", "'1e3W' has an unknown unit 'e3W': write it like 48W (units: W kW)"),
        (True, "m", "true is not a length: write it like 0.5m (units: m mm cm km)"),
        (None, "%", "nothing is not a share: write it like 80%"),
        ([], "s", "this is not a time: write it like 55min (units: s min h d)"),
    ],
)
def test_what_is_no_quantity_is_told_with_what_to_write(value: object, dimension: str, said: str) -> None:
    with pytest.raises(ValueError, match=r".") as error:
        parse_quantity(value, dimension)
    assert str(error.value) == said


def test_length_in_millimetres_and_metres_agree() -> None:
    assert parse_quantity("0.57m", "mm") == 570.0
    assert parse_quantity("570mm", "m") == 0.57
