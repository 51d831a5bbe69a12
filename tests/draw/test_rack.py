"""A rack sheet shows every gear where it stands, to scale, with its ports, cords and findings."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.draw.legibility import overlapping_texts, stray_texts
from topodraw.compute.facts import Facts
from topodraw.draw.primitives import Group, Rect, Shape, Text, every, texts
from topodraw.draw.rack import rack_sheets
from topodraw.draw.sheet import Sheet
from topodraw.draw.theme import load_theme
from topodraw.model.finding import Finding, Unchecked
from topodraw.model.read import read_site

PAPER = load_theme("paper")
HARDWARE = """
topodraw: 1
site: {name: Test Site, ref: TST}
hardware:
  switch-24:
    function: switch
    size: {units: 1, depth: 320mm, mass: 5kg}
    airflow: front-to-rear
    power: {inlets: {a: C14, b: C14}}
    ports: {p1..p24: {jack: RJ45}, u1..u2: {cage: SFP+}}
  switch-48:
    function: switch
    size: {units: 1}
    ports: {p1..p48: {jack: RJ45}, u1..u6: {cage: SFP+}}
  panel-24:
    function: panel
    size: {units: 1, depth: 60mm, mass: 2kg}
    ports: {1..24: {jack: RJ45, through: true}}
  host-2u:
    function: server
    size: {units: 2, depth: 700mm, mass: 20kg}
    airflow: rear-to-front
    power: {inlets: {a: C14, b: C14}}
    ports: {e1..e2: {cage: SFP+}, m: {jack: RJ45, for: management}}
  half:
    function: router
    size: {units: 1, width: half, depth: 200mm}
    ports: {e1..e4: {jack: RJ45}}
  chassis:
    function: other
    size: {units: 2, nodes: 4, depth: 800mm}
    power: {inlets: {a: C20}}
  blade: {function: server, ports: {e1: {cage: SFP+}}}
  strip-10:
    function: pdu
    size: {units: 1, depth: 80mm}
    power: {inlets: {in: C20}, outlets: {1..10: C13}}
  desk-8: {function: switch, ports: {1..8: {jack: RJ45}}}
