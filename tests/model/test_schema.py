"""The JSON Schema of the language takes what the reader takes and refuses what editors can catch."""

import json
from pathlib import Path

import jsonschema
import pytest

from tests.model.test_bad_source import BASE, CASES, unmarked
from topodraw.model.schema import language_schema
from topodraw.model.sections import SECTIONS
from topodraw.source.shipped import shipped_folder
from topodraw.source.yaml_reader import read_yaml

SCHEMA = language_schema()
CHECK = jsonschema.Draft202012Validator(SCHEMA)
EXAMPLES = sorted(shipped_folder("examples").glob("*/*.yaml"))


def plain(text: str) -> object:
    """What a YAML 1.2 reader makes of `text`."""
    node = read_yaml(text.encode(), "f", lambda _: None)
    return node.value if node else None


def test_it_is_a_json_schema() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    assert json.loads(json.dumps(SCHEMA)) == SCHEMA


def test_it_knows_every_section_and_shows_nothing_internal() -> None:
    assert set(SCHEMA["properties"]) == {"topodraw", "site", "include", *SECTIONS}
    assert '"@' not in json.dumps(SCHEMA)


@pytest.mark.parametrize("path", EXAMPLES, ids=[f"{path.parent.name}/{path.name}" for path in EXAMPLES])
def test_the_examples_fit(path: Path) -> None:
    CHECK.validate(plain(path.read_text(encoding="utf-8")))


def test_a_site_with_every_key_fits() -> None:
    CHECK.validate(plain(Path(__file__).with_name("every_key.yaml").read_text(encoding="utf-8")))
    CHECK.validate(plain(BASE))


CAUGHT = ("unknown-key: unknown key", "unknown-key: unknown section", "missing-key: hardware")


@pytest.mark.parametrize(
    "case", [case for case in CASES if case["says"][0].startswith(CAUGHT)], ids=lambda c: c["case"]
)
def test_misspelt_and_missing_keys_are_caught(case: dict) -> None:
    assert not CHECK.is_valid(plain(unmarked(case["text"])[0]))


@pytest.mark.parametrize(
    "text",
    [
        "topodraw: 2\nsite: {name: S, ref: S}",
        "topodraw: 1",
        "site: {name: S, ref: S}",
        "topodraw: 1\nsite: {name: S}",
        "cables: {C: {ends: [a/1], medium: Cat6}}",
        "cables: {C: {ends: [a/1, b/1], medium: Cat9}}",
        "cables: {C: {ends: [a/1, b/1], medium: Cat6, length: 5}}",
        "cables: {C: {ends: [a/1, b/1], medium: Cat6, length: 5W}}",
        "conduits: [a => b]",
        "expect: [{rot: core}]",
        "gear: {g: {model: h, count: 0}}",
        "gear: [core]",
    ],
)
def test_what_cannot_be_right_is_caught(text: str) -> None:
    assert not CHECK.is_valid(plain(text))
