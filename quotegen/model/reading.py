"""A reading form: where the values of a quote stand in a file as a supplier sent it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pydantic import Field

from quotegen.model.fields import (
    CharsetWord,
    DecimalWord,
    DelimiterWord,
    Form,
    HiddenWord,
    Text,
)
from quotegen.model.workshop import FormatOne


class Columns(Form):
    """The header words of the columns that are read, as they stand in the file."""

    from_: Text = Field(alias="from")
    price: Text
    part: Text | None = None
    revision: Text | None = None


class Reading(Form):
    """quotes/<supplier>/<quote>.yaml beside the file that it reads.

    quote is a quote form whose items leave out `prices`: these come from the rows of the
    table. Any value in it may be `{cell: B14}`, or `{cell: B14, unit: GBP}` where the cell
    holds a bare number. rows gives, for a part, the words that its column shows.
    """

    format: FormatOne
    reads: Text
    sheet: Text | None = None
    charset: CharsetWord | None = None
    delimiter: DelimiterWord | None = None
    decimal: DecimalWord | None = None
    columns: Columns | None = None
    price_per: Text | None = None
    rows: Mapping[Text, Text] = Field(default_factory=dict)
    ends_before: Text | None = None
    hidden: HiddenWord | None = None
    quote: dict[str, Any]


class CellReference(Form):
    """A value that stands in one cell of the file; unit is written after a bare number."""

    cell: Text
    unit: Text | None = None
