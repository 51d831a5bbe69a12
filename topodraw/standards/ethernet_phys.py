"""The IEEE 802.3 physical layers (PHYs): rate, media, reach, and the modules or jacks that offer them.

A reach is the length up to which the standard promises the link on a medium; the insertion loss is the
most that the whole channel may lose at that reach, connectors included.
"""

from collections.abc import Iterable
from types import MappingProxyType
from typing import NamedTuple

from topodraw.standards.media import MediumKind
from topodraw.standards.published import Mark, Published, UnknownEntryError

_M, _G = 10**6, 10**9

RJ45 = "RJ45"
"""The fixed 8P8C jack among the forms; every other form is a pluggable module."""


class Reach(NamedTuple):
    """How far a PHY goes on one medium. ``active``: the row for cables with electronics in their plugs."""

    medium: str
    reach_m: float
    insertion_loss: Published[float] | None
    active: bool
    note: str
    source: str
    mark: Mark


class Phy(NamedTuple):
    """One physical layer.

    ``strands`` counts the fibres that a link takes (0 on copper and twinax). ``forms`` holds ``RJ45`` for
    a fixed jack and the module forms that the PHY comes in. ``connectors`` is empty where the cable and
    its plugs are one piece. ``wavelength`` is the nominal one, None off fibre.
    """

    name: str
    rate_bps: int
    kinds: tuple[MediumKind, ...]
    forms: tuple[str, ...]
    connectors: tuple[str, ...]
    lanes: int
    strands: int
    wavelength: Published[int] | None
    reaches: tuple[Reach, ...]
    source: str
    mark: Mark

    @property
    def lanes_are_apart(self) -> bool:
        """Say whether each lane has its own wires or fibres, so that a breakout cable can split them."""
        return self.lanes > 1 and (self.kinds == ("twinax",) or self.strands == 2 * self.lanes)


def _ieee(clause: int) -> str:
    return f"IEEE 802.3 clause {clause}"


def _copper(
    name: str,
    rate_bps: int,
    clause: int,
    reaches: Iterable[tuple[str, float, Mark, str]],
    mark: Mark,
    forms: tuple[str, ...],
) -> Phy:
    source = _ieee(clause)
    rows = tuple(
        Reach(medium, reach_m, None, False, note, source, reach_mark)
        for medium, reach_m, reach_mark, note in reaches
    )
    return Phy(name, rate_bps, ("copper",), forms, (RJ45,), 1, 0, None, rows, source, mark)


def _every_category(mark: Mark) -> tuple[tuple[str, float, Mark, str], ...]:
    return tuple((medium, 100, mark, "") for medium in ("Cat5e", "Cat6", "Cat6A"))


_COPPER = (
    _copper("10BASE-T", 10 * _M, 14, _every_category("memory"), "memory", (RJ45,)),
    _copper("100BASE-TX", 100 * _M, 25, _every_category("checked"), "checked", (RJ45, "SFP")),
    _copper("1000BASE-T", _G, 40, _every_category("checked"), "checked", (RJ45, "SFP")),
    _copper("2.5GBASE-T", 2500 * _M, 126, _every_category("memory"), "memory", (RJ45, "SFP+")),
    _copper(
        "5GBASE-T",
        5 * _G,
        126,
        (
            ("Cat5e", 100, "memory", "after an alien-crosstalk assessment, TIA TSB-5021"),
            ("Cat6", 100, "memory", ""),
            ("Cat6A", 100, "memory", ""),
        ),
        "memory",
        (RJ45, "SFP+"),
    ),
    _copper(
        "10GBASE-T",
        10 * _G,
        55,
        (
            ("Cat6", 55, "checked", "37 m where alien crosstalk is at its worst (from memory)"),
            ("Cat6A", 100, "checked", ""),
        ),
        "checked",
        (RJ45, "SFP+"),
    ),
)


def _twinax(
    name: str,
    rate_bps: int,
    form: str,
    lanes: int,
    source: str,
    reach: tuple[float, Mark, str],
    active: tuple[float, Mark, str] | None = None,
) -> Phy:
    rows = [Reach("twinax", reach[0], None, False, reach[2], source, reach[1])]
    if active:
        rows.append(Reach("twinax", active[0], None, True, active[2], source, active[1]))
    return Phy(name, rate_bps, ("twinax",), (form,), (), lanes, 0, None, tuple(rows), source, reach[1])


