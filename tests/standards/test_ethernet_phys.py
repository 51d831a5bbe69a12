"""PHYs against IEEE 802.3 and the tables that cabling standards and handbooks print of it."""

import re

import pytest

from topodraw.standards import ethernet_phys, form_factors, media
from topodraw.standards.published import UnknownEntryError

# IEEE 802.3-2022 1.4 names a PHY by its rate in Mbit/s or with G: the name is an oracle for the rate.
_RATE_IN_NAME = re.compile(r"^([\d.]+)(G?)(?:BASE|SFP)")


@pytest.mark.parametrize("phy", ethernet_phys.phys(), ids=lambda phy: phy.name)
def test_the_rate_is_the_one_in_the_name(phy: ethernet_phys.Phy) -> None:
    match = _RATE_IN_NAME.match(phy.name)
    assert match
    assert phy.rate_bps == round(float(match[1]) * (10**9 if match[2] else 10**6))


# ANSI/TIA-568.3-D application table: 10GBASE-SR on OM1/OM2/OM3/OM4 33/82/300/400 m, 1000BASE-SX 275/550 m,
# 40GBASE-SR4 100/150 m. IEEE 802.3by objectives: 25GBASE-SR 70/100 m, 25GBASE-CR 5 m, CR-S 3 m.
# Handbook media chart: 100BASE-TX and 1000BASE-T 100 m, 10GBASE-T 55/100 m, LX10 and LR 10 km.
# IEEE 802.3ba LR4 tables: 10 km at 0.4 dB/km, 4 km at 1.0 dB/km. IEEE 802.3 Table 52-24: ER 30 km.
# From memory: 2.5GBASE-T, 5GBASE-T, 1000BASE-LX 5 km, twinax 7 m at 10 Gbit/s and 5 m at 100 Gbit/s.
@pytest.mark.parametrize(
    ("name", "medium", "reach_m"),
    [
        ("100BASE-TX", "Cat5e", 100),
        ("1000BASE-T", "Cat5e", 100),
        ("1000BASE-T", "Cat6A", 100),
        ("2.5GBASE-T", "Cat5e", 100),
        ("5GBASE-T", "Cat6", 100),
        ("10GBASE-T", "Cat5e", None),
        ("10GBASE-T", "Cat6", 55),
        ("10GBASE-T", "Cat6A", 100),
        ("10GSFP+Cu", "twinax", 7),
        ("25GBASE-CR", "twinax", 5),
        ("25GBASE-CR-S", "twinax", 3),
        ("40GBASE-CR4", "twinax", 7),
        ("100GBASE-CR4", "twinax", 5),
        ("1000BASE-SX", "OM1", 275),
        ("1000BASE-SX", "OM2", 550),
        ("1000BASE-SX", "OM3", 550),
        ("1000BASE-SX", "OM4", 550),
        ("1000BASE-SX", "OS2", None),
        ("1000BASE-LX", "OM3", 550),
        ("1000BASE-LX", "OS2", 5_000),
        ("1000BASE-LX10", "OS1", 10_000),
        ("1000BASE-LX10", "OM3", None),
        ("10GBASE-SR", "OM1", 33),
        ("10GBASE-SR", "OM2", 82),
        ("10GBASE-SR", "OM3", 300),
        ("10GBASE-SR", "OM4", 400),
        ("10GBASE-LR", "OS2", 10_000),
        ("10GBASE-LR", "OM4", None),
        ("10GBASE-ER", "OS2", 30_000),
        ("25GBASE-SR", "OM2", None),
        ("25GBASE-SR", "OM3", 70),
        ("25GBASE-SR", "OM4", 100),
        ("25GBASE-LR", "OS2", 10_000),
        ("40GBASE-SR4", "OM3", 100),
        ("40GBASE-SR4", "OM4", 150),
        ("40GBASE-LR4", "OS2", 10_000),
        ("40GBASE-LR4", "OS1", 4_000),
        ("100GBASE-SR4", "OM3", 70),
        ("100GBASE-SR4", "OM4", 100),
        ("100GBASE-LR4", "OS2", 10_000),
        ("100GBASE-DR", "OS2", 500),
    ],
)
def test_a_phy_reaches(name: str, medium: str, reach_m: float | None) -> None:
    assert ethernet_phys.reach_m(name, medium) == reach_m
    assert ethernet_phys.runs_on(name, medium) == (reach_m is not None)


