"""Gear with its hardware, ports and place found."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from topodraw.model.gear import (
    BridgeSettings,
    Gear,
    MstpInstance,
    MstpRegion,
    Port,
    RackPosition,
    VlanStatement,
)
from topodraw.model.hardware import Hardware, HardwarePort
from topodraw.model.references import Names
from topodraw.model.resolve_cabling import Cabling, Statements, is_through
from topodraw.model.written import BridgeEntry, GearEntry, GearPortEntry
from topodraw.source.suggest import did_you_mean, listed
from topodraw.standards.ethernet_phys import PHYS

_NO_BRIDGE_SETTINGS = BridgeSettings()


@dataclass(frozen=True, slots=True)
class Faceplate:
    """The ports of one hardware in order, each with its number from 1 and the range it was written in."""

    ports: tuple[tuple[str, int, int, HardwarePort], ...]


def faceplate(hardware: Hardware, range_of: Mapping[str, int]) -> Faceplate:
    """Number the ports of `hardware`; `range_of` tells which of the written ranges made each."""
    return Faceplate(
        tuple(
            (name, number, range_of.get(name, number), port)
            for number, (name, port) in enumerate(hardware.ports.items(), start=1)
        )
    )


class GearResolver:
    """Makes gear of what is written about it."""

    def __init__(
        self,
        names: Names,
        cabling: Cabling,
        hardware: Mapping[str, Hardware],
        entries: Mapping[str, GearEntry],
        place_of_rack: Mapping[str, str],
    ) -> None:
        self._names = names
        self._cabling = cabling
        self._hardware = hardware
        self._entries = entries
        self._place_of_rack = place_of_rack

    def check(self, entry: GearEntry, ssids: Mapping[str, None]) -> None:
        """Report what `entry` refers to in vain."""
        names, path = self._names, ("gear", entry.name)
        if names.check("hardware", entry.model, (*path, "model")):
            self._check_ports(entry, self._hardware.get(entry.model))
        if entry.at is not None:
            names.check("racks", entry.at[0], (*path, "at"))
        if entry.place is not None and names.check("places", entry.place, (*path, "place")) and entry.at:
            rack_place = self._place_of_rack.get(entry.at[0], entry.place)
            if rack_place != entry.place:
                message = f"rack {entry.at[0]!r} stands in {rack_place!r}, not in {entry.place!r}"
                names.tell("bad-value", message, "take `place` out: it follows from `at`", (*path, "place"))
        if entry.node_of is not None:
            names.check("gear", entry.node_of, (*path, "node-of"))
        for vlan in entry.addresses:
            names.check("vlans", vlan, (*path, "addresses", vlan), is_key=True)
        for ssid, vlan in entry.ssids.items():
            names.check("vlans", vlan, (*path, "ssids", ssid))
        if entry.wireless is not None and entry.wireless not in ssids:
            message = f"no gear offers the SSID {entry.wireless!r}{did_you_mean(entry.wireless, ssids)}"
            names.tell("missing-reference", message, f"known: {listed(ssids)}", (*path, "wireless"))
        for index, before in enumerate(entry.after):
            names.find(("gear", "workloads"), before, (*path, "after", str(index)))
        if entry.bridge and entry.bridge.mstp:
            for number, instance in entry.bridge.mstp.instances.items():
                for index, vlan in enumerate(instance.vlans):
                    at = (*path, "bridge", "mstp", "instances", str(number), "vlans", str(index))
                    names.check("vlans", vlan, at)

    def _check_ports(self, entry: GearEntry, hardware: Hardware | None) -> None:
        path = ("gear", entry.name)
        for name, port in entry.ports.items():
            at = (*path, "ports", name)
            if hardware is not None and name not in hardware.ports:
                self._cabling.tell_no_port(entry.name, name, hardware, at, is_key=True)
            self._cabling.check_vlans(port, at)
            if port.module is not None:
                self._check_module(port.module, (*at, "module"))
        bridge = entry.bridge
        for key, numbers in (
            (("port-cost", bridge.port_cost), ("port-priority", bridge.port_priority)) if bridge else ()
        ):
            for name in numbers:
                is_aggregate = name in self._names.known("aggregates")
                if hardware is not None and name not in hardware.ports and not is_aggregate:
                    self._cabling.tell_no_port(
                        entry.name, name, hardware, (*path, "bridge", key, name), is_key=True
                    )

    def _check_module(self, module: str, path: tuple[str, ...]) -> None:
        if module in PHYS:
            return
        hardware = self._hardware.get(module)
        if hardware is not None and hardware.function != "module":
            message = f"{module!r} is hardware for a {hardware.function}, not a module"
            self._names.tell("missing-reference", message, "name a module, or the PHY it makes", path)
        elif module not in self._names.known("hardware"):
            modules = [name for name, other in self._hardware.items() if other.function == "module"]
            message = f"there is no module {module!r}{did_you_mean(module, (*modules, *PHYS))}"
            fix = f"known: {listed((*modules, *PHYS), 40)}"
            self._names.tell("missing-reference", message, fix, path)

    def gear(self, entry: GearEntry, plate: Faceplate, stated: Statements) -> Gear:
        """The gear; all that it refers to exists."""
        hardware = self._hardware[entry.model]
        position = RackPosition(*entry.at, entry.mounted or "front") if entry.at else None
        return Gear(
            name=entry.name,
            hardware=hardware,
            ports=_ports(entry, hardware, plate, stated),
            position=position,
            place_stated=entry.place,
            place=self._place(entry),
            node_of=entry.node_of,
            state=entry.state,
            mac=entry.mac,
            serial=entry.serial,
            bridge=_bridge_settings(entry.bridge) if entry.bridge else _NO_BRIDGE_SETTINGS,
            addresses=entry.addresses,
            routes=entry.routes,
            ssids=entry.ssids,
            wireless=entry.wireless,
            count=entry.count,
            draw_w=entry.draw_w,
            mass_kg=entry.mass_kg,
            memory_bytes=entry.memory_bytes,
            cpus=entry.cpus,
            priority=entry.priority,
            after=entry.after,
            was=entry.was,
            private=entry.private,
            note=entry.note,
        )

    def _place(self, entry: GearEntry) -> str | None:
        seen = {entry.name}
        while True:
            if entry.at is not None:
                return self._place_of_rack.get(entry.at[0])
            if entry.place is not None or entry.node_of is None or entry.node_of in seen:
                return entry.place
            seen.add(entry.node_of)
            chassis = self._entries.get(entry.node_of)
            if chassis is None:
                return None
            entry = chassis


def _ports(entry: GearEntry, hardware: Hardware, plate: Faceplate, stated: Statements) -> dict[str, Port]:
    gear, ports = entry.name, {}
    for name, number, group, port in plate.ports:
        written = entry.ports.get(name)
        on_cable = stated.get((gear, name))
        if written is None and on_cable is None:
            ports[name] = Port(gear, name, number, group, port)
            continue
        vlans = None if is_through(hardware, name) else _own_statement(gear, name, written) or on_cable
        if written is None:
            ports[name] = Port(gear, name, number, group, port, vlans)
            continue
        ports[name] = Port(
            gear,
            name,
            number,
            group,
            port,
            vlans,
            written.module,
            written.speed_bps,
            written.duplex,
            written.mtu,
            written.edge,
            written.restricted_role,
            written.shut,
        )
    return ports


def _own_statement(gear: str, port: str, written: GearPortEntry | None) -> VlanStatement | None:
    if written is None or (written.untagged is None and written.tagged is None):
        return None
    return VlanStatement(written.untagged, written.tagged or (), ("gear", gear, "ports", port))


def _bridge_settings(entry: BridgeEntry) -> BridgeSettings:
    region = None
    if entry.mstp:
        instances = {
            number: MstpInstance(instance.vlans, instance.priority)
            for number, instance in entry.mstp.instances.items()
        }
        region = MstpRegion(entry.mstp.region, entry.mstp.revision, instances)
    return BridgeSettings(entry.priority, entry.protocol, entry.port_cost, entry.port_priority, region)
