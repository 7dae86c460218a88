"""Begin without a tool, order it when it is clear: two rules that a person can follow (R22).

One holds whatever demand does and rests on no law; the other costs least on average for the
demand that is stated, among rules of a count of pieces sold or of a date.
"""

from __future__ import annotations

import datetime
import math
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate

import numpy as np
from numpy.typing import NDArray

from quotegen.judge.futures.draws import Draws
from quotegen.judge.futures.law import Floats
from quotegen.judge.futures.waiting import Policy, Waiting, best_policy

Wholes = NDArray[np.int64]

MOST_COUNTS = 48  # numbers of pieces sold that are tried as a trigger


@dataclass(frozen=True, slots=True, kw_only=True)
class BreakEvenRule:
    """Order the tool before the lot with which so many pieces or more will have been bought.

    saved is what the tool saves on a piece; paid what is lost if nothing is ever sold again:
    the tool, its samples, and the surplus of a first lot that is forced. needed counts the pieces
    that may be wanted while the tool is made; lot those that are bought at a time without it.
    """

    saved: Fraction
    paid: Fraction
    needed: int
    lot: int

    @property
    def break_even(self) -> Fraction:
        """B: so many pieces without the tool cost as much more as the tool."""
        return self.paid / self.saved

    @property
    def count(self) -> int:
        return math.ceil(self.break_even)

    @property
    def bound(self) -> Fraction:
        """At most so many times what somebody who knew the demand would pay above tooled pieces.

        2 - 1/B where B is whole, pieces are bought one by one and the tool works at once (Karlin,
        Manasse, Rudolph, Sleator 1988); else 2 + r/B, with r pieces needed while it is made.
        """
        whole = self.break_even.denominator == 1
        if whole and self.lot == 1 and not self.needed:
            return 2 - 1 / self.break_even
        return 2 + self.needed / self.break_even


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """Order the tool on the first of the days on which so many have been sold, up to the last.

    With a count of 0 it is ordered on that day, whatever has been sold. mean is the rule's mean
    cost, ordered the share of futures in which the tool is ordered at all.
    """

    count: int
    first: datetime.date
    last: datetime.date
    mean: Fraction
    ordered: Fraction


@dataclass(frozen=True, kw_only=True)
class Trigger:
    """The staged way from a route without the tool to one with it.

    plain and tooled name the two routes. now and never are the mean costs of ordering the tool on
    the first day and of never ordering it, best that of the best policy of all; all at the
    present cost of a piece in the lots of the plans. rule is the best count or day, None where
    never is best. least has for each day the fewest sold with which the best policy orders.
    dearer is what waiting costs on average for dearer pieces against ordering at once, and kept
    what it saves on the tool.
    """

    plain: str
    tooled: str
    tool: str
    first_day: datetime.date
    break_even: BreakEvenRule | None
    now: Fraction
    never: Fraction
    best: Fraction
    rule: Rule | None
    least: tuple[tuple[datetime.date, int | None], ...]
    dearer: Fraction
    kept: Fraction

    @property
    def is_at_once(self) -> bool:
        return self.rule is not None and not self.rule.count and self.rule.first == self.first_day

    @property
    def waits(self) -> bool:
        """Whether there is a rule, and not that of ordering at once."""
        return self.rule is not None and not self.is_at_once

    @property
    def waiting_saves(self) -> Fraction:
        return self.kept - self.dearer


@dataclass(frozen=True, kw_only=True)
class Tried:
    """Every time of ordering, in every future: pieces and tool have a row for each time and one
    for never."""

    waiting: Waiting
    draws: Draws
    days: tuple[datetime.date, ...]
    pieces: Floats
    tool: Floats

    @property
    def never(self) -> int:
        return self.waiting.months

    def costs(self, times: Wholes) -> Floats:
        """The cost in each future where the tool is ordered at a time of its own."""
        found: Floats = self.pieces[times, np.arange(len(times))] + self.tool[times]
        return found

    def when_sold(self, count: int) -> Wholes:
        """The first time at which so many have been sold; never where that does not come."""
        before = self.draws.sold[: self.never] < count
        found: Wholes = before.sum(axis=0, dtype=np.int16).astype(np.int64)
        return found

    def when_by(self, policy: Policy) -> Wholes:
        """The first time at which a policy orders."""
        places = np.minimum(
            self.draws.sold[: self.never] // self.waiting.step, len(self.waiting.sold) - 1
        )
        orders = np.array([row[place] for row, place in zip(policy.orders, places, strict=True)])
        return np.where(orders.any(axis=0), orders.argmax(axis=0), self.never)


