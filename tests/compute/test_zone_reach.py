"""What zones may start towards each other.

Zones and conduits in the sense of IEC 62443-3-2. That what no conduit names is refused is how this project
reads it; that a router enforces nothing and a firewall does is common practice, no published source.
"""

from __future__ import annotations

import pytest

from topodraw.compute.services import includes, merge_services
from topodraw.compute.zone_reach import ZoneReach, zone_reach
from topodraw.model.fields import Flow
from topodraw.model.gear import Gear
from topodraw.model.hardware import Hardware
from topodraw.model.hosting import Workload
from topodraw.model.network import Conduit, Endpoint, Remote, Vlan, Zone
from topodraw.model.site import Site, SiteInfo

VLANS = {
    # name: zone, gateways
    "science": ("science", ["gate"]),
    "labs": ("science", ["gate"]),
    "servers": ("servers", ["gate"]),
    "watch": ("watch", ["hop"]),
    "guests": ("guests", ["hop"]),
    "published": ("published", ["gate"]),
    "bench": ("bench", []),
}


def conduit(text: str, allow: tuple[str, ...] = ("any",), to: str | None = None) -> Conduit:
    """`science <-> servers`; a name in capitals' kind is `kind:name`, else a zone."""
    source, arrow, target = text.split()

    def endpoint(name: str) -> Endpoint:
        kind, colon, rest = name.partition(":")
        return Endpoint(kind, rest) if colon else Endpoint("zone", name)  # type: ignore[arg-type]

    return Conduit(
        1,
        Flow(source, target, arrow == "<->"),
        endpoint(source),
        endpoint(target),
        arrow == "<->",
        allow,
        endpoint(to) if to else None,
        None,
        ("conduits", "1"),
    )


def gear(name: str, function: str, **more: object) -> Gear:
    return Gear(name, Hardware.model_validate({"@name": "m", "function": function}), {}, **more)  # type: ignore[arg-type]


def reach(*conduits: Conduit, **more: object) -> ZoneReach:
    """A site with a firewall `gate`, a router `hop`, and the VLANs above."""
    zones = sorted({zone for zone, _ in VLANS.values()} | {"internet"})
    vlans = {
        name: Vlan.model_validate({
            "@name": name, "id": 10 + number, "zone": zone, **({"gateway": {"by": by}} if by else {})
        })
        for number, (name, (zone, by)) in enumerate(VLANS.items())
    }  # fmt: skip
    remotes = {
        "uplink": Remote.model_validate({"@name": "uplink", "kind": "internet", "by": "gate"}),
        "mainland": Remote.model_validate(
            {"@name": "mainland", "kind": "tunnel", "by": "gate", "zone": "watch"}
        ),
    }
    workloads = {"web": Workload.model_validate({"@name": "web", "vlan": "published"})}
    fields: dict[str, object] = {
        "gear": {
            "gate": gear("gate", "firewall"),
            "hop": gear("hop", "router"),
            "printer": gear("printer", "printer", addresses={"labs": ()}),
        },
        "workloads": workloads,
        "remotes": remotes,
    }
    return zone_reach(
        Site(
            SiteInfo(name="Saltmarsh", ref="SMF"),
            vlans=vlans,
            zones={name: Zone.model_validate({"@name": name, "title": name}) for name in zones},
            conduits=conduits,
            **{**fields, **more},  # type: ignore[arg-type]
        )
    )


def test_what_no_conduit_names_is_refused_and_inside_a_zone_all_is_allowed() -> None:
    zones = reach().zones
    assert zones["science"]["science"] == "all"
    assert zones["science"]["servers"] == "none"
    assert zones["internet"]["science"] == "none"
    assert list(zones) == sorted(zones)
    assert list(zones["science"]) == list(zones)


def test_a_conduit_is_one_way_and_a_double_arrow_is_both() -> None:
    zones = reach(conduit("science -> internet"), conduit("science <-> servers")).zones
    assert (zones["science"]["internet"], zones["internet"]["science"]) == ("all", "none")
    assert (zones["science"]["servers"], zones["servers"]["science"]) == ("all", "all")


