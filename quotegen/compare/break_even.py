"""When a tool has earned itself back: the textbook's parity, the first quantity, every crossing (R14)."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from quotegen.compare.lots import lot_of
from quotegen.compare.route import Route
from quotegen.costing.bill import Bill, Scope
from quotegen.costing.schedule import Scaled, Schedule, Steps, Sum


@dataclass(frozen=True, slots=True, kw_only=True)
class Crossing:
    """From this quantity on the named side is strictly cheaper, until the next crossing."""

    at: int
    tooled_cheaper: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class BreakEven:
    """A tooled route against an untooled one, in the three forms of R14.

    parity: tooling over the difference of the piece prices at the tiers in force there,
    None where no single tier holds. first_cheaper: the first whole quantity from which the
    tooled route is cheaper and stays so up to up_to; None where there is none. crossings:
    every change of the cheaper side before first_cheaper.
    """

    tooled: Route
    untooled: Route
    parity: Fraction | None
    first_cheaper: int | None
    up_to: int
    crossings: tuple[Crossing, ...]


def break_even_of(tooled: Route, untooled: Route) -> BreakEven:
    """Both routes' curves must have one unit; a tie counts as not yet cheaper."""
    reach = min(tooled.curve.reach, untooled.curve.reach)
    cheaper = _cheaper(tooled, untooled, reach)
    first = _stays_from(cheaper)
    crossings = _crossings(cheaper, first)
    return BreakEven(
        tooled=tooled,
        untooled=untooled,
        parity=parity_of(tooled.main.bill, untooled.main.bill, tooled.lot),
        first_cheaper=first,
        up_to=reach,
        crossings=crossings,
    )


def _cheaper(tooled: Route, untooled: Route, reach: int) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    less = tooled.curve.costs[: reach + 1] < untooled.curve.costs[: reach + 1]
    can = tooled.curve.available[: reach + 1]
    cannot = ~untooled.curve.available[: reach + 1]
    result: np.ndarray[tuple[int], np.dtype[np.bool_]] = (can & (less | cannot)).astype(bool)
    result[0] = False
    return result


def _stays_from(cheaper: np.ndarray[tuple[int], np.dtype[np.bool_]]) -> int | None:
    dearer = np.flatnonzero(~cheaper)
    last = int(dearer[-1])
    return last + 1 if last + 1 < len(cheaper) else None


def _crossings(
    cheaper: np.ndarray[tuple[int], np.dtype[np.bool_]], first: int | None
) -> tuple[Crossing, ...]:
    changes = np.flatnonzero(np.diff(cheaper.astype(np.int8))) + 1
    return tuple(
        Crossing(at=int(at), tooled_cheaper=bool(cheaper[at]))
        for at in changes
        if first is None or at < first
    )


def parity_of(tooled: Bill, untooled: Bill, lot: int) -> Fraction | None:
    """Tooling over the difference of the landed piece prices, as an exact fraction.

    A parity is taken only where it lies in the very tiers whose prices made it, and where
    only one pair of tiers does so. Orders are as large as the parity, at most one lot.
    Textbook break-even of two linear costs, e.g. Shigley's Mechanical Engineering Design,
    9th ed., section 1-7.
    """
    tooling = _paid_once(tooled) - _paid_once(untooled)
    found = set()
    for first, after in _stretches(tooled, untooled):
        saved = _each(untooled, lot, first) - _each(tooled, lot, first)
        if saved > 0 and tooling > 0:
            parity = tooling / saved
            if first <= parity and (after is None or parity < after):
                found.add(parity)
    return next(iter(found)) if len(found) == 1 else None


def _paid_once(bill: Bill) -> Fraction:
    """What is paid once whatever the quantity: shares by the piece and replacements are not."""
    schedules = [line.schedule for line in bill.in_scope(Scope.ONCE)]
    fixed = [each.at(1) for each in schedules if not each.slope_at(1)]
    return sum(fixed, Fraction(0))


def _each(bill: Bill, lot: int, pieces: int) -> Fraction:
    """The landed piece price of one good part in an order of so many, at most a lot."""
    size = lot_of(bill, lot)
    pieces = max(bill.allowed.rounded_up(1), min(pieces, size.pieces if size else pieces))
    lines = bill.in_scope(Scope.ORDER)
    slope = sum((line.schedule.slope_at(pieces) for line in lines), Fraction(0))
    return slope / (1 - bill.rejects) if bill.rejects < 1 else slope


def _stretches(first: Bill, second: Bill) -> list[tuple[int, int | None]]:
    """The stretches of quantity between any two steps of either bill's prices."""
    starts = {1}
    for bill in (first, second):
        for line in bill.in_scope(Scope.ORDER):
            starts |= set(_starts(line.schedule))
    ordered = sorted(starts)
    return list(zip(ordered, [*ordered[1:], None], strict=True))


def _starts(schedule: Schedule) -> tuple[int, ...]:
    if isinstance(schedule, Steps):
        return schedule.starts
    if isinstance(schedule, Sum):
        return tuple(start for part in schedule.parts for start in _starts(part))
    return _starts(schedule.whole) if isinstance(schedule, Scaled) else ()
