"""Themes: what each colour on a sheet means, read from data (`themes/*.yaml`), and how each purpose looks.

A theme names colours by meaning, never by place. Every colour is doubled by a letter or a weave, so that the
`print` theme can leave colour out altogether.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml

from topodraw.draw.primitives import Hatch, HatchForm
from topodraw.source.shipped import shipped_folder

_COLOUR = re.compile(r"#[0-9A-Fa-f]{6}")
MEANINGS = (
    "paper",
    "plate",
    "ink",
    "on-purpose",
    "no-purpose",
    "area",
    "finding.error",
    "finding.warning",
    "finding.note",
    "cable.discarding",
)
"""Ground of the sheet; ground of gear; the one ink; text on a purpose's colour; a cable without purpose;
lines that hatch an area; the three severities; the bar at a discarding end."""
_WEAVES: tuple[HatchForm | None, ...] = (
    None,
    "diagonal",
    "horizontal",
    "vertical",
    "dots",
    "counter",
    "lattice",
    "cross",
)


class ThemeError(ValueError):
    """A theme that doesn't exist or can't be used; says what would be right."""


@dataclass(frozen=True, slots=True)
class Theme:
    """A theme: colours by meaning, jacket colours by name, the palette for purposes that name none, weave
    strength 0..1."""

    name: str
    colours: Mapping[str, str]
    jackets: Mapping[str, str]
    palette: tuple[str, ...]
    weave: str
    weave_strength: float

    def colour(self, meaning: str) -> str:
        """The colour for one of `MEANINGS`."""
        return self.colours[meaning]

    @property
    def ink(self) -> str:
        """The one ink."""
        return self.colours["ink"]

    @property
    def paper(self) -> str:
        """The ground."""
        return self.colours["paper"]

    @property
    def plate(self) -> str:
        """The ground of gear and of boxes that must stand out from the paper."""
        return self.colours["plate"]

    def severity(self, severity: str) -> str:
        """The colour of a finding's severity: error, warning or note."""
        return self.colours[f"finding.{severity}"]


@dataclass(frozen=True, slots=True)
class PurposeLook:
    """How a purpose is told apart: its colour, its letter, and the weave of a filled port (None: plain)."""

    name: str
    colour: str
    letter: str
    weave: Hatch | None


def known_themes(folder: Path | None = None) -> list[str]:
    """Names of the themes that ship with the program."""
    return sorted(path.stem for path in (folder or shipped_folder("themes")).glob("*.yaml"))


def load_theme(name: str = "paper", folder: Path | None = None) -> Theme:
    """The theme of that name. Raises ThemeError if there is none, or if it is unusable."""
    raw = _read(name, folder or shipped_folder("themes"), ())
    unknown = sorted(
        set(raw) - {"about", "extends", "colours", "jackets", "palette", "weave", "weave-strength"}
    )
    if unknown:
        raise ThemeError(f"theme {name!r} has an unknown key {unknown[0]!r}")
    colours = raw.get("colours", {})
    for meaning in MEANINGS:
        if meaning not in colours:
            raise ThemeError(f"theme {name!r} gives no colour for {meaning!r}")
    for meaning in sorted(colours):
        if meaning not in MEANINGS:
            raise ThemeError(
                f"theme {name!r} colours {meaning!r}, which means nothing; known: {', '.join(MEANINGS)}"
            )
    palette = tuple(raw.get("palette", ()))
    if not palette:
        raise ThemeError(f"theme {name!r} has no palette for purposes without a colour")
    jackets = raw.get("jackets", {})
    weave = raw.get("weave", colours["ink"])
    for colour in (*colours.values(), *jackets.values(), *palette, weave):
        if not isinstance(colour, str) or not _COLOUR.fullmatch(colour):
            raise ThemeError(f"theme {name!r}: {colour!r} is no colour, write it like '#1B2A33'")
    return Theme(name, colours, jackets, palette, weave, float(raw.get("weave-strength", 0.7)))


def _read(name: str, folder: Path, seen: tuple[str, ...]) -> dict[str, Any]:
    if name in seen:
        raise ThemeError(f"theme {name!r} extends itself: {' -> '.join((*seen, name))}")
    known = known_themes(folder)
    if name not in known:
        raise ThemeError(f"there is no theme {name!r}; known themes: {', '.join(known)}")
    raw = yaml.safe_load((folder / f"{name}.yaml").read_text(encoding="utf-8"))
    if not isinstance(raw, dict):
        raise ThemeError(f"theme {name!r} must be a mapping")
    if "extends" not in raw:
        return raw
    merged = _read(raw["extends"], folder, (*seen, name))
    for key, value in raw.items():
        merged[key] = {**merged.get(key, {}), **value} if isinstance(value, dict) else value
    return merged


def purpose_looks(purposes: Mapping[str, str | None], theme: Theme) -> dict[str, PurposeLook]:
    """How each purpose looks; `purposes` maps its name to the jacket colour that the site gives it, or None.

    A jacket colour may be a name that the theme knows or `#rrggbb`. The order of the mapping decides, so the
    site's own order keeps looks stable. Letters are the first of the name that is still free.
    """
    looks: dict[str, PurposeLook] = {}
    named = [theme.jackets[jacket] for jacket in purposes.values() if jacket and jacket in theme.jackets]
    spare = [colour for colour in theme.palette if colour not in named] or list(theme.palette)
    letters: set[str] = set()
    without = 0
    for place, (name, jacket) in enumerate(purposes.items()):
        letter = _free_letter(name, letters)
        letters.add(letter)
        if jacket is not None and _COLOUR.fullmatch(jacket):
            colour = jacket
        elif jacket is not None and jacket in theme.jackets:
            colour = theme.jackets[jacket]
        else:
            colour = spare[without % len(spare)]
            without += 1
        form = _WEAVES[place % len(_WEAVES)]
        weave = Hatch(form, theme.weave, theme.weave_strength, 4.5, 1.1) if form else None
        looks[name] = PurposeLook(name, colour, letter, weave)
    return looks


def _free_letter(name: str, taken: set[str]) -> str:
    candidates: list[str] = [character for character in name.upper() if character.isalnum()]
    for letter in candidates + list("ABCDEFGHJKLMNPQRSTUVWXYZ23456789"):
        if letter not in taken:
            return letter
    return candidates[0] if candidates else "?"
