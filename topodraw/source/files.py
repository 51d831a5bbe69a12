"""A site's files: the first one and those it includes, each read once, from inside the site's folder only."""

from __future__ import annotations

import stat
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath
from typing import Protocol

from topodraw.source.nodes import Mapping, Node, Scalar, Sequence, position
from topodraw.source.problem import Position, Problem
from topodraw.source.suggest import did_you_mean, listed, nearest
from topodraw.source.yaml_reader import BadYamlError, read_yaml

FIRST_FILE = "site.yaml"
VERSION = 1
LARGEST_FILE_BYTES = 256 * 2**20


class FileRefusedError(Exception):
    """A file that is not there, or that a site may not read; `fix` says what would do."""

    def __init__(self, message: str, fix: str) -> None:
        super().__init__(message)
        self.fix = fix


class Folder(Protocol):
    """Where a site's files come from. Names are relative, with `/`, whatever the system."""

    def read(self, name: str) -> bytes:
        """The bytes of one file. Raises FileRefusedError if there is none, or it may not be read."""

    def matching(self, pattern: str) -> list[str]:
        """The names of the files that a glob matches, sorted."""

    def names(self) -> list[str]:
        """The names of the YAML files in it, sorted: what a misspelt name may have meant."""


class DiskFolder:
    """A folder on disk. A link that leads out of it is refused."""

    def __init__(self, root: Path) -> None:
        self._root = root.resolve()

    def read(self, name: str) -> bytes:
        """The bytes of one file. Raises FileRefusedError if there is none, or it may not be read."""
        path = self._root / name
        try:
            real = path.resolve(strict=True)
            if not real.is_relative_to(self._root):
                raise FileRefusedError(
                    f"{name!r} is a link that leads out of the site's folder", _STAY_INSIDE
                )
            about = real.stat()
            if not stat.S_ISREG(about.st_mode):
                raise FileRefusedError(f"{name!r} is not a file", "name a YAML file")
            if about.st_size > LARGEST_FILE_BYTES:
                message = f"{name!r} holds more than {LARGEST_FILE_BYTES // 2**20} MiB"
                raise FileRefusedError(message, "split it into several files")
            return real.read_bytes()
        except FileNotFoundError:
            message = f"there is no file {name!r}{did_you_mean(name, self.names())}"
            raise FileRefusedError(message, "correct the name, or make the file") from None
        except (OSError, RuntimeError) as error:
            reason = getattr(error, "strerror", None) or "links that lead in a circle"
            raise FileRefusedError(f"{name!r} can't be read: {reason}", "make it readable") from None

    def matching(self, pattern: str) -> list[str]:
        """The names of the files that a glob matches, sorted."""
        try:
            found = [path for path in self._root.glob(pattern) if path.is_file()]
        except (OSError, ValueError):  # a folder that can't be listed, a pattern such as **x
            return []
        return sorted(path.relative_to(self._root).as_posix() for path in found)

    def names(self) -> list[str]:
        """The names of the YAML files in it, sorted: what a misspelt name may have meant."""
        return self.matching("*.yaml") + self.matching("*/*.yaml")


@dataclass(slots=True)
class Source:
    """A site's text, joined: for each section, its parts in reading order with the file each stands in."""

    first: str
    files: list[str] = field(default_factory=list)
    info: Mapping | None = None
    sections: dict[str, list[tuple[str, Node]]] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    complete: bool = True
    """False where a file could not be read: what it names is not known then."""


_STAY_INSIDE = "an included file stands in the site's folder: give its path from there"
_NAME_A_SITE = f"name a site's file, or a folder that holds a {FIRST_FILE}"
_ONLY_FIRST = ("topodraw", "site", "include")


def load_source(folder: Folder, first: str, sections: tuple[str, ...]) -> Source:
    """Read the file `first` and what it includes. `sections` are the names that may stand at the top.

    Bad text is no exception: what is wrong is in the `problems` of the answer, beside all that could be read.
    """
    loader = _Loader(folder, first, sections)
    loader.load()
    return loader.source


