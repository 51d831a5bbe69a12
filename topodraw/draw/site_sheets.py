"""All the sheets of a site, view by view."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from topodraw.compute.facts import Facts
from topodraw.draw.theme import Theme
from topodraw.model.finding import Finding, Unchecked

if TYPE_CHECKING:
    from topodraw.draw.sheet import Sheet

VIEWS = ("rack", "cabling", "zones")
"""The views there are; the file name of every sheet starts with its view's name."""


def draw_site(
    facts: Facts,
    findings: Sequence[Finding],
    unchecked: Sequence[Unchecked],
    theme: Theme,
    views: Sequence[str] = VIEWS,
    engine: Path | None = None,
) -> list[Sheet]:
    """Draw the wanted views, in the order of VIEWS. Each view numbers its own sheets, so that drawing one
    view gives the same bytes as drawing all.

    `engine` is another placement engine's executable. Raises PlacementError if the engine fails.
    """
    # A view's modules are imported only when it is drawn: the others cost nothing at start-up.
    sheets: list[Sheet] = []
    if "rack" in views:
        from topodraw.draw.rack import rack_sheets

        sheets += rack_sheets(facts, findings, theme, unchecked)
    if "cabling" in views:
        from topodraw.draw.cabling import cabling_sheets

        sheets += cabling_sheets(facts, findings, theme, unchecked, engine=engine)
    if "zones" in views:
        from topodraw.draw.zones import zones_sheets

        sheets += zones_sheets(facts, findings, theme, unchecked)
    return sheets
