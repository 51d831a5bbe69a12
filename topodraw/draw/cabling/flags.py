"""Which findings stand on a cabling sheet, and on what of it: a box, or the line that they are about."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from topodraw.draw.cabling.geometry import Geometry
from topodraw.draw.cabling.plan import End
from topodraw.draw.cabling.plates import FLAGS_ROW, Plate
from topodraw.draw.cabling.scene import SHARED, Scene, Strand
from topodraw.draw.finding_marks import Mark, flag_width, numbered
from topodraw.draw.primitives import TEXT_SIZE
from topodraw.draw.rack_findings import is_physical
from topodraw.draw.text_metrics import width as width_of
from topodraw.model.finding import Finding, Unchecked

_ELSEWHERE = ("zones", "vlans", "conduits", "workloads", "clusters", "pools", "copies")
"""Sections whose findings stand on the zones sheet."""


def about_cabling(findings: Iterable[Finding]) -> list[Finding]:
    """The findings about what is plugged, forwarded and carried."""
    return [
        finding
        for finding in findings
        if not is_physical(finding.at) and finding.at[:1] not in {(s,) for s in _ELSEWHERE}
    ]


def attach(scene: Scene, findings: Sequence[Finding]) -> list[tuple[int, Finding]]:
    """Hang the findings that concern the scene on its boxes and lines; returns them with their numbers."""
    lines = _line_names(scene)
    here = [finding for finding in findings if _spot(finding, scene, lines) and _whole(finding, scene)]
    listed = numbered(here)
    scene.flags, scene.wire_flags = {}, {}
    for number, finding in listed:
        spot = _spot(finding, scene, lines)
        target = scene.flags if spot in scene.levels else scene.wire_flags
        target[spot] = (*target.get(spot, ()), number)
    return listed


def _line_names(scene: Scene) -> dict[str, str]:
    """Keys of lines by the names of their cables, their aggregates, and the ports that they end on."""
    found: dict[str, str] = {}
    for strand in scene.strands:
        if strand.look.kind != "cable":
            continue
        for name in strand.look.name.split("--") if strand.key.startswith("link:") else [strand.look.name]:
            found[f"cable {name}"] = strand.key
        for end in strand.ends:
            gear = scene.gear(end.box)
            if gear:
                found[f"port {gear.name}/{end.socket}"] = strand.key
    for ring in scene.rings:
        found[f"aggregate {ring.key}"] = ring.wires[0]
    return found


def _whole(finding: Finding, scene: Scene) -> bool:
    """Whether all gear that a finding names is on the sheet, or the sheet shows gear in full."""
    site = scene.facts.site
    named = [reference.partition("/")[0] for reference in finding.on]
    return not scene.only_used or all(f"gear:{name}" in scene.levels for name in named if name in site.gear)


def _spot(finding: Finding, scene: Scene, lines: Mapping[str, str]) -> str:
    """The key of the line or box that a finding stands on; empty where it isn't about anything here."""
    for reference in finding.on:
        for kind in ("port", "cable", "aggregate"):
            if f"{kind} {reference}" in lines:
                return lines[f"{kind} {reference}"]
        gear = reference.partition("/")[0]
        members = scene.facts.site.stacks[gear].members if gear in scene.facts.site.stacks else (gear,)
        for name in members:
            for key in (f"gear:{name}", f"remote:{name}"):
                if key in scene.levels:
                    return key
    return ""


def move_to_boxes(scene: Scene, listed: Sequence[tuple[int, Finding]], found: Geometry) -> bool:
    """Flags of lines that have no free level stretch go to the box at the line's end that their finding
    names; tells whether any did."""
    by_number = dict(listed)
    placed = {note.wire for note in found.notes}
    moved = False
    for strand in scene.strands:
        numbers = scene.wire_flags.get(strand.key)
        if not numbers or strand.key in placed:
            continue
        for number in numbers:
            box = _named_end(scene, strand, by_number[number])
            scene.flags[box] = (*scene.flags.get(box, ()), number)
        del scene.wire_flags[strand.key]
        moved = True
    return moved


def _named_end(scene: Scene, strand: Strand, finding: Finding) -> str:
    """The box at the end of a line whose port the finding names, else whose gear, else the first."""

    def distance(end: End) -> int:
        gear = scene.gear(end.box)
        if gear is None:
            return 3
        port = end.socket.partition(SHARED)[0]
        return 0 if f"{gear.name}/{port}" in finding.on else 1 if gear.name in finding.on else 2

    return min(strand.ends, key=distance).box


def marks(
    scene: Scene, listed: Sequence[tuple[int, Finding]], plates: Mapping[str, Plate], found: Geometry
) -> list[Mark]:
    """Where each finding's flag stands."""
    by_number = dict(listed)
    result: list[Mark] = []
    for key, numbers in scene.flags.items():
        x, y = found.boxes[key]
        left = x + 5
        for number in numbers:
            middle = y + plates[key].height - FLAGS_ROW / 2 - 1
            result.append(Mark(number, by_number[number], left, middle, key.split(":", 1)[1]))
            left += flag_width(number) + 4
    strands = {strand.key: strand for strand in scene.strands}
    for note in found.notes:
        numbers = scene.wire_flags.get(note.wire, ())
        label = strands[note.wire].label
        left = note.x + (width_of(label, TEXT_SIZE, "mono") + 6 if label else 0)
        for number in numbers:
            result.append(Mark(number, by_number[number], left, note.y - 13, strands[note.wire].look.name))
            left += flag_width(number) + 4
    return sorted(result, key=lambda mark: mark.number)


def unchecked_here(scene: Scene, unchecked: Iterable[Unchecked]) -> list[Unchecked]:
    """What could not be judged about the cables, ports and gear of a scene."""
    names = {strand.look.name for strand in scene.strands}
    ports = {
        f"{one.name}/{name}" for one in (scene.gear(key) for key in scene.levels) if one for name in one.ports
    }
    known = names | ports | {ring.key for ring in scene.rings}
    return [each for each in unchecked if each.on and all(thing in known for thing in each.on)]
