"""Source that can't be understood gets an error with its place, and the nearest right word."""

import re
from pathlib import Path

import pytest
import yaml

from tests.model.sites import read_files, said, site_of
from topodraw.source.problem import Position

FOLDER = Path(__file__).parent / "bad_source"
BASE = (FOLDER / "base.yaml").read_text(encoding="utf-8")
CASES = yaml.safe_load((FOLDER / "cases.yaml").read_text(encoding="utf-8"))
MARKED = re.compile("«(.*?)»", re.DOTALL)


def unmarked(text: str) -> tuple[str, list[Position]]:
    """`text` without its guillemets, and where what stood between them now stands."""
    places = []
    while mark := MARKED.search(text):
        line = text.count("\n", 0, mark.start()) + 1
        column = mark.start() - text.rfind("\n", 0, mark.start())
        places.append(Position("case.yaml", line, column, line, column + len(mark[1])))
        text = text[: mark.start()] + mark[1] + text[mark.end() :]
    return text, places


def test_what_the_cases_build_on_can_be_read(tmp_path: Path) -> None:
    site_of(read_files(tmp_path, base=BASE))


@pytest.mark.parametrize("case", CASES, ids=[case["case"] for case in CASES])
def test_bad_source_is_told_at_its_place(case: dict, tmp_path: Path) -> None:
    text, places = unmarked(case["text"])
    reading = read_files(tmp_path, base=BASE, case=text)
    assert reading.site is None
    assert len(reading.problems) == len(case["says"]), said(reading)
    for problem, place, expected in zip(reading.problems, places, case["says"], strict=True):
        assert problem.position == place, said(reading)
        rule, message = expected.split(": ", 1)
        message, _, fix = message.partition(" -- ")
        assert problem.rule == rule
        assert message in problem.message
        assert fix in problem.fix


def test_every_problem_says_what_to_do(tmp_path: Path) -> None:
    for case in CASES:
        for problem in read_files(tmp_path, base=BASE, case=unmarked(case["text"])[0]).problems:
            assert problem.message
            assert problem.fix
