"""Random bridged networks with VLANs, stations, unmanaged bridges, hosts on two bridges, aggregates and runs.

A network is plain values, so that a brute-force judge can read it without the tool; `build` makes the model.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from random import Random

from tests.compute.networks import Builder
from topodraw.model.gear import BridgeSettings
from topodraw.model.network import Vlan

VLANS = ("v1", "v2", "v3", "v4")


@dataclass
class PortSetting:
    """What is stated of a port's VLANs; `tagged` may be "all"."""

    untagged: str | None
    tagged: tuple[str, ...] | str


@dataclass
class Cable:
    """A link between two ports `gear/port`; `run` is what it lies in, `group` the aggregate it belongs to."""

    name: str
    ends: tuple[str, str]
    run: str | None = None
    group: str | None = None


@dataclass
class VlanNetwork:
    """Bridges: name to "rstp", "none" (no spanning tree) or "unmanaged". Stations: name to address VLANs."""

    bridges: dict[str, str] = field(default_factory=dict)
    stations: dict[str, tuple[str, ...]] = field(default_factory=dict)
    pairs: dict[str, tuple[str, str]] = field(default_factory=dict)
    """Station to (aggregate, mode), mode active-standby or spread; its ports are e1 and e2, e1 active."""
    bridge_addresses: dict[str, tuple[str, ...]] = field(default_factory=dict)
    settings: dict[str, PortSetting] = field(default_factory=dict)
    cables: list[Cable] = field(default_factory=list)
    aggregates: dict[str, list[str]] = field(default_factory=dict)


def draw_vlan_network(random: Random, tidy: bool) -> VlanNetwork:
    """A network; if `tidy` both ends of each trunk agree, and only unmanaged bridges lack spanning tree."""
    network = VlanNetwork()
    used: dict[str, int] = {}

    def port(bridge: str) -> str:
        used[bridge] = used.get(bridge, 0) + 1
        return f"{bridge}/p{used[bridge]}"

    names = [f"b{n}" for n in range(random.randrange(2, 7))]
    network.bridges = dict.fromkeys(names, "rstp")
    _draw_trunks(random, network, names, port, tidy)
    for n in range(random.randrange(0, 3)):  # transparent bridges at one place, so that they close no loop
        name, kind = f"u{n}", "unmanaged" if tidy or random.random() < 0.5 else "none"
        network.bridges[name] = kind
        ends = (port(random.choice(names)), port(name))
        _lay(network, random, ends)
        network.settings[ends[0]] = _setting(random)
        if kind == "none":
            network.settings[ends[1]] = _setting(random)
    for n in range(random.randrange(2, 8)):
        _draw_station(random, network, f"s{n}", port)
    for name in names:
        if random.random() < 0.3:
            network.bridge_addresses[name] = (random.choice(VLANS),)
    return network


def _draw_trunks(random, network, names, port, tidy):
    pairs = [(names[random.randrange(n)], names[n]) for n in range(1, len(names)) if random.random() < 0.95]
    pairs += [tuple(random.sample(names, 2)) for _ in range(random.randrange(0, len(names)))]
    for a, b in pairs:
        first, second = _setting(random, trunk=True), _setting(random, trunk=True)
        if tidy or random.random() < 0.5:
            second = first
        width = 2 if random.random() < 0.2 else 1
        group = f"g{len(network.aggregates)}" if width == 2 else None
        for _ in range(width):
            ends = (port(a), port(b))
            network.settings[ends[0]], network.settings[ends[1]] = first, second
            cable = _lay(network, random, ends, group)
            if group:
                network.aggregates.setdefault(group, []).append(cable.name)


def _draw_station(random, network, name, port):
    places = list(network.bridges)
    count = 0 if random.random() < 0.4 else random.randrange(1, 3)
    network.stations[name] = tuple(random.sample(VLANS, count))
    managed = [place for place in places if network.bridges[place] != "unmanaged"]
    if random.random() < 0.25 and len(managed) > 1:
        mode = random.choice(("active-standby", "spread"))
        network.pairs[name] = (f"pair-{name}", mode)
        setting = _setting(random)
        for number, place in enumerate(random.sample(managed, 2), start=1):
            ends = (port(place), f"{name}/e{number}")
            network.settings[ends[0]] = setting
            _lay(network, random, ends, f"pair-{name}")
        return
    place = random.choice(places)
    ends = (port(place), f"{name}/e1")
    if network.bridges[place] != "unmanaged":
        network.settings[ends[0]] = _setting(random)
    if random.random() < 0.2:
        network.settings[ends[1]] = _setting(random)
    _lay(network, random, ends)


def _lay(network, random, ends, group=None):
    run = f"run-{random.randrange(3)}" if random.random() < 0.3 else None
    cable = Cable(f"C{len(network.cables)}", ends, run, group)
    network.cables.append(cable)
    return cable


def _setting(random, trunk=False):
    untagged = random.choice((None, *VLANS)) if trunk or random.random() < 0.2 else random.choice(VLANS)
    if random.random() < (0.15 if trunk else 0.05):
        return PortSetting(untagged, "all")
    rest = [vlan for vlan in VLANS if vlan != untagged]
    count = random.randrange(0, len(rest) + 1) if trunk or random.random() < 0.3 else 0
    return PortSetting(untagged, tuple(random.sample(rest, count)))


def build(network: VlanNetwork) -> Builder:
    """The model of a drawn network."""
    builder = Builder()
    builder.more["vlans"] = {
        name: Vlan.model_validate({"@name": name, "id": number})
        for number, name in enumerate(VLANS, start=10)
    }
    for number, (name, kind) in enumerate(network.bridges.items()):
        addresses = dict.fromkeys(network.bridge_addresses.get(name, ()), ())
        builder.add(
            name, managed=kind != "unmanaged", mac=f"02:00:5e:00:00:{number:02x}", addresses=addresses,
            bridge=BridgeSettings(protocol="none" if kind == "none" else None),
        )  # fmt: skip
    for name, vlans in network.stations.items():
        builder.add(name, "server", addresses=dict.fromkeys(vlans, ()))
    for cable in network.cables:
        builder.link(*cable.ends, cable=cable.name, within=[cable.run] if cable.run else ())
    for reference, setting in network.settings.items():
        builder.port(reference, vlans=(setting.untagged, setting.tagged))
    for name, cables in network.aggregates.items():
        builder.aggregate(name, cables)
    for station, (name, mode) in network.pairs.items():
        cables = [cable.name for cable in network.cables if cable.group == name]
        builder.aggregate(name, cables, {station: mode})
    return builder