class _Loader:
    def __init__(self, folder: Folder, first: str, sections: tuple[str, ...]) -> None:
        self._folder = folder
        self._sections = sections
        self._included_at: dict[str, Position] = {}
        self.source = Source(first)

    def load(self) -> None:
        first = self.source.first
        start = Position(first, 1, 1, 1, 1)
        root = self._read(first, start, "no-site")
        if root is None:
            return
        self._check_version(root)
        site = root.nodes.get("site")
        if isinstance(site, Mapping):
            self.source.info = site
        else:
            place = position(first, root.keys["site"]) if site else start
            fix = "write `site: {name: Saltmarsh Field Station, ref: SMF}`"
            self._tell("missing-key", "the file says nothing about its site", fix, place)
        self._take_sections(first, root)
        self._include(root)

    def _read(self, name: str, asked_at: Position, rule: str) -> Mapping | None:
        try:
            data = self._folder.read(name)
        except FileRefusedError as error:
            fix = error.fix if rule == "include-refused" else _NAME_A_SITE
            self._tell(rule, str(error), fix, asked_at)
            self.source.complete = False
            return None
        self.source.files.append(name)
        try:
            node = read_yaml(data, name, self.source.problems.append)
        except BadYamlError as error:
            self.source.problems.append(error.problem)
            self.source.complete = False
            return None
        if isinstance(node, Mapping):
            return node
        if node is None and name != self.source.first:
            return None
        place = position(name, node) if node else Position(name, 1, 1, 1, 1)
        self._tell("bad-yaml", "the file holds no sections", "write sections such as `gear:`", place)
        return None

    def _check_version(self, root: Mapping) -> None:
        first = self.source.first
        node = root.nodes.get("topodraw")
        if isinstance(node, Scalar) and type(node.value) is int and node.value == VERSION:
            return
        fix = f"write `topodraw: {VERSION}` on the first line"
        if node is None:
            message = "the file doesn't say which version of the language it is in"
            self._tell("unknown-version", message, fix, Position(first, 1, 1, 1, 1))
        else:
            written = node.text if isinstance(node, Scalar) else "that"
            message = f"{written} is no version of the language that this program reads"
            self._tell("unknown-version", message, fix, position(first, node))

    def _take_sections(self, file: str, root: Mapping) -> None:
        is_first = file == self.source.first
        for name, node in root.nodes.items():
            if name in self._sections:
                self._take(name, file, node)
            elif name in _ONLY_FIRST:
                if not is_first:
                    self._refuse_in_included(file, name, root)
            else:
                known = (*self._sections, *(_ONLY_FIRST if is_first else ()))
                message = f"unknown section {name!r}{did_you_mean(name, known)}"
                place = position(file, root.keys[name])
                self._tell("unknown-key", message, f"sections: {listed(known, 40)}", place)
                meant = nearest(name, self._sections)
                if meant and meant not in root.nodes:
                    self._take(meant, file, node)  # so that what refers to its entries finds them

    def _take(self, section: str, file: str, node: Node) -> None:
        if not (isinstance(node, Scalar) and node.value is None):
            self.source.sections.setdefault(section, []).append((file, node))

    def _refuse_in_included(self, file: str, name: str, root: Mapping) -> None:
        place = position(file, root.keys[name])
        message = f"{name!r} stands only in the first file ({self.source.first})"
        rule = "unknown-key"
        if name == "include":
            rule = "include-refused"
            asked = [item.text for item in _items(root.nodes[name]) if isinstance(item, Scalar)]
            loop = [text for text in asked if text in (file, *self.source.files, *self._included_at)]
            if loop:
                message = f"an include loop: {file} is included and includes {loop[0]} again; " + message
        self._tell(rule, message, f"move it to {self.source.first}", place)

    def _include(self, root: Mapping) -> None:
        node = root.nodes.get("include")
        for item in _items(node) if node else []:
            if not isinstance(item, Scalar) or not isinstance(item.value, str):
                place = position(self.source.first, item)
                self._tell(
                    "bad-value", "an include is the name of a file", "write `include: [gear.yaml]`", place
                )
                continue
            for name in self._names_meant(item):
                included = self._read(name, position(self.source.first, item), "include-refused")
                if included is not None:
                    self._take_sections(name, included)

    def _names_meant(self, item: Scalar) -> list[str]:
        """The files that one item of `include` asks for, those read before left out."""
        place, written = position(self.source.first, item), item.text
        path = PurePosixPath(written)
        if path.is_absolute() or ".." in path.parts or "\\" in written or ":" in written or not path.parts:
            self._tell("include-refused", f"{written!r} leads out of the site's folder", _STAY_INSIDE, place)
            return []
        name = path.as_posix()
        if any(character in name for character in "*?["):
            found = [match for match in self._folder.matching(name) if match != self.source.first]
            if not found:
                self._tell("include-refused", f"no file matches {written!r}", "correct the pattern", place)
                self.source.complete = False
            names = [match for match in found if match not in self._included_at]
        elif name == self.source.first:
            self._tell("include-refused", f"an include loop: {name} includes itself", "take it out", place)
            return []
        elif name in self._included_at:
            message = f"{name!r} is included twice: first at {self._included_at[name]}"
            self._tell("include-refused", message, "take one of them out", place)
            return []
        else:
            names = [name]
        self._included_at.update(dict.fromkeys(names, place))
        return names

    def _tell(self, rule: str, message: str, fix: str, place: Position) -> None:
        self.source.problems.append(Problem(rule, message, fix, place))


def _items(node: Node) -> list[Node]:
    """The items of a list; one item may stand without brackets."""
    if isinstance(node, Sequence):
        return node.items
    return [] if isinstance(node, Scalar) and node.value is None else [node]


def find_first(path: Path, read: Callable[[Path], Folder] = DiskFolder) -> tuple[Folder, str]:
    """The folder and first file of the site at `path`: the file itself, or the folder's `site.yaml`."""
    if path.is_dir():
        return read(path), FIRST_FILE
    return read(path.parent), path.name
