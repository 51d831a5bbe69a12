"""The failure engine: the bridged network after any set of things has failed.

What fails takes links away, and perhaps whole gear; everything else follows from the spanning tree held again
over what is left. Rules, promises, sheets and commands all ask this module; none has an engine of its own.

* A *cable* takes the link that runs through it; a *run* takes all cables that lie within it.
* A *gear* takes every link that ends at it or passes through it, and the nodes inside it. Losing one member
  of a stack takes that member's ports; the rest of the stack goes on as the same bridge.
* An aggregate that loses a member keeps the path cost of its configured members; one that loses all is down.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Set
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from topodraw.compute.election import TreeIndex, TreeState, children_of, elect, elect_again
from topodraw.compute.network import JoinEnd, Network
from topodraw.compute.spanning_tree import Tree, joins_in_use, tree_of
from topodraw.model.site import Site

FailureKind = Literal["link", "aggregate", "cable", "gear", "bridge", "run"]
FailureClass = Literal["link", "cable", "gear", "bridge", "run"]


@dataclass(frozen=True, slots=True)
class Failure:
    """One thing that fails. A link is named by one of its ends, `gear/port`; a bridge may be a stack."""

    kind: FailureKind
    name: str

    def __str__(self) -> str:
        return f"{self.kind} {self.name}"


@dataclass(frozen=True, slots=True)
class Loss:
    """What is gone: indices of links and of joins, gear, and bridges of which no member is left."""

    links: frozenset[int]
    joins: frozenset[int]
    gear: frozenset[str]
    bridges: frozenset[str]


class NetworkState:
    """The bridged network at one moment: what is lost, and the spanning tree over the rest."""

    def __init__(
        self,
        index: TreeIndex,
        tree_state: TreeState,
        loss: Loss,
        idle: Set[int],
        changed_ports: tuple[int, ...],
        normal: NetworkState | None = None,
    ) -> None:
        self.network = index.network
        self.loss = loss
        self.changed_ports = changed_ports
        """Numbers of the bridge ports whose role may differ from that with nothing failed."""
        self.index = index
        self.tree_state = tree_state
        self._idle = idle
        self._normal = normal

    @cached_property
    def active(self) -> bytearray:
        """For each join, whether frames cross it: it is up and both its ends forward."""
        if self._normal is None:
            return bytearray(self._finds_active(join) for join in range(len(self.network.joins)))
        active = self._normal.active.copy()
        changed = {join for port in self.changed_ports for join in self.index.ports[port].joins}
        for join in changed | self.loss.joins | (self._idle ^ self._normal._idle):
            active[join] = self._finds_active(join)
        return active

    def _finds_active(self, join: int) -> bool:
        first, second = self.network.joins[join].ends
        return self.is_up(join) and self.forwards(first) and self.forwards(second)

    @cached_property
    def tree(self) -> Tree:
        """The spanning tree by name."""
        return tree_of(self.index, self.tree_state)

    def is_up(self, join: int) -> bool:
        """Whether a join is alive, and not idle behind a better member of an active-standby port."""
        return join not in self.loss.joins and join not in self._idle

    def forwards(self, end: JoinEnd) -> bool:
        """Whether frames pass the port at one end of a join that is up."""
        if end.kind != "bridge":
            return True
        number = self.index.port_number.get(end.key)
        return number is None or self.tree_state.forwards(self.index, number)

    def is_active(self, join: int) -> bool:
        """Whether frames cross a join: it is up and both its ends forward."""
        return bool(self.active[join])

    def speed_bps(self, join: int) -> int | None:
        """Speed of a join in bit/s: the sum of its live links; None where one is unknown."""
        links = [i for i in self.network.joins[join].links if i not in self.loss.links]
        speeds = [self.network.links[i].speed_bps for i in links]
        return None if None in speeds else sum(speed for speed in speeds if speed is not None)


class Outages:
    """All states of one network: `normal` with nothing failed, and `after` any failures."""

    def __init__(self, site: Site, network: Network) -> None:
        self.site = site
        self.network = network
        self.index = TreeIndex(network)
        self._idle_normally = self._idle(frozenset())
        tree_state = elect(self.index, joins_in_use(network))
        nothing = Loss(frozenset(), frozenset(), frozenset(), frozenset())
        self.normal = NetworkState(self.index, tree_state, nothing, self._idle_normally, ())
        self._children = children_of(self.index, tree_state)
        self._fragile = {
            join for port in network.ports.values() if port.one_join_at_a_time for join in port.joins
        }

    def after(self, *failures: Failure) -> NetworkState:
        """The network after all of `failures`. Raises ValueError for a name that the site doesn't have."""
        loss = self.lost(failures)
        if self._fragile.isdisjoint(loss.joins):
            idle = self._idle(loss.joins) if self._has_standby_station(loss.joins) else self._idle_normally
            dead_bridges = {n for b in loss.bridges if (n := self.index.bridge_number.get(b)) is not None}
            state, changed = elect_again(
                self.index, self.normal.tree_state, self._children, set(loss.joins), dead_bridges
            )
            return NetworkState(self.index, state, loss, idle, tuple(changed), self.normal)
        living = joins_in_use(self.network, loss.joins)
        dead = {n for b in loss.bridges if (n := self.index.bridge_number.get(b)) is not None}
        state = elect(self.index, living, dead)
        every_port = tuple(range(len(self.index.ports)))
        return NetworkState(self.index, state, loss, self._idle(loss.joins), every_port)

    def lost(self, failures: Iterable[Failure]) -> Loss:
        """What a set of failures takes away."""
        links: set[int] = set()
        gear: set[str] = set()
        for failure in failures:
            links.update(self._links_of(failure))
            if failure.kind in ("gear", "bridge"):
                gear.update(self._gear_of(failure.name))
        touched = {self.network.join_of_link[i] for i in links if i in self.network.join_of_link}
        joins = frozenset(j for j in touched if links.issuperset(self.network.joins[j].links))
        bridges = frozenset(
            bridge
            for bridge in {self.network.bridge_of[name] for name in gear if name in self.network.bridge_of}
            if gear.issuperset(self.network.bridges[bridge].members)
        )
        return Loss(frozenset(links), joins, frozenset(gear), bridges)

    def _links_of(self, failure: Failure) -> Iterable[int]:
        if failure.kind in ("gear", "bridge"):
            return {i for name in self._gear_of(failure.name) for i in self._links_of_gear.get(name, ())}
        tables: Mapping[str, Mapping[str, list[int]]] = {
            "cable": self._links_of_cable,
            "run": self._links_of_run,
            "link": self._links_of_port,
            "aggregate": self._links_of_aggregate,
        }
        known = self.site.cables if failure.kind == "cable" else self.site.runs
        if failure.name not in tables[failure.kind] and failure.name not in known:
            raise ValueError(f"the site has no {failure}")
        return tables[failure.kind].get(failure.name, ())

    def _gear_of(self, name: str) -> list[str]:
        """The gear that fails with a gear, bridge or stack of this name: itself, members, nodes inside."""
        stack = self.site.stacks.get(name)
        if name not in self.site.gear and stack is None:
            raise ValueError(f"the site has no gear or stack {name}")
        gear = [name] if name in self.site.gear else list(stack.members if stack else ())
        return gear + [node for item in gear for node in self._nodes_of.get(item, ())]

    @cached_property
    def _nodes_of(self) -> dict[str, list[str]]:
        nodes: dict[str, list[str]] = {}
        for item in self.site.gear.values():
            if item.node_of is not None:
                nodes.setdefault(item.node_of, []).append(item.name)
        return nodes

    @cached_property
    def _links_of_gear(self) -> dict[str, list[int]]:
        return _table(
            (text.partition("/")[0], i)
            for i, link in enumerate(self.network.links)
            for text in (*(end for end in link.ends if "/" in end), *link.through)
        )

    @cached_property
    def _links_of_cable(self) -> dict[str, list[int]]:
        return _table((cable, i) for i, link in enumerate(self.network.links) for cable in link.cables)

    @cached_property
    def _links_of_run(self) -> dict[str, list[int]]:
        return _table(
            (run, i)
            for i, link in enumerate(self.network.links)
            for cable in link.cables
            for run in self.site.cables[cable].within
        )

    @cached_property
    def _links_of_port(self) -> dict[str, list[int]]:
        return _table((end, i) for i, link in enumerate(self.network.links) for end in link.ends)

    @cached_property
    def _links_of_aggregate(self) -> dict[str, list[int]]:
        return _table((link.aggregate, i) for i, link in enumerate(self.network.links) if link.aggregate)

    def _has_standby_station(self, joins: Set[int]) -> bool:
        ports = (self.network.station_ports.get(end.key) for j in joins for end in self.network.joins[j].ends)
        return any(port is not None and port.one_join_at_a_time for port in ports)

    def _idle(self, dead: Set[int]) -> frozenset[int]:
        """Joins behind a better one of a port that uses one at a time."""
        idle: set[int] = set()
        for table in (self.network.ports, self.network.station_ports):
            for port in table.values():
                if port.one_join_at_a_time:
                    idle.update([join for join in port.joins if join not in dead][1:])
        return frozenset(idle)


