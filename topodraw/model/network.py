"""VLANs, zones, conduits and what lies outside."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from topodraw.model.entry import Entry, Named
from topodraw.model.fields import BitsPerSecond, Flow, HostAddress, Subnet
from topodraw.model.finding import SourcePath

INTERNET = "internet"
"""The zone that always exists."""


def _as_tuple(value: Any) -> Any:
    return [value] if isinstance(value, str) else value


class Gateway(Entry):
    """Who routes for a VLAN: one gear or workload, or several that share one address (as in RFC 9568)."""

    by: Annotated[tuple[str, ...], BeforeValidator(_as_tuple, json_schema_input_type=str | list[str])]
    shared: Annotated[tuple[HostAddress, ...], BeforeValidator(_as_tuple)] = ()


def _gateway(value: Any) -> Any:
    return {"by": [value]} if isinstance(value, str) else value


class Dhcp(Entry):
    """Addresses handed out, first and last, and by whom."""

    first: HostAddress
    last: HostAddress
    by: str | None = None


def _dhcp(value: Any) -> Any:
    if isinstance(value, dict) and isinstance(value.get("range"), str):
        first, dash, last = value["range"].partition("-")
        if not dash:
            raise ValueError(f"{value['range']!r} is not a range of addresses such as 192.0.2.100-192.0.2.199")
        return {"first": first.strip(), "last": last.strip(), **{k: v for k, v in value.items() if k != "range"}}
    return value


class Vlan(Named):
    """A virtual LAN: its IEEE 802.1Q identifier, zone, subnets and gateway."""

    id: int
    zone: str | None = None
    subnets: Annotated[tuple[Subnet, ...], Field(alias="subnet"), BeforeValidator(_as_tuple)] = ()
    gateway: Annotated[Gateway | None, BeforeValidator(_gateway, json_schema_input_type=str | Gateway)] = None
    dhcp: Annotated[Dhcp | None, BeforeValidator(_dhcp)] = None
    mtu: Annotated[int | None, Field(ge=68)] = None
    note: str | None = None


class Zone(Named):
    """A group with one security need (IEC 62443-3-2)."""

    title: str
    note: str | None = None


class Remote(Named):
    """What lies outside: the internet, or a site at the far end of a tunnel."""

    kind: Literal["internet", "tunnel"]
    by: str | None = None
    zone: str | None = None
    subnets: tuple[Subnet, ...] = ()
    rate_bps: Annotated[BitsPerSecond | None, Field(alias="rate")] = None


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
