"""Text of a site is data: markup stays text, and what could trick a reader's eye is refused."""

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.model.sites import FIRST_LINES, read_text, said, site_of
from topodraw.model.read import read_folder
from topodraw.source.files import FileRefusedError

MARKUP = [
    "<script>alert(1)</script>",
    "]]>",
    "\"'&amp;",
    "<!-- -->",
    "&lt;b&gt;",
    "{{7*7}}",
    "$(reboot)",
    "%s%n",
    "../../x",
]


@pytest.mark.parametrize("text", MARKUP)
def test_markup_in_a_title_is_kept_as_it_is(text: str, tmp_path: Path) -> None:
    quoted = text.replace("'", "''")
    site = site_of(read_text(tmp_path, f"zones: {{z: {{title: '{quoted}'}}}}\n"))
    assert site.zones["z"].title == text


def test_markup_in_a_name_is_kept_as_it_is(tmp_path: Path) -> None:
    site = site_of(read_text(tmp_path, "zones: {'<script>]]>\"': {title: Z}}\n"))
    assert list(site.zones) == ['<script>]]>"', "internet"]


@pytest.mark.parametrize(
    "character",
    ["\\0", "\\a", "\\e", "\\x7F", "\\x85", "\\u202E", "\\u2066", "\\uFFFF", "\\uD800"],
)
def test_control_characters_and_overrides_are_refused_in_any_text(character: str, tmp_path: Path) -> None:
    reading = read_text(tmp_path, f'zones: {{z: {{title: "a{character}b"}}}}\n')
    assert reading.site is None
    (problem,) = reading.problems
    assert problem.rule == "bad-yaml"
    assert problem.position.line == 3
    assert problem.message.isprintable()


@pytest.mark.parametrize(
    "character", ["\\u200F", "\\u200B", "\\u00AD", "\\u2028", "\\n", "\\t", "\\u00A0", "\\uFEFF"]
)
def test_characters_that_cannot_be_seen_are_refused_in_names(character: str, tmp_path: Path) -> None:
    reading = read_text(tmp_path, f'zones: {{"a{character}b": {{title: Z}}}}\n')
    (problem,) = reading.problems
    assert "can't be a name" in problem.message
    assert problem.message.isprintable()


@pytest.mark.parametrize("text", ["مستودع \u200fA", "zero\u200dwidth", "naïve – “quoted”", "two\nlines"])
def test_texts_in_any_script_are_welcome(text: str, tmp_path: Path) -> None:
    quoted = text.replace("\n", "\\n")
    site = site_of(read_text(tmp_path, f'zones: {{z: {{title: "{quoted}"}}}}\n'))
    assert site.zones["z"].title == text


class OneFile:
    """A site of one file that is kept in memory."""

    def __init__(self, data: bytes) -> None:
        self._data = data

    def read(self, name: str) -> bytes:
        if name != "site.yaml":
            raise FileRefusedError("there is no other file", "none")
        return self._data

    def matching(self, pattern: str) -> list[str]:
        return []

    def names(self) -> list[str]:
        return []


GOOD = Path(__file__).with_name("every_key.yaml").read_text(encoding="utf-8")


@settings(deadline=None, max_examples=150, suppress_health_check=[HealthCheck.too_slow])
@given(st.data())
def test_no_slip_of_the_hand_can_crash_the_reading(data: st.DataObject) -> None:
    lines = GOOD.split("\n")
    for _ in range(data.draw(st.integers(1, 3))):
        number = data.draw(st.integers(0, len(lines) - 1))
        line = lines[number]
        start = data.draw(st.integers(0, len(line)))
        end = data.draw(st.integers(start, min(len(line), start + 6)))
        slip = data.draw(
            st.sampled_from(
                ["", "x", "1", "..", ": ", "[", "]", "{a: 1}", ", ", "/", "-> ", "null", "1..9", "'"]
            )
        )
        lines[number] = line[:start] + slip + line[end:]
    text = "\n".join(lines)
    reading = read_folder(OneFile(text.encode()), "site.yaml")
    assert (reading.site is None) == bool(reading.problems)
    for problem in reading.problems:
        assert 1 <= problem.position.line <= text.count("\n") + 2
        assert problem.message
        assert problem.fix


SECTIONS = [
    "gear",
    "cables",
    "hardware",
    "places",
    "conduits",
    "expect",
    "vlans",
    "naming",
    "copies",
    "waivers",
]
KEYS = ["model", "at", "ports", "ends", "racks", "power", "x1..x3", "a", "tagged", "flow", "root"]
VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text("abc/.1 ->", max_size=6),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(KEYS), inner, max_size=3),
    max_leaves=12,
)


@settings(deadline=None, max_examples=100)
@given(st.dictionaries(st.sampled_from(SECTIONS), VALUES, max_size=3))
def test_no_shape_of_value_can_crash_the_reading(sections: dict) -> None:
    import yaml

    text = FIRST_LINES + yaml.safe_dump(sections)
    reading = read_folder(OneFile(text.encode()), "site.yaml")
    assert (reading.site is None) == bool(reading.problems), said(reading)


@pytest.mark.parametrize(
    "text",
    [
        "zones:\n" + "".join(f"  a{number}x1..a{number}x10000: {{title: Z}}\n" for number in range(300)),
        "clusters: {a: {members: [" + "x1..x10000, " * 300 + "]}}\n",
        "expect:\n" + "  - {root: x1..x10000}\n" * 300,
    ],
    ids=["names", "lists", "promises"],
)
def test_a_few_lines_of_ranges_cannot_fill_the_memory(text: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("topodraw.source.entries.MOST_MADE", 50_000)
    reading = read_folder(OneFile((FIRST_LINES + text).encode()), "site.yaml")
    assert reading.site is None
    assert "the ranges of this site make more than 50000 things" in [
        problem.message for problem in reading.problems
    ]


@pytest.mark.parametrize(
    "text",
    [
        "hardware: {h: {function: switch}}\ngear: {g1..g300: {model: h, ports: {p1..p300: {edge: true}}}}\n",
        "hardware: {h: {function: switch, ports: {p1..p300: {jack: RJ45}}}}\ngear: {g1..g300: {model: h}}\n",
    ],
    ids=["ports set up", "ports of hardware"],
)
def test_ranges_inside_ranges_cannot_fill_the_memory(text: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("topodraw.source.entries.MOST_MADE", 50_000)
    (problem,) = read_folder(OneFile((FIRST_LINES + text).encode()), "site.yaml").problems
    assert problem.message == "the ranges of this site make more than 50000 things"
