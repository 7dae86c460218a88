"""The planner against trying every plan, a mixed-integer solver, and laws that must hold."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

import pytest

import quotegen.plan.values
from quotegen.plan.problem import (
    Arriving,
    Late,
    Placed,
    Problem,
    Run,
    Shortage,
    Solution,
    Source,
    Why,
)
from quotegen.plan.recost import recost
from quotegen.plan.solve import solve
from tests.plan.instances import (
    TINY,
    Size,
    by_brute_force,
    large_problem,
    orders_of,
    runs_of,
    shortage_by_brute_force,
    some_problem,
)
from tests.plan.mixed_integer import by_highs

SMALL = Size(months=4, sources=3, orders=5, demand=5, plans=30_000)


def like_brute_force(seeds: Sequence[int], size: Size) -> Iterator[Solution | Shortage]:
    """Solve each, hold it against trying every plan, and hand it on."""
    for seed in seeds:
        problem = some_problem(seed, size)
        found, best = solve(problem), by_brute_force(problem)
        if isinstance(found, Solution):
            assert (found.cost, found.orders) == best, seed
            assert found.is_proven
        else:
            assert best is None, seed
            assert (found.month, found.pieces) == shortage_by_brute_force(problem), seed
        yield found


def test_no_plan_is_cheaper_than_the_one_found_and_ties_go_by_the_rule() -> None:
    """400 problems with every feature but memory; they must meet every outcome often."""
    found = list(like_brute_force(range(400), TINY))
    plans = [each for each in found if isinstance(each, Solution)]
    assert sum(len(each.orders) > 1 for each in plans) > 50
    reasons = [each.why for each in found if isinstance(each, Shortage)]
    assert all(reasons.count(why) > 5 for why in (Why.TIME, Why.COVER, Why.SHELF))


@pytest.mark.soak
@pytest.mark.parametrize("first", range(100_000, 104_000, 500))
def test_no_plan_is_cheaper_among_many_more(first: int) -> None:
    for _ in like_brute_force(range(first, first + 500), SMALL):
        pass


def like_highs(seeds: Sequence[int], months: int, sources: int, pieces: int) -> int:
    """How many of them the solver proved in its time; on these both must agree."""
    proven = 0
    for seed in seeds:
        problem = large_problem(seed, months, sources, pieces, late=seed % 2 == 1)
        found, orders = solve(problem), by_highs(problem, seconds=8)
        if orders is not None:
            assert isinstance(found, Solution)
            assert found.cost == recost(problem, orders), seed
            proven += 1
    return proven


def test_a_mixed_integer_solver_finds_the_same_cost() -> None:
    """HiGHS through scipy, on its own model of the problem; its plan is reckoned by recost."""
    assert like_highs(range(60), 5, 3, 30) == 60
    assert like_highs(range(4), 9, 3, 200) > 2


@pytest.mark.soak
def test_a_mixed_integer_solver_finds_the_same_cost_many_more_times() -> None:
    assert like_highs(range(1000, 1600), 6, 3, 60) > 500
    assert like_highs(range(2000, 2060), 12, 4, 300) > 40


@pytest.mark.parametrize("seed", range(20))
def test_costs_too_large_for_64_bits_give_the_same_plan(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The limit is brought down to the costs, and then the costs are brought up to the limit."""
    problem = some_problem(seed)
    found = solve(problem)
    huge = solve(times(problem, 10**18))
    with monkeypatch.context() as patched:
        patched.setattr(quotegen.plan.values, "LARGEST", 5)
        assert solve(problem) == found
    if isinstance(found, Solution):
        assert isinstance(huge, Solution)
        assert (huge.orders, huge.cost) == (found.orders, found.cost * 10**18)
    else:
        assert huge == found


def times(problem: Problem, factor: int) -> Problem:
    """The same with all money in smaller units."""

    def dearer(each: Arriving) -> Arriving:
        runs = tuple(
            replace(run, cost=run.cost * factor, cost_step=run.cost_step * factor)
            for run in each.runs
        )
        return replace(each, runs=runs, waits=each.waits * factor, left=each.left * factor)

    sources = tuple(
        replace(
            source,
            arriving={month: dearer(each) for month, each in source.arriving.items()},
            once={name: tuple(c * factor for c in costs) for name, costs in source.once.items()},
        )
        for source in problem.sources
    )
    late = problem.late
    if late is not None:
        late = replace(late, cost=tuple(each * factor for each in late.cost))
    return replace(problem, sources=sources, late=late)


@pytest.mark.parametrize("seed", range(40))
def test_orders_one_by_one_are_the_same_as_orders_in_runs(seed: int) -> None:
    problem = large_problem(seed, 6, 3, 60, late=seed % 2 == 1)
    singly = tuple(
        replace(
            source,
            arriving={
                month: replace(each, runs=runs_of(orders_of(each), evenly=False))
                for month, each in source.arriving.items()
            },
        )
        for source in problem.sources
    )
    assert solve(replace(problem, sources=singly)) == solve(problem)


def dearer_once(problem: Problem) -> Problem:
    sources = (
        replace(
            source, once={name: tuple(c + 7 for c in costs) for name, costs in source.once.items()}
        )
        for source in problem.sources
    )
    return replace(problem, sources=tuple(sources))


def without_the_last(problem: Problem) -> Problem:
    return replace(problem, sources=problem.sources[:-1])


