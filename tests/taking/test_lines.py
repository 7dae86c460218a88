"""One line of a supplier's letter each, and what it says: facts, or a question, never a guess."""

from __future__ import annotations

import re
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from quotegen.basics.place import Place
from quotegen.model.operations import OPERATIONS
from quotegen.taking.assemble import assemble
from quotegen.taking.finish import finish
from quotegen.taking.given import Given
from quotegen.taking.plain import tables_and_lines
from quotegen.taking.seen import Seen
from quotegen.taking.words import LISTED

PARTS = ("fl-021", "fl-042", "wm-015")
ALWAYS = {("quote",), ("date",), ("currency",), ("items", 0, "part")}


def said(line: str) -> tuple[dict[str, Any], dict[str, tuple[Any, ...]]]:
    """The facts and the questions of a quote for fl-021 that says one line more."""
    place = Place("offer.txt")
    head = "" if "FL-0" in line else "Drawing FL-021\n"
    sheets, lines, _ = tables_and_lines(f"Quotation Z-1 of 2026-10-14\n{head}{line}", place)
    seen = Seen(kind="notes", place=place, sheets=sheets, lines=lines)
    found = finish(assemble(seen, Given(parts=PARTS, home="EUR")).found, PARTS, place)
    facts: dict[str, Any] = {}
    for each in found.facts:
        if each.keys not in ALWAYS:
            key = str(each.keys[-1])
            facts[key] = [*facts[key], each.value] if key in facts else [each.value]
    asks = {
        str(each.keys[-1]): each.readings for each in found.asks
        if each.keys not in ALWAYS and "No price was found" not in each.ask
    }  # fmt: skip
    return facts, asks


def shares(*each: str) -> list[dict[str, str]]:
    """Such as `50 order` or `50 invoice 30`."""
    parts = (one.split(" ") for one in each)
    made = []
    for share, when, *days in parts:
        group = {"share": f"{share} %", "when": when.replace("_", " ")}
        made.append({**group, "days": days[0]} if days else group)
    return made


PAYMENTS: tuple[tuple[str, list[dict[str, str]]], ...] = (
    ("Payment terms: net 30", shares("100 invoice 30")),
    ("Prices net, payment 60 days from invoice", shares("100 invoice 60")),
    ("Zahlung 30 Tage nach Lieferung netto", shares("100 delivery 30")),
    ("Payment: 100% within 14 days after delivery", shares("100 delivery 14")),
    ("Pay 100 % on delivery", shares("100 delivery")),
    ("Payment in advance", shares("100 order")),
    ("Zahlung: Vorkasse", shares("100 order")),
    ("2 % discount for payment within 14 days, otherwise 30 days net", shares("100 invoice 30")),
    ("Zahlungsbedingungen: 10 Tage 3 % Skonto oder 30 Tage netto", shares("100 invoice 30")),
    ("30 Tage netto, Lieferzeit 10 Tage, Angebot 60 Tage gültig", shares("100 invoice 30")),
    ("Payment 30 days net. Delivery 20 days. Quote valid 60 days.", shares("100 invoice 30")),
    ("valid while stock lasts; 30 days net", shares("100 invoice 30")),
    ("Payment: 30% deposit, balance on delivery", shares("30 order", "70 delivery")),
    ("Zahlung: 50 % bei Auftragserteilung, 50 % bei Lieferung", shares("50 order", "50 delivery")),
    ("40 % Anzahlung, 60 % bei Lieferung", shares("40 order", "60 delivery")),
    ("Payment 50 % advance, 50 % before shipment", shares("50 order", "50 dispatch")),
    (
        "Payment: 50 % with order and 50 % 30 days after invoice",
        shares("50 order", "50 invoice 30"),
    ),
    ("Zahlung 30 Tage netto zzgl. 19 % MwSt.", shares("100 invoice 30")),
    ("50 % on order 50 % on delivery", shares("50 order", "50 delivery")),
    ("on order 50 %, on delivery 50 %, payment", shares("50 order", "50 delivery")),
    ("Pagamento 30 giorni data fattura", shares("100 invoice 30")),
    ("Paiement 45 jours net", shares("100 invoice 45")),
)


