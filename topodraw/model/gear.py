"""The physical items of equipment and their ports, resolved."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from topodraw.model.fields import Address, Network, State
from topodraw.model.finding import SourcePath
from topodraw.model.hardware import Function, Hardware, HardwarePort

ALL: Literal["all"] = "all"
Tagged = tuple[str, ...] | Literal["all"]
"""VLAN names in the order stated, or `all`: every VLAN of the site but the untagged one."""


@dataclass(frozen=True, slots=True)
class VlanStatement:
    """Which VLANs a port carries; `at` is where that is said (port, cable or aggregate)."""

    untagged: str | None
    tagged: Tagged
    at: SourcePath


@dataclass(frozen=True, slots=True)
class Port:
    """One port of one gear. Position `number` counts from 1 in faceplate order; `group` counts the ranges."""

    gear: str
    name: str
    number: int
    group: int
    hardware: HardwarePort
    vlans: VlanStatement | None = None
    module: str | None = None
    speed_bps: int | None = None
    duplex: Literal["full", "half", "auto"] | None = None
    mtu: int | None = None
    edge: bool | None = None
    restricted_role: bool = False
    shut: bool = False

    @property
    def reference(self) -> str:
        """`gear/port`, as the source writes it."""
        return f"{self.gear}/{self.name}"


@dataclass(frozen=True, slots=True)
class RackPosition:
    """`at: R/U38`: the lowest unit it fills, and the side it is mounted on."""

    rack: str
    unit: int
    mounted: Literal["front", "rear"] = "front"


@dataclass(frozen=True, slots=True)
class MstpInstance:
    """VLANs that share one tree of an MSTP region."""

    vlans: tuple[str, ...]
    priority: int | None = None


@dataclass(frozen=True, slots=True)
class MstpRegion:
    """The three things by which MSTP bridges know that they agree."""

    region: str
    revision: int
    instances: Mapping[int, MstpInstance] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class BridgeSettings:
    """Spanning-tree settings; `None` means not stated."""

    priority: int | None = None
    protocol: Literal["rstp", "stp", "mstp", "none"] | None = None
    port_cost: Mapping[str, int] = field(default_factory=dict)
    port_priority: Mapping[str, int] = field(default_factory=dict)
    mstp: MstpRegion | None = None


@dataclass(frozen=True, slots=True)
class Gear:
    """One physical item, in a rack (`position`), a `place` or a chassis (`node_of`), or nowhere stated."""

    name: str
    hardware: Hardware
    ports: Mapping[str, Port]
    position: RackPosition | None = None
    place_stated: str | None = None
    place: str | None = None
    """The place it is in, also when that follows from its rack or chassis."""
    node_of: str | None = None
    state: State = "in-service"
    mac: str | None = None
    serial: str | None = None
    bridge: BridgeSettings = BridgeSettings()
    addresses: Mapping[str, tuple[Address, ...]] = field(default_factory=dict)
    routes: Mapping[Network | Literal["default"], Address] = field(default_factory=dict)
    ssids: Mapping[str, str] = field(default_factory=dict)
    wireless: str | None = None
    count: int = 1
    draw_w: float | None = None
    mass_kg: float | None = None
    memory_bytes: int | None = None
    cpus: float | None = None
    priority: int | None = None
    after: tuple[str, ...] = ()
    was: str | None = None
    private: bool = False
    note: str | None = None

    @property
    def function(self) -> Function:
        """What it is for, from its hardware entry."""
        return self.hardware.function

    @property
    def units(self) -> int | None:
        """Height in rack units; None where it is not rack-mounted."""
        return self.hardware.size.units if self.hardware.size else None
