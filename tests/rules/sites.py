"""Small sites for the tests of rules, read from text."""

from __future__ import annotations

from pathlib import Path

from topodraw.compute.facts import Facts
from topodraw.model.read import Reading, read_site


def read_text(folder: Path, text: str, given: str = "") -> Reading:
    """Read a whole site from text; `given` is a file beside it that it may include."""
    (folder / "site.yaml").write_text(text, encoding="utf-8")
    (folder / "given.yaml").write_text(given, encoding="utf-8")
    return read_site(folder)


def usable(reading: Reading) -> Facts:
    """The facts of a site that can be read; fails the test with the reasons where it can't."""
    reasons = [f"{problem.position}: {problem.rule}: {problem.message}" for problem in reading.problems]
    assert reading.site is not None, reasons
    return Facts(reading.site)
