"""recost against plans reckoned by hand, and what it refuses."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

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


def each(most: int = 9, price: int = 10, fixed: int = 0, rejects: int = 0) -> Run:
    """Orders of 1 to most pieces at a price, the same number of each of them rejected."""
    return Run(
        count=most - rejects,
        pieces=1 + rejects,
        pieces_step=1,
        good=1,
        good_step=1,
        cost=fixed + price * (1 + rejects),
        cost_step=price,
        counted=price * (1 + rejects),
        counted_step=price,
    )


def every_month(months: int, arriving: Arriving) -> dict[int, Arriving]:
    return dict.fromkeys(range(months), arriving)


def a_source(name: str = "A", months: int = 3, **changes: object) -> Source:
    arriving = {"runs": (each(),), **changes}
    return Source(name=name, arriving=every_month(months, Arriving(**arriving)))  # type: ignore[arg-type]


THREE = Problem(demand=(2, 2, 2), sources=(a_source(),))
ALL_AT_ONCE = (Placed(0, "A", 6),)


def test_an_order_costs_what_its_run_says() -> None:
    orders = (Placed(0, "A", 2), Placed(1, "A", 2), Placed(2, "A", 2))
    assert recost(THREE, orders) == 60


def test_each_piece_waits_until_it_is_used_first_in_first_out() -> None:
    """Two are used at once, two wait one month, two wait two: 6 months at 3."""
    problem = replace(THREE, sources=(a_source(waits=3),))
    assert recost(problem, ALL_AT_ONCE) == 60 + 6 * 3


def test_stock_on_hand_is_used_first_and_costs_nothing() -> None:
    """Of six, one is used at once, two wait one month, two wait two, and one is left over."""
    problem = replace(THREE, sources=(a_source(waits=3, left=7),), opening=1)
    assert recost(problem, ALL_AT_ONCE) == 60 + (0 + 2 * 1 + 2 * 2) * 3 + 7


def test_a_piece_that_is_left_over_costs_left_and_no_waiting() -> None:
    problem = replace(THREE, sources=(a_source(waits=3, left=-4),))
    assert recost(problem, (Placed(0, "A", 8),)) == 80 + 6 * 3 - 2 * 4


def test_two_that_arrive_together_queue_as_the_problem_names_them() -> None:
    """B comes first, so that A's two pieces wait: two months for 3 each."""
    first, second = a_source("B", waits=1), a_source("A", waits=3)
    problem = Problem(demand=(2, 0, 2), sources=(first, second))
    orders = (Placed(0, "A", 2), Placed(0, "B", 2))
    assert recost(problem, orders) == 40 + 2 * 2 * 3
    assert recost(replace(problem, sources=(second, first)), orders) == 40 + 2 * 2 * 1


def with_tool(name: str, *costs: int, thing: str = "die", first: int = 0) -> Source:
    return replace(a_source(name), once={thing: costs}, first=first)


def test_a_thing_is_paid_once_by_the_first_that_needs_it() -> None:
    problem = replace(THREE, sources=(with_tool("A", 100, 90, 80), with_tool("B", 70, 60, 50)))
    together = (Placed(0, "A", 1), Placed(0, "B", 1))
    later = (Placed(1, "B", 2), Placed(2, "A", 2))
    assert recost(problem, (*together, *later)) == 60 + 100
    assert recost(problem, (Placed(0, "B", 2), *later)) == 60 + 70
    assert recost(replace(problem, owned=frozenset({"die"})), (*together, *later)) == 60


def test_late_pieces_are_charged_each_month_until_they_come() -> None:
    """2 lack after month 0 at 5, 4 after month 1 at 6; then 6 come at once."""
    problem = replace(THREE, late=Late(cost=(5, 6, 7)), sources=(a_source(waits=3),))
    assert recost(problem, (Placed(2, "A", 6),)) == 60 + 2 * 5 + 4 * 6


def test_lost_pieces_are_charged_once_and_never_come() -> None:
    problem = replace(THREE, late=Late(cost=(5, 6, 7), lost=True))
    assert recost(problem, (Placed(1, "A", 3),)) == 30 + 2 * 5 + 1 * 7


def test_a_tool_is_replaced_by_the_order_that_passes_its_life_rejects_counted() -> None:
    """9 pieces, 3 of them rejected: 4 to each tool, so that a second and a third are needed."""
    source = a_source(runs=(each(rejects=3),))
    wear = Wear(tool="die", sources=frozenset({"A"}), life=4, replacement=(50, 40, 30))
    problem = replace(THREE, sources=(source,), wears=(wear,))
    assert recost(problem, (Placed(0, "A", 9),)) == 90 + 2 * 50
    two = (Placed(0, "A", 4), Placed(0, "B", 1), Placed(1, "A", 8))
    both = replace(problem, sources=(source, a_source("B")))
    assert recost(both, two) == 40 + 10 + 80 + 2 * 40


