"""The reference of the language tells everything that can be written, as people look it up."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from pydantic import BaseModel

from topodraw.model.schema import language_schema
from topodraw.model.sections import LISTS, NAMED, SECTIONS
from topodraw.model.site import SiteInfo
from topodraw.model.written import PROMISES, ConduitEntry
from topodraw.report.language_text import language_lines

SCHEMA = language_schema()
TEXT = [" " * line.indent + line.text for line in language_lines(SCHEMA)]
ENTRIES = [*NAMED.items(), *LISTS.items(), ("site", SiteInfo), ("conduits", ConduitEntry)]
ENTRIES += [("expect", promise) for promise in PROMISES.values()]


def section(name: str) -> list[str]:
    """The lines of one section, without its heading."""
    start = next(number for number, line in enumerate(TEXT) if line.startswith(f"{name}: ")) + 1
    rest = TEXT[start:]
    ends = (number for number, line in enumerate(rest) if line and not line.startswith(" "))
    return rest[: next(ends, len(rest))]


def models_in(annotation: Any) -> Iterator[type[BaseModel]]:
    """Every kind of entry that an annotation speaks of, and those inside them."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
        for info in annotation.model_fields.values():
            yield from models_in(info.annotation)
    for part in getattr(annotation, "__args__", ()):
        yield from models_in(part)
    if hasattr(annotation, "__origin__") and hasattr(annotation, "__metadata__"):
        yield from models_in(annotation.__origin__)


def keys_of(model: type[BaseModel]) -> list[str]:
    keys = [info.alias or name for name, info in model.model_fields.items()]
    return [key for key in keys if not key.startswith("@")]


def test_every_section_has_its_heading_and_is_listed_at_the_top() -> None:
    for name in ("topodraw", "site", "include", *SECTIONS):
        assert sum(line.startswith(f"{name}: ") for line in TEXT) == 1
        assert any(line.startswith(f"  {name} ") for line in TEXT[: TEXT.index("topodraw: 1")])


@pytest.mark.parametrize(("name", "model"), ENTRIES, ids=lambda value: getattr(value, "__name__", value))
def test_every_key_of_the_declarations_stands_in_its_section(name: str, model: type[BaseModel]) -> None:
    lines = [line.strip() for line in section(name)]
    for inner in models_in(model):
        for key in keys_of(inner):
            assert any(line.startswith(f"{key}: ") for line in lines), f"{inner.__name__}: {key}"


@pytest.mark.parametrize(("name", "model"), ENTRIES, ids=lambda value: getattr(value, "__name__", value))
def test_every_key_has_help(name: str, model: type[BaseModel]) -> None:
    for inner in models_in(model):
        for key, info in inner.model_fields.items():
            if not (info.alias or "").startswith("@"):
                assert (info.description or "").endswith("."), f"{inner.__name__}: {key}"


def test_editors_get_the_same_help() -> None:
    for name, entry in SCHEMA["$defs"].items():
        for key, value in entry["properties"].items():
            assert value.get("description"), f"{name}: {key}"
    assert all("description" in SCHEMA["properties"][name] for name in ("conduits", "expect", "naming"))


def test_who_looks_for_a_switch_port_with_a_tagged_vlan_finds_it() -> None:
    gear = section("gear")
    ports = next(number for number, line in enumerate(gear) if line.startswith("  ports: "))
    assert "u1: {tagged: [science, watch]}" in gear[ports]
    assert any(line.startswith("      tagged: ") and "trunk" in line for line in gear[ports:])


def test_a_key_shows_how_to_write_it_whether_it_is_needed_and_its_default() -> None:
    cables = " ".join(" ".join(section("cables")).split())
    assert "medium: Cat5e | Cat6 | Cat6A |" in cables
    assert "twinax | radio Needed." in cables
    assert "length: 0.5m Its length." in cables
    assert "Default in-service." in cables
    assert "load-factor: 80%" in " ".join(section("site"))
    assert "units: whole number 1 to 60 Needed." in " ".join(" ".join(section("places")).split())


def test_it_reads_well_at_a_hundred_columns() -> None:
    assert max(map(len, TEXT)) <= 100
