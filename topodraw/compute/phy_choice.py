"""Which PHY two ports bring up over a channel, or why none."""

from __future__ import annotations

from dataclasses import dataclass, field

from topodraw.compute.link_problems import LinkProblem
from topodraw.compute.media import Channel, kinds_of_connector
from topodraw.model.cabling import End
from topodraw.model.gear import Port
from topodraw.model.site import Site
from topodraw.standards.ethernet_phys import PHYS, RJ45, Phy, copper_phy_for, reach, twinax_phys
from topodraw.standards.form_factors import CAGES, Breakout, breakouts_of, fit

Missing = tuple[str, str]
"""What is not stated: the thing, and the key of it that is missing."""


@dataclass(frozen=True, slots=True)
class Offer:
    """What one end can run. `phys` is None where too little is stated to know, empty where nothing runs."""

    at: str
    phys: tuple[str, ...] | None
    missing: str | None = None
    """The key that would tell, where `phys` is None."""
    fault: LinkProblem | None = None
    anything: bool = False
    """A remote: it runs what the near end runs."""


@dataclass(frozen=True, slots=True)
class Choice:
    """The PHY of a link. With `phy` None the rate may still be known; `why` says what rules every PHY out."""

    phy: str | None = None
    rate_bps: int | None = None
    problems: list[LinkProblem] = field(default_factory=list)
    missing: tuple[Missing, ...] = ()

    @property
    def why(self) -> str | None:
        """The first reason why no PHY results."""
        return next((problem.why for problem in self.problems if problem.rules_out), None)


def rate_of(phy: str) -> int | None:
    """The rate of a PHY in bit/s; None for one that the tables don't know."""
    row = PHYS.get(phy)
    return row.rate_bps if row else None


def offer_of(site: Site, end: End, channel: Channel, cable_phy: str | None, split: bool) -> Offer:
    """Say which PHYs the port at `end` can run over `channel`, by its jack, cage, module and speeds.

    `split`: the end is one lane of a port with several (SFF-8436, SFF-8665 breakouts).
    """
    port = site.port(end)
    at = str(end)
    if port is None:
        return Offer(at, None, anything=True)
    if port.hardware.jack is not None:
        return _jack_offer(site, port, at, channel)
    if port.hardware.cage is None:
        return Offer(at, None, "cage")
    if port.module is None and cable_phy is None and channel.kind != "twinax":
        return Offer(at, None, "module")
    return _cage_offer(site, port, at, channel, cable_phy, split)


def _allowed_rates(port: Port) -> tuple[int, ...] | None:
    if port.speed_bps is not None:
        return (port.speed_bps,)
    return port.hardware.speeds_bps or None


def _jack_offer(site: Site, port: Port, at: str, channel: Channel) -> Offer:
    jack = port.hardware.jack
    if port.module is not None:
        return Offer(at, (), fault=module_fault(site, port, at, port.module))
    kinds = kinds_of_connector(jack or "")
    if kinds and channel.kind is not None and channel.kind not in kinds:
        detail = f"{at} is an {jack} jack, which {channel.media[0]} can't be plugged into"
        why = f"{channel.media[0]} in an {jack} jack"
        return Offer(at, (), fault=LinkProblem("medium-mismatch", (at,), detail, True, why))
    rates = _allowed_rates(port)
    if rates is None:
        return Offer(at, None, "speeds")
    if jack == RJ45:
        by_rate = (copper_phy_for(rate) for rate in sorted(rates))
        return Offer(at, tuple(phy.name for phy in by_rate if phy is not None))
    fixed = (phy for phy in PHYS.values() if jack in phy.connectors and phy.rate_bps in rates)
    return Offer(at, tuple(phy.name for phy in fixed) or None, "phy")


def _cage_offer(
    site: Site, port: Port, at: str, channel: Channel, cable_phy: str | None, split: bool
) -> Offer:
    cage = port.hardware.cage or ""
    if cage not in CAGES:
        return Offer(at, None, "cage")
    if port.module is None and cable_phy is None:
        return _twinax_offer(port, at, cage, split)
    module = port.module or cable_phy or ""
    hardware = site.hardware.get(module)
    names = hardware.phys if hardware else (module,)
    form = hardware.form if hardware else None
    if split:
        return _split_offer(port, at, cage, names)
    if not any(name in PHYS for name in names) and form is None:
        return Offer(at, names or None, "module")
    fault = module_fault(site, port, at, module)
    if fault is not None:
        return Offer(at, (), fault=fault)
    fitting = tuple(name for name in names if _misfit(name, form, cage) is None)
    rates = _allowed_rates(port)
    allowed = tuple(name for name in fitting if rates is None or rate_of(name) in (*rates, None))
    if not allowed:
        detail = f"{at} can't be set to the speed of its module {module}"
        return Offer(at, (), fault=LinkProblem("speed-mismatch", (at,), detail, True, "no common speed"))
    return Offer(at, allowed)


