"""Every section and key of the language reaches the model, with its references found."""

import dataclasses
from collections.abc import Iterator
from ipaddress import ip_address, ip_network
from pathlib import Path
from typing import Any

import pytest
from pydantic import BaseModel

from tests.model.sites import read_files, read_text, said, site_of
from topodraw.model.cabling import Cord, End
from topodraw.model.entry import Entry
from topodraw.model.gear import BridgeSettings, MstpInstance, MstpRegion, RackPosition, VlanStatement
from topodraw.model.network import Endpoint
from topodraw.model.read import read_site
from topodraw.model.sections import LISTS, NAMED
from topodraw.model.site import Site, SiteInfo
from topodraw.model.written import PROMISES, ConduitEntry
from topodraw.source.yaml_reader import read_yaml

FILE = Path(__file__).with_name("every_key.yaml")


@pytest.fixture(scope="module")
def site() -> Site:
    return site_of(read_site(FILE))


def keys_in(value: Any) -> Iterator[str]:
    """Every key that stands anywhere in a plain value."""
    if isinstance(value, dict):
        for key, inner in value.items():
            yield key
            yield from keys_in(inner)
    elif isinstance(value, list):
        for item in value:
            yield from keys_in(item)


def declared(model: Any, seen: set[Any]) -> Iterator[str]:
    """Every key that an entry declares, with those of the entries inside it."""
    if isinstance(model, type) and issubclass(model, BaseModel):
        if model not in seen:
            seen.add(model)
            for name, info in model.model_fields.items():
                yield info.alias or name
                yield from declared(info.annotation, seen)
        return
    for inner in getattr(model, "__args__", ()):
        yield from declared(inner, seen)


def test_the_test_site_uses_every_key_of_the_language() -> None:
    node = read_yaml(FILE.read_bytes(), FILE.name, pytest.fail)
    assert node is not None
    used = set(keys_in(node.value))
    models: list[type[Entry]] = [*NAMED.values(), *LISTS.values(), SiteInfo, ConduitEntry, *PROMISES.values()]
    known = [key for model in models for key in declared(model, set()) if not key.startswith("@")]
    assert [key for key in known if key not in used] == []


def test_the_sites_own_lines(site: Site) -> None:
    info = site.info
    assert (info.name, info.ref, info.issue, info.date) == (
        "Saltmarsh Field Station",
        "SMF",
        "B",
        "2026-11-25",
    )
    assert (info.path_costs, info.load_factor, info.price_per_kwh) == (1998, 0.75, 0.31)
    assert info.about == "Two buildings.. and a hide"


def test_hardware_keeps_its_ports_in_faceplate_order(site: Site) -> None:
    switch = site.hardware["ridge-28"]
    assert list(switch.ports) == ["p1", "p2", "p3", "p4", *(f"x{n}" for n in range(1, 7)), "q1", "con"]
    assert switch.ports["p3"].speeds_bps == (100_000_000, 1_000_000_000, 2_500_000_000)
    assert switch.size is not None
    assert (switch.size.depth_mm, switch.size.mass_kg) == (320, 5.1)
    assert switch.poe is not None
    assert switch.poe.budget_w == {1: 400, 2: 800}
    ports = site.gear["core"].ports
    assert [(port.number, port.group) for port in ports.values()][3:6] == [(4, 1), (5, 2), (6, 2)]


def test_a_ups_knows_how_long_it_lasts(site: Site) -> None:
    power = site.hardware["keeper"].power
    assert power is not None
    assert power.runtime_s == {400: 55 * 60, 800: 24 * 60}
    assert (power.capacity_w, power.capacity_va) == (1000, 1200)
    assert list(power.outlets) == ["o1", "o2", "o3"]
    assert power.outlets["o1"].coupler == "C13"
    assert power.outlets["o3"].bank == "B"


def test_racks_know_their_place(site: Site) -> None:
    rack = site.racks["A"]
    assert (rack.name, rack.place, rack.units, rack.numbering) == ("A", "comms", 42, "top-down")
    assert (rack.max_load_kg, rack.cooling_w, rack.width_mm) == (800, 2000, 600)
    assert site.places["comms"].floor_load_kg_m2 == 500


def test_gear_is_read_whole(site: Site) -> None:
    core = site.gear["core"]
    assert core.hardware is site.hardware["ridge-28"]
    assert core.position == RackPosition("A", 40, "rear")
    assert (core.place, core.place_stated) == ("comms", None)
    assert (core.mac, core.serial, core.was) == ("02:00:5e:10:00:01", "0012", "old-core")
    assert core.addresses["science"] == (ip_address("10.61.20.2"), ip_address("2001:db8:20::2"))
    assert core.routes == {
        "default": ip_address("10.61.10.1"),
        ip_network("10.70.0.0/16"): ip_address("10.61.10.9"),
    }
    assert core.bridge == BridgeSettings(
        priority=4096,
        protocol="mstp",
        port_cost={"x1": 500, "pair": 200},
        port_priority={"x1": 64, "x2": 64},
        mstp=MstpRegion("SALT", 3, {1: MstpInstance(("science", "watch"), 8192)}),
    )
    assert (core.draw_w, core.mass_kg, core.note) == (50, 5.5, "the one by the door.. for now")


