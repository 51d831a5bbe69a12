"""Every published value says where it comes from and how sure we are of it."""

import importlib
import pkgutil
from collections.abc import Iterator, Mapping
from types import ModuleType

import pytest

from topodraw import standards
from topodraw.standards.published import MARKS

TABLES = [name for _, name, _ in pkgutil.iter_modules(standards.__path__) if name != "published"]


def _rows(value: object) -> Iterator[tuple[object, ...]]:
    """Find the rows in a value, however deep they stand in tuples and mappings."""
    if isinstance(value, Mapping):
        value = tuple(value.values())
    if not isinstance(value, tuple):
        return
    if hasattr(value, "mark"):
        yield value
    for part in value:
        yield from _rows(part)


def _own_values(module: ModuleType) -> dict[str, object]:
    """Return the module's public constants; cautions and names, which are plain text, need no source."""
    return {
        name: value
        for name, value in vars(module).items()
        if not name.startswith("_") and name.isupper() and not isinstance(value, str)
    }


@pytest.mark.parametrize("name", TABLES)
def test_each_row_has_a_source_and_a_legal_mark(name: str) -> None:
    module = importlib.import_module(f"topodraw.standards.{name}")
    rows = list(_rows(tuple(_own_values(module).values())))
    assert rows, f"{name} holds no row"
    for row in rows:
        assert row.source.strip(), row  # type: ignore[attr-defined]
        assert row.mark in MARKS, row  # type: ignore[attr-defined]


@pytest.mark.parametrize("name", TABLES)
def test_no_public_constant_stands_bare(name: str) -> None:
    module = importlib.import_module(f"topodraw.standards.{name}")
    for constant, value in _own_values(module).items():
        assert isinstance(value, tuple | Mapping), f"{name}.{constant} has no source"
        assert list(_rows(value)), f"{name}.{constant} holds no row with a source"


@pytest.mark.parametrize("name", TABLES)
def test_tables_cannot_be_changed(name: str) -> None:
    module = importlib.import_module(f"topodraw.standards.{name}")
    for value in _own_values(module).values():
        with pytest.raises(TypeError):
            value[0] = None  # type: ignore[index]
