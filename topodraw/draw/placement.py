"""Which way along a tier things stand so that few cables cross: the one module that knows the placement
engine.

The engine is an outside program that lays out layered graphs. It gets boxes with a stated size and an id of
our own as name, and no text, ports or curves: with that profile the same graph gives the same places on
every machine. Only its horizontal places are used; everything that shows is drawn by the project.
"""

from __future__ import annotations

import json
import subprocess
from collections.abc import Sequence
from dataclasses import dataclass
from importlib import metadata
from pathlib import Path

from graphviz import Digraph

_PACKAGE = "graphviz-pure"
_PX_PER_INCH = 72.0
TIME_LIMIT_S = 60.0


class PlacementError(Exception):
    """The engine could not place a sheet; the message names the sheet, the engine and what went wrong."""


@dataclass(frozen=True, slots=True)
class Node:
    """A box to place: its width in px, its tier counted from the top, and the area that it must stand in,
    if any."""

    width: float
    tier: int
    area: int | None = None


@dataclass(frozen=True, slots=True)
class Engine:
    """The program that places, and how long it may take in s."""

    executable: Path
    time_limit_s: float = TIME_LIMIT_S


def shipped_engine() -> Engine:
    """The engine that is installed with the program, in the pinned version.

    Raises PlacementError where its package is not installed or lacks its program.
    """
    try:
        files = metadata.files(_PACKAGE) or []
    except metadata.PackageNotFoundError:
        files = []
    for file in files:
        if file.name in (_PACKAGE, f"{_PACKAGE}.exe"):
            return Engine(Path(str(file.locate())).resolve())
    raise PlacementError(
        f"the placement engine is not installed: pip install {_PACKAGE}, or give another with --engine"
    )


def horizontal_places(
    nodes: Sequence[Node], links: Sequence[tuple[int, int]], sheet: str, engine: Engine | None = None
) -> list[float]:
    """Where the middle of each node stands along its tier, in px from the left.

    `links` are pairs of indices into `nodes`; their ends stand one tier apart, or in the same one. `sheet`
    names the drawing in errors. Without an `engine` the shipped one is used. Raises PlacementError when the
    engine can't be run, takes too long, or doesn't place every node.
    """
    if not nodes:
        return []
    return _run(_graph(nodes, links), len(nodes), sheet, engine or shipped_engine())


def _graph(nodes: Sequence[Node], links: Sequence[tuple[int, int]]) -> Digraph:
    graph = Digraph(
        graph_attr={"splines": "none", "nodesep": "0.2", "ranksep": "0.3"},
        node_attr={"shape": "box", "fixedsize": "true", "label": "", "height": "0.4"},
    )
    areas = sorted({node.area for node in nodes if node.area is not None})
    for area in areas:
        with graph.subgraph(name=f"cluster_{area}") as cluster:
            for index, node in enumerate(nodes):
                if node.area == area:
                    cluster.node(f"n{index}", width=_inches(node.width))
    for index, node in enumerate(nodes):
        if node.area is None:
            graph.node(f"n{index}", width=_inches(node.width))
    _pin_tiers(graph, nodes, links)
    for number, (one, other) in enumerate(links):
        upper, lower = sorted((one, other), key=lambda index: nodes[index].tier)
        if nodes[upper].tier < nodes[lower].tier:
            graph.edge(f"n{upper}", f"n{lower}", weight="2")
        elif nodes[upper].tier > 0:
            # Neighbours of one tier are drawn together by a helper above them.
            graph.node(f"h{number}", width="0.05")
            graph.edge(f"t{nodes[upper].tier - 1}", f"h{number}", weight="0", minlen="0")
            graph.edge(f"h{number}", f"n{upper}")
            graph.edge(f"h{number}", f"n{lower}")
    return graph


def _pin_tiers(graph: Digraph, nodes: Sequence[Node], links: Sequence[tuple[int, int]]) -> None:
    """Keep every node in its tier: a spine with one knot a tier, and a tie to it from what nothing above
    holds."""
    last = max(node.tier for node in nodes)
    for tier in range(last + 1):
        graph.node(f"t{tier}", width="0.05")
        if tier:
            graph.edge(f"t{tier - 1}", f"t{tier}", weight="100")
    held = {
        lower for pair in links for lower in pair if nodes[lower].tier > min(nodes[end].tier for end in pair)
    }
    for index, node in enumerate(nodes):
        if index not in held and node.tier > 0:
            graph.edge(f"t{node.tier - 1}", f"n{index}", weight="1")


def _inches(width_px: float) -> str:
    return f"{width_px / _PX_PER_INCH:.4f}"


def _run(graph: Digraph, count: int, sheet: str, engine: Engine) -> list[float]:
    failed = f"can't place the gear of sheet {sheet!r}: {engine.executable}"
    try:
        done = subprocess.run(
            [str(engine.executable), "-Kdot", "-Tjson"],
            input=graph.source.encode(),
            capture_output=True,
            timeout=engine.time_limit_s,
            check=False,
        )
    except subprocess.TimeoutExpired:
        raise PlacementError(f"{failed} took longer than {engine.time_limit_s:g} s") from None
    except OSError as error:
        raise PlacementError(f"{failed} can't be run: {error.strerror}") from None
    # Status 1 also stands for mere warnings: what counts is whether everything has its place.
    places = _places(done.stdout) if done.returncode in (0, 1) else {}
    missing = [index for index in range(count) if f"n{index}" not in places]
    if missing:
        said = done.stderr.decode(errors="replace").strip().splitlines()
        reason = (
            said[0] if said else f"status {done.returncode}, {len(missing)} of {count} things without a place"
        )
        raise PlacementError(f"{failed} failed: {reason}")
    return [places[f"n{index}"] for index in range(count)]


def _places(output: bytes) -> dict[str, float]:
    """Node names to x from the engine's JSON; empty where it isn't JSON of the expected shape."""
    try:
        objects = json.loads(output).get("objects", [])
        return {thing["name"]: float(thing["pos"].split(",")[0]) for thing in objects if "pos" in thing}
    except (ValueError, AttributeError, KeyError, TypeError):
        return {}
