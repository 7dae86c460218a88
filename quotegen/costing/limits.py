"""Amounts that cannot be right: a slip somewhere, kept out of every figure (R18)."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from quotegen.costing.bill import CostLine, Findings, Gap, Scope, YearlyMinimum
from quotegen.costing.case import Case
from quotegen.costing.schedule import Sum

MOST_PIECES = 2_000_000
MOST_MONEY = 10**15
TOO_LARGE = "beyond-reckoning"
TOO_SMALL = "less-than-nothing"
UNPRICED = frozenset({"price", TOO_LARGE, TOO_SMALL})  # gaps with which there is no price


def beyond_reckoning(
    case: Case, lines: Iterable[CostLine], yearly: YearlyMinimum | None
) -> Findings:
    """A gap that blocks where so many pieces, each ordered alone, could pass MOST_MONEY."""
    worst = yearly.value if yearly is not None else Fraction(0)
    for line in lines:
        orders = MOST_PIECES if line.scope is Scope.ORDER else 1
        worst += abs(line.schedule.at(1)) * orders + abs(line.schedule.at(MOST_PIECES))
    if worst <= MOST_MONEY:
        return Findings()
    return _not_priced(
        case,
        TOO_LARGE,
        "its amounts are larger than any that can be reckoned with",
        "Are the amounts, the units and the exchange rate of this quote right?",
    )


def less_than_nothing(case: Case, invoiced: Iterable[CostLine]) -> Findings:
    """A gap that blocks where one piece more would cost less than nothing.

    So it is with discounts that together pass the price (R11), and with a tool that is spread
    over pieces at more than their price (R5); then no quantity would be too many.
    """
    invoice = Sum(tuple(line.schedule for line in invoiced if line.scope is Scope.ORDER))
    spread = case.item.spread_tool
    least = case.base(spread.each) if spread is not None else Fraction(0)
    if all(invoice.slope_at(start) >= least for start in invoice.breaks):
        return Findings()
    return _not_priced(
        case,
        TOO_SMALL,
        "one piece more would cost less than nothing",
        "Which discounts, credits and shares of a tool does the piece price hold?",
    )


def _not_priced(case: Case, code: str, what: str, question: str) -> Findings:
    gap = Gap(
        code=code,
        what=what,
        question=question,
        rule="R18",
        place=case.at_item(),
        blocks=True,
        asked_of="workshop" if code == TOO_LARGE else "supplier",
    )
    return Findings(gaps=(gap,))
