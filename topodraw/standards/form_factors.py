"""Pluggable module forms: which module goes into which cage, and what then runs.

Values from the SFF documents (INF-8074, SFF-8431, SFF-8402, SFF-8436, SFF-8665), and from pages that
agree on practice.
"""

from types import MappingProxyType
from typing import NamedTuple

from topodraw.standards.ethernet_phys import phy
from topodraw.standards.published import Mark, UnknownEntryError

_G = 10**9
_NO_LINK = "goes in, but no link comes up"


class Cage(NamedTuple):
    """An opening for modules of its own form. ``rate_bps`` is the nominal rate of all lanes together."""

    name: str
    rate_bps: int
    lanes: int
    source: str
    mark: Mark

    @property
    def lane_rate_bps(self) -> int:
        """Return the nominal rate of one lane in bit/s."""
        return self.rate_bps // self.lanes


class Fit(NamedTuple):
    """What happens when a module is put into a cage.

    ``fits``: it can be inserted. ``runs``: it can carry a link at the module's own rate. ``host_must_allow``:
    only where the port can be set to that rate, so the port's stated speeds decide.
    """

    module: str
    cage: str
    fits: bool
    runs: bool
    host_must_allow: bool
    note: str
    source: str
    mark: Mark


class Breakout(NamedTuple):
    """One way to split a cage of several lanes: ``far_ends`` plugs of form ``far_form``, each at a rate."""

    cage: str
    far_ends: int
    far_form: str
    far_rate_bps: int
    note: str
    source: str
    mark: Mark


_CAGES = (
    Cage("SFP", 1 * _G, 1, "INF-8074", "memory"),
    Cage("SFP+", 10 * _G, 1, "SFF-8431", "memory"),
    Cage("SFP28", 25 * _G, 1, "SFF-8402", "memory"),
    Cage("QSFP+", 40 * _G, 4, "SFF-8436, SFF-8635", "memory"),
    Cage("QSFP28", 100 * _G, 4, "SFF-8665", "memory"),
)

CAGES = MappingProxyType({entry.name: entry for entry in _CAGES})
"""Every cage by name, in rising rate. A module form has the name of its own cage."""

_FITS = (
    Fit("SFP", "SFP+", True, True, True, "runs at 1 Gbit/s", "SFF-8431; three pages agree", "checked"),
    Fit("SFP+", "SFP", True, False, False, _NO_LINK, "INF-8074; pages agree", "checked"),
    Fit("SFP+", "SFP28", True, True, True, "runs at 10 Gbit/s", "SFF-8402; three pages agree", "checked"),
    Fit(
        "SFP28",
        "SFP+",
        True,
        False,
        False,
        "never runs at 25 Gbit/s; at 10 Gbit/s only if the module is made for both rates",
        "SFF-8431; sources disagree, the cautious reading is taken",
        "checked",
    ),
    Fit(
        "SFP", "SFP28", True, True, True, "runs at 1 Gbit/s on some hosts only", "SFF-8402; one page", "weak"
    ),
    Fit("SFP28", "SFP", True, False, False, _NO_LINK, "INF-8074; follows from SFP+ in SFP", "calculated"),
    Fit("QSFP+", "QSFP28", True, True, False, "runs at 40 Gbit/s", "SFF-8665; three pages agree", "checked"),
    Fit("QSFP28", "QSFP+", True, False, False, _NO_LINK, "SFF-8436; pages agree", "checked"),
    Fit(
        "SFP28",
        "QSFP28",
        False,
        False,
        False,
        "needs a single-lane adapter",
        "common practice, no published source",
        "memory",
    ),
    Fit(
        "SFP+",
        "QSFP28",
        False,
        False,
        False,
        "needs a single-lane adapter",
        "common practice, no published source",
        "memory",
    ),
)
_FIT_BY_PAIR = MappingProxyType({(row.module, row.cage): row for row in _FITS})

BREAKOUTS = (
    Breakout(
        "QSFP+", 4, "SFP+", 10 * _G, "the port must support lane split", "SFF-8436; pages agree", "checked"
    ),
    Breakout(
        "QSFP28", 4, "SFP28", 25 * _G, "both ends must use the same FEC", "SFF-8665; pages agree", "checked"
    ),
    Breakout("QSFP28", 2, "QSFP28", 50 * _G, "two lanes each", "SFF-8665; far form from memory", "memory"),
)
"""The ways to split a cage; none of a split port's lanes may also be used whole (house rule)."""


def cage(name: str) -> Cage:
    """Return the cage called ``name`` (``SFP28``). Raises UnknownEntryError if the table has none such."""
    try:
        return CAGES[name]
    except KeyError:
        raise UnknownEntryError("cage", name, CAGES) from None


def fit(module_form: str, cage_name: str) -> Fit:
    """Say what happens when a module of one form is put into a cage, from the SFF documents.

    Raises UnknownEntryError if either name is not in the table.
    """
    form, opening = cage(module_form), cage(cage_name)
    if form is opening:
        return Fit(form.name, form.name, True, True, False, "made for each other", form.source, form.mark)
    row = _FIT_BY_PAIR.get((module_form, cage_name))
    if row:
        return row
    shape = "the shapes differ: one lane against four"
    return Fit(module_form, cage_name, False, False, False, shape, "SFF-8432, SFF-8661", "memory")


def breakouts_of(cage_name: str) -> tuple[Breakout, ...]:
    """Return the ways in which a cage can be split. Raises UnknownEntryError for an unknown cage."""
    return tuple(row for row in BREAKOUTS if row.cage == cage(cage_name).name)


def can_break_out(phy_name: str) -> bool:
    """Say whether a PHY's lanes can be led to different far ends.

    False for one lane (100GBASE-DR) and for lanes that share two fibres by wavelength (40GBASE-LR4).
    Raises UnknownEntryError for an unknown PHY.
    """
    return phy(phy_name).lanes_are_apart
