"""The spanning tree: who is root, how far, and which ports discard."""

import pytest

from tests.compute.networks import Builder

MAC = "02:00:5e:10:00:{:02x}".format


def unit_cost_network(priorities, links):
    """Bridges with the given priorities; every port costs 1. A link is (bridge, port, bridge, port)."""
    costs = {name: {} for name in priorities}
    for a, p, b, q in links:
        costs[a][f"p{p}"] = costs[b][f"p{q}"] = 1
    builder = Builder()
    for number, (name, priority) in enumerate(priorities.items(), start=1):
        builder.bridge(name, priority, MAC(number), port_cost=costs[name])
    for a, p, b, q in links:
        builder.link(f"{a}/p{p}", f"{b}/p{q}")
    return builder


def discarding_links(tree, links):
    """The links of which an end discards, as pairs of bridge names."""
    return {
        (a, b)
        for a, p, b, q in links
        if "discarding" in (tree.ports[a, f"{a}/p{p}"].state, tree.ports[b, f"{b}/p{q}"].state)
    }


class TestPublishedExamples:
    def test_seven_bridges_of_peterson_and_davie(self):
        """Peterson & Davie, Computer Networks: A Systems Approach (open edition), 3.2.3, both figures."""
        pairs = ["12", "14", "15", "16", "17", "23", "35", "46", "57"]
        used = dict.fromkeys(range(1, 8), 0)
        links = []
        for a, b in ((int(x[0]), int(x[1])) for x in pairs):
            used[a], used[b] = used[a] + 1, used[b] + 1
            links.append((f"S{a}", used[a], f"S{b}", used[b]))
        tree = unit_cost_network({f"S{n}": n for n in range(1, 8)}, links).tree()

        assert tree.roots == ("S1",)
        assert discarding_links(tree, links) == {("S3", "S5"), ("S5", "S7"), ("S4", "S6")}
        to_s2 = next(f"S3/p{q}" for a, _, b, q in links if (a, b) == ("S2", "S3"))
        assert tree.bridges["S3"].root_port == to_s2
        for a, p, b, q in links:
            if (a, b) == ("S3", "S5"):
                assert tree.ports["S5", f"S5/p{q}"].role == "designated"
            if (a, b) == ("S5", "S7"):
                assert tree.ports["S5", f"S5/p{p}"].role == "designated"

    def test_the_longer_way_round_that_costs_less(self):
        """Bonaventure, Computer Networking: Principles, Protocols and Practice, Ethernet chapter:
        S4 hears (1,3,1,1,1) from S1 and (1,2,9,2,2) through S9, which is better."""
        builder = Builder()
        builder.bridge("S1", 1, MAC(1), port_cost={"p1": 3, "p2": 1})
        builder.bridge("S9", 9, MAC(9), port_cost={"p1": 1, "p2": 1})
        builder.bridge("S4", 4, MAC(4), port_cost={"p1": 3, "p2": 1})
        builder.link("S1/p1", "S4/p1").link("S1/p2", "S9/p1").link("S9/p2", "S4/p2")
        tree = builder.tree()

        assert tree.roots == ("S1",)
        assert tree.bridges["S9"].root_path_cost == 1
        assert (tree.bridges["S4"].root_port, tree.bridges["S4"].root_path_cost) == ("S4/p2", 2)
        assert (tree.ports["S4", "S4/p1"].role, tree.ports["S4", "S4/p1"].state) == (
            "alternate",
            "discarding",
        )

    def test_the_laboratory_network(self):
        """Bonaventure, same book, exercises on local area networks: output of the real lab."""
        links = [
            ("s3", 1, "s9", 1), ("s3", 2, "s7", 1), ("s9", 2, "s7", 2),
            ("s9", 3, "s6", 1), ("s6", 2, "s4", 1), ("s7", 3, "s4", 2),
        ]  # fmt: skip
        tree = unit_cost_network({"s3": 3, "s4": 4, "s6": 6, "s7": 7, "s9": 9}, links).tree()

        assert tree.roots == ("s3",)
        assert (tree.bridges["s9"].root_port, tree.bridges["s9"].root_path_cost) == ("s9/p1", 1)
        assert tree.ports["s9", "s9/p2"].state == "discarding"
        assert tree.ports["s7", "s7/p2"].role == "designated"
        assert tree.ports["s9", "s9/p3"].role == "designated"


