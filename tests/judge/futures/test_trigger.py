"""The rule that rests on no forecast: its bound holds, and the textbook's does not (R22)."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotegen.judge.futures.trigger import BreakEvenRule


def a_rule(paid: int | Fraction, needed: int = 0, lot: int = 1) -> BreakEvenRule:
    """A piece without the tool costs 1 more than one with it."""
    return BreakEvenRule(saved=Fraction(1), paid=Fraction(paid), needed=needed, lot=lot)


def spent(lots: Sequence[int], rule: BreakEvenRule, lead: int, *, after: bool = False) -> Fraction:
    """Above the price of pieces with the tool: what the rule pays for lots that are wanted.

    The tool works once `lead` more pieces have been wanted since its order. The rule decides
    before each lot, or, as it should not, after it.
    """
    cost, sold, works_from = Fraction(0), 0, None
    for lot in lots:
        if works_from is None and not after and sold + lot >= rule.count:
            cost, works_from = cost + rule.paid, sold + lead
        plain = lot if works_from is None else min(lot, max(0, works_from - sold))
        cost, sold = cost + plain * rule.saved, sold + lot
        if works_from is None and after and sold >= rule.count:
            cost, works_from = cost + rule.paid, sold + lead
    return cost


def foresight(lots: Sequence[int], rule: BreakEvenRule) -> Fraction:
    """The least that somebody pays who knows the demand and whose tool works at once."""
    return min(sum(lots) * rule.saved, rule.paid)


LOTS = st.lists(st.integers(1, 60), min_size=1, max_size=30)


@given(LOTS, st.integers(1, 200), st.integers(0, 80), st.integers(1, 7))
def test_the_bound_holds_for_every_demand_in_lots(
    lots: list[int], paid: int, needed: int, part: int
) -> None:
    rule = a_rule(Fraction(paid, part), needed, lot=40)
    for lead in {0, needed // 2, needed}:
        assert spent(lots, rule, lead) <= rule.bound * foresight(lots, rule)


@given(st.integers(1, 60), st.integers(1, 200))
def test_piece_by_piece_with_a_tool_that_works_at_once_it_is_the_textbooks(
    paid: int, many: int
) -> None:
    rule = a_rule(paid)
    assert rule.bound == 2 - Fraction(1, paid)
    assert spent([1] * many, rule, 0) <= rule.bound * foresight([1] * many, rule)


def test_the_bound_is_nearly_reached() -> None:
    """Wanted until the tool is there, and never again: 199 + 50 pieces and the tool, for 200."""
    rule = a_rule(200, needed=50)
    lots = [1] * 249
    assert spent(lots, rule, 50) / foresight(lots, rule) == Fraction(199 + 50 + 200, 200)
    assert rule.bound == Fraction(450, 200)


def test_a_burst_of_demand_while_the_tool_is_made_breaks_the_textbook_bound() -> None:
    rule = a_rule(100, needed=80)
    lots = [1] * 99 + [80]
    ratio = spent(lots, rule, 80) / foresight(lots, rule)
    assert ratio == Fraction(99 + 80 + 100, 100)
    assert 2 - Fraction(1, 100) < ratio <= rule.bound == Fraction(280, 100)


def test_deciding_after_lots_of_40_breaks_the_textbook_bound_and_before_them_does_not() -> None:
    rule = a_rule(121, lot=40)
    lots = [40] * 4
    late = spent(lots, rule, 0, after=True) / foresight(lots, rule)
    assert late == Fraction(160 + 121, 121)
    assert late > rule.bound == 2
    assert spent(lots, rule, 0) / foresight(lots, rule) == Fraction(120 + 121, 121)


def test_a_break_even_that_is_not_whole_breaks_the_textbook_bound() -> None:
    """B = 3/2: two pieces are needed to pass it, and 1 + 3/2 is more than (2 - 2/3) x 3/2."""
    rule = a_rule(Fraction(3, 2))
    lots = [1, 1]
    ratio = spent(lots, rule, 0) / foresight(lots, rule)
    assert ratio == Fraction(5, 3) > 2 - 1 / rule.break_even
    assert ratio <= rule.bound == 2


@pytest.mark.parametrize(("paid", "count"), [(200, 200), (Fraction(401, 2), 201)])
def test_the_count_reaches_the_break_even(paid: int | Fraction, count: int) -> None:
    assert a_rule(paid).count == count
