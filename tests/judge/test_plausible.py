"""Questions about times and prices that can hardly be meant."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from quotegen.basics.quantity import Span
from quotegen.judge.steps import in_words, longest_reading, process_times
from quotegen.model.fields import Process
from quotegen.study import study
from tests.folders import (
    TODAY,
    Forms,
    Values,
    a_part,
    a_quote,
    a_supplier,
    a_tool,
    an_item,
    forms,
    printed_for,
    written,
)

SLIPPED = "yew-1"
FAR = "lies far"


def quotes_at(prices: Mapping[str, str], process: str = "machining", **item: Any) -> list[Values]:
    return [
        a_quote(f"{name}-1", an_item(price, process=process, **item))
        for name, price in prices.items()
    ]


def questions(content: Forms, to: Path, text: str = FAR) -> dict[str, list[str]]:
    """The questions with this text in them, by the quote they are about."""
    found: dict[str, list[str]] = {}
    for each in printed_for(content, to)["recommendation"]["questions"]:
        if text in each["text"]:
            found.setdefault(each["quote"].partition("/")[2], []).append(each["text"])
    return found


THREE = {"oak": "41 EUR per 1", "elm": "38 EUR per 1", "ash": "52 EUR per 1"}


@pytest.mark.parametrize(
    ("price", "way", "slip"),
    [
        ("400 EUR per 1", "above", "Has a decimal point moved?"),
        ("4.10 EUR per 1", "below", "Has a decimal point moved?"),
        ("4100 EUR per 1", "above", "Is it for 100 pieces and not for each?"),
        ("41 EUR per 100", "below", "Is it for each piece and not for 100?"),
        ("41000 EUR per 1", "above", "Is it for 1,000 pieces and not for each?"),
        ("41 EUR per 1000", "below", "Is it for each piece and not for 1,000?"),
        (
            "1100 EUR per 1",
            "above",
            "Is it for one piece, in the right currency, and for the same work?",
        ),
    ],
)
def test_a_price_far_from_the_others_is_asked_about_with_the_likely_slip(
    price: str, way: str, slip: str, tmp_path: Path
) -> None:
    content = forms(*quotes_at(THREE | {"yew": price}))
    assert questions(content, tmp_path) == {
        SLIPPED: [f"Your price of {price} lies far {way} what we know of comparable ones. {slip}"]
    }


@pytest.mark.parametrize("price", ["328 EUR per 1", "5.20 EUR per 1", "41 EUR per 1"])
def test_what_may_just_be_dear_or_cheap_is_not_asked_about(price: str, tmp_path: Path) -> None:
    """The median of the others is 41 EUR: eight times and an eighth of it are not far yet."""
    assert questions(forms(*quotes_at(THREE | {"yew": price})), tmp_path) == {}


@pytest.mark.parametrize("others", [0, 1])
def test_with_too_few_other_quotes_nothing_is_said(others: int, tmp_path: Path) -> None:
    known = dict(list(THREE.items())[:others])
    assert questions(forms(*quotes_at(known | {"yew": "4100 EUR per 1"})), tmp_path) == {}


def test_nobody_is_told_the_price_of_another(tmp_path: Path) -> None:
    (text,) = questions(forms(*quotes_at(THREE | {"yew": "4100 EUR per 1"})), tmp_path)[SLIPPED]
    assert not any(price in text for price in ("41 EUR", "38", "52", "43.67", "44"))


def test_a_question_of_plausibility_never_blocks(tmp_path: Path) -> None:
    found = printed_for(forms(*quotes_at(THREE | {"yew": "4.10 EUR per 1"})), tmp_path)
    asked = [each for each in found["recommendation"]["questions"] if FAR in each["text"]]
    assert [each["blocks"] for each in asked] == [False]
    assert found["recommendation"]["outcome"] == "chosen"


def test_a_replaced_quote_is_neither_asked_about_nor_held_against_others(tmp_path: Path) -> None:
    old = a_quote("yew-1", an_item("4100 EUR per 1"))
    new = a_quote("yew-2", an_item("41 EUR per 1"), replaces="yew-1")
    found = printed_for(forms(*quotes_at(THREE), old, new), tmp_path)
    by_quote = {each["quote"]: each["prices"] for each in found["plausible"]}
    assert "yew/yew-1" not in by_quote
    assert {each["others"] for prices in by_quote.values() for each in prices} == {3}


CASTING = "investment casting"
FOUNDERS = {
    name: a_supplier(name=name.title(), processes=[CASTING])
    for name in ("oak", "elm", "ash", "yew")
}


def castings(own: Values, **item: Any) -> Forms:
    """Four parts of 100 g, each poured by another foundry at 10 EUR with a die of 1000 EUR."""
    usual = {"process": CASTING, "tools": [a_tool("1000 EUR")], "lead_time": "30 working days"}
    quotes, parts = [], {"p": a_part(envelope="100 x 50 x 20 mm")}
    for number, name in enumerate(("oak", "elm", "ash")):
        part = f"p{number}"
        parts[part] = a_part(name=f"Part {number}", envelope="100 x 50 x 20 mm")
        tools = [a_tool("1000 EUR", tool=f"die-{number}")]
        quotes.append(
            a_quote(f"{name}-1", an_item("10 EUR per 1", part=part, **usual | {"tools": tools}))
        )
    mine = an_item(own.pop("price", "10 EUR per 1"), **usual | own | item)
    found = forms(*quotes, a_quote(SLIPPED, mine), suppliers=FOUNDERS)
    return Forms(
        workshop=found.workshop, parts=parts, suppliers=found.suppliers, quotes=found.quotes
    )


def test_a_kilogram_of_castings_is_held_against_other_parts(tmp_path: Path) -> None:
    found = questions(castings({"price": "100 EUR per 1"}), tmp_path)
    assert found == {
        SLIPPED: [
            (
                "Your price of 100 EUR per 1 lies far above what we know of comparable ones. Has a "
                "decimal point moved?"
            )
        ]
    }


def test_a_casting_without_a_tool_may_have_it_in_its_price(tmp_path: Path) -> None:
    """Four times the others: no slip of a decimal point, and the die is nowhere else."""
    found = questions(castings({"price": "40 EUR per 1", "tools": None}), tmp_path)
    assert found == {
        SLIPPED: [
            (
                "Your price of 40 EUR per 1 lies far above what we know of comparable ones. Is a "
                "tool in the price of the piece, or has a decimal point moved?"
            )
        ]
    }


def test_the_same_price_beside_a_tool_of_its_own_is_not_asked_about(tmp_path: Path) -> None:
    assert questions(castings({"price": "40 EUR per 1"}), tmp_path) == {}
    spread = {"what": "die", "each": "25 EUR", "over": "40"}
    hidden = castings({"price": "40 EUR per 1", "tools": None}, spread_tool=spread)
    assert questions(hidden, tmp_path) == {}


@pytest.mark.parametrize(
    ("price", "expected"),
    [
        ("10000 EUR", "above what we know of comparable ones. Has a decimal point moved?"),
        ("100 EUR", "below what we know of comparable ones. Has a decimal point moved?"),
        ("8000 EUR", ""),
    ],
)
def test_a_die_is_held_against_dies_of_its_size(price: str, expected: str, tmp_path: Path) -> None:
    """All parts have a face of 100 x 50 mm, so that the price alone differs."""
    found = questions(castings({"tools": [a_tool(price)]}), tmp_path)
    expected = f"Your price of {price} lies far {expected}"
    assert found == ({SLIPPED: [expected]} if "moved" in expected else {})


def test_a_die_is_weighed_by_cavity_and_face(tmp_path: Path) -> None:
    """By hand: 1000 EUR for 2 cavities and 50 cm2 is 10 EUR; the others are 20 EUR."""
    found = printed_for(castings({"tools": [a_tool("1000 EUR", cavities="2")]}), tmp_path)
    (own,) = found["plausible"]
    (tool,) = [each for each in own["prices"] if "cavity" in each["what"]]
    assert (tool["value"], tool["median"], tool["others"]) == ("10", "20", 3)


def test_a_die_that_is_made_overnight_is_asked_about(tmp_path: Path) -> None:
    content = castings({"tools": [a_tool("1000 EUR", takes="2 days")]})
    assert questions(content, tmp_path, "You make") == {
        SLIPPED: [
            (
                "You make the wax die in 2 days; published times begin at 5 days. Is the tool "
                "there already, or does the time count from another day?"
            )
        ]
    }


def test_a_tool_that_is_ours_takes_no_time(tmp_path: Path) -> None:
    content = castings({"tools": [a_tool("1000 EUR", takes="2 days")]})
    content.workshop["tools owned"] = ["die"]
    assert questions(content, tmp_path, "You make") == {}


@pytest.mark.parametrize(
    ("span", "hours"),
    [
        (Span(4, "working days"), 6 * 24),
        (Span(5, "working days"), 7 * 24),
        (Span(6, "working days"), 10 * 24),
        (Span(10, "days"), 10 * 24),
        (Span(2, "weeks"), 14 * 24),
        (Span(1, "months"), 31 * 24),
    ],
)
def test_a_time_is_read_as_long_as_its_words_allow(span: Span, hours: int) -> None:
    assert longest_reading(span) == hours


def test_every_process_has_its_steps_and_what_to_ask() -> None:
    """Each step has hours, a confidence and a source; the whole is no shorter than its steps."""
    times = process_times()
    assert set(times) == set(Process)
    for each in times.values():
        steps = [*each.steps, *filter(None, (each.whole, each.tool))]
        assert all(step.hours > 0 and step.source for step in steps)
        assert {step.confidence for step in steps} <= {"high", "medium", "low"}
        assert each.ask.endswith("?")
        assert each.fastest >= sum(step.hours for step in each.steps)


def test_hours_are_told_as_days_from_two_days_on() -> None:
    assert [in_words(each) for each in (1, 24, 47, 48, 71, 240)] == [
        "1 hour",
        "24 hours",
        "47 hours",
        "2 days",
        "2 days",
        "10 days",
    ]


def test_the_ratio_is_exact(tmp_path: Path) -> None:
    """By hand: 41 EUR against the median of 38 and 52, which is 45."""
    prices = {name: THREE[name] for name in ("elm", "ash")}
    found = study(
        written(forms(*quotes_at(prices | {"yew": "41 EUR per 1"})), tmp_path), TODAY, only=("p",)
    )
    own = next(each for each in found.parts["p"].plausible if each.offer.quote == SLIPPED)
    assert own.prices[0].ratio == Fraction(41, 45)
