"""Links: port to port of active gear, through however many panels and cables lie between."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Link:
    """One link. `ends` are sorted, written `gear/port` or the name of a remote; the rest runs from end 0 to end 1."""

    ends: tuple[str, str]
    cables: tuple[str, ...]
    through: tuple[str, ...]
    """The panel ports passed, `panel/port`, in order."""
    phy: str | None
    why: str | None
    """Why no PHY results; None where one does, or where too little is known to say."""
    speed_bps: int | None
    length_m: float | None
    """Sum of the cables' lengths; None where one is unknown."""
    aggregate: str | None
    carries: bool
    """Every cable and gear of it is in service, no port of it is shut, and a PHY isn't ruled out."""
