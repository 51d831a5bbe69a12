"""Who hears whom, and which link needs which VLAN, against a judge that floods and tries every failure.

The judge shares no code with the tool: it reads the drawn network, and of the tool only which ports forward
(held against the kernel and networkx elsewhere), for a network rebuilt without what failed.
"""

from dataclasses import dataclass
from itertools import combinations, pairwise
from random import Random

import networkx
import pytest

from tests.compute.random_vlans import VLANS, build, draw_vlan_network
from topodraw.compute.frames import Frames
from topodraw.compute.outage import Outages
from topodraw.compute.vlan_members import membership
from topodraw.compute.vlans import vlan_spread
from topodraw.compute.wires import find_wires


@dataclass
class Moment:
    """What the judge knows of one state: which cables and bridges live, and which bridge ports forward."""

    drawn: object
    cables: list
    bridges: set
    forwarding: set

    def __post_init__(self):
        self.peer = {}
        for cable in self.cables:
            self.peer[cable.ends[0]], self.peer[cable.ends[1]] = cable.ends[1], cable.ends[0]

    def ports_of(self, bridge):
        return [port for port in self.peer if port.split("/")[0] == bridge]


def moment(drawn, dead_cables=(), dead_bridge=None):
    """The state after a failure: idle standby cables count as dead for frames."""
    cables = [
        cable
        for cable in drawn.cables
        if cable.name not in dead_cables and dead_bridge not in {end.split("/")[0] for end in cable.ends}
    ]
    lost = {cable.name for cable in drawn.cables} - {cable.name for cable in cables}
    builder = build(drawn)
    builder.links = [
        link.__class__(
            **{**{f: getattr(link, f) for f in link.__slots__}, "carries": not set(link.cables) & lost}
        )
        for link in builder.links
    ]
    network, tree = builder.network(), builder.tree()
    forwarding = set()
    for key, port in network.ports.items():
        if key not in tree.ports or tree.ports[key].state == "forwarding":
            forwarding.update(port.members)
    for name, mode in drawn.pairs.values():
        if mode == "active-standby":
            living = [cable for cable in cables if cable.group == name]
            cables = [cable for cable in cables if cable not in living[1:]]
    return Moment(drawn, cables, set(drawn.bridges) - {dead_bridge}, forwarding)


def tags_at(drawn, port):
    """VLAN to tag (None: untagged) as stated at a port."""
    setting = drawn.settings.get(port)
    if setting is None:
        return {}
    tagged = [v for v in VLANS if v != setting.untagged] if setting.tagged == "all" else setting.tagged
    tags = {vlan: vlan for vlan in tagged}
    if setting.untagged:
        tags[setting.untagged] = None
    return tags


def givers_of(drawn, port):
    """The ports that give a station's port its VLANs: the far end, or those beyond unmanaged bridges."""
    peers = {}
    for cable in drawn.cables:
        peers[cable.ends[0]], peers[cable.ends[1]] = cable.ends[1], cable.ends[0]
    seen, waiting, givers = set(), [peers[port]], []
    while waiting:
        at = waiting.pop()
        owner = at.split("/")[0]
        if at in seen or at == port:
            continue
        seen.add(at)
        if drawn.bridges.get(owner) == "unmanaged":
            for other, far in peers.items():
                if other.split("/")[0] == owner:
                    seen.add(other)
                    waiting.append(far)
        elif owner in drawn.bridges:
            givers.append(at)
    return givers


def station_tags(drawn, port):
    """How a station's port takes its VLANs; a pair takes what either of its bridge ports gives."""
    name = port.split("/")[0]
    if port in drawn.settings:
        return tags_at(drawn, port)
    ports = [f"{name}/e1", f"{name}/e2"] if name in drawn.pairs else [port]
    tags = {}
    for one in ports:
        for giver in givers_of(drawn, one):
            for vlan, tag in tags_at(drawn, giver).items():
                if tags.get(vlan, vlan) is not None:
                    tags[vlan] = tag
    return tags


