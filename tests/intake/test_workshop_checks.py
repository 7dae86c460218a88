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
BROKEN = "12:11 item-part-broken: items 1, part: the part 'pawl' could not be read."
YEAR = [10, 10, 20, 20, 20, 20, 20, 20, 20, 20, 10, 10]  # 200, as the sound part's likely demand

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
        PART,
        "operations:",
        "drawings: [{number: TS-1, title: a}, {number: TS-1, title: a, revision: B}]\noperations:",
        [
            "parts/pawl.yaml:6:12 line-twice: drawings 1: there is another line for TS-1.",
            "parts/pawl.yaml:6:38 line-twice: drawings 2: there is another line for TS-1.",
        ],
        id="two lines for one drawing",
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


MONTHS = [
    pytest.param(
        [],
        "demand-months-count: demand, by month: found 0 months; expected 12, each year alike, or "
        "24 to 120.",
        id="none",
    ),
    pytest.param(
        YEAR[:11],
        "demand-months-count: demand, by month: found 11 months; expected 12, each year alike, or "
        "24 to 120.",
        id="less than a year",
    ),
    pytest.param(
        [*YEAR, *YEAR[:11]],
        "demand-months-count: demand, by month: found 23 months; expected 12, each year alike, or "
        "24 to 120.",
        id="more than a year and less than the plan",
    ),
    pytest.param(
        [*YEAR * 10, 0],
        "demand-months-count: demand, by month: found 121 months; expected 12, each year alike, or "
        "24 to 120.",
        id="more than ten years",
    ),
    pytest.param(
        [*YEAR[:11], 9],
        "demand-months-sum: demand, by month: the first 12 months add up to 199, `likely` is 200.",
        id="a piece short of the year",
    ),
    pytest.param(
        [*YEAR[:11], 11, *YEAR],
        "demand-months-sum: demand, by month: the first 12 months add up to 201, `likely` is 200.",
        id="a piece above the year, before another one",
    ),
]


@pytest.mark.parametrize(("months", "expected"), MONTHS)
def test_months_that_are_no_plan_leave_the_part_out(
    told_of_edit: ToldOfEdit, months: list[int], expected: str
) -> None:
    """No source: the sound folder plans 24 months."""
    new = f"high: 300, by month: {months}"
    assert told_of_edit(PART, "high: 300", new) == [f"parts/pawl.yaml:7:54 {expected}", BROKEN]


@pytest.mark.parametrize(
    "months", [YEAR, YEAR * 2, [*YEAR, *[0] * 12], [*YEAR * 2, 7], YEAR * 10, [0] * 11 + [200]]
)
def test_months_of_a_year_or_of_the_whole_plan_are_sound(
    told_of_edit: ToldOfEdit, months: list[int]
) -> None:
    """No source: later years need not be like the first."""
    assert told_of_edit(PART, "high: 300", f"high: 300, by month: {months}") == []


@pytest.mark.parametrize(
    ("planned", "count", "expected"),
    [
        ("6", 11, "12 to 120"),
        ("6", 12, None),
        ("6", 13, None),
        ("12", 13, None),
        ("13", 12, None),
        ("60", 36, "12, each year alike, or 60 to 120"),
        ("120", 119, "12, each year alike, or 120"),
        ("120", 120, None),
    ],
)
def test_how_many_months_are_needed_follows_the_plan(
    told: Callable[[dict[str, str]], list[str]],
    sound: Mapping[str, str],
    planned: str,
    count: int,
    expected: str | None,
) -> None:
    """No source: less than a year could not be held against a year's demand."""
    months = (YEAR * 10)[:count]
    changes = {
        WORKSHOP: sound[WORKSHOP].replace("months: 24", f"months: {planned}"),
        PART: sound[PART].replace("high: 300", f"high: 300, by month: {months}"),
    }
    wrong = f"by month: found {count} months; expected {expected}."
    assert [line.partition("demand, ")[2] for line in told(changes)] == (
        [] if expected is None else [wrong, ""]
    )


