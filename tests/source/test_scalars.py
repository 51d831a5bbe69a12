"""Plain words mean what YAML 1.2's core schema says (YAML 1.2.2, section 10.3.2)."""

import math
import re

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st
from ruamel.yaml import YAML

from topodraw.source.scalars import plain_value
from topodraw.source.yaml_reader import read_yaml

WORDS_OF_1_1 = [
    *("on", "off", "yes", "no", "Yes", "y", "n", "=", "+", "-", ".", "e5"),
    *("10:20:30", "10:20:30:40:50:59", "1_000", "1,000", "2026-11-25", "0b101"),
    *("12e03x", "0o9", "0xg", "1.2.3.4", "+.5."),
]


@pytest.mark.parametrize("word", WORDS_OF_1_1)
def test_what_only_yaml_1_1_knew_is_text(word: str) -> None:
    assert plain_value(word) == word


@pytest.mark.parametrize(
    ("word", "value"),
    [  # the table of section 10.3.2 and the example below it
        ("null", None),
        ("~", None),
        ("", None),
        ("true", True),
        ("FALSE", False),
        ("0", 0),
        ("0o7", 7),
        ("0x3A", 58),
        ("-19", -19),
        ("0.", 0.0),
        ("-0.0", -0.0),
        (".5", 0.5),
        ("+12e03", 12000.0),
        ("-2E+05", -200000.0),
        (".inf", math.inf),
        ("-.Inf", -math.inf),
        ("+.INF", math.inf),
    ],
)
def test_the_core_schema_resolves(word: str, value: object) -> None:
    assert plain_value(word) == value
    assert type(plain_value(word)) is type(value)


def test_not_a_number_is_a_float() -> None:
    value = plain_value(".NaN")
    assert isinstance(value, float)
    assert math.isnan(value)


@given(st.text("0123456789+-.eExoabfnNulTrtisFA~:_", min_size=1, max_size=8))
@example("0x1F")
@example("-12.50")
@example("tRue")
def test_an_independent_yaml_1_2_reader_agrees(word: str) -> None:
    # ruamel.yaml follows 1.2 but for underscores in numbers, "=" and dates, which 1.2 leaves as text,
    # and for some numbers with an exponent (1e5, .0E0), which the core schema takes for numbers.
    assume("_" not in word and not (word[-1] == ":" or ": " in word) and word[0] not in ":-")
    assume(not word.startswith(("0o", "+0", "-0")) and not re.search("[0-9.][eE]", word))
    theirs = YAML(typ="safe", pure=True).load(f"[{word}]")[0]
    ours = plain_value(word)
    if isinstance(theirs, (int, float, bool, str)) or theirs is None:
        assert (ours == theirs and type(ours) is type(theirs)) or (ours != ours and theirs != theirs)


def test_an_enormous_number_stays_text() -> None:
    assert plain_value("9" * 5000) == "9" * 5000


def test_quoted_words_are_text() -> None:
    node = read_yaml(b"a: '12'\nb: \"true\"\nc: 12\nd: |\n  12\non: 1\n", "f", pytest.fail)
    assert node is not None
    assert node.value == {"a": "12", "b": "true", "c": 12, "d": "12\n", "on": 1}
