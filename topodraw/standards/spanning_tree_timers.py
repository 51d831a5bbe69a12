"""Spanning-tree timers and the limits that follow from them: IEEE 802.1D and 802.1Q."""

from typing import NamedTuple

from topodraw.standards.published import Mark, Published


class Timer(NamedTuple):
    """A timer's default and range in ``unit``; least and most are None where no range was found."""

    name: str
    default: int
    least: int | None
    most: int | None
    unit: str
    source: str
    mark: Mark


MAX_AGE = Timer("max age", 20, 6, 40, "s", "IEEE 802.1D-2004 17.14; RFC 4188", "checked")
FORWARD_DELAY = Timer("forward delay", 15, 4, 30, "s", "IEEE 802.1D-2004 17.14; RFC 4188", "checked")
HELLO = Timer("hello", 2, 1, 10, "s", "IEEE 802.1D-1998; RFC 4188 (2004 narrows to 1 to 2)", "checked")
TRANSMIT_HOLD_COUNT = Timer(
    "transmit hold count", 6, 1, 10, "frames", "IEEE 802.1D-2004 17.14 (RFC 4318 says 3)", "checked"
)
MIGRATE_TIME = Timer("migrate time", 3, None, None, "s", "IEEE 802.1D-2004 17.14", "checked")
MAX_HOPS = Timer("max hops", 20, None, None, "bridges", "IEEE 802.1Q 13.26", "checked")
MAC_AGEING = Timer("address ageing", 300, None, None, "s", "IEEE 802.1D-2004 7.9.2", "checked")

BRIDGE_DIAMETER = Published(
    7, "bridges", "IEEE 802.1D-1998 8.10.2", "memory", "between any two stations, default timers"
)

MSTP_DIGEST_KEY = Published(
    bytes.fromhex("13AC06A62E47FD51F95D2BA243CD0346"),
    "",
    "IEEE 802.1Q Table 13-1; checked by the digests of Table 13-2",
    "checked",
    "HMAC-MD5 key of the configuration digest",
)


def timers_agree(max_age_s: float, forward_delay_s: float, hello_s: float) -> bool:
    """Say whether three timers in s keep 2 (forward delay - 1) >= max age >= 2 (hello + 1): IEEE 802.1D."""
    return 2 * (forward_delay_s - 1) >= max_age_s >= 2 * (hello_s + 1)
