"""What must hold, and what has been accepted in writing."""

from dataclasses import dataclass
from typing import Literal

from topodraw.model.fields import Flow
from topodraw.model.finding import SourcePath
from topodraw.model.network import Endpoint

PromiseKind = Literal["root", "never", "always", "survive", "rate", "runtime"]


@dataclass(frozen=True, slots=True)
class Promise:
    """A line under `expect:`; which fields are set depends on `kind`."""

    number: int
    """Its place in the list, from 1."""
    kind: PromiseKind
    text: str
    """The promise in one line, as sheets and findings show it."""
    at: SourcePath
    because: str | None = None
    root: str | None = None
    """Gear or stack (kind root)."""
    flow: Flow | None = None
    """kind never, always; the `keep` of survive; the flow of rate."""
    source: Endpoint | None = None
    target: Endpoint | None = None
    service: str | None = None
    survive: str | None = None
    """`any cable`, `any gear`, `any run`, `any breaker`, or the name of one such thing."""
    survive_kind: str | None = None
    """`cable`, `gear`, ... where `survive` is a name: two kinds of thing may share one."""
    vlan: str | None = None
    for_s: float | None = None
    at_least_bps: int | None = None
    ups: str | None = None
    at_least_s: float | None = None


@dataclass(frozen=True, slots=True)
class Waiver:
    """A finding accepted in writing until a day (ISO 8601 date)."""

    rule: str
    on: str
    because: str
    until: str
    at: SourcePath
