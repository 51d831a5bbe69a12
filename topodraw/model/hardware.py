"""The catalogue: one entry for each model of equipment owned."""

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from topodraw.model.entry import Entry, Named
from topodraw.model.fields import (
    ONE_OR_MORE,
    BitsPerSecond,
    Bytes,
    Fraction,
    Kilograms,
    Millimetres,
    Number,
    OneOrMore,
    Seconds,
    Truth,
    VoltAmperes,
    Watts,
    Whole,
)

Function = Literal[
    "switch", "router", "firewall", "server", "storage", "access-point", "camera", "phone", "workstation",
    "printer", "sensor", "panel", "cable-manager", "ups", "pdu", "transfer-switch", "converter", "injector",
    "module", "blank", "shelf", "other",
]  # fmt: skip
Airflow = Literal["front-to-rear", "rear-to-front", "left-to-right", "right-to-left", "fanless"]


class PoeSource(Entry):
    """What a port feeds: an IEEE 802.3 type (1-4), or a class (1-8)."""

    type: Annotated[
        Whole | None,
        Field(ge=1, le=4, description="IEEE 802.3 type, 1 to 4: what it can feed."),
    ] = None
    poe_class: Annotated[
        Whole | None,
        Field(
            alias="class", ge=1, le=8, description="Highest class it feeds, where the type doesn't say it."
        ),
    ] = None


class PoweredPort(Entry):
    """What a port takes by PoE: its class, and what it really draws."""

    poe_class: Annotated[Whole, Field(alias="class", ge=0, le=8, description="IEEE 802.3 class it asks for.")]
    draw_w: Annotated[
        Watts | None,
        Field(alias="draw", description="What it really draws."),
    ] = None


class HardwarePort(Entry):
    """A fixed connector (`jack`) or an opening for a module (`cage`) on the faceplate."""

    jack: Annotated[str | None, Field(description="A fixed connector.", examples=["RJ45"])] = None
    cage: Annotated[
        str | None, Field(description="An opening for a pluggable module.", examples=["SFP+"])
    ] = None
    speeds_bps: Annotated[
        tuple[BitsPerSecond, ...],
        ONE_OR_MORE,
        Field(alias="speeds", description="Speeds it can run.", examples=[["1G", "2.5G"]]),
    ] = ()
    poe: Annotated[PoeSource | None, Field(description="Feeds the far end by PoE.")] = None
    powered: Annotated[PoweredPort | None, Field(description="Is fed from the far end by PoE.")] = None
    through: Annotated[Truth, Field(description="A panel's port: it has a front and a back.")] = False
    use: Annotated[
        Literal["data", "console", "management"], Field(alias="for", description="What it is there for.")
    ] = "data"
    rows: Annotated[
        Whole | None, Field(ge=1, le=4, description="Rows in which a range of ports stands on the faceplate.")
    ] = None


class Size(Entry):
    """Outer size; without `units` the thing is not rack-mounted."""

    units: Annotated[Whole | None, Field(ge=1, le=60, description="Height in rack units of 44.45 mm.")] = None
    width: Annotated[Literal["full", "half"], Field(description="Full or half the width of a rack.")] = "full"
    depth_mm: Annotated[
        Millimetres | None, Field(alias="depth", description="Depth behind the rack's front rails.")
    ] = None
    mass_kg: Annotated[Kilograms | None, Field(alias="mass", description="Mass of one.")] = None
    nodes: Annotated[
        Whole | None, Field(ge=1, description="How many nodes fit inside, where it is a chassis.")
    ] = None


class Outlet(Entry):
    """A power outlet: its coupler, and the bank and phase it belongs to."""

    coupler: Annotated[str, Field(description="Kind of outlet.", examples=["C13"])]
    bank: Annotated[str | None, Field(description="The group of outlets that share a fuse.")] = None
    phase: Annotated[str | None, Field(description="The phase that feeds it.", examples=["L1"])] = None


def _outlet(value: Any) -> Any:
    return {"coupler": value} if isinstance(value, str) else value


