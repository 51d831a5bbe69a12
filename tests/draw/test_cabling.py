"""Cabling sheets: every cable on its ports, square, apart from all others, past all gear, and named."""

import functools
import statistics
from datetime import date
from pathlib import Path

import pytest
import yaml

from tests.draw.cabling_geometry import (
    loose_ends,
    overlapping_boxes,
    shared_stretches,
    straight_crossings,
    through_boxes,
)
from tests.draw.legibility import overlapping_texts, stray_texts
from tests.draw.made_up_sites import made_up_site
from topodraw.compute.facts import Facts
from topodraw.draw.cabling import cabling_sheets
from topodraw.draw.cabling.line_work import crossings
from topodraw.draw.cabling.sheets import CablingSet, LaidOut
from topodraw.draw.placement import PlacementError
from topodraw.draw.primitives import Group, Rect, every, texts
from topodraw.draw.primitives import Path as DrawnPath
from topodraw.draw.sheet import Sheet
from topodraw.draw.theme import load_theme
from topodraw.model.finding import Finding
from topodraw.model.read import read_site
from topodraw.rules.check import check

PAPER = load_theme("paper")
EXAMPLES = Path(__file__).parents[2] / "examples"
MADE_UP = 30


def _facts(folder: Path) -> Facts:
    reading = read_site(folder)
    assert reading.site, [str(problem) for problem in reading.problems]
    return Facts(reading.site)


@functools.cache
def _example_sheets(example: str) -> list[Sheet]:
    """The cabling sheets of an example without findings."""
    return cabling_sheets(_facts(EXAMPLES / example), (), PAPER)


def _written(folder: Path, text: str) -> Facts:
    (folder / "site.yaml").write_text(text, encoding="utf-8")
    return _facts(folder)


def _sound(facts: Facts, findings: tuple[Finding, ...] = ()) -> tuple[list[LaidOut], list[Sheet]]:
    """The sheets of a site, after everything was measured that must hold for any."""
    cabling = CablingSet(facts, findings, PAPER, (), None)
    laid = cabling.laid_out()
    sheets = cabling.drawn(laid)
    for each, sheet in zip(laid, sheets, strict=True):
        assert shared_stretches(each) == []
        assert through_boxes(each) == []
        assert overlapping_boxes(each) == []
        assert loose_ends(each) == []
        assert overlapping_texts(sheet) == []
        assert stray_texts(sheet) == []
    return laid, sheets


@pytest.mark.parametrize("example", ["shelf", "cupboard", "saltmarsh", "saltmarsh-mistakes"])
def test_the_examples_are_drawn_soundly(example: str) -> None:
    _, sheets = _sound(_facts(EXAMPLES / example))
    assert all(sheet.width <= 1300.5 for sheet in sheets), "text stays 9 px high 900 px wide"


@pytest.mark.parametrize("seed", range(MADE_UP))
def test_any_site_is_drawn_soundly(seed: int, tmp_path: Path) -> None:
    _sound(_written(tmp_path, made_up_site(seed)))


def test_cables_cross_no_more_than_straight_lines_would(tmp_path: Path) -> None:
    saved = []
    for seed in range(100, 112):
        folder = tmp_path / str(seed)
        folder.mkdir()
        for laid in CablingSet(_written(folder, made_up_site(seed)), (), PAPER, (), None).laid_out():
            saved.append(straight_crossings(laid) - crossings(laid.found.lines))
    assert statistics.median(saved) >= 0


def _groups(sheets: list[Sheet], kind: str) -> list[str]:
    return [
        shape.id
        for sheet in sheets
        for shape in every(sheet.shapes)
        if isinstance(shape, Group) and shape.kind == kind
    ]


