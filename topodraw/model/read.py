"""From a site's files to its model, with everything that stands in the way."""

from __future__ import annotations

import gc
import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

from topodraw.model.entry import Entry as Model
from topodraw.model.entry import Named
from topodraw.model.gear import Gear
from topodraw.model.hardware import Hardware
from topodraw.model.hosting import Copy
from topodraw.model.network import INTERNET, Zone
from topodraw.model.references import Names
from topodraw.model.resolve_cabling import Cabling, Statements, stated_on_cables
from topodraw.model.resolve_flows import FlowResolver
from topodraw.model.resolve_gear import GearResolver, faceplate
from topodraw.model.resolve_hosting import ReferenceChecker
from topodraw.model.sections import LISTS, LISTS_OF_SEVERAL, NAMED, SECTIONS
from topodraw.model.site import Site, SiteInfo
from topodraw.model.validation import Validator
from topodraw.model.written import GearEntry
from topodraw.source.entries import Counter, Entries, Entry, TooMuchError, collect_entries
from topodraw.source.files import Folder, Source, find_first, load_source
from topodraw.source.nodes import Mapping as MappingNode
from topodraw.source.nodes import Plain, Scalar, position
from topodraw.source.positions import Positions
from topodraw.source.problem import Position, Problem
from topodraw.source.ranges import RangeError, members

Kind = TypeVar("Kind", bound=Model)


@dataclass(frozen=True, slots=True)
class Reading:
    """What came of reading a site: the site if it is usable, else the problems; where everything stands."""

    site: Site | None
    problems: tuple[Problem, ...]
    positions: Positions
    files: tuple[str, ...]
    """The files read, relative to the site's folder, the first one first."""


def read_site(path: Path) -> Reading:
    """Read the site at `path`: a file, or a folder with a `site.yaml`. Bad input gives problems."""
    folder, first = find_first(path)
    return read_folder(folder, first)


def read_folder(folder: Folder, first: str) -> Reading:
    """Read the site whose files come from `folder`, beginning with the file `first`."""
    with _without_collector():
        source = load_source(folder, first, SECTIONS)
        return _Reader(source).read()


@contextmanager
def _without_collector() -> Iterator[None]:
    """All that reading makes is kept, so searching it for garbage while it grows is wasted time."""
    was_enabled = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_enabled:
            gc.enable()


