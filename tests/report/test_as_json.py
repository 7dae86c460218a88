"""What `compare --json` promises to scripts: its fields, how they are written, that they add up."""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable, Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotegen.basics.place import Place
from quotegen.basics.problem import Problem
from quotegen.report.as_json import problem_as_json
from quotegen.report.json_values import amount
from tests.commands import a_choice, run
from tests.folders import (
    Forms,
    a_part,
    a_quote,
    a_supplier,
    a_tool,
    a_way_from,
    a_workshop,
    an_item,
    forms,
    written,
)

pytestmark = pytest.mark.xdist_group("json")  # every part of the demo is compared once
DEMO = Path(__file__).parents[2] / "quotes_demo"
PARTS = sorted(path.stem for path in (DEMO / "parts").glob("*.yaml"))
HALF_A_DIGIT = Fraction(1, 2 * 10**10)
Json = dict[str, Any]


def _compared(content: Forms, to: Path) -> Json:
    ran = run("compare", "p", "--folder", written(content, to), "--json")
    assert ran.err == ""
    value: Json = ran.json
    return value


# a case by hand


def test_the_head_says_what_is_compared(tmp_path: Path) -> None:
    value = _compared(a_choice(), tmp_path)
    assert {key: value[key] for key in ("part", "revision", "currency", "quantity")} == {
        "part": "p",
        "revision": "A",
        "currency": "EUR",
        "quantity": 200,
    }
    assert (value["name"], value["compared_on"]) == ("Pawl", "2026-11-02")


def test_an_offer_is_told_with_the_lines_that_make_it_up(tmp_path: Path) -> None:
    """By hand: 880 for the die, 200 castings at 3."""
    first, second = _compared(a_choice(), tmp_path)["offers"]
    keys = ("quote", "supplier", "process", "holds", "one_off", "landed_each", "total")
    assert [first[key] for key in keys] == [
        "foss/foss-1",
        "foss",
        "investment casting",
        True,
        "880",
        "7.4",
        "1480",
    ]
    assert [second[key] for key in keys] == [
        "mill/mill-2",
        "mill",
        "machining",
        True,
        "0",
        "10",
        "2000",
    ]
    lines = [line for line in first["lines"] if line["total"] != "0"]
    assert [
        [line[key] for key in ("kind", "amount", "per", "count", "total", "rule", "place")]
        for line in lines
    ] == [
        ["goods", "3", "piece", "200", "600", "R1", "quotes/foss/foss-1.yaml:12:12"],
        ["tool", "880", "once", "1", "880", "R5", "quotes/foss/foss-1.yaml:20:12"],
    ]


def test_the_cheapest_quote_is_told_span_by_span_and_the_last_has_no_end(tmp_path: Path) -> None:
    assert _compared(a_choice(), tmp_path)["cheapest"] == [
        {"from": 1, "to": 125, "quote": "mill/mill-2"},
        {"from": 126, "to": None, "quote": "foss/foss-1"},
    ]


def test_a_parity_is_a_fraction_and_the_first_cheaper_quantity_a_number(tmp_path: Path) -> None:
    """By hand: 880 / (10 - 3) = 880/7; at 126 castings 1258 against 1260."""
    (found,) = _compared(a_choice(), tmp_path)["break_even"]
    assert found["parity"] == "880/7"
    assert found["parity_years"] == "0.6285714286"  # 880/7 of 200 a year
    assert (found["untooled"], found["tooled"]) == ("mill/mill-2", "foss/foss-1")
    assert (found["first_cheaper"], found["crossings"]) == (126, [])
    assert found["first_cheaper_years"] == "0.63"


def test_a_parity_that_is_whole_has_no_denominator(tmp_path: Path) -> None:
    """By hand: 700 / (10 - 3) = 100, and a tie at 100 is not yet cheaper."""
    casting = an_item("3 EUR per 1", tools=[a_tool("700 EUR")])
    content = forms(
        a_quote("foss-1", casting),
        a_quote("mill-2", an_item("10 EUR per 1")),
        workshop=a_workshop(compared_on="2026-11-02"),
        part=a_part(200, lot="400"),
    )
    (found,) = _compared(content, tmp_path)["break_even"]
    assert (found["parity"], found["first_cheaper"]) == ("100", 101)


