"""Paths of cable: from one port of active gear to the next, through panels."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from topodraw.model.cabling import Cable, End
from topodraw.model.site import Site

_Face = tuple[str, str, bool]
"""One face of a panel port: gear, port, whether it is the back."""


@dataclass(frozen=True, slots=True)
class Path:
    """Cables in a row. `ends` are what the first and the last are plugged into, sorted by name.

    An end is None where the row stops at a panel port with nothing in its other face; that port is then the
    first or last of `through`.
    """

    ends: tuple[End | None, End | None]
    cables: tuple[Cable, ...]
    through: tuple[str, ...]
    """The panel ports passed, `panel/port`, in order."""

    @property
    def finished(self) -> bool:
        """Whether both ends are ports of active gear or remotes."""
        return None not in self.ends


def find_paths(site: Site) -> tuple[Path, ...]:
    """Follow every cable through the panels at its ends: front to back and back to front of the same port.

    Each cable is in one path, unless a panel's face holds two cables (an error for the rules to tell): then
    the first in the source goes on, and the others join it. Linear in the number of cables.
    """
    faces = _panel_faces(site)
    paths = []
    seen: set[str] = set()
    for name, cable in site.cables.items():
        if name in seen:
            continue
        path = _path(site, faces, cable)
        seen.update(step.name for step in path.cables)
        paths.append(path)
    return tuple(paths)


def _passes_through(site: Site, end: End) -> bool:
    port = site.port(end)
    return port is not None and port.hardware.through


def _panel_faces(site: Site) -> dict[_Face, list[tuple[Cable, int]]]:
    """The cables at each panel face, with the index of the end that is there."""
    faces: dict[_Face, list[tuple[Cable, int]]] = {}
    for cable in site.cables.values():
        for side, end in enumerate(cable.ends):
            if end.gear is not None and end.port is not None and _passes_through(site, end):
                faces.setdefault((end.gear, end.port, end.back), []).append((cable, side))
    return faces


def _path(site: Site, faces: Mapping[_Face, list[tuple[Cable, int]]], cable: Cable) -> Path:
    passed = {cable.name}
    first, cables_before, through_before = _walk(site, faces, cable, 0, passed)
    last, cables_after, through_after = _walk(site, faces, cable, 1, passed)
    cables = (*reversed(cables_before), cable, *cables_after)
    through = (*reversed(through_before), *through_after)
    if str(last or "") < str(first or ""):
        return Path((last, first), cables[::-1], through[::-1])
    return Path((first, last), cables, through)


def _walk(
    site: Site, faces: Mapping[_Face, list[tuple[Cable, int]]], cable: Cable, side: int, passed: set[str]
) -> tuple[End | None, list[Cable], list[str]]:
    """Go outward from one end of a cable: where it ends up, the further cables, the panel ports passed."""
    cables: list[Cable] = []
    through: list[str] = []
    end = cable.ends[side]
    while end.gear is not None and end.port is not None and _passes_through(site, end):
        through.append(f"{end.gear}/{end.port}")
        opposite = faces.get((end.gear, end.port, not end.back), [])
        onward = next(((step, at) for step, at in opposite if step.name not in passed), None)
        if onward is None:
            return None, cables, through
        step, at = onward
        passed.add(step.name)
        cables.append(step)
        end = step.ends[1 - at]
    return end, cables, through
