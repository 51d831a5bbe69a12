"""Rules about racks: what is in each unit, how deep and how heavy it is."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from topodraw.rules.rule import COMMON_PRACTICE, NotJudged, Objection, Outcome, rule

if TYPE_CHECKING:
    from topodraw.compute.facts import Facts

_SITE = """\
hardware:
  host-2u: {function: server, size: {units: 2, depth: 700mm, mass: 24kg}}
  panel-24: {function: panel, size: {units: 1, depth: 120mm, mass: 2kg}}
places:
  comms: {title: Comms room, racks: {A: {units: 12, depth: 1000mm, max-load: 40kg}}}
gear:
"""


def _units(lowest: int, highest: int) -> str:
    return f"U{lowest}" if lowest == highest else f"U{lowest} to U{highest}"


@rule(
    name="rack-overlap",
    severity="error",
    question="Is each unit of a rack filled once on each side?",
    why="Two things can't be in one unit: the second one will not go in on the day.",
    fix="Move one of them to units that are free.",
    source="IEC 60297-3-100 / EIA-310-D (a unit of 44.45 mm holds one thing across its width)",
    breaks=_SITE
    + """\
  host: {model: host-2u, at: A/U3}
  pan: {model: panel-24, at: A/U4}
""",
    keeps=_SITE
    + """\
  host: {model: host-2u, at: A/U3}
  pan: {model: panel-24, at: A/U5}
""",
)
def rack_overlap(facts: Facts) -> Iterator[Outcome]:
    order = {name: number for number, name in enumerate(facts.site.gear)}
    for rack in facts.racks.values():
        for overlap in rack.overlaps:
            if not overlap.by_depth:
                first, second = sorted((overlap.first, overlap.second), key=lambda name: order[name])
                yield Objection(
                    (first, second),
                    f"{first} and {second} both fill {_units(overlap.lowest, overlap.highest)} of "
                    f"rack {rack.name}.",
                    ("gear", second, "at"),
                )


@rule(
    name="rack-overflow",
    severity="error",
    question="Does everything in a rack lie between its lowest and its highest unit?",
    why="What stands above the top or below the bottom of a rack can't be mounted.",
    fix="Choose units that the rack has; `at` names the lowest one, taller gear fills upward.",
    source="IEC 60297-3-100 / EIA-310-D",
    breaks=_SITE + "  host: {model: host-2u, at: A/U12}\n",
    keeps=_SITE + "  host: {model: host-2u, at: A/U11}\n",
)
def rack_overflow(facts: Facts) -> Iterator[Outcome]:
    for rack in facts.racks.values():
        for item in rack.items:
            if item.gear in rack.beyond:
                yield Objection(
                    (item.gear, rack.name),
                    f"{item.gear} fills {_units(item.lowest, item.highest)}, "
                    f"and rack {rack.name} has U1 to U{rack.units}.",
                    ("gear", item.gear, "at"),
                )


@rule(
    name="rack-item-without-height",
    severity="error",
    question="Has everything that stands in a unit of a rack a height in units?",
    why="Hardware without `units` is not rack-mounted, so nobody knows which units it fills.",
    fix="State `size: {units: ...}` for its hardware, or give the gear a `place` instead of `at`.",
    source=COMMON_PRACTICE,
    breaks=_SITE.replace("hardware:\n", "hardware:\n  desk-8: {function: switch}\n").replace(
        ", max-load: 40kg", ""
    )
    + "  desk: {model: desk-8, at: A/U3}\n",
    keeps=_SITE.replace("hardware:\n", "hardware:\n  desk-8: {function: switch}\n")
    + "  desk: {model: desk-8, place: comms}\n",
)
def rack_item_without_height(facts: Facts) -> Iterator[Outcome]:
    for rack in facts.racks.values():
        for name in rack.unsized:
            gear = facts.site.gear[name]
            unit = gear.position.unit if gear.position else 0
            yield Objection(
                (name,),
                f"{name} is at {rack.name}/U{unit}, but {gear.hardware.name} has no height in units.",
                ("gear", name, "at"),
            )


@rule(
    name="rack-too-shallow",
    severity="error",
    question="Is nothing in a rack deeper than the rack?",
    why="What is deeper than the rack sticks out: the door doesn't close, or the way behind it is blocked.",
    fix="Move it to a deeper rack.",
    source=COMMON_PRACTICE,
    breaks=_SITE.replace("1000mm", "600mm") + "  host: {model: host-2u, at: A/U3}\n",
    keeps=_SITE + "  host: {model: host-2u, at: A/U3}\n",
)
def rack_too_shallow(facts: Facts) -> Iterator[Outcome]:
    for rack in facts.racks.values():
        depth = facts.site.racks[rack.name].depth_mm
        for item in rack.items:
            size = facts.site.gear[item.gear].hardware.size
            own = size.depth_mm if size else None
            if depth is not None and own is not None and own > depth:
                yield Objection(
                    (item.gear, rack.name),
                    f"{item.gear} is {own:g} mm deep, and rack {rack.name} only {depth:g} mm.",
                    ("gear", item.gear, "at"),
                )


@rule(
    name="rack-sides-collide",
    severity="error",
    question="Have things mounted front and rear in the same units room behind each other?",
    why="Where the two together are deeper than the rack, the second one will not go in.",
    fix="Move one of them to other units, or to a deeper rack.",
    source=COMMON_PRACTICE,
    breaks=_SITE.replace("1000mm", "800mm")
    + """\
  host: {model: host-2u, at: A/U3}
  pan: {model: panel-24, at: A/U4, mounted: rear}
