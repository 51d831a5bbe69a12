"""Wires: what frames pass through unchanged between ports that read tags.

A wire is a join, or several with the bridges between them that pass every frame on with the tag it has
(`managed: false`, converters, injectors).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from topodraw.compute.network import BridgePort, JoinEnd, Network, StationPort


@dataclass(frozen=True, slots=True)
class Given:
    """What the bridge ports on a wire give: VLANs untagged, tagged by name, or all the rest."""

    untagged: tuple[str, ...]
    tagged: tuple[str, ...]
    all_tagged: bool
    by_anyone: bool
    """Whether anything on the wire has a say at all."""


@dataclass(frozen=True, slots=True)
class Wires:
    """The wire of each join, and the ends at each wire that read tags (bridge ports and station ports)."""

    wire_of: dict[int, int]
    ends: dict[int, list[JoinEnd]]
    """By wire, in the order of its joins."""


def reads_tags(network: Network, end: JoinEnd) -> bool:
    """Whether the owner of a join's end looks at tags; only an unmanaged bridge doesn't."""
    return end.kind != "bridge" or network.bridges[end.owner].reads_tags


def find_wires(network: Network, joins: Iterable[int] | None = None) -> Wires:
    """The wires that some joins make (default: all joins), each named by its lowest join."""
    first_at: dict[str, int] = {}
    parent: dict[int, int] = {}

    def find(join: int) -> int:
        while parent.setdefault(join, join) != join:
            parent[join] = parent[parent[join]]
            join = parent[join]
        return join

    listed = list(range(len(network.joins)) if joins is None else joins)
    for join in listed:
        for end in network.joins[join].ends:
            if not reads_tags(network, end):
                one, other = find(join), find(first_at.setdefault(end.owner, join))
                parent[max(one, other)] = min(one, other)
    wires = Wires({}, {})
    for join in listed:
        wire = wires.wire_of[join] = find(join)
        at = wires.ends.setdefault(wire, [])
        at.extend(end for end in network.joins[join].ends if reads_tags(network, end))
    return wires


def given_to(network: Network, wires: Wires, port: StationPort) -> Given:
    """What a station's port is given by the bridge ports on its wires; without any, by other stations."""
    untagged: dict[str, None] = {}
    tagged: dict[str, None] = {}
    all_tagged = by_anyone = False
    for join in port.joins:
        ends = [end for end in wires.ends[wires.wire_of[join]] if end.key != (port.station, port.name)]
        givers: list[BridgePort | StationPort] = [network.ports[e.key] for e in ends if e.kind == "bridge"]
        if not givers:
            givers = [network.station_ports[e.key] for e in ends if e.kind == "station"]
            givers = [giver for giver in givers if giver.stated]
        by_anyone = by_anyone or bool(givers)
        for giver in givers:
            if giver.untagged is not None:
                untagged[giver.untagged] = None
            if giver.tagged == "all":
                all_tagged = True
            else:
                tagged.update(dict.fromkeys(giver.tagged))
    return Given(tuple(untagged), tuple(tagged), all_tagged, by_anyone)
