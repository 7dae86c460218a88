"""Values that a form cannot mean: each is told with its place, its field and what was written."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from quotegen.intake.folder import read_folder
from quotegen.intake.forms import keys_known_at
from quotegen.model.quote import Quote

PART = "parts/pawl.yaml"
QUOTE = "quotes/arden/af-2291.yaml"
SUPPLIER = "suppliers/arden.yaml"
WORKSHOP = "workshop.yaml"
Changes = Mapping[str, str | bytes | None]
Told = Callable[[Changes], list[str]]
ToldOfEdit = Callable[[str, str, str], list[str]]

CASES = [
    pytest.param(
        QUOTE,
        "minimum: 50",
        "minimun: 50",
        ["17:5 unknown-key: items 1, minimun: unknown key; did you mean 'minimum'?"],
        id="a key that is nearly right",
    ),
    pytest.param(
        QUOTE,
        "valid until:",
        "valid_until:",
        ["4:1 unknown-key: valid_until: unknown key; did you mean 'valid until'?"],
        id="a key with an underscore",
    ),
    pytest.param(
        QUOTE,
        "delivery:",
        "surprise:",
        [
            (
                "6:1 unknown-key: surprise: unknown key; known here: charges, currency, date, "
                "delivery, format, items, minimum value, note, notes, pay in, payment, quote, "
                "replaces, "
                "tax included, terms, valid for, valid until."
            )
        ],
        id="a key far from any",
    ),
    pytest.param(
        QUOTE,
        ", price: 9.80 GBP per 1",
        "",
        ["15:9 missing-field: items 1, prices 1, price: missing."],
        id="a price that is missing",
    ),
    pytest.param(
        QUOTE,
        "9.80 GBP per 1",
        "TBC",
        [
            (
                "15:27 price-open: items 1, prices 1, price: 'TBC' is not a price; the supplier "
                "has not said it yet."
            )
        ],
        id="a price of TBC",
    ),
    pytest.param(
        QUOTE,
        "9.80 GBP per 1",
        "TBC GBP per 1",
        [
            (
                "15:27 price-open: items 1, prices 1, price: 'TBC GBP per 1' is not a price; the "
                "supplier has not said it yet."
            )
        ],
        id="a price of TBC in a currency",
    ),
    pytest.param(
        QUOTE,
        "9.80 GBP per 1",
        "9.80 GBP",
        [
            (
                "15:27 unit-missing: items 1, prices 1, price: '9.80 GBP' has no unit; expected "
                "what the price is for, such as 9.80 GBP per 1."
            )
        ],
        id="a price for nothing stated",
    ),
    pytest.param(
        QUOTE,
        "9.80 GBP per 1",
        "9.80 per 1",
        [
            (
                "15:27 not-money: items 1, prices 1, price: '9.80 per 1' is not an amount of "
                "money; expected amount and currency, such as 1500 GBP."
            )
        ],
        id="a price without currency",
    ),
    pytest.param(
        QUOTE,
        "9.80 GBP per 1",
        "9.80 GBP per dozen",
        [
            (
                "15:27 unit-unknown: items 1, prices 1, price: '9.80 GBP per dozen' has a unit "
                "that is not known here; expected per 1, per 100, per 1000, per g or per kg."
            )
        ],
        id="a price per dozen",
    ),
    pytest.param(
        QUOTE,
        "9.80 GBP per 1",
        "-9.80 GBP per 1",
        [("15:27 not-positive: items 1, prices 1, price: '-9.80 GBP per 1' must be zero or more.")],
        id="a price below zero",
    ),
    pytest.param(
        QUOTE,
        "9.80 GBP per 1",
        "9.80 GBX per 1",
        [
            (
                "15:27 unknown-currency: items 1, prices 1, price: '9.80 GBX per 1' is not a "
                "currency code of ISO 4217."
            )
        ],
        id="a price in a currency that is not",
    ),
    pytest.param(
        QUOTE,
        "9.80 GBP per 1",
        '"1,845 GBP per 1"',
        [
            (
                "15:27 two-readings: items 1, prices 1, price: '1,845 GBP per 1' can be read as "
                "1.845 or 1845."
            )
        ],
        id="a comma that may be decimal",
    ),
    pytest.param(
        QUOTE,
        "9.80 GBP per 1",
        '"9,80 GBP per 1"',
        [
            (
                "15:27 not-a-number: items 1, prices 1, price: '9,80 GBP per 1' is not a number "
                "here; expected a number such as 12.90."
            )
        ],
        id="a decimal comma",
    ),
    pytest.param(
        QUOTE,
        "9.80 GBP per 1",
        "9,80 GBP per 1",
        [
            (
                "15:27 not-money: items 1, prices 1, price: '9' is not an amount of money; "
                "expected amount and currency, such as 1500 GBP."
            ),
            (
                "15:29 stray-words: items 1, prices 1, 80 GBP per 1: no such key, and nothing is "
                "written behind it."
            ),
        ],
        id="a comma that cuts a value in two",
    ),
    pytest.param(
        QUOTE,
        "from: 50",
        "from: -50",
        ["15:16 not-positive: items 1, prices 1, from: '-50' must be 1 or more."],
        id="a negative quantity",
    ),
    pytest.param(
        QUOTE,
        "from: 50",
        "from: 0",
        ["15:16 not-positive: items 1, prices 1, from: '0' must be 1 or more."],
        id="a quantity of zero",
    ),
    pytest.param(
        QUOTE,
        "minimum: 50",
        "minimum: 1.000",
        ["17:14 two-readings: items 1, minimum: '1.000' can be read as 1 or 1000."],
        id="a quantity that may be a thousand",
    ),
    pytest.param(
        QUOTE,
        "minimum: 50",
        "minimum: 50.5",
        [("17:14 wrong-value: items 1, minimum: '50.5' does not fit; expected a whole number.")],
        id="half a piece",
    ),
    pytest.param(
        QUOTE,
        "price: 1500 GBP",
        "price: 1500 GBP, life: 0",
        ["22:64 not-positive: items 1, tools 1, life: '0' must be 1 or more."],
        id="a tool life of zero",
    ),
    pytest.param(
        QUOTE,
        "price: 1500 GBP",
        "price: 1.500 GBP",
        [("22:48 two-readings: items 1, tools 1, price: '1.500 GBP' can be read as 1.5 or 1500.")],
        id="an amount that may be a thousand",
    ),
    pytest.param(
        QUOTE,
        "amount: 30 GBP",
        "amount: on request",
        [
            (
                "20:32 price-open: items 1, charges 1, amount: 'on request' is not a price; the "
                "supplier has not said it yet."
            )
        ],
        id="an amount on request",
    ),
    pytest.param(
        QUOTE,
        "amount: 30 GBP",
        "amount: thirty pounds",
        [
            (
                "20:32 not-money: items 1, charges 1, amount: 'thirty pounds' is not an amount of"
                " money; expected amount and currency, such as 1500 GBP."
            )
        ],
        id="an amount in words",
    ),
    pytest.param(
        QUOTE,
        "amount: 30 GBP",
        "amount: thirty GBP",
        [
            (
                "20:32 not-a-number: items 1, charges 1, amount: 'thirty GBP' is not a number "
                "here; expected a number such as 12.90."
            )
        ],
        id="an amount without number",
    ),
    pytest.param(
        QUOTE,
        "currency: GBP",
        "currency: Pounds",
        ["5:11 unknown-currency: currency: 'Pounds' is not a currency code of ISO 4217."],
        id="a currency in words",
    ),
    pytest.param(
        QUOTE,
        "2026-10-12",
        "12.10.2026",
        [
            (
                "3:7 not-a-date: date: '12.10.2026' is not a date; expected year-month-day, such "
                "as 2027-03-15."
            )
        ],
        id="a date of another country",
    ),
    pytest.param(
        QUOTE,
        "2027-01-31",
        "2027-02-31",
        [
            (
                "4:14 not-a-date: valid until: '2027-02-31' is not a date; expected "
                "year-month-day, such as 2027-03-15."
            )
        ],
        id="a day that does not exist",
    ),
    pytest.param(
        QUOTE,
        "share: 100 %",
        "share: 120 %",
        [
            (
                "8:13 wrong-value: payment 1, share: '120 %' does not fit; expected a percentage "
                "from 0 % to 100 %."
            )
        ],
        id="a share above the whole",
    ),
    pytest.param(
        QUOTE,
        "share: 100 %",
        "share: 100",
        [
            (
                "8:13 unit-missing: payment 1, share: '100' has no unit; expected a percentage "
                "such as 4 %."
            )
        ],
        id="a share without sign",
    ),
    pytest.param(
        QUOTE,
        "25 working days",
        "25",
        [
            (
                "28:16 unit-missing: items 1, lead time: '25' has no unit; expected a time such "
                "as 25 working days or 6 weeks."
            )
        ],
        id="a time without unit",
    ),
    pytest.param(
        QUOTE,
        "25 working days",
        "25 fortnights",
        [
            (
                "28:16 unit-unknown: items 1, lead time: '25 fortnights' has a unit that is not "
                "known here; expected working days, days, weeks or months."
            )
        ],
        id="a time in fortnights",
    ),
    pytest.param(
        QUOTE,
        "25 working days",
        "soon",
        [
            (
                "28:16 not-a-number: items 1, lead time: 'soon' is not a number here; expected a "
                "number such as 12.90."
            )
        ],
        id="a time in words",
    ),
    pytest.param(
        QUOTE,
        "per: batch",
        "per: batsch",
        [
            (
                "20:45 unknown-word: items 1, charges 1, per: 'batsch' is not a word used here; "
                "did you mean 'batch'?"
            )
        ],
        id="a word that is nearly right",
    ),
    pytest.param(
        QUOTE,
        "FCA Wolv",
        "DDU Wolv",
        [
            (
                "6:11 unknown-word: delivery, rule: 'DDU' is not a word used here; it ended with "
                "an earlier edition of Incoterms; DAP took its place."
            )
        ],
        id="a delivery rule of an earlier edition",
    ),
    pytest.param(
        QUOTE,
        "FCA Wolv",
        "fca Wolv",
        [("6:11 unknown-word: delivery, rule: 'fca' is not a word used here; did you mean 'FCA'?")],
        id="a delivery rule in small letters",
    ),
    pytest.param(
        QUOTE,
        "FCA Wolverhampton",
        "FCA",
        ["6:11 missing-field: delivery, place: missing."],
        id="a delivery rule without place",
    ),
    pytest.param(
        QUOTE,
        "minimum: 50",
        "minimum: [50]",
        ["17:14 not-a-form: items 1, minimum: expected one value, found a list."],
        id="a list where one value belongs",
    ),
    pytest.param(
        QUOTE,
        "includes: [heat treatment]",
        "includes: heat treatment",
        ["23:15 not-a-form: items 1, includes: expected a list, found 'heat treatment'."],
        id="one value where a list belongs",
    ),
    pytest.param(
        QUOTE,
        "- {from: 50, price: 9.80 GBP per 1}",
        "- 9.80 GBP per 1",
        [("15:9 not-a-form: items 1, prices 1: expected a group of keys, found '9.80 GBP per 1'.")],
        id="one value where a group belongs",
    ),
    pytest.param(
        QUOTE,
        "minimum: 50",
        "minimum:",
        ["17:5 value-empty: items 1, minimum: nothing is written."],
        id="a key with nothing behind it",
    ),
    pytest.param(
        QUOTE,
        "includes: [heat treatment]",
        "includes: [~, null]\n    note: Null",
        [
            "23:16 value-empty: items 1, includes 1: nothing is written.",
            "23:19 value-empty: items 1, includes 2: nothing is written.",
            "24:5 value-empty: items 1, note: nothing is written.",
        ],
        id="three ways of nothing",
    ),
    pytest.param(
        QUOTE,
        "includes: [heat treatment]",
        "certificates: ['']",
        [
            (
                "23:20 wrong-value: items 1, certificates 1: '' does not fit; expected a text of "
                "1 to 2000 characters."
            )
        ],
        id="an empty text",
    ),
    pytest.param(
        QUOTE,
        "format: 1",
        "format: 2",
        ["1:9 format-unknown: format: '2' is not known; expected 1."],
        id="a format to come",
    ),
    pytest.param(QUOTE, "format: 1\n", "", ["1:1 missing-field: format: missing."], id="no format"),
    pytest.param(
        PART,
        "86 g",
        "86",
        [
            (
                "parts/pawl.yaml:5:7 unit-missing: mass: '86' has no unit; expected a mass such "
                "as 86 g."
            ),
            "12:11 item-part-broken: items 1, part: the part 'pawl' could not be read.",
        ],
        id="a mass without unit",
    ),
    pytest.param(
        PART,
        "86 g",
        "86 grams",
        [
            (
                "parts/pawl.yaml:5:7 unit-unknown: mass: '86 grams' has a unit that is not known "
                "here; expected one of mg, g, kg, t, lb, oz."
            ),
            "12:11 item-part-broken: items 1, part: the part 'pawl' could not be read.",
        ],
        id="a mass in a unit that is not known",
    ),
    pytest.param(
        PART,
        "86 g",
        "-86 g",
        [
            "parts/pawl.yaml:5:7 not-positive: mass: '-86 g' must be more than zero.",
            "12:11 item-part-broken: items 1, part: the part 'pawl' could not be read.",
        ],
        id="a mass below zero",
    ),
    pytest.param(
        PART,
        "86 g",
        "about 86 g",
        [
            (
                "parts/pawl.yaml:5:7 not-a-number: mass: 'about 86 g' is not a number here; "
                "expected a mass such as 86 g."
            ),
            "12:11 item-part-broken: items 1, part: the part 'pawl' could not be read.",
        ],
        id="a mass that is a guess",
    ),
    pytest.param(
        WORKSHOP,
        "7 % a year",
        "7 %",
        [
            "workshop.yaml workshop-missing: There is no workshop.yaml that can be used.",
            (
                "workshop.yaml:8:18 unit-missing: cost of capital: '7 %' has no unit; expected a "
                "percentage a year, such as 7 % a year."
            ),
        ],
        id="a rate that is not yearly",
    ),
    pytest.param(
        WORKSHOP,
        "country: NL",
        "country: Netherlands",
        [
            "workshop.yaml workshop-missing: There is no workshop.yaml that can be used.",
            (
                "workshop.yaml:5:10 wrong-value: country: 'Netherlands' does not fit; expected a "
                "country code of two capitals (ISO 3166-1)."
            ),
        ],
        id="a country by its name",
    ),
    pytest.param(
        SUPPLIER,
        "country: GB",
        "country: UK",
        [
            "1:1 quote-supplier-broken: The supplier 'arden' could not be read.",
            (
                "suppliers/arden.yaml:4:10 wrong-value: country: 'UK' does not fit; expected GB, "
                "its code in ISO 3166-1."
            ),
        ],
        id="a country by another code",
    ),
    pytest.param(
        WORKSHOP,
        "name: Test",
        "import tax comes back: maybe\nname: Test",
        [
            "workshop.yaml workshop-missing: There is no workshop.yaml that can be used.",
            (
                "workshop.yaml:2:24 wrong-value: import tax comes back: 'maybe' does not fit; "
                "expected yes or no."
            ),
        ],
        id="neither yes nor no",
    ),
]


def test_the_sound_folder_has_no_problem(told: Callable[[dict[str, str]], list[str]]) -> None:
    """No source: what the cases spoil is sound before."""
    assert told({}) == []


@pytest.mark.parametrize(("name", "old", "new", "expected"), CASES)
def test_a_bad_value_is_told_where_it_stands(
    told_of_edit: ToldOfEdit, name: str, old: str, new: str, expected: list[str]
) -> None:
    """No source: our own forms."""
    assert told_of_edit(name, old, new) == expected


@pytest.mark.parametrize(
    ("months", "expected"),
    [
        ("0", "not-positive: planning months: '0' must be 1 or more."),
        ("-12", "not-positive: planning months: '-12' must be 1 or more."),
        ("121", "wrong-value: planning months: '121' does not fit; expected at most 120."),
        ("1.5", "wrong-value: planning months: '1.5' does not fit; expected a whole number."),
    ],
)
def test_a_plan_of_no_month_or_of_more_than_ten_years_is_told(
    told_of_edit: ToldOfEdit, months: str, expected: str
) -> None:
    """No source: our own forms."""
    assert told_of_edit(WORKSHOP, "planning months: 24", f"planning months: {months}") == [
        "workshop.yaml workshop-missing: There is no workshop.yaml that can be used.",
        f"workshop.yaml:7:18 {expected}",
    ]


@pytest.mark.parametrize("months", ["1", "12", "60", "120"])
def test_a_plan_of_one_month_to_ten_years_is_sound(told_of_edit: ToldOfEdit, months: str) -> None:
    """No source: our own forms."""
    assert told_of_edit(WORKSHOP, "planning months: 24", f"planning months: {months}") == []


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("low: 100", "low: -100", "7:15 not-positive: demand, low: '-100' must be zero or more."),
        ("likely: 200", "likely: 0", "7:28 not-positive: demand, likely: '0' must be 1 or more."),
        (
            "likely: 200",
            "likely: 12.5",
            "7:28 wrong-value: demand, likely: '12.5' does not fit; expected a whole number.",
        ),
        (
            "high: 300",
            "high: 300, by month: [5, -3]",
            "7:58 not-positive: demand, by month 2: '-3' must be zero or more.",
        ),
        (
            "high: 300",
            "high: 300, by month: [5, 0.5]",
            "7:58 wrong-value: demand, by month 2: '0.5' does not fit; expected a whole number.",
        ),
        (
            "high: 300",
            "high: 300, by month: [100001]",
            (
                "7:55 wrong-value: demand, by month 1: '100001' does not fit; expected at most "
                "100,000."
            ),
        ),
        (
            "high: 300",
            "high: 300, by month: 12",
            "7:54 not-a-form: demand, by month: expected a list, found '12'.",
        ),
    ],
)
def test_a_demand_that_is_no_number_of_pieces_is_told(
    told_of_edit: ToldOfEdit, old: str, new: str, expected: str
) -> None:
    """No source: our own forms."""
    assert told_of_edit(PART, old, new) == [
        f"parts/pawl.yaml:{expected}",
        "12:11 item-part-broken: items 1, part: the part 'pawl' could not be read.",
    ]


@pytest.mark.parametrize(
    ("items", "expected"),
    [
        pytest.param("", ["1:1 missing-field: items: missing."], id="none"),
        pytest.param(
            "items: two\n", ["11:8 not-a-form: items: expected a list, found 'two'."], id="a text"
        ),
        pytest.param(
            "items: {part: pawl}\n",
            ["11:8 not-a-form: items: expected a list, found a group of keys."],
            id="a group",
        ),
    ],
)
def test_items_that_are_no_list_are_told(
    told: Told, sound: Mapping[str, str], items: str, expected: list[str]
) -> None:
    """No source: our own forms."""
    head = sound[QUOTE].partition("items:")[0]
    assert told({QUOTE: head + items}) == expected


def test_everything_wrong_is_told_in_one_run(told: Told, sound: Mapping[str, str]) -> None:
    """No source: head, both items, the part and the workshop are wrong, and all of it is told."""
    quote = sound[QUOTE].replace("currency: GBP", "currency: Pounds")
    quote = quote.replace("from: 200", "from: many").replace("from: 1,", "from: 0,")
    changes = {
        QUOTE: quote,
        PART: sound[PART].replace("86 g", "86"),
        WORKSHOP: sound[WORKSHOP].replace("country: NL", "country: Holland"),
    }
    assert [line.split(": ")[0] for line in told(changes)] == [
        "parts/pawl.yaml:5:7 unit-missing",
        "5:11 unknown-currency",
        "16:16 not-a-number",
        "31:16 not-positive",
        "workshop.yaml workshop-missing",
        "workshop.yaml:5:10 wrong-value",
    ]


def test_a_problem_says_what_happens_and_what_to_do(
    write: Callable[[Changes], Path], sound: Mapping[str, str]
) -> None:
    """No source: the whole sentence of one problem."""
    quote = sound[QUOTE].replace("lead time: 25 working days", "lead time: 25")
    (problem,) = read_folder(write({QUOTE: quote})).problems
    assert problem.sentence == (
        "quotes/arden/af-2291.yaml:28:16: unit-missing: items 1, lead time: '25' has no unit; "
        "expected a time such as 25 working days or 6 weeks. Item 1 (part pawl) of the quote "
        "AF-2291 is left out. Write the unit after the number."
    )


def test_no_more_is_told_of_a_form_than_a_person_reads(
    told: Told, sound: Mapping[str, str]
) -> None:
    """No source: fifty problems of one form, and a word about the others."""
    extra = "".join(f"odd {number}: x\n" for number in range(60))
    lines = told({QUOTE: sound[QUOTE] + extra})
    assert len(lines) == 51
    more = "quotes/arden/af-2291.yaml more-problems: There are more than 50 problems in this file."
    assert lines[0] == more
    assert sum("unknown-key: odd" in line for line in lines) == 50


def test_the_known_keys_are_those_of_the_form_where_a_key_stands() -> None:
    """No source: the way leads through lists and through fields that may be left out."""
    assert keys_known_at(Quote, ("items", 3, "prices", 2)) == ("from", "price")
    assert keys_known_at(Quote, ("items", 3, "rejects")) == ("share", "found", "made good")
    assert "valid until" in keys_known_at(Quote, ())
    assert keys_known_at(Quote, ("currency",)) == ()