def on_a_small_shelf(problem: Problem) -> Problem:
    return replace(problem, shelf=sum(problem.demand) // 3)


@pytest.mark.parametrize("change", [dearer_once, without_the_last, on_a_small_shelf])
def test_less_freedom_never_makes_it_cheaper(change: Callable[[Problem], Problem]) -> None:
    raised = 0
    for seed in range(30):
        problem = large_problem(seed, 12, 4, 120)
        free, bound = solve(problem), solve(change(problem))
        assert isinstance(free, Solution)
        assert isinstance(bound, Shortage) or bound.cost >= free.cost
        raised += isinstance(bound, Shortage) or bound.cost > free.cost
    assert raised > 3


def far(price: int = 10, count: int = 10**12) -> Run:
    return Run(
        count=count,
        pieces=1,
        pieces_step=1,
        good=1,
        good_step=1,
        cost=price,
        cost_step=price,
    )


def test_a_tier_far_beyond_what_is_needed_costs_neither_time_nor_memory() -> None:
    break_far = Run(
        count=10**12,
        pieces=10**9,
        pieces_step=1,
        good=10**9,
        good_step=1,
        cost=45,
        cost_step=1,
    )
    arriving = {0: Arriving(runs=(replace(far(), count=10**9 - 1), break_far))}
    problem = Problem(demand=(2, 3), sources=(Source(name="A", arriving=arriving),))
    found = solve(problem)
    assert isinstance(found, Solution)
    assert (found.orders, found.cost) == ((Placed(0, "A", 10**9),), 45)


def test_enough_on_hand_needs_no_plan() -> None:
    assert solve(Problem(demand=(2, 3), sources=(), opening=6)) == Solution(
        orders=(), cost=0, bound=0
    )


def test_late_pieces_are_still_wanted() -> None:
    """Three months of 10 at 20 a piece and 5 a piece-month: all of it is delivered, none late."""
    arriving = {month: Arriving(runs=(far(20),)) for month in range(3)}
    problem = Problem(
        demand=(10, 10, 10),
        sources=(Source(name="A", arriving=arriving),),
        late=Late(cost=(5, 5, 5)),
    )
    found = solve(problem)
    assert isinstance(found, Solution)
    assert found.cost == 600
    lost = solve(replace(problem, late=Late(cost=(5, 5, 5), lost=True)))
    assert lost == Solution(orders=(), cost=150, bound=150)


def test_a_shortage_says_when_and_how_many_at_least() -> None:
    """3 in month 1 and 3 more in month 2, for 2 in each month from 0 on: 2 lack at once."""
    arriving = {month: Arriving(runs=(far(count=3),)) for month in (1, 2)}
    sources = (Source(name="A", arriving=arriving),)
    assert solve(Problem(demand=(2, 2, 2), sources=sources)) == Shortage(month=0, pieces=2)
    assert solve(Problem(demand=(2, 2, 6), sources=sources, opening=2)) == Shortage(
        month=2, pieces=2
    )
    late = Late(cost=(1, 1, 1))
    assert solve(Problem(demand=(9, 2, 0), sources=sources, late=late)) == Shortage(
        month=2, pieces=5
    )


def test_a_shortage_for_want_of_cover_or_shelf_is_told_apart() -> None:
    covered = {1: Arriving(runs=(far(),), covers=2)}
    problem = Problem(demand=(1, 2), sources=(Source(name="A", arriving=covered),), opening=2)
    assert solve(problem) == Shortage(month=1, pieces=1, why=Why.COVER)
    few = {month: Arriving(runs=(replace(far(), pieces=4, good=4),)) for month in range(2)}
    problem = Problem(demand=(2, 2), sources=(Source(name="A", arriving=few),), shelf=3)
    assert solve(problem) == Shortage(month=0, pieces=2, why=Why.SHELF)


def test_what_lacks_in_a_month_is_reckoned_with_all_earlier_ones_served() -> None:
    """One piece less in an earlier month would spare two in this one."""
    problem = some_problem(3127, Size(months=4, sources=3, orders=4, demand=5, plans=3000))
    found = solve(problem)
    assert found == Shortage(month=2, pieces=3, why=Why.COVER)
    assert shortage_by_brute_force(problem) == (2, 3)


def bought(run: Run, **terms: int) -> Problem:
    source = Source(name="A", arriving={0: Arriving(runs=(run,), **terms)})
    return Problem(demand=(3,), sources=(source,))


GOOD = Source(name="A", arriving={0: Arriving(runs=(far(),))})


@pytest.mark.parametrize(
    ("problem", "words"),
    [
        (bought(far(5), left=-6), "A, month 0: an order that nobody needs costs less than nothing"),
        (
            bought(replace(far(5, count=3), cost=50), left=-6),
            "A, month 0: a piece more than needed costs less than nothing",
        ),
        (bought(replace(far(), pieces=0)), "A, month 0: an order of nothing"),
        (bought(replace(far(), pieces_step=0)), "A, month 0: a run that does not grow"),
        (bought(far(), waits=-1), "A, month 0: waits or cover is below nothing"),
        (Problem(demand=(1,), sources=(GOOD, GOOD)), "two sources have one name"),
        (Problem(demand=(-1,), sources=()), "demand, opening or shelf is below nothing"),
        (
            Problem(demand=(1,), sources=(replace(GOOD, arriving={1: GOOD.arriving[0]}),)),
            "A: month 1 is not in the plan",
        ),
        (
            Problem(demand=(1,), sources=(replace(GOOD, once={"die": (1, 2)}),)),
            "A: die: 2 costs for 1 months",
        ),
        (
            Problem(demand=(1,), sources=(replace(GOOD, once={"die": (-1,)}),)),
            "A: die: a cost is below nothing",
        ),
    ],
)
def test_a_problem_that_cannot_be_meant_is_refused(problem: Problem, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        solve(problem)