def flood(now, port, tag):
    """Send one frame out of a station's port: where it is heard, and the (bridge, VLAN) it crosses."""
    heard, crossed, seen, on_the_wire = {(port, tag)}, set(), set(), [(port, tag)]
    while on_the_wire:
        sender, tag = on_the_wire.pop()
        arrival = now.peer.get(sender)
        if arrival is None or (sender, tag) in seen:
            continue
        seen.add((sender, tag))
        owner = arrival.split("/")[0]
        kind = now.drawn.bridges.get(owner)
        if kind is None:
            heard.add((arrival, tag))
            continue
        if kind == "unmanaged":
            on_the_wire += [(out, tag) for out in now.ports_of(owner) if out != arrival]
            continue
        label = next((v for v, t in tags_at(now.drawn, arrival).items() if t == tag), None)
        if label is None or arrival not in now.forwarding:
            continue
        crossed.add((owner, label))
        for out in now.ports_of(owner):
            tags = tags_at(now.drawn, out)
            if out != arrival and out in now.forwarding and label in tags:
                on_the_wire.append((out, tags[label]))
    return heard, crossed


def segments_by_flooding(now):
    """Per VLAN the groups of station ports that hear each other."""
    ports = [port for port in now.peer if port.split("/")[0] in now.drawn.stations]
    segments = {vlan: set() for vlan in VLANS}
    for port in ports:
        for vlan, tag in station_tags(now.drawn, port).items():
            heard, crossed = flood(now, port, tag)
            hearers = {p for p, t in heard if t in station_tags(now.drawn, p).values()}
            vlans = {v for _, v in crossed} | {vlan}
            vlans |= {v for p, t in heard for v, own in station_tags(now.drawn, p).items() if own == t}
            for one in vlans:
                segments[one].add(tuple(sorted(hearers)))
    return {vlan: sorted(groups) for vlan, groups in segments.items()}


def tool(drawn):
    builder = build(drawn)
    site, network = builder.site(), builder.network()
    outages = Outages(site, network)
    members = membership(site, network, find_wires(network))
    frames = Frames(site, outages.normal, members)
    return vlan_spread(outages, members, frames)


@pytest.mark.parametrize("block", range(20))
def test_who_hears_whom_on_a_thousand_networks(block):
    """20 blocks of 60 networks, untagged mismatches among them."""
    for seed in range(60 * block, 60 * block + 60):
        drawn = draw_vlan_network(Random(seed), tidy=False)
        spread = tool(drawn)
        expected = segments_by_flooding(moment(drawn))
        for vlan in VLANS:
            assert list(spread[vlan].segments) == expected[vlan], (seed, vlan)


def carries(drawn, port, vlan):
    """Whether an end of a link lets a VLAN through; who reads no tags does, and unstated stations do."""
    owner = port.split("/")[0]
    if drawn.bridges.get(owner) == "unmanaged" or (owner in drawn.stations and port not in drawn.settings):
        return True
    return vlan in tags_at(drawn, port)


def members_of(drawn, vlan):
    """Places where somebody is a member: bridges, and station ports (for a pair the live ones count)."""
    places = {bridge: {bridge} for bridge, vlans in drawn.bridge_addresses.items() if vlan in vlans}
    for name, addresses in drawn.stations.items():
        ports = [f"{name}/e1", f"{name}/e2"] if name in drawn.pairs else [f"{name}/e1"]
        sources = [port for port in ports if port in drawn.settings]
        sources = sources or [giver for port in ports for giver in givers_of(drawn, port)]
        named = {v for s in sources for v, tag in tags_at(drawn, s).items() if tag is None}
        if not addresses:
            named |= {v for s in sources if drawn.settings[s].tagged != "all" for v in tags_at(drawn, s)}
        if vlan in {*addresses, *named}:
            places.update({port: {name} for port in ports})
    return places


def links_of(drawn):
    """The links as bridges see them: one for each aggregate between bridges, else one for each cable."""
    links = {}
    for cable in drawn.cables:
        name = cable.group if cable.group in drawn.aggregates else cable.name
        links.setdefault(name, []).append(cable)
    return links


def active_graph(now):
    """Bridges and station ports, joined by the links over which frames pass."""
    graph = networkx.Graph()
    graph.add_nodes_from(now.bridges)
    living = {cable.name for cable in now.cables}
    for name, cables in links_of(now.drawn).items():
        alive = [cable for cable in cables if cable.name in living]
        ends = [end for cable in alive[:1] for end in cable.ends]
        bridge_ends = [end for end in ends if end.split("/")[0] in now.drawn.bridges]
        if ends and all(end in now.forwarding for end in bridge_ends):
            graph.add_edge(*(end.split("/")[0] if end in bridge_ends else end for end in ends), link=name)
    return graph


