"""What is told of all futures: chances that add up, never none or all unless it is so."""

from __future__ import annotations

import numpy as np
import pytest

from quotegen.judge.futures.follow import Followed
from quotegen.judge.futures.outlook import Outlook, Steps, routes_over
from quotegen.report.views.futures import cheapest_of_hundred


def _outlook(wins: dict[str, int]) -> Outlook:
    """So many futures in which each route is the cheapest."""
    count, start, many = sum(wins.values()), 0, {}
    for name, won in wins.items():
        cost = np.full(count, 9.0)
        cost[start : start + won] = 1.0
        start += won
        many[name] = Followed(cost=cost, late=np.zeros(count, dtype=np.int32))
    routes = {each.name: each for each in routes_over(many)}
    steps = Steps(mean=1, tails=1, regret=1, worst=1)
    return Outlook(routes=routes, futures=count, months=1, level_mean=1.0, steps=steps)


def test_the_chances_of_all_routes_add_up_to_a_hundred() -> None:
    """76.6, 2.6 and 20.8 of 100 would be 77, 3 and 21 each by itself."""
    told = cheapest_of_hundred(_outlook({"a": 766, "b": 26, "c": 208}))
    assert told == {"a": "77", "b": "2", "c": "21"}


@pytest.mark.parametrize(
    ("wins", "told"),
    [
        ({"a": 1000, "b": 0}, {"a": "100", "b": "0"}),
        ({"a": 998, "b": 2}, {"a": "more than 99", "b": "fewer than one"}),
    ],
)
def test_none_and_all_are_said_only_where_it_is_so(
    wins: dict[str, int], told: dict[str, str]
) -> None:
    assert cheapest_of_hundred(_outlook(wins)) == told
