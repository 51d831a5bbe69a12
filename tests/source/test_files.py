"""A site's files: the first one, and those it includes from inside its own folder."""

import os
from pathlib import Path

import pytest

from topodraw.source.files import DiskFolder, Source, find_first, load_source

SECTIONS = ("gear", "zones")
ZONE = "zones: {%s: {title: Z}}\n"


def load(folder: Path, include: str, **files: str) -> Source:
    """Load a first file that includes `include`, beside `files` (`sub__a` is sub/a.yaml)."""
    (folder / "site.yaml").write_text(f"topodraw: 1\nsite: {{name: S, ref: S}}\ninclude: {include}\n")
    for name, text in files.items():
        path = folder / (name.replace("__", "/") + ".yaml")
        path.parent.mkdir(exist_ok=True)
        path.write_text(text)
    return load_source(DiskFolder(folder), "site.yaml", SECTIONS)


def said(source: Source) -> list[str]:
    return [f"{problem.position} {problem.rule}: {problem.message}" for problem in source.problems]


def test_sections_of_all_files_are_joined_in_reading_order(tmp_path: Path) -> None:
    source = load(tmp_path, "[b.yaml, 'sub/*.yaml']", b=ZONE % "b", sub__c=ZONE % "c", sub__a=ZONE % "a")
    assert said(source) == []
    assert source.files == ["site.yaml", "b.yaml", "sub/a.yaml", "sub/c.yaml"]
    assert [file for file, _ in source.sections["zones"]] == ["b.yaml", "sub/a.yaml", "sub/c.yaml"]


def test_one_include_needs_no_list(tmp_path: Path) -> None:
    assert load(tmp_path, "b.yaml", b=ZONE % "b").files == ["site.yaml", "b.yaml"]


def test_a_glob_passes_over_what_is_read_already(tmp_path: Path) -> None:
    source = load(tmp_path, "[b.yaml, '*.yaml']", a=ZONE % "a", b=ZONE % "b")
    assert said(source) == []
    assert source.files == ["site.yaml", "b.yaml", "a.yaml"]


def test_an_included_file_may_be_empty(tmp_path: Path) -> None:
    assert said(load(tmp_path, "[a.yaml]", a="# to come\n")) == []


@pytest.mark.parametrize(
    "name",
    [
        "../outside.yaml",
        "/etc/passwd",
        "sub/../../outside.yaml",
        "..\\outside.yaml",
        "file:x.yaml",
        "../*.yaml",
    ],
)
def test_a_path_that_leads_out_of_the_folder_is_refused(name: str, tmp_path: Path) -> None:
    (tmp_path / "outside.yaml").write_text(ZONE % "o")
    site = tmp_path / "site"
    site.mkdir()
    source = load(site, f"['{name}']")
    assert said(source) == [f"site.yaml:3:11 include-refused: {name!r} leads out of the site's folder"]
    assert source.files == ["site.yaml"]


@pytest.mark.parametrize("name", ["link.yaml", "linked/o.yaml", "'l*.yaml'", "'linked/*.yaml'"])
def test_a_link_that_leads_out_of_the_folder_is_refused(name: str, tmp_path: Path) -> None:
    outside, site = tmp_path / "outside", tmp_path / "site"
    outside.mkdir()
    site.mkdir()
    (outside / "o.yaml").write_text(ZONE % "o")
    os.symlink(outside / "o.yaml", site / "link.yaml")
    os.symlink(outside, site / "linked")
    source = load(site, f"[{name}]")
    assert source.sections == {}
    (problem,) = said(source)
    assert "is a link that leads out of the site's folder" in problem


def test_a_link_that_stays_inside_is_followed(tmp_path: Path) -> None:
    (tmp_path / "real.yaml").write_text(ZONE % "r")
    os.symlink("real.yaml", tmp_path / "link.yaml")
    assert said(load(tmp_path, "[link.yaml]")) == []


