"""What would change the answer, in words, in a table, in pictures and as JSON."""

from __future__ import annotations

from typing import Any

import pytest

from quotegen.judge.studied import PartStudy
from quotegen.judge.turning.over_two import Turned
from quotegen.report.turning_json import turning_as_json
from quotegen.report.views.change import changes
from quotegen.report.views.turning import TurningView, turning_facts, turning_view
from tests.folders import Forms, a_part, a_quote, a_supplier, a_tool, an_item, forms, result_of


def studied(content: Forms) -> PartStudy:
    result = result_of(content)
    turned = Turned(comparison=result.comparison, planning=result.planning, advice=result.advice)
    return PartStudy(
        part="p",
        comparison=result.comparison,
        planning=result.planning,
        advice=result.advice,
        turned=turned,
    )


def view(content: Forms) -> TurningView:
    part = studied(content)
    found = turning_view(part.comparison, part.advice, part.turned)
    assert found is not None
    return found


def die() -> Forms:
    """Die 880 and castings of 3, machining at 10, 200 a year; neither money nor room costs."""
    casting = an_item("3 EUR per 1", process="investment casting", tools=[a_tool("880 EUR")])
    return forms(
        a_quote("foss-7", casting),
        a_quote("mill-2", an_item("10 EUR per 1", process="machining")),
        part=a_part(200),
        suppliers={
            "foss": a_supplier(name="Foss Castings", processes=["investment casting"]),
            "mill": a_supplier(name="Mill Lane"),
        },
    )


@pytest.fixture(scope="module")
def shown() -> TurningView:
    return view(die())


def test_the_intro_says_at_which_demand_and_what_is_advised_there(shown: TurningView) -> None:
    assert shown.intro == (
        "At the likely demand over 12 months, one figure changed and all others kept: pour at "
        "Foss Castings."
    )


def test_a_sentence_says_the_value_and_what_to_do_beyond_it(shown: TurningView) -> None:
    """1,480 against 2,000: see the sums in tests/judge/turning."""
    assert (
        "If the wax die of Foss Castings costs more than 1,342 EUR, it is too close to call; "
        "above 1,460 EUR, machine at Mill Lane." in shown.told
    )
    assert shown.told[0] == (
        "If Mill Lane asks less than 7.62 EUR each, it is too close to call; below 7.18 EUR each, "
        "machine at Mill Lane."
    )


def test_every_figure_has_its_place_its_range_and_every_stretch(shown: TurningView) -> None:
    assert shown.chart is not None
    (row,) = [r for r in shown.chart.table.rows if r.cells[0].text.startswith("Price of the wax")]
    assert [each.text for each in row.cells] == [
        "Price of the wax die of Foss Castings",
        "880 EUR",
        (
            "0 to 1,342 EUR: pour at Foss Castings; 1,342 to 1,460 EUR: too close to call; "
            "1,460 to 3,520 EUR: machine at Mill Lane"
        ),
        "1,400 EUR: machine at Mill Lane",
        "exact",
    ]
    assert row.cells[0].small == "range: 0 to 3,520 EUR"
    assert row.cells[1].small == "foss-7.yaml"


def test_figures_that_cannot_turn_it_are_named_once(shown: TurningView) -> None:
    assert shown.nothing.startswith("No value in its range changes the answer: ")
    assert "wax die" not in shown.nothing


def test_the_map_says_who_wins_at_every_price_for_each_demand(shown: TurningView) -> None:
    """Die and castings against machining: d + 3 N and 10 N meet at 7 N."""
    assert shown.over_two is not None
    texts = {row.cells[0].text: row.cells[1].text for row in shown.over_two.table.rows}
    for demand, price in (("100", "700"), ("200", "1,400"), ("400", "2,800")):
        assert texts[demand] == (
            f"0 EUR to {price} EUR: pour at Foss Castings; {price} EUR to 3,520 EUR: machine at "
            "Mill Lane"
        )
    assert "B machine at Mill Lane" in shown.over_two.svg
    assert "<path" in shown.over_two.svg  # a hatch, so that a grey copy tells them apart


def test_what_would_change_it_speaks_with_one_voice() -> None:
    """The plain comparison's own values are not told beside those of the plans."""
    part = studied(die())
    facts = changes(part.comparison, part.advice, part.turned)
    told = turning_facts(part.comparison, part.turned)
    assert facts[: len(told)] == told
    assert not any("in 12 months" in fact.label for fact in facts)


def test_where_no_value_changes_the_answer_the_table_stands_alone() -> None:
    found = view(
        forms(
            a_quote("ash-1", an_item("1 EUR per 1")),
            a_quote("elm-1", an_item("100 EUR per 1")),
            part=a_part(50),
        )
    )
    assert (found.told, found.chart) == ((), None)
    assert found.table is not None
    assert {row.cells[2].text for row in found.table.rows} == {"no value changes it"}


def test_without_a_plan_there_is_no_view_and_json_says_null() -> None:
    part = studied(forms(part=a_part(10)))
    assert turning_view(part.comparison, part.advice, part.turned) is None
    assert turning_as_json(part.turned) is None


def test_json_has_every_stretch_with_exact_ends() -> None:
    found = turning_as_json(studied(die()).turned)
    assert found is not None
    (tool,) = [each for each in found["figures"] if each["figure"] == "tool price"]
    stretches: list[dict[str, Any]] = tool["stretches"]
    assert [(each["outcome"], each["cheapest"]) for each in stretches] == [
        ("chosen", "foss/foss-7"),
        ("too close to call", "foss/foss-7"),
        ("too close to call", "mill/mill-2"),
        ("chosen", "mill/mill-2"),
    ]
    assert [each["to"] for each in stretches[1:3]] == ["1400", "1460"]
    assert tool["exactness"] == "exact"
    assert tool["place"] == "foss-7.yaml"
    demands = found["over_demand_and_tool_price"]["demands"]
    assert [each["demand"] for each in demands] == [100, 200, 300, 400]
