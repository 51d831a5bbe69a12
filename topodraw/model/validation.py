"""From what is written to typed entries; what doesn't fit is told, with its place and what would be right."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import Any, Literal, TypeVar, get_args, get_origin

from pydantic import BaseModel, ValidationError

from topodraw.source.nodes import Plain
from topodraw.source.positions import Positions
from topodraw.source.problem import Problem
from topodraw.source.suggest import did_you_mean, listed, nearest

Model = TypeVar("Model", bound=BaseModel)
Path = tuple[str, ...]

_KINDS = {
    "string_type": (
        "a text",
        "write a word; put true, false or null into quotes where they are meant as text",
    ),
    "int_type": ("a whole number", "write a number such as 4, without a unit or quotes"),
    "int_parsing": ("a whole number", "write a number such as 4"),
    "int_from_float": ("a whole number", "write a number such as 4"),
    "float_type": ("a number", "write a number such as 0.5, without a unit or quotes"),
    "finite_number": ("a finite number", "write a number such as 0.5"),
    "bool_type": ("true or false", "write true or false, without quotes"),
    "tuple_type": ("a list", "write a list: [one, two]"),
    "dict_type": ("a mapping of names", "write {name: value, ...}"),
    "model_type": ("a description", "write {key: value, ...}"),
    "model_attributes_type": ("a description", "write {key: value, ...}"),
}
_A_KEY = "[key]"
"""How the validator's locations say that a mapping's key is meant, not the value under it."""

_LIMITS = {
    "greater_than": ("gt", "greater than {}"),
    "greater_than_equal": ("ge", "at least {}"),
    "less_than": ("lt", "less than {}"),
    "less_than_equal": ("le", "at most {}"),
}


class Validator:
    """Makes entries of what is written, and reports what it can't make sense of."""

    def __init__(self, positions: Positions, report: Callable[[Problem], None]) -> None:
        self._positions = positions
        self._report = report

    def entry(self, model: type[Model], written: Plain, path: Path, name: str | None) -> Model | None:
        """The entry of kind `model` that `written` (found at `path`) describes, or None after a report."""
        if not isinstance(written, dict):
            said = "is empty" if written is None else "is not a description"
            keys = listed(_required(model) or _keys(model))
            self._tell(
                "bad-value", f"{self._subject(path)} {said}", f"write {{key: value}}; keys: {keys}", path
            )
            return None
        data: dict[str, Any] = written if name is None else {**written, "@name": name}
        try:
            return model.model_validate(data)
        except ValidationError as error:
            first = error
        mended = self._mended(model, data, first, path)
        if mended is not None:
            data = mended
            try:
                return model.model_validate(data)
            except ValidationError as error:
                first = error
        for detail in self._worth_telling(model, first, data):
            self._explain(model, detail, data, path)
        return None

    def _mended(
        self, model: type[BaseModel], data: dict[str, Any], error: ValidationError, path: Path
    ) -> dict[str, Any] | None:
        """What is written, read with more thought where that helps; None where it doesn't.

        `serial: 0012` is a number to YAML, but where a text is due it is the text as written. A key with
        nothing after it (`ports:`) says nothing.
        """
        copy: dict[str, Any] | None = None
        for detail in error.errors(include_url=False, include_context=False):
            where = _real_path(data, detail["loc"])
            value = _value_at(data, where)
            number = detail["type"] == "string_type" and type(value) in (int, float)
            nothing = value is None and where and where[-1] in _keys_at(model, where[:-1])
            if not where or not (number or nothing):
                continue
            copy = _copied(data) if copy is None else copy
            holder: Any = _value_at(copy, where[:-1])
            if number:
                holder[where[-1]] = self._positions.text((*path, *map(str, where)))
            else:
                holder.pop(where[-1], None)
        return copy

    def _worth_telling(self, model: type[BaseModel], error: ValidationError, data: Any) -> list[Any]:
        """The errors that aren't merely the consequence of another one."""
        details = list(_deepest(error, data))
        meant = set()
        for detail in details:
            *inside, key = _real_path(data, detail["loc"]) or ("",)
            if detail["type"] == "extra_forbidden":
                meant.add((*inside, nearest(str(key), _keys_at(model, tuple(inside)))))
        reached = [_real_path(data, detail["loc"]) for detail in details]

        def is_consequence(detail: Any) -> bool:
            where = _real_path(data, detail["loc"])
            if detail["type"] == "missing":
                return (*where, detail["loc"][-1]) in meant
            inner = any(len(other) > len(where) and other[: len(where)] == where for other in reached)
            return detail["type"] == "too_short" and inner

        return [detail for detail in details if not is_consequence(detail)]

    def _explain(self, model: type[BaseModel], detail: Any, data: Any, path: Path) -> None:
        kind, context = detail["type"], detail.get("ctx", {})
        inside = _real_path(data, detail["loc"])
        where = (*path, *map(str, inside))
        key = next((step for step in reversed(inside) if isinstance(step, str)), path[-1])
        if kind == "extra_forbidden":
            known = _keys_at(model, inside[:-1])
            message = f"unknown key {key!r}{did_you_mean(key, known)}"
            self._report(
                Problem("unknown-key", message, f"keys: {listed(known, 40)}", self._positions.key(where))
            )
        elif kind == "missing" and isinstance(detail["loc"][-1], int):
            least = detail["loc"][-1] + 1
            self._tell("bad-value", f"{key}: too few items", f"give {least}", where)
        elif kind == "missing":
            missing = str(detail["loc"][-1])
            message = f"{self._subject(where)} lacks {missing!r}"
            self._report(Problem("missing-key", message, f"add {missing}: ...", self._positions.key(where)))
        elif kind == "value_error":
            said, _, how = str(context["error"]).partition(": write ")
            sample = said.rpartition(" such as ")[2]
            fix = f"write {how or f'it like {sample}'}"
            if detail["loc"][-1] == _A_KEY:
                self._report(Problem("bad-value", said, fix, self._positions.key(where)))
            else:
                self._tell("bad-value", f"{key}: {said}", fix, where)
        elif kind == "literal_error":
            self._tell_choice(where, key, _value_at(data, inside), context["expected"])
        elif kind in _LIMITS:
            limit, words = _LIMITS[kind]
            due = words.format(context[limit])
            self._tell(
                "bad-value", f"{key}: {_shown(detail['input'])} is not {due}", f"write a value {due}", where
            )
        elif kind.startswith(("too_", "string_too_")):
            self._tell_length(where, key, kind, context, detail["input"])
        else:
            what, fix = _KINDS.get(kind, ("something else", detail["msg"]))
            self._tell("bad-value", f"{key}: {_shown(detail['input'])} where {what} is due", fix, where)

    def _tell_choice(self, where: Path, key: str, value: Any, expected: str) -> None:
        choices = [first or second for first, second in re.findall(r"'([^']*)'|([0-9]+)", expected)]
        near = did_you_mean(value, choices) if isinstance(value, str) else ""
        message = f"{key}: {_shown(value)} is not one that is known{near}"
        self._tell("bad-value", message, f"one of: {listed(choices, 40)}", where)

    def _tell_length(self, where: Path, key: str, kind: str, context: Any, value: Any) -> None:
        least, most = context.get("min_length"), context.get("max_length")
        due = f"at least {least}" if "short" in kind else f"at most {most}"
        what = "characters" if isinstance(value, str) else "items"
        have = len(value) if isinstance(value, (str, list, dict)) else context.get("actual_length", 0)
        self._tell("bad-value", f"{key}: {have} {what} where {due} are due", f"give {due}", where)

    def _subject(self, path: Path) -> str:
        return f"{path[0]}: {' '.join(path[1:])}" if len(path) > 1 else path[0]

    def _tell(self, rule: str, message: str, fix: str, path: Path) -> None:
        self._report(Problem(rule, message, fix, self._positions.find(path)))


