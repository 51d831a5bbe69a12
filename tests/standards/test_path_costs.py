"""Path costs against IEEE 802.1D-1998, 802.1D-2004 and 802.1Q."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from topodraw.standards import path_costs

_M, _G = 10**6, 10**9
speeds = st.integers(min_value=1, max_value=10**14)


# IEEE 802.1Q Table 13-4, as the tests of an open-source MSTP daemon quote it (1 Mbit/s to 10 Tbit/s).
@pytest.mark.parametrize(
    ("mbit_per_s", "cost"),
    [
        (1, 20_000_000),
        (10, 2_000_000),
        (100, 200_000),
        (1_000, 20_000),
        (10_000, 2_000),
        (100_000, 200),
        (1_000_000, 20),
        (10_000_000, 2),
    ],
)
def test_published_32_bit_costs(mbit_per_s: int, cost: int) -> None:
    assert path_costs.path_cost_2004(mbit_per_s * _M) == cost


# Switch guides that agree, on an aggregate of 2, 3 and 4 links of 1 Gbit/s ("802.1t"); 10 Gbit/s likewise.
@pytest.mark.parametrize(
    ("members", "rate_bps", "cost"),
    [(2, _G, 10_000), (3, _G, 6_666), (4, _G, 5_000), (2, 10 * _G, 1_000), (3, 10 * _G, 666)],
)
def test_an_aggregate_costs_by_the_sum_of_its_members(members: int, rate_bps: int, cost: int) -> None:
    assert path_costs.path_cost_2004(members * rate_bps) == cost


def test_the_printed_32_bit_table_is_what_the_formula_gives() -> None:
    for row in path_costs.PATH_COSTS_2004:
        assert path_costs.path_cost_2004(row.rate_bps) == row.cost


# IEEE 802.1D-1998 Table 8-5, as the Linux kernel (10 M, 100 M, 10 G) and switch guides (1 G = 4) have it.
@pytest.mark.parametrize(("speed_bps", "cost"), [(10 * _M, 100), (100 * _M, 19), (_G, 4), (10 * _G, 2)])
def test_published_16_bit_costs(speed_bps: int, cost: int) -> None:
    assert path_costs.path_cost_1998(speed_bps) == cost
    assert path_costs.is_in_1998_table(speed_bps)


def test_house_rules_where_the_1998_table_is_silent() -> None:
    # Switch guides give an aggregate of 2 x 1 Gbit/s the cost of one link in 16-bit mode: 4.
    assert path_costs.path_cost_1998(2 * _G) == 4
    assert path_costs.path_cost_1998(2_500 * _M) == 4
    assert path_costs.path_cost_1998(25 * _G) == 1
    assert path_costs.path_cost_1998(1 * _M) == 65_535
    assert path_costs.path_cost_1998(None) == 65_535
    assert not any(path_costs.is_in_1998_table(speed) for speed in (2 * _G, 2_500 * _M, 25 * _G, _M))


# IEEE 802.1D-2004 Table 17-3: an unknown speed takes the highest cost.
def test_an_unknown_speed_costs_the_most() -> None:
    assert path_costs.path_cost_2004(None) == 200_000_000
    assert path_costs.path_cost_2004(1) == 200_000_000


@given(speeds, speeds)
def test_a_faster_port_never_costs_more(one_bps: int, other_bps: int) -> None:
    slow, fast = sorted((one_bps, other_bps))
    assert path_costs.path_cost_2004(slow) >= path_costs.path_cost_2004(fast)
    assert path_costs.path_cost_1998(slow) >= path_costs.path_cost_1998(fast)


@given(speeds)
def test_every_default_cost_is_legal(speed_bps: int) -> None:
    assert path_costs.path_cost_is_legal_2004(path_costs.path_cost_2004(speed_bps))
    assert path_costs.path_cost_is_legal_1998(path_costs.path_cost_1998(speed_bps))


@pytest.mark.parametrize("speed_bps", [0, -1])
def test_no_speed_has_no_cost(speed_bps: int) -> None:
    with pytest.raises(ValueError, match="no path cost"):
        path_costs.path_cost_2004(speed_bps)
    with pytest.raises(ValueError, match="no path cost"):
        path_costs.path_cost_1998(speed_bps)


# RFC 4188 and RFC 4318: 1 to 65,535 and 1 to 200,000,000; the open-source daemon's tests refuse 200,000,001.
def test_fixed_costs_stay_in_their_range() -> None:
    assert [
        cost for cost in (0, 1, 200_000_000, 200_000_001) if path_costs.path_cost_is_legal_2004(cost)
    ] == [
        1,
        200_000_000,
    ]
    assert [cost for cost in (0, 1, 65_535, 65_536) if path_costs.path_cost_is_legal_1998(cost)] == [
        1,
        65_535,
    ]


# IEEE 802.1D-2004 17.14 and RFC 4188: 0 to 61,440 in steps of 4,096; ports 0 to 240 in steps of 16.
def test_sixteen_priorities_are_legal_for_bridges_and_for_ports() -> None:
    bridges = [priority for priority in range(-4096, 70_000) if path_costs.bridge_priority_is_legal(priority)]
    ports = [priority for priority in range(-16, 512) if path_costs.port_priority_is_legal(priority)]
    assert (len(bridges), bridges[0], bridges[-1]) == (16, 0, 61_440)
    assert (len(ports), ports[0], ports[-1]) == (16, 0, 240)
    assert (path_costs.BRIDGE_PRIORITY_MAX.value, path_costs.PORT_PRIORITY_MAX.value) == (61_440, 240)
    assert path_costs.BRIDGE_PRIORITY_DEFAULT.value == 32_768
    assert path_costs.PORT_PRIORITY_DEFAULT.value == 128


# IEEE 802.1D-1998 Table 8-5 and 802.1D-2004 Table 17-3, advised ranges; those of 10 Gbit/s, and the rows for
# 4 and 16 Mbit/s, are from memory.
def test_advised_ranges_hold_the_advised_cost() -> None:
    in_1998 = {row.rate_bps // _M: row[1:4] for row in path_costs.PATH_COSTS_1998}
    assert in_1998 == {
        4: (250, None, None),
        10: (100, 50, 600),
        16: (62, None, None),
        100: (19, 10, 60),
        1_000: (4, 3, 10),
        10_000: (2, 1, 5),
    }
    for row in path_costs.PATH_COSTS_2004:
        if row.least is not None:
            assert (row.least, row.most) == (row.cost // 10, row.cost * 10)


# IEEE 802.1D-2004 9.2.7: 4 bits of priority and 12 bits of number make the 16-bit port identifier.
def test_a_port_identifier_fills_sixteen_bits() -> None:
    highest = path_costs.PORT_PRIORITY_MAX.value << 8 | path_costs.PORT_NUMBER_MAX.value
    assert highest == 0xFFFF
