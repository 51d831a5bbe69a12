"""The wheel, in an empty environment away from the checkout, does the whole job."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.checkout import copy_of_project, empty_venv, run


@pytest.fixture(scope="module")
def commands(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    project = copy_of_project(folder / "project")
    bin_folder = empty_venv(folder / "venv")
    run(bin_folder / "pip", "wheel", "--quiet", "--no-deps", "-w", folder / "wheels", project, folder=folder)
    (wheel,) = (folder / "wheels").glob("topodraw-*.whl")
    run(bin_folder / "pip", "install", "--quiet", wheel, folder=folder)
    return bin_folder


def test_a_new_site_checks_clean_and_draws(commands: Path, tmp_path: Path) -> None:
    run(commands / "topodraw", "new", "boatyard", folder=tmp_path)
    checked = run(commands / "topodraw", "check", "boatyard", folder=tmp_path)
    assert "All clear" in checked.stdout
    run(commands / "topodraw", "draw", "boatyard", "-o", "sheets", folder=tmp_path)
    drawn = {path.name.split("-")[0].removesuffix(".svg") for path in (tmp_path / "sheets").glob("*.svg")}
    assert drawn == {"rack", "cabling", "zones"}


def test_every_theme_comes_with_the_wheel(commands: Path, tmp_path: Path) -> None:
    run(commands / "topodraw", "new", "site", folder=tmp_path)
    for theme in ("paper", "night", "print"):
        run(commands / "topodraw", "draw", "site", "--theme", theme, "-o", theme, folder=tmp_path)
        assert list((tmp_path / theme).glob("*.svg"))
