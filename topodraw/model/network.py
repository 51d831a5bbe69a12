"""VLANs, zones, conduits and what lies outside."""

import ipaddress
from dataclasses import dataclass
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from topodraw.model.entry import Entry, Named
from topodraw.model.fields import (
    ONE_OR_MORE,
    Address,
    BitsPerSecond,
    Flow,
    HostAddress,
    OneOrMore,
    Subnet,
    Whole,
    text_field,
)
from topodraw.model.finding import SourcePath

INTERNET = "internet"
"""The zone that always exists."""


class Gateway(Entry):
    """Who routes for a VLAN: one gear or workload, or several that share one address (as in RFC 9568)."""

    by: Annotated[
        OneOrMore,
        Field(min_length=1, description="Gear or workloads that route for the VLAN.", examples=["gate"]),
    ]
    shared: Annotated[
        tuple[HostAddress, ...],
        ONE_OR_MORE,
        Field(description="Address that several of them share.", examples=["192.0.2.1"]),
    ] = ()


def _gateway(value: Any) -> Any:
    return {"by": [value]} if isinstance(value, str) else value


@dataclass(frozen=True, slots=True)
class AddressRange:
    """Addresses from the first to the last."""

    first: Address
    last: Address


def _address_range(text: str) -> AddressRange:
    first, _, last = text.partition("-")
    try:
        return AddressRange(ipaddress.ip_address(first.strip()), ipaddress.ip_address(last.strip()))
    except ValueError:
        raise ValueError(f"{text!r} is not a range of addresses such as 192.0.2.100-192.0.2.199") from None


class Dhcp(Entry):
    """Addresses handed out, and by whom."""

    range: Annotated[
        AddressRange,
        text_field(_address_range, "192.0.2.100-192.0.2.199"),
        Field(description="Addresses handed out."),
    ]
    by: Annotated[str | None, Field(description="Who hands them out.")] = None

    @property
    def first(self) -> Address:
        """The lowest address handed out."""
        return self.range.first

    @property
    def last(self) -> Address:
        """The highest address handed out."""
        return self.range.last


class Vlan(Named):
    """A virtual LAN: its IEEE 802.1Q identifier, zone, subnets and gateway."""

    id: Annotated[Whole, Field(description="IEEE 802.1Q identifier, 1 to 4094.")]
    zone: Annotated[str | None, Field(description="The zone that it belongs to.")] = None
    subnets: Annotated[
        tuple[Subnet, ...],
        Field(
            alias="subnet", description="Its subnet, or a list with the IPv6 one.", examples=["192.0.2.0/24"]
        ),
        ONE_OR_MORE,
    ] = ()
    gateway: Annotated[
        Gateway | None,
        BeforeValidator(_gateway, json_schema_input_type=str | Gateway),
        Field(description="Who routes for it: gear or a workload.", examples=["gate"]),
    ] = None
    dhcp: Annotated[Dhcp | None, Field(description="Addresses handed out in it.")] = None
    mtu: Annotated[Whole | None, Field(ge=68, description="Largest packet, in bytes.")] = None
    note: Annotated[str | None, Field(description="Anything worth knowing.")] = None


class Zone(Named):
    """A group with one security need (IEC 62443-3-2)."""

    title: Annotated[str, Field(description="What people call it.", examples=["Science network"])]
    note: Annotated[str | None, Field(description="Anything worth knowing.")] = None


class Remote(Named):
    """What lies outside: the internet, or a site at the far end of a tunnel."""

    kind: Annotated[
        Literal["internet", "tunnel"],
        Field(description="The internet, or a site at the far end of a tunnel."),
    ]
    by: Annotated[str | None, Field(description="Gear that ends it on this side.")] = None
    zone: Annotated[str | None, Field(description="The zone that it belongs to.")] = None
    subnets: Annotated[
        tuple[Subnet, ...],
        ONE_OR_MORE,
        Field(description="Subnets at its far end.", examples=[["192.0.2.0/24"]]),
    ] = ()
    rate_bps: Annotated[BitsPerSecond | None, Field(alias="rate", description="Its speed.")] = None


EndpointKind = Literal["zone", "vlan", "gear", "workload", "remote", "cluster", "pool"]


@dataclass(frozen=True, slots=True)
class Endpoint:
    """One side of a flow, resolved to the kind of thing it names."""

    kind: EndpointKind
    name: str


@dataclass(frozen=True, slots=True)
class Conduit:
    """Allowed traffic: what `source` may start towards `target` (and the reverse, if `both_ways`)."""

    number: int
    """Its place in the list, from 1."""
    flow: Flow
    source: Endpoint
    target: Endpoint
    both_ways: bool
    allow: tuple[str, ...]
    """Services, `("any",)` for all."""
    to: Endpoint | None
    because: str | None
    at: SourcePath
