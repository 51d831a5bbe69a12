"""Power over Ethernet: classes and types of IEEE 802.3 clauses 33 and 145."""

from types import MappingProxyType
from typing import NamedTuple

from topodraw.standards.published import Mark, UnknownEntryError


class PoeClass(NamedTuple):
    """What a class reserves at the source (``source_w``) and may draw at the load's end (``load_w``), in W.

    ``type_number`` is the least type of source that gives the whole class.
    """

    number: int
    source_w: float
    load_w: float
    pairs: int
    type_number: int
    source: str
    mark: Mark


class PoeType(NamedTuple):
    """The electrical limits of a type: current for each pair set in A, voltages in V, loop resistance in ohm.

    ``cable_floor`` names the least cable category.
    """

    number: int
    highest_class: int
    current_a: float
    source_least_v: float
    load_least_v: float
    most_v: float
    loop_ohm: float
    cable_floor: str
    source: str
    mark: Mark


_CLAUSE_33, _CLAUSE_145 = "IEEE 802.3 clause 33", "IEEE 802.3 clause 145"

_CLASSES = (
    PoeClass(0, 15.4, 12.95, 2, 1, _CLAUSE_33, "checked"),
    PoeClass(1, 4.0, 3.84, 2, 1, _CLAUSE_33, "checked"),
    PoeClass(2, 7.0, 6.49, 2, 1, _CLAUSE_33, "checked"),
    PoeClass(3, 15.4, 12.95, 2, 1, _CLAUSE_33, "checked"),
    PoeClass(4, 30.0, 25.5, 2, 2, _CLAUSE_33, "checked"),
    PoeClass(5, 45.0, 40.0, 4, 3, _CLAUSE_145, "checked"),
    PoeClass(6, 60.0, 51.0, 4, 3, _CLAUSE_145, "checked"),
    PoeClass(7, 75.0, 62.0, 4, 4, _CLAUSE_145, "checked"),
    PoeClass(8, 90.0, 71.3, 4, 4, _CLAUSE_145, "checked"),
)
POE_CLASSES = MappingProxyType({entry.number: entry for entry in _CLASSES})
"""Every class by number."""

_TYPES = (
    PoeType(1, 3, 0.350, 44, 37, 57, 20, "Cat3", f"{_CLAUSE_33}; loop and cable from memory", "memory"),
    PoeType(2, 4, 0.600, 50, 42.5, 57, 12.5, "Cat5", f"{_CLAUSE_33}; loop from memory", "memory"),
    PoeType(3, 6, 0.600, 50, 42.5, 57, 12.5, "Cat5e", _CLAUSE_145, "checked"),
    PoeType(4, 8, 0.960, 52, 41.1, 57, 12.5, "Cat5e", f"{_CLAUSE_145}; cable from memory", "memory"),
)
POE_TYPES = MappingProxyType({entry.number: entry for entry in _TYPES})
"""Every type by number."""


def poe_class(number: int) -> PoeClass:
    """Return the class 0 to 8. Raises UnknownEntryError for any other number."""
    try:
        return POE_CLASSES[number]
    except KeyError:
        raise UnknownEntryError("PoE class", number, POE_CLASSES) from None


def poe_type(number: int) -> PoeType:
    """Return the type 1 to 4. Raises UnknownEntryError for any other number."""
    try:
        return POE_TYPES[number]
    except KeyError:
        raise UnknownEntryError("PoE type", number, POE_TYPES) from None


def highest_class_of_type(number: int) -> PoeClass:
    """Return the highest class that a source of a type gives in full.

    Raises UnknownEntryError for a type other than 1 to 4.
    """
    return poe_class(poe_type(number).highest_class)


def granted_class(load_class: int, source_class: int) -> PoeClass:
    """Return the class that a source able to give ``source_class`` grants to a load of ``load_class``.

    A load above the source's class is demoted to it (IEEE 802.3 clause 145, from memory); class 0 counts
    as the 15.4 W that it reserves. Raises UnknownEntryError for a class other than 0 to 8.
    """
    load, most = poe_class(load_class), poe_class(source_class)
    return load if load.source_w <= most.source_w else most
