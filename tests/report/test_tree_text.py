"""The spanning tree in words."""

from __future__ import annotations

from pathlib import Path

from tests.rules.sites import read_text, usable
from topodraw.report.reach_text import reach_lines
from topodraw.report.tree_text import tree_lines

SITE = """\
topodraw: 1
site: {name: Small, ref: S}
hardware:
  sw: {function: switch, ports: {p1..p4: {jack: RJ45, speeds: [1G]}}}
  dumb: {function: switch, managed: false, ports: {p1..p4: {jack: RJ45, speeds: [1G]}}}
cables:
  C1..C2: {ends: [north/p1..p2, south/p1..p2], medium: Cat6, length: 1m}
gear:
"""


def told(folder: Path, gear: str) -> str:
    lines = tree_lines(usable(read_text(folder, SITE + gear)))
    return "\n".join(" " * line.indent + line.text for line in lines)


def test_priority_decides_and_the_second_cable_discards(tmp_path: Path) -> None:
    text = told(
        tmp_path,
        "  north: {model: sw, bridge: {priority: 4096}}\n  south: {model: sw, bridge: {priority: 8192}}\n",
    )
    assert text == (
        "Root: north\n"
        "  Its priority 4096 is the lowest of 2 bridges; the next is south with 8192.\n"
        "\n"
        "  bridge  priority  root port  cost to root  towards\n"
        "  north   4096      -          0             (root)\n"
        "  south   8192      south/p1   20000         north/p1\n"
        "\n"
        "Discarding ends (1):\n"
        "  discarding end  of bridge  role       cost   towards\n"
        "  south/p2        south      alternate  20000  north/p2"
    )


def test_with_equal_priorities_the_lower_address_decides(tmp_path: Path) -> None:
    text = told(
        tmp_path,
        "  north: {model: sw, mac: 02:00:5e:10:00:02}\n  south: {model: sw, mac: 02:00:5e:10:00:01}\n",
    )
    assert text.startswith(
        "Root: south\n"
        "  Its priority 32768 is the lowest, and north has the same.\n"
        "  Then the lowest MAC address decides: 02:00:5e:10:00:01 is its own.\n"
    )


def test_an_unknown_address_leaves_the_root_to_chance(tmp_path: Path) -> None:
    assert "left to chance" in told(tmp_path, "  north: {model: sw}\n  south: {model: sw}\n")


def test_bridges_outside_the_tree_are_named(tmp_path: Path) -> None:
    text = told(tmp_path, "  north: {model: sw}\n  south: {model: dumb}\n")
    assert "Bridges that run no spanning tree: south." in text


def test_a_site_without_spanning_tree_says_so(tmp_path: Path) -> None:
    assert told(tmp_path, "  north: {model: dumb}\n  south: {model: dumb}\n") == (
        "No bridge of this site runs spanning tree."
    )


def test_reach_tells_hops_with_their_tag_and_speed(tmp_path: Path) -> None:
    site = SITE.replace("length: 1m", "length: 1m, tagged: [watch]") + (
        "  north: {model: sw, bridge: {priority: 4096}, addresses: {watch: 192.0.2.1}}\n"
        "  south: {model: sw, addresses: {watch: 192.0.2.2}}\n"
        "vlans: {watch: {id: 40}}\n"
    )
    lines = reach_lines(usable(read_text(tmp_path, site)), "north", "south")
    assert [line.text for line in lines] == [
        "Yes: north can talk to south in watch, at most 1Gbit/s.",
        "from port  to port   by  frames        speed",
        "north/p1   south/p1  C1  tagged watch  1G",
    ]
