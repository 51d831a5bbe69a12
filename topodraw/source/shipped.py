"""Where the data that ships with the program stands: themes and example sites.

In an installed wheel they are inside the package; in a checkout they stand at the top, beside the package.
"""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent.parent


def shipped_folder(name: str) -> Path:
    """The folder of that name (`themes`, `examples`). Raises FileNotFoundError if the installation lacks
    it."""
    for folder in (_PACKAGE / name, _PACKAGE.parent / name):
        if folder.is_dir():
            return folder
    raise FileNotFoundError(f"this installation has no folder {name!r}: neither in {_PACKAGE} nor beside it")
