"""Bridges and virtual links in a network namespace of the Linux kernel, whose own 802.1D decides."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass

import pytest

from tests.compute.random_networks import Drawn

HUNDREDTHS = 100
"""The kernel takes times in hundredths of a second."""


@dataclass(frozen=True)
class KernelPort:
    """What the kernel says of one port."""

    state: str
    path_cost: int


@dataclass(frozen=True)
class KernelBridge:
    """What the kernel says of one bridge: identifiers as `priority.mac`."""

    bridge_id: str
    root_id: str
    root_path_cost: int
    ports: dict[int, KernelPort]
    """By our port number."""


def require_kernel() -> None:
    """Skip where network namespaces are not permitted; fail instead where CI says that they must be."""
    reason = _why_not()
    if reason is None:
        return
    if os.environ.get("TOPODRAW_REQUIRE_KERNEL_ORACLE") == "1":
        pytest.fail(f"the comparison with the kernel is required here, but {reason}")
    pytest.skip(reason)


def _why_not() -> str | None:
    if shutil.which("ip") is None:
        return "iproute2 is not installed"
    with _namespace() as run:
        if run is None:
            return "network namespaces are not permitted"
        if not run(["link add try type bridge stp_state 1"]):
            return "the kernel makes no bridges"
    return None


@contextmanager
def _namespace() -> Iterator[Callable[[list[str]], bool] | None]:
    """A namespace that exists for a while; yields what runs `ip` commands in it, None where not permitted."""
    name = f"topodraw-{os.getpid()}-{time.monotonic_ns() % 10**6}"
    if subprocess.run(["ip", "netns", "add", name], capture_output=True).returncode:
        yield None
        return

    def run(commands: list[str]) -> bool:
        text = "\n".join(commands)
        done = subprocess.run(["ip", "-n", name, "-batch", "-"], input=text, text=True, capture_output=True)
        return done.returncode == 0

    run.namespace = name  # type: ignore[attr-defined]
    try:
        yield run
    finally:
        subprocess.run(["ip", "netns", "del", name], capture_output=True)


class KernelNetworks:
    """All networks of a test at once, in one namespace: waiting then takes no longer than for one."""

    def __init__(self, run: Callable[[list[str]], bool], networks: list[Drawn]) -> None:
        self._run = run
        self._networks = networks
        self._namespace: str = run.namespace  # type: ignore[attr-defined]
        self._build()

    def _build(self) -> None:
        bridges, links, ports, up = [], [], [], []
        for n, drawn in enumerate(self._networks):
            for b, (priority, mac) in enumerate(zip(drawn.priorities, drawn.macs, strict=True)):
                bridges.append(
                    f"link add {bridge_name(n, b)} address {mac} type bridge stp_state 1 priority {priority} "
                    f"forward_delay {2 * HUNDREDTHS} hello_time {HUNDREDTHS} max_age {6 * HUNDREDTHS}"
                )
                up.append(f"link set {bridge_name(n, b)} up")
            ends = []
            for w, wire in enumerate(drawn.wires):
                first, second = f"n{n}w{w}a", f"n{n}w{w}b"
                links.append(f"link add {first} type veth peer name {second}")
                ends.append((wire.a, wire.port_a, wire.cost_a, first))
                ends.append((wire.b, wire.port_b, wire.cost_b, second))
            # The kernel numbers a bridge's ports in the order in which they join it.
            for bridge, _, cost, end in sorted(ends):
                ports.append(f"link set {end} master {bridge_name(n, bridge)}")
                ports.append(f"link set {end} type bridge_slave cost {cost}")
                up.append(f"link set {end} up")
        assert self._run(bridges + links + ports + up), "the kernel refused a command"

    def settle(self, lost: dict[int, set[int]] | None = None) -> None:
        """Take wires down (by network), then wait until no port is on its way and nothing has changed."""
        down = [f"link set n{n}w{w}a down" for n, wires in (lost or {}).items() for w in sorted(wires)]
        assert self._run(down), "the kernel refused a command"
        deadline = time.monotonic() + 120
        before, same_since = None, time.monotonic()
        # What is known of a root that is gone dies out after max_age, 6 s: a shorter calm proves nothing.
        calm = 9.0 if down else 5.0
        while time.monotonic() < deadline:
            now = self.read()
            moving = any(
                port.state in ("listening", "learning")
                for network in now
                for bridge in network
                for port in bridge.ports.values()
            )
            if now != before or moving:
                before, same_since = now, time.monotonic()
            elif time.monotonic() - same_since > calm:
                return
            time.sleep(0.5)
        pytest.fail("the kernel's bridges did not settle within two minutes")

    def read(self) -> list[list[KernelBridge]]:
        """What every bridge of every network says now."""
        done = subprocess.run(
            ["ip", "-n", self._namespace, "-d", "-j", "link", "show"],
            capture_output=True,
            text=True,
            check=True,
        )
        entries = {entry["ifname"].partition("@")[0]: entry for entry in json.loads(done.stdout)}
        roots = self._roots()
        return [
            [self._bridge(entries, roots, n, b) for b in range(len(drawn.priorities))]
            for n, drawn in enumerate(self._networks)
        ]

    def _roots(self) -> dict[str, str]:
        """Each bridge's root, from sysfs: some releases of `ip` print the bridge's own identifier instead."""
        command = [
            "ip",
            "netns",
            "exec",
            self._namespace,
            "sh",
            "-c",
            "grep -H . /sys/class/net/*/bridge/root_id",
        ]
        done = subprocess.run(command, capture_output=True, text=True, check=True)
        roots = {}
        for line in done.stdout.splitlines():
            path, _, identifier = line.partition(":")
            priority, _, mac = identifier.partition(".")
            octets = ":".join(mac[i : i + 2] for i in range(0, 12, 2))
            roots[path.split("/")[4]] = f"{int(priority, 16)}.{octets}"
        return roots

    def _bridge(self, entries: dict[str, dict], roots: dict[str, str], n: int, b: int) -> KernelBridge:
        data = entries[bridge_name(n, b)]["linkinfo"]["info_data"]
        ports = {}
        for w, wire in enumerate(self._networks[n].wires):
            for side, bridge, number in (("a", wire.a, wire.port_a), ("b", wire.b, wire.port_b)):
                if bridge == b:
                    slave = entries[f"n{n}w{w}{side}"]["linkinfo"]["info_slave_data"]
                    ports[number] = KernelPort(slave["state"], slave["cost"])
        return KernelBridge(
            _plain_id(data["bridge_id"]), roots[bridge_name(n, b)], data["root_path_cost"], ports
        )


@contextmanager
def kernel_networks(networks: list[Drawn]) -> Iterator[KernelNetworks]:
    """The networks, built in the kernel; they are gone afterwards."""
    with _namespace() as run:
        assert run is not None
        yield KernelNetworks(run, networks)


def bridge_name(network: int, bridge: int) -> str:
    """The interface name of a bridge."""
    return f"n{network}b{bridge}"


def _plain_id(text: str) -> str:
    """`8000.2:0:5e:a:0:1` as `32768.02:00:5e:0a:00:01`."""
    priority, _, mac = text.partition(".")
    return f"{int(priority, 16)}.{':'.join(f'{int(octet, 16):02x}' for octet in mac.split(':'))}"