def module_fault(site: Site, port: Port, at: str, module: str) -> LinkProblem | None:
    """Why `module` doesn't go into `port`, written `at`, or stays dark there; None where it runs.

    None also where too little is stated to know: a form or cage that the tables don't hold.
    """
    cage = port.hardware.cage
    if cage is None and port.hardware.jack is not None:
        detail = f"the module {module} can't go into {at}: it is an {port.hardware.jack} jack, not a cage"
        why = f"module {module} without a cage"
        return LinkProblem("module-cage-mismatch", (at,), detail, True, why)
    hardware = site.hardware.get(module)
    names = hardware.phys if hardware else (module,)
    form = hardware.form if hardware else None
    if cage is None or cage not in CAGES or (form is None and not any(name in PHYS for name in names)):
        return None
    if any(_misfit(name, form, cage) is None for name in names):
        return None
    note = (_misfit(names[0], form, cage) if names else None) or f"the module {module} names no PHY"
    detail = f"the module {module} in the {cage} cage {at}: {note}"
    return LinkProblem("module-cage-mismatch", (at,), detail, True, f"{module} in a cage for {cage}: {note}")


def _misfit(phy: str, form: str | None, cage: str) -> str | None:
    """Why a module doesn't run in a cage; None where it does, or where its form is unknown."""
    row = PHYS.get(phy)
    forms = (form,) if form else tuple(name for name in (row.forms if row else ()) if name != RJ45)
    fits = [fit(name, cage) for name in forms if name in CAGES]
    if not fits or any(one.runs for one in fits):
        return None
    return fits[0].note


def _twinax_offer(port: Port, at: str, cage: str, split: bool) -> Offer:
    rates = _allowed_rates(port)
    if split:
        lane = _lane_of(cage)
        if lane is None:
            return Offer(at, (), fault=_no_lanes(at, cage))
        cage, rates = lane.far_form, None
    fitting = [phy for phy in twinax_phys() if fit(phy.forms[0], cage).runs]
    if not fitting:
        detail = f"{at} is a cage for {cage}, for which no twinax PHY is specified"
        why = f"no twinax PHY for {cage}"
        return Offer(at, (), fault=LinkProblem("medium-mismatch", (at,), detail, True, why))
    return Offer(at, tuple(phy.name for phy in fitting if rates is None or phy.rate_bps in rates))


def _lane_of(cage: str) -> Breakout | None:
    return next((row for row in breakouts_of(cage) if CAGES[row.far_form].lanes == 1), None)


def _no_lanes(at: str, cage: str, name: str | None = None) -> LinkProblem:
    what = f"the module {name}" if name else f"a cage for {cage}"
    detail = f"{at} is used as one lane, but {what} can't be split into lanes"
    return LinkProblem("module-cage-mismatch", (at,), detail, True, f"{name or cage} can't be split")


def _split_offer(port: Port, at: str, cage: str, names: tuple[str, ...]) -> Offer:
    """One lane of a module runs the one-lane PHY of its kind and wavelength (40GBASE-SR4: 10GBASE-SR)."""
    lane = _lane_of(cage)
    if lane is None:
        return Offer(at, (), fault=_no_lanes(at, cage))
    if port.module is None:
        return Offer(at, names)
    wholes = [PHYS[name] for name in names if name in PHYS]
    apart = [whole for whole in wholes if whole.lanes_are_apart]
    if wholes and not apart:
        return Offer(at, (), fault=_no_lanes(at, cage, wholes[0].name))
    lanes = tuple(phy.name for phy in PHYS.values() for whole in apart if _is_lane(phy, whole, lane))
    return Offer(at, lanes or None, "phy")


def _is_lane(phy: Phy, whole: Phy, lane: Breakout) -> bool:
    nominal = phy.wavelength.value if phy.wavelength else None
    of_whole = whole.wavelength.value if whole.wavelength else None
    same_light = phy.kinds == whole.kinds and nominal == of_whole
    return same_light and phy.lanes == 1 and phy.rate_bps == lane.far_rate_bps and lane.far_form in phy.forms