def test_what_a_range_makes_counts_in_step(site: Site) -> None:
    assert [site.gear[f"cam-{number}"].addresses["watch"] for number in (1, 2, 3, 4)] == [
        (ip_address(f"10.61.40.{host}"),) for host in (21, 22, 23, 24)
    ]
    assert site.gear["pan-2"].position == RackPosition("A", 37)
    assert site.cables["T2"].ends == (End("core", "x2"), End("tor", "x2"))
    assert site.cables["H1"].ends == (End("pan-1", "1", back=True), End("pan-2", "4", back=True))
    assert site.cables["Q2"].ends == (End("core", "q1", lane=2), End("node-2", "n1"))
    assert [conduit.source.name for conduit in site.conduits] == ["lab", "cam-1", "cam-2", "internet"]


def test_several_alike_are_one_gear(site: Site) -> None:
    tags = site.gear["tags"]
    assert (tags.count, tags.wireless, tags.state, tags.private) == (12, "saltmarsh", "planned", True)


def test_a_node_is_where_its_chassis_is(site: Site) -> None:
    assert (site.gear["node-1"].node_of, site.gear["node-1"].place) == ("chassis", "comms")
    assert site.gear["node-1"].after == ("core", "ups")


def test_a_port_is_set_up_by_all_ranges_that_name_it(site: Site) -> None:
    ports = site.gear["core"].ports
    assert ports["x5"].vlans == VlanStatement("manage", "all", ("gear", "core", "ports", "x5"))
    assert (ports["x5"].module, ports["x5"].speed_bps, ports["x5"].mtu) == ("lr", 10_000_000_000, 9000)
    assert ports["p2"].vlans == VlanStatement("science", (), ("gear", "core", "ports", "p2"))
    assert ports["p2"].edge is True
    assert ports["p3"].vlans is None


def test_a_ports_own_vlans_go_before_an_aggregates(site: Site) -> None:
    assert site.gear["core"].ports["x1"].vlans == VlanStatement(
        "manage", "all", ("gear", "core", "ports", "x1")
    )
    stated = VlanStatement("manage", ("science", "watch"), ("aggregates", "pair"))
    assert site.gear["tor"].ports["x1"].vlans == stated


def test_a_cables_vlans_reach_the_ports_at_both_ends_of_the_link_through_panels(site: Site) -> None:
    stated = VlanStatement("watch", (), ("cables", "H4"))
    assert site.gear["tor"].ports["p4"].vlans == stated
    assert site.gear["cam-4"].ports["eth"].vlans == stated
    assert site.gear["pan-1"].ports["4"].vlans is None


def test_cables_are_read_whole(site: Site) -> None:
    cable = site.cables["T1"]
    assert (cable.medium, cable.length_m, cable.active) == ("twinax", 0.5, True)
    assert (cable.purpose, cable.colour) == ("backbone", "black")
    assert site.cables["R1"].ends[1] == End(None, None, remote="uplink")
    assert site.cables["R1"].speed_bps == 300_000_000
    assert site.cables["H1"].within == ("trench",)
    assert site.cables["Q1"].within == ("fan",)
    assert site.cables["E1"].state == "planned"
    pair = site.aggregates["pair"]
    assert (pair.cables, pair.mode_of("core"), pair.mode_of("tor")) == (("T1", "T2"), "lacp", "static")


def test_cords_lead_from_outlets_to_inlets(site: Site) -> None:
    assert site.cords["W1"] == Cord("W1", ("ups", "o1"), False, ("core", "a"), 2, 10)
    assert site.cords["W2"] == Cord("W2", ("wall-1", "s1"), True, ("ups", "in"))
    assert site.cords["W3"] == Cord("W3", ("wall-2", None), True, ("core", "b"))
    assert (site.breakers["wall-1"].voltage_v, site.breakers["wall-1"].phases) == (230, 3)


def test_a_vlan_has_its_subnets_gateway_and_dhcp(site: Site) -> None:
    science = site.vlans["science"]
    assert science.subnets == (ip_network("10.61.20.0/24"), ip_network("2001:db8:20::/64"))
    assert science.gateway is not None
    assert (science.gateway.by, science.gateway.shared) == (("core", "tor"), (ip_address("10.61.20.1"),))
    assert science.dhcp is not None
    assert (science.dhcp.first, science.dhcp.by) == (ip_address("10.61.20.100"), "web")
    assert list(site.zones) == ["lab", "eyes", "internet"]


