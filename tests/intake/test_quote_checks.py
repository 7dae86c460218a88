"""What does not hold together in a quote as a whole."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import pytest

QUOTE = "quotes/arden/af-2291.yaml"
Changes = Mapping[str, str | bytes | None]
Told = Callable[[Changes], list[str]]
ToldOfEdit = Callable[[str, str, str], list[str]]

CASES = [
    pytest.param(
        QUOTE,
        "2027-01-31",
        "2026-09-30",
        [
            (
                "4:14 validity-before-date: valid until: 2026-09-30 lies before the quote's date,"
                " 2026-10-12."
            )
        ],
        id="a quote that ends before it begins",
    ),
    pytest.param(
        QUOTE,
        "2027-01-31",
        "2027-01-31\nvalid for: 30 days",
        [("4:14 validity-two: valid until: 2027-01-31 is not what `valid for` says, 2026-11-11.")],
        id="two ends that differ",
    ),
    pytest.param(
        QUOTE,
        "share: 100 %",
        "share: 60 %",
        ["8:3 payment-sum: payment: the shares add up to 60 %, not to 100 %."],
        id="payment of part of the invoice",
    ),
    pytest.param(
        QUOTE,
        "{share: 100 %, when: invoice, days: 30}",
        "{share: 99.9999999 %, when: invoice}",
        ["8:3 payment-sum: payment: the shares add up to 99.9999999 %, not to 100 %."],
        id="payment of nearly the whole invoice",
    ),
    pytest.param(
        QUOTE,
        "amount: 40 GBP, per: order",
        "amount: 40 GBP, per: batch",
        [
            (
                "10:5 batch-missing: charges 1: 'certificate' is paid per batch, and no batch "
                "size is known."
            )
        ],
        id="a charge per batch of the whole quote",
    ),
    pytest.param(
        QUOTE,
        "date: 2026-10-12",
        "date: 2026-10-12\nreplaces: AF-2291",
        ["4:11 replaces-itself: replaces: the quote 'AF-2291' names itself."],
        id="a quote that replaces itself",
    ),
    pytest.param(
        QUOTE,
        "1500 GBP",
        "1900 USD",
        [
            (
                "22:48 amount-currency: items 1, tools 1, price: '1900 USD' is not in the quote's"
                " currency, GBP."
            )
        ],
        id="a tool in another currency",
    ),
    pytest.param(
        QUOTE,
        "amount: 40 GBP",
        "amount: 40 EUR",
        [
            (
                "10:33 amount-currency: charges 1, amount: '40 EUR' is not in the quote's "
                "currency, GBP."
            )
        ],
        id="a charge in another currency",
    ),
    pytest.param(
        QUOTE,
        "      - {tool: af-die-1, what: wax die, price: 1500 GBP}",
        (
            "      - {tool: af-die-1, what: wax die, price: 1500 GBP}\n"
            "      - {tool: af-die-1, what: wax die, price: 1500 GBP}"
        ),
        ["23:9 tool-twice: items 1, tools 2: the tool 'af-die-1' stands twice in one item."],
        id="a tool twice in one item",
    ),
    pytest.param(
        QUOTE,
        "      - {from: 1, price: 21.50 GBP per 1}\n",
        (
            "      - {from: 1, price: 21.50 GBP per 1}\n"
            "    tools:\n"
            "      - {tool: af-die-1, what: wax die, price: 1600 GBP}\n"
        ),
        [
            (
                "22:9 tool-differs: items 1, tools 1: the tool 'af-die-1' is described in two "
                "ways in this quote."
            ),
            (
                "33:9 tool-differs: items 2, tools 1: the tool 'af-die-1' is described in two "
                "ways in this quote."
            ),
        ],
        id="one key for two tools",
    ),
]


def test_the_sound_folder_has_no_problem(told: Callable[[dict[str, str]], list[str]]) -> None:
    """No source: what the cases spoil is sound before."""
    assert told({}) == []


@pytest.mark.parametrize(("name", "old", "new", "expected"), CASES)
def test_a_quote_that_does_not_hold_together_is_told(
    told_of_edit: ToldOfEdit, name: str, old: str, new: str, expected: list[str]
) -> None:
    """Common practice of buying, no source."""
    assert told_of_edit(name, old, new) == expected


def test_a_quote_without_items_is_told(told: Told, sound: Mapping[str, str]) -> None:
    """No source: an empty list is not a quote."""
    head = sound[QUOTE].partition("items:")[0]
    assert told({QUOTE: head + "items: []\n"}) == [
        "11:8 list-empty: items: expected at least one line, found none."
    ]


def test_a_quote_of_nobody_is_told_with_the_nearest_name(
    told: Told, sound: Mapping[str, str]
) -> None:
    """No source: the folder of a quote names its supplier."""
    assert told({QUOTE: None, "quotes/ardn/af-2291.yaml": sound[QUOTE]}) == [
        (
            "quotes/ardn/af-2291.yaml:1:1 quote-supplier-unknown: There is no supplier 'ardn'; "
            "did you mean 'arden'?"
        )
    ]


def test_a_quote_of_a_supplier_that_cannot_be_read_says_so(
    told_of_edit: ToldOfEdit,
) -> None:
    """No source: the slip is in the supplier's form, not in the quote."""
    assert told_of_edit("suppliers/arden.yaml", "name: Arden Foundry\n", "") == [
        "1:1 quote-supplier-broken: The supplier 'arden' could not be read.",
        "suppliers/arden.yaml:1:1 missing-field: name: missing.",
    ]


def test_one_tool_may_serve_two_items(told_of_edit: ToldOfEdit) -> None:
    """R5: one key, the same data, two items."""
    one = "      - {from: 1, price: 21.50 GBP per 1}\n"
    tool = "    tools:\n      - {price: 1500.00 GBP, tool: af-die-1, what: wax die}\n"
    assert told_of_edit(QUOTE, one, one + tool) == []


def test_two_ways_to_say_the_same_end_may_agree(told_of_edit: ToldOfEdit) -> None:
    """No source: 111 days from 12 October are 31 January."""
    assert told_of_edit(QUOTE, "2027-01-31", "2027-01-31\nvalid for: 111 days") == []
