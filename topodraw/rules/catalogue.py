"""Every rule there is, found by looking: a new family is a new file in this folder and nothing else."""

from __future__ import annotations

import pkgutil
from functools import cache
from importlib import import_module
from typing import Any

from topodraw import rules as room
from topodraw.rules.rule import Rule

_NO_FAMILIES = ("catalogue", "check", "rule")


@cache
def families() -> dict[str, tuple[Rule[Any], ...]]:
    """The rules of each family, in the order in which its file declares them; families by name."""
    names = sorted(module.name for module in pkgutil.iter_modules(room.__path__))
    found = {}
    for name in names:
        if name not in _NO_FAMILIES:
            module = import_module(f"{room.__name__}.{name}")
            declared = tuple(value for value in vars(module).values() if isinstance(value, Rule))
            if declared:
                found[name] = declared
    return found


@cache
def rules() -> dict[str, Rule[Any]]:
    """Every rule by its name. Raises ValueError if two families declare one name."""
    found: dict[str, Rule[Any]] = {}
    for family, declared in families().items():
        for rule in declared:
            if rule.name in found:
                raise ValueError(
                    f"the rule {rule.name} is declared twice, the second time in rules/{family}.py"
                )
            found[rule.name] = rule
    return found


def near_names(name: str) -> tuple[str, ...]:
    """Up to three rule names that `name` may have meant, the nearest first."""
    import difflib  # only a mistake needs it, and it takes time to load

    wanted = name.lower().replace("_", "-").replace(" ", "-")
    return tuple(difflib.get_close_matches(wanted, list(rules()), n=3, cutoff=0.5))