def test_every_crossing_before_the_last_is_told(tmp_path: Path) -> None:
    """By hand: castings at 5 in trees of 60 and a die of 100 against 10 each, 120 as one lot.

    400 for 60 castings: cheaper from 41 (410) to 60; 700 for 61 to 120: cheaper from 71 (710).
    """
    casting = an_item("5 EUR per 1", multiple="60", tools=[a_tool("100 EUR")])
    content = forms(
        a_quote("foss-1", casting),
        a_quote("mill-2", an_item("10 EUR per 1")),
        workshop=a_workshop(compared_on="2026-11-02"),
        part=a_part(120, lot="120"),
    )
    value = _compared(content, tmp_path)
    (found,) = value["break_even"]
    assert found["crossings"][:2] == [
        {"at": 41, "cheaper": "tooled"},
        {"at": 61, "cheaper": "untooled"},
    ]
    assert [[each["from"], each["to"], each["quote"]] for each in value["cheapest"]][:3] == [
        [1, 40, "mill/mill-2"],
        [41, 60, "foss/foss-1"],
        [61, 70, "mill/mill-2"],
    ]


def test_the_recommendation_says_outcome_route_reasons_and_runner_up(tmp_path: Path) -> None:
    told = _compared(a_choice(), tmp_path)["recommendation"]
    assert (told["outcome"], told["route"]) == ("chosen", ["foss/foss-1"])
    assert (told["runner_up"], told["runner_up_costs_more"]) == ("mill/mill-2", "520")
    assert "1,480 EUR in today's money for 200 good parts" in told["reasons"][0]
    assert isinstance(told["questions"], list)


def test_a_route_by_two_quotes_names_both_in_order(compared: dict[str, Json]) -> None:
    assert compared["fl-014"]["recommendation"]["route"] == [
        "pulverhof/PH-26-0455",
        "aldring/A-4471",
    ]


def test_what_is_not_known_is_null_and_never_zero(tmp_path: Path) -> None:
    """A quote for another revision cannot be signed; one without a price has no total."""
    content = forms(
        a_quote("mill-2", an_item("not quoted")),
        workshop=a_workshop(compared_on="2026-11-02"),
        part=a_part(200),
    )
    value = _compared(content, tmp_path)
    (offer,) = value["offers"]
    assert (offer["holds"], offer["total"], offer["landed_each"]) == (False, None, None)
    assert (offer["one_off"], offer["lines"]) == (None, [])
    assert (value["cheapest"], value["break_even"]) == ([], [])
    told = value["recommendation"]
    assert (told["outcome"], told["route"], told["runner_up"]) == ("not enough known", [], None)
    assert any("price" in each["text"] for each in told["questions"])


def test_no_quote_at_all_is_no_route(tmp_path: Path) -> None:
    content = forms(workshop=a_workshop(compared_on="2026-11-02"))
    value = _compared(content, tmp_path)
    assert (value["offers"], value["cheapest"], value["break_even"]) == ([], [], [])
    assert value["recommendation"]["outcome"] == "no route"


# numbers


@given(st.fractions(max_denominator=10**12).map(lambda value: value * 10**6))
def test_an_amount_is_plain_digits_within_half_of_the_last_one(value: Fraction) -> None:
    text = amount(value)
    assert text is not None
    assert AMOUNT.fullmatch(text)
    assert abs(Fraction(text) - value) <= HALF_A_DIGIT


