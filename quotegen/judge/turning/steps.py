"""Turning values of a figure that goes in steps: its values are numbered from the lowest.

Where no way's cost ever falls as the figure grows (or ever rises), the costs at two values hold
all between them, and every value is settled to the step. Else only the values that are looked at
are known: those given, and all between two of them that differ.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import pairwise

from quotegen.judge.advice import Outcome
from quotegen.judge.turning.answer import Answer, Judge, Told
from quotegen.judge.turning.figure import Stretch
from quotegen.judge.turning.ways import Way, WayCost

MOST_PLACED = 3  # turns on either side of the present value that are found to the step
PARTS = 10  # a stretch with more steps between its ends is parted so first
MOST_SETTLED = 300  # values with plans made at them, for one part of a range
FAR = Fraction(10**15)  # more than any plan costs
HALVED = 4  # every so often a stretch is halved, lest a guess creeps

Settled = tuple[int, int, Answer]


class TooMany(Exception):
    """Too many values have to be looked at before every step is settled."""


def told_of(known: Iterable[WayCost]) -> list[Told]:
    """Costs as they are judged; a plan that gives up the cover is none beside one that keeps it."""
    every = list(known)
    covered = any(each.covered and each.way.signable for each in every)
    return [
        Told(family=each.family, cost=each.cost, signable=each.way.signable)
        for each in every
        if each.covered or not covered
    ]


@dataclass(frozen=True, slots=True)
class _Held:
    """What a way costs at least and at most; None has no end.

    family, and whether the cover is kept, are None where they may differ in between.
    """

    way: Way
    low: Fraction
    high: Fraction | None
    family: str | None
    covered: bool | None


@dataclass(slots=True, kw_only=True)
class Monotone:
    """Moving ways whose costs never fall as the number grows, or never rise where falls is set.

    start is the number of the present value, where every cost is known; look is told what others
    cost at its number. A way without a plan costs more than any other. wavers is by how much a cost
    may go the other way all the same between two numbers, as a share of it, for a plan with so
    many orders. The family of a way with several offers is taken to stay the same where it is the
    same at both ends of a stretch; where costs waver, only if it is the way's own and none of its
    offers alone might cost as little.
    """

    judge: Judge
    moving: tuple[Way, ...]
    fixed: Mapping[str, WayCost]
    look: Callable[[Way, int, Sequence[WayCost]], WayCost | None]
    wavers: Callable[[int, int, int], Fraction]
    falls: bool = False
    costs: dict[str, dict[int, WayCost | None]] = field(default_factory=dict)

    @property
    def looked(self) -> int:
        return len({number for known in self.costs.values() for number in known})

    def settled(self, numbers: list[int]) -> list[Settled]:
        """Every step from the first number to the last; the numbers part the range.

        Raises TooMany where more plans would have to be made than anybody waits for.
        """
        found: list[Settled] = []
        open_ones = list(pairwise(numbers)) or [(numbers[0], numbers[0])]
        parted = 0
        while open_ones:
            first, last = open_ones.pop()
            answer = self._same(first, last)
            if answer is not None:
                found.append((first, last, answer))
            elif self._is_open(first, last):
                open_ones.append((first, last))
                if self.looked > MOST_SETTLED:
                    raise TooMany
            elif last - first <= 1:
                found += [(each, each, self._answer(each)) for each in (first, last)]
            else:
                parted += 1
                between = self._guess(first, last) if parted % HALVED else None
                between = between or (first + last) // 2
                open_ones += [(first, between), (between, last)]
        return sorted(found, key=lambda each: each[:2])

    def _guess(self, first: int, last: int) -> int | None:
        """Where two ways would meet, or enter the margin, if both moved evenly."""
        ends = [(each.cost, each.cost) for each in self.fixed.values()]
        for way in self.moving:
            before, after = self._known(way).get(first), self._known(way).get(last)
            if before is not None and after is not None:
                ends.append((before.cost, after.cost))
        margin = self.judge.margin
        near = (Fraction(1), 1 + margin, 1 - margin)
        pairs = [(one, factor, other) for one in ends for other in ends for factor in near]
        for one, factor, other in pairs:
            apart = one[0] - factor * other[0], one[1] - factor * other[1]
            if apart[0] * apart[1] < 0 and self._counts(one, ends):
                share = apart[0] / (apart[0] - apart[1])
                return min(max(first + int((last - first) * share), first + 1), last - 1)
        return None

    def _counts(
        self, one: tuple[Fraction, Fraction], ends: list[tuple[Fraction, Fraction]]
    ) -> bool:
        """Whether a way is near the cheapest at either end."""
        near = 1 + 2 * self.judge.margin
        return any(one[side] <= near * min(each[side] for each in ends) for side in (0, 1))

    def _is_open(self, first: int, last: int) -> bool:
        """Look at an end that was not, with every way that matters; whether there was one."""
        for number in (first, last):
            missing = [
                way
                for way in self.moving
                if number not in self._known(way) and self._matters(way, first, last)
            ]
            for way in missing:
                self._known(way)[number] = self.look(way, number, self._moved(number))
            if missing:
                return True
        return False

    def _matters(self, way: Way, first: int, last: int) -> bool:
        """Whether it may be as cheap between two numbers as what is known there, or nearly."""
        held = self._held(way, first, last)
        return held is None or held.low <= self._near(first, last)

    def _near(self, first: int, last: int) -> Fraction:
        """The most that a way may cost somewhere between two numbers and still matter."""
        moved = (self._held(way, first, last) for way in self.moving)
        every = [*map(_fixed, self.fixed.values()), *(each for each in moved if each is not None)]
        known = (each.high for each in every if each.covered and each.way.signable)
        return (1 + self.judge.margin) * min((e for e in known if e is not None), default=FAR)

    def _known(self, way: Way) -> dict[int, WayCost | None]:
        return self.costs.setdefault(way.name, {})

    def _answer(self, number: int) -> Answer:
        return self.judge.answer(told_of([*self.fixed.values(), *self._moved(number)]))

    def _moved(self, number: int) -> list[WayCost]:
        known = (self._known(way).get(number) for way in self.moving)
        return [each for each in known if each is not None]

    def _same(self, first: int, last: int) -> Answer | None:
        """The answer where it must be one and the same between two numbers."""
        moving = [way for way in self.moving if not self._absent(way, first, last)]
        every = [self._held(way, first, last) for way in moving]
        held = [each for each in every if each is not None]
        held += [_fixed(each) for each in self.fixed.values()]
        near = self._near(first, last)
        held = [each for each in held if each.low <= near]
        if None in every or any(None in (each.covered, each.family) for each in held):
            return None
        if any(self._may_be_another(each, first, last, near) for each in held):
            return None
        signable = [each for each in held if each.way.signable]
        if any(each.covered and each.high is not None for each in signable):
            held = [each for each in held if each.covered]
        elif len({each.covered for each in signable}) > 1:
            return None
        families: dict[str, _Held] = {}
        for each in held:
            if each.way.signable and each.family is not None:
                families[each.family] = _least(families.get(each.family), each)
        return _certain(families, [each for each in held if not each.way.signable], self.judge)

    def _may_be_another(self, held: _Held, first: int, last: int, near: Fraction) -> bool:
        """Whether the plan of a way with several offers may be of another family than its own."""
        if len(held.way.offers) == 1 or not self.wavers(first, last, 1):
            return False
        if held.low == held.high:
            return False  # one cost at both ends and so in between: the plan need not change
        if held.family != held.way.main:
            return True
        most = near if held.high is None else min(near, held.high)
        alone = [_fixed(each) for each in self.fixed.values() if each.way.offers < held.way.offers]
        alone += [
            found
            for way in self.moving
            if way.offers < held.way.offers and (found := self._held(way, first, last)) is not None
        ]
        return any(each.low <= most for each in alone if each.way.main != held.family)

    def _absent(self, way: Way, first: int, last: int) -> bool:
        """Whether it has no plan even where it costs least, and so none in the stretch."""
        known = self._known(way)
        cheap = [n for n in known if (n >= last if self.falls else n <= first)]
        return bool(cheap) and known[min(cheap) if self.falls else max(cheap)] is None

    def _held(self, way: Way, first: int, last: int) -> _Held | None:
        """What it costs at least and at most between two numbers, as far as it was looked at.

        Where the cover cannot be kept at the cheap end, it cannot at the other.
        """
        known = self._known(way)
        below = max((number for number in known if number <= first), default=None)
        above = min((number for number in known if number >= last), default=None)
        before = known[below] if below is not None else None
        after = known[above] if above is not None else None
        begins = first if below is None else below
        ends = last if above is None else above
        cheap, dear = (after, before) if self.falls else (before, after)
        one = cheap or dear
        if one is None:
            return None
        other = dear or one
        orders = max(len(each.plan.orders) for each in known.values() if each is not None)
        share = self.wavers(begins, ends, orders)
        is_covered = other.covered if cheap is not None else other.covered or None
        return _Held(
            way=way,
            low=cheap.cost * (1 - share) if cheap is not None else Fraction(0),
            high=dear.cost * (1 + share) if dear is not None else None,
            family=one.family if one.family == other.family else None,
            covered=is_covered if one.covered == other.covered else None,
        )


def _least(known: _Held | None, held: _Held) -> _Held:
    if known is None:
        return held
    highs = [each.high for each in (known, held) if each.high is not None]
    return replace(known, low=min(known.low, held.low), high=min(highs, default=None))


def _fixed(known: WayCost) -> _Held:
    return _Held(known.way, known.cost, known.cost, known.family, known.covered)


def _certain(families: Mapping[str, _Held], blockers: list[_Held], judge: Judge) -> Answer | None:
    """The answer that holds wherever each cost lies between its ends; None where several could."""
    known = [
        (each.high, judge.rank(name), name)
        for name, each in families.items()
        if each.high is not None
    ]
    if not families:
        blocked = judge.always_blocked or bool(blockers)
        outcome = Outcome.UNKNOWN if blocked else Outcome.NO_ROUTE
        return Answer(outcome=outcome, cheapest=None, ties=frozenset())
    if not known:
        return None
    most, rank, best = min(known)
    least = families[best].low
    near, turns = 1 + judge.margin, 1 - judge.margin
    others = {name: each for name, each in families.items() if name != best}
    if any((each.low, judge.rank(name)) <= (most, rank) for name, each in others.items()):
        return None
    ties = {name for name, each in others.items() if _at_most(each.high, near * least)}
    apart = {name for name, each in others.items() if each.low > near * most}
    blocking = [each for each in blockers if _at_most(each.high, turns * least)]
    harmless = [each for each in blockers if each.low >= turns * most]
    if len(ties) + len(apart) < len(others) or len(blocking) + len(harmless) < len(blockers):
        return None
    outcome = Outcome.TIE if ties else Outcome.CHOSEN
    if judge.always_blocked or blocking:
        outcome = Outcome.UNKNOWN
    return Answer(outcome=outcome, cheapest=best, ties=frozenset({best, *ties}))


def _at_most(high: Fraction | None, cost: Fraction) -> bool:
    return high is not None and high <= cost


@dataclass(slots=True, kw_only=True)
class Looks:
    """Answers at the values that are looked at; between two that differ no step is left out.

    costs gives all that matters at a number; it is told what was found at one beside it.
    """

    costs: Callable[[int, Sequence[WayCost]], list[WayCost]]
    answer: Callable[[Sequence[WayCost]], Answer]
    known: dict[int, list[WayCost]] = field(default_factory=dict)

    @property
    def looked(self) -> int:
        return len(self.known)

    def settled(self, numbers: list[int], start: int) -> list[Settled]:
        """From the lowest number to the highest; the nearest turns on either side of start are
        found to the step, those beyond stay between the values looked at."""
        down = [number for number in reversed(numbers) if number <= start]
        up = [number for number in numbers if number >= start]
        found = {each[:2]: each for side in (down, up) for each in self._outwards(side)}
        return [found[key] for key in sorted(found)]

    def _outwards(self, numbers: list[int]) -> Iterator[Settled]:
        placed = 0
        yield from (self._at(number, number) for number in numbers[:1])
        for near, far in pairwise(numbers):
            yield self._at(far, near)
            if self._differ(near, far) and placed < MOST_PLACED:
                yield from self._between(near, far)
                placed += 1

    def _at(self, number: int, beside: int) -> Settled:
        if number not in self.known:
            self.known[number] = self.costs(number, self.known.get(beside, ()))
        return number, number, self.answer(self.known[number])

    def _differ(self, near: int, far: int) -> bool:
        return self._at(near, far)[2].key != self._at(far, near)[2].key

    def _between(self, near: int, far: int) -> Iterator[Settled]:
        """Every step between two numbers, or tenths and every step of those whose ends differ."""
        away, count = (1 if far > near else -1), abs(far - near)
        parts = [near + away * (count * part // PARTS) for part in range(PARTS + 1)]
        numbers = list(range(near, far + away, away)) if count <= PARTS else parts
        for one, other in pairwise(numbers):
            yield self._at(other, one)
            if count > PARTS and self._differ(one, other):
                yield from self._between(one, other)


def stretches_of(settled: list[Settled], value: Callable[[int], Fraction]) -> tuple[Stretch, ...]:
    """Neighbouring numbers with one answer as one stretch."""
    found: list[Settled] = []
    for first, last, answer in settled:
        if found and found[-1][2].key == answer.key:
            found[-1] = (found[-1][0], max(found[-1][1], last), found[-1][2])
        elif not found or last > found[-1][1] or first > found[-1][1]:
            found.append((first, last, answer))
    return tuple(
        Stretch(first=value(first), last=value(last), answer=answer)
        for first, last, answer in found
    )
