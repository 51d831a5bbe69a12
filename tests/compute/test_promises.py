"""What becomes of each kind of promise."""

import pytest

from tests.compute.sites import facts_of

SITE = """
hardware:
  bridge-8: {function: switch, ports: {p1..p8: {jack: RJ45, speeds: [1G]}}}
  cam: {function: camera, ports: {eth: {jack: RJ45, speeds: [1G]}}}
  host: {function: server, ports: {e1..e2: {jack: RJ45, speeds: [1G]}}}
  wall: {function: FUNCTION, ports: {lan: {jack: RJ45, speeds: [1G]}, wan: {jack: RJ45, speeds: [1G]}}}
zones: {science: {title: Science}, watch: {title: Watch}, servers: {title: Servers}}
vlans:
  science: {id: 20, zone: science, gateway: gate}
  watch: {id: 30, zone: watch, gateway: gate}
  servers: {id: 40, zone: servers, gateway: gate}
  archive: {id: 41, zone: servers, gateway: gate}
remotes: {uplink: {kind: internet, by: gate}}
gear:
  a: {model: bridge-8, bridge: {priority: 4096},
      ports: {p1..p2: {tagged: [science, watch, servers]}, p3: {tagged: [science, watch, servers]},
              p4: {untagged: watch}}}
  b: {model: bridge-8, bridge: {priority: 8192},
      ports: {p1: {tagged: [science, watch, servers]}, p2: {tagged: [SPARE]}, p3: {untagged: watch},
              p4: {untagged: servers}, p5: {untagged: science}}}
  gate: {model: wall, addresses: {science: 192.0.2.1, watch: 192.0.2.65, servers: 192.0.2.129}}
  cam-a: {model: cam}
  cam-b: {model: cam}
  node: {model: host, addresses: {servers: 192.0.2.130}}
  desk: {model: cam, addresses: {science: 192.0.2.2}}
cables:
  T1: {ends: [a/p1, b/p1], medium: Cat6A, length: 5m, within: [duct-1]}
  T2: {ends: [a/p2, b/p2], medium: Cat6A, length: 5m, within: [duct-2]}
  G1: {ends: [a/p3, gate/lan], medium: Cat6A, length: 2m}
  C1: {ends: [a/p4, cam-a/eth], medium: Cat6A, length: 2m}
  C2: {ends: [b/p3, cam-b/eth], medium: Cat6A, length: 2m}
  N1: {ends: [b/p4, node/e1], medium: Cat6A, length: 2m}
  D1: {ends: [b/p5, desk/eth], medium: Cat6A, length: 2m}
  U1: {ends: [gate/wan, uplink], medium: Cat6A, length: 2m}
runs: {duct-1: {kind: duct}, duct-2: {kind: duct}}
workloads: {web: {on: node, vlan: servers, address: 192.0.2.131}}
conduits:
  - {flow: science -> servers, allow: [tcp/443, tcp/22]}
  - science -> internet
  - {flow: internet -> servers, allow: [tcp/443], to: web}
  - watch -> node
  - {flow: "watch -> vlan:archive", allow: [udp/514]}
expect: [PROMISE]
"""


@pytest.fixture
def verdict(tmp_path):
    def judge(promise, function="firewall", spare="science, watch, servers"):
        text = SITE.replace("PROMISE", promise).replace("FUNCTION", function).replace("SPARE", spare)
        (one,) = facts_of(tmp_path, text).promises
        return one

    return judge


class TestRoot:
    def test_kept(self, verdict):
        assert verdict("{root: a}").outcome == "kept"

    def test_broken_says_why(self, verdict):
        found = verdict("{root: b}")

        assert (found.outcome, found.because) == (
            "broken",
            "a is root: its priority 4096 is lower than 8192.",
        )

    def test_gear_that_is_no_bridge(self, verdict):
        assert verdict("{root: gate}").outcome == "broken"


