"""Sites made up for the zones tests: any number of zones, names as bad as they come."""

import random

NASTY = [
    "a-zone-with-a-name-of-eighty-characters-and-then-some-more-for-the-good-measure-x",
    "海洋観測所の来客用ネットワーク区画",
    'zone <b>&"quoted"',
    "x",
    "עברית-zone",
    "Über große Zone mit Leerzeichen",
    "emoji-🦆-zone",
]
HARDWARE = """topodraw: 1
site: {name: Generated, ref: GEN}
hardware:
  fw: {function: firewall, ports: {p1..p8: {jack: RJ45, speeds: [1G]}}}
  rt: {function: router, ports: {p1..p8: {jack: RJ45, speeds: [1G]}}}
  sv: {function: server, ports: {e1..e4: {jack: RJ45, speeds: [1G]}}}
  cam: {function: camera, ports: {e1: {jack: RJ45, speeds: [1G]}}}
"""
SERVICES = ["tcp/443", "tcp/22", "udp/53", "tcp/5000-5010", "icmp", "udp/123", "tcp/25"]


def _quoted(name: str) -> str:
    return "'" + name.replace("'", "''") + "'"


def _name(chance: random.Random, plain: str, number: int) -> str:
    again = f" {number}" if number >= len(NASTY) else ""
    return f"{NASTY[number % len(NASTY)]} {plain}{again}" if chance.random() < 0.3 else f"{plain}-{number}"


def generated_site(seed: int, zones: int, workloads: int = 8, gateways: int = 1) -> str:
    """A whole model as text: with three gateways nothing filters, with none nothing routes."""
    chance = random.Random(seed)
    names = [_name(chance, "zone", number) for number in range(zones)]
    gates = [f"gate-{number}" for number in range(gateways)]
    vlans: list[tuple[str, str, int]] = []
    text = [HARDWARE.rstrip(), "zones:"]
    text += [f"  {_quoted(name)}: {{title: {_quoted('Title of ' + name)}}}" for name in names]
    lines = []
    for name in names:
        for _ in range(chance.randint(0 if zones > 1 else 1, 2)):
            number = len(vlans) + 1
            vlans.append((_name(chance, "vlan", number), name, number))
            ipv6 = f', "fd00:9:{number}::/64"' if chance.random() < 0.3 else ""
            gateway = f", gateway: {chance.choice(gates)}" if gates else ""
            dhcp = f", dhcp: {{range: 10.9.{number}.100-10.9.{number}.199}}" if chance.random() < 0.5 else ""
            lines.append(
                f"  {_quoted(vlans[-1][0])}: {{id: {number + 1}, zone: {_quoted(name)}, "
                f"subnet: [10.9.{number}.0/24{ipv6}]{gateway}{dhcp}}}"
            )
    text += ["vlans:", *lines] if lines else []
    text += ["gear:", "  host: {model: sv}"]
    text += [f"  {gate}: {{model: {'rt' if gateways > 2 else 'fw'}}}" for gate in gates]
    for number in range(chance.randint(0, 12) if vlans else 0):
        feet = chance.sample(vlans, min(len(vlans), chance.choice([1, 1, 2, 2, 3])))
        addresses = ", ".join(f"{_quoted(vlan)}: 10.9.{at}.{20 + number}" for vlan, _, at in feet)
        model = chance.choice(["sv", "cam"])
        text.append(
            f"  {_quoted(_name(chance, 'gear', number))}: {{model: {model}, addresses: {{{addresses}}}}}"
        )
    served: list[tuple[str, str]] = []
    lines = []
    for number in range(workloads if vlans else 0):
        vlan, zone, at = chance.choice(vlans)
        served.append((_name(chance, "work", number), zone))
        serves = ", ".join(chance.sample(SERVICES, chance.randint(1, 4)))
        out = f", published: {chance.choice(['tunnel', 'forward'])}" if chance.random() < 0.2 else ""
        lines.append(
            f"  {_quoted(served[-1][0])}: {{on: host, vlan: {_quoted(vlan)}, "
            f"address: 10.9.{at}.{60 + number}, serves: [{serves}]{out}}}"
        )
    text += ["workloads:", *lines] if lines else []
    by = f", by: {gates[0]}" if gates else ""
    text += ["remotes:", f"  uplink: {{kind: internet{by}}}"]
    if chance.random() < 0.5:
        text.append(f"  far: {{kind: tunnel, zone: {_quoted(names[0])}, subnets: [10.200.0.0/16]{by}}}")
    text += _conduits(chance, names, served)
    return "\n".join(text) + "\n"


def _conduits(chance: random.Random, names: list[str], served: list[tuple[str, str]]) -> list[str]:
    lines, seen = [], set()
    for _ in range(chance.randint(1, 2 * len(names) + 1)):
        source, target = chance.choice([*names, "internet"]), chance.choice([*names, "internet"])
        if source == target or (source, target) in seen:
            continue
        seen.add((source, target))
        inside = [name for name, zone in served if zone == target]
        to = f", to: {_quoted(chance.choice(inside))}" if inside and chance.random() < 0.4 else ""
        arrow = " <-> " if chance.random() < 0.2 and not to else " -> "
        allow = ""
        if to or chance.random() < 0.7:
            allow = f", allow: [{', '.join(chance.sample(SERVICES, chance.randint(1, 5)))}]"
        lines.append(f"  - {{flow: {_quoted(source + arrow + target)}{allow}{to}}}")
    return ["conduits:", *lines] if lines else []
