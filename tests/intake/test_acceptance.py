"""Acceptance quality and the minutes of an inspection, as a part's form states them."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import pytest

from quotegen.basics.number import Unreadable
from quotegen.model.acceptance import AQLS, LQS, Acceptance, read_acceptance
from quotegen.model.text import read_minutes

ToldOfEdit = Callable[[str, str, str], list[str]]
EXAMPLE = "AQL or LQ and a number, such as `AQL 1.0` or `AQL 1.0, LQ 8`"


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("AQL 1.0", Acceptance(aql="1.0")),
        ("AQL 1", Acceptance(aql="1.0")),
        ("AQL 0.65 %", Acceptance(aql="0.65")),
        ("LQ 8.0", Acceptance(lq="8")),
        ("AQL 2.5, LQ 12.5", Acceptance(aql="2.5", lq="12.5")),
        ("LQ 5, AQL 0.4", Acceptance(aql="0.40", lq="5")),
    ],
)
def test_quality_is_read_as_its_standard_writes_it(text: str, expected: Acceptance) -> None:
    assert read_acceptance(text) == expected
    assert read_acceptance(str(expected)) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("AQL 1.1", f"one of {', '.join(AQLS)} (ISO 2859-1)"),
        ("AQL 15", f"one of {', '.join(AQLS)} (ISO 2859-1)"),
        ("AQL 0", f"one of {', '.join(AQLS)} (ISO 2859-1)"),
        ("AQL -1", f"one of {', '.join(AQLS)} (ISO 2859-1)"),
        ("LQ 10", f"one of {', '.join(LQS)} (ISO 2859-2)"),
        ("AQL good", EXAMPLE),
        ("1.0", EXAMPLE),
        ("AQL 1.0, AQL 2.5", EXAMPLE),
        ("AQL 1,0", EXAMPLE),
        ("", EXAMPLE),
    ],
)
def test_what_no_table_has_is_not_guessed(text: str, expected: str) -> None:
    """AQL 15 and more count defects and not pieces; between two columns there is no plan."""
    with pytest.raises(Unreadable) as refused:
        read_acceptance(text)
    assert (refused.value.code, refused.value.values["expected"]) == ("wrong-value", expected)


def test_minutes_are_for_a_piece() -> None:
    assert read_minutes("2 minutes a piece").minutes == 2
    assert read_minutes("1 minute a piece").minutes == 1
    assert read_minutes("0.5 minutes a piece").minutes == Fraction(1, 2)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("2", "unit-missing"),
        ("2 minutes", "unit-missing"),
        ("2 hours a piece", "unit-missing"),
        ("-2 minutes a piece", "not-positive"),
        ("0 minutes a piece", "not-positive"),
        ("two minutes a piece", "not-a-number"),
    ],
)
def test_minutes_of_what_are_asked(text: str, code: str) -> None:
    with pytest.raises(Unreadable) as refused:
        read_minutes(text)
    assert refused.value.code == code


PART = "parts/pawl.yaml"


def at_the_end(told_of_edit: ToldOfEdit, lines: str) -> list[str]:
    """The sound part with lines behind its name, less their places."""
    said = told_of_edit(PART, "name: Pawl\n", f"name: Pawl\n{lines}\n")
    return [line.partition(" ")[2] for line in said if line.startswith(PART)]


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        pytest.param(
            "acceptance quality: AQL 3",
            f"wrong-value: acceptance quality: 'AQL 3' does not fit; expected one of "
            f"{', '.join(AQLS)} (ISO 2859-1).",
            id="an AQL that the table lacks",
        ),
        pytest.param(
            "acceptance quality: AQL fine",
            f"wrong-value: acceptance quality: 'AQL fine' does not fit; expected {EXAMPLE}.",
            id="no number",
        ),
        pytest.param(
            "inspection takes: 2 minutes a piece\ninspected by: bench",
            "inspection-plan: inspection takes: nothing says how many pieces of a delivery are "
            "looked at.",
            id="no plan",
        ),
        pytest.param(
            "acceptance quality: AQL 1.0\ninspection takes: 2 minutes a piece\ninspected by: bnech",
            "inspection-labour: inspected by: there is no labour 'bnech' in workshop.yaml; did you "
            "mean 'bench'?",
            id="an unknown labour",
        ),
        pytest.param(
            "tested to destruction: 0",
            "not-positive: tested to destruction: '0' must be 1 or more.",
            id="nothing tested",
        ),
    ],
)
def test_what_is_wrong_with_an_inspection(
    lines: str, expected: str, told_of_edit: ToldOfEdit
) -> None:
    assert at_the_end(told_of_edit, lines) == [expected]


def test_an_inspection_is_not_counted_twice(told_of_edit: ToldOfEdit) -> None:
    """The operation would add our own price for it, and the minutes the same work again."""
    lines = (
        "operations: [incoming inspection]\nacceptance quality: AQL 1.0\n"
        "inspection takes: 2 minutes a piece\ninspected by: bench"
    )
    said = told_of_edit(PART, "operations: [heat treatment, deburring]", lines)
    assert [line for line in said if "inspection-twice" in line] == [
        (
            "parts/pawl.yaml:8:19 inspection-twice: inspection takes: the operation 'incoming "
            "inspection' has our own price for looking at the pieces already."
        )
    ]
