"""Putting a decision about a part on record, and telling what was decided before."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from quotegen import __version__
from quotegen.basics.problem import Problem, has_errors
from quotegen.intake.files import Refused
from quotegen.judge.advice import Outcome
from quotegen.judge.reasons import reasons_for
from quotegen.judge.studied import PartStudy, Study
from quotegen.record.facts import Reopening
from quotegen.record.gather import Agreement, facts_of
from quotegen.record.history import HEAD, HistoryRow, history, row_as_cells, row_as_json
from quotegen.record.verify import Present
from quotegen.record.write import CannotRecord, decide, reopen
from quotegen.study import study


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """What a person wants on record: who agreed, why, and a route other than the advised one."""

    part: str
    agreed_by: str
    because: str
    route: tuple[str, ...] = ()
    reopen: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Recorded:
    """The new file, or why there is none; problems of the folder stand beside it.

    misused says that the wish does not fit, whatever the state of the folder.
    """

    path: Path | None = None
    refused: str = ""
    misused: bool = False
    problems: tuple[Problem, ...] = ()


def put_on_record(
    folder: Path, wish: Wish, today: datetime.date | None, clock: datetime.date
) -> Recorded:
    """Write one record. Nothing is written where the part has errors or no route can be taken.

    A route that is not advised, and any outcome but chosen, needs a reason in own words.
    """
    unfit = _why_unfit(wish)
    if unfit:
        return Recorded(refused=unfit, misused=True)
    found = study(folder, today, only=(wish.part,), clock=clock)
    part, problems = found.parts.get(wish.part), found.problems
    if part is None:
        return Recorded(refused=f"the part {wish.part} cannot be compared", problems=problems)
    if has_errors(problems) and not wish.reopen:
        return Recorded(refused="the folder has errors; mend them first", problems=problems)
    lacking = "" if wish.reopen else _what_is_lacking(part, wish)
    if lacking:
        return Recorded(refused=lacking, misused=True, problems=problems)
    return _recorded(folder, wish, part, found)


def _why_unfit(wish: Wish) -> str:
    if not wish.agreed_by.strip():
        return "a record says who agreed: --agreed-by takes a role or a name"
    if wish.reopen and wish.route:
        return "to reopen a decision names no route: leave --route out"
    if wish.reopen and not wish.because.strip():
        return 'say why it is reopened: --because "..."'
    return ""


def _what_is_lacking(part: PartStudy, wish: Wish) -> str:
    """What the wish must say beyond who agreed; nothing where it follows the recommendation."""
    outcome, advised = part.advice.outcome, part.advice.route
    if outcome is Outcome.CHOSEN and advised is not None:
        follows = wish.route in ((), tuple(offer.name for offer in advised.offers))
        if follows or wish.because.strip():
            return ""
        return 'say why it is another route than the recommended one: --because "..."'
    if wish.route and wish.because.strip():
        return ""
    return (
        f"the outcome is '{outcome.value}': name the route with --route and say why with --because"
    )


def _recorded(folder: Path, wish: Wish, part: PartStudy, found: Study) -> Recorded:
    try:
        path = _write(folder, wish, part, found.today)
    except CannotRecord as error:
        return Recorded(refused=str(error), problems=found.problems)
    except ValueError as error:
        return Recorded(refused=str(error), misused=True, problems=found.problems)
    except Refused as error:
        return Recorded(refused=error.problem.sentence, problems=found.problems)
    return Recorded(path=path, problems=found.problems)


def _write(folder: Path, wish: Wish, part: PartStudy, today: datetime.date) -> Path:
    if wish.reopen:
        reopening = Reopening(
            part=wish.part, decided_on=today, agreed_by=wish.agreed_by, tool_version=__version__
        )
        return reopen(folder, reopening, wish.because)
    agreement = Agreement(agreed_by=wish.agreed_by, tool_version=__version__, route=wish.route)
    facts = facts_of(folder, part.comparison, part.advice, agreement)
    return decide(folder, facts, _reasons(wish, part))


def _reasons(wish: Wish, part: PartStudy) -> str:
    """The person's own words first, then what the comparison says."""
    own = [wish.because.strip()] if wish.because.strip() else []
    said = [f"- {reason}" for reason in reasons_for(part.comparison, part.advice)]
    return "\n\n".join([*own, "What the comparison says:", "\n".join(said)])


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """The history of a part, for a terminal and for scripts."""

    part: str
    history: tuple[HistoryRow, ...]
    problems: tuple[Problem, ...]

    @property
    def head(self) -> tuple[str, ...]:
        return HEAD

    @property
    def rows(self) -> tuple[tuple[str, ...], ...]:
        return tuple(row_as_cells(row) for row in self.history)

    def as_json(self) -> dict[str, Any]:
        return {"part": self.part, "records": [row_as_json(row) for row in self.history]}


def history_of(folder: Path, part: str, today: datetime.date | None, clock: datetime.date) -> Told:
    """What was decided for a part, oldest first, and whether each record still holds."""
    found = study(folder, today, only=(part,), clock=clock)
    rates = found.parts[part].comparison.rates if part in found.parts else None
    present = Present(root=folder, folder=found.folder, today=found.today, rates=rates)
    return Told(part=part, history=history(part, present), problems=found.problems)
