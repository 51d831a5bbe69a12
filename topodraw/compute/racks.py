"""What each rack holds, what is free, and what it weighs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class RackItem:
    """Gear in a rack: `lowest` to `highest` unit as the rack numbers them."""

    gear: str
    lowest: int
    highest: int
    side: Literal["front", "rear"]


@dataclass(frozen=True, slots=True)
class RackOccupancy:
    """One rack: items from the top down, units used, and mass (None where one item's mass is unknown)."""

    name: str
    units: int
    items: tuple[RackItem, ...]
    used: int
    free: tuple[tuple[int, int], ...]
    """Stretches of units free at the front, lowest and highest."""
    mass_kg: float | None
