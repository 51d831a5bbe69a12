"""The site: everything one model describes."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated, Literal

from pydantic import Field

from topodraw.model.cabling import Aggregate, Breaker, Cable, Cord, End, Run, Stack
from topodraw.model.entry import Entry
from topodraw.model.fields import Fraction, Number
from topodraw.model.gear import Gear, Port
from topodraw.model.hardware import Hardware
from topodraw.model.hosting import Cluster, Copy, Pool, Workload
from topodraw.model.network import Conduit, Remote, Vlan, Zone
from topodraw.model.places import Place, Rack
from topodraw.model.promises import Promise, Waiver


class SiteInfo(Entry):
    """What the title block says, and settings that hold for the whole site."""

    name: Annotated[str, Field(min_length=1, description="Its full name, for the title block.")]
    ref: Annotated[
        str,
        Field(
            min_length=1, max_length=16, description="A short reference, used on labels.", examples=["SMF"]
        ),
    ]
    owner: Annotated[str | None, Field(description="Who answers for it.")] = None
    issue: Annotated[str | None, Field(description="Revision letter of the drawings.", examples=["B"])] = None
    date: Annotated[
        str | None, Field(description="Date of issue, for the title block.", examples=["2026-05-04"])
    ] = None
    creator: Annotated[str | None, Field(description="Who drew it up.")] = None
    approver: Annotated[str | None, Field(description="Who approved it.")] = None
    path_costs: Annotated[
        Literal[2004, 1998],
        Field(alias="path-costs", description="Table of spanning-tree costs: IEEE 802.1D of that year."),
    ] = 2004
    load_factor: Annotated[
        Fraction,
        Field(
            alias="load-factor",
            description="Share of a breaker's rating that may be loaded for long; default 80%.",
        ),
    ] = 0.8
    price_per_kwh: Annotated[Number | None, Field(alias="price", ge=0, description="What one kWh costs.")] = (
        None
    )
    about: Annotated[str | None, Field(description="A few words about the site.")] = None


class Purpose(Entry):
    """What a jacket colour means here."""

    colour: Annotated[str, Field(description="Jacket colour of its cables.")]


@dataclass(frozen=True, slots=True)
class Site:
    """One model, read whole: names to things, references resolved, nothing computed.

    Mappings keep the source's order. Every name that a field refers to exists.
    """

    info: SiteInfo
    hardware: Mapping[str, Hardware] = field(default_factory=dict)
    places: Mapping[str, Place] = field(default_factory=dict)
    gear: Mapping[str, Gear] = field(default_factory=dict)
    cables: Mapping[str, Cable] = field(default_factory=dict)
    runs: Mapping[str, Run] = field(default_factory=dict)
    aggregates: Mapping[str, Aggregate] = field(default_factory=dict)
    stacks: Mapping[str, Stack] = field(default_factory=dict)
    cords: Mapping[str, Cord] = field(default_factory=dict)
    breakers: Mapping[str, Breaker] = field(default_factory=dict)
    vlans: Mapping[str, Vlan] = field(default_factory=dict)
    zones: Mapping[str, Zone] = field(default_factory=dict)
    """Includes `internet`, always."""
    conduits: tuple[Conduit, ...] = ()
    clusters: Mapping[str, Cluster] = field(default_factory=dict)
    pools: Mapping[str, Pool] = field(default_factory=dict)
    workloads: Mapping[str, Workload] = field(default_factory=dict)
    copies: tuple[Copy, ...] = ()
    naming: Mapping[str, str] = field(default_factory=dict)
    remotes: Mapping[str, Remote] = field(default_factory=dict)
    purposes: Mapping[str, Purpose] = field(default_factory=dict)
    expect: tuple[Promise, ...] = ()
    waivers: tuple[Waiver, ...] = ()

    @property
    def racks(self) -> dict[str, Rack]:
        """Every rack, in the order of the places."""
        return {name: rack for place in self.places.values() for name, rack in place.racks.items()}

    def port(self, end: End) -> Port | None:
        """The port a cable's end is in; None for a remote."""
        if end.gear is None or end.port is None:
            return None
        return self.gear[end.gear].ports[end.port]
