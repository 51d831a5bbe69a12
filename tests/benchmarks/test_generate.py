"""The benchmarks measure what they claim: so many gear, three cables each, clean, the same text each time."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from tests.benchmarks.generate import CABLES_A_GEAR, site_text
from topodraw.compute.facts import Facts
from topodraw.model.read import read_site
from topodraw.rules.check import check


@pytest.mark.parametrize("size", [100, 500])
def test_a_generated_site_has_its_size_and_checks_clean(size: int, tmp_path: Path) -> None:
    (tmp_path / "site.yaml").write_text(site_text(size), encoding="utf-8")
    reading = read_site(tmp_path)
    assert reading.site is not None, reading.problems
    assert len(reading.site.gear) == size
    assert len(reading.site.cables) == CABLES_A_GEAR * size
    facts = Facts(reading.site)
    assert check(facts, date(2026, 1, 1)).findings == ()
    discarding = [port for port in facts.tree.ports.values() if port.state == "discarding"]
    assert discarding  # the uplinks are redundant, so that there is a tree to compute
    assert all(link.phy for link in facts.links)


def test_a_site_is_the_same_text_each_time() -> None:
    assert site_text(200) == site_text(200)
