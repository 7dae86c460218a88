"""Tool lives, commitments and shares against trying every plan, and the limit of the search."""

from __future__ import annotations

from collections import Counter as Count
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

import pytest

import quotegen.plan.memory
from quotegen.plan.counters import Counters
from quotegen.plan.labels import begin, joined
from quotegen.plan.problem import (
    Arriving,
    Commitment,
    Placed,
    Problem,
    Run,
    Share,
    Shortage,
    Solution,
    Source,
    Wear,
    Why,
)
from quotegen.plan.recost import recost
from quotegen.plan.solve import solve
from tests.plan.instances import (
    TINY,
    Size,
    by_brute_force,
    large_problem,
    some_problem,
    with_memory,
)

SMALL = Size(months=4, sources=3, orders=5, demand=5, plans=10_000)


def like_brute_force(seeds: Sequence[int], size: Size) -> Count[str]:
    """What became of them; a plan of the plain problem that costs more is told apart."""
    met: Count[str] = Count()
    for seed in seeds:
        plain = some_problem(seed, size)
        problem = with_memory(plain, seed)
        found, best = solve(problem), by_brute_force(problem)
        if isinstance(found, Solution):
            assert best is not None, seed
            assert (found.cost, len(found.orders)) == (best[0], len(best[1])), seed
            assert found.is_proven, seed
            without = solve(plain)
            assert isinstance(without, Solution)
            met["dearer" if found.cost > without.cost else "same"] += 1
        else:
            assert best is None, seed
            assert found.why is not Why.SEARCH
            met[found.why] += 1
    return met


def test_no_plan_is_cheaper_with_wear_commitments_and_shares() -> None:
    met = like_brute_force(range(400), TINY)
    assert all(met[each] > 50 for each in ("dearer", "same"))
    assert met[Why.SHARE] > 5
    assert met[Why.COMMITMENT] > 1


