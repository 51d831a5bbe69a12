"""Widths come from shipped tables, checked against the fonts themselves wherever those are installed."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from topodraw.draw import text_metrics
from topodraw.draw.text_metrics import Style, fit, is_measured, width, wrap

_FOLDER = Path("/usr/share/fonts/truetype/dejavu")
_FONTS: dict[Style, str] = {
    "regular": "DejaVuSansCondensed.ttf",
    "bold": "DejaVuSansCondensed-Bold.ttf",
    "mono": "DejaVuSansMono.ttf",
    "mono-bold": "DejaVuSansMono-Bold.ttf",
}


@pytest.mark.parametrize("style", _FONTS)
def test_widths_are_those_of_the_fonts(style: Style) -> None:
    ttlib = pytest.importorskip("fontTools.ttLib")
    if not (_FOLDER / _FONTS[style]).exists():
        pytest.skip("the DejaVu fonts are not installed")
    font = ttlib.TTFont(_FOLDER / _FONTS[style])
    glyphs, advances, units_per_em = font.getBestCmap(), font["hmtx"], font["head"].unitsPerEm
    for character in "AZaz09 .,-/→←×½éßñŁπΩЖя’…–":
        expected = 10 * advances[glyphs[ord(character)]][0] / units_per_em
        assert width(f"x{character}x", 10, style) - width("xx", 10, style) == pytest.approx(expected), (
            character
        )


def test_a_line_is_as_wide_as_the_font_sets_it() -> None:
    image_font = pytest.importorskip("PIL.ImageFont")
    path = _FOLDER / "DejaVuSansCondensed.ttf"
    if not path.exists():
        pytest.skip("the DejaVu fonts are not installed")
    text = "patch panel, 24 ports, rack A"
    drawn = image_font.truetype(str(path), 100).getlength(text)
    assert width(text, 100) == pytest.approx(drawn, rel=0.02)  # kerning is the difference


def test_wide_characters_take_an_em_and_marks_take_nothing() -> None:
    # Unicode UAX #11: East Asian wide characters fill a full em square.
    assert width("机房", 10) == 20
    assert width("e\u0301", 10) == width("e", 10)
    assert width("🖧", 10) == 10


def test_an_unknown_script_is_bounded_but_not_called_measured() -> None:
    assert width("ก", 10) == 10
    assert not is_measured("ก")
    assert is_measured("机房 core-1 →")


@given(st.text(max_size=60), st.floats(20, 200), st.sampled_from(["regular", "bold", "mono"]))
def test_wrapped_lines_fit_and_lose_nothing(text: str, room: float, style: Style) -> None:
    lines = wrap(text, room, 10, style)
    assert all(width(line, 10, style) <= room + 1e-9 for line in lines)
    assert "".join(lines).replace(" ", "") == text_metrics.shown(text).replace(" ", "")


def test_a_word_too_long_for_a_line_breaks_after_its_punctuation() -> None:
    assert wrap("edge-switch-in-the-hall", width("edge-switch-in-", 10) + 0.1, 10) == [
        "edge-switch-in-",
        "the-hall",
    ]


@given(st.text(max_size=40), st.floats(5, 100))
def test_a_fitted_text_fits_and_is_the_beginning_of_the_whole(text: str, room: float) -> None:
    fitted = fit(text, room, 10)
    assert width(fitted, 10) <= room
    assert text_metrics.shown(text).startswith(
        fitted.removesuffix("…").rstrip()
    ) or fitted == text_metrics.shown(text)
