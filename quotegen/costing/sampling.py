"""How many pieces of a delivery are looked at, and how many bad ones it may hold and still pass.

Plans for a series of lots are those of ISO 2859-1, single sampling, normal inspection, general
inspection level II. A lot by itself is held to a limiting quality: the aim of ISO 2859-2, that a
lot so bad passes at most 10 times in 100, reckoned exactly and with no bad piece allowed.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from pathlib import Path

import yaml

from quotegen.model.acceptance import Acceptance

TABLE = Path(__file__).parent / "tables" / "iso_2859_1.yaml"
CONSUMERS_RISK = Fraction(1, 10)
ARROWS = {"up": -1, "down": 1}


@dataclass(frozen=True, slots=True, kw_only=True)
class SamplingPlan:
    """So many pieces of a lot are taken; it passes with at most `accept` bad ones among them."""

    lot: int
    sample: int
    accept: int

    @property
    def reject(self) -> int:
        return self.accept + 1

    @property
    def is_whole_lot(self) -> bool:
        return self.sample == self.lot


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """Lots from first to last (None for no end) that have one sample and acceptance number."""

    first: int
    last: int | None
    sample: int
    accept: int

    def plan(self, lot: int) -> SamplingPlan:
        """Where the sample is no smaller than the lot every piece is looked at, none may be bad."""
        if self.sample >= lot:
            return every_piece(lot)
        return SamplingPlan(lot=lot, sample=self.sample, accept=self.accept)


@dataclass(frozen=True, slots=True)
class _Table:
    """The tables of ISO 2859-1 as printed; plans by letter hold a cell for each AQL."""

    lots: tuple[tuple[int | None, str], ...]
    samples: Mapping[str, int]
    aqls: tuple[str, ...]
    plans: Mapping[str, tuple[int | str, ...]]


@cache
def printed_table() -> _Table:
    """ISO 2859-1:1999, Tables 1 and 2-A, with their arrows."""
    read = yaml.safe_load(TABLE.read_text(encoding="utf-8"))
    return _Table(
        lots=tuple((each.get("to"), each["letter"]) for each in read["lots"]),
        samples=read["samples"],
        aqls=tuple(read["aql"]),
        plans={letter: tuple(cells) for letter, cells in read["plans"].items()},
    )


def code_letter(lot: int) -> str:
    """The sample size code letter of a lot, general inspection level II."""
    found = (letter for last, letter in printed_table().lots if last is None or lot <= last)
    return next(found)


def plan_at(letter: str, aql: str) -> tuple[int, int]:
    """Sample size and acceptance number of a letter and an AQL.

    An arrow leads to the first plan in its direction, and to that plan's own sample size.
    """
    table = printed_table()
    letters, column = list(table.plans), table.aqls.index(aql)
    row = letters.index(letter)
    while isinstance(cell := table.plans[letters[row]][column], str):
        row += ARROWS[cell]
    return table.samples[letters[row]], cell


@cache
def bands(acceptance: Acceptance, is_series: bool) -> tuple[Band, ...]:
    """The samples of all lots, from the smallest: by the AQL for a series, by LQ for a single lot.

    Where only one of the two is stated it is used for both.
    """
    by_aql = acceptance.aql is not None and (is_series or acceptance.lq is None)
    return tuple(_bands(acceptance, by_aql=by_aql))


def _bands(acceptance: Acceptance, *, by_aql: bool) -> Iterator[Band]:
    first = 1
    for last, letter in printed_table().lots:
        if by_aql and acceptance.aql is not None:
            sample, accept = plan_at(letter, acceptance.aql)
        else:
            limiting = acceptance.limiting or Fraction(1)
            sample, accept = _limiting_sample(first, last, limiting), 0
        yield Band(first=first, last=last, sample=sample, accept=accept)
        first = (last or 0) + 1


def plan_for(lot: int, acceptance: Acceptance, *, is_series: bool) -> SamplingPlan:
    """The plan for a lot of so many pieces, one or more."""
    found = bands(acceptance, is_series)
    return found[bisect_right([each.first for each in found], lot) - 1].plan(lot)


def every_piece(lot: int) -> SamplingPlan:
    return SamplingPlan(lot=lot, sample=lot, accept=0)


def _limiting_sample(first: int, last: int | None, limiting: Fraction) -> int:
    """The smallest sample by which no lot of a band passes more than 10 times in 100 at its LQ.

    The bad pieces of a lot are rounded up, so that the hardest lots are the largest ones in which
    they come out whole, and the largest of all. Without a last lot it is the sample for any lot.
    """
    if last is None:
        return _sample_of_any(limiting)
    whole = math.floor(last * limiting)
    lots = {last, *(math.floor(bad / limiting) for bad in (whole - 1, whole) if bad > 0)}
    return max(limiting_sample(lot, limiting) for lot in lots if first <= lot <= last)


def _sample_of_any(limiting: Fraction) -> int:
    """The sample by which a lot passes at most 10 times in 100, however large it is."""
    taken, passes = 0, Fraction(1)
    while passes > CONSUMERS_RISK:
        taken, passes = taken + 1, passes * (1 - limiting)
    return taken


def limiting_sample(lot: int, limiting: Fraction) -> int:
    """The fewest pieces of one lot to take so that, with none bad among them allowed, a lot of its
    limiting quality passes at most 10 times in 100."""
    bad = bad_pieces(lot, limiting)
    enough = range(1, min(lot, _sample_of_any(limiting)) + 1)
    return enough[
        bisect_left(
            enough,
            True,
            key=lambda taken: (
                chance_to_pass(SamplingPlan(lot=lot, sample=taken, accept=0), bad) <= CONSUMERS_RISK
            ),
        )
    ]


def bad_pieces(lot: int, share: Fraction) -> int:
    """The bad pieces of a lot of which this share is bad, rounded up to whole pieces."""
    return math.ceil(lot * share)


def chance_to_pass(plan: SamplingPlan, bad: int) -> Fraction:
    """The chance that a lot with so many bad pieces passes, exact (hypergeometric)."""
    good, ways = plan.lot - bad, 0
    for found in range(min(plan.accept, bad, plan.sample) + 1):
        ways += math.comb(bad, found) * math.comb(good, plan.sample - found)
    return Fraction(ways, math.comb(plan.lot, plan.sample))


def chance_of_process(plan: SamplingPlan, share: Fraction) -> Fraction:
    """The chance that a lot passes whose pieces are each bad with this chance, exact (binomial)."""
    n = plan.sample
    return sum(
        (
            math.comb(n, found) * share**found * (1 - share) ** (n - found)
            for found in range(min(plan.accept, n) + 1)
        ),
        Fraction(0),
    )