def test_plans_in_which_many_are_begun_at_once_are_proven_too(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """With two plans kept in the first round, the second has to do the work."""
    monkeypatch.setattr(quotegen.plan.memory, "FEW_LABELS", 2)
    monkeypatch.setattr(quotegen.plan.memory, "LEAST_LABELS", 2)
    assert like_brute_force(range(1000, 1150), TINY)["dearer"] > 10


@pytest.mark.soak
@pytest.mark.parametrize("first", range(200_000, 204_000, 500))
def test_no_plan_is_cheaper_with_terms_among_many_more(first: int) -> None:
    like_brute_force(range(first, first + 500), SMALL)


def test_a_plan_that_paid_for_its_next_tool_is_kept_beside_a_cheaper_one() -> None:
    """Six pieces at a life of six: the next costs 30. Seven, 25 dearer, have paid that already."""
    problem = Problem(
        demand=(1, 1),
        sources=(from_one("A"),),
        wears=(Wear(tool="die", sources=frozenset({"A"}), life=6, replacement=(30, 30)),),
    )
    counters = Counters(problem=problem)
    one = begin(4, (6,), 1)
    unit = counters.unit

    def kept(cost: int) -> int:
        other = replace(one, counters=one.counters + 1, cost=one.cost + cost * unit)
        return len(counters.sifted(joined([one, other]), 1))

    assert [kept(cost) for cost in (25, 29, 30, 31)] == [2, 2, 1, 1]


def test_tools_whose_price_rises_and_falls_are_bounded_by_the_least_so_far() -> None:
    dearer = 0
    for seed in range(150):
        plain = some_problem(seed, Size(months=4, sources=2, orders=5, demand=5, plans=2000))
        names = frozenset(source.name for source in plain.sources)
        prices = tuple((17 * seed + 29 * month) % 61 for month in range(len(plain.demand)))
        wear = Wear(tool="die", sources=names, life=2 + seed % 5, replacement=prices)
        problem = replace(plain, wears=(wear,))
        found, best = solve(problem), by_brute_force(problem)
        assert (best is None) == isinstance(found, Shortage)
        if isinstance(found, Solution) and best is not None:
            assert (found.cost, found.bound) == (best[0], best[0]), seed
            dearer += found.cost > recost(plain, found.orders)
    assert dearer > 20


def worn(seed: int) -> Problem:
    """60 pieces from three sources, each with a tool that lasts for a quarter of them."""
    problem = large_problem(seed, 8, 3, 60)
    months = range(len(problem.demand))
    wears = tuple(
        Wear(
            tool=source.name,
            sources=frozenset({source.name}),
            life=15,
            replacement=tuple(3000 - 15 * month for month in months),
        )
        for source in problem.sources
    )
    return replace(problem, wears=wears)


def test_past_its_limit_the_search_says_how_far_from_proven_it_is(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """What it says is true: the bound is below the least cost, the plan is one, and not cheaper."""
    problems = [worn(seed) for seed in range(12)]
    monkeypatch.setattr(quotegen.plan.memory, "MANY_LABELS", 50_000)
    monkeypatch.setattr(quotegen.plan.memory, "MANY_LOOKS", 60_000_000)
    proven = [solve(problem) for problem in problems]
    for name in ("FEW_LABELS", "MANY_LABELS", "LEAST_LABELS"):
        monkeypatch.setattr(quotegen.plan.memory, name, 2)
    open_ended = 0
    for problem, best in zip(problems, proven, strict=True):
        found = solve(problem)
        assert isinstance(best, Solution)
        assert isinstance(found, Solution)
        assert best.is_proven
        assert found.bound <= best.cost <= found.cost == recost(problem, found.orders)
        open_ended += not found.is_proven
        assert solve(problem) == found
    assert open_ended > 2


def test_costs_beyond_64_bits_are_not_searched_and_it_says_so() -> None:
    problem = tooled(life=4)
    huge = replace(
        problem,
        sources=tuple(
            replace(source, arriving={0: Arriving(runs=(pieces(price=10**19),))})
            for source in problem.sources
        ),
    )
    found = solve(huge)
    assert isinstance(found, Solution)
    assert not found.is_proven
    assert found.bound == 6 * 10**19
    assert found.cost == recost(huge, found.orders)


def pieces(price: int = 10, most: int = 12) -> Run:
    return Run(
        count=most,
        pieces=1,
        pieces_step=1,
        good=1,
        good_step=1,
        cost=price,
        cost_step=price,
        counted=price,
        counted_step=price,
    )


def from_one(name: str, price: int = 10) -> Source:
    return Source(name=name, arriving={0: Arriving(runs=(pieces(price),))})


def tooled(life: int) -> Problem:
    """6 pieces at 10 through a tool of 25, or at 14 without one."""
    wear = Wear(tool="die", sources=frozenset({"A"}), life=life, replacement=(25,))
    return Problem(demand=(6,), sources=(from_one("A"), from_one("B", 14)), wears=(wear,))


@pytest.mark.parametrize(
    ("life", "orders", "cost"),
    [
        (6, (Placed(0, "A", 6),), 60),
        (5, (Placed(0, "A", 5), Placed(0, "B", 1)), 64),
        (2, (Placed(0, "A", 2), Placed(0, "B", 4)), 76),
    ],
)
def test_a_tool_is_used_up_before_another_one_is_paid(
    life: int, orders: tuple[Placed, ...], cost: int
) -> None:
    assert solve(tooled(life)) == Solution(orders=orders, cost=cost, bound=cost)


@pytest.mark.parametrize(
    ("amount", "owed", "cost"),
    [
        (9, Fraction(1), 63),  # 3 are missing: less than 4 each for going elsewhere
        (9, Fraction(9), 84),  # B for 84, A for 60 and 27, or 90 for three too many
        (7, None, 70),  # one too many
        (9, None, 84),
        (13, None, 84),  # A brings 12 at most
    ],
)
def test_a_commitment_is_kept_paid_or_avoided_whichever_costs_least(
    amount: int, owed: Fraction | None, cost: int
) -> None:
    held = Commitment(source="A", amount=amount, owed=owed)
    problem = replace(tooled(6), wears=(), commitments=(held,))
    found = solve(problem)
    assert isinstance(found, Solution)
    assert (found.cost, found.bound) == (cost, cost)


def test_a_commitment_that_nothing_can_keep_or_avoid_leaves_no_plan() -> None:
    held = Commitment(source="A", amount=13, owed=None)
    problem = Problem(demand=(6,), sources=(from_one("A"),), commitments=(held,))
    assert solve(problem) == Shortage(month=0, pieces=0, why=Why.COMMITMENT)


def test_a_share_makes_the_second_cheapest_bring_the_rest() -> None:
    share = Share(most=Fraction(2, 3), suppliers={})
    problem = replace(tooled(6), wears=(), share=share)
    found = solve(problem)
    assert isinstance(found, Solution)
    assert (found.orders, found.cost) == ((Placed(0, "A", 4), Placed(0, "B", 2)), 68)


def test_more_than_is_needed_is_bought_where_only_that_keeps_the_share() -> None:
    """By 7 and by 11 good parts: at a half each, 77 of both is the least."""
    runs = [
        Run(
            count=30,
            pieces=lot,
            pieces_step=lot,
            good=lot,
            good_step=lot,
            cost=lot,
            cost_step=lot,
        )
        for lot in (7, 11)
    ]
    sources = tuple(
        Source(name=name, arriving={0: Arriving(runs=(run,))})
        for name, run in zip("AB", runs, strict=True)
    )
    share = Share(most=Fraction(1, 2), suppliers={})
    found = solve(Problem(demand=(10,), sources=sources, share=share))
    assert found == Solution(orders=(Placed(0, "A", 77), Placed(0, "B", 77)), cost=154, bound=154)


def test_one_supplier_alone_cannot_keep_a_share() -> None:
    share = Share(most=Fraction(2, 3), suppliers={"A": "east", "B": "east"})
    problem = replace(tooled(6), wears=(), share=share)
    assert solve(problem) == Shortage(month=0, pieces=0, why=Why.SHARE)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        (
            {"wears": (Wear(tool="die", sources=frozenset({"C"}), life=4, replacement=(1,)),)},
            "die: a life of nothing, or a source that is not there",
        ),
        (
            {"wears": (Wear(tool="die", sources=frozenset(), life=4, replacement=()),)},
            "die: 0 costs for 1 months",
        ),
        (
            {"commitments": (Commitment(source="C", amount=4, owed=None),)},
            "C: not a commitment that can be kept",
        ),
        ({"share": Share(most=Fraction(3, 2), suppliers={})}, "a share below nothing or above all"),
    ],
)
def test_terms_that_cannot_be_meant_are_refused(changes: dict[str, object], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        solve(replace(tooled(4), **changes))  # type: ignore[arg-type]
