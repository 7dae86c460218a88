"""What a sceptical reader trips over: small words that turn a line, and sums that no part bears."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.taking.drafts import SUPPLIER, Draft, a_folder, drafted
from tests.taking.messy import book, mail, text
from tests.taking.test_lines import said, shares


def taken(at: Path, make: Callable[[Path], None], ending: str) -> Draft:
    folder = a_folder(at)
    file = folder / "quotes" / SUPPLIER / f"offer{ending}"
    make(file)
    return drafted(folder, file)


@pytest.mark.parametrize(
    "line",
    [
        "zingage compris ? à vérifier",
        "Zinc plating can be included at EUR 0.35 each",
        "Deburring included, zinc plating if required EUR 1.20 each",
        "Verzinken auf Wunsch inklusive",
    ],
)
def test_an_operation_that_is_offered_or_wondered_about_is_asked(line: str) -> None:
    facts, asks = said(line)
    assert "zinc plating" not in (*facts.get("includes", ()), *facts.get("excludes", ()))
    assert asks["includes"] == ("zinc plating",)


ONE_FACT: tuple[tuple[str, str, Any], ...] = (
    ("100 pcs EUR 4.20/pc", "prices", {"from": "100", "price": "4.20 EUR per 1"}),
    ("100 pcs EUR 4.20 each incl. tooling", "prices", {"from": "100", "price": "4.20 EUR per 1"}),
    ("Cena 12,50 zł/szt przy 100 szt", "prices", {"from": "100", "price": "12.50 PLN per 1"}),
    ("100 szt. - 19,80 zł/szt.", "prices", {"from": "100", "price": "19.80 PLN per 1"}),
    ("MOQ 250 EUR", "minimum value", {"value": "250 EUR"}),
    ("Minimum bestelling € 250,00", "minimum value", {"value": "250 EUR"}),
    ("Minimalne zamówienie 100 szt.", "minimum", "100"),
    ("Lotto minimo 25 pezzi", "minimum", "25"),
    ("Machining not in our scope.", "excludes", "machining"),
    ("Ocynk nie wliczony w cenę", "excludes", "zinc plating"),
    ("Delivery: 10 days after receipt of payment", "lead time", "10 days"),
    ("circa 3 weken na ontvangst van uw order", "lead time", "3 weeks"),
    ("Délai à réception de commande", "lead time from", "order"),
    ("An dieses Angebot halten wir uns bis 31.12.2026 gebunden.", "valid until", "2026-12-31"),
    ("Quantity +/-5% acceptable", "quantity tolerance", "5 %"),
    ("Material 1.4404 z atestem 3.1", "material", "1.4404"),
    ("Welle Rev. B, Werkstoff 1.4404", "material", "1.4404"),
    ("Ceny netto, do ceny należy doliczyć VAT 23%", "tax included", "no"),
    ("I.V.A. esclusa", "tax included", "no"),
    (
        "Verpackung 2 % vom Warenwert", "surcharges",
        {"what": "verpackung", "rate": "2 %", "of": ["goods"]},
    ),
)  # fmt: skip


@pytest.mark.parametrize(("line", "key", "value"), ONE_FACT)
def test_a_line_says_this_and_asks_nothing(line: str, key: str, value: Any) -> None:
    facts, asks = said(line)
    assert facts[key] == [value]
    assert not asks


ASKED: tuple[tuple[str, str, str], ...] = (
    ("31.75 EUR for 100 pcs", "prices", "prices"),
    ("FOB Origin", "delivery", "delivery"),
    ("Mindestmenge 1 VE = 25 Stück", "minimum", "minimum"),
    ("Délai 4/5 semaines", "lead time", "lead time"),
    ("Hardening at a subcontractor, 4.10 per piece", "charges", "charges"),
    ("Note: prices +4 % from 1 January 2027", "surcharges", "terms"),
    ("die EUR 1,500.00 included", "tools", "tools"),
    ("Freight free above 500.00 EUR", "charges", "notes"),
    ("Carriage 30 a drop", "charges", "charges"),
    ("Tool is 2k, stays his", "tools", "charges"),
    ("Tooling EUR 1.2k", "tools", "charges"),
    ("MTZ wird zum Tageskurs gesondert berechnet", "surcharges", "terms"),
    ("Exchange rate USD/CNY 7.10, price to be adjusted", "charges", "terms"),
    ("Material cert and C of C included", "material", ""),
    ("Quotation FL-021", "quote", ""),
    ("VAT 20% EUR 72.60", "charges", ""),
)


@pytest.mark.parametrize(("line", "never", "asked"), ASKED)
def test_a_line_is_no_fact_of_that_kind(line: str, never: str, asked: str) -> None:
    facts, asks = said(line)
    assert never not in facts
    assert not asked or asked in asks


def test_no_tooling_leaves_the_payment_to_the_parts() -> None:
    facts, _ = said("No tooling. Delivery 4 weeks after order. 30 days net.")
    assert facts["payment"] == shares("100 invoice 30")


OLDER = """\
Revised prices for FL-021 rev B:

