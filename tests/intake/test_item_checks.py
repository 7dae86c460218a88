"""What does not hold together in one item of a quote."""

from __future__ import annotations

from collections.abc import Callable

import pytest

QUOTE = "quotes/arden/af-2291.yaml"
ToldOfEdit = Callable[[str, str, str], list[str]]

CASES = [
    pytest.param(
        QUOTE,
        "part: pawl",
        "part: pawll",
        [
            (
                "12:11 item-part-unknown: items 1, part: there is no part 'pawll'; did you mean "
                "'pawl'?"
            )
        ],
        id="a part that is not here",
    ),
    pytest.param(
        QUOTE,
        "part: pawl",
        "part: ../pawl",
        [
            (
                "12:11 bad-name: '../pawl' cannot be a name here: expected small letters, digits,"
                " '-', '_' and '.', 64 at most, no '..' and no '/', and not what Windows keeps "
                "for a device, such as con."
            )
        ],
        id="a part that climbs out",
    ),
    pytest.param(
        QUOTE,
        "part: pawl",
        "part: parts/pawl",
        [
            (
                "12:11 bad-name: 'parts/pawl' cannot be a name here: expected small letters, "
                "digits, '-', '_' and '.', 64 at most, no '..' and no '/', and not what Windows "
                "keeps for a device, such as con."
            )
        ],
        id="a part with a slash",
    ),
    pytest.param(
        QUOTE,
        "      - {from: 1, price: 21.50 GBP per 1}",
        "      []",
        ["31:7 list-empty: items 2, prices: expected at least one line, found none."],
        id="no prices",
    ),
    pytest.param(
        QUOTE,
        "from: 200",
        "from: 50",
        [
            (
                "16:16 tiers-not-rising: items 1, prices 2, from: 50 does not lie above 50, where"
                " the break before it begins."
            )
        ],
        id="two prices from one quantity",
    ),
    pytest.param(
        QUOTE,
        "from: 200",
        "from: 20",
        [
            (
                "16:16 tiers-not-rising: items 1, prices 2, from: 20 does not lie above 50, where"
                " the break before it begins."
            )
        ],
        id="breaks out of order",
    ),
    pytest.param(
        QUOTE,
        "8.90 GBP",
        "10.90 GBP",
        [
            (
                "16:28 price-dearer: items 1, prices 2, price: '10.90 GBP per 1' from 200 pieces "
                "is dearer than 9.80 GBP per 1 from 50 pieces."
            )
        ],
        id="a dearer price for more",
    ),
    pytest.param(
        QUOTE,
        "8.90 GBP per 1",
        "990 GBP per 100",
        [
            (
                "16:28 price-dearer: items 1, prices 2, price: '990 GBP per 100' from 200 pieces "
                "is dearer than 9.80 GBP per 1 from 50 pieces."
            )
        ],
        id="a dearer price per hundred",
    ),
    pytest.param(
        QUOTE,
        "8.90 GBP per 1",
        "8.90 GBP per kg",
        [
            (
                "16:28 prices-mixed: items 1, prices 2, price: '8.90 GBP per kg' and '9.80 GBP "
                "per 1' are not for the same unit."
            )
        ],
        id="prices for pieces and for mass",
    ),
    pytest.param(
        QUOTE,
        "8.90 GBP per 1",
        "8.90 EUR per 1",
        [
            (
                "16:28 price-currency: items 1, prices 2, price: '8.90 EUR per 1' is in EUR, the "
                "quote is in GBP."
            )
        ],
        id="a price in another currency",
    ),
    pytest.param(
        QUOTE,
        "minimum: 50",
        "minimum: 250",
        [
            (
                "15:9 tier-unreachable: items 1, prices 1: the price from 50 on is never reached,"
                " since the minimum is 250."
            )
        ],
        id="a price that is never reached",
    ),
    pytest.param(
        QUOTE,
        "includes: [heat treatment]",
        "includes: [heat treatmnt]",
        [
            (
                "23:16 unknown-word: items 1, includes 1: 'heat treatmnt' is not a word used "
                "here; did you mean 'heat treatment'?"
            )
        ],
        id="an operation that is nearly right",
    ),
    pytest.param(
        QUOTE,
        "excludes: [finish machining]",
        "excludes: [heat treatment]",
        [
            (
                "24:16 operation-both: items 1, excludes 1: 'heat treatment' is both included and"
                " excluded."
            )
        ],
        id="an operation in and out",
    ),
    pytest.param(
        QUOTE,
        "what: alloy, rate: 4 %",
        "what: alloy",
        [
            (
                "26:9 surcharge-measure: items 1, surcharges 1: 'alloy' needs a `rate` or a "
                "`price`, and not both."
            )
        ],
        id="a surcharge of nothing",
    ),
    pytest.param(
        QUOTE,
        "what: alloy, rate: 4 %",
        "what: alloy, rate: 4 %, price: 1 GBP per kg",
        [
            (
                "26:9 surcharge-measure: items 1, surcharges 1: 'alloy' needs a `rate` or a "
                "`price`, and not both."
            )
        ],
        id="a surcharge with two measures",
    ),
    pytest.param(
        QUOTE,
        "of: [goods, alloy]",
        "of: [goods, metal]",
        [
            (
                "27:47 surcharge-base: items 1, surcharges 2, of 2: 'metal' is not a base here; "
                "known so far: goods, charges, alloy."
            )
        ],
        id="a surcharge on an unknown base",
    ),
    pytest.param(
        QUOTE,
        "what: alloy, rate: 4 %",
        "what: alloy, rate: 4 %, of: [energy]",
        [
            (
                "26:39 surcharge-base: items 1, surcharges 1, of 1: 'energy' is not a base here; "
                "known so far: goods, charges."
            )
        ],
        id="a surcharge on a later one",
    ),
    pytest.param(
        QUOTE,
        "what: alloy, rate: 4 %",
        "what: alloy, rate: 4 %, counted: no",
        [
            (
                "27:47 surcharge-base: items 1, surcharges 2, of 2: 'alloy' is not a base here; "
                "known so far: goods, charges."
            )
        ],
        id="a surcharge on one that does not count",
    ),
    pytest.param(
        QUOTE,
        "of: [goods, alloy]",
        "of: [goods, goods]",
        [("27:47 surcharge-base-twice: items 1, surcharges 2, of 2: 'goods' would count twice.")],
        id="a base that counts twice",
    ),
    pytest.param(
        QUOTE,
        "what: energy",
        "what: goods",
        [
            (
                "27:16 surcharge-name: items 1, surcharges 2, what: 'goods' is the name of "
                "another base."
            )
        ],
        id="a surcharge named like a base",
    ),
    pytest.param(
        QUOTE,
        "    multiple: 14\n",
        "",
        [
            (
                "19:9 batch-missing: items 1, charges 1: 'set-up' is paid per batch, and no batch"
                " size is known."
            )
        ],
        id="a batch of unknown size",
    ),
    pytest.param(
        QUOTE,
        "minimum: 50",
        "capacity a month: 55",
        [
            (
                "17:23 order-impossible: items 1, capacity a month: '55' is less than the "
                "smallest order, 56 pieces."
            )
        ],
        id="a smallest order beyond the capacity",
    ),
    pytest.param(
        QUOTE,
        "minimum: 50",
        "rejects: {share: 100 %}",
        ["17:22 rejects-all: items 1, rejects, share: '100 %' leaves no good part."],
        id="nothing but rejects",
    ),
    pytest.param(
        QUOTE,
        "price: 1500 GBP}",
        "price: 1500 GBP, sample rounds: 11}",
        [
            (
                "22:73 wrong-value: items 1, tools 1, sample rounds: '11' does not fit; expected "
                "at most 10."
            )
        ],
        id="samples without end",
    ),
    pytest.param(
        QUOTE,
        "price: 1500 GBP}",
        "price: 1500 GBP, payment: [{share: 50 %, when: order}, {share: 40 %, when: delivery}]}",
        [
            (
                "22:67 payment-sum: items 1, tools 1, payment: the shares add up to 90 %, not to "
                "100 %."
            )
        ],
        id="a tool paid in part",
    ),
]


