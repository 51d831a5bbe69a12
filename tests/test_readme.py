"""What the README says is so."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from tests.checkout import ROOT
from topodraw.cli import topodraw

README = (ROOT / "README.md").read_text(encoding="utf-8")
_SHELL = re.findall(r"```sh\n(.*?)\n```", README, re.DOTALL)


def test_ci_runs_the_test_command_of_the_readme_word_for_word() -> None:
    (test_command,) = (command for command in _SHELL if "pytest" in command)
    assert f"\n{test_command}\n" in (ROOT / ".ci" / "run").read_text()


def test_the_ten_lines_are_the_cupboards_and_check_clean() -> None:
    (model,) = re.findall(r"```yaml\n(topodraw: 1\n.*?)```", README, re.DOTALL)
    assert model == (ROOT / "examples" / "cupboard" / "site.yaml").read_text()
    assert len(model.splitlines()) == 10
    assert "All clear" in CliRunner().invoke(topodraw, ["check", str(ROOT / "examples" / "cupboard")]).output


def test_the_slip_is_told_as_shown(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    text = (ROOT / "examples" / "cupboard" / "site.yaml").read_text()
    (tmp_path / "site.yaml").write_text(text.replace("untagged: work", "untaged: work"))
    monkeypatch.chdir(tmp_path)
    (shown,) = re.findall(r"```\n(site\.yaml:.*?)```", README, re.DOTALL)
    assert shown in CliRunner().invoke(topodraw, ["check"]).output


def test_every_command_is_in_the_table() -> None:
    rows = set(re.findall(r"^\| `topodraw ([a-z]+)", README, re.MULTILINE))
    assert rows == set(topodraw.commands)


@pytest.mark.parametrize("text", ["README.md", "DEVELOPERS.md"])
def test_links_and_pictures_lead_somewhere(text: str) -> None:
    for target in re.findall(r"\]\(([^)#\s]+)[^)]*\)", (ROOT / text).read_text(encoding="utf-8")):
        if not target.startswith("https://") and target != "sheets/rack-A.svg":
            assert (ROOT / target).exists(), target