class _Reader:
    def __init__(self, source: Source) -> None:
        self._source = source
        self._problems: list[Problem] = source.problems
        lists = frozenset((*LISTS, *LISTS_OF_SEVERAL))
        self._counter = Counter(self._problems.append)
        try:
            self._entries = collect_entries(source, lists, self._counter)
        except TooMuchError as error:
            self._problems.append(error.problem)
            self._entries = Entries()
            source.complete = False
        self._positions = Positions(source, self._entries)
        self._names = Names(self._entries, self._positions, self._problems.append)
        self._validator = Validator(self._positions, self._problems.append)

    def read(self) -> Reading:
        try:
            site = self._site()
        except TooMuchError as error:
            self._problems.append(error.problem)
            site = None
        problems = _worth_telling(self._source)
        files = tuple(self._source.files)
        return Reading(None if problems else site, problems, self._positions, files)

    def _site(self) -> Site | None:
        info = self._info()
        for section, entries in self._entries.named.items():
            self._check_names(section, entries)
        written: dict[str, Any] = {
            section: self._named(section, kind, self._entries.named.get(section, {}))
            for section, kind in NAMED.items()
        }
        place_of_rack = self._racks()
        self._names.learn_racks(place_of_rack)
        hardware, gear = written["hardware"], written["gear"]
        hardware_of = {name: hardware[item.model] for name, item in gear.items() if item.model in hardware}
        cabling = Cabling(self._names, hardware_of)
        resolver = GearResolver(self._names, cabling, hardware, gear, place_of_rack)
        ssids = {ssid: None for item in gear.values() for ssid in item.ssids}
        for item in gear.values():
            resolver.check(item, ssids)
        found = [cabling.cable(cable) for cable in written["cables"].values()]
        cables = {cable.name: cable for cable in found if cable}
        aggregates = {name: cabling.aggregate(entry) for name, entry in written["aggregates"].items()}
        cords = [cabling.cord(cord, written["breakers"]) for cord in written["cords"].values()]
        parts = self._referring(written)
        flows = FlowResolver(self._names, self._validator)
        conduits = [flows.conduit(*item) for item in self._items("conduits")]
        promises = [flows.promise(*item) for item in self._items("expect")]
        waivers = [flows.waiver(*item) for item in self._items("waivers")]
        naming = self._naming()
        if self._problems or info is None:
            return None
        stated = stated_on_cables(cables, written["cables"], written["aggregates"], hardware_of)
        zones = written["zones"]
        internet = {} if INTERNET in zones else {INTERNET: Zone.model_validate(_INTERNET)}
        return Site(
            info=info,
            hardware=hardware,
            places=written["places"],
            gear=self._gear(resolver, hardware, gear, stated),
            cables=cables,
            aggregates=aggregates,
            cords={cord.name: cord for cord in cords if cord},
            breakers=written["breakers"],
            zones={**zones, **internet},
            conduits=tuple(conduit for conduit in conduits if conduit),
            naming=naming,
            purposes=written["purposes"],
            expect=tuple(promise for promise in promises if promise),
            waivers=tuple(waiver for waiver in waivers if waiver),
            **parts,
        )

    def _gear(
        self,
        resolver: GearResolver,
        hardware: Mapping[str, Hardware],
        written: Mapping[str, GearEntry],
        stated: Statements,
    ) -> dict[str, Gear]:
        plates = {name: faceplate(item, self._written_ranges(name)) for name, item in hardware.items()}
        made = {}
        for name, item in written.items():
            plate, entry = plates[item.model], self._entries.named["gear"][name]
            self._counter.spend(len(plate.ports), entry.file, entry.key or entry.node)
            made[name] = resolver.gear(item, plate, stated)
        return made

    def _info(self) -> SiteInfo | None:
        node = self._source.info
        return self._validator.entry(SiteInfo, node.value, ("site",), None) if node else None

    def _check_names(self, section: str, entries: Mapping[str, Entry]) -> None:
        for name, entry in entries.items():
            if _PLAIN_NAME.fullmatch(name) or entry.key is None:
                continue
            bad = next((mark for mark in _no_part_of_a_name(section) if mark in name), None)
            if bad:
                fix = f"names in `{section}` are written without {bad!r}: references use it"
                place = position(entry.file, entry.key)
                self._problems.append(Problem("bad-name", f"{name!r} can't be a name", fix, place))

    def _named(self, section: str, kind: type[Kind], entries: Mapping[str, Entry]) -> dict[str, Kind]:
        """The entries of a section that make sense. After a range's bad member the rest is passed over."""
        made: dict[str, Kind] = {}
        spoilt: Scalar | None = None
        for name, entry in entries.items():
            if entry.member and entry.key is spoilt:
                continue
            plain = entry.plain(self._counter)
            own_name = name if issubclass(kind, Named) else None
            item = self._validator.entry(kind, plain, (section, name), own_name)
            if item is None:
                spoilt = entry.key
            else:
                made[name] = item
        return made

    def _racks(self) -> dict[str, str]:
        """The place of each rack. Racks of places that make no sense are known too."""
        place_of: dict[str, str] = {}
        for place, entry in self._entries.named.get("places", {}).items():
            plain = entry.plain(self._counter)
            racks = plain.get("racks") if isinstance(plain, dict) else None
            for rack in racks if isinstance(racks, dict) else ():
                path = ("places", place, "racks", rack)
                if rack in place_of:
                    first = self._positions.key(("places", place_of[rack], "racks", rack))
                    message = f"rack {rack!r} stands twice in the site: first at {first}"
                    self._names.tell_key("name-used-twice", message, "give one of them another name", path)
                elif "/" in rack:
                    message = f"{rack!r} can't be the name of a rack"
                    self._names.tell_key(
                        "bad-name", message, "leave the '/' out: A/U38 is a place in a rack", path
                    )
                place_of.setdefault(rack, place)
        return place_of

    def _referring(self, written: Mapping[str, Mapping[str, Any]]) -> dict[str, Any]:
        """The entries that keep the form in which they are written, their references checked."""
        check = ReferenceChecker(self._names)
        checks = {
            "vlans": check.vlan,
            "remotes": check.remote,
            "runs": check.run,
            "stacks": check.stack,
            "clusters": check.cluster,
            "pools": check.pool,
            "workloads": check.workload,
        }
        parts: dict[str, Any] = {
            section: {name: of(item) for name, item in written[section].items()}  # type: ignore[operator]
            for section, of in checks.items()
        }
        copies = [
            (number, self._validator.entry(LISTS["copies"], plain, ("copies", str(number - 1)), None))
            for number, plain in self._items("copies")
        ]
        parts["copies"] = tuple(check.copy(number, copy) for number, copy in copies if isinstance(copy, Copy))
        return parts

    def _items(self, section: str) -> Iterator[tuple[int, Plain]]:
        """The items of a list, numbered from 1."""
        for number, entry in enumerate(self._entries.listed.get(section, []), start=1):
            yield number, entry.plain(self._counter)

    def _naming(self) -> dict[str, str]:
        naming = {}
        for name, entry in self._entries.named.get("naming", {}).items():
            if isinstance(entry.node, Scalar) and entry.node.text:
                naming[name] = entry.node.text
            else:
                fix = "write a pattern such as 'C[0-9]{2}'"
                self._names.tell("bad-value", f"naming: {name} has no pattern", fix, ("naming", name))
        return naming

    def _written_ranges(self, hardware: str) -> dict[str, int]:
        """Which of the ranges under `ports` made each port, counted from 1."""
        node = self._entries.named["hardware"][hardware].node
        ports = node.nodes.get("ports") if isinstance(node, MappingNode) else None
        if not isinstance(ports, MappingNode):
            return {}
        return {
            name: number
            for number, (text, key) in enumerate(ports.keys.items(), start=1)
            for name in (_counted(text) if key.ranged else (text,))
        }