def test_conduits_and_promises_know_what_they_name(site: Site) -> None:
    published = site.conduits[3]
    assert (published.source, published.target) == (Endpoint("zone", "internet"), Endpoint("zone", "lab"))
    assert published.to == Endpoint("workload", "web")
    assert published.allow == ("tcp/443", "udp/5000-5010", "icmp")
    assert site.conduits[0].both_ways
    assert site.conduits[0].allow == ("any",)
    assert [promise.service for promise in site.expect[1:3]] == ["tcp/25", "tcp/554"]
    survive = site.expect[4]
    assert (survive.survive, survive.survive_kind, survive.target) == (
        "T1",
        "cable",
        Endpoint("vlan", "watch"),
    )
    assert [promise.kind for promise in site.expect] == (
        ["root", "never", "always", "survive", "survive", "rate", "runtime"]
    )
    assert (site.expect[3].for_s, site.expect[5].at_least_bps, site.expect[6].at_least_s) == (
        600,
        10**10,
        600,
    )


def test_hosting_is_read_whole(site: Site) -> None:
    web = site.workloads["web"]
    assert (web.on, web.on_kind, web.published, web.serves) == ("pair", "cluster", "tunnel", ("tcp/443",))
    assert web.needs.disk is not None
    assert (web.needs.disk.pool, web.needs.disk.size_bytes) == ("tank", 100 * 10**9)
    assert site.workloads["cache"].inside == "web"
    assert site.pools["tank"].layout[0].size_bytes == 4 * 10**12
    assert site.clusters["pair"].members == ("node-1", "node-2")
    assert [(copy.of, copy.onto, copy.every_s) for copy in site.copies] == [
        ("tank", "hide", 86400),
        ("web", "uplink", None),
    ]


def test_waivers_and_naming(site: Site) -> None:
    assert [(waiver.on, waiver.until) for waiver in site.waivers] == [
        ("core/x5", "2027-03-31"),
        ("core/x6", "2027-03-31"),
    ]
    assert site.waivers[0].because == "spare.. for now"
    assert site.naming == {"cable": "[A-Z][0-9]"}


def test_a_site_is_the_same_when_it_is_read_again(site: Site) -> None:
    again = read_site(FILE)
    assert said(again) == []
    assert again.site == site
    assert dataclasses.is_dataclass(again.site)


def test_a_key_with_nothing_after_it_says_nothing(tmp_path: Path) -> None:
    hardware = "hardware: {h: {function: switch, size: , ports: , managed: }}\n"
    gear = "gear: {g: {model: h, ports: , after: , count: }}\n"
    empty = site_of(read_text(tmp_path, hardware + gear + "zones:\nconduits:\n"))
    assert empty.gear["g"].count == 1
    assert empty.hardware["h"].managed is True
    assert (empty.gear["g"].after, list(empty.zones)) == ((), ["internet"])


def test_numbers_can_be_names_and_texts(tmp_path: Path) -> None:
    written = """
hardware: {h: {function: switch, ports: {1..4: {jack: RJ45, speeds: 1G}}}}
gear: {5: {model: h, serial: 007, note: 1.10, ports: {1: {untagged: 20, tagged: [0x1F]}}}}
vlans: {20: {id: 20}, 0x1F: {id: 31}}
"""
    gear = site_of(read_text(tmp_path, written)).gear["5"]
    assert (gear.serial, gear.note) == ("007", "1.10")
    assert gear.ports["1"].vlans == VlanStatement("20", ("0x1F",), ("gear", "5", "ports", "1"))
    assert gear.ports["4"].hardware.speeds_bps == (10**9,)


def test_a_range_in_prose_is_prose(tmp_path: Path) -> None:
    written = """
hardware: {h: {function: switch}}
gear:
  g1..g3: {model: h, note: "like s1..s9"}
  one: {model: h, note: p1..p4}
"""
    gear = site_of(read_text(tmp_path, written)).gear
    assert [gear[name].note for name in ("g1", "g3", "one")] == ["like s1..s9", "like s1..s9", "p1..p4"]


def test_a_misspelt_section_is_told_alone(tmp_path: Path) -> None:
    reading = read_text(tmp_path, "zoness: {z: {title: Z}}\nvlans: {v: {id: 2, zone: z}}\n")
    (problem,) = said(reading)
    assert "unknown section 'zoness'; did you mean 'zones'?" in problem


def test_a_file_that_cannot_be_read_is_told_without_what_refers_into_it(tmp_path: Path) -> None:
    reading = read_files(tmp_path, zones="zones: {z: [", vlans="vlans: {v: {id: 2, zone: z}, w: {id: x}}")
    assert [problem.position.file for problem in reading.problems] == ["zones.yaml", "vlans.yaml"]
    assert [problem.rule for problem in reading.problems] == ["bad-yaml", "bad-value"]
