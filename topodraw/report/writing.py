"""Files on disk: written whole or not at all; sheets compared with what stands there."""

from __future__ import annotations

import contextlib
import os
import tempfile
from collections.abc import Iterable, Mapping
from pathlib import Path

from topodraw.source.shipped import shipped_folder
from topodraw.source.suggest import with_and

SHEET_MARK = b'data-topodraw="sheet"'
"""Stands on the root element of every sheet, so that a folder's other pictures are left alone."""


class WritingError(Exception):
    """The output folder can't be written; the message says which and why."""


def write_starter(folder: Path) -> None:
    """Write the small site that `new` begins with. Raises WritingError if a file of it is there already."""
    starter = shipped_folder("examples") / "shelf"
    paths = sorted(path for path in starter.iterdir() if path.suffix in (".yaml", ".md"))
    taken = [path.name for path in paths if (folder / path.name).exists()]
    if taken:
        raise WritingError(f"{folder} already holds {with_and(taken)}: nothing is overwritten")
    write_sheets(folder, {path.name: path.read_bytes() for path in paths})


def write_sheets(folder: Path, sheets: Mapping[str, bytes]) -> tuple[str, ...]:
    """Write each file beside its place, then rename it: a run that dies leaves the old or the new, whole.

    Returns the names of the files that changed, sorted. A file whose bytes are the same is not touched.
    Raises WritingError if the folder can't be made or written.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        changed = [name for name in sorted(sheets) if _differs(folder / name, sheets[name])]
        for name in changed:
            _replace(folder / name, sheets[name])
    except OSError as error:
        raise WritingError(f"can't write to {folder}: {(error.strerror or str(error)).lower()}") from error
    return tuple(changed)


def stale_sheets(folder: Path, sheets: Mapping[str, bytes]) -> tuple[tuple[str, str], ...]:
    """What differs between the folder and the sheets as they should be: (name, reason), sorted."""
    stale = []
    for name in sorted(sheets):
        if not (folder / name).is_file():
            stale.append((name, "missing"))
        elif _differs(folder / name, sheets[name]):
            stale.append((name, "out of date"))
    return tuple(stale)


def left_over_sheets(folder: Path, names: Iterable[str], views: Iterable[str]) -> tuple[str, ...]:
    """Sheets of these views that stand in the folder but are drawn no longer, sorted."""
    drawn = set(names)
    prefixes = tuple(views)
    return tuple(
        path.name
        for path in sorted(folder.glob("*.svg"))
        if path.name not in drawn and path.name.startswith(prefixes) and _is_sheet(path)
    )


def _is_sheet(path: Path) -> bool:
    with path.open("rb") as file:
        return SHEET_MARK in file.read(2000)


def _differs(path: Path, data: bytes) -> bool:
    try:
        return path.read_bytes() != data
    except FileNotFoundError:
        return True


def _replace(path: Path, data: bytes) -> None:
    descriptor, temporary = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
    try:
        with os.fdopen(descriptor, "wb") as file:
            file.write(data)
            os.fchmod(file.fileno(), 0o644)
        os.replace(temporary, path)
    except BaseException:
        with contextlib.suppress(FileNotFoundError):
            os.unlink(temporary)
        raise
