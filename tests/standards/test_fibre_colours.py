"""Fibre colours against ANSI/TIA-598-C."""

import pytest

from topodraw.standards import fibre_colours, media


# ANSI/TIA-598-C: blue, orange, green, brown, slate, white, red, black, yellow, violet, rose, aqua.
@pytest.mark.parametrize(
    ("number", "colour"),
    [(1, "blue"), (5, "slate"), (12, "aqua"), (13, "blue striped"), (24, "aqua striped")],
)
def test_fibres_are_counted_by_colour(number: int, colour: str) -> None:
    assert fibre_colours.fibre_colour(number) == colour


@pytest.mark.parametrize("number", [0, 25])
def test_the_code_ends_at_24(number: int) -> None:
    with pytest.raises(ValueError, match="1 to 24"):
        fibre_colours.fibre_colour(number)


def test_every_fibre_medium_has_its_colours_and_copper_has_none() -> None:
    for name in media.MEDIA:
        assert (fibre_colours.fibre_colours(name) is not None) == media.is_fibre(name)
