"""Rules about the spanning tree: legal numbers, a root by choice, no loop left open."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from topodraw.model.finding import SourcePath
from topodraw.rules.rule import NotJudged, Objection, Outcome, rule
from topodraw.source.suggest import with_and
from topodraw.standards.path_costs import (
    BRIDGE_PRIORITY_MAX,
    BRIDGE_PRIORITY_STEP,
    PATH_COST_MAX_1998,
    PATH_COST_MAX_2004,
    PORT_PRIORITY_MAX,
    PORT_PRIORITY_STEP,
    bridge_priority_is_legal,
    path_cost_is_legal_1998,
    path_cost_is_legal_2004,
    port_priority_is_legal,
)

if TYPE_CHECKING:
    from topodraw.compute.facts import Facts
    from topodraw.model.site import Site

_HARDWARE = """\
hardware:
  bridge-4: {function: switch, ports: {p1..p4: {jack: RJ45, speeds: [1G]}}}
"""
_LINE = """\
cables:
  C1: {ends: [north/p1, south/p1], medium: Cat6A, length: 9m}
"""
_PAIR = """\
cables:
  C1..C2: {ends: [north/p1..p2, south/p1..p2], medium: Cat6A, length: 9m}
"""
_SQUARE = """\
gear:
  north: {{model: bridge-4, bridge: {{priority: 4096}}}}
  east: {{model: bridge-4{east}}}
  west: {{model: bridge-4{west}}}
  south: {{model: bridge-4}}
cables:
  C1: {{ends: [north/p1, east/p1], medium: Cat6A, length: 9m}}
  C2: {{ends: [north/p2, west/p1], medium: Cat6A, length: 9m}}
  C3: {{ends: [south/p1, east/p2], medium: Cat6A, length: 9m}}
  C4: {{ends: [south/p2, west/p2], medium: Cat6A, length: 9m}}