@given(st.integers(-(10**40), 10**40), st.integers(0, 10))
def test_an_amount_that_ends_within_ten_digits_is_exact(whole: int, digits: int) -> None:
    value = Fraction(whole, 10**digits)
    text = amount(value)
    assert text is not None
    assert Fraction(text) == value


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        (Fraction(0), "0"),
        (Fraction(-1, 10**12), "0"),
        (Fraction(1, 10**10), "0.0000000001"),
        (Fraction(1, 3), "0.3333333333"),
        (Fraction(-2, 3), "-0.6666666667"),
        (Fraction(1200), "1200"),
        (Fraction(12_345, 100), "123.45"),
        (Fraction(10**30 + 1, 10), "100000000000000000000000000000.1"),
        (None, None),
    ],
)
def test_amounts_by_hand(value: Fraction | None, expected: str | None) -> None:
    assert amount(value) == expected


def test_a_problem_is_told_with_all_its_words() -> None:
    problem = Problem.of("part-unknown", Place("parts"), seen="q", hint="known here: p.")
    assert problem_as_json(problem) == {
        "code": "part-unknown",
        "severity": "error",
        "place": "parts",
        "message": "part: there is no part 'q'; known here: p.",
        "happens": "Nothing is compared for it.",
        "remedy": "Name a file under parts/, without its ending.",
    }


# the shape, over the whole demo

AMOUNT = re.compile(r"0|-?(?:[1-9]\d*|0(?=\.))(?:\.\d{0,9}[1-9])?")
PARITY = re.compile(r"[1-9]\d*(?:/[1-9]\d*)?")
DATE = re.compile(r"\d{4}-\d\d-\d\d")
RULE = re.compile(r"R(?:[1-9]|1\d|20)")
SIDES = {"tooled", "untooled"}
ONCE = {"once", "revision"}
OUTCOMES = {"chosen", "too close to call", "no route", "not enough known"}


def matching(pattern: re.Pattern[str]) -> Callable[[Any], bool]:
    return lambda value: isinstance(value, str) and pattern.fullmatch(value) is not None


def a_text(value: Any) -> bool:
    return isinstance(value, str) and value != ""


def a_count(value: Any) -> bool:
    return type(value) is int and value >= 0


def a_truth(value: Any) -> bool:
    return isinstance(value, bool)


def a_place(value: Any) -> bool:
    """A file of the folder, or of the package with the rates; with line and column or a cell."""
    match = re.fullmatch(r"(.+?\.\w+)(?::(\d+):(\d+)|:([^:]+![A-Z]+\d+))?", str(value))
    if match is None:
        return False
    path = DEMO / match[1]
    if not path.is_file():
        return False
    if match[2] is None:
        return path.suffix in {".yaml", ".xlsx", ".csv"}
    lines = path.read_text(encoding="utf-8", errors="replace").splitlines()
    line = lines[int(match[2]) - 1]
    return 1 <= int(match[3]) <= len(line) + 1


def or_null(shape: Any) -> Callable[[Any], bool]:
    return lambda value: value is None or not list(misfits(value, shape, ""))


SHAPE: Json = {
    "part": a_text,
    "revision": a_text,
    "currency": matching(re.compile(r"[A-Z]{3}")),
    "quantity": a_count,
    "compared_on": matching(DATE),
    "offers": [
        {
            "quote": matching(re.compile(r"[a-z0-9-]+/\S+")),
            "supplier": lambda value: (DEMO / "suppliers" / f"{value}.yaml").is_file(),
            "process": a_text,
            "holds": a_truth,
            "first_parts": or_null(matching(DATE)),
            "one_off": or_null(matching(AMOUNT)),
            "landed_each": or_null(matching(AMOUNT)),
            "total": or_null(matching(AMOUNT)),
            "place": a_place,
            "lines": [
                {
                    "kind": a_text,
                    "what": a_text,
                    "amount": matching(AMOUNT),
                    "per": a_text,
                    "count": matching(AMOUNT),
                    "total": matching(AMOUNT),
                    "rule": matching(RULE),
                    "place": a_place,
                }
            ],
        }
    ],
    "cheapest": [{"from": a_count, "to": or_null(a_count), "quote": a_text}],
    "break_even": [
        {
            "untooled": a_text,
            "tooled": a_text,
            "parity": or_null(matching(PARITY)),
            "first_cheaper": or_null(a_count),
            "crossings": [{"at": a_count, "cheaper": lambda value: value in SIDES}],
        }
    ],
    "recommendation": {
        "outcome": lambda value: value in OUTCOMES,
        "route": [a_text],
        "reasons": [a_text],
        "runner_up": or_null(a_text),
        "questions": [{"to": a_text, "quote": a_text, "text": a_text, "blocks": a_truth}],
    },
    "problems": [{"code": a_text, "severity": a_text, "place": a_text, "message": a_text}],
}


