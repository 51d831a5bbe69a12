"""The overview of a site too large for one sheet: what others are linked through, and bundles to the end
stations."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from topodraw.compute.facts import Facts
from topodraw.compute.links import Link
from topodraw.draw.cabling.ends import CableEnds, length_words
from topodraw.draw.cabling.plan import End, Ring
from topodraw.draw.cabling.plates import Words, name_words
from topodraw.draw.cabling.scene import Scene, Strand, add_services, function_words, gear_to_draw, root_gear
from topodraw.draw.cabling.tiers import END_STATIONS, OUTSIDE, Tiers
from topodraw.draw.cabling.wire_looks import bundle_look, link_look
from topodraw.draw.theme import PurposeLook

FOLDED = " folded"
"""The area, not drawn, in which folded places stand."""


def overview_scene(
    name: str,
    facts: Facts,
    tiers: Tiers,
    looks: Mapping[str, PurposeLook],
    ends: CableEnds,
    folded: frozenset[str] = frozenset(),
) -> Scene:
    """The scene of the backbone with links drawn from port to port, panels left out.

    Each place in `folded` is one box that says what is in it.
    """
    scene = Scene(name, facts, tiers, looks, roots=root_gear(facts), only_used=True)
    site = facts.site
    for gear in gear_to_draw(facts):
        if gear in tiers.backbone and (site.gear[gear].place or "") not in folded:
            scene.levels[f"gear:{gear}"] = tiers.levels[gear]
            scene.area_of[f"gear:{gear}"] = site.gear[gear].place or ""
    bundles: dict[tuple[str, str], list[Link]] = {}
    for link in facts.links:
        pair = [end.partition("/")[0] if "/" in end else "" for end in link.ends]
        active = [one in tiers.backbone or (not one) for one in pair]
        places = [site.gear[name].place or "" if name in site.gear else None for name in pair]
        if places[0] == places[1] and places[0] in folded:
            continue
        if all(active):
            _add_link(scene, link, ends, folded)
        elif any(active):
            near, far = pair if active[0] else pair[::-1]
            if near and far in site.gear:
                bundles.setdefault((near, site.gear[far].place or ""), []).append(link)
    _add_groups(scene, tiers, folded)
    for (near, place), links in bundles.items():
        _add_bundle(scene, near, place, links)
    shown = frozenset(key.removeprefix("gear:") for key in scene.levels if key.startswith("gear:"))
    add_services(scene, shown)
    _add_rings(scene)
    return scene


def places_to_fold(facts: Facts, tiers: Tiers) -> frozenset[str]:
    """Places without any gear of the backbone's uppermost tiers, for sites with many of them."""
    tops = sorted({tiers.levels[name] for name in tiers.backbone})[:2]
    kept = {facts.site.gear[name].place or "" for name in tiers.backbone if tiers.levels[name] in tops}
    return frozenset(gear.place or "" for gear in facts.site.gear.values()) - kept


def _add_link(scene: Scene, link: Link, ends: CableEnds, folded: frozenset[str]) -> None:
    site = scene.facts.site
    key = f"link:{link.cables[0]}"
    spots = []
    for end in link.ends:
        gear, slash, port = end.partition("/")
        place = site.gear[gear].place or "" if slash else None
        if place in folded:
            spots.append(End(f"group:{place}", key))
        elif slash:
            spots.append(End(f"gear:{gear}", port))
        else:
            remote = f"remote:{end}"
            scene.levels[remote] = OUTSIDE
            other = link.ends[0] if end == link.ends[1] else link.ends[1]
            scene.area_of[remote] = site.gear[other.partition("/")[0]].place or "" if "/" in other else ""
            spots.append(End(remote, key))
    first, last = (site.cables[name] for name in (link.cables[0], link.cables[-1]))
    tags = []
    for cable, reference in ((first, link.ends[0]), (last, link.ends[1])):
        number = [str(end) for end in cable.ends].index(reference) if reference in map(str, cable.ends) else 0
        tags.append(ends.tag(cable, number))
    trunk = ends.trunk(first)
    words = [*link.cables, first.medium, length_words(link.length_m) if link.length_m is not None else ""]
    scene.strands.append(
        Strand(
            key,
            (spots[0], spots[1]),
            (tags[0], tags[1]),
            link_look(link, scene.facts, scene.looks, ends),
            " ".join(word for word in words if word) if trunk else "",
            ends.comb(first) if trunk else (),
            2.0,
            link.ends if trunk else (),
        )
    )


def _add_groups(scene: Scene, tiers: Tiers, folded: frozenset[str]) -> None:
    """One box a place for all that is not backbone (in a folded place: for everything), saying what and
    how many."""
    members: dict[str, Counter[str]] = {}
    for name in gear_to_draw(scene.facts):
        gear = scene.facts.site.gear[name]
        hidden = name not in tiers.backbone or (gear.place or "") in folded
        if hidden and gear.function != "panel":
            members.setdefault(gear.place or "", Counter())[function_words(gear.function)] += gear.count
    for place, counts in members.items():
        key = f"group:{place}"
        scene.levels[key] = END_STATIONS
        scene.area_of[key] = FOLDED if place in folded else place
        total = sum(counts.values())
        words: list[Words] = [(f"{total} end station{'' if total == 1 else 's'}", "bold")]
        if place in folded:
            words = list(name_words(scene.facts.site.places[place].title if place else "no place", ()))
        words += [
            (f"{count} {kind}{'' if count == 1 else plural_ending(kind)}", "regular")
            for kind, count in sorted(counts.items(), key=lambda each: (-each[1], each[0]))
        ]
        scene.groups[key] = tuple(words)


def plural_ending(kind: str) -> str:
    """What a function's word takes for several; abbreviations and mass words stay."""
    return "" if kind in ("UPS", "storage", "other") else "es" if kind.endswith(("s", "ch")) else "s"


def _add_bundle(scene: Scene, near: str, place: str, links: list[Link]) -> None:
    count = len(links)
    site = scene.facts.site
    purposes = [scene.looks.get(site.cables[link.cables[0]].purpose or "") for link in links]
    title = f"{count} link{'' if count == 1 else 's'} from {near}"
    strand = f"bundle:{near}:{place}"
    near_place = site.gear[near].place or ""
    folded = scene.area_of.get(f"gear:{near}") is None
    start = End(f"group:{near_place}", strand) if folded else End(f"gear:{near}", f"bundle:{place}")
    scene.strands.append(
        Strand(
            strand,
            (start, End(f"group:{place}", near)),
            (f"×{count}", f"×{count}"),
            bundle_look(purposes, f"{near} {place}", title),
        )
    )


def _add_rings(scene: Scene) -> None:
    present = {strand.key for strand in scene.strands}
    for aggregate in scene.facts.site.aggregates.values():
        wires = tuple(f"link:{name}" for name in aggregate.cables if f"link:{name}" in present)
        if len(wires) > 1:
            scene.rings.append(Ring(aggregate.name, wires))
