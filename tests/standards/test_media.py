"""Media against ISO/IEC 11801-1, ANSI/TIA-568 and a published loss-budget example."""

import pytest

from topodraw.standards import media
from topodraw.standards.published import UnknownEntryError


def test_the_media_are_those_of_the_source_language() -> None:
    names = "Cat5e Cat6 Cat6A OM1 OM2 OM3 OM4 OM5 OS1 OS2 twinax radio"
    assert list(media.MEDIA) == names.split()


# ANSI/TIA-568.0 and ISO/IEC 11801-1, balanced-cabling channel: 90 m permanent link + 10 m cords.
def test_a_copper_channel_is_its_permanent_link_and_its_cords() -> None:
    assert media.COPPER_CHANNEL_M.value == 100
    assert media.COPPER_PERMANENT_LINK_M.value == 90
    assert media.COPPER_PERMANENT_LINK_M.value + media.COPPER_CORDS_M.value == media.COPPER_CHANNEL_M.value


# ANSI/TIA-568.3-D: 3.5 dB/km at 850 nm on 62.5 um fibre, 0.75 dB a mated pair, 0.3 dB a splice.
# ISO/IEC 11801-1: OS1 1.0 dB/km, OS2 0.4 dB/km. The 3.0 and 1.5 dB/km are from memory.
@pytest.mark.parametrize(
    ("name", "wavelength_nm", "db_per_km"),
    [
        ("OM1", 850, 3.5),
        ("OM2", 850, 3.5),
        ("OM3", 850, 3.0),
        ("OM4", 1300, 1.5),
        ("OM4", 1310, 1.5),
        ("OS1", 1310, 1.0),
        ("OS2", 1310, 0.4),
        ("OS2", 1550, 0.4),
    ],
)
def test_fibre_attenuates_at_most(name: str, wavelength_nm: int, db_per_km: float) -> None:
    row = media.attenuation(name, wavelength_nm)
    assert row is not None
    assert row.db_per_km == db_per_km


def test_a_fibre_connector_and_a_splice_lose_at_most() -> None:
    assert media.FIBRE_CONNECTOR_LOSS_DB.value == 0.75
    assert media.FIBRE_SPLICE_LOSS_DB.value == 0.3


def test_copper_has_no_optical_attenuation() -> None:
    assert media.attenuation("Cat6A", 850) is None


# ISO/IEC 11801-1: OM1 200/500, OM2 500/500, OM3 1500/500/2000, OM4 and OM5 3500/500/4700 MHz km.
def test_modal_bandwidth_rises_with_the_grade() -> None:
    bandwidth = {
        name: row.modal_bandwidth[:3] for name, row in media.MEDIA.items() if row.modal_bandwidth is not None
    }
    assert bandwidth == {
        "OM1": (200, 500, None),
        "OM2": (500, 500, None),
        "OM3": (1500, 500, 2000),
        "OM4": (3500, 500, 4700),
        "OM5": (3500, 500, 4700),
    }


def test_only_om_and_os_grades_are_fibre() -> None:
    fibres = [name for name in media.MEDIA if media.is_fibre(name)]
    assert fibres == ["OM1", "OM2", "OM3", "OM4", "OM5", "OS1", "OS2"]


def test_an_unknown_medium_names_the_known_ones() -> None:
    with pytest.raises(UnknownEntryError, match=r"no medium 'Cat9'.*Cat6A.*radio"):
        media.medium("Cat9")


# ISO/IEC 11801-1 fibre categories: core of 62.5 um for OM1, 50 um for the others.
def test_only_om1_has_the_wide_core() -> None:
    cores = {name: row.core_um for name, row in media.MEDIA.items() if row.core_um is not None}
    assert cores == {"OM1": 62.5, "OM2": 50, "OM3": 50, "OM4": 50, "OM5": 50}


# Fibre handbook's loss-budget page: what planners reckon with, below what the standards allow.
def test_planning_values() -> None:
    typical = {row.wavelength_nm: row.db_per_km for row in media.TYPICAL_ATTENUATION_DB_PER_KM}
    assert typical == {850: 3.0, 1300: 0.8, 1310: 0.4, 1550: 0.2}
    assert media.TYPICAL_CONNECTOR_LOSS_DB.value == 0.5
    assert media.TYPICAL_ARRAY_CONNECTOR_LOSS_DB.value == 0.75
    assert media.TYPICAL_SPLICE_LOSS_SINGLE_MODE_DB.value == 0.15
    assert media.TYPICAL_SPLICE_LOSS_MULTIMODE_DB.value == 0.3
    assert media.OUTSIDE_PLANT_ATTENUATION_DB_PER_KM.value == 0.5


# ANSI/TIA-568.0, as cabling guides quote it; cords, pulled fibre and connectors from memory.
def test_handling_limits() -> None:
    assert media.COPPER_BEND_RADIUS_DIAMETERS.value == 4
    assert media.COPPER_CORD_BEND_RADIUS_DIAMETERS.value == 1
    assert media.COPPER_PULL_N.value == 110
    assert media.FIBRE_BEND_RADIUS_DIAMETERS.value == 10
    assert media.FIBRE_PULLED_BEND_RADIUS_DIAMETERS.value == 20
    assert media.COPPER_CONNECTORS_PER_CHANNEL.value == 4
    assert media.COPPER_CORDS_WITH_CROSS_CONNECT_M.value == 9
