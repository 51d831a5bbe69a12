"""What a plain YAML word means: the core schema of YAML 1.2.2, section 10.3.2.

Under YAML 1.1 `on` and `yes` were truth values and `10:20:30` was a number; here they are text.
"""

from __future__ import annotations

import re

_CONSTANTS: dict[str, bool | float | None] = {
    **dict.fromkeys(("", "~", "null", "Null", "NULL")),
    **dict.fromkeys(("true", "True", "TRUE"), True),
    **dict.fromkeys(("false", "False", "FALSE"), False),
    **dict.fromkeys((".inf", ".Inf", ".INF", "+.inf", "+.Inf", "+.INF"), float("inf")),
    **dict.fromkeys(("-.inf", "-.Inf", "-.INF"), float("-inf")),
    **dict.fromkeys((".nan", ".NaN", ".NAN"), float("nan")),
}
_INTEGER = re.compile(r"[-+]?[0-9]+")
_OCTAL_OR_HEX = re.compile(r"0o[0-7]+|0x[0-9a-fA-F]+")
_FLOAT = re.compile(r"[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?")
_MOST_DIGITS = 300
"""A longer number is nobody's measure of anything; it stays text and is refused where a number is due."""

CAN_BE_NUMBER = frozenset("0123456789+-.")
"""The first characters of numbers."""


def plain_value(text: str) -> str | int | float | bool | None:
    """The value of an unquoted scalar."""
    if text in _CONSTANTS:
        return _CONSTANTS[text]
    if text[0] not in CAN_BE_NUMBER or len(text) > _MOST_DIGITS:
        return text
    if _INTEGER.fullmatch(text):
        return int(text)
    if _FLOAT.fullmatch(text):
        return float(text)
    if _OCTAL_OR_HEX.fullmatch(text):
        return int(text, 0)
    return text