def _real_path(data: Any, location: tuple[int | str, ...]) -> tuple[int | str, ...]:
    """The part of a validator's location that is in the data: the names of a union's branches are not."""
    path: list[int | str] = []
    for step in location:
        inside = isinstance(data, dict) and step in data
        if inside or (isinstance(data, list) and isinstance(step, int) and step < len(data)):
            path.append(step)
            data = data[step]
    return tuple(path)


def _deepest(error: ValidationError, data: Any) -> Iterator[Any]:
    """The errors to tell: of those about a choice of forms, the ones of the form that got furthest."""
    details = error.errors(include_url=False)
    depth: dict[tuple[int | str, ...], int] = {}
    choices = []
    for detail in details:
        location, where = detail["loc"], _real_path(data, detail["loc"])
        fork = _fork(location, where) if detail["type"] not in ("missing", "extra_forbidden") else where
        choices.append((fork, len(where)))
        depth[fork] = max(depth.get(fork, 0), len(where))
    told: set[tuple[int | str, ...]] = set()
    for detail, (fork, reached) in zip(details, choices, strict=True):
        where = _real_path(data, detail["loc"])
        if reached < depth[fork] or (where in told and detail["type"] not in ("missing", "extra_forbidden")):
            continue
        told.add(where)
        yield detail


