"""What a check has to say: findings, and what could not be judged."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Severity = Literal["error", "warning", "note"]
SEVERITIES: tuple[Severity, ...] = ("error", "warning", "note")

SourcePath = tuple[str, ...]
"""Where in the model a thing is said, e.g. `("gear", "core", "ports", "x5", "tagged")`."""


@dataclass(frozen=True, slots=True)
class Finding:
    """One objection: `on` names every thing concerned as the source writes it; `at` is the text to change."""

    rule: str
    severity: Severity
    on: tuple[str, ...]
    message: str
    why: str
    fix: str
    at: SourcePath
    waived_until: str | None = None


@dataclass(frozen=True, slots=True)
class Unchecked:
    """A rule that could not judge `on`, because `missing` is not stated (or not computed yet)."""

    rule: str
    on: tuple[str, ...]
    missing: str