@pytest.mark.parametrize(("line", "plan"), PAYMENTS)
def test_a_plan_of_payment_is_read_with_its_event_and_days(
    line: str, plan: list[dict[str, str]]
) -> None:
    facts, asks = said(line)
    assert facts["payment"] == plan
    assert "payment" not in asks


@pytest.mark.parametrize(
    "line",
    [
        "30 % with order, 60 % on delivery, 10 % after final acceptance",
        "Zahlung: 1/3 bei Auftrag, 1/3 bei Lieferung, 1/3 nach Abnahme",
        "Payment: 30 % with order, 30 days net",
        "Payment against pro forma, later orders 30 days net",
        "Payment on order 50 % on delivery 50 %",
        "Paiement 45 jours fin de mois",
    ],
)
def test_a_plan_that_no_field_holds_or_that_is_not_whole_is_asked(line: str) -> None:
    facts, asks = said(line)
    assert "payment" not in facts
    assert "payment" in asks


HALF = shares("50 order", "50 approval_of_samples")
TOOLS: tuple[tuple[str, dict[str, Any]], ...] = (
    ("Werkzeug 4.200,00 EUR, bei Auftrag 50 %, Rest nach Bemusterung", {"payment": HALF}),
    ("Werkzeugkosten 3.000,00 EUR zahlbar 100 % bei Auftragserteilung", {
        "payment": shares("100 order")}),
    ("Die set 2 cavities life 50,000 shots EUR 1,500.00", {"cavities": "2", "life": "50000"}),
    ("Druckgussform 4-fach 9.500,00 EUR, 100.000 Schuss, Eigentum des Kunden", {
        "cavities": "4", "life": "100000", "owner": "buyer"}),
    ("Single cavity mould EUR 2,500.00, stays our property", {
        "cavities": "1", "owner": "supplier"}),
    ("Druckgusswerkzeug 12.900,00 EUR, 4-fach", {"cavities": "4"}),
    ("Werkzeug 2.500,00 EUR bleibt Eigentum des Lieferers", {"owner": "supplier"}),
    ("Tool EUR 2,500.00, remains your property, 80k shots", {"owner": "buyer", "life": "80000"}),
    ("Outillage 3 000,00 EUR, reste notre propriété", {"owner": "supplier"}),
    ("Attrezzatura 2.000,00 EUR di proprietà del cliente, 4 impronte, 50.000 stampate", {
        "cavities": "4", "life": "50000", "owner": "buyer"}),
    ("Narzędzie 12 500,00 PLN, własność klienta, trwałość 60 000 wtrysków", {
        "life": "60000", "owner": "buyer"}),
    ("Matrijs € 3.600,00 eenmalig, 4-voudig, blijft eigendom van de klant", {
        "cavities": "4", "owner": "buyer"}),
)  # fmt: skip


@pytest.mark.parametrize(("line", "more"), TOOLS)
def test_what_is_said_of_a_tool_goes_to_the_tool(line: str, more: dict[str, Any]) -> None:
    facts, asks = said(line)
    (tool,) = facts["tools"]
    assert {key: tool[key] for key in tool if key not in ("tool", "what", "price")} == more
    assert "tools" not in asks


@pytest.mark.parametrize(
    "line",
    [
        "Tooling 12,500.00 EUR amortised over 5,000 pieces",
        "2 cavity tool EUR 3,000.00 or 4 cavity tool EUR 4,800.00",
        "Option: 4-cavity tool EUR 4,800.00",
        "Formkosten 2.500,00 EUR anteilig",
        "The tool price is 4,500.00 GBP of which 50 % are paid by us",
        "Tool maintenance EUR 150.00 per year",
        "Lagerung des Werkzeugs 50,00 EUR pro Jahr",
    ],
)
def test_an_amount_beside_a_tool_that_may_not_be_its_price_is_asked(line: str) -> None:
    facts, asks = said(line)
    assert "tools" not in facts
    assert {"tools", "charges"} & set(asks)