@pytest.mark.parametrize("example", ["shelf", "saltmarsh"])
def test_every_gear_and_every_cable_stands_in_full_on_some_sheet(example: str) -> None:
    facts = _facts(EXAMPLES / example)
    sheets = _example_sheets(example)
    cables, gear = set(_groups(sheets, "cable")), set(_groups(sheets, "gear"))
    assert {f"cable-{name}" for name in facts.site.cables} <= cables
    linked = {end.gear for cable in facts.site.cables.values() for end in cable.ends if end.gear}
    assert {f"gear-{name}" for name in linked} <= gear
    words = {word for sheet in sheets for text in texts(sheet.shapes) for word in text.words.split()}
    assert set(facts.site.cables) <= words
    assert linked <= words


def test_references_lead_to_the_square_where_the_far_end_stands() -> None:
    sheets = _example_sheets("saltmarsh")
    by_name = {sheet.name: sheet for sheet in sheets}
    lab = by_name["cabling-lab"]
    (said,) = [text.words for text in texts(lab.shapes) if text.words.startswith("pan-fa/1:back ")]
    comms = by_name["cabling-comms"]
    (panel,) = [
        shape for shape in every(comms.shapes) if isinstance(shape, Group) and shape.id == "gear-pan-fa"
    ]
    plate = next(shape for shape in panel.shapes if isinstance(shape, Rect))
    square = comms.grid_square(plate.x + plate.width / 2, plate.y + plate.height / 2)
    assert said == f"pan-fa/1:back {square}"
    links = {shape.link for shape in every(lab.shapes) if isinstance(shape, Group) and shape.link}
    assert "cabling-comms.svg" in links


def test_many_places_are_folded_on_the_overview_and_told_in_full_elsewhere(tmp_path: Path) -> None:
    places = [f"hut-{number}" for number in range(12)]
    text = {
        "topodraw": 1,
        "site": {"name": "Many Huts", "ref": "HUT"},
        "hardware": {
            "s": {"function": "switch", "ports": {"p1..p24": {"jack": "RJ45", "rows": 2}}},
            "g": {"function": "router", "ports": {"e1..e2": {"jack": "RJ45"}}},
            "eye": {"function": "camera", "ports": {"eth": {"jack": "RJ45"}}},
        },
        "places": {"base": {"title": "Base"}, **{name: {"title": f"Hut {name}"} for name in places}},
        "gear": {
            "gate": {"model": "g", "place": "base"},
            "core": {"model": "s", "place": "base"},
            **{f"sw-{name}": {"model": "s", "place": name} for name in places},
            **{f"eye-{name}": {"model": "eye", "place": name} for name in places},
        },
        "cables": {
            "G": {"ends": ["gate/e1", "core/p24"], "medium": "Cat6"},
            **{
                f"U{n}": {"ends": [f"core/p{n + 1}", f"sw-{name}/p24"], "medium": "Cat6"}
                for n, name in enumerate(places)
            },
            **{
                f"C{n}": {"ends": [f"sw-{name}/p1", f"eye-{name}/eth"], "medium": "Cat6"}
                for n, name in enumerate(places)
            },
        },
    }
    _, sheets = _sound(_written(tmp_path, yaml.safe_dump(text)))
    overview, *details = sheets
    assert overview.width <= 1300.5
    assert set(_groups([overview], "gear")) == {"gear-gate", "gear-core"}
    assert len(_groups([overview], "gear-group")) == len(places)
    assert {f"gear-sw-{name}" for name in places} <= set(_groups(details, "gear"))


def test_the_root_and_the_discarding_ends_are_marked() -> None:
    sheets = _example_sheets("saltmarsh")
    detail = [sheet for sheet in sheets if sheet.name != "cabling-overview"]
    tags = [text.words for sheet in detail for text in texts(sheet.shapes) if text.kind == "tag"]
    assert {words for words in tags if words.endswith(" D")} == {"B15 D", "B21 D"}
    assert "S06 P" in tags, "tor feeds met-mast"


def test_a_finding_about_a_cable_stands_on_a_sheet_with_its_number() -> None:
    finding = Finding(
        "link-too-long", "error", ("W12", "cam-gate/eth"), "Too long.", "Why.", "Shorten.", ("cables", "W12")
    )
    _, sheets = _sound(_facts(EXAMPLES / "saltmarsh"), (finding,))
    where = [
        sheet.name
        for sheet in sheets
        for shape in every(sheet.shapes)
        if isinstance(shape, Group) and shape.kind == "finding"
    ]
    assert where == ["cabling-comms", "cabling-office-bunk-yard"]


