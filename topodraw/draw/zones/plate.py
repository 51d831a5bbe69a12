"""The wide plate between the zones: who holds the borders, and the room for the lanes."""

from __future__ import annotations

from dataclasses import dataclass

from topodraw.compute.facts import Facts
from topodraw.compute.zone_reach import filters
from topodraw.draw import text_metrics
from topodraw.draw.characters import element_id
from topodraw.draw.primitives import TEXT_SIZE, Group, Path, Rect, Shape, Text
from topodraw.draw.theme import Theme
from topodraw.draw.zones.area import SILENT, Area
from topodraw.draw.zones.boxes import FAINT, ROW, Drawn, Numbered, flag_marks, flags_height
from topodraw.draw.zones.contents import gateways_of
from topodraw.draw.zones.findings import FindingSpots

HOLDER_WIDTH = 118.0
_PAD = 10.0


@dataclass(frozen=True, slots=True)
class Holder:
    """What the left end of the plate says: (words, size, bold) line by line, and the findings on who is
    named."""

    lines: tuple[tuple[str, float, bool], ...]
    flags: tuple[Numbered, ...]
    title: str
    kind: str

    def height(self) -> float:
        """Height in px that the words need."""
        rows = sum(len(_wrapped(line)) for line in self.lines)
        return 18 + ROW * rows + flags_height(self.flags, HOLDER_WIDTH - 2 * _PAD)


def _wrapped(line: tuple[str, float, bool]) -> list[str]:
    words, size, bold = line
    return text_metrics.wrap(words, HOLDER_WIDTH - 2 * _PAD, size, "bold" if bold else "regular")


def gateway_names(facts: Facts) -> list[str]:
    """All that routes between VLANs or ends a remote, in the site's order."""
    site = facts.site
    names = [name for vlan in site.vlans.values() for name in gateways_of(vlan)]
    names += [remote.by for remote in site.remotes.values() if remote.by is not None]
    return list(dict.fromkeys(names))


def holder_of(facts: Facts, spots: FindingSpots) -> Holder:
    """Who holds the borders between the zones, and whether they filter."""
    site = facts.site
    names = gateway_names(facts)
    lines: list[tuple[str, float, bool]] = []
    for name in names:
        lines.append((name, 17.0 if len(names) == 1 else 14.5, True))
        what = site.gear[name].function.replace("-", " ") if name in site.gear else "workload"
        lines.append((what if filters(site, name) else f"{what}, does not filter", TEXT_SIZE, False))
    holding = [name for name in names if filters(site, name)]
    count = len(site.conduits)
    told = f"{count} conduit{'' if count == 1 else 's'}"
    if not names:
        lines.append(("no gateway", 14.5, True))
    if not holding:
        lines.append(("nothing filters: refused on paper only", TEXT_SIZE, False))
    elif len(holding) == len(names):
        lines.append(("all borders pass here;", TEXT_SIZE, False))
    else:
        lines.append(("not all that routes here filters;", TEXT_SIZE, False))
    lines.append((told, TEXT_SIZE, False))
    flags = tuple(flag for name in names for flag in spots.take("gear", name))
    title = f"{', '.join(names) or 'no gateway'}: holds the borders between the zones"
    return Holder(tuple(lines), flags, title, "gear")


def draw_plate(holder: Holder, x: float, top: float, width: float, bottom: float, theme: Theme) -> Drawn:
    """The plate with its holder at the left end."""
    box = element_id("box", "plate")
    shapes: list[Shape] = [
        Rect(x, top, width, bottom - top, theme.plate, theme.ink, 1.6),
        Rect(x, top, HOLDER_WIDTH, bottom - top, theme.paper, theme.ink, 1.0, id=box),
    ]
    base = top + 24
    for line in holder.lines:
        for words in _wrapped(line):
            style = "bold" if line[2] else "regular"
            opacity = 1.0 if line[2] else FAINT
            shapes.append(
                Text(x + _PAD, base, words, theme.ink, line[1], style, opacity=opacity, within=box)  # type: ignore[arg-type]
            )
            base += ROW
    marks = flag_marks(holder.flags, x + _PAD, base - 8, HOLDER_WIDTH - 2 * _PAD, "plate")
    return Drawn([Group(tuple(shapes), element_id("plate", "borders"), holder.kind, holder.title)], marks)


def nothing_leaves(area: Area, theme: Theme) -> list[Shape]:
    """The mark of a zone that no conduit starts from: two bars over a stump, and words where no line runs."""
    x = area.mark_x()
    y, ink = area.y, theme.ink
    strokes = [((x, y), (x, y - 13)), *(((x - 7, y - up), (x + 7, y - up)) for up in (13, 18))]
    bars = Path(tuple(strokes), stroke=ink, weight=1.9)
    words = Text(x - 13, y - 14.5, SILENT, ink, anchor="end", opacity=FAINT)
    if words.box[0] < area.x:
        return [bars]
    return [bars, words]
