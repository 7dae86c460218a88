"""Turning values of a figure that goes in steps: its values are numbered from the lowest.

Where no way's cost ever falls as the figure grows (or ever rises), the costs at two values hold
all between them, and every value is settled to the step. Else only the values that were looked at
are known: those given, and more between two that differ, until they are neighbours.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import pairwise

from quotegen.judge.advice import Outcome
from quotegen.judge.turning.answer import Answer, Judge, Told
from quotegen.judge.turning.figure import Stretch
from quotegen.judge.turning.ways import Way, WayCost

MOST_PLACED = 3  # turns on either side of the present value that are found to the step
HALVED = 4  # every so often a stretch is halved, lest a guess creeps

Settled = tuple[int, int, Answer]


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
    """A family, or an open offer, that costs at least low and at most high; None has no end."""

    low: Fraction
    high: Fraction | None


@dataclass(slots=True, kw_only=True)
class Monotone:
    """Moving ways whose costs never fall as the number grows, or never rise where falls is set.

    start is the number of the present value, where every cost is known. A way without a plan
    costs more than any other. The family of a way with several offers is taken to stay the same
    where it is the same at both ends of a stretch.
    """

    judge: Judge
    moving: tuple[Way, ...]
    fixed: Mapping[str, WayCost]
    look: Callable[[Way, int], WayCost | None]
    falls: bool = False
    costs: dict[str, dict[int, WayCost | None]] = field(default_factory=dict)

    @property
    def looked(self) -> int:
        return len({number for known in self.costs.values() for number in known})

    def settled(self, numbers: list[int]) -> list[Settled]:
        """Every step from the first number to the last; the numbers part the range."""
        found: list[Settled] = []
        open_ones = list(pairwise(numbers))
        parted = 0
        while open_ones:
            first, last = open_ones.pop()
            answer = self._same(first, last)
            if answer is not None:
                found.append((first, last, answer))
            elif self._is_open(first, last):
                open_ones.append((first, last))
            elif last - first == 1:
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
            before, after = self._known(way)[first], self._known(way)[last]
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
        """Look at an end that was not; whether there was one."""
        for number in (first, last):
            missing = [way for way in self.moving if number not in self._known(way)]
            for way in missing:
                self._known(way)[number] = self.look(way, number)
            if missing:
                return True
        return False

    def _known(self, way: Way) -> dict[int, WayCost | None]:
        return self.costs.setdefault(way.name, {})

    def _answer(self, number: int) -> Answer:
        moved = [self._known(way)[number] for way in self.moving]
        found = [*self.fixed.values(), *(each for each in moved if each is not None)]
        return self.judge.answer(told_of(found))

    def _same(self, first: int, last: int) -> Answer | None:
        """The answer where it must be one and the same between two numbers."""
        ends = [
            self._ends(way, first, last)
            for way in self.moving
            if not self._absent(way, first, last)
        ]
        cheap = [low for low, _ in ends if low is not None]
        known = [*self.fixed.values(), *cheap, *(high for _, high in ends if high is not None)]
        if len({each.covered for each in known if each.way.signable}) > 1:
            return None
        if any(low and high and low.family != high.family for low, high in ends):
            return None
        families: dict[str, _Held] = {}
        blockers: list[_Held] = []
        ways = [(each, each) for each in self.fixed.values()]
        for low, high in (*ways, *((low, high) for low, high in ends)):
            if (one := low or high) is None:
                return None
            held = _Held(low.cost if low else Fraction(0), high.cost if high else None)
            if one.way.signable:
                families[one.family] = _least(families.get(one.family), held)
            else:
                blockers.append(held)
        return _certain(families, blockers, self.judge)

    def _absent(self, way: Way, first: int, last: int) -> bool:
        """Whether it has no plan even where it costs least, and so none in the stretch."""
        known = self._known(way)
        cheap = [n for n in known if (n >= last if self.falls else n <= first)]
        return bool(cheap) and known[min(cheap) if self.falls else max(cheap)] is None

    def _ends(self, way: Way, first: int, last: int) -> tuple[WayCost | None, WayCost | None]:
        """What it costs at least and at most between two numbers, as far as it was looked at."""
        known = self._known(way)
        below = [number for number in known if number <= first]
        above = [number for number in known if number >= last]
        before = known[max(below)] if below else None
        after = known[min(above)] if above else None
        return (after, before) if self.falls else (before, after)


def _least(known: _Held | None, held: _Held) -> _Held:
    if known is None:
        return held
    highs = [each.high for each in (known, held) if each.high is not None]
    return _Held(min(known.low, held.low), min(highs, default=None))


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Looks:
    """Answers at the values that are looked at; neighbours that differ are brought together.

    costs gives all that matters at a number; some gives the answer by a few ways alone. That is
    used to find where to look, never to say what is there.
    """

    costs: Callable[[int], list[WayCost]]
    some: Callable[[int, frozenset[str]], Answer]
    answer: Callable[[list[WayCost]], Answer]

    def settled(self, numbers: list[int], start: int) -> list[Settled]:
        """From the lowest number to the highest; the nearest turns on either side of start are
        brought together to neighbours, those beyond stay between the values looked at."""
        down = [number for number in reversed(numbers) if number <= start]
        up = [number for number in numbers if number >= start]
        found = {each[:2]: each for side in (down, up) for each in self._outwards(side)}
        return [found[key] for key in sorted(found)]

    def _outwards(self, numbers: list[int]) -> Iterator[Settled]:
        placed = 0
        yield from (self._at(number) for number in numbers[:1])
        for near, far in pairwise(numbers):
            found = [self._at(far)]
            if self._at(near)[2].key != found[0][2].key and placed < MOST_PLACED:
                found = self._between(min(near, far), max(near, far))
                placed += 1
            yield from found

    def _at(self, number: int) -> Settled:
        return number, number, self.answer(self.costs(number))

    def _between(self, first: int, last: int) -> list[Settled]:
        before, after = self._at(first), self._at(last)
        if last - first == 1 or before[2].key == after[2].key:
            return [before, after]
        names = self._names(first) | self._names(last)
        low, high = first, last
        while high - low > 1:
            middle = (low + high) // 2
            if self.some(middle, names).key == before[2].key:
                low = middle
            else:
                high = middle
        edges = sorted({first, low, high, last})
        if len(edges) == 2:
            return [before, after]
        return [each for pair in pairwise(edges) for each in self._between(*pair)]

    def _names(self, number: int) -> frozenset[str]:
        """The cheapest way of each family in question, and every open offer."""
        costs = self.costs(number)
        asked = self.answer(costs)
        found: dict[str, WayCost] = {}
        for each in costs:
            known = found.get(each.family)
            if each.family in asked.ties and (known is None or each.cost < known.cost):
                found[each.family] = each
        names = {each.way.name for each in found.values()}
        return frozenset(names | {each.way.name for each in costs if not each.way.signable})


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
