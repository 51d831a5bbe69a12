"""Cables, aggregates and cords: their ends found, and the VLANs stated on them given to ports."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from topodraw.model.cabling import Aggregate, Breaker, Cable, Cord, End
from topodraw.model.finding import SourcePath
from topodraw.model.gear import VlanStatement
from topodraw.model.hardware import Hardware
from topodraw.model.references import Names
from topodraw.model.written import AggregateEntry, CableEntry, CordEntry, VlanKeys
from topodraw.source.suggest import did_you_mean, listed
from topodraw.standards.ethernet_phys import PHYS

_LANE = re.compile(r"(.+):([0-9]{1,2})")
_BACK = ":back"


def is_through(hardware: Hardware, port: str) -> bool:
    """Whether a port only leads on to its own rear, as a panel's do."""
    return hardware.function == "panel" or hardware.ports[port].through


class Cabling:
    """Resolves what is written about cables; `hardware_of` has the hardware of each gear that makes sense."""

    def __init__(self, names: Names, hardware_of: Mapping[str, Hardware]) -> None:
        self._names = names
        self._hardware_of = hardware_of

    def cable(self, entry: CableEntry) -> Cable | None:
        """The cable with its ends found; None after a report."""
        names, path = self._names, ("cables", entry.name)
        self.check_vlans(entry, path)
        if entry.purpose is not None:
            names.check("purposes", entry.purpose, (*path, "purpose"))
        for index, run in enumerate(entry.within):
            names.check("runs", run, (*path, "within", str(index)))
        if entry.phy is not None and entry.phy not in PHYS:
            message = f"there is no PHY {entry.phy!r}{did_you_mean(entry.phy, PHYS)}"
            names.tell("missing-reference", message, f"known: {listed(PHYS, 40)}", (*path, "phy"))
        first = self._end(entry.ends[0], (*path, "ends", "0"))
        second = self._end(entry.ends[1], (*path, "ends", "1"))
        if first is None or second is None:
            return None
        return Cable(
            entry.name,
            (first, second),
            entry.medium,
            entry.length_m,
            entry.phy,
            entry.speed_bps,
            entry.purpose,
            entry.colour,
            entry.within,
            entry.active,
            entry.connectors,
            entry.state,
        )

    def check_vlans(self, stated: VlanKeys, path: SourcePath) -> None:
        """Report the VLANs stated at `path` that the site doesn't have."""
        if stated.untagged is not None:
            self._names.check("vlans", stated.untagged, (*path, "untagged"))
        if stated.tagged is not None and stated.tagged != "all":
            for index, vlan in enumerate(stated.tagged):
                self._names.check("vlans", vlan, (*path, "tagged", str(index)))

    def _end(self, text: str, path: SourcePath) -> End | None:
        gear, slash, port = text.partition("/")
        if not slash:
            return self._bare_end(text, path)
        if not self._names.check("gear", gear, path):
            return None
        hardware = self._hardware_of.get(gear)
        if hardware is None or port in hardware.ports:
            return End(gear, port)
        if port.endswith(_BACK):
            return self._rear(gear, port.removesuffix(_BACK), hardware, path)
        lane = _LANE.fullmatch(port)
        if lane and lane[1] in hardware.ports:
            return End(gear, lane[1], lane=int(lane[2]))
        self.tell_no_port(gear, lane[1] if lane else port, hardware, path)
        return None

    def _rear(self, gear: str, port: str, hardware: Hardware, path: SourcePath) -> End | None:
        if port not in hardware.ports:
            self.tell_no_port(gear, port, hardware, path)
            return None
        if not is_through(hardware, port):
            message = f"{gear}/{port} has no rear: only a panel's port has one"
            self._names.tell("missing-reference", message, f"write {gear}/{port}", path)
            return None
        return End(gear, port, back=True)

    def _bare_end(self, text: str, path: SourcePath) -> End | None:
        hardware = self._hardware_of.get(text)
        if text in self._names.known("remotes"):
            return End(None, None, remote=text)
        if text in self._names.known("gear"):
            ports = list(hardware.ports) if hardware else []
            sample = f"write {text}/{ports[0]}" if ports else "write gear/port"
            message = f"{text!r} is gear: a cable ends in one of its ports ({listed(ports)})"
            self._names.tell("missing-reference", message, sample, path)
        else:
            self._names.missing(("remotes", "gear"), text, path)
        return None

    def tell_no_port(
        self, gear: str, port: str, hardware: Hardware, path: SourcePath, is_key: bool = False
    ) -> None:
        """Report a reference to a port that the gear's hardware lacks."""
        message = f"{gear!r} ({hardware.name}) has no port {port!r}{did_you_mean(port, hardware.ports)}"
        tell = self._names.tell_key if is_key else self._names.tell
        tell("missing-reference", message, f"ports: {listed(hardware.ports, 30)}", path)

    def aggregate(self, entry: AggregateEntry) -> Aggregate:
        """The aggregate; what it refers to in vain is reported."""
        path = ("aggregates", entry.name)
        self.check_vlans(entry, path)
        for index, cable in enumerate(entry.cables):
            self._names.check("cables", cable, (*path, "cables", str(index)))
        modes = {} if isinstance(entry.mode, str) else entry.mode
        for gear in modes:
            self._names.check("gear", gear, (*path, "mode", gear), is_key=True)
        return Aggregate(
            entry.name,
            entry.cables,
            entry.mode if isinstance(entry.mode, str) else "lacp",
            tuple(modes.items()),
            entry.untagged,
            entry.tagged or (),
            entry.cost,
            entry.least,
        )

    def cord(self, entry: CordEntry, breakers: Mapping[str, Breaker]) -> Cord | None:
        """The cord with its outlet and inlet found; None after a report."""
        path = ("cords", entry.name)
        outlet = self._outlet(entry.ends[0], breakers, (*path, "ends", "0"))
        inlet = self._inlet(entry.ends[1], (*path, "ends", "1"))
        if outlet is None or inlet is None:
            return None
        owner, name, is_breaker = outlet
        return Cord(entry.name, (owner, name), is_breaker, inlet, entry.length_m, entry.rating_a)

    def _outlet(
        self, text: str, breakers: Mapping[str, Breaker], path: SourcePath
    ) -> tuple[str, str | None, bool] | None:
        owner, slash, name = text.partition("/")
        found = self._names.find(("breakers", "gear"), owner, path)
        if found is None:
            return None
        section, owner = found
        if section == "breakers":
            outlets = breakers[owner].outlets if owner in breakers else {name: ""}
            if not slash and not outlets:
                return owner, None, True
            return (owner, name or None, True) if self._socket(owner, name, outlets, "outlet", path) else None
        hardware = self._hardware_of.get(owner)
        if hardware is None:
            return owner, name, False
        power = hardware.power
        if power and name in power.inlets and name not in power.outlets:
            fix = "write the outlet first, then the inlet: ends: [outlet, inlet]"
            self._names.tell(
                "bad-value", f"{text!r} is an inlet: the first end of a cord is an outlet", fix, path
            )
            return None
        known = power.outlets if power else {}
        return (owner, name, False) if self._socket(owner, name, known, "outlet", path) else None

    def _inlet(self, text: str, path: SourcePath) -> tuple[str, str] | None:
        gear, _, name = text.partition("/")
        if not self._names.check("gear", gear, path):
            return None
        hardware = self._hardware_of.get(gear)
        if hardware is None:
            return gear, name
        known = hardware.power.inlets if hardware.power else {}
        return (gear, name) if self._socket(gear, name, known, "inlet", path) else None

    def _socket(
        self, owner: str, name: str, known: Mapping[str, object], what: str, path: SourcePath
    ) -> bool:
        if name in known:
            return True
        if name:
            message = f"{owner!r} has no {what} {name!r}{did_you_mean(name, known)}"
        else:
            message = f"{owner!r} stands without its {what}"
        fix = (
            f"{what}s: {listed(known)}" if known else f"state the {what}s with its hardware (power: {what}s)"
        )
        self._names.tell("missing-reference", message, fix, path)
        return False


