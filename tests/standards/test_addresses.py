"""Reserved ranges against the tables of Python's ipaddress, which follow the IANA registries."""

import ipaddress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from topodraw.standards import addresses


@pytest.mark.parametrize("row", addresses.RESERVED_RANGES, ids=lambda row: str(row.network))
def test_ipaddress_holds_no_reserved_range_for_global(row: addresses.ReservedRange) -> None:
    for address in (row.network[0], row.network[-1]):
        if str(row.network) == "3fff::/20":
            # RFC 9637 is younger than the tables of some Python versions; from memory.
            continue
        assert not address.is_global
        assert address.is_link_local == (row.purpose == "link-local")
        assert addresses.reserved_range(address) == row


# RFC 1918, its three blocks; just outside each lies an address for everybody.
@pytest.mark.parametrize(
    ("address", "private"),
    [
        ("9.255.255.255", False),
        ("10.0.0.0", True),
        ("10.255.255.255", True),
        ("11.0.0.0", False),
        ("172.15.255.255", False),
        ("172.16.0.0", True),
        ("172.31.255.255", True),
        ("172.32.0.0", False),
        ("192.167.255.255", False),
        ("192.168.255.255", True),
        ("192.169.0.0", False),
        ("fd00::1", True),
        ("fe80::1", False),
        ("2001:db8::1", False),
    ],
)
def test_private_addresses(address: str, private: bool) -> None:
    assert addresses.is_for_private_use(ipaddress.ip_address(address)) is private


# RFC 5737, RFC 3849 and RFC 9637.
@pytest.mark.parametrize(
    "address", ["192.0.2.1", "198.51.100.254", "203.0.113.7", "2001:db8:1::1", "3fff::1"]
)
def test_documentation_addresses(address: str) -> None:
    assert addresses.is_for_documentation(ipaddress.ip_address(address))


@given(st.ip_addresses(v=4))
def test_ipaddress_calls_each_private_address_private(address: ipaddress.IPv4Address) -> None:
    if addresses.is_for_private_use(address):
        assert address.is_private
    if address.is_global:
        assert addresses.reserved_range(address) is None


def test_an_address_of_the_internet_is_in_no_reserved_range() -> None:
    assert addresses.reserved_range(ipaddress.ip_address("8.8.8.8")) is None


# IEEE 802c: second hex digit 2, 6, A, E is local; an odd one is a group. RFC 9542 documentation addresses.
def test_bits_of_a_mac_address() -> None:
    local = [
        digit
        for digit in "0123456789abcdef"
        if addresses.mac_is_locally_administered(f"0{digit}:00:5e:00:53:01")
    ]
    group = [digit for digit in "0123456789abcdef" if addresses.mac_is_group(f"0{digit}:00:5e:00:53:01")]
    assert local == list("2367abef")
    assert group == list("13579bdf")
    assert not addresses.mac_is_group(addresses.DOCUMENTATION_MAC_PREFIX.value)
    assert addresses.mac_is_group(addresses.DOCUMENTATION_GROUP_MAC_PREFIX.value)


# RFC 5398 and RFC 6996: private numbers follow on the documentation ones and end before 65,535.
def test_as_number_ranges() -> None:
    assert addresses.DOCUMENTATION_AS_NUMBERS.value[0][1] + 1 == addresses.PRIVATE_AS_NUMBERS.value[0][0]
    # RFC 5398 sets aside sixteen numbers on either side of the 16-bit border.
    assert [high - low + 1 for low, high in addresses.DOCUMENTATION_AS_NUMBERS.value] == [16, 16]
    assert addresses.DOCUMENTATION_AS_NUMBERS.value[1][0] == 2**16
    assert addresses.PRIVATE_AS_NUMBERS.value[0][1] == 2**16 - 2
    assert addresses.PRIVATE_AS_NUMBERS.value[1][1] == 2**32 - 2
