"""Whether two things can talk inside a VLAN, by which way, and if not, where it ends."""

import pytest

from tests.compute.sites import facts_of
from topodraw.compute.outage import Failure
from topodraw.compute.reach import NotReached, Reached, layer2_path

SITE = """
hardware:
  bridge-8:
    function: switch
    ports: {p1..p8: {jack: RJ45, speeds: [1G]}, t1..t4: {jack: RJ45, speeds: [10G]}}
  cam: {function: camera, ports: {eth: {jack: RJ45, speeds: [100M, 1G]}}}
  host: {function: server, ports: {e1..e2: {jack: RJ45, speeds: [1G]}}}
  wall: {function: firewall, ports: {lan: {jack: RJ45, speeds: [1G]}}}
  panel-8: {function: panel, ports: {1..8: {jack: RJ45, through: true}}}
vlans: {watch: {id: 30, gateway: gate}, office: {id: 40, gateway: gate}}
gear:
  a: {model: bridge-8, bridge: {priority: 4096}, addresses: {office: 192.0.2.2},
      ports: {p1: {tagged: [watch, office]}, p2: {untagged: watch}, t1..t2: {tagged: [watch, office]},
              t3: {tagged: [office]}}}
  b: {model: bridge-8, bridge: {priority: 8192},
      ports: {p1: {untagged: watch}, p2..p3: {untagged: office}, t1..t2: {tagged: [watch, office]},
              t3: {tagged: [office]}}}
  pan: {model: panel-8}
  gate: {model: wall, addresses: {watch: 192.0.2.65, office: 192.0.2.1}}
  cam-1: {model: cam}
  desk: {model: cam, addresses: {office: 192.0.2.20}}
  node: {model: host}
cables:
  G1: {ends: [a/p1, gate/lan], medium: Cat6A, length: 2m}
  C1: {ends: [b/p1, pan/1], medium: Cat6A, length: 2m}
  C2: {ends: ["pan/1:back", cam-1/eth], medium: Cat6A, length: 20m}
  D1: {ends: [b/p2, desk/eth], medium: Cat6A, length: 2m}
  N1: {ends: [b/p3, node/e1], medium: Cat6A, length: 2m}
  T1..T2: {ends: [a/t1..t2, b/t1..t2], medium: Cat6A, length: 5m}
  T3: {ends: [a/t3, b/t3], medium: Cat6A, length: 5m}
aggregates: {ab: {cables: [T1, T2]}}
workloads: {files: {on: node, vlan: office, address: 192.0.2.9}}
"""


@pytest.fixture
def facts(tmp_path):
    return facts_of(tmp_path, SITE)


def test_the_way_runs_through_panels_and_aggregates(facts):
    found = layer2_path(facts, "cam-1", "gate")

    assert isinstance(found, Reached)
    assert found.vlan == "watch"
    assert [(hop.leaves, hop.arrives) for hop in found.hops] == [
        ("cam-1/eth", "b/p1"), ("b/t1", "a/t1"), ("a/p1", "gate/lan"),
    ]  # fmt: skip
    assert found.hops[0].cables == ("C2", "C1")
    assert found.hops[0].through == ("pan/1",)
    assert found.hops[1].aggregate == "ab"
    assert (found.hops[1].cables, found.hops[1].speed_bps) == (("T1", "T2"), 20 * 10**9)
    assert [hop.tag for hop in found.hops] == [None, "watch", "watch"]
    assert found.speed_bps == 10**9


def test_a_workload_is_reached_at_its_host(facts):
    found = layer2_path(facts, "gate", "files")

    assert isinstance(found, Reached)
    assert (found.vlan, found.hops[-1].arrives) == ("office", "node/e1")


def test_a_switch_is_reached_at_its_address(facts):
    assert isinstance(layer2_path(facts, "desk", "a"), Reached)


def test_a_port_stands_for_what_it_carries(facts):
    found = layer2_path(facts, "b/p1", "gate/lan")

    assert isinstance(found, Reached)
    assert found.vlan == "watch"


def test_two_vlans_need_a_gateway(facts):
    found = layer2_path(facts, "cam-1", "desk")

    assert found == NotReached(None, "They share no VLAN: cam-1 is in watch and desk is in office.", ())


def test_after_one_member_fails_the_aggregate_is_narrower(facts):
    found = layer2_path(facts, "cam-1", "gate", failures=[Failure("cable", "T1")])

    assert isinstance(found, Reached)
    assert (found.hops[1].leaves, found.hops[1].cables, found.hops[1].speed_bps) == ("b/t2", ("T2",), 10**10)


def test_after_the_aggregate_fails_the_spare_link_lacks_the_vlan(facts):
    spare_only = [Failure("aggregate", "ab")]

    assert isinstance(layer2_path(facts, "desk", "gate", failures=spare_only), Reached)
    ended = layer2_path(facts, "cam-1", "gate", failures=spare_only)
    assert ended == NotReached("watch", "b/t3 does not carry watch.", ("b/t3",))


def test_nothing_joins_what_is_cut_off(facts):
    found = layer2_path(facts, "cam-1", "gate", failures=[Failure("gear", "pan")])

    assert found == NotReached("watch", "No active link joins them.", ())


def test_a_name_that_is_not_there_is_refused(facts):
    with pytest.raises(ValueError, match="no gear, stack, workload or cabled port nobody"):
        layer2_path(facts, "nobody", "gate")
