"""Futures: every machine draws the same ones, and each law is drawn in equal shares (R21)."""

from __future__ import annotations

import hashlib

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from quotegen.judge.futures.draws import GROUPS, _lattice, _shuffles, _struck, certain, draw
from quotegen.judge.futures.law import pert
from quotegen.judge.futures.scatter import parted, poisson

LAW = pert(0.3, 1.0, 1.5)
YEAR = (10, 0, 9, 9, 9, 9, 9, 9, 10, 9, 9, 9)


def test_the_same_futures_are_drawn_everywhere() -> None:
    """The fingerprint of the pieces sold; it changes only with the rule of drawing."""
    draws = draw(LAW, YEAR, 0.01, 1024)
    found = hashlib.sha256(draws.sold.astype("<i4").tobytes()).hexdigest()
    assert found[:16] == "662316447c70b7d5"
    assert (draw(LAW, YEAR, 0.01, 1024).sold == draws.sold).all()
    assert (draw(LAW, YEAR, 0.01, 1024, seed=1).sold != draws.sold).any()


@given(st.integers(1, 600), st.integers(0, 2**70))
def test_a_shuffle_holds_every_place_once(count: int, seed: int) -> None:
    for order in _shuffles(count, 3, seed):
        assert sorted(order.tolist()) == list(range(count))


@given(st.integers(1, 600), st.integers(0, 2**70))
def test_a_lattice_holds_every_place_once(count: int, seed: int) -> None:
    assert sorted(_lattice(count, seed).tolist()) == list(range(count))


def test_shuffles_of_two_months_have_nothing_to_do_with_each_other() -> None:
    """Chi-squared over 8 x 8 fields for all pairs: one in a hundred passes its 1 % mark."""
    orders = np.array([np.arange(4096), *_shuffles(4096, 40, 5)]) * 8 // 4096
    passed, pairs = 0, 0
    for first in range(len(orders)):
        for second in range(first):
            found = np.bincount(orders[first] * 8 + orders[second], minlength=64)
            passed += stats.chi2.sf(((found - 64) ** 2 / 64).sum(), 49) < 0.01
            pairs += 1
    assert 0 < passed / pairs < 0.025


@given(st.lists(st.floats(0, 380), min_size=1, max_size=40), st.integers(1, 999))
def test_the_scatter_is_the_inverse_poisson_law(means: list[float], per_mille: int) -> None:
    mean, shares = np.array(means), np.full(len(means), per_mille / 1000 + 1e-7)
    assert poisson(mean, shares).tolist() == stats.poisson(mean).ppf(shares).tolist()


@given(
    st.lists(st.integers(0, 390), min_size=1, max_size=40),
    st.floats(0, 1),
    st.integers(0, 2**30),
)
def test_pieces_part_as_the_binomial_law_says(some: list[int], share: float, first: int) -> None:
    order = (np.arange(len(some)) * 7919 + first) % 4096
    found = parted(np.array(some, dtype=np.int32), share, order, 4096)
    low, high = stats.binom(some, share).ppf(
        [(order + 0.5) / 4096 - 1e-9, (order + 0.5) / 4096 + 1e-9]
    )
    assert ((low <= found) & (found <= high)).all()


def test_many_pieces_part_nearly_as_the_binomial_law_says() -> None:
    some, order = np.full(4096, 3000, dtype=np.int32), np.arange(4096)
    found = parted(some, 0.3, order, 4096)
    assert np.abs(found - stats.binom(3000, 0.3).ppf((order + 0.5) / 4096)).max() <= 1


def test_the_pieces_of_a_month_scatter_as_the_poisson_law_says() -> None:
    """At a level that hardly varies, each month by itself and the sum of two apart."""
    sold = draw(pert(0.999999, 1.0, 1.000001), (4, 7, 0, 3), 0.0, 65_536).sold
    for first, after, mean in ((0, 1, 4), (1, 2, 7), (3, 4, 3), (0, 4, 14)):
        counts = np.bincount(sold[after] - sold[first], minlength=40)[:40] / 65_536
        assert counts == pytest.approx(stats.poisson(mean).pmf(np.arange(40)), abs=4e-3)
    assert abs(np.corrcoef(sold[1], sold[4] - sold[3])[0, 1]) < 0.02


def test_new_drawings_come_by_chance_month_by_month() -> None:
    """All patterns of three months, against the product of their chances."""
    comes = np.zeros((3, 80_000), dtype=int)
    for month, each in enumerate(_struck((np.arange(80_000) + 0.5) / 80_000, 0.2, 3)):
        comes[month, each] = 1
    for pattern in range(8):
        each = [pattern >> month & 1 for month in range(3)]
        share = (each == comes.T).all(axis=1).mean()
        assert share == pytest.approx(0.2 ** sum(each) * 0.8 ** (3 - sum(each)), abs=1e-4)


def test_a_large_mean_scatters_nearly_like_poisson() -> None:
    draws = draw(pert(0.99, 1.0, 1.01), (3000,), 0.0, 4096)
    assert draws.sold[1].mean() == pytest.approx(3000, rel=1e-3)
    assert draws.sold[1].var() == pytest.approx(3000 + 3000**2 * 0.01**2 / 7, rel=0.02)


def test_level_scatter_and_new_drawings_come_as_often_as_they_should() -> None:
    draws = draw(LAW, YEAR, 0.0625, 4096)
    assert draws.level.mean() == pytest.approx((0.3 + 4 + 1.5) / 6, rel=1e-4)
    assert draws.sold[-1].mean() == pytest.approx(draws.level.mean() * sum(YEAR), rel=2e-3)
    assert (draws.sold[2] == draws.sold[1]).all()
    assert [len(each) for each in draws.struck] == pytest.approx([256] * 12, abs=12)
    assert sum(len(each) for each in draws.struck) == pytest.approx(256 * 12, abs=12)
    assert all((np.diff(each) > 0).all() for each in draws.struck)


def test_one_level_holds_for_a_whole_future() -> None:
    """Were it drawn anew each month, the halves of a future would have nothing in common."""
    draws = draw(LAW, (50,) * 24, 0.0, 4096)
    first, second = draws.sold[12], draws.sold[24] - draws.sold[12]
    assert np.corrcoef(first, second)[0, 1] > 0.8


def test_without_scatter_the_months_are_in_proportion() -> None:
    draws = certain(LAW, YEAR, 2)
    assert not draws.scatters
    assert [len(each) for each in draws.struck] == [0] * 12
    assert (draws.sold == np.rint(np.outer([0, *np.cumsum(YEAR)], draws.level))).all()


def test_futures_come_in_groups() -> None:
    with pytest.raises(ValueError, match="groups"):
        draw(LAW, YEAR, 0.0, GROUPS + 1)
