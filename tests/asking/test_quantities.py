"""Quantities are asked where the decision turns, and no two that say the same."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

from quotegen.asking.quantities import MOST, quantities_of
from quotegen.judge.studied import PartStudy
from quotegen.study import study
from tests.commands import a_choice
from tests.folders import TODAY, Forms, a_part, a_quote, an_item, forms, written


def _studied(content: Forms, to: Path) -> PartStudy:
    return study(written(content, to), TODAY, only=("p",)).parts["p"]


def test_break_even_lot_and_demand_are_asked(tmp_path: Path) -> None:
    """By hand: a die of 880 with castings at 3 against 10 is cheaper from 126; 200 are wanted."""
    asked = {each.pieces: each.why for each in quantities_of(_studied(a_choice(), tmp_path))}
    assert "foss/foss-1 is cheaper from here on" in asked[126]
    assert "a year's demand" in asked[200]
    assert "lot" in asked[400]


def test_breaks_and_minimums_are_asked(tmp_path: Path) -> None:
    item = an_item({10: "9 EUR per 1", 50: "7 EUR per 1"}, minimum="10")
    asked = {
        each.pieces: each.why
        for each in quantities_of(_studied(forms(a_quote("alder-1", item)), tmp_path))
    }
    assert "minimum of alder/alder-1" in asked[10]
    assert "break of alder/alder-1" in asked[50]
    assert all("alder" in why or "/" not in why for each in asked.values() for why in each)


def test_no_two_lie_within_a_tenth_and_there_are_few(tmp_path: Path) -> None:
    tiers = {start: f"{90 - start / 100} EUR per 1" for start in (1, *range(150, 200, 5))}
    pieces = [
        each.pieces
        for each in quantities_of(_studied(forms(a_quote("alder-1", an_item(tiers))), tmp_path))
    ]
    assert len(pieces) <= MOST
    assert pieces == sorted(pieces)
    assert all(100 * (more - less) >= 10 * more for less, more in pairwise(pieces))


def test_a_part_without_quotes_is_asked_for_at_lot_and_demand(tmp_path: Path) -> None:
    part = a_part(100, lot="30")
    asked = [each.pieces for each in quantities_of(_studied(forms(part=part), tmp_path))]
    assert asked == [30, 100]


def test_nothing_is_asked_where_nothing_is_wanted(tmp_path: Path) -> None:
    part = a_part(100, on_hand="5000")
    assert quantities_of(_studied(forms(part=part), tmp_path)) == ()
