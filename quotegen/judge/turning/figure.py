"""A figure that a person could be wrong about, and what is found of its other values."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from itertools import pairwise

from quotegen.basics.place import Place
from quotegen.compare.comparison import Comparison
from quotegen.judge.futures.outlook import step_from
from quotegen.judge.turning.answer import Answer
from quotegen.judge.turning.wavering import Wavers


class Shape(StrEnum):
    """How the least cost of a way depends on the figure.

    STRAIGHT: the cost of each plan is a straight line that does not fall, and which plans are
    allowed does not depend on it, so that the least of them is concave and does not fall.
    RISING and FALLING: the least cost never falls, or never rises, as the figure grows, but for
    what it wavers.
    """

    STRAIGHT = "straight"
    RISING = "rising"
    FALLING = "falling"
    ANY = "any"


class Exact(StrEnum):
    """How well the turning values are known."""

    EXACT = "exact"
    STEP = "to the step"
    LOOKED = "looked at"


class Sort(StrEnum):
    """What kind of figure it is; it decides the words."""

    DEMAND = "demand"
    PRICE = "piece price"
    TOOL = "tool price"
    LIFE = "tool life"
    MINIMUM = "minimum"
    MINIMUM_VALUE = "minimum value"
    REJECTS = "reject share"
    FREIGHT = "carriage"
    DUTY = "duty rate"
    RATE = "exchange rate"
    COMPLETION = "completion price"
    LEAD = "lead time"
    MONEY = "cost of money"
    DESIGN = "design stands"


FEW = 15
LOOKS = {Sort.DEMAND: 32}  # values over the whole range that are looked at, about so many


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One figure with the range that is looked at and the step in which it is told.

    subject is what the figure is of, such as a supplier's name; unit is written after a value.
    moves are the offers whose cost depends on it. lifted are those whose orders have a minimum
    value, which bends the lines where it lifts an invoice (R3). change gives the comparison with
    another value: with other offers, records and rates; its curves and routes are not renewed.
    wavers is by how much a cost that else rises or falls may go the other way between two values,
    None for not at all; jumps are values from which on a bill is another one.
    """

    sort: Sort
    subject: str
    place: Place
    written: str
    value: Fraction
    low: Fraction
    high: Fraction
    step: Fraction
    unit: str
    moves: frozenset[str]
    shape: Shape
    change: Callable[[Comparison, Fraction], Comparison]
    lifted: frozenset[str] = frozenset()
    wavers: Wavers | None = None
    jumps: tuple[Fraction, ...] = ()

    @property
    def is_share(self) -> bool:
        return self.unit == "%"

    @property
    def every(self) -> int:
        """Of so many steps one is looked at where costs go any way."""
        return step_from(float((self.high - self.low) / self.step / LOOKS.get(self.sort, FEW)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """From first to last the answer is the same, as far as how tells."""

    first: Fraction
    last: Fraction
    answer: Answer


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """Another answer: beyond value, upwards or downwards from the present one.

    With exact ends the answer is another for all that lies beyond value; else it is from value
    on. until is where the stretch ends.
    """

    value: Fraction
    until: Fraction
    upwards: bool
    answer: Answer
    is_beyond: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Turning:
    """What another value of one figure does to the answer: every stretch of its range."""

    figure: Figure
    stretches: tuple[Stretch, ...]
    exact: Exact
    looked_at: int

    @property
    def here(self) -> int:
        """The place of the stretch that holds the present value."""
        value = self.figure.value
        holding = [n for n, each in enumerate(self.stretches) if each.first <= value <= each.last]
        return holding[0] if holding else 0

    def turns(self, *, of_advice: bool) -> tuple[Turn, ...]:
        """Each change of the advice, or of the cheapest route, seen from the present value."""

        def key(answer: Answer) -> object:
            return answer.advice if of_advice else answer.cheapest

        alike = joined(self.stretches, key)
        value = self.figure.value
        at = next((n for n, s in enumerate(alike) if s.first <= value <= s.last), 0)
        up = [self._turn(before, after, True) for before, after in _pairs(alike[at:])]
        down = [self._turn(before, after, False) for before, after in _pairs(alike[at::-1])]
        return tuple(sorted((*up, *down), key=lambda turn: self.distance(turn.value)))

    def _turn(self, before: Stretch, after: Stretch, upwards: bool) -> Turn:
        value = after.first if upwards else after.last
        edge = before.last if upwards else before.first
        return Turn(
            value=value,
            until=after.last if upwards else after.first,
            upwards=upwards,
            answer=after.answer,
            is_beyond=edge == value,
        )

    def distance(self, value: Fraction) -> Fraction:
        """By how much a value differs from the present one, as a share of it; of 0, of the range.

        So a reject share of nothing can be compared with a price.
        """
        present = self.figure.value
        return abs(value - present) / (abs(present) or self.figure.high - self.figure.low)

    @property
    def nearest(self) -> Fraction | None:
        """How near the nearest change of the advice lies, as a share of the present value."""
        turns = self.turns(of_advice=True)
        return self.distance(turns[0].value) if turns else None


def _pairs(stretches: tuple[Stretch, ...]) -> list[tuple[Stretch, Stretch]]:
    return list(pairwise(stretches))


def joined(stretches: tuple[Stretch, ...], key: Callable[[Answer], object]) -> tuple[Stretch, ...]:
    """Neighbours that are alike as one; the answer is that of the first."""
    found: list[Stretch] = []
    for each in stretches:
        if found and key(found[-1].answer) == key(each.answer):
            before = found.pop()
            each = Stretch(first=before.first, last=each.last, answer=before.answer)  # noqa: PLW2901
        found.append(each)
    return tuple(found)
