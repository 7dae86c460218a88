"""Answer forms for tests: made by us, filled in as a spreadsheet program would fill them in."""

from __future__ import annotations

import datetime
import io
from collections.abc import Callable, Mapping
from typing import Any

from openpyxl import Workbook, load_workbook

from quotegen.asking.answer import Answer, answer_in
from quotegen.asking.form import PREFIX, SHEET, Facts, Held
from quotegen.asking.workbook import as_workbook
from quotegen.intake.files import RawFile

DAY = datetime.date(2026, 11, 2)
FACTS = Facts(
    request="p alder 2026-11-02",
    part="p",
    revision="A",
    supplier="alder",
    quantities=(32, 112),
    operations=("heat treatment", "deburring"),
    certificates=("EN 10204 3.1",),
    held=(Held(label="bore 10 mm H8", ability=(("tolerance", "H8"), ("up to", "10 mm"))),),
)
# Every blank that a supplier with one tool and one charge of its own would fill in.
FILLED: Mapping[str, Any] = {
    "quote": "A-77",
    "date": datetime.date(2026, 11, 5),
    "valid_until": datetime.date(2027, 1, 31),
    "currency": "EUR",
    "tax": "no",
    "revision": "A",
    "process": "investment casting",
    "material": "1.4542",
    "basis": "100",
    "breaks": "all-units",
    "price_1": 1840.5,
    "price_2": 1500,
    "own_from_1": 60,
    "own_price_1": 1600.125,
    "minimum": 10,
    "multiple": 2,
    "minimum_value": 0,
    "set_up": 50,
    "packing": 0,
    "first_article": 80,
    "charge_what_1": "test bars",
    "charge_amount_1": 12,
    "charge_per_1": "batch",
    "charge_batch_1": 14,
    "tool_what_1": "wax die",
    "tool_price_1": 1900,
    "tool_cavities_1": 2,
    "tool_life_1": 20000,
    "tool_owner_1": "buyer",
    "tool_replacement_1": 1500,
    "tool_samples_1": 90,
    "tool_takes_1": 6,
    "tool_span_1": "weeks",
    "surcharge_what_1": "metal",
    "surcharge_per_kg_1": 1.2,
    "surcharge_index_1": "nickel, monthly mean",
    "surcharge_dated_1": datetime.date(2026, 10, 1),
    "operation_1": "included",
    "operation_2": "not included",
    "held_1": "yes",
    "certificate_1": "yes",
    "certificate_price_1": 25,
    "lead_time": 25,
    "lead_span": "working days",
    "lead_from": "order",
    "capacity": 400,
    "rule": "DAP",
    "place": "Zutphen",
    "origin": "NL",
    "payment_share_1": 30,
    "payment_when_1": "order",
    "payment_days_1": 0,
    "payment_share_2": 70,
    "payment_when_2": "invoice",
    "payment_days_2": 30,
    "rejects": 1.5,
    "rejects_found": "on receipt",
    "rejects_made_good": "replaced",
    "tolerance": 10,
    "price_hold": datetime.date(2027, 6, 30),
    "cancelling": "all until the metal is poured",
    "note": "Closed over Christmas.",
}
# What the form above says, worked out by hand from the numbers alone.
READ: Mapping[str, Any] = {
    "format": "1",
    "quote": "A-77",
    "date": "2026-11-05",
    "valid until": "2027-01-31",
    "currency": "EUR",
    "delivery": {"rule": "DAP", "place": "Zutphen"},
    "tax included": "no",
    "payment": [
        {"share": "30 %", "when": "order", "days": "0"},
        {"share": "70 %", "when": "invoice", "days": "30"},
    ],
    "note": "Closed over Christmas.",
    "items": [
        {
            "part": "p",
            "revision": "A",
            "process": "investment casting",
            "material": "1.4542",
            "prices": [
                {"from": "32", "price": "1840.5 EUR per 100"},
                {"from": "60", "price": "1600.1250 EUR per 100"},
                {"from": "112", "price": "1500 EUR per 100"},
            ],
            "breaks": "all-units",
            "minimum": "10",
            "multiple": "2",
            "charges": [
                {"what": "set-up", "amount": "50 EUR", "per": "order"},
                {"what": "first-article report", "amount": "80 EUR", "per": "revision"},
                {"what": "EN 10204 3.1", "amount": "25 EUR", "per": "delivery"},
                {"what": "test bars", "amount": "12 EUR", "per": "batch", "batch": "14"},
            ],
            "tools": [
                {
                    "tool": "p-alder-tool-1",
                    "what": "wax die",
                    "price": "1900 EUR",
                    "cavities": "2",
                    "life": "20000 shots",
                    "owner": "buyer",
                    "replacement": "1500 EUR",
                    "samples": "90 EUR",
                    "takes": "6 weeks",
                }
            ],
            "surcharges": [
                {
                    "what": "metal",
                    "price": "1.2 EUR per kg",
                    "index": "nickel, monthly mean",
                    "dated": "2026-10-01",
                }
            ],
            "includes": ["heat treatment"],
            "excludes": ["deburring"],
            "certificates": ["EN 10204 3.1"],
            "can hold": [{"tolerance": "H8", "up to": "10 mm"}],
            "lead time": "25 working days",
            "lead time from": "order",
            "capacity a month": "400",
            "origin": "NL",
            "rejects": {"share": "1.5 %", "found": "on receipt", "made good": "replaced"},
            "quantity tolerance": "10 %",
            "price hold": {"until": "2027-06-30"},
            "terms": [
                {
                    "term": "cancelling",
                    "text": "all until the metal is poured",
                    "could turn": "no",
                }
            ],
        }
    ],
}

Change = Callable[[Workbook], object]


def cell_of(book: Workbook, name: str) -> str:
    """The address of a blank, such as C7."""
    reference = str(book.defined_names[PREFIX + name].attr_text)
    return reference.split("!")[1].replace("$", "")


def filled(
    values: Mapping[str, Any] = FILLED, facts: Facts = FACTS, change: Change | None = None
) -> bytes:
    """A form with these values in its blanks, and whatever else somebody does to the workbook."""
    book = load_workbook(io.BytesIO(as_workbook(facts, DAY)))
    for name, value in values.items():
        book[SHEET][cell_of(book, name)] = value
    if change is not None:
        change(book)
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()


def read(data: bytes) -> Answer:
    answer = answer_in(RawFile(path="answer.xlsx", data=data))
    if answer is None:
        raise ValueError("no form of ours")
    return answer


def told(answer: Answer) -> list[tuple[str, str]]:
    """The code and place of every problem."""
    return [(each.code, str(each.place)) for each in answer.problems]
