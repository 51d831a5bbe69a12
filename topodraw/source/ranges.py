"""Ranges such as `p1..p24`: one text that stands for several, counted in step.

`C01..C12` keeps its leading zeros, `p12..p1` counts down, the second stem may be left out (`pan/1..12:back`),
and several ranges in one text (`pan-1..pan-4/1..4`) run in step.
"""

from __future__ import annotations

import re
from functools import lru_cache

MOST_MEMBERS = 10_000
"""A longer range is a slip of the finger."""

_LONGEST_TEXT = 400
"""No name or reference is as long as that: it is prose."""

_COUNTER = re.compile(r"([0-9]{1,9})\.\.")
_LAST = re.compile(r"[0-9]{1,9}(?![0-9])")


class RangeError(ValueError):
    """A text with `..` in it that can't be counted; `fix` says what would do."""

    def __init__(self, message: str, fix: str) -> None:
        super().__init__(message)
        self.fix = fix


@lru_cache(maxsize=1024)
def members(text: str) -> tuple[str, ...] | None:
    """What `text` stands for, in order; None if no range is in it. Raises RangeError for a bad range."""
    if len(text) > _LONGEST_TEXT:
        return None
    parts: list[str | list[str]] = []
    rest = text
    length = 0
    while True:
        found = _first_range(rest)
        if found is None:
            break
        before, numbers, rest = found
        if length and len(numbers) != length:
            message = f"the ranges in {text!r} differ in length: {length} and {len(numbers)}"
            raise RangeError(message, "give them the same number of members: they count in step")
        length = len(numbers)
        parts += [before, numbers]
    if not length:
        return None
    parts.append(rest)
    return tuple(
        "".join(part if isinstance(part, str) else part[index] for part in parts) for index in range(length)
    )


def _first_range(text: str) -> tuple[str, list[str], str] | None:
    """What stands before the first range in `text`, its numbers, and what follows."""
    for counter in _COUNTER.finditer(text):
        first, before, after = counter[1], text[: counter.start()], text[counter.end() :]
        for start in range(len(before) + 1):
            stem = before[start:]
            last = _LAST.match(after, len(stem)) if after.startswith(stem) else None
            if last:
                rest = after[last.end() :]
                return before, _numbers(first, last[0], text, (before, stem, rest)), rest
    return None


def _numbers(first: str, last: str, text: str, around: tuple[str, str, str]) -> list[str]:
    start, end = int(first), int(last)
    size = abs(end - start) + 1
    if size > MOST_MEMBERS:
        raise RangeError(f"{text!r} has {size} members", f"a range may have {MOST_MEMBERS} at most")
    padded = any(len(number) > 1 and number[0] == "0" for number in (first, last))
    if padded and len(first) != len(last):
        width = max(len(first), len(last))
        before, stem, rest = around
        sample = f"{before}{first.zfill(width)}..{stem}{last.zfill(width)}{rest}"
        raise RangeError(f"{text!r} counts with a different number of digits at each end", f"write {sample}")
    step = 1 if end >= start else -1
    width = len(first) if padded else 0
    return [str(number).zfill(width) for number in range(start, end + step, step)]
