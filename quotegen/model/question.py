"""What a form says beside a quote: open questions about a file, and the file it was taken from."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pydantic import Field

from quotegen.model.fields import Count, DecimalWord, Form, Text, YesNo
from quotegen.model.workshop import FormatOne

LEAVE_OUT = "leave out"


class Question(Form):
    """Something in a file that a person has to decide.

    field is the way to the value, as problems name it: `items 1, prices`. readings and answer
    are values as that field takes them, one line of it where it is a list; `leave out` says
    that the field gets nothing. seen is the text as written and at its place.
    """

    field: Text
    seen: Text | None = None
    at: Text | None = None
    readings: tuple[Any, ...] = ()
    ask: Text
    answer: Any = None


class Taken(Form):
    """The file that a form was drafted from: its name beside the form, and what it was then.

    file_sha256 is of the file's bytes, draft_sha256 of the facts as they were drafted; it tells
    whether a person changed one since.
    """

    file: Text
    file_sha256: Text
    draft_sha256: Text


class Layout(Form):
    """How one table of a supplier is read: its head words, and what a person confirmed.

    heads gives for a head word what it is for: from, price, part, total and so on.
    """

    words: tuple[Text, ...]
    heads: Mapping[Text, Text] = Field(default_factory=dict)
    decimal: DecimalWord | None = None
    price_per: Count | None = None
    day_first: YesNo | None = None
    confirmed_on: Text | None = None


class Layouts(Form):
    """quotes/<supplier>/layouts.yaml; `quotegen take` writes it once its questions are answered."""

    format: FormatOne
    layouts: tuple[Layout, ...]
