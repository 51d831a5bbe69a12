"""Random bridged networks: parallel links, unequal speeds, equal priorities, ties."""

from __future__ import annotations

from dataclasses import dataclass
from random import Random

from tests.compute.networks import Builder

SPEEDS = (10**8, 10**9, 25 * 10**8, 10**10)


@dataclass(frozen=True)
class Wire:
    """A link between port `port_a` of bridge `a` and port `port_b` of bridge `b`, with both costs."""

    a: int
    port_a: int
    b: int
    port_b: int
    cost_a: int
    cost_b: int


@dataclass(frozen=True)
class Drawn:
    """Bridges numbered from 0 with priority and MAC, and the wires between them."""

    priorities: tuple[int, ...]
    macs: tuple[str, ...]
    wires: tuple[Wire, ...]


def draw_network(random: Random, bridges: int, largest_cost: int = 200_000) -> Drawn:
    """A network in which ties are common: few priorities, few costs, parallel links."""
    macs = [f"02:00:5e:{random.randrange(256):02x}:{n // 256:02x}:{n % 256:02x}" for n in range(bridges)]
    random.shuffle(macs)
    priorities = tuple(random.choice((4096, 32768, 32768, 32768)) for _ in range(bridges))
    costs = [max(1, largest_cost // divisor) for divisor in (1, 1, 2, 10, 10, 20)]
    pairs = [(random.randrange(b), b) for b in range(1, bridges) if random.random() < 0.95]
    pairs += [
        (random.randrange(bridges), random.randrange(bridges)) for _ in range(random.randrange(2 * bridges))
    ]
    pairs = [(a, b) for a, b in pairs if a != b]
    pairs += [pair for pair in pairs if random.random() < 0.2]
    random.shuffle(pairs)
    used = [0] * bridges
    wires = []
    for a, b in pairs:
        used[a] += 1
        used[b] += 1
        cost = random.choice(costs)
        other = cost if random.random() < 0.7 else random.choice(costs)
        wires.append(Wire(a, used[a], b, used[b], cost, other))
    return Drawn(priorities, tuple(macs), tuple(wires))


def build(drawn: Drawn) -> Builder:
    """The drawn network as a model; bridge n is called `b<n>`, its ports `p<number>`."""
    costs: list[dict[str, int]] = [{} for _ in drawn.priorities]
    for wire in drawn.wires:
        costs[wire.a][f"p{wire.port_a}"] = wire.cost_a
        costs[wire.b][f"p{wire.port_b}"] = wire.cost_b
    builder = Builder()
    for n, (priority, mac) in enumerate(zip(drawn.priorities, drawn.macs, strict=True)):
        builder.bridge(f"b{n}", priority, mac, port_cost=costs[n])
    for number, wire in enumerate(drawn.wires):
        builder.link(f"b{wire.a}/p{wire.port_a}", f"b{wire.b}/p{wire.port_b}", cable=f"W{number}")
    return builder
