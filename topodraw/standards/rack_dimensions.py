"""Rack and panel dimensions: EIA-310-D/E and IEC 60297-3-100."""

from topodraw.standards.published import Published

_EIA = "EIA-310-E; IEC 60297-3-100"

UNIT_MM = Published(44.45, "mm", _EIA, "checked", "1.75 in")
PANEL_WIDTH_MM = Published(482.6, "mm", _EIA, "checked", "19 in")
HOLE_CENTRES_ACROSS_MM = Published(465.1, "mm", _EIA, "checked", "18 5/16 in")
HOLE_CENTRES_MM = Published((6.35, 22.225, 38.10), "mm", _EIA, "checked", "above the bottom line of a unit")
CLEAR_OPENING_MM = Published(450.0, "mm", _EIA, "checked", "at least, between the rails")
RAIL_FACE_MM = Published(15.875, "mm", _EIA, "checked")
PANEL_CLEARANCE_MM = Published(0.794, "mm", _EIA, "checked", "by which a panel is lower than its units")

COMMON_DEPTHS_MM = Published(
    (600, 800, 1000, 1070, 1200), "mm", "trade pages; EIA-310 sets no depth", "memory", "of cabinets"
)
COMMON_HEIGHTS_UNITS = Published((6, 9, 12, 15, 18, 24, 42, 45, 47, 48), "U", "trade pages", "memory")
CENTRE_OF_MASS_WARNING = Published(
    0.5, "of the height", "common practice, no published source", "memory", "a loaded rack tips above this"
)
TWO_PERSON_LIFT_KG = Published(
    18.0, "kg", "common practice, no published source", "memory", "makers ask for two people from 18 to 25 kg"
)


def panel_height_mm(units: int) -> float:
    """Return the height in mm of a panel that takes ``units`` units, EIA-310: n x 44.45 - 0.794.

    Raises ValueError for less than one unit.
    """
    if units < 1:
        raise ValueError(f"a panel of {units} units does not exist: the least is 1")
    return units * UNIT_MM.value - PANEL_CLEARANCE_MM.value


def opening_height_mm(units: int) -> float:
    """Return the height in mm of a rack's mounting space of ``units`` units, EIA-310: n x 44.45."""
    return units * UNIT_MM.value


def hole_centres_mm(units: int) -> tuple[float, ...]:
    """Return the heights in mm of all hole centres of ``units`` units, from the bottom line up (EIA-310)."""
    return tuple(unit * UNIT_MM.value + hole for unit in range(units) for hole in HOLE_CENTRES_MM.value)
