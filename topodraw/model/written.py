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
    text_field,
)


def _all_or_list(value: Any) -> Any:
    return [value] if isinstance(value, str) and value != "all" else value


TaggedNames = Annotated[
    tuple[str, ...] | Literal["all"],
    BeforeValidator(_all_or_list, json_schema_input_type=str | list[str]),
]


class VlanKeys(Entry):
    """Which VLANs a port, cable or aggregate says it carries; None where it says nothing."""

    untagged: Annotated[str | None, Field(description="The one VLAN whose frames go without a tag.")] = None
    tagged: Annotated[
        TaggedNames | None,
        Field(
            description="VLANs whose frames carry a tag (a trunk), or the word all.",
            examples=[["science", "watch"]],
        ),
    ] = None


class GearPortEntry(VlanKeys):
    """How one port of a gear is set up."""

    module: Annotated[
        str | None,
        Field(
            description="What is plugged into its cage: a PHY, or a module of hardware.",
            examples=["10GBASE-LR"],
        ),
    ] = None
    speed_bps: Annotated[
        BitsPerSecond | None,
        Field(alias="speed", description="Fixed speed; default the fastest that both ends can."),
    ] = None
    duplex: Annotated[Literal["full", "half", "auto"] | None, Field(description="Fixed duplex.")] = None
    mtu: Annotated[Whole | None, Field(description="Largest packet, in bytes.")] = None
    edge: Annotated[
        Truth | None, Field(description="An edge port of the spanning tree: no bridge behind it.")
    ] = None
    restricted_role: Annotated[
        Truth, Field(alias="restricted-role", description="Never becomes root port (IEEE 802.1Q).")
    ] = False
    shut: Annotated[Truth, Field(description="Switched off.")] = False


class MstpInstanceEntry(Entry):
    """VLANs that share one tree."""

    vlans: Annotated[OneOrMore, Field(description="VLANs that follow this tree.")]
    priority: Annotated[
        Whole | None, Field(description="Bridge priority in this tree: 0 to 61440 in steps of 4096.")
    ] = None


class MstpEntry(Entry):
    """The MSTP region that a bridge is in."""

    region: Annotated[str, Field(description="Name of the region.")]
    revision: Annotated[Whole, Field(description="Its revision.")] = 0
    instances: Annotated[
        dict[int, MstpInstanceEntry],
        Field(description="Trees by number.", examples=[{"1": {"vlans": ["science", "watch"]}}]),
    ] = {}


class BridgeEntry(Entry):
    """Spanning-tree settings of one bridge."""

    priority: Annotated[
        Whole | None, Field(description="0 to 61440 in steps of 4096; the lowest becomes root.")
    ] = None
    protocol: Annotated[
        Literal["rstp", "stp", "mstp", "none"] | None, Field(description="Which spanning tree it runs.")
    ] = None
    port_cost: Annotated[
        dict[str, Whole],
        Field(
            alias="port-cost",
            description="Path costs of ports, where set by hand.",
            examples=[{"u1": "2000"}],
        ),
    ] = {}
    port_priority: Annotated[
        dict[str, Whole],
        Field(
            alias="port-priority",
            description="Priorities of ports, where set by hand.",
            examples=[{"u1": "64"}],
        ),
    ] = {}
    mstp: Annotated[MstpEntry | None, Field(description="Its MSTP region.")] = None


_AT = re.compile(r"([^/]+)/U([0-9]{1,4})")


def _rack_unit(text: str) -> tuple[str, int]:
    match = _AT.fullmatch(text)
    if not match:
        raise ValueError(f"{text!r} is not a place in a rack: write rack/unit, such as A/U38")
    return match[1], int(match[2])


RackUnit = Annotated[tuple[str, int], text_field(_rack_unit, "A/U38")]


