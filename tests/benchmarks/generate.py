"""Sites of any size for the benchmarks: the same text each time, one entry a cable, three cables a gear.

A stacked pair of cores, pairs of distribution switches, access switches with an uplink to each of their pair,
and end stations that have a permanent link through a panel and a second port for management: all invented.
"""

from __future__ import annotations

from dataclasses import dataclass, field

STATIONS_AN_ACCESS_SWITCH = 24
ACCESS_SWITCHES_A_BLOCK = 16
DATA_VLANS = 18
VLANS_A_BLOCK = 4
CABLES_A_GEAR = 3

HARDWARE = """\
hardware:
  crest-64: {function: switch, size: {units: 2, depth: 500mm, mass: 12kg}, ports: {x1..x64: {cage: SFP28}}}
  ridge-32:
    function: switch
    size: {units: 1, depth: 450mm, mass: 8kg}
    ports: {x1..x32: {cage: SFP+}, z1..z4: {cage: SFP28}}
  shore-48:
    function: switch
    size: {units: 1, depth: 360mm, mass: 5kg}
    ports: {p1..p48: {jack: RJ45, speeds: [100M, 1G]}, u1..u2: {cage: SFP+}}
  keystone-48: {function: panel, size: {units: 1, mass: 1kg}, ports: {1..48: {jack: RJ45, through: true}}}
  post:
    function: workstation
    ports: {eth: {jack: RJ45, speeds: [100M, 1G]}, m: {jack: RJ45, speeds: [100M]}}
  fence: {function: firewall, size: {units: 1, depth: 400mm, mass: 6kg}, ports: {x1..x2: {cage: SFP28}}}
"""


@dataclass
class _Site:
    """Lines of the sections that grow with the size."""

    size: int
    gear: list[str] = field(default_factory=list)
    cables: list[str] = field(default_factory=list)
    places: list[str] = field(default_factory=list)
    addresses: dict[str, int] = field(default_factory=dict)
    aggregates: list[str] = field(default_factory=list)
    panels: list[str] = field(default_factory=list)

    def cable(self, one: str, two: str, rest: str) -> None:
        self.cables.append(f"  C{len(self.cables) + 1:06}: {{ends: [{one}, {two}], {rest}}}\n")

    def pair(self, name: str, ends: list[tuple[str, str]], medium: str, tagged: list[str]) -> None:
        """An aggregate of a cable to each core."""
        first = len(self.cables) + 1
        for one, two in ends:
            self.cable(one, two, f"medium: {medium}, purpose: backbone")
        cables = ", ".join(f"C{first + number:06}" for number in range(len(ends)))
        self.aggregates.append(f"  {name}: {{cables: [{cables}], tagged: [{', '.join(tagged)}]}}\n")

    def address(self, vlan: str) -> str:
        """The next free address of a VLAN's /16, leaving the first for the gateway."""
        number = self.addresses[vlan] = self.addresses.get(vlan, 1) + 1
        return f"10.{vlan.removeprefix('v')}.{number // 250}.{number % 250 + 1}"


def site_text(size: int) -> str:
    """The YAML text of a site with `size` gear (at least 30) and `3 × size` cables."""
    site = _Site(size)
    blocks = _blocks(size)
    _core(site, _all_vlans(blocks))
    for block in range(1, blocks + 1):
        _block(site, block)
    _spare_cables(site)
    head = f"topodraw: 1\nsite: {{name: Benchmark of {size}, ref: B{size}}}\n{HARDWARE}"
    places = "places:\n" + "".join(site.places)
    gear = "gear:\n" + "".join(site.gear)
    cables = "cables:\n" + "".join(site.cables)
    aggregates = "aggregates:\n" + "".join(site.aggregates)
    return head + places + gear + cables + aggregates + _network(_all_vlans(blocks))


