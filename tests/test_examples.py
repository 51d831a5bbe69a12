"""The example sites that ship: the sound ones check clean, and each planted mistake is found at its line."""

from __future__ import annotations

import json
import re
from collections import Counter
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from topodraw.cli import topodraw
from topodraw.model.read import read_site
from topodraw.model.site import Site
from topodraw.source.shipped import shipped_folder

EXAMPLES = shipped_folder("examples")
TODAY = "2026-11-25"
"""Past the end of the waiver that has expired, before the end of the one that is idle."""

COMPUTED_LATER = {"any breaker", "rate:", "runtime:"}
"""What marks the promises about power and speed, which nothing computes yet."""


@cache
def checked(example: str) -> dict[str, Any]:
    """What `topodraw check` says of an example."""
    arguments = ["check", str(EXAMPLES / example), "--format", "json", "--today", TODAY]
    result = CliRunner().invoke(topodraw, arguments)
    assert result.exit_code in (0, 1), result.output
    answer: dict[str, Any] = json.loads(result.stdout)
    return answer


@cache
def facts(example: str) -> dict[str, Any]:
    result = CliRunner().invoke(topodraw, ["facts", str(EXAMPLES / example)])
    assert result.exit_code == 0, result.output
    answer: dict[str, Any] = json.loads(result.stdout)
    return answer


@cache
def site(example: str) -> Site:
    reading = read_site(EXAMPLES / example)
    assert reading.site is not None, reading.problems
    return reading.site


def source(example: str) -> dict[str, list[str]]:
    """The lines of each of an example's files."""
    return {path.name: path.read_text().splitlines() for path in sorted((EXAMPLES / example).glob("*.yaml"))}


@pytest.mark.parametrize("example", ["cupboard", "shelf", "saltmarsh", "saltmarsh-mistakes"])
def test_an_example_has_a_readme_and_can_be_read(example: str) -> None:
    assert (EXAMPLES / example / "README.md").is_file()
    assert site(example).gear


@pytest.mark.parametrize("example", ["cupboard", "shelf", "saltmarsh"])
def test_a_sound_example_has_no_findings(example: str) -> None:
    assert checked(example)["findings"] == []


def test_the_shelf_is_one_short_file_with_nothing_left_unchecked() -> None:
    files = source("shelf")
    assert list(files) == ["site.yaml"]
    assert len(files["site.yaml"]) <= 60
    assert checked("shelf")["unchecked"] == []


def test_only_promises_about_power_and_speed_are_left_unchecked_in_saltmarsh() -> None:
    for item in checked("saltmarsh")["unchecked"]:
        assert item["rule"] == "promise-broken"
        assert any(mark in item["missing"] for mark in COMPUTED_LATER), item


def test_saltmarsh_is_a_whole_site() -> None:
    whole = site("saltmarsh")
    assert len(whole.gear) >= 35
    assert all(gear.count == 1 for gear in whole.gear.values())
    assert len({gear.function for gear in whole.gear.values()}) >= 10
    assert len(whole.cables) >= 90
    assert len(whole.vlans) == 7
    assert len(set(whole.zones) - {"internet"}) == 6
    assert len(whole.workloads) >= 10
    assert [len(cluster.members) for cluster in whole.clusters.values()] == [3]
    assert [len(stack.members) for stack in whole.stacks.values()] == [2]
    assert {"ups", "pdu"} <= {gear.function for gear in whole.gear.values()}
    assert all(cable.length_m is not None for cable in whole.cables.values())


def test_saltmarsh_joins_its_two_racks_in_two_places_by_single_mode_fibre() -> None:
    whole = site("saltmarsh")
    assert len(whole.racks) == 2
    assert len({rack.place for rack in whole.racks.values()}) == 2
    between = [
        cable for cable in whole.cables.values() if {end.gear for end in cable.ends} == {"pan-fa", "pan-fb"}
    ]
    assert between
    assert {cable.medium for cable in between} == {"OS2"}


