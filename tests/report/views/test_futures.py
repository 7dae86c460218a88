"""What is told of all futures: chances that add up, never none or all unless it is so."""

from __future__ import annotations

import re
from fractions import Fraction

import numpy as np
import pytest

from quotegen.judge.futures.follow import Followed
from quotegen.judge.futures.outlook import Outlook, routes_over
from quotegen.report.views.change import changes
from quotegen.report.views.futures import FuturesView, cheapest_of_hundred, futures_view, in_steps
from tests.folders import Result, a_quote, a_tool, an_item
from tests.judge.futures.cases import MILL, found


def _outlook(wins: dict[str, int]) -> Outlook:
    """So many futures in which each route is the cheapest."""
    count, start, many = sum(wins.values()), 0, {}
    for name, won in wins.items():
        cost = np.full(count, 9.0)
        cost[start : start + won] = 1.0
        start += won
        many[name] = Followed(cost=cost, late=np.zeros(count, dtype=np.int32))
    routes = {each.name: each for each in routes_over(many)}
    return Outlook(routes=routes, futures=count, months=1, level_mean=1.0)


def test_the_chances_of_all_routes_add_up_to_a_hundred() -> None:
    """77.6, 2.6 and 19.8 of 100 would be 80, 5 and 20 each by itself."""
    told = cheapest_of_hundred(_outlook({"a": 776, "b": 26, "c": 198}))
    assert told == {"a": "80", "b": "fewer than 5", "c": "20"}


@pytest.mark.parametrize(
    ("wins", "told"),
    [
        ({"a": 1000, "b": 0}, {"a": "100", "b": "0"}),
        ({"a": 984, "b": 16}, {"a": "more than 95", "b": "fewer than 5"}),
        ({"a": 998, "b": 2}, {"a": "more than 99", "b": "fewer than one"}),
    ],
)
def test_none_and_all_are_said_only_where_it_is_so(
    wins: dict[str, int], told: dict[str, str]
) -> None:
    assert cheapest_of_hundred(_outlook(wins)) == told


def test_what_would_be_printed_as_nothing_is_less_than_a_step() -> None:
    told = [in_steps(Fraction(each), 10) for each in (0, 3, 8, 1234)]
    assert told == ["0", "less than 10", "10", "1,230"]


@pytest.fixture(scope="module")
def waiting() -> Result:
    """A dear die and a demand that may be small or large: it pays to wait for sales."""
    die = a_tool("3500 EUR", takes="60 days", sample_takes="10 days")
    foundry = a_quote("foss-1", an_item("5 EUR per 1", tools=[die], multiple="12"))
    demand = {"low": "6", "likely": "24", "high": "240"}
    return found(MILL, foundry, demand=demand, workshop={"planning_months": "48"})


@pytest.fixture(scope="module")
def staged(waiting: Result) -> FuturesView:
    view = futures_view(waiting.comparison, waiting.advice)
    assert view is not None
    return view


def test_the_staged_way_is_a_row_among_the_routes(staged: FuturesView) -> None:
    names = [row.cells[0].text for row in staged.routes.table.rows]
    smalls = [row.cells[0].small for row in staged.routes.table.rows]
    assert any("wax die once" in small and "are sold" in small for small in smalls)
    assert sorted(names) == ["Machine", "Machine", "Machine, wax die later"]


def test_the_staged_way_is_told_beside_the_recommended_route(staged: FuturesView) -> None:
    (told,) = [each for each in staged.trigger if each.startswith("Followed through all futures")]
    assert re.search(r"this way costs [\d,]+ EUR on average, [\d,]+ EUR less than \w+ at ", told)


def test_the_drawing_has_a_line_for_every_row_of_the_table(staged: FuturesView) -> None:
    assert staged.routes.svg.count("<circle") == len(staged.routes.table.rows)


def test_what_would_change_it_names_the_sales_that_the_tool_waits_for(waiting: Result) -> None:
    (fact,) = [
        each for each in changes(waiting.comparison, waiting.advice) if "sold by" in each.label
    ]
    assert re.fullmatch(r"\d+ pieces sold by \d+ \w+ 20\d\d", fact.label)
    assert fact.text == "order the wax die, and not before"
