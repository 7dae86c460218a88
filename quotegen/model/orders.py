"""What was ordered of a part so far, and what came of it."""

from __future__ import annotations

from quotegen.model.fields import (
    Count,
    Date,
    Form,
    MoneyField,
    ProcessWord,
    Text,
    Whole,
)
from quotegen.model.workshop import FormatOne


class Order(Form):
    """One order of a part; supplier is the short name that the folder uses.

    received and rejected count pieces; without them nothing is known yet. rejected are among the
    received. process may be left out where the supplier has only one.
    """

    order: Text
    supplier: Text
    day: Date
    revision: Text
    process: ProcessWord | None = None
    ordered: Count
    received: Whole | None = None
    rejected: Whole | None = None
    paid: MoneyField | None = None
    note: Text | None = None


class Orders(Form):
    """orders/<part>.yaml; the file's name is the part's number."""

    format: FormatOne
    orders: tuple[Order, ...]
    note: Text | None = None
