"""The hooks under the real pre-commit, in a git repository that holds a site."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.checkout import copy_of_project, run

_WHO = {
    "GIT_AUTHOR_NAME": "A", "GIT_AUTHOR_EMAIL": "a@example.org",
    "GIT_COMMITTER_NAME": "A", "GIT_COMMITTER_EMAIL": "a@example.org",
}  # fmt: skip


@pytest.fixture(scope="module")
def repository(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("hooks")
    project = copy_of_project(folder / "project")
    run("git", "init", "-q", folder=project)
    run("git", "add", "-A", folder=project)
    run("git", "commit", "-q", "-m", "as it stands", folder=project, **_WHO)
    revision = run("git", "rev-parse", "HEAD", folder=project).stdout.strip()
    site = folder / "site"
    run(sys.executable, "-m", "topodraw", "new", site, folder=folder, PYTHONPATH=str(project))
    (site / ".pre-commit-config.yaml").write_text(
        f"repos:\n  - repo: {project}\n    rev: {revision}\n"
        "    hooks: [{id: topodraw-check}, {id: topodraw-draw}]\n"
    )
    run("git", "init", "-q", folder=site)
    run(sys.executable, "-m", "topodraw", "draw", ".", folder=site, PYTHONPATH=str(project))
    run("git", "add", "-A", folder=site)
    return site


def _hooks(repository: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "pre_commit", "run", "--all-files"],
        cwd=repository, env={**os.environ, "PRE_COMMIT_HOME": str(repository.parent / "cache")},
        capture_output=True, text=True, timeout=480,
    )  # fmt: skip


def test_a_site_whose_sheets_agree_passes(repository: Path) -> None:
    done = _hooks(repository)
    assert done.returncode == 0, done.stdout + done.stderr


def test_a_change_that_breaks_a_rule_stops_the_commit(repository: Path) -> None:
    source = repository / "site.yaml"
    text = source.read_text()
    broken = text.replace("id: 10", "id: 4095", 1)
    assert broken != text
    source.write_text(broken)
    done = _hooks(repository)
    source.write_text(text)
    assert done.returncode == 1
    assert "vlan-id-out-of-range" in done.stdout


def test_a_change_redraws_the_sheets_and_asks_for_them(repository: Path) -> None:
    source = repository / "site.yaml"
    text = source.read_text()
    source.write_text(
        text.replace("ref:", "issue: Z, ref:", 1)
        if "issue:" not in text
        else text.replace("issue: ", "issue: Z", 1)
    )
    done = _hooks(repository)
    assert done.returncode == 1
    assert "files were modified by this hook" in done.stdout
    run("git", "add", "-A", folder=repository)
    assert _hooks(repository).returncode == 0