def misfits(value: Any, shape: Any, at: str) -> Iterator[str]:
    """Where a value is not of a shape: a dict needs these keys at least, a list is of one kind."""
    if isinstance(shape, dict):
        if not isinstance(value, dict) or shape.keys() - value.keys():
            yield f"{at}: {value!r} lacks keys"
            return
        for key in shape:
            yield from misfits(value[key], shape[key], f"{at}.{key}")
    elif isinstance(shape, list):
        if not isinstance(value, list):
            yield f"{at}: {value!r} is no list"
            return
        for number, each in enumerate(value):
            yield from misfits(each, shape[0], f"{at}[{number}]")
    elif not shape(value):
        yield f"{at}: {value!r}"


@pytest.fixture(scope="module")
def compared() -> dict[str, Json]:
    """Every part of the demo as a script sees it; a float anywhere is refused."""
    return {part: run("compare", part, "--folder", DEMO, "--json").json for part in PARTS}


@pytest.mark.parametrize("part", PARTS)
def test_every_part_of_the_demo_has_the_promised_shape(
    compared: dict[str, Json], part: str
) -> None:
    assert list(misfits(compared[part], SHAPE, part)) == []


def test_the_demo_has_something_of_everything(compared: dict[str, Json]) -> None:
    """Else the shape would be held against empty lists."""
    values = list(compared.values())
    assert len(values) >= 8
    assert sum(len(value["offers"]) for value in values) >= 26
    assert any(value["break_even"] for value in values)
    assert any(found["crossings"] for value in values for found in value["break_even"])
    assert {value["recommendation"]["outcome"] for value in values} >= {
        "chosen",
        "too close to call",
        "not enough known",
    }
    assert any(value["recommendation"]["questions"] for value in values)
    assert {offer["holds"] for value in values for offer in value["offers"]} == {True, False}


@pytest.mark.parametrize(
    ("value", "shape"),
    [
        (1.5, matching(AMOUNT)),
        ("1e3", matching(AMOUNT)),
        ("1.50", matching(AMOUNT)),
        ("-0", matching(AMOUNT)),
        ("1,000", matching(AMOUNT)),
        ("1.12345678901", matching(AMOUNT)),
        ("125.7", matching(PARITY)),
        (True, a_count),
        ("workshop.yaml:9999:1", a_place),
        ("nowhere.yaml:1:1", a_place),
        ("workshop.yaml:1", a_place),
        ({"at": 1}, {"at": a_count, "cheaper": a_text}),
        ({"at": "1"}, {"at": a_count}),
        ([1, "2"], [a_count]),
        (None, a_text),
    ],
)
def test_a_value_of_another_shape_is_seen(value: Any, shape: Any) -> None:
    try:
        found = list(misfits(value, shape, "x"))
    except IndexError:
        found = ["no such line"]
    assert len(found) == 1


def _offers_with_a_total(value: Json) -> list[Json]:
    return [offer for offer in value["offers"] if offer["total"] is not None]


@pytest.mark.parametrize("part", PARTS)
def test_the_lines_of_an_offer_add_up_to_its_total(compared: dict[str, Json], part: str) -> None:
    """Exactly where every line ends within ten digits, else within what rounding may do."""
    for offer in _offers_with_a_total(compared[part]):
        totals = [line["total"] for line in offer["lines"]]
        assert totals
        added = sum((Fraction(each) for each in totals), Fraction(0))
        rounded = [each for each in totals if len(each.partition(".")[2]) == 10]
        allowed = HALF_A_DIGIT * (len(rounded) + 1) if rounded else 0
        assert abs(added - Fraction(offer["total"])) <= allowed, offer["quote"]