def test_a_new_tool_in_the_place_of_the_old_is_no_second_tool() -> None:
    facts, _ = said("Tool EUR 3,000.00 once\nReplacement tool EUR 1,200.00")
    (tool,) = facts["tools"]
    assert tool["price"] == "3000 EUR"
    assert tool["replacement"] == "1200 EUR"


def test_an_owner_until_something_happens_is_asked() -> None:
    line = "Tool EUR 500.00 remains property of supplier until paid in full, then of the customer"
    facts, asks = said(line)
    assert "owner" not in facts["tools"][0]
    assert [each["owner"] for each in asks["tools"]] == ["buyer", "supplier"]


LASTING: tuple[tuple[str, str, str], ...] = (
    ("Validity: 3 months", "valid for", "3 months"),
    ("Quotation valid 30 days from date", "valid for", "30 days"),
    ("Gültigkeit 30 Tage", "valid for", "30 days"),
    ("Firm for 90 days", "valid for", "90 days"),
    ("60 days validity", "valid for", "60 days"),
    ("Price good for 14 days", "valid for", "14 days"),
    ("Bindefrist: 8 Wochen", "valid for", "8 weeks"),
    ("Validità offerta: 60 giorni", "valid for", "60 days"),
    ("Offre valable 3 mois", "valid for", "3 months"),
    ("oferta ważna 30 dni", "valid for", "30 days"),
    ("valid till end of December", "valid until", "2026-12-31"),
    ("Angebot gültig bis Ende Februar", "valid until", "2027-02-28"),
    ("valid through 12/2026", "valid until", "2026-12-31"),
    ("gültig bis einschließlich 11/2026", "valid until", "2026-11-30"),
    ("valid until the end of February 2028", "valid until", "2028-02-29"),
    ("geldig tot eind november 2026", "valid until", "2026-11-30"),
    ("Offre valable jusqu'à fin décembre 2026", "valid until", "2026-12-31"),
    ("Preisbindung bis 31.03.2027", "valid until", "2027-03-31"),
    ("Prices valid from 1 January 2027 until 31 March 2027", "valid until", "2027-03-31"),
)


@pytest.mark.parametrize(("line", "key", "value"), LASTING)
def test_how_long_a_quote_holds_is_read(line: str, key: str, value: str) -> None:
    facts, asks = said(line)
    assert facts[key] == [value]
    assert not {"valid until", "valid for"} & set(asks)


@pytest.mark.parametrize(
    ("line", "readings"),
    [
        ("valid until KW 51", ("2026-12-18", "2026-12-20", "2026-12-13")),
        ("gültig bis KW 5", ("2027-02-05", "2027-02-07", "2027-01-31")),
        ("Die Preise gelten bis Ende KW 5/2028", ("2028-02-04", "2028-02-06", "2028-01-30")),
        ("gültig bis 12/2026", ("2026-12-31", "2026-11-30")),
        ("valid until December", ("2026-12-31", "2026-11-30")),
        ("Angebot gültig bis Mitte Dezember", ()),
        ("Valid to 31/12/26", ("2026-12-31",)),
        ("valid until 03/04/2027", ("2027-04-03", "2027-03-04")),
    ],
)
def test_an_end_that_is_no_day_is_asked(line: str, readings: tuple[str, ...]) -> None:
    facts, asks = said(line)
    assert "valid until" not in facts
    assert asks["valid until"] == readings


