"""Sites for tests: written into a folder, read, and said back."""

from pathlib import Path

from topodraw.model.read import Reading, read_site
from topodraw.model.site import Site

FIRST_LINES = "topodraw: 1\nsite: {name: Test Station, ref: TST}\n"


def read_files(folder: Path, **files: str) -> Reading:
    """Read a site whose first file includes `files`, each called by its keyword."""
    names = ", ".join(f"{name}.yaml" for name in files)
    (folder / "site.yaml").write_text(f"{FIRST_LINES}include: [{names}]\n", encoding="utf-8")
    for name, text in files.items():
        (folder / f"{name}.yaml").write_text(text, encoding="utf-8")
    return read_site(folder)


def read_text(folder: Path, text: str) -> Reading:
    """Read a site of one file: `text` below the two lines that every first file has."""
    (folder / "site.yaml").write_text(FIRST_LINES + text, encoding="utf-8")
    return read_site(folder)


def said(reading: Reading) -> list[str]:
    """Each problem in one line."""
    return [f"{at.position}: {at.rule}: {at.message} -- {at.fix}" for at in reading.problems]


def site_of(reading: Reading) -> Site:
    """The site, which must be usable."""
    assert reading.site is not None, said(reading)
    return reading.site
