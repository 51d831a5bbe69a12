"""The sheets of every example, as a browser, a renderer, a sanitiser and another machine meet them."""

from __future__ import annotations

import hashlib
import re
import subprocess
import sys
from collections import Counter
from pathlib import Path

import cairosvg
import pytest
from lxml import etree

from tests.checkout import ROOT
from tests.draw.chromium import PlacedSheet, place_texts

EXAMPLES = sorted(path.parent.name for path in (ROOT / "examples").glob("*/site.yaml"))
THEMES = ("paper", "night", "print")
SVG = "{http://www.w3.org/2000/svg}"
_NAME = re.compile(r"[A-Za-z_][\w.-]*")
"""An id that is a valid XML name of plain letters (XML 1.0, production 5, narrowed)."""


@pytest.fixture(scope="module")
def drawn(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Every example drawn by the command, in a folder each."""
    folder = tmp_path_factory.mktemp("drawn")
    for example in EXAMPLES:
        _draw(example, folder / example)
    return {example: folder / example for example in EXAMPLES}


def _draw(example: str, output: Path, *options: str, **environment: str) -> None:
    subprocess.run(
        [sys.executable, "-m", "topodraw", "draw", f"examples/{example}", "-o", str(output), *options],
        cwd=ROOT, check=True, capture_output=True, timeout=240,
        env={"PATH": "/usr/bin:/bin", "HOME": str(output.parent), **environment},
    )  # fmt: skip


def _sheets(drawn: dict[str, Path], example: str) -> dict[str, str]:
    return {path.name: path.read_text(encoding="utf-8") for path in sorted(drawn[example].glob("*.svg"))}


def _digest(folder: Path) -> dict[str, str]:
    return {path.name: hashlib.sha256(path.read_bytes()).hexdigest() for path in sorted(folder.glob("*.svg"))}


@pytest.mark.parametrize("example", EXAMPLES)
def test_sheets_are_well_formed_with_ids_that_are_names_and_stand_once(
    drawn: dict[str, Path], example: str
) -> None:
    for name, text in _sheets(drawn, example).items():
        root = etree.fromstring(text.encode("utf-8"))
        ids = [element.get("id") for element in root.iter() if element.get("id") is not None]
        assert [identity for identity, times in Counter(ids).items() if times > 1] == [], name
        assert [identity for identity in ids if not _NAME.fullmatch(identity)] == [], name
        assert root.get("viewBox"), name
        assert root.find(f"{SVG}title").text, name
        assert root.find(f"{SVG}desc").text, name


@pytest.mark.parametrize("example", EXAMPLES)
def test_nothing_in_a_sheet_is_active_or_leads_outside(drawn: dict[str, Path], example: str) -> None:
    sheets = _sheets(drawn, example)
    for name, text in sheets.items():
        for element in etree.fromstring(text.encode("utf-8")).iter():
            tag = etree.QName(element).localname
            assert tag not in ("script", "foreignObject", "use", "image", "style", "iframe"), name
            for key, value in element.attrib.items():
                key = etree.QName(key).localname
                assert not key.startswith("on"), f"{name}: {tag} {key}"
                if key == "href":
                    assert value.partition("#")[0] in ("", *sheets), f"{name} links to {value}"
                assert "url(" not in value or re.fullmatch(r"url\(#[\w.-]+\)", value), f"{name}: {value}"


@pytest.mark.parametrize("example", EXAMPLES)
def test_every_sheet_renders_in_cairo(drawn: dict[str, Path], example: str) -> None:
    for name, text in _sheets(drawn, example).items():
        assert cairosvg.svg2png(bytestring=text.encode("utf-8"), output_width=900).startswith(b"\x89PNG"), (
            name
        )


@pytest.mark.parametrize("font", [None, "DejaVu Sans", "Liberation Sans", "Noto Sans"])
def test_in_a_browser_no_text_overlaps_another_or_strays(drawn: dict[str, Path], font: str | None) -> None:
    style = f"text {{ font-family: '{font}' !important }}" if font else ""
    sheets = {
        f"{example}/{name}": text for example in EXAMPLES for name, text in _sheets(drawn, example).items()
    }
    placed: list[PlacedSheet] = place_texts(list(sheets.values()), style)
    for name, sheet in zip(sheets, placed, strict=True):
        assert sheet.texts, f"{name} shows no text at all"
        assert sheet.overlapping() == [], name
        assert sheet.straying() == [], name


@pytest.mark.parametrize("example", EXAMPLES)
def test_the_same_source_gives_the_same_bytes_elsewhere(
    drawn: dict[str, Path], example: str, tmp_path: Path
) -> None:
    _draw(
        example,
        tmp_path / "again",
        LC_ALL="tr_TR.UTF-8",
        LANG="ar_EG.UTF-8",
        TZ="Pacific/Kiritimati",
        PYTHONHASHSEED="7",
    )
    assert _digest(tmp_path / "again") == _digest(drawn[example])


@pytest.mark.parametrize("example", EXAMPLES)
def test_the_committed_sheets_are_those_of_the_source(drawn: dict[str, Path], example: str) -> None:
    assert _digest(ROOT / "examples" / example / "sheets") == _digest(drawn[example])
