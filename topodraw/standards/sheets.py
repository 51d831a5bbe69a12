"""Drawing sheets: sizes and grid (ISO 216, ISO 5457), title block (ISO 7200), lines (ISO 128-2)."""

from types import MappingProxyType
from typing import NamedTuple

from topodraw.standards.published import Mark, Published, UnknownEntryError


class SheetSize(NamedTuple):
    """A trimmed sheet in mm, and how many grid fields ISO 5457 cuts its sides into."""

    name: str
    short_mm: int
    long_mm: int
    short_fields: int
    long_fields: int
    source: str
    mark: Mark


class TitleBlockField(NamedTuple):
    """One data field of a title block and the most characters ISO 7200 gives it (None: no limit)."""

    name: str
    characters: int | None
    mandatory: bool
    source: str
    mark: Mark


_SIZE = "ISO 216; ISO 5457:1999"
_SHEETS = (
    SheetSize("A0", 841, 1189, 16, 24, _SIZE, "checked"),
    SheetSize("A1", 594, 841, 12, 16, _SIZE, "checked"),
    SheetSize("A2", 420, 594, 8, 12, _SIZE, "checked"),
    SheetSize("A3", 297, 420, 6, 8, _SIZE, "checked"),
    SheetSize("A4", 210, 297, 4, 6, _SIZE, "checked"),
)
SHEETS = MappingProxyType({entry.name: entry for entry in _SHEETS})
"""Every sheet size by name, largest first."""

LEFT_MARGIN_MM = Published(20.0, "mm", "ISO 5457", "memory", "filing margin")
MARGIN_MM = Published(10.0, "mm", "ISO 5457", "memory", "the other three sides")
FRAME_LINE_MM = Published(0.7, "mm", "ISO 5457", "memory")
GRID_LINE_MM = Published(0.35, "mm", "ISO 5457", "checked")
GRID_FIELD_MM = Published(50.0, "mm", "ISO 5457", "checked", "from the centring marks; corners take the rest")
GRID_LETTERS = Published(
    "ABCDEFGHJKLMNPQRSTUVWXYZ", "", "ISO 5457", "checked", "from the top down; I and O are left out"
)
TITLE_BLOCK_WIDTH_MM = Published(180.0, "mm", "ISO 7200; ISO 5457", "memory", "at most, bottom right")
LINE_WIDTHS_MM = Published((0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1.0, 1.4, 2.0), "mm", "ISO 128-2", "memory")
WIDE_TO_NARROW = Published(2.0, "", "ISO 128-2", "memory", "wide line to narrow line")

_TITLE = "ISO 7200:2004"
TITLE_BLOCK_FIELDS = (
    TitleBlockField("legal owner", None, True, _TITLE, "checked"),
    TitleBlockField("identification number", 16, True, _TITLE, "checked"),
    TitleBlockField("date of issue", 10, True, _TITLE, "checked"),
    TitleBlockField("sheet number", 4, True, _TITLE, "checked"),
    TitleBlockField("title", 25, True, _TITLE, "checked"),
    TitleBlockField("approval person", 20, True, _TITLE, "checked"),
    TitleBlockField("creator", 20, True, _TITLE, "checked"),
    TitleBlockField("document type", 30, True, _TITLE, "checked"),
    TitleBlockField("revision index", 2, False, _TITLE, "checked"),
    TitleBlockField("number of sheets", 4, False, _TITLE, "checked"),
    TitleBlockField("language code", 4, False, _TITLE, "checked"),
    TitleBlockField("supplementary title", 25, False, _TITLE, "checked"),
    TitleBlockField("responsible department", 10, False, _TITLE, "checked"),
    TitleBlockField("technical reference", 20, False, _TITLE, "checked"),
    TitleBlockField("classification", None, False, _TITLE, "checked"),
    TitleBlockField("document status", None, False, _TITLE, "checked"),
    TitleBlockField("page number", None, False, _TITLE, "memory"),
    TitleBlockField("paper size", None, False, _TITLE, "memory"),
)
"""The fields in the order of the standard's tables: mandatory ones first."""


def sheet(name: str) -> SheetSize:
    """Return the sheet size called ``name`` (``A3``). Raises UnknownEntryError if there is none."""
    try:
        return SHEETS[name]
    except KeyError:
        raise UnknownEntryError("sheet size", name, SHEETS) from None


def grid_letter(row: int) -> str:
    """Return the letter of the grid row that is ``row`` fields from the top, counted from 0 (ISO 5457).

    Raises ValueError for a row outside the 24 that the letters without I and O can name.
    """
    if not 0 <= row < len(GRID_LETTERS.value):
        raise ValueError(f"grid row {row} has no letter: rows run from 0 to {len(GRID_LETTERS.value) - 1}")
    return GRID_LETTERS.value[row]


def grid_reference(row: int, column: int) -> str:
    """Return a field's reference, such as ``C4``, for a row and column counted from 0 at the top left.

    Raises ValueError for a row without a letter or a column below 0.
    """
    if column < 0:
        raise ValueError(f"grid column {column} does not exist: columns are counted from 0")
    return f"{grid_letter(row)}{column + 1}"
