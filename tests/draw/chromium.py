"""Sheets in headless Chromium: where a browser really puts each text."""

from __future__ import annotations

import html
import json
import os
import shutil
import subprocess
import tempfile
from dataclasses import dataclass
from pathlib import Path

import pytest

_FLAGS = [
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
    "--hide-scrollbars", "--allow-file-access-from-files", "--virtual-time-budget=120000",
]  # fmt: skip

_MEASURE = """
const out = [];
for (const source of SHEETS) {
  const holder = document.createElement('div');
  holder.innerHTML = source;
  document.body.appendChild(holder);
  const svg = holder.querySelector('svg');
  const view = svg.viewBox.baseVal;
  svg.setAttribute('width', view.width);
  svg.setAttribute('height', view.height);
  const origin = svg.getBoundingClientRect();
  const place = (element) => {
    const box = element.getBoundingClientRect();
    return [box.left - origin.left, box.top - origin.top, box.right - origin.left, box.bottom - origin.top];
  };
  out.push({
    width: view.width, height: view.height,
    texts: [...svg.querySelectorAll('text')].map((text) => ({
      text: text.textContent, box: place(text), upright: Math.abs(text.getCTM().b) > 0.5,
      within: text.dataset.within || null,
      holder: text.dataset.within && svg.getElementById(text.dataset.within)
        ? place(svg.getElementById(text.dataset.within)) : null,
    })),
  });
  holder.remove();
}
const result = document.createElement('pre');
result.id = 'result';
result.textContent = JSON.stringify(out);
document.body.appendChild(result);
"""

Box = tuple[float, float, float, float]


@dataclass(frozen=True)
class PlacedText:
    """A text where the browser puts it: left, top, right, bottom in px of the sheet, and its holder's box."""

    text: str
    box: Box
    upright: bool
    """Whether it is turned, to be read from the side."""
    within: str | None
    holder: Box | None

    @property
    def ink(self) -> Box:
        """The box without the room that a font keeps above and below its letters (about a sixth each)."""
        left, top, right, bottom = self.box
        if self.upright:
            room = (right - left) / 6
            return left + room, top, right - room, bottom
        room = (bottom - top) / 6
        return left, top + room, right, bottom - room


@dataclass(frozen=True)
class PlacedSheet:
    """One sheet as the browser lays it out."""

    width: float
    height: float
    texts: tuple[PlacedText, ...]

    def overlapping(self, tolerance_px: float = 0.75) -> list[tuple[str, str]]:
        """Pairs of texts whose ink overlaps by more than the tolerance both ways."""
        found = []
        by_top = sorted(self.texts, key=lambda text: text.ink[1])
        for index, one in enumerate(by_top):
            for other in by_top[index + 1 :]:
                if other.ink[1] > one.ink[3] - tolerance_px:
                    break
                across = min(one.ink[2], other.ink[2]) - max(one.ink[0], other.ink[0])
                down = min(one.ink[3], other.ink[3]) - max(one.ink[1], other.ink[1])
                if across > tolerance_px and down > tolerance_px:
                    found.append((one.text, other.text))
        return found

    def straying(self, tolerance_px: float = 0.75) -> list[str]:
        """Texts that leave the sheet, or the box that they say they stand in."""
        sheet = (0.0, 0.0, self.width, self.height)
        return [
            text.text
            for text in self.texts
            if not _inside(text.ink, sheet, tolerance_px)
            or (
                text.within is not None
                and (text.holder is None or not _inside(text.ink, text.holder, tolerance_px))
            )
        ]


def _inside(inner: Box, outer: Box, tolerance_px: float) -> bool:
    return (
        inner[0] >= outer[0] - tolerance_px
        and inner[1] >= outer[1] - tolerance_px
        and inner[2] <= outer[2] + tolerance_px
        and inner[3] <= outer[3] + tolerance_px
    )


def chromium() -> str:
    """The browser's path. Skips the test where there is none, unless TOPODRAW_REQUIRE_BROWSER is set."""
    found = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
    if found is None:
        if os.environ.get("TOPODRAW_REQUIRE_BROWSER"):
            pytest.fail("no Chromium found, and TOPODRAW_REQUIRE_BROWSER is set")
        pytest.skip("no Chromium is installed")
    return found


def place_texts(svgs: list[str], style: str = "") -> list[PlacedSheet]:
    """Lay the sheets out in the browser; `style` is extra CSS, such as another font for every text."""
    browser = chromium()
    with tempfile.TemporaryDirectory(prefix="sheets-") as folder:
        page = Path(folder) / "page.html"
        sheets = json.dumps(svgs).replace("</", "<\\/")
        page.write_text(
            f"<!doctype html><meta charset=utf-8><style>{style}</style><body>"
            f"<script>const SHEETS = {sheets};{_MEASURE}</script>",
            encoding="utf-8",
        )
        done = subprocess.run(
            [browser, *_FLAGS, f"--user-data-dir={folder}/profile", "--dump-dom", page.as_uri()],
            capture_output=True, text=True, timeout=240, check=True,
        )  # fmt: skip
    start = done.stdout.index('<pre id="result">') + len('<pre id="result">')
    answer = json.loads(html.unescape(done.stdout[start : done.stdout.index("</pre>", start)]))
    return [
        PlacedSheet(
            sheet["width"],
            sheet["height"],
            tuple(
                PlacedText(
                    text["text"],
                    tuple(text["box"]),
                    text["upright"],
                    text["within"],
                    tuple(text["holder"]) if text["holder"] else None,
                )
                for text in sheet["texts"]
            ),
        )
        for sheet in answer
    ]
