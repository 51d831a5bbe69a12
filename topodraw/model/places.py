"""Rooms, buildings and racks."""

from typing import Annotated, Any, Literal

from pydantic import Field, model_validator

from topodraw.model.entry import Named
from topodraw.model.fields import Kilograms, KilogramsPerSquareMetre, Millimetres, Watts, Whole


class Rack(Named):
    """A cabinet of `units` height units; its name is unique in the site."""

    place: Annotated[str, Field(alias="@place")]
    units: Annotated[Whole, Field(ge=1, le=60)]
    depth_mm: Annotated[Millimetres | None, Field(alias="depth")] = None
    width_mm: Annotated[Millimetres | None, Field(alias="width")] = None
    max_load_kg: Annotated[Kilograms | None, Field(alias="max-load")] = None
    cooling_w: Annotated[Watts | None, Field(alias="cooling")] = None
    numbering: Literal["bottom-up", "top-down"] = "bottom-up"


class Place(Named):
    """A room or building; it may hold racks."""

    title: str
    cooling_w: Annotated[Watts | None, Field(alias="cooling")] = None
    floor_load_kg_m2: Annotated[KilogramsPerSquareMetre | None, Field(alias="floor-load")] = None
    racks: dict[str, Rack] = {}

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
