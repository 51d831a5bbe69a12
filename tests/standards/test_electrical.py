"""Heat and load constants against the definition of their units."""

import pytest

from topodraw.standards import electrical


# The International Table BTU is 1055.056 J: 1 kW gives 3,412.14 BTU/h, a ton of 12,000 BTU/h is 3.517 kW.
def test_heat_follows_from_the_unit() -> None:
    assert electrical.heat_btu_per_hour(1000) == pytest.approx(3412.14, abs=0.01)
    assert electrical.heat_btu_per_hour(electrical.TON_OF_COOLING_W.value) == pytest.approx(12_000, rel=1e-4)


# NEC 210.20: the overcurrent device is rated for 125 % of the continuous load.
def test_the_load_factor_is_the_inverse_of_125_percent() -> None:
    assert electrical.CONTINUOUS_LOAD_FACTOR.value == pytest.approx(1 / 1.25)


def test_each_caution_defers_to_people_or_to_a_test() -> None:
    assert "qualified person" in electrical.CIRCUIT_CAUTION
    assert "Estimate only" in electrical.UPS_CAUTION
    assert "Test under load" in electrical.UPS_CAUTION


# Four battery calculators agree: flooded 1.20 to 1.35, absorbent mat 1.10 to 1.20, lithium iron 1.03 to 1.08.
def test_peukert_ranges() -> None:
    ranges = [(row.least, row.most) for row in electrical.PEUKERT_EXPONENTS]
    assert ranges == [(1.20, 1.35), (1.10, 1.20), (1.03, 1.08)]


# NEC Article 100: continuous means three hours or more. Practice: either of two feeds carries everything.
def test_what_continuous_and_redundant_mean() -> None:
    assert electrical.CONTINUOUS_LOAD_H.value == 3
    share = electrical.TWO_FEED_SHARE.value * electrical.CONTINUOUS_LOAD_FACTOR.value
    assert share == pytest.approx(0.4)
    assert electrical.UPS_REPLACE_BATTERY_BELOW.value == 0.8
