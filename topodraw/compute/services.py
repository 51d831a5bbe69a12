"""Services as sets: which are the same, and which another already includes."""

from __future__ import annotations

from collections.abc import Iterable


def service_range(service: str) -> tuple[str, int, int]:
    """Take `tcp/5000-5010` apart: protocol, first and last port (0 where it has none, as for icmp)."""
    protocol, _, ports = service.partition("/")
    first, _, last = ports.partition("-")
    return protocol, int(first or 0), int(last or first or 0)


def includes(service: str, other: str) -> bool:
    """Whether all of `other` is part of `service`; `any` includes everything."""
    if service == "any":
        return True
    protocol, first, last = service_range(service)
    other_protocol, other_first, other_last = service_range(other)
    return protocol == other_protocol and first <= other_first and other_last <= last


def overlap(service: str, other: str) -> bool:
    """Whether two services have anything in common."""
    if "any" in (service, other):
        return True
    protocol, first, last = service_range(service)
    other_protocol, other_first, other_last = service_range(other)
    return protocol == other_protocol and first <= other_last and other_first <= last


def merge_services(services: Iterable[str]) -> tuple[str, ...]:
    """Each service once, without those that another includes, by protocol and port."""
    distinct = sorted(set(services), key=lambda service: (service_range(service), service))
    return tuple(
        service
        for service in distinct
        if not any(other != service and includes(other, service) for other in distinct)
    )