def test_without_a_workshop_the_months_of_a_part_may_be_any_of_ten_years(
    told: Callable[[dict[str, str | None]], list[str]], sound: Mapping[str, str]
) -> None:
    """No source: nobody knows then how long the plan is."""
    months = f"high: 300, by month: {[*YEAR, 5]}"
    part = sound[PART].replace("high: 300", months)
    assert told({WORKSHOP: None, PART: part}) == [
        "workshop.yaml workshop-missing: There is no workshop.yaml that can be used."
    ]


@pytest.mark.parametrize(
    ("high", "last", "expected"),
    [
        (300, 66_477, "100,001 in 12 months at the high demand"),
        (300, 66_476, None),
        (200, 99_811, "100,001 in 12 months at the high demand"),
        (200, 99_810, None),
    ],
)
def test_later_years_are_those_of_a_small_workshop_too(
    told_of_edit: ToldOfEdit, high: int, last: int, expected: str | None
) -> None:
    """No source: as a year's own demand, 100,000 at most; the first month of it is named."""
    months = [*YEAR * 2, last]
    lines = told_of_edit(PART, "high: 300", f"high: {high}, by month: {months}")
    wrong = f"by month 14: '{expected}' does not fit; expected at most 100,000."
    assert [line.partition("demand, ")[2] for line in lines] == (
        [] if expected is None else [wrong, ""]
    )


LIMITS = [
    pytest.param(
        "late is lost: yes",
        "6:15 late-without-cost: late is lost: nothing says what a late piece costs, so that none "
        "may be late.",
        id="a late piece is lost and nothing is late",
    ),
    pytest.param(
        "late is lost: no",
        "6:15 late-without-cost: late is lost: nothing says what a late piece costs, so that none "
        "may be late.",
        id="a late piece comes and nothing is late",
    ),
    pytest.param(
        "late costs: 0 EUR",
        "6:13 not-positive: late costs: '0 EUR' must be more than zero.",
        id="late at no cost",
    ),
    pytest.param(
        "late costs: 1.50",
        "6:13 not-money: late costs: '1.50' is not an amount of money; expected amount and "
        "currency, such as 1500 GBP.",
        id="a late cost without currency",
    ),
    pytest.param(
        "shelf holds: 0",
        "6:14 not-positive: shelf holds: '0' must be 1 or more.",
        id="a shelf for nothing",
    ),
    pytest.param(
        "surplus is worth: 100 %",
        "6:19 wrong-value: surplus is worth: '100 %' does not fit; expected less than 100 %.",
        id="a surplus as good as money",
    ),
    pytest.param(
        "surplus is worth: 110 %",
        "6:19 wrong-value: surplus is worth: '110 %' does not fit; expected a percentage from 0 % "
        "to 100 %.",
        id="a surplus above its cost",
    ),
    pytest.param(
        "most from one supplier: 0 %",
        "6:25 not-positive: most from one supplier: '0 %' must be more than 0 %.",
        id="nothing from anybody",
    ),
    pytest.param(
        "money tied up at most: -1 EUR",
        "6:24 not-positive: money tied up at most: '-1 EUR' must be zero or more.",
        id="less than no money",
    ),
]


@pytest.mark.parametrize(("line", "expected"), LIMITS)
def test_a_limit_that_means_nothing_leaves_the_part_out(
    told_of_edit: ToldOfEdit, line: str, expected: str
) -> None:
    """No source: our own forms."""
    assert told_of_edit(PART, "mass: 86 g", f"mass: 86 g\n{line}") == [
        f"parts/pawl.yaml:{expected}",
        BROKEN,
    ]


@pytest.mark.parametrize(
    "lines",
    [
        "late costs: 1.50 USD\nlate is lost: yes",
        "late costs: 0.01 EUR",
        "surplus is worth: 99.9 %",
        "surplus is worth: 0 %",
        "most from one supplier: 0.1 %",
        "most from one supplier: 100 %",
        "money tied up at most: 0 EUR\nshelf holds: 1",
    ],
)
def test_limits_that_mean_something_are_sound(told_of_edit: ToldOfEdit, lines: str) -> None:
    """No source: any currency may be written, as for the tooling budget."""
    assert told_of_edit(PART, "mass: 86 g", f"mass: 86 g\n{lines}") == []
