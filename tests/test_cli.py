"""The commands: exit status, what goes to which stream, and the shape of what programs read."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from topodraw.cli import topodraw

CLEAN = """\
topodraw: 1
site: {name: Small, ref: S}
hardware:
  bridge: {function: switch, ports: {p1..p4: {jack: RJ45, speeds: [1G]}}}
  cam: {function: camera, ports: {eth: {jack: RJ45, speeds: [1G]}}}
vlans: {watch: {id: 40}, spare: {id: 41}}
gear:
  north: {model: bridge, bridge: {priority: 4096}, ports: {p1..p2: {untagged: watch}}}
  cam-1..cam-2: {model: cam}
cables:
  C1..C2: {ends: [north/p1..p2, cam-1..cam-2/eth], medium: Cat6, length: 9m}
"""
WRONG = CLEAN.replace("4096", "5000")
DOUBTFUL = CLEAN.replace(", length: 9m", "")
WARNED = (
    CLEAN.replace("medium: Cat6", "medium: Cat6, purpose: eye, colour: red")
    + "purposes: {eye: {colour: blue}}\n"
)
UNREADABLE = CLEAN.replace("gear:", "gaer:").replace("id: 41", "id: many")


def run(*arguments: str | Path) -> Result:
    return CliRunner().invoke(topodraw, [str(argument) for argument in arguments])


def site(folder: Path, text: str) -> Path:
    (folder / "site.yaml").write_text(text, encoding="utf-8")
    return folder


def test_a_clean_site_is_all_clear_and_exits_with_0(tmp_path: Path) -> None:
    result = run("check", site(tmp_path, CLEAN))
    assert result.exit_code == 0
    assert result.stdout == "All clear.\n"
    assert result.stderr == ""


def test_a_file_can_be_named_instead_of_its_folder(tmp_path: Path) -> None:
    assert run("check", site(tmp_path, CLEAN) / "site.yaml").exit_code == 0


def test_an_error_exits_with_1_and_is_printed_on_standard_output(tmp_path: Path) -> None:
    result = run("check", site(tmp_path, WRONG))
    assert result.exit_code == 1
    assert f"{tmp_path}/site.yaml:8:45: error: bridge-priority-not-a-step on north" in result.stdout
    assert result.stderr == ""


@pytest.mark.parametrize(("fail_on", "status"), [("error", 0), ("warning", 1), ("note", 1)])
def test_fail_on_decides_from_which_severity_on_the_check_fails(
    fail_on: str, status: int, tmp_path: Path
) -> None:
    assert run("check", site(tmp_path, WARNED), "--fail-on", fail_on).exit_code == status


def test_what_could_not_be_judged_is_listed_and_does_not_fail(tmp_path: Path) -> None:
    result = run("check", site(tmp_path, DOUBTFUL), "--format", "json")
    document = json.loads(result.stdout)
    assert result.exit_code == 0
    assert document["findings"] == []
    assert {"rule": "link-too-long", "on": ["C1"], "missing": "length"} in document["unchecked"]


def test_input_that_can_not_be_used_exits_with_2_and_tells_all_reasons(tmp_path: Path) -> None:
    result = run("check", site(tmp_path, UNREADABLE), "--format", "json")
    assert result.exit_code == 2
    found = json.loads(result.stdout)["findings"]
    assert {(one["rule"], one["severity"]) for one in found} >= {
        ("unknown-key", "error"),
        ("bad-value", "error"),
    }
    assert all(one["line"] >= 1 and one["column"] >= 1 and one["file"] == "site.yaml" for one in found)
    assert any("gear" in one["message"] for one in found if one["rule"] == "unknown-key")


@pytest.mark.parametrize("command", ["facts", "tree", "schedule", "draw"])
def test_other_commands_refuse_it_too_and_print_nothing_on_standard_output(
    command: str, tmp_path: Path
) -> None:
    arguments = ["-o", tmp_path / "out"] if command == "draw" else []
    result = run(command, site(tmp_path, UNREADABLE), *arguments)
    assert result.exit_code == 2
    assert result.stdout == ""
    assert "unknown-key" in result.stderr
    assert not (tmp_path / "out").exists()


def test_a_site_that_is_not_there_is_one_clear_error(tmp_path: Path) -> None:
    result = run("check", tmp_path / "nowhere")
    assert result.exit_code == 2
    assert "no-site" in result.stdout
    assert "Traceback" not in result.output


def test_waivers_are_judged_by_the_day_that_is_given(tmp_path: Path) -> None:
    waiver = "waivers: [{rule: bridge-priority-not-a-step, on: north, because: later, until: 2026-03-31}]\n"
    folder = site(tmp_path, WRONG + waiver)
    before = run("check", folder, "--today", "2026-03-31", "--format", "json")
    assert before.exit_code == 0
    assert [one["waived"] for one in json.loads(before.stdout)["findings"]] == [True]
    after = run("check", folder, "--today", "2026-04-01", "--format", "json")
    assert after.exit_code == 1
    assert {one["rule"] for one in json.loads(after.stdout)["findings"]} == {
        "bridge-priority-not-a-step",
        "waiver-expired",
    }


def test_a_day_that_is_none_is_a_wrong_call(tmp_path: Path) -> None:
    assert run("check", site(tmp_path, CLEAN), "--today", "31.3.2026").exit_code == 2


def test_a_folder_without_sheets_is_a_wrong_call(tmp_path: Path) -> None:
    result = run("check", site(tmp_path, CLEAN), "--sheets", tmp_path / "nowhere")
    assert result.exit_code == 2
    assert result.stderr.startswith("topodraw: there is no folder")


def test_the_sheet_of_a_finding_is_told_where_sheets_are_given(tmp_path: Path) -> None:
    (tmp_path / "cabling.svg").write_text(
        '<svg><g class="finding" data-rule="bridge-priority-not-a-step" data-on="north" '
        'data-square="B3"/></svg>'
    )
    result = run("check", site(tmp_path, WRONG), "--sheets", tmp_path, "--format", "json")
    assert [one["sheet"] for one in json.loads(result.stdout)["findings"]] == ["cabling B3"]


def test_new_writes_a_site_that_checks_clean_and_never_overwrites(tmp_path: Path) -> None:
    folder = tmp_path / "mine"
    assert run("new", folder).exit_code == 0
    assert run("check", folder).stdout.endswith("All clear.\n")
    (folder / "site.yaml").write_text("mine")
    again = run("new", folder)
    assert again.exit_code == 2
    assert "nothing is overwritten" in again.stderr
    assert (folder / "site.yaml").read_text() == "mine"


def test_new_into_a_file_is_one_clear_line(tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("")
    result = run("new", tmp_path / "taken")
    assert result.exit_code == 2
    assert len(result.stderr.splitlines()) == 1


def test_facts_are_told_whatever_check_thinks_of_the_site(tmp_path: Path) -> None:
    result = run("facts", site(tmp_path, WRONG))
    assert result.exit_code == 0
    document = json.loads(result.stdout)
    assert document["site"] == "Small"
    assert document["tree"]["roots"] == ["north"]


def test_the_tree_in_words_and_as_json(tmp_path: Path) -> None:
    folder = site(tmp_path, CLEAN)
    assert "Root: north" in run("tree", folder).stdout
    assert json.loads(run("tree", folder, "--format", "json").stdout)["roots"] == ["north"]


def test_reach_says_yes_by_which_way_or_no_and_why(tmp_path: Path) -> None:
    folder = site(tmp_path, CLEAN)
    result = run("reach", "cam-1", "cam-2", "--site", folder)
    assert result.exit_code == 0
    assert result.stdout.startswith("Yes: cam-1 can talk to cam-2 in watch, at most 1Gbit/s.")
    document = json.loads(run("reach", "cam-1", "cam-2", "--site", folder, "--format", "json").stdout)
    assert (document["reached"], document["vlan"], document["speed_bps"]) == (True, "watch", 10**9)
    assert [hop["cables"] for hop in document["hops"]] == [["C1"], ["C2"]]
    apart = site(
        tmp_path, CLEAN.replace("p1..p2: {untagged: watch}", "p1: {untagged: watch}, p2: {untagged: spare}")
    )
    refused = run("reach", "cam-1", "cam-2", "--site", apart)
    assert refused.stdout.startswith("No: ")
    assert (
        json.loads(run("reach", "cam-1", "cam-2", "--site", apart, "--format", "json").stdout)["reached"]
        is False
    )


def test_reach_of_something_unknown_suggests_what_was_meant(tmp_path: Path) -> None:
    result = run("reach", "cam-1", "cam-22", "--site", site(tmp_path, CLEAN))
    assert result.exit_code == 2
    assert "did you mean 'cam-2'?" in result.stderr
    assert result.stdout == ""


def test_explain_prints_the_rules_own_words_and_suggests_near_names() -> None:
    result = run("explain", "rack-overlap")
    assert result.exit_code == 0
    for part in ("rack-overlap", "Severity: error", "Why: ", "Source: ", "Breaks it:", "Keeps it:"):
        assert part in result.stdout
    wrong = run("explain", "rack-overlaps")
    assert wrong.exit_code == 2
    assert "did you mean rack-overlap" in wrong.stderr


@pytest.mark.parametrize("arguments", [[], ["--all"]])
def test_explain_without_a_rule_lists_all(arguments: list[str]) -> None:
    listed = run("explain", *arguments).stdout
    as_json = json.loads(run("explain", *arguments, "--format", "json").stdout)
    assert len(as_json) > 50
    assert all(rule["name"] in listed for rule in as_json)


def test_explain_as_markdown_has_a_heading_a_rule() -> None:
    page = run("explain", "--all", "--format", "markdown").stdout
    assert page.startswith("# Rules\n")
    assert "\n### rack-overlap\n" in page
    assert page.count("```") % 2 == 0


def test_schema_is_a_json_schema() -> None:
    document = json.loads(run("schema").stdout)
    assert document["$schema"].startswith("https://json-schema.org/")
    assert "gear" in document["properties"]


def test_schedules_as_text_csv_and_json(tmp_path: Path) -> None:
    folder = site(tmp_path, CLEAN)
    assert "C1" in run("schedule", folder).stdout
    csv = run("schedule", folder, "--format", "csv", "--part", "cables")
    assert csv.exit_code == 0
    assert len(csv.stdout.splitlines()) == 3
    assert set(json.loads(run("schedule", folder, "--format", "json").stdout)) == {
        "cables",
        "ports",
        "addresses",
    }
    assert run("schedule", folder, "--format", "csv").exit_code == 2


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--theme", "nowhere"], "theme 'nowhere'"),
        (["--view", "rack,attic"], "no view 'attic'"),
        (["--format", "svg,gif"], "no format 'gif'"),
    ],
)
def test_a_drawing_that_can_not_be_made_is_one_clear_line_and_touches_no_file(
    arguments: list[str], said: str, tmp_path: Path
) -> None:
    result = run("draw", site(tmp_path, CLEAN), "-o", tmp_path / "out", *arguments)
    assert result.exit_code == 2
    assert said in result.stderr
    assert len(result.stderr.splitlines()) == 1
    assert not (tmp_path / "out").exists()


def test_draw_writes_the_sheets_and_verify_tells_when_they_are_stale(tmp_path: Path) -> None:
    folder, out = site(tmp_path, CLEAN), tmp_path / "out"
    drawn = run("draw", folder, "-o", out, "--view", "cabling")
    assert drawn.exit_code == 0
    assert drawn.stdout.splitlines() == [str(out / "cabling.svg")]
    assert run("draw", folder, "-o", out, "--view", "cabling", "--verify").exit_code == 0
    assert run("draw", folder, "-o", out, "--view", "cabling").stdout == ""
    before = (out / "cabling.svg").read_bytes()
    site(tmp_path, CLEAN.replace("cam-2", "cam-9").replace("cam-1..cam-9", "cam-8..cam-9"))
    stale = run("draw", folder, "-o", out, "--view", "cabling", "--verify")
    assert stale.exit_code == 1
    assert "cabling.svg: out of date" in stale.stdout
    assert (out / "cabling.svg").read_bytes() == before


def test_draw_into_a_file_is_one_clear_line(tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("")
    result = run("draw", site(tmp_path, CLEAN), "-o", tmp_path / "taken", "--view", "cabling")
    assert result.exit_code == 2
    assert len(result.stderr.splitlines()) == 1


@pytest.mark.parametrize(
    "command", ["new", "check", "draw", "facts", "tree", "reach", "schedule", "explain", "schema"]
)
def test_every_command_explains_itself(command: str) -> None:
    result = run(command, "--help")
    assert result.exit_code == 0
    assert "Usage: topodraw " in result.stdout
    first = result.stdout.split("\n\n")[1]
    assert len(first.split()) > 3


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="the system has no /dev/full")
def test_output_that_can_not_be_written_is_one_clear_line(tmp_path: Path) -> None:
    call = [
        sys.executable,
        "-c",
        "from topodraw.cli import main; main()",
        "check",
        str(site(tmp_path, WRONG)),
    ]
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(call, stdout=full, stderr=subprocess.PIPE, text=True, check=False, timeout=60)
    assert done.returncode == 2
    assert done.stderr == "topodraw: can't write the output: no space left on device\n"


def modules_after(*arguments: str | Path) -> set[str]:
    script = (
        "import sys\nfrom topodraw.cli import topodraw\n"
        "try:\n    topodraw(sys.argv[1:], prog_name='topodraw')\n"
        "except SystemExit:\n    pass\n"
        "print('MODULES', *sys.modules, file=sys.stderr)"
    )
    done = subprocess.run(
        [sys.executable, "-c", script, *map(str, arguments)],
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    return set(done.stderr.rpartition("MODULES")[2].split())


HEAVY = {
    "rich",
    "cairosvg",
    "graphviz",
    "svgwrite",
    "networkx",
    "lxml",
    "PIL",
    "fontTools",
    "topodraw.draw.sheet",
}


def test_a_check_loads_nothing_heavy(tmp_path: Path) -> None:
    assert modules_after("check", site(tmp_path, CLEAN)) & HEAVY == set()


def test_help_loads_neither_the_model_nor_the_parser() -> None:
    assert modules_after("--help") & {*HEAVY, "yaml", "pydantic", "topodraw.model.read"} == set()


def test_explain_reads_no_site() -> None:
    assert modules_after("explain", "rack-overlap") & {*HEAVY, "topodraw.model.read"} == set()
