"""A quote in our own form, brought in from elsewhere: every value is said by its key."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from quotegen.basics.place import Place
from quotegen.basics.problem import Problem
from quotegen.intake.answers import LISTS
from quotegen.intake.files import RawFile, Refused
from quotegen.intake.yaml_tree import Keys, Tree, read_tree
from quotegen.taking.fact import Fact, Findings, Sure
from quotegen.taking.seen import Remark, Seen


def see_own_form(raw: RawFile, record: str) -> Seen:
    """Raises Refused as read_tree does, and where the form is not one of keys and values."""
    tree = read_tree(raw, record)
    if not isinstance(tree.value, dict):
        values = {"field": "form", "seen": _text(tree.value)[:60], "expected": "keys with values"}
        raise Refused(Problem.of("not-a-form", raw.place, **values, record=record))
    items = tree.value.get("items")
    if items is not None and not (
        isinstance(items, list) and all(isinstance(each, dict) for each in items)
    ):
        values = {"field": "items", "seen": _text(items)[:60], "expected": "a list of items"}
        raise Refused(Problem.of("not-a-form", raw.place, **values, record=record))
    return seen_in(tree, raw.place)


def seen_in(tree: Tree, file: Place, remarks: tuple[Remark, ...] = ()) -> Seen:
    """What a quote form says, every value of it beyond doubt."""
    found = Findings(facts=list(_facts(tree, tree.value, ())))
    return Seen(kind="form", place=file, found=found, remarks=remarks)


def _facts(tree: Tree, value: Any, keys: Keys) -> Iterator[Fact]:
    """Groups and lists of groups become facts of their own, so that each keeps its place."""
    if isinstance(value, dict) and (not keys or (len(keys) == 2 and keys[0] == "items")):
        for key, inner in value.items():
            if keys or key not in ("format", "questions", "taken"):
                yield from _facts(tree, inner, (*keys, key))
    elif isinstance(value, list) and keys[-1] not in LISTS and keys != ("items",):
        yield Fact(keys=keys, value=value, seen=_text(value), place=tree.places.of(*keys))
    elif isinstance(value, list):
        for index, inner in enumerate(value):
            if keys == ("items",) and isinstance(inner, dict):
                yield from _facts(tree, inner, (*keys, index))
            else:
                place = tree.places.of(*keys, index)
                shown = tree.as_written(*keys, index) or _text(inner)
                yield Fact(keys=keys, value=inner, seen=shown, place=place, sure=Sure.SAID)
    elif value is not None:
        place = tree.places.of(*keys)
        shown = tree.as_written(*keys) or _text(value)
        yield Fact(keys=keys, value=value, seen=shown, place=place, sure=Sure.SAID)


def _text(value: Any) -> str:
    if isinstance(value, dict):
        return ", ".join(f"{key}: {_text(inner)}" for key, inner in value.items())
    return str(value)
