"""The sections of the language, and the kind of entry that stands in each."""

from __future__ import annotations

from types import MappingProxyType

from topodraw.model.cabling import Breaker, Run, Stack
from topodraw.model.entry import Entry
from topodraw.model.hardware import Hardware
from topodraw.model.hosting import Cluster, Copy, Pool, Workload
from topodraw.model.network import Remote, Vlan, Zone
from topodraw.model.places import Place
from topodraw.model.site import Purpose
from topodraw.model.written import AggregateEntry, CableEntry, CordEntry, GearEntry, WaiverEntry

NAMED: MappingProxyType[str, type[Entry]] = MappingProxyType(
    {
        "hardware": Hardware,
        "places": Place,
        "gear": GearEntry,
        "cables": CableEntry,
        "runs": Run,
        "aggregates": AggregateEntry,
        "stacks": Stack,
        "cords": CordEntry,
        "breakers": Breaker,
        "vlans": Vlan,
        "zones": Zone,
        "clusters": Cluster,
        "pools": Pool,
        "workloads": Workload,
        "remotes": Remote,
        "purposes": Purpose,
    }
)
"""Sections that map names to entries, with the kind of each entry."""

LISTS: MappingProxyType[str, type[Entry]] = MappingProxyType({"copies": Copy, "waivers": WaiverEntry})
"""Sections that are lists of one kind of entry."""

LISTS_OF_SEVERAL = ("conduits", "expect")
"""Lists whose items come in several kinds."""

PATTERNS = ("naming",)
"""Sections that map names to a text."""

SECTIONS = (*NAMED, *LISTS_OF_SEVERAL, *LISTS, *PATTERNS)
"""Every section that may stand at the top of a file."""