@pytest.mark.parametrize(
    "line",
    [
        "Preise gültig ab 01.01.2027",
        "Offer valid until further notice, may change",
        "Angebot freibleibend",
        "Valid for repeat orders; delivery 3 weeks",
        "Lieferung KW 51",
    ],
)
def test_a_line_without_an_end_says_none(line: str) -> None:
    facts, asks = said(line)
    assert not {"valid until", "valid for"} & {*facts, *asks}


PRICES: tuple[tuple[str, list[tuple[int, str]]], ...] = (
    ("1/10/100 pcs: 98 / 45,20 / 31,85 EUR", [(1, "98"), (10, "45.20"), (100, "31.85")]),
    ("100 / 200 pcs: 12.40 / 11.80 EUR each", [(100, "12.40"), (200, "11.80")]),
    ("Menge 100/500 Stk., Preis 4,20/3,80 EUR/Stk.", [(100, "4.20"), (500, "3.80")]),
    ("100 Stück je 4,20 EUR, 500 Stück je 3,80 EUR", [(100, "4.20"), (500, "3.80")]),
    ("1-49 pcs: 5.00 EUR each; 50-99 pcs: 4.50 EUR each", [(1, "5"), (50, "4.50")]),
    ("100+ pcs: 4.00 EUR each", [(100, "4")]),
    ("ab 100 Stück 4,20 EUR/Stück", [(100, "4.20")]),
    ("Qty 100: 9.85 EUR each", [(100, "9.85")]),
    ("100 pcs at 4.20 EUR each = 420.00 EUR", [(100, "4.20")]),
)


@pytest.mark.parametrize(("line", "tiers"), PRICES)
def test_prices_in_a_sentence_go_to_their_quantities(
    line: str, tiers: list[tuple[int, str]]
) -> None:
    facts, asks = said(line)
    assert facts["prices"] == [
        {"from": str(count), "price": f"{amount} EUR per 1"} for count, amount in tiers
    ]
    assert "prices" not in asks


@pytest.mark.parametrize(
    ("line", "prices"),
    [
        ("10 Stück 95,00 EUR gesamt", ["95 EUR per 10"]),
        ("100 pcs 420.00 EUR = 4.20 EUR each", ["420 EUR per 100"]),
        ("Casting 310 g, price 8.20 EUR/kg from 100 pcs", ["8.20 EUR per kg"]),
    ],
)
def test_a_price_for_all_or_for_a_mass_is_one(line: str, prices: list[str]) -> None:
    assert [each["price"] for each in said(line)[0]["prices"]] == prices


@pytest.mark.parametrize(
    ("line", "readings"),
    [
        ("up to 100 pcs EUR 5.00 each", ["1", "100"]),
        ("more than 100 pcs EUR 5.00 each", ["100", "101"]),
        ("1,000 pcs at 4.20 EUR each", ["1000", "1"]),
    ],
)
def test_a_quantity_that_has_two_readings_is_asked(line: str, readings: list[str]) -> None:
    facts, asks = said(line)
    assert "prices" not in facts
    assert [each["from"] for each in asks["prices"]] == readings


def test_totals_in_a_list_with_slashes_are_not_taken_for_prices_of_one() -> None:
    facts, asks = said("10 / 50 / 100 pcs: 450.00 / 1,900.00 / 3,100.00 EUR")
    assert "prices" not in facts
    assert {each["price"] for each in asks["prices"]} == {
        "3100 EUR per 1",
        "3100 EUR per 100",
    }


def test_the_number_of_a_standard_is_no_amount() -> None:
    facts, _ = said("Certificate 3.1 acc. to EN 10204 EUR 25.00 per delivery")
    assert facts["charges"] == [{"what": "certificate", "amount": "25 EUR", "per": "delivery"}]


