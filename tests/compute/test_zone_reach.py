"""What zones may start towards each other.

Zones and conduits in the sense of IEC 62443-3-2. That what no conduit names is refused is how this project
reads it; that a router enforces nothing and a firewall does is common practice, no published source.
"""

from __future__ import annotations

import pytest

from topodraw.compute.links import find_links
from topodraw.compute.services import includes, merge_services
from topodraw.compute.zone_reach import ZoneReach, zone_reach
from topodraw.model.cabling import Cable, End
from topodraw.model.fields import Flow
from topodraw.model.gear import Gear, Port, VlanStatement
from topodraw.model.hardware import Hardware, HardwarePort
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
    site = Site(
        SiteInfo(name="Saltmarsh", ref="SMF"),
        vlans=vlans,
        zones={name: Zone.model_validate({"@name": name, "title": name}) for name in zones},
        conduits=conduits,
        **{**fields, **more},  # type: ignore[arg-type]
    )
    return zone_reach(site, find_links(site))


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
    # one thing in a zone is not the zone, though it be in its only VLAN
    assert reach(conduit("workload:web -> servers")).zones["published"]["servers"] == ("any",)
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
    assert includes("tcp/5000-5010", "tcp/5000")
    assert includes("tcp/5000-5010", "tcp/5010")
    assert includes("tcp/443", "tcp/443")
    assert not includes("tcp/5000-5010", "udp/5005")
    assert not includes("tcp/5000-5010", "tcp/5010-5011")
    assert not includes("tcp/443", "any")
    assert merge_services(["udp/53", "tcp/8080", "tcp/443", "tcp/443"]) == ("tcp/443", "tcp/8080", "udp/53")


def test_a_workload_with_a_foot_in_two_zones_is_reached_by_the_one_that_is_named() -> None:
    both = Workload.model_validate(
        {"@name": "web", "addresses": {"watch": ["192.0.2.1"], "published": ["198.51.100.1"]}}
    )
    found = reach(conduit("science -> published", to="workload:web"), workloads={"web": both})
    assert (found.zones["science"]["published"], found.zones["science"]["watch"]) == (("any",), "none")
    assert found.conduits[0].passes == ("gate",)  # not hop, the gateway of watch


def test_a_workload_without_vlan_is_where_its_host_is() -> None:
    workloads = {
        name: Workload.model_validate({"@name": name, **fields})
        for name, fields in {
            "spool": {"on": "printer", "@on": "gear"},
            "queue": {"inside": "web"},
            "web": {"vlan": "published"},
            "one": {"inside": "two"},
            "two": {"inside": "one"},
        }.items()
    }
    flows = ("workload:spool -> servers", "workload:queue -> servers", "workload:one -> servers")
    ways = reach(*(conduit(flow) for flow in flows), workloads=workloads).conduits
    assert [way.source_zones for way in ways] == [("science",), ("published",), ()]


def test_gear_without_address_is_in_the_vlan_that_its_bridge_port_gives_it() -> None:
    jack = HardwarePort.model_validate({"jack": "RJ45"})
    ports = {
        name: Port("tor", name, number, 1, jack, vlans=VlanStatement(vlan, (), ()))
        for number, (name, vlan) in enumerate({"p1": "guests", "p2": "servers"}.items(), 1)
    }
    tor = Gear("tor", Hardware.model_validate({"@name": "m", "function": "switch"}), ports)
    post = Gear(
        "post",
        Hardware.model_validate({"@name": "m", "function": "other"}),
        {"eth": Port("post", "eth", 1, 1, jack)},
    )
    other = Gear("other", post.hardware, {"eth": Port("other", "eth", 1, 1, jack)})
    cables = {
        name: Cable(name, (End("tor", port), End(far, "eth")), "Cat6", 1.0)
        for name, port, far in (("C1", "p1", "post"), ("C2", "p2", "other"))
    }
    gears = {"tor": tor, "post": post, "other": other, "gate": gear("gate", "firewall")}
    (way,) = reach(conduit("gear:post -> watch"), gear=gears, cables=cables).conduits
    assert way.source_zones == ("guests",)