"""
LONG = "a-switch-with-a-name-of-eighty-characters-and-then-some-more-for-the-good-measure"


def _facts(tmp_path: Path, text: str) -> Facts:
    (tmp_path / "site.yaml").write_text(HARDWARE + text, encoding="utf-8")
    reading = read_site(tmp_path)
    assert reading.site is not None, reading.problems
    return Facts(reading.site)


def _sheets(
    tmp_path: Path, text: str, *findings: Finding, unchecked: tuple[Unchecked, ...] = ()
) -> list[Sheet]:
    return rack_sheets(_facts(tmp_path, text), findings, PAPER, unchecked)


def _racks(units: int, gear: str, more: str = "", rack: str = "") -> str:
    described = f"{{units: {units}, depth: 1000mm{rack}}}"
    return f"places:\n  comms: {{title: Comms room, racks: {{A: {described}}}}}\ngear:\n{gear}{more}"


def _groups(sheet: Sheet, kind: str) -> Iterator[Group]:
    return (shape for shape in every(sheet.shapes) if isinstance(shape, Group) and shape.kind == kind)


def _group(sheet: Sheet, identifier: str) -> Group:
    return next(shape for shape in every(sheet.shapes) if isinstance(shape, Group) and shape.id == identifier)


def _box(sheet: Sheet, identifier: str) -> Rect:
    return next(shape for shape in every(sheet.shapes) if isinstance(shape, Rect) and shape.id == identifier)


def _words(shapes: tuple[Shape, ...]) -> list[str]:
    return [text.words for text in texts(shapes)]


def _assert_legible(sheet: Sheet) -> None:
    assert overlapping_texts(sheet) == []
    assert stray_texts(sheet) == []


def test_each_rack_has_its_sheet(tmp_path: Path) -> None:
    text = "places:\n  r: {title: Room, racks: {A: {units: 6}, B: {units: 12}}}\n"
    sheets = _sheets(tmp_path, text)
    assert [sheet.file_name for sheet in sheets] == ["rack-A.svg", "rack-B.svg"]
    assert [(sheet.number, sheet.of, sheet.identification) for sheet in sheets] == [
        (1, 2, "TST-RACK-A"),
        (2, 2, "TST-RACK-B"),
    ]


def test_gear_stands_at_its_units_to_scale(tmp_path: Path) -> None:
    (sheet,) = _sheets(
        tmp_path, _racks(12, "  tor: {model: switch-24, at: A/U12}\n  host: {model: host-2u, at: A/U1}\n")
    )
    tor, host = _box(sheet, "front-tor"), _box(sheet, "front-host")
    # EIA-310: 482.6 mm wide, 44.45 mm a unit.
    assert tor.width / 40 == pytest.approx(482.6 / 44.45)
    assert (tor.height, host.height) == (37, 77)
    assert host.y + host.height - tor.y == pytest.approx(12 * 40 - 3)


def test_a_rack_numbered_from_the_top_is_drawn_so(tmp_path: Path) -> None:
    gear = "  tor: {model: switch-24, at: A/U1}\n  host: {model: host-2u, at: A/U12}\n"
    (sheet,) = _sheets(tmp_path, _racks(12, gear, rack=", numbering: top-down"))
    assert _box(sheet, "front-tor").y < _box(sheet, "front-host").y
    assert "units from the top" in _words(sheet.shapes)
    _assert_legible(sheet)


def test_ports_carry_the_colour_of_the_cable_in_them(tmp_path: Path) -> None:
    more = (
        "cables:\n  C1: {ends: [tor/p1, pan/1], medium: Cat6, purpose: lab}\n"
        "  C2: {ends: [tor/p2, pan/2], medium: Cat6, purpose: lab, state: planned}\n"
        "  C3: {ends: [pan/4:back, tor/p4], medium: Cat6, purpose: lab}\n"
        "purposes: {lab: {colour: violet}}\n"
    )
    gear = (
        "  tor: {model: switch-24, at: A/U6, ports: {p3: {shut: true}}}\n  pan: {model: panel-24, at: A/U5}\n"
    )
    (sheet,) = _sheets(tmp_path, _racks(6, gear, more))
    titles = {group.id: group.title for group in _groups(sheet, "port")}
    assert titles["frontport-tor--p1"] == "tor/p1, lab"
    assert titles["frontport-tor--p2"] == "tor/p2, free"
    assert titles["frontport-tor--p3"] == "tor/p3, free, shut"
    assert titles["frontport-pan--1"] == "pan/1, lab"
    assert titles["rearport-pan--1"] == "pan/1, free"
    assert (titles["frontport-pan--4"], titles["rearport-pan--4"]) == ("pan/4, free", "pan/4, lab")
    fills = {
        shape.fill
        for shape in _group(sheet, "frontport-tor--p1").shapes
        if not isinstance(shape, Group | Text)
    }
    assert PAPER.jackets["violet"] in fills
    assert "3" in _words((_group(sheet, "frontport-tor--p3"),))


def test_a_panel_from_behind_has_its_first_port_at_the_right(tmp_path: Path) -> None:
    (sheet,) = _sheets(tmp_path, _racks(6, "  pan: {model: panel-24, at: A/U5}\n"))
    across = {name: texts((_group(sheet, f"rearport-pan--{name}"),))[0].x for name in ("1", "23")}
    assert across["1"] > across["23"]


def test_inlets_name_the_outlet_that_they_hang_on(tmp_path: Path) -> None:
    gear = (
        "  host: {model: host-2u, at: A/U1}\n  strip-a: {model: strip-10, at: A/U6, mounted: rear}\n"
        "  strip-b: {model: strip-10, at: A/U5, mounted: rear}\n"
    )
    more = (
        "breakers:\n  wall-a: {voltage: 230V, rating: 16A, feed: A}\n"
        "  wall-b: {voltage: 230V, rating: 16A, feed: B}\n"
        "cords:\n  W1: {ends: [wall-a, strip-a/in]}\n  W2: {ends: [wall-b, strip-b/in]}\n"
        "  W3: {ends: [strip-a/7, host/a]}\n"
    )
    (sheet,) = _sheets(tmp_path, _racks(6, gear, more))
    assert _words((_group(sheet, "rearinlet-host--a"),)) == ["A7"]
    assert _words((_group(sheet, "rearinlet-host--b"),)) == []
    assert _words((_group(sheet, "rearinlet-strip-a--in"),)) == ["wall-a"]
    used = [group.title for group in _groups(sheet, "port") if "used" in group.title]
    assert used == ["strip-a/7, used"]
    assert "free at the front: strip-a, strip-b behind" in _words(sheet.shapes)


def test_two_strips_on_one_feed_are_told_apart(tmp_path: Path) -> None:
    gear = "  host: {model: host-2u, at: A/U1}\n  strip-1..strip-2: {model: strip-10, place: comms}\n"
    more = (
        "breakers: {wall: {voltage: 230V, rating: 16A, feed: A}}\ncords:\n"
        "  W1..W2: {ends: [wall, strip-1..strip-2/in]}\n"
        "  W3: {ends: [strip-1/3, host/a]}\n  W4: {ends: [strip-2/3, host/b]}\n"
    )
    (sheet,) = _sheets(tmp_path, _racks(6, gear, more))
    assert _words((_group(sheet, "rearinlet-host--a"),)) == ["A3"]
    assert _words((_group(sheet, "rearinlet-host--b"),)) == ["A2/3"]


def test_what_is_free_planned_or_switched_off_is_said(tmp_path: Path) -> None:
    gear = (
        "  tor: {model: switch-24, at: A/U12, state: planned}\n"
        "  host: {model: host-2u, at: A/U5, state: switched-off}\n"
        "  pan: {model: panel-24, at: A/U4, state: spare}\n"
    )
    (sheet,) = _sheets(tmp_path, _racks(12, gear))
    assert "planned" in _words((_group(sheet, "gear-tor"),))
    assert _box(sheet, "front-tor").dash
    assert "switched off" in _words((_group(sheet, "gear-host"),))
    assert "spare" in _words((_group(sheet, "gear-pan"),))
    assert [words for words in _words(sheet.shapes) if words.endswith("U free")] == [
        "3 U free",
        "5 U free",
    ] * 2
    _assert_legible(sheet)


def test_nodes_stand_in_their_chassis(tmp_path: Path) -> None:
    gear = "  frame: {model: chassis, at: A/U3}\n  node-1..node-4: {model: blade, node-of: frame}\n"
    (sheet,) = _sheets(tmp_path, _racks(6, gear))
    frame, node = _box(sheet, "front-frame"), _box(sheet, "frontnode-node-4")
    assert frame.x < node.x
    assert node.x + node.width < frame.x + frame.width
    assert frame.y < node.y
    assert node.y + node.height < frame.y + frame.height
    _assert_legible(sheet)


def test_half_width_gear_shares_its_unit_and_changes_sides_seen_from_behind(tmp_path: Path) -> None:
    (sheet,) = _sheets(
        tmp_path, _racks(6, "  one: {model: half, at: A/U3}\n  two: {model: half, at: A/U3}\n")
    )
    assert _box(sheet, "front-one").x < _box(sheet, "front-two").x
    assert _box(sheet, "rear-one").x > _box(sheet, "rear-two").x
    _assert_legible(sheet)


def test_gear_that_claims_one_unit_twice_is_drawn_side_by_side(tmp_path: Path) -> None:
    gear = "  tor: {model: switch-24, at: A/U3}\n  host: {model: host-2u, at: A/U2}\n"
    (sheet,) = _sheets(tmp_path, _racks(6, gear))
    tor, host = _box(sheet, "front-tor"), _box(sheet, "front-host")
    assert tor.x + tor.width <= host.x + 0.01 or host.x + host.width <= tor.x + 0.01
    _assert_legible(sheet)


def test_gear_outside_the_units_or_without_height_is_named_in_words(tmp_path: Path) -> None:
    gear = "  high: {model: host-2u, at: A/U6}\n  desk: {model: desk-8, at: A/U2}\n"
    (sheet,) = _sheets(tmp_path, _racks(6, gear))
    words = _words(sheet.shapes)
    assert "high" in words
    assert "desk" in words
    assert "U6-U7, outside" in words
    assert "no height stated" in words


@pytest.mark.parametrize(
    "name", [LONG, "机房交换机核心一号接入层设备第二排第三列" * 4, "name with spaces " * 5, "x" * 80]
)
def test_a_name_of_eighty_characters_stands_in_full_and_overflows_nothing(tmp_path: Path, name: str) -> None:
    gear = f"  {name.strip()}: {{model: switch-48, at: A/U3}}\n  frame: {{model: chassis, at: A/U1}}\n"
    gear += f"  {name.strip()}2: {{model: blade, node-of: frame}}\n"
    (sheet,) = _sheets(tmp_path, _racks(6, gear))
    joined = "".join(_words(sheet.shapes)).replace(" ", "")
    assert name.strip().replace(" ", "") + "2" in joined
    assert joined.count(name.strip().replace(" ", "")) >= 2
    _assert_legible(sheet)


@pytest.mark.parametrize("units", [6, 24, 48])
def test_racks_of_any_height_stay_legible(tmp_path: Path, units: int) -> None:
    kinds = ("switch-24", "switch-48", "panel-24", "strip-10")
    gear = "".join(
        f"  gear-{unit}: {{model: {kinds[unit % 4]}, at: A/U{unit}}}\n" for unit in range(1, units + 1)
    )
    (sheet,) = _sheets(tmp_path, _racks(units, gear))
    assert sheet.height > units * 40
    _assert_legible(sheet)


def _finding(rule: str, *on: str, at: tuple[str, ...]) -> Finding:
    return Finding(rule, "error", on, f"{rule} is broken.", "Why.", "Mend it.", at)


def test_findings_about_bodies_stand_at_their_gear(tmp_path: Path) -> None:
    gear = "  tor: {model: switch-24, at: A/U6}\n  host: {model: host-2u, at: A/U1}\n"
    (sheet,) = _sheets(
        tmp_path,
        _racks(6, gear),
        _finding("inlet-unfed", "host/a", at=("gear", "host")),
        _finding("rack-odd", "tor", at=("gear", "tor", "at")),
        _finding("rack-overloaded", "A", at=("places", "comms", "racks", "A", "max-load")),
        _finding("trunk-vlan-missing", "tor/p1", at=("gear", "tor", "ports", "p1", "tagged")),
    )
    flags = {dict(group.data)["rule"]: texts((group,))[0] for group in _groups(sheet, "finding")}
    assert set(flags) == {"inlet-unfed", "rack-odd", "rack-overloaded"}
    host, tor = _box(sheet, "rear-host"), _box(sheet, "front-tor")
    assert host.x < flags["inlet-unfed"].x < host.x + host.width
    assert host.y < flags["inlet-unfed"].y < host.y + host.height
    assert tor.x < flags["rack-odd"].x < tor.x + tor.width
    assert tor.y < flags["rack-odd"].y < tor.y + tor.height
    assert flags["rack-overloaded"].y > host.y + host.height
    _assert_legible(sheet)


def test_flags_on_a_tall_plate_stand_one_below_the_other(tmp_path: Path) -> None:
    findings = [_finding(f"rule-{n}", "host/a", at=("gear", "host")) for n in range(6)]
    (sheet,) = _sheets(tmp_path, _racks(6, "  host: {model: host-2u, at: A/U1}\n"), *findings)
    flags = [texts((group,))[0] for group in _groups(sheet, "finding")]
    assert len({flag.y for flag in flags}) > 2
    _assert_legible(sheet)


def test_a_finding_behind_other_gear_stands_beside_the_rack(tmp_path: Path) -> None:
    gear = "  host: {model: host-2u, at: A/U1}\n  strip: {model: strip-10, at: A/U2, mounted: rear}\n"
    (sheet,) = _sheets(tmp_path, _racks(6, gear), _finding("inlet-unfed", "host/a", at=("gear", "host")))
    (flag,) = _groups(sheet, "finding")
    assert "inlets a: no cord, b: no cord" in _words(sheet.shapes)
    assert texts((flag,))[0].y > _box(sheet, "cabinet-rear").y + _box(sheet, "cabinet-rear").height


def test_more_findings_than_a_plate_has_room_for_still_all_stand_on_the_sheet(tmp_path: Path) -> None:
    findings = [_finding(f"rule-{n}", "tor", at=("gear", "tor")) for n in range(30)]
    (sheet,) = _sheets(tmp_path, _racks(6, "  tor: {model: switch-24, at: A/U6}\n"), *findings)
    assert len(list(_groups(sheet, "finding"))) == 30
    _assert_legible(sheet)


def test_what_could_not_be_judged_about_the_rack_is_said(tmp_path: Path) -> None:
    unchecked = (
        Unchecked("rack-overloaded", ("A",), "mass of tor"),
        Unchecked("rack-overloaded", ("B",), "mass of other"),
        Unchecked("link-too-long", ("tor/p1",), "length of C1"),
    )
    (sheet,) = _sheets(tmp_path, _racks(6, "  tor: {model: switch-48, at: A/U6}\n"), unchecked=unchecked)
    words = _words(sheet.shapes)
    assert "mass of tor: A" in words
    assert not any("other" in each or "length of C1" in each for each in words)
    assert "mass not stated: tor" in " ".join(words)


def test_the_sheet_warns_of_mains_lifting_and_tipping(tmp_path: Path) -> None:
    (sheet,) = _sheets(tmp_path, _racks(6, ""))
    told = " ".join(_words(sheet.shapes))
    for word in ("Mains", "licensed", "18 kg", "tip", "Local codes"):
        assert word in told


def test_the_legend_holds_only_what_is_on_the_sheet(tmp_path: Path) -> None:
    (sheet,) = _sheets(tmp_path, _racks(6, "  pan: {model: panel-24, at: A/U6}\n"))
    (legend,) = _groups(sheet, "legend")
    assert _words((legend,)) == ["LEGEND", "ports", "1", "jack, free"]


def test_the_same_site_gives_the_same_bytes(tmp_path: Path) -> None:
    text = _racks(6, "  tor: {model: switch-24, at: A/U6}\n  host: {model: host-2u, at: A/U1}\n")
    assert [sheet.svg(PAPER) for sheet in _sheets(tmp_path, text)] == [
        sheet.svg(PAPER) for sheet in _sheets(tmp_path, text)
    ]
