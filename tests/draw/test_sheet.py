"""A sheet is framed, identified, and tells where each finding stands."""

import pytest

from tests.draw.legibility import overlapping_texts, stray_texts
from topodraw.draw.finding_marks import Mark, numbered
from topodraw.draw.grid import Grid
from topodraw.draw.legend import LegendEntry, LegendGroup
from topodraw.draw.primitives import Group, Rect, every, texts
from topodraw.draw.sheet import Drawing, Sheet, compose, renumbered
from topodraw.draw.theme import load_theme
from topodraw.draw.title_block import Identity
from topodraw.model.finding import Finding, Severity, Unchecked

PAPER = load_theme("paper")


def _finding(rule: str, severity: Severity, waived_until: str | None = None) -> Finding:
    return Finding(
        rule, severity, ("core/x1",), "It is so.", "Because.", "Change it.", ("gear", "core"), waived_until
    )


def _sheet(*findings: Finding, unchecked: tuple[Unchecked, ...] = (), date: str | None = None) -> Sheet:
    marks = tuple(Mark(number, finding, 100.0 * number, 90, "here") for number, finding in numbered(findings))
    drawing = Drawing(
        name="rack-A",
        kind="rack elevation",
        title="Rack A, with a title that is much too long for a single line of the block",
        desc="A rack.",
        width=1300,
        bottom=500,
        shapes=(Rect(38, 38, 1224, 462, stroke=PAPER.ink),),
        legend=(LegendGroup("ports", (LegendEntry((Rect(0, 1, 18, 14),), 18, "jack, free"),)),),
        marks=marks,
        unchecked=unchecked,
        caution="Mains inside.",
    )
    site = Identity("Saltmarsh Field Station", "SMF", "Field Operations", "B", date)
    return compose(drawing, site, identification="SMF-RACK-A", number=2, of=5, theme=PAPER)


def _words(sheet: Sheet) -> list[str]:
    return [text.words for text in texts(sheet.shapes)]


def test_the_grid_skips_the_letters_that_look_like_figures() -> None:
    # ISO 5457: letters from the top, numbers from the left, I and O left out.
    grid = Grid(1300, 26 + 26 + 16 * 165)
    letters = [grid.square(100, 26 + 165 * row + 80)[0] for row in range(16)]
    assert "".join(letters) == "ABCDEFGHJKLMNPQR"


def test_the_grid_has_even_numbers_of_fields_and_clamps_to_the_frame() -> None:
    grid = Grid(1300, 1492)
    assert (grid.columns % 2, grid.rows % 2) == (0, 0)
    assert grid.square(0, 0) == "A1"
    assert grid.square(1300, 1492) == f"{'ABCDEFGHJK'[grid.rows - 1]}{grid.columns}"


def test_each_finding_says_in_which_square_it_stands() -> None:
    sheet = _sheet(_finding("rack-overlap", "error"), _finding("odd-name", "note"))
    flags = [shape for shape in every(sheet.shapes) if isinstance(shape, Group) and shape.kind == "finding"]
    assert [flag.id for flag in flags] == ["finding-rack-overlap--core.x1", "finding-odd-name--core.x1"]
    first = dict(flags[0].data)
    assert first["square"] == sheet.grid_square(100, 90) == "A1"
    assert (first["rule"], first["on"]) == ("rack-overlap", "core/x1")
    assert "core/x1, at here (A1)" in _words(sheet)


def test_severity_is_told_by_letter_as_well_as_by_colour() -> None:
    words = _words(_sheet(_finding("a", "error"), _finding("b", "warning"), _finding("c", "note")))
    for letter in "EWN":
        assert words.count(letter) >= 3  # flag, list, legend; "E" is a grid letter as well


def test_open_findings_come_before_waived_ones_and_errors_first() -> None:
    order = numbered([_finding("w", "error", "2027-03-31"), _finding("n", "note"), _finding("e", "error")])
    assert [(number, finding.rule) for number, finding in order] == [(1, "e"), (2, "n"), (3, "w")]
    assert "Accepted in writing until 2027-03-31." in _words(_sheet(_finding("w", "error", "2027-03-31")))


def test_what_was_not_judged_stands_on_the_sheet() -> None:
    words = _words(_sheet(unchecked=(Unchecked("rack-overloaded", ("A",), "mass of tor"),)))
    assert "rack-overloaded" in words
    assert "mass of tor: A" in words


def test_the_title_block_has_the_fields_of_iso_7200_and_a_date_only_if_stated() -> None:
    # ISO 7200:2004, mandatory fields: owner, identification, date, sheet number, title, approver, creator,
    # type.
    words = _words(_sheet())
    labels = [
        "title",
        "legal owner",
        "identification",
        "document type",
        "sheet",
        "date of issue",
        "creator",
        "approved by",
    ]
    assert set(labels) <= set(words)
    assert {"SMF-RACK-A", "2/5", "rack elevation", "Saltmarsh Field Station"} <= set(words)
    assert words.count("not stated") == 3
    assert "2026-11-20" in _words(_sheet(date="2026-11-20"))


def test_nothing_overlaps_or_leaves_the_sheet() -> None:
    findings = [_finding(f"rule-{n}", "warning") for n in range(9)]
    sheet = _sheet(*findings, unchecked=(Unchecked("x", ("a",) * 3, "mass"),))
    assert overlapping_texts(sheet) == []
    assert stray_texts(sheet) == []


def test_texts_name_the_box_that_they_belong_in() -> None:
    assert {"field-title", "panel-caution"} <= {text.within for text in texts(_sheet().shapes)}


def test_sheets_of_several_views_are_numbered_as_one_set() -> None:
    sheets = renumbered([_sheet(), _sheet()], PAPER)
    assert [(sheet.number, sheet.of) for sheet in sheets] == [(1, 2), (2, 2)]
    assert "2/2" in _words(sheets[1])


def test_the_same_drawing_gives_the_same_bytes() -> None:
    findings = [_finding("rack-overlap", "error")]
    assert _sheet(*findings).svg(PAPER) == _sheet(*findings).svg(PAPER)


@pytest.mark.parametrize("theme", ["paper", "night", "print"])
def test_every_theme_can_draw_it(theme: str) -> None:
    assert _sheet(_finding("a", "note")).svg(load_theme(theme)).startswith("<?xml")
