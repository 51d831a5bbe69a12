"""The cabling sheets of a site: one for a small site, else an overview and a sheet for each place or two."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from topodraw.compute.facts import Facts
from topodraw.draw.cabling.build import Built, away_order, build
from topodraw.draw.cabling.ends import CableEnds
from topodraw.draw.cabling.flags import about_cabling, attach, marks, move_to_boxes, unchecked_here
from topodraw.draw.cabling.geometry import Geometry, geometry
from topodraw.draw.cabling.key import cabling_legend
from topodraw.draw.cabling.overview import overview_scene, places_to_fold
from topodraw.draw.cabling.paint import (
    area_shapes,
    bar_shapes,
    joint_shapes,
    plate_shapes,
    tag_shapes,
    tie_shapes,
    tier_shapes,
    wire_shapes,
)
from topodraw.draw.cabling.scene import Scene, detail_scene, gear_to_draw
from topodraw.draw.cabling.split import fits_one_sheet, parts
from topodraw.draw.cabling.tiers import Tiers, tiers
from topodraw.draw.cabling.trunk_list import other_trunks
from topodraw.draw.characters import file_stem
from topodraw.draw.grid import MARGIN
from topodraw.draw.placement import Engine
from topodraw.draw.primitives import Group, Shape
from topodraw.draw.sheet import NATURAL_WIDTH, Drawing, Sheet, compose, identity
from topodraw.draw.theme import PurposeLook, Theme, purpose_looks
from topodraw.model.finding import Finding, Unchecked

_LEFT = MARGIN + 26.0
_ROOM = NATURAL_WIDTH - MARGIN - _LEFT
_KIND = "cabling sheet"
_DESC = "Cabling from the outside world down to end stations, by place."
_ROUNDS = 3


@dataclass(slots=True)
class LaidOut:
    """A scene with its places, and the findings that stand on it."""

    stem: str
    title: str
    scene: Scene
    listed: list[tuple[int, Finding]]
    built: Built
    found: Geometry
    ranks: dict[str, float]
    socket_x: dict[tuple[str, str], float]


def cabling_sheets(
    facts: Facts,
    findings: Sequence[Finding],
    theme: Theme,
    unchecked: Sequence[Unchecked] = (),
    engine: Path | None = None,
) -> list[Sheet]:
    """The cabling sheets of a site, numbered among themselves; none for a site without gear.

    `engine` is the executable of another placement engine. Raises PlacementError, which names the sheet,
    when the engine fails.
    """
    cabling = CablingSet(facts, findings, theme, unchecked, Engine(engine) if engine else None)
    return cabling.drawn(cabling.laid_out())


class CablingSet:
    """All the cabling sheets of one site: laid out first, then drawn, when each knows where the others show
    what."""

    def __init__(
        self,
        facts: Facts,
        findings: Sequence[Finding],
        theme: Theme,
        unchecked: Sequence[Unchecked],
        engine: Engine | None,
    ) -> None:
        self.facts = facts
        self.findings = about_cabling(findings)
        self.theme = theme
        self.unchecked = unchecked
        self.engine = engine
        self.ends = CableEnds(facts)
        self.looks: dict[str, PurposeLook] = purpose_looks(
            {name: purpose.colour for name, purpose in facts.site.purposes.items()}, theme
        )

    def laid_out(self) -> list[LaidOut]:
        """What each sheet shows, and where. Raises PlacementError when the engine fails."""
        drawn = gear_to_draw(self.facts)
        if not drawn:
            return []
        levels = tiers(self.facts, drawn)
        if fits_one_sheet(self.facts, drawn):
            only = self._detail("cabling", "Cabling", levels, drawn)
            return [self._laid(*only)]
        laid = [self._laid("cabling-overview", "Cabling: overview", self._overview(levels))]
        for keys, gear in parts(self.facts, drawn):
            titles = [self.facts.site.places[key].title if key else "no place" for key in keys]
            stem = "-".join(["cabling", *(file_stem(key or "no-place") for key in keys)])
            laid.append(self._laid(*self._detail(stem, f"Cabling: {_listed(titles)}", levels, gear)))
        return laid

    def _overview(self, levels: Tiers) -> Scene:
        name = "cabling-overview"
        scene = overview_scene(name, self.facts, levels, self.looks, self.ends)
        if build(scene, _ROOM, {}, {}, {}).width <= 1.2 * _ROOM:
            return scene
        folded = places_to_fold(self.facts, levels)
        return overview_scene(name, self.facts, levels, self.looks, self.ends, folded)

    def _detail(self, stem: str, title: str, levels: Tiers, gear: Sequence[str]) -> tuple[str, str, Scene]:
        return stem, title, detail_scene(stem, self.facts, levels, gear, self.looks, self.ends)

    def _laid(self, stem: str, title: str, scene: Scene) -> LaidOut:
        listed = attach(scene, self.findings)
        laid = self._placed(stem, title, scene, listed)
        if move_to_boxes(scene, listed, laid.found):
            laid = self._placed(stem, title, scene, listed)
        return laid

    def _placed(self, stem: str, title: str, scene: Scene, listed: list[tuple[int, Finding]]) -> LaidOut:
        ranks: dict[str, float] = {}
        socket_x: dict[tuple[str, str], float] = {}
        for turn in range(_ROUNDS):
            built = build(scene, _ROOM, ranks, socket_x, {})
            found = geometry(
                built.plan, _LEFT, MARGIN + 6, _ROOM, self._barred(scene), self.engine, turn == _ROUNDS - 1
            )
            if turn == _ROUNDS - 1:
                break
            ranks = {key: at[0] for key, at in found.boxes.items()}
            xs = {
                (box.key, key): found.boxes[box.key][0] + socket.x
                for box in built.plan.boxes
                for key, socket in box.sockets.items()
            }
            socket_x = away_order(scene, xs)
        return LaidOut(stem, title, scene, listed, built, found, ranks, socket_x)

    def _barred(self, scene: Scene) -> list[tuple[str, int]]:
        """The wire ends where spanning tree discards."""
        return [
            (strand.key, number)
            for strand in scene.strands
            for number, words in enumerate(strand.tags)
            if "D" in words.split(" ")[1:]
        ]

    def drawn(self, laid: Sequence[LaidOut]) -> list[Sheet]:
        """The finished sheets; composed twice, because only then it is known in which square of which sheet
        each gear stands."""
        first = [self._composed(each, number, len(laid), {}, {}) for number, each in enumerate(laid, start=1)]
        if len(laid) == 1:
            return first
        home: dict[str, tuple[int, str]] = {}
        for number, (each, sheet) in enumerate(zip(laid, first, strict=True), start=1):
            if each.stem == "cabling-overview":
                continue
            for key, (x, y) in each.found.boxes.items():
                gear = each.scene.gear(key)
                if gear:
                    plate = each.built.plates[key]
                    square = sheet.grid_square(x + plate.width / 2, y + plate.height / 2)
                    home.setdefault(gear.name, (number, square))
        sheets = []
        for number, each in enumerate(laid, start=1):
            references, links = self._references(each, home, [other.stem for other in laid])
            sheets.append(self._composed(each, number, len(laid), references, links))
        return sheets

    def _references(
        self, laid: LaidOut, home: Mapping[str, tuple[int, str]], stems: Sequence[str]
    ) -> tuple[dict[tuple[str, str], str], dict[str, str]]:
        """Squares and sheets for references, and the files that they link to."""
        references: dict[tuple[str, str], str] = {}
        links: dict[str, str] = {}
        for key, entries in laid.scene.away.items():
            numbers = sorted({home[gear][0] for _, _, gear in entries})
            for _, _, gear in entries:
                references[key, gear] = home[gear][1]
            references[key, ""] = "sheet " + ", ".join(map(str, numbers))
            links[key] = f"{stems[numbers[0] - 1]}.svg"
        for key in laid.scene.groups:
            shown = [home[name][0] for name in home if (self.facts.site.gear[name].place or "") == key[6:]]
            if shown:
                links[key] = f"{stems[min(shown) - 1]}.svg"
        return references, links

    def _composed(
        self,
        laid: LaidOut,
        number: int,
        of: int,
        references: Mapping[tuple[str, str], str],
        links: Mapping[str, str],
    ) -> Sheet:
        built = build(laid.scene, _ROOM, laid.ranks, laid.socket_x, references)
        listed, listed_height = other_trunks(
            laid.scene, laid.found, MARGIN, laid.found.bottom + 14, self.theme
        )
        drawing = Drawing(
            laid.stem,
            _KIND,
            laid.title,
            _DESC,
            max(NATURAL_WIDTH, laid.found.right + MARGIN),
            laid.found.bottom + 8 + listed_height,
            (*self._shapes(laid, built, links), *listed),
            cabling_legend(laid.scene, built.plates, laid.found, self.ends, self.theme),
            tuple(marks(laid.scene, laid.listed, built.plates, laid.found)),
            tuple(unchecked_here(laid.scene, self.unchecked)),
        )
        info = self.facts.site.info
        return compose(
            drawing,
            identity(info),
            identification=f"{info.ref}-CAB-{number:02}",
            number=number,
            of=of,
            theme=self.theme,
        )

    def _shapes(self, laid: LaidOut, built: Built, links: Mapping[str, str]) -> tuple[Shape, ...]:
        scene, found, theme = laid.scene, laid.found, self.theme
        plates = [
            plate_shapes(key, plate, found.boxes[key], scene, theme, links.get(key, ""))
            for key, plate in built.plates.items()
        ]
        return (
            Group(tuple(area_shapes(found.areas, theme)), kind="areas"),
            Group((*joint_shapes(built, found, theme), *plates), kind="plates"),
            Group(tuple(wire_shapes(scene, found, theme)), kind="cables"),
            Group(
                (*tie_shapes(scene, found, theme), *bar_shapes(found, self._barred(scene), theme)),
                kind="cable-marks",
            ),
            Group(tuple(tag_shapes(scene, found, theme)), kind="tags"),
            Group(tuple(tier_shapes(_tier_spans(scene, built, found), MARGIN + 12, theme)), kind="tiers"),
        )


def _tier_spans(scene: Scene, built: Built, found: Geometry) -> list[tuple[str, float, float]]:
    """Names of tiers with the top and bottom of their rows; neighbours of one name are one."""
    names = scene.tiers.names(scene.facts.site)
    spans: list[tuple[str, float, float]] = []
    by_row: dict[int, str] = {}
    for key, row in built.rows.items():
        by_row.setdefault(row, names.get(scene.levels[key], "elsewhere"))
    for row in sorted(by_row):
        name, (top, bottom) = by_row[row], found.rows[row]
        if spans and spans[-1][0] == name:
            spans[-1] = (name, spans[-1][1], bottom)
        else:
            spans.append((name, top, bottom))
    return spans


def _listed(words: Sequence[str]) -> str:
    return ", ".join(words)
