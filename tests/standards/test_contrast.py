"""Contrast and colour vision against WCAG 2.2 and Machado 2009."""

import pytest

from topodraw.standards import colour_vision, contrast
from topodraw.standards.published import Published


# WCAG 2.2 defines the range as 1 to 21; the greys are worked from its formula (4.478, 4.542, 3.034).
@pytest.mark.parametrize(
    ("one", "other", "ratio"),
    [
        ("#000000", "#ffffff", 21.0),
        ("#ffffff", "#ffffff", 1.0),
        ("#777777", "#ffffff", 4.478),
        ("#767676", "#ffffff", 4.542),
        ("#949494", "#ffffff", 3.034),
    ],
)
def test_worked_contrasts(one: str, other: str, ratio: float) -> None:
    assert contrast.contrast_ratio(one, other) == pytest.approx(ratio, abs=0.0006)
    assert contrast.contrast_ratio(other, one) == contrast.contrast_ratio(one, other)


# WCAG 2.2: 1.4.3 4.5 and 3, 1.4.6 7 and 4.5, 1.4.11 3. #777777 on white is the well-known near miss.
def test_thresholds_part_the_near_misses() -> None:
    assert contrast.contrast_ratio("#777777", "#ffffff") < contrast.TEXT_AA.value == 4.5
    assert contrast.contrast_ratio("#767676", "#ffffff") > contrast.TEXT_AA.value
    assert contrast.contrast_ratio("#949494", "#ffffff") > contrast.GRAPHICS_AA.value == 3
    assert (contrast.TEXT_AAA.value, contrast.LARGE_TEXT_AA.value, contrast.LARGE_TEXT_AAA.value) == (
        7,
        3,
        4.5,
    )


# WCAG 2.2 relative luminance: the weights are those of pure red, green and blue.
def test_pure_colours_have_the_luminance_of_their_weight() -> None:
    assert contrast.relative_luminance("#ff0000") == pytest.approx(0.2126)
    assert contrast.relative_luminance("#00ff00") == pytest.approx(0.7152)
    assert contrast.relative_luminance("#0000ff") == pytest.approx(0.0722)


@pytest.mark.parametrize("text", ["red", "#fff", "#gggggg", "ffffff0", ""])
def test_other_forms_of_colour_are_refused(text: str) -> None:
    with pytest.raises(ValueError, match="#rrggbb"):
        contrast.colour(text)


# IEC 61966-2-1 chose the sRGB curve so that its straight and its curved part meet.
def test_the_two_parts_of_the_srgb_curve_meet() -> None:
    border = contrast.LINEAR_BELOW.value
    assert contrast.linear_channel(border) == pytest.approx(contrast.linear_channel(border + 1e-9), rel=1e-4)


# Machado 2009: a matrix maps white to white, so the weights of each row sum to 1.
@pytest.mark.parametrize("matrix", colour_vision.DEFICIENCIES.values())
def test_each_row_of_a_matrix_sums_to_one(matrix: Published[colour_vision.Matrix]) -> None:
    for row in matrix.value:
        assert sum(row) == pytest.approx(1, abs=2e-6)


# Machado 2009 keeps white white: each row of a matrix sums to 1, so greys stay as they are.
@pytest.mark.parametrize("deficiency", ["protan", "deutan", "tritan"])
@pytest.mark.parametrize("grey", ["#000000", "#7f7f7f", "#ffffff"])
def test_greys_look_the_same_to_everybody(deficiency: colour_vision.Deficiency, grey: str) -> None:
    assert colour_vision.as_seen_with(deficiency, grey) == grey


# What the names mean: red and green come close for protan and deutan, blue and green-blue for tritan.
def test_red_and_green_come_close_without_red_or_green_cones() -> None:
    def apart(one: str, other: str) -> int:
        return sum(abs(int(one[at : at + 2], 16) - int(other[at : at + 2], 16)) for at in (1, 3, 5))

    red, green = "#b5480f", "#5f7a0b"
    plain = apart(red, green)
    seen = colour_vision.as_seen_with("deutan", red), colour_vision.as_seen_with("deutan", green)
    assert apart(*seen) < plain / 2
