"""Cable media: what each one is, how much it attenuates, and the lengths and losses a channel may have.

Values from ISO/IEC 11801-1 and the ANSI/TIA-568 family.
"""

from types import MappingProxyType
from typing import Literal, NamedTuple

from topodraw.standards.published import Mark, Published, UnknownEntryError

MediumKind = Literal["copper", "multimode", "single-mode", "twinax", "radio"]

_ISO = "ISO/IEC 11801-1"
_TIA_FIBRE = "ANSI/TIA-568.3-D"


class Attenuation(NamedTuple):
    """The most that a fibre may attenuate at one wavelength."""

    wavelength_nm: int
    db_per_km: float
    source: str
    mark: Mark


class ModalBandwidth(NamedTuple):
    """Bandwidth times length of a multimode fibre in MHz km: overfilled launch, and effective at 850 nm."""

    overfilled_850: int
    overfilled_1300: int
    effective_850: int | None
    source: str
    mark: Mark


class Medium(NamedTuple):
    """What a cable is made of. ``core_um`` and the bandwidth are None where they mean nothing."""

    name: str
    kind: MediumKind
    core_um: float | None
    modal_bandwidth: ModalBandwidth | None
    attenuations: tuple[Attenuation, ...]
    source: str
    mark: Mark


def _copper(name: str, source: str) -> Medium:
    return Medium(name, "copper", None, None, (), source, "memory")


def _multimode(
    name: str, core_um: float, bandwidth: tuple[int, int, int | None], db_at_850: float, mark_at_850: Mark
) -> Medium:
    return Medium(
        name,
        "multimode",
        core_um,
        ModalBandwidth(*bandwidth, f"{_ISO}, fibre categories", "checked"),
        (
            Attenuation(850, db_at_850, f"{_TIA_FIBRE}; {_ISO}", mark_at_850),
            Attenuation(1300, 1.5, f"{_TIA_FIBRE}; {_ISO}", "memory"),
        ),
        f"{_ISO}, fibre categories",
        "checked",
    )


def _single_mode(name: str, db_per_km: float) -> Medium:
    attenuations = tuple(Attenuation(nm, db_per_km, _ISO, "checked") for nm in (1310, 1550))
    return Medium(name, "single-mode", None, None, attenuations, f"{_ISO}, fibre categories", "checked")


_MEDIA = (
    _copper("Cat5e", f"ANSI/TIA-568.2-D; {_ISO} Class D"),
    _copper("Cat6", f"ANSI/TIA-568.2-D; {_ISO} Class E"),
    _copper("Cat6A", f"ANSI/TIA-568.2-D; {_ISO} Class EA"),
    _multimode("OM1", 62.5, (200, 500, None), 3.5, "checked"),
    _multimode("OM2", 50, (500, 500, None), 3.5, "checked"),
    _multimode("OM3", 50, (1500, 500, 2000), 3.0, "memory"),
    _multimode("OM4", 50, (3500, 500, 4700), 3.0, "memory"),
    _multimode("OM5", 50, (3500, 500, 4700), 3.0, "memory"),
    _single_mode("OS1", 1.0),
    _single_mode("OS2", 0.4),
    Medium("twinax", "twinax", None, None, (), "SFF-8431 Annex E; IEEE 802.3 clauses 85, 92, 110", "memory"),
    Medium(
        "radio", "radio", None, None, (), "no cabling standard: a radio hop has no channel table", "memory"
    ),
)

MEDIA = MappingProxyType({entry.name: entry for entry in _MEDIA})
"""Every medium by name, copper first, in rising grade."""

COPPER_CHANNEL_M = Published(100.0, "m", f"{_ISO}; ANSI/TIA-568.0", "checked", "permanent link and cords")
COPPER_PERMANENT_LINK_M = Published(90.0, "m", f"{_ISO}; ANSI/TIA-568.0", "checked", "panel to outlet")
COPPER_CORDS_M = Published(10.0, "m", f"{_ISO}; ANSI/TIA-568.0", "checked", "all cords of a channel together")
COPPER_CORDS_WITH_CROSS_CONNECT_M = Published(9.0, "m", f"{_ISO}; ANSI/TIA-568.0", "checked")
COPPER_CONNECTORS_PER_CHANNEL = Published(4, "connectors", _ISO, "memory", "at most")

FIBRE_CONNECTOR_LOSS_DB = Published(0.75, "dB", _TIA_FIBRE, "checked", "most that a mated pair may lose")
FIBRE_SPLICE_LOSS_DB = Published(0.3, "dB", _TIA_FIBRE, "checked", "most that a splice may lose")
TYPICAL_CONNECTOR_LOSS_DB = Published(
    0.5, "dB", "fibre handbook loss-budget page", "checked", "planning value"
)
TYPICAL_ARRAY_CONNECTOR_LOSS_DB = Published(0.75, "dB", "fibre handbook loss-budget page", "checked", "MPO")
TYPICAL_SPLICE_LOSS_SINGLE_MODE_DB = Published(0.15, "dB", "fibre handbook loss-budget page", "checked")
TYPICAL_SPLICE_LOSS_MULTIMODE_DB = Published(0.3, "dB", "fibre handbook loss-budget page", "checked")
OUTSIDE_PLANT_ATTENUATION_DB_PER_KM = Published(
    0.5, "dB/km", _TIA_FIBRE, "checked", "single-mode, outside plant"
)
TYPICAL_ATTENUATION_DB_PER_KM = tuple(
    Attenuation(nm, db, "fibre handbook loss-budget page", "checked")
    for nm, db in ((850, 3.0), (1300, 0.8), (1310, 0.4), (1550, 0.2))
)

COPPER_BEND_RADIUS_DIAMETERS = Published(
    4, "cable diameters", "ANSI/TIA-568.0", "checked", "4-pair, at least"
)
COPPER_CORD_BEND_RADIUS_DIAMETERS = Published(1, "cable diameters", "ANSI/TIA-568.0", "memory", "at least")
COPPER_PULL_N = Published(110, "N", "ANSI/TIA-568.0", "checked", "4-pair, at most")
FIBRE_BEND_RADIUS_DIAMETERS = Published(
    10, "cable diameters", "ANSI/TIA-568.0", "checked", "at rest, at least"
)
FIBRE_PULLED_BEND_RADIUS_DIAMETERS = Published(20, "cable diameters", "ANSI/TIA-568.0", "memory", "at least")


def medium(name: str) -> Medium:
    """Return the medium called ``name`` (``Cat6A``, ``OM4`` ...).

    Raises UnknownEntryError if the table has no such medium.
    """
    try:
        return MEDIA[name]
    except KeyError:
        raise UnknownEntryError("medium", name, MEDIA) from None


def is_fibre(name: str) -> bool:
    """Say whether the medium is glass, of either kind. Raises UnknownEntryError for an unknown medium."""
    return medium(name).kind in ("multimode", "single-mode")


def attenuation(name: str, wavelength_nm: int) -> Attenuation | None:
    """Return the greatest attenuation (dB/km) of a medium at a wavelength: ISO/IEC 11801-1, TIA-568.3-D.

    Multimode limits at 1300 nm also hold for 1310 nm sources. None where the standards give no value,
    as for copper. Raises UnknownEntryError for an unknown medium.
    """
    rows = medium(name).attenuations
    for row in rows:
        if row.wavelength_nm == wavelength_nm or (row.wavelength_nm == 1300 and wavelength_nm == 1310):
            return row
    return None
