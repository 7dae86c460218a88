"""What may be typed as an answer: each spelling is read right, or refused with a word of help."""

from __future__ import annotations

from typing import Any

import pytest

from quotegen.intake.answers import keys_of
from quotegen.taking.screen import cut, wide, wrapped
from quotegen.taking.spelling import Around, in_prose, understood

SLIP = (
    {"from": "100", "price": "61.95 EUR per 1"},
    {"from": "100", "price": "16.95 EUR per 1"},
)
LOT = ({"from": "100", "price": "1740 EUR per 1"}, {"from": "100", "price": "1740 EUR per 100"})
TWO = ({"from": "10", "price": "5 EUR per 1"}, {"from": "20", "price": "4 EUR per 1"})
COSTS = tuple({"what": "set-up", "amount": "48 EUR", "per": per} for per in ("order", "once"))
AROUND = Around(parts=("fl-021", "fl-042", "wm-015"), heads=("Brackets run", "Ducats", "Who"))
PRICES, PART, CHARGES = "items 1, prices", "items 1, part", "items 1, charges"


def price(start: str, amount: str) -> dict[str, str]:
    return {"from": start, "price": amount}


@pytest.mark.parametrize(
    ("field", "choices", "typed", "value"),
    [
        (PRICES, SLIP, "2", SLIP[1]),
        (PRICES, SLIP, "16,95", price("100", "16.95 EUR per 1")),
        (PRICES, SLIP, "16.95", price("100", "16.95 EUR per 1")),
        (PRICES, SLIP[1:], "100", price("100", "100 EUR per 1")),
        (PRICES, SLIP, "EUR 16,95", price("100", "16.95 EUR per 1")),
        (PRICES, SLIP, "16.95 usd", price("100", "16.95 USD per 1")),
        (PRICES, SLIP, "1695 per 100", price("100", "1695 EUR per 100")),
        (PRICES, SLIP, "1.234,50 € je 1000 Stück", price("100", "1234.50 EUR per 1000")),
        (PRICES, SLIP, "120: 16,95", price("120", "16.95 EUR per 1")),
        (PRICES, SLIP, "not quoted", price("100", "not quoted")),
        (PRICES, SLIP, "{from: 5, price: 2 EUR per 1}", price("5", "2 EUR per 1")),
        (PRICES, LOT, "1740 each", price("100", "1740 EUR per 1")),
        (PRICES, SLIP[1:], "yes", SLIP[1]),
        (PRICES, SLIP, "-", "leave out"),
        (PRICES, SLIP, "  ", None),
        (CHARGES, COSTS, "once", COSTS[1]),
        (CHARGES, COSTS, "per order", COSTS[0]),
        (CHARGES, COSTS[:1], "52,50", {**COSTS[0], "amount": "52.50 EUR"}),
        ("currency", ("AUD", "USD"), "usd", "USD"),
        ("currency", ("AUD", "EUR"), "€", "EUR"),
        ("currency", (), "Euro", "EUR"),
        ("date", (), "5 October 2026", "2026-10-05"),
        ("date", (), "05.10.2026", "2026-10-05"),
        ("valid until", (), "31-12-2026", "2026-12-31"),
        ("items 1, lead time", ("5 weeks", "4 weeks"), "4", "4 weeks"),
        ("items 1, lead time", ("5 weeks", "4 weeks"), "6 Wochen", "6 weeks"),
        ("items 1, lead time", (), "15 Arbeitstage", "15 working days"),
        (PART, (), "FL-021", "fl-021"),
        (PART, (), "wm", "wm-015"),
        ("tax included", (), "no", "no"),
        ("layout, decimal", ("comma", "point"), ",", "comma"),
        ("layout, decimal", ("comma", "point"), "Punkt", "point"),
        ("layout, price per", ("1", "100", "1000"), "per 100", "100"),
        ("layout, price per", ("1", "100", "1000"), "1000", "1000"),
        ("layout, price per", ("1", "100", "1000"), "each", "1"),
        ("layout, heads", (), "1 2", {"from": "Brackets run", "price": "Ducats"}),
        ("layout, heads", (), "1, 2, 3", {"from": "Brackets run", "price": "Ducats", "part": "Who"}),  # noqa: E501
        ("layout, heads", (), "brackets run, ducats", {"from": "brackets run", "price": "ducats"}),
        ("notes", (), "only before Christmas", "only before Christmas"),
        ("quote", (), "A-7", "A-7"),
    ],
)  # fmt: skip
def test_an_answer_is_understood(field: str, choices: Any, typed: str, value: Any) -> None:
    assert understood(typed, keys_of(field), choices, AROUND) == value


@pytest.mark.parametrize(
    ("field", "choices", "typed", "told"),
    [
        (PRICES, SLIP, "1.845", "1.845 can be 1.8450 or 1845: type one of these."),
        (PRICES, SLIP, "yes", "Which of them? Type its number."),
        (PRICES, SLIP, "no", "Then type what is right, or - to leave it out."),
        (PRICES, LOT, "1800", "For how many pieces? Type it behind the price, such as 1800 EUR"),
        (PRICES, TWO, "4,50", "From how many pieces? Type it before the price, such as 100: 4,50"),
        (PRICES, (), "100: 4,50", "In which currency?"),
        (PRICES, SLIP, "cheap", "'cheap' is not an amount."),
        ("currency", (), "$", "Type the three letters of the currency"),
        ("currency", (), "ducats", "Type the three letters of the currency"),
        ("date", (), "03/04/2026", "can be read as 2026-04-03 or 2026-03-04."),
        ("date", (), "soon", "'soon' is not a day."),
        ("items 1, lead time", (), "4-5 weeks", "is not one time."),
        (PART, (), "fl", "There is no part 'fl' in the folder"),
        ("layout, decimal", ("comma", "point"), "semicolon", "Type comma or point."),
        ("layout, price per", ("1", "100"), "lot", "Type for how many pieces a price is"),
        ("layout, heads", (), "1 9", "Type the numbers of two or three columns"),
        ("layout, heads", (), "Qty, Price", "Type the numbers of two or three columns"),
        ("notes", (), "1", "Say it in words"),
        ("notes", (), "yes", "Then say in words what it is."),
        (CHARGES, COSTS, "52,50", "Type the number of a reading first"),
        (PRICES, SLIP, "{from: 5", "expected ',' or '}'"),
    ],
)
def test_what_can_mean_two_things_is_told(field: str, choices: Any, typed: str, told: str) -> None:
    with pytest.raises(ValueError, match=r".") as refused:
        understood(typed, keys_of(field), choices, AROUND)
    assert told in str(refused.value)


def test_a_sentence_is_read_as_in_a_file() -> None:
    assert in_prose("dap Zutphen".upper().replace("ZUTPHEN", "Zutphen"), ("delivery",)) == (
        "DAP Zutphen"
    )
    assert in_prose("payment 30 days net", ("payment",)) == {
        "share": "100 %", "when": "invoice", "days": "30",
    }  # fmt: skip


@pytest.mark.parametrize("width", [30, 44, 80])
def test_a_wrapped_text_loses_nothing_and_is_never_wider(width: int) -> None:
    text = "a few words, " * 9 + "x" * 130 + " \N{CJK UNIFIED IDEOGRAPH-5BBD}" * 40
    lines = wrapped(text, width, "   ")
    assert max(wide(line) for line in lines) <= width
    assert "".join("".join(lines).split()) == "".join(text.split())
    assert wide(cut(text, width)) <= width
