"""Colours of fibres, jackets and connectors: ANSI/TIA-598-C and TIA-568.3-D."""

from typing import NamedTuple

from topodraw.standards.published import Mark, Published


class FibreColours(NamedTuple):
    """The customary jacket and connector colour of a medium."""

    medium: str
    jacket: str
    connector: str
    source: str
    mark: Mark


FIBRE_ORDER = Published(
    (
        "blue",
        "orange",
        "green",
        "brown",
        "slate",
        "white",
        "red",
        "black",
        "yellow",
        "violet",
        "rose",
        "aqua",
    ),
    "",
    "ANSI/TIA-598-C",
    "checked",
    "fibres 1 to 12; 13 to 24 repeat them with a stripe",
)

_SOURCE = "ANSI/TIA-598-C; TIA-568.3-D"
FIBRE_COLOURS = (
    FibreColours("OM1", "orange", "beige", _SOURCE, "checked"),
    FibreColours("OM2", "orange", "black", f"{_SOURCE}; connector from memory", "memory"),
    FibreColours("OM3", "aqua", "aqua", f"{_SOURCE}; connector from memory", "memory"),
    FibreColours("OM4", "aqua", "aqua", f"{_SOURCE}; connector from memory", "memory"),
    FibreColours("OM5", "lime", "lime", f"{_SOURCE}; connector from memory", "memory"),
    FibreColours("OS1", "yellow", "blue", _SOURCE, "checked"),
    FibreColours("OS2", "yellow", "blue", _SOURCE, "checked"),
)


def fibre_colours(medium: str) -> FibreColours | None:
    """Return the customary colours of a fibre medium, or None for a medium that is no fibre."""
    return next((row for row in FIBRE_COLOURS if row.medium == medium), None)


def fibre_colour(number: int) -> str:
    """Return the colour of fibre ``number`` (from 1) in a cable, ANSI/TIA-598-C; 13 to 24 end in ``striped``.

    Raises ValueError for a number outside 1 to 24.
    """
    if not 1 <= number <= 2 * len(FIBRE_ORDER.value):
        raise ValueError(
            f"fibre {number} has no colour: the code runs from 1 to {2 * len(FIBRE_ORDER.value)}"
        )
    turn, place = divmod(number - 1, len(FIBRE_ORDER.value))
    return FIBRE_ORDER.value[place] + (" striped" if turn else "")