class GearEntry(Named):
    """One physical item of equipment."""

    model: Annotated[str, Field(description="Its entry in hardware.")]
    at: Annotated[RackUnit | None, Field(description="Rack and lowest unit that it takes.")] = None
    mounted: Annotated[
        Literal["front", "rear"] | None, Field(description="On the front or the rear rails.")
    ] = None
    place: Annotated[str | None, Field(description="Where it is, if in no rack.")] = None
    node_of: Annotated[
        str | None, Field(alias="node-of", description="The chassis that it is a node of.")
    ] = None
    state: Annotated[State, Field(description="Only what is in service carries, feeds and weighs.")] = (
        "in-service"
    )
    mac: Annotated[
        MacAddress | None, Field(description="MAC address, which breaks ties of the spanning tree.")
    ] = None
    serial: Annotated[str | None, Field(description="Serial number.")] = None
    bridge: Annotated[BridgeEntry | None, Field(description="Spanning-tree settings.")] = None
    addresses: Annotated[
        dict[str, Annotated[tuple[HostAddress, ...], ONE_OR_MORE]],
        Field(default_factory=dict, description="Its addresses by VLAN.", examples=[{"manage": "192.0.2.2"}]),
    ]
    routes: Annotated[
        dict[Prefix, HostAddress],
        Field(
            default_factory=dict,
            description="Next hops by where they lead: a subnet, or default.",
            examples=[{"default": "192.0.2.1"}],
        ),
    ]
    ports: Annotated[
        dict[str, GearPortEntry],
        Field(
            default_factory=dict,
            description="How its ports are set up.",
            examples=[{"p1..p8": {"untagged": "science"}, "u1": {"tagged": ["science", "watch"]}}],
        ),
    ]
    ssids: Annotated[
        dict[str, str],
        Field(
            default_factory=dict,
            description="Radio networks, and the VLAN of each.",
            examples=[{"Field-Guests": "guests"}],
        ),
    ]
    wireless: Annotated[
        str | None, Field(description="SSID it joins by radio, wherever that is offered.")
    ] = None
    count: Annotated[Whole, Field(ge=1, description="Several alike, drawn once.")] = 1
    draw_w: Annotated[
        Watts | None, Field(alias="draw", description="What this one draws, if other than its hardware says.")
    ] = None
    mass_kg: Annotated[
        Kilograms | None,
        Field(alias="mass", description="Mass of this one, if other than its hardware says."),
    ] = None
    memory_bytes: Annotated[
        Bytes | None,
        Field(alias="memory", description="Memory of this one, if other than its hardware says."),
    ] = None
    cpus: Annotated[
        Number | None, Field(gt=0, description="Cores of this one, if other than its hardware says.")
    ] = None
    priority: Annotated[Whole | None, Field(description="Order of switching off when power is short.")] = None
    after: Annotated[OneOrMore, Field(description="What must run before it starts.")] = ()
    was: Annotated[str | None, Field(description="Its name in the revision before.")] = None
    private: Annotated[Truth, Field(description="Not for sheets that others see.")] = False
    note: Annotated[str | None, Field(description="Anything worth knowing.")] = None


class CableEntry(Named, VlanKeys):
    """One data cable."""

    ends: Annotated[
        tuple[str, str],
        Field(
            description="Two ports, a panel's rear, or a remote; ranges make many cables.",
            examples=[["tor/p1", "pan-a/9:back"]],
        ),
    ]
    medium: Annotated[Medium, Field(description="What it is made of.")]
    length_m: Annotated[Metres | None, Field(alias="length", description="Its length.")] = None
    phy: Annotated[
        str | None, Field(description="The PHY it must run, where several could.", examples=["10GBASE-T"])
    ] = None
    speed_bps: Annotated[BitsPerSecond | None, Field(alias="speed", description="Speed of a radio link.")] = (
        None
    )
    purpose: Annotated[str | None, Field(description="What it is for: a name of purposes.")] = None
    colour: Annotated[str | None, Field(description="Colour of its jacket.")] = None
    within: Annotated[OneOrMore, Field(description="Runs that it lies in.")] = ()
    active: Annotated[Truth, Field(description="Twinax with electronics in its ends.")] = False
    connectors: Annotated[
        OneOrMore, Field(description="Connectors at its ends.", examples=[["LC", "LC"]])
    ] = ()
    state: Annotated[State, Field(description="Only what is in service carries frames.")] = "in-service"


class AggregateEntry(Named, VlanKeys):
    """Cables that act as one."""

    cables: Annotated[OneOrMore, Field(min_length=1, description="Its cables.", examples=[["T01", "T02"]])]
    mode: Annotated[
        AggregateMode | dict[str, AggregateMode],
        Field(description="How the ends decide; by gear where they differ."),
    ] = "lacp"
    cost: Annotated[Whole | None, Field(description="Path cost, where set by hand.")] = None
    least: Annotated[Whole | None, Field(ge=1, description="Fewest cables with which it stays up.")] = None


