"""Worked examples of duty and tax, and what stays out of the customs value (R7)."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from tests.folders import (
    Forms,
    Values,
    a_part,
    a_quote,
    a_supplier,
    a_tool,
    a_way_from,
    a_workshop,
    an_item,
    forms,
    printed_by_command,
    printed_for,
)

ABROAD = "GB"
RATE = Fraction(10, 100)
CODE = "8448.49"


def duty(rate: str = "10 %") -> Values:
    form = {"goods code": "8448", "origin": ABROAD, "since": "2026-01-01", "source": "test"}
    return form | {"rate": rate}


def from_abroad(
    *,
    country: str = "NL",
    currency: str = "EUR",
    part: Values | None = None,
    way: dict[str, Any] | None = None,
    workshop: dict[str, Any] | None = None,
    price: str = "10",
    **item: Any,
) -> Forms:
    """100 pieces at 10 from outside, free on board; nothing is paid on the way unless way says."""
    nothing = f"0 {currency}"
    legs = {"carriage": {"per order": nothing}, "import_clearance": nothing, **(way or {})}
    common = {"currency": currency, "country": country, "duty": [duty()]}
    common["delivery"] = [a_way_from(ABROAD, **legs)]
    quoted = an_item(f"{price} {currency} per 1", **item)
    return forms(
        a_quote("oak-1", quoted, currency=currency, delivery="FOB Hull"),
        workshop=a_workshop(**{**common, **(workshop or {})}),
        part=part or a_part(goods_code=CODE),
        suppliers={"oak": a_supplier(country=ABROAD)},
    )


def lines_of(found: Values, *kinds: str) -> dict[str, Fraction]:
    """What the only offer's lines come to, by what they pay for: of these kinds, else of all."""
    (offer,) = found["offers"]
    if not offer["holds"]:
        raise ValueError(offer["why"])
    sums: dict[str, Fraction] = {}
    for each in offer["lines"]:
        if not kinds or each["kind"] in kinds:
            sums[each["what"]] = sums.get(each["what"], Fraction(0)) + Fraction(each["total"])
    return sums


@pytest.mark.parametrize("country", ["NL", "US"])
def test_a_die_joins_the_customs_value_and_its_money_is_counted_once(
    country: str, tmp_path: Path
) -> None:
    """WTO Agreement on Implementation of Article VII of GATT 1994, Article 8.1(b)(ii); EU:
    Regulation 952/2013 Article 71(1)(b); US: 19 USC 1401a(h), 19 CFR 152.103(d)."""
    found = printed_for(from_abroad(country=country, tools=[a_tool("2000 EUR")]), tmp_path)
    assert lines_of(found, "customs") == {
        "duty on the goods": 1000 * RATE,
        "duty on the wax die": 2000 * RATE,
    }
    assert lines_of(found, "tool") == {"wax die": 2000}


def test_work_done_at_home_after_import_is_not_in_the_customs_value(tmp_path: Path) -> None:
    """The same agreement, Article 8.1(b)(iv): design or engineering is added only when undertaken
    outside the country (Union) of importation. No form has a line for design done at home;
    finishing done at home is the nearest that can be said, and adds as little."""
    finishing = {"operation": "grinding", "price": "3 EUR per 1", "source": "test"}
    part = a_part(goods_code=CODE, operations=["grinding"])
    found = printed_for(from_abroad(part=part, workshop={"completion": [finishing]}), tmp_path)
    assert lines_of(found, "completion") == {"grinding": 300}
    assert lines_of(found, "customs") == {"duty on the goods": 1000 * RATE}


MOULD, FIRST_SHIPMENT, MADE, CONTRACT = 20_000, 1000, 4000, 10_000


def with_a_mould(pieces: int, over: int | None) -> Forms:
    """So many of a contract of 10,000, in shipments of 1,000."""
    mould = a_tool(f"{MOULD} EUR", what="mould", duty_over=str(over) if over else None)
    part = a_part(pieces, goods_code=CODE, lot=str(FIRST_SHIPMENT))
    return from_abroad(part=part, price="1", tools=[mould])


