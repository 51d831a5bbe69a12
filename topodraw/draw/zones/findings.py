"""Which findings stand on a zones sheet, and at what."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from topodraw.draw.finding_marks import numbered
from topodraw.draw.zones.boxes import Numbered
from topodraw.model.finding import Finding, SourcePath, Unchecked
from topodraw.model.site import Site

_SECTIONS = ("zones", "vlans", "conduits", "workloads", "remotes", "clusters", "pools", "copies", "expect")
_GEAR_KEYS = ("addresses", "routes", "ssids", "wireless")


def is_logical(at: SourcePath) -> bool:
    """Whether the text to change is about zones, addresses, hosting or promises."""
    section, key = at[0] if at else "", at[2] if len(at) > 2 else None
    return section in _SECTIONS or (section == "gear" and key in _GEAR_KEYS)


def about_zones(findings: Iterable[Finding]) -> list[Finding]:
    """The findings that stand on the zones sheets."""
    return [finding for finding in findings if is_logical(finding.at)]


def unchecked_about_zones(unchecked: Iterable[Unchecked], site: Site) -> list[Unchecked]:
    """What could not be judged of zones, VLANs, workloads, remotes and promises."""
    names = {*site.zones, *site.vlans, *site.workloads, *site.remotes, *site.clusters, *site.pools}
    flows = {str(conduit.flow) for conduit in site.conduits}
    promises = {promise.text for promise in site.expect}
    return [
        each
        for each in unchecked
        if "promise" in each.rule or any(thing in names | flows | promises for thing in each.on)
    ]


class FindingSpots:
    """Numbered findings, each given to the thing it is about; what nothing took is left for the margin."""

    def __init__(self, findings: Sequence[Finding], site: Site) -> None:
        self._numbered = numbered(findings)
        self._site = site
        self._taken: set[int] = set()

    def take(self, kind: str, name: str) -> tuple[Numbered, ...]:
        """The findings about a thing: gear, workload, vlan, zone, remote, conduit (its number) or promise
        (its
        number)."""
        found = tuple(
            (number, finding) for number, finding in self._numbered if (kind, name) in self.subjects(finding)
        )
        self._taken.update(number for number, _ in found)
        return found

    def left_over(self) -> tuple[Numbered, ...]:
        """The findings that nothing drawn so far has taken."""
        return tuple((number, finding) for number, finding in self._numbered if number not in self._taken)

    def subjects(self, finding: Finding) -> list[tuple[str, str]]:
        site, at = self._site, finding.at
        if at and at[0] == "conduits":
            return [("conduit", str(each.number)) for each in site.conduits if at[: len(each.at)] == each.at]
        if at and at[0] == "expect":
            return [("promise", str(each.number)) for each in site.expect if at[: len(each.at)] == each.at]
        sections = {
            "zones": ("zone", site.zones),
            "vlans": ("vlan", site.vlans),
            "workloads": ("workload", site.workloads),
            "remotes": ("remote", site.remotes),
            "gear": ("gear", site.gear),
        }
        if len(at) > 1 and at[0] in sections and at[1] in sections[at[0]][1]:
            return [(sections[at[0]][0], at[1])]
        on = [thing.split("/", 1)[0] for thing in finding.on]
        return [(kind, name) for kind, known in sections.values() for name in on if name in known]
