"""Which tier every piece of gear stands in, from the outside world down to end stations.

Tiers follow from how gear is linked, not from what it is called: gateways stand under what lies outside,
bridges by their distance from a gateway (without one: from the root of the spanning tree), end stations
below them all, and a panel between what it joins. This is common practice among network engineers; there is
no published source.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from topodraw.compute.facts import Facts
from topodraw.model.gear import Gear
from topodraw.model.site import Site

Level = tuple[int, int]
"""A tier: its level, and for panels a step below the level that their cables come from."""
OUTSIDE: Level = (0, 0)
_GATEWAY = 1
_TOP_BRIDGE = 2
_END = 1_000_000
END_STATIONS: Level = (_END, 0)
_BETWEEN = ("switch", "router", "firewall", "converter", "injector", "access-point", "phone", "other")


@dataclass(frozen=True, slots=True)
class Tiers:
    """The level of every piece of gear, and which of it is backbone: what others are linked through."""

    levels: Mapping[str, Level]
    backbone: frozenset[str]

    def names(self, site: Site) -> dict[Level, str]:
        """What each level is called along the side of a sheet."""
        bridging = sorted({self.levels[name][0] for name in self.backbone if self.levels[name][1] == 0})
        bridging = [level for level in bridging if _TOP_BRIDGE <= level < _END]
        found: dict[Level, str] = {OUTSIDE: "outside"}
        for name, level in self.levels.items():
            found.setdefault(level, self._name(level, bridging, site.gear[name]))
        return found

    def _name(self, level: Level, bridging: Sequence[int], gear: Gear) -> str:
        if level[1] > 0 and level[0] < _END:
            return "panels"
        if level[0] >= _END:
            return "end stations"
        if level[0] == _GATEWAY:
            return gear.function
        if not bridging or level[0] == bridging[-1]:
            return "access"
        return "core" if level[0] == bridging[0] else "distribution"


def tiers(facts: Facts, drawn: Iterable[str]) -> Tiers:
    """The tiers of the gear that is drawn."""
    names = [name for name in drawn if facts.site.gear[name].function != "panel"]
    neighbours = _neighbours(facts, names)
    backbone = [name for name in names if _is_backbone(facts.site.gear[name], neighbours[name], facts.site)]
    level = _backbone_levels(facts, backbone, neighbours)
    _end_levels(names, neighbours, level)
    levels: dict[str, Level] = {name: (value, 0) for name, value in level.items()}
    panels = [name for name in drawn if facts.site.gear[name].function == "panel"]
    levels |= _panel_levels(facts, panels, levels)
    return Tiers(levels, frozenset(backbone))


def _gear_of(end: str, site: Site) -> str | None:
    """The gear of a link's end; None for a remote."""
    name = end.partition("/")[0]
    return name if "/" in end and name in site.gear else None


def _neighbours(facts: Facts, names: Sequence[str]) -> dict[str, list[str]]:
    """What each piece of active gear is linked to, gear and remotes, in the links' order."""
    found: dict[str, list[str]] = {name: [] for name in names}
    for link in facts.links:
        for one, other in (link.ends, link.ends[::-1]):
            gear = _gear_of(one, facts.site)
            if gear in found:
                found[gear].append(_gear_of(other, facts.site) or other)
    return {name: list(dict.fromkeys(others)) for name, others in found.items()}


def _is_backbone(gear: Gear, neighbours: Sequence[str], site: Site) -> bool:
    if gear.function in ("switch", "router", "firewall"):
        return True
    linked = [name for name in neighbours if name in site.gear]
    return gear.function in _BETWEEN and len(linked) > 1


