"""Sites written as text in a test, read the way a user's are."""

from __future__ import annotations

from pathlib import Path
from textwrap import dedent

from topodraw.compute.facts import Facts
from topodraw.model.read import read_site


def facts_of(folder: Path, text: str) -> Facts:
    """The facts of a site whose sections are `text`; fails with the problems where it can't be read."""
    (folder / "site.yaml").write_text(
        "topodraw: 1\nsite: {name: Test, ref: T}\n" + dedent(text), encoding="utf-8"
    )
    reading = read_site(folder)
    assert reading.site is not None, reading.problems
    return Facts(reading.site)