_SPOILING = ("bad-yaml", "range-mismatch")
_INTERNET = {"@name": INTERNET, "title": "Internet"}
_PLAIN_NAME = re.compile(r"[A-Za-z0-9_.+ -]*")
_HOLD_PORTS = frozenset({"gear", "breakers", "remotes"})


def _no_part_of_a_name(section: str) -> tuple[str, ...]:
    if section in ("hardware", "purposes", "naming"):
        return ()
    return ("->", ":", "/") if section in _HOLD_PORTS else ("->", ":")


def _counted(text: str) -> tuple[str, ...]:
    try:
        return members(text) or (text,)
    except RangeError:
        return (text,)


def _worth_telling(source: Source) -> tuple[Problem, ...]:
    """Each problem once, in the order of the files and their lines.

    Left out: what a range repeats for its other members, what follows from a bad word or range at the same
    place, and references into files that could not be read.
    """
    order = {file: number for number, file in enumerate(source.files)}
    spoilt = {problem.position for problem in source.problems if problem.rule in _SPOILING}

    def place(problem: Problem) -> tuple[int, int, int]:
        at = problem.position
        return order.get(at.file, -1), at.line, at.column

    told: dict[tuple[Position, str, str], Problem] = {}
    for problem in sorted(source.problems, key=place):
        consequence = problem.rule not in _SPOILING and problem.position in spoilt
        unknowable = problem.rule == "missing-reference" and not source.complete
        if not consequence and not unknowable:
            told.setdefault((problem.position, problem.rule, problem.fix), problem)
    return tuple(told.values())