def test_services_of_several_conduits_are_merged_and_sorted() -> None:
    zones = reach(
        conduit("science -> servers", ("tcp/443", "tcp/80", "icmp")),
        conduit("science -> servers", ("udp/53", "tcp/440-450")),
    ).zones
    assert zones["science"]["servers"] == ("icmp", "tcp/80", "tcp/440-450", "udp/53")
    assert (
        reach(conduit("science -> servers", ("tcp/443",)), conduit("science -> servers")).zones["science"][
            "servers"
        ]
        == "all"
    )


def test_a_conduit_to_one_workload_opens_its_services_only() -> None:
    found = reach(conduit("internet -> published", ("tcp/443",), to="workload:web"))
    assert found.zones["internet"]["published"] == ("tcp/443",)
    (way,) = found.conduits
    assert (way.source, way.target, way.services, way.enforced_by) == (
        "internet",
        "web",
        ("tcp/443",),
        ("gate",),
    )
    # everything, but into one workload only: not the same as all of the zone
    assert reach(conduit("internet -> published", to="workload:web")).zones["internet"]["published"] == (
        "any",
    )


def test_a_part_of_a_zone_does_not_open_the_whole_of_it() -> None:
    assert reach(conduit("vlan:labs -> servers")).zones["science"]["servers"] == ("any",)
    assert reach(conduit("gear:printer -> servers", ("tcp/80",))).zones["science"]["servers"] == ("tcp/80",)
    # the only VLAN of its zone is the zone
    assert reach(conduit("vlan:servers -> science")).zones["servers"]["science"] == "all"


def test_a_remote_counts_as_its_zone() -> None:
    assert reach(conduit("remote:uplink -> servers")).zones["internet"]["servers"] == "all"
    found = reach(conduit("remote:mainland -> servers", ("tcp/22",)))
    assert found.zones["watch"]["servers"] == ("tcp/22",)


@pytest.mark.parametrize(
    ("flow", "enforced_by", "passes"),
    [
        ("science -> servers", ("gate",), ("gate",)),
        ("watch -> guests", ("gate",), ("gate", "hop")),  # the tunnel of zone watch ends at the firewall
        ("guests -> servers", ("gate",), ("gate", "hop")),
        ("vlan:watch -> guests", (), ("hop",)),
        ("guests -> internet", ("gate",), ("gate", "hop")),
        ("bench -> guests", (), ("hop",)),
    ],
)
def test_filtering_gateways_in_the_way_enforce(
    flow: str, enforced_by: tuple[str, ...], passes: tuple[str, ...]
) -> None:
    (way,) = reach(conduit(flow)).conduits
    assert (way.enforced_by, way.passes) == (enforced_by, passes)


def test_a_firewall_that_is_switched_off_enforces_nothing() -> None:
    off = {"gate": gear("gate", "firewall", state="switched-off"), "hop": gear("hop", "router")}
    (way,) = reach(conduit("science -> servers"), gear=off).conduits
    assert way.enforced_by == ()


def test_refused_pairs_with_no_filter_between_are_known() -> None:
    unfiltered = reach().unfiltered
    # hop routes for both and does not filter; the tunnel of zone watch ends at gate, which does
    assert unfiltered == {
        ("guests", "watch"): (("guests", "watch"),),
        ("watch", "guests"): (("watch", "guests"),),
    }


def test_services_include_each_other_by_protocol_and_port() -> None:
    assert includes("any", "icmp")
    assert includes("tcp/5000-5010", "tcp/5005")
    assert not includes("tcp/5000-5010", "udp/5005")
    assert not includes("tcp/5000-5010", "tcp/5010-5011")
    assert not includes("tcp/443", "any")
    assert merge_services(["udp/53", "tcp/8080", "tcp/443", "tcp/443"]) == ("tcp/443", "tcp/8080", "udp/53")
