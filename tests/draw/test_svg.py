"""What leaves as SVG is safe, small in its vocabulary, and the same every time."""

from pathlib import Path

import pytest
from lxml import etree

from topodraw.draw.primitives import (
    Ellipse,
    Group,
    Hatch,
    Rect,
    Shape,
    Text,
    line,
    moved,
    texts,
)
from topodraw.draw.primitives import (
    Path as Polyline,
)
from topodraw.draw.svg import number, svg_text

_GOLDEN = Path(__file__).parent / "golden" / "shapes.svg"
_SVG = "{http://www.w3.org/2000/svg}"


def _svg(*shapes: Shape) -> str:
    return svg_text(
        shapes,
        width=200,
        height=100,
        title="SMF-1: a sheet",
        desc="what is on it",
        ink="#1B2A33",
        paper="#FBFAF5",
    )


def _tree(*shapes: Shape) -> etree._Element:
    return etree.fromstring(_svg(*shapes).encode())


def _shapes() -> tuple[Shape, ...]:
    plate = Rect(10, 10.004, 80, 37, "#FFFFFF", "#1B2A33", 1.4, id="front-core")
    name = Text(16, 25, "core & <b>", "#1B2A33", style="bold", within="front-core")
    notch = Polyline((((10, 60), (20, 60), (20, 70)),), closed=True, fill=Hatch("diagonal", "#1B2A33"))
    ring = Ellipse(50, 80, 10, 5, stroke="#A3123F", dash=(3, 2))
    return (
        Group(
            (plate, name),
            id="gear-core",
            kind="gear",
            title="core",
            data=(("square", "A1"),),
            link="cabling.svg",
        ),
        notch,
        ring,
        Text(100, 50, "access", "#1B2A33", anchor="middle", upright=True),
        line(0, 0, 5, 1 / 3, "#1B2A33"),
    )


def test_the_sheet_is_written_like_the_golden_one() -> None:
    # If a change is meant, write the new text there; it is short enough to read.
    assert _svg(*_shapes()) == _GOLDEN.read_text(encoding="utf-8")


def test_a_sheet_says_what_it_is() -> None:
    root = _tree()
    assert root.get("viewBox") == "0 0 200 100"
    assert root.get("role") == "img"
    assert [(child.tag, child.text) for child in root[:2]] == [
        (_SVG + "title", "SMF-1: a sheet"),
        (_SVG + "desc", "what is on it"),
    ]


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("<script>alert(1)</script>", "<script>alert(1)</script>"),
        ("]]>", "]]>"),
        ("\"'&amp;", "\"'&amp;"),
        ("<!-- -->", "<!-- -->"),
        ("a\x00b\x1b", "a\\u0000b\\u001b"),
        ("\ud800", "\\ud800"),
        ("\u202egnp.exe", "\\u202egnp.exe"),
        ("מתג ראשי", "מתג ראשי"),
    ],
)
def test_no_name_becomes_markup(name: str, told: str) -> None:
    group = Group((Text(0, 0, name, "#000000"),), id="gear-x", title=name, desc=name, data=(("on", name),))
    root = _tree(group)
    tags = {element.tag for element in root.iter()}
    assert tags <= {_SVG + tag for tag in ("svg", "title", "desc", "defs", "rect", "g", "text")}
    found = root.find(f".//{_SVG}g")
    assert found is not None
    assert found.get("data-on") == told
    assert [child.text for child in found] == [told, told, told]


def test_only_sheets_beside_this_one_are_linked() -> None:
    for address in (
        "https://example.org/",
        "javascript:alert(1)",
        "../a.svg",
        "a.html",
        "data:image/svg+xml,x.svg",
    ):
        with pytest.raises(ValueError, match="link only to a sheet"):
            _svg(Group((), link=address))
    assert (
        _tree(Group((), link="rack-A.svg#gear-core")).find(f".//{_SVG}a").get("href")
        == "rack-A.svg#gear-core"
    )


def test_no_id_occurs_twice_even_if_a_view_repeats_one() -> None:
    root = _tree(Group((), id="gear-core"), Group((), id="gear-core"))
    ids = [element.get("id") for element in root.iter() if element.get("id")]
    assert len(ids) == len(set(ids))


def test_measured_text_states_its_length_so_that_any_font_fits() -> None:
    measured, bounded = _tree(Text(0, 0, "core-1", "#000000"), Text(0, 0, "ก", "#000000")).findall(
        f"{_SVG}text"
    )
    assert float(measured.get("textLength")) == pytest.approx(Text(0, 0, "core-1", "").width, abs=0.01)
    assert measured.get("lengthAdjust") == "spacingAndGlyphs"
    assert bounded.get("textLength") is None


@pytest.mark.parametrize(
    ("value", "text"), [(0.1 + 0.2, "0.3"), (-0.001, "0"), (10.0, "10"), (1 / 3, "0.33"), (100, "100")]
)
def test_numbers_carry_no_noise(value: float, text: str) -> None:
    assert number(value) == text


def test_a_moved_group_takes_everything_along() -> None:
    group = Group(_shapes())
    before, after = texts((group,)), texts((moved(group, 7, -3),))
    assert [(text.x + 7, text.y - 3) for text in before] == [(text.x, text.y) for text in after]


def test_an_upright_text_stands_where_its_box_says() -> None:
    left, top, right, bottom = Text(50, 60, "core", "", size=10, upright=True).box
    assert bottom - top == pytest.approx(Text(0, 0, "core", "", size=10).width)
    assert (bottom, right - left) == (60, pytest.approx(10))
    assert left < 50 < right