def single_failures(site: Site, network: Network, kind: FailureClass) -> Iterator[Failure]:
    """Every single failure of one kind that takes a link of the network away, in a fixed order.

    `link` counts an aggregate as one link, as spanning tree does, and names a link of one cable by its cable;
    `gear` is any gear at which a link ends or through which it passes; `bridge` is any bridge or stack.
    """
    if kind == "bridge":
        for bridge in network.bridges.values():
            yield Failure("gear" if bridge.name in site.gear else "bridge", bridge.name)
    elif kind == "run":
        used = {run for link in network.links for c in link.cables for run in site.cables[c].within}
        yield from (Failure("run", name) for name in site.runs if name in used)
    elif kind == "cable":
        laid = {cable for link in network.links for cable in link.cables}
        yield from (Failure("cable", name) for name in site.cables if name in laid)
    elif kind == "gear":
        texts = (text for link in network.links for text in (*link.ends, *link.through))
        touched = {text.partition("/")[0] for text in texts}
        yield from (Failure("gear", name) for name in site.gear if name in touched)
    else:
        yield from (link_failure(network, join) for join in range(len(network.joins)))


def link_failure(network: Network, join: int) -> Failure:
    """The failure that takes one join away: of its cable, its link or its aggregate."""
    links = network.joins[join].links
    first = network.links[links[0]]
    if len(links) > 1 and first.aggregate:
        return Failure("aggregate", first.aggregate)
    if len(first.cables) == 1:
        return Failure("cable", first.cables[0])
    return Failure("link", first.ends[0] if "/" in first.ends[0] else first.ends[1])


def _table(pairs: Iterable[tuple[str, int]]) -> dict[str, list[int]]:
    table: dict[str, list[int]] = {}
    for name, index in pairs:
        known = table.setdefault(name, [])
        if not known or known[-1] != index:
            known.append(index)
    return table
