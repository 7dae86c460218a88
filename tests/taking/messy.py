"""Messy files of our own invention, each with what it says, written down before a reader saw it.

A case names the facts that a careful person reads in the file beyond doubt, and the fields that
must be asked about. A fact that is neither is wrong.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from email.message import EmailMessage
from pathlib import Path

PARTS = ("fl-021", "fl-042", "wm-015")


def price(count: int | str, amount: str, item: int = 1) -> tuple[str, str]:
    return (f"items {item}, prices", f"{{from: {count}, price: {amount}}}")


@dataclass(frozen=True, kw_only=True)
class Case:
    """facts are (field, value); asked are fields with a question; also are facts that may stand."""

    name: str
    ending: str
    make: Callable[[Path], None]
    facts: tuple[tuple[str, str], ...]
    asked: tuple[str, ...] = ()
    also: tuple[tuple[str, str], ...] = ()
    currency: str | None = None
    traps: tuple[str, ...] = ()

    def build(self, folder: Path) -> Path:
        path = folder / f"{self.name}{self.ending}"
        self.make(path)
        return path


def text(content: str, encoding: str = "utf-8") -> Callable[[Path], None]:
    return lambda path: path.write_bytes(content.encode(encoding)) and None  # type: ignore[func-returns-value]


def book(
    rows: Sequence[Sequence[object]], after: Callable[..., None] | None = None
) -> Callable[[Path], None]:
    def make(path: Path) -> None:
        from openpyxl import Workbook

        workbook = Workbook()
        sheet = workbook.active
        assert sheet is not None
        sheet.title = "Offer"
        for row in rows:
            sheet.append(list(row))
        if after is not None:
            after(workbook, sheet)
        workbook.save(path)

    return make


def mail(
    body: str, subject: str = "Your enquiry", attach: Sequence[tuple[str, bytes]] = ()
) -> Callable[[Path], None]:
    def make(path: Path) -> None:
        message = EmailMessage()
        message["From"] = "Sales <sales@example.test>"
        message["To"] = "us@example.test"
        message["Subject"] = subject
        message["Date"] = "Wed, 14 Oct 2026 09:12:00 +0200"
        message.set_content(body)
        for name, data in attach:
            message.add_attachment(
                data, maintype="application", subtype="octet-stream", filename=name
            )
        path.write_bytes(message.as_bytes())

    return make


CBC = "urn:oasis:names:specification:ubl:schema:xsd:CommonBasicComponents-2"
CAC = "urn:oasis:names:specification:ubl:schema:xsd:CommonAggregateComponents-2"


PAYABLE = "99999.00"  # a total that no line explains: totals are never facts


def ubl(head: str, lines: str) -> str:
    """A quotation; head stands before the parties, lines after what follows them."""
    payable = f'<cbc:PayableAmount currencyID="EUR">{PAYABLE}</cbc:PayableAmount>'
    total = f"<cac:QuotedMonetaryTotal>{payable}</cac:QuotedMonetaryTotal>"
    lines = lines.replace("<cac:QuotationLine>", f"{total}<cac:QuotationLine>", 1)
    return f"""<?xml version="1.0" encoding="UTF-8"?>
<Quotation xmlns="urn:oasis:names:specification:ubl:schema:xsd:Quotation-2"
 xmlns:cbc="{CBC}" xmlns:cac="{CAC}">
<cbc:UBLVersionID>2.1</cbc:UBLVersionID>
<cbc:ID>Q-77/26</cbc:ID>
<cbc:IssueDate>2026-10-14</cbc:IssueDate>
{head}
<cac:SellerSupplierParty><cac:Party><cac:PartyName><cbc:Name>Voss Example</cbc:Name></cac:PartyName>
</cac:Party></cac:SellerSupplierParty>
{lines}
</Quotation>
"""


def ubl_line(
    number: int, part: str, count: str, amount: str, *, base: str = "", total: str = "",
    currency: str = "EUR", least: str = "", more: str = "", unit: str = "H87",
) -> str:  # fmt: skip
    extension = (
        f'<cbc:LineExtensionAmount currencyID="{currency}">{total}</cbc:LineExtensionAmount>'
        if total
        else ""
    )
    minimum = (
        f'<cbc:MinimumQuantity unitCode="{unit}">{least}</cbc:MinimumQuantity>' if least else ""
    )
    return f"""<cac:QuotationLine><cbc:ID>{number}</cbc:ID><cac:LineItem><cbc:ID>{number}</cbc:ID>
