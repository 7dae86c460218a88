"""Three quantities that are easily taken for one another, by figures of our own.

2,200 first and 13.90 each in trees of 14, 56 at least, against 31.40 each; one order each.
2,200 / (31.40 - 13.90) is 880/7, so 125.71: the textbook's parity, and 126 the first whole number
above it. Nine trees of 14 are just 126 pieces, so that pouring is cheaper there, and dearer again
from 127 on until 133, where ten trees are cheaper and stay so. With the first 62 printed
while the die is made, the whole route is cheaper only from 195 on.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from quotegen.judge.reasons import headline, reasons_for
from tests.folders import (
    Forms,
    a_part,
    a_quote,
    a_supplier,
    a_tool,
    an_item,
    forms,
    printed_for,
    result_of,
)

PRINT = a_quote("oak-1", an_item("31.40 EUR per 1"))
POUR = an_item(
    "13.90 EUR per 1", minimum="56", multiple="14", multiple_is="tree", tools=[a_tool("2200 EUR")]
)
DEMAND = {"low": "150", "likely": "300", "high": "365"}
SUPPLIERS = {
    "oak": a_supplier(name="Oak", processes=["metal printing"]),
    "ash": a_supplier(name="Ash", processes=["investment casting"]),
}


@pytest.fixture
def in_time() -> Forms:
    """294 are 21 trees, so that no print is wanted beside the castings."""
    part = a_part(demand=DEMAND | {"likely": "294"}, lot="1000")
    return forms(PRINT, a_quote("ash-1", POUR), part=part, suppliers=SUPPLIERS)


@pytest.fixture
def late() -> Forms:
    """The castings come on 2 March at the earliest, 52 days after the first looms need them.

    Planned for the month from 9 March: 50 are used before, and 365 a year would take 65/300 of
    that more, 11; 61 prints would leave 239 to pour, one more than 17 trees, and so there are 62.
    """
    cast = a_quote("ash-1", POUR | {"lead time": "120 days"})
    part = a_part(demand=DEMAND, lot="1000", needed_by="2027-01-09")
    return forms(PRINT, cast, part=part, suppliers=SUPPLIERS)


def test_pouring_alone_is_cheaper_from_133_and_its_parity_is_another_number(
    in_time: Forms, tmp_path: Path
) -> None:
    found = printed_for(in_time, tmp_path)
    (break_even,) = found["break_even"]
    assert break_even["parity"] == "880/7"
    assert break_even["first_cheaper"] == 133
    assert break_even["crossings"] == [
        {"at": 126, "cheaper": "tooled"},
        {"at": 127, "cheaper": "untooled"},
    ]
    assert found["cheapest"] == [
        {"from": 1, "to": 125, "quote": "oak/oak-1"},
        {"from": 126, "to": 126, "quote": "ash/ash-1"},
        {"from": 127, "to": 132, "quote": "oak/oak-1"},
        {"from": 133, "to": None, "quote": "ash/ash-1"},
    ]


def test_with_62_prints_first_the_route_is_cheaper_from_195(late: Forms, tmp_path: Path) -> None:
    """62 x 31.40 + 2,200 + 140 x 13.90 = 6,092.80; 194 prints are 6,091.60, 195 are 6,123.00."""
    found = printed_for(late, tmp_path)
    (break_even,) = found["break_even"]
    assert break_even["tooled"] == "oak/oak-1 then ash/ash-1"
    assert break_even["parity"] == "880/7"
    assert break_even["first_cheaper"] == 195
    assert found["recommendation"]["route"] == ["oak/oak-1", "ash/ash-1"]
    assert found["recommendation"]["bridge"] == 62
    assert 133 not in {span["from"] for span in found["cheapest"]}


def test_headline_and_reasons_speak_of_one_route(late: Forms) -> None:
    """A page that prints 126 or 133 beside this headline is wrong."""
    found = result_of(late)
    assert headline(found.comparison, found.advice) == (
        "Pour the pawl. Print the first 62 while the wax die is made."
    )
    said = " ".join(reasons_for(found.comparison, found.advice))
    assert "195" in said
    assert "125.71" in said
    assert "126" not in said
    assert "133" not in said


def test_all_in_spreads_the_tool_and_a_later_casting_does_not(late: Forms) -> None:
    """300 parts: 62 prints, 2,200, and 17 trees of 14, 238: 7,455.00 or 24.85 each."""
    advice = result_of(late).advice
    assert advice.cost is not None
    assert float(advice.cost.each) == 24.85
    assert float(advice.cost.later_each) == 13.9
