"""The source language as a JSON Schema (draft 2020-12), made from the same declarations that read it."""

from __future__ import annotations

from typing import Any

from pydantic.json_schema import JsonSchemaMode, models_json_schema

from topodraw.model.entry import Entry
from topodraw.model.sections import LISTS, NAMED, PATTERNS
from topodraw.model.site import SiteInfo
from topodraw.model.written import PROMISES, ConduitEntry
from topodraw.source.files import VERSION

_PLACE = "#/$defs/{model}"
_MODE: JsonSchemaMode = "validation"
_FLOW = {
    "type": "string", "pattern": r"\S\s*<?->\s*\S", "examples": ["science <-> servers"]
}  # fmt: skip
_ABOUT = {
    "conduits": "Traffic that is allowed, from a to b or both ways; what no conduit names is refused.",
    "expect": "Promises: what must hold.",
    "naming": "What the names of a class of things look like.",
}
"""What the sections hold that no one kind of entry describes."""


def language_schema() -> dict[str, Any]:
    """The JSON Schema of a site's files, for editors that complete and check while one types.

    It says nothing about references: whether a name exists only reading the whole site can tell.
    """
    models: list[type[Entry]] = [*NAMED.values(), *LISTS.values(), SiteInfo, ConduitEntry, *PROMISES.values()]
    named, definitions = models_json_schema([(model, _MODE) for model in models], ref_template=_PLACE)
    refs = {model: named[(model, _MODE)] for model in models}
    sections: dict[str, Any] = {
        section: {"type": ["object", "null"], "additionalProperties": refs[model]}
        for section, model in NAMED.items()
    }
    items: dict[str, Any] = {section: refs[model] for section, model in LISTS.items()}
    items["conduits"] = {"anyOf": [_FLOW, refs[ConduitEntry]]}
    items["expect"] = {"anyOf": [refs[model] for model in PROMISES.values()]}
    sections |= {section: {"type": ["array", "null"], "items": item} for section, item in items.items()}
    sections |= {
        section: {"type": ["object", "null"], "additionalProperties": {"type": "string"}}
        for section in PATTERNS
    }
    for section, about in _ABOUT.items():
        sections[section]["description"] = about
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A site for topodraw",
        "description": "A name may be a range such as p1..p24, which stands for all its members.",
        "type": "object",
        "properties": {
            "topodraw": {"const": VERSION, "description": "Version of the language."},
            "site": refs[SiteInfo],
            "include": {
                "anyOf": [{"type": "string"}, {"type": "array", "items": {"type": "string"}}],
                "description": "More files of the site, by paths and patterns inside its folder.",
                "examples": [["hardware.yaml", "cabling/*.yaml"]],
            },
            **sections,
        },
        "additionalProperties": False,
        # An included file has sections only; the first file has both of these.
        "dependentRequired": {"topodraw": ["site"], "site": ["topodraw"], "include": ["topodraw"]},
        "$defs": {name: _for_writers(entry) for name, entry in definitions.get("$defs", {}).items()},
    }


def _for_writers(schema: Any) -> Any:
    """A schema without what only the program knows: titles made from names, and keys that begin with `@`."""
    if isinstance(schema, list):
        return [_for_writers(item) for item in schema]
    if not isinstance(schema, dict):
        return schema
    made: dict[str, Any] = {}
    for key, value in schema.items():
        if key == "title" and isinstance(value, str):
            continue
        if key == "properties":
            made[key] = {name: _for_writers(item) for name, item in value.items() if not name.startswith("@")}
        elif key == "required":
            made[key] = [name for name in value if not name.startswith("@")]
        else:
            made[key] = _for_writers(value)
    if made.get("type") == "string" and not {"pattern", "enum", "const", "format"} & made.keys():
        made["type"] = ["string", "number"]  # an unquoted 0012 where a text is due is that text
    return made
