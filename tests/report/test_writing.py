"""Sheets on disk are whole, and stale ones are told."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from topodraw.report import writing

SHEET = b'<svg data-topodraw="sheet"/>'


def test_only_changed_sheets_are_written(tmp_path: Path) -> None:
    assert writing.write_sheets(tmp_path, {"rack-A.svg": b"one", "zones.svg": b"two"}) == (
        "rack-A.svg",
        "zones.svg",
    )
    before = (tmp_path / "rack-A.svg").stat().st_mtime_ns
    assert writing.write_sheets(tmp_path, {"rack-A.svg": b"one", "zones.svg": b"three"}) == ("zones.svg",)
    assert (tmp_path / "rack-A.svg").stat().st_mtime_ns == before
    assert (tmp_path / "zones.svg").read_bytes() == b"three"


def test_a_run_that_dies_leaves_the_old_sheet_whole(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    writing.write_sheets(tmp_path, {"zones.svg": b"old"})

    def die(source: str, target: Path) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "replace", die)
    with pytest.raises(KeyboardInterrupt):
        writing.write_sheets(tmp_path, {"zones.svg": b"new"})
    assert [path.name for path in tmp_path.iterdir()] == ["zones.svg"]
    assert (tmp_path / "zones.svg").read_bytes() == b"old"


def test_stale_sheets_are_told_and_nothing_is_written(tmp_path: Path) -> None:
    (tmp_path / "zones.svg").write_bytes(b"old")
    sheets = {"rack-A.svg": b"x", "zones.svg": b"new"}
    assert writing.stale_sheets(tmp_path, sheets) == (("rack-A.svg", "missing"), ("zones.svg", "out of date"))
    assert [path.name for path in tmp_path.iterdir()] == ["zones.svg"]


def test_only_own_sheets_count_as_left_over(tmp_path: Path) -> None:
    (tmp_path / "rack-B.svg").write_bytes(SHEET)
    (tmp_path / "rack-photo.svg").write_bytes(b"<svg/>")
    (tmp_path / "zones.svg").write_bytes(SHEET)
    assert writing.left_over_sheets(tmp_path, ["rack-A.svg"], ["rack"]) == ("rack-B.svg",)


def test_a_folder_that_cannot_be_made_is_told(tmp_path: Path) -> None:
    (tmp_path / "sheets").write_text("a file stands where the folder should be")
    with pytest.raises(writing.WritingError, match=r"can't write to .*sheets"):
        writing.write_sheets(tmp_path / "sheets", {"zones.svg": b""})
