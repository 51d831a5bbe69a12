"""Small networks for the tests, built from plain values: who is there, and which port is joined to which."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from topodraw.compute.election import TreeIndex, elect
from topodraw.compute.links import Link
from topodraw.compute.network import Network, bridged_network
from topodraw.compute.spanning_tree import Tree, spanning_tree
from topodraw.model.cabling import Aggregate, Cable, End, Run, Stack
from topodraw.model.gear import BridgeSettings, Gear, Port, VlanStatement
from topodraw.model.hardware import Hardware
from topodraw.model.site import Site, SiteInfo

GIGABIT = 10**9


class Builder:
    """Gather gear and links, then make the site and its bridged network.

    Ports come into being when a link names them, numbered in the order given by the number in their name.
    """

    def __init__(self, path_costs: int = 2004) -> None:
        self.info = SiteInfo.model_validate({"name": "Test", "ref": "T", "path-costs": path_costs})
        self.gear: dict[str, Gear] = {}
        self.ports: dict[str, dict[str, Port]] = {}
        self.links: list[Link] = []
        self.cables: dict[str, Cable] = {}
        self.runs: dict[str, Run] = {}
        self.aggregates: dict[str, Aggregate] = {}
        self.stacks: dict[str, Stack] = {}
        self.more: dict[str, Any] = {}

    def add(self, name: str, function: str = "switch", managed: bool = True, **settings: Any) -> Builder:
        """One gear; `bridge` and other settings as keyword arguments of Gear."""
        hardware = Hardware.model_validate(
            {"@name": f"{name}-model", "function": function, "managed": managed}
        )
        self.gear[name] = Gear(name, hardware, {}, **settings)
        return self

    def bridge(self, name: str, priority: int = 32768, mac: str | None = None, **settings: Any) -> Builder:
        """A switch with a bridge priority and a MAC address."""
        return self.add(name, mac=mac, bridge=BridgeSettings(priority=priority, **settings))

    def port(self, reference: str, **settings: Any) -> Builder:
        """Settings of a port, created if it isn't there; `vlans` is (untagged, tagged)."""
        gear, name = reference.split("/", 1)
        ports = self.ports.setdefault(gear, {})
        if name not in ports:
            hardware = {"jack": "RJ45", "for": settings.pop("use", "data")}
            ports[name] = Port(gear, name, 0, 1, _hardware_port(hardware))
        if "vlans" in settings:
            untagged, tagged = settings["vlans"]
            settings["vlans"] = VlanStatement(untagged, tagged, ("gear", gear, "ports", name))
        ports[name] = replace(ports[name], **settings)
        return self

    def link(
        self, first: str, second: str, speed: int | None = GIGABIT, cable: str | None = None, **rest: Any
    ) -> Builder:
        """A cable between two ports; `vlans` states both ends at once, `within` the runs it lies in."""
        name = cable or f"C{len(self.links) + 1}"
        vlans = rest.pop("vlans", None)
        within = tuple(rest.pop("within", ()))
        ends = []
        for reference in (first, second):
            if "/" in reference:
                self.port(reference, **({"vlans": vlans} if vlans else {}))
                ends.append(End(*reference.split("/", 1)))
            else:
                ends.append(End(None, None, remote=reference))
        ends.sort(key=str)
        self.cables[name] = Cable(name, (ends[0], ends[1]), "Cat6A", within=within)
        for run in within:
            self.runs.setdefault(run, Run.model_validate({"@name": run, "kind": "duct"}))
        self.links.append(
            Link(
                ends=(str(ends[0]), str(ends[1])), cables=(name,), through=(), phy=None, why=None,
                speed_bps=speed, length_m=None, aggregate=None, carries=rest.pop("carries", True),
                terminals=(ends[0], ends[1]), media=("Cat6A",),
            )
        )  # fmt: skip
        return self

    def aggregate(self, name: str, cables: Sequence[str], mode: Any = "lacp", **settings: Any) -> Builder:
        """An aggregate of cables that are there; `mode` may be {gear: mode}."""
        modes = tuple(mode.items()) if isinstance(mode, Mapping) else ()
        plain = "lacp" if modes else mode
        self.aggregates[name] = Aggregate(name, tuple(cables), plain, modes, **settings)
        self.links = [
            replace(link, aggregate=name) if set(link.cables) & set(cables) else link for link in self.links
        ]
        return self

    def stack(self, name: str, members: Iterable[str], **settings: Any) -> Builder:
        """Bridges that act as one."""
        values = {"@name": name, "members": tuple(members), "control": "shared", **settings}
        self.stacks[name] = Stack.model_validate(values)
        return self

    def site(self) -> Site:
        """The site so far."""
        gear = {}
        for name, item in self.gear.items():
            ordered = sorted(self.ports.get(name, {}).values(), key=lambda port: _natural(port.name))
            ports = {port.name: replace(port, number=i) for i, port in enumerate(ordered, start=1)}
            gear[name] = replace(item, ports=ports)
        return Site(
            self.info, gear=gear, cables=self.cables, runs=self.runs, aggregates=self.aggregates,
            stacks=self.stacks, **self.more,
        )  # fmt: skip

    def network(self) -> Network:
        """The bridged network so far."""
        return bridged_network(self.site(), sorted(self.links, key=lambda link: (link.ends, link.cables)))

    def tree(self) -> Tree:
        """The spanning tree so far."""
        return spanning_tree(self.network())


def _natural(name: str) -> tuple[int, str]:
    digits = "".join(filter(str.isdigit, name))
    return (int(digits) if digits else 0, name)


def _hardware_port(values: dict[str, Any]) -> Any:
    from topodraw.model.hardware import HardwarePort

    return HardwarePort.model_validate(values)


__all__ = ["GIGABIT", "Builder", "TreeIndex", "elect"]
