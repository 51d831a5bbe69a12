"""The strips between rows of boxes: lanes, names, titles of areas, and what all that makes of heights."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from topodraw.draw import text_metrics
from topodraw.draw.cabling.arrange import Arrangement
from topodraw.draw.cabling.plan import Box, Edge, Plan, Wire
from topodraw.draw.cabling.tags import PlacedTag, Tag, place_tags
from topodraw.draw.primitives import TEXT_SIZE
from topodraw.draw.routing import Crossing, Leg, LevelRun, lanes

LANE = 9.0
LABEL = 15.0
"""Room above a lane for words, in px."""
FLAGS = 24.0
"""Room above a lane for the flags of findings, in px."""
COMB = 21.0
"""Room below a lane for the letters of VLANs, in px."""
COMB_PITCH = 15.0
MARKS = 18.0
"""Room between boxes and names for rings and bars, in px."""
CLOSE = 12.0
"""Room for the lower borders of areas that end in the row above, in px."""


@dataclass(frozen=True, slots=True)
class Note:
    """Words above and VLAN letters below a level run, from `left` px on."""

    wire: str
    lane: int
    left: float
    width: float


@dataclass(slots=True)
class Channel:
    """One channel: what runs through it, and its strips from top to bottom (heights in px)."""

    number: int
    crossings: list[Crossing] = field(default_factory=list)
    runs: dict[str, tuple[LevelRun, ...]] = field(default_factory=dict)
    tags: dict[Edge, list[PlacedTag]] = field(default_factory=dict)
    """Names at the boxes above (which their wires leave by the bottom) and below."""
    strips: dict[str, float] = field(default_factory=dict)
    lane_y: list[float] = field(default_factory=list)
    """From the top of the lanes' strip."""
    notes: list[Note] = field(default_factory=list)

    def legs(self, up: bool) -> list[float]:
        """Columns of the lines that pass its upper or lower border, in px."""
        return sorted(leg.x for c in self.crossings for leg in (c.first, c.second) if leg.up == up)

    @property
    def height(self) -> float:
        return sum(self.strips.values())

    def strip_top(self, name: str) -> float:
        """From the channel's top to the top of one of its strips."""
        top = 0.0
        for strip, height in self.strips.items():
            if strip == name:
                return top
            top += height
        raise KeyError(name)


def end_x(box: Box, arrangement: Arrangement, socket: str, leaves: Edge) -> float:
    """The column in which a wire leaves a box."""
    return round(arrangement.box_x[box.key] + box.sockets[socket].offset(leaves), 2)


def channels(
    plan: Plan,
    arrangement: Arrangement,
    marked: Mapping[tuple[int, bool], bool],
    ending: Sequence[int],
) -> list[Channel]:
    """All channels, routed and measured, without room for the titles of areas.

    `marked` tells at which border (channel, upper) rings or bars stand; `ending` are the rows in which
    areas end.
    """
    boxes = {box.key: box for box in plan.boxes}
    found = [Channel(number) for number in range(arrangement.rows + 1)]
    tags: list[dict[Edge, list[Tag]]] = [{"bottom": [], "top": []} for _ in found]
    for wire in plan.wires:
        _thread(wire, boxes, arrangement, found)
    for channel in found:
        channel.runs = lanes(channel.crossings)
    for wire in plan.wires:
        _want_tags(wire, boxes, arrangement, found, tags)
    wires = {wire.key: wire for wire in plan.wires}
    limits = (min(left for left, _ in arrangement.bands.values()) - 8, arrangement.right + 8)
    noted: set[str] = set()
    for channel in found:
        channel.notes = [note for note in _notes(channel, wires) if note.wire not in noted]
        noted |= {note.wire for note in channel.notes}
        _measure(channel, wires, tags[channel.number], limits, marked, ending)
    return found


def _thread(wire: Wire, boxes: Mapping[str, Box], arrangement: Arrangement, found: list[Channel]) -> None:
    way = arrangement.ways[wire.key]
    ends = wire.ends if way.upper == 0 else wire.ends[::-1]
    leaves = way.leaves if way.upper == 0 else way.leaves[::-1]
    xs = [
        end_x(boxes[end.box], arrangement, end.socket, edge) for end, edge in zip(ends, leaves, strict=True)
    ]
    if leaves[0] == leaves[1]:
        up = leaves[0] == "bottom"
        found[way.channel].crossings.append(Crossing(wire.key, Leg(xs[0], up), Leg(xs[1], up)))
        return
    columns = [xs[0], *(arrangement.pass_x[wire.key, row] for row in way.passes), xs[1]]
    for step, (above, below) in enumerate(itertools.pairwise(columns)):
        crossing = Crossing(wire.key, Leg(above, True), Leg(below, False))
        found[way.channel + step].crossings.append(crossing)


