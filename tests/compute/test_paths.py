"""Paths of cable against an independent judge: connected components by networkx.

Every face of a port is a node; a cable joins two, and a panel joins the two faces of each of its ports.
"""

from __future__ import annotations

import networkx as nx
from hypothesis import given, settings
from hypothesis import strategies as st

from topodraw.compute.paths import find_paths
from topodraw.model.cabling import Cable, End
from topodraw.model.gear import Gear, Port
from topodraw.model.hardware import Hardware, HardwarePort
from topodraw.model.site import Site, SiteInfo

PANELS, PORTS, STATIONS = 4, 3, 6


def plant(ends: list[End]) -> Site:
    """Panels of a few ports and stations of one, and cables between the given ends taken two by two."""
    gear = {}
    for number in range(PANELS + STATIONS):
        name = f"pan-{number}" if number < PANELS else f"st-{number - PANELS}"
        names = [str(port) for port in range(PORTS)] if number < PANELS else ["eth"]
        kind = HardwarePort.model_validate({"jack": "RJ45", "through": number < PANELS})
        hardware = Hardware.model_validate({"@name": "m", "function": "other"})
        gear[name] = Gear(name, hardware, {port: Port(name, port, 1, 1, kind) for port in names})
    pairs = zip(ends[::2], ends[1::2], strict=False)
    cables = {f"C{n}": Cable(f"C{n}", pair, "Cat6", 1.0) for n, pair in enumerate(pairs)}
    return Site(SiteInfo(name="Saltmarsh", ref="SMF"), gear=gear, cables=cables)


FACES = [
    *(
        End(f"pan-{n // PORTS}", str(n % PORTS), back)
        for n in range(PANELS * PORTS)
        for back in (False, True)
    ),
    *(End(f"st-{number}", "eth") for number in range(STATIONS)),
]


def components(site: Site) -> set[tuple[frozenset[str], frozenset[str], frozenset[str]]]:
    """For every component that has a cable: its cables, the stations in it, and its panel ports."""
    graph = nx.Graph()
    for face in FACES:
        if face.gear and face.gear.startswith("pan"):
            graph.add_edge((face.gear, face.port, False), (face.gear, face.port, True))
    for cable in site.cables.values():
        one, two = ((end.gear, end.port, end.back) for end in cable.ends)
        graph.add_edge(one, two, cable=cable.name)
    found = set()
    for nodes in nx.connected_components(graph):
        part = graph.subgraph(nodes)
        cables = frozenset(name for *_, name in part.edges(data="cable") if name)
        stations = frozenset(f"{gear}/{port}" for gear, port, _ in nodes if gear.startswith("st"))
        panels = frozenset(f"{gear}/{port}" for gear, port, _ in nodes if gear.startswith("pan"))
        if cables:
            found.add((cables, stations, panels))
    return found


@settings(max_examples=200, deadline=None)
@given(st.permutations(FACES).flatmap(lambda ends: st.integers(0, len(ends)).map(lambda n: list(ends[:n]))))
def test_paths_are_the_connected_components_of_cables_and_panels(ends: list[End]) -> None:
    site = plant(ends)
    paths = find_paths(site)
    assert {
        (
            frozenset(cable.name for cable in path.cables),
            frozenset(str(end) for end in path.ends if end is not None),
            frozenset(path.through),
        )
        for path in paths
    } == components(site)
    assert sum(len(path.cables) for path in paths) == len(site.cables)
    for path in paths:
        for one, two in zip(path.cables, path.cables[1:], strict=False):
            ports = [{(end.gear, end.port) for end in cable.ends} for cable in (one, two)]
            assert ports[0] & ports[1], "neighbouring cables meet in one panel port"
