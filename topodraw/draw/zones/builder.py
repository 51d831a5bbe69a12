"""Makes the areas of a sheet: zones in full, in short or as a name only, the internet, and tunnels' far
ends."""

from __future__ import annotations

from collections.abc import Collection

from topodraw.compute.facts import Facts
from topodraw.draw.characters import element_id
from topodraw.draw.zones.area import Area, Column
from topodraw.draw.zones.boxes import FAINT, Box, Line, Part, PartsBox
from topodraw.draw.zones.contents import NO_ZONE, VlanContents, ZoneContents
from topodraw.draw.zones.findings import FindingSpots
from topodraw.draw.zones.flows import remote_key, zone_key
from topodraw.draw.zones.plate import gateway_names
from topodraw.draw.zones.residents import PUBLISHED, resident_boxes
from topodraw.draw.zones.vlan_box import vlan_box
from topodraw.model.network import INTERNET, Remote
from topodraw.source.quantities import speed_text

_FEW = 6


class AreaBuilder:
    """Builds areas for one sheet; each takes the findings about what is in it."""

    def __init__(self, facts: Facts, contents: dict[str, ZoneContents], spots: FindingSpots) -> None:
        self.facts, self.contents, self.spots = facts, contents, spots
        self._gateways_told = len(gateway_names(facts)) > 1

    def full(self, zone: str, straddling: Collection[tuple[str, bool]], stacked: bool) -> Area:
        """A zone with everybody in it but those (name, is it a workload) that straddle its borders."""
        columns = []
        for each in self.contents[zone].vlans:
            kept = [r for r in each.residents if (r.name, r.is_workload) not in straddling]
            boxes = resident_boxes(self.facts.site, kept, self.spots)
            columns.append(Column(self._head(each), boxes))
        if stacked and columns:
            heads = [[column.head] if column.head is not None else [] for column in columns]
            every = [
                box for head, column in zip(heads, columns, strict=True) for box in (*head, *column.boxes)
            ]
            columns = [Column(None, every)]
        return self._area(zone, [*columns, *self._outside(zone)])

    def short(self, zone: str, link: str, sheet: str) -> Area:
        """A zone's VLANs, and how many are in it on which sheet."""
        contents = self.contents[zone]
        boxes: list[Box] = [head for each in contents.vlans if (head := self._head(each)) is not None]
        residents = contents.residents
        workloads = len({r.name for r in residents if r.is_workload})
        gear = len({r.name for r in residents if not r.is_workload})
        if residents:
            lines = (
                Line(f"{workloads} workload{'' if workloads == 1 else 's'}"),
                Line(f"{gear} gear", sheet, right_style="bold"),
            )
            flags = tuple(
                dict.fromkeys(
                    flag
                    for r in residents
                    for flag in self.spots.take("workload" if r.is_workload else "gear", r.name)
                )
            )
            part = Part(lines, title=f"{zone}: in full on {sheet}", flags=flags)
            boxes.append(PartsBox(element_id("box", "count", zone), (part,), weight=0.8))
        boxes += [box for column in self._outside(zone, short=True) for box in column.boxes]
        return self._area(zone, [Column(None, boxes)] if boxes else [], link)

    def stub(self, key: str, link: str) -> Area:
        """No more than the name of a zone or remote."""
        kind, _, name = key.partition(":")
        return Area(
            key, name or "in no zone", "", [], element_id(kind, name or "none"), f"{kind} {name}", link
        )

    def remote(self, remote: Remote) -> Area:
        """The far end of a tunnel."""
        aside = f"in zone {remote.zone}" if remote.zone is not None else "site at a tunnel's end"
        return Area(
            remote_key(remote.name),
            remote.name,
            aside,
            [Column(None, [self._remote_box(remote)])],
            element_id("remote", remote.name),
            f"remote {remote.name}, {aside}",
        )

    def _area(self, zone: str, columns: list[Column], link: str = "") -> Area:
        contents = self.contents[zone]
        titled = contents.title if contents.title.casefold() not in ("", zone.casefold()) else ""
        aside = "; ".join(words for words in (titled, contents.note) if words)
        if zone == INTERNET and not aside:
            aside = "outside, not trusted"
        if zone == NO_ZONE:
            aside = ""
        if not columns and zone != INTERNET:
            empty = PartsBox(
                element_id("box", "empty", zone),
                (Part((Line("no VLAN, nobody in it", left_opacity=FAINT),)),),
                weight=0.7,
            )
            columns = [Column(None, [empty])]
        vlans = len([each for each in contents.vlans if each.vlan is not None])
        title = f"zone {zone}" if zone else "in no zone"
        return Area(
            zone_key(zone),
            zone or "in no zone",
            aside,
            columns,
            element_id("zone", zone) if zone else "zone-_none_",
            f"{title}: {vlans} VLANs, {len({(r.name, r.is_workload) for r in contents.residents})} in them",
            link,
            self.spots.take("zone", zone),
        )

    def _head(self, each: VlanContents) -> Box | None:
        if each.vlan is None:
            return None
        return vlan_box(
            self.facts.site, each.vlan, self._gateways_told, self.spots.take("vlan", each.vlan.name)
        )

    def _outside(self, zone: str, short: bool = False) -> list[Column]:
        """What else stands in a zone: the ways out, and what is published there."""
        columns = []
        if zone == INTERNET and (published := self._published(short)) is not None:
            columns.append(Column(None, [published]))
        if remotes := self.contents[zone].remotes:
            columns.append(Column(None, [self._remote_box(remote) for remote in remotes]))
        return columns

    def _published(self, short: bool) -> PartsBox | None:
        parts = []
        for workload in self.facts.site.workloads.values():
            if workload.published is None:
                continue
            numbers = [
                str(each.number)
                for each in self.facts.site.conduits
                if each.to is not None and each.to.name == workload.name and each.source.name == INTERNET
            ]
            by = f"conduit {', '.join(numbers)}" if numbers else "no conduit"
            lines = (
                Line(workload.name, " ".join(workload.serves), "bold"),
                Line(PUBLISHED[workload.published], by, right_style="regular", left_opacity=FAINT),
            )
            parts.append(Part(lines, title=f"{workload.name}, published {PUBLISHED[workload.published]}"))
        if not parts:
            return None
        if short and len(parts) > _FEW:
            parts = [Part((Line(f"{len(parts)} workloads, told at their zones", left_opacity=FAINT),))]
        return PartsBox(
            element_id("box", "published"), tuple(parts), (Line("published to here"),), weight=0.8
        )

    def _remote_box(self, remote: Remote) -> PartsBox:
        subnets = " ".join(str(subnet) for subnet in remote.subnets)
        rate = speed_text(remote.rate_bps)
        way = "by tunnel from" if remote.kind == "tunnel" else "by"
        lines = (
            Line(remote.name, subnets, "bold"),
            Line(
                f"{way} {remote.by}" if remote.by else "who ends it is not stated", rate, left_opacity=FAINT
            ),
        )
        title = f"{remote.kind} {remote.name}"
        part = Part(lines, element_id("outside", remote.name), "remote", title, f"{subnets} {rate}".strip(),
                    self.spots.take("remote", remote.name))  # fmt: skip
        return PartsBox(element_id("box", "remote", remote.name), (part,))