def test_the_sound_folder_has_no_problem(told: Callable[[dict[str, str]], list[str]]) -> None:
    """No source: what the cases spoil is sound before."""
    assert told({}) == []


@pytest.mark.parametrize(("name", "old", "new", "expected"), CASES)
def test_an_item_that_does_not_hold_together_is_told(
    told_of_edit: ToldOfEdit, name: str, old: str, new: str, expected: list[str]
) -> None:
    """Common practice of buying, no source."""
    assert told_of_edit(name, old, new) == expected


@pytest.mark.parametrize(
    ("old", "new"),
    [
        pytest.param("8.90 GBP per 1", "9.80 GBP per 1", id="the same price for more"),
        pytest.param("8.90 GBP per 1", "980 GBP per 100", id="the same price per hundred"),
        pytest.param("8.90 GBP per 1", "not quoted", id="a price still owed"),
        pytest.param("9.80 GBP per 1", "not quoted", id="a first price still owed"),
        pytest.param("minimum: 50", "minimum: 199", id="a minimum within the first break"),
        pytest.param("minimum: 50", "minimum: 10", id="a minimum below the first break"),
        pytest.param("minimum: 50", "capacity a month: 56", id="a capacity of the least order"),
        pytest.param("minimum: 50", "rejects: {share: 99 %}", id="one good part in a hundred"),
        pytest.param(
            "price: 1500 GBP}",
            "price: 1500 GBP, payment: [{share: 30 %, when: order}, {share: 70 %, when: "
            "approval of samples, days: 14}]}",
            id="a tool paid in two instalments",
        ),
        pytest.param("includes: [heat", "includes: [lapping of the seat, heat", id="our own word"),
        pytest.param("per: batch}", "per: batch, batch: 12}", id="a batch of its own size"),
    ],
)
def test_what_holds_together_is_not_told(told_of_edit: ToldOfEdit, old: str, new: str) -> None:
    """Common practice of buying, no source."""
    assert told_of_edit(QUOTE, old, new) == []


def test_a_price_still_owed_does_not_hide_a_dearer_one(told_of_edit: ToldOfEdit) -> None:
    """Common practice of buying, no source: the tiers on both sides of the gap are compared."""
    tiers = "- {from: 200, price: 8.90 GBP per 1}"
    gap = "- {from: 200, price: not quoted}\n      - {from: 300, price: 9.90 GBP per 1}"
    assert told_of_edit(QUOTE, tiers, gap) == [
        (
            "17:28 price-dearer: items 1, prices 3, price: '9.90 GBP per 1' from 300 pieces is "
            "dearer than 9.80 GBP per 1 from 50 pieces."
        )
    ]


def test_an_item_of_a_part_that_cannot_be_read_says_so(told_of_edit: ToldOfEdit) -> None:
    """No source: the slip is in the part's form, not in the quote."""
    assert told_of_edit("parts/ratchet.yaml", "name: Ratchet\n", "") == [
        "parts/ratchet.yaml:1:1 missing-field: name: missing.",
        "29:11 item-part-broken: items 2, part: the part 'ratchet' could not be read.",
    ]
