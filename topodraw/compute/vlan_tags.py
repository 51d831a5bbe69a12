"""How each port carries each VLAN: with its tag, or without any (tag None)."""

from __future__ import annotations

from collections.abc import Mapping

from topodraw.compute.network import BridgePort, Network, StationPort
from topodraw.compute.vlan_members import Membership
from topodraw.compute.wires import Wires, given_to

Tags = Mapping[str, str | None]
"""VLAN to the tag that its frames carry at a port."""


def stated_tags(network: Network, port: BridgePort | StationPort) -> dict[str, str | None]:
    """What a port's own statement says; `all` is every VLAN of the site but the untagged one."""
    tags: dict[str, str | None] = {vlan: vlan for vlan in network.tagged_vlans(port)}
    if port.untagged is not None:
        tags[port.untagged] = None
    return tags


def station_tags(network: Network, wires: Wires, members: Membership, port: StationPort) -> Tags:
    """What a station's port takes: as stated, else as the bridge port on its wire gives it.

    `wires` are those of all joins. With nobody on the wire who says anything (an unmanaged switch on its
    own), frames have no tag, and the VLANs are those of the station's addresses.
    """
    if port.stated:
        return stated_tags(network, port)
    given = given_to(network, wires, port)
    tags: dict[str, str | None] = {}
    for vlan in network.vlan_names if given.all_tagged else given.tagged:
        tags[vlan] = vlan
    for vlan in given.untagged:
        tags[vlan] = None
    if not given.by_anyone:
        for vlan in members.at_port.get((port.station, port.name), ()):
            tags[vlan] = None
    return tags
