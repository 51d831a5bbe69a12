"""YAML text as values that know where they stand."""

from __future__ import annotations

from typing import TYPE_CHECKING, Union

from topodraw.source.problem import Position

if TYPE_CHECKING:
    from yaml import Mark

Plain = Union[str, int, float, bool, None, list["Plain"], dict[str, "Plain"]]  # noqa: UP007
"""A value without its place."""


class Scalar:
    """One word or text. `text` is what was written, `value` what that means; `ranged` where it holds `..`."""

    __slots__ = ("end", "ranged", "start", "text", "value")

    def __init__(self, text: str, value: Plain, ranged: bool, start: Mark, end: Mark) -> None:
        self.text = text
        self.value = value
        self.ranged = ranged
        self.start = start
        self.end = end


class Sequence:
    """A list. `ranged` where a text inside it holds `..`."""

    __slots__ = ("end", "items", "ranged", "start", "value")

    def __init__(self, start: Mark) -> None:
        self.items: list[Node] = []
        self.value: list[Plain] = []
        self.ranged = False
        self.start = start
        self.end = start


class Mapping:
    """Names to values, in the order written: `keys` has where each name stands, `nodes` what it leads to."""

    __slots__ = ("end", "keys", "nodes", "ranged", "start", "value")

    def __init__(self, start: Mark) -> None:
        self.keys: dict[str, Scalar] = {}
        self.nodes: dict[str, Node] = {}
        self.value: dict[str, Plain] = {}
        self.ranged = False
        self.start = start
        self.end = start


Node = Scalar | Sequence | Mapping


def position(file: str, node: Node) -> Position:
    """Where `node` stands; a block that ends at the start of a later line ends there."""
    start, end = node.start, node.end
    return Position(file, start.line + 1, start.column + 1, end.line + 1, end.column + 1)
