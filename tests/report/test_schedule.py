"""Schedules: what stands in the cable schedule, the port maps and the address register.

The layout is this project's own; the CSV is read back with another reader of RFC 4180.
"""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

from topodraw.compute.facts import Facts
from topodraw.model.read import read_site
from topodraw.report.schedule import PARTS, schedule_csv, schedule_text
from topodraw.report.tables import TEXT_WIDTH, text_table
from topodraw.source.quantities import speed_text

SITE = """
topodraw: 1
site: {name: Saltmarsh Field Station, ref: SMF, issue: B}
hardware:
  ridge:
    function: switch
    size: {units: 1}
    ports: {x1..x4: {cage: SFP+}, x7: {cage: SFP+}, x9: {cage: SFP+}, con: {jack: RJ45, for: console}}
  shore:
    function: switch
    size: {units: 1}
    ports: {p1..p6: {jack: RJ45, speeds: [1G, 100M]}, u1..u2: {cage: SFP+}}
  gullcam: {function: camera, ports: {eth: {jack: RJ45, speeds: [100M]}}}
  keystone: {function: panel, size: {units: 1}, ports: {1..4: {jack: RJ45, through: true}}}
  fence: {function: firewall, size: {units: 1}, ports: {w: {jack: RJ45, speeds: [1G]}, x: {cage: SFP+}}}
places: {comms: {title: Comms room, racks: {A: {units: 12}}}}
gear:
  core: {model: ridge, at: A/U12, ports: {x3: {untagged: watch}, x4: {shut: true}}}
  tor: {model: shore, at: A/U11, addresses: {manage: 10.61.1.3}, ports: {p1..p2: {untagged: watch}}}
  pan: {model: keystone, at: A/U10}
  cam: {model: gullcam, place: comms, addresses: {watch: 10.61.40.21}}
  gate:
    model: fence
    at: A/U9
    addresses: {watch: 10.61.40.1, manage: 10.61.9.1}
    ports: {x: {tagged: [manage]}}
cables:
  T1..T2: {ends: [core/x1..x2, tor/u1..u2], medium: twinax, length: 0.5m, purpose: backbone}
  C1: {ends: [tor/p1, pan/1], medium: Cat6, length: 2m, colour: green}
  H1: {ends: ["pan/1:back", cam/eth], medium: Cat6, length: 61.5m, purpose: watch, within: [duct]}
  H2: {ends: ["pan/2:back", "pan/3:back"], medium: Cat6, state: spare}
  U1: {ends: [gate/w, uplink], medium: Cat6}
  U2: {ends: [gate/x, core/x3], medium: twinax, length: 1m}
runs: {duct: {kind: duct}}
aggregates: {core-tor: {cables: [T1, T2], untagged: manage, tagged: [watch]}}
vlans:
  manage: {id: 1, zone: control, subnet: 10.61.1.0/24}
  watch:
    id: 40
    zone: watch
    subnet: 10.61.40.0/24
    gateway: gate
    dhcp: {range: 10.61.40.100-10.61.40.199, by: gate}
zones: {control: {title: Control}, watch: {title: Watch}}
workloads: {recorder: {on: gate, vlan: watch, address: 10.61.40.30}}
remotes: {uplink: {kind: internet, by: gate}}
purposes: {backbone: {colour: violet}, watch: {colour: orange}}
"""


@pytest.fixture
def facts(tmp_path: Path) -> Facts:
    (tmp_path / "site.yaml").write_text(SITE, encoding="utf-8")
    reading = read_site(tmp_path)
    assert reading.site is not None, reading.problems
    return Facts(reading.site)


def records(facts: Facts, part: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(schedule_csv(facts, part))))  # type: ignore[arg-type]


def paragraph(text: str, start: str) -> list[str]:
    """The lines from the one that begins with `start` to the next empty one."""
    lines = text.splitlines()
    first = next(number for number, line in enumerate(lines) if line.startswith(start))
    return lines[first : lines.index("", first) if "" in lines[first:] else None]


def test_the_cable_schedule_has_every_cable_with_the_link_it_is_part_of(facts: Facts) -> None:
    rows = {row["cable"]: row for row in records(facts, "cables")}
    assert list(rows) == ["T1", "T2", "C1", "H1", "H2", "U1", "U2"]
    house = rows["H1"]
    assert (house["from"], house["to"], house["medium"], house["length_m"]) == (
        "pan/1:back",
        "cam/eth",
        "Cat6",
        "61.5",
    )
    assert (house["phy"], house["speed_bps"], house["runs"]) == ("100BASE-TX", "100000000", "duct")
    assert (house["link_from"], house["link_to"], house["through"]) == ("cam/eth", "tor/p1", "pan/1")
    assert (house["purpose"], house["vlans"]) == ("watch", "watch untagged")
    assert rows["C1"]["colour"] == "green"
    # the two ends of U2 disagree: each says for itself
    assert rows["U2"]["vlans"] == "core/x3: watch untagged | gate/x: manage tagged"
    assert (rows["T1"]["aggregate"], rows["T1"]["vlans"]) == ("core-tor", "manage untagged; watch tagged")


def test_what_is_unknown_is_empty_and_never_nought(facts: Facts) -> None:
    rows = {row["cable"]: row for row in records(facts, "cables")}
    assert rows["U1"]["length_m"] == ""
    assert (rows["H2"]["phy"], rows["H2"]["speed_bps"], rows["H2"]["link_from"]) == ("", "", "")
    assert rows["H2"]["state"] == "spare"


