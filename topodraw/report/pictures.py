"""Sheets as PNG and PDF, made from their SVG by CairoSVG."""

from __future__ import annotations

from typing import Literal

PictureForm = Literal["svg", "png", "pdf"]


class PictureError(Exception):
    """A picture can't be made here; the message says what to install."""


def picture(svg: str, form: PictureForm) -> bytes:
    """The bytes of a sheet in one form. Raises PictureError where the Cairo library is missing."""
    if form == "svg":
        return svg.encode()
    try:
        import cairosvg  # needs a system library, so only those who ask for pictures need to have it
    except (ImportError, OSError) as error:
        raise PictureError(
            "PNG and PDF need the Cairo library, which is not installed here "
            "(on Debian and Ubuntu: apt install libcairo2)"
        ) from error
    convert = cairosvg.svg2png if form == "png" else cairosvg.svg2pdf
    made: bytes = convert(bytestring=svg.encode())
    return made