def tried(waiting: Waiting, draws: Draws, days: tuple[datetime.date, ...]) -> Tried:
    wanted = np.diff(draws.sold, axis=0)
    plain = _so_far(wanted * waiting.plain[:, None])
    tooled = _so_far(wanted * waiting.tooled[:, None])
    arrives = np.append(waiting.arrives, waiting.months)
    return Tried(
        waiting=waiting,
        draws=draws,
        days=days,
        pieces=plain[arrives] + tooled[-1] - tooled[arrives],
        tool=np.where(arrives < waiting.months, waiting.tool[arrives], 0.0),
    )


def _so_far(amounts: Floats) -> Floats:
    return np.array(list(accumulate(amounts, initial=np.zeros(amounts.shape[1]))))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Choice:
    """A count, the first and the last time at which it counts, and when that orders."""

    count: int
    first: int
    last: int
    mean: float


def best_rule(of: Tried) -> _Choice | None:
    """The count with its last day, or the day, of least mean cost; None where never is best."""
    never = float(of.costs(np.full(of.draws.count, of.never)).mean())
    able = [time for time in range(of.never) if of.waiting.arrives[time] < of.waiting.months]
    choices = [_dated(of, time) for time in able]
    most = int(of.draws.sold[able[-1]].max()) if able else 0
    for count in sorted({max(1, round(most * n / MOST_COUNTS)) for n in range(1, MOST_COUNTS)}):
        choices += _counted(of, count, able)
    best = min(choices, key=lambda each: (each.mean, each.count, each.last), default=None)
    return best if best is not None and best.mean < never else None


def _dated(of: Tried, time: int) -> _Choice:
    mean = float(of.costs(np.full(of.draws.count, time)).mean())
    return _Choice(count=0, first=time, last=time, mean=mean)


def _counted(of: Tried, count: int, able: list[int]) -> list[_Choice]:
    """A count with the last day up to which it costs least."""
    times = of.when_sold(count)
    never = of.costs(np.full(of.draws.count, of.never))
    gains = np.bincount(times, weights=of.costs(times) - never, minlength=of.never + 1)
    means = (never.sum() + np.cumsum(gains)[: of.never]) / of.draws.count
    usable = np.full(of.never, np.inf)
    usable[able] = means[able]
    last = int(np.argmin(usable))
    return [_Choice(count=count, first=0, last=last, mean=float(usable[last]))] if able else []


def times_of(of: Tried, choice: _Choice) -> Wholes:
    if not choice.count:
        return np.full(of.draws.count, choice.first)
    times = of.when_sold(choice.count)
    return np.where(times <= choice.last, times, of.never)


def weighed(
    of: Tried, names: Mapping[str, str], break_even: BreakEvenRule | None
) -> tuple[Trigger, Wholes]:
    """Both rules side by side, with what waiting costs and what it saves.

    Beside them by future the time at which the second orders the tool, of.never where it does not.
    """
    policy, choice = best_policy(of.waiting), best_rule(of)
    count = of.draws.count
    now, never = np.zeros(count, dtype=np.int64), np.full(count, of.never)
    times = times_of(of, choice) if choice is not None else never
    everyone = np.arange(count)
    dearer = (of.pieces[times, everyone] - of.pieces[now, everyone]).mean()
    kept = (of.tool[now] - of.tool[times]).mean()
    found = Trigger(
        plain=names["plain"],
        tooled=names["tooled"],
        tool=names["tool"],
        first_day=of.days[0],
        break_even=break_even,
        now=cents(of.costs(now).mean()),
        never=cents(of.costs(never).mean()),
        best=cents(of.costs(of.when_by(policy)).mean()),
        rule=_rule(of, choice, times) if choice is not None else None,
        least=tuple(zip(of.days, policy.least, strict=True)),
        dearer=cents(dearer),
        kept=cents(kept),
    )
    return found, times


def _rule(of: Tried, choice: _Choice, times: Wholes) -> Rule:
    return Rule(
        count=choice.count,
        first=of.days[choice.first],
        last=of.days[choice.last],
        mean=cents(choice.mean),
        ordered=Fraction(int((times < of.never).sum()), of.draws.count),
    )


def cents(amount: float) -> Fraction:
    return Fraction(round(float(amount) * 100), 100)
