"""Rules about the identifiers of VLANs, and about VLANs that cabling leaves in pieces."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from topodraw.compute.parts import never_meet, pieces
from topodraw.rules.rule import COMMON_PRACTICE, Objection, Outcome, rule
from topodraw.source.suggest import with_and
from topodraw.standards.vlan_ids import VLAN_ID_MAX, VLAN_ID_MIN, reserved_vlan_id, vlan_id_is_usable

if TYPE_CHECKING:
    from topodraw.compute.facts import Facts


@rule(
    name="vlan-id-out-of-range",
    severity="error",
    question="Is each VLAN's identifier one that can name a VLAN?",
    why="Identifiers 0 and 4095 are reserved and larger ones don't fit into a tag: bridges refuse them.",
    fix="Choose an identifier from 1 to 4094.",
    source=VLAN_ID_MAX.source,
    breaks="vlans: {watch: {id: 4095}}\n",
    keeps="vlans: {watch: {id: 4094}}\n",
)
def vlan_id_out_of_range(facts: Facts) -> Iterator[Outcome]:
    for vlan in facts.site.vlans.values():
        if not vlan_id_is_usable(vlan.id):
            reserved = reserved_vlan_id(vlan.id)
            meaning = f" ({reserved.meaning})" if reserved else ""
            yield Objection(
                (vlan.name,),
                f"{vlan.name} has the identifier {vlan.id}{meaning}, which is not from "
                f"{VLAN_ID_MIN.value} to {VLAN_ID_MAX.value}.",
                ("vlans", vlan.name, "id"),
            )


@rule(
    name="vlan-id-used-twice",
    severity="error",
    question="Has each VLAN an identifier of its own?",
    why="On the wire only the identifier tells VLANs apart: two VLANs with one identifier are one VLAN.",
    fix="Give one of them a free identifier.",
    source="IEEE 802.1Q 9.6 (the tag holds the identifier alone; clause from memory)",
    breaks="vlans: {watch: {id: 40}, guests: {id: 40}}\n",
    keeps="vlans: {watch: {id: 40}, guests: {id: 41}}\n",
)
def vlan_id_used_twice(facts: Facts) -> Iterator[Outcome]:
    first: dict[int, str] = {}
    for vlan in facts.site.vlans.values():
        other = first.setdefault(vlan.id, vlan.name)
        if other != vlan.name and not never_meet(facts.network, facts.bridged_parts, other, vlan.name):
            yield Objection(
                (other, vlan.name),
                f"{other} and {vlan.name} both have the identifier {vlan.id}.",
                ("vlans", vlan.name, "id"),
            )


_SITE = """\
hardware:
  bridge-4: {function: switch, ports: {p1..p4: {jack: RJ45, speeds: [1G]}}}
  cam: {function: camera, ports: {eth: {jack: RJ45, speeds: [1G]}}}
vlans: {watch: {id: 40, subnet: 192.0.2.0/26}}
gear:
  north: {model: bridge-4, bridge: {priority: 4096}, ports: {p1..p2: {untagged: watch}}}
  south: {model: bridge-4, bridge: {priority: 8192}, ports: {p1..p2: {untagged: watch}}}
  cam-1..cam-2: {model: cam}
cables:
  C1: {ends: [north/p1, cam-1/eth], medium: Cat6A, length: 9m}
  C2: {ends: [south/p1, cam-2/eth], medium: Cat6A, length: 9m}
"""


@rule(
    name="vlan-in-pieces",
    severity="warning",
    question="Does some way of cables join all members of each VLAN that has a subnet?",
    why="Hosts of one subnet talk directly: who is in another piece reaches neither them nor the gateway.",
    fix="Join the pieces, or make the cut-off piece a VLAN and subnet of its own.",
    source=f"RFC 1122 section 3.3.1.1 (from memory); {COMMON_PRACTICE}",
    breaks=_SITE,
    keeps=_SITE + "  T1: {ends: [north/p2, south/p2], medium: Cat6A, length: 9m}\n",
)
def vlan_in_pieces(facts: Facts) -> Iterator[Outcome]:
    for name, spread in facts.vlans.items():
        if len(spread.segments) < 2 or not facts.site.vlans[name].subnets:
            continue
        apart = pieces(facts.site, facts.network, facts.bridged_parts, spread.segments)
        if len(apart) > 1:
            first, *others = map(_gear_of, apart)
            yield Objection(
                (name,),
                f"{name} is in {len(apart)} pieces that no cable joins: {first}; {'; '.join(others)}.",
                ("vlans", name),
            )


def _gear_of(ports: list[str]) -> str:
    """The gear of some ports, the first few by name."""
    names = sorted({port.partition("/")[0] for port in ports})
    shown = names if len(names) <= 5 else [*names[:4], f"{len(names) - 4} more"]
    return with_and(shown)
