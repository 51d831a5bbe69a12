"""Port maps: for each gear every port, what is plugged in, where it leads, and what is free."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from topodraw.compute.facts import Facts
from topodraw.compute.links import Link
from topodraw.model.cabling import Cable, End
from topodraw.model.gear import Gear, Port
from topodraw.report.cable_schedule import link_of_cable
from topodraw.report.tables import text_table
from topodraw.report.wording import port_kind, vlan_text, where_text
from topodraw.source.quantities import speed_text

CSV_HEADINGS = (
    "gear", "model", "where", "state", "port", "kind", "use", "cable", "far_end", "speed_bps", "aggregate",
    "vlans", "note",
)  # fmt: skip

_HEADINGS: tuple[str, ...] = (
    "Port", "Kind", "Use", "Cable", "Far end", "Speed", "Aggregate", "VLANs", "Note",
)  # fmt: skip
_PANEL_HEADINGS: tuple[str, ...] = ("Port", "Kind", "Use", "Front", "Leads to", "Back", "Leads to")
_COUNTED = re.compile(r"(.*?)([0-9]+)")


@dataclass(frozen=True, slots=True)
class PortLine:
    """One port, one face of a panel's port, or one lane of a split port.

    `use` is `free`, `shut` or `in use`; `far_end` is the far port of the link, for a panel that of the cable.
    """

    port: str
    kind: str
    use: str
    cable: str = ""
    far_end: str = ""
    speed_bps: int | None = None
    aggregate: str = ""
    vlans: str = ""
    note: str = ""
    is_back: bool = False


Plugged = Mapping[str, list[tuple[Cable, End]]]
"""By `gear/port`: the cables plugged in, each with its end there."""


def port_maps(facts: Facts) -> list[tuple[Gear, list[PortLine]]]:
    """Every gear that has ports, in source order, with a line for each port in faceplate order."""
    plugged: dict[str, list[tuple[Cable, End]]] = {}
    for cable in facts.site.cables.values():
        for end in cable.ends:
            if end.gear is not None:
                plugged.setdefault(f"{end.gear}/{end.port}", []).append((cable, end))
    links = link_of_cable(facts)
    return [
        (gear, [line for port in gear.ports.values() for line in _lines(port, plugged, links)])
        for gear in facts.site.gear.values()
        if gear.ports
    ]


def _lines(port: Port, plugged: Plugged, links: Mapping[str, Link]) -> list[PortLine]:
    here = plugged.get(port.reference, [])
    if not port.hardware.through:
        return [_used(port, cable, end, links) for cable, end in here] or [_free(port)]
    lines = []
    for back in (False, True):
        used = [_used(port, cable, end, links) for cable, end in here if end.back == back]
        lines += used or [replace(_free(port), is_back=back)]
    return lines


def _free(port: Port) -> PortLine:
    use = "shut" if port.shut else "free"
    return PortLine(port.name, port_kind(port), use, vlans=vlan_text(port.vlans), note=_purpose(port))


def _used(port: Port, cable: Cable, end: End, links: Mapping[str, Link]) -> PortLine:
    link = links.get(cable.name)
    far_end = str(cable.ends[1] if cable.ends[0] == end else cable.ends[0])
    if link is not None and not port.hardware.through:
        far_end = link.ends[1] if link.ends[0] == str(end) else link.ends[0]
    state = "" if cable.state == "in-service" else f"{cable.state} cable"
    return PortLine(
        port=port.name if end.lane is None else f"{port.name}:{end.lane}",
        kind=port_kind(port),
        use="shut" if port.shut else "in use",
        cable=cable.name,
        far_end=far_end,
        speed_bps=link.speed_bps if link else None,
        aggregate=(link.aggregate or "") if link else "",
        vlans=vlan_text(port.vlans),
        note="; ".join(part for part in (_purpose(port), state) if part),
        is_back=end.back,
    )


def _purpose(port: Port) -> str:
    return "" if port.hardware.use == "data" else port.hardware.use


def port_text(facts: Facts) -> str:
    """The port map of each gear as text tables, with how many ports are free."""
    return "\n".join(_map_text(gear, lines) for gear, lines in port_maps(facts))


def _map_text(gear: Gear, lines: list[PortLine]) -> str:
    about = [gear.name, f"{gear.function} {gear.hardware.name}"]
    about += [text for text in (where_text(gear), "" if gear.state == "in-service" else gear.state) if text]
    rows: list[tuple[str, ...]]
    if any(port.hardware.through for port in gear.ports.values()):
        headings, rows = _PANEL_HEADINGS, _panel_rows(lines)
    else:
        headings, rows = _HEADINGS, [_row(line) for line in lines]
    free = sum(row[2] == "free" for row in rows)
    return f"{', '.join(about)}: {free} of {len(gear.ports)} free\n{text_table(headings, _fold(rows))}"


def _row(line: PortLine) -> tuple[str, ...]:
    use = "" if line.use == "in use" else line.use
    speed = speed_text(line.speed_bps)
    return (line.port, line.kind, use, line.cable, line.far_end, speed, line.aggregate, line.vlans, line.note)


def _panel_rows(lines: list[PortLine]) -> list[tuple[str, ...]]:
    """A row for each port of a panel, with both its faces; it is free where neither is plugged."""
    rows = []
    for port in dict.fromkeys(line.port for line in lines):
        front, back = (
            [line for line in lines if line.port == port and line.is_back == side] for side in (False, True)
        )
        cells = [
            ", ".join(getattr(line, key) for line in face)
            for face in (front, back)
            for key in ("cable", "far_end")
        ]
        rows.append((port, front[0].kind, "" if any(cells) else "free", *cells))
    return rows


def _fold(rows: Sequence[tuple[str, ...]]) -> list[tuple[str, ...]]:
    """Put neighbouring unplugged ports that are alike but for their number on one row, `p9..p12`."""
    folded: list[tuple[str, ...]] = []
    for row in rows:
        last = folded[-1] if folded else None
        if last and row[2] and last[1:] == row[1:] and _follows(last[0].rpartition("..")[2], row[0]):
            folded[-1] = (f"{last[0].partition('..')[0]}..{row[0]}", *row[1:])
        else:
            folded.append(row)
    return folded


def _follows(one: str, two: str) -> bool:
    first, second = _COUNTED.fullmatch(one), _COUNTED.fullmatch(two)
    return bool(first and second and first[1] == second[1] and int(second[2]) == int(first[2]) + 1)


def port_records(facts: Facts) -> list[tuple[str, ...]]:
    """The port maps as rows under `CSV_HEADINGS`, one a port, face or lane; unknown is empty."""
    return [
        (
            gear.name,
            gear.hardware.name,
            where_text(gear),
            gear.state,
            f"{line.port}:back" if line.is_back else line.port,
            line.kind,
            line.use,
            line.cable,
            line.far_end,
            "" if line.speed_bps is None else str(line.speed_bps),
            line.aggregate,
            line.vlans,
            line.note,
        )
        for gear, lines in port_maps(facts)
        for line in lines
    ]
