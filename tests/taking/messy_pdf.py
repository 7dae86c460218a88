"""Messy PDFs of our own invention, each with what it says, written down before a reader saw it.

Half are drawn operator by operator, half are printed by WeasyPrint, so that no producer's habits
are taken for those of the kind.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from email.message import EmailMessage
from pathlib import Path

from tests.taking.messy import Case, price
from tests.taking.pdfs import Page, drawn, printed


def by_hand(*pages: Callable[[], Page]) -> Callable[[Path], None]:
    return lambda path: path.write_bytes(drawn([each() for each in pages])) and None  # type: ignore[func-returns-value]


def from_html(html: str) -> Callable[[Path], None]:
    return lambda path: path.write_bytes(printed(html)) and None  # type: ignore[func-returns-value]


def rows(cells: Sequence[Sequence[str]], tag: str = "td", right: Sequence[int] = ()) -> str:
    made = ""
    for row in cells:
        shown = "".join(
            f"<{tag}{' class=n' if number in right else ''}>{cell}</{tag}>"
            for number, cell in enumerate(row)
        )
        made += f"<tr>{shown}</tr>"
    return made


def table(
    head: Sequence[str], body: Sequence[Sequence[str]], *, kind: str = "", right: Sequence[int] = ()
) -> str:
    return (
        f"<table class='{kind}'><thead>{rows([head], 'th', right)}</thead>"
        f"<tbody>{rows(body, right=right)}</tbody></table>"
    )


RULED = (
    "<h2>Angebot Nr. A-2026/340</h2><p>Datum: 12.10.2026</p>"
    "<p>Zeichnung WM-015 Index C<br>Werkstoff: GJS-400-15</p>"
    + table(
        ("ab Stück", "Preis je 100 Stück (EUR)", "Bemerkung"),
        (
            ("50", "1.940,00", ""),
            ("150", "1.780,00", "Jahresmenge"),
            ("300", "1.620,50", "zwei Lose"),
        ),
        kind="ruled",
        right=(0, 1),
    )
    + "<p>Rüstkosten 48,00 EUR je Auftrag</p>"
    "<p>Lieferzeit 15 Arbeitstage nach Auftragseingang, FCA Musterstadt</p>"
    "<p>Zahlung: 30 Tage netto</p><p>Preise zzgl. MwSt.</p><p>Angebot gültig bis 31.12.2026</p>"
)


def unruled() -> Page:
    page = Page()
    page.text(60, 60, "Voss Example Castings", size=16, font="F2")
    page.row(100, [(60, "Quotation No. Q-2207"), (360, "Date: 14 October 2026")])
    page.row(116, [(60, "Part: FL-021 Rev C"), (360, "Currency: GBP")])
    page.row(150, [(60, "Qty"), (180, "Unit price GBP"), (-360, "Line total"), (400, "Remarks")])
    for y, (count, each, total, told) in enumerate(
        [("50", "17.40", "870.00", ""), ("100", "16.20", "1,620.00", "stock bar"),
         ("250", "15.05", "3,762.50", "preferred lot")]
    ):  # fmt: skip
        cells = [(-85.0, count), (-245.0, each), (-360.0, total), (400.0, told)]
        page.row(166 + 14 * y, cells)
    page.lines(
        60,
        230,
        [
            "Tooling: 4-cavity die GBP 3,400.00, life 60,000 shots, property of the customer",
            "Set-up GBP 65.00 per order",
            "Lead time 4 weeks after receipt of order, EXW Dudley",
            "Payment 30 days net. All prices are net of VAT.",
            "Valid for 60 days.",
        ],
    )
    return page


def first_of_two() -> Page:
    page = Page()
    page.text(60, 60, "Angebot Nr. 26-0815", size=14)
    page.text(60, 80, "Datum 08.10.2026")
    page.text(60, 94, "Zeichnung FL-042 Index A")
    page.row(130, [(60, "Menge"), (200, "Stückpreis EUR")])
    page.row(146, [(-90.0, "25"), (-270.0, "124,00")])
    page.row(160, [(-90.0, "50"), (-270.0, "117,50")])
    page.row(174, [(-90.0, "100"), (-270.0, "109,00")])
    page.text(60, 800, "Voss Example GmbH, Musterstadt", size=8)
    page.text(500, 800, "Seite 1 von 2", size=8)
    return page


def second_of_two() -> Page:
    page = Page()
    page.text(60, 60, "Allgemeine Bedingungen", size=14)
    left = [
        "Die Lieferzeit beträgt 6 Wochen nach",
        "Auftragseingang. Die Preise gelten für",
        "die genannte Zeichnung und schließen",
        "das Entgraten und Prüfen nicht aus.",
        "Rüstkosten je Auftrag betragen hier",
        "55,00 EUR und kommen hinzu.",
    ]
    right = [
        "Zahlung 30 Tage netto nach Erhalt der",
        "Rechnung. Die Ware bleibt bis dahin in",
        "unserem Eigentum. Lieferung erfolgt",
        "FCA Musterstadt nach Incoterms 2020.",
        "Alle Preise verstehen sich zzgl. MwSt.",
        "Angebot gültig bis 15.12.2026 fest.",
    ]
    page.lines(60, 90, left).lines(310, 90, right)
    page.text(60, 800, "Voss Example GmbH, Musterstadt", size=8)
    page.text(500, 800, "Seite 2 von 2", size=8)
    return page


LONG = (
    "<style>@page { @top-left { content: 'Voss Example, Zutphen' } "
    "@bottom-right { content: 'Page ' counter(page) ' of ' counter(pages) } }"
    "tbody td { height: 42pt }</style>"
    "<p>Quotation No. Q-3001 &nbsp; Date: 2026-10-20</p>"
    + table(
        ("Pos", "Part", "Qty", "Price each EUR", "Total EUR"),
        [
            (str(at), part, str(count), each, total)
            for at, (part, count, each, total) in enumerate(
                [
                    ("FL-021", 50, "10.50", "525.00"), ("FL-021", 100, "9.80", "980.00"),
                    ("FL-021", 250, "9.10", "2275.00"), ("FL-021", 500, "8.70", "4350.00"),
                    ("FL-042", 50, "12.40", "620.00"), ("FL-042", 100, "11.20", "1120.00"),
                    ("FL-042", 250, "10.35", "2587.50"), ("FL-042", 500, "9.95", "4975.00"),
                    ("WM-015", 50, "6.40", "320.00"), ("WM-015", 100, "5.90", "590.00"),
                    ("WM-015", 250, "5.15", "1287.50"), ("WM-015", 500, "4.80", "2400.00"),
                    ("WM-015", 1000, "4.45", "4450.00"), ("WM-015", 2000, "4.20", "8400.00"),
                    ("WM-015", 5000, "4.05", "20250.00"), ("WM-015", 10000, "3.95", "39500.00"),
                ], 1
            )
        ],
        right=(2, 3, 4),
    )
    + "<p>Lead time 3 weeks after order.</p>"
)  # fmt: skip


def letter() -> Page:
    return (
        Page()
        .lines(
            70,
            80,
            [
                "Offer no. L-77 of 3 November 2026",
                "",
                "Dear customer,",
                "for drawing FL-021 rev B in material EN-GJL-250 we quote as follows:",
                "100 pcs at 17.40 EUR each",
                "300 pcs at 15.90 EUR each",
                "A pattern is needed once: 1,850.00 EUR. It remains your property.",
                "We deliver in 20 working days after receipt of order, DAP Zutphen.",
                "Terms of payment: 14 days net. Prices excluding VAT.",
                "This offer is valid until 31 January 2027.",
            ],
        )
        .text(70, 300, "With kind regards")
    )


def turned_page() -> Page:
    """A landscape page stored as a portrait one: all text runs upwards, the viewer turns it."""
    page = Page(rotate=90)

    def put(x: float, y: float, words: str) -> None:
        # Where a viewer shows x to the right and y down, once the page is turned.
        page.turned((0, 1, -1, 0, y, x), words)

    put(60, 60, "Offerte nr. OF-26-19, datum 6 oktober 2026")
    put(60, 76, "Tekening FL-042 rev D")
    for x, words in ((60, "Aantal"), (260, "Stuksprijs EUR")):
        put(x, 110, words)
    for at, (count, each) in enumerate((("50", "12,40"), ("100", "11,20"), ("250", "10,35"))):
        put(60, 126 + 14 * at, count)
        put(290, 126 + 14 * at, each)
    put(60, 200, "Levertijd 20 werkdagen na opdracht")
    put(60, 214, "Prijzen exclusief BTW")
    return page


WRAPPED = (
    "<p>Quotation No. Q-88/26, Date: 2026-10-21</p>"
    + table(
        ("Part no.", "Description", "Qty", "Unit price EUR", "Amount EUR"),
        (
            (
                "FL-021",
                "Bracket, cast, shot blasted,<br>with two machined faces<br>and a core print",
                "100",
                "16.95",
                "1,695.00",
            ),
            ("FL-042", "Cover, cast, fettled<br>and painted", "100", "11.20", "1,120.00"),
            ("WM-015", "Weight", "200", "5.15", "1,030.00"),
        ),
        right=(2, 3, 4),
    )
    + "<p>Total 3,845.00 EUR</p><p>Delivery 5 weeks after order, FCA Zutphen.</p>"
)


def hidden_text() -> Page:
    page = Page()
    page.text(60, 60, "Quotation No. H-12 Date: 2026-10-05")
    page.text(60, 76, "Drawing FL-021")
    page.box(55, 98, 330, 114, "0 0 0.5 rg")
    page.text(60, 110, "Qty", colour="1 g").text(200, 110, "Price each EUR", colour="1 g")
    page.row(128, [(60, "50"), (230, "10.50")])
    page.row(142, [(60, "100"), (230, "9.80")])
    page.row(156, [(60, "250"), (230, "9.10")])
    page.text(60, 200, "250 pcs at 7.10 EUR each", colour="1 1 1 rg")
    page.text(60, 900, "500 pcs at 6.10 EUR each")
    page.text(60, 220, "Tooling 900.00 EUR once", size=0.6)
    page.comment(300, 128, "only if ordered before Christmas")
    return page


SPACED = (
    "<p>Oferta nr OF/26/340, data 07.10.2026</p><p>Rysunek FL-042</p>"
    + table(
        ("Ilość szt.", "Cena jednostkowa PLN netto"),
        (
            ("50", "1\u00a0240,00"),
            ("100", "1\u202f175,50"),
            ("1\u2009000", "1\u2009090,00"),
        ),
        right=(0, 1),
    )
    + "<p>Oferta firmowa, termin realizacji 20 dni roboczych od zamówienia</p>"
    "<p>Ważna do 31.12.2026</p>"
)


def picture_page() -> Page:
    return Page().picture(0, 0, 595, 842)


def plain_offer() -> Page:
    page = Page()
    page.text(60, 60, "Quotation No. C-9 Date: 2026-10-05")
    page.text(60, 76, "Drawing FL-021")
    page.row(110, [(60, "Qty"), (200, "Price each EUR")])
    page.row(128, [(60, "50"), (230, "10.50")])
    page.row(142, [(60, "100"), (230, "9.80")])
    page.row(156, [(60, "250"), (230, "9.10")])
    return page


def later_prices() -> Page:
    page = Page()
    page.text(60, 60, "Price list for drawing FL-021")
    page.row(110, [(60, "Qty"), (200, "Price each EUR")])
    page.row(128, [(60, "50"), (230, "10.50")])
    page.row(142, [(60, "100"), (230, "9.20")])
    page.text(60, 180, "Lead time 4 weeks after order")
    return page


MATRIX = (
    "<p>Devis n° D-2026-44 du 12/10/2026, demande du 30/09/2026</p>"
    + table(
        ("Plan", "100 pcs", "250 pcs", "500 pcs"),
        (
            ("FL-021", "8,10", "7,60", "7,20"),
            ("FL-042", "12,10", "11,60", "11,20"),
            ("WM-015", "5,40", "5,10", "4,90"),
        ),
        right=(1, 2, 3),
    )
    + "<p>Prix unitaires en EUR, hors TVA</p><p>Délai 6 semaines après commande</p>"
)


def across() -> Page:
    page = Page()
    page.text(60, 60, "Quotation No. X-5, Date: 2026-10-09")
    page.text(60, 76, "Part FL-021")
    page.row(110, [(60, "Quantity"), (-220.0, "50"), (-320.0, "100"), (-420.0, "250")])
    page.row(126, [(60, "Price each EUR"), (-220.0, "10.50"), (-320.0, "9.80"), (-420.0, "9.10")])
    page.row(142, [(60, "Total EUR"), (-220.0, "525.00"), (-320.0, "980.00"), (-420.0, "2275.00")])
    page.text(60, 180, "Lead time 15 working days after order")
    return page


def footnoted() -> Page:
    page = Page()
    page.text(60, 60, "Quotation No. F-3 Date: 2026-10-05")
    page.text(60, 76, "Drawing FL-021")
    page.row(110, [(60, "Qty"), (200, "Price each EUR")])
    page.row(128, [(60, "50"), (-255, "10.50")])
    page.row(142, [(60, "100"), (-255, "9.80")])
    page.text(255.2, 138.5, "1", size=5.5)
    page.row(156, [(60, "250"), (-255, "9.10")])
    page.text(60, 200, "1) plus an alloy surcharge at the day of delivery", size=8)
    return page


BOXES = (
    "<table class='ruled'><tr><td>Angebot Nr.<br>B-4711</td><td>Datum<br>12.10.2026</td>"
    "<td>Gültig bis<br>30.11.2026</td></tr></table><p>Zeichnung FL-021 Rev. B</p>"
    + table(
        ("Menge", "Preis je Stück EUR", "Gesamt EUR"),
        (("50", "17,40", "870,00"), ("100", "16,95", "1.695,00"), ("250", "16,20", "4.050,00")),
        kind="ruled",
        right=(0, 1, 2),
    )
    + "<table><tr><td>Lieferzeit</td><td>4 Wochen nach Auftragseingang</td></tr>"
    "<tr><td>Zahlung</td><td>30 Tage netto</td></tr>"
    "<tr><td>Lieferung</td><td>DAP Zutphen</td></tr></table>"
)


def filled_form() -> Page:
    page = Page()
    page.text(60, 60, "Your request for drawing FL-021: please fill in")
    page.text(60, 90, "Quotation No.").filled(180, 90, "ZZ-19", "number")
    page.text(60, 110, "Date").filled(180, 110, "2026-10-13", "date")
    page.row(150, [(60, "Qty"), (180, "Price each EUR")])
    for y, (count, each) in enumerate([("50", "10.50"), ("100", "9.80"), ("250", "9.10")]):
        page.text(60, 168 + 18 * y, count)
        page.filled(180, 168 + 18 * y, each, f"price{y}", 80)
    page.text(60, 260, "Lead time").filled(180, 260, "4 weeks after order", "lead", 200)
    return page


def recognised() -> Page:
    page = plain_offer()
    page.drawn = [each.replace(b" 0 Tr ", b" 3 Tr ") for each in page.drawn]
    return page.picture(0, 0, 595, 842)


def tall_cells() -> Page:
    """Rules between columns and around the head; the rows have none."""
    page = Page()
    page.text(60, 60, "Offerte nr. 2026-118, datum 14-10-2026")
    page.text(60, 76, "Tekening WM-015 uitgave B")
    for y in (95, 115, 190):
        page.rule(55, y, 400, y)
    for x in (55, 150, 280, 400):
        page.rule(x, 95, x, 190)
    page.row(109, [(60, "Aantal"), (160, "Prijs per stuk EUR"), (290, "Totaal EUR")])
    page.row(130, [(-140, "25"), (-270, "9,40"), (-390, "235,00")])
    page.row(144, [(-140, "100"), (-270, "8,10"), (-390, "810,00")])
    page.row(158, [(-140, "500"), (-270, "7,25"), (-390, "3.625,00")])
    page.lines(60, 215, ["Levertijd 3 weken na opdracht", "Betaling binnen 30 dagen"])
    return page


def letter_by_letter() -> Page:
    """Each letter is placed by itself, the last line first; no blank is drawn."""
    page = Page()

    def spell(x: float, y: float, words: str) -> None:
        for mark in words:
            if mark != " ":
                page.text(x, y, mark, font="F3")
            x += 6

    spell(60, 200, "Lead time 10 working days after order")
    for y, count, each in ((160, "250", "9.10"), (146, "100", "9.80"), (132, "50", "10.50")):
        spell(240, y, each)
        spell(60, y, count)
    spell(220, 116, "Price each EUR")
    spell(60, 116, "Qty")
    spell(60, 80, "Drawing FL-021")
    spell(60, 60, "Quotation No. S-4 Date: 2026-10-05")
    return page


def struck_out() -> Page:
    page = Page()
    page.text(60, 60, "Quotation No. T-8 Date: 2026-10-05")
    page.text(60, 76, "Drawing FL-021")
    page.row(110, [(60, "Qty"), (200, "Price each EUR")])
    page.row(128, [(60, "50"), (200, "10.50")])
    page.row(142, [(60, "100"), (200, "10.20"), (240, "9.80")])
    page.rule(198, 138.6, 226, 138.6)
    page.row(156, [(60, "250"), (200, "9.10")])
    return page


def two_tables() -> Page:
    page = Page()
    page.text(60, 60, "Quotation No. W-31 Date: 2026-10-05")
    for top, part, tiers in (
        (90, "Part FL-021, bracket", (("50", "10.50"), ("100", "9.80"))),
        (190, "Part FL-042, cover", (("50", "12.40"), ("100", "11.20"))),
    ):
        page.text(60, top, part, font="F2")
        page.row(top + 20, [(60, "Quantity"), (220, "Price"), (320, "Unit")])
        page.row(top + 32, [(220, "(EUR per"), (320, "of sale")])
        page.row(top + 44, [(220, "100 pcs)")])
        for number, (count, each) in enumerate(tiers):
            whole = f"{float(each) * 100:,.2f}"
            page.row(top + 60 + 14 * number, [(-95, count), (-262, whole), (320, "pcs")])
    page.text(60, 300, "Packing included. Carriage 45.00 EUR per delivery.")
    return page


def side_by_side() -> Page:
    page = Page()
    page.text(60, 60, "Quotation No. SB-7 Date: 2026-10-05")
    for x, part, tiers in (
        (60, "Part FL-021", (("50", "10.50"), ("100", "9.80"))),
        (320, "Part FL-042", (("50", "12.40"), ("100", "11.20"))),
    ):
        page.text(x, 90, part)
        page.row(110, [(x, "Qty"), (x + 100, "Price each EUR")])
        for number, (count, each) in enumerate(tiers):
            page.row(126 + 14 * number, [(-x - 25, count), (-x - 150, each)])
    return page


def labels() -> Page:
    page = Page()
    page.row(60, [(60, "Quote ref"), (200, "Date"), (320, "Valid until")])
    page.row(74, [(60, "QR/2026/88"), (200, "13 Oct 2026"), (320, "12 Dec 2026")])
    for number, (label, value) in enumerate(
        [("Part", "WM-015 rev B"), ("Material", "S235, 3 mm"), ("Quantity", "200 pcs"),
         ("Price per piece", "EUR 5.15"), ("Set-up", "EUR 40.00 per order"),
         ("Delivery time", "3 weeks"), ("Payment", "30 days net")]
    ):  # fmt: skip
        page.text(60, 110 + 14 * number, f"{label} ...............")
        page.text(220, 110 + 14 * number, value)
    return page


def crowded() -> Page:
    """Two heads run together, as where a column is too narrow for its words; totals follow."""
    page = Page()
    page.text(60, 60, "Angebot Nr. 4711-26 vom 14.10.2026")
    page.row(100, [(60, "Pos."), (90, "Zeichnung"), (160, "Bezeichnung"), (320, "Menge")])
    page.text(366, 100, "Einzelpreis EUR Gesamtpreis EUR")
    for number, (part, told, count, each, total) in enumerate(
        [("FL-021", "Halter, Feinguss", "100", "16,95", "1.695,00"),
         ("FL-042", "Deckel, Feinguss", "100", "11,20", "1.120,00"),
         ("WM-015", "Gewicht, lackiert", "250", "5,15", "1.287,50")]
    ):  # fmt: skip
        page.row(116 + 14 * number, [(60, str(number + 1)), (90, part), (160, told)])
        page.row(116 + 14 * number, [(-350, count), (-440, each), (-525, total)])
    page.row(162, [(366, "Summe netto"), (-525, "4.102,50")])
    page.text(60, 190, "Zahlung innerhalb von 30 Tagen netto.")
    return page


def like_an_invoice() -> Page:
    """No column for parts: they are named in descriptions of several lines; a tool is a row."""
    page = Page()
    page.row(60, [(60, "Muster Werkstatt"), (380, "Angebot-Nr.: AN-26-0042")])
    page.row(73, [(60, "Beispielweg 3"), (380, "Datum: 12.10.2026")])
    page.row(110, [(60, "Pos."), (90, "Bezeichnung"), (-330, "Menge"), (345, "Einheit")])
    page.row(110, [(-450, "E-Preis EUR"), (-530, "Gesamt EUR")])
    y = 126
    for at, (told, count, each, total) in enumerate(
        [(("FL-021 Halter", "Feinguss 1.4308", "geputzt"), "100", "16,95", "1.695,00"),
         (("FL-021 Halter",), "250", "15,80", "3.950,00"),
         (("FL-042 Deckel", "Feinguss"), "100", "11,20", "1.120,00"),
         (("Werkzeugkosten FL-021 einmalig",), "1", "2.400,00", "2.400,00")], 1
    ):  # fmt: skip
        page.row(y, [(60, str(at)), (-330, count), (345, "Stk"), (-450, each), (-530, total)])
        page.lines(90, y, told, 12)
        y += 12 * len(told) + 6
    page.row(y + 14, [(380, "Nettosumme"), (-530, "9.165,00 EUR")])
    page.lines(
        60,
        y + 50,
        [
            "Lieferzeit: ca. 6 Wochen nach Auftragseingang",
            "Zahlungsbedingungen: 30 Tage netto",
            "Lieferbedingung: EXW Musterstadt (Incoterms 2020)",
        ],
    )
    return page


def called_otherwise() -> Page:
    page = Page()
    page.text(60, 60, "Quotation No. D-5 Date: 2026-10-05").text(60, 76, "Drawing FL-021")
    page.row(110, [(60, "Description"), (-260, "Qty"), (300, "Price each EUR")])
    page.row(126, [(60, "Bracket"), (-260, "100"), (330, "16.95")])
    page.row(140, [(60, "Cover"), (-260, "250"), (330, "11.20")])
    return page


def without_head_on_page_two() -> tuple[Page, Page]:
    one, two = Page(), Page()
    one.text(60, 60, "Quotation No. NH-7 Date: 2026-10-05").text(60, 74, "Part FL-021")
    one.row(720, [(60, "Qty"), (200, "Price each EUR")])
    for number, (count, each) in enumerate((("50", "10.50"), ("100", "9.80"), ("250", "9.10"))):
        one.row(736 + 14 * number, [(-80, count), (-265, each)])
    for number, (count, each) in enumerate((("500", "8.70"), ("1000", "8.40"))):
        two.row(50 + 14 * number, [(-80, count), (-265, each)])
    two.text(60, 100, "Lead time 3 weeks after order")
    return one, two


def in_a_mail(path: Path) -> None:
    message = EmailMessage()
    message["From"] = "Sales <sales@example.test>"
    message["Subject"] = "Quotation"
    message["Date"] = "Wed, 14 Oct 2026 09:12:00 +0200"
    message.set_content("Please find our quotation attached.\n")
    message.add_attachment(
        drawn([plain_offer()]), maintype="application", subtype="pdf", filename="../Offer.PDF"
    )
    path.write_bytes(message.as_bytes())


def ligatures() -> Page:
    page = Page()
    page.text(60, 60, "Offer no. G-6 of 2026-10-05")
    page.text(60, 76, "Part FL-021")
    page.text(60, 92, "100 pcs at 9.80 EUR each")
    high = page.size[1]
    page.drawn.append(
        f"BT /F4 10 Tf 1 0 0 1 60 {high - 108} Tm (\x01rst article inspection 120.00 EUR once) "
        f"Tj ET BT /F4 10 Tf 1 0 0 1 60 {high - 124} Tm "
        f"[(C)10(ert)-5(i\x01)2(cate 3.1 to EN 10204 i)-4(s included, \x02oor 4)] TJ ET".encode()
    )
    return page


PLAIN_FACTS = (
    ("currency", "EUR"),
    ("date", "2026-10-05"),
    ("items 1, part", "fl-021"),
    price(50, "10.50 EUR per 1"),
)
NINE = (price(100, "9.80 EUR per 1"), price(250, "9.10 EUR per 1"))

PDF_CASES: tuple[Case, ...] = (
    Case(
        name="ruled-german",
        ending=".pdf",
        make=from_html(RULED),
        traps=("price per 100 in the head", "decimal comma"),
        facts=(
            ("quote", "A-2026/340"),
            ("date", "2026-10-12"),
            ("currency", "EUR"),
            ("items 1, part", "wm-015"),
            ("items 1, revision", "C"),
            ("items 1, material", "GJS-400-15"),
            price(50, "1940 EUR per 100"),
            price(150, "1780 EUR per 100"),
            price(300, "1620.50 EUR per 100"),
            ("items 1, charges", "{what: set-up, amount: 48 EUR, per: order}"),
            ("items 1, lead time", "15 working days"),
            ("items 1, lead time from", "order"),
            ("delivery", "FCA Musterstadt"),
            ("payment", "{share: 100 %, when: invoice, days: 30}"),
            ("tax included", '"no"'),
            ("valid until", "2026-12-31"),
        ),
    ),
    Case(
        name="unruled-english",
        ending=".pdf",
        make=by_hand(unruled),
        traps=("unruled table", "right-aligned numbers"),
        facts=(
            ("quote", "Q-2207"),
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
                    '{tool: tool 1, what: "Tooling: 4-cavity die, life 60,000 shots, property of '
                    'the customer", price: 3400 GBP, cavities: 4, life: 60000, owner: buyer}'
                ),
            ),
            ("items 1, charges", "{what: set-up, amount: 65 GBP, per: order}"),
            ("items 1, lead time", "4 weeks"),
            ("items 1, lead time from", "order"),
            ("delivery", "EXW Dudley"),
            ("payment", "{share: 100 %, when: invoice, days: 30}"),
            ("tax included", '"no"'),
            ("valid for", "60 days"),
        ),
    ),
    Case(
        name="terms-on-page-two",
        ending=".pdf",
        make=by_hand(first_of_two, second_of_two),
        traps=("terms on page two", "two columns of text", "footers repeated"),
        facts=(
            ("quote", '"26-0815"'),
            ("date", "2026-10-08"),
            ("currency", "EUR"),
            ("items 1, part", "fl-042"),
            ("items 1, revision", "A"),
            price(25, "124 EUR per 1"),
            price(50, "117.50 EUR per 1"),
            price(100, "109 EUR per 1"),
            ("items 1, lead time", "6 weeks"),
            ("items 1, lead time from", "order"),
            ("payment", "{share: 100 %, when: invoice, days: 30}"),
            ("delivery", "FCA Musterstadt"),
            ("tax included", '"no"'),
            ("valid until", "2026-12-15"),
            ("items 1, charges", "{what: set-up, amount: 55 EUR, per: order}"),
        ),
    ),
    Case(
        name="table-over-two-pages",
        ending=".pdf",
        make=from_html(LONG),
        traps=("several parts in one table", "table goes on with its head repeated"),
        facts=(
            ("quote", "Q-3001"),
            ("date", "2026-10-20"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
            ("items 2, part", "fl-042"),
            ("items 3, part", "wm-015"),
            price(50, "10.50 EUR per 1"),
            price(100, "9.80 EUR per 1"),
            price(250, "9.10 EUR per 1"),
            price(500, "8.70 EUR per 1"),
            price(50, "12.40 EUR per 1", 2),
            price(100, "11.20 EUR per 1", 2),
            price(250, "10.35 EUR per 1", 2),
            price(500, "9.95 EUR per 1", 2),
            price(50, "6.40 EUR per 1", 3),
            price(100, "5.90 EUR per 1", 3),
            price(250, "5.15 EUR per 1", 3),
            price(500, "4.80 EUR per 1", 3),
            price(1000, "4.45 EUR per 1", 3),
            price(2000, "4.20 EUR per 1", 3),
            price(5000, "4.05 EUR per 1", 3),
            price(10000, "3.95 EUR per 1", 3),
            ("items 1, lead time", "3 weeks"),
            ("items 2, lead time", "3 weeks"),
            ("items 3, lead time", "3 weeks"),
            ("items 1, lead time from", "order"),
            ("items 2, lead time from", "order"),
            ("items 3, lead time from", "order"),
        ),
    ),
    Case(
        name="prose",
        ending=".pdf",
        make=by_hand(letter),
        traps=("prices in sentences",),
        facts=(
            ("quote", "L-77"),
            ("date", "2026-11-03"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
            ("items 1, revision", "B"),
            price(100, "17.40 EUR per 1"),
            price(300, "15.90 EUR per 1"),
            ("items 1, lead time", "20 working days"),
            ("items 1, lead time from", "order"),
            ("delivery", "DAP Zutphen"),
            ("payment", "{share: 100 %, when: invoice, days: 14}"),
            ("tax included", '"no"'),
            ("valid until", "2027-01-31"),
        ),
        also=(
            (
                "items 1, tools",
                (
                    "{tool: tool 1, what: A pattern is needed once:. It remains your property, "
                    "price: 1850 EUR, owner: buyer}"
                ),
            ),
        ),
    ),
    Case(
        name="rotated-page",
        ending=".pdf",
        make=by_hand(turned_page),
        traps=("rotated page",),
        facts=(
            ("quote", "OF-26-19"),
            ("date", "2026-10-06"),
            ("currency", "EUR"),
            ("items 1, part", "fl-042"),
            ("items 1, revision", "D"),
            price(50, "12.40 EUR per 1"),
            price(100, "11.20 EUR per 1"),
            price(250, "10.35 EUR per 1"),
            ("items 1, lead time", "20 working days"),
            ("items 1, lead time from", "order"),
            ("tax included", '"no"'),
        ),
    ),
    Case(
        name="wrapped-cells",
        ending=".pdf",
        make=from_html(WRAPPED),
        traps=("continuation lines", "several parts in one table"),
        facts=(
            ("quote", "Q-88/26"),
            ("date", "2026-10-21"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
            ("items 2, part", "fl-042"),
            ("items 3, part", "wm-015"),
            price(100, "16.95 EUR per 1"),
            price(100, "11.20 EUR per 1", 2),
            price(200, "5.15 EUR per 1", 3),
            ("delivery", "FCA Zutphen"),
            ("items 1, lead time", "5 weeks"),
            ("items 2, lead time", "5 weeks"),
            ("items 3, lead time", "5 weeks"),
            ("items 1, lead time from", "order"),
            ("items 2, lead time from", "order"),
            ("items 3, lead time from", "order"),
        ),
    ),
    Case(
        name="hidden-text",
        ending=".pdf",
        make=by_hand(hidden_text),
        traps=("white, tiny and outside text", "a comment", "white head on a dark ground"),
        facts=(("quote", "H-12"), *PLAIN_FACTS, price(100, "9.80 EUR per 1")),
        also=(price(250, "9.10 EUR per 1"),),
        asked=("items 1, prices", "notes", "items 1, tools|charges|items 1, charges"),
    ),
    Case(
        name="thin-spaces",
        ending=".pdf",
        make=from_html(SPACED),
        traps=("no-break and thin spaces in numbers", "ligatures"),
        facts=(
            ("quote", "OF/26/340"),
            ("date", "2026-10-07"),
            ("currency", "PLN"),
            ("items 1, part", "fl-042"),
            price(50, "1240 PLN per 1"),
            price(100, "1175.50 PLN per 1"),
            price(1000, "1090 PLN per 1"),
            ("items 1, lead time", "20 working days"),
            ("items 1, lead time from", "order"),
            ("valid until", "2026-12-31"),
        ),
    ),
    Case(
        name="picture-among-text",
        ending=".pdf",
        make=by_hand(plain_offer, picture_page),
        traps=("an image-only page",),
        facts=(("quote", "C-9"), *PLAIN_FACTS, *NINE),
        asked=("notes",),
    ),
    Case(
        name="later-page-contradicts",
        ending=".pdf",
        make=by_hand(plain_offer, later_prices),
        traps=("a later page that contradicts",),
        facts=(
            ("quote", "C-9"),
            *PLAIN_FACTS,
            price(250, "9.10 EUR per 1"),
            ("items 1, lead time", "4 weeks"),
            ("items 1, lead time from", "order"),
        ),
        asked=("items 1, prices",),
    ),
    Case(
        name="breaks-across-columns",
        ending=".pdf",
        make=from_html(MATRIX),
        facts=(
            ("quote", "D-2026-44"),
            ("date", "2026-10-12"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
            ("items 2, part", "fl-042"),
            ("items 3, part", "wm-015"),
            price(100, "8.10 EUR per 1"),
            price(250, "7.60 EUR per 1"),
            price(500, "7.20 EUR per 1"),
            price(100, "12.10 EUR per 1", 2),
            price(250, "11.60 EUR per 1", 2),
            price(500, "11.20 EUR per 1", 2),
            price(100, "5.40 EUR per 1", 3),
            price(250, "5.10 EUR per 1", 3),
            price(500, "4.90 EUR per 1", 3),
            ("tax included", '"no"'),
            ("items 1, lead time", "6 weeks"),
            ("items 2, lead time", "6 weeks"),
            ("items 3, lead time", "6 weeks"),
            ("items 1, lead time from", "order"),
            ("items 2, lead time from", "order"),
            ("items 3, lead time from", "order"),
        ),
    ),
    Case(
        name="on-its-side",
        ending=".pdf",
        make=by_hand(across),
        facts=(
            ("quote", "X-5"),
            ("date", "2026-10-09"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
            price(50, "10.50 EUR per 1"),
            *NINE,
            ("items 1, lead time", "15 working days"),
            ("items 1, lead time from", "order"),
        ),
    ),
    Case(
        name="raised-mark",
        ending=".pdf",
        make=by_hand(footnoted),
        traps=("a raised mark that would lengthen a number",),
        facts=(
            ("quote", "F-3"),
            *PLAIN_FACTS,
            price(250, "9.10 EUR per 1"),
        ),
        also=(price(100, "9.80 EUR per 1"),),
        asked=("notes|items 1, prices",),
    ),
    Case(
        name="boxes",
        ending=".pdf",
        make=from_html(BOXES),
        traps=("labels above their values",),
        facts=(
            ("quote", "B-4711"),
            ("date", "2026-10-12"),
            ("valid until", "2026-11-30"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
            ("items 1, revision", "B"),
            price(50, "17.40 EUR per 1"),
            price(100, "16.95 EUR per 1"),
            price(250, "16.20 EUR per 1"),
            ("items 1, lead time", "4 weeks"),
            ("items 1, lead time from", "order"),
            ("payment", "{share: 100 %, when: invoice, days: 30}"),
            ("delivery", "DAP Zutphen"),
        ),
    ),
    Case(
        name="form-fields",
        ending=".pdf",
        make=by_hand(filled_form),
        traps=("values typed into a form",),
        facts=(
            ("quote", "ZZ-19"),
            ("date", "2026-10-13"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
            price(50, "10.50 EUR per 1"),
            *NINE,
            ("items 1, lead time", "4 weeks"),
            ("items 1, lead time from", "order"),
        ),
    ),
    Case(
        name="recognised-scan",
        ending=".pdf",
        make=by_hand(recognised),
        traps=("a scan with text from character recognition",),
        facts=(("quote", "C-9"), ("date", "2026-10-05"), ("currency", "EUR")),
        also=(("items 1, part", "fl-021"),),
        asked=("items 1, prices", "notes"),
    ),
    Case(
        name="rules-between-columns",
        ending=".pdf",
        make=by_hand(tall_cells),
        facts=(
            ("quote", '"2026-118"'),
            ("date", "2026-10-14"),
            ("currency", "EUR"),
            ("items 1, part", "wm-015"),
            ("items 1, revision", "B"),
            price(25, "9.40 EUR per 1"),
            price(100, "8.10 EUR per 1"),
            price(500, "7.25 EUR per 1"),
            ("items 1, lead time", "3 weeks"),
            ("items 1, lead time from", "order"),
            ("payment", "{share: 100 %, when: invoice, days: 30}"),
        ),
    ),
    Case(
        name="letter-by-letter",
        ending=".pdf",
        make=by_hand(letter_by_letter),
        traps=("letters placed one by one, in no order",),
        facts=(
            ("quote", "S-4"),
            *PLAIN_FACTS,
            *NINE,
            ("items 1, lead time", "10 working days"),
            ("items 1, lead time from", "order"),
        ),
    ),
    Case(
        name="struck-out",
        ending=".pdf",
        make=by_hand(struck_out),
        traps=("a price that is struck out",),
        facts=(("quote", "T-8"), *PLAIN_FACTS, price(250, "9.10 EUR per 1")),
        also=(price(100, "9.80 EUR per 1"),),
        asked=("notes|items 1, prices",),
    ),
    Case(
        name="two-tables-head-of-three-lines",
        ending=".pdf",
        make=by_hand(two_tables),
        traps=("a head of several lines", "price per 100 in the head"),
        facts=(
            ("quote", "W-31"),
            ("date", "2026-10-05"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
            ("items 2, part", "fl-042"),
            price(50, "1050 EUR per 100"),
            price(100, "980 EUR per 100"),
            price(50, "1240 EUR per 100", 2),
            price(100, "1120 EUR per 100", 2),
            ("items 1, includes", "packing"),
            ("items 2, includes", "packing"),
        ),
        asked=("charges",),
    ),
    Case(
        name="tables-side-by-side",
        ending=".pdf",
        make=by_hand(side_by_side),
        facts=(
            ("quote", "SB-7"),
            *PLAIN_FACTS,
            price(100, "9.80 EUR per 1"),
            ("items 2, part", "fl-042"),
            price(50, "12.40 EUR per 1", 2),
            price(100, "11.20 EUR per 1", 2),
        ),
    ),
    Case(
        name="labels-and-leaders",
        ending=".pdf",
        make=by_hand(labels),
        traps=("a row of labels above their values", "rows of dots"),
        facts=(
            ("quote", "QR/2026/88"),
            ("date", "2026-10-13"),
            ("valid until", "2026-12-12"),
            ("currency", "EUR"),
            ("items 1, part", "wm-015"),
            ("items 1, revision", "B"),
            ("items 1, material", '"S235, 3 mm"'),
            price(200, "5.15 EUR per 1"),
            ("items 1, charges", "{what: set-up, amount: 40 EUR, per: order}"),
            ("items 1, lead time", "3 weeks"),
            ("payment", "{share: 100 %, when: invoice, days: 30}"),
        ),
    ),
    Case(
        name="heads-run-together",
        ending=".pdf",
        make=by_hand(crowded),
        traps=("two heads with one blank between them", "a total that is no term of payment"),
        facts=(
            ("quote", '"4711-26"'),
            ("date", "2026-10-14"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
            ("items 2, part", "fl-042"),
            ("items 3, part", "wm-015"),
            price(100, "16.95 EUR per 1"),
            price(100, "11.20 EUR per 1", 2),
            price(250, "5.15 EUR per 1", 3),
            ("payment", "{share: 100 %, when: invoice, days: 30}"),
        ),
    ),
    Case(
        name="no-head-on-page-two",
        ending=".pdf",
        make=by_hand(lambda: without_head_on_page_two()[0], lambda: without_head_on_page_two()[1]),
        traps=("table goes on without its head",),
        facts=(
            ("quote", "NH-7"),
            *PLAIN_FACTS,
            *NINE,
            price(500, "8.70 EUR per 1"),
            price(1000, "8.40 EUR per 1"),
            ("items 1, lead time", "3 weeks"),
            ("items 1, lead time from", "order"),
        ),
    ),
    Case(
        name="like-an-invoice",
        ending=".pdf",
        make=by_hand(like_an_invoice),
        traps=("parts named in descriptions", "a tool as a row of the table"),
        facts=(
            ("quote", "AN-26-0042"),
            ("date", "2026-10-12"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
            ("items 2, part", "fl-042"),
            price(100, "16.95 EUR per 1"),
            price(250, "15.80 EUR per 1"),
            price(100, "11.20 EUR per 1", 2),
            ("items 1, lead time", "6 weeks"),
            ("items 2, lead time", "6 weeks"),
            ("items 1, lead time from", "order"),
            ("items 2, lead time from", "order"),
            ("payment", "{share: 100 %, when: invoice, days: 30}"),
            ("delivery", "EXW Musterstadt"),
        ),
        also=(
            (
                "items 1, tools",
                (
                    '{tool: tool 1, what: "4 Werkzeugkosten FL-021 einmalig 1 Stk 2.400,00", '
                    "price: 2400 EUR}"
                ),
            ),
        ),
        asked=("charges|items 1, tools",),
    ),
    Case(
        name="rows-called-otherwise",
        ending=".pdf",
        make=by_hand(called_otherwise),
        traps=("one part is named, the rows are of two",),
        facts=(
            ("quote", "D-5"),
            ("date", "2026-10-05"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
        ),
        asked=("items 1, prices",),
    ),
    Case(
        name="attached-to-a-mail",
        ending=".eml",
        make=in_a_mail,
        facts=(("quote", "C-9"), *PLAIN_FACTS, *NINE),
    ),
    Case(
        name="ligatures",
        ending=".pdf",
        make=by_hand(ligatures),
        traps=("ligatures",),
        facts=(
            ("quote", "G-6"),
            ("date", "2026-10-05"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
            price(100, "9.80 EUR per 1"),
            ("items 1, charges", "{what: first article, amount: 120 EUR, per: once}"),
            ("items 1, certificates", "EN 10204 3.1"),
        ),
    ),
)
