"""Sheets against ISO 216, ISO 5457 and ISO 7200."""

import itertools
import math
import string

import pytest

from topodraw.standards import sheets
from topodraw.standards.published import UnknownEntryError


# ISO 216: A0 has one square metre, sides in the ratio of the square root of 2, each size half the one before.
def test_sheet_sizes_follow_iso_216() -> None:
    rows = list(sheets.SHEETS.values())
    assert [row.name for row in rows] == ["A0", "A1", "A2", "A3", "A4"]
    assert rows[0].short_mm * rows[0].long_mm == pytest.approx(1e6, rel=0.001)
    for row in rows:
        assert row.long_mm / row.short_mm == pytest.approx(math.sqrt(2), rel=0.003)
    for large, small in itertools.pairwise(rows):
        assert (small.short_mm, small.long_mm) == (large.long_mm // 2, large.short_mm)


# ISO 5457 (drawing-standards page): fields of 50 mm from the centring marks, the rest in the corners.
@pytest.mark.parametrize("row", sheets.SHEETS.values(), ids=lambda row: row.name)
def test_grid_fields_are_50_mm_with_the_rest_in_the_corners(row: sheets.SheetSize) -> None:
    for side_mm, fields in ((row.short_mm, row.short_fields), (row.long_mm, row.long_fields)):
        assert fields % 2 == 0
        inner_mm = (fields - 2) * sheets.GRID_FIELD_MM.value
        corner_mm = (side_mm - inner_mm) / 2
        assert 20 <= corner_mm < 75


# ISO 5457: letters from the top down without I and O, numbers from the left.
def test_grid_letters_leave_out_i_and_o() -> None:
    letters = [sheets.grid_letter(row) for row in range(24)]
    assert letters == [letter for letter in string.ascii_uppercase if letter not in "IO"]
    assert sheets.grid_reference(2, 3) == "C4"
    assert sheets.grid_reference(8, 0) == "J1"


@pytest.mark.parametrize(("row", "column"), [(24, 0), (-1, 0), (0, -1)])
def test_fields_off_the_sheet_are_refused(row: int, column: int) -> None:
    with pytest.raises(ValueError, match="grid"):
        sheets.grid_reference(row, column)


# ISO 7200:2004, as two help pages tabulate it: eight mandatory fields and their lengths.
def test_title_block_fields() -> None:
    mandatory = {row.name: row.characters for row in sheets.TITLE_BLOCK_FIELDS if row.mandatory}
    assert mandatory == {
        "legal owner": None,
        "identification number": 16,
        "date of issue": 10,
        "sheet number": 4,
        "title": 25,
        "approval person": 20,
        "creator": 20,
        "document type": 30,
    }
    optional = {row.name: row.characters for row in sheets.TITLE_BLOCK_FIELDS if not row.mandatory}
    assert optional == {
        "revision index": 2,
        "number of sheets": 4,
        "language code": 4,
        "supplementary title": 25,
        "responsible department": 10,
        "technical reference": 20,
        "classification": None,
        "document status": None,
        "page number": None,
        "paper size": None,
    }


# ISO 128-2: each width is the square root of 2 times the one before, in round figures (from memory).
def test_line_widths_grow_by_the_square_root_of_two() -> None:
    widths = sheets.LINE_WIDTHS_MM.value
    for narrow, wide in itertools.pairwise(widths):
        assert wide / narrow == pytest.approx(math.sqrt(2), rel=0.03)
    assert sheets.FRAME_LINE_MM.value in widths
    assert sheets.GRID_LINE_MM.value in widths


def test_an_unknown_sheet_is_refused() -> None:
    with pytest.raises(UnknownEntryError, match="no sheet size 'A7'"):
        sheets.sheet("A7")


# ISO 5457, from memory: 20 mm to file by, 10 mm elsewhere, frame 0.7 mm. ISO 7200: block of 180 mm.
def test_margins_frame_and_title_block() -> None:
    assert (sheets.LEFT_MARGIN_MM.value, sheets.MARGIN_MM.value) == (20, 10)
    assert (sheets.FRAME_LINE_MM.value, sheets.GRID_LINE_MM.value) == (0.7, 0.35)
    # An A4 sheet is 210 mm wide: its block fills what the margins leave.
    assert sheets.TITLE_BLOCK_WIDTH_MM.value == sheets.sheet("A4").short_mm - 20 - 10
