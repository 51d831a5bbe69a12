"""The box that says what a VLAN is: id, name, subnets, gateway, DHCP, and a gauge of the addresses used."""

from __future__ import annotations

from dataclasses import dataclass

from topodraw.draw.characters import element_id
from topodraw.draw.primitives import TEXT_SIZE, Group, Hatch, Rect, Shape, Text, line
from topodraw.draw.text_metrics import width as text_width
from topodraw.draw.theme import Theme
from topodraw.draw.zones import addresses
from topodraw.draw.zones.boxes import (
    FAINT,
    PAD,
    ROW,
    Drawn,
    Line,
    Numbered,
    flag_marks,
    flags_height,
    lines_width,
    set_lines,
    texts_at,
)
from topodraw.model.network import Vlan
from topodraw.model.site import Site

_GAUGE_LEAST = 60.0


@dataclass(frozen=True, slots=True)
class VlanBox:
    """A VLAN's box; `gateways_told` if the site has more gateways than one, so that each VLAN names its
    own."""

    vlan: Vlan
    lines: tuple[Line, ...]
    use: addresses.Use | None
    words: str
    title: str
    flags: tuple[Numbered, ...] = ()

    @property
    def id(self) -> str:
        """The id of its rectangle."""
        return element_id("vlanbox", self.vlan.name)

    def natural_width(self) -> float:
        """The width in px at which no line has to wrap."""
        gauge = _GAUGE_LEAST + 10 + text_width(self.words, TEXT_SIZE)
        return max(lines_width(self.lines), gauge) + 2 * PAD

    def height(self, width: float) -> float:
        """Height in px for a width in px."""
        inner = width - 2 * PAD
        rows = set_lines(self.lines, inner)[1] + self._gauge_rows(inner)
        return PAD + 2 + ROW * rows + flags_height(self.flags, inner)

    def _gauge_rows(self, inner: float) -> int:
        if not self.words:
            return 0
        return 1 if self._beside(inner) else 2

    def _beside(self, inner: float) -> bool:
        return inner - text_width(self.words, TEXT_SIZE) - 10 >= _GAUGE_LEAST

    def draw(self, x: float, y: float, width: float, theme: Theme) -> Drawn:
        """The box with its top left at (`x`, `y`)."""
        inner = width - 2 * PAD
        placed, rows = set_lines(self.lines, inner)
        shapes: list[Shape] = [
            Rect(x, y, width, self.height(width), theme.paper, theme.ink, 0.7, opacity=1, id=self.id),
            *texts_at(placed, x + PAD, y, inner, self.id, theme),
        ]
        down = y + ROW * rows
        if self.words:
            baseline = down + ROW * (self._gauge_rows(inner) - 1) + 16.5
            shapes.append(
                Text(
                    x + width - PAD,
                    baseline,
                    self.words,
                    theme.ink,
                    anchor="end",
                    opacity=FAINT,
                    within=self.id,
                )
            )
            if self.use is not None:
                beside = inner - text_width(self.words, TEXT_SIZE) - 10
                long = beside if self._beside(inner) else inner
                shapes += gauge(x + PAD, down + 10, long, self.use, theme)
            down = baseline + 3
        marks = flag_marks(self.flags, x + PAD, down + 1, inner, f"VLAN {self.vlan.id}")
        group = Group(tuple(shapes), element_id("vlan", self.vlan.name), "vlan", self.title)
        return Drawn([group], marks)


def gauge(x: float, y: float, width: float, use: addresses.Use, theme: Theme) -> list[Shape]:
    """A thin bar: stated addresses in ink, those handed out hatched, ticks at the quarters."""
    total = max(use.total, 1)
    stated = min(width, max(1.5 if use.stated else 0.0, width * use.stated / total))
    handed = min(width - stated, width * use.handed_out / total)
    shapes: list[Shape] = [Rect(x, y, width, 6, theme.plate, theme.ink, 0.7)]
    if handed:
        shapes.append(
            Rect(x + stated, y, handed, 6, Hatch("diagonal", theme.ink, 0.6, 4, 0.9), theme.ink, 0.7)
        )
    if stated:
        shapes.append(Rect(x, y, stated, 6, theme.ink))
    shapes += [line(x + width * q / 4, y + 6, x + width * q / 4, y + 8.5, theme.ink, 0.7) for q in (1, 2, 3)]
    return shapes


def vlan_box(site: Site, vlan: Vlan, gateways_told: bool, flags: tuple[Numbered, ...]) -> VlanBox:
    """The box of a VLAN."""
    lines = [Line(f"VLAN {vlan.id}", vlan.name, "bold", "regular")]
    gateways = addresses.gateway_addresses(site, vlan)
    for subnet in vlan.subnets:
        inside = [address for address in gateways if address.version == subnet.version and address in subnet]
        told = " ".join(addresses.short(address, vlan.subnets) for address in inside)
        lines.append(Line(str(subnet), f"gw {told}" if told else "", "mono", "mono", right_opacity=FAINT))
    if vlan.gateway is None:
        lines.append(Line("", "no gateway", right_style="regular", right_opacity=FAINT))
    elif gateways_told or not gateways:
        lines.append(Line("gateway", ", ".join(vlan.gateway.by), right_style="bold", left_opacity=FAINT))
    if vlan.dhcp is not None:
        first, last = (addresses.short(each, vlan.subnets) for each in (vlan.dhcp.first, vlan.dhcp.last))
        lines.append(Line("DHCP", f"{first}-{last}", left_opacity=FAINT))
        by = vlan.dhcp.by
        if by is not None and (vlan.gateway is None or by not in vlan.gateway.by):
            lines.append(Line("handed out by", by, right_style="bold", left_opacity=FAINT))
    if vlan.mtu is not None:
        lines.append(Line("MTU", str(vlan.mtu), left_opacity=FAINT))
    used = addresses.use(site, vlan)
    stated = used.stated if used is not None else len(addresses.stated_addresses(site, vlan))
    words = f"{stated} stated" if vlan.subnets else ""
    if used is not None:
        words = f"{used.stated + used.handed_out} of {used.total}"
    subnets = ", ".join(str(subnet) for subnet in vlan.subnets) or "no subnet"
    by_whom = ", ".join(vlan.gateway.by) if vlan.gateway is not None else "none"
    title = f"VLAN {vlan.id} {vlan.name}: {subnets}, gateway {by_whom}"
    if used is not None:
        title += f", {used.stated} addresses stated, {used.handed_out} more for DHCP, of {used.total}"
    if vlan.note:
        title += f"; {vlan.note}"
    return VlanBox(vlan, tuple(lines), used, words, title, flags)