class TestNeverAndAlways:
    @pytest.mark.parametrize(
        ("promise", "outcome"),
        [
            ("{never: watch -> internet}", "kept"),
            ("{never: science -> internet}", "broken"),
            ("{never: internet -> science}", "kept"),
            ("{never: science <-> internet}", "broken"),
            ("{never: internet -> servers}", "broken"),
            ("{never: internet -> web}", "broken"),
            ("{never: internet -> node}", "kept"),
            ("{never: cam-a -> cam-b}", "broken"),
            ("{always: science -> servers}", "kept"),
            ("{always: science -> servers, service: tcp/443}", "kept"),
            ("{always: science -> servers, service: tcp/80}", "broken"),
            ("{always: desk -> web, service: tcp/22}", "kept"),
            ("{always: internet -> web, service: tcp/443}", "kept"),
            ("{always: internet -> servers, service: tcp/443}", "broken"),
            ("{always: watch -> node}", "kept"),
            ("{always: watch -> servers}", "broken"),
            ("{always: watch -> vlan:archive, service: udp/514}", "kept"),
            ("{always: watch -> zone:servers, service: udp/514}", "broken"),  # one VLAN of two
            ("{always: science <-> servers}", "broken"),
            ("{always: science -> uplink}", "kept"),
        ],
    )
    def test_by_the_conduits(self, verdict, promise, outcome):
        found = verdict(promise)

        assert found.outcome == outcome, found.because

    def test_what_nothing_filters_is_refused_on_paper_only(self, verdict):
        found = verdict("{never: watch -> science}", function="router")

        assert found.outcome == "broken"
        assert "on paper only" in found.because


class TestSurvive:
    @pytest.mark.parametrize(
        ("promise", "outcome", "failures"),
        [
            ("{survive: T1, keep: a -> b}", "kept", []),
            ("{survive: any cable, keep: b -> a}", "kept", []),
            ("{survive: any cable, keep: b -> gate}", "broken", ["cable G1"]),
            ("{survive: any run, keep: cam-b -> gate}", "kept", []),
            ("{survive: any run, keep: desk -> web}", "kept", []),
            ("{survive: any cable, keep: cam-b -> gate}", "broken", ["cable G1", "cable C2"]),
            ("{survive: any gear, keep: cam-b -> gate}", "broken", ["gear a", "gear b"]),
            ("{survive: any gear, keep: b -> gate}", "broken", ["gear a"]),
            ("{survive: any gear, keep: a -> gate}", "kept", []),
            ("{survive: any gear, keep: web -> gate}", "broken", ["gear a", "gear b"]),
            ("{survive: duct-1, keep: watch -> servers}", "kept", []),
            ("{survive: any breaker, keep: a -> gate}", "unchecked", []),
            ("{survive: any cable, keep: a -> gate, for: 10min}", "unchecked", []),
        ],
    )
    def test_by_the_failure_engine(self, verdict, promise, outcome, failures):
        found = verdict(promise)

        assert (found.outcome, [str(one) for one in found.failures]) == (outcome, failures), found.because

    def test_a_vlan_missing_on_the_spare_link_breaks_it(self, verdict):
        found = verdict("{survive: any run, keep: cam-b -> gate}", spare="science, servers")

        assert [str(one) for one in found.failures] == ["run duct-1"]
        assert found.because == "With run duct-1 failed, nothing joins cam-b and gate in watch."

    def test_one_vlan_may_be_asked_for(self, verdict):
        assert (
            verdict("{survive: any run, keep: b -> gate, vlan: servers}", spare="servers").outcome == "kept"
        )
        assert verdict("{survive: any run, keep: b -> gate}", spare="servers").outcome == "broken"


@pytest.mark.parametrize("promise", ["{rate: desk -> gate, at-least: 1G}"])
def test_what_is_not_computed_yet_is_unchecked(verdict, promise):
    found = verdict(promise)

    assert found.outcome == "unchecked"
    assert found.missing is not None
