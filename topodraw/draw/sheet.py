"""A sheet: a view's drawing inside the frame, with findings, caution, legend and title block around it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from topodraw.draw.finding_marks import Mark, mark_group
from topodraw.draw.grid import INNER, MARGIN, Grid
from topodraw.draw.legend import LegendGroup, findings_legend, legend_block
from topodraw.draw.panels import caution_box, findings_panel
from topodraw.draw.primitives import Shape
from topodraw.draw.svg import svg_text
from topodraw.draw.theme import Theme
from topodraw.draw.title_block import WIDTH as TITLE_BLOCK_WIDTH
from topodraw.draw.title_block import Identity, rows_height, title_block, title_block_rows
from topodraw.model.finding import Unchecked
from topodraw.model.site import SiteInfo

NATURAL_WIDTH = 1300.0
"""Width of a sheet in px at which its text is legible 900 px wide; wider sheets are for zooming or large
paper."""
_GAP = 18.0


@dataclass(frozen=True, slots=True)
class Drawing:
    """What a view gives: shapes in px of the sheet, from (MARGIN, MARGIN) to (`width` - MARGIN, `bottom`).

    `name` becomes the file's name (`rack-A`), `kind` the document type, `marks` the findings' spots. `legend`
    holds only what was drawn; the flags are added. `caution` is set in a box; `scale` goes into the title
    block.
    """

    name: str
    kind: str
    title: str
    desc: str
    width: float
    bottom: float
    shapes: tuple[Shape, ...]
    legend: tuple[LegendGroup, ...]
    marks: tuple[Mark, ...] = ()
    unchecked: tuple[Unchecked, ...] = ()
    caution: str = ""
    scale: str = ""


@dataclass(frozen=True, slots=True)
class Sheet:
    """A finished sheet, and what it was composed from."""

    name: str
    title: str
    kind: str
    identification: str
    number: int
    of: int
    width: float
    height: float
    desc: str
    shapes: tuple[Shape, ...]
    drawing: Drawing
    site: Identity

    @property
    def file_name(self) -> str:
        """The file it is written to, and linked to by other sheets."""
        return f"{self.name}.svg"

    def grid_square(self, x: float, y: float) -> str:
        """The grid square of a point, e.g. `C4`."""
        return Grid(self.width, self.height).square(x, y)

    def svg(self, theme: Theme) -> str:
        """The sheet as SVG text; `theme` is the one that it was drawn with."""
        return svg_text(
            self.shapes,
            width=self.width,
            height=self.height,
            title=f"{self.identification}: {self.title}",
            desc=self.desc,
            ink=theme.ink,
            paper=theme.paper,
        )


def identity(info: SiteInfo) -> Identity:
    """What a site says about its documents."""
    return Identity(info.name, info.ref, info.owner, info.issue, info.date, info.creator, info.approver)


def compose(
    drawing: Drawing, site: Identity, *, identification: str, number: int, of: int, theme: Theme
) -> Sheet:
    """The drawing on its sheet: below it findings, caution, legend, and the title block in the lower right
    corner."""
    width, x = drawing.width, MARGIN
    inside = width - 2 * MARGIN
    rows = title_block_rows(
        site,
        title=drawing.title,
        kind=drawing.kind,
        identification=identification,
        number=number,
        of=of,
        scale=drawing.scale,
    )
    severities = tuple(mark.finding.severity for mark in drawing.marks if mark.finding.waived_until is None)
    any_waived = any(mark.finding.waived_until is not None for mark in drawing.marks)
    groups = (*drawing.legend, findings_legend(severities, any_waived, theme))
    legend_width = inside - TITLE_BLOCK_WIDTH - _GAP
    panel_top = drawing.bottom + _GAP
    # The squares depend on the sheet's height, so the panel is set twice: once for its height alone.
    _, panel_height = findings_panel(
        drawing.marks, drawing.unchecked, lambda _x, _y: "W99", x, panel_top, inside, theme
    )
    caution_top = panel_top + panel_height + 6
    caution: tuple[Shape, ...] = ()
    foot_top = caution_top
    if drawing.caution:
        box, caution_height = caution_box(drawing.caution, x, caution_top, inside, theme)
        caution, foot_top = (box,), caution_top + caution_height + _GAP
    legend, legend_height = legend_block(groups, x, foot_top, legend_width, theme)
    block_height = rows_height(rows)
    height = round(foot_top + max(legend_height + 14, block_height) + INNER)
    grid = Grid(width, height)
    panel, _ = findings_panel(drawing.marks, drawing.unchecked, grid.square, x, panel_top, inside, theme)
    shapes: tuple[Shape, ...] = (
        grid.frame(theme),
        *drawing.shapes,
        *(mark_group(mark, grid.square(mark.x, mark.y), theme) for mark in drawing.marks),
        panel,
        *caution,
        legend,
        title_block(rows, width - INNER - TITLE_BLOCK_WIDTH, height - INNER - block_height, theme),
    )
    return Sheet(
        name=drawing.name,
        title=drawing.title,
        kind=drawing.kind,
        identification=identification,
        number=number,
        of=of,
        width=width,
        height=height,
        desc=drawing.desc,
        shapes=shapes,
        drawing=drawing,
        site=site,
    )


def renumbered(sheets: Sequence[Sheet], theme: Theme) -> list[Sheet]:
    """The same sheets as one set, numbered from 1 in the order given: for sets made of several views."""
    return [
        compose(
            sheet.drawing,
            sheet.site,
            identification=sheet.identification,
            number=number,
            of=len(sheets),
            theme=theme,
        )
        for number, sheet in enumerate(sheets, start=1)
    ]