REJECTS: tuple[tuple[str, dict[str, str]], ...] = (
    ("Ausschussquote 4 %, fehlerhafte Teile werden gutgeschrieben", {
        "share": "4 %", "made good": "credited"}),
    ("usual reject rate 2 %, rejects found on receipt are replaced", {
        "share": "2 %", "found": "on receipt", "made good": "replaced"}),
    ("Rebuts remplacés gratuitement, taux habituel 2 %", {
        "share": "2 %", "made good": "replaced"}),
    ("Expected scrap after machining 5 %, not replaced", {
        "share": "5 %", "found": "after completion", "made good": "nothing"}),
)  # fmt: skip


@pytest.mark.parametrize(("line", "group"), REJECTS)
def test_rejects_are_a_share_and_what_is_done_about_them(line: str, group: dict[str, str]) -> None:
    assert said(line)[0]["rejects"] == [group]


@pytest.mark.parametrize(
    "line",
    ["Reject rate below 2 % guaranteed", "Ausschuss bis 3 % geht zu Lasten des Kunden"],
)
def test_a_limit_of_rejects_is_asked(line: str) -> None:
    facts, asks = said(line)
    assert "rejects" not in facts
    assert asks["rejects"]


@pytest.mark.parametrize(
    ("line", "share"),
    [
        ("Quantity tolerance +/-10 %", "10 %"),
        ("Mehr- oder Minderlieferungen bis zu 10 % sind zulässig", "10 %"),
        ("Über- und Unterlieferung bis 5 % vorbehalten", "5 %"),
        ("Over/under delivery of 5 % is accepted", "5 %"),
        ("Mengentoleranz ± 2,5 %", "2.5 %"),
        ("Tolérance sur quantité ± 5 %", "5 %"),
    ],
)
def test_a_tolerance_of_the_quantity_is_read(line: str, share: str) -> None:
    assert said(line)[0]["quantity tolerance"] == [share]


@pytest.mark.parametrize(
    "line", ["Over-delivery not accepted", "Tolerance +/- 3 pcs", "ISO 2768-m"]
)
def test_another_tolerance_is_none_of_the_quantity(line: str) -> None:
    facts, asks = said(line)
    assert "quantity tolerance" not in {*facts, *asks}


TIMES: tuple[tuple[str, str, str | None], ...] = (
    ("Lead time 3 weeks from receipt of order", "3 weeks", "order"),
    ("Lieferzeit 15 Arbeitstage nach Auftragseingang", "15 working days", "order"),
    ("Delivery 4 wks ARO", "4 weeks", "order"),
    ("Delivery 2 weeks after deposit", "2 weeks", "deposit"),
    ("Samples within 4 weeks, series 2 weeks after sample approval", "2 weeks",
     "approval of samples"),
    ("Lieferzeit 10 Arbeitstage nach Zeichnungsfreigabe", "10 working days",
     "approval of drawings"),
    ("Termin dostawy 4 tygodnie po akceptacji wzorów", "4 weeks", "approval of samples"),
    ("Délai 5 semaines après réception de commande", "5 weeks", "order"),
    ("Consegna 4 settimane dalla ricezione dell'ordine", "4 weeks", "order"),
    ("Lead time: tooling 8 weeks from order; parts 4 weeks after approval of samples", "4 weeks",
     "approval of samples"),
    ("Lead time: tooling 8 weeks from order; parts 4 weeks", "4 weeks", None),
)  # fmt: skip


@pytest.mark.parametrize(("line", "span", "event"), TIMES)
def test_a_lead_time_counts_from_its_own_event(line: str, span: str, event: str | None) -> None:
    facts, asks = said(line)
    assert facts["lead time"] == [span]
    assert facts.get("lead time from") == ([event] if event is not None else None)
    assert not {"lead time", "lead time from"} & set(asks)


