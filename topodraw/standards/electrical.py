"""Power, heat and battery constants, with the cautions that go beside any result made from them."""

from typing import NamedTuple

from topodraw.standards.published import Mark, Published

CONTINUOUS_LOAD_FACTOR = Published(
    0.8,
    "of the rating",
    "NEC 210.19, 210.20: the overcurrent device is rated for 125 % of a continuous load",
    "checked",
    "IEC 60364-4-43 has no such rule, so sites may set their own",
)
CONTINUOUS_LOAD_H = Published(
    3.0, "h", "NEC Article 100", "checked", "a load expected to last this long or longer"
)
TWO_FEED_SHARE = Published(
    0.5,
    "of the load",
    "common practice, no published source",
    "memory",
    "either feed must carry everything alone",
)

BTU_J = Published(1055.056, "J", "International Table BTU, ISO 31-4", "memory")
BTU_PER_HOUR_PER_W = Published(
    3600 / BTU_J.value, "BTU/h per W", "3600 s/h divided by the BTU in J", "calculated"
)
TON_OF_COOLING_W = Published(3517.0, "W", "12,000 BTU/h", "calculated")

UPS_REPLACE_BATTERY_BELOW = Published(0.8, "of rated capacity", "trade pages agree", "checked")

UPS_CAUTION = (
    "Estimate only. Real runtime falls with battery age, temperature, high load and repeated cycles. "
    "Test under load and replace batteries below about 80 % of rated capacity."
)
CIRCUIT_CAUTION = "Planning aid, not an electrical design; a qualified person decides under local code."


class PeukertExponent(NamedTuple):
    """The range of Peukert's exponent for a kind of battery: time = H (C / (I H)) ^ exponent."""

    battery: str
    least: float
    most: float
    source: str
    mark: Mark


PEUKERT_EXPONENTS = (
    PeukertExponent("flooded lead-acid", 1.20, 1.35, "four battery calculators agree", "checked"),
    PeukertExponent("absorbent glass mat", 1.10, 1.20, "four battery calculators agree", "checked"),
    PeukertExponent("lithium iron phosphate", 1.03, 1.08, "four battery calculators agree", "checked"),
)


def heat_btu_per_hour(power_w: float) -> float:
    """Return the heat in BTU/h that a power draw in W turns into (1 W = 3.412 BTU/h)."""
    return power_w * BTU_PER_HOUR_PER_W.value
