"""One sheet's drawing put together: a row of areas above the plate, a row below it, and the conduits
between."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from topodraw.draw.grid import MARGIN
from topodraw.draw.theme import Theme
from topodraw.draw.zones.area import HATCHES, PAD, Area, place_row
from topodraw.draw.zones.boxes import Drawn, Numbered
from topodraw.draw.zones.draw_flows import draw_route
from topodraw.draw.zones.flows import Flow
from topodraw.draw.zones.labels import SECOND_ROW, Label, is_whole, label_width, place_labels
from topodraw.draw.zones.lanes import LANE, Route, assign_lanes, place_legs, routes_of
from topodraw.draw.zones.plate import HOLDER_WIDTH, Holder, draw_plate, nothing_leaves
from topodraw.draw.zones.residents import StraddlePlate

_ABOVE_PLATE = 36.0
_BELOW_PLATE = 46.0
_TAB_ABOVE = 10.0


@dataclass(slots=True)
class Scene:
    """The areas of a sheet, the plates between neighbours below (by the left one's key), and its flows."""

    above: list[Area]
    below: list[Area]
    straddles: dict[str, StraddlePlate]
    flows: list[Flow]
    holder: Holder
    width: float
    homeless: list[Numbered] = field(default_factory=list)
    """Findings on conduits that have no room for a flag; known once drawn."""

    def __post_init__(self) -> None:
        for row in (self.above, self.below):
            for area in row[:1]:
                area.x, area.no_legs_before = MARGIN, MARGIN + HOLDER_WIDTH + 14

    def place(self) -> None:
        """Give every area its place in its row, the upper row at the top of the sheet."""
        areas = [*self.above, *self.below]
        for area in areas:
            area.on_top = area in self.above
            area.legs = sum((flow.source == area.key) + flow.targets.count(area.key) for flow in self.flows)
        for place, area in enumerate(self.below):
            area.hatch = HATCHES[place % len(HATCHES)]
        for place, area in enumerate(self.above):
            area.hatch = HATCHES[(place + 3) % len(HATCHES)]
        place_row(self.above, MARGIN, MARGIN + _TAB_ABOVE, self.width)
        place_row(self.below, MARGIN, MARGIN + _TAB_ABOVE, self.width)

    @property
    def tallest(self) -> float:
        """Height in px of the taller row."""
        return max((area.bottom - area.y for area in (*self.above, *self.below)), default=0.0)

    def draw(self, theme: Theme) -> tuple[Drawn, float]:
        """The drawing, and where it ends."""
        self.place()
        plate_top = max((area.bottom for area in self.above), default=MARGIN) + _ABOVE_PLATE
        if not self.above:
            plate_top = MARGIN
        by_key = {area.key: area for area in (*self.above, *self.below)}
        routes = routes_of(self.flows, by_key, [label_width(flow) for flow in self.flows])
        place_legs(routes, [*self.below, *self.above])
        inside = (MARGIN + HOLDER_WIDTH + 12, MARGIN + self.width - 12)
        lanes = assign_lanes(routes, inside)
        plate_bottom = self._set_heights(routes, lanes, plate_top)
        labels = place_labels(routes, inside)
        short = [route for route in routes if not is_whole(labels.get(route.flow.id))]
        if short:
            for route in short:
                route.tall = True
            plate_bottom = self._set_heights(routes, lanes, plate_top)
            labels = place_labels(routes, inside)
        for route in routes:
            label = labels.get(route.flow.id)
            if label is None or not label.flagged:
                self.homeless += route.flow.flags
        drawn = draw_plate(self.holder, MARGIN, plate_top, self.width, plate_bottom, theme)
        bottom = self._draw_areas(drawn, theme)
        drawn.add(_draw_flows(routes, labels, plate_top, theme))
        return drawn, max(bottom, plate_bottom)

    def _set_heights(self, routes: Sequence[Route], lanes: int, plate_top: float) -> float:
        """Give lanes and lower areas their heights; returns the plate's lower edge."""
        tall = {route.lane for route in routes if route.tall}
        heights = [LANE + (SECOND_ROW if lane in tall else 0) for lane in range(lanes)]
        plate_bottom = plate_top + max(sum(heights) + 20, self.holder.height(), 70)
        y = plate_top + (plate_bottom - plate_top - sum(heights)) / 2 - 4
        for lane, height in enumerate(heights):
            y += height
            for route in routes:
                if route.lane == lane:
                    route.y = y
        for area in self.below:
            height = area.bottom - area.y
            area.y = plate_bottom + _BELOW_PLATE
            area.bottom = area.y + height
        return plate_bottom

    def _draw_areas(self, drawn: Drawn, theme: Theme) -> float:
        for area in self.below:
            area.draw(theme)  # so that its columns know where they end
        plates = self._straddle_boxes()
        lowest = max(
            [*(area.bottom for area in self.below), *(y + h + PAD for _, _, y, _, h in plates)], default=0.0
        )
        for area in self.below:
            area.bottom = lowest
        for area in (*self.above, *self.below):
            drawn.add(area.draw(theme))
        for plate, x, y, width, _ in plates:
            drawn.add(plate.draw(x, y, width, theme))
        for area in self.below:
            if area.nothing_leaves:
                drawn.shapes += nothing_leaves(area, theme)
        return max((area.bottom for area in (*self.above, *self.below)), default=0.0)

    def _straddle_boxes(self) -> list[tuple[StraddlePlate, float, float, float, float]]:
        """Each plate with its x, y, width and height: below what stands on both sides of its border."""
        boxes = []
        for left, right in zip(self.below, self.below[1:], strict=False):
            plate = self.straddles.get(left.key)
            if plate is None:
                continue
            last, first = left.columns[-1], right.columns[0]
            border = (left.x + left.width + right.x) / 2
            reach = min(left.column_width(), right.column_width()) + PAD + (right.x - border)
            half = min(reach, max(plate.natural_width() / 2 + 10, 120.0))
            y = max(last.bottoms[-1], first.bottoms[0]) + 2
            height = plate.height(2 * half)
            last.bottoms[-1] = first.bottoms[0] = y + height + 7
            boxes.append((plate, border - half, y, 2 * half, height))
        return boxes


def _draw_flows(
    routes: Sequence[Route], labels: Mapping[str, Label], plate_top: float, theme: Theme
) -> Drawn:
    drawn = Drawn()
    for route in routes:
        group, found = draw_route(route, routes, labels.get(route.flow.id), plate_top, theme)
        drawn.shapes.append(group)
        drawn.marks += found
    return drawn
