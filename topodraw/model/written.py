"""What is written about things whose references are found later: gear, cables, cords, promises and more."""

import re
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from topodraw.model.cabling import AggregateMode
from topodraw.model.entry import Entry, Named
from topodraw.model.fields import (
    ONE_OR_MORE,
    Amperes,
    BitsPerSecond,
    Bytes,
    FlowText,
    HostAddress,
    Kilograms,
    MacAddress,
    Medium,
    Metres,
    Number,
    OneOrMore,
    Prefix,
    Seconds,
    Service,
    State,
    Truth,
    Watts,
    Whole,
)


def _all_or_list(value: Any) -> Any:
    return [value] if isinstance(value, str) and value != "all" else value


TaggedNames = Annotated[
    tuple[str, ...] | Literal["all"],
    BeforeValidator(_all_or_list, json_schema_input_type=str | list[str]),
]


class VlanKeys(Entry):
    """Which VLANs a port, cable or aggregate says it carries; None where it says nothing."""

    untagged: str | None = None
    tagged: TaggedNames | None = None


class GearPortEntry(VlanKeys):
    """How one port of a gear is set up."""

    module: str | None = None
    speed_bps: Annotated[BitsPerSecond | None, Field(alias="speed")] = None
    duplex: Literal["full", "half", "auto"] | None = None
    mtu: Whole | None = None
    edge: Truth | None = None
    restricted_role: Annotated[Truth, Field(alias="restricted-role")] = False
    shut: Truth = False


class MstpInstanceEntry(Entry):
    """VLANs that share one tree."""

    vlans: OneOrMore
    priority: Whole | None = None


class MstpEntry(Entry):
    """The MSTP region that a bridge is in."""

    region: str
    revision: Whole = 0
    instances: dict[int, MstpInstanceEntry] = {}


class BridgeEntry(Entry):
    """Spanning-tree settings of one bridge."""

    priority: Whole | None = None
    protocol: Literal["rstp", "stp", "mstp", "none"] | None = None
    port_cost: Annotated[dict[str, Whole], Field(alias="port-cost")] = {}
    port_priority: Annotated[dict[str, Whole], Field(alias="port-priority")] = {}
    mstp: MstpEntry | None = None


_AT = re.compile(r"([^/]+)/U([0-9]{1,4})")


def _rack_unit(value: Any) -> Any:
    match = _AT.fullmatch(value) if isinstance(value, str) else None
    if not match:
        raise ValueError(f"{value!r} is not a place in a rack: write rack/unit, such as A/U38")
    return match[1], int(match[2])


RackUnit = Annotated[tuple[str, int], BeforeValidator(_rack_unit, json_schema_input_type=str)]


class GearEntry(Named):
    """One physical item of equipment."""

    model: str
    at: RackUnit | None = None
    mounted: Literal["front", "rear"] | None = None
    place: str | None = None
    node_of: Annotated[str | None, Field(alias="node-of")] = None
    state: State = "in-service"
    mac: MacAddress | None = None
    serial: str | None = None
    bridge: BridgeEntry | None = None
    addresses: Annotated[
        dict[str, Annotated[tuple[HostAddress, ...], ONE_OR_MORE]], Field(default_factory=dict)
    ]
    routes: Annotated[dict[Prefix, HostAddress], Field(default_factory=dict)]
    ports: Annotated[dict[str, GearPortEntry], Field(default_factory=dict)]
    ssids: Annotated[dict[str, str], Field(default_factory=dict)]
    wireless: str | None = None
    count: Annotated[Whole, Field(ge=1)] = 1
    draw_w: Annotated[Watts | None, Field(alias="draw")] = None
    mass_kg: Annotated[Kilograms | None, Field(alias="mass")] = None
    memory_bytes: Annotated[Bytes | None, Field(alias="memory")] = None
    cpus: Annotated[Number | None, Field(gt=0)] = None
    priority: Whole | None = None
    after: OneOrMore = ()
    was: str | None = None
    private: Truth = False
    note: str | None = None