_TWINAX = (
    _twinax(
        "10GSFP+Cu",
        10 * _G,
        "SFP+",
        1,
        "SFF-8431 Annex E (no IEEE 802.3 clause)",
        (7, "memory", "passive cable"),
        (15, "memory", "active cables are sold for 10 m to 15 m: the maker's figure decides"),
    ),
    _twinax(
        "25GBASE-CR-S", 25 * _G, "SFP28", 1, _ieee(110), (3, "checked", "no RS-FEC: CA-25G-S or CA-25G-N")
    ),
    _twinax("25GBASE-CR", 25 * _G, "SFP28", 1, _ieee(110), (5, "checked", "with RS-FEC: CA-25G-L")),
    _twinax("40GBASE-CR4", 40 * _G, "QSFP+", 4, _ieee(85), (7, "weak", "two charts say 10 m")),
    _twinax("100GBASE-CR4", 100 * _G, "QSFP28", 4, _ieee(92), (5, "memory", "")),
)


class _On(NamedTuple):
    """One cell of the fibre table: media that share a reach and a loss."""

    media: str
    reach_m: float
    mark: Mark
    loss_db: float
    loss_mark: Mark
    note: str = ""


def _fibre(
    name: str,
    rate_bps: int,
    form: str,
    clause: int,
    wavelength_nm: int,
    on: Iterable[_On],
    connectors: tuple[str, ...] = ("LC",),
    lanes: int = 1,
    strands: int = 2,
) -> Phy:
    source = _ieee(clause)
    reaches = tuple(
        Reach(
            medium,
            cell.reach_m,
            Published(cell.loss_db, "dB", source, cell.loss_mark, cell.note),
            False,
            cell.note,
            source,
            cell.mark,
        )
        for cell in on
        for medium in cell.media.split()
    )
    media = {reach.medium[:2] for reach in reaches}
    kinds: tuple[MediumKind, ...] = ("multimode",) if "OM" in media else ()
    if "OS" in media:
        kinds += ("single-mode",)
    wavelength = Published(wavelength_nm, "nm", source, "memory", "nominal")
    marks = {reach.mark for reach in reaches}
    mark: Mark = "weak" if "weak" in marks else "memory" if "memory" in marks else "checked"
    return Phy(name, rate_bps, kinds, (form,), connectors, lanes, strands, wavelength, reaches, source, mark)


_CONDITIONING = "needs a mode-conditioning cord"
_LOWER_FIGURE = "the TIA application table allows {} dB; the lower figure of the IEEE power budget is used"

_FIBRE = (
    _fibre(
        "1000BASE-SX",
        _G,
        "SFP",
        38,
        850,
        (
            _On("OM1", 275, "checked", 2.60, "checked", "220 m on fibre of 160 MHz km"),
            _On("OM2", 550, "checked", 3.56, "checked"),
            _On("OM3", 550, "memory", 3.56, "checked"),
            _On("OM4 OM5", 550, "memory", 3.56, "memory"),
        ),
        connectors=("LC", "SC"),
    ),
    _fibre(
        "1000BASE-LX",
        _G,
        "SFP",
        38,
        1310,
        (
            _On("OM1 OM2", 550, "checked", 2.35, "memory", _CONDITIONING),
            _On("OM3 OM4 OM5", 550, "checked", 2.35, "memory"),
            _On("OS1 OS2", 5_000, "memory", 4.57, "memory"),
        ),
    ),
    _fibre("1000BASE-LX10", _G, "SFP", 59, 1310, (_On("OS1 OS2", 10_000, "checked", 6.0, "memory"),)),
    _fibre(
        "10GBASE-SR",
        10 * _G,
        "SFP+",
        52,
        850,
        (
            _On("OM1", 33, "checked", 1.6, "memory", _LOWER_FIGURE.format(2.4)),
            _On("OM2", 82, "checked", 1.8, "memory", _LOWER_FIGURE.format(2.3)),
            _On("OM3", 300, "checked", 2.6, "checked"),
            _On("OM4 OM5", 400, "checked", 2.9, "checked"),
        ),
    ),
    _fibre("10GBASE-LR", 10 * _G, "SFP+", 52, 1310, (_On("OS1 OS2", 10_000, "checked", 6.2, "weak"),)),
    _fibre(
        "10GBASE-ER",
        10 * _G,
        "SFP+",
        52,
        1550,
        (_On("OS1 OS2", 30_000, "checked", 10.9, "memory", "40 km on an engineered link (Table 52-24)"),),
    ),
    _fibre(
        "25GBASE-SR",
        25 * _G,
        "SFP28",
        112,
        850,
        (_On("OM3", 70, "checked", 1.8, "memory"), _On("OM4 OM5", 100, "checked", 1.9, "checked")),
    ),
    _fibre("25GBASE-LR", 25 * _G, "SFP28", 114, 1310, (_On("OS1 OS2", 10_000, "weak", 6.3, "weak"),)),
    _fibre(
        "40GBASE-SR4",
        40 * _G,
        "QSFP+",
        86,
        850,
        (_On("OM3", 100, "checked", 1.9, "memory"), _On("OM4 OM5", 150, "checked", 1.5, "checked")),
        connectors=("MPO-12",),
        lanes=4,
        strands=8,
    ),
    _fibre(
        "40GBASE-LR4",
        40 * _G,
        "QSFP+",
        87,
        1310,
        (
            _On("OS1", 4_000, "checked", 6.7, "checked", "fibre of 1.0 dB/km"),
            _On("OS2", 10_000, "checked", 6.7, "checked", "fibre of 0.4 dB/km; 8 km at 0.5 dB/km"),
        ),
        lanes=4,
    ),
    _fibre(
        "100GBASE-SR4",
        100 * _G,
        "QSFP28",
        95,
        850,
        (_On("OM3", 70, "checked", 1.8, "memory"), _On("OM4 OM5", 100, "checked", 1.9, "weak")),
        connectors=("MPO-12",),
        lanes=4,
        strands=8,
    ),
    _fibre(
        "100GBASE-LR4",
        100 * _G,
        "QSFP28",
        88,
        1310,
        (_On("OS1 OS2", 10_000, "checked", 6.3, "weak"),),
        lanes=4,
    ),
    _fibre("100GBASE-DR", 100 * _G, "QSFP28", 140, 1310, (_On("OS1 OS2", 500, "checked", 3.0, "memory"),)),
)

