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

    type: Annotated[Whole | None, Field(ge=1, le=4)] = None
    poe_class: Annotated[Whole | None, Field(alias="class", ge=1, le=8)] = None


class PoweredPort(Entry):
    """What a port takes by PoE: its class, and what it really draws."""

    poe_class: Annotated[Whole, Field(alias="class", ge=0, le=8)]
    draw_w: Annotated[Watts | None, Field(alias="draw")] = None


class HardwarePort(Entry):
    """A fixed connector (`jack`) or an opening for a module (`cage`) on the faceplate."""

    jack: str | None = None
    cage: str | None = None
    speeds_bps: Annotated[tuple[BitsPerSecond, ...], ONE_OR_MORE, Field(alias="speeds")] = ()
    poe: PoeSource | None = None
    powered: PoweredPort | None = None
    through: Truth = False
    use: Annotated[Literal["data", "console", "management"], Field(alias="for")] = "data"
    rows: Annotated[Whole | None, Field(ge=1, le=4)] = None


class Size(Entry):
    """Outer size; without `units` the thing is not rack-mounted."""

    units: Annotated[Whole | None, Field(ge=1, le=60)] = None
    width: Literal["full", "half"] = "full"
    depth_mm: Annotated[Millimetres | None, Field(alias="depth")] = None
    mass_kg: Annotated[Kilograms | None, Field(alias="mass")] = None
    nodes: Annotated[Whole | None, Field(ge=1)] = None


class Outlet(Entry):
    """A power outlet: its coupler, and the bank and phase it belongs to."""

    coupler: str
    bank: str | None = None
    phase: str | None = None


def _outlet(value: Any) -> Any:
    return {"coupler": value} if isinstance(value, str) else value


class Power(Entry):
    """What it draws and feeds. `draw` and `max` leave out the PoE that is handed on."""

    draw_w: Annotated[Watts | None, Field(alias="draw")] = None
    max_w: Annotated[Watts | None, Field(alias="max")] = None
    factor: Annotated[Number | None, Field(gt=0, le=1)] = None
    inlets: dict[str, str] = {}
    inlets_needed: Annotated[Whole | None, Field(alias="inlets-needed", ge=1)] = None
    outlets: dict[str, Annotated[Outlet, BeforeValidator(_outlet, json_schema_input_type=str | Outlet)]] = {}
    capacity_w: Annotated[Watts | None, Field(alias="capacity")] = None
    capacity_va: Annotated[VoltAmperes | None, Field(alias="capacity-va")] = None
    runtime_s: Annotated[dict[Watts, Seconds], Field(alias="runtime")] = {}


class PoeBudget(Entry):
    """All that a gear can hand on by PoE; it may depend on how many inlets are live."""

    budget_w: Annotated[Watts | dict[int, Watts], Field(alias="budget")]
    efficiency: Fraction | None = None


class Hardware(Named):
    """One model of equipment. `ports` stand in faceplate order, ranges expanded."""

    function: Function
    size: Size | None = None
    power: Power | None = None
    airflow: Airflow | None = None
    poe: PoeBudget | None = None
    memory_bytes: Annotated[Bytes | None, Field(alias="memory")] = None
    cpus: Annotated[Number | None, Field(gt=0)] = None
    forwards_stated: Annotated[Truth | None, Field(alias="forwards")] = None
    filters_stated: Annotated[Truth | None, Field(alias="filters")] = None
    managed: Truth = True
    port_names: Annotated[dict[str, str] | str | None, Field(alias="port-names")] = None
    ports: dict[str, HardwarePort] = {}
    # for `function: module`
    form: str | None = None
    phys: OneOrMore = ()
    connector: str | None = None
    polish: Literal["flat", "angled"] | None = None
    transmit: str | None = None
    receive: str | None = None

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
