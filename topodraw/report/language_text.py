"""The source language as a reference for people, made from its JSON Schema: every section, every key."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap
from typing import Any

from topodraw.report.lines import Line

Schema = dict[str, Any]

_WIDTH = 100
_HELP_COLUMN = 38
_INTRODUCTION = (
    "A site is one YAML file or several. After the colon of each key stands an example of what to write,"
    " or all the words that may stand there (a | b | c). NAME is a name of your own choice, TEXT any text,"
    " and names of other things are written as they stand in their own section. Quantities carry their"
    " unit. A port is written gear/port, a panel's rear panel/port:back. p1..p24 writes twenty-four names"
    " at once, in names and in references."
)


def language_lines(schema: Schema) -> list[Line]:
    """The language that `schema` (a JSON Schema of the whole) declares, section by section."""
    reference = _Reference(schema["$defs"])
    sections: dict[str, Schema] = schema["properties"]
    lines = [Line(text) for text in wrap(_INTRODUCTION, _WIDTH)]
    lines += [Line(), Line("Sections", "bold")]
    for name, section in sections.items():
        lines += _row(name, reference.about(section), 2, 18)
    for name, section in sections.items():
        lines += [Line(), *reference.section(name, section)]
    return lines


class _Reference:
    """Puts parts of a JSON Schema into words; `definitions` are what its references point at."""

    def __init__(self, definitions: dict[str, Schema]) -> None:
        self._definitions = definitions

    def about(self, section: Schema) -> str:
        """What a section holds, in one sentence."""
        if "description" in section:
            return str(section["description"])
        return next(str(entry.get("description", "")) for entry in self._entries(section))

    def section(self, name: str, section: Schema) -> Iterator[Line]:
        """A section: how it is written, what it holds, and every key."""
        entries = list(self._entries(section))
        yield Line(f"{name}: {self._section_form(section)}", "bold")
        yield from (Line(text, indent=2) for text in wrap(self.about(section), _WIDTH - 2))
        for entry in entries:
            if len(entries) > 1 or "description" in section:
                yield Line()
                yield from (Line(text, "bold", 2) for text in wrap(entry["description"], _WIDTH - 2))
            yield from self._keys(entry, 2)

    def _section_form(self, section: Schema) -> str:
        if "additionalProperties" in section:
            return f"{{NAME: {self._form(section['additionalProperties'])}}}"
        return self._form(section)

    def _keys(self, entry: Schema, indent: int) -> Iterator[Line]:
        needed = entry.get("required", ())
        for key, value in entry["properties"].items():
            told = f"{'Needed. ' if key in needed else ''}{value['description']}{_default(value)}"
            yield from _row(f"{key}: {self._form(value)}", told, indent, _HELP_COLUMN)
            for inner in self._entries(value):
                yield from self._keys(inner, indent + 4)

    def _entries(self, value: Schema) -> Iterator[Schema]:
        """The kinds of entry that stand in a value: itself, in a list, or under names."""
        if "$ref" in value:
            yield self._definitions[value["$ref"].rpartition("/")[2]]
        for branch in value.get("anyOf", ()):
            yield from self._entries(branch)
        for part in ("items", "additionalProperties"):
            if isinstance(value.get(part), dict):
                yield from self._entries(value[part])

    def _form(self, value: Schema) -> str:
        """How a value is written: an example, the words allowed, or its kind."""
        if value.get("examples"):
            return _written(value["examples"][0])
        if "const" in value or "enum" in value:
            return " | ".join(map(_written, value.get("enum", [value.get("const")])))
        if "$ref" in value:
            return "{...}"
        if "anyOf" in value:
            forms = [self._form(branch) for branch in value["anyOf"] if branch.get("type") != "null"]
            return " or ".join(dict.fromkeys(forms))
        kinds = value.get("type", "string")
        if "array" in kinds:
            items = value.get("items") or {}
            return f"[{self._form(items)}, ...]"
        if "object" in kinds:
            return f"{{NAME: {self._form(value.get('additionalProperties') or {})}}}"
        if "boolean" in kinds:
            return "true | false"
        return "TEXT" if "string" in kinds else _number(value)


def _number(value: Schema) -> str:
    kind = "whole number" if value["type"] == "integer" else "number"
    least, most = value.get("minimum"), value.get("maximum")
    if least is not None and most is not None:
        return f"{kind} {least} to {most}"
    return kind if least is None else f"{kind} from {least}"


def _default(value: Schema) -> str:
    """What holds where the key is left out, if that is more than nothing."""
    default = value.get("default")
    if default is None or isinstance(default, dict) or default == [] or "pattern" in value:
        return ""
    return f" Default {_written(default)}."


def _written(value: Any) -> str:
    """A value in one line of YAML."""
    if isinstance(value, dict):
        return f"{{{', '.join(f'{key}: {_written(part)}' for key, part in value.items())}}}"
    if isinstance(value, list):
        return f"[{', '.join(map(_written, value))}]"
    return str(value).lower() if isinstance(value, bool) else str(value)


def _row(left: str, right: str, indent: int, column: int) -> Iterator[Line]:
    """`left` with `right` beside it, from `column` on; below it where `left` is too long."""
    beside = wrap(right, _WIDTH - column, break_on_hyphens=False)
    room = column - indent - 2
    if len(left) <= room:
        yield Line(f"{left:{room + 2}}{beside.pop(0) if beside else ''}".rstrip(), indent=indent)
    else:
        yield from (
            Line(text, indent=indent + (4 if number else 0))
            for number, text in enumerate(wrap(left, _WIDTH - indent - 4))
        )
    yield from (Line(text, indent=column) for text in beside)
