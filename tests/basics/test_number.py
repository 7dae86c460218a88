"""Numbers as people write them: one reading, or refused."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotegen.basics.number import LONGEST, Unreadable, read_number

# Written, declared decimal sign (None: nothing declares it), what it says.
SPELLINGS = [
    ("0", ".", "0"),
    ("12", ".", "12"),
    ("12", ",", "12"),
    ("12", None, "12"),
    ("007", ".", "7"),
    ("12.90", ".", "12.90"),
    ("12.90", None, "12.90"),
    ("12,90", ",", "12.90"),
    ("12,90", None, "12.90"),
    ("0.985", ".", "0.985"),
    ("0,985", ",", "0.985"),
    ("0,985", None, "0.985"),
    ("0.985", None, "0.985"),
    ("1.845", ".", "1.845"),
    ("1.845", ",", "1845"),
    ("1,845", ".", "1845"),
    ("1,845", ",", "1.845"),
    ("1,234.50", ".", "1234.50"),
    ("1,234.50", None, "1234.50"),
    ("1.234,50", ",", "1234.50"),
    ("1.234,50", None, "1234.50"),
    ("12,345,678", ".", "12345678"),
    ("12,345,678", None, "12345678"),
    ("12.345.678", ",", "12345678"),
    ("1.234.567,8", None, "1234567.8"),
    ("1 234.50", ".", "1234.50"),
    ("1 234,50", None, "1234.50"),
    ("1\N{NO-BREAK SPACE}234,50", ",", "1234.50"),
    ("1\N{NARROW NO-BREAK SPACE}234,50", ",", "1234.50"),
    ("1\N{THIN SPACE}234,50", ",", "1234.50"),
    ("1'234.50", ".", "1234.50"),
    ("1\N{RIGHT SINGLE QUOTATION MARK}234.50", None, "1234.50"),
    ("1'234'567", ".", "1234567"),
    ("-5", ".", "-5"),
    ("+5", ".", "5"),
    ("\N{MINUS SIGN}5,00", ",", "-5"),
    ("(5.00)", ".", "-5"),
    ("(1,200.00)", None, "-1200"),
    ("985,-", ",", "985"),
    ("985,-", None, "985"),
    ("985,--", ",", "985"),
    ("985,\N{EN DASH}", ",", "985"),
    ("  12.90  ", ".", "12.90"),
    ("10.000000000000000000000000001", ".", "10.000000000000000000000000001"),
]

# Written, declared decimal sign, the code of the problem.
REFUSED = [
    ("", ".", "not-a-number"),
    ("   ", ".", "not-a-number"),
    ("12,90", ".", "not-a-number"),
    ("12.90", ",", "not-a-number"),
    ("1.845", None, "two-readings"),
    ("1,845", None, "two-readings"),
    ("12.345", None, "two-readings"),
    ("-1,000", None, "two-readings"),
    ("1,23,456", ".", "not-a-number"),
    ("1 23", ".", "not-a-number"),
    ("1234,567.8", ".", "not-a-number"),
    ("1,234,56", ".", "not-a-number"),
    ("1'234,567", ".", "not-a-number"),
    ("0,123,456", ".", "not-a-number"),
    ("1..5", ".", "not-a-number"),
    (".5", ".", "not-a-number"),
    ("5.", ".", "not-a-number"),
    ("--5", ".", "not-a-number"),
    ("-(5)", ".", "not-a-number"),
    ("(5", ".", "not-a-number"),
    ("- 5", ".", "not-a-number"),
    ("3-4", ".", "not-a-number"),
    ("3\N{EN DASH}4", ".", "not-a-number"),
    ("2 x 15.00", ".", "not-a-number"),
    ("P-1001", ".", "not-a-number"),
    ("12.90 EUR", ".", "not-a-number"),
    ("ca. 12", ".", "not-a-number"),
    ("1e3", ".", "not-a-number"),
    ("0x10", ".", "not-a-number"),
    ("1_000", ".", "not-a-number"),
    ("1/2", ".", "not-a-number"),
    ("NaN", ".", "not-a-number"),
    ("inf", ".", "not-a-number"),
    ("\N{FULLWIDTH DIGIT ONE}", ".", "not-a-number"),
    ("\N{ARABIC-INDIC DIGIT ONE}", ".", "not-a-number"),
    ("½", ".", "not-a-number"),
    ("1" * (LONGEST + 1), ".", "not-a-number"),
]


@pytest.mark.parametrize(("text", "sign", "value"), SPELLINGS)
def test_a_spelling_says_one_number(text: str, sign: str | None, value: str) -> None:
    """No source: spellings of several countries."""
    assert read_number(text, sign) == Fraction(value)


@pytest.mark.parametrize(("text", "sign", "code"), REFUSED)
def test_what_is_no_number_or_two_is_refused(text: str, sign: str | None, code: str) -> None:
    """No source: never a guess."""
    with pytest.raises(Unreadable) as refused:
        read_number(text, sign)
    assert refused.value.code == code


def test_both_readings_are_shown() -> None:
    """No source: a person can tell which one is meant."""
    with pytest.raises(Unreadable) as refused:
        read_number("1.845", None)
    assert refused.value.values["readings"] == "1.845 or 1845"
    assert refused.value.values["seen"] == "1.845"


def test_without_declaration_a_point_is_the_decimal_sign_of_our_forms() -> None:
    """No source."""
    assert read_number("1.845") == Fraction("1.845")


@given(
    st.decimals(
        allow_nan=False, allow_infinity=False, places=3, min_value=-(10**9), max_value=10**9
    ),
    st.sampled_from([(",", "."), (".", ",")]),
    st.booleans(),
)
def test_what_is_written_by_the_declared_sign_is_read_back(
    number: object, signs: tuple[str, str], with_groups: bool
) -> None:
    """Python's own formatting, as an independent hand."""
    group, decimal = signs
    written = format(number, ",f" if with_groups else "f")
    swapped = written.translate(str.maketrans({",": group, ".": decimal}))
    assert read_number(swapped, decimal) == Fraction(str(number))


@given(st.text(alphabet="0123456789.,' -+()\N{MINUS SIGN}", max_size=12))
def test_a_text_with_one_reading_reads_the_same_when_its_sign_is_declared(text: str) -> None:
    """No source: without a declaration nothing is read that both declarations would deny."""
    declared = _reading(text, ".") | _reading(text, ",")
    assert _reading(text, None) == (declared if len(declared) == 1 else set())


def _reading(text: str, sign: str | None) -> set[Fraction]:
    try:
        return {read_number(text, sign)}
    except Unreadable:
        return set()
