"""The promises of a site, each kept, broken or not judged, with the reason."""

from __future__ import annotations

from collections.abc import Sequence

from topodraw.compute.promises import Verdict
from topodraw.draw import text_metrics
from topodraw.draw.characters import element_id
from topodraw.draw.primitives import TEXT_SIZE, Group, Rect, Shape, Text, line
from topodraw.draw.theme import Theme
from topodraw.draw.zones.boxes import FAINT, Drawn, flag_marks, flags_height
from topodraw.draw.zones.findings import FindingSpots

_ROW = 16.0
_SEAL = 76.0
_WORDS = {"kept": "kept", "broken": "BROKEN", "unchecked": "not judged"}


def promises_panel(
    verdicts: Sequence[Verdict],
    spots: FindingSpots,
    x: float,
    y: float,
    width: float,
    columns: int,
    theme: Theme,
) -> tuple[Drawn, float]:
    """The promises with their top left at (`x`, `y`), in columns; and the height they take."""
    counted = {outcome: sum(each.outcome == outcome for each in verdicts) for outcome in _WORDS}
    remark = ", ".join(f"{count} {_WORDS[outcome].lower()}" for outcome, count in counted.items() if count)
    head = text_metrics.width("Promises", 15.5, "bold") + 10
    shapes: list[Shape] = [
        Text(x, y + 14, "Promises", theme.ink, 15.5, "bold"),
        Text(x + head, y + 14, remark or "none stated", theme.ink, opacity=FAINT),
        line(x, y + 22, x + width, y + 22, theme.ink, 1.2),
    ]
    drawn = Drawn(shapes)
    gap = 26.0
    wide = (width - gap * (columns - 1)) / columns
    entries = [_entry(verdict, spots, wide, theme) for verdict in verdicts]
    total = sum(height for _, height in entries)
    left, down, deepest, used = x, y + 30, y + 30, 0.0
    for build, height in entries:
        if columns > 1 and used >= total / columns and left == x:
            left, down = x + wide + gap, y + 30
        drawn.add(build(left, down))
        down += height
        used += height
        deepest = max(deepest, down)
    return Drawn([Group(tuple(drawn.shapes), kind="promises", title="Promises")], drawn.marks), deepest - y


class _Entry:
    """One promise, ready to be drawn where there is room."""

    def __init__(self, verdict: Verdict, spots: FindingSpots, width: float, theme: Theme) -> None:
        self.verdict, self.theme, self.width = verdict, theme, width
        self.flags = spots.take("promise", str(verdict.promise.number))
        room = width - _SEAL - 10
        self.head = text_metrics.wrap(verdict.promise.text, room, TEXT_SIZE, "mono-bold")
        self.reason = text_metrics.wrap(verdict.because, room, TEXT_SIZE)
        self.height = _ROW * (len(self.head) + len(self.reason)) + flags_height(self.flags, room) + 9

    def __call__(self, x: float, y: float) -> Drawn:
        theme, outcome = self.theme, self.verdict.outcome
        broken = outcome == "broken"
        colour = theme.severity("error") if broken else theme.ink
        box = element_id("seal", str(self.verdict.promise.number))
        shapes: list[Shape] = [
            Rect(
                x, y, _SEAL, 19, colour if broken else theme.plate, colour, 1.0,
                (3.0, 2.0) if outcome == "unchecked" else (), id=box,
            ),
            Text(
                x + _SEAL / 2, y + 14, _WORDS[outcome], theme.paper if broken else colour,
                style="bold" if outcome != "unchecked" else "regular", anchor="middle", within=box,
            ),
        ]  # fmt: skip
        left, base = x + _SEAL + 10, y + 14.0
        for words in self.head:
            shapes.append(Text(left, base, words, colour, style="mono-bold"))
            base += _ROW
        for words in self.reason:
            shapes.append(Text(left, base, words, theme.ink, opacity=FAINT))
            base += _ROW
        promise = self.verdict.promise
        marks = flag_marks(self.flags, left, base - 12, self.width - _SEAL - 10, promise.text)
        title = f"promise {promise.number}, {_WORDS[outcome]}: {promise.text}"
        because = promise.because or ""
        group = Group(tuple(shapes), element_id("promise", str(promise.number)), "promise", title, because)
        return Drawn([group], marks)


def _entry(verdict: Verdict, spots: FindingSpots, width: float, theme: Theme) -> tuple[_Entry, float]:
    entry = _Entry(verdict, spots, width, theme)
    return entry, entry.height