def test_each_of_the_two_rings_of_saltmarsh_is_cut_once() -> None:
    discarding = [
        port["port"] for port in facts("saltmarsh")["tree"]["ports"] if port["state"] == "discarding"
    ]
    assert discarding == ["hide-sw/u2", "pump-sw/u2"]
    assert facts("saltmarsh")["tree"]["roots"] == ["core"]


def test_no_vlan_of_saltmarsh_is_missing_or_led_where_nobody_needs_it() -> None:
    for spread in facts("saltmarsh")["vlans"].values():
        assert spread["missing"] == []
        assert spread["unneeded"] == []


Row = tuple[int, str, int, str, str]
"""Number, file, line, rule, and one of the things that the finding is on."""


def listed_mistakes() -> list[Row]:
    """The rows of the table in the README of the site with mistakes."""
    text = (EXAMPLES / "saltmarsh-mistakes" / "README.md").read_text()
    rows = [
        [cell.strip() for cell in line.strip("|").split("|")] for line in text.splitlines() if line[:1] == "|"
    ]
    return [(int(r[0]), r[1], int(r[2]), r[3].strip("`"), r[4]) for r in rows if r[0].isdigit()]


@pytest.mark.parametrize("row", listed_mistakes(), ids=lambda row: f"{row[0]}-{row[3]}")
def test_a_listed_mistake_is_found_once_at_its_line(row: Row) -> None:
    _, file, line, rule, on = row
    found = [
        finding
        for finding in checked("saltmarsh-mistakes")["findings"]
        if (finding["file"], finding["line"], finding["rule"]) == (file, line, rule) and on in finding["on"]
    ]
    assert len(found) == 1


def test_nothing_but_the_listed_mistakes_is_found() -> None:
    listed = Counter((file, line, rule) for _, file, line, rule, _ in listed_mistakes())
    findings = checked("saltmarsh-mistakes")["findings"]
    assert Counter((f["file"], f["line"], f["rule"]) for f in findings) == listed
    assert checked("saltmarsh-mistakes")["unchecked"] == checked("saltmarsh")["unchecked"]


def test_each_mistake_is_marked_in_the_source_at_the_line_that_the_readme_gives() -> None:
    marked = {
        int(match[1]): (file, number)
        for file, lines in source("saltmarsh-mistakes").items()
        for number, line in enumerate(lines, start=1)
        if (match := re.search(r"# MISTAKE (\d+): \S", line))
    }
    listed: dict[int, tuple[str, int]] = {}
    for number, file, line, _, _ in listed_mistakes():
        listed.setdefault(number, (file, line))
    assert len(listed) >= 20
    assert marked == listed


def test_the_mistakes_are_in_the_site_that_is_sound_without_them() -> None:
    sound, mistaken = source("saltmarsh"), source("saltmarsh-mistakes")
    assert list(sound) == list(mistaken)
    for file, lines in sound.items():
        kept = sum((Counter(lines) & Counter(mistaken[file])).values())
        assert kept >= 0.8 * len(lines), file


def test_the_examples_name_only_private_and_local_addresses() -> None:
    for example in ("cupboard", "shelf", "saltmarsh", "saltmarsh-mistakes"):
        for vlan in site(example).vlans.values():
            assert all(subnet.is_private for subnet in vlan.subnets)
        for gear in site(example).gear.values():
            # Locally administered: the second lowest bit of the first octet (IEEE 802c, RFC 7042).
            assert gear.mac is None or int(gear.mac[:2], 16) & 2


def test_every_file_that_a_readme_points_to_exists() -> None:
    for readme in sorted(EXAMPLES.glob("*/README.md")):
        targets = re.findall(r"\]\(([^)]+)\)", readme.read_text())
        missing = [target for target in targets if not (readme.parent / Path(target)).exists()]
        assert missing in ([], ["sheets"]), readme
