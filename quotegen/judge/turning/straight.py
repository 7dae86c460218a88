"""Exact turning values where each plan's cost is a straight line over the figure.

The least cost of a way over its plans is then concave. Two solved values with the lines of their
plans hold it between a chord and the lower of the lines; where the lines cross, the next plan is
looked for. Only what can change the answer is looked at, until every stretch is settled. The
ends of stretches are where lines cross, in fractions.

A line is taken from the plan reckoned again at the two furthest values that were solved. Money
in plans is whole units of 10**-6, so that an end is exact as far as these roundings reach.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import pairwise

from quotegen.judge.turning.answer import Answer, Judge, Told
from quotegen.judge.turning.figure import Stretch
from quotegen.judge.turning.ways import Way, WayCost
from quotegen.plan.problem import UNITS, Placed
from quotegen.plan.recost import recost

SAME = Fraction(1, 2000)  # roundings of one plan stay far below it
MOST_SOLVED = 60  # for one figure; it is not reached where costs are what they seem
FINE = 1000  # plans are looked for at values of so many in a step

Solver = Callable[[Way, Fraction], WayCost | None]


class Broken(Exception):
    """A plan had to give way to a limit of money: costs are no straight lines any more."""


@dataclass(frozen=True, slots=True)
class Line:
    """A cost over the figure: at + slope x (value - start), of a family."""

    start: Fraction
    at: Fraction
    slope: Fraction
    family: str

    def cost(self, value: Fraction) -> Fraction:
        return self.at + self.slope * (value - self.start)

    def meets(self, other: Line, factor: Fraction = Fraction(1)) -> Fraction | None:
        """Where it is factor times the other; None where they run side by side."""
        slope = self.slope - factor * other.slope
        if not slope:
            return None
        return self.start - (self.cost(self.start) - factor * other.cost(self.start)) / slope


@dataclass(slots=True, kw_only=True)
class Course:
    """What is known of one way's cost over the range; solve is None where it does not move.

    sound tells whether a plan's line holds from a value on: below it, a minimum value may lift an
    invoice, so that the line is too low. Costs that are not sound are still never too high.
    """

    way: Way
    low: Fraction
    high: Fraction
    fine: Fraction
    solve: Solver | None
    sound: Callable[[WayCost, Fraction], bool]
    solved: dict[Fraction, WayCost] = field(default_factory=dict)
    proven: list[tuple[Fraction, Fraction, Line, WayCost]] = field(default_factory=list)
    drawn: dict[tuple[tuple[Placed, ...], Fraction, Fraction], Line] = field(default_factory=dict)

    @property
    def is_fixed(self) -> bool:
        return self.solve is None

    @property
    def is_alone(self) -> bool:
        """Whether its plans are of one family, whatever they are."""
        return len(self.way.offers) == 1

    def constant(self, known: WayCost) -> Line:
        return Line(self.low, known.cost, Fraction(0), known.family)

    def lowest(self, value: Fraction) -> Fraction:
        """A cost below which it cannot lie."""
        values = sorted(self.solved)
        if self.is_fixed or value in self.solved:
            return self.solved[value if value in self.solved else values[0]].cost
        before = [each for each in values if each < value]
        after = [each for each in values if each > value]
        if not after:
            return self.solved[before[-1]].cost
        right = self.solved[after[0]].cost
        if not before:
            return right * value / after[0]
        left = self.solved[before[-1]].cost
        share = (value - before[-1]) / (after[0] - before[-1])
        return left + (right - left) * share

    def tops(self, first: Fraction, last: Fraction) -> Iterator[Line]:
        """Lines below which it lies everywhere between two values."""
        if self.is_fixed:
            yield from (self.constant(each) for each in self.solved.values())
            return
        known = list(self.solved.items())
        yield from (
            self.constant(each) for at, each in known if at >= last and self.sound(each, at)
        )
        if len(known) > 1:
            yield from (self.line(each) for _, each in known if self.sound(each, first))

    def line(self, known: WayCost) -> Line:
        """What the plan costs at any value, by the two furthest solved ones."""
        first, last = min(self.solved), max(self.solved)
        orders = known.plan.solution.orders
        key = (orders, first, last)
        if key not in self.drawn:
            ends = [self._reckoned(orders, self.solved[each]) for each in (first, last)]
            slope = (ends[1] - ends[0]) / (last - first)
            self.drawn[key] = Line(first, ends[0], slope, known.family)
        return self.drawn[key]

    def _reckoned(self, orders: tuple[Placed, ...], there: WayCost) -> Fraction:
        if orders == there.plan.solution.orders:
            return there.cost
        return Fraction(recost(there.plan.problem, orders), UNITS)

    def exact(self, first: Fraction, last: Fraction) -> Line | None:
        """Its cost as one line between two values, once it is known."""
        if self.is_fixed:
            return self.constant(next(iter(self.solved.values())))
        for start, end, line, known in self.proven:
            if start <= first and last <= end:
                return self._if_sound(line, known, first)
        before = [each for each in self.solved if each <= first]
        after = [each for each in self.solved if each >= last]
        if not before or not after:
            return None
        left, right = max(before), min(after)
        for known in (self.solved[left], self.solved[right]):
            line = self.line(known)
            if all(self._is_on(line, each) for each in (left, right)):
                return self._if_sound(line, known, first)
        return None

    def _if_sound(self, line: Line, known: WayCost, first: Fraction) -> Line:
        if not self.sound(known, first):
            raise Broken
        return line

    def _is_on(self, line: Line, value: Fraction) -> bool:
        return abs(line.cost(value) - self.solved[value].cost) <= SAME

    def learn(self, first: Fraction, last: Fraction) -> Fraction | None:
        """Look for a plan where it tells most of a stretch; the value at which to part it."""
        before = [each for each in self.solved if each <= first]
        after = [each for each in self.solved if each >= last]
        if not before or not after:
            return self._look(self.high if before else self.low)
        left, right = max(before), min(after)
        known = self.solved[left], self.solved[right]
        lines = self.line(known[0]), self.line(known[1])
        meeting = lines[0].meets(lines[1])
        if meeting is None or not left < meeting < right:
            lower = min((0, 1), key=lambda each: lines[each].cost(first) + lines[each].cost(last))
            self.proven.append((left, right, lines[lower], known[lower]))
            return None
        value = round(meeting / self.fine) * self.fine
        if left < value < right:
            self._look(value)
        if not left < value < right or any(self._is_on(line, value) for line in lines):
            self.proven.append((left, meeting, lines[0], known[0]))
            self.proven.append((meeting, right, lines[1], known[1]))
            return meeting
        return value

    def _look(self, value: Fraction) -> Fraction:
        found = self.solve(self.way, value) if self.solve is not None else None
        if found is None or found.limited:
            raise Broken
        self.solved[value] = found
        return value


@dataclass(slots=True, kw_only=True)
class Straight:
    """The stretches of one figure; courses hold every way that has a plan."""

    judge: Judge
    courses: tuple[Course, ...]
    step: Fraction
    looked: int = 0

    def stretches(self, edges: tuple[Fraction, ...]) -> tuple[Stretch, ...]:
        """From the first edge to the last; the edges part the range.

        Raises Broken where a limit of money bends the lines, or where no end is found.
        """
        open_ones = list(pairwise(edges))
        found: list[Stretch] = []
        while open_ones:
            first, last = open_ones.pop()
            settled = self._settled(first, last)
            if settled is None:
                value = self._learn(first, last)
                parts = first < value < last if value is not None else False
                open_ones += [(first, value), (value, last)] if parts and value else [(first, last)]
            else:
                found += settled
        return tuple(sorted(found, key=lambda each: each.first))

    def _learn(self, first: Fraction, last: Fraction) -> Fraction | None:
        course = next(each for each in self._involved(first, last) if not each.exact(first, last))
        self.looked += 1
        if self.looked > MOST_SOLVED:
            raise Broken
        return course.learn(first, last)

    def _involved(self, first: Fraction, last: Fraction) -> list[Course]:
        """The courses that may be cheapest or too close to it, or block it, the nearest first."""
        tops = [
            line for each in self.courses if each.way.signable for line in each.tops(first, last)
        ]
        near = 1 + self.judge.margin
        if self.judge.always_blocked:
            near = Fraction(1)
        found = []
        for each in self.courses:
            share = near if each.way.signable else 1 - self.judge.margin
            if not each.way.signable and self.judge.always_blocked:
                continue
            ends = each.lowest(first), each.lowest(last)
            beyond = any(
                ends[0] > share * top.cost(first) and ends[1] > share * top.cost(last)
                for top in tops
            )
            if not beyond:
                found.append(each)
        return found

    def _settled(self, first: Fraction, last: Fraction) -> list[Stretch] | None:
        involved = self._involved(first, last)
        if len(involved) == 1 and involved[0].is_alone:
            only = involved[0].way
            told = Told(family=only.main, cost=Fraction(1))
            return [Stretch(first=first, last=last, answer=self.judge.answer([told]))]
        lines = [(each.way, each.exact(first, last)) for each in involved]
        known = [(way, line) for way, line in lines if line is not None]
        if len(known) < len(lines):
            return None
        return list(self._crossed(first, last, known))

    def _crossed(
        self, first: Fraction, last: Fraction, lines: list[tuple[Way, Line]]
    ) -> Iterator[Stretch]:
        ends = sorted({first, last, *_crossings(lines, self.judge.margin, first, last)})
        for start, end in pairwise(ends):
            middle = (start + end) / 2
            yield Stretch(first=start, last=end, answer=self._answer(lines, middle))

    def _answer(self, lines: Iterable[tuple[Way, Line]], value: Fraction) -> Answer:
        return self.judge.answer(
            Told(
                family=line.family,
                cost=line.cost(value),
                signable=way.signable,
            )
            for way, line in lines
        )


def _crossings(
    lines: list[tuple[Way, Line]], margin: Fraction, first: Fraction, last: Fraction
) -> Iterator[Fraction]:
    """Where one of two becomes the cheaper, enters the margin, or begins to block."""
    for way, line in lines:
        for other, against in lines:
            if line is against or not other.signable:
                continue
            factors = (Fraction(1), 1 + margin) if way.signable else (1 - margin,)
            for factor in factors:
                at = line.meets(against, factor)
                if at is not None and first < at < last:
                    yield at