def _want_tags(
    wire: Wire,
    boxes: Mapping[str, Box],
    arrangement: Arrangement,
    found: list[Channel],
    tags: list[dict[Edge, list[Tag]]],
) -> None:
    """Names at both ends; only at the upper one where the wire runs straight from one box to the next."""
    way = arrangement.ways[wire.key]
    for number, (end, edge) in enumerate(zip(wire.ends, way.leaves, strict=True)):
        row = boxes[end.box].row
        at = row + (edge == "bottom")
        short = not way.passes and not found[at].runs[wire.key]
        if short and number != way.upper and wire.tags[number] == wire.tags[1 - number]:
            continue
        x = end_x(boxes[end.box], arrangement, end.socket, edge)
        if wire.tags[number]:
            tags[at][edge].append(Tag(wire.key, number, x, wire.tags[number], f"{end.box} {edge}"))


def _measure(
    channel: Channel,
    wires: Mapping[str, Wire],
    tags: Mapping[Edge, list[Tag]],
    limits: tuple[float, float],
    marked: Mapping[tuple[int, bool], bool],
    ending: Sequence[int],
) -> None:
    upper, upper_height = place_tags(tags["bottom"], channel.legs(True), limits)
    lower, lower_height = place_tags(tags["top"], channel.legs(False), limits)
    channel.tags = {"bottom": upper, "top": lower}
    y = 0.0
    count = _lane_count(channel)
    for lane in range(count):
        labelled = [wires[note.wire] for note in channel.notes if note.lane == lane]
        above = LABEL if any(wire.label for wire in labelled) else 0.0
        above = FLAGS if any(wire.flags_width for wire in labelled) else above
        y += LANE + above
        channel.lane_y.append(y)
        y += COMB if any(wire.comb for wire in labelled) else 0.0
    channel.strips = {
        "upper marks": MARKS if marked.get((channel.number, True)) else 4.0 if upper else 0.0,
        "upper tags": upper_height,
        "closing": CLOSE if channel.number - 1 in ending else 0.0,
        "lanes": y + LANE if count else 6.0,
        "titles": 0.0,
        "lower tags": lower_height,
        "lower marks": MARKS if marked.get((channel.number, False)) else 4.0 if lower else 0.0,
    }


def _lane_count(channel: Channel) -> int:
    return 1 + max((run.lane for runs in channel.runs.values() for run in runs), default=-1)


def _notes(channel: Channel, wires: Mapping[str, Wire]) -> list[Note]:
    """Words and combs where a level run has a stretch that no leg crosses."""
    verticals = _verticals(channel, _lane_count(channel))
    notes = []
    for key, runs in channel.runs.items():
        wire = wires[key]
        if not (wire.label or wire.comb or wire.flags_width):
            continue
        words = text_metrics.width(wire.label, TEXT_SIZE, "mono") + wire.flags_width
        room = max(words + (6 if wire.label and wire.flags_width else 0), len(wire.comb) * COMB_PITCH)
        for run in sorted(runs, key=lambda run: run.left - run.right):
            blocked = [x for x, low, high in verticals if low < run.lane + 1 and high > run.lane - 1]
            left = _stretch(run, blocked, room + 12)
            if left is not None:
                notes.append(Note(key, run.lane, left + 6, room))
                break
    return notes


def _stretch(run: LevelRun, blocked: Sequence[float], room: float) -> float | None:
    """The left end of the first stretch of the run that is `room` px long and free."""
    edges = [run.left, *sorted(x for x in blocked if run.left < x < run.right), run.right]
    for left, right in itertools.pairwise(edges):
        if right - left - 12 >= room:
            return left + 6
    return None


def _verticals(channel: Channel, count: int) -> list[tuple[float, float, float]]:
    """Every leg as (x, highest lane, lowest lane) that it reaches; the borders are -1 and `count`."""
    found = []
    for crossing in channel.crossings:
        runs = channel.runs[crossing.cable]
        if not runs:
            found.append((crossing.first.x, -1.0, float(count)))
            continue
        for leg, lane in ((crossing.first, runs[0].lane), (crossing.second, runs[-1].lane)):
            found.append((leg.x, -1.0, float(lane)) if leg.up else (leg.x, float(lane), float(count)))
        for one, other in itertools.pairwise(runs):
            low, high = sorted((one.lane, other.lane))
            found.append((one.second.x, float(low), float(high)))
    return found
