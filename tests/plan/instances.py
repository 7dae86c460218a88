"""Random planning problems, every feature on or off, and the plain ways to solve small ones."""

from __future__ import annotations

import itertools
import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from quotegen.plan.problem import (
    Arriving,
    Commitment,
    Late,
    Placed,
    Problem,
    Run,
    Share,
    Source,
    Wear,
)
from quotegen.plan.recost import recost

Order = tuple[int, int, int]  # pieces, good parts, cost


@dataclass(frozen=True, kw_only=True)
class Size:
    """How large a random problem may be; orders counts those of one source in one month."""

    months: int = 3
    sources: int = 2
    orders: int = 3
    demand: int = 4
    plans: int = 1500


TINY = Size()


def runs_of(orders: Sequence[Order], evenly: bool = True) -> tuple[Run, ...]:
    """The orders in runs as long as they get, or in runs of one."""
    found: list[list[Order]] = []
    for order in orders:
        run = found[-1] if found and evenly else []
        steps = {_difference(*pair) for pair in itertools.pairwise([*run, order])}
        falling = order[2] < found[-1][-1][2] if found else False
        if run and len(steps) == 1 and not (falling and len(run) > 1):
            run.append(order)
        else:
            found.append([order])
    return tuple(_run(run) for run in found)


def _difference(first: Order, second: Order) -> Order:
    return second[0] - first[0], second[1] - first[1], second[2] - first[2]


def _run(orders: Sequence[Order]) -> Run:
    pieces, good, cost = orders[0]
    step = _difference(*orders[:2]) if len(orders) > 1 else (0, 0, 0)
    return Run(
        count=len(orders),
        pieces=pieces,
        pieces_step=step[0],
        good=good,
        good_step=step[1],
        cost=cost,
        cost_step=step[2],
        counted=cost,
        counted_step=step[2],
    )


def some_orders(draw: random.Random, most: int) -> list[Order]:
    """A minimum, a multiple, one or two breaks of either kind, a fixed charge, rejects floored."""
    multiple = draw.choice([1, 1, 1, 2, 3])
    least = multiple * draw.randint(1, 3)
    price, lower = draw.randint(5, 20), draw.randint(1, 10)
    breaks = least + draw.randint(0, 4)
    incremental, fixed = draw.random() < 0.5, draw.choice([0, 0, draw.randint(1, 40)])
    rejects = draw.choice([Fraction(0), Fraction(0), Fraction(1, 4), Fraction(1, 10)])
    found = []
    for number in range(draw.randint(1, most)):
        pieces = least + number * multiple
        at_first = min(pieces, breaks) if incremental or pieces < breaks else 0
        cost = fixed + price * at_first + min(price, lower) * (pieces - at_first)
        found.append((pieces, int(pieces * (1 - rejects)), cost))
    return found


