"""The failure engine: what is left, and where the tree runs then."""

from dataclasses import replace
from random import Random

import pytest

from tests.compute.networks import Builder
from tests.compute.random_networks import build, draw_network
from topodraw.compute.network import bridged_network
from topodraw.compute.outage import Failure, Outages, single_failures
from topodraw.compute.spanning_tree import spanning_tree


def engine(builder):
    return Outages(builder.site(), builder.network())


def ring():
    """Three bridges in a ring; c/p2 discards."""
    builder = Builder().bridge("a", 4096).bridge("b", 8192).bridge("c", 12288)
    return (
        builder.link("a/p1", "b/p1", cable="AB")
        .link("a/p2", "c/p1", cable="AC")
        .link("b/p2", "c/p2", cable="BC")
    )


def test_a_discarding_link_takes_over_when_a_link_fails():
    outages = engine(ring())

    assert outages.normal.tree.ports["c", "c/p2"].role == "alternate"
    after = outages.after(Failure("cable", "AC")).tree
    assert after.bridges["c"].root_port == "c/p2"
    assert after.bridges["c"].root_path_cost == 40_000
    assert after.ports["c", "c/p1"].role == "disabled"


def test_the_next_best_bridge_becomes_root_when_the_root_fails():
    after = engine(ring()).after(Failure("gear", "a")).tree

    assert after.roots == ("b",)
    assert "a" not in after.bridges
    assert after.bridges["c"].root_port == "c/p2"


def test_a_run_takes_every_cable_within_it():
    builder = Builder().bridge("a", 0).bridge("b").bridge("c")
    builder.link("a/p1", "b/p1", within=["duct"]).link("b/p2", "c/p1", within=["duct"]).link("a/p2", "c/p2")
    after = engine(builder).after(Failure("run", "duct")).tree

    assert after.roots == ("a", "b")
    assert after.bridges["c"].root_path_cost == 20_000


def test_an_aggregate_that_loses_a_member_keeps_its_cost():
    builder = Builder().bridge("a", 0).bridge("b")
    builder.link("a/p1", "b/p1", cable="T1").link("a/p2", "b/p2", cable="T2").aggregate("ab", ["T1", "T2"])
    outages = engine(builder)

    one_lost = outages.after(Failure("cable", "T1"))
    assert one_lost.tree.bridges["b"].root_path_cost == 10_000
    assert one_lost.speed_bps(0) == 10**9
    assert outages.after(Failure("aggregate", "ab")).tree.roots == ("a", "b")


def test_a_stack_that_loses_a_member_goes_on_with_the_other():
    builder = Builder().bridge("core-1").bridge("core-2").bridge("tor")
    builder.link("core-1/p1", "tor/p1", cable="T1").link("core-2/p1", "tor/p2", cable="T2")
    builder.stack("core", ["core-1", "core-2"], priority=4096).aggregate("up", ["T1", "T2"])
    outages = engine(builder)

    assert outages.after(Failure("gear", "core-1")).tree.bridges["tor"].root == "core"
    assert outages.after(Failure("bridge", "core")).tree.roots == ("tor",)


def test_a_chassis_takes_the_nodes_inside_it():
    builder = Builder().bridge("a").add("chassis", "server").add("node", "server", node_of="chassis")
    outages = engine(builder.link("a/p1", "node/e1"))

    assert outages.after(Failure("gear", "chassis")).tree.ports["a", "a/p1"].role == "disabled"


def test_a_standby_link_of_a_host_is_used_when_the_active_one_fails():
    builder = Builder().bridge("a").bridge("b").add("host", "server").link("a/p2", "b/p2")
    builder.link("a/p1", "host/e1", cable="H1").link("b/p1", "host/e2", cable="H2")
    builder.aggregate("pair", ["H1", "H2"], {"host": "active-standby"})
    outages = engine(builder)
    first, second = outages.network.station_ports["host", "pair"].joins

    assert outages.normal.is_active(first)
    assert not outages.normal.is_active(second)
    assert outages.after(Failure("cable", "H1")).is_active(second)
    assert outages.after(Failure("gear", "a")).is_active(second)


def test_a_name_that_is_not_there_is_refused():
    with pytest.raises(ValueError, match="no cable nowhere"):
        engine(ring()).after(Failure("cable", "nowhere"))


def test_single_failures_name_what_a_person_would_pull():
    builder = (
        ring().link("a/p3", "b/p3", cable="T1").link("a/p4", "b/p4", cable="T2").aggregate("ab", ["T1", "T2"])
    )
    names = [str(failure) for failure in single_failures(builder.site(), builder.network(), "link")]

    assert sorted(names) == ["aggregate ab", "cable AB", "cable AC", "cable BC"]


@pytest.mark.parametrize("seed", range(60))
def test_deciding_again_only_where_needed_gives_what_a_whole_election_gives(seed):
    """Every cable, every bridge and some pairs of failures, against a network built without them."""
    random = Random(seed)
    builder = build(draw_network(random, random.randrange(2, 12)))
    site, network = builder.site(), builder.network()
    if seed % 3 == 0:  # some bridges that pass everything on
        for name in random.sample(sorted(site.gear), k=len(site.gear) // 3):
            builder.gear[name] = replace(
                builder.gear[name], bridge=replace(builder.gear[name].bridge, protocol="none")
            )
        site, network = builder.site(), builder.network()
    outages = Outages(site, network)
    singles = [*single_failures(site, network, "cable"), *single_failures(site, network, "gear")]
    cases = [(one,) for one in singles] + [
        tuple(random.sample(singles, 2)) for _ in range(10) if len(singles) > 1
    ]
    for failures in cases:
        assert outages.after(*failures).tree == rebuilt_tree(site, network, failures), failures


def rebuilt_tree(site, network, failures):
    """The tree of the site with the failed cables out of use and the failed gear without spanning tree."""
    gone = {failure.name for failure in failures}
    links = [
        replace(link, carries=not gone & {*link.cables, *(end.gear for end in link.terminals)})
        for link in network.links
    ]
    tree = spanning_tree(bridged_network(site, links))
    left = {name: bridge for name, bridge in tree.bridges.items() if name not in gone}
    chance = tuple(group for group in tree.left_to_chance if not gone & set(group))
    return replace(
        tree,
        bridges=left,
        roots=tuple(sorted({bridge.root for bridge in left.values()})),
        left_to_chance=chance,
    )
