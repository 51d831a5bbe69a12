"""Rules about what is plugged in where: data cables and power cords."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from topodraw.rules.rule import COMMON_PRACTICE, Objection, Outcome, rule

if TYPE_CHECKING:
    from topodraw.compute.facts import Facts
    from topodraw.model.cabling import End

_SITE = """\
hardware:
  host-2: {function: server, ports: {p1..p2: {jack: RJ45, speeds: [1G]}}}
gear:
  host-1..host-3: {model: host-2}
cables:
"""


@rule(
    name="port-used-twice",
    severity="error",
    question="Is at most one cable plugged into each port?",
    why="A port takes one plug: one of the two cables will find it taken.",
    fix="Plug one of them into a free port.",
    source=COMMON_PRACTICE,
    breaks=_SITE
    + """\
  C1: {ends: [host-1/p1, host-2/p1], medium: Cat6A, length: 2m}
  C2: {ends: [host-1/p1, host-3/p1], medium: Cat6A, length: 2m}
""",
    keeps=_SITE
    + """\
  C1: {ends: [host-1/p1, host-2/p1], medium: Cat6A, length: 2m}
  C2: {ends: [host-1/p2, host-3/p1], medium: Cat6A, length: 2m}
""",
)
def port_used_twice(facts: Facts) -> Iterator[Outcome]:
    plugged: dict[tuple[str, str, bool], list[tuple[str, End]]] = {}
    for cable in facts.site.cables.values():
        for end in cable.ends:
            if end.gear is None or end.port is None or facts.site.gear[end.gear].count > 1:
                continue
            others = plugged.setdefault((end.gear, end.port, end.back), [])
            for other, there in others:
                # The lanes of a breakout share a port, each with one cable.
                if None not in (end.lane, there.lane) and end.lane != there.lane:
                    continue
                if other == cable.name:
                    message = f"Both ends of the cable {other} are plugged into {end}."
                else:
                    message = f"The cables {other} and {cable.name} are both plugged into {end}."
                on = tuple(dict.fromkeys((str(end), other, cable.name)))
                yield Objection(on, message, ("cables", cable.name, "ends"))
                break
            others.append((cable.name, end))


@rule(
    name="cable-to-itself",
    severity="warning",
    question="Does each cable join two different things?",
    why="A cable between two ports of one device carries nothing anywhere; on a bridge it makes a loop.",
    fix="Correct the end that is wrong.",
    source=COMMON_PRACTICE,
    breaks=_SITE + "  C1: {ends: [host-1/p1, host-1/p2], medium: Cat6A, length: 2m}\n",
    keeps=_SITE + "  C1: {ends: [host-1/p1, host-2/p2], medium: Cat6A, length: 2m}\n",
)
def cable_to_itself(facts: Facts) -> Iterator[Outcome]:
    for cable in facts.site.cables.values():
        one, other = cable.ends
        if one.gear is None or one.gear != other.gear or one.port == other.port:
            continue
        gear = facts.site.gear[one.gear]
        if gear.count == 1 and not any(
            gear.ports[end.port].hardware.through for end in (one, other) if end.port
        ):
            yield Objection(
                (cable.name, gear.name),
                f"Both ends of the cable {cable.name} are on {gear.name}: {one} and {other}.",
                ("cables", cable.name, "ends"),
            )


@rule(
    name="jacket-colour-mismatch",
    severity="warning",
    question="Has each cable the jacket colour that its purpose has here?",
    why="People pull cables by colour: a wrong jacket gets the wrong cable pulled.",
    fix="Use a cable of the purpose's colour, or correct the purpose.",
    source="ANSI/TIA-606-C (colours tell what a cable is for; from memory); the site's own `purposes`",
    breaks="purposes: {watch: {colour: orange}}\n"
    + _SITE
    + """\
  C1: {ends: [host-1/p1, host-2/p1], medium: Cat6A, length: 2m, purpose: watch, colour: green}
""",
    keeps="purposes: {watch: {colour: orange}}\n"
    + _SITE
    + """\
  C1: {ends: [host-1/p1, host-2/p1], medium: Cat6A, length: 2m, purpose: watch, colour: orange}
""",
)
def jacket_colour_mismatch(facts: Facts) -> Iterator[Outcome]:
    for cable in facts.site.cables.values():
        purpose = facts.site.purposes.get(cable.purpose) if cable.purpose else None
        if purpose is not None and cable.colour is not None and cable.colour != purpose.colour:
            yield Objection(
                (cable.name,),
                f"{cable.name} is for {cable.purpose}, which is {purpose.colour} here, but its "
                f"jacket is {cable.colour}.",
                ("cables", cable.name, "colour"),
            )


_POWER = """\
hardware:
  host: {function: server, power: {draw: 90W, inlets: {a: C14, b: C14}}}
  strip-4: {function: pdu, power: {draw: 0W, inlets: {in: C20}, outlets: {o1..o4: C13}}}
gear:
  host-1..host-2: {model: host}
  strip: {model: strip-4}
cords:
"""


@rule(
    name="power-socket-used-twice",
    severity="error",
    question="Is at most one cord plugged into each outlet and each inlet?",
    why="An outlet or inlet takes one cord: the second one has nowhere to go.",
    fix="Plug one of the cords in elsewhere.",
    source=COMMON_PRACTICE,
    breaks=_POWER
    + """\
  W1: {ends: [strip/o1, host-1/a]}
  W2: {ends: [strip/o1, host-2/a]}
""",
    keeps=_POWER
    + """\
  W1: {ends: [strip/o1, host-1/a]}
  W2: {ends: [strip/o2, host-2/a]}
""",
)
def power_socket_used_twice(facts: Facts) -> Iterator[Outcome]:
    plugged: dict[str, str] = {}
    for cord in facts.site.cords.values():
        sockets = [cord.inlet] if cord.outlet[1] is None else [cord.outlet, cord.inlet]
        for owner, socket in sockets:
            reference = f"{owner}/{socket}"
            other = plugged.setdefault(reference, cord.name)
            if other != cord.name:
                yield Objection(
                    (reference, other, cord.name),
                    f"The cords {other} and {cord.name} are both plugged into {reference}.",
                    ("cords", cord.name, "ends"),
                )