def needed_at(now):
    """Per link the VLANs of which two members' frames cross it."""
    graph = active_graph(now)
    needed = {}
    for vlan in VLANS:
        places = [place for place in members_of(now.drawn, vlan) if place in graph]
        for one, other in combinations(places, 2):
            if networkx.has_path(graph, one, other):
                path = networkx.shortest_path(graph, one, other)
                for step in pairwise(path):
                    needed.setdefault(graph.edges[step]["link"], set()).add(vlan)
    return needed


def failures_of(drawn):
    """Every single failure by the name the tool gives it: (name, dead cables, dead bridge)."""
    for name, cables in links_of(drawn).items():
        kind = "aggregate" if len(cables) > 1 else "cable"
        yield f"{kind} {name}", {cable.name for cable in cables}, None
    for bridge in drawn.bridges:
        yield f"gear {bridge}", set(), bridge
    for run in {cable.run for cable in drawn.cables if cable.run}:
        yield f"run {run}", {cable.name for cable in drawn.cables if cable.run == run}, None


def lost_sides(drawn, now, link, vlan):
    """The names of the members on each side of a link."""
    graph = active_graph(now)
    ends = next((one, other) for one, other, name in graph.edges(data="link") if name == link)
    graph.remove_edge(*ends)
    places = members_of(drawn, vlan)
    sides = [networkx.node_connected_component(graph, end) for end in ends]
    return [sorted(set().union(*(places[p] for p in places if p in side))) for side in sides]


def check_need(drawn, seed):
    spread = tool(drawn)
    links = links_of(drawn)
    shown = {name: min(tuple(sorted(c.ends)) for c in cables) for name, cables in links.items()}
    normal = moment(drawn)
    now_needed = needed_at(normal)
    states = {name: moment(drawn, cables, bridge) for name, cables, bridge in failures_of(drawn)}
    needs = {name: needed_at(state) for name, state in states.items()}
    for vlan in VLANS:
        missing, unneeded = {}, []
        for name, ends in shown.items():
            lacking = tuple(sorted(end for end in ends if not carries(drawn, end, vlan)))
            active = vlan in now_needed.get(name, ())
            ever = active or any(vlan in need.get(name, ()) for need in needs.values())
            if ever and lacking:
                missing[ends] = (name, lacking, "active" if active else "standby")
            if not ever and not lacking and is_a_choice(drawn, ends, vlan):
                unneeded.append(ends)
        found = spread[vlan]
        assert {m.link: (m.at, m.when) for m in found.missing} == {
            ends: (lacking, when) for ends, (_, lacking, when) in missing.items()
        }, (seed, vlan)
        assert list(found.unneeded) == sorted(unneeded), (seed, vlan)
        for one in found.missing:
            name = missing[one.link][0]
            state = normal if one.after is None else states[one.after]
            assert one.after is None or vlan in needs[one.after][name]
            sides = lost_sides(drawn, state, name, vlan)
            assert list(one.cut_off) in sides
            assert len(one.cut_off) == min(map(len, sides))


def is_a_choice(drawn, ends, vlan):
    """Not so where tags aren't read, nor for the untagged VLAN of a bridge's port to a station."""
    owners = [end.split("/")[0] for end in ends]
    if any(drawn.bridges.get(owner) == "unmanaged" for owner in owners):
        return False
    faces_station = any(owner in drawn.stations for owner in owners)
    bridge_ends = [end for end, owner in zip(ends, owners, strict=True) if owner in drawn.bridges]
    return not (faces_station and any(drawn.settings[end].untagged == vlan for end in bridge_ends))


@pytest.mark.parametrize("block", range(15))
def test_what_every_link_needs_on_three_hundred_networks(block):
    """15 blocks of 20 networks, each with nothing failed and after every failure of a link, bridge or run."""
    for seed in range(20 * block, 20 * block + 20):
        check_need(draw_vlan_network(Random(seed), tidy=bool(seed % 2)), seed)


def test_the_networks_are_hard_enough():
    """Enough of each kind of answer comes up."""
    spreads = [
        s for seed in range(100) for s in tool(draw_vlan_network(Random(seed), tidy=bool(seed % 2))).values()
    ]
    missing = [m for spread in spreads for m in spread.missing]

    assert sum(m.when == "active" for m in missing) >= 100
    assert sum(m.when == "standby" for m in missing) >= 50
    assert sum(len(spread.unneeded) for spread in spreads) >= 100
    assert {m.after.split()[0] for m in missing if m.after} == {"cable", "aggregate", "gear", "run"}
