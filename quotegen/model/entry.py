"""Records together with where they were read, and the folder of all of them."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Generic, TypeVar

from quotegen.basics.place import Places
from quotegen.basics.problem import Problem
from quotegen.model.decision import DecisionFacts, State
from quotegen.model.orders import Orders
from quotegen.model.part import Part
from quotegen.model.quote import Quote
from quotegen.model.supplier import Supplier
from quotegen.model.workshop import Workshop

Written = TypeVar("Written")


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry(Generic[Written]):
    """A record as written, its short name, and the place of each of its values.

    files are the paths below the workshop folder that it was read from; two entries
    are equal when their records are, wherever they stand.
    """

    name: str
    record: Written
    places: Places = field(compare=False, repr=False)
    files: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class QuoteEntry(Entry[Quote]):
    """A quote and the supplier whose folder it stands in."""

    supplier: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """One record on disk: the facts of its front matter, and its prose in reasons.

    outcome is empty for a record that reopens an earlier one. files maps each path that the
    decision rests on to the sha256 of its bytes; previous is the fingerprint of the record
    before it, None for the first. intact is False where the file is not as it was written.
    """

    part: str
    number: int
    state: State
    decided_on: datetime.date
    outcome: str
    route: tuple[str, ...]
    facts: DecisionFacts
    reasons: str
    files: Mapping[str, str]
    previous: str | None
    fingerprint: str
    path: str
    intact: bool
    places: Places = field(compare=False, repr=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Folder:
    """Everything that could be read from a workshop folder, and every problem met on the way.

    orders has what was ordered so far, by part.
    """

    workshop: Entry[Workshop] | None
    parts: Mapping[str, Entry[Part]]
    suppliers: Mapping[str, Entry[Supplier]]
    quotes: tuple[QuoteEntry, ...]
    decisions: tuple[Decision, ...]
    problems: tuple[Problem, ...]
    orders: Mapping[str, Entry[Orders]] = field(default_factory=dict)
