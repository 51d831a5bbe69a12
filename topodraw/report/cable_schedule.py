"""The cable schedule: each cable, both its ends, what it is and what it carries."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from topodraw.compute.facts import Facts
from topodraw.compute.links import Link
from topodraw.model.cabling import Cable
from topodraw.model.site import Site
from topodraw.report.tables import text_table
from topodraw.report.wording import length_text, vlan_text
from topodraw.source.quantities import speed_text

CSV_HEADINGS = (
    "cable", "from", "to", "medium", "length_m", "phy", "speed_bps", "purpose", "colour", "runs", "state",
    "link_from", "link_to", "through", "aggregate", "vlans",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class CableLine:
    """One cable with the link it is part of; `link` is None where the path stops at an empty panel port."""

    cable: Cable
    link: Link | None
    vlans: str


def cable_lines(facts: Facts) -> list[CableLine]:
    """Every cable in the order of the source."""
    link_of = link_of_cable(facts)
    return [
        CableLine(cable, link, _vlans(facts.site, link))
        for cable in facts.site.cables.values()
        for link in (link_of.get(cable.name),)
    ]


def link_of_cable(facts: Facts) -> Mapping[str, Link]:
    """The link that each cable is part of."""
    return {cable: link for link in facts.links for cable in link.cables}


def _vlans(site: Site, link: Link | None) -> str:
    """What the ports at the ends of a link do with VLANs: once where they agree, else end by end."""
    if link is None:
        return ""
    said = []
    for name, end in zip(link.ends, link.terminals, strict=True):
        port = site.port(end)
        text = vlan_text(port.vlans if port else None)
        if text:
            said.append((name, text))
    if len({text for _, text in said}) == 1:
        return said[0][1]
    return " | ".join(f"{name}: {text}" for name, text in said)


def cable_text(facts: Facts) -> str:
    """The cable schedule as a text table: a row a cable, its path and VLANs under it where there are any."""
    lines = cable_lines(facts)
    headings = ("Cable", "From", "To", "Medium", "Length", "PHY", "Purpose", "Colour", "Runs", "State")
    return text_table(headings, [_row(line) for line in lines], [_note(line) for line in lines])


def _row(line: CableLine) -> tuple[str, ...]:
    cable = line.cable
    return (
        cable.name,
        str(cable.ends[0]),
        str(cable.ends[1]),
        cable.medium,
        length_text(cable.length_m),
        _phy(line.link),
        cable.purpose or "",
        cable.colour or "",
        ", ".join(cable.within),
        "" if cable.state == "in-service" else cable.state,
    )


def _phy(link: Link | None) -> str:
    if link is None:
        return ""
    return link.phy or speed_text(link.speed_bps) or ("none" if link.why else "")


def _note(line: CableLine) -> str:
    parts = []
    if line.link is None:
        parts.append("ends at a panel port with nothing in its other face")
    elif line.link.through:
        first, last = line.link.ends
        parts.append(f"part of {first} - {last} via {', '.join(line.link.through)}")
    if line.link is not None and line.link.why:
        parts.append(f"no PHY: {line.link.why}")
    if line.link is not None and line.link.aggregate:
        parts.append(f"aggregate {line.link.aggregate}")
    if line.vlans:
        parts.append(line.vlans)
    return " | ".join(parts)


def cable_records(facts: Facts) -> list[tuple[str, ...]]:
    """The cable schedule as rows under `CSV_HEADINGS`; unknown is empty."""
    return [_record(line) for line in cable_lines(facts)]


def _record(line: CableLine) -> tuple[str, ...]:
    cable, link = line.cable, line.link
    return (
        cable.name,
        str(cable.ends[0]),
        str(cable.ends[1]),
        cable.medium,
        "" if cable.length_m is None else f"{cable.length_m:g}",
        (link.phy or "") if link else "",
        "" if link is None or link.speed_bps is None else str(link.speed_bps),
        cable.purpose or "",
        cable.colour or "",
        " ".join(cable.within),
        cable.state,
        link.ends[0] if link else "",
        link.ends[1] if link else "",
        " ".join(link.through) if link else "",
        (link.aggregate or "") if link else "",
        line.vlans,
    )
