"""Quantities with their unit, such as `48W`, `0.5m`, `2.5G`, `55min`, to plain numbers in one base unit each.

Speeds also go back to text.

Units are those of ISO 80000; decimal and binary bytes (GB, GiB) are those of IEC 80000-13.
"""

from __future__ import annotations

import re
from decimal import Decimal
from functools import lru_cache
from typing import NamedTuple


class _Dimension(NamedTuple):
    """What is measured, and its units by how many base units each holds; the first unit is the usual one."""

    what: str
    units: dict[str, Decimal]
    whole: bool = False


def _units(**factors: str) -> dict[str, Decimal]:
    return {unit: Decimal(factor) for unit, factor in factors.items()}


_DECIMAL_BYTES = {f"{prefix}B": Decimal(1000) ** power for power, prefix in enumerate("kMGTP", 1)}
_BINARY_BYTES = {f"{prefix}iB": Decimal(1024) ** power for power, prefix in enumerate("KMGTP", 1)}

_DIMENSIONS = {
    "W": _Dimension("a power", _units(W="1", kW="1000")),
    "VA": _Dimension("an apparent power", _units(VA="1", kVA="1000")),
    "V": _Dimension("a voltage", _units(V="1", kV="1000")),
    "A": _Dimension("a current", _units(A="1", mA="0.001")),
    "kWh": _Dimension("an energy", _units(kWh="1", Wh="0.001")),
    "m": _Dimension("a length", _units(m="1", mm="0.001", cm="0.01", km="1000")),
    "mm": _Dimension("a length", _units(mm="1", cm="10", m="1000", km="1000000")),
    "kg": _Dimension("a mass", _units(kg="1", g="0.001", t="1000")),
    "kg/m2": _Dimension("a floor load", {"kg/m2": Decimal(1), "kg/m²": Decimal(1)}),
    "s": _Dimension("a time", _units(s="1", min="60", h="3600", d="86400")),
    "bit/s": _Dimension("a speed", _units(G="1e9", M="1e6", k="1e3", T="1e12"), whole=True),
    "B": _Dimension(
        "an amount of data",
        {"GB": Decimal(10) ** 9, "GiB": Decimal(1024) ** 3, **_DECIMAL_BYTES, **_BINARY_BYTES},
        whole=True,
    ),
    "%": _Dimension("a share", {"%": Decimal("0.01")}),
}

_SAMPLES = {
    "bit/s": "2.5G", "B": "64GiB", "%": "80%", "s": "55min", "mm": "320mm", "m": "0.5m", "kg": "5.1kg",
    "V": "230V", "A": "16A", "kg/m2": "500kg/m2",
}  # fmt: skip

_SPEED_UNITS = ((10**12, "T"), (10**9, "G"), (10**6, "M"), (10**3, "k"))
_NUMBER = r"(?:[0-9]{1,15}(?:\.[0-9]{1,9})?|\.[0-9]{1,9})"
_QUANTITY = re.compile(rf"({_NUMBER}) ?(\S*)")


def parse_quantity(value: object, dimension: str) -> float | int:
    """The number of base units of `dimension` (`W VA V A kWh m mm kg kg/m2 s bit/s B %`) that `value` says.

    `%` gives a fraction (`80%` is 0.8); `bit/s` and `B` give whole numbers. Raises ValueError, with what to
    write instead, for a bare number, a unit of something else, or text that is no quantity at all.
    """
    if isinstance(value, str):
        return _parse(value, dimension)
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        raise ValueError(_lacks_unit(str(value), dimension))
    shown = "nothing" if value is None else str(value).lower() if isinstance(value, bool) else "this"
    raise ValueError(f"{shown} is not {_DIMENSIONS[dimension].what}: {_how(dimension)}")


def quantity_pattern(dimension: str) -> str:
    """A regular expression (ECMA 262) for the quantities of `dimension`, for the language's JSON Schema."""
    units = "|".join(sorted(map(re.escape, _DIMENSIONS[dimension].units)))
    return rf"^{_NUMBER} ?({units})$"


def quantity_sample(dimension: str) -> str:
    """A quantity of `dimension` as one would write it: `320mm`."""
    return _SAMPLES.get(dimension, f"48{next(iter(_DIMENSIONS[dimension].units))}")


def speed_text(speed_bps: int | None) -> str:
    """A speed in bit/s as the source writes it, `2.5G`; empty where it is unknown."""
    if speed_bps is None:
        return ""
    for factor, unit in _SPEED_UNITS:
        if speed_bps >= factor:
            return f"{speed_bps / factor:g}{unit}"
    return str(speed_bps)


@lru_cache(maxsize=4096)
def _parse(text: str, dimension: str) -> float | int:
    what, units, whole = _DIMENSIONS[dimension]
    match = _QUANTITY.fullmatch(text)
    if not match:
        raise ValueError(f"{text!r} is not {what}: {_how(dimension)}")
    number, unit = match.groups()
    if not unit:
        raise ValueError(_lacks_unit(text, dimension))
    factor = units.get(unit)
    if factor is None:
        raise ValueError(_wrong_unit(text, number, unit, dimension))
    base = Decimal(number) * factor
    if not whole:
        return float(base)
    if base != base.to_integral_value():
        raise ValueError(
            f"{text!r} is not a whole number of {'bits a second' if unit in 'kMGT' else 'bytes'}"
        )
    return int(base)


def _lacks_unit(number: str, dimension: str) -> str:
    return f"{number} lacks a unit: write {number}{next(iter(_DIMENSIONS[dimension].units))}"


def _how(dimension: str) -> str:
    units = list(_DIMENSIONS[dimension].units)
    listed = f" (units: {' '.join(units)})" if len(units) > 1 else ""
    return f"write it like {quantity_sample(dimension)}{listed}"


def _wrong_unit(text: str, number: str, unit: str, dimension: str) -> str:
    what, units, _ = _DIMENSIONS[dimension]
    for right in units:
        if unit.lower() == right.lower() or (dimension == "bit/s" and unit.lower().startswith(right.lower())):
            return f"{text!r} is not {what}: write {number}{right}"
    other = next((known.what for known in _DIMENSIONS.values() if unit in known.units), None)
    said = f"is {other}, not {what}" if other else f"has an unknown unit {unit!r}"
    return f"{text!r} {said}: {_how(dimension)}"
