"""What a form says beside a quote: open questions about a file, and the file it was taken from."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pydantic import Field

from quotegen.model.fields import Count, Currency, DecimalWord, Form, Text, YesNo
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

    file_sha256 is of the file's bytes, draft_sha256 begins the sum of each fact as the file
    says it; so a person's own are known. instead_of are earlier files of the same quote.
    read_as is what a person answered about how the whole file is read: decimal, price per, heads.
    """

    file: Text
    file_sha256: Text
    draft_sha256: Text
    instead_of: tuple[Text, ...] = ()
    read_as: Mapping[Text, Any] = Field(default_factory=dict)


class Layout(Form):
    """How one table of a supplier is read: its head words, and what a person confirmed.

    heads gives for a head word what it is for: from, price, part, total and so on. currency is
    what a sign of several currencies means there.
    """

    words: tuple[Text, ...]
    heads: Mapping[Text, Text] = Field(default_factory=dict)
    decimal: DecimalWord | None = None
    currency: Currency | None = None
    price_per: Count | None = None
    day_first: YesNo | None = None
    confirmed_on: Text | None = None


class Layouts(Form):
    """quotes/<supplier>/layouts.yaml; `quotegen take` writes it once its questions are answered.

    parts gives for a word of the supplier the part of ours that it means.
    """

    format: FormatOne
    layouts: tuple[Layout, ...] = ()
    parts: Mapping[Text, Text] = Field(default_factory=dict)
