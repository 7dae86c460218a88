"""The history of a part: its records in order, and whether each still holds."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from quotegen.basics.days import in_words
from quotegen.basics.money import Money, minor_digits, rounded
from quotegen.basics.printed import money
from quotegen.model.decision import State
from quotegen.model.entry import Decision
from quotegen.record.verify import Present, when_to_look_again

HEAD = ("no", "date", "state", "outcome", "route", "total", "agreed by", "still holds")


@dataclass(frozen=True, slots=True, kw_only=True)
class HistoryRow:
    """One record of a part.

    why_not says in sentences why it no longer holds, or why to look at it again; it is empty
    where it holds. A record that reopens another has no route of its own and never holds.
    """

    number: int
    decided_on: datetime.date
    state: State
    outcome: str
    route: tuple[str, ...]
    total: Money | None
    agreed_by: str
    holds: bool
    why_not: tuple[str, ...]
    path: str


def history(part: str, present: Present) -> tuple[HistoryRow, ...]:
    """A row for each record of the part that could be read, oldest first."""
    records = sorted(
        (each for each in present.folder.decisions if each.part == part),
        key=lambda each: each.number,
    )
    return tuple(_row(each, tuple(records), present) for each in records)


def _row(decision: Decision, records: tuple[Decision, ...], present: Present) -> HistoryRow:
    why_not = tuple(_why_not(decision, records, present))
    return HistoryRow(
        number=decision.number,
        decided_on=decision.decided_on,
        state=decision.state,
        outcome=decision.outcome,
        route=decision.route,
        total=decision.facts.total,
        agreed_by=decision.facts.agreed_by,
        holds=not why_not,
        why_not=why_not,
        path=decision.path,
    )


def _why_not(decision: Decision, records: tuple[Decision, ...], present: Present) -> Iterator[str]:
    """Reasons in order of weight; what has come true matters only while a decision is in force."""
    if not decision.intact:
        yield "The record was edited after it was written."
    if decision.state is State.REOPENED:
        yield f"It opens record {decision.facts.reopens} again."
        return
    later = next((each for each in records if each.number > decision.number), None)
    if later is None:
        yield from (due.text for due in when_to_look_again(decision, present))
    elif later.state is State.REOPENED:
        yield f"Reopened on {in_words(later.decided_on)} by record {later.number}."
    else:
        yield f"Replaced on {in_words(later.decided_on)} by record {later.number}."


def row_as_json(row: HistoryRow) -> dict[str, Any]:
    """What `quotegen history PART --json` prints for one record."""
    return {
        "number": row.number,
        "date": row.decided_on.isoformat(),
        "state": row.state.value,
        "outcome": row.outcome or None,
        "route": list(row.route),
        "total": _digits(row.total),
        "currency": row.total.currency if row.total is not None else None,
        "agreed_by": row.agreed_by,
        "holds": row.holds,
        "why_not": list(row.why_not),
        "path": row.path,
    }


def _digits(total: Money | None) -> str | None:
    if total is None:
        return None
    return f"{rounded(total.amount, minor_digits(total.currency) or 0):f}"


def row_as_cells(row: HistoryRow) -> tuple[str, ...]:
    """The cells under HEAD for a terminal."""
    return (
        str(row.number),
        row.decided_on.isoformat(),
        row.state.value,
        row.outcome or "-",
        " then ".join(row.route) or "-",
        money(row.total.amount, row.total.currency) if row.total is not None else "-",
        row.agreed_by,
        "yes" if row.holds else "no: " + " ".join(row.why_not),
    )