# IEEE 802.3 names the lanes in the last digit of SR4, LR4 and CR4 (LX10's 10 is km); 1.4 gives the clauses.
@pytest.mark.parametrize("phy", ethernet_phys.phys(), ids=lambda phy: phy.name)
def test_the_lanes_are_the_ones_in_the_name(phy: ethernet_phys.Phy) -> None:
    lanes = 4 if re.search(r"[A-Z]R4$", phy.name) else 1
    assert phy.lanes == lanes
    if phy.strands:
        assert phy.strands == (8 if phy.connectors == ("MPO-12",) else 2)


# IEEE 802.3 clause numbers, from memory but for 52, 87, 110 and 140; SFF-8431 defines 10GSFP+Cu.
def test_each_phy_names_its_clause() -> None:
    clauses = {
        "10BASE-T": 14,
        "100BASE-TX": 25,
        "1000BASE-T": 40,
        "2.5GBASE-T": 126,
        "5GBASE-T": 126,
        "10GBASE-T": 55,
        "25GBASE-CR-S": 110,
        "25GBASE-CR": 110,
        "40GBASE-CR4": 85,
        "100GBASE-CR4": 92,
        "1000BASE-SX": 38,
        "1000BASE-LX": 38,
        "1000BASE-LX10": 59,
        "10GBASE-SR": 52,
        "10GBASE-LR": 52,
        "10GBASE-ER": 52,
        "25GBASE-SR": 112,
        "25GBASE-LR": 114,
        "40GBASE-SR4": 86,
        "40GBASE-LR4": 87,
        "100GBASE-SR4": 95,
        "100GBASE-LR4": 88,
        "100GBASE-DR": 140,
    }
    sources = {row.name: row.source for row in ethernet_phys.phys() if row.name != "10GSFP+Cu"}
    assert sources == {name: f"IEEE 802.3 clause {clause}" for name, clause in clauses.items()}
    assert ethernet_phys.phy("10GSFP+Cu").source.startswith("SFF-8431")


# IEEE 802.3 wavelengths, from memory: S short (850 nm), L long (1310 nm), E extra long (1550 nm), DR 1310 nm.
@pytest.mark.parametrize("phy", ethernet_phys.phys(), ids=lambda phy: phy.name)
def test_the_letter_in_the_name_tells_the_wavelength(phy: ethernet_phys.Phy) -> None:
    if phy.wavelength is not None:
        letter = phy.name.split("BASE-")[1][0]
        assert phy.wavelength.value == {"S": 850, "L": 1310, "E": 1550, "D": 1310}[letter]


# ANSI/TIA-568.3-D application table, a loss-budget page; IEEE 802.3 clause 87 for 40GBASE-LR4. Weak: LR,
# 25GBASE-LR, 100GBASE-LR4, 100GBASE-SR4 on OM4. From memory: LX, LX10, ER, DR, OM3 at 25 Gbit/s and above,
# SX on OM4, and 10GBASE-SR on OM1 and OM2, where the lower of two published figures is taken.
@pytest.mark.parametrize(
    ("name", "medium", "loss_db"),
    [
        ("1000BASE-SX", "OM1", 2.60),
        ("1000BASE-SX", "OM2", 3.56),
        ("1000BASE-SX", "OM3", 3.56),
        ("1000BASE-SX", "OM4", 3.56),
        ("1000BASE-LX", "OM2", 2.35),
        ("1000BASE-LX", "OM4", 2.35),
        ("1000BASE-LX", "OS2", 4.57),
        ("1000BASE-LX10", "OS2", 6.0),
        ("10GBASE-SR", "OM1", 1.6),
        ("10GBASE-SR", "OM2", 1.8),
        ("10GBASE-ER", "OS2", 10.9),
        ("25GBASE-SR", "OM3", 1.8),
        ("25GBASE-LR", "OS2", 6.3),
        ("40GBASE-SR4", "OM3", 1.9),
        ("100GBASE-SR4", "OM3", 1.8),
        ("100GBASE-SR4", "OM4", 1.9),
        ("100GBASE-LR4", "OS2", 6.3),
        ("100GBASE-DR", "OS2", 3.0),
        ("10GBASE-SR", "OM3", 2.6),
        ("10GBASE-SR", "OM4", 2.9),
        ("25GBASE-SR", "OM4", 1.9),
        ("40GBASE-SR4", "OM4", 1.5),
        ("40GBASE-LR4", "OS1", 6.7),
        ("40GBASE-LR4", "OS2", 6.7),
        ("10GBASE-LR", "OS2", 6.2),
        ("1000BASE-T", "Cat6", None),
        ("10GSFP+Cu", "twinax", None),
    ],
)
def test_a_channel_may_lose(name: str, medium: str, loss_db: float | None) -> None:
    assert ethernet_phys.insertion_loss_db(name, medium) == loss_db


