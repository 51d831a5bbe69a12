"""What the conduits allow between zones, and what enforces it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class ConduitReach:
    """One direction of one conduit. `services` is ("any",) for all."""

    number: int
    source: str
    target: str
    services: tuple[str, ...]
    enforced_by: tuple[str, ...]
    """Filtering gear in the way; empty: allowed or refused on paper only."""


@dataclass(frozen=True, slots=True)
class ZoneReach:
    """`zones[a][b]`: "all", "none", or the services that a may start towards b."""

    zones: Mapping[str, Mapping[str, str | tuple[str, ...]]]
    conduits: tuple[ConduitReach, ...]
