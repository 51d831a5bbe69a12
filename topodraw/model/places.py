"""Rooms, buildings and racks."""

from typing import Annotated, Any, Literal

from pydantic import Field, model_validator

from topodraw.model.entry import Named
from topodraw.model.fields import Kilograms, KilogramsPerSquareMetre, Millimetres, Watts, Whole


class Rack(Named):
    """A cabinet of `units` height units; its name is unique in the site."""

    place: Annotated[str, Field(alias="@place")]
    units: Annotated[Whole, Field(ge=1, le=60, description="Height in rack units.")]
    depth_mm: Annotated[
        Millimetres | None, Field(alias="depth", description="Depth inside, for gear and its cables.")
    ] = None
    width_mm: Annotated[Millimetres | None, Field(alias="width", description="Outer width.")] = None
    max_load_kg: Annotated[
        Kilograms | None, Field(alias="max-load", description="The most mass that it may carry.")
    ] = None
    cooling_w: Annotated[
        Watts | None, Field(alias="cooling", description="Heat that can be taken away from it.")
    ] = None
    numbering: Annotated[
        Literal["bottom-up", "top-down"], Field(description="Where unit 1 is: at the bottom, or at the top.")
    ] = "bottom-up"


class Place(Named):
    """A room or building; it may hold racks."""

    title: Annotated[str, Field(description="What people call it.", examples=["Comms room"])]
    cooling_w: Annotated[
        Watts | None, Field(alias="cooling", description="Heat that can be taken away from the room.")
    ] = None
    floor_load_kg_m2: Annotated[
        KilogramsPerSquareMetre | None, Field(alias="floor-load", description="What its floor bears.")
    ] = None
    racks: Annotated[
        dict[str, Rack],
        Field(
            description="Racks in it; their names are unique in the site.", examples=[{"A": {"units": "42"}}]
        ),
    ] = {}

    @model_validator(mode="before")
    @classmethod
    def _name_racks(cls, value: Any) -> Any:
        """Each rack is told its own name and where it stands."""
        racks = value.get("racks") if isinstance(value, dict) else None
        if not isinstance(racks, dict):
            return value
        told = {
            name: {**rack, "@name": name, "@place": value["@name"]} if isinstance(rack, dict) else rack
            for name, rack in racks.items()
        }
        return {**value, "racks": told}
