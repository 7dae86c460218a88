"""How many pieces of a delivery are taken, and the exact chance that a bad one passes."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from quotegen.costing.sampling import (
    SamplingPlan,
    bad_pieces,
    bands,
    chance_of_process,
    chance_to_pass,
    code_letter,
    limiting_sample,
    plan_at,
    plan_for,
    printed_table,
)
from quotegen.model.acceptance import AQLS, LQS, Acceptance

LETTERS = "ABCDEFGHJKLMNPQ"


def by_aql(lot: int, aql: str = "1.0") -> tuple[int, int]:
    plan = plan_for(lot, Acceptance(aql=aql), is_series=True)
    return plan.sample, plan.accept


def test_the_table_has_the_columns_that_a_form_may_name() -> None:
    """ISO 2859-1:1999, Table 2-A: 16 columns that count nonconforming pieces; no letter I or O."""
    table = printed_table()
    assert table.aqls == AQLS
    assert "".join(table.plans) == LETTERS + "R"
    assert all(len(cells) == len(AQLS) for cells in table.plans.values())


@pytest.mark.parametrize("aql", AQLS)
def test_down_a_column_samples_and_acceptance_numbers_never_fall(aql: str) -> None:
    """ISO 2859-1, Table 2-A: with its arrows followed, a column is a staircase that only climbs."""
    plans = [plan_at(letter, aql) for letter in LETTERS]
    assert plans == sorted(plans)
    assert {accept for _, accept in plans} <= {0, 1, 2, 3, 5, 7, 10, 14, 21}


@pytest.mark.parametrize("aql", AQLS)
def test_a_series_at_its_aql_mostly_passes(aql: str) -> None:
    """ISO 2859-1, 5.1 and 12.1: lots at the AQL are accepted about 88 to 99 times in 100."""
    for letter in LETTERS:
        sample, accept = plan_at(letter, aql)
        passes = stats.binom.cdf(accept, sample, float(Fraction(aql)) / 100)
        assert 0.87 <= passes <= 0.995


def test_an_arrow_changes_the_sample_as_well() -> None:
    """ISO 2859-1, 10.3: of F at AQL 1.0 the plan above is taken, with its sample of 13 and not 20;
    of G the one below, with 50 and not 32."""
    assert code_letter(120) == "F"
    assert code_letter(200) == "G"
    assert by_aql(120) == (13, 0) != (20, 0)
    assert by_aql(200) == (50, 1) != (32, 1)


def test_no_more_is_taken_than_there_is() -> None:
    """ISO 2859-1, 10.3: where the sample is no smaller than the lot, every piece is looked at."""
    plan = plan_for(60, Acceptance(aql="0.10"), is_series=True)
    assert plan_at("E", "0.10") == (125, 0)
    assert (plan.sample, plan.accept, plan.reject, plan.is_whole_lot) == (60, 0, 1, True)
    assert plan_for(1, Acceptance(aql="10"), is_series=True).is_whole_lot


@given(
    lot=st.integers(1, 400),
    sample=st.integers(1, 400),
    accept=st.integers(0, 30),
    bad=st.integers(0, 400),
)
def test_the_chance_to_pass_is_hypergeometric(lot: int, sample: int, accept: int, bad: int) -> None:
    """Oracle: scipy.stats.hypergeom, in floating point."""
    plan = SamplingPlan(lot=lot, sample=min(sample, lot), accept=accept)
    bad = min(bad, lot)
    expected = stats.hypergeom.cdf(accept, lot, bad, plan.sample)
    assert float(chance_to_pass(plan, bad)) == pytest.approx(expected, abs=1e-9)


@given(sample=st.integers(1, 200), accept=st.integers(0, 20), per_mille=st.integers(0, 1000))
def test_the_chance_of_a_process_is_binomial(sample: int, accept: int, per_mille: int) -> None:
    """Oracle: scipy.stats.binom, in floating point."""
    plan = SamplingPlan(lot=10_000, sample=sample, accept=accept)
    expected = stats.binom.cdf(accept, sample, per_mille / 1000)
    found = chance_of_process(plan, Fraction(per_mille, 1000))
    assert float(found) == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize("lq", LQS)
def test_a_lot_at_its_limiting_quality_passes_at_most_ten_times_in_100(lq: str) -> None:
    """ISO 2859-2:1985, clause 1: the consumer's risk is usually below 10 %. Every lot to 700."""
    acceptance = Acceptance(lq=lq)
    risks = []
    for lot in range(1, 701):
        plan = plan_for(lot, acceptance, is_series=False)
        risks.append(chance_to_pass(plan, bad_pieces(lot, Fraction(lq) / 100)))
    assert max(risks) <= Fraction(1, 10)
    assert max(risks) > Fraction(9, 100)  # and no larger a sample than that asks for


@pytest.mark.parametrize("lot", [2, 17, 56, 90, 333, 1200])
@pytest.mark.parametrize("lq", ["2", "5", "12.5"])
def test_the_limiting_sample_is_the_smallest_that_does(lot: int, lq: str) -> None:
    """Oracle: every sample from one piece up, by scipy.stats.hypergeom."""
    share = Fraction(lq) / 100
    bad = math.ceil(lot * share)
    first = next(n for n in range(1, lot + 1) if stats.hypergeom.pmf(0, lot, bad, n) <= 0.1 + 1e-12)
    assert limiting_sample(lot, share) == first


def test_a_lot_by_itself_is_held_to_lq_and_a_series_to_aql() -> None:
    both = Acceptance(aql="1.0", lq="8")
    assert plan_for(56, both, is_series=True) == SamplingPlan(lot=56, sample=13, accept=0)
    assert plan_for(56, both, is_series=False).sample == 24
    only = Acceptance(aql="1.0")
    assert plan_for(56, only, is_series=False) == plan_for(56, only, is_series=True)


def test_bands_follow_one_another_without_a_hole() -> None:
    """ISO 2859-1, Table 1: from the first lot on, the last band has no end."""
    found = bands(Acceptance(aql="1.0"), True)
    assert [each.first for each in found[1:]] == [(each.last or 0) + 1 for each in found[:-1]]
    assert (found[0].first, found[-1].last) == (1, None)
