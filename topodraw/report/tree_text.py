"""The spanning tree in words: who is root and why, how each bridge gets there, and which ends discard."""

from __future__ import annotations

import json

from topodraw.compute.facts import Facts
from topodraw.compute.network import Bridge
from topodraw.draw.characters import shown
from topodraw.report.facts_document import tree_document
from topodraw.report.lines import Line, table_lines
from topodraw.source.suggest import with_and


def tree_json(facts: Facts) -> str:
    """The spanning tree as JSON, with the keys of the facts document."""
    return json.dumps(tree_document(facts), indent=2)


def tree_lines(facts: Facts) -> list[Line]:
    """The spanning tree of each connected bridged part, for people."""
    tree = facts.tree
    if not tree.roots:
        return [Line("No bridge of this site runs spanning tree.")]
    lines: list[Line] = []
    for root in tree.roots:
        names = [name for name, bridge in tree.bridges.items() if bridge.root == root]
        lines.append(Line(f"Root: {shown(root)}", "bold"))
        lines += [Line(shown(sentence), indent=2) for sentence in _election(facts, root, names)]
        if len(names) > 1:
            lines.append(Line())
            lines += _ways(facts, root, names)
        lines.append(Line())
    lines += _discarding(facts)
    outside = [name for name in facts.network.bridges if name not in tree.bridges]
    if outside:
        lines.append(Line())
        lines.append(Line(f"Bridges that run no spanning tree: {shown(', '.join(outside))}."))
    return lines


def _election(facts: Facts, root: str, names: list[str]) -> list[str]:
    bridges = [facts.network.bridges[name] for name in names]
    own = facts.network.bridges[root]
    others = sorted((bridge for bridge in bridges if bridge is not own), key=lambda other: other.priority)
    if not others:
        return [f"It is alone (priority {own.priority})."]
    rivals = [other for other in others if other.priority == own.priority]
    if not rivals:
        nearest = others[0]
        return [
            f"Its priority {own.priority} is the lowest of {len(bridges)} bridges; "
            f"the next is {nearest.name} with {nearest.priority}."
        ]
    equal = with_and([other.name for other in rivals])
    sentences = [f"Its priority {own.priority} is the lowest, and {equal} {_has(rivals)} the same."]
    if any(root in group for group in facts.tree.left_to_chance):
        sentences.append(
            "Then the lowest MAC address decides, and not all are stated: who is root is left to chance. "
            "What follows takes the first by name."
        )
    else:
        sentences.append(f"Then the lowest MAC address decides: {own.mac} is its own.")
    return sentences


def _has(bridges: list[Bridge]) -> str:
    return "has" if len(bridges) == 1 else "have"


def _ways(facts: Facts, root: str, names: list[str]) -> list[Line]:
    rows = [("bridge", "priority", "root port", "cost to root", "towards")]
    for name in sorted(names, key=lambda name: (facts.tree.bridges[name].root_path_cost, name)):
        bridge = facts.tree.bridges[name]
        if name == root:
            rows.append((shown(name), str(facts.network.bridges[name].priority), "-", "0", "(root)"))
        else:
            port = bridge.root_port or ""
            cells = (name, str(facts.network.bridges[name].priority), port, str(bridge.root_path_cost))
            rows.append((*map(shown, cells), shown(_far_ends(facts, name, port))))  # type: ignore[arg-type]
    return table_lines(rows)


def _far_ends(facts: Facts, bridge: str, port: str) -> str:
    """What a port of a bridge leads to, as its far bridge ports are called."""
    network = facts.network
    ends = [
        end.port if "/" in end.port or end.owner == end.port else f"{end.owner} by {end.port}"
        for number in network.ports[bridge, port].joins
        for end in network.joins[number].ends
        if end.key != (bridge, port)
    ]
    return ", ".join(dict.fromkeys(ends))


def _discarding(facts: Facts) -> list[Line]:
    blocked = [
        (bridge, port, state)
        for (bridge, port), state in facts.tree.ports.items()
        if state.state == "discarding" and state.role != "disabled"
    ]
    if not blocked:
        return [Line("No end discards: there is no spare way.")]
    rows = [("discarding end", "of bridge", "role", "cost", "towards")]
    for bridge, port, state in blocked:
        cells = (port, bridge, state.role, str(state.cost), _far_ends(facts, bridge, port))
        rows.append(tuple(map(shown, cells)))  # type: ignore[arg-type]
    return [Line(f"Discarding ends ({len(blocked)}):", "bold"), *table_lines(rows)]