def test_all_findings_of_a_site_full_of_mistakes_find_room() -> None:
    facts = _facts(EXAMPLES / "saltmarsh-mistakes")
    findings = check(facts, date(2026, 11, 25)).findings
    _, sheets = _sound(facts, findings)
    shown = {
        dict(shape.data)["rule"]
        for sheet in sheets
        for shape in every(sheet.shapes)
        if isinstance(shape, Group) and shape.kind == "finding"
    }
    assert {"trunk-vlan-missing", "link-too-long", "port-used-twice", "untagged-mismatch"} <= shown


def test_the_same_site_gives_the_same_bytes() -> None:
    again = cabling_sheets(_facts(EXAMPLES / "saltmarsh"), (), PAPER)
    assert [sheet.svg(PAPER) for sheet in _example_sheets("saltmarsh")] == [
        sheet.svg(PAPER) for sheet in again
    ]


def test_an_engine_that_fails_is_an_error_that_names_the_sheet() -> None:
    with pytest.raises(PlacementError, match="'cabling'"):
        cabling_sheets(_facts(EXAMPLES / "shelf"), (), PAPER, engine=Path("/nowhere/engine"))


@pytest.mark.parametrize(
    "text",
    [
        "hardware: {h: {function: camera, ports: {eth: {jack: RJ45}}}}\ngear: {one: {model: h}}",
        "hardware: {h: {function: router, ports: {e1..e2: {jack: RJ45}}}}\n"
        "gear: {one: {model: h}, two: {model: h}}\ncables: {C1: {ends: [one/e1, two/e1], medium: Cat6}}",
        "hardware: {h: {function: panel, ports: {1..4: {jack: RJ45, through: true}}}}\n"
        "gear: {one: {model: h}, two: {model: h}}\n"
        "cables: {C1: {ends: ['one/1:back', 'two/1:back'], medium: Cat6}}",
        "gear: {}",
        "remotes: {net: {kind: internet}}",
    ],
)
def test_odd_sites_are_drawn_too(text: str, tmp_path: Path) -> None:
    _sound(_written(tmp_path, f"topodraw: 1\nsite: {{name: Odd, ref: ODD}}\n{text}\n"))


def test_a_panel_port_with_a_cable_at_its_rear_only_is_free_at_its_front(tmp_path: Path) -> None:
    facts = _written(
        tmp_path,
        "topodraw: 1\nsite: {name: Panels, ref: PN}\n"
        "hardware: {h: {function: panel, ports: {1..2: {jack: LC, through: true}}}, "
        "s: {function: switch, ports: {p1: {jack: LC}}}}\n"
        "gear: {near: {model: h}, far: {model: h}, sw: {model: s}}\n"
        'cables: {F1..F2: {ends: ["near/1..2:back", "far/1..2:back"], medium: OS2}, '
        "P1: {ends: [sw/p1, near/1], medium: OS2}}\n",
    )
    (sheet,) = cabling_sheets(facts, (), PAPER)
    ports = {
        shape.id: {each.fill for each in shape.shapes if isinstance(each, DrawnPath)}
        for shape in every(sheet.shapes)
        if isinstance(shape, Group) and shape.kind == "port"
    }
    words = {
        shape.id: [text.words for text in texts(shape.shapes)]
        for shape in every(sheet.shapes)
        if isinstance(shape, Group) and shape.kind == "port"
    }
    assert words["port-near--2"] == ["2"], "a cable is behind it, so it keeps its number"
    taken = ports["port-near--1"]
    assert taken == {PAPER.colour("no-purpose")}
    assert ports["port-sw--p1"] == taken
    for free in ("port-near--2", "port-far--1", "port-far--2"):
        assert ports[free].isdisjoint(taken), free