"""
_REFERENCE = "IEEE 802.1D-2004"


def _gear(north: str, south: str = "") -> str:
    lines = [f"  {name}: {{model: bridge-4{rest}}}\n" for name, rest in (("north", north), ("south", south))]
    return "gear:\n" + "".join(lines)


def _port_named(site: Site, gear: str, port: str) -> str:
    """What a key of `port-cost` or `port-priority` means: a port, or an aggregate that ends on the gear."""
    return port if port in site.aggregates and port not in site.gear[gear].ports else f"{gear}/{port}"


def _nearest(number: int, step: int, most: int) -> int:
    return min(max(round(number / step) * step, 0), most)


def _bridge_priorities(site: Site) -> Iterator[tuple[str, int, SourcePath]]:
    for gear in site.gear.values():
        if gear.bridge.priority is not None:
            yield gear.name, gear.bridge.priority, ("gear", gear.name, "bridge", "priority")
        for number, instance in (gear.bridge.mstp.instances if gear.bridge.mstp else {}).items():
            if instance.priority is not None:
                at = ("gear", gear.name, "bridge", "mstp", "instances", str(number), "priority")
                yield gear.name, instance.priority, at
    for stack in site.stacks.values():
        if stack.priority is not None:
            yield stack.name, stack.priority, ("stacks", stack.name, "priority")


@rule(
    name="bridge-priority-not-a-step",
    severity="error",
    question="Is each bridge priority a multiple of 4096 from 0 to 61440?",
    why="Only the top four bits of the priority are free: other numbers are refused or silently rounded, and "
    "then another bridge than you think is root.",
    fix="Use a multiple of 4096, at most 61440.",
    source=BRIDGE_PRIORITY_STEP.source,
    breaks=_HARDWARE + _gear(", bridge: {priority: 5000}") + _LINE,
    keeps=_HARDWARE + _gear(", bridge: {priority: 4096}") + _LINE,
)
def bridge_priority_not_a_step(facts: Facts) -> Iterator[Outcome]:
    for name, priority, at in _bridge_priorities(facts.site):
        if not bridge_priority_is_legal(priority):
            near = _nearest(priority, BRIDGE_PRIORITY_STEP.value, BRIDGE_PRIORITY_MAX.value)
            yield Objection(
                (name,),
                f"{name} has the bridge priority {priority}, which is not a multiple of "
                f"{BRIDGE_PRIORITY_STEP.value} from 0 to {BRIDGE_PRIORITY_MAX.value}.",
                at,
                f"Use a multiple of {BRIDGE_PRIORITY_STEP.value}; the nearest is {near}.",
            )


@rule(
    name="port-priority-not-a-step",
    severity="error",
    question="Is each port priority a multiple of 16 from 0 to 240?",
    why="Only the top four bits of the priority are free: other numbers are refused or silently rounded.",
    fix="Use a multiple of 16, at most 240.",
    source=PORT_PRIORITY_STEP.source,
    breaks=_HARDWARE + _gear(", bridge: {priority: 4096, port-priority: {p1: 100}}") + _LINE,
    keeps=_HARDWARE + _gear(", bridge: {priority: 4096, port-priority: {p1: 96}}") + _LINE,
)
def port_priority_not_a_step(facts: Facts) -> Iterator[Outcome]:
    for gear in facts.site.gear.values():
        for port, priority in gear.bridge.port_priority.items():
            if not port_priority_is_legal(priority):
                near = _nearest(priority, PORT_PRIORITY_STEP.value, PORT_PRIORITY_MAX.value)
                name = _port_named(facts.site, gear.name, port)
                yield Objection(
                    (name,),
                    f"{name} has the port priority {priority}, which is not a multiple of "
                    f"{PORT_PRIORITY_STEP.value} from 0 to {PORT_PRIORITY_MAX.value}.",
                    ("gear", gear.name, "bridge", "port-priority", port),
                    f"Use a multiple of {PORT_PRIORITY_STEP.value}; the nearest is {near}.",
                )


@rule(
    name="path-cost-out-of-range",
    severity="error",
    question="Is each path cost that is stated within the standard's range?",
    why="A cost outside the range can't be set, so the tree is another one than the model says.",
    fix="Use a cost from 1 to 200,000,000 (to 65,535 with `path-costs: 1998`), or leave it out.",
    source=f"{PATH_COST_MAX_2004.source}; {PATH_COST_MAX_1998.source}",
    breaks=_HARDWARE + _gear(", bridge: {priority: 4096, port-cost: {p1: 300000000}}") + _LINE,
    keeps=_HARDWARE + _gear(", bridge: {priority: 4096, port-cost: {p1: 30000}}") + _LINE,
)
def path_cost_out_of_range(facts: Facts) -> Iterator[Outcome]:
    site = facts.site
    short = site.info.path_costs == 1998
    is_legal = path_cost_is_legal_1998 if short else path_cost_is_legal_2004
    most = PATH_COST_MAX_1998.value if short else PATH_COST_MAX_2004.value
    stated: list[tuple[str, int, SourcePath]] = [
        (_port_named(site, gear.name, port), cost, ("gear", gear.name, "bridge", "port-cost", port))
        for gear in site.gear.values()
        for port, cost in gear.bridge.port_cost.items()
    ]
    stated += [
        (group.name, group.cost, ("aggregates", group.name, "cost"))
        for group in site.aggregates.values()
        if group.cost is not None
    ]
    for name, cost, at in stated:
        # RFC 4318: a stated cost of 0 asks for the cost by speed.
        if cost != 0 and not is_legal(cost):
            yield Objection((name,), f"{name} has the path cost {cost}, which is not from 1 to {most}.", at)


@rule(
    name="root-left-to-chance",
    severity="warning",
    question="Is it decided which bridge is root?",
    why="With equal priorities the lowest MAC address wins, and here it isn't known: the root, "
    "and with it the way all traffic takes, changes when a device is exchanged.",
    fix="Give the bridge that should be root the lowest priority, such as 4096, and the next one 8192.",
    source=f"{_REFERENCE} 17.3.1 (lowest bridge identifier is root; clause from memory)",
    breaks=_HARDWARE + _gear("") + _LINE,
    keeps=_HARDWARE + _gear(", bridge: {priority: 4096}", ", bridge: {priority: 8192}") + _LINE,
)
def root_left_to_chance(facts: Facts) -> Iterator[Outcome]:
    for group in facts.tree.left_to_chance:
        bridges = [facts.network.bridges[name] for name in group]
        priority = min(bridge.priority for bridge in bridges)
        unknown = [bridge.name for bridge in bridges if bridge.mac is None]
        both = "both" if len(group) == 2 else "all"
        yield Objection(
            group,
            f"{with_and(group)} {both} have the lowest priority, {priority}, so the lowest MAC address "
            f"decides which of them is root, and that of {with_and(unknown)} is not stated.",
            _bridge_place(facts.site, group[0]),
        )


def _bridge_place(site: Site, bridge: str) -> SourcePath:
    return ("stacks", bridge) if bridge in site.stacks else ("gear", bridge, "bridge")


@rule(
    name="tree-way-left-to-chance",
    severity="note",
    question="Is it decided which way each bridge takes to the root?",
    why="Of two ways that cost the same the tree takes the one through the bridge of lower identifier: with "
    "equal priorities and unknown MAC addresses nobody can say which, and it changes with the device.",
    fix="Give the bridges different priorities, the ways different path costs, or state the MAC addresses.",
    source=f"{_REFERENCE} 17.6 (priority vectors; clause from memory)",
    breaks=_HARDWARE + _SQUARE.format(east="", west=""),
    keeps=_HARDWARE + _SQUARE.format(east=", bridge: {priority: 8192}", west=""),
)
def tree_way_left_to_chance(facts: Facts) -> Iterator[Outcome]:
    for chance in facts.left_to_chance:
        hangs = [f"the way of {with_and(chance.root_ports)} to the root"] if chance.root_ports else []
        hangs += [f"which of {with_and(chance.discarding)} discards"] if chance.discarding else []
        yield Objection(
            (*chance.bridges, *chance.root_ports),
            f"The lowest MAC address of {with_and(chance.bridges)} decides {with_and(hangs)}, and not all "
            "are stated; the answer here takes the first by name.",
            _bridge_place(facts.site, chance.bridges[0]),
        )


@rule(
    name="loop-without-spanning-tree",
    severity="error",
    question="Does each loop of bridges hold one that runs spanning tree?",
    why="In a loop that nothing cuts, one broadcast goes round for ever and takes the whole network down.",
    fix="Run spanning tree on at least one bridge of the loop, make the links one aggregate, or "
    "take one out.",
    source=f"{_REFERENCE} clause 17 (spanning tree cuts every loop; clause from memory)",
    breaks=_HARDWARE + _gear(", bridge: {protocol: none}", ", bridge: {protocol: none}") + _PAIR,
    keeps=_HARDWARE
    + _gear(", bridge: {protocol: none}", ", bridge: {protocol: rstp, priority: 4096}")
    + _PAIR,
)
def loop_without_spanning_tree(facts: Facts) -> Iterator[Outcome]:
    for loop in facts.open_loops:
        link = facts.network.links[facts.network.joins[loop.join].links[0]]
        through = f" in {loop.vlan}" if loop.vlan else ""
        verb = "is" if len(loop.bridges) == 1 else "are"
        yield Objection(
            (*loop.bridges, *link.ends),
            f"{with_and(loop.bridges)} {verb} joined in a loop{through}, closed by {' - '.join(link.ends)}, "
            "and none of them runs spanning tree.",
            ("cables", link.cables[0]),
        )


@rule(
    name="edge-port-to-bridge",
    severity="warning",
    question="Does no port that is set as an edge port lead to a bridge that runs spanning tree?",
    why="An edge port forwards at once, without waiting for the tree: each time the link comes "
    "up there may be a "
    "loop for a moment, or the port may be shut by its guard.",
    fix="Take `edge: true` away from the port.",
    source=f"{_REFERENCE} 17.3 (edge ports; clause from memory)",
    breaks=_HARDWARE + _gear(", bridge: {priority: 4096}, ports: {p1: {edge: true}}") + _LINE,
    keeps=_HARDWARE + _gear(", bridge: {priority: 4096}, ports: {p2: {edge: true}}") + _LINE,
)
def edge_port_to_bridge(facts: Facts) -> Iterator[Outcome]:
    network = facts.network
    for join in network.joins:
        if not join.between_bridges:
            continue
        for far, reference in zip(join.ends[::-1], join.physical, strict=True):
            gear, _, name = reference.partition("/")
            port = facts.site.gear[gear].ports.get(name)
            if port is not None and port.edge and network.bridges[far.owner].runs_spanning_tree:
                yield Objection(
                    (port.reference, far.owner),
                    f"{port.reference} is set as an edge port and leads to the bridge {far.owner}.",
                    ("gear", gear, "ports", name, "edge"),
                )


@rule(
    name="mstp-region-mismatch",
    severity="error",
    question="Do neighbours that name the same MSTP region agree on its revision and its instances?",
    why="Bridges that disagree are in different regions: the instances end there, and traffic "
    "takes other ways.",
    fix="Give both the same revision and the same VLANs in each instance.",
    source="IEEE 802.1Q 13.8 (MST configuration identification; clause from memory)",
    breaks=_HARDWARE
    + _gear(
        ", bridge: {priority: 4096, protocol: mstp, mstp: {region: field, revision: 1, instances: {}}}",
        ", bridge: {protocol: mstp, mstp: {region: field, revision: 2, instances: {}}}",
    )
    + _LINE,
    keeps=_HARDWARE
    + _gear(
        ", bridge: {priority: 4096, protocol: mstp, mstp: {region: field, revision: 1, instances: {}}}",
        ", bridge: {protocol: mstp, mstp: {region: field, revision: 1, instances: {}}}",
    )
    + _LINE,
)
def mstp_region_mismatch(facts: Facts) -> Iterator[Outcome]:
    yield from _instances_not_followed(facts)
    told: set[tuple[str, ...]] = set()
    for join in facts.network.joins:
        if not join.between_bridges:
            continue
        pair = tuple(sorted({end.owner for end in join.ends}))
        gear = [facts.site.gear[facts.network.bridges[name].members[0]] for name in pair]
        regions = [one.bridge.mstp for one in gear if one.bridge.protocol == "mstp" and one.bridge.mstp]
        if len(regions) < 2 or pair in told or regions[0].region != regions[1].region:
            continue
        told.add(pair)
        members = [
            {number: frozenset(instance.vlans) for number, instance in region.instances.items()}
            for region in regions
        ]
        if regions[0].revision != regions[1].revision or members[0] != members[1]:
            what = "revision" if regions[0].revision != regions[1].revision else "instances"
            yield Objection(
                pair,
                f"{pair[0]} and {pair[1]} both name the MSTP region {regions[0].region} and "
                f"disagree on its {what}.",
                ("gear", gear[1].name, "bridge", "mstp", what),
                None if what == "revision" else "Put the same VLANs into each instance on both.",
            )


def _instances_not_followed(facts: Facts) -> Iterator[Outcome]:
    """Silence must not be mistaken for fine: VLANs of an instance are followed on the common tree."""
    users: dict[tuple[str, ...], dict[str, None]] = {}
    for bridge in facts.network.bridges.values():
        settings = facts.site.gear[bridge.members[0]].bridge
        for instance in settings.mstp.instances.values() if settings.mstp else ():
            if settings.protocol == "mstp" and instance.vlans:
                users.setdefault(tuple(sorted(instance.vlans)), {})[bridge.name] = None
    for vlans, bridges in users.items():
        if len(bridges) > 1:
            yield NotJudged((*vlans, *bridges), "the tree of their own MSTP instance; the common one is used")
