"""A problem in the data: a value that is shown to a person, never an exception."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import Self

from quotegen.basics.place import Place
from quotegen.basics.wording import WORDINGS


class Severity(StrEnum):
    """An error leaves something out of the answer; a notice only tells."""

    ERROR = "error"
    NOTICE = "notice"


@dataclass(frozen=True, slots=True)
class Problem:
    """What is wrong, where, what happens now and what to do; the words stand in wording.py."""

    code: str
    place: Place
    values: tuple[tuple[str, str], ...] = ()

    @classmethod
    def of(cls, code: str, place: Place, **values: str) -> Self:
        """A problem whose sentence is filled with these values, shown as written."""
        return cls(code, place, tuple(sorted(values.items())))

    @property
    def severity(self) -> Severity:
        return Severity(WORDINGS[self.code].severity)

    @property
    def message(self) -> str:
        return self._filled(WORDINGS[self.code].message)

    @property
    def happens(self) -> str:
        return self._filled(WORDINGS[self.code].happens)

    @property
    def remedy(self) -> str:
        return self._filled(WORDINGS[self.code].remedy)

    @property
    def sentence(self) -> str:
        """Everything on one line, for a log or a table cell."""
        return f"{self.place}: {self.code}: {self.message} {self.happens} {self.remedy}"

    def _filled(self, template: str) -> str:
        return template.format_map({key: _on_one_line(value) for key, value in self.values})


def in_order(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """Each problem once, by file and downwards."""
    return tuple(sorted(set(problems), key=lambda each: (each.place.order, each.code, each.values)))


def has_errors(problems: Iterable[Problem]) -> bool:
    return any(problem.severity is Severity.ERROR for problem in problems)


def nearest(seen: str, known: Iterable[str]) -> str:
    """A hint that names the closest known word, or lists the known ones."""
    choices = {word.lower(): word for word in sorted(known)}
    close = difflib.get_close_matches(seen[:100].lower(), choices, n=1, cutoff=0.6)
    if close:
        return f"did you mean '{choices[close[0]]}'?"
    return "known here: " + (", ".join(list(choices.values())[:30]) or "nothing") + "."


def _on_one_line(text: str) -> str:
    shown = "".join(mark if mark.isprintable() else "\N{REPLACEMENT CHARACTER}" for mark in text)
    return shown if len(shown) <= 300 else shown[:297] + "..."