# IEEE 802.3 builds the 850 nm channels from 3.5 dB/km and a connector share of 1.5 dB (1.0 dB for 40GBASE-SR4
# on OM4): arithmetic that owes nothing to the table. 40GBASE-LR4: 2.0 dB share, 4.0 dB of fibre each time.
@pytest.mark.parametrize(
    ("name", "medium", "connectors_db"),
    [
        ("1000BASE-SX", "OM2", 1.5),
        ("10GBASE-SR", "OM3", 1.5),
        ("10GBASE-SR", "OM4", 1.5),
        ("25GBASE-SR", "OM3", 1.5),
        ("25GBASE-SR", "OM4", 1.5),
        ("40GBASE-SR4", "OM3", 1.5),
        ("40GBASE-SR4", "OM4", 1.0),
        ("100GBASE-SR4", "OM4", 1.5),
    ],
)
def test_the_short_wave_losses_follow_from_length_and_connectors(
    name: str, medium: str, connectors_db: float
) -> None:
    row = ethernet_phys.reach(name, medium)
    assert row is not None
    assert row.insertion_loss is not None
    assert row.insertion_loss.value == pytest.approx(row.reach_m / 1000 * 3.5 + connectors_db, abs=0.15)


@pytest.mark.parametrize("medium", ["OS1", "OS2"])
def test_40gbase_lr4_spends_four_decibels_on_fibre_at_its_reach(medium: str) -> None:
    reach_m = ethernet_phys.reach_m("40GBASE-LR4", medium)
    fibre = media.attenuation(medium, 1310)
    assert reach_m is not None
    assert fibre is not None
    assert fibre.db_per_km * reach_m / 1000 == pytest.approx(4.0)


def test_active_twinax_goes_farther_only_where_a_figure_is_published() -> None:
    # SFF-8431 Annex E for the passive cable; 15 m from memory.
    assert ethernet_phys.reach_m("10GSFP+Cu", "twinax", active=True) == 15
    assert ethernet_phys.reach_m("25GBASE-CR", "twinax", active=True) is None


def test_each_standard_copper_rate_has_one_phy() -> None:
    names = [row.name for row in ethernet_phys.phys() if row.kinds == ("copper",)]
    assert [ethernet_phys.copper_phy_for(ethernet_phys.phy(name).rate_bps).name for name in names] == names  # type: ignore[union-attr]
    assert ethernet_phys.copper_phy_for(40 * 10**9) is None


def test_direct_attach_phys_are_chosen_by_plug() -> None:
    assert [row.name for row in ethernet_phys.twinax_phys("SFP+")] == ["10GSFP+Cu"]
    assert [row.name for row in ethernet_phys.twinax_phys("SFP28")] == ["25GBASE-CR-S", "25GBASE-CR"]
    assert len(ethernet_phys.twinax_phys()) == 5
    assert ethernet_phys.twinax_phys("SFP") == ()


@pytest.mark.parametrize("phy", ethernet_phys.phys(), ids=lambda phy: phy.name)
def test_each_phy_is_offered_by_a_known_form_and_runs_on_known_media(phy: ethernet_phys.Phy) -> None:
    assert set(phy.forms) <= {ethernet_phys.RJ45, *form_factors.CAGES}
    assert {media.medium(row.medium).kind for row in phy.reaches} == set(phy.kinds)


@pytest.mark.parametrize("phy", ethernet_phys.phys(), ids=lambda phy: phy.name)
def test_a_fibre_phy_has_a_loss_a_wavelength_and_an_attenuation_to_compute_with(
    phy: ethernet_phys.Phy,
) -> None:
    on_glass = [row for row in phy.reaches if media.is_fibre(row.medium)]
    assert (phy.wavelength is not None) == bool(on_glass) == (phy.strands > 0)
    for row in on_glass:
        assert phy.wavelength is not None
        assert row.insertion_loss is not None
        assert media.attenuation(row.medium, phy.wavelength.value) is not None


@pytest.mark.parametrize("phy", ethernet_phys.phys(), ids=lambda phy: phy.name)
def test_a_module_is_no_faster_than_the_cage_of_its_form(phy: ethernet_phys.Phy) -> None:
    modules = [form for form in phy.forms if form != ethernet_phys.RJ45]
    assert all(phy.rate_bps <= form_factors.cage(form).rate_bps for form in modules)


def test_an_unknown_phy_names_the_known_ones() -> None:
    with pytest.raises(UnknownEntryError, match=r"no PHY '10GBASE-XX'.*10GBASE-SR"):
        ethernet_phys.phy("10GBASE-XX")
