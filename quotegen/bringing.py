"""Bringing a file in: our own answered request by its form, any other by what it shows."""

from __future__ import annotations

from pathlib import PurePosixPath

from quotegen.asking.answer import answer_in
from quotegen.basics.problem import Severity
from quotegen.intake.files import RawFile
from quotegen.taking.asking import Talk
from quotegen.taking.own_form import seen_in
from quotegen.taking.screen import wrapped
from quotegen.taking.seen import Remark, Seen
from quotegen.taking.take import TakeResult, Wish, take

__all__ = ["TakeResult", "Wish", "bring", "told_in"]


def bring(wish: Wish, talk: Talk | None = None) -> TakeResult:
    """Take a file in; talk asks a person about what is in doubt."""
    return take(wish, talk, _answered_request)


def told_in(result: TakeResult, width: int | None) -> tuple[str, ...]:
    """The result in lines, in a terminal of a width none longer than that."""
    if width is None:
        return result.told
    return tuple(
        line for told in result.told for line in wrapped(told, width, "  ", breaks_words=False)
    )


def _answered_request(raw: RawFile, record: str) -> Seen | None:  # noqa: ARG001
    """The form that we sent, filled in; None for any other file."""
    if PurePosixPath(raw.path).suffix.lower() != ".xlsx":
        return None
    answer = answer_in(raw)
    if answer is None:
        return None
    remarks = tuple(
        Remark(text=each.message, place=each.place, is_matter=each.severity is Severity.ERROR)
        for each in answer.problems
    )
    return seen_in(answer.filled.tree, raw.place, remarks)
