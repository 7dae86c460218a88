"""What is put on record about a decision, and the front matter that says it."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from quotegen.basics.money import minor_digits, rounded
from quotegen.intake.record_file import one_line
from quotegen.model.decision import FIRST, ReopenKind, State


@dataclass(frozen=True, slots=True, kw_only=True)
class Condition:
    """One condition that reopens a decision; what about and value hold, see model Reopen."""

    kind: ReopenKind
    about: str
    value: str | None = None
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RateOnRecord:
    """An exchange rate as it was used."""

    one: str
    rate: str
    day: datetime.date
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """A decision as far as it is known before it gets its number.

    Amounts are exact and in currency; they are rounded to its minor unit when written.
    quantity counts good parts over the planning months. lead is what the runner-up costs
    more, and may be negative. files maps paths below the folder to the sha256 of their bytes,
    in hexadecimal. advised is the recommended route where another one was decided.
    """

    part: str
    decided_on: datetime.date
    agreed_by: str
    outcome: str
    revision: str
    route: tuple[str, ...]
    bridge: int | None
    quantity: int
    planning_months: int
    currency: str
    total: Fraction | None
    committed: Fraction | None
    runner_up: str | None
    lead: Fraction | None
    reopen_if: tuple[Condition, ...]
    rates: tuple[RateOnRecord, ...]
    assumptions: tuple[str, ...]
    files: Mapping[str, str]
    tool_version: str
    advised: tuple[str, ...] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Reopening:
    """That the decision in force for a part is open again."""

    part: str
    decided_on: datetime.date
    agreed_by: str
    tool_version: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """Where a new record stands in its chain: its number, and the fingerprint before it."""

    number: int
    previous: str | None


def tree_of(facts: Facts, link: Link) -> dict[str, Any]:
    """The front matter of a decision without its fingerprint; every number is a text."""
    tree = _head(facts, link, State.DECIDED) | {
        "outcome": facts.outcome,
        "revision": facts.revision,
        "route": list(facts.route),
        "advised": None if facts.advised is None else list(facts.advised),
        "bridge": _number(facts.bridge),
        "quantity": str(facts.quantity),
        "planning months": str(facts.planning_months),
        "currency": facts.currency,
        "total": _amount(facts.total, facts.currency),
        "committed up front": _amount(facts.committed, facts.currency),
        "runner up": facts.runner_up,
        "runner up costs more": _amount(facts.lead, facts.currency),
        "reopen if": [_condition(each) for each in facts.reopen_if],
        "rates": [_rate(each) for each in facts.rates],
        "assumptions": list(facts.assumptions),
        "files": {path: f"sha256:{sha}" for path, sha in sorted(facts.files.items())},
    }
    return dict(_cleaned_items(tree | _tail(facts, link)))


def reopened_tree_of(reopening: Reopening, reopens: int, link: Link) -> dict[str, Any]:
    """The front matter of a record that reopens an earlier one."""
    head = _head(reopening, link, State.REOPENED)
    tree = head | {"reopens": str(reopens)} | _tail(reopening, link)
    return dict(_cleaned_items(tree))


def _head(facts: Facts | Reopening, link: Link, state: State) -> dict[str, Any]:
    return {
        "format": "1",
        "part": facts.part,
        "number": str(link.number),
        "state": state.value,
        "decided on": facts.decided_on.isoformat(),
        "agreed by": facts.agreed_by,
    }


def _tail(facts: Facts | Reopening, link: Link) -> dict[str, Any]:
    return {"tool version": facts.tool_version, "previous": link.previous or FIRST}


def _condition(condition: Condition) -> dict[str, Any]:
    return {
        "kind": condition.kind.value,
        "about": condition.about,
        "value": condition.value,
        "text": condition.text,
    }


def _rate(rate: RateOnRecord) -> dict[str, Any]:
    return {
        "one": rate.one,
        "rate": rate.rate,
        "day": rate.day.isoformat(),
        "source": rate.source,
    }


def _number(value: int | None) -> str | None:
    return None if value is None else str(value)


def _amount(amount: Fraction | None, currency: str) -> str | None:
    if amount is None:
        return None
    return f"{rounded(amount, minor_digits(currency) or 0):f} {currency}"


def _cleaned(value: Any) -> Any:
    """The tree with every text on one line; what says nothing is left out.

    Paths stay as they are: a path with one mark changed names another file.
    """
    if isinstance(value, dict):
        return dict(_cleaned_items(value))
    if isinstance(value, list):
        return [_cleaned(each) for each in value if not isinstance(each, str) or one_line(each)]
    return one_line(value) if isinstance(value, str) else value


def _cleaned_items(values: Mapping[str, Any]) -> Iterator[tuple[str, Any]]:
    for key, value in values.items():
        cleaned = _cleaned(value)
        if cleaned not in (None, ""):
            yield key, cleaned