100 off GBP 4.20 each
Delivery 7 weeks from order.

Regards
Gareth

From: Gareth Pugh
Sent: 21 September 2026 16:02
To: Anna
Subject: FL-021

100 off GBP 5.10 each
Pattern repair GBP 240.00
Delivery 9 weeks.
"""


def test_an_older_mail_without_marks_says_nothing(tmp_path: Path) -> None:
    draft = taken(tmp_path, mail(OLDER), ".eml")
    assert ("date", "2026-10-14") in draft.facts
    assert ("items 1, lead time", "7 weeks") in draft.facts
    assert draft.readings("items 1, prices") == ["{from: 100, price: 4.20 GBP per 1}"]
    assert "charges" not in draft.asked


def test_a_tool_that_two_attachments_name_is_one(tmp_path: Path) -> None:
    table = "Part;FL-021\nQty;Price EUR each\n100;4,20\n;\nForging die;{}\n"
    files = [
        (f"offer{n}.csv", table.format(price).encode())
        for n, price in enumerate(("1.650,00", "1.650,00"))
    ]
    draft = taken(tmp_path, mail("Please see both files.", attach=files), ".eml")
    tools = [value for field, value in draft.facts if field == "items 1, tools"]
    assert len(tools) == 1
    assert "1650 EUR" in tools[0]


def test_a_tool_that_two_attachments_price_otherwise_is_asked(tmp_path: Path) -> None:
    table = "Part;FL-021\nQty;Price EUR each\n100;4,20\n;\nForging die;{}\n"
    files = [
        (f"offer{n}.csv", table.format(price).encode())
        for n, price in enumerate(("1.650,00", "1.560,00"))
    ]
    draft = taken(tmp_path, mail("Please see both files.", attach=files), ".eml")
    assert "items 1, tools" not in {field for field, _ in draft.facts}
    assert {re.findall(r"price: (\d+)", each)[0] for each in draft.readings("items 1, tools")} == {
        "1650", "1560",
    }  # fmt: skip


def test_a_letter_says_which_part_its_table_is_for(tmp_path: Path) -> None:
    table = b"Qty;Price EUR each;Set-up EUR\n100;4,20;90,00\n500;3,60;0,00\n"
    draft = taken(tmp_path, mail("Our offer for FL-021.", attach=[("o.csv", table)]), ".eml")
    assert ("items 1, part", "fl-021") in draft.facts
    assert ("items 1, prices", "{from: 500, price: 3.60 EUR per 1}") in draft.facts
    assert "items 2, part" not in draft.asked
    assert "At other quantities it is 0,00." in draft.asks("items 1, charges")


@pytest.mark.parametrize("word", ["Kokille", "Neuanlage"])
def test_a_row_below_the_sum_is_no_price(word: str, tmp_path: Path) -> None:
    rows = (
        "Pos;Artikel;Menge;Preis EUR;PE;Gesamt EUR\n10;FL-021;100;1.845,00;100;1.845,00\n"
        "20;FL-021;500;1.610,00;100;8.050,00\n;;;;Summe;9.895,00\n"
        f"{word};;1;4.200,00;1;4.200,00\n"
    )
    draft = taken(tmp_path, text(f"Angebot;A-9\nDatum;14.10.2026\n\n{rows}"), ".csv")
    prices = {value for field, value in draft.facts if field == "items 1, prices"}
    assert prices == {
        "{from: 100, price: 1845 EUR per 100}", "{from: 500, price: 1610 EUR per 100}",
    }  # fmt: skip
    asked = [*draft.readings("items 1, tools"), *draft.readings("charges")]
    assert any("4200 EUR" in each for each in asked)


def test_a_column_of_tools_beside_prices_across_is_read(tmp_path: Path) -> None:
    rows: list[list[object]] = [
        ["Quotation", "M-1"],
        ["Part", "50", "100", "Tooling cost EUR"],
        ["FL-021", 4.2, 3.9, 1350],
        ["FL-042", 7.2, 6.9, "1.350,-"],
        ["Prices in EUR each"],
    ]
    draft = taken(tmp_path, book(rows), ".xlsx")
    tools = {field: value for field, value in draft.facts if field.endswith("tools")}
    assert sorted(tools) == ["items 1, tools", "items 2, tools"]
    assert all("price: 1350 EUR" in each for each in tools.values())


def test_the_price_of_a_table_with_minimums_holds_from_there(tmp_path: Path) -> None:
    rows: list[list[object]] = [
        ["Quote No.: Y-1", "Date: 2026/10/16"],
        ["Drawing", "MOQ (pcs)", "Unit price (USD/pc)"],
        ["FL-021", 300, 4.62],
        ["FL-042", 500, "2.35"],
    ]
    draft = taken(tmp_path, book(rows), ".xlsx")
    assert ("date", "2026-10-16") in draft.facts
    assert ("items 1, prices", "{from: 300, price: 4.62 USD per 1}") in draft.facts
    assert ("items 2, minimum", "500") in draft.facts


def test_a_minimum_above_the_first_price_is_asked_with_its_cost(tmp_path: Path) -> None:
    lines = "Qty   Price each EUR\n50   38,40\n150   29,80\n\nMindestbestellmenge 100 Stück\n"
    draft = taken(tmp_path, text(f"Angebot A-3 vom 09.10.2026\nFL-021\n\n{lines}"), ".txt")
    assert draft.readings("items 1, minimum") == ["100", "50"]
    assert "50 pieces cost 1,920.00 EUR." in draft.asks("items 1, minimum")


def test_rows_that_differ_in_what_they_hold_are_asked(tmp_path: Path) -> None:
    rows = "Qty,Price EUR,Remarks\n100,10.10,incl. deburring\n200,9.40,excl. deburring\n"
    draft = taken(tmp_path, text(f"Quote,Q-5\nPart,FL-021\n\n{rows}"), ".csv")
    assert "`Remarks` differs between the prices" in draft.asks("notes")


@pytest.mark.parametrize(
    ("cell", "why"),
    [
        ("17,40 EUR per lb", "It is for a lb, and what a piece costs is not said."),
        ("17,40 EUR/ft", "It is for a ft, and what a piece costs is not said."),
        ("", "The cell is empty."),
    ],
)
def test_a_price_in_a_unit_that_is_no_piece_and_one_that_lacks_are_asked(
    tmp_path: Path, cell: str, why: str
) -> None:
    """Common practice, no source."""
    rows = f"Quotation Q-1;2026-10-01\nDrawing FL-021;\nQty;Price each EUR\n50;{cell}\n100;16,20\n"
    draft = taken(tmp_path, text(rows), ".csv")
    asked = [each for each in draft.form["questions"] if each["field"] == "items 1, prices"]
    assert [each["ask"] for each in asked] == [f"Is this the price? {why}"]
    assert [tier["from"] for tier in draft.form["items"][0]["prices"]] == ["100"]
