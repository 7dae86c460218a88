"""The lines of the answer sheet: what is printed in each cell, and which cells are blanks."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from quotegen.asking.form import Blank, Facts, Kind, Question, questions_of

FIRST_BLANK = 2  # column C; A has the question's number, B what is asked
HOW = (
    "Please fill in the marked cells and send this file back; leave empty what you do not quote.",
    "Amounts are plain numbers in your currency, without tax where you can. Dates are 2027-03-15.",
    "What no cell asks for goes under remarks, at the end.",
)


class Look(StrEnum):
    """How a line is set."""

    TITLE = "title"
    PLAIN = "plain"
    QUESTION = "question"
    HEAD = "head"
    BLANKS = "blanks"


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One row of the sheet: number, text in column B, then heads or blanks from column C on."""

    look: Look
    text: str
    number: str = ""
    heads: tuple[str, ...] = ()
    blanks: tuple[Blank, ...] = ()
    hint: str = ""

    @property
    def texts(self) -> tuple[str, ...]:
        return tuple(each for each in (self.number, self.text, *self.heads, self.hint) if each)


def lines_of(facts: Facts) -> tuple[Line, ...]:
    """Every row from the top; the same facts give the same rows."""
    return tuple(_lines(facts))


@cache
def texts_of(facts: Facts) -> frozenset[str]:
    """All that we print, wherever it stands: anything else was written by whoever answered."""
    return frozenset(" ".join(text.split()) for line in lines_of(facts) for text in line.texts)


def _lines(facts: Facts) -> Iterator[Line]:
    yield Line(look=Look.TITLE, text=f"Answer to the request {facts.request}")
    yield Line(look=Look.PLAIN, text=f"Part {facts.part}, revision {facts.revision}")
    yield from (Line(look=Look.PLAIN, text=text) for text in HOW)
    for question in questions_of(facts):
        yield Line(look=Look.QUESTION, text=question.text, number=str(question.number))
        yield from _answers(question)


def _answers(question: Question) -> Iterator[Line]:
    for blank in question.blanks:
        hint = _hint(blank)
        yield Line(look=Look.BLANKS, text=blank.label, blanks=(blank,), hint=hint)
    if question.rows:
        widest = max(question.rows, key=lambda row: len(row.blanks))
        heads = tuple(blank.label for blank in widest.blanks)
        yield Line(look=Look.HEAD, text=question.lead, heads=heads)
    for row in question.rows:
        yield Line(look=Look.BLANKS, text=row.lead, blanks=row.blanks)


def _hint(blank: Blank) -> str:
    """What may stand in a single blank, beside it."""
    short = blank.kind is Kind.CHOICE and len(", ".join(blank.choices)) <= 60
    return ", ".join(blank.choices) if short else blank.kind.value