@pytest.mark.parametrize(
    ("line", "key"),
    [
        ("Lieferzeit 3 Wochen nach Werkzeugfreigabe", "lead time from"),
        ("Lieferzeit 3 Wochen nach Freigabe", "lead time from"),
        ("Lead time 3 weeks after receipt of order and approval of drawings", "lead time from"),
        ("Delivery 4-5 weeks after order", "lead time"),
        ("Delivery date: 15 January 2027", "lead time"),
        ("Liefertermin: KW 3", "lead time"),
    ],
)
def test_a_time_that_is_not_plain_is_asked(line: str, key: str) -> None:
    facts, asks = said(line)
    assert key not in facts
    assert key in asks


@pytest.mark.parametrize(
    ("line", "value"),
    [
        ("FL-021 / B: 10 pcs 4.50 EUR each", "B"),
        ("Drawing FL-021 Rev. C, see below", "C"),
        ("Zeichnung FL-021 Index D", "D"),
        ("FL-021 / 02", "02"),
    ],
)
def test_a_revision_behind_the_part_is_read(line: str, value: str) -> None:
    assert said(line)[0]["revision"] == [value]


@pytest.mark.parametrize(
    "line",
    ["FL-021 / 10 pcs: 4.50 EUR each", "FL-021 / ea 4.50 EUR", "Issued 22 Oct", "FL-021 revised"],
)
def test_what_only_looks_like_a_revision_is_none(line: str) -> None:
    facts, asks = said(line)
    assert "revision" not in {*facts, *asks}


@pytest.mark.parametrize(
    ("line", "mass"),
    [
        ("Preis je kg Rohgussgewicht, Rohgewicht 310 g, 7,40 EUR/kg ab 100 Stück", "310 g"),
        ("7,40 EUR per kg of finished weight from 100 pcs; finished weight 0.235 kg", "235 g"),
    ],
)
def test_a_price_by_the_kilogram_says_of_which_mass(line: str, mass: str) -> None:
    facts, asks = said(line)
    assert facts["mass priced"] == [mass]
    assert "mass priced" not in asks


def test_a_price_by_the_kilogram_of_an_unnamed_mass_is_asked() -> None:
    facts, asks = said("100 pcs at 7.40 EUR per kg\nweight 0.24 kg")
    assert "mass priced" not in facts
    assert asks["mass priced"] == ("240 g",)


def test_a_mass_is_a_note_where_no_price_is_by_it() -> None:
    facts, asks = said("Weight 0.24 kg each")
    assert not {"mass priced", "mass shipped"} & {*facts, *asks}


@pytest.mark.parametrize(
    ("line", "group"),
    [
        ("set-up EUR 40.00 per plate of 24 pcs", {"amount": "40 EUR", "batch": "24"}),
        (
            "Rüstkosten 60,00 EUR je Platte (24 Stück pro Platte)",
            {"amount": "60 EUR", "batch": "24"},
        ),
    ],
)
def test_set_up_for_each_plate_needs_what_a_plate_holds(line: str, group: dict[str, str]) -> None:
    facts, asks = said(line)
    assert facts["charges"] == [{"what": "set-up", "per": "batch", **group}]
    assert "charges" not in asks
    asked = said(line.replace("24", "").replace("of  pcs", ""))[1]["charges"]
    assert [each["per"] for each in asked] == ["batch"]


def test_a_minimum_of_each_delivery_is_told_apart() -> None:
    value = said("Minimum value per delivery EUR 150.00")[0]["minimum value"]
    assert value == [{"value": "150 EUR", "per": "delivery"}]
    facts, asks = said("Minimum order quantity 100 pcs per call-off")
    assert "minimum" not in facts
    assert asks["minimum"] == ("100",)


@pytest.mark.parametrize(
    ("line", "rule"),
    [
        ("DDU Amsterdam", "DAP Amsterdam"),
        ("DAT Rotterdam", "DPU Rotterdam"),
        ("DEQ Hull", "DPU Hull"),
    ],
)
def test_an_outdated_rule_is_named_with_its_successor(line: str, rule: str) -> None:
    facts, asks = said(f"Delivery {line}")
    assert "delivery" not in facts
    assert asks["delivery"] == (rule,)


