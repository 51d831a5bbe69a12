"""What VLANs, remotes, runs, stacks, clusters, pools, workloads and copies refer to."""

from __future__ import annotations

from topodraw.model.cabling import Run, Stack
from topodraw.model.hosting import Cluster, Copy, Pool, Workload
from topodraw.model.network import Remote, Vlan
from topodraw.model.references import KINDS, Names

_WITNESS = "witness"
"""A vote in a cluster that is no gear of it."""


class ReferenceChecker:
    """Checks the entries that keep the form in which they are written; qualified names become plain ones."""

    def __init__(self, names: Names) -> None:
        self._names = names

    def vlan(self, vlan: Vlan) -> Vlan:
        """Check its zone, gateways and DHCP server."""
        path = ("vlans", vlan.name)
        if vlan.zone is not None:
            self._names.check("zones", vlan.zone, (*path, "zone"))
        changes: dict[str, object] = {}
        if vlan.gateway is not None:
            by = [
                self._plain_name(("gear", "workloads"), name, (*path, "gateway", "by", str(index)))
                for index, name in enumerate(vlan.gateway.by)
            ]
            changes["gateway"] = vlan.gateway.model_copy(update={"by": tuple(by)})
        if vlan.dhcp is not None and vlan.dhcp.by is not None:
            server = self._plain_name(("gear", "workloads"), vlan.dhcp.by, (*path, "dhcp", "by"))
            changes["dhcp"] = vlan.dhcp.model_copy(update={"by": server})
        return vlan.model_copy(update=changes) if changes else vlan

    def _plain_name(self, sections: tuple[str, ...], text: str, path: tuple[str, ...]) -> str:
        found = self._names.find(sections, text, path)
        return found[1] if found else text

    def remote(self, remote: Remote) -> Remote:
        """Check what ends it, and its zone."""
        path = ("remotes", remote.name)
        if remote.zone is not None:
            self._names.check("zones", remote.zone, (*path, "zone"))
        if remote.by is None:
            return remote
        by = self._plain_name(("gear", "workloads"), remote.by, (*path, "by"))
        return remote.model_copy(update={"by": by})

    def run(self, run: Run) -> Run:
        """Check the places it passes."""
        self._all("places", run.places, ("runs", run.name, "places"))
        return run

    def stack(self, stack: Stack) -> Stack:
        """Check its members and the cables between them."""
        self._all("gear", stack.members, ("stacks", stack.name, "members"))
        self._all("cables", stack.joined_by, ("stacks", stack.name, "joined-by"))
        return stack

    def cluster(self, cluster: Cluster) -> Cluster:
        """Check its members and voters."""
        path = ("clusters", cluster.name)
        self._all("gear", cluster.members, (*path, "members"))
        for voter in cluster.votes:
            if voter != _WITNESS and voter not in cluster.members:
                message = f"{voter!r} votes but is no member of {cluster.name!r}"
                fix = f"write one of its members, or {_WITNESS}"
                self._names.tell_key("missing-reference", message, fix, (*path, "votes", voter))
        return cluster

    def pool(self, pool: Pool) -> Pool:
        """Check the gear it is on."""
        self._names.check("gear", pool.on, ("pools", pool.name, "on"))
        return pool

    def workload(self, workload: Workload) -> Workload:
        """Check its host, VLANs, disk and what must run before it."""
        path, names = ("workloads", workload.name), self._names
        changes: dict[str, object] = {}
        if workload.on is not None:
            host = names.find(("gear", "clusters"), workload.on, (*path, "on"))
            if host is not None:
                changes = {"on": host[1], "on_kind": KINDS[host[0]]}
        if workload.inside is not None:
            names.check("workloads", workload.inside, (*path, "inside"))
        if workload.on is None and workload.inside is None:
            message = f"{workload.name!r} runs nowhere"
            names.tell(
                "missing-key", message, "say what it stands `on` (gear or cluster) or is `inside`", path
            )
        if workload.vlan is not None:
            names.check("vlans", workload.vlan, (*path, "vlan"))
        for vlan in workload.addresses:
            names.check("vlans", vlan, (*path, "addresses", vlan), is_key=True)
        if workload.needs.disk is not None:
            names.check("pools", workload.needs.disk.pool, (*path, "needs", "disk", "pool"))
        after = tuple(
            self._plain_name(("workloads", "gear", "pools"), before, (*path, "after", str(index)))
            for index, before in enumerate(workload.after)
        )
        if after:
            changes["after"] = after
        return workload.model_copy(update=changes) if changes else workload

    def copy(self, number: int, copy: Copy) -> Copy:
        """Check what is copied and where to."""
        path = ("copies", str(number - 1))
        of = self._plain_name(("pools", "workloads"), copy.of, (*path, "of"))
        onto = self._plain_name(("pools", "places", "remotes"), copy.onto, (*path, "onto"))
        return copy.model_copy(update={"of": of, "onto": onto})

    def _all(self, section: str, names: tuple[str, ...], path: tuple[str, ...]) -> None:
        for index, name in enumerate(names):
            self._names.check(section, name, (*path, str(index)))
