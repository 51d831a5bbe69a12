"""What can be wrong with a link, as values that rules turn into findings."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

ProblemKind = Literal[
    "speed-mismatch", "phy-mismatch", "module-cage-mismatch", "medium-mismatch", "mixed-media", "too-long"
]


@dataclass(frozen=True, slots=True)
class LinkProblem:
    """One thing wrong with a link.

    `at` names the ports (`gear/port`) or cables concerned, `detail` says it in one sentence. `rules_out`: no
    link comes up; otherwise it may come up and run badly. Lengths and the source of the limit stand where
    the problem is about them.
    """

    kind: ProblemKind
    at: tuple[str, ...]
    detail: str
    rules_out: bool
    why: str
    """The short form, as the facts document gives it."""
    length_m: float | None = None
    limit_m: float | None = None
    source: str | None = None
