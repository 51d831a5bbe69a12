"""Mains couplers and feed plugs: IEC 60320, IEC 60309, NEMA WD 6.

A cord's connector (``C13``) goes over the inlet of the gear (``C14``). An outlet strip has the connector's
shape and a cord's plug the inlet's, so one table serves both ends of a cord.
"""

from types import MappingProxyType
from typing import NamedTuple

from topodraw.standards.published import Mark, UnknownEntryError


class Coupler(NamedTuple):
    """One half of a coupler: ``female`` halves are connectors and outlets, the others inlets and plugs.

    Currents in A: the international rating and the North American one, where it is known. ``hot_c`` is the
    temperature in degrees Celsius that the inlet's pins may reach.
    """

    name: str
    female: bool
    current_a: float
    north_american_a: float | None
    voltage_v: float
    hot_c: int
    fits_into: tuple[str, ...]
    source: str
    mark: Mark


class FeedPlug(NamedTuple):
    """A plug that joins a site's distribution to a breaker. Three-phase voltages are line to line."""

    name: str
    current_a: float
    voltage_v: float
    phases: int
    source: str
    mark: Mark


_IEC, _NEMA, _IEC_FEED = "IEC 60320-1 standard sheets", "NEMA WD 6", "IEC 60309-2"


def _pair(
    names: tuple[str, str],
    current_a: float,
    north_american_a: float | None,
    hot_c: int,
    fits_into: tuple[str, ...],
    mark: Mark,
) -> tuple[Coupler, Coupler]:
    female, male = names
    return (
        Coupler(female, True, current_a, north_american_a, 250, hot_c, fits_into, _IEC, mark),
        Coupler(male, False, current_a, north_american_a, 250, hot_c, (), _IEC, mark),
    )


_COUPLERS = (
    *_pair(("C5", "C6"), 2.5, None, 70, ("C6",), "checked"),
    *_pair(("C7", "C8"), 2.5, None, 70, ("C8",), "checked"),
    *_pair(("C13", "C14"), 10, 15, 70, ("C14",), "checked"),
    *_pair(("C15", "C16"), 10, 15, 120, ("C16", "C14"), "checked"),
    *_pair(("C19", "C20"), 16, 20, 70, ("C20",), "checked"),
    *_pair(("C21", "C22"), 16, 20, 155, ("C22", "C20"), "memory"),
)
COUPLERS = MappingProxyType({entry.name: entry for entry in _COUPLERS})
"""Every coupler half by name, each female half before the inlet made for it."""

_FEED_PLUGS = (
    FeedPlug("NEMA 5-15", 15, 120, 1, _NEMA, "checked"),
    FeedPlug("NEMA 5-20", 20, 120, 1, _NEMA, "checked"),
    FeedPlug("NEMA L5-20", 20, 120, 1, _NEMA, "checked"),
    FeedPlug("NEMA L5-30", 30, 120, 1, _NEMA, "memory"),
    FeedPlug("NEMA L6-20", 20, 208, 1, _NEMA, "memory"),
    FeedPlug("NEMA L6-30", 30, 208, 1, _NEMA, "checked"),
    FeedPlug("NEMA L21-20", 20, 208, 3, _NEMA, "memory"),
    FeedPlug("NEMA L21-30", 30, 208, 3, _NEMA, "memory"),
    FeedPlug("IEC 60309 60 A 3P+E", 60, 208, 3, _IEC_FEED, "memory"),
    FeedPlug("IEC 60309 16 A blue", 16, 230, 1, _IEC_FEED, "memory"),
    FeedPlug("IEC 60309 32 A blue", 32, 230, 1, _IEC_FEED, "memory"),
    FeedPlug("IEC 60309 16 A red", 16, 400, 3, _IEC_FEED, "memory"),
    FeedPlug("IEC 60309 32 A red", 32, 400, 3, _IEC_FEED, "memory"),
)
FEED_PLUGS = MappingProxyType({entry.name: entry for entry in _FEED_PLUGS})
"""Every feed plug by name."""


def coupler(name: str) -> Coupler:
    """Return the coupler half called ``name`` (``C13``). Raises UnknownEntryError if there is none."""
    try:
        return COUPLERS[name]
    except KeyError:
        raise UnknownEntryError("coupler", name, COUPLERS) from None


def mates(female: str, male: str) -> bool:
    """Say whether a connector or outlet goes over an inlet or plug, by the sheets of IEC 60320-1.

    C15 also goes over C14, and C21 over C20, never the other way round: the cooler half must not meet hot
    pins. Raises UnknownEntryError for a name that is not in the table.
    """
    return coupler(male).name in coupler(female).fits_into


def rated_current_a(name: str, north_american: bool = False) -> float | None:
    """Return a coupler's rated current in A, IEC 60320-1; None where no North American rating is known.

    Raises UnknownEntryError for a name that is not in the table.
    """
    row = coupler(name)
    return row.north_american_a if north_american else row.current_a
