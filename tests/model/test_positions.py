"""Where parts of the model stand in the text."""

from pathlib import Path

import pytest

from tests.model.sites import read_text
from topodraw.source.positions import Positions

TEXT = """\
hardware:
  h: {function: switch, ports: {u1..u4: {cage: SFP+}}}
gear:
  a..z: {}
  sw-1..sw-2:
    model: h
    ports:
      u1..u4: {untagged: v, tagged: [w, x1..x3, y]}
      u2: {edge: true}
      u3:
        module: 10GBASE-SR
cables:
  C1..C2: {ends: [sw-1/u1..u2, sw-2/u1..u2], medium: twinax}
aggregates:
  both: {cables: [C1..C2, C9]}
conduits:
  - a -> b
  - {flow: sw-1..sw-2 -> internet, to: web}
  - c -> d
"""


@pytest.fixture
def positions(tmp_path: Path) -> Positions:
    return read_text(tmp_path, TEXT).positions


def word_at(positions: Positions, *path: str) -> str:
    """The text that a path leads to, and its line."""
    place = positions.find(path)
    line = ("\n\n" + TEXT).split("\n")[place.line - 1]
    assert place.line == place.end_line
    return f"{place.line}: {line[place.column - 1 : place.end_column - 1]}"


@pytest.mark.parametrize(
    ("path", "text"),
    [
        ("gear sw-2", "7: sw-1..sw-2"),
        ("gear sw-2 model", "8: h"),
        ("gear sw-1 ports", "9: ports"),
        ("gear sw-1 ports u1", "10: u1..u4"),
        ("gear sw-1 ports u4 tagged", "10: tagged"),
        ("gear sw-1 ports u4 tagged 0", "10: w"),
        ("gear sw-1 ports u2 untagged", "10: v"),
        ("gear sw-1 ports u2 edge", "11: true"),
        ("gear sw-1 ports u3 module", "13: 10GBASE-SR"),
        ("gear sw-1 ports u3 speed", "12: u3"),
        ("gear sw-1 nowhere at all", "7: sw-1..sw-2"),
        ("hardware h ports u3 cage", "4: SFP+"),
        ("cables C2 ends 1", "15: sw-2/u1..u2"),
        ("aggregates both cables 0", "17: C1..C2"),
        ("aggregates both cables 1", "17: C1..C2"),
        ("aggregates both cables 2", "17: C9"),
        ("conduits 0", "19: a -> b"),
        ("conduits 1 to", "20: web"),
        ("conduits 2 flow", "20: sw-1..sw-2 -> internet"),
        ("conduits 3", "21: c -> d"),
        ("site ref", "2: "),
    ],
)
def test_a_path_leads_to_the_text_that_says_it(positions: Positions, path: str, text: str) -> None:
    if path == "site ref":
        assert str(positions.find(("site", "ref"))) == "site.yaml:2:33"
    else:
        assert word_at(positions, *path.split()) == text


@pytest.mark.parametrize(
    "path", [(), ("nonsense",), ("gear",), ("gear", "nobody"), ("conduits", "99"), ("site",)]
)
def test_every_path_leads_somewhere(positions: Positions, path: tuple[str, ...]) -> None:
    assert positions.find(path).file == "site.yaml"
    assert positions.find(path).line >= 1