@pytest.mark.parametrize(
    ("amount", "owed", "by_value", "cost"),
    [
        (6, Fraction(9), False, 0),
        (10, Fraction(9), False, 36),
        (61, Fraction(1, 2), True, 1),  # halves go up
        (60, Fraction(1, 2), True, 0),
        (62, Fraction(2, 3), True, 1),
        (6, None, False, 0),
    ],
)
def test_what_is_missing_from_a_commitment_is_owed(
    amount: int, owed: Fraction | None, by_value: bool, cost: int
) -> None:
    held = Commitment(source="A", amount=amount, owed=owed, by_value=by_value)
    assert recost(replace(THREE, commitments=(held,)), ALL_AT_ONCE) == 60 + cost


def test_a_commitment_with_a_source_that_is_not_used_holds_nothing() -> None:
    held = Commitment(source="B", amount=10, owed=None)
    problem = replace(THREE, sources=(*THREE.sources, a_source("B")), commitments=(held,))
    assert recost(problem, ALL_AT_ONCE) == 60


def test_a_share_is_of_all_good_parts_of_a_supplier() -> None:
    share = Share(most=Fraction(1, 2), suppliers={"A": "east", "B": "east", "C": "west"})
    sources = tuple(a_source(name) for name in "ABC")
    problem = replace(THREE, sources=sources, share=share)
    even = (Placed(0, "A", 2), Placed(0, "C", 3), Placed(1, "B", 1))
    assert recost(problem, even) == 60
    with pytest.raises(ValueError, match="'east' brings 4 of 6"):
        recost(problem, (Placed(0, "A", 2), Placed(0, "C", 2), Placed(1, "B", 2)))


COVERED = {
    0: Arriving(runs=(each(),), covers=1, covers_first=3),
    1: Arriving(runs=(each(),), covers=2, covers_first=3),
}
TOOLED = Source(name="A", arriving=COVERED, once={"die": (1, 1, 1)}, first=1)


@pytest.mark.parametrize(
    ("changes", "orders", "words"),
    [
        ({}, [(0, "B", 6)], "no source 'B'"),
        ({}, [(3, "A", 6)], "month 3: after the last month"),
        ({}, [(0, "A", 3), (0, "A", 3)], "two orders with one source in one month"),
        ({}, [(0, "A", 10)], "month 0: 'A' has no order of 10 pieces"),
        (
            {"sources": (a_source(months=1),)},
            [(0, "A", 2), (1, "A", 2)],
            "month 1: nothing can arrive from 'A'",
        ),
        ({}, [(0, "A", 5)], "month 2: 1 pieces lack"),
        ({"late": Late(cost=(0, 0, 0))}, [(0, "A", 5)], "month 2: 1 pieces lack"),
        ({"shelf": 5}, [(0, "A", 6)], "month 0: 6 on a shelf for 5"),
        ({"sources": (TOOLED,), "opening": 5}, [(0, "A", 1)], "month 0: 'A' has to wait for its"),
        ({"sources": (TOOLED,), "opening": 4}, [(1, "A", 2)], "month 1: 2 on hand, 'A' asks for 3"),
        (
            {"sources": (TOOLED,), "owned": frozenset({"die"})},
            [(0, "A", 6)],
            "month 0: 0 on hand, 'A' asks for 1",
        ),
        (
            {"commitments": (Commitment(source="A", amount=7, owed=None),)},
            [(0, "A", 6)],
            "'A' gets 6, less than agreed",
        ),
    ],
)
def test_orders_that_are_not_allowed_are_refused_with_the_reason(
    changes: dict[str, object], orders: list[tuple[int, str, int]], words: str
) -> None:
    problem = replace(THREE, **changes)  # type: ignore[arg-type]
    with pytest.raises(ValueError, match=words):
        recost(problem, [Placed(*order) for order in orders])


def test_the_cover_is_what_is_there_before_anything_arrives_in_the_month() -> None:
    """B's order in the same month is no cover for A's."""
    covered = Arriving(runs=(each(),), covers=2)
    problem = Problem(
        demand=(1, 1), sources=(a_source("B"), Source(name="A", arriving={1: covered})), opening=2
    )
    with pytest.raises(ValueError, match="month 1: 1 on hand, 'A' asks for 2"):
        recost(problem, [Placed(1, "B", 5), Placed(1, "A", 1)])
