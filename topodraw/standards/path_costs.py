"""Spanning-tree path costs, priorities and their legal ranges: IEEE 802.1D-2004 and 802.1D-1998."""

from typing import NamedTuple

from topodraw.standards.published import Mark, Published

_M, _G, _T = 10**6, 10**9, 10**12

BRIDGE_PRIORITY_STEP = Published(4096, "", "IEEE 802.1D-2004 17.14; RFC 4188", "checked")
BRIDGE_PRIORITY_MIN = Published(0, "", "IEEE 802.1D-2004 17.14; RFC 4188", "checked")
BRIDGE_PRIORITY_MAX = Published(61_440, "", "IEEE 802.1D-2004 17.14; RFC 4188", "checked")
BRIDGE_PRIORITY_DEFAULT = Published(32_768, "", "IEEE 802.1D-2004 17.14; RFC 4188", "checked")

PORT_PRIORITY_STEP = Published(16, "", "IEEE 802.1D-2004 17.14; RFC 4188", "checked")
PORT_PRIORITY_MIN = Published(0, "", "IEEE 802.1D-2004 17.14; RFC 4188", "checked")
PORT_PRIORITY_MAX = Published(240, "", "IEEE 802.1D-2004 17.14; RFC 4188", "checked")
PORT_PRIORITY_DEFAULT = Published(128, "", "IEEE 802.1D-2004 17.14; RFC 4188", "checked")
PORT_NUMBER_MAX = Published(4095, "", "IEEE 802.1D-2004 9.2.7", "checked", "12 bits, counted from 1")

PATH_COST_MIN = Published(1, "", "RFC 4188; RFC 4318", "checked")
PATH_COST_MAX_2004 = Published(200_000_000, "", "IEEE 802.1D-2004 Table 17-3; RFC 4318", "checked")
PATH_COST_MAX_1998 = Published(65_535, "", "IEEE 802.1D-1998 8.5.5.3; RFC 4188", "checked")
PATH_COST_TIMES_RATE = Published(
    20 * _T, "bit/s", "IEEE 802.1D-2004 Table 17-3; IEEE 802.1Q Table 13-4", "checked", "cost = this / rate"
)

COST_ABOVE_1998_TABLE = Published(
    1, "", "house rule: the 1998 table ends at 10 Gbit/s and 1 is the least legal cost", "calculated"
)


class AdvisedCost(NamedTuple):
    """One row of a published table: the advised cost for a link rate, and the range advised around it."""

    rate_bps: int
    cost: int
    least: int | None
    most: int | None
    source: str
    mark: Mark


_2004 = "IEEE 802.1D-2004 Table 17-3"
_1998 = "IEEE 802.1D-1998 Table 8-5"

PATH_COSTS_2004 = (
    AdvisedCost(1 * _M, 20_000_000, None, None, _2004, "checked"),
    AdvisedCost(10 * _M, 2_000_000, 200_000, 20_000_000, _2004, "checked"),
    AdvisedCost(100 * _M, 200_000, 20_000, 2_000_000, _2004, "checked"),
    AdvisedCost(1 * _G, 20_000, 2_000, 200_000, _2004, "checked"),
    AdvisedCost(2500 * _M, 8_000, None, None, _2004, "calculated"),
    AdvisedCost(5 * _G, 4_000, None, None, _2004, "calculated"),
    AdvisedCost(10 * _G, 2_000, 200, 20_000, _2004, "checked"),
    AdvisedCost(25 * _G, 800, None, None, _2004, "calculated"),
    AdvisedCost(40 * _G, 500, None, None, _2004, "calculated"),
    AdvisedCost(50 * _G, 400, None, None, _2004, "calculated"),
    AdvisedCost(100 * _G, 200, None, None, _2004, "checked"),
    AdvisedCost(200 * _G, 100, None, None, _2004, "calculated"),
    AdvisedCost(400 * _G, 50, None, None, _2004, "calculated"),
    AdvisedCost(1 * _T, 20, None, None, _2004, "checked"),
    AdvisedCost(10 * _T, 2, None, None, _2004, "checked"),
)
"""The table that the formula reproduces; rows between the published ones are calculated from it."""

