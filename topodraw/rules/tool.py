"""A rule about the tool: a rule that crashes is told, never passed over in silence."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from topodraw.rules.rule import COMMON_PRACTICE, Objection, Outcome, rule


@dataclass(frozen=True, slots=True)
class Crash:
    """One rule that could not finish, what was raised, and where in the code."""

    rule: str
    error: str
    place: str


@rule(
    name="tool-error",
    severity="error",
    question="Did every rule run to its end?",
    why="A rule that crashed has judged nothing after that point: what it would have found is unknown.",
    fix="Report it to the makers of topodraw, with this text and the smallest site that shows it.",
    source=COMMON_PRACTICE,
    breaks="",
    keeps="",
    about="tool",
)
def tool_error(crashes: tuple[Crash, ...]) -> Iterator[Outcome]:
    for crash in crashes:
        yield Objection(
            (),
            f"The rule {crash.rule} could not finish ({crash.error}, in {crash.place}). "
            "This is a fault of topodraw, not of the site.",
            (),
        )
