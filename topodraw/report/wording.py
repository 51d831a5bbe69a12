"""How values are put into words for people: lengths, VLANs of a port."""

from __future__ import annotations

from topodraw.model.gear import Gear, Port, VlanStatement


def length_text(length_m: float | None) -> str:
    """A length with its unit; empty where it is unknown."""
    return "" if length_m is None else f"{length_m:g} m"


def vlan_text(statement: VlanStatement | None) -> str:
    """What a port does with VLANs, `science untagged; watch tagged`; empty where nothing is stated."""
    if statement is None:
        return ""
    parts = []
    if statement.untagged is not None:
        parts.append(f"{statement.untagged} untagged")
    if statement.tagged == "all":
        parts.append("all others tagged" if parts else "all tagged")
    elif statement.tagged:
        parts.append(f"{', '.join(statement.tagged)} tagged")
    return "; ".join(parts)


def port_kind(port: Port) -> str:
    """The connector of a port and what is plugged into its cage: `SFP+ 10GBASE-LR`."""
    return " ".join(part for part in (port.hardware.jack or port.hardware.cage, port.module) if part)


def where_text(gear: Gear) -> str:
    """Where gear stands: `A/U38`, `A/U38 rear`, a place, or in which chassis; empty where nobody says."""
    if gear.position is not None:
        rear = " rear" if gear.position.mounted == "rear" else ""
        return f"{gear.position.rack}/U{gear.position.unit}{rear}"
    if gear.node_of is not None:
        return f"in {gear.node_of}"
    return gear.place or ""
