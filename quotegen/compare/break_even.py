"""When a tool has earned itself back: parity, first quantity and every crossing (R14)."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from quotegen.compare.lots import Lot, lot_of, order_for
from quotegen.compare.route import Route
from quotegen.costing.bill import Bill, Scope


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


def _cheaper(
    tooled: Route, untooled: Route, reach: int
) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
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
    with_tool, without = lot_of(tooled, lot), lot_of(untooled, lot)
    if with_tool is None or without is None:
        return None
    tooling = _paid_once(tooled) - _paid_once(untooled)
    found = set()
    for first, after in _stretches((tooled, with_tool), (untooled, without)):
        saved = _each(untooled, without, first) - _each(tooled, with_tool, first)
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


def _each(bill: Bill, lot: Lot, good: int) -> Fraction:
    """The landed piece price of one good part in an order of so many, at most a lot."""
    pieces = min(order_for(bill, good), lot.pieces)
    lines = bill.in_scope(Scope.ORDER)
    slope = sum((line.schedule.slope_at(pieces) for line in lines), Fraction(0))
    return slope / (1 - bill.rejects)


def _stretches(*sides: tuple[Bill, Lot]) -> list[tuple[int, int | None]]:
    """The stretches of good parts between any two steps of either bill's prices, up to a lot."""
    starts = {1}
    for bill, lot in sides:
        breaks = [start for line in bill.in_scope(Scope.ORDER) for start in line.schedule.breaks]
        starts |= {_good_from(bill, start) for start in breaks if start <= lot.pieces}
    ordered = sorted(starts)
    return list(zip(ordered, [*ordered[1:], None], strict=True))


def _good_from(bill: Bill, start: int) -> int:
    """The fewest good parts whose order is of so many pieces or more."""
    below = (start - 1) // bill.allowed.multiple * bill.allowed.multiple
    return 1 if below < bill.allowed.rounded_up(1) else bill.good(below) + 1