@pytest.mark.parametrize(
    ("over", "each", "added"),
    [(FIRST_SHIPMENT, 20, 20_000), (MADE, 5, 5000), (CONTRACT, 2, 2000)],
)
def test_a_mould_is_apportioned_to_one_piece_to_a_shipment_and_to_the_contract(
    over: int, each: int, added: int, tmp_path: Path
) -> None:
    """Interpretative Note to Article 8, paragraph 1(b)(ii), points 3 and 4; from memory (point 3
    found). The mould value is ours; 1 000 / 4 000 / 10 000 are the note's own quantities."""
    for pieces, value in ((1, each), (FIRST_SHIPMENT, added), (CONTRACT, MOULD)):
        found = printed_for(with_a_mould(pieces, over), tmp_path / str(pieces))
        assert lines_of(found, "customs")["duty on the mould"] / RATE == value
        assert lines_of(found, "tool") == {"mould": MOULD}


@pytest.mark.parametrize("pieces", [1, FIRST_SHIPMENT, CONTRACT])
def test_a_mould_joins_the_first_shipment_where_no_pieces_are_stated(
    pieces: int, tmp_path: Path
) -> None:
    """The same note, from memory. That silence means the first shipment is our own rule (R7):
    duty on the whole falls due at once, and once."""
    found = printed_by_command(with_a_mould(pieces, None), tmp_path)
    assert lines_of(found, "customs")["duty on the mould"] / RATE == MOULD


def test_a_die_written_off_is_worth_its_freight_38_cents_each_over_2600(tmp_path: Path) -> None:
    """A question of a course for the examination of customs brokers, quiz 5, question 18, found:
    a die depreciated to zero, 1,000 of freight to where it is used, 2,600 pieces; the answer is
    0.38, by 19 CFR 152.103(d)(2)."""
    die = a_tool("1000 USD", duty_over="2600")
    part = a_part(1, goods_code=CODE)
    content = from_abroad(country="US", currency="USD", part=part, tools=[die])
    found = lines_of(printed_for(content, tmp_path))
    assert round(found["duty on the wax die"] / RATE, 2) == Fraction("0.38")


@pytest.mark.parametrize(("country", "value"), [("NL", 1000 + 120), ("US", 1000)])
def test_only_the_freight_before_the_border_is_in_the_value_and_only_in_the_union(
    country: str, value: int, tmp_path: Path
) -> None:
    """EU Regulation 952/2013 Article 71(1)(e) (transport to the place of entry is included); US
    19 USC 1401a(b)(4)(A) (international freight excluded); from memory. 60 % of a freight of 200
    lies before the border."""
    way = {"carriage": {"per order": "200 EUR"}, "to_border": "60 %"}
    found = printed_for(from_abroad(country=country, way=way), tmp_path)
    assert lines_of(found, "customs") == {"duty on the goods": value * RATE}
    assert lines_of(found)["carriage"] == 200


INVOICE, INSURANCE, FREIGHT = 932, 16, 52


@pytest.mark.parametrize(
    ("footing", "duty_paid", "tax_paid", "landed"),
    [("CIF", "70.00", "192.60", "1262.60"), ("FOB", "65.24", "179.50", "1176.74")],
)
def test_duty_and_tax_on_either_footing_are_those_of_the_trade_administration(
    footing: str, duty_paid: str, tax_paid: str, landed: str, tmp_path: Path
) -> None:
    """US International Trade Administration, export.gov, Duty and Tax Calculation Methods, found:
    invoice 932, insurance 16, freight 52, duty 7 %, tax 18 %. The page's FOB total leaves
    insurance and freight out; a shelf price cannot, so they are taken off here."""
    share = round(100 * INSURANCE / INVOICE, 10)
    way = {"carriage": {"per order": f"{FREIGHT} USD"}, "insurance": f"{share} %"}
    here = {
        "customs_value": footing,
        "duty": [duty("7 %")],
        "import_tax": "18 %",
        "import_tax_comes_back": "no",
    }
    part = a_part(1, goods_code=CODE)
    content = from_abroad(currency="USD", part=part, way=way, workshop=here, price=str(INVOICE))
    found = printed_for(content, tmp_path)
    lines = lines_of(found)
    assert round(lines["duty on the goods"], 2) == Fraction(duty_paid)
    assert round(lines["import tax that does not come back"], 2) == Fraction(tax_paid)
    outside = 0 if footing == "CIF" else INSURANCE + FREIGHT
    total = Fraction(found["offers"][0]["total"])
    assert round(total - outside, 2) == Fraction(landed)
