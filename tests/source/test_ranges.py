"""Ranges: what they stand for, counted by hand and against plain arithmetic."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from topodraw.source.ranges import RangeError, members

STEMS = st.text("abcxyzABC-/:. ", max_size=6).filter(lambda stem: ".." not in stem and not stem.endswith("."))


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("p1..p4", "p1 p2 p3 p4"),
        ("1..3", "1 2 3"),
        ("C09..C11", "C09 C10 C11"),
        ("p3..p1", "p3 p2 p1"),
        ("C10..C08", "C10 C09 C08"),
        ("p9..p11", "p9 p10 p11"),
        ("tor/p1..p2", "tor/p1 tor/p2"),
        ("tor/p1..tor/p2", "tor/p1 tor/p2"),
        ("pan/1..2:back", "pan/1:back pan/2:back"),
        ("cam-1..cam-2/eth", "cam-1/eth cam-2/eth"),
        ("1/0/23..1/0/24", "1/0/23 1/0/24"),
        ("gi1/0/1..2", "gi1/0/1 gi1/0/2"),
        ("A/U10..U12", "A/U10 A/U11 A/U12"),
        ("core/q1:1..q1:2", "core/q1:1 core/q1:2"),
        ("pan-1..pan-2/3..4", "pan-1/3 pan-2/4"),
        ("10.61.40.9..10.61.40.10", "10.61.40.9 10.61.40.10"),
        ("p1..p1", "p1"),
    ],
)
def test_a_range_stands_for_its_members(text: str, expected: str) -> None:
    assert members(text) == tuple(expected.split())


@pytest.mark.parametrize(
    "text", ["", "p1", "a..b", "p1..q2", "..", "1..", "..2", "and so on..", "p1...p3", "1.." + "x" * 999]
)
def test_other_text_is_no_range(text: str) -> None:
    assert members(text) is None


@given(stem=STEMS, first=st.integers(0, 200), size=st.integers(1, 60), after=STEMS, repeat=st.booleans())
def test_counting_up_is_counting_down_backwards(
    stem: str, first: int, size: int, after: str, repeat: bool
) -> None:
    last = first + size - 1
    again = stem if repeat else ""
    expected = [f"{stem}{number}{after}" for number in range(first, last + 1)]
    assert list(members(f"{stem}{first}..{again}{last}{after}") or ()) == expected
    assert list(members(f"{stem}{last}..{again}{first}{after}") or ()) == expected[::-1]


@given(first=st.integers(0, 99), size=st.integers(1, 20), width=st.integers(3, 5))
def test_leading_zeros_are_kept(first: int, size: int, width: int) -> None:
    numbers = range(first, first + size)
    text = f"C{first:0{width}}..C{first + size - 1:0{width}}"
    assert members(text) == tuple(f"C{number:0{width}}" for number in numbers)


@pytest.mark.parametrize(
    ("text", "said", "fix"),
    [
        ("C01..C100", "a different number of digits", "write C001..C100"),
        ("p1..p10001", "has 10001 members", "10000 at most"),
        ("a1..a2/b1..b3", "differ in length: 2 and 3", "same number"),
        ("{x}01..{x}2", "a different number of digits", "write {x}01..{x}02"),
    ],
)
def test_a_range_that_cannot_be_counted_is_told(text: str, said: str, fix: str) -> None:
    with pytest.raises(RangeError) as error:
        members(text)
    assert said in str(error.value)
    assert fix in error.value.fix
