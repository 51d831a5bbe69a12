"""Bad input gets a clear located error, exit status 2, and no file touched; a model's text stays text."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner
from lxml import etree

from topodraw.cli import topodraw as command
from topodraw.draw.placement import Engine

HEAD = "topodraw: 1\nsite: {name: Small, ref: S}\n"
GOOD = HEAD + """\
hardware:
  bridge: {function: switch, size: {units: 1}, ports: {p1..p4: {jack: RJ45, speeds: [1G]}}}
  cam: {function: camera, ports: {eth: {jack: RJ45, speeds: [1G]}}}
places: {room: {title: Room, racks: {A: {units: 6}}}}
vlans: {watch: {id: 40}}
gear:
  north: {model: bridge, at: A/U2, bridge: {priority: 4096}, ports: {p1: {untagged: watch}}}
  eye: {model: cam, place: room}
cables: {C1: {ends: [north/p1, eye/eth], medium: Cat6, length: 9m}}
"""  # fmt: skip
OLD_SHEETS = {"rack-A.svg": b'<svg data-topodraw="sheet"/>', "cabling.svg": b"old", "notes.txt": b"mine"}
DEEP = 10_000


def topodraw(*arguments: str | Path, stops_after_s: float = 60) -> subprocess.CompletedProcess[str]:
    """Run the real command."""
    return subprocess.run(
        [sys.executable, "-m", "topodraw", *map(str, arguments)],
        capture_output=True, text=True, encoding="utf-8", timeout=stops_after_s, check=False,
    )  # fmt: skip


def written(folder: Path, text: str | bytes) -> None:
    (folder / "site.yaml").write_bytes(text if isinstance(text, bytes) else text.encode())


def with_include(name: str, **files: str) -> Callable[[Path], None]:
    def write(folder: Path) -> None:
        written(folder, HEAD + f"include: [{name}]\n")
        for file, text in files.items():
            (folder / f"{file}.yaml").write_text(text)

    return write


def with_link_that_leads_out(folder: Path) -> None:
    (folder.parent / "outside.yaml").write_text("zones: {z: {title: Z}}\n")
    os.symlink(folder.parent / "outside.yaml", folder / "link.yaml")
    written(folder, HEAD + "include: [link.yaml]\n")


def as_text(text: str | bytes) -> Callable[[Path], None]:
    return lambda folder: written(folder, text)


INDENTED = "".join(f"{' ' * depth}a:\n" for depth in range(DEEP))
BAD_SITES: dict[str, tuple[Callable[[Path], None], str, str]] = {
    "not UTF-8": (as_text(HEAD.encode() + b"zones: {z: {title: caf\xe9}}\n"), "site.yaml:3:", "UTF-8"),
    "UTF-16": (as_text(GOOD.encode("utf-16")), "site.yaml:1:", "UTF-8"),
    "null bytes": (as_text(b"\0" * 100), "site.yaml:1:", ""),
    "a tab": (as_text(HEAD + "zones:\n\tz: {title: Z}\n"), "site.yaml:4:1:", "a tab in the indentation"),
    "open brackets": (as_text(HEAD + f"zones: {'[' * DEEP}"), "site.yaml:3:", "deep"),
    "closed brackets": (as_text(HEAD + f"zones: {'[' * DEEP}{']' * DEEP}\n"), "site.yaml:3:", "deep"),
    "open braces": (as_text(HEAD + "zones: " + "{a: " * DEEP), "site.yaml:3:", "deep"),
    "deep indentation": (as_text(HEAD + "zones:\n" + INDENTED.replace("a:", " a:")), "site.yaml:", "deep"),
    "deep lists": (as_text(HEAD + f"zones:\n  {'- ' * DEEP}a\n"), "site.yaml:4:", "deep"),
    "an alias": (as_text(HEAD + "zones: {a: &x {title: A}, b: *x}\n"), "site.yaml:3:", "refused"),
    "a merge key": (as_text(HEAD + "zones: {a: {<<: {title: A}}}\n"), "site.yaml:3:", "merge"),
    "a tag": (as_text(HEAD + "zones: !!python/object/apply:os.getcwd []\n"), "site.yaml:3:", "refused"),
    "two documents": (as_text(GOOD + "---\na: 1\n"), "site.yaml:", "document"),
    "an include loop": (with_include("a.yaml", a="include: [site.yaml]\n"), "a.yaml:1:1:", "include loop"),
    "an include of itself": (with_include("site.yaml"), "site.yaml:3:11:", "include loop"),
    "include of a parent": (with_include("../outside.yaml"), "site.yaml:3:11:", "leads out of the site"),
    "an absolute include": (with_include("/etc/hosts"), "site.yaml:3:11:", "leads out of the site"),
    "a link that leads out": (with_link_that_leads_out, "site.yaml:3:11:", "leads out of the site"),
    "a missing include": (with_include("a.yaml"), "site.yaml:3:11:", "there is no file 'a.yaml'"),
    "an unknown version": (as_text(GOOD.replace("topodraw: 1", "topodraw: 99")), "site.yaml:1:11:", "99"),
    "no version": (as_text(GOOD.replace("topodraw: 1\n", "")), "site.yaml:1:1:", "which version"),
    "an empty file": (as_text(""), "site.yaml:1:1:", "the file holds no sections"),
    "only a comment": (as_text("# to come\n"), "site.yaml:1:1:", "the file holds no sections"),
    "no site.yaml": (lambda folder: None, "site.yaml:1:1:", "there is no file 'site.yaml'"),
    "a folder as site.yaml": (lambda folder: (folder / "site.yaml").mkdir(), "site.yaml:1:1:", "not a file"),
    "a misspelt key": (as_text(GOOD.replace("medium", "meduim")), "site.yaml:11:", "did you mean 'medium'"),
}


@pytest.fixture
def sheets(tmp_path: Path) -> Path:
    """A folder in which sheets of an earlier run stand, and a file of somebody else."""
    folder = tmp_path / "sheets"
    folder.mkdir()
    for name, data in OLD_SHEETS.items():
        (folder / name).write_bytes(data)
    return folder


def untouched(folder: Path) -> bool:
    return {path.name: path.read_bytes() for path in folder.iterdir()} == OLD_SHEETS


def no_traceback(done: subprocess.CompletedProcess[str]) -> bool:
    return "Traceback" not in done.stderr and "fault of topodraw" not in done.stderr


@pytest.mark.parametrize("case", BAD_SITES)
def test_a_site_that_can_not_be_read_is_told_at_its_place(case: str, tmp_path: Path, sheets: Path) -> None:
    write, place, message = BAD_SITES[case]
    folder = tmp_path / "site"
    folder.mkdir()
    write(folder)
    before = sorted(folder.iterdir())
    drawn = topodraw("draw", folder, "-o", sheets)
    assert drawn.returncode == 2, drawn.stderr
    assert drawn.stdout == ""
    assert f"{folder}/{place}" in drawn.stderr
    assert message in drawn.stderr
    assert no_traceback(drawn)
    checked = CliRunner().invoke(command, ["check", str(folder), "--format", "json"])
    assert (checked.exit_code, checked.stderr) == (2, "")
    first = json.loads(checked.stdout)["findings"][0]
    assert f"{first['file']}:{first['line']}:{first['column']}:".startswith(place)
    assert first["severity"] == "error"
    assert first["fix"]
    assert len(drawn.stderr) < 4000, "a message is for people, however large the input"
    assert sorted(folder.iterdir()) == before
    assert untouched(sheets)


@pytest.mark.parametrize("command", ["facts", "tree", "schedule"])
def test_commands_that_compute_tell_bad_input_on_standard_error_only(command: str, tmp_path: Path) -> None:
    written(tmp_path, GOOD.replace("medium", "meduim"))
    done = topodraw(command, tmp_path)
    assert (done.returncode, done.stdout) == (2, "")
    assert f"{tmp_path}/site.yaml:11:" in done.stderr


def engine(folder: Path, body: str) -> str:
    path = folder / "engine"
    path.write_text(f"#!/bin/sh\n{body}\n")
    path.chmod(0o755)
    return str(path)


BAD_CALLS: dict[str, tuple[Callable[[Path], list[str]], str]] = {
    "no such theme": (lambda _: ["--theme", "nowhere"], "theme 'nowhere'"),
    "a theme that leads out": (lambda _: ["--theme", "../../paper"], "theme '../../paper'"),
    "no such view": (lambda _: ["--view", "rack,attic"], "no view 'attic'; known are rack, cabling"),
    "no such format": (lambda _: ["--format", "gif"], "no format 'gif'; known are svg, png, pdf"),
    "no engine": (lambda _: ["--engine", "/nowhere/engine"], "/nowhere/engine can't be run"),
    "an engine that is a folder": (lambda folder: ["--engine", str(folder)], "can't be run"),
    "an engine that fails": (lambda f: ["--engine", engine(f, "echo out of ink >&2; exit 3")], "out of ink"),
    "an engine that dies": (lambda f: ["--engine", engine(f, "kill -9 $$")], "failed"),
    "an engine of nonsense": (lambda f: ["--engine", engine(f, "echo '{\"objects\": [4]}'")], "failed"),
    "an engine of bad places": (
        lambda f: ["--engine", engine(f, """echo '{"objects": [{"name": "n0", "pos": "nan,0"}]}'""")],
        "failed",
    ),
}


@pytest.mark.parametrize("case", BAD_CALLS)
def test_a_call_that_can_not_be_followed_is_one_clear_line(case: str, tmp_path: Path, sheets: Path) -> None:
    arguments, message = BAD_CALLS[case]
    written(tmp_path, GOOD)
    done = topodraw("draw", tmp_path, "-o", sheets, *(["--view", "rack,cabling"]), *arguments(tmp_path))
    assert done.returncode == 2, done.stderr
    assert done.stdout == ""
    assert message in done.stderr
    assert len(done.stderr.splitlines()) == 1
    assert no_traceback(done)
    assert untouched(sheets)


def test_an_engine_that_hangs_is_stopped_and_its_sheet_named(
    tmp_path: Path, sheets: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Engine.__init__, "__defaults__", (1.0,))
    written(tmp_path, GOOD)
    slow = engine(tmp_path, "exec sleep 50")
    call = ["draw", str(tmp_path), "-o", str(sheets), "--view", "rack,cabling", "--engine", slow]
    result = CliRunner().invoke(command, call)
    assert result.exit_code == 2
    assert re.fullmatch(r"topodraw: .*sheet 'cabling'.*took longer than 1 s\n", result.stderr)
    assert untouched(sheets)


@pytest.mark.parametrize("below", ["taken", "taken/deeper", "taken/deeper/still"])
@pytest.mark.parametrize("verify", [[], ["--verify"]], ids=["draw", "verify"])
def test_a_folder_that_can_not_be_written_is_one_clear_line(
    below: str, verify: list[str], tmp_path: Path
) -> None:
    written(tmp_path, GOOD)
    (tmp_path / "taken").write_text("a file")
    done = topodraw("draw", tmp_path, "-o", tmp_path / below, "--view", "rack", *verify)
    assert done.returncode == (1 if verify else 2), done.stderr
    assert no_traceback(done)
    assert len(done.stderr.splitlines()) == 1
    assert str(tmp_path / below) in (done.stdout if verify else done.stderr)
    assert (tmp_path / "taken").read_text() == "a file"


def test_a_sheet_whose_name_is_taken_by_a_folder_is_one_clear_line(tmp_path: Path) -> None:
    written(tmp_path, GOOD)
    (tmp_path / "out" / "rack-A.svg").mkdir(parents=True)
    done = topodraw("draw", tmp_path, "-o", tmp_path / "out", "--view", "rack")
    assert done.returncode == 2
    assert len(done.stderr.splitlines()) == 1
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == ["rack-A.svg"]


def test_a_new_site_below_a_file_is_one_clear_line(tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("a file")
    done = topodraw("new", tmp_path / "taken" / "mine")
    assert done.returncode == 2
    assert len(done.stderr.splitlines()) == 1
    assert no_traceback(done)


TEXTS = {
    "script": "<script>alert(1)</script>",
    "end of CDATA": "a]]>b<![CDATA[",
    "quotes": "\"'`&amp;&lt;&",
    "comment": "<!-- x",
    "attribute": "\" onload=\"alert(1)",
    "entity": "&xxe; %n%s {{7*7}} $(reboot)",
    "right to left": "\u0645\u0633\u062a\u0648\u062f\u0639",
    "long": "abcdefghij" * 8,
    "wide": "監視カメラ室の機器" * 3,
    "emoji": "roof \U0001f4f7\U0001f468",
    "combining": "Z\u0351\u036b\u0343a\u0300\u0301\u0302lgo",
}  # fmt: skip
IN_NOTES_ONLY = {
    "arrow": "--><!-- x -->",
    "joined emoji": "\U0001f468\u200d\U0001f527",
    "marks": "a\u200fb\u200ec",
    "lines": "one\ntwo\tthree\u2028four",
}
"""What names can't hold: the arrow of flows, and what nobody sees."""


