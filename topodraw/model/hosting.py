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

    members: Annotated[
        tuple[str, ...], Field(min_length=1, description="Gear that runs it.", examples=[["node-1..node-3"]])
    ]
    may_lose: Annotated[
        Whole, Field(alias="may-lose", ge=0, description="How many members may fail at once.")
    ] = 1
    votes: Annotated[
        dict[str, Whole],
        Field(description="Votes of members, and of a witness.", examples=[{"node-1": "1", "witness": "1"}]),
    ] = {}
    reserve: Annotated[Fraction | None, Field(description="Share of its means that is kept free.")] = None
    cpu_ratio: Annotated[
        Number | None, Field(alias="cpu-ratio", gt=0, description="Processors promised for each real one.")
    ] = None


class DiskGroup(Entry):
    """Alike groups of disks: `parity` disks of each group, or all but one of a mirror, may fail."""

    groups: Annotated[Whole, Field(ge=1, description="How many such groups.")] = 1
    disks: Annotated[Whole, Field(ge=1, description="Disks in each group.")]
    size_bytes: Annotated[Bytes, Field(alias="size", description="Size of one disk.")]
    parity: Annotated[Whole | None, Field(ge=0, le=3, description="Disks of each group that may fail.")] = (
        None
    )
    mirror: Annotated[Truth, Field(description="All disks of a group hold the same.")] = False
    spares: Annotated[Whole, Field(ge=0, description="Disks that wait to replace a failed one.")] = 0


class Pool(Named):
    """Disk space on one gear."""

    on: Annotated[str, Field(description="Gear that holds its disks.")]
    layout: Annotated[
        tuple[DiskGroup, ...],
        Field(
            min_length=1,
            description="Its groups of disks.",
            examples=[[{"disks": "6", "size": "8TB", "parity": "2"}]],
        ),
    ]
    shared_as: Annotated[
        str | None, Field(alias="shared-as", description="How others reach it.", examples=["nfs"])
    ] = None
    tier: Annotated[str | None, Field(description="What kind of storage it is.", examples=["fast"])] = None


class DiskNeed(Entry):
    """Disk space wanted from a pool."""

    pool: Annotated[str, Field(description="The pool it comes from.")]
    size_bytes: Annotated[Bytes, Field(alias="size", description="How much.")]


class Needs(Entry):
    """What a workload takes of its host."""

    memory_bytes: Annotated[Bytes | None, Field(alias="memory", description="Memory.")] = None
    cpus: Annotated[Number | None, Field(gt=0, description="Processors.")] = None
    disk: Annotated[DiskNeed | None, Field(description="Disk space.")] = None


class Workload(Named):
    """A virtual machine, container or service that runs on gear, a cluster or inside another workload."""

    on: Annotated[
        str | None, Field(description="Gear or cluster that runs it; this or `inside` is needed.")
    ] = None
    on_kind: Annotated[Literal["gear", "cluster"] | None, Field(alias="@on")] = None
    """What `on` names, where it names something: gear and a cluster may share a name."""
    kind: Annotated[Literal["vm", "container", "service"], Field(description="What it is.")] = "vm"
    inside: Annotated[str | None, Field(description="The workload that runs it.")] = None
    vlan: Annotated[str | None, Field(description="The VLAN that it is in.")] = None
    address: Annotated[HostAddress | None, Field(description="Its address in that VLAN.")] = None
    addresses: Annotated[
        dict[str, Annotated[tuple[HostAddress, ...], ONE_OR_MORE]],
        Field(description="Addresses by VLAN, where it is in several.", examples=[{"science": "192.0.2.10"}]),
    ] = {}
    needs: Annotated[Needs, Field(description="What it takes of its host.")] = Needs()
    serves: Annotated[
        tuple[Service, ...],
        ONE_OR_MORE,
        Field(description="Services that it offers.", examples=[["tcp/443"]]),
    ] = ()
    published: Annotated[
        Literal["tunnel", "forward"] | None, Field(description="How the internet reaches it.")
    ] = None
    after: Annotated[OneOrMore, Field(description="What must run before it starts.")] = ()
    apart: Annotated[str | None, Field(description="Workloads of one such group run on different gear.")] = (
        None
    )
    priority: Annotated[Whole | None, Field(description="Order of switching off when power is short.")] = None
    private: Annotated[Truth, Field(description="Not for sheets that others see.")] = False


class Copy(Entry):
    """A pool or workload that is copied elsewhere."""

    of: Annotated[str, Field(description="The pool or workload that is copied.")]
    onto: Annotated[str, Field(description="Where to: a pool, place or remote.")]
    every_s: Annotated[Seconds | None, Field(alias="every", description="How often.")] = None
