"""How far each VLAN reaches, where it is missing, and where nobody needs it."""

from tests.compute.networks import Builder
from topodraw.compute.facts import Facts
from topodraw.compute.frames import Frames, untagged_mismatches
from topodraw.compute.outage import Outages
from topodraw.compute.vlan_members import membership
from topodraw.compute.vlans import MissingVlan, vlan_spread
from topodraw.compute.wires import find_wires
from topodraw.model.hosting import Cluster, Workload
from topodraw.model.network import Vlan


def spread(builder):
    site, network = builder.site(), builder.network()
    outages = Outages(site, network)
    members = membership(site, network, find_wires(network))
    return vlan_spread(outages, members, Frames(site, outages.normal, members))


def vlans(builder, **ids):
    """Declare VLANs: name=id, or name=(id, gateway)."""
    builder.more["vlans"] = {
        name: Vlan.model_validate(
            {"@name": name, "id": id[0], "gateway": id[1]}
            if isinstance(id, tuple)
            else {"@name": name, "id": id}
        )
        for name, id in ids.items()
    }
    return builder


def two_switches(at_a, at_b):
    """A camera on each of two switches, in VLAN watch; the trunk as given at each end."""
    builder = vlans(Builder(), watch=(30, "gate"), guests=40)
    builder.bridge("a", 4096).bridge("b").add("cam", "camera").add("gate", "firewall")
    builder.link("a/p1", "b/p1").port("a/p1", vlans=at_a).port("b/p1", vlans=at_b)
    builder.link("a/p2", "gate/lan").link("b/p2", "cam/eth")
    return builder.port("a/p2", vlans=("watch", ())).port("b/p2", vlans=("watch", ()))


class TestSegments:
    def test_stations_reach_each_other_over_a_trunk(self):
        result = spread(two_switches((None, ("watch",)), (None, ("watch",))))

        assert result["watch"].segments == (("cam/eth", "gate/lan"),)
        assert result["guests"].segments == ()

    def test_a_trunk_without_the_vlan_splits_it(self):
        result = spread(two_switches((None, ("watch",)), (None, ("guests",))))

        assert result["watch"].segments == (("cam/eth",), ("gate/lan",))

    def test_untagged_against_untagged_joins_two_vlans(self):
        builder = two_switches(("watch", ()), ("guests", ()))
        builder.add("guest", "workstation").link("b/p3", "guest/eth").port("b/p3", vlans=("guests", ()))
        result = spread(builder)

        assert result["watch"].segments == (("cam/eth",), ("gate/lan", "guest/eth"))
        assert result["guests"].segments == (("gate/lan", "guest/eth"),)

    def test_all_means_every_vlan_but_the_untagged_one(self):
        result = spread(two_switches(("guests", "all"), ("guests", ("watch",))))

        assert result["watch"].segments == (("cam/eth", "gate/lan"),)

    def test_an_unmanaged_switch_passes_every_tag(self):
        builder = two_switches((None, ("watch",)), (None, ("watch",)))
        builder.add("small", managed=False).add("cam-2", "camera")
        builder.link("a/p5", "small/p1").port("a/p5", vlans=("watch", ())).link("small/p2", "cam-2/eth")

        assert spread(builder)["watch"].segments == (("cam-2/eth", "cam/eth", "gate/lan"),)


