"""Links through panels, out of breakouts, to remotes: what lies between the ends, and what carries.

Media that mix and connectors: ISO/IEC 11801-1 and TIA-568.3; that no twinax goes through a panel is common
practice, no published source.
"""

from __future__ import annotations

import pytest

from tests.compute.cabling import cable, gear, kinds, link_between, site
from topodraw.compute.links import find_links
from topodraw.compute.paths import find_paths
from topodraw.model.cabling import Aggregate, Run
from topodraw.model.network import Remote

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
