"""Which sheets a site needs, and what stands on each."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from topodraw.compute.facts import Facts
from topodraw.draw.characters import file_stem
from topodraw.draw.finding_marks import Mark, flag_width
from topodraw.draw.grid import MARGIN
from topodraw.draw.primitives import Shape, Text
from topodraw.draw.sheet import NATURAL_WIDTH, Drawing
from topodraw.draw.theme import Theme
from topodraw.draw.zones.area import WIDEST_COLUMN, Area, least_row_width, needed_width
from topodraw.draw.zones.boxes import Drawn, Numbered
from topodraw.draw.zones.builder import AreaBuilder
from topodraw.draw.zones.contents import NO_ZONE, Resident, zone_contents
from topodraw.draw.zones.findings import FindingSpots, about_zones, unchecked_about_zones
from topodraw.draw.zones.flows import Flow, flows_of, zone_key
from topodraw.draw.zones.matrix import GOOD_CELL, cell_of, head_width, matrix_panel
from topodraw.draw.zones.ordering import order_zones
from topodraw.draw.zones.plate import holder_of
from topodraw.draw.zones.promises_panel import promises_panel
from topodraw.draw.zones.residents import StraddlePlate, straddle_plate
from topodraw.draw.zones.scene import Scene
from topodraw.draw.zones.zones_legend import conduits_legend, matrix_legend, zones_legend
from topodraw.model.finding import Finding, Unchecked
from topodraw.model.network import INTERNET

INSIDE = NATURAL_WIDTH - 2 * MARGIN
_LEAST_COLUMN = 150.0
_LEAST_SHORT = 118.0
_LEAST_STUB = 60.0
_TALLEST = 1150.0
_GOOD_HEIGHT = 320.0


class ZonesPlan:
    """The drawings of one site's zones."""

    def __init__(
        self, facts: Facts, findings: Sequence[Finding], theme: Theme, unchecked: Sequence[Unchecked]
    ) -> None:
        self.facts, self.theme = facts, theme
        self.findings = about_zones(findings)
        self.unchecked = unchecked_about_zones(unchecked, facts.site)
        self.contents = zone_contents(facts)
        self.tunnels = [remote for remote in facts.site.remotes.values() if remote.kind == "tunnel"]
        published = [name for name in self.contents if self._is_published(name)]
        inner = [name for name in self.contents if name != INTERNET and name not in published]
        if not inner:
            inner, published = published, []
        self.above = [*published, INTERNET]
        self.below = order_zones(inner, self._shared, self._talks(), self.above)

    def drawings(self) -> list[Drawing]:
        """One drawing where all fits on it, else an overview and one for each zone."""
        for stacked in (False, True):
            spots = FindingSpots(self.findings, self.facts.site)
            scene = self._whole(spots, stacked)
            if (
                needed_width(scene.below, _LEAST_COLUMN) > INSIDE
                or needed_width(scene.above, _LEAST_COLUMN) > INSIDE
            ):
                continue
            scene.place()
            if scene.tallest <= _TALLEST:
                return [self._overall(scene, spots, "zones", "Zones and VLANs")]
        spots = FindingSpots(self.findings, self.facts.site)
        overview = self._overall(self._short(spots), spots, "zones", "Zones and VLANs, overview")
        return [overview, *(self._one(zone) for zone in self._own_sheets())]

    def _own_sheets(self) -> list[str]:
        return [zone for zone in (*self.above, *self.below) if self.contents[zone].residents]

    def _is_published(self, name: str) -> bool:
        """Whether most workloads of a zone are published."""
        workloads = {r.name for r in self.contents[name].residents if r.is_workload}
        shown = [each for each in workloads if self.facts.site.workloads[each].published is not None]
        return name != NO_ZONE and 2 * len(shown) > len(workloads)

    def _shared(self, left: str, right: str) -> int:
        return len({(r.name, r.is_workload) for r in self._straddlers(left, right)})

    def _straddlers(self, left: str, right: str) -> list[Resident]:
        both = {left, right}
        return [r for r in self.contents[left].residents if len(r.zones) == 2 and set(r.zones) == both]

    def _talks(self) -> list[tuple[str, str]]:
        return [
            (one, two)
            for reach in self.facts.reach.conduits
            for one in reach.source_zones
            for two in reach.target_zones
            if one != two
        ]

    def _whole(self, spots: FindingSpots, stacked: bool) -> Scene:
        builder = AreaBuilder(self.facts, self.contents, spots)
        straddles, straddling = {}, set()
        for left, right in pairwise(self.below):
            pairs = []
            for here in self._straddlers(left, right):
                who = (here.name, here.is_workload)
                if who not in straddling:
                    there = next(r for r in self.contents[right].residents if (r.name, r.is_workload) == who)
                    pairs.append((here, there))
                    straddling.add(who)
            if pairs:
                straddles[zone_key(left)] = straddle_plate(self.facts.site, left, right, pairs, spots)
        above = [builder.full(zone, (), stacked) for zone in self.above]
        above += [builder.remote(remote) for remote in self.tunnels]
        below = [builder.full(zone, straddling, stacked) for zone in self.below]
        return self._scene(above, below, straddles, flows_of(self.facts, spots), spots)

    def _scene(
        self,
        above: list[Area],
        below: list[Area],
        straddles: dict[str, StraddlePlate],
        flows: list[Flow],
        spots: FindingSpots,
    ) -> Scene:
        holder = holder_of(self.facts, spots)
        width = INSIDE
        sources = {flow.source for flow in flows} | {t for f in flows if f.both_ways for t in f.targets}
        for area in below:
            area.nothing_leaves = (
                area.key.startswith("zone:") and area.key not in sources and len(area.columns) > 0
            )
            area.legs = sum((flow.source == area.key) + flow.targets.count(area.key) for flow in flows)
        for row in (above, below):
            _widen(row, width)
        return Scene(above, below, straddles, flows, holder, width)

    def _short(self, spots: FindingSpots) -> Scene:
        """Every zone with its VLANs only; inner zones that don't fit below stand above."""
        builder = AreaBuilder(self.facts, self.contents, spots)
        own = self._own_sheets()
        sheet_of = {zone: number for number, zone in enumerate(own, start=2)}
        flows = flows_of(self.facts, spots)

        def made(zone: str) -> Area:
            number = sheet_of.get(zone)
            link = f"zones-{_stem(zone)}.svg" if number is not None else ""
            area = builder.short(zone, link, f"sheet {number}" if number is not None else "")
            area.legs = sum((flow.source == area.key) + flow.targets.count(area.key) for flow in flows)
            return area

        above = [made(zone) for zone in self.above] + [builder.remote(remote) for remote in self.tunnels]
        below = [made(zone) for zone in self.below]
        while (
            len(below) > 1
            and needed_width(below, _LEAST_SHORT) > INSIDE
            and (needed_width([*above, below[-1]], _LEAST_SHORT) <= needed_width(below, _LEAST_SHORT))
        ):
            above.append(below.pop())
        for area in (*above, *below):
            area.narrowest = _LEAST_SHORT
        scene = self._scene(above, below, {}, flows, spots)
        scene.width = max(INSIDE, least_row_width(above), least_row_width(below))
        return scene

    def _one(self, zone: str) -> Drawing:
        """One zone in full, and all it talks to as names."""
        site = self.facts.site
        things = {(("workload" if r.is_workload else "gear"), r.name) for r in self.contents[zone].residents}
        things |= {("zone", zone)} | {("vlan", v.vlan.name) for v in self.contents[zone].vlans if v.vlan}
        everyone = FindingSpots(self.findings, site)
        spots = FindingSpots([f for f in self.findings if set(everyone.subjects(f)) & things], site)
        builder = AreaBuilder(self.facts, self.contents, spots)
        key = zone_key(zone)
        flows = [flow for flow in flows_of(self.facts, spots) if key in (flow.source, *flow.targets)]
        keys = dict.fromkeys(k for flow in flows for k in (flow.source, *flow.targets) if k != key)
        own = self._own_sheets()
        above = []
        for other in keys:
            name = other.partition(":")[2]
            link = f"zones-{_stem(name)}.svg" if other.startswith("zone:") and name in own else "zones.svg"
            above.append(builder.stub(other, link))
        scene = self._scene(above, [builder.full(zone, (), False)], {}, flows, spots)
        for area in above:
            area.narrowest = _LEAST_STUB
        scene.width = max(INSIDE, least_row_width(scene.above), least_row_width(scene.below))
        _widen(scene.below, scene.width)
        drawn, bottom = scene.draw(self.theme)
        bottom = self._elsewhere(drawn, (*scene.homeless, *spots.left_over()), bottom, INSIDE)
        name = zone or "no zone"
        return Drawing(
            name=f"zones-{_stem(zone)}",
            kind="zone",
            title=f"Zone {name}",
            desc=f"Zone {name} with everybody in it, and its conduits.",
            width=scene.width + 2 * MARGIN,
            bottom=bottom,
            shapes=tuple(drawn.shapes),
            legend=(
                conduits_legend(flows, _any_silent(scene), self.theme),
                zones_legend(True, False, self.theme),
            ),
            marks=tuple(drawn.marks),
        )

    def _overall(self, scene: Scene, spots: FindingSpots, name: str, title: str) -> Drawing:
        drawn, bottom = scene.draw(self.theme)
        zones = [
            area.key.partition(":")[2]
            for area in (*scene.above, *scene.below)
            if area.key.startswith("zone:")
        ]
        zones = [zone for zone in zones if zone != NO_ZONE]
        bottom = self._panels(drawn, zones, spots, bottom + 26, scene)
        site = self.facts.site
        kinds = {cell_of(self.facts, one, two).kind for one in zones for two in zones}
        counted = (len(zones), len(site.vlans), len(site.conduits), len(site.workloads))
        return Drawing(
            name=name,
            kind="zones and conduits",
            title=title,
            desc="{} zones, {} VLANs, {} conduits and {} workloads; who may talk to whom; promises.".format(
                *counted
            ),
            width=scene.width + 2 * MARGIN,
            bottom=bottom,
            shapes=tuple(drawn.shapes),
            legend=(
                conduits_legend(scene.flows, _any_silent(scene), self.theme),
                zones_legend(bool(site.vlans), bool(scene.straddles), self.theme),
                matrix_legend(sorted(kinds), self.theme),
            ),
            marks=tuple(drawn.marks),
            unchecked=tuple(self.unchecked),
        )

    def _panels(
        self, drawn: Drawn, zones: Sequence[str], spots: FindingSpots, top: float, scene: Scene
    ) -> float:
        """Matrix and promises, side by side where both have room."""
        theme, verdicts, width = self.theme, self.facts.promises, scene.width
        beside = len(zones) <= 8
        share = head_width(zones) + (GOOD_CELL if len(zones) > 5 else 110) * len(zones)
        share = min(max(share, 430.0), width - 400) if beside else width
        matrix, height = matrix_panel(self.facts, zones, MARGIN, top, share, theme)
        drawn.shapes.append(matrix)
        if beside:
            panel, other = promises_panel(
                verdicts, spots, MARGIN + share + 30, top, width - share - 30, 1, theme
            )
            bottom = top + max(height, other)
        else:
            panel, other = promises_panel(verdicts, spots, MARGIN, top + height + 16, width, 2, theme)
            bottom = top + height + 16 + other
        drawn.add(panel)
        return self._elsewhere(drawn, (*scene.homeless, *spots.left_over()), bottom, width)

    def _elsewhere(self, drawn: Drawn, flags: Sequence[Numbered], bottom: float, width: float) -> float:
        """Flags of the findings that have no spot of their own."""
        if not flags:
            return bottom
        shapes: list[Shape] = [Text(MARGIN, bottom + 28, "Flags without room at their spot:", self.theme.ink)]
        drawn.shapes += shapes
        left, middle = MARGIN + 230.0, bottom + 23.5
        for number, finding in flags:
            if left + flag_width(number) > MARGIN + width:
                left, middle = MARGIN + 230.0, middle + 26
            drawn.marks.append(Mark(number, finding, left, middle))
            left += flag_width(number) + 8
        return middle + 14


def _stem(zone: str) -> str:
    return file_stem(zone) or "_none_"


def _any_silent(scene: Scene) -> bool:
    return any(area.nothing_leaves for area in scene.below)


def _widen(areas: Sequence[Area], width: float) -> None:
    """Spread the tallest columns over more sub-columns, while the row has room for them."""
    while True:
        columns = [(column.height(_LEAST_COLUMN), column) for area in areas for column in area.columns]
        columns = [(tall, column) for tall, column in columns if column.count < len(column.boxes)]
        if not columns:
            return
        tall, column = max(columns, key=lambda pair: pair[0])
        if tall < _GOOD_HEIGHT and needed_width(areas, WIDEST_COLUMN) > width:
            return
        column.count += 1
        if needed_width(areas, _LEAST_COLUMN + 12) > width:
            column.count -= 1
            return
