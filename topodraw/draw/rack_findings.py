"""Which findings and open questions belong on a rack's sheet: those about how its gear stands, weighs, blows
and is fed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from topodraw.draw.rack_contents import Occupant, RackContents, Side
from topodraw.model.finding import Finding, SourcePath, Unchecked
from topodraw.model.site import Site

_PHYSICAL_SECTIONS = ("cords", "breakers", "places")
_PHYSICAL_GEAR_KEYS = (
    "at",
    "mounted",
    "model",
    "place",
    "node-of",
    "state",
    "mass",
    "draw",
    "count",
    "after",
)
_PHYSICAL_HARDWARE_KEYS = ("size", "power", "airflow", "poe")


def is_physical(at: SourcePath) -> bool:
    """Whether the text to change is about the body of things, not about what runs over their ports."""
    section, key = at[0] if at else "", at[2] if len(at) > 2 else None
    if section == "gear":
        return key is None or key in _PHYSICAL_GEAR_KEYS
    if section == "hardware":
        return key is None or key in _PHYSICAL_HARDWARE_KEYS
    return section in _PHYSICAL_SECTIONS


def about_rack(findings: Iterable[Finding], contents: RackContents, site: Site) -> list[Finding]:
    """The findings that stand on this rack's sheet."""
    names = _names(contents, site)
    return [finding for finding in findings if is_physical(finding.at) and _things(finding.on) & names]


def unchecked_about_rack(
    unchecked: Iterable[Unchecked], contents: RackContents, site: Site
) -> list[Unchecked]:
    """What could not be judged about this rack and the bodies in it: questions that name only gear, cords or
    the rack."""
    names = _names(contents, site)
    return [each for each in unchecked if _things(each.on) and _things(each.on) <= names and _bodily(each)]


def _bodily(unchecked: Unchecked) -> bool:
    words = (
        "mass",
        "depth",
        "units",
        "power",
        "draw",
        "airflow",
        "inlet",
        "outlet",
        "cord",
        "capacity",
        "runtime",
    )
    return any(word in unchecked.missing or word in unchecked.rule for word in words)


def _names(contents: RackContents, site: Site) -> set[str]:
    everyone = (*contents.occupants, *contents.outside)
    names = {contents.name, *(each.name for each in everyone)}
    names |= {node.name for each in everyone for node in each.nodes}
    names |= {
        cord.name
        for cord in site.cords.values()
        if cord.inlet[0] in names or (not cord.outlet_is_breaker and cord.outlet[0] in names)
    }
    return names


def _things(on: Iterable[str]) -> set[str]:
    return {reference.split("/", 1)[0] for reference in on}


def subjects(finding: Finding, contents: RackContents, site: Site) -> list[tuple[Occupant, Side]]:
    """The gear of this rack that a finding is about, and the side of the rack from which the matter is
    seen."""
    found: dict[str, tuple[Occupant, Side]] = {}
    for reference in finding.on:
        name, _, part = reference.partition("/")
        for gear, detail in _gear_named(name, part, site):
            occupant = _occupant_of(gear, contents.occupants)
            if occupant is not None and occupant.name not in found:
                found[occupant.name] = (occupant, _side(occupant, detail))
    return list(found.values())


def _gear_named(name: str, part: str, site: Site) -> list[tuple[str, str]]:
    if name in site.gear:
        return [(name, part)]
    if name in site.cords:
        cord = site.cords[name]
        source = [] if cord.outlet_is_breaker else [(cord.outlet[0], cord.outlet[1] or "")]
        return [cord.inlet, *source]
    return []


def _occupant_of(gear: str, occupants: Sequence[Occupant]) -> Occupant | None:
    for occupant in occupants:
        if gear == occupant.name or any(node.name == gear for node in occupant.nodes):
            return occupant
    return None


def _side(occupant: Occupant, part: str) -> Side:
    """Where a port, outlet or inlet of it is seen; the gear's own side for the gear as a whole."""
    behind: Side = "rear" if occupant.side == "front" else "front"
    face = occupant.back
    at_back = [*(port.name for port in (*face.ports, *face.outlets)), *(inlet.name for inlet in face.inlets)]
    at_front = {port.name for port in (*occupant.faceplate.ports, *occupant.faceplate.outlets)}
    return behind if part in at_back and part not in at_front else occupant.side
