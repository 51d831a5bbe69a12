"""The facts document: keys and shapes that other programs rely on.

Path costs: IEEE 802.1D-2004 Table 17-3 (10 Gbit/s costs 2 000; an aggregate of two: 1 000). Bridge
identifiers: clause 9.2.5, the lower one is root.
"""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from topodraw.compute.facts import Facts
from topodraw.model.read import read_site
from topodraw.report.facts_document import facts_document

SITE = """
topodraw: 1
site: {name: Saltmarsh Field Station, ref: SMF}
hardware:
  ridge: {function: switch, size: {units: 1, mass: 5.1kg}, ports: {x1..x4: {cage: SFP+}}}
  shore:
    function: switch
    size: {units: 1}
    ports: {p1..p4: {jack: RJ45, speeds: [100M, 1G]}, u1..u2: {cage: SFP+}}
  gullcam: {function: camera, ports: {eth: {jack: RJ45, speeds: [100M]}}}
  fence: {function: firewall, ports: {w: {jack: RJ45, speeds: [10G]}, x: {cage: SFP+}}}
places: {comms: {title: Comms room, racks: {B: {units: 6}, A: {units: 12}}}}
gear:
  tor:
    model: shore
    at: A/U11
    mac: 02:00:5e:10:00:02
    bridge: {priority: 8192}
    ports: {p1..p2: {untagged: watch}}
  core:
    model: ridge
    at: A/U12
    mac: 02:00:5e:10:00:01
    bridge: {priority: 4096}
    ports: {x3: {tagged: [watch]}}
  cam: {model: gullcam, place: comms}
  gate: {model: fence, ports: {x: {tagged: [watch]}}}
cables:
  T1..T2: {ends: [core/x1..x2, tor/u1..u2], medium: twinax, length: 0.5m}
  C1: {ends: [tor/p1, cam/eth], medium: Cat6}
  X1: {ends: [tor/p3, gate/w], medium: Cat6, length: 2m}
  G1: {ends: [core/x3, gate/x], medium: twinax, length: 1m}
aggregates: {core-tor: {cables: [T1, T2], tagged: [watch]}}
vlans: {watch: {id: 40, zone: watch, subnet: 10.61.40.0/24, gateway: gate}}
zones: {watch: {title: Watch}, published: {title: Published}}
remotes: {uplink: {kind: internet, by: gate}}
conduits:
  - {flow: internet -> watch, allow: [tcp/443, icmp], to: cam}
"""


def document_of(text: str, folder: Path) -> dict[str, Any]:
    (folder / "site.yaml").write_text(text, encoding="utf-8")
    reading = read_site(folder)
    assert reading.site is not None, reading.problems
    return json.loads(json.dumps(facts_document(Facts(reading.site))))  # type: ignore[no-any-return]


@pytest.fixture
def document(tmp_path: Path) -> dict[str, Any]:
    return document_of(SITE, tmp_path)


def test_it_says_of_which_site_and_holds_only_what_is_computed(document: dict[str, Any]) -> None:
    assert (document["topodraw"], document["site"]) == (1, "Saltmarsh Field Station")
    assert set(document) >= {"topodraw", "site", "links", "tree", "vlans", "reach", "racks"}


def test_links_are_sorted_and_say_what_runs_or_why_nothing_does(document: dict[str, Any]) -> None:
    assert document["links"] == [
        {
            "ends": ["cam/eth", "tor/p1"],
            "cables": ["C1"],
            "phy": "100BASE-TX",
            "why": None,
            "speed_bps": 100_000_000,
            "length_m": None,  # not stated: never 0
            "aggregate": None,
        },
        *(
            {
                "ends": [f"core/x{n}", f"tor/u{n}"],
                "cables": [f"T{n}"],
                "phy": "10GSFP+Cu",
                "why": None,
                "speed_bps": 10_000_000_000,
                "length_m": 0.5,
                "aggregate": "core-tor",
            }
            for n in (1, 2)
        ),
        {
            "ends": ["core/x3", "gate/x"],
            "cables": ["G1"],
            "phy": "10GSFP+Cu",
            "why": None,
            "speed_bps": 10_000_000_000,
            "length_m": 1.0,
            "aggregate": None,
        },
        {
            "ends": ["gate/w", "tor/p3"],
            "cables": ["X1"],
            "phy": None,
            "why": "no common speed",
            "speed_bps": None,
            "length_m": 2.0,
            "aggregate": None,
        },
    ]


