"""Links: which PHY results between two ports, over which cables, or why none.

Reaches and rates: IEEE 802.3 (clause beside the row), SFF documents for twinax and cages.
"""

from __future__ import annotations

import pytest

from topodraw.compute.links import Link, find_links
from topodraw.compute.paths import find_paths
from topodraw.model.cabling import Aggregate, Cable, End, Run
from topodraw.model.gear import Gear, Port
from topodraw.model.hardware import Hardware, HardwarePort
from topodraw.model.network import Remote
from topodraw.model.site import Site, SiteInfo


def port(gear: str, name: str, text: str) -> Port:
    """A port from words: `RJ45 speeds=100M,1G`, `SFP+ module=10GBASE-LR speed=10G shut`."""
    kind, *words = text.split()
    said = dict(word.partition("=")[::2] for word in words)
    description: dict[str, object] = {"jack" if kind in ("RJ45", "LC", "MPO-12") else "cage": kind}
    if "speeds" in said:
        description["speeds"] = said["speeds"].split(",")
    if "through" in said:
        description["through"] = True
    if "for" in said:
        description["for"] = said["for"]
    speed = (
        HardwarePort.model_validate({"speeds": [said["speed"]]}).speeds_bps[0] if "speed" in said else None
    )
    hardware = HardwarePort.model_validate(description)
    return Port(gear, name, 1, 1, hardware, module=said.get("module"), speed_bps=speed, shut="shut" in said)


def gear(name: str, ports: dict[str, str], state: str = "in-service") -> Gear:
    hardware = Hardware.model_validate({"@name": f"model-of-{name}", "function": "switch"})
    made = {label: port(name, label, text) for label, text in ports.items()}
    return Gear(name, hardware, made, state=state)  # type: ignore[arg-type]


def end(text: str) -> End:
    if "/" not in text:
        return End(None, None, remote=text)
    name, _, rest = text.partition("/")
    label, *marks = rest.split(":")
    lanes = [int(mark) for mark in marks if mark != "back"]
    return End(name, label, "back" in marks, lanes[0] if lanes else None)


def cable(name: str, ends: str, medium: str, length_m: float | None = None, **more: object) -> Cable:
    first, second = (end(text) for text in ends.split())
    return Cable(name, (first, second), medium, length_m, **more)  # type: ignore[arg-type]


def site(gears: list[Gear], cables: list[Cable], **more: object) -> Site:
    info = SiteInfo(name="Saltmarsh", ref="SMF")
    return Site(
        info,
        gear={one.name: one for one in gears},
        cables={one.name: one for one in cables},
        **more,  # type: ignore[arg-type]
    )


def link_between(one: str, two: str, medium: str, length_m: float | None = 1, **more: object) -> Link:
    """The link of one cable between port a/p and port b/p."""
    gears = [gear("a", {"p": one}), gear("b", {"p": two})]
    (link,) = find_links(site(gears, [cable("C1", "a/p b/p", medium, length_m, **more)]))
    return link


def kinds(link: Link) -> list[str]:
    return [problem.kind for problem in link.problems]


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


# panels

PANEL = {"1": "RJ45 through"}
JACK = {"p": "RJ45 speeds=1G"}


def test_a_link_goes_through_panels_and_adds_up_its_cables() -> None:
    gears = [gear("tor", JACK), gear("pan-a", PANEL), gear("pan-b", PANEL), gear("cam", JACK)]
    cables = [
        cable("H1", "pan-b/1:back pan-a/1:back", "Cat6", 88),
        cable("C1", "tor/p pan-a/1", "Cat6A", 2),
        cable("C2", "cam/p pan-b/1", "Cat5e", 10.5),
    ]
    (link,) = find_links(site(gears, cables))
    assert link.ends == ("cam/p", "tor/p")
    assert link.cables == ("C2", "H1", "C1")
    assert link.through == ("pan-b/1", "pan-a/1")
    assert link.length_m == 100.5
    assert link.media == ("Cat5e", "Cat6", "Cat6A")
    (problem,) = link.problems
    assert (problem.kind, problem.limit_m, problem.at) == ("too-long", 100, ("C2", "H1", "C1"))


