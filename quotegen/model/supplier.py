"""A supplier: who they are, where they are and when they are closed."""

from __future__ import annotations

from quotegen.model.ability import Ability
from quotegen.model.fields import (
    Country,
    Currency,
    Date,
    Form,
    ProcessWord,
    Share,
    SpanField,
    Text,
)
from quotegen.model.workshop import FormatOne


class Closure(Form):
    """Days on which a supplier does not work beside the public holidays; both ends count."""

    first: Date
    last: Date
    why: Text | None = None


class Supplier(Form):
    """suppliers/<supplier>.yaml; the file's name is the supplier's short name."""

    format: FormatOne
    name: Text
    processes: tuple[ProcessWord, ...]
    country: Country
    place: Text | None = None
    currency: Currency | None = None
    closed: tuple[Closure, ...] = ()
    rejects_seen: Share | None = None
    usual_lead_time: SpanField | None = None
    can_hold: tuple[Ability, ...] = ()
    contact: Text | None = None
    note: Text | None = None
