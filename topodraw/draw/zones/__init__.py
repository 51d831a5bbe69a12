"""The zones view: zones with their VLANs and who is in them, the conduits between them, who may talk to whom,
and what was promised."""

from __future__ import annotations

from collections.abc import Sequence

from topodraw.compute.facts import Facts
from topodraw.draw.sheet import Sheet, compose, identity, renumbered
from topodraw.draw.theme import Theme
from topodraw.draw.zones.plan import ZonesPlan
from topodraw.model.finding import Finding, Unchecked


def zones_sheets(
    facts: Facts, findings: Sequence[Finding], theme: Theme, unchecked: Sequence[Unchecked] = ()
) -> list[Sheet]:
    """One sheet where all fits; else an overview and a sheet for each zone that holds anybody."""
    info = facts.site.info
    sheets = [
        compose(
            drawing,
            identity(info),
            identification=f"{info.ref}-{drawing.name.upper()}",
            number=1,
            of=1,
            theme=theme,
        )
        for drawing in ZonesPlan(facts, findings, theme, unchecked).drawings()
    ]
    return renumbered(sheets, theme)
