"""Clusters, pools, workloads and copies."""

from typing import Annotated, Literal

from pydantic import Field

from topodraw.model.entry import Entry, Named
from topodraw.model.fields import (
    ONE_OR_MORE,
    Bytes,
    Fraction,
    HostAddress,
    Number,
    OneOrMore,
    Seconds,
    Service,
    Truth,
    Whole,
)


class Cluster(Named):
    """Gear that runs workloads together and may lose some of its members."""

    members: Annotated[tuple[str, ...], Field(min_length=1)]
    may_lose: Annotated[Whole, Field(alias="may-lose", ge=0)] = 1
    votes: dict[str, Whole] = {}
    reserve: Fraction | None = None
    cpu_ratio: Annotated[Number | None, Field(alias="cpu-ratio", gt=0)] = None


class DiskGroup(Entry):
    """Alike groups of disks: `parity` disks of each group, or all but one of a mirror, may fail."""

    groups: Annotated[Whole, Field(ge=1)] = 1
    disks: Annotated[Whole, Field(ge=1)]
    size_bytes: Annotated[Bytes, Field(alias="size")]
    parity: Annotated[Whole | None, Field(ge=0, le=3)] = None
    mirror: Truth = False
    spares: Annotated[Whole, Field(ge=0)] = 0


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
    cpus: Annotated[Number | None, Field(gt=0)] = None
    disk: DiskNeed | None = None


class Workload(Named):
    """A virtual machine, container or service that runs on gear, a cluster or inside another workload."""

    on: str | None = None
    on_kind: Annotated[Literal["gear", "cluster"] | None, Field(alias="@on")] = None
    """What `on` names, where it names something: gear and a cluster may share a name."""
    kind: Literal["vm", "container", "service"] = "vm"
    inside: str | None = None
    vlan: str | None = None
    address: HostAddress | None = None
    addresses: dict[str, Annotated[tuple[HostAddress, ...], ONE_OR_MORE]] = {}
    needs: Needs = Needs()
    serves: Annotated[tuple[Service, ...], ONE_OR_MORE] = ()
    published: Literal["tunnel", "forward"] | None = None
    after: OneOrMore = ()
    apart: str | None = None
    priority: Whole | None = None
    private: Truth = False


class Copy(Entry):
    """A pool or workload that is copied elsewhere."""

    of: str
    onto: str
    every_s: Annotated[Seconds | None, Field(alias="every")] = None
