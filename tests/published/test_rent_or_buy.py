"""The break-even rule for a thing that can be rented by the day or bought.

Karlin, Manasse, Rudolph and Sleator, Competitive snoopy caching, Algorithmica 3 (1988) 79-119;
Karlin, Manasse, McGeoch and Owicki (1994). Renting costs 1 a day, buying B = 10: rent for nine
days, buy on the tenth. At worst 19 is spent where 10 would have done: 19/10 = 2 - 1/B, and no
rule without chance does better. It holds for whole B, day by day, a purchase that works at once.
"""

from __future__ import annotations

from fractions import Fraction

from quotegen.judge.futures.trigger import BreakEvenRule
from tests.judge.futures.test_trigger import foresight, spent

RULE = BreakEvenRule(saved=Fraction(1), paid=Fraction(10), needed=0, lot=1)


def test_nine_days_are_rented_and_the_tenth_is_bought() -> None:
    assert RULE.count == 10
    assert [spent([1] * days, RULE, 0) for days in (8, 9, 10, 11, 99)] == [8, 9, 19, 19, 19]


def test_the_ratio_is_that_of_the_paper() -> None:
    worst = max(spent([1] * days, RULE, 0) / foresight([1] * days, RULE) for days in range(1, 200))
    assert worst == RULE.bound == Fraction(19, 10)


def test_no_other_count_does_better() -> None:
    for count in range(1, 40):
        rule = BreakEvenRule(saved=Fraction(1), paid=Fraction(10), needed=0, lot=1)
        ratios = []
        for days in range(1, 80):
            paid = days if days < count else count - 1 + rule.paid
            ratios.append(Fraction(paid) / min(days, 10))
        assert max(ratios) >= Fraction(19, 10)


def test_trap_with_days_that_pass_before_it_works_the_paper_does_not_hold() -> None:
    rule = BreakEvenRule(saved=Fraction(1), paid=Fraction(10), needed=3, lot=1)
    assert spent([1] * 12, rule, 3) / foresight([1] * 12, rule) == Fraction(22, 10)
    assert rule.bound == Fraction(23, 10)
