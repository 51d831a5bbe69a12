"""The boxes of workloads and gear in a VLAN, and the plates of those that straddle a border."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from topodraw.draw import text_metrics
from topodraw.draw.characters import element_id
from topodraw.draw.primitives import TEXT_SIZE, Group, Rect, Shape, Text
from topodraw.draw.text_metrics import Style
from topodraw.draw.theme import Theme
from topodraw.draw.zones.boxes import (
    FAINT,
    PAD,
    ROW,
    Box,
    Drawn,
    Line,
    Numbered,
    Part,
    PartsBox,
    flag_marks,
    flags_height,
)
from topodraw.draw.zones.contents import Resident
from topodraw.draw.zones.findings import FindingSpots
from topodraw.model.site import Site

PUBLISHED = {"forward": "by forward", "tunnel": "by outbound tunnel"}


def resident_boxes(site: Site, residents: Sequence[Resident], spots: FindingSpots) -> list[Box]:
    """A box for each workload, and one for all gear of a function."""
    boxes: list[Box] = [workload_box(site, each, spots) for each in residents if each.is_workload]
    by_function: dict[str, list[Resident]] = {}
    for each in residents:
        if not each.is_workload:
            by_function.setdefault(site.gear[each.name].function, []).append(each)
    for function, alike in by_function.items():
        boxes.append(_gear_box(site, function, alike, spots))
    return boxes


def workload_box(site: Site, resident: Resident, spots: FindingSpots) -> PartsBox:
    """Name and address, where it runs and what it serves, and how it is published."""
    workload = site.workloads[resident.name]
    where = stands(site, resident.name)
    addresses = " ".join(resident.addresses)
    lines = [
        Line(resident.name, addresses, "bold"),
        Line(where, " ".join(workload.serves), left_opacity=FAINT),
    ]
    if workload.published is not None:
        lines.append(
            Line("published", PUBLISHED[workload.published], right_style="regular", left_opacity=FAINT)
        )
    lines += _foot_lines(resident)
    serves = ", ".join(workload.serves) or "nothing stated"
    part = Part(
        tuple(lines),
        element_id("workload", resident.name, *([resident.vlan] if len(resident.zones) > 1 else [])),
        "workload",
        resident.name,
        f"{workload.kind} {where}, {addresses or 'no address stated'}, serves {serves}",
        spots.take("workload", resident.name),
    )
    return PartsBox(element_id("box", "workload", resident.name, resident.vlan), (part,))


def stands(site: Site, name: str) -> str:
    """Where a workload runs, in words."""
    workload = site.workloads[name]
    kind = "" if workload.kind == "vm" else f"{workload.kind} "
    if workload.inside is not None:
        return f"{kind}inside {workload.inside}"
    return f"{kind}on {workload.on}" if workload.on is not None else f"{kind}host not stated"


def _foot_lines(resident: Resident) -> list[Line]:
    if len(resident.zones) < 2:
        return []
    return [Line("foot in", ", ".join(resident.zones), right_style="regular", left_opacity=FAINT)]


def _gear_box(site: Site, function: str, alike: Sequence[Resident], spots: FindingSpots) -> PartsBox:
    """One for gear of a function: a heading and a line each, or two lines where it is alone."""
    words = function.replace("-", " ")
    id_ = element_id("box", "gear", function, alike[0].vlan)
    if len(alike) == 1:
        note = _gear_note(site, alike[0])
        second = Line(words, note, right_style="regular", left_opacity=FAINT, right_opacity=FAINT)
        return PartsBox(id_, (_gear_part(site, alike[0], (second,), spots),), weight=1.0)
    parts = []
    for each in alike:
        note = _gear_note(site, each)
        if not each.addresses:
            parts.append(_gear_part(site, each, (), spots, note))
            continue
        more = (Line("", note, right_style="regular", right_opacity=FAINT),) if note else ()
        parts.append(_gear_part(site, each, more, spots))
    return PartsBox(id_, tuple(parts), (Line(words, left_opacity=FAINT),), weight=1.0)


def _gear_part(
    site: Site, resident: Resident, more: tuple[Line, ...], spots: FindingSpots, beside: str = ""
) -> Part:
    gear = site.gear[resident.name]
    name = f"{resident.name} ×{gear.count}" if gear.count > 1 else resident.name
    addresses = " ".join(resident.addresses)
    style: Style = "regular" if beside else "mono"
    first = Line(name, beside or addresses, "bold", style, right_opacity=FAINT if beside else 1.0)
    lines = (first, *more, *_foot_lines(resident))
    return Part(
        lines,
        element_id("gear", resident.name, resident.vlan),
        "gear",
        resident.name,
        f"{gear.function}, {addresses or 'no address stated'}",
        spots.take("gear", resident.name),
    )


def _gear_note(site: Site, resident: Resident) -> str:
    gear = site.gear[resident.name]
    if gear.state != "in-service":
        return gear.state.replace("-", " ")
    if resident.addresses:
        return ""
    vlan = site.vlans[resident.vlan]
    joined = "by radio" if gear.wireless is not None else ""
    return joined or ("by DHCP" if vlan.dhcp is not None else "no address")


@dataclass(frozen=True, slots=True)
class Straddler:
    """A thing with a foot in each of two neighbouring zones."""

    name: str
    words: str
    left: str
    right: str
    part_id: str
    kind: str
    desc: str
    flags: tuple[Numbered, ...]


@dataclass(frozen=True, slots=True)
class StraddlePlate:
    """A plate across the border between two zones: in each row an address, a name, an address."""

    id: str
    head_left: str
    head_right: str
    rows: tuple[Straddler, ...]

    def natural_width(self) -> float:
        """The width in px at which each fits into one row."""
        return max(_row_width(each) for each in self.rows) + 2 * PAD

    def height(self, width: float) -> float:
        """Height in px for a width in px."""
        inner = width - 2 * PAD
        return (
            PAD
            + ROW * len(self._head(inner))
            + sum(ROW * _rows_of(each, inner) + flags_height(each.flags, inner) for each in self.rows)
        )

    def _head(self, inner: float) -> list[Line]:
        line = Line(f"foot in {self.head_left}", f"foot in {self.head_right}", right_style="regular")
        wide = sum(text_metrics.width(words, TEXT_SIZE) for words in (line.left, line.right)) + 16
        if wide <= inner:
            return [line]
        lefts = text_metrics.wrap(line.left, inner, TEXT_SIZE)
        rights = text_metrics.wrap(line.right, inner, TEXT_SIZE)
        return [*(Line(words) for words in lefts), *(Line("", w, right_style="regular") for w in rights)]

    def draw(self, x: float, y: float, width: float, theme: Theme) -> Drawn:
        """The plate with its top left at (`x`, `y`)."""
        inner = width - 2 * PAD
        drawn = Drawn()
        drawn.shapes.append(Rect(x, y, width, self.height(width), theme.plate, theme.ink, 1.4, id=self.id))
        down = y
        for line in self._head(inner):
            drawn.shapes += [
                Text(x + PAD, down + 16.5, line.left, theme.ink, opacity=FAINT, within=self.id),
                Text(
                    x + width - PAD,
                    down + 16.5,
                    line.right,
                    theme.ink,
                    anchor="end",
                    opacity=FAINT,
                    within=self.id,
                ),
            ]
            down += ROW
        drawn.shapes = [shape for shape in drawn.shapes if not isinstance(shape, Text) or shape.words]
        for each in self.rows:
            texts = _row_texts(each, x + PAD, down, inner, self.id, theme)
            drawn.shapes.append(Group(tuple(texts), each.part_id, each.kind, each.name, each.desc))
            down += ROW * _rows_of(each, inner)
            drawn.marks += flag_marks(each.flags, x + PAD, down + 3, inner, each.name)
            down += flags_height(each.flags, inner)
        return drawn


def _row_width(row: Straddler) -> float:
    mono = sum(text_metrics.width(words, TEXT_SIZE, "mono") for words in (row.left, row.right))
    name = text_metrics.width(row.name, TEXT_SIZE, "bold") + text_metrics.width(row.words, TEXT_SIZE) + 6
    sides = max(text_metrics.width(words, TEXT_SIZE, "mono") for words in (row.left, row.right))
    return max(mono + name + 24, 2 * sides + name + 24)


def _rows_of(row: Straddler, inner: float) -> int:
    if _row_width(row) <= inner:
        return 1
    rows = len(text_metrics.wrap(f"{row.name} {row.words}", inner, TEXT_SIZE, "bold"))
    for words in (row.left, row.right):
        rows += len(text_metrics.wrap(words, inner, TEXT_SIZE, "mono"))
    return rows


def _row_texts(row: Straddler, x: float, y: float, inner: float, within: str, theme: Theme) -> list[Shape]:
    ink, base = theme.ink, y + 16.5
    middle = x + inner / 2
    if _row_width(row) <= inner:
        name_width = text_metrics.width(row.name, TEXT_SIZE, "bold")
        words_width = text_metrics.width(row.words, TEXT_SIZE)
        start = middle - (name_width + 6 + words_width) / 2
        texts = [
            Text(x, base, row.left, ink, style="mono", within=within),
            Text(start, base, row.name, ink, style="bold", within=within),
            Text(start + name_width + 6, base, row.words, ink, opacity=FAINT, within=within),
            Text(x + inner, base, row.right, ink, style="mono", anchor="end", within=within),
        ]
        return [text for text in texts if text.words]
    shapes: list[Shape] = []
    names = text_metrics.wrap(f"{row.name} {row.words}", inner, TEXT_SIZE, "bold")
    lefts = text_metrics.wrap(row.left, inner, TEXT_SIZE, "mono")
    rights = text_metrics.wrap(row.right, inner, TEXT_SIZE, "mono")
    for place, words in enumerate([*names, *lefts, *rights]):
        if place < len(names):
            shapes.append(Text(middle, base, words, ink, style="bold", anchor="middle", within=within))
        elif place < len(names) + len(lefts):
            shapes.append(Text(x, base, words, ink, style="mono", within=within))
        else:
            shapes.append(Text(x + inner, base, words, ink, style="mono", anchor="end", within=within))
        base += ROW
    return shapes


def straddle_plate(
    site: Site, left: str, right: str, residents: Sequence[tuple[Resident, Resident]], spots: FindingSpots
) -> StraddlePlate:
    """The plate of all that have their feet in zones `left` and `right`, each given as it is in either."""
    rows = []
    for here, there in residents:
        if here.is_workload:
            words, kind = stands(site, here.name), "workload"
        else:
            words, kind = site.gear[here.name].function.replace("-", " "), "gear"
        left_words, right_words = " ".join(here.addresses), " ".join(there.addresses)
        rows.append(
            Straddler(
                here.name,
                words,
                left_words or "no address",
                right_words or "no address",
                element_id(kind, here.name),
                kind,
                f"{words}, in {left}: {left_words or 'no address stated'}, in {right}: "
                f"{right_words or 'no address stated'}",
                spots.take(kind, here.name),
            )
        )
    heads = ["", ""]
    for side in (0, 1):
        vlans = dict.fromkeys(site.vlans[pair[side].vlan].id for pair in residents)
        heads[side] = "VLAN " + ", ".join(str(each) for each in vlans)
    return StraddlePlate(element_id("box", "straddle", left, right), heads[0], heads[1], tuple(rows))
