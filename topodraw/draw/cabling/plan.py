"""What a cabling sheet is made of before anything has a place: boxes with sockets, and wires between
sockets."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

Edge = Literal["top", "bottom"]
INSET = 3.0
"""From the edge of a box to its ports, in px."""


@dataclass(frozen=True, slots=True)
class Socket:
    """Where wires meet a box: `x` px from its left side, at its upper or lower edge.

    A wire that leaves against its socket's edge runs through the box between two sockets, `half_pitch` px
    to the right.
    """

    x: float
    edge: Edge
    half_pitch: float = 12.0

    def offset(self, leaves: Edge) -> float:
        """Where a wire that leaves by this edge crosses it, in px from the box's left side."""
        return self.x if leaves == self.edge else self.x + self.half_pitch


@dataclass(frozen=True, slots=True)
class Box:
    """A thing with a place in a row. `area` is the place it stands in (a name, not necessarily drawn)."""

    key: str
    width: float
    height: float
    row: int
    area: str
    inside: bool
    """Whether it is drawn inside its area, or only near it (remotes, references to other sheets)."""
    sockets: Mapping[str, Socket]


@dataclass(frozen=True, slots=True)
class End:
    """One end of a wire: a box and one of its sockets, as keys."""

    box: str
    socket: str


@dataclass(frozen=True, slots=True)
class Wire:
    """A cable, or several drawn as one, between two ends. `tags` are the texts at its two ends."""

    key: str
    ends: tuple[End, End]
    tags: tuple[str, str]
    label: str = ""
    """Medium and length, set along a level run where there is room."""
    comb: tuple[str, ...] = ()
    """Letters of the VLANs that it carries, set along a level run where there is room."""
    flags_width: float = 0.0
    """Room for the flags of findings on a level run, in px."""
    pull: float = 1.0
    """How strongly it wants to run straight, beside other wires."""
    level_side: Edge = "top"
    """The edges by which it leaves where both its ends stand in one row."""


@dataclass(frozen=True, slots=True)
class Ring:
    """What ties the wires of an aggregate near one box: the keys of the wires."""

    key: str
    wires: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Plan:
    """Everything that one sheet has to show, in a fixed order. `areas` are titles by key, "" for one that
    isn't drawn."""

    name: str
    boxes: tuple[Box, ...]
    wires: tuple[Wire, ...]
    areas: Mapping[str, str]
    rings: tuple[Ring, ...] = ()
    joined: tuple[tuple[str, str], ...] = ()
    """Pairs of boxes that belong side by side."""
    downstairs: frozenset[str] = frozenset()
    """Areas with rows of their own below all others, so that they may stand under them."""
