"""Sampling plans for deliveries, by printed tables and printed chances."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from quotegen.costing.sampling import (
    SamplingPlan,
    chance_of_process,
    chance_to_pass,
    code_letter,
    plan_at,
    plan_for,
    printed_table,
)
from quotegen.model.acceptance import Acceptance
from tests.folders import Values, a_part, a_quote, an_item, forms, printed_for

LARGEST_LOTS = (8, 15, 25, 50, 90, 150, 280, 500, 1200)
SMALLEST_LOTS = (2, 9, 16, 26, 51, 91, 151, 281, 501)
AT_1_0 = [(13, 0)] * 6 + [(50, 1)] * 2 + [(80, 2)]
AT_2_5 = [(5, 0)] * 4 + [(20, 1)] * 2 + [(32, 2), (50, 3), (80, 5)]


@pytest.mark.parametrize("lots", [SMALLEST_LOTS, LARGEST_LOTS])
def test_code_letters_of_general_inspection_level_two(lots: tuple[int, ...]) -> None:
    """ISO 2859-1:1999, Table 1 (the same as MIL-STD-105E, Table I)."""
    letters = [code_letter(lot) for lot in lots]
    assert letters == list("ABCDEFGHJ")
    sizes = [printed_table().samples[letter] for letter in letters]
    assert sizes == [2, 3, 5, 8, 13, 20, 32, 50, 80]


@pytest.mark.parametrize(("aql", "expected"), [("1.0", AT_1_0), ("2.5", AT_2_5)])
def test_single_sampling_normal_inspection_with_its_arrows(
    aql: str, expected: list[tuple[int, int]]
) -> None:
    """ISO 2859-1:1999, Table 2-A, for lots of 2 to 8 up to 501 to 1,200 pieces."""
    assert [plan_at(code_letter(lot), aql) for lot in LARGEST_LOTS] == expected


@pytest.mark.parametrize(("aql", "all_up_to"), [("1.0", 13), ("2.5", 5)])
def test_small_lots_are_looked_at_piece_by_piece(aql: str, all_up_to: int) -> None:
    """ISO 2859-1:1999, 10.3, with Table 2-A: all of a lot no larger than the sample."""
    plans = [plan_for(lot, Acceptance(aql=aql), is_series=True) for lot in range(2, 26)]
    assert [each.lot for each in plans if each.is_whole_lot] == list(range(2, all_up_to + 1))


@pytest.mark.parametrize(
    ("letter", "sample", "accept"), [("F", 20, 0), ("J", 80, 1), ("N", 500, 7)]
)
def test_plans_of_one_column(letter: str, sample: int, accept: int) -> None:
    """A. Birolini, Reliability Engineering, 5th ed. 2007, figure 7.4, AQL 0.65 % by IEC 60410:
    n = 20, 80 and 500 with c = 0, 1 and 7."""
    assert plan_at(letter, "0.65") == (sample, accept)


@pytest.mark.parametrize(
    ("sample", "accept", "risk"), [(20, 0, "0.11"), (80, 1, "0.09"), (500, 7, "0.03")]
)
def test_what_good_series_risk(sample: int, accept: int, risk: str) -> None:
    """Same figure: the producer's risk at 0.65 % is given as about 0.11, 0.09 and 0.03, read off
    curves; the exact values lie within 0.015 of them."""
    plan = SamplingPlan(lot=10_000, sample=sample, accept=accept)
    found = 1 - chance_of_process(plan, Fraction(65, 10_000))
    assert found == pytest.approx(float(risk), abs=0.015)


@pytest.mark.parametrize(("bad_per_1000", "times_in_100"), [(10, 26), (1, 100)])
def test_an_operating_characteristic_curve(bad_per_1000: int, times_in_100: int) -> None:
    """7 CFR 42.140 (c) and (d), curve 6, AQL 0.25: 500 taken, 3 allowed; at 1.0 in 100 only 26 %
    are accepted, at 0.10 about 99 % (the curve counts defects, hence the looser bound there)."""
    plan = SamplingPlan(lot=100_000, sample=500, accept=3)
    found = chance_to_pass(plan, 100 * bad_per_1000)
    assert float(found) * 100 == pytest.approx(times_in_100, abs=1)


def delivery_of(lot: int, aql: str, to: Path) -> Values:
    part = a_part(lot, lot=str(lot), acceptance_quality=aql)
    found = printed_for(forms(a_quote("oak-1", an_item("1 EUR per 1")), part=part), to)
    (inspected,) = found["inspection"]
    return dict(inspected)


def test_a_lot_of_56_with_three_bad_ones_passes_45_times_in_100(tmp_path: Path) -> None:
    """Hypergeometric by hand: (43 x 42 x 41) / (56 x 55 x 54) = 74,046 / 166,320 = 0.4452."""
    found = delivery_of(56, "AQL 1.0", tmp_path)
    assert (found["delivery"], found["taken"], found["accept"], found["bad"]) == (56, 13, 0, 3)
    assert Fraction(found["bad_passes"]) == pytest.approx(Fraction(74_046, 166_320))
    assert round(float(found["bad_passes"]) * 100) == 45


def test_with_replacement_it_would_pass_more_often() -> None:
    """The binomial chance, which forgets that pieces are not put back, is 49 and not 45 in 100."""
    plan = SamplingPlan(lot=56, sample=13, accept=0)
    assert round(100 * float(chance_of_process(plan, Fraction(3, 56)))) == 49
