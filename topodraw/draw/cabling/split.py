"""How the gear of a site is shared out among sheets, so that each stays readable."""

from __future__ import annotations

from collections.abc import Sequence

from topodraw.compute.facts import Facts

_GEAR_ON_ONE = 16
_CABLES_ON_ONE = 34
_GEAR_ON_SHARED = 14
_GEAR_ON_DETAIL = 36


def fits_one_sheet(facts: Facts, drawn: Sequence[str]) -> bool:
    """Whether a site is small enough to be drawn whole on one sheet."""
    return len(drawn) <= _GEAR_ON_ONE and len(facts.site.cables) <= _CABLES_ON_ONE


def parts(facts: Facts, drawn: Sequence[str]) -> list[tuple[list[str], list[str]]]:
    """Places that share a sheet, and their gear; small places that follow each other share one.

    A place with too much gear for a sheet is cut into several, rack by rack and then by number.
    """
    by_place: dict[str, list[str]] = {name: [] for name in facts.site.places}
    by_place[""] = []
    for name in drawn:
        by_place[facts.site.gear[name].place or ""].append(name)
    found: list[tuple[list[str], list[str]]] = []
    for place, gear in by_place.items():
        if not gear:
            continue
        last = found[-1] if found else None
        if last and len(last[1]) + len(gear) <= _GEAR_ON_SHARED:
            last[0].append(place)
            last[1].extend(gear)
            continue
        found += [([place], piece) for piece in _pieces(facts, gear)]
    return found


def _pieces(facts: Facts, gear: Sequence[str]) -> list[list[str]]:
    if len(gear) <= _GEAR_ON_DETAIL:
        return [list(gear)]
    racks: dict[str, list[str]] = {}
    for name in gear:
        position = facts.site.gear[name].position
        racks.setdefault(position.rack if position else "", []).append(name)
    return [
        list(own[start : start + _GEAR_ON_DETAIL])
        for own in racks.values()
        for start in range(0, len(own), _GEAR_ON_DETAIL)
    ]