def _backbone_levels(
    facts: Facts, backbone: Sequence[str], neighbours: Mapping[str, Sequence[str]]
) -> dict[str, int]:
    site = facts.site
    mates = {
        member: [other for other in stack.members if other != member]
        for stack in site.stacks.values()
        for member in stack.members
    }
    ends_remote = {remote.by for remote in site.remotes.values()}
    ends_remote |= {name for name in backbone if any(other in site.remotes for other in neighbours[name])}
    routing = [name for name in backbone if site.gear[name].function in ("router", "firewall")]
    gateways = [name for name in routing if name in ends_remote] or routing
    level = dict.fromkeys(gateways, _GATEWAY)
    inside = set(backbone)
    _spread(list(level), level, neighbours, mates, inside)
    while len(level) < len(backbone):
        start = _next_start(facts, [name for name in backbone if name not in level], neighbours)
        alone = site.gear[start].function in ("router", "firewall") and not gateways
        level[start] = _GATEWAY if alone or site.gear[start].function == "firewall" else _TOP_BRIDGE
        for mate in mates.get(start, []):
            if mate in inside:
                level.setdefault(mate, level[start])
        _spread([start, *mates.get(start, [])], level, neighbours, mates, inside)
    return level


def _next_start(facts: Facts, waiting: Sequence[str], neighbours: Mapping[str, Sequence[str]]) -> str:
    """Where to begin in a part without gateway: a root bridge, else the gear with most neighbours."""
    roots = {
        member
        for root in facts.tree.roots
        for member in (facts.site.stacks[root].members if root in facts.site.stacks else (root,))
    }
    return min(waiting, key=lambda name: (name not in roots, -len(neighbours[name]), waiting.index(name)))


def _spread(
    start: Sequence[str],
    level: dict[str, int],
    neighbours: Mapping[str, Sequence[str]],
    mates: Mapping[str, Sequence[str]],
    inside: set[str],
) -> None:
    """Give everything reachable from `start` the level below what it is reached from; stack members share
    theirs."""
    frontier = [name for name in start if name in level]
    while frontier:
        following = []
        for name in frontier:
            for other in neighbours[name]:
                if other in inside and other not in level:
                    level[other] = level[name] + 1
                    following.append(other)
                    for mate in mates.get(other, []):
                        if mate in inside and mate not in level:
                            level[mate] = level[other]
                            following.append(mate)
        frontier = following


def _end_levels(names: Sequence[str], neighbours: Mapping[str, Sequence[str]], level: dict[str, int]) -> None:
    """End stations: all in one tier, but what hangs behind another end station stands below it."""
    frontier = list(level)
    depth = 0
    while frontier:
        following = []
        for name in frontier:
            for other in neighbours[name]:
                if other in neighbours and other not in level:
                    level[other] = _END + depth
                    following.append(other)
        frontier = following
        depth += 1
    for name in names:
        level.setdefault(name, _END)


def _panel_levels(facts: Facts, panels: Sequence[str], levels: Mapping[str, Level]) -> dict[str, Level]:
    """Panels: a step below the tier that their links come from, further down with every panel in between."""
    seen: dict[str, list[Level]] = {panel: [] for panel in panels}
    for link in facts.links:
        through = list(dict.fromkeys(port.partition("/")[0] for port in link.through))
        ends = [levels.get(_gear_of(end, facts.site) or "", OUTSIDE) for end in link.ends]
        if ends[0] > ends[1]:
            through.reverse()
        for step, panel in enumerate(through, start=1):
            if panel in seen:
                seen[panel].append((min(ends)[0], step))
    for panel, own in seen.items():
        if not own:
            own.extend(_beside(facts, panel, seen))
    return {
        panel: max(place for place in own if place[0] == min(own)[0]) if own else (_END - 1, 1)
        for panel, own in seen.items()
    }


def _beside(facts: Facts, panel: str, seen: Mapping[str, Sequence[Level]]) -> list[Level]:
    """The levels of the panels that a panel without links has cables to."""
    found: list[Level] = []
    for cable in facts.site.cables.values():
        gear = [end.gear for end in cable.ends]
        if panel in gear:
            other = gear[1 - gear.index(panel)]
            found += [(level, step + 1) for level, step in seen.get(other or "", [])]
    return found
