"""Which outlet each inlet hangs on, in as few characters as a faceplate has room for."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from topodraw.model.cabling import Cord
from topodraw.model.site import Site

_LAST_NUMBER = re.compile(r"[0-9]+$")


@dataclass(frozen=True, slots=True)
class InletFace:
    """An inlet: its name, what is written at it (nothing where no cord is in it), and the cord in words."""

    name: str
    label: str
    title: str


def power_strip_keys(site: Site, gear_names: Iterable[str]) -> dict[str, str]:
    """A short key for each PDU that feeds one of the gear: its feed's letter, or with a number where several
    share it."""
    fed = set(gear_names)
    strips = sorted(
        {
            cord.outlet[0]
            for cord in site.cords.values()
            if not cord.outlet_is_breaker
            and cord.inlet[0] in fed
            and site.gear[cord.outlet[0]].function == "pdu"
        }
    )
    keys: dict[str, str] = {}
    for strip in strips:
        letter = feed_of(site, strip) or "P"
        same = sum(key[0] == letter for key in keys.values())
        keys[strip] = f"{letter}{same + 1}/" if same else letter
    return keys


def feed_of(site: Site, gear: str) -> str | None:
    """The feed, A or B, that a gear hangs on through however many UPSs and PDUs; None where that is neither
    one."""
    return _feed(site, gear, frozenset())


def _feed(site: Site, gear: str, seen: frozenset[str]) -> str | None:
    feeds: set[str | None] = set()
    for cord in site.cords.values():
        if cord.inlet[0] != gear:
            continue
        source = cord.outlet[0]
        if cord.outlet_is_breaker:
            feeds.add(site.breakers[source].feed)
        elif source not in seen:
            feeds.add(_feed(site, source, seen | {gear}))
    return feeds.pop() if len(feeds) == 1 else None


def inlet_faces(site: Site, gear: str, keys: Mapping[str, str]) -> tuple[InletFace, ...]:
    """The inlets of a gear in the order of its hardware."""
    power = site.gear[gear].hardware.power
    cords = {cord.inlet[1]: cord for cord in site.cords.values() if cord.inlet[0] == gear}
    return tuple(_inlet(name, cords.get(name), keys) for name in (power.inlets if power else ()))


def _inlet(name: str, cord: Cord | None, keys: Mapping[str, str]) -> InletFace:
    if cord is None:
        return InletFace(name, "", f"inlet {name}, no cord")
    source, outlet = cord.outlet
    full = source if outlet is None else f"{source}/{outlet}"
    label = full
    if source in keys and outlet is not None:
        number = _LAST_NUMBER.search(outlet)
        label = keys[source] + (number.group() if number else outlet)
    return InletFace(name, label, f"inlet {name}, on {full} by cord {cord.name}")


def outlets_used(site: Site, gear: str) -> frozenset[str]:
    """Names of the outlets of a gear that have a cord in them."""
    return frozenset(
        cord.outlet[1]
        for cord in site.cords.values()
        if cord.outlet[0] == gear and not cord.outlet_is_breaker and cord.outlet[1] is not None
    )
