"""Where a part of the model stands in the text, found when it is asked for."""

from __future__ import annotations

from typing import NamedTuple

from topodraw.source.entries import PROSE, Entries, start_of
from topodraw.source.files import Source
from topodraw.source.nodes import Mapping, Node, Scalar, Sequence, position
from topodraw.source.problem import Position
from topodraw.source.ranges import RangeError, members


class _Spot(NamedTuple):
    depth: int
    key: Scalar | None
    node: Node


class Positions:
    """From paths such as `("gear", "core", "ports", "x5", "tagged")` to the text that says it."""

    def __init__(self, source: Source, entries: Entries) -> None:
        self._source = source
        self._entries = entries

    def find(self, path: tuple[str, ...]) -> Position:
        """The place of the longest known beginning of `path`: a word's own, or the key of what is longer.

        Names are those that ranges make (`u2` is found in `u1..u2`); items of a list are counted from "0".
        """
        file, spot = self._spot(path)
        if spot is None:
            return start_of(file)
        word = isinstance(spot.node, Scalar) and spot.node.value is not None
        return position(file, spot.node if word or spot.key is None else spot.key)

    def key(self, path: tuple[str, ...]) -> Position:
        """The place of the key, where `find` would give that of the value."""
        file, spot = self._spot(path)
        return position(file, spot.key or spot.node) if spot else start_of(file)

    def text(self, path: tuple[str, ...]) -> str:
        """The word that stands at `path`, as written; empty where no word does."""
        _, spot = self._spot(path)
        return spot.node.text if spot and isinstance(spot.node, Scalar) else ""

    def _spot(self, path: tuple[str, ...]) -> tuple[str, _Spot | None]:
        first = self._source.first
        section, *rest = path or ("",)
        if section == "site":
            return first, _walk(_Spot(0, None, self._source.info), rest) if self._source.info else None
        entry = self._entries.named.get(section, {}).get(rest[0]) if rest else None
        in_order = self._entries.listed.get(section, [])
        if rest and rest[0].isdecimal() and int(rest[0]) < len(in_order):
            entry = in_order[int(rest[0])]
        if entry is not None:
            return entry.file, _walk(_Spot(0, entry.key, entry.node), rest[1:], entry.member is not None)
        parts = self._source.sections.get(section)
        return (parts[0][0], _Spot(0, None, parts[0][1])) if parts else (first, None)


def _walk(spot: _Spot, path: list[str], in_step: bool = False) -> _Spot:
    """The deepest spot that the path leads to; of several keys that make a name, that which leads deepest."""
    if not path:
        return spot
    name, *rest = path
    depth, _, node = spot
    if isinstance(node, Mapping):
        found = [
            _walk(_Spot(depth + 1, key, node.nodes[text]), rest, in_step or key.ranged)
            for text, key in node.keys.items()
            if text == name or (key.ranged and name in _names(text))
        ]
        return max(reversed(found), key=lambda other: other.depth) if found else spot
    if isinstance(node, Sequence) and name.isdecimal():
        items = [item for item in node.items for _ in range(1 if in_step else _times(item))]
        if int(name) < len(items):
            return _walk(_Spot(depth + 1, None, items[int(name)]), rest, in_step)
    return spot


def _names(text: str) -> tuple[str, ...]:
    try:
        return members(text) or () if text not in PROSE else ()
    except RangeError:
        return ()


def _times(item: Node) -> int:
    return len(_names(item.text)) or 1 if isinstance(item, Scalar) and item.ranged else 1
