"""Links: which PHY results between two ports, or why none.

Reaches and rates: IEEE 802.3 (clause beside the row), SFF documents for twinax and cages.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.compute.cabling import cable, gear, kinds, link_between, site
from topodraw.compute.links import find_links
from topodraw.model.gear import Gear
from topodraw.model.hardware import Hardware

# which PHY results


@pytest.mark.parametrize(
    ("one", "two", "phy", "speed_bps"),
    [
        # IEEE 802.3 clause 25, 40, 126 and 55: rates of the twisted-pair PHYs
        ("RJ45 speeds=100M", "RJ45 speeds=100M,1G", "100BASE-TX", 100e6),
        ("RJ45 speeds=100M,1G", "RJ45 speeds=100M,1G,2.5G", "1000BASE-T", 1e9),
        ("RJ45 speeds=100M,1G,2.5G", "RJ45 speeds=1G,2.5G,10G", "2.5GBASE-T", 2.5e9),
        ("RJ45 speeds=1G,2.5G,5G", "RJ45 speeds=1G,2.5G,5G,10G", "5GBASE-T", 5e9),
        ("RJ45 speeds=1G,10G", "RJ45 speeds=1G,10G", "10GBASE-T", 10e9),
        ("RJ45 speeds=100M,1G speed=100M", "RJ45 speeds=100M,1G", "100BASE-TX", 100e6),
        # a copper module faces a jack
        ("SFP module=1000BASE-T", "RJ45 speeds=100M,1G", "1000BASE-T", 1e9),
        ("SFP+ module=10GBASE-T", "RJ45 speeds=1G,10G", "10GBASE-T", 10e9),
    ],
)
def test_jacks_run_the_highest_speed_they_have_in_common(
    one: str, two: str, phy: str, speed_bps: float
) -> None:
    link = link_between(one, two, "Cat6A", 30)
    assert (link.phy, link.speed_bps, link.why, link.problems) == (phy, speed_bps, None, ())


@pytest.mark.parametrize(
    ("one", "two", "length_m", "phy"),
    [
        ("SFP+", "SFP+", 0.5, "10GSFP+Cu"),  # SFF-8431 Annex E
        ("SFP28", "SFP28", 2, "25GBASE-CR-S"),  # IEEE 802.3 clause 110: 3 m without RS-FEC
        ("SFP28", "SFP28", 4, "25GBASE-CR"),  # clause 110: 5 m with RS-FEC
        ("QSFP+", "QSFP+", 3, "40GBASE-CR4"),  # clause 85
        ("QSFP28", "QSFP28", 3, "100GBASE-CR4"),  # clause 92
        # The lower cage decides (SFF-8402, SFF-8665: the smaller module form runs in the faster cage)
        ("SFP+", "SFP28", 2, "10GSFP+Cu"),
        ("QSFP28", "QSFP+", 2, "40GBASE-CR4"),
        ("SFP28 speed=10G", "SFP28", 2, "10GSFP+Cu"),
    ],
)
def test_twinax_runs_what_both_cages_can(one: str, two: str, length_m: float, phy: str) -> None:
    link = link_between(one, two, "twinax", length_m)
    assert (link.phy, link.why, link.problems) == (phy, None, ())


def test_twinax_of_unknown_length_has_a_speed_but_no_guessed_phy() -> None:
    link = link_between("SFP28", "SFP28", "twinax", None)
    assert (link.phy, link.why, link.speed_bps, link.length_m) == (None, None, 25e9, None)
    assert ("C1", "length") in link.missing


def test_modules_of_one_phy_link_and_modules_of_two_do_not() -> None:
    link = link_between("SFP+ module=10GBASE-LR", "SFP+ module=10GBASE-LR", "OS2", 900)
    assert (link.phy, link.speed_bps, link.why) == ("10GBASE-LR", 10e9, None)

    link = link_between("SFP+ module=10GBASE-LR", "SFP+ module=10GBASE-ER", "OS2", 900)
    assert (link.phy, kinds(link), link.carries) == (None, ["phy-mismatch"], False)

    # 1 Gbit/s at one end, 10 Gbit/s at the other: nothing to agree on
    link = link_between("SFP+ module=1000BASE-SX", "SFP+ module=10GBASE-SR", "OM3", 20)
    assert (link.phy, link.why, kinds(link)) == (None, "no common speed", ["speed-mismatch"])


def test_jacks_without_a_common_speed_bring_up_no_link() -> None:
    link = link_between("RJ45 speeds=10G", "RJ45 speeds=100M,1G", "Cat6A")
    assert (link.phy, link.speed_bps, link.why) == (None, None, "no common speed")
    assert kinds(link) == ["speed-mismatch"]
    assert not link.carries
    assert "10GBASE-T" in link.problems[0].detail
    assert "1000BASE-T" in link.problems[0].detail


def test_what_is_not_stated_stays_unknown_and_is_named() -> None:
    link = link_between("RJ45", "RJ45 speeds=1G", "Cat6")
    assert (link.phy, link.why, link.speed_bps, link.carries) == (None, None, None, True)
    assert link.missing == (("a/p", "speeds"),)

    link = link_between("SFP+", "SFP+ module=10GBASE-SR", "OM4")
    assert (link.phy, link.why, link.carries) == (None, None, True)
    assert link.missing == (("a/p", "module"),)


def test_a_phy_stated_on_the_cable_stands_for_modules_that_are_not() -> None:
    link = link_between("SFP+", "SFP+", "OM4", 20, phy="10GBASE-SR")
    assert (link.phy, link.missing, link.problems) == ("10GBASE-SR", (), ())

    link = link_between("SFP+ module=10GBASE-LR", "SFP+ module=10GBASE-LR", "OS2", 20, phy="10GBASE-ER")
    assert (link.phy, kinds(link)) == (None, ["phy-mismatch"])

    link = link_between("RJ45", "RJ45", "OM3", 20, phy="1000BASE-T")
    assert kinds(link) == ["medium-mismatch", "medium-mismatch"]


def test_radio_has_a_stated_speed_and_no_phy() -> None:
    link = link_between("RJ45", "RJ45", "radio", None, speed_bps=300_000_000)
    assert (link.phy, link.why, link.speed_bps, link.carries, link.missing) == (None, None, 3e8, True, ())


# modules and cages


@pytest.mark.parametrize(
    ("cage", "module", "medium", "fits"),
    [
        ("SFP+", "1000BASE-SX", "OM3", True),  # SFF-8431: SFP in SFP+ runs at 1 Gbit/s
        ("SFP28", "10GBASE-SR", "OM3", True),  # SFF-8402
        ("QSFP28", "40GBASE-SR4", "OM3", True),  # SFF-8665
        ("SFP", "10GBASE-SR", "OM3", False),  # goes in, no link
        ("SFP+", "25GBASE-SR", "OM3", False),  # never 25 Gbit/s
        ("QSFP+", "100GBASE-SR4", "OM3", False),
        ("QSFP28", "10GBASE-SR", "OM3", False),  # one lane in a four-lane cage: needs an adapter
        ("SFP+", "40GBASE-SR4", "OM3", False),
        ("RJ45 speeds=1G", "1000BASE-SX", "OM3", False),
    ],
)
def test_a_module_runs_only_in_a_cage_for_it(cage: str, module: str, medium: str, fits: bool) -> None:
    link = link_between(f"{cage} module={module}", f"{cage} module={module}", medium, 10)
    assert kinds(link) == ([] if fits else ["module-cage-mismatch"] * 2)
    assert (link.phy == module, link.carries) == (fits, fits)


def test_a_module_from_the_catalogue_is_known_by_its_form_and_phys() -> None:
    both_rates = Hardware.model_validate(
        {"@name": "pip-dual", "function": "module", "form": "SFP28", "phys": ["10GBASE-SR", "25GBASE-SR"]}
    )
    gears = [gear("a", {"p": "SFP28 module=pip-dual"}), gear("b", {"p": "SFP+ module=10GBASE-SR"})]
    made = site(gears, [cable("C1", "a/p b/p", "OM4", 30)], hardware={"pip-dual": both_rates})
    (link,) = find_links(made)
    assert (link.phy, link.problems) == ("10GBASE-SR", ())


def test_a_port_that_cannot_be_set_to_its_modules_speed_brings_up_no_link() -> None:
    link = link_between("SFP+ speeds=10G module=1000BASE-SX", "SFP module=1000BASE-SX", "OM3", 10)
    assert (link.why, kinds(link)) == ("no common speed", ["speed-mismatch"])


# media and reach


@pytest.mark.parametrize(
    ("module", "medium"),
    [("10GBASE-SR", "OS2"), ("10GBASE-LR", "OM4"), ("10GBASE-LR", "Cat6A"), ("10GBASE-T", "OM3")],
)
def test_a_phy_does_not_run_on_another_kind_of_medium(module: str, medium: str) -> None:
    link = link_between(f"SFP+ module={module}", f"SFP+ module={module}", medium, 10)
    assert (link.phy, link.carries) == (None, False)
    assert link.why == f"{module} does not run on {medium}"
    assert set(kinds(link)) == {"medium-mismatch"}


def test_fibre_cannot_be_plugged_into_a_copper_jack() -> None:
    link = link_between("RJ45 speeds=1G", "SFP module=1000BASE-SX", "OM3", 10)
    assert (link.why, kinds(link)) == ("OM3 in an RJ45 jack", ["medium-mismatch"])
    link = link_between("RJ45 speeds=1G", "SFP+", "twinax", 1)
    assert (link.why, kinds(link)) == ("twinax in an RJ45 jack", ["medium-mismatch"])


@pytest.mark.parametrize(
    ("phy", "cage", "medium", "reach_m"),
    [
        # TIA application table quoted by a fibre tester's maker, and IEEE 802.3 clause 52
        ("10GBASE-SR", "SFP+", "OM1", 33),
        ("10GBASE-SR", "SFP+", "OM2", 82),
        ("10GBASE-SR", "SFP+", "OM3", 300),
        ("10GBASE-SR", "SFP+", "OM4", 400),
        ("10GBASE-LR", "SFP+", "OS2", 10_000),
        ("1000BASE-SX", "SFP", "OM1", 275),  # clause 38
        ("1000BASE-SX", "SFP", "OM2", 550),
        ("25GBASE-SR", "SFP28", "OM3", 70),  # clause 112
        ("40GBASE-SR4", "QSFP+", "OM4", 150),  # clause 86
        ("100GBASE-SR4", "QSFP28", "OM4", 100),  # clause 95
        ("100GBASE-DR", "QSFP28", "OS2", 500),  # clause 140
    ],
)
def test_the_reach_of_a_phy_limits_the_length_of_the_channel(
    phy: str, cage: str, medium: str, reach_m: float
) -> None:
    at_limit = link_between(f"{cage} module={phy}", f"{cage} module={phy}", medium, reach_m)
    assert at_limit.problems == ()
    beyond = link_between(f"{cage} module={phy}", f"{cage} module={phy}", medium, reach_m + 1)
    (problem,) = beyond.problems
    assert (problem.kind, problem.limit_m, problem.length_m) == ("too-long", reach_m, reach_m + 1)
    # It may still come up, so what hangs on it is not taken away.
    assert (beyond.phy, beyond.carries) == (phy, True)


@pytest.mark.parametrize(
    ("speeds", "medium", "reach_m"),
    [("1G", "Cat5e", 100), ("10G", "Cat6", 55), ("10G", "Cat6A", 100)],  # IEEE 802.3 clauses 40 and 55
)
def test_copper_reaches_a_hundred_metres_and_less_for_ten_gigabit_on_category_6(
    speeds: str, medium: str, reach_m: float
) -> None:
    jack = f"RJ45 speeds={speeds}"
    assert link_between(jack, jack, medium, reach_m).problems == ()
    assert kinds(link_between(jack, jack, medium, reach_m + 1)) == ["too-long"]


def test_ten_gigabit_is_not_specified_on_category_5e() -> None:
    link = link_between("RJ45 speeds=10G", "RJ45 speeds=10G", "Cat5e", 5)  # IEEE 802.3 clause 55
    assert (link.phy, kinds(link), link.carries) == ("10GBASE-T", ["medium-mismatch"], True)


@pytest.mark.parametrize(("active", "too_long"), [(False, True), (True, False)])
def test_active_twinax_goes_further(active: bool, too_long: bool) -> None:
    link = link_between("SFP+", "SFP+", "twinax", 10, active=active)
    assert kinds(link) == (["too-long"] if too_long else [])


def test_alike_ports_are_told_apart_by_length_speed_and_stated_phy() -> None:
    ports = dict.fromkeys(("a", "b", "c", "d"), "SFP28")
    one, two = gear("one", ports), gear("two", ports)
    hardware = one.ports["a"].hardware  # the same faceplate throughout, as in a catalogue
    alike = [
        Gear(
            each.name,
            each.hardware,
            {name: replace(port, hardware=hardware) for name, port in each.ports.items()},
        )
        for each in (one, two)
    ]
    slow = alike[0].ports["c"]
    alike[0] = Gear("one", one.hardware, {**alike[0].ports, "c": replace(slow, speed_bps=10_000_000_000)})
    cables = [
        cable("T1", "one/a two/a", "twinax", 2),
        cable("T2", "one/b two/b", "twinax", 4),
        cable("T3", "one/c two/c", "twinax", 2),
        cable("T4", "one/d two/d", "twinax", 2, phy="25GBASE-CR"),
    ]
    links = find_links(site(alike, cables))
    assert [link.phy for link in links] == ["25GBASE-CR-S", "25GBASE-CR", "10GSFP+Cu", "25GBASE-CR"]