def test_the_weakest_grade_of_a_channel_sets_its_limit() -> None:
    gears = [
        gear("a", {"p": "SFP+ module=10GBASE-SR"}),
        gear("pan", {"1": "LC through"}),
        gear("b", {"p": "SFP+ module=10GBASE-SR"}),
    ]
    cables = [cable("F1", "a/p pan/1", "OM4", 1), cable("F2", "pan/1:back b/p", "OM2", 90)]
    (link,) = find_links(site(gears, cables))
    (problem,) = link.problems
    assert (problem.kind, problem.limit_m) == ("too-long", 82)  # OM2, clause 52


def test_a_channel_already_too_long_is_told_though_one_length_is_unknown() -> None:
    gears = [gear("a", JACK), gear("pan", PANEL), gear("b", JACK)]
    cables = [cable("C1", "a/p pan/1", "Cat6"), cable("C2", "pan/1:back b/p", "Cat6", 120)]
    (link,) = find_links(site(gears, cables))
    assert (link.length_m, kinds(link), link.missing) == (None, ["too-long"], (("C1", "length"),))


def test_fibres_of_different_core_in_one_channel_are_told_but_may_run() -> None:
    lc = {"1": "LC through"}
    gears = [
        gear("a", {"p": "SFP module=1000BASE-SX"}),
        gear("pan", lc),
        gear("b", {"p": "SFP module=1000BASE-SX"}),
    ]
    cables = [cable("F1", "a/p pan/1", "OM3", 1), cable("F2", "pan/1:back b/p", "OM1", 90)]
    (link,) = find_links(site(gears, cables))
    assert (link.phy, kinds(link), link.carries) == ("1000BASE-SX", ["mixed-media"], True)


@pytest.mark.parametrize("second", ["OS2", "Cat6"])
def test_media_of_different_kinds_in_one_channel_give_no_link(second: str) -> None:
    gears = [gear("a", {"p": "SFP module=1000BASE-SX"}), gear("pan", {"1": "LC through"}), gear("b", JACK)]
    cables = [cable("F1", "a/p pan/1", "OM3", 1), cable("F2", "pan/1:back b/p", second, 1)]
    (link,) = find_links(site(gears, cables))
    assert (link.why, link.carries) == (f"OM3 and {second} in one path", False)


def test_twinax_is_not_led_through_a_panel() -> None:
    gears = [gear("a", {"p": "SFP+"}), gear("pan", {"1": "LC through"}), gear("b", {"p": "SFP+"})]
    cables = [cable("T1", "a/p pan/1", "twinax", 1), cable("T2", "pan/1:back b/p", "twinax", 1)]
    (link,) = find_links(site(gears, cables))
    assert (link.why, link.carries) == ("twinax through a panel", False)


def test_copper_in_a_fibre_panel_gives_no_link() -> None:
    gears = [gear("a", JACK), gear("pan", {"1": "LC through"}), gear("b", JACK)]
    cables = [cable("C1", "a/p pan/1", "Cat6", 1), cable("C2", "pan/1:back b/p", "Cat6", 1)]
    (link,) = find_links(site(gears, cables))
    assert (link.why, kinds(link)) == ("Cat6 in an LC jack", ["medium-mismatch"])


def test_a_permanent_link_with_nothing_patched_in_is_a_path_but_no_link() -> None:
    gears = [gear("pan", PANEL), gear("cam", JACK)]
    made = site(gears, [cable("H1", "pan/1:back cam/p", "Cat6", 60)])
    assert find_links(made) == ()
    (path,) = find_paths(made)
    assert (path.finished, [str(one) for one in path.ends if one], path.through) == (
        False,
        ["cam/p"],
        ("pan/1",),
    )


def test_cables_looped_between_panels_end_the_walk() -> None:
    gears = [gear("one", PANEL), gear("two", PANEL)]
    cables = [cable("L1", "one/1 two/1", "Cat6", 1), cable("L2", "two/1:back one/1:back", "Cat6", 1)]
    (path,) = find_paths(site(gears, cables))
    assert (path.ends, sorted(step.name for step in path.cables)) == ((None, None), ["L1", "L2"])


# breakouts, remotes, consoles, aggregates, state


