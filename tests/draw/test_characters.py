"""Names come from people's files: whatever they hold must not break a sheet or be taken for another name."""

from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from topodraw.draw.characters import element_id, file_stem, shown

_NAMES = st.text(max_size=12)


@given(st.lists(_NAMES, min_size=1, max_size=3), st.lists(_NAMES, min_size=1, max_size=3))
def test_different_names_never_share_an_id(one: list[str], other: list[str]) -> None:
    assert (element_id("gear", *one) == element_id("gear", *other)) == (one == other)


def test_names_that_look_alike_get_different_ids() -> None:
    alike = ["a b", "a-b", "a_b", "a/b", "a.b", "a--b", "A-b", "-a-b", "a-b-", "a_2d_b", "а-b"]
    assert len({element_id("gear", name) for name in alike}) == len(alike)


def test_plain_names_stay_readable_in_ids() -> None:
    assert element_id("gear", "core-1") == "gear-core-1"
    assert element_id("cable", "T01") == "cable-T01"
    assert element_id("port", "core/1/0/24") == "port-core.1.0.24"


def test_two_names_are_told_apart_from_one_joined_name() -> None:
    assert element_id("finding", "a", "b-c") != element_id("finding", "a-b", "c")
    assert element_id("finding", "a-", "b") != element_id("finding", "a", "-b")
    assert element_id("finding", "a--b") != element_id("finding", "a", "b")


@given(_NAMES)
def test_ids_and_file_names_need_no_escaping(name: str) -> None:
    identifier = element_id("gear", name)
    etree.fromstring(f'<a xmlns:x="urn:x" xml:id="{identifier}"/>'.encode())  # xml:id must be an XML NCName
    assert all(
        character.isascii() and (character.isalnum() or character in "-._") for character in file_stem(name)
    )


@given(st.text(alphabet=st.characters(exclude_categories=[])))
def test_shown_text_is_always_legal_in_xml(name: str) -> None:
    element = etree.Element("t")
    element.text = shown(name)  # lxml refuses what XML 1.0, 2.2 refuses
    assert etree.fromstring(etree.tostring(element)).text == (shown(name) or None)


def test_controls_that_reorder_text_are_shown_and_not_obeyed() -> None:
    # Unicode UAX #9: U+202E overrides the direction, so that "txt.exe" could read as another name.
    assert shown("a\u202eb\u2066c") == "a\\u202eb\\u2066c"
    assert shown("bell\x07") == "bell\\u0007"


def test_right_to_left_letters_and_joiners_are_left_alone() -> None:
    assert shown("שלום") == "שלום"
    assert shown("👩\u200d🔧") == "👩\u200d🔧"


def test_line_breaks_become_spaces() -> None:
    assert shown(" one\n two\t three ") == "one two three"
