"""Clusters, pools, workloads and copies."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from topodraw.model.entry import Entry, Named
from topodraw.model.fields import Bytes, Fraction, HostAddress, Seconds, Service


class Cluster(Named):
    """Gear that runs workloads together and may lose some of its members."""

    members: Annotated[tuple[str, ...], Field(min_length=1)]
    may_lose: Annotated[int, Field(alias="may-lose", ge=0)] = 1
    votes: dict[str, int] = {}
    reserve: Fraction | None = None
    cpu_ratio: Annotated[float | None, Field(alias="cpu-ratio", gt=0)] = None


class DiskGroup(Entry):
    """Alike groups of disks: `parity` disks of each group, or all but one of a mirror, may fail."""

    groups: Annotated[int, Field(ge=1)] = 1
    disks: Annotated[int, Field(ge=1)]
    size_bytes: Annotated[Bytes, Field(alias="size")]
    parity: Annotated[int | None, Field(ge=0, le=3)] = None
    mirror: bool = False
    spares: Annotated[int, Field(ge=0)] = 0


class Pool(Named):
    """Disk space on one gear."""

    on: str
    layout: Annotated[tuple[DiskGroup, ...], Field(min_length=1)]
    shared_as: Annotated[str | None, Field(alias="shared-as")] = None
    tier: str | None = None


class DiskNeed(Entry):
    """Disk space wanted from a pool."""

    pool: str
    size_bytes: Annotated[Bytes, Field(alias="size")]


class Needs(Entry):
    """What a workload takes of its host."""

    memory_bytes: Annotated[Bytes | None, Field(alias="memory")] = None
    cpus: Annotated[float | None, Field(gt=0)] = None
    disk: DiskNeed | None = None


def _as_list(value: Any) -> Any:
    return [value] if isinstance(value, str) else value


TextList = Annotated[tuple[str, ...], BeforeValidator(_as_list, json_schema_input_type=str | list[str])]
AddressList = Annotated[
    tuple[HostAddress, ...], BeforeValidator(_as_list, json_schema_input_type=str | list[str])
]


class Workload(Named):
    """A virtual machine, container or service that runs on gear, a cluster or inside another workload."""

    on: str | None = None
    kind: Literal["vm", "container", "service"] = "vm"
    inside: str | None = None
    vlan: str | None = None
    address: HostAddress | None = None
    addresses: dict[str, AddressList] = {}
    needs: Needs = Needs()
    serves: tuple[Service, ...] = ()
    published: Literal["tunnel", "forward"] | None = None
    after: TextList = ()
    apart: str | None = None
    priority: int | None = None
    private: bool = False


class Copy(Entry):
    """A pool or workload that is copied elsewhere."""

    of: str
    onto: str
    every_s: Annotated[Seconds | None, Field(alias="every")] = None
