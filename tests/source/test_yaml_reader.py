"""YAML is read with places, and what hides places or meaning is refused."""

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from topodraw.source import yaml_reader
from topodraw.source.nodes import Mapping, Scalar, Sequence, position
from topodraw.source.problem import Problem
from topodraw.source.yaml_reader import BadYamlError, read_yaml


def problems_of(data: bytes) -> list[Problem]:
    """Everything that is said about a file."""
    told: list[Problem] = []
    try:
        read_yaml(data, "f.yaml", told.append)
    except BadYamlError as error:
        told.append(error.problem)
    return told


@pytest.mark.parametrize(
    ("text", "place", "said"),
    [
        ("a: [1, 2", "1:4", "begun on line 1"),
        ("a:\n\tb: 1", "2:1", "a tab in the indentation"),
        ("a:\n  b: 1\n \t c: 2", "3:2", "a tab in the indentation"),
        ("a: &x 1\nb: *x", "1:4", "an anchor (&x)"),
        ("b: *x", "1:4", "an alias (*x)"),
        ("a: &x [1]", "1:4", "an anchor (&x)"),
        ("a: !!python/object:os.system 1", "1:4", "a tag (tag:yaml.org,2002:python/object:os.system)"),
        ("a: !mine {b: 1}", "1:4", "a tag (!mine)"),
        ("a: {<<: {b: 1}}", "1:5", "a merge key (<<)"),
        ("a: 1\n---\nb: 2", "2:1", "a second document in one file"),
        ("a: 1\nb: 2\na: 3", "3:1", "'a' stands twice here: first at f.yaml:1:1"),
        ("a: {b: 1, c: 2, b: 3}", "1:17", "'b' stands twice here: first at f.yaml:1:5"),
        ("? [a, b]\n: 1", "1:8", "a key that is not a word"),
        ("a: b: c", "1:5", "mapping values are not allowed"),
        ("a: @b", "1:4", "a character that can't begin a word"),
        ("a: 'b", "1:4", "begun on line 1"),
        ("'': 1", "1:1", "'' can't be a name"),
        ("' a': 1", "1:1", "' a' can't be a name"),
        ("'@name': 1", "1:1", "'@name' can't be a name"),
        ('"a\\nb": 1', "1:1", "'a\\nb' can't be a name"),
        ('a: "\\0"', "1:4", "U+0000"),
        ('a: "\\e[2J"', "1:4", "U+001B"),
        ('a: "x\\u202Egnp"', "1:4", "U+202E RIGHT-TO-LEFT OVERRIDE"),
        ('"core\\u200F": 1', "1:1", "can't be a name"),
        ("a: \x00", "1:4", "U+0000"),
        ("a: \x07", "1:4", "U+0007"),
        ("a: \ufffe", "1:4", "U+FFFE"),
        ("a: 1\nb: \x7f", "2:4", "U+007F"),
    ],
)
def test_what_is_refused_is_told_at_its_place(text: str, place: str, said: str) -> None:
    first, *_ = problems_of(text.encode())
    assert str(first.position) == f"f.yaml:{place}"
    assert said in first.message
    assert first.fix


def test_slips_of_yaml_do_not_hide_each_other() -> None:
    told = problems_of(b"a: *x\nb: !t 1\nc: {<<: {}}\nd: 1\nd: 2\n")
    assert [problem.position.line for problem in told] == [1, 2, 3, 5]


def test_a_flood_of_slips_is_cut_short() -> None:
    assert len(problems_of(b"[" + b"*x, " * 5000 + b"]")) == yaml_reader.MOST_TOLD + 1


@pytest.mark.parametrize("depth", [yaml_reader.DEEPEST + 1, 500, 10_000, 100_000])
@pytest.mark.parametrize("opening", ["[", "{a: ", "- ", "x:\n"])
def test_too_deep_a_nesting_is_told(opening: str, depth: int) -> None:
    if opening == "x:\n":
        depth = min(depth, 1500)
        text = "".join(f"{' ' * level}x:\n" for level in range(depth))
    else:
        text = opening * depth
    (problem,) = problems_of(text.encode())
    assert "nested more than 60 deep" in problem.message
    assert problem.position.line >= 1