class TestElection:
    def test_the_lowest_mac_wins_among_equal_priorities(self):
        builder = Builder().bridge("a", mac=MAC(9)).bridge("b", mac=MAC(2)).link("a/p1", "b/p1")

        assert builder.tree().roots == ("b",)

    def test_parallel_links_are_decided_by_the_far_ends_port(self):
        """IEEE 802.1D-2004 17.6: the designated port identifier decides before the receiving one."""
        builder = Builder().bridge("a", 0, MAC(1)).bridge("b", mac=MAC(2))
        tree = builder.link("a/p1", "b/p2").link("a/p2", "b/p1").tree()

        assert tree.bridges["b"].root_port == "b/p2"
        assert tree.ports["b", "b/p1"].role == "alternate"

    def test_a_port_priority_decides_before_the_port_number(self):
        builder = Builder().bridge("a", 0, MAC(1), port_priority={"p2": 64}).bridge("b", mac=MAC(2))
        tree = builder.link("a/p1", "b/p1").link("a/p2", "b/p2").tree()

        assert tree.bridges["b"].root_port == "b/p2"

    def test_a_cable_back_into_the_same_bridge_makes_a_backup_port(self):
        tree = Builder().bridge("a", mac=MAC(1)).link("a/p1", "a/p2").tree()

        assert tree.ports["a", "a/p1"].role == "designated"
        assert (tree.ports["a", "a/p2"].role, tree.ports["a", "a/p2"].state) == ("backup", "discarding")

    def test_each_connected_part_has_its_root(self):
        builder = Builder().bridge("a").bridge("b").bridge("c").bridge("d")
        tree = builder.link("a/p1", "b/p1").link("c/p1", "d/p1").tree()

        assert tree.roots == ("a", "c")
        assert tree.bridges["d"].root == "c"

    def test_an_unknown_mac_leaves_the_root_to_chance(self):
        builder = Builder().bridge("x").bridge("b", mac=MAC(3)).bridge("c", mac=MAC(4)).bridge("d", 36864)
        builder.link("x/p1", "b/p1").link("b/p2", "c/p1").link("c/p2", "d/p1")
        tree = builder.tree()

        assert tree.left_to_chance == (("b", "x"),)  # c can't win: b's MAC is known and lower

    def test_a_lower_priority_leaves_nothing_to_chance(self):
        tree = Builder().bridge("a", 4096).bridge("b").link("a/p1", "b/p1").tree()

        assert tree.left_to_chance == ()

    def test_a_port_with_restricted_role_never_leads_to_the_root(self):
        """IEEE 802.1D-2004 17.13.14: such a port becomes an alternate port, however good what it hears."""
        builder = Builder().bridge("stranger", 0, MAC(1)).bridge("a", 4096, MAC(2)).bridge("b", mac=MAC(3))
        builder.link("stranger/p1", "a/p1").link("a/p2", "b/p1").port("a/p1", restricted_role=True)
        tree = builder.tree()

        assert tree.roots == ("a", "stranger")
        assert tree.bridges["b"].root == "a"
        assert tree.ports["a", "a/p1"].role == "alternate"

    def test_a_link_that_is_down_disables_its_ports(self):
        builder = Builder().bridge("a").bridge("b").link("a/p1", "b/p1", carries=False)
        tree = builder.tree()

        assert (tree.ports["a", "a/p1"].role, tree.ports["a", "a/p1"].state) == ("disabled", "discarding")
        assert tree.roots == ("a", "b")

    def test_a_port_to_a_station_is_an_edge_port_and_forwards(self):
        builder = Builder().bridge("a").add("cam", "camera").link("a/p1", "cam/eth")
        port = builder.tree().ports["a", "a/p1"]

        assert (port.role, port.state, port.edge) == ("designated", "forwarding", True)

    def test_a_bridge_without_spanning_tree_makes_one_segment_of_its_links(self):
        builder = Builder().bridge("a", 4096, MAC(1)).bridge("b", mac=MAC(2)).bridge("c", mac=MAC(3))
        builder.add("hub", managed=False)
        builder.link("a/p1", "hub/p1").link("b/p1", "hub/p2").link("c/p1", "hub/p3").link("b/p2", "c/p2")
        tree = builder.tree()

        assert "hub" not in tree.bridges
        assert [tree.bridges[name].root_path_cost for name in "abc"] == [0, 20_000, 20_000]
        assert tree.ports["c", "c/p2"].role == "alternate"

    def test_two_ports_on_one_shared_segment_leave_one_as_backup(self):
        builder = Builder().bridge("a", 4096, MAC(1)).add("hub", managed=False)
        tree = builder.link("a/p1", "hub/p1").link("a/p2", "hub/p2").tree()

        assert tree.ports["a", "a/p2"].role == "backup"


