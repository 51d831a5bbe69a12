"""The bridged network: bridges, their ports, the segments between them, and the stations at the edge."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from topodraw.model.gear import Tagged


@dataclass(frozen=True, slots=True)
class BridgePort:
    """A port of a bridge as spanning tree sees it: a single port, or a whole aggregate.

    `name` is `gear/port`, or the aggregate's name; `members` are the physical ports.
    """

    bridge: str
    name: str
    members: tuple[str, ...]
    links: tuple[int, ...]
    """Indices into `Network.links`."""
    speed_bps: int | None
    cost: int
    priority: int
    number: int
    edge: bool
    untagged: str | None
    tagged: Tagged
    stated: bool
    """Whether any VLAN statement applies; without one it is an untagged member of no VLAN."""


@dataclass(frozen=True, slots=True)
class Bridge:
    """Gear that forwards frames, or a stack that acts as one."""

    name: str
    members: tuple[str, ...]
    """Gear names; one, or the stack's members."""
    runs_spanning_tree: bool
    priority: int
    mac: str | None
    ports: tuple[str, ...]
    """Names of its bridge ports in port-number order."""

    @property
    def bridge_id(self) -> str | None:
        """`priority.mac`; None where the MAC is unknown."""
        return None if self.mac is None else f"{self.priority}.{self.mac}"
