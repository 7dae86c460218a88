"""Lead times and prices against what the trade publishes."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from quotegen.judge.steps import drying_hours, process_times
from quotegen.model.fields import Process
from tests.folders import Values, a_part, a_quote, a_supplier, an_item, forms, printed_for

CASTING = {"process": "investment casting"}


def asked(lead_time: str, to: Path) -> list[str]:
    quote = a_quote("oak-1", an_item("9 EUR per 1", lead_time=lead_time, **CASTING))
    founder = a_supplier(name="Oak", processes=["investment casting"])
    found = printed_for(forms(quote, suppliers={"oak": founder}), to)
    questions: list[Values] = found["recommendation"]["questions"]
    return [each["text"] for each in questions if "repeat order" in each["text"]]


def test_nine_coats_dry_54_to_72_hours() -> None:
    """Foundry and trade descriptions of shells: nine coats of 6 to 8 hours each."""
    assert [drying_hours(9, hours) for hours in (6, 8)] == [54, 72]


def test_the_fastest_published_shell_is_six_coats_of_four_hours() -> None:
    """Same descriptions: 6 to 20 coats, 4 to 8 hours each; from wax to casting 10 to 20 days."""
    times = process_times()[Process.INVESTMENT_CASTING]
    assert (times.slowest_step.name, times.slowest_step.hours) == ("shell", 24)
    assert times.fastest == 10 * 24


def test_four_days_for_a_repeat_pour_are_asked_about(tmp_path: Path) -> None:
    """Same descriptions; four working days are six days at most, and wax to casting takes ten."""
    (question,) = asked("4 working days", tmp_path)
    assert question == (
        "You state 4 working days for a repeat order; the fastest published way through the steps "
        "of investment casting takes 10 days. Do you have castings or waxes in stock, or a shell "
        "that dries faster?"
    )


def test_less_than_the_shell_alone_is_said_so(tmp_path: Path) -> None:
    """Same descriptions: the shell alone dries 24 hours at its fastest."""
    (question,) = asked("0 days", tmp_path)
    assert "the shell alone takes at least 24 hours" in question


@pytest.mark.parametrize("lead_time", ["10 days", "8 working days", "2 weeks"])
def test_who_is_as_fast_as_the_fastest_published_is_not_asked(
    lead_time: str, tmp_path: Path
) -> None:
    """Eight working days may span two weekends: 12 days; nobody is accused by a narrow reading."""
    assert asked(lead_time, tmp_path) == []


def test_a_shell_at_one_coat_a_day_is_slower_than_the_published_one(tmp_path: Path) -> None:
    """Common practice: six to seven coats, one a day, six to eight days; published times are
    shorter, so that the common ones accuse nobody."""
    shell = process_times()[Process.INVESTMENT_CASTING].slowest_step
    assert shell.hours < 6 * 24
    assert asked("10 days", tmp_path) == []


def test_prints_are_priced_close_to_their_mass(tmp_path: Path) -> None:
    """Common practice: a print costs a rate by the gram times its mass, so that small and large
    ones can be held against each other. Castings do not scale so and have a wider margin."""
    prices = {"oak": "32 EUR per 1", "elm": "35 EUR per 1", "ash": "30 EUR per 1"}
    quotes = [
        a_quote(f"{name}-1", an_item(price, process="metal printing"))
        for name, price in prices.items()
    ]
    slip = a_quote("yew-1", an_item("320 EUR per 1", process="metal printing"))
    printers = {
        name: a_supplier(name=name, processes=["metal printing"]) for name in (*prices, "yew")
    }
    found = printed_for(forms(*quotes, slip, part=a_part(), suppliers=printers), tmp_path)
    by_quote = {each["quote"]: each["prices"] for each in found["plausible"]}
    (gram,) = [each for each in by_quote["yew/yew-1"] if each["what"] == "a gram"]
    assert (Fraction(gram["value"]), Fraction(gram["median"])) == (
        Fraction("3.2"),
        Fraction("0.32"),
    )
    assert gram["asked"]
    assert not any(each["asked"] for each in by_quote["oak/oak-1"])