def test_every_operation_that_is_known_by_its_words_is_one_of_the_vocabulary() -> None:
    assert set(LISTED) <= set(OPERATIONS)


@pytest.mark.parametrize(
    ("line", "includes", "excludes"),
    [
        ("Prices incl. deburring and bead blasting, excl. heat treatment.", 2, 1),
        ("Price includes packing but not machining", 1, 1),
        ("Entgraten und Reinigen im Preis enthalten, Härten nicht enthalten", 2, 1),
        ("Nicht enthalten: Polieren", 0, 1),
        ("Verzinken € 0,42 per stuk (niet in prijs inbegrepen)", 0, 1),
        ("Snijden en zetten zijn inbegrepen, ontbramen niet", 1, 1),
        ("Wärmebehandlung dabei, Bearbeitung nicht", 1, 1),
        ("Schleifen ist nicht im Preis enthalten", 0, 1),
        ("Prices do not include deburring or heat treatment", 0, 2),
        ("Prix comprenant l'ébavurage, hors traitement thermique", 1, 1),
        ("Zincatura esclusa, sbavatura compresa", 1, 1),
        ("not deburred, heat treatment by customer", 0, 2),
        ("Deburring: yes. Heat treatment: no.", 1, 1),
        ("Einsatzhärten 58+2 HRC im Preis enthalten", 1, 0),
    ],
)
def test_operations_are_in_the_price_or_not(line: str, includes: int, excludes: int) -> None:
    facts, _ = said(line)
    assert len(facts.get("includes", [])) == includes
    assert len(facts.get("excludes", [])) == excludes


def test_costs_of_several_parts_in_sentences_are_asked() -> None:
    facts, asks = said(
        "Pos. 1: FL-021\n200 pcs at 7.85 EUR each\nPos. 2: FL-042\n500 pcs at 3.15 EUR each\n"
        "Tool EUR 3,000.00 once"
    )
    assert not {"prices", "tools"} & set(facts)
    assert {"prices", "tools"} <= set(asks)


def test_a_number_without_currency_is_asked_with_both_readings_at_once() -> None:
    """1.845 is one euro or eighteen hundred, and no currency is said."""
    _, asks = said("\nQty   Price each\n10   1.845\n")
    assert [each["price"] for each in asks["prices"]] == ["1.8450 EUR per 1", "1845 EUR per 1"]


WORDS = (
    "valid until end of December KW 51 5 100 1/10/100 pcs EUR 4,20 1.845 each = total tool die 2 "
    "cavity 30.000 shots property customer our 50 % with order balance after approval samples "
    "payment net 30 days lead time weeks rejects replaced +/- 10 % over delivery per kg gross "
    "weight 0,31 kg FL-021 FL-042 / B rev C set-up per plate of 24 minimum order Menge Preis je "
    "Werkzeug bleibt Eigentum Lieferers 12/2026 ; . , Skonto innerhalb Tagen FCA DAT VAT 19 % "
    "Summe 1.234,56 31.12.2026 03/04/2027"
).split(" ")
INNER = re.compile(
    r"tool|until|until the month|mailed|(?:about )?mass(?: raw| finished)?|mass of .*"
)


@given(st.lists(st.sampled_from(WORDS), min_size=1, max_size=60))
@settings(max_examples=150, deadline=None)
def test_words_of_the_trade_in_any_order_are_read(words: list[str]) -> None:
    """Nothing breaks, and no half-way key is left among the facts."""
    place = Place("offer.txt")
    sheets, lines, _ = tables_and_lines(" ".join(words), place)
    seen = Seen(kind="notes", place=place, sheets=sheets, lines=lines)
    found = finish(assemble(seen, Given(parts=PARTS)).found, PARTS, place)
    keys = {str(each.keys[-1]) for each in found.facts} | {str(f.keys[0]) for f in found.facts}
    assert {key for key in keys if INNER.fullmatch(key)} == set()
