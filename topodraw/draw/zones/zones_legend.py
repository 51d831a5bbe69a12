"""The legend of a zones sheet, of what is on it."""

from __future__ import annotations

from collections.abc import Sequence

from topodraw.draw.legend import LegendEntry, LegendGroup
from topodraw.draw.primitives import TEXT_SIZE, Ellipse, Hatch, Path, Rect, Shape, Text
from topodraw.draw.theme import Theme
from topodraw.draw.zones.addresses import Use
from topodraw.draw.zones.draw_flows import WEIGHT
from topodraw.draw.zones.flows import Flow
from topodraw.draw.zones.vlan_box import gauge

_WIDE = 38.0
_MIDDLE = 8.0


def _level(colour: str, ys: tuple[float, ...], left: float, right: float) -> Path:
    return Path(tuple(((left, y), (right, y)) for y in ys), stroke=colour, weight=WEIGHT)


def _right_head(colour: str) -> Path:
    return Path((((_WIDE, _MIDDLE), (26.0, 3.0), (26.0, 13.0)),), closed=True, fill=colour)


def _left_head(colour: str) -> Path:
    return Path((((0.0, _MIDDLE), (12.0, 3.0), (12.0, 13.0)),), closed=True, fill=colour)


def _one_way(colour: str) -> tuple[Shape, ...]:
    bar = Path((((0, 3), (0, 13)),), stroke=colour, weight=3)
    return bar, _level(colour, (_MIDDLE,), 0, 27), _right_head(colour)


def conduits_legend(flows: Sequence[Flow], any_silent: bool, theme: Theme) -> LegendGroup:
    """How conduits are drawn."""
    ink, entries = theme.ink, []

    def add(wanted: bool, sample: tuple[Shape, ...], words: str) -> None:
        if wanted:
            entries.append(LegendEntry(sample, _WIDE, words))

    one_way = [flow for flow in flows if not flow.both_ways]
    number = (
        Rect(10, 0, 18, 16, theme.paper, ink, 1),
        Text(19, 12.8, "n", ink, style="bold", anchor="middle"),
    )
    add(bool(one_way), _one_way(ink), "may start, from bar to head")
    both = (_left_head(ink), _level(ink, (5.6, 10.4), 11, 27), _right_head(ink))
    add(any(flow.both_ways for flow in flows), both, "both may start")
    dashed = Path((((0, 2), (26, 2)), ((0, 14), (26, 14))), stroke=ink, weight=0.8, dash=(4, 3))
    tunnel = (_level(ink, (_MIDDLE,), 0, 27), dashed, _right_head(ink))
    add(any(flow.casing for flow in flows), tunnel, "inside a tunnel")
    bus = (
        Path((((0, 5), (_WIDE, 5)), ((19, 5), (19, 15))), stroke=ink, weight=WEIGHT),
        Ellipse(19, 5, 3.6, 3.6, ink),
    )
    add(any(len(flow.targets) > 1 for flow in flows), bus, "one source, several ends")
    jack = (Rect(12, 1, 14, 14, theme.plate, ink, 1.3), Rect(16, 1, 6, 4, theme.plate, ink, 1))
    add(any(flow.forward for flow in flows), jack, "port forward")
    add(any(flow.broken for flow in flows), _one_way(theme.severity("error")), "breaks a promise")
    silent = Path((((19, 16), (19, 6)), ((12, 6), (26, 6)), ((12, 1), (26, 1))), stroke=ink, weight=WEIGHT)
    add(any_silent, (silent,), "no conduit leaves")
    add(any(flow.numbers for flow in flows), number, "conduit n, its services")
    return LegendGroup("conduits", tuple(entries))


def zones_legend(has_gauge: bool, has_straddler: bool, theme: Theme) -> LegendGroup:
    """How zones and VLANs are drawn."""
    ink, entries = theme.ink, []
    if has_gauge:
        sample = (*gauge(0, 5, _WIDE, Use(3, 3, 10), theme),)
        entries.append(LegendEntry(sample, _WIDE, "addresses: stated, DHCP, free"))
        entries.append(
            LegendEntry((Text(0, 12.8, "gw .1", ink, style="mono"),), 44, "gateway, .1 of the subnet")
        )
    if has_straddler:
        plate = (
            Rect(0, 0, 17, 16, "none", ink, 0.8),
            Rect(21, 0, 17, 16, "none", ink, 0.8),
            Rect(6, 4, 26, 8, theme.plate, ink, 1.4),
        )
        entries.append(LegendEntry(plate, _WIDE, "in two zones"))
    return LegendGroup("zones", tuple(entries))


def matrix_legend(kinds: Sequence[str], theme: Theme) -> LegendGroup:
    """How the matrix is filled."""
    ink, entries = theme.ink, []
    middle = _WIDE / 2
    if "all" in kinds:
        words = Text(middle, 12.6, "all", theme.paper, TEXT_SIZE, "mono", "middle")
        entries.append(LegendEntry((Rect(0, 0, _WIDE, 16, ink), words), _WIDE, "all services"))
    if "some" in kinds:
        words = Text(middle, 12.6, "tcp", ink, TEXT_SIZE, "mono", "middle")
        entries.append(
            LegendEntry((Rect(0, 0, _WIDE, 16, theme.plate, ink, 0.8), words), _WIDE, "these only")
        )
    if "refused" in kinds:
        ruled = Rect(0, 0, _WIDE, 16, Hatch("diagonal", ink, 0.3, 7, 0.8), ink, 0.8)
        entries.append(LegendEntry((ruled,), _WIDE, "refused"))
    return LegendGroup("matrix", tuple(entries))
