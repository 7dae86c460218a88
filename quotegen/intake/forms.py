"""A tree becomes a record: all that is wrong with it at once, each with field, place and value."""

from __future__ import annotations

import typing
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, TypeVar

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from quotegen.basics.place import Key, Place
from quotegen.basics.problem import Problem, nearest
from quotegen.basics.wording import WORDINGS
from quotegen.intake.yaml_tree import Keys, Tree, in_words
from quotegen.model.fields import Form, kind_of

MOST_PROBLEMS = 50
FIXED = ("seen", "expected", "hint", "readings")
SHAPES = {
    "tuple_type": "a list",
    "model_type": "a group of keys",
    "dict_type": "a group of keys",
}

Record = TypeVar("Record", bound=Form)


def read_form(
    kind: type[Record], tree: Tree, record: str, under: Keys = ()
) -> tuple[Record | None, tuple[Problem, ...]]:
    """The record that a tree says, or None and every reason why not.

    record is how a person calls it ("The quote AF-2291"); under is the way from the top of
    the form to this tree, so that fields are named as a person finds them.
    """
    empty = tuple(_nothing_written(tree.value, ()))
    problems = [_empty(kind, tree, keys, record, under) for keys in empty[:MOST_PROBLEMS]]
    try:
        found = kind.model_validate(tree.value, by_alias=True, by_name=False)
    except ValidationError as error:
        details = error.errors(include_url=False)
        wrong = [each for each in details if each["loc"] not in empty]
        problems += [_problem(kind, tree, each, record, under) for each in wrong[:MOST_PROBLEMS]]
        return None, at_most(problems, len(empty) + len(wrong), tree.places.file)
    return None if problems else found, at_most(problems, len(empty), tree.places.file)


def at_most(problems: Sequence[Problem], found: int, file: Place) -> tuple[Problem, ...]:
    """The first problems of a file, and where more were found a word about that."""
    if found <= MOST_PROBLEMS:
        return tuple(problems)
    more = Problem.of("more-problems", Place(file.path), seen=str(MOST_PROBLEMS))
    return (*problems[:MOST_PROBLEMS], more)


def _nothing_written(value: Any, keys: Keys) -> Iterator[Keys]:
    if value is None and keys:
        yield keys
    elif isinstance(value, dict):
        for key, inner in value.items():
            yield from _nothing_written(inner, (*keys, key))
    elif isinstance(value, list):
        for index, inner in enumerate(value):
            yield from _nothing_written(inner, (*keys, index))


def _empty(kind: type[Form], tree: Tree, keys: Keys, record: str, under: Keys) -> Problem:
    is_known = isinstance(keys[-1], int) or keys[-1] in keys_known_at(kind, keys[:-1])
    values = {"field": in_words(under + keys), "record": record}
    code = "value-empty" if is_known else "stray-words"
    return Problem.of(code, tree.key_at(*keys), **values)


def _problem(
    kind: type[Form], tree: Tree, error: ErrorDetails, record: str, under: Keys
) -> Problem:
    keys: Keys = error["loc"]
    values = {"field": in_words(under + keys) or "form", "record": record}
    code, more = _in_our_words(kind, error)
    seen = tree.as_written(*keys) or error["input"]
    if "seen" in more and isinstance(seen, str) and code != "not-a-form":
        more["seen"] = seen[:200]
    if code == "missing-field":
        return Problem.of(code, tree.places.of(*keys[:-1]), **values, **more)
    place = tree.key_at(*keys) if code == "unknown-key" else tree.places.of(*keys)
    return Problem.of(code, place, **values, **more)


def _in_our_words(kind: type[Form], error: ErrorDetails) -> tuple[str, dict[str, str]]:
    """The code of a problem and the values of its sentence, from pydantic's kind of error."""
    keys, given, seen = error["loc"], error.get("ctx", {}), kind_of(error["input"])
    code, values = error["type"], {key: str(given[key]) for key in FIXED if key in given}
    if code == "missing":
        code, values = "missing-field", {"key": str(keys[-1])}
    elif code == "extra_forbidden":
        hint = nearest(str(keys[-1]), keys_known_at(kind, keys[:-1]))
        code, values = "unknown-key", {"hint": hint}
    elif code in SHAPES:
        code, values = "not-a-form", {"seen": seen, "expected": SHAPES[code]}
    elif code == "literal_error":
        code, values = "format-unknown", {"seen": seen}
    elif code not in WORDINGS:
        code, values = "wrong-value", {"seen": seen, "expected": error["msg"]}
    return code, values


def keys_known_at(kind: type[Form], keys: tuple[Key, ...]) -> tuple[str, ...]:
    """The keys that a form knows at the end of a way, as they are written."""
    for key in keys:
        if isinstance(key, str):
            inner = _form_inside(fields_by_key(kind).get(key))
            if inner is None:
                return ()
            kind = inner
    return tuple(fields_by_key(kind))


def fields_by_key(kind: type[Form]) -> Mapping[str, Any]:
    """The annotation of each field of a form, by its key as written."""
    return {info.alias or name: info.annotation for name, info in kind.model_fields.items()}


def _form_inside(annotation: Any) -> type[Form] | None:
    """The form that a field holds, alone, in a list or as one of several possibilities."""
    if isinstance(annotation, type):
        return annotation if issubclass(annotation, Form) else None
    inner = (_form_inside(each) for each in typing.get_args(annotation))
    return next((each for each in inner if each is not None), None)
