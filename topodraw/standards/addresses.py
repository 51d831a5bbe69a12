"""Reserved addresses: private, documentation and special IP ranges, and the bits of a MAC address."""

import ipaddress
from typing import NamedTuple

from topodraw.standards.published import Mark, Published

Address = ipaddress.IPv4Address | ipaddress.IPv6Address
Network = ipaddress.IPv4Network | ipaddress.IPv6Network


class ReservedRange(NamedTuple):
    """One range that the registries keep for a purpose."""

    network: Network
    purpose: str
    source: str
    mark: Mark


def _range(network: str, purpose: str, source: str, mark: Mark = "checked") -> ReservedRange:
    return ReservedRange(ipaddress.ip_network(network), purpose, source, mark)


RESERVED_RANGES = (
    _range("10.0.0.0/8", "private", "RFC 1918"),
    _range("172.16.0.0/12", "private", "RFC 1918"),
    _range("192.168.0.0/16", "private", "RFC 1918"),
    _range("192.0.2.0/24", "documentation", "RFC 5737"),
    _range("198.51.100.0/24", "documentation", "RFC 5737"),
    _range("203.0.113.0/24", "documentation", "RFC 5737"),
    _range("100.64.0.0/10", "shared", "RFC 6598", "memory"),
    _range("169.254.0.0/16", "link-local", "RFC 3927"),
    _range("198.18.0.0/15", "benchmark", "RFC 2544"),
    _range("2001:db8::/32", "documentation", "RFC 3849"),
    _range("3fff::/20", "documentation", "RFC 9637", "memory"),
    _range("fc00::/7", "unique-local", "RFC 4193"),
    _range("fe80::/10", "link-local", "RFC 4291"),
)

POINT_TO_POINT_V4_PREFIX = Published(31, "bits", "RFC 3021", "memory", "both addresses of a /31 are usable")
UNIQUE_LOCAL_IN_USE = Published("fd00::/8", "", "RFC 4193", "checked", "the half that sites may number")
EXAMPLE_DOMAINS = Published(("example.com", "example.net", "example.org"), "", "RFC 2606", "memory")
EXAMPLE_TOP_LEVEL_DOMAINS = Published(
    ("example", "test", "invalid", "localhost"), "", "RFC 2606; RFC 6761", "memory"
)
DOCUMENTATION_AS_NUMBERS = Published(((64_496, 64_511), (65_536, 65_551)), "", "RFC 5398", "checked")
PRIVATE_AS_NUMBERS = Published(
    ((64_512, 65_534), (4_200_000_000, 4_294_967_294)), "", "RFC 6996", "memory", "second range from memory"
)

MAC_GROUP_BIT = Published(0x01, "", "IEEE 802c; RFC 9542", "checked", "in the first octet")
MAC_LOCAL_BIT = Published(0x02, "", "IEEE 802c; RFC 9542", "checked", "in the first octet")
DOCUMENTATION_MAC_PREFIX = Published(
    "00:00:5e:00:53", "", "RFC 9542 (was RFC 7042)", "checked", "first five octets"
)
DOCUMENTATION_GROUP_MAC_PREFIX = Published("01:00:5e:90:10", "", "RFC 9542 (was RFC 7042)", "checked")


def reserved_range(address: Address) -> ReservedRange | None:
    """Return the reserved range that an address lies in, or None for any other address."""
    for row in RESERVED_RANGES:
        if row.network.version == address.version and address in row.network:
            return row
    return None


def is_for_private_use(address: Address) -> bool:
    """Say whether a site may number its own gear with an address: RFC 1918 and RFC 4193."""
    row = reserved_range(address)
    return row is not None and row.purpose in ("private", "unique-local")


def is_for_documentation(address: Address) -> bool:
    """Say whether an address is set aside for examples: RFC 5737, RFC 3849, RFC 9637."""
    row = reserved_range(address)
    return row is not None and row.purpose == "documentation"


def mac_is_group(mac: str) -> bool:
    """Say whether a MAC address (``02:00:5e:10:00:01``) names a group: no gear can own such a one.

    Raises ValueError if the first octet is not hexadecimal.
    """
    return bool(int(mac[:2], 16) & MAC_GROUP_BIT.value)


def mac_is_locally_administered(mac: str) -> bool:
    """Say whether a MAC address was given locally rather than by its maker (IEEE 802c).

    Raises ValueError if the first octet is not hexadecimal.
    """
    return bool(int(mac[:2], 16) & MAC_LOCAL_BIT.value)
