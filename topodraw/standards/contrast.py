"""Contrast of colours: WCAG 2.x relative luminance, contrast ratio and thresholds."""

from typing import NamedTuple

from topodraw.standards.published import Published

_LUMINANCE = "WCAG 2.2, definition of relative luminance"

LUMINANCE_WEIGHTS = Published((0.2126, 0.7152, 0.0722), "", _LUMINANCE, "checked", "red, green, blue")
LINEAR_BELOW = Published(0.04045, "", _LUMINANCE, "checked", "sRGB channel value up to which it is linear")
LINEAR_DIVISOR = Published(12.92, "", _LUMINANCE, "checked")
CURVE_OFFSET = Published(0.055, "", _LUMINANCE, "checked")
CURVE_EXPONENT = Published(2.4, "", _LUMINANCE, "checked")
FLARE = Published(0.05, "", "WCAG 2.2, definition of contrast ratio", "checked")

TEXT_AA = Published(4.5, "ratio", "WCAG 2.2 success criterion 1.4.3", "checked")
LARGE_TEXT_AA = Published(
    3.0, "ratio", "WCAG 2.2 success criterion 1.4.3", "checked", "from 18 pt, or 14 pt bold"
)
TEXT_AAA = Published(7.0, "ratio", "WCAG 2.2 success criterion 1.4.6", "checked")
LARGE_TEXT_AAA = Published(4.5, "ratio", "WCAG 2.2 success criterion 1.4.6", "checked")
GRAPHICS_AA = Published(3.0, "ratio", "WCAG 2.2 success criterion 1.4.11", "checked")


class Colour(NamedTuple):
    """An sRGB colour, each channel from 0 to 1."""

    red: float
    green: float
    blue: float


def colour(text: str) -> Colour:
    """Return the colour that ``#rrggbb`` names. Raises ValueError for any other form."""
    if len(text) != 7 or not text.startswith("#"):
        raise ValueError(f"{text!r} is no colour of the form #rrggbb")
    try:
        return Colour(*(int(text[at : at + 2], 16) / 255 for at in (1, 3, 5)))
    except ValueError:
        raise ValueError(f"{text!r} is no colour of the form #rrggbb") from None


def linear_channel(value: float) -> float:
    """Return the linear light of an sRGB channel value, both from 0 to 1 (WCAG 2.2, IEC 61966-2-1)."""
    if value <= LINEAR_BELOW.value:
        return value / LINEAR_DIVISOR.value
    curved: float = ((value + CURVE_OFFSET.value) / (1 + CURVE_OFFSET.value)) ** CURVE_EXPONENT.value
    return curved


def relative_luminance(text: str) -> float:
    """Return the relative luminance, 0 (black) to 1 (white), of a colour ``#rrggbb`` (WCAG 2.2).

    Raises ValueError for a colour of another form.
    """
    weighted = zip(LUMINANCE_WEIGHTS.value, colour(text), strict=True)
    return sum(weight * linear_channel(channel) for weight, channel in weighted)


def contrast_ratio(one: str, other: str) -> float:
    """Return the contrast ratio, 1 to 21, of two colours ``#rrggbb`` in either order (WCAG 2.2).

    Raises ValueError for a colour of another form.
    """
    dark, light = sorted((relative_luminance(one), relative_luminance(other)))
    return (light + FLARE.value) / (dark + FLARE.value)
