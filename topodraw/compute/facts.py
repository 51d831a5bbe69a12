"""Everything derived from a site, each fact computed once and only when asked for."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

from topodraw.compute.chance import LeftToChance, ways_left_to_chance
from topodraw.compute.frames import Frames, UntaggedMismatch, untagged_mismatches
from topodraw.compute.links import Link, find_links
from topodraw.compute.loops import OpenLoop, open_loops
from topodraw.compute.network import Network, bridged_network
from topodraw.compute.outage import Outages
from topodraw.compute.parts import Parts, bridged_parts
from topodraw.compute.promises import Verdict, judge_promises
from topodraw.compute.racks import RackOccupancy, rack_occupancy
from topodraw.compute.spanning_tree import Tree
from topodraw.compute.vlan_members import Membership, membership
from topodraw.compute.vlan_path import VlanPaths
from topodraw.compute.vlans import VlanSpread, vlan_spread
from topodraw.compute.wires import find_wires
from topodraw.compute.zone_reach import ZoneReach, zone_reach
from topodraw.model.site import Site


class Facts:
    """The derived facts of one site; rules and drawings read them and compute nothing themselves."""

    def __init__(self, site: Site) -> None:
        self.site = site

    @cached_property
    def links(self) -> tuple[Link, ...]:
        """Every link, sorted by its ends."""
        return find_links(self.site)

    @cached_property
    def network(self) -> Network:
        """The bridged network with nothing failed."""
        return bridged_network(self.site, self.links)

    @cached_property
    def outages(self) -> Outages:
        """The failure engine: the network with nothing failed, and after any failures."""
        return Outages(self.site, self.network)

    @cached_property
    def tree(self) -> Tree:
        """The spanning tree with nothing failed."""
        return self.outages.normal.tree

    @cached_property
    def left_to_chance(self) -> tuple[LeftToChance, ...]:
        """Where, besides the root, only an unknown MAC decides the way of the tree."""
        return ways_left_to_chance(self.outages.normal)

    @cached_property
    def open_loops(self) -> tuple[OpenLoop, ...]:
        """Loops of bridges that nothing cuts."""
        return open_loops(self.network)

    @cached_property
    def members(self) -> Membership:
        """Who takes part in which VLAN, and where."""
        return membership(self.site, self.network, find_wires(self.network))

    @cached_property
    def frames(self) -> Frames:
        """Where frames go with nothing failed."""
        return Frames(self.site, self.outages.normal, self.members)

    @cached_property
    def bridged_parts(self) -> Parts:
        """What cabling joins, whatever the links carry."""
        return bridged_parts(self.network)

    @cached_property
    def untagged_mismatches(self) -> tuple[UntaggedMismatch, ...]:
        """Bridge ports on one wire that disagree about frames without a tag."""
        return untagged_mismatches(self.network)

    @cached_property
    def vlans(self) -> Mapping[str, VlanSpread]:
        """Each VLAN's spread, by name."""
        return vlan_spread(self.outages, self.members, self.frames)

    @cached_property
    def paths(self) -> VlanPaths:
        """Ways of frames through the network, in any of its states."""
        return VlanPaths(self.network, self.members)

    @cached_property
    def promises(self) -> tuple[Verdict, ...]:
        """What became of each line under `expect:`, in its order."""
        return judge_promises(self)

    @cached_property
    def reach(self) -> ZoneReach:
        """What zones may start towards each other."""
        return zone_reach(self.site, self.links)

    @cached_property
    def racks(self) -> Mapping[str, RackOccupancy]:
        """Each rack's occupancy, by name."""
        return rack_occupancy(self.site)