def some_arriving(draw: random.Random, size: Size, month: int, covered: bool) -> Arriving:
    orders = some_orders(draw, size.orders)
    runs = runs_of(orders, evenly=draw.random() < 0.8)
    waits = draw.choice([0, 1, 2, draw.randint(0, 6)])
    left = waits * (size.months - month) - draw.choice([0, 0, draw.randint(0, 5)])
    each = [cost // good for _, good, cost in orders if good]
    each += [run.cost_step // run.good_step for run in runs if run.count > 2 and run.good_step]
    left = max(left, -min(each, default=0))
    return Arriving(
        runs=runs,
        waits=waits,
        left=left,
        covers=draw.randint(0, 3) if covered else 0,
        covers_first=draw.randint(0, 4) if covered else 0,
    )


def some_source(draw: random.Random, name: str, size: Size, covered: bool) -> Source:
    lead = draw.choice([0, 0, 0, 0, 1, 2])
    months = [month for month in range(lead, size.months) if draw.random() < 0.9]
    things = [thing for thing in ("own " + name, "shared", "rig") if draw.random() < 0.35]
    return Source(
        name=name,
        arriving={month: some_arriving(draw, size, month, covered) for month in months},
        once={thing: _by_month(draw, size, 30) for thing in things},
        first=draw.choice([0, 0, 1, 2]),
    )


def _by_month(draw: random.Random, size: Size, most: int) -> tuple[int, ...]:
    """Costs that mostly fall with the months, as discounted money does."""
    first = draw.randint(0, most)
    if draw.random() < 0.2:
        return tuple(draw.randint(0, most) for _ in range(size.months))
    return tuple(first * 9**month // 10**month for month in range(size.months))


def some_late(draw: random.Random, size: Size) -> Late:
    return Late(cost=_by_month(draw, size, 12), lost=draw.random() < 0.5)


def some_problem(seed: int, most: Size = TINY) -> Problem:
    """One without wear, commitments and share; plans that can be counted, see Size.plans."""
    draw = random.Random(seed)  # noqa: S311
    while True:
        size = replace(
            most, months=draw.randint(2, most.months), sources=draw.randint(1, most.sources)
        )
        covered = draw.random() < 0.4
        sources = tuple(
            some_source(draw, name, size, covered) for name in "ABCDEFGH"[: size.sources]
        )
        problem = Problem(
            demand=_demand(draw, size),
            sources=sources,
            opening=draw.choice([0, 1, draw.randint(0, size.demand)]),
            owned=frozenset({"shared"} if draw.random() < 0.2 else ()),
            late=some_late(draw, size) if draw.random() < 0.35 else None,
            shelf=draw.randint(2, 2 * size.demand) if draw.random() < 0.25 else None,
        )
        if most.plans // 50 <= plans_of(problem) <= most.plans:
            return problem


def _demand(draw: random.Random, size: Size) -> tuple[int, ...]:
    """Often none in the first month, since some sources are slow."""
    first = draw.choice([0, draw.randint(0, size.demand)])
    return (first, *(draw.randint(1, size.demand) for _ in range(size.months - 1)))


def with_memory(problem: Problem, seed: int) -> Problem:
    """The same with some of wear, commitments and a share."""
    draw = random.Random(seed)  # noqa: S311
    names = [source.name for source in problem.sources]
    size = Size(months=len(problem.demand))
    kinds = draw.choice([("wear",), ("wear",), ("owed",), ("share",), ("wear", "owed", "share")])
    wears = [_some_wear(draw, tool, names, size) for tool in ("die", "rig")[: draw.randint(1, 2)]]
    owed = [_some_commitment(draw, draw.choice(names)) for _ in range(draw.randint(1, 2))]
    suppliers = {name: draw.choice(["east", "west"]) for name in names if draw.random() < 0.9}
    share = Share(most=Fraction(draw.randint(4, 9), 10), suppliers=suppliers)
    return replace(
        problem,
        wears=tuple(wears) if "wear" in kinds else (),
        commitments=tuple(owed) if "owed" in kinds else (),
        share=share if "share" in kinds else None,
    )


def _some_wear(draw: random.Random, tool: str, names: Sequence[str], size: Size) -> Wear:
    sources = frozenset(name for name in names if draw.random() < 0.7)
    life = draw.randint(1, 9)
    prices = tuple(draw.randint(0, 40) for _ in range(size.months))
    falling = draw.random() < 0.5
    replacement = _by_month(draw, size, 40) if falling else prices
    return Wear(tool=tool, sources=sources, life=life, replacement=replacement)


def _some_commitment(draw: random.Random, name: str) -> Commitment:
    by_value = draw.random() < 0.5
    owed = draw.choice([None, Fraction(draw.randint(0, 40), draw.randint(1, 6))])
    amount = draw.randint(1, 150 if by_value else 12)
    return Commitment(source=name, amount=amount, owed=owed, by_value=by_value)


def orders_of(arriving: Arriving) -> list[Order]:
    return [
        (
            run.pieces + step * run.pieces_step,
            run.good + step * run.good_step,
            run.cost + step * run.cost_step,
        )
        for run in arriving.runs
        for step in range(run.count)
    ]


def plans_of(problem: Problem) -> int:
    """How many lists of orders there are."""
    found = 1
    for source in problem.sources:
        for arriving in source.arriving.values():
            found *= 1 + sum(run.count for run in arriving.runs)
    return found


def every_plan(problem: Problem) -> Iterator[tuple[Placed, ...]]:
    choices = [
        [(), *((Placed(month, source.name, pieces),) for pieces, _, _ in orders_of(arriving))]
        for month in range(len(problem.demand))
        for source in problem.sources
        if (arriving := source.arriving.get(month)) is not None
    ]
    for chosen in itertools.product(*choices):
        yield tuple(itertools.chain(*chosen))


def by_brute_force(problem: Problem) -> tuple[int, tuple[Placed, ...]] | None:
    """The least cost with the plan that the rule for ties wants; None where no plan is allowed."""
    best = None
    for orders in every_plan(problem):
        try:
            cost = recost(problem, orders)
        except ValueError:
            continue
        rank = (cost, len(orders), _place(problem, orders), orders)
        best = rank if best is None or rank < best else best
    return None if best is None else (best[0], best[3])


def _place(problem: Problem, orders: Sequence[Placed]) -> list[list[tuple[int, int]]]:
    """Smaller for the plan that ties are settled for, once cost and number of orders are equal."""
    rank = []
    for month in range(len(problem.demand)):
        placed = {order.source: order.pieces for order in orders if order.month == month}
        turns = [(0, placed[s.name]) if s.name in placed else (1, 0) for s in problem.sources]
        rank.append(turns if placed else [])
    return rank


def shortage_by_brute_force(problem: Problem) -> tuple[int, int]:
    """The first month that no plan serves, and the least that lacks; for one without a plan."""
    last = len(problem.demand) - 1
    if problem.late is not None:
        return last, min(_lacking(problem, orders) for orders in every_plan(problem))
    for month in range(last + 1):
        cut = [_until(problem, month, less) for less in range(problem.demand[month] + 1)]
        lacking = next(
            (less for less, each in enumerate(cut) if by_brute_force(each) is not None), len(cut)
        )
        if lacking:
            return month, lacking
    raise AssertionError("every month can be served")


def _lacking(problem: Problem, orders: Sequence[Placed]) -> int:
    """How many pieces recost says are missing in the end; very many where it says something else"""
    try:
        recost(problem, orders)
    except ValueError as refused:
        words = str(refused).split()
        return int(words[2]) if words[-1] == "lack" else 10**9
    return 0


def _until(problem: Problem, last: int, less: int) -> Problem:
    """The months up to the last one, in which some pieces less are wanted."""
    sources = tuple(
        replace(source, arriving={m: each for m, each in source.arriving.items() if m <= last})
        for source in problem.sources
    )
    demand = (*problem.demand[:last], problem.demand[last] - less)
    return replace(problem, demand=demand, sources=sources)


def large_problem(
    seed: int,
    months: int,
    sources: int,
    pieces: int,
    *,
    late: bool = False,
    tools: int | None = None,
) -> Problem:
    """Offers with a minimum, a multiple, three tiers, a charge for each order and often a tool.

    One value of stock for all, so that a mixed-integer model can hold it: whatever is not used
    waits to the end. pieces is about the whole demand; the first tools sources need one, else
    about half of them.
    """
    draw = random.Random(seed)  # noqa: S311
    each = max(1, 2 * pieces // months)
    holding = draw.randint(2, 30)
    demand = [draw.randint(0, each) for _ in range(months)]
    demand[: min(2, months - 1)] = [0] * min(2, months - 1)
    found = [
        _large_source(draw, name, demand, holding, place < tools if tools is not None else None)
        for place, name in enumerate("ABCDEFGH"[:sources])
    ]
    return Problem(
        demand=tuple(demand),
        sources=tuple(found),
        opening=draw.choice([0, each // 2]),
        late=Late(cost=(draw.randint(200, 900),) * months) if late else None,
    )


def _large_source(
    draw: random.Random, name: str, demand: Sequence[int], holding: int, tooled: bool | None
) -> Source:
    months, total = len(demand), sum(demand)
    multiple, lead = draw.choice([1, 1, 1, 2, 5]), draw.randint(0, 2)
    runs = _tiers(draw, multiple, max(1, total))
    tool = draw.random() < 0.5 if tooled is None else tooled
    price = draw.randint(50, 200) * max(1, total) // 10
    return Source(
        name=name,
        arriving={
            month: Arriving(runs=runs, waits=holding, left=holding * (months - month))
            for month in range(lead, months)
        },
        once={"tool " + name: tuple(price - price * month // 200 for month in range(months))}
        if tool
        else {},
    )


def _tiers(draw: random.Random, multiple: int, total: int) -> tuple[Run, ...]:
    """Prices that fall, for all units or for those beyond the break; the last tier goes on."""
    fixed, price = draw.randint(20, 60) * 50, draw.randint(300, 900)
    incremental, first = draw.random() < 0.5, draw.randint(1, 5)
    starts = [first, first + max(1, total // 20), first + max(2, total // 5), 3 * total + first]
    found, before = [], 0
    for start, beyond in itertools.pairwise(starts):
        lots = range(-(-start // multiple), -(-beyond // multiple))
        if lots:
            least = lots[0] * multiple
            cost = fixed + price * least + (before if incremental else 0)
            found.append(
                Run(
                    count=len(lots),
                    pieces=least,
                    pieces_step=multiple,
                    good=least,
                    good_step=multiple,
                    cost=cost,
                    cost_step=price * multiple,
                )
            )
        lower = price * draw.randint(80, 98) // 100
        before, price = before + (price - lower) * (beyond - 1), lower
    return tuple(found)
