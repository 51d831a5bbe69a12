"""Themes are data: legible, complete, and clear about what is wrong with them."""

from pathlib import Path

import pytest

from topodraw.draw.theme import MEANINGS, Theme, ThemeError, known_themes, load_theme, purpose_looks
from topodraw.standards.contrast import GRAPHICS_AA, TEXT_AA, contrast_ratio

THEMES = known_themes()


def test_the_three_themes_ship() -> None:
    assert THEMES == ["night", "paper", "print"]


@pytest.mark.parametrize("name", THEMES)
@pytest.mark.parametrize("ground", ["paper", "plate"])
def test_everything_written_is_legible_on_its_ground(name: str, ground: str) -> None:
    # WCAG 2.2, success criterion 1.4.3: 4.5 to 1 for text; cable tags are written in their purpose's colour.
    theme = load_theme(name)
    written = {meaning: theme.colour(meaning) for meaning in MEANINGS if meaning.startswith("finding.")}
    written |= {"ink": theme.ink, "no-purpose": theme.colour("no-purpose")}
    written |= theme.jackets | {f"palette {place}": colour for place, colour in enumerate(theme.palette)}
    for meaning, colour in written.items():
        assert contrast_ratio(colour, theme.colour(ground)) >= TEXT_AA.value, (name, meaning)


@pytest.mark.parametrize("name", THEMES)
def test_numbers_are_legible_in_filled_ports(name: str) -> None:
    theme = load_theme(name)
    for colour in (*theme.jackets.values(), *theme.palette, theme.colour("no-purpose")):
        assert contrast_ratio(theme.colour("on-purpose"), colour) >= TEXT_AA.value, colour


@pytest.mark.parametrize("name", THEMES)
def test_faint_ink_still_counts(name: str) -> None:
    # The faintest text is ink at an opacity of 0.8, the faintest outline of a port at 0.75.
    theme = load_theme(name)
    assert contrast_ratio(_mixed(theme, 0.8), theme.paper) >= TEXT_AA.value
    assert contrast_ratio(_mixed(theme, 0.75), theme.plate) >= GRAPHICS_AA.value


def _mixed(theme: Theme, opacity: float) -> str:
    ink, paper = (bytes.fromhex(colour[1:]) for colour in (theme.ink, theme.paper))
    mixed = (round(a * opacity + b * (1 - opacity)) for a, b in zip(ink, paper, strict=True))
    return "#" + bytes(mixed).hex()


def test_the_print_theme_has_one_ink() -> None:
    theme = load_theme("print")
    for colour in (*theme.colours.values(), *theme.jackets.values(), *theme.palette):
        assert colour[1:3] == colour[3:5] == colour[5:7], colour


def test_an_unknown_theme_names_the_known_ones() -> None:
    with pytest.raises(ThemeError, match="no theme 'papre'; known themes: night, paper, print"):
        load_theme("papre")


def _folder(tmp_path: Path, text: str) -> Path:
    (tmp_path / "mine.yaml").write_text(text, encoding="utf-8")
    (tmp_path / "base.yaml").write_text(
        "colours: {"
        + ", ".join(f"{meaning}: '#123456'" for meaning in MEANINGS)
        + "}\npalette: ['#123456']\n",
        encoding="utf-8",
    )
    return tmp_path


def test_a_theme_extends_another_key_by_key(tmp_path: Path) -> None:
    theme = load_theme("mine", _folder(tmp_path, "extends: base\ncolours: {ink: '#000000'}\n"))
    assert (theme.ink, theme.paper) == ("#000000", "#123456")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("extends: base\ncolours: {inc: '#000000'}\n", "colours 'inc', which means nothing"),
        ("extends: base\ncolours: {ink: red}\n", "'red' is no colour"),
        ("extends: mine\n", "extends itself: mine -> mine"),
        ("extends: base\ncolors: {}\n", "unknown key 'colors'"),
        ("colours: {}\n", "no colour for 'paper'"),
        ("- ink\n", "must be a mapping"),
    ],
)
def test_a_bad_theme_is_refused_in_words(tmp_path: Path, text: str, said: str) -> None:
    with pytest.raises(ThemeError, match=said):
        load_theme("mine", _folder(tmp_path, text))


def test_purposes_are_told_apart_without_colour() -> None:
    names = ["science", "servers", "storage", "watch", "manage", "guests", "uplink", "backbone"]
    looks = purpose_looks(dict.fromkeys(names), load_theme("print"))
    assert len({look.letter for look in looks.values()}) == len(names)
    assert len({look.weave for look in looks.values()}) == len(names)
    assert looks["science"].letter == "S"


def test_a_jacket_colour_is_what_the_theme_makes_of_it() -> None:
    theme = load_theme("paper")
    looks = purpose_looks({"backbone": "violet", "lab": "#123456", "watch": None, "odd": "tartan"}, theme)
    assert looks["backbone"].colour == theme.jackets["violet"]
    assert looks["lab"].colour == "#123456"
    assert looks["watch"].colour in theme.palette
    assert looks["odd"].colour in theme.palette
    assert len({look.colour for look in looks.values()}) == 4


def test_a_new_purpose_at_the_end_changes_no_other() -> None:
    theme = load_theme("paper")
    before = purpose_looks({"a": None, "b": "red"}, theme)
    after = purpose_looks({"a": None, "b": "red", "c": None}, theme)
    assert {name: after[name] for name in before} == before
