"""The spanning tree: root, costs, roles and states (IEEE 802.1D-2004 clause 17)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

Role = Literal["root", "designated", "alternate", "backup", "disabled"]
PortState = Literal["forwarding", "discarding"]


@dataclass(frozen=True, slots=True)
class BridgeInTree:
    """What one bridge knows: who is root, how far, and by which port (None on the root itself)."""

    root: str
    root_path_cost: int
    root_port: str | None


@dataclass(frozen=True, slots=True)
class PortInTree:
    """Role and state of one bridge port."""

    role: Role
    state: PortState
    cost: int
    edge: bool


@dataclass(frozen=True, slots=True)
class Tree:
    """The spanning tree of every connected bridged part. Ports are keyed by (bridge, port name)."""

    roots: tuple[str, ...]
    bridges: Mapping[str, BridgeInTree]
    ports: Mapping[tuple[str, str], PortInTree]
    left_to_chance: tuple[tuple[str, ...], ...]
    """Groups of bridges among which only an unknown MAC decides who is root."""
