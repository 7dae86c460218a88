"""Minor units of currencies: a small workshop folder in, amounts printed with their digits."""

from __future__ import annotations

from pathlib import Path

import pytest
from iso4217 import Currency

from tests.folders import a_part, a_quote, a_way_from, a_workshop, an_item, forms, printed_for

# numeric code and digits after the decimal sign
CODES = {
    "EUR": (978, 2),
    "USD": (840, 2),
    "GBP": (826, 2),
    "CHF": (756, 2),
    "JPY": (392, 0),
    "KRW": (410, 0),
    "ISK": (352, 0),
    "CLP": (152, 0),
    "VND": (704, 0),
    "HUF": (348, 2),
    "CZK": (203, 2),
    "PLN": (985, 2),
    "SEK": (752, 2),
    "TRY": (949, 2),
    "INR": (356, 2),
    "CNY": (156, 2),
    "KWD": (414, 3),
    "BHD": (48, 3),
    "JOD": (400, 3),
    "TND": (788, 3),
    "OMR": (512, 3),
    "IQD": (368, 3),
    "CLF": (990, 4),
    "UYW": (927, 4),
    "MGA": (969, 2),
}
PRINTED = {0: "12", 2: "12.35", 3: "12.345", 4: "12.3450"}


@pytest.mark.parametrize("code", CODES)
def test_an_amount_is_printed_to_the_minor_unit_of_its_currency(code: str, tmp_path: Path) -> None:
    """ISO 4217, list one, published 2026-01-01. Locale data differ for IQD and MGA.

    1,234.50 for a hundred are 12.345 each; halves are rounded up.
    """
    quote = a_quote("oak-1", an_item(f"1234.50 {code} per 100"), currency=code)
    workshop = a_workshop(
        currency=code, delivery=[a_way_from("NL", carriage={"per order": f"0 {code}"})]
    )
    found = printed_for(forms(quote, workshop=workshop, part=a_part()), tmp_path)
    numeric, digits = CODES[code]
    assert f" {PRINTED[digits]} {code} each" in found["recommendation"]["reasons"][0]
    assert found["currency"] == code
    assert Currency(code).number == numeric


@pytest.mark.parametrize("code", ["EURO", "eur", "XXQ", "GPB", "DM"])
def test_a_code_that_is_not_on_the_list_is_refused(code: str, tmp_path: Path) -> None:
    """ISO 4217, list one."""
    quote = a_quote("oak-1", an_item("1 EUR per 1"), currency=code)
    with pytest.raises(ValueError, match=code):
        printed_for(forms(quote), tmp_path)
