"""Every value at which the answer turns, against sums by hand and against brute force."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from quotegen.judge.advice import Outcome
from quotegen.judge.turning.answer import Judge, Told
from quotegen.judge.turning.changes import monthly
from quotegen.judge.turning.figure import Exact, Shape, Sort, joined
from quotegen.judge.turning.turning import bench_of
from quotegen.plan.plan import Plan
from tests.folders import (
    Forms,
    a_part,
    a_quote,
    a_supplier,
    a_tool,
    a_workshop,
    an_item,
    forms,
    result_of,
)
from tests.judge.turning.oracle import bench, brute, one, said, turning_of, turnings

TINY = Fraction(1, 10**4)  # of the present value; roundings of a plan reach a tenth of it


def die_or_none(die: str = "880 EUR", *, machined: str = "10", margin: str = "3 %") -> Forms:
    """A die and castings of 3 against machining at 10; 200 a year at once: 1,480 and 2,000."""
    casting = an_item("3 EUR per 1", process="investment casting", tools=[a_tool(die)])
    return forms(
        a_quote("foss-7", casting),
        a_quote("mill-2", an_item(f"{machined} EUR per 1")),
        workshop=a_workshop(close_call=margin),
        part=a_part(200),
    )


def test_the_price_of_a_die_at_which_the_answer_turns_is_the_one_reckoned_by_hand() -> None:
    """Die and castings cost d + 600, machining 2,000; within 3 % is too close to call.

    2,000 = 1.03 (d + 600) at 1,341.75; d + 600 = 2,000 at 1,400; d + 600 = 1.03 x 2,000 at 1,460.
    """
    found = turning_of(die_or_none(), Sort.TOOL)
    assert found.exact is Exact.EXACT
    assert [(each.answer.outcome, each.answer.cheapest) for each in found.stretches] == [
        (Outcome.CHOSEN, "foss/foss-7"),
        (Outcome.TIE, "foss/foss-7"),
        (Outcome.TIE, "mill/mill-2"),
        (Outcome.CHOSEN, "mill/mill-2"),
    ]
    ends = [each.last for each in found.stretches]
    assert ends == pytest.approx([Fraction(2000, 1) / Fraction(103, 100) - 600, 1400, 1460, 3520])
    advice = found.turns(of_advice=True)
    assert [(each.value, each.answer.outcome) for each in advice] == [
        (ends[0], Outcome.TIE),
        (ends[2], Outcome.CHOSEN),
    ]
    (cheapest,) = found.turns(of_advice=False)
    assert (cheapest.value, cheapest.answer.cheapest) == (ends[1], "mill/mill-2")
    assert found.nearest == pytest.approx(ends[0] / 880 - 1)


@pytest.mark.parametrize(
    ("die", "outcome", "route"),
    [
        ("1341.74 EUR", Outcome.CHOSEN, "foss/foss-7"),
        ("1341.75 EUR", Outcome.TIE, None),
        ("1460.00 EUR", Outcome.TIE, None),
        ("1460.01 EUR", Outcome.CHOSEN, "mill/mill-2"),
    ],
)
def test_the_whole_study_says_the_same_just_below_and_just_above(
    die: str, outcome: Outcome, route: str | None
) -> None:
    """Other forms, read and planned from the beginning."""
    found = result_of(die_or_none(die)).advice
    assert found.outcome is outcome
    if route is not None:
        assert found.route is not None
        assert found.route.name == route


def rate_case(rate: str = "0.50") -> Forms:
    """100 good parts, finished by us at 3 EUR each; prices in pounds.

    Ash: 7 GBP each and 100 EUR once: 700 r + 400. Elm: 10 GBP each, 1,000 r + 300, or 200 pieces
    at 2 GBP, all of them finished, 400 r + 600. Elm is cheaper below 1/3 and above 2/3.
    """
    once = {"what": "programming", "amount": "100 EUR", "per": "once"}
    elm = an_item({1: "10 GBP per 1", 200: "2 GBP per 1"})
    return forms(
        a_quote("ash-1", an_item("7 GBP per 1", charges=[once]), currency="GBP"),
        a_quote("elm-1", elm, currency="GBP"),
        workshop=a_workshop(
            close_call="0 %",
            rates=[{"one": "GBP", "is worth": f"{rate} EUR", "on": "2026-10-30", "source": "t"}],
            completion=[{"operation": "deburring", "price": "3 EUR per 1", "source": "t"}],
        ),
        part=a_part(100, operations=["deburring"]),
    )


def test_a_route_that_wins_below_and_above_is_found_on_both_sides() -> None:
    """A search by halves between the two ends would find no turn at all."""
    found = turning_of(rate_case(), Sort.RATE)
    assert [each.answer.cheapest for each in found.stretches] == [
        "elm/elm-1",
        "ash/ash-1",
        "elm/elm-1",
    ]
    assert [each.last for each in found.stretches] == pytest.approx([1 / 3, 2 / 3, 1])
    assert {each.upwards for each in found.turns(of_advice=True)} == {False, True}


def trees(likely: int = 70) -> Forms:
    """Castings come in fifties at 8; machined ones at 10 each. Beginning costs 1,000 with either.

    In fifties: 400, 800, 1,200, 1,600. So fifties win, or draw and are named first, from 40 to 50,
    80 to 100 and 120 to 140; machining wins between, up to twice the likely demand.
    """
    once = {"what": "programming", "amount": "1000 EUR", "per": "once"}
    return forms(
        a_quote("foss-1", an_item("8 EUR per 1", multiple="50", charges=[once])),
        a_quote("mill-1", an_item("10 EUR per 1", charges=[once])),
        workshop=a_workshop(close_call="0 %"),
        part=a_part(likely, demand={"low": "40", "likely": str(likely), "high": "80"}),
    )


def test_every_interval_of_demand_is_found_where_trees_make_the_answer_come_and_go() -> None:
    found = turning_of(trees(), Sort.DEMAND)
    alike = joined(found.stretches, lambda answer: answer.cheapest)
    foss = [(s.first, s.last) for s in alike if s.answer.cheapest == "foss/foss-1"]
    assert foss == [(40, 50), (80, 100), (120, 140)]


def test_no_value_does() -> None:
    content = forms(
        a_quote("ash-1", an_item("1 EUR per 1")),
        a_quote("elm-1", an_item("100 EUR per 1")),
        part=a_part(50),
    )
    found = turnings(content)
    assert found.figures
    assert all(each.nearest is None for each in found.figures)
    assert all(len(each.stretches) == 1 for each in found.figures)


def test_figures_stand_in_the_order_of_how_near_their_turning_lies() -> None:
    found = turnings(die_or_none())
    near = [each.nearest for each in found.figures]
    known = [each for each in near if each is not None]
    assert known == sorted(known)
    assert near[len(known) :] == [None] * (len(near) - len(known))
    assert found.figures[0].figure.sort is Sort.PRICE
    assert found.figures[0].figure.subject == "Mill"


def test_an_open_offer_that_becomes_cheap_enough_keeps_us_from_ordering() -> None:
    """Elm, for another revision, blocks below 97 % of 1,000: from 9.70 a piece down."""
    content = forms(
        a_quote("ash-1", an_item("10 EUR per 1")),
        a_quote("elm-1", an_item("12 EUR per 1", revision="B")),
        part=a_part(100),
    )
    found = turning_of(content, Sort.PRICE, "Elm")
    (turn,) = found.turns(of_advice=True)
    assert turn.value == pytest.approx(9.7)
    assert (turn.upwards, turn.answer.outcome) == (False, Outcome.UNKNOWN)


def test_a_budget_for_tools_ends_a_route_where_the_die_becomes_too_dear() -> None:
    """1,000 EUR a year: from 1,001 on the die cannot be paid, though it would still pay off."""
    content = die_or_none()
    limited = Forms(
        workshop=a_workshop(tooling_budget="1000 EUR"),
        parts=content.parts,
        suppliers=content.suppliers,
        quotes=content.quotes,
    )
    found = turning_of(limited, Sort.TOOL)
    assert found.exact is Exact.STEP
    (turn,) = found.turns(of_advice=True)
    assert (turn.value, turn.answer.cheapest) == (1001, "mill/mill-2")


@pytest.mark.parametrize(
    ("sort", "subject", "text", "value"),
    [
        (Sort.PRICE, "Foss", "3.50 EUR per 1", Fraction(7, 2)),
        (Sort.TOOL, "Foss", "1234.56 EUR", Fraction("1234.56")),
        (Sort.LIFE, "Foss", "77", Fraction(77)),
        (Sort.MINIMUM, "Foss", "31", Fraction(31)),
        (Sort.REJECTS, "Foss", "8 %", Fraction(8, 100)),
        (Sort.MONEY, "", "11 % a year", Fraction(11, 100)),
        (Sort.DESIGN, "", "70 % a year", monthly(Fraction(7, 10))),
        (Sort.DEMAND, "", "150", Fraction(150)),
        (Sort.FREIGHT, "NL", "55 EUR", Fraction(55)),
        (Sort.COMPLETION, "deburring", "4.40 EUR per 1", Fraction("4.4")),
        (Sort.RATE, "GBP", "1.40 EUR", Fraction("1.4")),
        (Sort.DUTY, "GB", "9 %", Fraction(9, 100)),
        (Sort.LEAD, "Foss", "40 working days", Fraction(40)),
        (Sort.MINIMUM_VALUE, "Foss", "600 EUR", Fraction(600)),
    ],
)
def test_a_changed_figure_costs_what_a_form_with_that_figure_costs(
    sort: Sort, subject: str, text: str, value: Fraction
) -> None:
    """A form is written with the value and planned from the beginning, route by route."""
    written = {sort: text}
    found = bench(every_figure({}))
    figure = one(found, sort, subject)
    again = result_of(every_figure(written)).planning
    assert again is not None
    for way in found.ways:
        cost, plan = found.cost(figure, way, value), again.routes[way.name]
        assert cost is not None
        assert isinstance(plan, Plan)
        assert cost.cost == plan.present


def every_figure(texts: dict[Sort, str]) -> Forms:
    """A folder in which every sort of figure counts; texts are written in place of some."""

    def text(sort: Sort, usual: str) -> str:
        return texts.get(sort, usual)

    tool = a_tool(text(Sort.TOOL, "900 EUR"), life=text(Sort.LIFE, "60"), takes="10 days")
    foss = an_item(
        text(Sort.PRICE, "3.00 EUR per 1"),
        tools=[tool],
        minimum=text(Sort.MINIMUM, "20"),
        rejects={"share": text(Sort.REJECTS, "5 %"), "found": "on receipt"},
        lead_time=text(Sort.LEAD, "20 working days"),
        minimum_value={"value": text(Sort.MINIMUM_VALUE, "150 EUR"), "per": "order"},
    )
    mill = an_item("9.00 GBP per 1", includes=["deburring"])
    demand = text(Sort.DEMAND, "100")
    way = {"from": "NL", "carriage": {"per order": text(Sort.FREIGHT, "40 EUR")}, "source": "t"}
    abroad = {"from": "GB", "carriage": {"per order": "30 EUR"}, "import clearance": "20 EUR"}
    return forms(
        a_quote("foss-1", foss, delivery="EXW Arnhem"),
        a_quote("mill-1", mill, currency="GBP", delivery="FCA Leeds"),
        workshop=a_workshop(
            cost_of_capital=text(Sort.MONEY, "7 % a year"),
            storage="6 % a year",
            rates=[
                {
                    "one": "GBP",
                    "is worth": text(Sort.RATE, "1.20 EUR"),
                    "on": "2026-10-30",
                    "source": "t",
                }
            ],
            delivery=[way, {**abroad, "source": "t"}],
            duty=[
                {
                    "goods code": "8448",
                    "origin": "GB",
                    "rate": text(Sort.DUTY, "3.5 %"),
                    "since": "2026-01-01",
                    "source": "t",
                }
            ],
            completion=[
                {
                    "operation": "deburring",
                    "price": text(Sort.COMPLETION, "2.00 EUR per 1"),
                    "source": "t",
                }
            ],
        ),
        part=a_part(
            100,
            demand={"low": demand, "likely": demand, "high": demand},
            lot="50",
            operations=["deburring"],
            goods_code="8448.49",
            needed_by="2027-03-01",
            design_stands=text(Sort.DESIGN, "85 % a year"),
        ),
        suppliers={"foss": a_supplier(name="Foss"), "mill": a_supplier(name="Mill", country="GB")},
    )


@st.composite
def drawn(draw: st.DrawFn) -> Forms:
    """Two or three quotes with minimums, trees, breaks, rejects, a minimum value or a tool."""
    quotes = [a_quote(f"s{n}-1", draw(items())) for n in range(draw(st.integers(2, 3)))]
    return forms(
        *quotes,
        workshop=a_workshop(
            close_call=draw(st.sampled_from(["0 %", "3 %", "10 %"])),
            cost_of_capital=draw(st.sampled_from(["0 % a year", "7 % a year"])),
            storage=draw(st.sampled_from(["0 % a year", "12 % a year"])),
            tooling_budget=draw(st.sampled_from([None, None, "300 EUR"])),
            planning_months="6",
        ),
        part=a_part(draw(st.integers(8, 40)), lot="10"),
    )


@st.composite
def items(draw: st.DrawFn) -> Any:
    low = draw(st.integers(300, 1500))
    prices = {1: f"{low / 100} EUR per 1"}
    if draw(st.booleans()):
        prices[draw(st.sampled_from([5, 12, 30]))] = f"{low * 6 // 1000}.20 EUR per 1"
    changes: dict[str, Any] = {
        "minimum": str(draw(st.sampled_from([1, 1, 4, 15]))),
        "multiple": str(draw(st.sampled_from([1, 1, 7]))),
        "rejects": {"share": draw(st.sampled_from(["0 %", "10 %"])), "found": "on receipt"},
    }
    if draw(st.integers(0, 2)) == 0:
        life = draw(st.sampled_from(["not applicable", "9"]))
        changes["tools"] = [a_tool(f"{draw(st.integers(20, 200))} EUR", life=life)]
    if draw(st.integers(0, 3)) == 0:
        changes["minimum_value"] = {"value": "60 EUR", "per": "order"}
    return an_item(prices, **changes)


SORTS = (Sort.PRICE, Sort.TOOL, Sort.MINIMUM, Sort.MINIMUM_VALUE, Sort.LIFE)


@given(content=drawn(), data=st.data())
@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_what_is_said_to_be_exact_or_to_the_step_is_so_at_every_value_of_a_dense_scan(
    content: Forms, data: st.DataObject
) -> None:
    _scan(content, data)


@pytest.mark.soak
@given(content=drawn(), data=st.data())
@settings(max_examples=600, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_soak_a_dense_scan(content: Forms, data: st.DataObject) -> None:
    _scan(content, data)


def _scan(content: Forms, data: st.DataObject) -> None:
    result = result_of(content)
    if result.planning is None or result.planning.plan is None:
        return
    found = bench(content)
    figures = [each for each in found.figures() if each.sort in SORTS]
    figure = data.draw(st.sampled_from(figures))
    turning = found.turning(figure)
    first, last = turning.stretches[0].first, turning.stretches[-1].last
    assert (first, last) == (figure.low, figure.high)
    count = 24
    values = {first + (last - first) * each / count for each in range(count + 1)}
    if turning.exact is not Exact.EXACT:
        values = {
            figure.value + round((v - figure.value) / figure.step) * figure.step for v in values
        }
        values = {min(max(each, first), last) for each in values}
    ends = {each.last for each in turning.stretches[:-1]}
    if turning.exact is Exact.EXACT:
        values |= {end + side * TINY * figure.value for end in ends for side in (-1, 1)}
        near = TINY * figure.value / 2
        values = {each for each in values if all(abs(each - end) > near for end in ends)}
    else:
        values |= ends | {each.first for each in turning.stretches}
    for value in sorted(values):
        assert brute(found, figure, value).key in said(turning, value), (figure.sort, value)


def test_a_figure_is_said_to_be_exact_or_settled_to_the_step() -> None:
    found = bench(every_figure({}))
    shapes = {each.sort: found.turning(each).exact for each in found.figures() if each.shape}
    assert shapes[Sort.DEMAND] is Exact.STEP
    assert shapes[Sort.MINIMUM_VALUE] is Exact.STEP
    assert shapes[Sort.TOOL] is Exact.EXACT
    assert one(found, Sort.RATE, "GBP").shape is Shape.STRAIGHT


def test_without_a_plan_there_is_nothing_to_turn() -> None:
    result = result_of(forms(part=a_part(10)))
    assert bench_of(result.comparison, result.planning, result.advice) is None


def test_a_die_that_wears_out_too_soon_turns_the_answer_and_one_that_lasts_longer_does_not() -> (
    None
):
    """200 castings of 3 and a die of 300 for each life begun, against 1,850 for machining.

    Four dies, 1,800, last as long as 50 castings each; with five, 2,100, machining is cheaper.
    """
    casting = an_item("3 EUR per 1", tools=[a_tool("300 EUR", life="100", replacement="300 EUR")])
    content = forms(
        a_quote("foss-7", casting),
        a_quote("mill-2", an_item("9.25 EUR per 1")),
        workshop=a_workshop(close_call="0 %"),
        part=a_part(200),
    )
    found = turning_of(content, Sort.LIFE)
    assert [(s.first, s.last, s.answer.cheapest) for s in found.stretches] == [
        (10, 49, "mill/mill-2"),
        (50, 400, "foss/foss-7"),
    ]
    assert found.exact is Exact.STEP


@pytest.mark.parametrize(
    ("cost", "outcome"), [("969.99", Outcome.UNKNOWN), ("970", Outcome.CHOSEN)]
)
def test_an_open_offer_blocks_only_where_it_saves_more_than_the_margin(
    cost: str, outcome: Outcome
) -> None:
    judge = Judge(margin=Fraction(3, 100), always_blocked=False)
    told = [
        Told(family="ash", cost=Fraction(1000)),
        Told(family="elm", cost=Fraction(cost), signable=False),
    ]
    assert judge.answer(told).outcome is outcome
