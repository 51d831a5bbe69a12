"""Spanning tree and failures against networkx, on networks that hypothesis draws.

Root path costs are shortest paths; a link whose failure parts the network is a bridge in the sense of graph
theory, and a bridge whose failure does is an articulation point.
"""

from random import Random

import networkx
from hypothesis import given, settings, strategies

from tests.compute.random_networks import build, draw_network
from topodraw.compute.outage import Failure, Outages


@strategies.composite
def networks(draw):
    """A drawn network of up to 14 bridges."""
    return draw_network(Random(draw(strategies.integers(0, 2**32))), draw(strategies.integers(1, 14)))


def graph_of(drawn, without_wire=None, without_bridge=None):
    """The network as a directed multigraph: an edge towards a bridge costs what its receiving port does."""
    graph = networkx.MultiDiGraph()
    graph.add_nodes_from(b for b in range(len(drawn.priorities)) if b != without_bridge)
    for number, wire in enumerate(drawn.wires):
        if number != without_wire and without_bridge not in (wire.a, wire.b):
            graph.add_edge(wire.a, wire.b, weight=wire.cost_b)
            graph.add_edge(wire.b, wire.a, weight=wire.cost_a)
    return graph


def check_costs(drawn, tree, graph):
    """Root, and root path cost of every bridge, part by part."""
    for part in networkx.weakly_connected_components(graph):
        root = min(part, key=lambda b: (drawn.priorities[b], drawn.macs[b]))
        costs = networkx.single_source_dijkstra_path_length(graph, root)
        for bridge in part:
            entry = tree.bridges[f"b{bridge}"]
            assert (entry.root, entry.root_path_cost) == (f"b{root}", costs[bridge])


def check_forwarding(drawn, tree, graph):
    """The forwarding links make a spanning tree of every part: as many edges as it takes, and no loop."""
    active = networkx.MultiGraph()
    active.add_nodes_from(graph)
    for wire in drawn.wires:
        ports = [(f"b{wire.a}", f"b{wire.a}/p{wire.port_a}"), (f"b{wire.b}", f"b{wire.b}/p{wire.port_b}")]
        if all(tree.ports[port].state == "forwarding" for port in ports):
            active.add_edge(wire.a, wire.b)
    if not active:  # networkx has no word for a network of nothing
        return
    assert networkx.is_forest(active)
    parts = networkx.number_weakly_connected_components(graph)
    assert networkx.number_connected_components(active) == parts


@settings(max_examples=320, deadline=None)
@given(networks())
def test_root_path_costs_are_shortest_paths_and_the_active_links_a_spanning_tree(drawn):
    tree = build(drawn).tree()

    check_costs(drawn, tree, graph_of(drawn))
    check_forwarding(drawn, tree, graph_of(drawn))


@settings(max_examples=80, deadline=None)
@given(networks())
def test_after_every_single_failure(drawn):
    builder = build(drawn)
    outages = Outages(builder.site(), builder.network())
    whole = graph_of(drawn)
    plain = networkx.Graph(whole.to_undirected())
    parallel = [sorted((w.a, w.b)) for w in drawn.wires]
    parting = {frozenset(edge) for edge in networkx.bridges(plain)}
    for number, wire in enumerate(drawn.wires):
        tree = outages.after(Failure("cable", f"W{number}")).tree
        graph = graph_of(drawn, without_wire=number)
        check_costs(drawn, tree, graph)
        check_forwarding(drawn, tree, graph)
        alone = parallel.count(sorted((wire.a, wire.b))) == 1
        parts = alone and frozenset((wire.a, wire.b)) in parting
        assert (len(tree.roots) > len(outages.normal.tree.roots)) == parts
    cutting = set(networkx.articulation_points(plain))
    for bridge in range(len(drawn.priorities)):
        tree = outages.after(Failure("gear", f"b{bridge}")).tree
        graph = graph_of(drawn, without_bridge=bridge)
        check_costs(drawn, tree, graph)
        check_forwarding(drawn, tree, graph)
        assert (len(tree.roots) > len(outages.normal.tree.roots)) == (bridge in cutting)