def hostile(name: str, note: str) -> str:
    """A site with `name` wherever one may choose it (gear whose name holds a slash can't be cabled)."""
    quoted, text = json.dumps(name, ensure_ascii=False), json.dumps(note, ensure_ascii=False)
    gear = '"north"' if "/" in name else quoted
    end = json.dumps(f"{json.loads(gear)}/p1", ensure_ascii=False)
    return f"""\
topodraw: 1
site: {{name: {text}, ref: S, owner: {text}, about: {text}, issue: B, creator: {text}}}
hardware:
  {quoted}: {{function: switch, size: {{units: 1}}, ports: {{p1..p4: {{jack: RJ45, speeds: [1G]}}}}}}
  cam: {{function: camera, ports: {{eth: {{jack: RJ45, speeds: [1G]}}}}}}
places: {{{quoted}: {{title: {text}, racks: {{A: {{units: 6}}}}}}}}
zones: {{{quoted}: {{title: {text}, note: {text}}}}}
vlans: {{{quoted}: {{id: 40, zone: {quoted}, note: {text}}}}}
gear:
  {gear}:
    {{model: {quoted}, at: A/U2, note: {text}, serial: {text}, bridge: {{priority: 4096}},
     ports: {{p1: {{untagged: {quoted}}}}}}}
  eye: {{model: cam, place: {quoted}}}
cables: {{{quoted}: {{ends: [{end}, eye/eth], medium: Cat6, length: 9m, purpose: {quoted}, colour: {text}}}}}
purposes: {{{quoted}: {{colour: {text}}}}}
expect: [{{root: {gear}, because: {text}}}]
waivers: [{{rule: rack-overlap, on: {gear}, because: {text}, until: 2099-01-01}}]
"""


