"""Small sites of ports and cables in few words, for the tests of links."""

from __future__ import annotations

from topodraw.compute.links import Link, find_links
from topodraw.model.cabling import Cable, End
from topodraw.model.gear import Gear, Port
from topodraw.model.hardware import Hardware, HardwarePort
from topodraw.model.site import Site, SiteInfo


def port(gear: str, name: str, text: str) -> Port:
    """A port from words: `RJ45 speeds=100M,1G`, `SFP+ module=10GBASE-LR speed=10G shut`."""
    kind, *words = text.split()
    said = dict(word.partition("=")[::2] for word in words)
    description: dict[str, object] = {"jack" if kind in ("RJ45", "LC", "MPO-12") else "cage": kind}
    if "speeds" in said:
        description["speeds"] = said["speeds"].split(",")
    if "through" in said:
        description["through"] = True
    if "for" in said:
        description["for"] = said["for"]
    speed = (
        HardwarePort.model_validate({"speeds": [said["speed"]]}).speeds_bps[0] if "speed" in said else None
    )
    hardware = HardwarePort.model_validate(description)
    return Port(gear, name, 1, 1, hardware, module=said.get("module"), speed_bps=speed, shut="shut" in said)


def gear(name: str, ports: dict[str, str], state: str = "in-service") -> Gear:
    hardware = Hardware.model_validate({"@name": f"model-of-{name}", "function": "switch"})
    made = {label: port(name, label, text) for label, text in ports.items()}
    return Gear(name, hardware, made, state=state)  # type: ignore[arg-type]


def end(text: str) -> End:
    if "/" not in text:
        return End(None, None, remote=text)
    name, _, rest = text.partition("/")
    label, *marks = rest.split(":")
    lanes = [int(mark) for mark in marks if mark != "back"]
    return End(name, label, "back" in marks, lanes[0] if lanes else None)


def cable(name: str, ends: str, medium: str, length_m: float | None = None, **more: object) -> Cable:
    first, second = (end(text) for text in ends.split())
    return Cable(name, (first, second), medium, length_m, **more)  # type: ignore[arg-type]


def site(gears: list[Gear], cables: list[Cable], **more: object) -> Site:
    info = SiteInfo(name="Saltmarsh", ref="SMF")
    return Site(
        info,
        gear={one.name: one for one in gears},
        cables={one.name: one for one in cables},
        **more,  # type: ignore[arg-type]
    )


def link_between(one: str, two: str, medium: str, length_m: float | None = 1, **more: object) -> Link:
    """The link of one cable between port a/p and port b/p."""
    gears = [gear("a", {"p": one}), gear("b", {"p": two})]
    (link,) = find_links(site(gears, [cable("C1", "a/p b/p", medium, length_m, **more)]))
    return link


def kinds(link: Link) -> list[str]:
    return [problem.kind for problem in link.problems]