class CordEntry(Named):
    """A power cord."""

    ends: Annotated[
        tuple[str, str],
        Field(description="Outlet (or breaker), then inlet.", examples=[["ups-1/o1", "core/a"]]),
    ]
    length_m: Annotated[Metres | None, Field(alias="length", description="Its length.")] = None
    rating_a: Annotated[Amperes | None, Field(alias="rating", description="Rated current.")] = None


class ConduitEntry(Entry):
    """Allowed traffic, as `{flow, allow, to, because}`."""

    flow: Annotated[FlowText, Field(description="From where to where: zones, VLANs, gear or workloads.")]
    allow: Annotated[
        tuple[Service, ...],
        Field(min_length=1, description="Services that may pass.", examples=[["tcp/443", "udp/53"]]),
    ] = ("any",)
    to: Annotated[str | None, Field(description="The one workload or gear that may be reached.")] = None
    because: Annotated[str | None, Field(description="Why.")] = None


class _PromiseEntry(Entry):
    because: Annotated[str | None, Field(description="Why it matters.")] = None


class RootPromise(_PromiseEntry):
    """Which gear or stack is the root of the spanning tree."""

    root: Annotated[str, Field(description="Gear or stack that is root of the spanning tree.")]


class NeverPromise(_PromiseEntry):
    """Traffic that must not get through: any of it, or one service."""

    never: Annotated[FlowText, Field(description="Traffic that must not get through.")]
    service: Annotated[Service | None, Field(description="This service only; default any.")] = None


class AlwaysPromise(_PromiseEntry):
    """Traffic that must get through."""

    always: Annotated[FlowText, Field(description="Traffic that must get through.")]
    service: Annotated[Service | None, Field(description="This service only; default any.")] = None


class SurvivePromise(_PromiseEntry):
    """What must keep going when something fails."""

    survive: Annotated[
        str,
        Field(
            description="What may fail: any cable, any gear, any run, any breaker, or a name.",
            examples=["any cable"],
        ),
    ]
    keep: Annotated[FlowText, Field(description="Who must still reach whom.")]
    vlan: Annotated[str | None, Field(description="In this VLAN; default every VLAN that both carry.")] = None
    for_s: Annotated[
        Seconds | None, Field(alias="for", description="For how long, where a battery carries on.")
    ] = None


class RatePromise(_PromiseEntry):
    """The speed that must be there between two things."""

    rate: Annotated[FlowText, Field(description="Between which two.")]
    at_least_bps: Annotated[
        BitsPerSecond, Field(alias="at-least", description="The speed that must be there.")
    ]


class RuntimePromise(_PromiseEntry):
    """How long a UPS must last."""

    runtime: Annotated[str, Field(description="The UPS.")]
    at_least_s: Annotated[Seconds, Field(alias="at-least", description="How long it must last.")]


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


def _day(text: str) -> str:
    import datetime

    try:
        if _DAY.fullmatch(text):
            return datetime.date.fromisoformat(text).isoformat()
    except ValueError:
        pass
    raise ValueError(f"{text!r} is not a day of the calendar such as 2027-03-31")


class WaiverEntry(Entry):
    """A finding accepted in writing."""

    rule: Annotated[
        str, Field(description="The rule whose finding is accepted.", examples=["trunk-vlan-unneeded"])
    ]
    on: Annotated[
        str, Field(description="What the finding is on, as the finding names it.", examples=["core/x5"])
    ]
    because: Annotated[str, Field(min_length=1, description="Why it is accepted.")]
    until: Annotated[
        str,
        text_field(_day, "2027-03-31"),
        Field(description="The last day on which it is."),
    ]


__all__ = [
    "PROMISES", "AggregateEntry", "AlwaysPromise", "BridgeEntry", "CableEntry", "ConduitEntry",
    "CordEntry", "GearEntry", "GearPortEntry", "NeverPromise", "PromiseEntry", "RatePromise",
    "RootPromise", "RuntimePromise", "SurvivePromise", "TaggedNames", "VlanKeys", "WaiverEntry",
]  # fmt: skip
