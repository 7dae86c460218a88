"""The front matter of a decision: every number a text, every text on one line."""

from __future__ import annotations

import dataclasses
from fractions import Fraction
from typing import Any

import pytest

from quotegen.record.facts import Facts, Link, tree_of

FIRST = Link(number=1, previous=None)


def _leaves(value: Any) -> list[Any]:
    if isinstance(value, dict):
        return [leaf for inner in value.values() for leaf in _leaves(inner)]
    if isinstance(value, list):
        return [leaf for inner in value for leaf in _leaves(inner)]
    return [value]


def test_every_value_of_the_front_matter_is_a_text(facts: Facts) -> None:
    assert {type(leaf) for leaf in _leaves(tree_of(facts, FIRST))} == {str}


@pytest.mark.parametrize(
    ("currency", "amount", "expected"),
    [
        ("EUR", Fraction(10, 3), "3.33 EUR"),
        ("EUR", Fraction(5, 1000), "0.01 EUR"),
        ("JPY", Fraction(10, 3), "3 JPY"),
        ("KWD", Fraction(10, 3), "3.333 KWD"),
        ("EUR", Fraction(-1240, 100), "-12.40 EUR"),
    ],
)
def test_amounts_are_rounded_to_the_minor_unit(
    facts: Facts, currency: str, amount: Fraction, expected: str
) -> None:
    """Digits after the decimal sign: ISO 4217 list one."""
    changed = dataclasses.replace(facts, currency=currency, lead=amount)
    assert tree_of(changed, FIRST)["runner up costs more"] == expected


def test_what_is_not_known_is_left_out_and_not_written_as_nothing(facts: Facts) -> None:
    bare = dataclasses.replace(facts, total=None, bridge=None, runner_up=None, advised=None)
    assert {"total", "bridge", "runner up", "advised"} & tree_of(bare, FIRST).keys() == set()


def test_a_text_that_spans_lines_is_written_on_one(facts: Facts) -> None:
    changed = dataclasses.replace(facts, agreed_by="lead\n---\nnumber: 7\u202e\x1b[2J")
    agreed_by = tree_of(changed, FIRST)["agreed by"]
    assert agreed_by == "lead --- number: 7\N{REPLACEMENT CHARACTER}\N{REPLACEMENT CHARACTER}[2J"


def test_a_path_is_kept_to_the_letter(facts: Facts) -> None:
    odd = "quotes/hall/two  blanks e\u0301.csv"
    changed = dataclasses.replace(facts, files={odd: "ab" * 32})
    assert list(tree_of(changed, FIRST)["files"]) == [odd]
