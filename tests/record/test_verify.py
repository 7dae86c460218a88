"""Whether a decision still rests on what it rested on, and what has come true since."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from pathlib import Path

import pytest

from quotegen.costing.rates import RateTable, rates_on
from quotegen.intake.decisions import read_decisions
from quotegen.model.decision import ReopenKind
from quotegen.model.entry import Decision, Folder
from quotegen.record.facts import Facts, Reopening
from quotegen.record.verify import Change, Due, Present, changed_files, when_to_look_again
from quotegen.record.write import decide, reopen

TODAY = datetime.date(2026, 11, 2)
ReadNow = Callable[[Path], Folder]


def _decided(root: Path, facts: Facts) -> Decision:
    decide(root, facts, "It pays back.")
    return read_decisions(root)[0][-1]


def _edit(root: Path, path: str, old: str, new: str) -> None:
    text = (root / path).read_text(encoding="utf-8")
    if old not in text:
        raise ValueError(f"{path} does not hold {old!r}")
    (root / path).write_text(text.replace(old, new), encoding="utf-8")


def _due(
    root: Path, decision: Decision, read_now: ReadNow, today: datetime.date = TODAY
) -> tuple[Due, ...]:
    folder = read_now(root)
    assert folder.workshop is not None
    rates = rates_on(folder.workshop, {"GBP"}, today)
    return when_to_look_again(decision, Present(root=root, folder=folder, today=today, rates=rates))


def test_nothing_is_due_where_nothing_changed(root: Path, facts: Facts, read_now: ReadNow) -> None:
    quote = "quotes/row/f-7.yaml"
    (root / quote).unlink()  # it is not among the files of these facts
    decision = _decided(root, facts)
    assert changed_files(root, decision) == ()
    assert _due(root, decision, read_now) == ()


def test_changed_and_vanished_files_are_told_apart(root: Path, facts: Facts) -> None:
    decision = _decided(root, facts)
    _edit(root, "quotes/hall/m-1.yaml", "31 EUR", "32 EUR")
    (root / "parts/pawl.yaml").unlink()
    (root / "workshop.yaml").write_bytes(b"")
    found = {each.path: each for each in changed_files(root, decision)}
    assert {path: each.change for path, each in found.items()} == {
        "parts/pawl.yaml": Change.GONE,
        "quotes/hall/m-1.yaml": Change.CHANGED,
        "workshop.yaml": Change.CHANGED,
    }
    changed = found["quotes/hall/m-1.yaml"]
    assert changed.expected == facts.files["quotes/hall/m-1.yaml"]
    assert changed.found not in (None, changed.expected)
    assert found["parts/pawl.yaml"].text == "parts/pawl.yaml is no longer there."
    assert changed.text == "quotes/hall/m-1.yaml has changed since."


def test_a_file_that_became_a_link_out_of_the_folder_is_not_followed(
    root: Path, facts: Facts, tmp_path_factory: pytest.TempPathFactory
) -> None:
    decision = _decided(root, facts)
    outside = tmp_path_factory.mktemp("outside") / "m-1.yaml"
    (root / "quotes/hall/m-1.yaml").rename(outside)
    (root / "quotes/hall/m-1.yaml").symlink_to(outside)
    (changed,) = changed_files(root, decision)
    assert (changed.change, changed.found) == (Change.CHANGED, None)


@pytest.mark.parametrize(
    ("today", "expected"),
    [
        (datetime.date(2026, 12, 31), None),
        (
            datetime.date(2027, 1, 1),
            "Quote hall/M-1 could be signed until 31 December 2026, 1 day ago.",
        ),
        (
            datetime.date(2027, 1, 10),
            "Quote hall/M-1 could be signed until 31 December 2026, 10 days ago.",
        ),
    ],
)
def test_a_quote_expires_on_the_day_after_its_last(
    root: Path, facts: Facts, read_now: ReadNow, today: datetime.date, expected: str | None
) -> None:
    decision = _decided(root, facts)
    found = [
        each
        for each in _due(root, decision, read_now, today)
        if each.kind is ReopenKind.QUOTE_EXPIRES
    ]
    assert [each.text for each in found] == ([expected] if expected else [])
    assert {each.since for each in found} <= {datetime.date(2027, 1, 1)}


@pytest.mark.parametrize(
    ("edit", "kind", "text"),
    [
        (
            ("parts/pawl.yaml", "revision: C", "revision: D"),
            ReopenKind.REVISION_CHANGES,
            "The drawing is at revision D; it was at C.",
        ),
        (
            ("parts/pawl.yaml", "low: 40, likely: 60", "low: 20, likely: 28"),
            ReopenKind.DEMAND_BELOW,
            "The likely demand over 36 months is 84 good parts; the route needs 85.",
        ),
        (
            ("workshop.yaml", "is worth: 1.20 EUR", "is worth: 1.25 EUR"),
            ReopenKind.RATE_RISES,
            (
                "1 GBP = 1.25 EUR on 30 October 2026; "
                "the lead was reckoned to be used up at 1.25 or more."
            ),
        ),
    ],
)
def test_a_condition_that_has_come_true_is_told(
    root: Path,
    facts: Facts,
    read_now: ReadNow,
    edit: tuple[str, str, str],
    kind: ReopenKind,
    text: str,
) -> None:
    decision = _decided(root, facts)
    before = {each.kind for each in _due(root, decision, read_now)}
    _edit(root, *edit)
    after = {each.kind: each for each in _due(root, decision, read_now)}
    assert kind not in before
    assert after[kind].text == text
    assert after[ReopenKind.FILE_CHANGES].about == edit[0]


@pytest.mark.parametrize(
    ("path", "old", "new", "kind"),
    [
        (
            "parts/pawl.yaml",
            "low: 40, likely: 60, high: 90}",
            "low: 20, likely: 29, high: 90}\non hand: 2",  # 87 less 2
            ReopenKind.DEMAND_BELOW,
        ),
        ("workshop.yaml", "is worth: 1.20", "is worth: 1.2499", ReopenKind.RATE_RISES),
    ],
)
def test_a_change_that_stays_within_the_condition_is_not_due(
    root: Path, facts: Facts, read_now: ReadNow, path: str, old: str, new: str, kind: ReopenKind
) -> None:
    decision = _decided(root, facts)
    _edit(root, path, old, new)
    assert kind not in {each.kind for each in _due(root, decision, read_now)}


def test_a_quote_that_was_not_there_is_told(root: Path, facts: Facts, read_now: ReadNow) -> None:
    decision = _decided(root, facts)
    found = [each.text for each in _due(root, decision, read_now)]
    assert found == ["Quote row/F-7 for the part was not there yet."]


def test_orders_that_were_not_there_are_told(root: Path, facts: Facts, read_now: ReadNow) -> None:
    decision = _decided(root, facts)
    (root / "orders").mkdir()
    order = "{order: P-1, supplier: hall, day: 2026-10-30, revision: C, ordered: 60}"
    text = f"format: 1\norders:\n- {order}\n"
    (root / "orders/pawl.yaml").write_text(text, encoding="utf-8")
    found = [each.text for each in _due(root, decision, read_now)]
    told = "orders/pawl.yaml, what was received of the part, was not there yet."
    assert found == ["Quote row/F-7 for the part was not there yet.", told]


def test_a_rate_is_judged_only_in_the_currency_of_the_decision(
    root: Path, facts: Facts, read_now: ReadNow
) -> None:
    decision = _decided(root, facts)
    _edit(root, "workshop.yaml", "is worth: 1.20", "is worth: 1.30")
    folder = read_now(root)
    assert folder.workshop is not None
    known = rates_on(folder.workshop, {"GBP"}, TODAY)
    judged = []
    for rates in (known, None, RateTable(base="USD", rates=known.rates)):
        present = Present(root=root, folder=folder, today=TODAY, rates=rates)
        kinds = {each.kind for each in when_to_look_again(decision, present)}
        judged.append(ReopenKind.RATE_RISES in kinds)
    assert judged == [True, False, False]


def test_a_record_that_reopens_has_no_conditions(
    root: Path, facts: Facts, read_now: ReadNow
) -> None:
    decide(root, facts, "It pays back.")
    reopen(
        root,
        Reopening(part="pawl", decided_on=TODAY, agreed_by="partner", tool_version="0.1.0"),
        "The furnace is out.",
    )
    decision = read_decisions(root)[0][-1]
    assert _due(root, decision, read_now, datetime.date(2030, 1, 1)) == ()
