"""How a line looks: colour by purpose, weight by speed, pattern by medium, dashes for what is not in
service."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from topodraw.compute.facts import Facts
from topodraw.compute.links import Link
from topodraw.draw.cabling.ends import CableEnds, length_words, speed_words
from topodraw.draw.theme import PurposeLook
from topodraw.model.cabling import Cable
from topodraw.model.network import Remote

Pattern = Literal["copper", "fibre", "twinax", "radio", "service", "bundle"]
_WEIGHTS = ((25e9, 3.4), (10e9, 2.4), (2.5e9, 1.9), (1e9, 1.5), (0.0, 1.1))
_UNKNOWN_WEIGHT = 1.3


@dataclass(frozen=True, slots=True)
class Look:
    """A line's appearance, and what it says to who points at it. `id` and `kind` are the SVG group's."""

    pattern: Pattern
    weight: float
    purpose: PurposeLook | None
    out_of_service: bool
    speed_bps: float | None
    kind: str
    name: str
    title: str
    desc: str


def weight_for(speed_bps: float | None) -> float:
    """The width of a line in px for a speed."""
    if speed_bps is None:
        return _UNKNOWN_WEIGHT
    return next(weight for least, weight in _WEIGHTS if speed_bps >= least)


def pattern_for(medium: str) -> Pattern:
    """The pattern of a medium."""
    if medium.startswith("O"):
        return "fibre"
    if medium in ("twinax", "radio"):
        return "twinax" if medium == "twinax" else "radio"
    return "copper"


def cable_look(cable: Cable, facts: Facts, looks: Mapping[str, PurposeLook], ends: CableEnds) -> Look:
    """The look of one cable."""
    link = ends.link_of.get(cable.name)
    speed = link.speed_bps if link else None
    words = [
        cable.purpose or "",
        speed_words(speed) if speed else "",
        cable.medium,
        length_words(cable.length_m) if cable.length_m is not None else "",
        link.phy or "" if link else "",
        f"in {link.aggregate}" if link and link.aggregate else "",
        f"through {', '.join(cable.within)}" if cable.within else "",
        "tagged " + ", ".join(ends.vlans(cable)) if ends.vlans(cable) else "",
        cable.state.replace("-", " ") if cable.state != "in-service" else "",
    ]
    if link and link.cables != (cable.name,):
        words.append(f"part of the link {link.ends[0]} to {link.ends[1]}")
    words += [f"discarding at {end}" for number, end in enumerate(cable.ends) if ends.discards(cable, number)]
    return Look(
        pattern_for(cable.medium),
        weight_for(speed),
        looks.get(cable.purpose or ""),
        cable.state != "in-service",
        speed,
        "cable",
        cable.name,
        f"{cable.name}: {cable.ends[0]} to {cable.ends[1]}",
        ", ".join(word for word in words if word),
    )


def link_look(link: Link, facts: Facts, looks: Mapping[str, PurposeLook], ends: CableEnds) -> Look:
    """The look of a whole link, as its first cable's."""
    look = cable_look(facts.site.cables[link.cables[0]], facts, looks, ends)
    carried = all(facts.site.cables[name].state == "in-service" for name in link.cables)
    words = [look.desc] if len(link.cables) == 1 else [look.desc, f"through {', '.join(link.through)}"]
    return replace(
        look,
        kind="cable",
        name="--".join(link.cables),
        title=f"{', '.join(link.cables)}: {link.ends[0]} to {link.ends[1]}",
        desc=", ".join(words),
        out_of_service=not carried,
    )


def service_look(remote: Remote) -> Look:
    """The look of what reaches a site without a cable of its own."""
    return Look(
        "service",
        1.2,
        None,
        False,
        None,
        "remote",
        remote.name,
        f"{remote.name}: {remote.kind} by {remote.by}",
        "",
    )


def bundle_look(purposes: Sequence[PurposeLook | None], name: str, title: str) -> Look:
    """The look of several cables drawn as one."""
    kinds = list(dict.fromkeys(purposes))
    purpose = kinds[0] if len(kinds) == 1 else None
    return Look("bundle", 3.4, purpose, False, None, "bundle", name, title, "")
