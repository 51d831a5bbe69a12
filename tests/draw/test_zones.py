"""Zones sheets, measured: nothing overlaps or strays, conduits keep clear of zones and words, every name
stands in full."""

import itertools
from pathlib import Path

import pytest

from tests.checkout import ROOT
from tests.draw.legibility import overlapping_texts, stray_texts
from tests.draw.zones_sites import generated_site
from topodraw.compute.facts import Facts
from topodraw.draw.characters import shown
from topodraw.draw.primitives import Group, Rect, Text, every, texts
from topodraw.draw.primitives import Path as Drawn
from topodraw.draw.sheet import Sheet
from topodraw.draw.theme import load_theme
from topodraw.draw.zones import zones_sheets
from topodraw.model.finding import Finding
from topodraw.model.read import read_site

PAPER = load_theme("paper")
EXAMPLES = sorted(path.parent.name for path in (ROOT / "examples").glob("*/site.yaml"))
GENERATED = [(seed, 1 + seed % 14, 80 if seed % 14 == 11 else seed % 10, seed % 4) for seed in range(28)]
Box = tuple[float, float, float, float]


def _facts(folder: Path, text: str) -> Facts:
    (folder / "site.yaml").write_text(text, encoding="utf-8")
    reading = read_site(folder)
    assert reading.site is not None, reading.problems
    return Facts(reading.site)