Statements = dict[tuple[str, str], VlanStatement]


def stated_on_cables(
    cables: Mapping[str, Cable],
    cable_entries: Mapping[str, CableEntry],
    aggregates: Mapping[str, AggregateEntry],
    hardware_of: Mapping[str, Hardware],
) -> Statements:
    """What cables and aggregates state about the ports at the ends of the links that they are part of.

    Panels are passed through. An aggregate's statement goes before a cable's, and of several cables of one
    link the one nearest to a port speaks for it.
    """
    speaking: list[tuple[int, VlanKeys, SourcePath, tuple[str, ...]]] = [
        *((0, entry, ("aggregates", name), entry.cables) for name, entry in aggregates.items()),
        *((1, entry, ("cables", name), (name,)) for name, entry in cable_entries.items()),
    ]
    found: dict[tuple[str, str], tuple[tuple[int, int], VlanStatement]] = {}
    by_end = {(end.gear, end.port, end.back): cable for cable in cables.values() for end in cable.ends}
    for rank, entry, path, members in speaking:
        if entry.untagged is None and entry.tagged is None:
            continue
        statement = VlanStatement(entry.untagged, entry.tagged or (), path)
        for cable in (cables[name] for name in members if name in cables):
            for port, steps in _link_ends(cable, by_end, hardware_of):
                if port not in found or (rank, steps) < found[port][0]:
                    found[port] = (rank, steps), statement
    return {port: statement for port, (_, statement) in found.items()}


def _link_ends(
    cable: Cable,
    by_end: Mapping[tuple[str | None, str | None, bool], Cable],
    hardware_of: Mapping[str, Hardware],
) -> Iterator[tuple[tuple[str, str], int]]:
    """The ports of active gear at both ends of a cable's link, each with the panels passed on the way."""
    for start in cable.ends:
        end, steps = start, 0
        while end.gear is not None and end.port is not None and steps < len(by_end):
            hardware = hardware_of.get(end.gear)
            if hardware is None:
                break
            if not is_through(hardware, end.port):
                yield (end.gear, end.port), steps
                break
            onward = by_end.get((end.gear, end.port, not end.back))
            if onward is None:
                break
            here = (end.gear, end.port, not end.back)
            first, second = onward.ends
            end = second if (first.gear, first.port, first.back) == here else first
            steps += 1