""",
    keeps=_SITE
    + """\
  host: {model: host-2u, at: A/U3}
  pan: {model: panel-24, at: A/U4, mounted: rear}
""",
)
def rack_sides_collide(facts: Facts) -> Iterator[Outcome]:
    order = {name: number for number, name in enumerate(facts.site.gear)}
    for rack in facts.racks.values():
        for overlap in rack.overlaps:
            if overlap.by_depth:
                first, second = sorted((overlap.first, overlap.second), key=lambda name: order[name])
                yield Objection(
                    (first, second),
                    f"{first} and {second}, front and rear in {_units(overlap.lowest, overlap.highest)}, "
                    f"are together deeper than rack {rack.name}.",
                    ("gear", second, "at"),
                )
        for pair in rack.depth_unknown:
            yield NotJudged(pair, f"depth of {' or '.join(pair)}, or of rack {rack.name}")


@rule(
    name="rack-overloaded",
    severity="error",
    question="Does each rack carry no more than it is made for?",
    why="An overloaded rack can tip or give way, and people work in front of it.",
    fix="Move the heaviest gear to another rack, or use a rack made for the load.",
    source="the rack maker's stated load (common practice, no published source)",
    breaks=_SITE
    + """\
  host-1: {model: host-2u, at: A/U1}
  host-2: {model: host-2u, at: A/U3}
""",
    keeps=_SITE
    + """\
  host-1: {model: host-2u, at: A/U1}
""",
)
def rack_overloaded(facts: Facts) -> Iterator[Outcome]:
    for place in facts.site.places.values():
        for rack in place.racks.values():
            if rack.max_load_kg is None:
                continue
            inside = facts.racks[rack.name]
            if inside.known_mass_kg > rack.max_load_kg:
                least = "at least " if inside.mass_unknown else ""
                yield Objection(
                    (rack.name,),
                    f"Rack {rack.name} carries {least}{inside.known_mass_kg:g} kg "
                    f"and is made for {rack.max_load_kg:g} kg.",
                    ("places", place.name, "racks", rack.name, "max-load"),
                )
            elif inside.mass_unknown:
                yield NotJudged((rack.name,), f"mass of {', '.join(inside.mass_unknown)}")


@rule(
    name="chassis-overfull",
    severity="error",
    question="Has each chassis room for the nodes that are in it?",
    why="A node without a slot can't be mounted.",
    fix="Move a node to another chassis.",
    source="the chassis maker's stated number of nodes (common practice, no published source)",
    breaks="""\
hardware:
  twin: {function: other, size: {units: 1, nodes: 2}}
  blade: {function: server}
gear:
  frame: {model: twin}
  node-1..node-3: {model: blade, node-of: frame}
""",
    keeps="""\
hardware:
  twin: {function: other, size: {units: 1, nodes: 2}}
  blade: {function: server}
gear:
  frame: {model: twin}
  node-1..node-2: {model: blade, node-of: frame}
""",
)
def chassis_overfull(facts: Facts) -> Iterator[Outcome]:
    nodes: dict[str, list[str]] = {}
    for gear in facts.site.gear.values():
        if gear.node_of is not None:
            nodes.setdefault(gear.node_of, []).extend([gear.name] * gear.count)
    for chassis, names in nodes.items():
        size = facts.site.gear[chassis].hardware.size
        room = size.nodes if size else None
        if room is not None and len(names) > room:
            named = tuple(dict.fromkeys(names))
            yield Objection(
                (chassis, *named),
                f"{chassis} has room for {room} nodes and holds {len(names)}: {', '.join(named)}.",
                ("gear", names[-1], "node-of"),
            )
