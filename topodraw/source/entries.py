"""The entries of a site's sections: ranges counted out, each with its own name and the text it came from."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from topodraw.source.files import Source
from topodraw.source.nodes import Mapping, Node, Plain, Scalar, Sequence, position
from topodraw.source.problem import Position, Problem
from topodraw.source.ranges import RangeError, members

PROSE = frozenset({"title", "note", "because", "about"})
"""Keys whose text is for people: `..` in it is no range."""

MOST_MADE = 2_000_000
"""How much all ranges of one site may make together: no site is as large, and few memories are."""

_IN_STEP_ONLY = frozenset({"ends"})
"""Lists whose items can't be several: a range in them counts in step with the entry's name."""

Report = Callable[[Problem], None]


class TooMuchError(Exception):
    """The ranges of a site would make more than a machine can hold; `problem` says where."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem.message)
        self.problem = problem


class Counter:
    """Counts ranges out, and what they make, so that a few lines can't fill the memory."""

    def __init__(self, report: Report) -> None:
        self.report = report
        self._left = MOST_MADE

    def names(self, key: Scalar, file: str) -> tuple[str, ...]:
        """The names that a key with `..` stands for; none, after a report, where it can't be counted."""
        try:
            names = members(key.text)
        except RangeError as error:
            self.report(Problem("range-mismatch", str(error), error.fix, position(file, key)))
            return ()
        if names is None:
            fix = "write a range as p1..p24, with the same letters before both numbers"
            self.report(Problem("range-mismatch", f"{key.text!r} is no range", fix, position(file, key)))
            return ()
        self.spend(len(names), file, key)
        return names

    def spend(self, made: int, file: str, at: Node) -> None:
        """Note that so many more things are made. Raises TooMuchError where that is more than can be."""
        self._left -= made
        if self._left < 0:
            message = f"the ranges of this site make more than {MOST_MADE} things"
            raise TooMuchError(Problem("range-mismatch", message, "shorten the ranges", position(file, at)))


@dataclass(slots=True)
class Entry:
    """One member of a section. `member` of `count` says which of a range's members it is (None: no range)."""

    section: str
    name: str
    file: str
    key: Scalar | None
    node: Node
    member: int | None
    count: int

    def plain(self, counter: Counter) -> Plain:
        """What is written, without places, for this member. Raises TooMuchError for ranges beyond measure."""
        if not self.node.ranged:
            return self.node.value
        return _Expansion(self, counter).plain(self.node, self.member, self.count)


@dataclass(slots=True)
class Entries:
    """All entries by section: by name for sections of names, in order for sections that are lists."""

    named: dict[str, dict[str, Entry]] = field(default_factory=dict)
    listed: dict[str, list[Entry]] = field(default_factory=dict)


def collect_entries(source: Source, lists: frozenset[str], counter: Counter) -> Entries:
    """The entries of every section; the sections in `lists` are lists, the others map names to entries.

    Raises TooMuchError for ranges beyond measure.
    """
    entries = Entries()
    for section, parts in source.sections.items():
        for file, node in parts:
            if section in lists:
                _collect_list(entries.listed.setdefault(section, []), section, file, node, counter)
            else:
                _collect_names(entries.named.setdefault(section, {}), section, file, node, counter)
    return entries


def _collect_list(into: list[Entry], section: str, file: str, node: Node, counter: Counter) -> None:
    if not isinstance(node, Sequence):
        fix = f"write `{section}:` and below it lines that begin with `- `"
        counter.report(Problem("bad-value", f"{section!r} is a list", fix, position(file, node)))
        return
    for item in node.items:
        size = _size(item) if item.ranged else None
        if size is None:
            into.append(Entry(section, str(len(into)), file, None, item, None, 1))
            continue
        counter.spend(size, file, item)
        for member in range(size):
            into.append(Entry(section, str(len(into)), file, None, item, member, size))


def _collect_names(into: dict[str, Entry], section: str, file: str, node: Node, counter: Counter) -> None:
    if not isinstance(node, Mapping):
        fix = f"write `{section}:` and below it lines such as `name: {{...}}`"
        counter.report(Problem("bad-value", f"{section!r} maps names to entries", fix, position(file, node)))
        return
    for text, key in node.keys.items():
        value = node.nodes[text]
        if not key.ranged:
            _add(into, Entry(section, text, file, key, value, None, 1), counter.report)
            continue
        names = counter.names(key, file)
        for member, name in enumerate(names):
            _add(into, Entry(section, name, file, key, value, member, len(names)), counter.report)


