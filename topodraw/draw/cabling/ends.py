"""What stands at the ends of cables: their names, what they feed, which end discards, and what they carry."""

from __future__ import annotations

from dataclasses import dataclass, field

from topodraw.compute.facts import Facts
from topodraw.compute.links import Link
from topodraw.model.cabling import Cable
from topodraw.model.network import Vlan

TRUNKING = ("switch", "router", "firewall")


def speed_words(speed_bps: float) -> str:
    """A speed as the trade says it: `2.5G`, `100M`."""
    for unit, factor in (("G", 1e9), ("M", 1e6)):
        if speed_bps >= factor:
            return f"{speed_bps / factor:g}{unit}"
    return f"{speed_bps:g} bit/s"


def length_words(length_m: float) -> str:
    """A length in m."""
    return f"{length_m:g} m"


@dataclass(slots=True)
class CableEnds:
    """Answers about cables' ends, from the site's facts; each is looked up once."""

    facts: Facts
    link_of: dict[str, Link] = field(default_factory=dict)
    discarding: frozenset[str] = frozenset()
    """Physical ports, `gear/port`."""
    feeding: frozenset[str] = frozenset()
    """Ports that feed the gear at the far end of their link."""
    letters: dict[str, str] = field(default_factory=dict)
    """Each VLAN's letter in combs."""
    missing: dict[str, set[str]] = field(default_factory=dict)
    """VLANs that a port needs and doesn't carry."""

    def __post_init__(self) -> None:
        facts = self.facts
        self.link_of = {cable: link for link in facts.links for cable in link.cables}
        blocked = {key for key, port in facts.tree.ports.items() if port.role in ("alternate", "backup")}
        self.discarding = frozenset(
            physical for physical, key in facts.network.port_key.items() if key in blocked
        )
        self.feeding = frozenset(
            end
            for link in facts.links
            for end, far in (link.ends, link.ends[::-1])
            if _feeds(facts, end, far)
        )
        self.letters = vlan_letters(list(facts.site.vlans.values()))
        for spread in facts.vlans.values():
            for miss in spread.missing:
                for port in miss.at:
                    self.missing.setdefault(port, set()).add(spread.name)

    def tag(self, cable: Cable, number: int) -> str:
        """What stands on the line at one end: the cable's name, P where it feeds, D where it discards."""
        reference = str(cable.ends[number])
        marks = [mark for mark, ports in (("P", self.feeding), ("D", self.discarding)) if reference in ports]
        return " ".join([cable.name, *marks])

    def discards(self, cable: Cable, number: int) -> bool:
        """Whether spanning tree discards at one end."""
        return str(cable.ends[number]) in self.discarding

    def trunk(self, cable: Cable) -> bool:
        """Whether it is part of a link between bridges that carries tagged VLANs; of an aggregate, the
        first cable."""
        link = self.link_of.get(cable.name)
        if link is None or not self.comb(cable):
            return False
        gear = [end.partition("/")[0] for end in link.ends]
        if any(
            self.facts.site.gear[name].function not in TRUNKING
            for name in gear
            if name in self.facts.site.gear
        ):
            return False
        aggregate = self.facts.site.aggregates.get(link.aggregate or "")
        return aggregate is None or aggregate.cables[0] in link.cables

    def label(self, cable: Cable) -> str:
        """Medium and length."""
        parts: list[str] = [cable.name, cable.medium]
        if cable.length_m is not None:
            parts.append(length_words(cable.length_m))
        return " ".join(parts)

    def vlans(self, cable: Cable) -> tuple[str, ...]:
        """VLANs that a cable's link carries tagged at either end, in the site's order."""
        link = self.link_of.get(cable.name)
        if link is None:
            return ()
        carried: set[str] = set()
        for end in link.ends:
            gear, _, port = end.partition("/")
            if gear not in self.facts.site.gear or port not in self.facts.site.gear[gear].ports:
                continue
            statement = self.facts.site.gear[gear].ports[port].vlans
            if statement is None:
                continue
            tagged = statement.tagged
            carried |= set(self.facts.site.vlans) if tagged == "all" else set(tagged)
        return tuple(name for name in self.facts.site.vlans if name in carried)

    def comb(self, cable: Cable) -> tuple[str, ...]:
        """Letters of the VLANs that it carries or ought to; one that is needed and missing is in
        parentheses."""
        link = self.link_of.get(cable.name)
        if link is None:
            return ()
        needed = {name for end in link.ends for name in self.missing.get(end, ())}
        carried = self.vlans(cable)
        return tuple(
            f"({self.letters[name]})" if name in needed else self.letters[name]
            for name in self.facts.site.vlans
            if name in carried or name in needed
        )


def _feeds(facts: Facts, end: str, far: str) -> bool:
    """Whether the port at one end is a power source for the port at the other."""
    ports = []
    for reference in (end, far):
        gear, _, port = reference.partition("/")
        if gear not in facts.site.gear or port not in facts.site.gear[gear].ports:
            return False
        ports.append(facts.site.gear[gear].ports[port].hardware)
    return ports[0].poe is not None and ports[1].powered is not None


def vlan_letters(vlans: list[Vlan]) -> dict[str, str]:
    """A letter for each VLAN: the first of its name that is still free."""
    letters: dict[str, str] = {}
    for vlan in vlans:
        candidates = [c for c in vlan.name.upper() if c.isascii() and c.isalnum()]
        candidates += list("ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789")
        letters[vlan.name] = next((c for c in candidates if c not in letters.values()), "*")
    return letters