@pytest.mark.parametrize(
    ("include", "column", "problem"),
    [
        ("[nettwork.yaml]", 11, "there is no file 'nettwork.yaml'; did you mean 'network.yaml'?"),
        ("['z*.yaml']", 11, "no file matches 'z*.yaml'"),
        ("['**z']", 11, "no file matches '**z'"),
        ("[site.yaml]", 11, "an include loop: site.yaml includes itself"),
        ("[network.yaml, ./network.yaml]", 25, "'network.yaml' is included twice: first at site.yaml:3:11"),
        ("[sub]", 11, "'sub' is not a file"),
        ("[pipe.yaml]", 11, "'pipe.yaml' is not a file"),
        ("[loop.yaml]", 11, "'loop.yaml' can't be read: links that lead in a circle"),
        ("[5]", 11, "an include is the name of a file"),
        ("{a: b}", 10, "an include is the name of a file"),
    ],
)
def test_an_include_that_cannot_be_is_told(include: str, column: int, problem: str, tmp_path: Path) -> None:
    (tmp_path / "sub").mkdir()
    os.mkfifo(tmp_path / "pipe.yaml")
    os.symlink("loop.yaml", tmp_path / "loop.yaml")
    (told,) = load(tmp_path, include, network=ZONE % "n").problems
    assert (str(told.position), told.message) == (f"site.yaml:3:{column}", problem)


def test_an_include_loop_is_told(tmp_path: Path) -> None:
    (problem,) = said(load(tmp_path, "[a.yaml]", a="include: [site.yaml]\n" + ZONE % "a"))
    assert problem.startswith(
        "a.yaml:1:1 include-refused: an include loop: a.yaml is included and includes site.yaml"
    )


def test_what_belongs_into_the_first_file_is_refused_elsewhere(tmp_path: Path) -> None:
    source = load(tmp_path, "[a.yaml]", a="topodraw: 1\nsite: {name: X, ref: X}\n")
    assert said(source) == [
        "a.yaml:1:1 unknown-key: 'topodraw' stands only in the first file (site.yaml)",
        "a.yaml:2:1 unknown-key: 'site' stands only in the first file (site.yaml)",
    ]


NO_VERSION = "is no version of the language that this program reads"


@pytest.mark.parametrize(
    ("text", "place", "problem"),
    [
        ("topodraw: 2\nsite: {name: S}\n", "1:11", f"2 {NO_VERSION}"),
        ("topodraw: '1'\nsite: {name: S}\n", "1:11", f"1 {NO_VERSION}"),
        ("topodraw: true\nsite: {name: S}\n", "1:11", f"true {NO_VERSION}"),
        ("site: {name: S}\n", "1:1", "the file doesn't say which version of the language it is in"),
        ("topodraw: 1\n", "1:1", "the file says nothing about its site"),
        ("", "1:1", "the file holds no sections"),
        ("- a\n", "1:1", "the file holds no sections"),
    ],
)
def test_a_first_file_that_is_none_is_told(text: str, place: str, problem: str, tmp_path: Path) -> None:
    (tmp_path / "site.yaml").write_text(text)
    (told,) = load_source(DiskFolder(tmp_path), "site.yaml", SECTIONS).problems
    assert (str(told.position), told.message) == (f"site.yaml:{place}", problem)


def test_a_bad_file_does_not_hide_the_mistakes_of_another(tmp_path: Path) -> None:
    told = said(load(tmp_path, "[a.yaml, b.yaml]", a="zones: [", b="zonez: {}\n"))
    assert [line.split()[0] for line in told] == ["a.yaml:1:8", "b.yaml:1:1"]


def test_a_site_is_a_file_or_a_folder(tmp_path: Path) -> None:
    (tmp_path / "other.yaml").write_text("topodraw: 1\nsite: {name: S, ref: S}\n")
    folder, first = find_first(tmp_path / "other.yaml")
    assert (first, said(load_source(folder, first, SECTIONS))) == ("other.yaml", [])
    folder, first = find_first(tmp_path)
    (problem,) = said(load_source(folder, first, SECTIONS))
    assert problem == "site.yaml:1:1 no-site: there is no file 'site.yaml'; did you mean 'other.yaml'?"


def test_files_can_come_from_elsewhere_than_a_disk() -> None:
    class Archive:
        """Files kept in memory, as those of a revision would be."""

        def read(self, name: str) -> bytes:
            first = b"topodraw: 1\nsite: {name: S, ref: S}\ninclude: '*.yaml'\n"
            return first if name == "site.yaml" else (ZONE % "z").encode()

        def matching(self, pattern: str) -> list[str]:
            return ["site.yaml", "z.yaml"]

        def names(self) -> list[str]:
            return []

    source = load_source(Archive(), "site.yaml", SECTIONS)
    assert (said(source), source.files) == ([], ["site.yaml", "z.yaml"])
