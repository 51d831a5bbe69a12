"""The nearest right word for a misspelt one."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from itertools import islice

_MOST_LETTERS_OFF = 4


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The entry of `known` that `word` was probably meant to be, or None if none is near."""
    import difflib  # only a mistake needs it, and it takes time to load

    candidates = list(known)
    folded = {_fold(name): name for name in reversed(candidates)}
    if _fold(word) in folded:
        return folded[_fold(word)]
    alike = [name for name in candidates if abs(len(name) - len(word)) <= _MOST_LETTERS_OFF]
    close = difflib.get_close_matches(word, alike, n=1, cutoff=0.6)
    return close[0] if close else None


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """`; did you mean 'core'?`, or nothing where no known word is near."""
    near = nearest(word, known)
    return f"; did you mean {near!r}?" if near else ""


def listed(words: Iterable[str], most: int = 12) -> str:
    """Words for a message: all of them if they are few, else the first few and how many more there are."""
    known = words if isinstance(words, Collection) else list(words)
    if not known:
        return "none"
    more = f" and {len(known) - most} more" if len(known) > most else ""
    return ", ".join(islice(known, most)) + more


def with_and(words: Sequence[str]) -> str:
    """Words as they stand in a sentence: `a, b and c`; empty for none."""
    return " and ".join(part for part in (", ".join(words[:-1]), *words[-1:]) if part)


def _fold(word: str) -> str:
    return word.lower().replace("_", "-").replace(" ", "-")