@pytest.mark.parametrize("part", PARTS)
def test_the_total_of_a_line_is_its_amount_times_its_count(
    compared: dict[str, Json], part: str
) -> None:
    for offer in compared[part]["offers"]:
        for line in offer["lines"]:
            count, each = Fraction(line["count"]), Fraction(line["amount"])
            allowed = HALF_A_DIGIT * (abs(count) + abs(each) + 2)
            assert abs(each * count - Fraction(line["total"])) <= allowed, line


@pytest.mark.parametrize("part", PARTS)
def test_what_a_good_part_costs_is_the_total_over_the_quantity(
    compared: dict[str, Json], part: str
) -> None:
    quantity = compared[part]["quantity"]
    for offer in _offers_with_a_total(compared[part]):
        each = Fraction(offer["landed_each"])
        assert abs(each * quantity - Fraction(offer["total"])) <= HALF_A_DIGIT * (quantity + 1)
        once = sum(
            (Fraction(line["total"]) for line in offer["lines"] if line["per"] in ONCE),
            Fraction(0),
        )
        assert abs(once - Fraction(offer["one_off"])) <= HALF_A_DIGIT * (len(offer["lines"]) + 1)


@pytest.mark.parametrize("part", PARTS)
def test_the_spans_follow_each_other_and_name_the_least_cost_at_the_quantity(
    compared: dict[str, Json], part: str
) -> None:
    value = compared[part]
    spans, quantity = value["cheapest"], value["quantity"]
    for before, after in itertools.pairwise(spans):
        assert before["to"] is not None
        assert before["from"] <= before["to"] < after["from"]
        assert before["quote"] != after["quote"] or before["to"] + 1 < after["from"]
    here = [each for each in spans if each["from"] <= quantity <= (each["to"] or quantity)]
    totals = {
        " then ".join(each["route"]): Fraction(each["total"])
        for each in value["routes"]
        if each["total"] is not None
    }
    assert [totals[each["quote"]] for each in here] == ([min(totals.values())] if totals else [])


@pytest.mark.parametrize("part", PARTS)
def test_crossings_alternate_and_come_before_the_quantity_that_stays_cheaper(
    compared: dict[str, Json], part: str
) -> None:
    for found in compared[part]["break_even"]:
        quantities = [each["at"] for each in found["crossings"]]
        sides = [each["cheaper"] for each in found["crossings"]]
        assert quantities == sorted(set(quantities))
        assert all(left != right for left, right in itertools.pairwise(sides))
        if found["first_cheaper"] is not None and quantities:
            assert quantities[-1] < found["first_cheaper"]
            assert sides[-1] == "untooled"


def test_duty_and_exchange_leave_no_trace_of_floats(tmp_path: Path) -> None:
    """By hand: 100 x 9.80 GBP at 1.157 is 1133.86 EUR; 2.7 % duty on it is 30.61422 EUR."""
    workshop = a_workshop(
        compared_on="2026-11-02",
        rates=[{"one": "GBP", "is worth": "1.157 EUR", "on": "2026-10-30", "source": "test"}],
        delivery=[
            a_way_from(
                "GB",
                **{"insurance": "0 %", "import clearance": "0 EUR", "export clearance": "0 EUR"},
            )
        ],
        duty=[
            {"goods code": "8448.49", "origin": "GB", "rate": "2.7 %", "since": "2026-01-01"}
            | {"source": "test"}
        ],
    )
    content = forms(
        a_quote("mill-2", an_item("9.80 GBP per 1"), currency="GBP", delivery="FCA Kendal"),
        workshop=workshop,
        part=a_part(100, goods_code="8448.49"),
        suppliers={"mill": a_supplier(country="GB")},
    )
    value = _compared(content, tmp_path)
    totals = {line["kind"]: line["total"] for line in value["offers"][0]["lines"]}
    assert totals["goods"] == "1133.86"
    assert "30.61422" in totals.values()