PHYS = MappingProxyType({entry.name: entry for entry in (*_COPPER, *_TWINAX, *_FIBRE)})
"""Every PHY by name: copper, twinax, fibre, each in rising rate."""

SFP_PLUS_COPPER_MODULE_REACH_M = Published(
    30.0,
    "m",
    "common practice, no published source",
    "memory",
    "what 10GBASE-T modules for SFP+ typically reach",
)


def phy(name: str) -> Phy:
    """Return the PHY called ``name`` (``10GBASE-SR``). Raises UnknownEntryError if there is none."""
    try:
        return PHYS[name]
    except KeyError:
        raise UnknownEntryError("PHY", name, PHYS) from None


def phys() -> tuple[Phy, ...]:
    """Return every PHY: copper, twinax, fibre, each in rising rate."""
    return tuple(PHYS.values())


def copper_phy_for(rate_bps: int) -> Phy | None:
    """Return the twisted-pair PHY of a rate in bit/s, or None where IEEE 802.3 has none in this table."""
    return next((row for row in _COPPER if row.rate_bps == rate_bps), None)


def twinax_phys(form: str | None = None) -> tuple[Phy, ...]:
    """Return the direct-attach PHYs in rising rate and reach, of one plug form (``SFP28``) if it is given."""
    return tuple(row for row in _TWINAX if form is None or form in row.forms)


def phys_of_form(form: str) -> tuple[Phy, ...]:
    """Return the PHYs that come in a module form (``SFP+``), or in the fixed jack ``RJ45``."""
    return tuple(row for row in PHYS.values() if form in row.forms)


def reach(name: str, medium: str, active: bool = False) -> Reach | None:
    """Return the row for a PHY on a medium, with its limit in m and dB, or None where no row exists.

    ``active`` asks for twinax with electronics in its plugs: None there means that no limit is published,
    not that the cable can't be used. Raises UnknownEntryError for an unknown PHY.
    """
    return next((row for row in phy(name).reaches if row.medium == medium and row.active == active), None)


def reach_m(name: str, medium: str, active: bool = False) -> float | None:
    """Return how far a PHY goes on a medium in m, or None as for ``reach``."""
    row = reach(name, medium, active)
    return row.reach_m if row else None


def insertion_loss_db(name: str, medium: str) -> float | None:
    """Return the most that a channel of this PHY and medium may lose in dB, None if none is published."""
    row = reach(name, medium)
    return row.insertion_loss.value if row and row.insertion_loss else None


def runs_on(name: str, medium: str) -> bool:
    """Say whether a PHY is specified on a medium at any length. Raises UnknownEntryError for no such PHY."""
    return any(row.medium == medium for row in phy(name).reaches)
