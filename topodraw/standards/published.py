"""The form that a published value takes here: what it is, in which unit, who says so, and how sure we are."""

from collections.abc import Iterable
from typing import Generic, Literal, NamedTuple, TypeVar, get_args

Mark = Literal["checked", "calculated", "memory", "weak"]
"""How a value was confirmed.

``checked``: found in the standard, in an open text or in working code that cites it.
``calculated``: plain arithmetic on marked values, or a choice of this project that says so.
``memory``: well known to the writer, not looked up.
``weak``: found only in a secondary table that is no authority itself.
"""

MARKS: tuple[Mark, ...] = get_args(Mark)

Value = TypeVar("Value")


class Published(NamedTuple, Generic[Value]):
    """One published value: ``source`` names the standard and clause, ``unit`` is empty for pure numbers."""

    value: Value
    unit: str
    source: str
    mark: Mark
    note: str = ""


class UnknownEntryError(LookupError):
    """A table was asked for a row it doesn't have."""

    def __init__(self, what: str, asked: object, known: Iterable[object]) -> None:
        """Say which ``what`` was ``asked`` for and which are ``known``, in the table's own order."""
        super().__init__(f"there is no {what} {asked!r} in the table; it has: {', '.join(map(str, known))}")
