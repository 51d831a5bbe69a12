"""YAML text to nodes that know their place: a careful subset of YAML 1.2, read without recursion.

Refused, because they hide where a value stands or what it is: aliases and anchors, merge keys, tags, several
documents in one file, tabs in indentation, a key twice in one mapping, control characters.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable
from typing import Any

import yaml
from yaml import events

from topodraw.source.nodes import Mapping, Node, Scalar, Sequence, position
from topodraw.source.problem import Position, Problem
from topodraw.source.scalars import plain_value

_Parser: Any
try:
    from yaml.cyaml import CParser as _Parser  # type: ignore[attr-defined]
except ImportError:  # PyYAML was built without LibYAML: the pure parser says the same, only slower
    _Parser = yaml.Loader

DEEPEST = 60
"""How many mappings and lists may stand inside each other."""

MOST_TOLD = 100
"""After so many slips of YAML in one file, it is no site's file."""

_TAB_INDENT = re.compile(r"^ *\t[ \t]*[^ \t\r\n]", re.MULTILINE)
_REORDERING = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
"""Bidirectional overrides (UAX #9): they can make a text read as something that it is not."""


class BadYamlError(Exception):
    """A file that can't be read on; `problem` says why and where."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem.message)
        self.problem = problem


def read_yaml(data: bytes, file: str, report: Callable[[Problem], None]) -> Node | None:
    """The one document in `data`, None if it is empty.

    What spoils a single key is given to `report`; raises BadYamlError for what spoils the whole file.
    """
    text = _decode(data, file)
    tab = _TAB_INDENT.search(text) if "\t" in text else None
    if tab:
        line = text.count("\n", 0, tab.end()) + 1
        column = tab.group().index("\t") + 1
        _refuse(file, line, column, "a tab in the indentation", "indent with spaces")
    try:
        return _Builder(text, file, report).read()
    except yaml.MarkedYAMLError as error:
        line, column = _place(error, text)
        _refuse(file, line, column, _reason(error), _advice(error))
    except yaml.reader.ReaderError as error:
        line, column = _line_and_column(text, error.position)
        what = f"a character that is not allowed: {_named(chr(error.character))}"
        _refuse(file, line, column, what, "take it out")
    raise AssertionError("unreachable")


def _refuse(file: str, line: int, column: int, message: str, fix: str) -> None:
    raise BadYamlError(Problem("bad-yaml", message, fix, Position(file, line, column, line, column + 1)))


def _decode(data: bytes, file: str) -> str:
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = data[: error.start]
        column = len(before[before.rfind(b"\n") + 1 :].decode("utf-8", "replace")) + 1
        message = f"the file is not UTF-8: byte {error.start + 1} is 0x{data[error.start]:02x}"
        _refuse(file, before.count(b"\n") + 1, column, message, "save the file as UTF-8")
        raise


def _line_and_column(text: str, offset: int) -> tuple[int, int]:
    return text.count("\n", 0, offset) + 1, offset - text.rfind("\n", 0, offset)


def _place(error: yaml.MarkedYAMLError, text: str) -> tuple[int, int]:
    """Where to look: of a bracket or quote that stays open, its beginning, not the end of the file."""
    last = len(text.rstrip()) - 1
    for mark in (error.problem_mark, error.context_mark):
        if mark and mark.index <= last:
            return mark.line + 1, mark.column + 1
    return _line_and_column(text, max(last, 0))


def _reason(error: yaml.MarkedYAMLError) -> str:
    said = " ".join(part for part in (error.context, error.problem) if part)
    if "cannot start any token" in said:
        return "a character that can't begin a word"
    if "nesting" in said:
        return f"nested more than {DEEPEST} deep"
    begun = f" begun on line {error.context_mark.line + 1}" if error.context and error.context_mark else ""
    return f"the YAML can't be read: {error.context or ''}{begun} {error.problem or ''}".rstrip()


def _advice(error: yaml.MarkedYAMLError) -> str:
    said = error.problem or ""
    if "cannot start any token" in said:
        return "put quotes around the text"
    if "mapping values are not allowed" in said:
        return "put quotes around a text that holds ': ', or check the indentation"
    if "nesting" in said:
        return "no part of a site goes that deep"
    if "expected ',' or" in said:
        return "close the bracket, or put a comma between the items"
    return "check the indentation, quotes and brackets of this line and the one before"


def _named(character: str) -> str:
    return f"U+{ord(character):04X} {unicodedata.name(character, 'control character')}"


class _Builder:
    """Puts the parser's events together, with a stack of its own in place of recursion."""

    def __init__(self, text: str, file: str, report: Callable[[Problem], None]) -> None:
        self._file = file
        self._report = report
        self._told = 0
        self._next: Callable[[], Any] = _Parser(text).get_event

    def read(self) -> Node | None:
        """Run through the events. The kinds that make up nearly all of a file are tested first."""
        get_event, scalar = self._next, self._scalar
        stack: list[tuple[Mapping | Sequence | None, Scalar | None]] = []
        parent: Mapping | Sequence | None = None
        key: Scalar | None = None
        root: Node | None = None
        node: Node
        while True:
            event = get_event()
            kind = event.__class__
            if kind is events.ScalarEvent:
                node = scalar(event)
            elif kind is events.MappingStartEvent or kind is events.SequenceStartEvent:
                if len(stack) >= DEEPEST:
                    self._stop(event, f"nested more than {DEEPEST} deep", "no part of a site goes that deep")
                if event.anchor is not None or event.tag is not None:
                    self._refuse_marks(event)
                stack.append((parent, key))
                opens = Mapping if kind is events.MappingStartEvent else Sequence
                parent, key = opens(event.start_mark), None
                continue
            elif kind is events.MappingEndEvent or kind is events.SequenceEndEvent:
                assert parent is not None
                node = parent
                node.end = event.end_mark
                parent, key = stack.pop()
            elif kind is events.AliasEvent:
                node = self._alias(event)
            elif kind is events.StreamEndEvent:
                return root
            else:
                if kind is events.DocumentStartEvent and root is not None:
                    self._stop(event, "a second document in one file", "put it into a file of its own")
                continue
            if isinstance(parent, Mapping):
                if key is None:
                    key = self._key(parent, node, event)
                    continue
                name = key.text
                parent.keys[name] = key
                parent.nodes[name] = node
                parent.value[name] = node.value
                if node.ranged or key.ranged:
                    parent.ranged = True
                key = None
            elif parent is not None:
                parent.items.append(node)
                parent.value.append(node.value)
                if node.ranged:
                    parent.ranged = True
            else:
                root = node

    def _scalar(self, event: Any) -> Scalar:
        text: str = event.value
        if event.anchor is not None or event.tag is not None:
            self._refuse_marks(event)
        if not text.isprintable():
            self._check_characters(event, text)
        value = plain_value(text) if event.implicit[0] else text
        return Scalar(text, value, ".." in text, event.start_mark, event.end_mark)

    def _key(self, parent: Mapping, key: Node, event: Any) -> Scalar:
        if not isinstance(key, Scalar):
            self._stop(event, "a key that is not a word", "a key is one word, such as core or p1..p8")
            raise AssertionError("unreachable")
        name = key.text
        if name in parent.keys:
            first = position(self._file, parent.keys[name])
            message = f"{name!r} stands twice here: first at {first}"
            place = position(self._file, key)
            self._report(Problem("name-used-twice", message, "keep one of them", place))
        elif name == "<<":
            self._tell(event, "a merge key (<<): it hides where a value stands", "write the keys out")
        elif not name or name[0] == "@" or not name.isprintable() or name != name.strip():
            fix = "a name is one line of visible characters, no space at its ends, no @ at its beginning"
            self._tell(event, f"{name!r} can't be a name", fix)
        return key

    def _check_characters(self, event: Any, text: str) -> None:
        for character in text:
            control = unicodedata.category(character) in ("Cc", "Cs", "Cn") and character not in "\n\t"
            if control or character in _REORDERING:
                self._tell(event, f"a text with {_named(character)} in it", "take that character out")
                return

    def _refuse_marks(self, event: Any) -> None:
        if event.anchor is not None:
            self._tell(event, f"an anchor (&{event.anchor})", "write the value out where it is needed")
        if event.tag is not None:
            self._tell(event, f"a tag ({event.tag})", "leave the tag out: every key knows what it holds")

    def _alias(self, event: Any) -> Scalar:
        self._tell(event, f"an alias (*{event.anchor})", "write the value out where it is needed")
        return Scalar(f"*{event.anchor}", None, False, event.start_mark, event.end_mark)

    def _tell(self, event: Any, message: str, fix: str) -> None:
        start, end = event.start_mark, event.end_mark
        place = Position(self._file, start.line + 1, start.column + 1, end.line + 1, end.column + 1)
        problem = Problem("bad-yaml", message, fix, place)
        self._told += 1
        if self._told > MOST_TOLD:
            raise BadYamlError(problem)
        self._report(problem)

    def _stop(self, event: Any, message: str, fix: str) -> None:
        start = event.start_mark
        _refuse(self._file, start.line + 1, start.column + 1, message, fix)
