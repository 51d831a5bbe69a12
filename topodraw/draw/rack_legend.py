"""The legend of a rack sheet, from what its gear shows."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from topodraw.draw.faceplate import PortFace, PortSpot
from topodraw.draw.legend import LegendEntry, LegendGroup, port_entries, purposes_legend
from topodraw.draw.port_shapes import inlet, inlet_width, port_groups
from topodraw.draw.primitives import Group, Hatch, Path, Rect, Shape, Text
from topodraw.draw.rack_contents import RackContents
from topodraw.draw.rack_depth import air_sample
from topodraw.draw.rack_plates import OFF_HATCH_OPACITY
from topodraw.draw.theme import PurposeLook, Theme


def rack_legend(
    contents: RackContents, looks: Sequence[PurposeLook], theme: Theme
) -> tuple[LegendGroup, ...]:
    """Only what is on the sheet: purposes, kinds and states of ports, power, states of gear, air."""
    ports = list(_ports(contents))
    used = [look for look in looks if any(port.look == look for port in ports)]
    purposes = purposes_legend(tuple(used), theme)
    if any(port.used and port.look is None and port.kind != "outlet" for port in ports):
        patch = Rect(0, 1, 25, 14, theme.colour("no-purpose"))
        purposes = LegendGroup(
            purposes.heading, (*purposes.entries, LegendEntry((patch,), 44, "none stated"))
        )
    return (
        purposes,
        LegendGroup("ports", tuple(port_entries(ports, lambda port: _sample(port, theme)))),
        LegendGroup("power", tuple(_power_entries(contents, ports, theme))),
        LegendGroup("gear", tuple(_gear_entries(contents, theme))),
    )


def _ports(contents: RackContents) -> Iterator[PortFace]:
    for occupant in contents.occupants:
        if occupant.state != "in-service":
            continue
        for face in (occupant.faceplate, occupant.back):
            yield from face.ports
            yield from face.outlets
        for node in occupant.nodes:
            yield from node.ports


def _sample(port: PortFace, theme: Theme) -> Shape:
    spot = PortSpot(port, 1, 1, 18, 15, "top", "1", 13.1)
    (port_group,) = port_groups((spot,), theme, face="legend", gear="", labels="inside", within="")
    return Group(port_group.shapes)


def _power_entries(contents: RackContents, ports: Sequence[PortFace], theme: Theme) -> Iterator[LegendEntry]:
    for strip, key in contents.strip_keys.items():
        label = f"{key}5"
        words = f"inlet, on {strip}/5"
        yield LegendEntry((_inlet(label, theme),), inlet_width(label), words)
    inlets = [
        each
        for occupant in contents.occupants
        if occupant.state == "in-service"
        for face in (occupant.faceplate, occupant.back)
        for each in face.inlets
    ]
    if any(not each.label for each in inlets):
        yield LegendEntry((_inlet("", theme),), inlet_width(""), "inlet, no cord")
    for used in (True, False):
        like = [port for port in ports if port.kind == "outlet" and port.used == used]
        if like:
            yield LegendEntry((_sample(like[0], theme),), 22, f"outlet, {'used' if used else 'free'}")


def _inlet(label: str, theme: Theme) -> Shape:
    return Group(inlet(0, 0, label, theme=theme, within="", title="", identifier="").shapes)


def _gear_entries(contents: RackContents, theme: Theme) -> Iterator[LegendEntry]:
    states = {occupant.state for occupant in contents.occupants}
    ink = theme.ink
    if "planned" in states:
        yield LegendEntry((Rect(0, 1, 34, 14, theme.paper, ink, 1.2, (6, 4)),), 34, "planned")
    if "switched-off" in states:
        hatch = Hatch("diagonal", ink, OFF_HATCH_OPACITY, 9)
        yield LegendEntry((Rect(0, 1, 34, 14, hatch, ink, 1.2),), 34, "switched off")
    if "spare" in states:
        yield LegendEntry((Rect(0, 1, 34, 14, theme.plate, ink, 1.2, (1.5, 2.5)),), 34, "spare")
    airflows = {occupant.airflow for occupant in contents.occupants if occupant.state == "in-service"}
    if airflows - {None, "fanless"}:
        yield LegendEntry(air_sample(theme), 34, "way the air goes")
    if airflows - {None, "fanless"} or any(each.function == "cable-manager" for each in contents.occupants):
        lines = tuple(((2 + 4.5 * n, 2), (2 + 4.5 * n, 14)) for n in range(7))
        yield LegendEntry((Path(lines, stroke=ink, weight=0.8, opacity=0.35),), 34, "vent or brush")
    if any(occupant.depth_mm is None for occupant in contents.occupants):
        yield LegendEntry((Text(17, 12.7, "?", ink, style="mono", anchor="middle"),), 34, "depth not stated")
