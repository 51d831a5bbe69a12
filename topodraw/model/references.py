"""The names of a site, and whether what refers to one finds it."""

from __future__ import annotations

from collections.abc import Callable, Collection

from topodraw.model.network import INTERNET
from topodraw.source.entries import Entries
from topodraw.source.positions import Positions
from topodraw.source.problem import Problem
from topodraw.source.suggest import did_you_mean, listed

Path = tuple[str, ...]

KINDS = {
    "hardware": "hardware",
    "places": "place",
    "racks": "rack",
    "gear": "gear",
    "cables": "cable",
    "runs": "run",
    "aggregates": "aggregate",
    "stacks": "stack",
    "cords": "cord",
    "breakers": "breaker",
    "vlans": "vlan",
    "zones": "zone",
    "clusters": "cluster",
    "pools": "pool",
    "workloads": "workload",
    "remotes": "remote",
    "purposes": "purpose",
}
"""What a thing of each section is called, also where a reference says which it means (`zone:science`)."""

_MOST_COMPARED = 200_000
"""So many names are compared for a near one: where more would be, it is a whole file that is missing."""

_SECTION_OF = {kind: section for section, kind in KINDS.items()}


class Names:
    """Every name that is written, whether or not its own entry makes sense: one mistake is told once."""

    def __init__(self, entries: Entries, positions: Positions, report: Callable[[Problem], None]) -> None:
        self.positions = positions
        self._report = report
        self._known: dict[str, Collection[str]] = {
            section: entries.named.get(section, {}).keys() for section in KINDS
        }
        self._together: dict[tuple[str, ...], list[str]] = {}
        self._compared = 0
        self._known["zones"] = {INTERNET: None, **dict.fromkeys(self._known["zones"])}.keys()

    def learn_racks(self, racks: Collection[str]) -> None:
        """Racks are written inside places; here they are known like the names of a section."""
        self._known["racks"] = racks

    def known(self, section: str) -> Collection[str]:
        """The names of a section (or of `racks`), in the order written."""
        return self._known[section]

    def check(self, section: str, name: str, path: Path, is_key: bool = False) -> bool:
        """Whether `section` has `name`; reports the reference at `path` (a value, or a key) if not."""
        if name in self._known[section]:
            return True
        self.missing((section,), name, path, is_key)
        return False

    def find(self, sections: tuple[str, ...], text: str, path: Path) -> tuple[str, str] | None:
        """The section and name that `text` means, where it may mean a thing of several sections.

        `kind:name` says which. None, after a report, where nothing or more than one thing is meant.
        """
        kind, colon, rest = text.partition(":")
        if colon and _SECTION_OF.get(kind) in sections:
            section = _SECTION_OF[kind]
            return (section, rest) if self.check(section, rest, path) else None
        found = [section for section in sections if text in self._known[section]]
        if len(found) == 1:
            return found[0], text
        if found:
            kinds = " and a ".join(KINDS[section] for section in found)
            fix = "write " + " or ".join(f"{KINDS[section]}:{text}" for section in found)
            self.tell("ambiguous-name", f"{text!r} is a {kinds}", fix, path)
        else:
            self.missing(sections, text, path)
        return None

    def missing(self, sections: tuple[str, ...], name: str, path: Path, is_key: bool = False) -> None:
        """Report that nothing in `sections` is called `name`."""
        if sections not in self._together:
            names = (other for section in sections for other in self._known[section])
            self._together[sections] = list(dict.fromkeys(names))
        known = self._together[sections]
        self._compared += len(known)
        near = did_you_mean(name, known) if self._compared <= _MOST_COMPARED else ""
        *others, last = [KINDS[section] for section in sections]
        kinds = f"{', '.join(others)} or {last}" if others else last
        message = f"there is no {kinds} {name!r}{near}"
        tell = self.tell_key if is_key else self.tell
        tell("missing-reference", message, f"known: {listed(known)}", path)

    def tell(self, rule: str, message: str, fix: str, path: Path) -> None:
        """Report a problem with what stands at `path`."""
        self._report(Problem(rule, message, fix, self.positions.find(path)))

    def tell_key(self, rule: str, message: str, fix: str, path: Path) -> None:
        """Report a problem with the key that `path` ends in, not with its value."""
        self._report(Problem(rule, message, fix, self.positions.key(path)))