<cbc:Quantity unitCode="{unit}">{count}</cbc:Quantity>{extension}{minimum}{more}
<cac:Price><cbc:PriceAmount currencyID="{currency}">{amount}</cbc:PriceAmount>{base}</cac:Price>
<cac:Item><cbc:Name>{part}</cbc:Name><cac:BuyersItemIdentification><cbc:ID>{part}</cbc:ID>
</cac:BuyersItemIdentification></cac:Item></cac:LineItem></cac:QuotationLine>"""


def _charge(
    amount: str, code: str, reason: str, currency: str = "EUR", charge: str = "true"
) -> str:
    return f"""<cac:AllowanceCharge><cbc:ChargeIndicator>{charge}</cbc:ChargeIndicator>
<cbc:AllowanceChargeReasonCode>{code}</cbc:AllowanceChargeReasonCode>
<cbc:AllowanceChargeReason>{reason}</cbc:AllowanceChargeReason>
<cbc:Amount currencyID="{currency}">{amount}</cbc:Amount></cac:AllowanceCharge>"""


def _merged(_: object, sheet: object) -> None:
    sheet.merge_cells("B4:D4")  # type: ignore[attr-defined]


def _hide_row(_: object, sheet: object) -> None:
    sheet.row_dimensions[6].hidden = True  # type: ignore[attr-defined]


def _hidden_sheet(workbook: object, sheet: object) -> None:
    from openpyxl.comments import Comment

    other = workbook.create_sheet("Old")  # type: ignore[attr-defined]
    other.append(["Quantity", "Price each (EUR)"])
    other.append([50, 12.5])
    other.sheet_state = "hidden"
    sheet["B5"].comment = Comment("only if ordered before Christmas", "seller")  # type: ignore[index]


def _error_cell(_: object, sheet: object) -> None:
    cell = sheet["B6"]  # type: ignore[index]
    cell.value = "#DIV/0!"
    cell.data_type = "e"


GERMAN = """\
Gießerei Beispieltal;Angebot Nr. A-2026/117;;Datum: 12.10.2026
Zeichnung WM-015 Index B;;;
Werkstoff: GJS-400-15;;;
;;;
ab Stück;Preis je 100 Stück (EUR);;Bemerkung
50;1.940,00;;
150;1.780,00;;gilt für die Jahresmenge
300;1.620,50;;
;;;
Rüstkosten je Auftrag;48,00 EUR;;
Modellkosten einmalig 1.850,00 EUR, Eigentum des Kunden;;;
Lieferzeit 15 Arbeitstage nach Auftragseingang, FCA Musterstadt;;;
Zahlung: 30 Tage netto;;;
Preise zzgl. MwSt.;;;
Angebot gültig bis 31.12.2026;;;
"""

CASES: tuple[Case, ...] = (
    Case(
        name="german-per-100",
        ending=".csv",
        make=text(GERMAN, "cp1252"),
        traps=("per 100 in CSV header",),
        facts=(
            ("quote", "A-2026/117"),
            ("date", "2026-10-12"),
            ("currency", "EUR"),
            ("items 1, part", "wm-015"),
            ("items 1, revision", "B"),
            ("items 1, material", "GJS-400-15"),
            price(50, "1940 EUR per 100"),
            price(150, "1780 EUR per 100"),
            price(300, "1620.50 EUR per 100"),
            ("items 1, charges", "{what: set-up, amount: 48 EUR, per: order}"),
            (
                "items 1, tools",
                (
                    '{tool: tool 1, what: "Modellkosten einmalig, Eigentum des Kunden", price: '
                    "1850 EUR, owner: buyer}"
                ),
            ),
            ("items 1, lead time", "15 working days"),
            ("items 1, lead time from", "order"),
            ("delivery", "FCA Musterstadt"),
            ("payment", "{share: 100 %, when: invoice, days: 30}"),
            ("tax included", '"no"'),
            ("valid until", "2026-12-31"),
        ),
    ),
    Case(
        name="english-book",
        ending=".xlsx",
        make=book(
            [
                ["Quotation No. Q-1182", None, None, "Date: 14 October 2026"],
                ["Part: FL-021", "Rev C", None, None],
                [],
                ["Qty", "Unit price (GBP)", "Line total", "Remarks"],
                [50, 17.4, 870, None],
                [100, 16.2, 1620, None],
                [250, 15.05, 3762.5, "preferred"],
                [],
                [
                    (
                        "Tooling: 4-cavity die GBP 3,400.00, life 60,000 shots, remains property "
                        "of the customer"
                    )
                ],
                ["Set-up GBP 65.00 per order"],
                ["Lead time 4 weeks after receipt of order, EXW Dudley"],
                ["Valid for 60 days"],
                ["Terms: 50 % with order, 50 % on delivery"],
            ]
        ),
        facts=(
            ("quote", "Q-1182"),
            ("date", "2026-10-14"),
            ("currency", "GBP"),
            ("items 1, part", "fl-021"),
            ("items 1, revision", "C"),
            price(50, "17.40 GBP per 1"),
            price(100, "16.20 GBP per 1"),
            price(250, "15.05 GBP per 1"),
            (
                "items 1, tools",
                (
                    '{tool: tool 1, what: "Tooling: 4-cavity die, life 60,000 shots, remains '
                    'property of the customer", price: 3400 GBP, cavities: 4, life: 60000, owner: '
                    "buyer}"
                ),
            ),
            ("items 1, charges", "{what: set-up, amount: 65 GBP, per: order}"),
            ("items 1, lead time", "4 weeks"),
            ("items 1, lead time from", "order"),
            ("delivery", "EXW Dudley"),
            ("valid for", "60 days"),
            ("payment", "{share: 50 %, when: order}"),
            ("payment", "{share: 50 %, when: delivery}"),
        ),
    ),
    Case(
        name="across-columns",
        ending=".xlsx",
        traps=("merged head",),
        make=book(
            [
                ["Offerte KS-26200", None, None, None],
                ["Datum", "13-10-2026", None, None],
                [],
                ["Tekening", "Prijs per stuk (EUR)", None, None],
                [None, 10, 25, 50],
                ["FL-021", 19.4, 17.8, 16.6],
                ["FL-042", 27.4, 24.6, 22.9],
                [],
                [
                    (
                        "Levertijd 15 werkdagen na opdracht. Geldig tot 31-01-2027. Betaling 30 "
                        "dagen netto."
                    )
                ],
            ],
            _merged,
        ),
        facts=(
            ("quote", "KS-26200"),
            ("currency", "EUR"),
            ("date", "2026-10-13"),
            ("items 1, part", "fl-021"),
            ("items 2, part", "fl-042"),
            price(10, "19.40 EUR per 1"),
            price(25, "17.80 EUR per 1"),
            price(50, "16.60 EUR per 1"),
            price(10, "27.40 EUR per 1", 2),
            price(25, "24.60 EUR per 1", 2),
            price(50, "22.90 EUR per 1", 2),
            ("items 1, lead time", "15 working days"),
            ("items 2, lead time", "15 working days"),
            ("items 1, lead time from", "order"),
            ("items 2, lead time from", "order"),
            ("valid until", "2027-01-31"),
            ("payment", "{share: 100 %, when: invoice, days: 30}"),
        ),
    ),
    Case(
        name="several-parts",
        ending=".csv",
        make=text(
            "Pos;Zeichnung;Menge;Einzelpreis EUR;Gesamt EUR\n"
            "1;FL-021;50;19,40;970,00\n"
            "2;FL-021;100;17,80;1.780,00\n"
            "3;FL-042;50;27,40;1.370,00\n"
            "Angebot 4471 vom 02.10.2026;;;;\n"
        ),
        facts=(
            ("quote", "4471"),
            ("date", "2026-10-02"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
            ("items 2, part", "fl-042"),
            price(50, "19.40 EUR per 1"),
            price(100, "17.80 EUR per 1"),
            price(50, "27.40 EUR per 1", 2),
        ),
    ),
    Case(
        name="typing-error",
        ending=".csv",
        traps=("typing error",),
        make=text(
            "Quotation AB-12;Date 2026-10-01\n"
            "Drawing FL-021;\n"
            "Qty;Price each EUR\n"
            "50;17,40\n"
            "100;61,95\n"
            "250;16,20\n"
        ),
        facts=(
            ("quote", "AB-12"),
            ("date", "2026-10-01"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
            price(50, "17.40 EUR per 1"),
            price(250, "16.20 EUR per 1"),
        ),
        asked=("items 1, prices",),
    ),
    Case(
        name="undeclared-thousand",
        ending=".csv",
        traps=("1.845 undeclared",),
        make=text(
            "Offer X-9;Date 2026-09-30\nDrawing FL-021;\nQty;Price per piece EUR\n10;1.845\n"
        ),
        facts=(
            ("quote", "X-9"),
            ("date", "2026-09-30"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
        ),
        asked=("items 1, prices",),
    ),
    Case(
        name="point-in-german",
        ending=".csv",
        traps=("12.90 in a German file",),
        make=text(
            "Angebot B-7;Datum 01.10.2026\n"
            "Zeichnung FL-021;\n"
            "Menge;Stückpreis EUR\n"
            "10;14,50\n"
            "20;13,70\n"
            "50;12.90\n"
            "100;11,80\n"
        ),
        facts=(
            ("quote", "B-7"),
            ("date", "2026-10-01"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
            price(10, "14.50 EUR per 1"),
            price(20, "13.70 EUR per 1"),
            price(100, "11.80 EUR per 1"),
        ),
        asked=("items 1, prices",),
    ),
    Case(
        name="hidden-row",
        ending=".xlsx",
        traps=("hidden row holds a price",),
        make=book(
            [
                ["Quotation H-1", "Date 2026-10-05"],
                ["Drawing", "FL-021"],
                [],
                ["Quantity", "Price per piece EUR"],
                [50, 10.5],
                [100, 9.5],
                [200, 9.1],
            ],
            _hide_row,
        ),
        facts=(
            ("quote", "H-1"),
            ("date", "2026-10-05"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
            price(50, "10.50 EUR per 1"),
            price(200, "9.10 EUR per 1"),
        ),
        asked=("items 1, prices",),
    ),
    Case(
        name="hidden-sheet",
        ending=".xlsx",
        traps=("hidden sheet", "comment"),
        make=book(
            [
                ["Quotation H-2", "Date 2026-10-05"],
                ["Drawing", "FL-021"],
                [],
                ["Quantity", "Price per piece EUR"],
                [50, 10.5],
                [100, 9.5],
            ],
            _hidden_sheet,
        ),
        facts=(
            ("quote", "H-2"),
            ("date", "2026-10-05"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
            price(50, "10.50 EUR per 1"),
            price(100, "9.50 EUR per 1"),
        ),
        asked=("items 1, prices", "notes"),
    ),
    Case(
        name="no-value",
        ending=".xlsx",
        traps=("formula without stored value",),
        make=book(
            [
                ["Quotation F-1", "Date 2026-10-05"],
                ["Drawing", "FL-021"],
                [],
                ["Quantity", "Price per piece EUR"],
                [50, 10.5],
                [100, "=B5*0.9"],
            ]
        ),
        facts=(
            ("quote", "F-1"),
            ("date", "2026-10-05"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
            price(50, "10.50 EUR per 1"),
        ),
        asked=("items 1, prices",),
    ),
    Case(
        name="error-cell",
        ending=".xlsx",
        traps=("#DIV/0! cell",),
        make=book(
            [
                ["Quotation E-1", "Date 2026-10-05"],
                ["Drawing", "FL-021"],
                [],
                ["Quantity", "Price per piece EUR"],
                [50, 10.5],
                [100, None],
            ],
            _error_cell,
        ),
        facts=(
            ("quote", "E-1"),
            ("date", "2026-10-05"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
            price(50, "10.50 EUR per 1"),
        ),
        asked=("items 1, prices",),
    ),
    Case(
        name="totals-contradict",
        ending=".csv",
        traps=("totals contradict lines",),
        make=text(
            "Quotation T-1,Date 2026-10-05,\n"
            "Drawing FL-021,,\n"
            "Qty,Unit price EUR,Total EUR\n"
            "50,10.50,525.00\n"
            "100,9.50,905.00\n"
        ),
        facts=(
            ("quote", "T-1"),
            ("date", "2026-10-05"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
            price(50, "10.50 EUR per 1"),
        ),
        asked=("items 1, prices",),
    ),
    Case(
        name="per-100-slip",
        ending=".csv",
        traps=("per-100 slip",),
        make=text(
            "Quotation T-2,Date 2026-10-05,\n"
            "Drawing FL-021,,\n"
            "Qty,Unit price EUR,Total EUR\n"
            "500,105.00,525.00\n"
            "1000,98.00,980.00\n"
        ),
        facts=(
            ("quote", "T-2"),
            ("date", "2026-10-05"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
        ),
        asked=("items 1, prices",),
    ),
    Case(
        name="two-prices",
        ending=".csv",
        traps=("two prices for one quantity",),
        make=text(
            "Quotation T-3,Date 2026-10-05\n"
            "Drawing FL-021,\n"
            "Qty,Unit price EUR\n"
            "50,10.50\n"
            "100,9.80\n"
            "100,9.50\n"
        ),
        facts=(
            ("quote", "T-3"),
            ("date", "2026-10-05"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
            price(50, "10.50 EUR per 1"),
        ),
        asked=("items 1, prices",),
    ),
    Case(
        name="mixed-currency",
        ending=".csv",
        traps=("mixed currencies",),
        make=text(
            "Quotation M-1,Date 2026-10-05\n"
            "Drawing FL-021,\n"
            "Qty,Unit price\n"
            "50,10.50 EUR\n"
            "100,9.80 USD\n"
        ),
        facts=(("quote", "M-1"), ("date", "2026-10-05"), ("items 1, part", "fl-021")),
        also=(price(50, "10.50 EUR per 1"), price(100, "9.80 USD per 1")),
        asked=("currency",),
    ),
    Case(
        name="dollar-sign",
        ending=".csv",
        traps=("a sign of several currencies",),
        make=text(
            "Quotation D-1,Date 2026-10-05\nDrawing FL-021,\nQty,Unit price\n50,$10.50\n100,$9.80\n"
        ),
        facts=(("quote", "D-1"), ("date", "2026-10-05"), ("items 1, part", "fl-021")),
        asked=("currency", "items 1, prices"),
    ),
    Case(
        name="dollar-declared",
        ending=".csv",
        currency="USD",
        make=text(
            "Quotation D-2,Date 2026-10-05\nDrawing FL-021,\nQty,Unit price\n50,$10.50\n100,$9.80\n"
        ),
        facts=(
            ("quote", "D-2"),
            ("date", "2026-10-05"),
            ("items 1, part", "fl-021"),
            ("currency", "USD"),
            price(50, "10.50 USD per 1"),
            price(100, "9.80 USD per 1"),
        ),
    ),
    Case(
        name="mail-body",
        ending=".eml",
        traps=("amount in the quoted part of a mail",),
        make=mail(
            (
                "Dear Sirs,\n"
                "\n"
                "for FL-021 we offer 100 pcs at EUR 9.80 each.\n"
                "Tooling EUR 1,200.00.\n"
                "Lead time 4 weeks after order.\n"
                "\n"
                "> We had hoped for EUR 8.00 each\n"
            ),
            "Quotation M-77",
        ),
        facts=(
            ("quote", "M-77"),
            ("date", "2026-10-14"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
            ("items 1, lead time", "4 weeks"),
            ("items 1, lead time from", "order"),
        ),
        asked=("items 1, prices", "items 1, tools"),
    ),
    Case(
        name="mail-attachment",
        ending=".eml",
        traps=("attachment name is no path",),
        make=mail(
            "Please find our offer attached.\n",
            "Offer",
            [
                (
                    "../../evil.csv",
                    (
                        b"Quotation N-1,Date 2026-10-05\nDrawing FL-021,\n"
                        b"Qty,Unit price EUR\n50,10.50\n100,9.80\n"
                    ),
                ),
                ("scan.pdf", b"%PDF-1.4 nothing"),
            ],
        ),
        facts=(
            ("quote", "N-1"),
            ("currency", "EUR"),
            ("date", "2026-10-05"),
            ("items 1, part", "fl-021"),
            price(50, "10.50 EUR per 1"),
            price(100, "9.80 EUR per 1"),
        ),
        asked=("notes",),
    ),
    Case(
        name="phone-note",
        ending=".md",
        make=text(
            "# Call with the sheet shop, quote no. TEL-3, 2026-10-09\n\n- Drawing WM-015\n- "
            "50 pcs: 6.40 EUR each\n- 200 pcs: 5.15 EUR each\n- set-up 40.00 EUR per "
            "order\n- packing included, carriage not included\n- 10 working days after "
            "order\n- price holds 30 days\n"
        ),
        facts=(
            ("quote", "TEL-3"),
            ("date", "2026-10-09"),
            ("currency", "EUR"),
            ("items 1, part", "wm-015"),
            price(50, "6.40 EUR per 1"),
            price(200, "5.15 EUR per 1"),
            ("items 1, charges", "{what: set-up, amount: 40 EUR, per: order}"),
            ("items 1, includes", "packing"),
            ("items 1, lead time", "10 working days"),
            ("items 1, lead time from", "order"),
        ),
        also=(("valid for", "30 days"),),
    ),
    Case(
        name="text-table",
        ending=".txt",
        make=text(
            "Devis n° D-88\n"
            "Date : 05/10/2026 et 15/10/2026 pour la demande\n"
            "Plan FL-042 indice A\n"
            "\n"
            "Quantité    Prix unitaire EUR\n"
            "50          12,40\n"
            "100         11,20\n"
            "250         10,35\n"
            "\n"
            "Délai 6 semaines après commande\n"
            "Réglage 55,00 EUR par commande\n"
            "Prix HT\n"
        ),
        facts=(
            ("quote", "D-88"),
            ("currency", "EUR"),
            ("items 1, part", "fl-042"),
            ("items 1, revision", "A"),
            ("date", "2026-10-05"),
            price(50, "12.40 EUR per 1"),
            price(100, "11.20 EUR per 1"),
            price(250, "10.35 EUR per 1"),
            ("items 1, lead time", "6 weeks"),
            ("items 1, lead time from", "order"),
            ("items 1, charges", "{what: set-up, amount: 55 EUR, per: order}"),
            ("tax included", '"no"'),
        ),
    ),
    Case(
        name="polish",
        ending=".csv",
        make=text(
            "Oferta nr OF/26/311;data 07.10.2026\n"
            "Rysunek FL-042;\n"
            "Ilość szt.;Cena jednostkowa PLN netto\n"
            "25;124,00\n"
            "50;117,50\n"
            "100;109,00\n"
            "Termin realizacji 20 dni roboczych od zamówienia;\n"
            "Płatność przelew 21 dni;\n"
            "Ważna do 31.12.2026;\n"
        ),
        facts=(
            ("quote", "OF/26/311"),
            ("date", "2026-10-07"),
            ("currency", "PLN"),
            ("items 1, part", "fl-042"),
            price(25, "124 PLN per 1"),
            price(50, "117.50 PLN per 1"),
            price(100, "109 PLN per 1"),
            ("items 1, lead time", "20 working days"),
            ("items 1, lead time from", "order"),
            ("payment", "{share: 100 %, when: invoice, days: 21}"),
            ("valid until", "2026-12-31"),
        ),
    ),
    Case(
        name="old-rule-and-range",
        ending=".csv",
        traps=("an outdated Incoterms rule",),
        make=text(
            "Quotation R-1,Date 2026-10-05\n"
            "Drawing FL-021,\n"
            "Qty,Unit price EUR\n"
            "50,10.50\n"
            "100,9.80\n"
            "Delivery 4-5 weeks after order,\n"
            "DDU Zutphen,\n"
            "Packing 12.50 EUR,\n"
        ),
        facts=(
            ("quote", "R-1"),
            ("date", "2026-10-05"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
            price(50, "10.50 EUR per 1"),
            price(100, "9.80 EUR per 1"),
            ("items 1, lead time from", "order"),
        ),
        asked=("items 1, lead time", "delivery", "charges|items 1, charges"),
    ),
    Case(
        name="later-contradicts",
        ending=".txt",
        traps=("later text contradicts earlier",),
        make=text(
            "Quotation C-1 of 2026-10-05\n"
            "Drawing FL-021\n"
            "Valid until 2026-12-31\n"
            "\n"
            "Qty   Price each EUR\n"
            "50    10.50\n"
            "100   9.80\n"
            "\n"
            "General terms\n"
            "This offer is valid until 2026-11-15.\n"
        ),
        facts=(
            ("quote", "C-1"),
            ("date", "2026-10-05"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
            price(50, "10.50 EUR per 1"),
            price(100, "9.80 EUR per 1"),
        ),
        asked=("valid until",),
    ),
    Case(
        name="ubl-tiers",
        ending=".xml",
        traps=("per-hundred base quantity",),
        make=text(
            ubl(
                "<cbc:PricingCurrencyCode>EUR</cbc:PricingCurrencyCode><cac:ValidityPeriod>"
                "<cbc:EndDate>2026-12-31</cbc:EndDate></cac:ValidityPeriod>",
                "<cac:DeliveryTerms><cbc:ID "
                'schemeID="INCOTERMS">FCA</cbc:ID><cac:DeliveryLocation><cbc:Description>'
                "Musterstadt</cbc:Description></cac:DeliveryLocation></cac:DeliveryTerms>"
                + _charge("1850.00", "ABF", "Pattern")
                + ubl_line(
                    1,
                    "FL-021",
                    "50",
                    "940.00",
                    base='<cbc:BaseQuantity unitCode="H87">100</cbc:BaseQuantity>',
                    total="470.00",
                    least="50",
                )
                + ubl_line(
                    2,
                    "FL-021",
                    "2",
                    "890.00",
                    base='<cbc:BaseQuantity unitCode="CEN">1</cbc:BaseQuantity>',
                    total="1780.00",
                    unit="CEN",
                ),
            )
        ),
        facts=(
            ("quote", "Q-77/26"),
            ("date", "2026-10-14"),
            ("currency", "EUR"),
            ("valid until", "2026-12-31"),
            ("delivery", "FCA Musterstadt"),
            ("items 1, part", "fl-021"),
            price(50, "940 EUR per 100"),
            price(200, "890 EUR per 100"),
            ("items 1, tools", "{tool: tool 1, what: Pattern, price: 1850 EUR}"),
        ),
    ),
    Case(
        name="ubl-doubts",
        ending=".xml",
        traps=("promised before issued", "mixed currencies", "totals contradict"),
        make=text(
            ubl(
                "",
                ubl_line(
                    1,
                    "FL-021",
                    "50",
                    "9.40",
                    total="480.00",
                    more="<cac:Delivery><cac:PromisedDeliveryPeriod><cbc:EndDate>2026-10-01</cbc:EndDate></cac:PromisedDeliveryPeriod></cac:Delivery>",
                )
                + ubl_line(2, "FL-042", "50", "12.40", currency="USD"),
            )
        ),
        facts=(
            ("quote", "Q-77/26"),
            ("date", "2026-10-14"),
            ("items 1, part", "fl-021"),
            ("items 2, part", "fl-042"),
        ),
        also=(price(50, "12.40 USD per 1", 2),),
        asked=("currency", "items 1, prices", "items 1, lead time"),
    ),
    Case(
        name="quantities-in-heads",
        ending=".csv",
        make=text(
            "Quote J-1;2026-10-01;;\nPart;Price 100 pcs;Price 250 pcs;Price 500 pcs\n"
            "FL-021;8,10;7,60;7,20\nFL-042;12,10;11,60;11,20\nPrices in EUR each;;;\n"
        ),
        facts=(
            ("quote", "J-1"),
            ("date", "2026-10-01"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
            ("items 2, part", "fl-042"),
            price(100, "8.10 EUR per 1"),
            price(250, "7.60 EUR per 1"),
            price(500, "7.20 EUR per 1"),
            price(100, "12.10 EUR per 1", 2),
            price(250, "11.60 EUR per 1", 2),
            price(500, "11.20 EUR per 1", 2),
        ),
    ),
    Case(
        name="prices-with-slashes",
        ending=".txt",
        make=text(
            "Offer 2026-55 of 2026-10-12\nPart FL-021\n"
            "100 / 200 / 500 pcs: 12.40 / 11.80 / 10.95 EUR each\n"
        ),
        facts=(
            ("quote", '"2026-55"'),
            ("date", "2026-10-12"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
            price(100, "12.40 EUR per 1"),
            price(200, "11.80 EUR per 1"),
            price(500, "10.95 EUR per 1"),
        ),
    ),
    Case(
        name="one-column",
        ending=".csv",
        traps=("a column of decimal commas",),
        make=text("19,40\n17,80\n16,60\n"),
        facts=(),
        asked=("layout, heads", "quote", "date", "currency", "items 1, part"),
    ),
    Case(
        name="bare-head",
        ending=".csv",
        traps=("a bare price head",),
        make=text(
            "Quotation P-1;Date 2026-10-05\nDrawing FL-021;\nQuantity;Price EUR\n100;1740,00\n"
        ),
        facts=(
            ("quote", "P-1"),
            ("date", "2026-10-05"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
        ),
        asked=("items 1, prices",),
    ),
)