def test_the_tree_names_roots_bridges_and_every_port(document: dict[str, Any]) -> None:
    tree = document["tree"]
    assert tree["roots"] == ["core"]
    assert tree["bridges"]["tor"] == {
        "bridge_id": "8192.02:00:5e:10:00:02",
        "root": "core",
        "root_path_cost": 1000,
        "root_port": "core-tor",
    }
    assert tree["bridges"]["core"] == {
        "bridge_id": "4096.02:00:5e:10:00:01",
        "root": "core",
        "root_path_cost": 0,
        "root_port": None,
    }
    ports = {(port["bridge"], port["port"]): port for port in tree["ports"]}
    assert ports["tor", "core-tor"] == {
        "bridge": "tor",
        "port": "core-tor",
        "role": "root",
        "state": "forwarding",
        "cost": 1000,
        "edge": False,
    }
    assert ports["tor", "tor/p1"]["edge"] is True
    assert list(ports) == sorted(ports)


def test_an_unknown_mac_leaves_the_bridge_identifier_unknown(tmp_path: Path) -> None:
    document = document_of(SITE.replace("    mac: 02:00:5e:10:00:02\n", ""), tmp_path)
    assert document["tree"]["bridges"]["tor"]["bridge_id"] is None


def test_a_vlan_lists_who_reaches_whom_and_where_it_is_missing(
    document: dict[str, Any], tmp_path: Path
) -> None:
    watch = document["vlans"]["watch"]
    assert set(watch) == {"id", "segments", "missing", "missing_detail", "unneeded"}
    assert watch["id"] == 40
    assert watch["segments"] == [["cam/eth", "gate/x"]]
    assert (watch["missing"], watch["missing_detail"]) == ([], [])

    broken = document_of(SITE.replace("    ports: {x3: {tagged: [watch]}}\n", ""), tmp_path)["vlans"]["watch"]
    assert broken["segments"] == [["cam/eth"], ["gate/x"]]
    assert broken["missing"] == [["core/x3", "gate/x"]]
    (detail,) = broken["missing_detail"]
    assert (detail["link"], detail["at"], detail["when"]) == (["core/x3", "gate/x"], ["core/x3"], "active")
    assert set(detail) == {"link", "at", "when", "cut_off"}


def test_reach_is_all_none_or_services(document: dict[str, Any]) -> None:
    assert document["reach"]["zones"]["internet"] == {
        "internet": "all",
        "published": "none",
        "watch": ["icmp", "tcp/443"],
    }
    assert document["reach"]["conduits"] == [
        {"from": "internet", "to": "cam", "services": ["icmp", "tcp/443"], "enforced_by": ["gate"]}
    ]


def test_racks_say_what_they_hold_and_an_unknown_mass_is_null(document: dict[str, Any]) -> None:
    assert list(document["racks"]) == ["A", "B"]
    assert document["racks"]["A"] == {"units": 12, "used": 2, "mass_kg": None}
    assert document["racks"]["B"] == {"units": 6, "used": 0, "mass_kg": 0}


def test_the_order_of_the_source_does_not_change_the_document(tmp_path: Path) -> None:
    before, _, rest = SITE.partition("gear:\n")
    gear, _, after = rest.partition("cables:\n")
    turned = (
        f"{before}gear:\n{''.join(re.split('^(?=  [a-z])', gear, flags=re.MULTILINE)[::-1])}cables:\n{after}"
    )
    assert turned != SITE
    assert document_of(turned, tmp_path) == document_of(SITE, tmp_path)


def test_a_bare_site_has_every_key_and_nothing_in_it(tmp_path: Path) -> None:
    document = document_of("topodraw: 1\nsite: {name: Bare, ref: B}\n", tmp_path)
    assert document["links"] == []
    assert document["tree"] == {"roots": [], "bridges": {}, "ports": []}
    assert document["reach"] == {"zones": {"internet": {"internet": "all"}}, "conduits": []}
