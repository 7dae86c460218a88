"""What the workshop assumes where it does not say."""

from __future__ import annotations

from fractions import Fraction

import pytest

from quotegen.model.fields import Footing
from quotegen.model.workshop import Workshop


def _workshop(**values: str) -> Workshop:
    form = {
        "format": "1",
        "name": "Test",
        "currency": "EUR",
        "place": "Zutphen",
        "country": "NL",
        "planning start": "2026-11-02",
        "planning months": "12",
        "cost of capital": "7 % a year",
        "storage": "6 % a year",
    }
    return Workshop.model_validate(form | values)


@pytest.mark.parametrize(
    ("values", "footing"),
    [
        ({}, Footing.CIF),
        ({"country": "US"}, Footing.FOB),
        ({"country": "US", "customs value": "CIF"}, Footing.CIF),
        ({"customs value": "FOB"}, Footing.FOB),
    ],
)
def test_the_customs_value_stands_on_the_footing_of_the_country(
    values: dict[str, str], footing: Footing
) -> None:
    """WTO Customs Valuation Agreement, Article 8.2: each member chooses; the USA chose FOB."""
    assert _workshop(**values).footing is footing


def test_offers_within_three_per_cent_are_too_close_to_call() -> None:
    """R16."""
    assert _workshop().close_call == Fraction(3, 100)
    assert _workshop(**{"close call": "5 %"}).close_call == Fraction(5, 100)