def test_the_deepest_nesting_that_is_allowed_can_be_read() -> None:
    deep = yaml_reader.DEEPEST
    assert problems_of(b"[" * deep + b"]" * deep) == []


@pytest.mark.parametrize(
    ("data", "place", "said"),
    [
        (b"a: 1\nb: caf\xe9\n", "2:7", "byte 12 is 0xe9"),
        ("é: \u20ac".encode()[:-1], "1:4", "byte 5 is 0xe2"),
        ("a: 1".encode("utf-16"), "1:1", "byte 1 is 0xff"),
    ],
)
def test_a_file_that_is_not_utf_8_is_told_where(data: bytes, place: str, said: str) -> None:
    (problem,) = problems_of(data)
    assert str(problem.position) == f"f.yaml:{place}"
    assert said in problem.message


def test_a_byte_order_mark_is_passed_over() -> None:
    node = read_yaml(b"\xef\xbb\xbfa: 1\n", "f", pytest.fail)
    assert isinstance(node, Mapping)
    assert position("f", node.keys["a"]).column == 1


def test_an_empty_file_holds_nothing() -> None:
    assert read_yaml(b"# nothing yet\n", "f", pytest.fail) is None


def test_every_part_knows_its_place() -> None:
    node = read_yaml("größe: {b: [1, zwölf]}\n".encode(), "f", pytest.fail)
    assert isinstance(node, Mapping)
    inner = node.nodes["größe"]
    assert isinstance(inner, Mapping)
    words = inner.nodes["b"]
    assert isinstance(words, Sequence)
    place = position("f", words.items[1])
    assert (place.line, place.column, place.end_line, place.end_column) == (1, 16, 1, 21)


def test_the_parser_in_python_says_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    text = b"a: {b: [1, x..y, 'z']}\non: yes\n"
    fast = read_yaml(text, "f", pytest.fail)
    monkeypatch.setattr(yaml_reader, "_Parser", yaml.Loader)
    slow = read_yaml(text, "f", pytest.fail)
    assert fast is not None
    assert slow is not None
    assert fast.value == slow.value == {"a": {"b": [1, "x..y", "z"]}, "on": "yes"}
    assert problems_of(b"a: [") != []
    assert "nested" in problems_of(b"[" * 10_000)[0].message


PLAIN = st.recursive(
    st.integers(-(10**9), 10**9) | st.booleans() | st.none() | st.text("abc xyz:#'\"<>&-[]{},é", max_size=8),
    lambda inner: (
        st.lists(inner, max_size=4) | st.dictionaries(st.text("abcxyz", min_size=1), inner, max_size=4)
    ),
    max_leaves=20,
)


@given(st.dictionaries(st.text("abcxyz", min_size=1), PLAIN, max_size=4), st.booleans())
def test_what_an_independent_writer_writes_is_read_back(value: dict, flow: bool) -> None:
    text = yaml.safe_dump(value, default_flow_style=flow, allow_unicode=True, sort_keys=False)
    node = read_yaml(text.encode(), "f", pytest.fail)
    assert node is not None
    assert node.value == value


@given(st.binary(max_size=60))
def test_no_bytes_can_crash_the_reader(data: bytes) -> None:
    problems_of(data)


@given(st.text("ab:-[]{},&*!|>'\"%@` \n\t#?..<", max_size=40))
def test_no_text_can_crash_the_reader(text: str) -> None:
    for problem in problems_of(text.encode()):
        assert problem.position.line <= text.count("\n") + 2


def test_a_scalar_alone_is_a_scalar() -> None:
    assert isinstance(read_yaml(b"hello", "f", pytest.fail), Scalar)
