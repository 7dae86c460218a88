"""Scales and round ticks, straight and logarithmic; exact inside, so that 0.3 is 0.3."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import count, pairwise

from quotegen.basics.money import rounded

MINUS = "\N{MINUS SIGN}"
ROUND = (1, 2, 5)
# The round values in each decade, and every how many decades they stand.
LOG_SETS = (
    ((1, 2, 3, 4, 5, 6, 8), 1),
    ((1, 2, 5), 1),
    ((1, 3), 1),
    *(((1,), every) for every in (1, 2, 3, 5, 10, 20, 40, 80)),
)


@dataclass(frozen=True, slots=True)
class Tick:
    """A round value on an axis and how it is written."""

    value: float
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """From values low..high to drawing units start..end, straight or logarithmic.

    Raises ValueError where low is not below high, or is not above 0 on a logarithmic scale.
    """

    low: float
    high: float
    start: float
    end: float
    logarithmic: bool = False

    def __post_init__(self) -> None:
        if not (math.isfinite(self.low) and math.isfinite(self.high) and self.low < self.high):
            raise ValueError(f"no scale goes from {self.low!r} to {self.high!r}")
        if self.logarithmic and self.low <= 0:
            raise ValueError(f"a logarithmic scale cannot start at {self.low!r}")

    def at(self, value: float) -> float:
        """Where the value stands, in drawing units; outside start..end where it is outside."""
        if self.logarithmic:
            share = math.log(value / self.low) / math.log(self.high / self.low)
        else:
            share = (value - self.low) / (self.high - self.low)
        return self.start + share * (self.end - self.start)

    def held(self, value: float) -> float:
        """Where the value stands, or the nearer end of the scale where it is outside."""
        return self.at(min(max(value, self.low), self.high))


def number_text(value: float | Fraction, digits: int) -> str:
    """1234.5 as 1,234.50, halves away from zero (R18), with a true minus sign."""
    shown = rounded(exact(value), digits)
    return f"{MINUS if shown < 0 else ''}{abs(shown):,f}"


def shortest_text(value: float | Fraction, most: int = 2) -> str:
    """The number with as few decimals as it needs, at most so many: 14, 14.5, 14.33."""
    text = number_text(value, most)
    return text.rstrip("0").rstrip(".") if "." in text else text


def exact(value: float | Fraction) -> Fraction:
    """The number a float was written as: 3/10 for 0.3, not its binary neighbour."""
    return value if isinstance(value, Fraction) else Fraction(repr(value))


def outward_ticks(low: float, high: float, most: int) -> tuple[Tick, ...]:
    """At most so many ticks around low <= high, the first at or under low, the last over high.

    Raises ValueError for fewer than three, which no step can hold around 0.
    """
    if most < 3:
        raise ValueError(f"{most} ticks do not hold a range around 0")
    if high - low < 1e-6:
        high = low + max(abs(low), 1)
    bottom, top = exact(low), exact(high)
    step = next(each for each in _steps(low, high, most) if -(-top // each) - bottom // each < most)
    return _ticks(range(bottom // step, 1 - (-top // step)), step)


def linear_ticks(low: float, high: float, most: int, *, whole: bool = False) -> tuple[Tick, ...]:
    """The ticks at 1, 2 or 5 times a power of ten within low < high, as many as allowed."""
    bottom, top = exact(low), exact(high)
    step = next(
        each
        for each in _steps(low, high, most)
        if top // each - -(-bottom // each) < most and not (whole and each < 1)
    )
    return _ticks(range(-(-bottom // step), top // step + 1), step)


def _ticks(multiples: range, step: Fraction) -> tuple[Tick, ...]:
    digits = 0 if step >= 1 else -math.floor(math.log10(step))
    values = [each * step for each in multiples]
    return tuple(Tick(float(each), number_text(each, digits)) for each in values)


def log_outward(low: float, high: float) -> tuple[float, float]:
    """The nearest bounds of the form 1, 2 or 5 times a power of ten around 0 < low <= high."""
    first = max(each for each in _round_near(low) if each <= exact(low))
    last = min(each for each in _round_near(high) if each >= exact(high))
    if first == last:
        first = max(each for each in _round_near(low) if each < exact(low))
        last = min(each for each in _round_near(high) if each > exact(high))
    return float(first), float(last)


def log_ticks(low: float, high: float) -> Iterator[tuple[Tick, ...]]:
    """Sets of at most nine ticks within 0 < low..high, the fullest first, then by decades."""
    decades = range(math.floor(math.log10(low)), math.floor(math.log10(high)) + 1)
    bottom, top = exact(low), exact(high)
    for factors, every in LOG_SETS:
        powers = [Fraction(10) ** power for power in decades[::every]]
        values = [factor * power for power in powers for factor in factors]
        ticks = [
            Tick(float(each), shortest_text(each, 12)) for each in values if bottom <= each <= top
        ]
        if len(ticks) <= 9:
            yield tuple(ticks)


def fitting(
    candidates: Iterable[tuple[Tick, ...]], scale: Scale, extent: Callable[[Tick], float]
) -> tuple[Tick, ...]:
    """The first set whose texts, centred on their places, do not touch; else one tick.

    extent is the length a text takes along the scale, in drawing units, with the gap it needs.
    """
    ticks: tuple[Tick, ...] = ()
    for ticks in candidates:
        if _keep_apart(ticks, scale, extent):
            return ticks
    return ticks[:1]


def thinned(
    ticks: Iterable[Tick], scale: Scale, extent: Callable[[Tick], float]
) -> tuple[Tick, ...]:
    """The ticks in rising order, without those whose text would touch the one before."""
    kept: list[Tick] = []
    for tick in sorted(ticks, key=lambda each: each.value):
        if not kept or _keep_apart((kept[-1], tick), scale, extent):
            kept.append(tick)
    return tuple(kept)


def _keep_apart(ticks: Sequence[Tick], scale: Scale, extent: Callable[[Tick], float]) -> bool:
    return all(
        abs(scale.at(after.value) - scale.at(before.value)) >= (extent(before) + extent(after)) / 2
        for before, after in pairwise(ticks)
    )


def _steps(low: float, high: float, most: int) -> Iterator[Fraction]:
    """Steps of 1, 2, 5 times a power of ten, from one that is too fine upwards."""
    if most < 2 or not low < high:
        raise ValueError(f"no axis has {most} ticks from {low!r} to {high!r}")
    for power in count(math.floor(math.log10((high - low) / most))):
        for factor in ROUND:
            yield factor * Fraction(10) ** power


def _round_near(value: float) -> list[Fraction]:
    power = math.floor(math.log10(value))
    return [factor * Fraction(10) ** (power + by) for by in (-1, 0, 1) for factor in ROUND]
