"""What does not hold together in our own records."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from quotegen.intake.folder import read_folder

PART = "parts/pawl.yaml"
SUPPLIER = "suppliers/arden.yaml"
WORKSHOP = "workshop.yaml"
ToldOfEdit = Callable[[str, str, str], list[str]]

CASES = [
    pytest.param(
        WORKSHOP,
        "operation: lapping of the seat",
        "operation: deburring",
        [
            ("workshop.yaml:16:5 line-twice: completion 1: there is another line for deburring."),
            ("workshop.yaml:17:5 line-twice: completion 2: there is another line for deburring."),
        ],
        id="two completions of one operation",
    ),
    pytest.param(
        WORKSHOP,
        "source: own van}",
        "source: own van}\n  - {from: NL, source: other}",
        [
            "workshop.yaml:19:5 line-twice: delivery 1: there is another line for NL.",
            "workshop.yaml:20:5 line-twice: delivery 2: there is another line for NL.",
        ],
        id="two ways from one country",
    ),
    pytest.param(
        WORKSHOP,
        "one: USD",
        "one: GBP",
        [
            ("workshop.yaml:11:5 line-twice: rates 1: there is another line for GBP 2026-10-30."),
            ("workshop.yaml:12:5 line-twice: rates 2: there is another line for GBP 2026-10-30."),
        ],
        id="two rates of one day",
    ),
    pytest.param(
        WORKSHOP,
        "source: tariff}",
        (
            "source: tariff}\n"
            '  - {goods code: "8448", origin: GB, rate: 2 %, since: 2021-01-01, source: x}'
        ),
        [
            (
                "workshop.yaml:21:5 line-twice: duty 1: there is another line for 8448 GB "
                "2021-01-01."
            ),
            (
                "workshop.yaml:22:5 line-twice: duty 2: there is another line for 8448 GB "
                "2021-01-01."
            ),
        ],
        id="two duties on one code",
    ),
    pytest.param(
        WORKSHOP,
        "source: wages}",
        "source: wages}\n  - {work: bench, rate: 39 EUR, source: x}",
        [
            "workshop.yaml:14:5 line-twice: labour 1: there is another line for bench.",
            "workshop.yaml:15:5 line-twice: labour 2: there is another line for bench.",
        ],
        id="two rates of one labour",
    ),
    pytest.param(
        WORKSHOP,
        "minutes: 2, labour: bench, ",
        "",
        [
            (
                "workshop.yaml:16:5 completion-price: completion 1: 'deburring' has no `price`, "
                "no `minutes` and no `per order`."
            )
        ],
        id="a completion without price",
    ),
    pytest.param(
        WORKSHOP,
        "minutes: 2, labour: bench, ",
        "minutes: 2, ",
        [
            (
                "workshop.yaml:16:5 completion-labour: completion 1: 'deburring' has `minutes` "
                "and no `labour`."
            )
        ],
        id="minutes of nobody",
    ),
    pytest.param(
        WORKSHOP,
        "labour: bench",
        "labour: bensch",
        [
            (
                "workshop.yaml:16:48 labour-unknown: completion 1, labour: there is no labour "
                "'bensch'; did you mean 'bench'?"
            )
        ],
        id="a labour that is not here",
    ),
    pytest.param(
        WORKSHOP,
        "one: USD",
        "one: EUR",
        ["workshop.yaml:12:11 rate-own: rates 2, one: EUR is the workshop's own currency."],
        id="a rate of the own currency",
    ),
    pytest.param(
        WORKSHOP,
        "is worth: 0.86 EUR",
        "is worth: 0.86 USD",
        [
            (
                "workshop.yaml:12:26 rate-currency: rates 2, is worth: the rate is in USD, the "
                "workshop reckons in EUR."
            )
        ],
        id="a rate in another currency",
    ),
    pytest.param(
        WORKSHOP,
        "is worth: 0.86 EUR",
        "is worth: 0 EUR",
        [("workshop.yaml:12:26 not-positive: rates 2, is worth: '0 EUR' must be more than zero.")],
        id="a currency worth nothing",
    ),
    pytest.param(
        PART,
        "low: 100",
        "low: 250",
        [
            (
                "parts/pawl.yaml:7:9 demand-order: demand: 250, 200, 300 do not rise from low "
                "over likely to high."
            ),
            "12:11 item-part-broken: items 1, part: the part 'pawl' could not be read.",
        ],
        id="a demand that falls",
    ),
    pytest.param(
        PART,
        "heat treatment, deburring",
        "heat treatment, deburing",
        [
            (
                "parts/pawl.yaml:6:30 unknown-word: operations 2: 'deburing' is not a word used "
                "here; did you mean 'deburring'?"
            ),
            "12:11 item-part-broken: items 1, part: the part 'pawl' could not be read.",
        ],
        id="an operation that is unknown",
    ),
    pytest.param(
        PART,
        "heat treatment, deburring",
        "deburring, deburring",
        [
            "parts/pawl.yaml:6:25 operation-twice: operations 2: 'deburring' stands twice.",
            "12:11 item-part-broken: items 1, part: the part 'pawl' could not be read.",
        ],
        id="an operation that stands twice",
    ),
    pytest.param(
        SUPPLIER,
        "[investment casting]",
        "[]",
        [
            "1:1 quote-supplier-broken: The supplier 'arden' could not be read.",
            (
                "suppliers/arden.yaml:3:12 list-empty: processes: expected at least one line, "
                "found none."
            ),
        ],
        id="a supplier of no process",
    ),
    pytest.param(
        SUPPLIER,
        "last: 2027-01-03",
        "last: 2026-01-03",
        [
            (
                "suppliers/arden.yaml:6:31 closure-order: closed 1, last: 2026-01-03 lies before "
                "the first day, 2026-12-24."
            )
        ],
        id="a closure that ends before it begins",
    ),
]


def test_the_sound_folder_has_no_problem(told: Callable[[dict[str, str]], list[str]]) -> None:
    """No source: what the cases spoil is sound before."""
    assert told({}) == []


@pytest.mark.parametrize(("name", "old", "new", "expected"), CASES)
def test_a_record_that_does_not_hold_together_is_told(
    told_of_edit: ToldOfEdit, name: str, old: str, new: str, expected: list[str]
) -> None:
    """Common practice, no source."""
    assert told_of_edit(name, old, new) == expected


def test_a_bad_line_is_left_out_and_the_others_keep_their_places(
    write: Callable[[Mapping[str, str]], Path], sound: Mapping[str, str]
) -> None:
    """No source: without the first completion the second is the first, where it was written."""
    changed = sound[WORKSHOP].replace("labour: bench", "labour: bensch")
    workshop = read_folder(write({WORKSHOP: changed})).workshop
    assert workshop is not None
    assert [each.operation for each in workshop.record.completion] == ["lapping of the seat"]
    place = workshop.places.of("completion", 0, "operation")
    assert str(place) == "workshop.yaml:17:17"
    assert str(workshop.places.of("delivery", 0, "from")) == "workshop.yaml:19:12"


def test_a_closure_that_cannot_be_leaves_the_supplier_in(
    write: Callable[[Mapping[str, str]], Path], sound: Mapping[str, str]
) -> None:
    """No source: the line is left out alone."""
    folder = read_folder(write({SUPPLIER: sound[SUPPLIER].replace("2027-01-03", "2026-01-03")}))
    assert folder.suppliers["arden"].record.closed == ()
    assert len(folder.quotes) == 1


@pytest.mark.parametrize(
    "demand", ["low: 200, likely: 200, high: 200", "low: 0, likely: 1, high: 1"]
)
def test_a_demand_may_stand_still(told_of_edit: ToldOfEdit, demand: str) -> None:
    """No source: equal figures do not fall."""
    assert told_of_edit(PART, "low: 100, likely: 200, high: 300", demand) == []
