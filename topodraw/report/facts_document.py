"""Every derived fact as one document for other programs.

What is unknown is null; what is not computed is absent. Names are sorted, numbers in base SI units or as the
key says, ports written `gear/port` (one lane of a split port `gear/port:lane`).
"""

from __future__ import annotations

from typing import Any

from topodraw.compute.facts import Facts
from topodraw.compute.links import Link
from topodraw.compute.vlans import VlanSpread
from topodraw.compute.zone_reach import ConduitReach, ZoneReach

FORMAT_VERSION = 1


def facts_document(facts: Facts) -> dict[str, Any]:
    """The facts of one site as values that the json module writes; equal sites give equal documents."""
    return {
        "topodraw": FORMAT_VERSION,
        "site": facts.site.info.name,
        "links": [_link(link) for link in facts.links],
        "tree": tree_document(facts),
        "vlans": {name: _vlan(spread) for name, spread in sorted(facts.vlans.items())},
        "reach": _reach(facts.reach),
        "racks": {
            name: {"units": rack.units, "used": rack.used, "mass_kg": rack.mass_kg}
            for name, rack in sorted(facts.racks.items())
        },
    }


def _link(link: Link) -> dict[str, Any]:
    return {
        "ends": list(link.ends),
        "cables": list(link.cables),
        "phy": link.phy,
        "why": link.why,
        "speed_bps": link.speed_bps,
        "length_m": link.length_m,
        "aggregate": link.aggregate,
    }


def tree_document(facts: Facts) -> dict[str, Any]:
    """The spanning tree as its part of the facts document."""
    tree = facts.tree
    return {
        "roots": sorted(tree.roots),
        "bridges": {
            name: {
                "bridge_id": facts.network.bridges[name].bridge_id,
                "root": bridge.root,
                "root_path_cost": bridge.root_path_cost,
                "root_port": bridge.root_port,
            }
            for name, bridge in sorted(tree.bridges.items())
        },
        "ports": [
            {
                "bridge": bridge,
                "port": name,
                "role": port.role,
                "state": port.state,
                "cost": port.cost,
                "edge": port.edge,
            }
            for (bridge, name), port in sorted(tree.ports.items())
        ],
    }


def _vlan(spread: VlanSpread) -> dict[str, Any]:
    return {
        "id": spread.id,
        "segments": sorted(sorted(segment) for segment in spread.segments),
        "missing": [list(link) for link in sorted({missing.link for missing in spread.missing})],
        "missing_detail": [
            {
                "link": list(missing.link),
                "at": sorted(missing.at),
                "when": missing.when,
                "cut_off": sorted(missing.cut_off),
            }
            for missing in sorted(spread.missing, key=lambda one: (one.link, one.when, one.at))
        ],
        "unneeded": [list(link) for link in sorted(spread.unneeded)],
    }


def _reach(reach: ZoneReach) -> dict[str, Any]:
    return {
        "zones": {
            source: {
                target: allowed if isinstance(allowed, str) else list(allowed)
                for target, allowed in sorted(row.items())
            }
            for source, row in sorted(reach.zones.items())
        },
        "conduits": [
            _conduit(one) for one in sorted(reach.conduits, key=lambda one: (one.source, one.target))
        ],
    }


def _conduit(conduit: ConduitReach) -> dict[str, Any]:
    return {
        "from": conduit.source,
        "to": conduit.target,
        "services": list(conduit.services),
        "enforced_by": sorted(conduit.enforced_by),
    }