def choose_phy(first: Offer, second: Offer, channel: Channel, cable_phy: str | None) -> Choice:
    """Find the fastest PHY that both ends offer and that runs on the kind of medium between them.

    A PHY stated on the cable must be among those offered. What an end doesn't state stays unknown: no PHY
    then, and no reason either, but `missing` says what would tell.
    """
    problems = [offer.fault for offer in (first, second) if offer.fault]
    problems += [problem for offer in (first, second) if (problem := _wrong_medium(offer, channel))]
    missing = tuple(
        (offer.at, offer.missing) for offer in (first, second) if offer.phys is None and offer.missing
    )
    if problems:
        return Choice(problems=problems, missing=missing)
    one, two = (_on_kind(offer, channel) for offer in (first, second))
    if one is not None and two is not None:
        common = tuple(name for name in one if name in two)
        if not common and all(name in PHYS for name in (*one, *two)):
            return Choice(problems=[_no_common(first.at, one, second.at, two)])
    elif first.anything or second.anything or cable_phy is not None:
        common = one or two or ()
    else:
        common = ()
    if cable_phy is not None:
        if common and cable_phy not in common:
            detail = f"the cable is stated to run {cable_phy}, but the ports offer {', '.join(common)}"
            problem = LinkProblem(
                "phy-mismatch", (first.at, second.at), detail, True, f"not {cable_phy} at both ends"
            )
            return Choice(problems=[problem])
        if cable_phy in PHYS and channel.kind not in PHYS[cable_phy].kinds:
            return Choice(problems=[_not_on(cable_phy, (first.at, second.at), channel)])
        return Choice(cable_phy, rate_of(cable_phy))
    if not common:
        return Choice(missing=missing)
    return _fastest(common, channel, missing)


def _on_kind(offer: Offer, channel: Channel) -> tuple[str, ...] | None:
    if offer.phys is None:
        return None
    return tuple(name for name in offer.phys if name not in PHYS or channel.kind in PHYS[name].kinds)


def _wrong_medium(offer: Offer, channel: Channel) -> LinkProblem | None:
    if not offer.phys or _on_kind(offer, channel):
        return None
    return _not_on(offer.phys[-1], (offer.at,), channel)


def _not_on(phy: str, at: tuple[str, ...], channel: Channel) -> LinkProblem:
    medium = channel.media[0]
    detail = f"{' and '.join(at)} runs {phy}, which is not specified on {medium}"
    why = f"{phy} does not run on {medium}"
    return LinkProblem("medium-mismatch", at, detail, True, why, source=PHYS[phy].source)


def _no_common(first: str, one: tuple[str, ...], second: str, two: tuple[str, ...]) -> LinkProblem:
    at = (first, second)
    if {rate_of(name) for name in one} & {rate_of(name) for name in two}:
        why = f"{one[-1]} faces {two[-1]}"
        return LinkProblem("phy-mismatch", at, f"{one[-1]} at {first} faces {two[-1]} at {second}", True, why)
    offers = f"{first} offers {', '.join(one) or 'nothing'}; {second} offers {', '.join(two) or 'nothing'}"
    return LinkProblem("speed-mismatch", at, f"no common speed: {offers}", True, "no common speed")


def _fastest(common: tuple[str, ...], channel: Channel, missing: tuple[Missing, ...]) -> Choice:
    rates = [rate for name in common if (rate := rate_of(name)) is not None]
    if not rates:
        return Choice(common[0] if len(common) == 1 else None, None, missing=missing)
    rate_bps = max(rates)
    fastest = [name for name in common if rate_of(name) == rate_bps]
    if len(fastest) == 1:
        return Choice(fastest[0], rate_bps, missing=missing)
    if channel.kind != "twinax" or channel.length_m is None:
        # Which of them runs is not for us to guess; the speed is the same with each.
        return Choice(None, rate_bps, missing=missing)
    # Twinax of one rate comes in classes by length (IEEE 802.3 clause 110): the first that reaches is it.
    for name in fastest:
        row = reach(name, channel.media[0], channel.active)
        if row is None or channel.length_m <= row.reach_m:
            return Choice(name, rate_bps, missing=missing)
    return Choice(fastest[-1], rate_bps, missing=missing)
