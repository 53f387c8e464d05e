"""What is wrong with a value or a file, in plain words."""

from collections.abc import Iterable, Mapping, Sequence
from difflib import get_close_matches
from typing import Any, Literal, TypeVar, get_args, get_origin

from pydantic import BaseModel, TypeAdapter, ValidationError

from planner.refusal import InvalidValue, Refusal, show

ModelT = TypeVar("ModelT", bound=BaseModel)
ItemT = TypeVar("ItemT")

MOST_NAMED = 3
"""Faults of one entry up to which each is told; of more, two are."""


def suggest(found: str, known: Iterable[str], most: int | None = 12) -> str:
    """Return a hint for a name that is not known: the nearest names, or all of them, up to `most`."""
    names = sorted(known)
    near = get_close_matches(found, names, n=3, cutoff=0.6)
    if near:
        return "did you mean " + " or ".join(show(name) for name in near) + "?"
    if not names:
        return "none is known"
    shown, more = cut_short(names, most)
    return f"choose from {', '.join(shown)} {more}".rstrip()


def cut_short(items: Sequence[ItemT], most: int | None, what: str = "") -> tuple[Sequence[ItemT], str]:
    """Return the first of a list, up to `most`, and what ends it: "and 12 more offers", or nothing."""
    shown = items[:most]
    left = len(items) - len(shown)
    return shown, f"and {left:,} more{' ' + what if what else ''}" if left else ""


def field_path(parts: Iterable[str | int]) -> str:
    """Return the path of a field as ``layers[0].nm``."""
    path = ""
    for part in parts:
        if isinstance(part, int):
            path += f"[{part}]"
        else:
            plain = part.isprintable() and 0 < len(part) <= 60
            path += ("." if path else "") + (part if plain else show(part))
    return path


def as_written(place: Sequence[str | int], data: Any) -> tuple[str | int, ...]:
    """Return the `place` of a fault as the file has it: a table that is kept as pairs is a table there.

    ``mix[0][1]`` is ``mix.body``; ``mix[0][0]``, a name that cannot be, is ``mix``, as the fault tells it.
    """
    found: list[str | int] = []
    parts = iter(place)
    for part in parts:
        if isinstance(data, Mapping) and isinstance(part, int):
            name = list(data)[part]
            if next(parts, 1) == 0:
                break
            part = name  # noqa: PLW2901 - the same step, by its name
        found.append(part)
        try:
            data = data[part]
        except (TypeError, LookupError):
            data = None
    return tuple(found)


def explain(
    error: ValidationError, model: type[BaseModel], data: Any = None
) -> tuple[tuple[str | int, ...], str]:
    """Return where and why `error` was raised: the path of the first bad field, and plain words.

    The words name the entry's other faults as well, so that all can be mended at once; of many, the next one.
    `data` is what the entry was made from, whose fields are called as there.
    """
    (place, first), *others = [
        (as_written(place, data), _words(dict(one), model, place)) for place, one in _faults(error)
    ]
    if not others:
        return place, first
    named, more = cut_short(others, None if len(others) < MOST_NAMED else 1, "in this entry")
    also = [f"field {field_path(at)}: {words}" if at else words for at, words in named]
    also += [more.removeprefix("and ")] if more else []
    return place, f"{first} (also {', and '.join(also)})"


def _faults(error: ValidationError) -> list[tuple[tuple[str | int, ...], Any]]:
    """Return what is wrong and in which field, once for each, unknown fields first.

    A misspelt name also makes its right spelling "missing", and a list with a bad item is also reported as
    too short: neither is another fault.
    """
    details = error.errors(include_url=False)
    details.sort(key=lambda one: one["type"] != "extra_forbidden")
    unknown = [one["loc"] for one in details if one["type"] == "extra_forbidden"]
    found: dict[tuple[str | int, ...], Any] = {}
    for one in details:
        place = one["loc"]
        meant = one["type"] == "missing" and any(_may_mean(misspelt, place) for misspelt in unknown)
        if not meant and not (one["type"] == "too_short" and _beneath(place, details)):
            found.setdefault(tuple(part for part in place if part != "[key]"), one)
    return list(found.items())


def _may_mean(misspelt: Sequence[str | int], place: Sequence[str | int]) -> bool:
    """Return whether a field that is not known is likely the one at `place`, beside it."""
    return misspelt[:-1] == place[:-1] and bool(get_close_matches(str(misspelt[-1]), [str(place[-1])]))