def test_each_lane_of_a_breakout_is_a_link_of_its_own() -> None:
    """SFF-8436: QSFP+ to 4 × SFP+ at 10 Gbit/s; SFF-8665: QSFP28 to 4 × SFP28 at 25 Gbit/s."""
    gears = [gear("core", {"q1": "QSFP+", "q2": "QSFP28"}), gear("node", {"a": "SFP+", "b": "SFP28"})]
    cables = [cable("B1", "core/q1:1 node/a", "twinax", 2), cable("B2", "core/q2:3 node/b", "twinax", 2)]
    links = find_links(site(gears, cables))
    assert [(link.ends, link.phy) for link in links] == [
        (("core/q1:1", "node/a"), "10GSFP+Cu"),
        (("core/q2:3", "node/b"), "25GBASE-CR-S"),
    ]


def test_a_breakout_run_splits_the_port_where_no_lane_is_stated() -> None:
    gears = [gear("core", {"q1": "QSFP+"}), gear("node", {"a": "SFP+"})]
    run = Run.model_validate({"@name": "Q1", "kind": "breakout"})
    cables = [cable("B1", "core/q1 node/a", "twinax", 2, within=("Q1",))]
    (link,) = find_links(site(gears, cables, runs={"Q1": run}))
    assert link.phy == "10GSFP+Cu"
    (link,) = find_links(site(gears, [cable("B1", "core/q1 node/a", "twinax", 2)]))
    assert link.why == "no common speed"


@pytest.mark.parametrize(
    ("module", "far", "phy", "why"),
    [
        ("40GBASE-SR4", "10GBASE-SR", "10GBASE-SR", None),
        # wavelengths of one pair of fibres (IEEE 802.3 clause 87): nothing to split
        ("40GBASE-LR4", "10GBASE-LR", None, "40GBASE-LR4 can't be split"),
    ],
)
def test_only_a_module_with_lanes_apart_can_be_split(
    module: str, far: str, phy: str | None, why: str | None
) -> None:
    medium = "OM3" if phy else "OS2"
    gears = [gear("core", {"q1": f"QSFP+ module={module}"}), gear("node", {"a": f"SFP+ module={far}"})]
    (link,) = find_links(site(gears, [cable("B1", "core/q1:1 node/a", medium, 20)]))
    assert (link.phy, link.why) == (phy, why)


def test_a_remote_runs_what_the_near_end_runs() -> None:
    uplink = Remote.model_validate({"@name": "uplink", "kind": "internet"})
    made = site([gear("gate", JACK)], [cable("U1", "gate/p uplink", "Cat6", 3)], remotes={"uplink": uplink})
    (link,) = find_links(made)
    assert (link.ends, link.phy, link.speed_bps) == (("gate/p", "uplink"), "1000BASE-T", 1e9)
    assert link.terminals[1].remote == "uplink"


def test_a_console_line_is_a_link_that_carries_no_frames() -> None:
    link = link_between("RJ45 for=console", "RJ45 speeds=1G", "Cat5e")
    assert (link.phy, link.why, link.carries, link.missing) == (None, None, False, ())


def test_a_link_belongs_to_the_aggregate_of_its_cable_and_links_are_sorted() -> None:
    ports = {"p1": "SFP+", "p2": "SFP+"}
    cables = [cable("T2", "b/p2 a/p2", "twinax", 1), cable("T1", "a/p1 b/p1", "twinax", 1)]
    pair = Aggregate("pair", ("T1",), "lacp")
    links = find_links(site([gear("a", ports), gear("b", ports)], cables, aggregates={"pair": pair}))
    assert [(link.ends, link.aggregate) for link in links] == [
        (("a/p1", "b/p1"), "pair"),
        (("a/p2", "b/p2"), None),
    ]


@pytest.mark.parametrize("state", ["planned", "switched-off", "spare"])
def test_a_link_carries_only_with_everything_on_it_in_service(state: str) -> None:
    gears = [gear("a", JACK), gear("pan", PANEL), gear("b", JACK)]
    cables = [cable("C1", "a/p pan/1", "Cat6", 1), cable("C2", "pan/1:back b/p", "Cat6", 1)]
    assert find_links(site(gears, cables))[0].carries
    for at in (0, 1, 2):
        off = [*gears]
        off[at] = gear(gears[at].name, PANEL if at == 1 else JACK, state)
        assert not find_links(site(off, cables))[0].carries
    later = [cables[0], cable("C2", "pan/1:back b/p", "Cat6", 1, state=state)]
    assert not find_links(site(gears, later))[0].carries
    assert not link_between("RJ45 speeds=1G shut", "RJ45 speeds=1G", "Cat6").carries
