"""A record of what was decided for a part: the form of its front matter."""

from __future__ import annotations

import re
from collections.abc import Mapping
from enum import StrEnum
from typing import Annotated, Self

from pydantic import AfterValidator, BeforeValidator, PlainValidator, model_validator
from pydantic_core import PydanticCustomError

from quotegen.basics.money import Money
from quotegen.basics.number import Unreadable
from quotegen.model.fields import (
    Count,
    Currency,
    Date,
    Form,
    MoneyField,
    Text,
    Whole,
)
from quotegen.model.text import read_money
from quotegen.model.workshop import FormatOne

FIRST = "none"


class State(StrEnum):
    """What a record does: it settles a route, or it opens an earlier one again."""

    DECIDED = "decided"
    REOPENED = "reopened"


class ReopenKind(StrEnum):
    """What can make a decision worth another look."""

    QUOTE_EXPIRES = "quote expires"
    REVISION_CHANGES = "revision changes"
    DEMAND_BELOW = "demand falls below"
    RATE_RISES = "rate rises to"
    RATE_FALLS = "rate falls to"
    FILE_CHANGES = "file changes"
    QUOTE_ARRIVES = "quote arrives"


def _no_words(kind: type[StrEnum]) -> BeforeValidator:
    known = ", ".join(each.value for each in kind)

    def check(value: object) -> object:
        if not isinstance(value, str) or value not in [each.value for each in kind]:
            raise _wrong(value, f"one of {known}")
        return value

    return BeforeValidator(check)


def _wrong(value: object, expected: str) -> PydanticCustomError:
    return PydanticCustomError(
        "wrong-value", "{seen}", {"seen": str(value)[:200], "expected": expected}
    )


def _is_hash(value: str) -> str:
    if not re.fullmatch(r"sha256:[0-9a-f]{64}", value):
        raise _wrong(value, "sha256: and 64 hexadecimal digits")
    return value


def _is_hash_or_first(value: str) -> str:
    return value if value == FIRST else _is_hash(value)


def _read_difference(value: object) -> object:
    """An amount that may be less than zero, such as `-12.40 EUR`."""
    if not isinstance(value, str):
        raise _wrong(value, "an amount such as 512.40 EUR")
    try:
        money = read_money(value.removeprefix("-"))
    except Unreadable as problem:
        raise PydanticCustomError(problem.code, "{seen}", dict(problem.values)) from problem
    return money.times(-1) if value.startswith("-") else money


Hash = Annotated[Text, AfterValidator(_is_hash)]
Previous = Annotated[Text, AfterValidator(_is_hash_or_first)]
Difference = Annotated[Money, PlainValidator(_read_difference)]
StateWord = Annotated[State, _no_words(State)]
ReopenWord = Annotated[ReopenKind, _no_words(ReopenKind)]


class Reopen(Form):
    """One condition that reopens a decision: a kind, what it is about, a value, a sentence.

    value is a day for an expiring quote, a revision, a number of good parts over the plan,
    or what one unit of a currency is worth; about names the quote, the part or the currency.
    """

    kind: ReopenWord
    about: Text
    value: Text | None = None
    text: Text


class RateNoted(Form):
    """An exchange rate as it was used, with its day and source."""

    one: Currency
    rate: Text
    day: Date
    source: Text


class DecisionFacts(Form):
    """The front matter of decisions/<part>/<number>.md.

    quantity counts good parts over the planning months; amounts are rounded as printed.
    advised is the recommended route where another one was decided. A record that reopens
    an earlier one has reopens and no figures.
    """

    format: FormatOne
    part: Text
    number: Count
    state: StateWord
    reopens: Count | None = None
    decided_on: Date
    agreed_by: Text
    outcome: Text | None = None
    revision: Text | None = None
    route: tuple[Text, ...] = ()
    advised: tuple[Text, ...] | None = None
    bridge: Whole | None = None
    quantity: Whole | None = None
    planning_months: Count | None = None
    currency: Currency | None = None
    total: MoneyField | None = None
    committed_up_front: MoneyField | None = None
    runner_up: Text | None = None
    runner_up_costs_more: Difference | None = None
    reopen_if: tuple[Reopen, ...] = ()
    rates: tuple[RateNoted, ...] = ()
    assumptions: tuple[Text, ...] = ()
    files: Mapping[str, Hash] = {}
    tool_version: Text
    previous: Previous
    fingerprint: Hash

    @model_validator(mode="after")
    def _says_what_it_does(self) -> Self:
        if self.state is State.DECIDED and (self.outcome is None or self.quantity is None):
            raise _wrong(self.state.value, "an outcome and a quantity with it")
        if (self.state is State.REOPENED) != (self.reopens is not None):
            raise _wrong(self.state.value, "`reopens` with reopened, and only there")
        return self
