"""Conduits, promises and waivers: which things they are about."""

from __future__ import annotations

from typing import TypeVar, cast

from pydantic import BaseModel

from topodraw.model.fields import Flow
from topodraw.model.network import Conduit, Endpoint, EndpointKind
from topodraw.model.promises import Promise, Waiver
from topodraw.model.references import KINDS, Names
from topodraw.model.validation import Validator
from topodraw.model.written import (
    PROMISES,
    AlwaysPromise,
    ConduitEntry,
    NeverPromise,
    RatePromise,
    RootPromise,
    RuntimePromise,
    SurvivePromise,
    WaiverEntry,
)
from topodraw.source.nodes import Plain
from topodraw.source.suggest import did_you_mean, listed

Path = tuple[str, ...]
Model = TypeVar("Model", bound=BaseModel)

_ENDPOINTS = ("zones", "vlans", "gear", "workloads", "remotes", "clusters", "pools")
_FAILING = ("cables", "gear", "runs", "breakers", "stacks", "cords")
_ANY = ("any cable", "any gear", "any run", "any breaker")


class FlowResolver:
    """Finds what flows and promises name."""

    def __init__(self, names: Names, validator: Validator) -> None:
        self._names = names
        self._validator = validator

    def endpoint(self, text: str, path: Path) -> Endpoint | None:
        """The thing on one side of a flow. A name that is both a zone and something else means the zone."""
        if text in self._names.known("zones"):
            return Endpoint("zone", text)
        found = self._names.find(_ENDPOINTS, text, path)
        return Endpoint(cast(EndpointKind, KINDS[found[0]]), found[1]) if found else None

    def conduit(self, number: int, written: Plain) -> Conduit | None:
        """The conduit at place `number` (from 1) of the list; None after a report."""
        at = ("conduits", str(number - 1))
        keys: Plain = {"flow": written} if isinstance(written, str) else written
        entry = self._validator.entry(ConduitEntry, keys, at, None)
        if entry is None:
            return None
        source, target = self._both(entry.flow, (*at, "flow"))
        to = None
        if entry.to is not None:
            found = self._names.find(("workloads", "gear"), entry.to, (*at, "to"))
            to = Endpoint("workload" if found[0] == "workloads" else "gear", found[1]) if found else None
        if source is None or target is None:
            return None
        flow = entry.flow
        return Conduit(number, flow, source, target, flow.both_ways, entry.allow, to, entry.because, at)

    def _both(self, flow: Flow, path: Path) -> tuple[Endpoint | None, Endpoint | None]:
        return self.endpoint(flow.source, path), self.endpoint(flow.target, path)

    def promise(self, number: int, written: Plain) -> Promise | None:
        """The promise at place `number` (from 1) of the list; None after a report."""
        at = ("expect", str(number - 1))
        keys = list(written) if isinstance(written, dict) else []
        kinds = [key for key in keys if key in PROMISES]
        if not isinstance(written, dict) or len(kinds) != 1:
            self._tell_kinds(keys, kinds, at)
            return None
        text = ", ".join(f"{key}: {value}" for key, value in written.items() if key != "because")
        entry = self._validator.entry(PROMISES[kinds[0]], written, at, None)
        if isinstance(entry, RootPromise):
            found = self._names.find(("gear", "stacks"), entry.root, (*at, "root"))
            return Promise(number, "root", text, at, entry.because, root=found[1]) if found else None
        if isinstance(entry, NeverPromise):
            promise = Promise(
                number, "never", text, at, entry.because, flow=entry.never, service=entry.service
            )
            return self._about_flow(promise, "never")
        if isinstance(entry, AlwaysPromise):
            promise = Promise(
                number, "always", text, at, entry.because, flow=entry.always, service=entry.service
            )
            return self._about_flow(promise, "always")
        if isinstance(entry, SurvivePromise):
            return self._survive(number, text, at, entry)
        if isinstance(entry, RatePromise):
            speed = entry.at_least_bps
            promise = Promise(number, "rate", text, at, entry.because, flow=entry.rate, at_least_bps=speed)
            return self._about_flow(promise, "rate")
        if isinstance(entry, RuntimePromise):
            self._names.check("gear", entry.runtime, (*at, "runtime"))
            ups, time_s = entry.runtime, entry.at_least_s
            return Promise(number, "runtime", text, at, entry.because, ups=ups, at_least_s=time_s)
        return None

    def _tell_kinds(self, keys: list[str], kinds: list[str], at: Path) -> None:
        fix = f"a promise has one of the keys: {listed(PROMISES)}"
        if len(kinds) > 1:
            self._names.tell("bad-value", f"one promise says {' and '.join(kinds)}", "make two of it", at)
        elif keys:
            message = f"unknown kind of promise {keys[0]!r}{did_you_mean(keys[0], PROMISES)}"
            self._names.tell_key("unknown-key", message, fix, (*at, keys[0]))
        else:
            self._names.tell("bad-value", "a promise is a mapping such as {root: core}", fix, at)

    def _about_flow(self, promise: Promise, key: str) -> Promise | None:
        import dataclasses

        assert promise.flow is not None
        source, target = self._both(promise.flow, (*promise.at, key))
        return dataclasses.replace(promise, source=source, target=target) if source and target else None

    def _survive(self, number: int, text: str, at: Path, entry: SurvivePromise) -> Promise | None:
        survive, kind = entry.survive, None
        if survive not in _ANY:
            near = did_you_mean(survive, _ANY) if survive.startswith("any ") else ""
            if near:
                message = f"{survive!r} is nothing that can fail{near}"
                self._names.tell(
                    "missing-reference", message, f"write {listed(_ANY)} or a name", (*at, "survive")
                )
                return None
            found = self._names.find(_FAILING, survive, (*at, "survive"))
            if found is None:
                return None
            kind, survive = KINDS[found[0]], found[1]
        if entry.vlan is not None:
            self._names.check("vlans", entry.vlan, (*at, "vlan"))
        promise = Promise(
            number,
            "survive",
            text,
            at,
            entry.because,
            flow=entry.keep,
            survive=survive,
            survive_kind=kind,
            vlan=entry.vlan,
            for_s=entry.for_s,
        )
        return self._about_flow(promise, "keep")

    def waiver(self, number: int, written: Plain) -> Waiver | None:
        """The waiver at place `number` (from 1) of the list; None after a report."""
        at = ("waivers", str(number - 1))
        entry = self._validator.entry(WaiverEntry, written, at, None)
        return Waiver(entry.rule, entry.on, entry.because, entry.until, at) if entry else None
