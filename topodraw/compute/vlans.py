"""How far each VLAN really reaches, and how far it needs to."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class MissingVlan:
    """A link (or aggregate) that needs a VLAN and doesn't carry it."""

    link: tuple[str, str]
    """Its two bridge or station ports, `gear/port` (for an aggregate: the first member's)."""
    at: tuple[str, ...]
    """The ends that don't carry it."""
    when: Literal["active", "standby"]
    after: str | None
    """For standby: what fails so that the link is needed, e.g. `cable B08` or `gear core-2`."""
    cut_off: tuple[str, ...]
    """Who loses the rest of the VLAN: gear or workload names."""


@dataclass(frozen=True, slots=True)
class VlanSpread:
    """One VLAN: `segments` are the ports of end stations and gateways that reach each other now."""

    name: str
    id: int
    segments: tuple[tuple[str, ...], ...]
    missing: tuple[MissingVlan, ...]
    unneeded: tuple[tuple[str, str], ...]
