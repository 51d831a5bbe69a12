"""The placement engine runs as a child, places everything in its area, and fails with words that help."""

import stat
from pathlib import Path

import pytest

from topodraw.draw.placement import Engine, Node, PlacementError, horizontal_places, shipped_engine


def _script(folder: Path, body: str) -> Engine:
    script = folder / "engine"
    script.write_text(f"#!/bin/sh\n{body}\n")
    script.chmod(script.stat().st_mode | stat.S_IXUSR)
    return Engine(script, time_limit_s=2.0)


def test_the_engine_that_ships_is_found_and_places_every_node() -> None:
    nodes = [Node(100, 0), Node(80, 1), Node(80, 1), Node(60, 2)]
    places = horizontal_places(nodes, [(0, 1), (0, 2), (1, 3)], "cabling", shipped_engine())
    assert len(places) == 4
    assert abs(places[1] - places[2]) >= 80, "neighbours of a tier stand beside each other"


def test_what_is_linked_stands_in_the_order_that_crosses_least() -> None:
    nodes = [Node(50, 0), Node(50, 0), Node(50, 1), Node(50, 1)]
    places = horizontal_places(nodes, [(0, 3), (1, 2)], "cabling")
    assert (places[0] < places[1]) == (places[3] < places[2])


def test_areas_keep_apart_in_every_tier() -> None:
    nodes = [Node(60, tier, area) for tier in range(3) for area in (0, 1, 0, 1)]
    links = [(place, place + 4) for place in range(8)]
    places = horizontal_places(nodes, links, "cabling")
    left = [place for place, node in zip(places, nodes, strict=True) if node.area == 0]
    right = [place for place, node in zip(places, nodes, strict=True) if node.area == 1]
    assert max(left) < min(right) or max(right) < min(left)


def test_the_same_graph_gives_the_same_places() -> None:
    nodes = [Node(40 + place, place % 5, place % 3) for place in range(40)]
    links = [
        (place, other)
        for place in range(40)
        for other in range(40)
        if nodes[other].tier == nodes[place].tier + 1
    ]
    assert horizontal_places(nodes, links, "cabling") == horizontal_places(nodes, links, "cabling")


def test_nothing_to_place_needs_no_engine() -> None:
    assert horizontal_places([], [], "cabling", Engine(Path("/nowhere/engine"))) == []


def test_an_engine_that_is_not_there_is_named_with_the_sheet() -> None:
    with pytest.raises(PlacementError, match=r"'cabling-lab'.*/nowhere/engine can't be run"):
        horizontal_places([Node(10, 0)], [], "cabling-lab", Engine(Path("/nowhere/engine")))


def test_an_engine_that_hangs_is_stopped(tmp_path: Path) -> None:
    with pytest.raises(PlacementError, match=r"'cabling'.*took longer than 2 s"):
        horizontal_places([Node(10, 0)], [], "cabling", _script(tmp_path, "exec sleep 60"))


def test_an_engine_that_talks_nonsense_is_an_error(tmp_path: Path) -> None:
    with pytest.raises(PlacementError, match=r"failed: .*without a place"):
        horizontal_places([Node(10, 0)], [], "cabling", _script(tmp_path, "echo hello"))


def test_what_the_engine_complains_of_is_passed_on(tmp_path: Path) -> None:
    with pytest.raises(PlacementError, match="out of ink"):
        horizontal_places([Node(10, 0)], [], "cabling", _script(tmp_path, "echo out of ink >&2; exit 2"))


def test_a_status_of_one_with_every_place_is_only_a_warning(tmp_path: Path) -> None:
    engine = _script(tmp_path, """echo '{"objects": [{"name": "n0", "pos": "27,18"}]}'; exit 1""")
    assert horizontal_places([Node(10, 0)], [], "cabling", engine) == [27.0]
