"""The spanning tree against the Linux kernel's own 802.1D: root, every root path cost, every port's state.

The kernel speaks 802.1D-1998, whose outcome (once settled) is the same as that of 802.1D-2004; its path costs
have 16 bits, so the networks use costs that fit.
"""

from random import Random

from tests.compute.kernel_bridges import kernel_networks, require_kernel
from tests.compute.random_networks import build, draw_network
from topodraw.compute.outage import Failure, Outages

NETWORKS = 60
LARGEST_COST = 60_000


def drawn_networks():
    """The networks, and for each the wires that it loses afterwards: two, or all it has."""
    random = Random(802)
    drawn = [draw_network(random, random.randrange(2, 9), LARGEST_COST) for _ in range(NETWORKS)]
    lost = {n: set(random.sample(range(len(d.wires)), min(2, len(d.wires)))) for n, d in enumerate(drawn)}
    return drawn, lost


def test_every_network_agrees_with_the_kernel_whole_and_after_failures():
    """One test, because all networks are built and waited for at once."""
    require_kernel()
    drawn, lost = drawn_networks()
    with kernel_networks(drawn) as kernel:
        kernel.settle()
        whole = kernel.read()
        kernel.settle(lost)
        after = kernel.read()
    unlike = []
    for n, one in enumerate(drawn):
        builder = build(one)
        outages = Outages(builder.site(), builder.network())
        failures = [Failure("cable", f"W{wire}") for wire in sorted(lost[n])]
        unlike += [
            f"network {n}: {text}" for text in disagreements(outages.network, builder.tree(), whole[n])
        ]
        left = outages.after(*failures).tree
        unlike += [f"network {n} after failures: {t}" for t in disagreements(outages.network, left, after[n])]

    assert unlike == []


def disagreements(network, tree, kernel):
    """Where the tool's tree differs from what the kernel says of each bridge."""
    for number, bridge in enumerate(kernel):
        name = f"b{number}"
        own = tree.bridges[name]
        ours = (network.bridges[name].bridge_id, network.bridges[own.root].bridge_id, own.root_path_cost)
        theirs = (bridge.bridge_id, bridge.root_id, bridge.root_path_cost)
        if ours != theirs:
            yield f"{name}: bridge, root and cost are {ours}, in the kernel {theirs}"
        for port_number, kernel_port in bridge.ports.items():
            port = tree.ports[name, f"{name}/p{port_number}"]
            state = "forwarding" if kernel_port.state == "forwarding" else "discarding"
            if (port.state, port.cost) != (state, kernel_port.path_cost):
                yield f"{name}/p{port_number} is {port}, in the kernel {kernel_port}"


def test_the_networks_are_hard_enough():
    """Parallel links, unequal costs, equal priorities and discarding ports are really among them."""
    drawn, _ = drawn_networks()
    pairs = [[tuple(sorted((w.a, w.b))) for w in one.wires] for one in drawn]

    assert sum(len(set(one)) < len(one) for one in pairs) >= 40
    assert sum(len({w.cost_a for w in one.wires}) > 1 for one in drawn) >= 40
    assert sum(len(set(one.priorities)) < len(one.priorities) for one in drawn) >= 40
    states = [port.state for one in drawn for port in build(one).tree().ports.values()]
    assert states.count("discarding") >= 100