PATH_COSTS_1998 = (
    AdvisedCost(4 * _M, 250, None, None, _1998, "memory"),
    AdvisedCost(10 * _M, 100, 50, 600, _1998, "checked"),
    AdvisedCost(16 * _M, 62, None, None, _1998, "memory"),
    AdvisedCost(100 * _M, 19, 10, 60, _1998, "checked"),
    AdvisedCost(1 * _G, 4, 3, 10, _1998, "checked"),
    AdvisedCost(10 * _G, 2, 1, 5, _1998, "checked"),
)


def path_cost_2004(speed_bps: int | None) -> int:
    """Return the 32-bit path cost of a port speed in bit/s, IEEE 802.1D-2004 Table 17-3.

    The cost is 20,000,000 divided by the speed in Mbit/s, rounded down, kept within 1 to 200,000,000.
    An aggregate's speed is the sum of its members'. An unknown speed (None) costs 200,000,000.
    Raises ValueError for a speed that is not above 0.
    """
    if speed_bps is None:
        return PATH_COST_MAX_2004.value
    _refuse_no_speed(speed_bps)
    cost = PATH_COST_TIMES_RATE.value // speed_bps
    return min(max(cost, PATH_COST_MIN.value), PATH_COST_MAX_2004.value)


def path_cost_1998(speed_bps: int | None) -> int:
    """Return the 16-bit path cost of a port speed in bit/s, IEEE 802.1D-1998 Table 8-5.

    House rules where that table is silent (``is_in_1998_table`` says where): a speed between two rows costs
    what the slower row costs, so that 2 x 1 Gbit/s costs 4; above 10 Gbit/s the cost is 1; an unknown speed
    (None), or one below the table, costs 65,535. Raises ValueError for a speed that is not above 0.
    """
    if speed_bps is None:
        return PATH_COST_MAX_1998.value
    _refuse_no_speed(speed_bps)
    if speed_bps > PATH_COSTS_1998[-1].rate_bps:
        return COST_ABOVE_1998_TABLE.value
    rows = [row for row in PATH_COSTS_1998 if row.rate_bps <= speed_bps]
    return rows[-1].cost if rows else PATH_COST_MAX_1998.value


def is_in_1998_table(speed_bps: int) -> bool:
    """Say whether IEEE 802.1D-1998 Table 8-5 itself has a row for a speed in bit/s."""
    return any(row.rate_bps == speed_bps for row in PATH_COSTS_1998)


def bridge_priority_is_legal(priority: int) -> bool:
    """Say whether a bridge priority is one of the 16 that IEEE 802.1D-2004 17.14 allows."""
    in_range = BRIDGE_PRIORITY_MIN.value <= priority <= BRIDGE_PRIORITY_MAX.value
    return in_range and priority % BRIDGE_PRIORITY_STEP.value == 0


def port_priority_is_legal(priority: int) -> bool:
    """Say whether a port priority is one of the 16 that IEEE 802.1D-2004 17.14 allows."""
    in_range = PORT_PRIORITY_MIN.value <= priority <= PORT_PRIORITY_MAX.value
    return in_range and priority % PORT_PRIORITY_STEP.value == 0


def path_cost_is_legal_2004(cost: int) -> bool:
    """Say whether a fixed path cost lies within 1 to 200,000,000 (RFC 4318)."""
    return PATH_COST_MIN.value <= cost <= PATH_COST_MAX_2004.value


def path_cost_is_legal_1998(cost: int) -> bool:
    """Say whether a fixed path cost lies within 1 to 65,535 (RFC 4188)."""
    return PATH_COST_MIN.value <= cost <= PATH_COST_MAX_1998.value


def _refuse_no_speed(speed_bps: int) -> None:
    if speed_bps <= 0:
        raise ValueError(
            f"a speed of {speed_bps} bit/s has no path cost: give one above 0, or None if unknown"
        )
