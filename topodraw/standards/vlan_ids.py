"""VLAN identifiers and tags: IEEE 802.1Q."""

from typing import NamedTuple

from topodraw.standards.published import Mark, Published

VLAN_ID_MIN = Published(1, "", "IEEE 802.1Q Table 9-2; RFC 4363 VlanId", "checked")
VLAN_ID_MAX = Published(4094, "", "IEEE 802.1Q Table 9-2; RFC 4363 VlanId", "checked")
DEFAULT_VLAN_ID = Published(1, "", "IEEE 802.1Q Table 9-2; RFC 4363 dot1qPvid", "checked", "default PVID too")

TAG_OCTETS = Published(4, "octets", "IEEE 802.1Q 9.6", "checked", "inserted after the source address")
CUSTOMER_TAG_TYPE = Published(0x8100, "", "IEEE 802.1Q 9.6", "checked")
SERVICE_TAG_TYPE = Published(0x88A8, "", "IEEE 802.1Q 9.6", "memory")
UNTAGGED_FRAME_OCTETS = Published(1518, "octets", "IEEE 802.3", "memory", "longest frame, checksum included")
TAGGED_FRAME_OCTETS = Published(1522, "octets", "IEEE 802.3", "memory", "longest frame, checksum included")
DEFAULT_MTU = Published(1500, "octets", "IEEE 802.3; RFC 894", "memory", "longest packet in a frame")
VXLAN_OVERHEAD_OCTETS = Published(50, "octets", "RFC 7348", "memory", "over IPv4")
VXLAN_UDP_PORT = Published(4789, "", "RFC 7348", "memory")


class ReservedVlanId(NamedTuple):
    """An identifier that exists in the 12-bit field but names no VLAN."""

    vlan_id: int
    meaning: str
    source: str
    mark: Mark


RESERVED_VLAN_IDS = (
    ReservedVlanId(0, "the tag carries a priority only and names no VLAN", "IEEE 802.1Q Table 9-2", "memory"),
    ReservedVlanId(
        4095,
        "reserved: never sent in a frame, a wildcard in management",
        "IEEE 802.1Q Table 9-2; RFC 4363",
        "checked",
    ),
)


def vlan_id_is_usable(vlan_id: int) -> bool:
    """Say whether an identifier can name a VLAN: 1 to 4094, IEEE 802.1Q Table 9-2."""
    return VLAN_ID_MIN.value <= vlan_id <= VLAN_ID_MAX.value


def reserved_vlan_id(vlan_id: int) -> ReservedVlanId | None:
    """Return what a reserved identifier (0 or 4095) means, or None for any other number."""
    return next((row for row in RESERVED_VLAN_IDS if row.vlan_id == vlan_id), None)
