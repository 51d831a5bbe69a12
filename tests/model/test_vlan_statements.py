"""Who speaks for a port: the port itself, then the aggregate, then the nearest cable of its link."""

from pathlib import Path

import pytest

from tests.model.sites import read_text, site_of
from topodraw.model.gear import VlanStatement
from topodraw.model.site import Site

TEXT = """\
hardware:
  sw: {function: switch, ports: {p1..p4: {jack: RJ45}}}
  pan: {function: panel, ports: {1..4: {jack: RJ45}}}
gear:
  a: {model: sw, ports: {p4: {tagged: [red]}}}
  b: {model: sw}
  pan-1: {model: pan, ports: {1: {untagged: red}}}
  pan-2: {model: pan}
cables:
  A1..A4: {ends: [a/p1..p4, pan-1/1..4], medium: Cat6}
  M1..M4: {ends: [pan-1/1..4:back, pan-2/1..4:back], medium: Cat6}
  B1..B3: {ends: [pan-2/1..3, b/p1..p3], medium: Cat6}
vlans: {red: {id: 10}, blue: {id: 20}}
"""


def site(folder: Path, *changes: tuple[str, str]) -> Site:
    text = TEXT
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return site_of(read_text(folder, text))


@pytest.fixture
def stated(tmp_path: Path) -> Site:
    """`red` on the cables at one end, `blue` on those at the other, an aggregate of two in the middle."""
    return site(
        tmp_path,
        ("[a/p1..p4, pan-1/1..4], medium: Cat6", "[a/p1..p4, pan-1/1..4], medium: Cat6, untagged: red"),
        ("[pan-2/1..3, b/p1..p3], medium: Cat6", "[pan-2/1..3, b/p1..p3], medium: Cat6, untagged: blue"),
        ("vlans:", "aggregates: {pair: {cables: [M2, M3], tagged: [red, blue]}}\nvlans:"),
    )


def test_the_nearest_cable_speaks_for_a_port(stated: Site) -> None:
    assert stated.gear["a"].ports["p1"].vlans == VlanStatement("red", (), ("cables", "A1"))
    assert stated.gear["b"].ports["p1"].vlans == VlanStatement("blue", (), ("cables", "B1"))


def test_an_aggregate_goes_before_cables_at_both_ends_of_its_links(stated: Site) -> None:
    pair = VlanStatement(None, ("red", "blue"), ("aggregates", "pair"))
    for gear in ("a", "b"):
        assert [stated.gear[gear].ports[port].vlans for port in ("p2", "p3")] == [pair, pair]


def test_a_port_speaks_first_for_itself(stated: Site) -> None:
    own = VlanStatement(None, ("red",), ("gear", "a", "ports", "p4"))
    assert stated.gear["a"].ports["p4"].vlans == own


def test_a_panels_port_carries_whatever_the_link_does(stated: Site) -> None:
    for panel in ("pan-1", "pan-2"):
        assert [port.vlans for port in stated.gear[panel].ports.values()] == [None] * 4


def test_panels_patched_in_a_circle_end_the_search(tmp_path: Path) -> None:
    circle = site(
        tmp_path,
        ("A1..A4: {ends: [a/p1..p4, pan-1/1..4]", "A1..A4: {ends: [pan-2/1..4, pan-1/1..4]"),
        ("  B1..B3: {ends: [pan-2/1..3, b/p1..p3], medium: Cat6}\n", ""),
        ("pan-2/1..4:back], medium: Cat6}", "pan-2/1..4:back], medium: Cat6, untagged: red}"),
    )
    assert circle.gear["a"].ports["p1"].vlans is None