def _add(into: dict[str, Entry], entry: Entry, report: Report) -> None:
    first = into.get(entry.name)
    if first is None:
        into[entry.name] = entry
        return
    assert entry.key is not None
    assert first.key is not None
    here = position(entry.file, entry.key)
    message = f"{entry.section} has {entry.name!r} twice: first at {position(first.file, first.key)}"
    report(Problem("name-used-twice", message, "give one of them another name", here))


def _size(node: Node) -> int | None:
    """How many members the first range in a list's item has."""
    if isinstance(node, Scalar):
        names = _members_or_none(node)
        return len(names) if names else None
    if isinstance(node, Sequence):
        return None
    for text, value in node.nodes.items():
        if value.ranged and text not in PROSE:
            size = _size(value)
            if size is not None:
                return size
    return None


def _members_or_none(node: Scalar) -> tuple[str, ...] | None:
    try:
        return members(node.text)
    except RangeError:
        return None


class _Expansion:
    """Makes the plain value of one member of an entry that has ranges in it."""

    def __init__(self, entry: Entry, counter: Counter) -> None:
        self._entry = entry
        self._counter = counter

    def plain(self, node: Node, member: int | None, count: int, key: str = "") -> Plain:
        if not node.ranged or key in PROSE:
            return node.value
        if isinstance(node, Scalar):
            return self._scalar(node, member, count)
        if isinstance(node, Mapping):
            return self._mapping(node, member, count, merge=self._entry.section == "gear" and key == "ports")
        values: list[Plain] = []
        for item in node.items:
            several = isinstance(item, Scalar) and item.ranged and member is None and key not in _IN_STEP_ONLY
            names = _members_or_none(item) if several and isinstance(item, Scalar) else None
            if names is None:
                values.append(self.plain(item, member, count))
            else:
                self._counter.spend(len(names), self._entry.file, item)
                values += names
        return values

    def _scalar(self, node: Scalar, member: int | None, count: int) -> Plain:
        try:
            texts = members(node.text)
        except RangeError as error:
            self._tell(str(error), error.fix, node)
            return node.value
        if texts is None:
            return node.value
        if len(texts) == count and member is not None:
            return texts[member]
        owner = self._entry.key.text if self._entry.key else "this entry"
        due = f"{owner!r} for {count}" if member is not None else "one is due here"
        fix = "all ranges of one entry have the same number of members; a name may be a range too: C01..C12"
        self._tell(f"{node.text!r} stands for {len(texts)}, {due}", fix, node)
        return texts[0]

    def _mapping(self, node: Mapping, member: int | None, count: int, merge: bool) -> Plain:
        values: dict[str, Plain] = {}
        stated: dict[str, Scalar] = {}
        for text, key in node.keys.items():
            value = node.nodes[text]
            if not key.ranged:
                self._put(values, stated, text, self.plain(value, member, count, text), key, merge)
                continue
            names = self._counter.names(key, self._entry.file)
            for index, name in enumerate(names):
                self._put(values, stated, name, self.plain(value, index, len(names), text), key, merge)
        return values

    def _put(
        self,
        values: dict[str, Plain],
        stated: dict[str, Scalar],
        name: str,
        value: Plain,
        key: Scalar,
        merge: bool,
    ) -> None:
        before = values.get(name)
        if name in values and not (merge and isinstance(before, dict) and isinstance(value, dict)):
            self._tell_twice(repr(name), stated[name], key)
        elif name in values and isinstance(before, dict) and isinstance(value, dict):
            twice = [inner for inner in value if inner in before]
            if twice:
                self._tell_twice(f"{twice[0]!r} of {name!r}", stated[name], key)
            value = {**before, **value}
        values[name] = value
        stated[name] = key

    def _tell_twice(self, what: str, first: Scalar, again: Scalar) -> None:
        file = self._entry.file
        message = f"{what} is stated twice: first at {position(file, first)}"
        self._counter.report(Problem("name-used-twice", message, "keep one of them", position(file, again)))

    def _tell(self, message: str, fix: str, node: Node) -> None:
        self._counter.report(Problem("range-mismatch", message, fix, position(self._entry.file, node)))


def start_of(file: str) -> Position:
    """The first place in a file."""
    return Position(file, 1, 1, 1, 1)
