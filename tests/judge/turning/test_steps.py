"""Values that are looked at: between two that differ no step is left out."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from types import SimpleNamespace
from typing import Any

import pytest

from quotegen.judge.advice import Outcome
from quotegen.judge.turning.answer import Answer
from quotegen.judge.turning.steps import Looks, stretches_of
from quotegen.judge.turning.ways import WayCost

WAY = SimpleNamespace(name="oak", signable=True)


def _said(family: str) -> Answer:
    return Answer(outcome=Outcome.CHOSEN, cheapest=family, ties=frozenset({family}))


def looks_at(*turns: int) -> Looks:
    """Oak and ash in turn: the answer changes at each of the numbers."""

    def said(number: int) -> Answer:
        return _said(("oak", "ash")[sum(number >= each for each in turns) % 2])

    def costs(number: int, _beside: Sequence[WayCost]) -> list[Any]:
        family = said(number).cheapest
        return [SimpleNamespace(number=number, family=family, cost=Fraction(1), way=WAY)]

    def answer(found: Sequence[Any]) -> Answer:
        return said(found[0].number)

    return Looks(costs=costs, answer=answer)


@pytest.mark.parametrize("turn", range(2, 41))
def test_a_turn_between_two_values_is_placed_between_neighbours(turn: int) -> None:
    """Just below it the one answer, just above it the other, and no number between the two."""
    settled = looks_at(turn).settled([1, 3, 20, 38, 40], 20)
    stretches = stretches_of(settled, Fraction)
    assert [(each.first, each.last) for each in stretches] == [(1, turn - 1), (turn, 40)]
    assert [each.answer.cheapest for each in stretches] == ["oak", "ash"]


@pytest.mark.parametrize("turns", [(101, 102), (140, 141, 150), (101, 103, 199)])
def test_between_two_values_that_differ_tenths_are_looked_at_and_then_every_step(
    turns: tuple[int, ...],
) -> None:
    looks = looks_at(*turns, 230)
    stretches = stretches_of(looks.settled([100, 200, 300], 100), Fraction)
    ends = [each.last + 1 for each in stretches[:-1]]
    assert ends[-1] == 230
    assert set(ends) <= {*turns, 230}
    assert looks.looked < 60


def test_what_comes_and_goes_between_two_values_that_agree_is_not_found() -> None:
    """Which is why such a figure is said to be looked at, and not to be exact."""
    for values, ends in (([1, 40], [40]), ([1, 10, 40], [6, 14, 40])):
        settled = looks_at(7, 15).settled(values, 1)
        assert [each.last for each in stretches_of(settled, Fraction)] == ends
