"""Module fits against the SFF documents and pages that agree on practice."""

import pytest

from topodraw.standards import form_factors
from topodraw.standards.published import UnknownEntryError

_G = 10**9


# INF-8074, SFF-8431, SFF-8402, SFF-8436, SFF-8665 (numbers from memory).
@pytest.mark.parametrize(
    ("name", "rate_bps", "lanes", "lane_rate_bps"),
    [
        ("SFP", 1 * _G, 1, 1 * _G),
        ("SFP+", 10 * _G, 1, 10 * _G),
        ("SFP28", 25 * _G, 1, 25 * _G),
        ("QSFP+", 40 * _G, 4, 10 * _G),
        ("QSFP28", 100 * _G, 4, 25 * _G),
    ],
)
def test_a_cage_has_a_rate_and_lanes(name: str, rate_bps: int, lanes: int, lane_rate_bps: int) -> None:
    cage = form_factors.cage(name)
    assert (cage.rate_bps, cage.lanes, cage.lane_rate_bps) == (rate_bps, lanes, lane_rate_bps)


# Pages that agree (three for each "runs" but SFP in SFP28, which is weak); QSFP against SFP from memory.
@pytest.mark.parametrize(
    ("module", "cage", "fits", "runs", "host_must_allow"),
    [
        ("SFP+", "SFP+", True, True, False),
        ("SFP", "SFP+", True, True, True),
        ("SFP+", "SFP", True, False, False),
        ("SFP+", "SFP28", True, True, True),
        ("SFP28", "SFP+", True, False, False),
        ("SFP", "SFP28", True, True, True),
        ("QSFP+", "QSFP28", True, True, False),
        ("QSFP28", "QSFP+", True, False, False),
        ("SFP28", "QSFP28", False, False, False),
        ("QSFP+", "SFP+", False, False, False),
        ("SFP", "QSFP28", False, False, False),
    ],
)
def test_a_module_in_a_cage(module: str, cage: str, fits: bool, runs: bool, host_must_allow: bool) -> None:
    row = form_factors.fit(module, cage)
    assert (row.module, row.cage) == (module, cage)
    assert (row.fits, row.runs, row.host_must_allow) == (fits, runs, host_must_allow)
    assert row.note
    assert row.source


def test_nothing_runs_that_does_not_fit_and_nothing_runs_above_its_cage() -> None:
    for module in form_factors.CAGES:
        for cage in form_factors.CAGES:
            row = form_factors.fit(module, cage)
            assert row.fits or not row.runs
            if row.runs:
                assert form_factors.cage(module).rate_bps <= form_factors.cage(cage).rate_bps


def test_a_breakout_uses_no_more_than_the_lanes_there_are() -> None:
    for row in form_factors.BREAKOUTS:
        assert row.far_ends * row.far_rate_bps == form_factors.cage(row.cage).rate_bps
    assert [row.far_form for row in form_factors.breakouts_of("QSFP+")] == ["SFP+"]
    assert form_factors.breakouts_of("SFP+") == ()


# IEEE 802.3 clause 87: 40GBASE-LR4 multiplexes four wavelengths on two fibres; clause 140: DR is one lane.
@pytest.mark.parametrize(
    ("phy", "splits"),
    [
        ("40GBASE-SR4", True),
        ("100GBASE-SR4", True),
        ("40GBASE-CR4", True),
        ("40GBASE-LR4", False),
        ("100GBASE-LR4", False),
        ("100GBASE-DR", False),
        ("10GBASE-SR", False),
        ("10GSFP+Cu", False),
    ],
)
def test_only_lanes_with_their_own_fibres_split(phy: str, splits: bool) -> None:
    assert form_factors.can_break_out(phy) is splits


@pytest.mark.parametrize(("module", "cage"), [("SFP++", "SFP+"), ("SFP+", "XSFP")])
def test_an_unknown_form_is_refused(module: str, cage: str) -> None:
    with pytest.raises(UnknownEntryError, match="no cage"):
        form_factors.fit(module, cage)
