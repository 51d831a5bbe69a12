"""An area of the sheet: a zone (or what lies outside) with a title tab cut into its top edge, and its
boxes in
columns."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from topodraw.draw import text_metrics
from topodraw.draw.primitives import TEXT_SIZE, Group, Hatch, HatchForm, Rect, Text
from topodraw.draw.theme import Theme
from topodraw.draw.zones.boxes import FAINT, ROW, Box, Drawn, Numbered, flag_marks, flags_height
from topodraw.draw.zones.vlan_box import VlanBox

HATCHES: tuple[HatchForm, ...] = ("diagonal", "counter", "horizontal", "dots", "vertical", "cross")
AREA_GAP = 12.0
SILENT = "nothing leaves"
PAD = 9.0
COLUMN_GAP = 8.0
LEG_PITCH = 18.0
_TITLE_SIZE = 14.5
_TAB_LEFT = 10.0
_TAB_PAD = 8.0
_EDGE_END = 12.0
_NARROW, _WIDE = 140.0, 236.0
_SLIM = 100.0
WIDEST_COLUMN = 340.0
_TAB_LEAST = 112.0


@dataclass(slots=True)
class Column:
    """Boxes under one another, or a head over several sub-columns of them."""

    head: Box | None
    boxes: list[Box]
    count: int = 1
    bottoms: list[float] = field(default_factory=list)

    def natural_width(self) -> float:
        """Width in px of a sub-column in which little wraps, within reason."""
        boxes = [box.natural_width() for box in self.boxes]
        if self.head is not None:
            boxes.append((self.head.natural_width() - COLUMN_GAP * (self.count - 1)) / self.count)
        return min(max([_SLIM, *boxes]), _WIDE)

    def spread(self, width: float) -> list[list[Box]]:
        """The boxes in `count` sub-columns of a width in px, each cut off where its share is full."""
        heights = [box.height(width) + 7 for box in self.boxes]
        share = sum(heights) / self.count
        columns: list[list[Box]] = [[] for _ in range(self.count)]
        used = 0.0
        for box, height in zip(self.boxes, heights, strict=True):
            place = min(int((used + height / 2) / share), self.count - 1) if share else 0
            columns[place].append(box)
            used += height
        for boxes, following in pairwise(columns):
            # What a VLAN is stands with who is in it, not at the foot of the column before.
            if following and len(boxes) > 1 and isinstance(boxes[-1], VlanBox):
                following.insert(0, boxes.pop())
        return columns

    def height(self, width: float) -> float:
        """Height in px if a sub-column is so wide."""
        wide = width * self.count + COLUMN_GAP * (self.count - 1)
        head = self.head.height(wide) + 9 if self.head is not None else 0.0
        columns = self.spread(width)
        return head + max(sum(box.height(width) + 7 for box in boxes) for boxes in columns)


@dataclass(slots=True)
class Area:
    """A zone, a remote or the internet; once placed, `x`, `y`, `width` and `bottom` are px of the sheet."""

    key: str
    name: str
    aside: str
    columns: list[Column]
    id: str
    title: str
    link: str = ""
    flags: tuple[Numbered, ...] = ()
    legs: int = 0
    on_top: bool = False
    nothing_leaves: bool = False
    hatch: HatchForm = "diagonal"
    x: float = 0.0
    y: float = 0.0
    width: float = 0.0
    bottom: float = 0.0
    narrowest: float = _NARROW
    """Width in px below which its sub-columns never go."""
    no_legs_before: float = 0.0
    """Where the room for legs begins at the earliest, in px of the sheet: left of it the plate has words."""

    @property
    def units(self) -> int:
        """How many sub-columns it has."""
        return max(1, sum(column.count for column in self.columns))

    def column_width(self) -> float:
        """Width of a sub-column in px, of an area that has its width."""
        return min((self.width - 2 * PAD - COLUMN_GAP * (self.units - 1)) / self.units, WIDEST_COLUMN)

    def least_width(self) -> float:
        """The narrowest it may become, in px."""
        legs = (self.legs + self.nothing_leaves) * LEG_PITCH + 2 * _EDGE_END
        kept = max(0.0, self.no_legs_before - self.x) if self.legs else 0.0
        if not self.on_top:
            name = text_metrics.width(self.name, _TITLE_SIZE, "bold") + _TAB_LEFT + 2 * _TAB_PAD + 12
            kept = max(kept, min(name, _TAB_LEAST))
        return max(96.0, kept + legs)

    def wanted_width(self) -> float:
        """The width in px at which little wraps."""
        natural = max((column.natural_width() for column in self.columns), default=self.narrowest)
        return max(2 * PAD + COLUMN_GAP * (self.units - 1) + natural * self.units, self.least_width())

    def _tab_room(self) -> float:
        legs = 0.0 if self.on_top else (self.legs + self.nothing_leaves) * LEG_PITCH + _EDGE_END
        return max(self.width - _TAB_LEFT - legs - 6 - 2 * _TAB_PAD, 30.0)

    def tab_lines(self) -> list[str]:
        """The name in the lines that the tab has room for."""
        return text_metrics.wrap(self.name, self._tab_room(), _TITLE_SIZE, "bold")

    def tab_right(self) -> float:
        """Where the tab ends (with the words beside it), in px of the sheet."""
        right = self._bare_tab_right()
        if self._aside_on_edge():
            right += 12 + text_metrics.width(self.aside, TEXT_SIZE)
        return right

    def _bare_tab_right(self) -> float:
        wide = max(text_metrics.width(words, _TITLE_SIZE, "bold") for words in self.tab_lines())
        return self.x + _TAB_LEFT + wide + 2 * _TAB_PAD

    def _aside_on_edge(self) -> bool:
        if not self.aside:
            return False
        legs = 0.0 if self.on_top else (self.legs + self.nothing_leaves) * (LEG_PITCH + 2) + _EDGE_END
        free = self.x + self.width - self._bare_tab_right() - legs - 12
        return text_metrics.width(self.aside, TEXT_SIZE) + 14 <= free

    def _aside_lines(self) -> list[str]:
        if not self.aside or self._aside_on_edge():
            return []
        return text_metrics.wrap(self.aside, self.width - 2 * PAD - 8, TEXT_SIZE)

    def _head_height(self) -> float:
        height = 15 + ROW * (len(self.tab_lines()) - 1)
        if aside := self._aside_lines():
            height += ROW * len(aside) + 6
        return height + flags_height(self.flags, self.width - 2 * PAD)

    def content_height(self) -> float:
        """Height in px that it needs at its width, without straddling plates."""
        width = self.column_width()
        columns = max((column.height(width) for column in self.columns), default=0.0)
        return max(self._head_height() + columns + 5, 62.0)

    def usable(self) -> tuple[float, float]:
        """The stretch of its edge where conduits may end, in px of the sheet."""
        right = self.x + self.width - _EDGE_END
        if self.on_top:
            left = self.x + _EDGE_END
        elif self.nothing_leaves:
            left = self.mark_x() + LEG_PITCH
        else:
            left = self.tab_right() + 10
        return min(max(left, self.no_legs_before), right), right

    def mark_x(self) -> float:
        """Where the mark stands that nothing leaves: beside the tab, with room for its words to the left."""
        words = text_metrics.width(SILENT, TEXT_SIZE)
        right = self.x + self.width - _EDGE_END - self.legs * LEG_PITCH
        return max(self.tab_right() + 12, min(self.x + words + 14, right))

    @property
    def edge(self) -> float:
        """The height of the edge that faces the plate."""
        return self.bottom if self.on_top else self.y

    def draw(self, theme: Theme) -> Drawn:
        """The area with all that is in it."""
        inside = Drawn()
        ground = Rect(self.x, self.y, self.width, self.bottom - self.y, theme.paper)
        ruled = Hatch(self.hatch, theme.colour("area"), 0.14)
        if self.hatch == "dots":
            ruled = Hatch("dots", theme.colour("area"), 0.3, 9, 1.4)
        hatched = Rect(
            self.x, self.y, self.width, self.bottom - self.y, ruled, theme.ink, 1.0, id=f"{self.id}-area"
        )
        top = self._draw_head(inside, theme)
        left, wide = self.x + PAD, self.column_width()
        for column in self.columns:
            whole = wide * column.count + COLUMN_GAP * (column.count - 1)
            down = top
            if column.head is not None:
                inside.add(column.head.draw(left, down, whole, theme))
                down += column.head.height(whole) + 9
            column.bottoms = []
            for boxes in column.spread(wide):
                below = down
                for box in boxes:
                    inside.add(box.draw(left, below, wide, theme))
                    below += box.height(wide) + 7
                column.bottoms.append(below)
                left += wide + COLUMN_GAP
        group = Group((ground, hatched, *inside.shapes), self.id, "zone", self.title, link=self.link)
        return Drawn([group], inside.marks)

    def _draw_head(self, drawn: Drawn, theme: Theme) -> float:
        lines = self.tab_lines()
        tab = f"{self.id}-tab"
        wide = self._bare_tab_right() - self.x - _TAB_LEFT
        left = self.x + _TAB_LEFT
        drawn.shapes.append(
            Rect(left, self.y - 10, wide, 20 + ROW * (len(lines) - 1), theme.paper, theme.ink, 1, id=tab)
        )
        for place, words in enumerate(lines):
            base = self.y + 5 + ROW * place
            drawn.shapes.append(
                Text(left + _TAB_PAD, base, words, theme.ink, _TITLE_SIZE, "bold", within=tab)
            )
        top = self.y + 15 + ROW * (len(lines) - 1)
        if self._aside_on_edge():
            long = text_metrics.width(self.aside, TEXT_SIZE) + 12
            drawn.shapes += [
                Rect(left + wide + 0.5, self.y - 9, long, 18, theme.paper, id=f"{tab}-aside"),
                Text(
                    left + wide + 6, self.y + 4.6, self.aside, theme.ink, opacity=FAINT, within=f"{tab}-aside"
                ),
            ]
        elif aside := self._aside_lines():
            box = f"{self.id}-aside"
            drawn.shapes.append(
                Rect(self.x + PAD, top, self.width - 2 * PAD, ROW * len(aside) + 2, theme.paper, id=box)
            )
            for place, words in enumerate(aside):
                base = top + 13 + ROW * place
                drawn.shapes.append(Text(self.x + PAD + 4, base, words, theme.ink, opacity=FAINT, within=box))
            top += ROW * len(aside) + 6
        drawn.marks += flag_marks(self.flags, self.x + PAD, top - 2, self.width - 2 * PAD, self.name)
        return top + flags_height(self.flags, self.width - 2 * PAD)


def place_row(areas: Sequence[Area], x: float, y: float, width: float) -> None:
    """Give the areas of a row their places side by side in a width in px; their `bottom` is that of the
    tallest."""
    if not areas:
        return
    room = width - AREA_GAP * (len(areas) - 1)
    share = _shares(areas, room)
    for area in areas:
        area.x, area.y, area.width = x, y, share[area.key]
        x += area.width + AREA_GAP
    bottom = max(y + area.content_height() for area in areas)
    for area in areas:
        area.bottom = bottom


def _shares(areas: Sequence[Area], room: float) -> dict[str, float]:
    """Widths: what each wants and a part of what is left over, or something between its least and that."""
    wanted = {area.key: area.wanted_width() for area in areas}
    least = {area.key: min(_narrowest(area), wanted[area.key]) for area in areas}
    spare = room - sum(wanted.values())
    if spare >= 0:
        units = sum(area.units for area in areas)
        return {area.key: wanted[area.key] + spare * area.units / units for area in areas}
    give = sum(wanted.values()) - sum(least.values())
    part = max(0.0, min(1.0, (room - sum(least.values())) / give)) if give else 0.0
    return {key: least[key] + part * (wanted[key] - least[key]) for key in wanted}


def least_row_width(areas: Sequence[Area]) -> float:
    """The width in px below which a row can't go."""
    return sum(_narrowest(area) for area in areas) + AREA_GAP * (len(areas) - 1)


def _narrowest(area: Area) -> float:
    return max(2 * PAD + COLUMN_GAP * (area.units - 1) + area.narrowest * area.units, area.least_width())


def needed_width(areas: Sequence[Area], column_width: float) -> float:
    """The width in px of a row whose sub-columns are at least so wide."""
    total = AREA_GAP * (len(areas) - 1)
    for area in areas:
        total += max(2 * PAD + COLUMN_GAP * (area.units - 1) + column_width * area.units, area.least_width())
    return total
