"""The rack view: one sheet a rack, front and rear to scale, depth and air, loads, and the findings about
it."""

from __future__ import annotations

from collections.abc import Sequence

from topodraw.compute.facts import Facts
from topodraw.draw import text_metrics
from topodraw.draw.characters import file_stem
from topodraw.draw.finding_marks import Mark, flag_width, numbered
from topodraw.draw.grid import MARGIN
from topodraw.draw.primitives import TEXT_SIZE, Group, Shape, Text, line
from topodraw.draw.rack_contents import Occupant, RackContents, Side, rack_contents
from topodraw.draw.rack_depth import depth_section
from topodraw.draw.rack_findings import about_rack, subjects, unchecked_about_rack
from topodraw.draw.rack_geometry import (
    BLOCK_WIDTH,
    DEPTH_WIDTH,
    PLATE_WIDTH,
    RAIL,
    SCALE,
    UNIT,
    Elevation,
    dimension,
    elevations,
    rails,
    titled_block,
)
from topodraw.draw.rack_legend import rack_legend
from topodraw.draw.rack_loads import heading, hidden_panel, loads_panel, names_panel
from topodraw.draw.rack_plates import Numbered, Plate, plate
from topodraw.draw.sheet import NATURAL_WIDTH, Drawing, Sheet, compose, identity, renumbered
from topodraw.draw.theme import PurposeLook, Theme, purpose_looks
from topodraw.model.finding import Finding, Unchecked
from topodraw.model.site import Site
from topodraw.standards.rack_dimensions import PANEL_WIDTH_MM, TWO_PERSON_LIFT_KG

_CAUTION = (
    "Mains inside: isolate every feed and check that it is dead before work; electrical work is for licensed "
    f"people. Two people lift what is over {TWO_PERSON_LIFT_KG.value:g} kg. Anchor the rack and load it from "
    "the bottom; pull out one thing at a time, it can tip. Light from fibre can harm eyes: don't look into "
    "ends. Local codes rule over this sheet."
)
_PANEL_GAP = 26.0


def rack_sheets(
    facts: Facts, findings: Sequence[Finding], theme: Theme, unchecked: Sequence[Unchecked] = ()
) -> list[Sheet]:
    """One sheet for each rack of the site, in its order, numbered among themselves."""
    site = facts.site
    looks = purpose_looks({name: purpose.colour for name, purpose in site.purposes.items()}, theme)
    sheets = []
    for name in site.racks:
        contents = rack_contents(facts, name, looks)
        drawing = _RackDrawing(
            contents, about_rack(findings, contents, site), site, tuple(looks.values()), theme
        ).drawing(unchecked_about_rack(unchecked, contents, site))
        sheets.append(
            compose(
                drawing,
                identity(site.info),
                identification=f"{site.info.ref}-RACK-{name}",
                number=1,
                of=1,
                theme=theme,
            )
        )
    return renumbered(sheets, theme)