def _blocks(size: int) -> int:
    a_switch = STATIONS_AN_ACCESS_SWITCH + 2
    return max(1, -(-(size - 3) // (ACCESS_SWITCHES_A_BLOCK * a_switch + 2)))


def _vlans_of(block: int) -> list[str]:
    return [f"v{11 + (block * VLANS_A_BLOCK + number) % DATA_VLANS}" for number in range(VLANS_A_BLOCK)]


def _all_vlans(blocks: int) -> list[str]:
    return ["v10", *sorted({vlan for block in range(1, blocks + 1) for vlan in _vlans_of(block)})]


def _core(site: _Site, everything: list[str]) -> None:
    """Two cores that act as one, and the firewall that is every VLAN's gateway."""
    site.places.append("  hub: {title: Hub, racks: {R0: {units: 42, depth: 1000mm}}}\n")
    for number in (1, 2):
        address = f"addresses: {{v10: {site.address('v10')}}}"
        site.gear.append(f"  core-{number}: {{model: crest-64, at: R0/U{28 + 2 * number}, {address}}}\n")
    gateways = ", ".join(f"{vlan}: 10.{vlan.removeprefix('v')}.0.1" for vlan in everything)
    site.gear.append(f"  gate: {{model: fence, at: R0/U20, addresses: {{{gateways}}}}}\n")
    site.cable("core-1/x62", "core-2/x62", "medium: twinax, length: 1m")
    site.cable("core-1/x63", "core-2/x63", "medium: twinax, length: 1m")
    site.pair(
        "gate-core", [("core-1/x64", "gate/x1"), ("core-2/x64", "gate/x2")], "twinax, length: 2m", everything
    )


def _block(site: _Site, block: int) -> None:
    """A pair of distribution switches and the access switches below it, until the site has its size."""
    vlans = _vlans_of(block)
    racks = f"{{R{block}: {{units: 42, depth: 1000mm}}}}"
    site.places.append(f"  block-{block}: {{title: Block {block}, racks: {racks}}}\n")
    for number, letter in ((1, "a"), (2, "b")):
        name = f"dist-{block}{letter}"
        site.gear.append(
            f"  {name}: {{model: ridge-32, at: R{block}/U{40 + number}, "
            f"mac: 02:00:5e:01:{block:02x}:{number:02x}, bridge: {{priority: {8192 * number}}}, "
            f"addresses: {{v10: {site.address('v10')}}}, "
            f"ports: {{x1..x{ACCESS_SWITCHES_A_BLOCK}: {{tagged: [v10, {', '.join(vlans)}]}}}}}}\n"
        )
        ends = [(f"{name}/z{core}", f"core-{core}/x{2 * block - 2 + number}") for core in (1, 2)]
        site.pair(f"{name}-core", ends, "OS2, length: 220m, phy: 25GBASE-LR", ["v10", *vlans])
    for access in range(1, ACCESS_SWITCHES_A_BLOCK + 1):
        if len(site.gear) + 3 > site.size:
            return
        _access(site, block, access, vlans)


def _access(site: _Site, block: int, access: int, vlans: list[str]) -> None:
    name, panel = f"acc-{block}-{access}", f"pan-{block}-{access}"
    half = STATIONS_AN_ACCESS_SWITCH
    stations = min(half, site.size - len(site.gear) - 2)
    share = half // VLANS_A_BLOCK
    ports = "".join(
        f"p{share * number + 1}..p{share * (number + 1)}: {{untagged: {vlan}}}, "
        for number, vlan in enumerate(vlans)
    )
    site.gear.append(
        f"  {name}: {{model: shore-48, at: R{block}/U{2 * access - 1}, "
        f"mac: 02:00:5e:02:{block:02x}:{access:02x}, addresses: {{v10: {site.address('v10')}}}, "
        f"ports: {{{ports}p{half + 1}..p{2 * half}: {{untagged: v10}}, "
        f"u1..u2: {{tagged: [v10, {', '.join(vlans[:stations])}]}}}}}}\n"
    )
    site.gear.append(f"  {panel}: {{model: keystone-48, at: R{block}/U{2 * access}}}\n")
    site.panels.append(panel)
    for number, letter in ((1, "a"), (2, "b")):
        far = f"dist-{block}{letter}/x{access}"
        site.cable(f"{name}/u{number}", far, "medium: OM4, length: 45m, phy: 10GBASE-SR, purpose: backbone")
    for station in range(1, stations + 1):
        row, column = divmod(station - 1, VLANS_A_BLOCK)
        post, vlan, port = f"post-{block}-{access}-{station}", vlans[column], share * column + row + 1
        site.gear.append(
            f"  {post}: {{model: post, place: block-{block}, "
            f"addresses: {{{vlan}: {site.address(vlan)}, v10: {site.address('v10')}}}}}\n"
        )
        site.cable(f"{name}/p{port}", f"{panel}/{station}", "medium: Cat6, length: 1m, colour: green")
        length = 20 + (7 * station + 3 * access) % 60
        site.cable(
            f"{panel}/{station}:back", f"{post}/eth", f"medium: Cat6, length: {length}m, purpose: desks"
        )
        site.cable(f"{name}/p{half + station}", f"{post}/m", "medium: Cat6, length: 30m, purpose: manage")


def _spare_cables(site: _Site) -> None:
    """Permanent links between neighbouring panels that nobody uses yet, to make up three cables a gear."""
    half = STATIONS_AN_ACCESS_SWITCH
    for turn in range(half):
        for one, two in zip(site.panels, site.panels[1:] + site.panels[:1], strict=True):
            if len(site.cables) >= CABLES_A_GEAR * site.size:
                return
            side = f"{half + 1 + turn}:back"
            if turn % 2 == 0:
                site.cable(f"{one}/{side}", f"{two}/{half + 2 + turn}:back", "medium: Cat6A, length: 40m")


def _network(names: list[str]) -> str:
    zones = ["control", "desks", "labs", "watch", "guests"]
    vlans = "".join(
        f"  {name}: {{id: {name.removeprefix('v')}, zone: {zones[1 + number % 4 if number else 0]}, "
        f"subnet: 10.{name.removeprefix('v')}.0.0/16, gateway: gate}}\n"
        for number, name in enumerate(names)
    )
    return (
        f"vlans:\n{vlans}"
        "zones:\n" + "".join(f"  {zone}: {{title: {zone.capitalize()}}}\n" for zone in zones) + "conduits:\n"
        "  - control -> desks\n  - desks <-> labs\n  - desks -> internet\n"
        "  - {flow: labs -> internet, allow: [tcp/443, udp/53]}\n  - guests -> internet\n"
        "stacks:\n  core: {members: [core-1, core-2], control: shared, joined-by: [C000001, C000002], "
        "priority: 4096}\n"
        "purposes: {backbone: {colour: violet}, desks: {colour: green}, manage: {colour: grey}}\n"
        "expect:\n  - {root: core}\n  - {never: guests -> desks}\n"
        "  - {survive: any cable, keep: acc-1-1 -> gate}\n"
    )