class Power(Entry):
    """What it draws and feeds. `draw` and `max` leave out the PoE that is handed on."""

    draw_w: Annotated[
        Watts | None,
        Field(alias="draw", description="What it usually draws, without the PoE that it hands on."),
    ] = None
    max_w: Annotated[
        Watts | None, Field(alias="max", description="The most it draws, without the PoE that it hands on.")
    ] = None
    factor: Annotated[Number | None, Field(gt=0, le=1, description="Power factor: W divided by VA.")] = None
    inlets: Annotated[
        dict[str, str],
        Field(description="Inlet names, and the coupler of each.", examples=[{"a": "C14", "b": "C14"}]),
    ] = {}
    inlets_needed: Annotated[
        Whole | None,
        Field(alias="inlets-needed", ge=1, description="How many inlets must be live for it to run."),
    ] = None
    outlets: Annotated[
        dict[str, Annotated[Outlet, BeforeValidator(_outlet, json_schema_input_type=str | Outlet)]],
        Field(description="Outlet names, and the coupler of each.", examples=[{"o1..o8": "C13"}]),
    ] = {}
    capacity_w: Annotated[
        Watts | None, Field(alias="capacity", description="The most it can feed, in W.")
    ] = None
    capacity_va: Annotated[
        VoltAmperes | None, Field(alias="capacity-va", description="The most it can feed, in VA.")
    ] = None
    runtime_s: Annotated[
        dict[Watts, Seconds],
        Field(
            alias="runtime",
            description="How long its battery lasts under which load.",
            examples=[{"400W": "55min", "800W": "24min"}],
        ),
    ] = {}


class PoeBudget(Entry):
    """All that a gear can hand on by PoE; it may depend on how many inlets are live."""

    budget_w: Annotated[
        Watts | dict[int, Watts],
        Field(
            alias="budget",
            description="Power for all ports together; by live inlets where it depends on them.",
            examples=[{"1": "370W", "2": "740W"}],
        ),
    ]
    efficiency: Annotated[
        Fraction | None, Field(description="Share of the power drawn for PoE that reaches the ports.")
    ] = None


class Hardware(Named):
    """One model of equipment. `ports` stand in faceplate order, ranges expanded."""

    function: Annotated[Function, Field(description="What it is for.")]
    size: Annotated[Size | None, Field(description="Outer size; without units it is not rack-mounted.")] = (
        None
    )
    power: Annotated[Power | None, Field(description="What it draws and feeds.")] = None
    airflow: Annotated[Airflow | None, Field(description="Which way air goes through it.")] = None
    poe: Annotated[PoeBudget | None, Field(description="Power that it can hand on by PoE.")] = None
    memory_bytes: Annotated[Bytes | None, Field(alias="memory", description="Memory.")] = None
    cpus: Annotated[Number | None, Field(gt=0, description="Processor cores.")] = None
    forwards_stated: Annotated[
        Truth | None,
        Field(
            alias="forwards",
            description="Bridges frames between its ports; default true for switch and access-point.",
        ),
    ] = None
    filters_stated: Annotated[
        Truth | None, Field(alias="filters", description="Enforces conduits; default true for firewall.")
    ] = None
    managed: Annotated[Truth, Field(description="Can be set up: VLANs, spanning tree.")] = True
    port_names: Annotated[
        dict[str, str] | str | None,
        Field(
            alias="port-names",
            description="How the gear itself calls its ports.",
            examples=[{"x1..x24": "1/0/1..1/0/24"}],
        ),
    ] = None
    ports: Annotated[
        dict[str, HardwarePort],
        Field(
            description="Its ports in faceplate order; a range writes many at once.",
            examples=[{"p1..p24": {"jack": "RJ45"}, "u1..u2": {"cage": "SFP+"}}],
        ),
    ] = {}
    # for `function: module`
    form: Annotated[
        str | None, Field(description="A module: the kind of cage that it fits.", examples=["SFP+"])
    ] = None
    phys: Annotated[
        OneOrMore, Field(description="A module: the PHYs that it runs.", examples=["10GBASE-LR"])
    ] = ()
    connector: Annotated[
        str | None, Field(description="A module: the connector of its cable.", examples=["LC"])
    ] = None
    polish: Annotated[
        Literal["flat", "angled"] | None, Field(description="A module: polish of its fibre ends.")
    ] = None
    transmit: Annotated[
        str | None, Field(description="A module: the wavelength it sends.", examples=["1310nm"])
    ] = None
    receive: Annotated[
        str | None, Field(description="A module: the wavelength it hears.", examples=["1550nm"])
    ] = None

    @property
    def forwards(self) -> bool:
        """Whether it bridges frames between its ports."""
        if self.forwards_stated is not None:
            return self.forwards_stated
        return self.function in ("switch", "access-point")

    @property
    def filters(self) -> bool:
        """Whether it enforces conduits."""
        if self.filters_stated is not None:
            return self.filters_stated
        return self.function == "firewall"