def build(model: type[ModelT], data: Any, where: str) -> ModelT:
    """Return `data` as a `model`, or raise a Refusal that begins with `where`."""
    try:
        return model.model_validate(data)
    except ValidationError as problem:
        field, words = explain(problem, model, data)
        raise Refusal(
            f"{where}, field {field_path(field)}: {words}" if field else f"{where}: {words}"
        ) from None


def checked(model: type[ModelT], data: Mapping[str, Any]) -> ModelT:
    """Return `data` as a `model`; an InvalidValue says in plain words what of it cannot be."""
    try:
        return model.model_validate(data)
    except ValidationError as problem:
        raise InvalidValue(explain(problem, model, data)[1]) from None


def changed(part: ModelT, changes: Mapping[str, Any]) -> ModelT:
    """Return `part` with `changes`, all its fields checked as those of a file are."""
    return checked(type(part), {**{name: getattr(part, name) for name in type(part).model_fields}, **changes})


def checked_field(model: type[BaseModel], field: str, value: object) -> None:
    """Refuse what `field` of `model` cannot hold, with an InvalidValue."""
    kept: TypeAdapter[Any] = TypeAdapter(model.model_fields[field].rebuild_annotation())
    try:
        kept.validate_python(value)
    except ValidationError as problem:
        raise InvalidValue(explain(problem, model)[1]) from None


def _beneath(place: tuple[str | int, ...], details: Iterable[Any]) -> bool:
    """Return whether another error lies inside the list at `place`."""
    return any(one["loc"][: len(place)] == place and len(one["loc"]) > len(place) for one in details)


def _words(detail: dict[str, Any], model: type[BaseModel], place: tuple[str | int, ...]) -> str:
    """Return plain words for one pydantic error."""
    kind, found, limits = detail["type"], detail["input"], detail.get("ctx", {})
    if kind == "value_error":
        return str(limits["error"])
    if kind == "missing":
        return f"is missing{_wanted(model, place)}"
    if kind == "extra_forbidden":
        return f"is not known here; {suggest(str(place[-1]), _fields(model, place[:-1]), most=None)}"
    if kind == "literal_error":
        return f"found {show(found)}; allowed are {limits['expected'].replace(chr(39), chr(34))}"
    if kind in {"too_short", "too_long"}:
        least, most = limits.get("min_length"), limits.get("max_length")
        bound = f"at least {least}" if kind == "too_short" else f"at most {most}"
        return f"found {limits['actual_length']} entries; allowed are {bound}"
    expected = _EXPECTED.get(kind, "something else: " + detail["msg"].lower())
    return f"found {show(found)}; it must be {expected}"


_EXPECTED = {
    "model_type": "a table of named fields",
    "dict_type": "a table",
    "mapping_type": "a table",
    "tuple_type": "a list",
    "list_type": "a list",
    "string_type": "text in quotes",
    "bool_type": "true or false",
    "int_type": "a whole number",
    "date_type": "a date like 2030-01-31, without quotes or a time",
}


def _wanted(model: type[BaseModel], place: tuple[str | int, ...]) -> str:
    """Return what may stand in a field that is missing, where it has few values or an example."""
    part = _part(model, place[:-1])
    field = part.model_fields.get(str(place[-1])) if part else None
    if field is None:
        return ""
    if get_origin(field.annotation) is Literal:
        return f"; allowed are {', '.join(show(one) for one in get_args(field.annotation))}"
    return f"; write it as {field.examples[0]}" if field.examples else ""


def _fields(model: type[BaseModel], parents: tuple[str | int, ...]) -> list[str]:
    """Return the names of the fields that may stand under `parents`."""
    part = _part(model, parents)
    return list(part.model_fields) if part else []


def _part(model: type[BaseModel], parents: tuple[str | int, ...]) -> type[BaseModel] | None:
    """Return what stands under `parents`, if that has fields."""
    for part in parents:
        if isinstance(part, int):
            continue
        field = model.model_fields.get(part)
        inner = _model_in(field.annotation) if field else None
        if inner is None:
            return None
        model = inner
    return model


def _model_in(annotation: Any) -> type[BaseModel] | None:
    """Return the model inside a type such as ``tuple[Layer, ...]`` or ``Spectrum | None``."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    inner = (_model_in(part) for part in getattr(annotation, "__args__", ()))
    return next((model for model in inner if model is not None), None)
