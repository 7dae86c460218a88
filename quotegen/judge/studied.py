"""What a study of a folder holds: handed to the report and to the record."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field

from quotegen.basics.problem import Problem
from quotegen.compare.comparison import Comparison
from quotegen.judge.advice import Advice
from quotegen.judge.futures.outlook import Outlook
from quotegen.judge.plausible import Plausibility
from quotegen.judge.turning.over_two import Turned
from quotegen.model.entry import Folder
from quotegen.plan.planning import Planning


@dataclass(frozen=True, slots=True, kw_only=True)
class PartStudy:
    """One part: the comparison of its offers, the plan and the advice.

    planning is None where nothing can be ordered, or nothing is wanted. tools_elsewhere names for
    each tool of its quotes the other parts that it serves as well: its price counts in full here.
    plausible holds each quote against published times and other prices; its questions are among
    those of the advice. turned has what would change the answer, once it is asked for.
    """

    part: str
    comparison: Comparison
    planning: Planning | None
    advice: Advice
    tools_elsewhere: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    plausible: tuple[Plausibility, ...] = ()
    turned: Turned | None = None

    @property
    def outlook(self) -> Outlook | None:
        return self.advice.outlook


@dataclass(frozen=True, slots=True, kw_only=True)
class Study:
    """A workshop folder on a day: its records, a study of each asked part, all problems.

    standing tells for each decision, by its path, why it no longer holds; nothing where it does.
    """

    folder: Folder
    today: datetime.date
    parts: Mapping[str, PartStudy]
    problems: tuple[Problem, ...]
    standing: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
