"""A record as it was read: every value that somebody wrote, with its place."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterator
from enum import Enum
from fractions import Fraction
from typing import Any

from quotegen.basics.money import written
from quotegen.basics.place import Key, Places
from quotegen.basics.quantity import Length, Mass, YearlyRate
from quotegen.model.fields import Form
from quotegen.report.views.shape import Row, Table, row, words

Keys = tuple[Key, ...]
# Shown elsewhere or said in the page's head.
HIDDEN = frozenset({"format", "note"})


def as_written(record: Form, places: Places, caption: str) -> Table:
    """A row for each value."""
    rows = tuple(_rows(record, places, ()))
    return Table(caption=caption, columns=words("What", "As read", "Place"), rows=rows)


def _rows(value: object, places: Places, keys: Keys) -> Iterator[Row]:
    if isinstance(value, Form):
        for key, inner in _fields(value):
            if keys or key not in HIDDEN:
                yield from _rows(inner, places, (*keys, key))
    elif isinstance(value, tuple) and any(isinstance(each, Form) for each in value):
        for index, inner in enumerate(value):
            yield from _rows(inner, places, (*keys, index))
    else:
        yield row(in_words(keys), value_text(value), str(places.of(*keys)))


def _fields(form: Form) -> Iterator[tuple[str, object]]:
    """What was written, by its key; what was left at its default is not there to be shown."""
    for name, field in type(form).model_fields.items():
        if name in form.model_fields_set:
            yield field.alias or name, getattr(form, name)


def in_words(keys: Keys) -> str:
    """The way to a value as a person counts: items 2, prices 1, price."""
    told: list[str] = []
    for key in keys:
        if isinstance(key, int) and told:
            told[-1] += f" {key + 1}"
        else:
            told.append(str(key))
    return ", ".join(told)


def value_text(value: object) -> str:
    """A value in words and units, as a person would write it."""
    for kind, told in _TOLD:
        if isinstance(value, kind):
            return told(value)
    return str(value)


# The first kind that fits; a bool would pass for a number and a word for a text.
_TOLD: tuple[tuple[type, Callable[[Any], str]], ...] = (
    (bool, lambda value: "yes" if value else "no"),
    (Enum, lambda value: str(value.value)),
    (Fraction, lambda value: f"{written(value * 100)} %"),
    (YearlyRate, lambda value: f"{written(value.share * 100)} % a year"),
    (Mass, lambda value: f"{written(value.grams)} g"),
    (Length, lambda value: f"{written(value.millimetres)} mm"),
    (datetime.date, lambda value: value.isoformat()),
    (tuple, lambda value: ", ".join(map(value_text, value)) or "none"),
)
