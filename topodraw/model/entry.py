"""The base of everything that the source language describes."""

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field


class Entry(BaseModel):
    """One description in the source: frozen, and unknown keys are refused.

    A field's alias is its key in the source; a field whose name ends in a unit holds numbers in that unit.
    """

    model_config = ConfigDict(
        frozen=True, extra="forbid", defer_build=True, populate_by_name=False, allow_inf_nan=False
    )


class Named(Entry):
    """An entry of a section: its name is the key it stands under, so it can't be written inside it."""

    name: Annotated[str, Field(alias="@name")]