class _RackDrawing:
    """One rack's drawing: gathers shapes, marks and shortened names from its parts."""

    def __init__(
        self,
        contents: RackContents,
        findings: Sequence[Finding],
        site: Site,
        looks: Sequence[PurposeLook],
        theme: Theme,
    ) -> None:
        self.contents, self.looks, self.theme = contents, looks, theme
        self.front, self.rear, self.depth_x = elevations(contents)
        self.shapes: list[Shape] = []
        self.marks: list[Mark] = []
        self.shortened: list[str] = []
        self.in_full: set[str] = set()
        self.hidden: list[Occupant] = []
        self.whole: list[Numbered] = []
        self.air: dict[str, str] = {}
        self.at: dict[tuple[str, Side], list[Numbered]] = {}
        for number, finding in numbered(findings):
            places = subjects(finding, contents, site)
            for occupant, side in places:
                self.at.setdefault((occupant.name, side), []).append((number, finding))
                if "air" in finding.rule:
                    self.air[occupant.name] = theme.severity(finding.severity)
            if not places:
                self.whole.append((number, finding))

    def drawing(self, unchecked: Sequence[Unchecked]) -> Drawing:
        contents, theme = self.contents, self.theme
        self._blocks()
        for elevation, side in ((self.front, "front"), (self.rear, "rear")):
            self._elevation(elevation, side)  # type: ignore[arg-type]
        self.shapes += depth_section(contents, self.rear, self.depth_x, self.air, theme)
        bottom = self._panels(self.front.block_bottom + 20)
        return Drawing(
            name=f"rack-{file_stem(contents.name)}",
            kind="rack elevation",
            title=f"Rack {contents.name}, {contents.place}",
            desc=f"Front and rear elevation, depth section and loads of rack {contents.name}: "
            f"{contents.used} of {contents.units} units used.",
            width=NATURAL_WIDTH,
            bottom=bottom,
            shapes=tuple(self.shapes),
            legend=rack_legend(contents, self.looks, theme),
            marks=tuple(self.marks),
            unchecked=tuple(unchecked),
            caution=_CAUTION,
            scale=f"{SCALE:.1f} px/mm",
        )

    def _blocks(self) -> None:
        name, theme = self.contents.name, self.theme
        bottom = self.front.block_bottom
        counted = "units from the top" if self.contents.top_down else "units from the bottom"
        for elevation, words, remark in (
            (self.front, "FRONT", counted),
            (self.rear, "REAR", "as seen from behind"),
        ):
            identifier = f"cabinet-{words.lower()}"
            title = f"RACK {name}, {words}"
            self.shapes += titled_block(elevation.x, BLOCK_WIDTH, bottom, title, remark, theme, identifier)
        self.shapes += titled_block(
            self.depth_x, DEPTH_WIDTH, bottom, "DEPTH, AIR", "front at left", theme, "cabinet-depth"
        )

    def _elevation(self, elevation: Elevation, side: Side) -> None:
        theme = self.theme
        self.shapes.append(Group(tuple(rails(elevation, theme)), kind="rails", title=f"Rails, {side}"))
        seen = [each for each in self.contents.occupants if _is_seen(each, side, self.contents.occupants)]
        self.shapes += _free_stretches(self.contents, elevation, side, seen, theme)
        for occupant in self.contents.occupants:
            findings = self.at.get((occupant.name, side), [])
            if occupant not in seen:
                self.whole += findings
                if side == "rear":
                    self.hidden.append(occupant)
                continue
            drawn: Plate = plate(occupant, side, elevation.box(occupant, side), findings, theme)
            self.shapes.append(drawn.group)
            self.marks += drawn.marks
            self.whole += drawn.left_over
            self.shortened += drawn.shortened
            self.in_full.update(drawn.in_full)
        x1 = elevation.plate_x
        words = f"{PANEL_WIDTH_MM.value:g} mm"
        self.shapes += dimension(x1, x1 + PLATE_WIDTH, elevation.bottom + 15, words, theme)

    def _panels(self, top: float) -> float:
        """Loads at the left; at the right flags about the whole rack, names in full and what is hidden."""
        inside = NATURAL_WIDTH - 2 * MARGIN
        half = (inside - _PANEL_GAP) / 2
        loads, loads_height = loads_panel(self.contents, MARGIN, top, half, self.theme)
        x = MARGIN + half + _PANEL_GAP
        right_top = top + self._whole_rack_flags(x, top, half)
        shortened = [name for name in self.shortened if name not in self.in_full]
        names, names_height = names_panel(self.contents, shortened, x, right_top, half, self.theme)
        right_top += names_height
        hidden, hidden_height = hidden_panel(self.hidden, x, right_top, half, self.theme)
        self.shapes += [loads, *(panel for panel in (names, hidden) if panel.shapes)]
        return max(top + loads_height, right_top + hidden_height)

    def _whole_rack_flags(self, x: float, y: float, width: float) -> float:
        """Flags of findings about the rack as a whole, or whose gear had no room for them; the height they
        take."""
        flags = list(dict.fromkeys(self.whole))
        if not flags:
            return 0.0
        self.shapes += heading(
            "ABOUT THE WHOLE RACK", "or without room at their gear", x, y, width, self.theme
        )
        left, middle = x, y + 42.0
        for number, finding in flags:
            wide = flag_width(number)
            if left + wide > x + width:
                left, middle = x, middle + 26
            self.marks.append(Mark(number, finding, left, middle, "rack"))
            left += wide + 10
        return middle + 30 - y


def _is_seen(occupant: Occupant, side: Side, occupants: Sequence[Occupant]) -> bool:
    """Whether a gear is seen from a side: on its own side always, from the other unless something there hides
    it."""
    if occupant.side == side:
        return True
    if side == "front":
        return False  # what hangs at the rear is behind air; the front says so in words
    return not any(
        other.side == side and other.lowest <= occupant.highest and other.highest >= occupant.lowest
        for other in occupants
    )


def _free_stretches(
    contents: RackContents, elevation: Elevation, side: Side, seen: Sequence[Occupant], theme: Theme
) -> list[Shape]:
    """A line and a few words in every stretch of units where nothing is seen."""
    filled = {unit for each in seen for unit in range(each.lowest, each.highest + 1)}
    behind = [each for each in contents.occupants if each.side != side and each not in seen]
    shapes: list[Shape] = []
    left, right = elevation.plate_x + RAIL + 6, elevation.plate_x + PLATE_WIDTH - RAIL - 6
    for lowest, highest in _stretches(
        [unit for unit in range(1, contents.units + 1) if unit not in filled], behind
    ):
        hidden = [each.name for each in behind if each.lowest <= highest and each.highest >= lowest]
        count = highest - lowest + 1
        words = f"free at the {side}: {', '.join(hidden)} behind" if hidden else f"{count} U free"
        words = text_metrics.fit(words, right - left - 80, TEXT_SIZE)
        y = elevation.top_of(lowest, highest) + count * UNIT / 2
        middle = (left + right) / 2
        half = text_metrics.width(words, TEXT_SIZE) / 2 + 8
        shapes += [
            line(left, y, middle - half, y, theme.ink, 0.6, 0.35),
            line(middle + half, y, right, y, theme.ink, 0.6, 0.35),
            Text(middle, y + 4.7, words, theme.ink, anchor="middle", opacity=0.85),
        ]
    return shapes


def _stretches(units: Sequence[int], behind: Sequence[Occupant]) -> list[tuple[int, int]]:
    """Runs of neighbouring units, cut where something begins or ends behind them."""
    hidden = {unit for each in behind for unit in range(each.lowest, each.highest + 1)}
    runs: list[tuple[int, int]] = []
    for unit in units:
        if runs and runs[-1][1] == unit - 1 and (unit in hidden) == (unit - 1 in hidden):
            runs[-1] = (runs[-1][0], unit)
        else:
            runs.append((unit, unit))
    return runs
