"""VLAN identifiers against IEEE 802.1Q and RFC 4363."""

from topodraw.standards import vlan_ids


# IEEE 802.1Q Table 9-2 and the VlanId of RFC 4363: 1 to 4094.
def test_4094_identifiers_name_a_vlan() -> None:
    usable = [number for number in range(-1, 5000) if vlan_ids.vlan_id_is_usable(number)]
    assert usable == list(range(1, 4095))


# RFC 4363 has 4095 as the wildcard; the meaning of 0 is from memory.
def test_0_and_4095_say_why_they_name_none() -> None:
    for number in (0, 4095):
        row = vlan_ids.reserved_vlan_id(number)
        assert row is not None
        assert row.vlan_id == number
        assert not vlan_ids.vlan_id_is_usable(number)
    assert vlan_ids.reserved_vlan_id(20) is None


# RFC 4363 dot1qPvid: default 1. IEEE 802.1Q 9.6: four octets more for the tag.
def test_the_default_vlan_and_the_tag() -> None:
    assert vlan_ids.DEFAULT_VLAN_ID.value == 1
    assert (
        vlan_ids.UNTAGGED_FRAME_OCTETS.value + vlan_ids.TAG_OCTETS.value == vlan_ids.TAGGED_FRAME_OCTETS.value
    )
    assert vlan_ids.CUSTOMER_TAG_TYPE.value == 0x8100


# RFC 7348 section 5: outer Ethernet 14, IPv4 20, UDP 8 and VXLAN 8 octets; port 4789. From memory.
def test_vxlan_adds_its_four_headers() -> None:
    assert vlan_ids.VXLAN_OVERHEAD_OCTETS.value == 14 + 20 + 8 + 8
    assert vlan_ids.VXLAN_UDP_PORT.value == 4789


# IEEE 802.3: 14 octets of header and 4 of checksum about the packet; service tag 0x88A8. From memory.
def test_a_frame_is_its_packet_with_header_and_checksum() -> None:
    assert vlan_ids.DEFAULT_MTU.value + 14 + 4 == vlan_ids.UNTAGGED_FRAME_OCTETS.value
    assert vlan_ids.SERVICE_TAG_TYPE.value == 0x88A8
