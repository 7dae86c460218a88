"""The history of a part: each record, whether it holds, and why not."""

from __future__ import annotations

import dataclasses
import datetime
from collections.abc import Callable
from pathlib import Path

import pytest

from quotegen.model.entry import Folder
from quotegen.record.facts import Facts, Reopening
from quotegen.record.history import HEAD, HistoryRow, history, row_as_cells, row_as_json
from quotegen.record.verify import Present
from quotegen.record.write import decide, reopen

TODAY = datetime.date(2026, 11, 2)
ReadNow = Callable[[Path], Folder]
REOPENING = Reopening(
    part="pawl",
    decided_on=datetime.date(2026, 12, 1),
    agreed_by="partner",
    tool_version="0.1.0",
)


@pytest.fixture
def settled(facts: Facts, root: Path) -> Facts:
    """The facts of a decision that holds today: no quote lies there that it does not know."""
    (root / "quotes/row/f-7.yaml").unlink()
    return facts


def _history(root: Path, read_now: ReadNow, today: datetime.date = TODAY) -> tuple[HistoryRow, ...]:
    return history("pawl", Present(root=root, folder=read_now(root), today=today))


def test_a_part_without_records_has_no_history(root: Path, read_now: ReadNow) -> None:
    assert _history(root, read_now) == ()


def test_a_decision_that_nothing_touched_still_holds(
    root: Path, settled: Facts, read_now: ReadNow
) -> None:
    decide(root, settled, "It pays back.")
    (row,) = _history(root, read_now)
    assert (row.holds, row.why_not) == (True, ())


def test_a_decision_says_what_has_come_true(root: Path, settled: Facts, read_now: ReadNow) -> None:
    decide(root, settled, "It pays back.")
    (row,) = _history(root, read_now, datetime.date(2027, 1, 1))
    assert row.holds is False
    assert row.why_not == ("Quote hall/M-1 could be signed until 31 December 2026, 1 day ago.",)


def test_only_the_last_decision_is_in_force(root: Path, settled: Facts, read_now: ReadNow) -> None:
    decide(root, settled, "It pays back.")
    reopen(root, REOPENING, "The furnace is out.")
    later = dataclasses.replace(settled, decided_on=datetime.date(2026, 12, 24))
    decide(root, later, "The furnace burns again.")
    rows = _history(root, read_now, datetime.date(2026, 12, 24))
    assert [row.holds for row in rows] == [False, False, True]
    assert rows[0].why_not == ("Reopened on 1 December 2026 by record 2.",)
    assert rows[1].why_not == ("It opens record 1 again.",)


def test_a_decision_that_another_replaced_says_by_which(
    root: Path, settled: Facts, read_now: ReadNow
) -> None:
    decide(root, settled, "It pays back.")
    decide(root, settled, "Confirmed.")
    assert _history(root, read_now)[0].why_not == ("Replaced on 2 November 2026 by record 2.",)


def test_an_edited_record_does_not_hold(root: Path, settled: Facts, read_now: ReadNow) -> None:
    path = decide(root, settled, "It pays back.")
    path.write_text(path.read_text().replace("pays", "paid"), encoding="utf-8")
    (row,) = _history(root, read_now)
    assert row.why_not == ("The record was edited after it was written.",)


def test_a_row_as_json_and_as_cells(root: Path, settled: Facts, read_now: ReadNow) -> None:
    decide(root, settled, "It pays back.")
    reopen(root, REOPENING, "The furnace is out.")
    decided, reopened = _history(root, read_now)
    assert row_as_json(decided) == {
        "number": 1,
        "date": "2026-11-02",
        "state": "decided",
        "outcome": "chosen",
        "route": ["hall/M-1", "row/F-7"],
        "total": "3528.01",
        "currency": "EUR",
        "agreed_by": "workshop lead",
        "holds": False,
        "why_not": ["Reopened on 1 December 2026 by record 2."],
        "path": "decisions/pawl/0001.md",
    }
    assert dict(zip(HEAD, row_as_cells(decided), strict=True)) == {
        "no": "1",
        "date": "2026-11-02",
        "state": "decided",
        "outcome": "chosen",
        "route": "hall/M-1 then row/F-7",
        "total": "3,528.01 EUR",
        "agreed by": "workshop lead",
        "still holds": "no: Reopened on 1 December 2026 by record 2.",
    }
    cells = dict(zip(HEAD, row_as_cells(reopened), strict=True))
    assert (cells["outcome"], cells["route"], cells["total"]) == ("-", "-", "-")