ALLOWED = {
    "svg", "title", "desc", "g", "path", "rect", "line", "polyline", "polygon", "circle", "ellipse", "text",
    "tspan", "a", "defs", "pattern", "clipPath", "marker", "style",
}  # fmt: skip


def checked_sheet(path: Path) -> None:
    """The sheet is well-formed, and holds nothing but shapes and text."""
    root = etree.fromstring(path.read_bytes(), etree.XMLParser(resolve_entities=False))
    for element in root.iter():
        assert isinstance(element.tag, str), f"{path.name}: a comment or instruction from the model's text"
        assert etree.QName(element).localname in ALLOWED, element.tag
        for attribute in element.attrib:
            assert not etree.QName(attribute).localname.startswith("on"), attribute


@pytest.mark.parametrize("kind", [*TEXTS, *IN_NOTES_ONLY])
def test_hostile_text_stays_text(kind: str, tmp_path: Path) -> None:
    name, note = TEXTS.get(kind, "plain"), (TEXTS | IN_NOTES_ONLY)[kind]
    written(tmp_path, hostile(name, note))
    checked = topodraw("check", tmp_path, "--format", "json")
    assert checked.returncode in (0, 1), checked.stdout
    json.loads(checked.stdout)
    facts = topodraw("facts", tmp_path)
    assert facts.returncode == 0, facts.stderr
    assert json.loads(facts.stdout)["site"] == note
    assert topodraw("schedule", tmp_path).returncode == 0
    drawn = topodraw("draw", tmp_path, "-o", tmp_path / "out")
    assert drawn.returncode == 0, drawn.stderr
    assert no_traceback(drawn)
    sheets = sorted((tmp_path / "out").iterdir())
    assert len(sheets) >= 3
    for sheet in sheets:
        checked_sheet(sheet)


@pytest.mark.parametrize("character", ["\\0", "\\e", "\\x7F", "\\u202E", "\\u2066", "\\uD800"])
def test_control_characters_are_refused_and_not_passed_to_the_terminal(
    character: str, tmp_path: Path
) -> None:
    written(tmp_path, HEAD + f'zones: {{z: {{title: "a{character}b"}}}}\n')
    done = topodraw("draw", tmp_path, "-o", tmp_path / "out")
    assert done.returncode == 2
    assert f"{tmp_path}/site.yaml:3:" in done.stderr
    assert all(sign.isprintable() or sign == "\n" for sign in done.stderr)
    assert not (tmp_path / "out").exists()
