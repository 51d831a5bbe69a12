"""How colours look to people with a colour-vision deficiency: Machado, Oliveira and Fernandes 2009.

The matrices are for severity 1.0 and for linear sRGB light.
"""

from types import MappingProxyType
from typing import Literal

from topodraw.standards.contrast import (
    CURVE_EXPONENT,
    CURVE_OFFSET,
    LINEAR_BELOW,
    LINEAR_DIVISOR,
    colour,
    linear_channel,
)
from topodraw.standards.published import Published

Deficiency = Literal["protan", "deutan", "tritan"]
Matrix = tuple[tuple[float, float, float], tuple[float, float, float], tuple[float, float, float]]

_SOURCE = "Machado, Oliveira, Fernandes, IEEE TVCG 15(6), 2009, severity 1.0"

_PROTAN: Matrix = (
    (0.152286, 1.052583, -0.204868),
    (0.114503, 0.786281, 0.099216),
    (-0.003882, -0.048116, 1.051998),
)
_DEUTAN: Matrix = (
    (0.367322, 0.860646, -0.227968),
    (0.280085, 0.672501, 0.047413),
    (-0.011820, 0.042940, 0.968881),
)
_TRITAN: Matrix = (
    (1.255528, -0.076749, -0.178779),
    (-0.078411, 0.930809, 0.147602),
    (0.004733, 0.691367, 0.303900),
)
DEFICIENCIES: MappingProxyType[Deficiency, Published[Matrix]] = MappingProxyType(
    {
        "protan": Published(_PROTAN, "", _SOURCE, "checked"),
        "deutan": Published(_DEUTAN, "", _SOURCE, "checked"),
        "tritan": Published(_TRITAN, "", _SOURCE, "checked"),
    }
)
"""The matrix for each deficiency, by name."""


def as_seen_with(deficiency: Deficiency, text: str) -> str:
    """Return the colour ``#rrggbb`` that a colour looks like to a person with a deficiency (Machado 2009).

    Raises ValueError for a colour of another form.
    """
    light = [linear_channel(channel) for channel in colour(text)]
    rows = DEFICIENCIES[deficiency].value
    seen = [sum(weight * channel for weight, channel in zip(row, light, strict=True)) for row in rows]
    return "#" + "".join(f"{round(255 * _encoded(min(max(channel, 0.0), 1.0))):02x}" for channel in seen)


def _encoded(linear: float) -> float:
    """Return the sRGB channel value of linear light: the inverse of ``linear_channel``."""
    if linear <= LINEAR_BELOW.value / LINEAR_DIVISOR.value:
        return linear * LINEAR_DIVISOR.value
    root: float = linear ** (1 / CURVE_EXPONENT.value)
    return (1 + CURVE_OFFSET.value) * root - CURVE_OFFSET.value