@pytest.fixture(scope="module", params=[*EXAMPLES, *GENERATED], ids=str)
def case(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> tuple[Facts, list[Sheet]]:
    """A site's facts and its zones sheets, drawn once: the examples, and sites of 1 to 14 zones."""
    if isinstance(request.param, str):
        reading = read_site(ROOT / "examples" / request.param)
        assert reading.site is not None, reading.problems
        facts = Facts(reading.site)
    else:
        facts = _facts(tmp_path_factory.mktemp("zones"), generated_site(*request.param))
    return facts, zones_sheets(facts, (), PAPER)


def _groups(sheet: Sheet, kind: str) -> list[Group]:
    return [shape for shape in every(sheet.shapes) if isinstance(shape, Group) and shape.kind == kind]


def _pieces(group: Group) -> list[Box]:
    """The straight pieces of a conduit's lines, heads and bars left out, each as left, top, right, bottom."""
    pieces = []
    for shape in group.shapes:
        if isinstance(shape, Drawn) and not shape.kind:
            for points in shape.lines:
                for (x1, y1), (x2, y2) in itertools.pairwise(points):
                    pieces.append((min(x1, x2), min(y1, y2), max(x1, x2), max(y1, y2)))
    return pieces


def _meet(one: Box, other: Box, slack: float) -> bool:
    return (
        one[0] < other[2] - slack
        and other[0] + slack < one[2]
        and one[1] < other[3] - slack
        and other[1] + slack < one[3]
    )


def _thick(piece: Box) -> Box:
    return piece[0] - 0.6, piece[1] - 0.6, piece[2] + 0.6, piece[3] + 0.6


def test_no_text_overlaps_another_or_leaves_its_box(case: tuple[Facts, list[Sheet]]) -> None:
    for sheet in case[1]:
        assert overlapping_texts(sheet) == [], sheet.name
        assert stray_texts(sheet) == [], sheet.name


def test_no_conduit_runs_through_a_text(case: tuple[Facts, list[Sheet]]) -> None:
    for sheet in case[1]:
        words = texts(sheet.shapes)
        for conduit in _groups(sheet, "conduit"):
            for piece in _pieces(conduit):
                through = [text.words for text in words if _meet(_thick(piece), text.box, 0.5)]
                assert through == [], f"{sheet.name}: {conduit.id} at {piece}"


def test_no_conduit_enters_an_area(case: tuple[Facts, list[Sheet]]) -> None:
    for sheet in case[1]:
        areas = [
            (rect.x, rect.y, rect.x + rect.width, rect.y + rect.height)
            for rect in every(sheet.shapes)
            if isinstance(rect, Rect) and rect.id.endswith("-area")
        ]
        for conduit in _groups(sheet, "conduit"):
            for piece in _pieces(conduit):
                assert [a for a in areas if _meet(_thick(piece), a, 1.0)] == [], f"{sheet.name}: {conduit.id}"


def test_no_two_conduits_share_a_stretch(case: tuple[Facts, list[Sheet]]) -> None:
    for sheet in case[1]:
        pieces = [(conduit.id, piece) for conduit in _groups(sheet, "conduit") for piece in _pieces(conduit)]
        for place, (one, piece) in enumerate(pieces):
            for other, another in pieces[place + 1 :]:
                upright = piece[0] == piece[2] and another[0] == another[2]
                level = piece[1] == piece[3] and another[1] == another[3]
                if one != other and (upright or level):
                    assert not _meet(_thick(piece), _thick(another), 0.2), f"{sheet.name}: {one}, {other}"


def test_every_conduit_between_known_zones_is_drawn_with_its_heads(case: tuple[Facts, list[Sheet]]) -> None:
    facts, sheets = case
    drawn = {group.id: group for group in _groups(sheets[0], "conduit")}
    numbers = {n for group in drawn.values() for part in group.title.split("; ") for n in _number(part)}
    reached = [each for each in facts.reach.conduits if each.source_zones and each.target_zones]
    assert {each.number for each in reached} == numbers
    for group in drawn.values():
        heads = sum(isinstance(shape, Drawn) and shape.kind == "head" for shape in group.shapes)
        tails = sum(isinstance(shape, Drawn) and shape.kind == "tail" for shape in group.shapes)
        if group.id.startswith("tunnel"):
            assert (heads, tails) == (2, 0)
            continue
        parts = group.title.split("; ")
        conduit = facts.site.conduits[next(iter(_number(parts[0]))) - 1]
        assert (heads, tails) == ((2, 0) if conduit.both_ways else (len(parts), 1)), group.title


def _number(part: str) -> set[int]:
    head = part.partition(":")[0]
    return {int(head.removeprefix("conduit "))} if head.startswith("conduit ") else set()


def test_every_name_stands_in_full_on_some_sheet(case: tuple[Facts, list[Sheet]]) -> None:
    facts, sheets = case
    told = ["".join("".join(text.words.split()) for text in _in_order(sheet)) for sheet in sheets]
    site = facts.site
    for name in (*site.zones, *site.vlans, *site.workloads, *site.remotes):
        assert any("".join(shown(name).split()) in words for words in told), name


def _in_order(sheet: Sheet) -> list[Text]:
    return texts(sheet.shapes)


def test_the_same_site_gives_the_same_bytes(tmp_path: Path) -> None:
    text = generated_site(5, 6)
    once, twice = (
        [sheet.svg(PAPER) for sheet in zones_sheets(_facts(tmp_path, text), (), PAPER)] for _ in range(2)
    )
    assert once == twice


SMALL = """topodraw: 1
site: {name: Small, ref: SML}
hardware:
  fw: {function: firewall, ports: {p1..p2: {jack: RJ45}}}
  sv: {function: server, ports: {e1: {jack: RJ45}}}
zones: {desks: {title: Desks}, archive: {title: Archive}}
vlans:
  desks: {id: 10, zone: desks, subnet: 192.0.2.0/26, gateway: gate}
  archive: {id: 20, zone: archive, subnet: 192.0.2.64/26, gateway: gate}
gear:
  gate: {model: fw}
  store: {model: sv, addresses: {desks: 192.0.2.5, archive: 192.0.2.70}}
remotes: {uplink: {kind: internet, by: gate}}
conduits:
  - {flow: desks -> archive, allow: [tcp/445]}
expect:
  - {never: desks -> archive}
  - {never: archive -> internet}
"""


def _small(folder: Path, text: str = SMALL, *findings: Finding) -> Sheet:
    (sheet,) = zones_sheets(_facts(folder, text), findings, PAPER)
    return sheet


def _box(sheet: Sheet, identifier: str) -> Rect:
    return next(rect for rect in every(sheet.shapes) if isinstance(rect, Rect) and rect.id == identifier)


def test_gear_with_a_foot_in_two_zones_straddles_their_border(tmp_path: Path) -> None:
    sheet = _small(tmp_path)
    left, right = sorted(
        (_box(sheet, f"zone-{name}-area") for name in ("desks", "archive")), key=lambda r: r.x
    )
    plates = [r for r in every(sheet.shapes) if isinstance(r, Rect) and r.id.startswith("box-straddle")]
    (plate,) = plates
    assert plate.x < left.x + left.width
    assert plate.x + plate.width > right.x
    assert plate.y + plate.height < left.y + left.height
    assert sum(text.words == "store" for text in texts(sheet.shapes)) == 1


def test_a_zone_that_nothing_leaves_is_marked(tmp_path: Path) -> None:
    assert sum(text.words == "nothing leaves" for text in texts(_small(tmp_path).shapes)) == 1


def test_a_conduit_that_breaks_a_promise_is_drawn_in_the_colour_of_errors(tmp_path: Path) -> None:
    (conduit,) = _groups(_small(tmp_path), "conduit")
    strokes = {shape.stroke for shape in conduit.shapes if isinstance(shape, Drawn) and not shape.kind}
    assert strokes == {PAPER.severity("error")}
    kept = SMALL.replace("  - {never: desks -> archive}\n", "")
    (conduit,) = _groups(_small(tmp_path, kept), "conduit")
    strokes = {shape.stroke for shape in conduit.shapes if isinstance(shape, Drawn) and not shape.kind}
    assert strokes == {PAPER.ink}


def test_the_plate_says_when_nothing_filters(tmp_path: Path) -> None:
    told = " ".join(text.words for text in texts(_small(tmp_path).shapes))
    assert "nothing filters" not in told
    told = " ".join(
        text.words for text in texts(_small(tmp_path, SMALL.replace("firewall", "router")).shapes)
    )
    assert "nothing filters" in told
    assert "not filtered" in told


@pytest.mark.parametrize(
    "at",
    [
        ("zones", "desks"),
        ("vlans", "archive", "subnet"),
        ("conduits", "0", "allow"),
        ("expect", "1"),
        ("gear", "store", "addresses"),
        ("clusters", "gone"),
    ],
)
def test_every_finding_about_zones_stands_on_the_sheet(tmp_path: Path, at: tuple[str, ...]) -> None:
    facts = _facts(tmp_path, SMALL)
    if at[0] == "conduits":
        at = (*facts.site.conduits[0].at, "allow")
    if at[0] == "expect":
        at = facts.site.expect[1].at
    finding = Finding("a-rule", "warning", ("something",), "It is so.", "why", "fix", at)
    (sheet,) = zones_sheets(facts, (finding,), PAPER)
    assert [mark.finding for mark in sheet.drawing.marks] == [finding]
    assert overlapping_texts(sheet) == []


def test_findings_about_the_body_of_gear_stay_away(tmp_path: Path) -> None:
    finding = Finding("a-rule", "warning", ("store",), "It is so.", "why", "fix", ("gear", "store", "at"))
    assert _small(tmp_path, SMALL, finding).drawing.marks == ()
