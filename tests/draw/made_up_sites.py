"""Sites made up from a number: any mix of tiers, panels, parallel cables, loops, odd gear and nasty names."""

import random

import yaml

NASTY = [
    "a-name-of-eighty-characters-that-goes-on-and-on-until-nobody-cares-to-read-it-all",
    "開閉器二号",
    "محول-رئيسي",
    "sw😀",
    "<script>alert(1)</script>",
    "]]>&amp;",
    "Überspannung Süd",
    "x",
    "core.1_a",
]

HARDWARE = {
    "switch-24": {
        "function": "switch",
        "size": {"units": 1},
        "ports": {
            "p1..p24": {"jack": "RJ45", "rows": 2, "poe": {"type": 2}},
            "u1..u4": {"cage": "SFP+", "rows": 2},
        },
    },
    "switch-8": {
        "function": "switch",
        "ports": {"1/0/1..1/0/8": {"jack": "RJ45"}, "u1..u2": {"cage": "SFP+"}},
    },
    "gate": {"function": "firewall", "ports": {"w1..w2": {"jack": "RJ45"}, "l1..l4": {"jack": "RJ45"}}},
    "host": {"function": "server", "ports": {"e1..e2": {"cage": "SFP+"}, "m": {"jack": "RJ45"}}},
    "eye": {"function": "camera", "ports": {"eth": {"jack": "RJ45", "powered": {"class": 3}}}},
    "slate": {"function": "workstation", "ports": {"GigabitEthernet0": {"jack": "RJ45"}}},
    "panel": {
        "function": "panel",
        "size": {"units": 1},
        "ports": {"1..12": {"jack": "RJ45", "through": True}},
    },
    "bare": {"function": "other"},
}
_PORTS = {
    "switch-24": [f"p{n}" for n in range(1, 25)] + [f"u{n}" for n in range(1, 5)],
    "switch-8": [f"1/0/{n}" for n in range(1, 9)] + ["u1", "u2"],
    "gate": ["w1", "w2", "l1", "l2", "l3", "l4"],
    "host": ["e1", "e2", "m"],
    "eye": ["eth"],
    "slate": ["GigabitEthernet0"],
    "panel": [str(n) for n in range(1, 13)] + [f"{n}:back" for n in range(1, 13)],
    "bare": [],
}
_MEDIA = ["Cat6", "Cat6A", "OM4", "OS2", "twinax", "radio"]
_STATES = ["in-service"] * 12 + ["planned", "switched-off", "spare"]


def made_up_site(seed: int, most_gear: int = 60) -> str:
    """The YAML of a site; the same for the same seed."""
    dice = random.Random(seed)
    gear_count = dice.randint(3, most_gear)
    places = {f"place-{n}": {"title": dice.choice(NASTY) + f" {n}"} for n in range(dice.randint(1, 6))}
    models = dice.choices(list(HARDWARE), [3, 3, 1, 4, 6, 4, 3, 1], k=gear_count)
    gear: dict[str, dict[str, object]] = {}
    for number, model in enumerate(models):
        base = f"{dice.choice(NASTY)}-{number}" if dice.random() < 0.25 else f"{model}-n{number}"
        gear[base.replace("/", "-")] = {
            "model": model,
            "place": dice.choice(list(places)),
            "state": dice.choice(_STATES),
        }
    remotes = {"uplink": {"kind": "internet"}} if dice.random() < 0.7 else {}
    gates = [name for name, entry in gear.items() if entry["model"] == "gate"]
    if gates and remotes:
        remotes["far"] = {"kind": "tunnel", "by": gates[0]}
    site = {
        "topodraw": 1,
        "site": {"name": f"Made-up site {seed}", "ref": "MUS"},
        "hardware": HARDWARE,
        "places": places,
        "gear": gear,
        "vlans": {"one": {"id": 10}, "two": {"id": 20}},
        "purposes": {"backbone": {"colour": "violet"}, "watch": {"colour": "orange"}},
        "remotes": remotes,
        "cables": _cables(dice, gear, bool(remotes)),
    }
    return yaml.safe_dump(site, allow_unicode=True, sort_keys=False)


def _cables(
    dice: random.Random, gear: dict[str, dict[str, object]], uplink: bool
) -> dict[str, dict[str, object]]:
    free = {name: list(_PORTS[str(entry["model"])]) for name, entry in gear.items()}
    free = {name: ports for name, ports in free.items() if ports}
    cables: dict[str, dict[str, object]] = {}
    names = list(free)
    for _ in range(dice.randint(1, 3 * len(gear))):
        if len(names) < 2:
            break
        one, other = dice.sample(names, 2)
        for _ in range(dice.choice([1, 1, 1, 2, 3])):
            if free[one] and free[other]:
                _add_cable(
                    dice,
                    cables,
                    [f"{end}/{free[end].pop(dice.randrange(len(free[end])))}" for end in (one, other)],
                )
    if uplink and names and free[names[0]]:
        _add_cable(dice, cables, [f"{names[0]}/{free[names[0]].pop()}", "uplink"])
    return cables


def _add_cable(dice: random.Random, cables: dict[str, dict[str, object]], ends: list[str]) -> None:
    number = len(cables)
    name = f"cable to the other building no. {number}" if dice.random() < 0.05 else f"C{number:02}"
    cables[name] = {
        "ends": ends,
        "medium": dice.choice(_MEDIA),
        "purpose": dice.choice(["backbone", "watch"]),
        "state": dice.choice(_STATES),
    }
    if dice.random() < 0.3:
        cables[name]["tagged"] = ["one", "two"]