class CableEntry(Named, VlanKeys):
    """One data cable."""

    ends: tuple[str, str]
    medium: Medium
    length_m: Annotated[Metres | None, Field(alias="length")] = None
    phy: str | None = None
    speed_bps: Annotated[BitsPerSecond | None, Field(alias="speed")] = None
    purpose: str | None = None
    colour: str | None = None
    within: OneOrMore = ()
    active: Truth = False
    connectors: OneOrMore = ()
    state: State = "in-service"


class AggregateEntry(Named, VlanKeys):
    """Cables that act as one."""

    cables: Annotated[OneOrMore, Field(min_length=1)]
    mode: AggregateMode | dict[str, AggregateMode] = "lacp"
    cost: Whole | None = None
    least: Annotated[Whole | None, Field(ge=1)] = None


class CordEntry(Named):
    """A power cord."""

    ends: tuple[str, str]
    length_m: Annotated[Metres | None, Field(alias="length")] = None
    rating_a: Annotated[Amperes | None, Field(alias="rating")] = None


class ConduitEntry(Entry):
    """Allowed traffic, as `{flow, allow, to, because}`."""

    flow: FlowText
    allow: Annotated[tuple[Service, ...], Field(min_length=1)] = ("any",)
    to: str | None = None
    because: str | None = None


class _PromiseEntry(Entry):
    because: str | None = None


class RootPromise(_PromiseEntry):
    """Which gear or stack is the root of the spanning tree."""

    root: str


class NeverPromise(_PromiseEntry):
    """Traffic that must not get through: any of it, or one service."""

    never: FlowText
    service: Service | None = None


class AlwaysPromise(_PromiseEntry):
    """Traffic that must get through."""

    always: FlowText
    service: Service | None = None


class SurvivePromise(_PromiseEntry):
    """What must keep going when something fails."""

    survive: str
    keep: FlowText
    vlan: str | None = None
    for_s: Annotated[Seconds | None, Field(alias="for")] = None


class RatePromise(_PromiseEntry):
    """The speed that must be there between two things."""

    rate: FlowText
    at_least_bps: Annotated[BitsPerSecond, Field(alias="at-least")]


class RuntimePromise(_PromiseEntry):
    """How long a UPS must last."""

    runtime: str
    at_least_s: Annotated[Seconds, Field(alias="at-least")]


PromiseEntry = RootPromise | NeverPromise | AlwaysPromise | SurvivePromise | RatePromise | RuntimePromise
PROMISES: dict[str, type[PromiseEntry]] = {
    "root": RootPromise,
    "never": NeverPromise,
    "always": AlwaysPromise,
    "survive": SurvivePromise,
    "rate": RatePromise,
    "runtime": RuntimePromise,
}
"""The kinds of promise, by the key that makes them so."""

_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


def _day(value: Any) -> Any:
    import datetime

    try:
        if isinstance(value, str) and _DAY.fullmatch(value):
            return datetime.date.fromisoformat(value).isoformat()
    except ValueError:
        pass
    raise ValueError(f"{value!r} is not a day of the calendar such as 2027-03-31")


class WaiverEntry(Entry):
    """A finding accepted in writing."""

    rule: str
    on: str
    because: Annotated[str, Field(min_length=1)]
    until: Annotated[str, BeforeValidator(_day, json_schema_input_type=str)]


__all__ = [
    "PROMISES", "AggregateEntry", "AlwaysPromise", "BridgeEntry", "CableEntry", "ConduitEntry",
    "CordEntry", "GearEntry", "GearPortEntry", "NeverPromise", "PromiseEntry", "RatePromise",
    "RootPromise", "RuntimePromise", "SurvivePromise", "TaggedNames", "VlanKeys", "WaiverEntry",
]  # fmt: skip