def test_the_cable_schedule_for_people_tells_the_path_under_the_cable(facts: Facts) -> None:
    lines = schedule_text(facts, ["cables"]).splitlines()
    at = next(number for number, line in enumerate(lines) if line.startswith("H1"))
    assert lines[at + 1].strip() == "part of cam/eth - tor/p1 via pan/1 | watch untagged"
    at = next(number for number, line in enumerate(lines) if line.startswith("H2"))
    assert "nothing in its other face" in lines[at + 1]


def test_a_port_map_has_each_port_once_with_its_far_end_and_vlans(facts: Facts) -> None:
    rows = {(row["gear"], row["port"]): row for row in records(facts, "ports")}
    assert len(rows) == 7 + 8 + 2 * 4 + 1 + 2
    port = rows["tor", "p1"]
    assert (port["use"], port["cable"], port["far_end"], port["vlans"]) == (
        "in use",
        "C1",
        "cam/eth",
        "watch untagged",
    )
    assert (port["where"], port["model"], port["kind"]) == ("A/U11", "shore", "RJ45")
    assert rows["core", "x1"]["aggregate"] == "core-tor"
    assert (rows["core", "x4"]["use"], rows["core", "x7"]["use"]) == ("shut", "free")
    assert rows["core", "con"]["note"] == "console"
    # a panel's two faces lead where their own cable goes
    assert (rows["pan", "1"]["far_end"], rows["pan", "1:back"]["far_end"]) == ("tor/p1", "cam/eth")
    assert (rows["pan", "2"]["use"], rows["pan", "2:back"]["cable"]) == ("free", "H2")
    assert rows["gate", "w"]["far_end"] == "uplink"


def test_the_port_map_for_people_folds_what_is_free_and_counts_it(facts: Facts) -> None:
    text = schedule_text(facts, ["ports"])
    tor = paragraph(text, "tor,")
    assert tor[0] == "tor, switch shore, A/U11: 5 of 8 free"
    assert [line.split()[0] for line in tor[3:]] == ["p1", "p2", "p3..p6", "u1", "u2"]
    # alike, but with a gap in the numbers: no range
    assert [line.split()[0] for line in paragraph(text, "core,")[3:]] == [
        "x1",
        "x2",
        "x3",
        "x4",
        "x7",
        "x9",
        "con",
    ]
    pan = paragraph(text, "pan,")
    assert pan[0].endswith("1 of 4 free")
    assert pan[3].split() == ["1", "RJ45", "C1", "tor/p1", "H1", "cam/eth"]
    assert pan[-1].split() == ["4", "RJ45", "free"]


def test_the_address_register_is_sorted_by_vlan_and_address(facts: Facts) -> None:
    rows = [
        (row["vlan"], row["address"], row["last_address"], row["who"]) for row in records(facts, "addresses")
    ]
    assert rows == [
        ("manage", "10.61.1.3", "", "tor"),
        ("manage", "10.61.9.1", "", "gate"),
        ("watch", "10.61.40.1", "", "gate"),
        ("watch", "10.61.40.21", "", "cam"),
        ("watch", "10.61.40.30", "", "recorder"),
        ("watch", "10.61.40.100", "10.61.40.199", "gate"),
    ]
    what = {(row["vlan"], row["who"]): row["what"] for row in records(facts, "addresses")}
    assert what["manage", "gate"] == "firewall"
    text = schedule_text(facts, ["addresses"])
    assert "VLAN 40 watch; 10.61.40.0/24; zone watch; gateway gate" in text
    assert "outside the subnet" in next(line for line in text.splitlines() if "10.61.9.1" in line)


def test_a_schedule_fits_a_hundred_columns_and_is_the_same_each_time(facts: Facts) -> None:
    text = schedule_text(facts)
    assert max(map(len, text.splitlines())) <= TEXT_WIDTH
    assert all(line == line.rstrip() for line in text.splitlines())
    assert text == schedule_text(Facts(facts.site), PARTS)
    assert [line for line in text.splitlines() if line.endswith("(SMF, issue B)")] == [
        "Cable schedule: Saltmarsh Field Station (SMF, issue B)",
        "Port maps: Saltmarsh Field Station (SMF, issue B)",
        "Address register: Saltmarsh Field Station (SMF, issue B)",
    ]


def test_a_wide_table_is_wrapped_and_nothing_is_cut_off() -> None:
    long = " ".join(f"vlan-{number}" for number in range(40))
    text = text_table(("Port", "VLANs", "Note"), [("p1", long, ""), ("p2", "x", "")])
    assert max(map(len, text.splitlines())) <= TEXT_WIDTH
    assert "Note" not in text  # an empty column is left out
    assert set(long.split()) <= set(text.split())


def test_a_site_without_cables_has_empty_schedules(tmp_path: Path) -> None:
    (tmp_path / "site.yaml").write_text("topodraw: 1\nsite: {name: Bare, ref: B}\n", encoding="utf-8")
    site = read_site(tmp_path).site
    assert site is not None
    assert schedule_text(Facts(site)).count("none\n") == 3


@pytest.mark.parametrize(
    ("speed_bps", "text"), [(None, ""), (100_000_000, "100M"), (2_500_000_000, "2.5G"), (10**10, "10G")]
)
def test_speeds_are_written_as_in_the_source(speed_bps: int | None, text: str) -> None:
    assert speed_text(speed_bps) == text
