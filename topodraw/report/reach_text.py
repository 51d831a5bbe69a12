"""Whether two things can talk, hop by hop, for people and for programs."""

from __future__ import annotations

import json
from dataclasses import asdict

from topodraw.compute.facts import Facts
from topodraw.compute.reach import Hop, NotReached, Reached, layer2_path
from topodraw.draw.characters import shown
from topodraw.report.lines import Line, table_lines
from topodraw.source.quantities import speed_text
from topodraw.source.suggest import did_you_mean


class UnknownThingError(Exception):
    """The site has no such thing; the message says what may have been meant."""


def reach_json(facts: Facts, source: str, target: str, vlan: str | None = None) -> str:
    """The answer as JSON. Raises UnknownThingError for a name that the site doesn't have."""
    answer = _asked(facts, source, target, vlan)
    reached = isinstance(answer, Reached)
    document = {"from": source, "to": target, "reached": reached, **asdict(answer)}
    return json.dumps(document, indent=2)


def reach_lines(facts: Facts, source: str, target: str, vlan: str | None = None) -> list[Line]:
    """The answer for people. Raises UnknownThingError for a name that the site doesn't have."""
    answer = _asked(facts, source, target, vlan)
    if isinstance(answer, NotReached):
        lines = [Line(shown(f"No: {source} can't talk to {target} inside one VLAN."), "bold")]
        lines.append(Line(shown(answer.because), indent=2))
        if answer.at:
            lines.append(Line(shown(f"It ends at {', '.join(answer.at)}."), indent=2))
        return lines
    speed = speed_text(answer.speed_bps)
    by = f", at most {speed}bit/s" if speed else ""
    lines = [Line(shown(f"Yes: {source} can talk to {target} in {answer.vlan}{by}."), "bold")]
    if answer.hops:
        rows = [("from port", "to port", "by", "frames", "speed"), *map(_row, answer.hops)]
        lines += table_lines(rows)
    return lines


def _asked(facts: Facts, source: str, target: str, vlan: str | None) -> Reached | NotReached:
    site = facts.site
    known = [*site.gear, *site.stacks, *site.workloads]
    for name in (source, target):
        gear, slash, port = name.partition("/")
        if gear not in known:
            raise UnknownThingError(
                f"there is no gear, stack or workload {gear!r}{did_you_mean(gear, known)}"
            )
        if slash and (gear not in site.gear or port not in site.gear[gear].ports):
            ports = site.gear[gear].ports if gear in site.gear else ()
            raise UnknownThingError(f"{gear} has no port {port!r}{did_you_mean(port, ports)}")
    if vlan is not None and vlan not in site.vlans:
        raise UnknownThingError(f"there is no VLAN {vlan!r}{did_you_mean(vlan, site.vlans)}")
    return layer2_path(facts, source, target, vlan)


def _row(hop: Hop) -> tuple[str, ...]:
    way = " ".join(hop.cables)
    by = f"{hop.aggregate} ({way})" if hop.aggregate else way
    through = f" through {', '.join(hop.through)}" if hop.through else ""
    frames = f"tagged {hop.tag}" if hop.tag else "untagged"
    cells = (hop.leaves, hop.arrives, f"{by}{through}", frames, speed_text(hop.speed_bps) or "unknown")
    return tuple(map(shown, cells))