class TestCosts:
    @pytest.mark.parametrize(("members", "cost"), [(1, 20_000), (2, 10_000), (3, 6_666), (4, 5_000)])
    def test_an_aggregate_costs_what_the_sum_of_its_members_does(self, members, cost):
        """IEEE 802.1D-2004 Table 17-3's formula on the sum; the values are in switch guides."""
        builder = Builder().bridge("a", 0).bridge("b")
        cables = [f"T{n}" for n in range(members)]
        for n, cable in enumerate(cables):
            builder.link(f"a/p{n}", f"b/p{n}", cable=cable)
        tree = builder.aggregate("ab", cables).tree()

        assert tree.bridges["b"].root_path_cost == cost
        assert tree.bridges["b"].root_port == "ab"
        assert list(tree.ports) == [("a", "ab"), ("b", "ab")]

    def test_a_stated_cost_of_an_aggregate_holds(self):
        builder = Builder().bridge("a", 0).bridge("b").link("a/p1", "b/p1", cable="T1")
        tree = builder.aggregate("ab", ["T1"], cost=7).tree()

        assert tree.bridges["b"].root_path_cost == 7

    def test_a_bridge_may_state_cost_and_priority_of_an_aggregate_by_its_name(self):
        """IEEE 802.1AX: the members are one port of the bridge. Each end has a cost of its own."""
        builder = Builder().bridge("a", 0, port_priority={"late": 16})
        builder.bridge("b", port_cost={"early": 5, "late": 5})
        builder.link("a/p1", "b/p1", cable="T1").link("a/p2", "b/p2", cable="T2")
        tree = builder.aggregate("early", ["T1"]).aggregate("late", ["T2"], cost=7).tree()

        assert tree.bridges["b"].root_path_cost == 5
        assert tree.bridges["b"].root_port == "late"
        assert tree.ports["a", "late"].cost == 7

    def test_the_table_of_1998(self):
        """IEEE 802.1D-1998 Table 8-5: 1 Gbit/s costs 4."""
        tree = Builder(1998).bridge("a", 0).bridge("b").link("a/p1", "b/p1").tree()

        assert tree.bridges["b"].root_path_cost == 4

    def test_an_unknown_speed_costs_most(self):
        """IEEE 802.1D-2004 Table 17-3, upper end of the range."""
        tree = Builder().bridge("a", 0).bridge("b").link("a/p1", "b/p1", speed=None).tree()

        assert tree.bridges["b"].root_path_cost == 200_000_000


class TestGroups:
    def test_a_stack_is_one_bridge_and_its_aggregate_one_port(self):
        builder = (
            Builder().bridge("core-1", mac=MAC(1)).bridge("core-2", mac=MAC(2)).bridge("tor", mac=MAC(3))
        )
        builder.link("core-1/p1", "tor/p1", cable="T1").link("core-2/p1", "tor/p2", cable="T2")
        builder.link("core-1/p9", "core-2/p9", cable="J1")
        builder.stack("core", ["core-1", "core-2"], priority=4096, **{"joined-by": ("J1",)})
        tree = builder.aggregate("up", ["T1", "T2"]).tree()

        assert list(tree.bridges) == ["core", "tor"]
        assert tree.roots == ("core",)
        assert set(tree.ports) == {("core", "up"), ("tor", "up")}

    def test_an_aggregate_has_the_number_of_its_lowest_member(self):
        builder = (
            Builder()
            .bridge("a")
            .bridge("b")
            .link("a/p3", "b/p3", cable="T1")
            .link("a/p2", "b/p4", cable="T2")
        )
        network = builder.port("a/p1").aggregate("ab", ["T1", "T2"]).network()

        assert network.ports["a", "ab"].number == 2

    def test_port_numbers_go_on_through_the_members_of_a_stack(self):
        builder = Builder().bridge("one").bridge("two").bridge("far")
        builder.port("one/p1").link("one/p2", "far/p1").link("two/p1", "far/p2").stack("pair", ["one", "two"])
        ports = builder.network().ports

        assert [ports["pair", name].number for name in ("one/p2", "two/p1")] == [2, 3]

    def test_a_hosts_active_standby_pair_leaves_the_bridges_ports_single(self):
        builder = Builder().bridge("a").bridge("b").add("host", "server")
        builder.link("a/p1", "host/e1", cable="H1").link("b/p1", "host/e2", cable="H2").link("a/p2", "b/p2")
        network = builder.aggregate("pair", ["H1", "H2"], {"host": "active-standby"}).network()

        assert ("a", "a/p1") in network.ports
        assert ("b", "b/p1") in network.ports
        assert network.station_ports["host", "pair"].one_join_at_a_time

    def test_a_management_port_of_a_bridge_is_a_station(self):
        builder = Builder().bridge("a").bridge("b").port("a/mgmt", use="management")
        network = builder.link("a/mgmt", "b/p1").network()

        assert ("a", "a/mgmt") in network.station_ports
        assert network.ports["b", "b/p1"].edge