def _fork(location: tuple[int | str, ...], where: tuple[int | str, ...]) -> tuple[int | str, ...]:
    same = 0
    while same < len(where) and location[same] == where[same]:
        same += 1
    return where[:same]


def _value_at(data: Any, path: tuple[int | str, ...]) -> Any:
    for step in path:
        data = data[step]
    return data


def _copied(data: Any) -> Any:
    if isinstance(data, dict):
        return {key: _copied(value) for key, value in data.items()}
    return [_copied(value) for value in data] if isinstance(data, list) else data


def _keys(model: type[BaseModel]) -> list[str]:
    keys = [info.alias or name for name, info in model.model_fields.items()]
    return [key for key in keys if not key.startswith("@")]


def _keys_at(model: type[BaseModel], path: tuple[int | str, ...]) -> list[str]:
    """The keys of the entry at `path` inside an entry of kind `model`; none where there is no entry."""
    found = _model_at(model, path)
    return _keys(found) if found else []


def _required(model: type[BaseModel]) -> list[str]:
    needed = [info.alias or name for name, info in model.model_fields.items() if info.is_required()]
    return [key for key in needed if not key.startswith("@")]


def _model_at(model: Any, path: tuple[int | str, ...]) -> type[BaseModel] | None:
    """The kind of entry that stands at `path` inside an entry of kind `model`."""
    for step in path:
        if isinstance(model, type) and issubclass(model, BaseModel):
            fields = model.model_fields
            model = next(
                (info.annotation for name, info in fields.items() if (info.alias or name) == step), None
            )
        else:
            model = _held(model)
        model = _described(model)
    return model if isinstance(model, type) and issubclass(model, BaseModel) else None


def _described(annotation: Any) -> Any:
    """Of a choice of types, the one that holds something; without marks around it."""
    while hasattr(annotation, "__metadata__"):
        annotation = annotation.__origin__
    if (
        get_origin(annotation) in (dict, tuple)
        or not get_args(annotation)
        or get_origin(annotation) is Literal
    ):
        return annotation
    for branch in map(_described, get_args(annotation)):
        if get_origin(branch) in (dict, tuple) or (
            isinstance(branch, type) and issubclass(branch, BaseModel)
        ):
            return branch
    return None


def _held(annotation: Any) -> Any:
    arguments = get_args(annotation)
    if get_origin(annotation) is dict:
        return arguments[1]
    return arguments[0] if get_origin(annotation) is tuple else None


def _shown(value: Any) -> str:
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, (dict, list)):
        return "a list" if isinstance(value, list) else "a mapping"
    return repr(value)
