"""A copy of the project as a checkout would hold it, and commands run as a newcomer would."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[1]


def run(*command: str | Path, folder: Path, **environment: str) -> subprocess.CompletedProcess[str]:
    """Run a command in `folder` with a small environment of its own; fails loudly."""
    done = subprocess.run(
        [str(word) for word in command],
        cwd=folder,
        env={"PATH": "/usr/local/bin:/usr/bin:/bin", "HOME": str(folder), "LANG": "C.UTF-8", **environment},
        capture_output=True,
        text=True,
        timeout=480,
    )
    assert done.returncode == 0, f"{' '.join(map(str, command))}\n{done.stdout}\n{done.stderr}"
    return done


def copy_of_project(folder: Path) -> Path:
    """The files that a checkout holds (tracked, or new and not ignored), copied into `folder`."""
    listed = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard", "-z"],
        cwd=ROOT, capture_output=True, text=True, check=True, timeout=60,
    )  # fmt: skip
    for name in filter(None, listed.stdout.split("\0")):
        if (ROOT / name).is_file():
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(ROOT / name, folder / name)
    return folder


def empty_venv(folder: Path) -> Path:
    """A new virtual environment; returns its folder of commands."""
    run(sys.executable, "-m", "venv", folder, folder=folder.parent)
    return folder / "bin"
