"""Cables, runs, aggregates, stacks, cords and breakers."""

from dataclasses import dataclass
from typing import Annotated, Literal

from pydantic import Field

from topodraw.model.entry import Named
from topodraw.model.fields import Amperes, MacAddress, Medium, Metres, OneOrMore, State, Volts, Whole
from topodraw.model.finding import SourcePath
from topodraw.model.gear import Tagged


@dataclass(frozen=True, slots=True)
class End:
    """Where a cable ends: a port (perhaps a panel's rear, or one lane of a breakout), or a remote."""

    gear: str | None
    port: str | None
    back: bool = False
    lane: int | None = None
    remote: str | None = None

    def __str__(self) -> str:
        if self.remote is not None:
            return self.remote
        lane = f":{self.lane}" if self.lane is not None else ""
        return f"{self.gear}/{self.port}{lane}{':back' if self.back else ''}"


@dataclass(frozen=True, slots=True)
class Cable:
    """One data cable; its VLANs, where stated here, have been given to the ports at both ends."""

    name: str
    ends: tuple[End, End]
    medium: Medium
    length_m: float | None = None
    phy: str | None = None
    speed_bps: int | None = None
    purpose: str | None = None
    colour: str | None = None
    within: tuple[str, ...] = ()
    active: bool = False
    connectors: tuple[str, ...] = ()
    state: State = "in-service"


class Run(Named):
    """A duct, multicore cable or breakout that several cables share: what fails together."""

    kind: Annotated[Literal["duct", "multicore", "breakout"], Field(description="What it is.")]
    length_m: Annotated[Metres | None, Field(alias="length", description="Its length.")] = None
    places: Annotated[OneOrMore, Field(description="Places it leads through or between.")] = ()


AggregateMode = Literal["lacp", "static", "active-standby", "spread"]


@dataclass(frozen=True, slots=True)
class Aggregate:
    """Cables that act as one (IEEE 802.1AX). `modes` gives the mode of each gear that differs from `mode`."""

    name: str
    cables: tuple[str, ...]
    mode: AggregateMode
    modes: tuple[tuple[str, AggregateMode], ...] = ()
    untagged: str | None = None
    tagged: Tagged = ()
    cost: int | None = None
    least: int | None = None

    def mode_of(self, gear: str) -> AggregateMode:
        """The mode that `gear`'s end is set to."""
        return dict(self.modes).get(gear, self.mode)


class Stack(Named):
    """Bridges that act as one towards aggregates; `control: shared` also share one control plane."""

    members: Annotated[
        tuple[str, ...],
        Field(min_length=1, description="Its bridges, in order.", examples=[["core-1", "core-2"]]),
    ]
    control: Annotated[
        Literal["shared", "separate"], Field(description="One control plane for all, or one each.")
    ]
    joined_by: Annotated[
        OneOrMore, Field(alias="joined-by", description="Cables that join the members.")
    ] = ()
    priority: Annotated[
        Whole | None, Field(description="Spanning-tree priority of the whole: 0 to 61440 in steps of 4096.")
    ] = None
    mac: Annotated[MacAddress | None, Field(description="MAC address of the whole.")] = None


@dataclass(frozen=True, slots=True)
class Cord:
    """A power cord from an outlet (of gear, or of a breaker) to an inlet: `ends` as written."""

    name: str
    outlet: tuple[str, str | None]
    """(gear or breaker, outlet name); the name is None where a breaker has no named outlets."""
    outlet_is_breaker: bool
    inlet: tuple[str, str]
    length_m: float | None = None
    rating_a: float | None = None


class Breaker(Named):
    """A protected electrical branch that feeds the site."""

    voltage_v: Annotated[Volts, Field(alias="voltage", description="Voltage.")]
    rating_a: Annotated[Amperes, Field(alias="rating", description="Rated current.")]
    phases: Annotated[Literal[1, 3], Field(description="How many phases it has.")] = 1
    feed: Annotated[
        Literal["A", "B"] | None, Field(description="The feed it belongs to, where there are two.")
    ] = None
    outlets: Annotated[
        dict[str, str],
        Field(description="Named outlets, and the coupler of each.", examples=[{"s1..s2": "C19"}]),
    ] = {}


__all__ = [
    "Aggregate", "AggregateMode", "Breaker", "Cable", "Cord", "End", "Run", "SourcePath", "Stack",
]  # fmt: skip