class TestMissing:
    def test_a_vlan_missing_on_an_active_trunk_names_who_is_cut_off(self):
        result = spread(two_switches((None, ("watch",)), (None, ("guests",))))

        assert result["watch"].missing == (
            MissingVlan(("a/p1", "b/p1"), ("b/p1",), "active", None, ("cam",)),
        )

    def test_a_vlan_missing_on_a_standby_link_names_the_failure(self):
        builder = two_switches((None, ("watch",)), (None, ("watch",)))
        builder.link("a/p9", "b/p9", cable="SPARE").port("a/p9", vlans=(None, ())).port(
            "b/p9", vlans=(None, ("watch",))
        )
        result = spread(builder)

        assert result["watch"].missing == (
            MissingVlan(("a/p9", "b/p9"), ("a/p9",), "standby", "cable C1", ("cam",)),
        )

    def test_a_ring_needs_the_vlan_all_the_way_round_for_the_loss_of_a_bridge(self):
        builder = vlans(Builder(), watch=(30, "gate"))
        builder.bridge("a", 4096).bridge("b").bridge("c").bridge("d")
        for one, other in ("ab", "bc", "cd", "da"):
            trunk = (None, () if (one, other) == ("c", "d") else ("watch",))
            builder.link(f"{one}/p1", f"{other}/p2").port(f"{one}/p1", vlans=trunk).port(
                f"{other}/p2", vlans=trunk
            )
        builder.add("gate", "firewall").link("a/p5", "gate/lan").port("a/p5", vlans=("watch", ()))
        builder.add("cam", "camera").link("c/p5", "cam/eth").port("c/p5", vlans=("watch", ()))
        missing = spread(builder)["watch"].missing

        assert [(m.link, m.when, m.after) for m in missing] == [(("c/p1", "d/p2"), "standby", "cable C1")]

    def test_a_workload_needs_its_vlan_at_every_host_that_may_run_it(self):
        builder = vlans(Builder(), servers=50)
        builder.bridge("a").add("node-1", "server").add("node-2", "server").add("gate", "firewall")
        for number, (host, tagged) in enumerate([("node-1", ("servers",)), ("node-2", ())], start=1):
            builder.link(f"a/p{number}", f"{host}/e1").port(f"a/p{number}", vlans=(None, tagged))
        builder.link("a/p9", "gate/lan").port("a/p9", vlans=("servers", ()))
        builder.more["clusters"] = {
            "hyper": Cluster.model_validate({"@name": "hyper", "members": ("node-1", "node-2")})
        }
        builder.more["workloads"] = {
            "web": Workload.model_validate(
                {"@name": "web", "on": "hyper", "@on": "cluster", "vlan": "servers"}
            )
        }
        missing = spread(builder)["servers"].missing

        assert [(m.link, m.at, m.cut_off) for m in missing] == [(("a/p2", "node-2/e1"), ("a/p2",), ("web",))]

    def test_an_address_in_a_vlan_that_the_port_does_not_give(self):
        builder = two_switches((None, ("watch",)), (None, ("watch",)))
        builder.add("odd", "camera", addresses={"watch": ()}).link("a/p4", "odd/eth")
        missing = spread(builder.port("a/p4", vlans=("guests", ())))["watch"].missing

        assert [(m.link, m.at) for m in missing] == [(("a/p4", "odd/eth"), ("a/p4",))]

    def test_a_management_address_needs_its_vlan_up_to_the_switch(self):
        builder = two_switches((None, ("watch",)), (None, ("watch",)))
        builder.add("c", addresses={"watch": ()})
        builder.link("b/p7", "c/p1", vlans=(None, ("guests",)))
        missing = spread(builder)["watch"].missing

        assert [(m.link, m.cut_off) for m in missing] == [(("b/p7", "c/p1"), ("c",))]

    def test_an_ssid_needs_its_vlan_at_the_access_point(self):
        builder = two_switches((None, ("watch",)), (None, ("watch",)))
        builder.add("ap", "access-point", ssids={"cams": "watch"})
        builder.link("b/p7", "ap/eth", vlans=(None, ("guests",)))
        missing = spread(builder)["watch"].missing

        assert [(m.link, m.cut_off) for m in missing] == [(("ap/eth", "b/p7"), ("ap",))]

    def test_the_standby_port_of_a_host_needs_what_the_active_one_has(self):
        builder = vlans(Builder(), servers=50)
        builder.bridge("a", 4096).bridge("b").add("host", "server", addresses={"servers": ()}).add(
            "gate", "firewall"
        )
        builder.link("a/p9", "b/p9", vlans=(None, ("servers",)))
        builder.link("a/p1", "host/e1", cable="H1").link("b/p1", "host/e2", cable="H2")
        builder.port("a/p1", vlans=("servers", ())).port("b/p1", vlans=(None, ()))
        builder.aggregate("pair", ["H1", "H2"], {"host": "active-standby"})
        builder.link("a/p5", "gate/lan").port("a/p5", vlans=("servers", ()))
        result = spread(builder)["servers"]

        assert [(m.link, m.when, m.after) for m in result.missing] == [
            (("b/p1", "host/e2"), "standby", "cable H1")
        ]
        assert result.unneeded == ()


class TestUnneeded:
    def test_a_vlan_that_nobody_beyond_uses(self):
        result = spread(two_switches((None, ("watch", "guests")), (None, ("watch", "guests"))))

        assert result["guests"].unneeded == (("a/p1", "b/p1"),)
        assert result["watch"].unneeded == ()

    def test_an_access_ports_untagged_vlan_is_needed_by_whoever_is_plugged_in(self):
        builder = vlans(Builder(), watch=30).bridge("a").add("cam", "camera").link("a/p1", "cam/eth")

        assert spread(builder.port("a/p1", vlans=("watch", ())))["watch"].unneeded == ()

    def test_two_stations_that_state_nothing_have_chosen_nothing(self):
        builder = vlans(Builder(), watch=30).add("phone", "phone").add("desk", "workstation")

        assert spread(builder.link("phone/pc", "desk/eth"))["watch"].unneeded == ()

    def test_nothing_is_asked_of_a_link_to_the_outside(self):
        builder = vlans(Builder(), outside=99).bridge("a").link("a/p1", "uplink")
        result = spread(builder.port("a/p1", vlans=(None, ("outside",))))["outside"]

        assert (result.missing, result.unneeded) == ((), ())


class TestUntaggedMismatch:
    def test_two_untagged_vlans_face_each_other(self):
        network = two_switches(("watch", ()), ("guests", ())).network()
        (found,) = untagged_mismatches(network)

        assert (found.ports, found.vlans, found.kind) == (("a/p1", "b/p1"), ("watch", "guests"), "joined")

    def test_untagged_at_one_end_and_tagged_at_the_other(self):
        network = two_switches(("watch", ()), (None, ("watch",))).network()
        (found,) = untagged_mismatches(network)

        assert (found.ports, found.vlans, found.kind) == (("a/p1", "b/p1"), ("watch", "watch"), "one-sided")


def test_facts_put_it_together(monkeypatch):
    builder = two_switches((None, ("watch",)), (None, ("watch",)))
    monkeypatch.setattr("topodraw.compute.facts.find_links", lambda site: builder.network().links)

    assert Facts(builder.site()).vlans["watch"].segments == (("cam/eth", "gate/lan"),)
