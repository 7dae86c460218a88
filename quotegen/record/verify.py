"""Whether a decision still rests on what it rested on, and whether it is time to look again."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from quotegen.basics.days import ONE_DAY, in_words
from quotegen.basics.number import Unreadable, read_number
from quotegen.basics.printed import counted
from quotegen.costing.rates import RateTable
from quotegen.intake.files import XLSX_BYTES, Refused, read_file
from quotegen.model.decision import Reopen, ReopenKind, State
from quotegen.model.entry import Decision, Folder
from quotegen.model.text import read_date

HASH = "sha256:"


class Change(StrEnum):
    """What became of a file since a decision rested on it."""

    CHANGED = "changed"
    GONE = "gone"
    UNREADABLE = "cannot be read"


@dataclass(frozen=True, slots=True, kw_only=True)
class FileChange:
    """A file that is no longer what it was; hashes in hexadecimal, found is None if unread."""

    path: str
    change: Change
    expected: str
    found: str | None

    @property
    def text(self) -> str:
        if self.change is Change.GONE:
            return f"{self.path} is no longer there."
        verb = "has changed" if self.change is Change.CHANGED else "cannot be read"
        return f"{self.path} {verb} since."


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """A condition that has come true: its kind, what it is about, what is seen now, a sentence.

    since is the first day on which it was true, where that is known.
    """

    kind: ReopenKind
    about: str
    seen: str
    text: str
    since: datetime.date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Present:
    """What a decision is held against: the folder as read now, the day, the rates if known."""

    root: Path
    folder: Folder
    today: datetime.date
    rates: RateTable | None = None


def changed_files(root: Path, decision: Decision) -> tuple[FileChange, ...]:
    """The files that the decision rests on and that are not what they were, by path."""
    found = (
        _change(root, path, expected.removeprefix(HASH))
        for path, expected in sorted(decision.files.items())
    )
    return tuple(each for each in found if each is not None)


def _change(root: Path, path: str, expected: str) -> FileChange | None:
    try:
        seen = read_file(root, path, most=XLSX_BYTES, record="The record").sha256
    except Refused as refused:
        change = CHANGE_BY_CODE.get(refused.problem.code, Change.CHANGED)
        return FileChange(path=path, change=change, expected=expected, found=None)
    if seen == expected:
        return None
    return FileChange(path=path, change=Change.CHANGED, expected=expected, found=seen)


# A file that is now empty, too large or a folder was another one then: it has changed.
CHANGE_BY_CODE = {"file-missing": Change.GONE, "file-unreadable": Change.UNREADABLE}


def when_to_look_again(decision: Decision, present: Present) -> tuple[Due, ...]:
    """The conditions of a decision that have come true, in the order in which it names them.

    None for a record that reopens another. A rate is judged only where present knows it.
    """
    if decision.state is State.REOPENED:
        return ()
    return tuple(
        due for condition in decision.facts.reopen_if for due in _due(condition, decision, present)
    )


def _due(condition: Reopen, decision: Decision, present: Present) -> Iterator[Due]:
    if condition.kind is ReopenKind.FILE_CHANGES:
        for each in changed_files(present.root, decision):
            yield _seen(condition, each.change.value, each.text, about=each.path)
        yield from _received(condition, decision, present.folder)
    elif condition.kind is ReopenKind.QUOTE_ARRIVES:
        yield from _arrived(condition, decision, present.folder)
    elif condition.value is not None:
        due = _against_value(condition, condition.value, decision, present)
        if due is not None:
            yield due


def _against_value(
    condition: Reopen, value: str, decision: Decision, present: Present
) -> Due | None:
    try:
        if condition.kind is ReopenKind.QUOTE_EXPIRES:
            return _expired(condition, value, present.today)
        if condition.kind is ReopenKind.REVISION_CHANGES:
            return _revised(condition, value, decision.part, present.folder)
        if condition.kind is ReopenKind.DEMAND_BELOW:
            return _fallen(condition, value, decision.part, present.folder)
        return _moved(condition, value, decision, present.rates)
    except Unreadable:
        return _seen(condition, value, f"{condition.kind.value}: '{value}' cannot be judged.")


def _seen(
    condition: Reopen,
    seen: str,
    text: str,
    *,
    about: str | None = None,
    since: datetime.date | None = None,
) -> Due:
    return Due(
        kind=condition.kind, about=about or condition.about, seen=seen, text=text, since=since
    )


def _expired(condition: Reopen, value: str, today: datetime.date) -> Due | None:
    last_day = read_date(value)
    if today <= last_day:
        return None
    ago = counted((today - last_day).days, "day")
    text = f"Quote {condition.about} could be signed until {in_words(last_day)}, {ago} ago."
    return _seen(condition, today.isoformat(), text, since=last_day + ONE_DAY)


def _revised(condition: Reopen, value: str, part: str, folder: Folder) -> Due | None:
    entry = folder.parts.get(part)
    if entry is None or entry.record.revision == value:
        return None
    text = f"The drawing is at revision {entry.record.revision}; it was at {value}."
    return _seen(condition, entry.record.revision, text)


def _fallen(condition: Reopen, value: str, part: str, folder: Folder) -> Due | None:
    least, entry = read_number(value), folder.parts.get(part)
    if entry is None or folder.workshop is None:
        return None
    months = folder.workshop.record.planning_months
    wanted = entry.record.pieces_over(months, entry.record.demand.likely)
    if wanted >= least:
        return None
    text = (
        f"The likely demand over {months} months is {counted(wanted, 'good part')}; "
        f"the route needs {value}."
    )
    return _seen(condition, str(wanted), text)


def _moved(
    condition: Reopen, value: str, decision: Decision, rates: RateTable | None
) -> Due | None:
    bound = read_number(value)
    if rates is None or rates.base != decision.facts.currency:
        return None
    rate = rates.rates.get(condition.about)
    if rate is None:
        return None
    rises = condition.kind is ReopenKind.RATE_RISES
    if rate.value < bound if rises else rate.value > bound:
        return None
    side = "or more" if rises else "or less"
    text = (
        f"{rate.written} on {in_words(rate.on)}; the lead was reckoned to be used up at "
        f"{value} {side}."
    )
    return _seen(condition, rate.written, text, since=rate.on)


def _received(condition: Reopen, decision: Decision, folder: Folder) -> Iterator[Due]:
    """A list of what was ordered of the part that was not there when the decision was taken."""
    entry = folder.orders.get(decision.part)
    for path in entry.files if entry is not None else ():
        if path not in decision.files:
            text = f"{path}, what was received of the part, was not there yet."
            yield _seen(condition, path, text, about=path)


def _arrived(condition: Reopen, decision: Decision, folder: Folder) -> Iterator[Due]:
    """Quotes for the part of which no file was there when the decision was taken."""
    for entry in folder.quotes:
        is_for_part = any(item.part == decision.part for item in entry.record.items)
        if is_for_part and not set(entry.files) & decision.files.keys():
            name = f"{entry.supplier}/{entry.record.quote}"
            text = f"Quote {name} for the part was not there yet."
            yield _seen(condition, entry.name, text, about=name)
