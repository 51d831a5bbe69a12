"""A site's sheets as the files that a folder of drawings holds."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from topodraw.compute.facts import Facts
from topodraw.draw.placement import PlacementError
from topodraw.draw.site_sheets import draw_site
from topodraw.draw.theme import ThemeError, load_theme
from topodraw.report.pictures import PictureError, PictureForm, picture
from topodraw.rules.check import CheckResult


class DrawingError(Exception):
    """The sheets can't be made; the message says why, in one line."""


def sheet_files(
    facts: Facts,
    result: CheckResult,
    views: Sequence[str],
    theme_name: str,
    engine: Path | None,
    forms: Sequence[PictureForm],
) -> dict[str, bytes]:
    """The bytes of every sheet of those views, in each of the forms, by file name.

    Raises DrawingError for an unknown theme, an engine that fails, or a form that can't be made here.
    """
    try:
        theme = load_theme(theme_name)
        sheets = draw_site(facts, result.findings, result.unchecked, theme, views, engine)
        return {
            f"{sheet.name}.{form}": picture(text, form)
            for sheet in sheets
            for text in (sheet.svg(theme),)
            for form in forms
        }
    except (ThemeError, PlacementError, PictureError) as error:
        raise DrawingError(str(error)) from error
