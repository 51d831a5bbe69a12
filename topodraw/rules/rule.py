"""What a rule is: a small function that judges, and the declaration that explains it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Generic, Literal, TypeVar

from topodraw.model.finding import Severity, SourcePath

EXAMPLE_HEADER = "topodraw: 1\nsite: {name: Example, ref: EX}\n"
"""The first two lines of every site; the examples leave them out, unless they are about them."""

COMMON_PRACTICE = "common practice, no published source"
"""The source of a rule that the trade keeps but no standard states."""


@dataclass(frozen=True, slots=True)
class Objection:
    """One thing that breaks the rule: what is concerned, the message, and the text to change.

    `fix` says what to do here; without it the rule's own fix stands.
    """

    on: tuple[str, ...]
    message: str
    at: SourcePath
    fix: str | None = None


@dataclass(frozen=True, slots=True)
class NotJudged:
    """What the rule could not judge, because `missing` is not stated (or not computed yet)."""

    on: tuple[str, ...]
    missing: str


Outcome = Objection | NotJudged
Subject = TypeVar("Subject")
About = Literal["input", "site", "waivers", "tool"]


@dataclass(frozen=True, slots=True)
class Rule(Generic[Subject]):
    """One rule. Its name is in words and never changes: waivers and other programs hold on to it.

    `breaks` and `keeps` are small sites without their first two lines (`topodraw: 1` and `site:`);
    the first breaks this rule alone, the second none.
    """

    name: str
    severity: Severity
    question: str
    why: str
    fix: str
    source: str
    breaks: str
    keeps: str
    judge: Callable[[Subject], Iterator[Outcome]]
    about: About = "site"
    """What it judges: the text (while it is read), the facts of a site, the waivers, or the tool itself."""

    @property
    def example_that_breaks(self) -> str:
        """The whole text of a site that breaks this rule."""
        return _whole(self.breaks)

    @property
    def example_that_keeps(self) -> str:
        """The whole text of a site that keeps it."""
        return _whole(self.keeps)


def _whole(example: str) -> str:
    return example if example.startswith("topodraw:") else EXAMPLE_HEADER + example


def rule(
    *,
    name: str,
    severity: Severity,
    question: str,
    why: str,
    fix: str,
    source: str,
    breaks: str,
    keeps: str,
    about: About = "site",
) -> Callable[[Callable[[Subject], Iterator[Outcome]]], Rule[Subject]]:
    """Declare the function below as a rule; the fields are those of `Rule`."""

    def declare(judge: Callable[[Subject], Iterator[Outcome]]) -> Rule[Subject]:
        return Rule(name, severity, question, why, fix, source, breaks, keeps, judge, about)

    return declare
