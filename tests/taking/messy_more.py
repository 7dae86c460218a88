"""More messy files: tools, validity, marks of parts, lists with slashes, rival columns, terms.

As in messy.py the facts were written down before a reader saw the files. Of a tool only what the
file says counts, not how the draft calls it.
"""

from __future__ import annotations

from tests.taking.messy import Case, _charge, book, mail, price, text, ubl, ubl_line

HALVES = "payment: [{share: 50 %, when: order}, {share: 50 %, when: approval of samples}]"


def tool(said: str, item: int = 1) -> tuple[str, str]:
    return (f"items {item}, tools", f"{{{said}}}")


MORE: tuple[Case, ...] = (
    Case(
        name="two-tools",
        ending=".txt",
        make=text(
            "Quotation TT-410 of 12 October 2026\n"
            "\n"
            "Drawing FL-021\n"
            "Qty    Price each EUR\n"
            "100    4.20\n"
            "500    3.65\n"
            "\n"
            "Drawing FL-042\n"
            "Qty    Price each EUR\n"
            "100    6.80\n"
            "500    5.95\n"
            "\n"
            "Tool for FL-021: 2-cavity die EUR 2,950.00, guaranteed life 30,000 shots, remains "
            "your property.\n"
            "Tool for FL-042: single cavity die EUR 1,800.00, guaranteed life 50,000 shots, "
            "remains our property.\n"
            "Tools are paid 50 % with order, 50 % after approval of samples.\n"
            "Parts: payment 30 days net.\n"
            "Lead time 3 weeks from approval of samples, tools 6 weeks.\n"
        ),
        facts=(
            ("quote", "TT-410"),
            ("date", "2026-10-12"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
            ("items 2, part", "fl-042"),
            price(100, "4.20 EUR per 1"),
            price(500, "3.65 EUR per 1"),
            price(100, "6.80 EUR per 1", 2),
            price(500, "5.95 EUR per 1", 2),
            tool(
                "price: 2950 EUR, cavities: 2, life: 30000, owner: buyer, takes: 6 weeks, "
                + HALVES
            ),
            tool(
                "price: 1800 EUR, cavities: 1, life: 50000, owner: supplier, takes: 6 weeks, "
                + HALVES,
                2,
            ),
            ("payment", "{share: 100 %, when: invoice, days: 30}"),
            ("items 1, lead time", "3 weeks"),
            ("items 2, lead time", "3 weeks"),
            ("items 1, lead time from", "approval of samples"),
            ("items 2, lead time from", "approval of samples"),
        ),
    ),
    Case(
        name="tools-in-german",
        ending=".csv",
        make=text(
            "Angebot 2026-318;Datum 08.10.2026;;\n"
            "Zeichnung;Menge;Stückpreis EUR;\n"
            "FL-021;100;4,20;\n"
            "FL-042;100;6,80;\n"
            ";;;\n"
            "Druckgussform FL-021, 4-fach: 5.400,00 EUR;;;\n"
            "Druckgussform FL-042: 3.900,00 EUR;;;\n"
            "Die Werkzeuge bleiben Eigentum des Lieferers;;;\n"
            "Garantierte Ausbringung je Werkzeug 30.000 Schuss;;;\n"
            "Werkzeugkosten: 50 % bei Auftrag, 50 % nach Musterfreigabe;;;\n"
            "Zahlung der Teile: 14 Tage netto;;;\n"
            "Lieferzeit 20 Arbeitstage ab Auftragseingang;;;\n"
            "gültig bis Ende Dezember 2026;;;\n",
            "cp1252",
        ),
        facts=(
            ("quote", '"2026-318"'),
            ("date", "2026-10-08"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
            ("items 2, part", "fl-042"),
            price(100, "4.20 EUR per 1"),
            price(100, "6.80 EUR per 1", 2),
            tool("price: 5400 EUR, cavities: 4, life: 30000, owner: supplier, " + HALVES),
            tool("price: 3900 EUR, life: 30000, owner: supplier, " + HALVES, 2),
            ("payment", "{share: 100 %, when: invoice, days: 14}"),
            ("items 1, lead time", "20 working days"),
            ("items 2, lead time", "20 working days"),
            ("items 1, lead time from", "order"),
            ("items 2, lead time from", "order"),
            ("valid until", "2026-12-31"),
        ),
    ),
    Case(
        name="which-tool",
        ending=".xlsx",
        make=book(
            [
                ["Quote", "W-52", "Date", "2026-10-20"],
                ["Part", "Qty", "Unit price EUR", "Total EUR"],
                ["FL-021", 200, 3.1, 620],
                ["FL-042", 200, 4.4, 880],
                [],
                ["Die for FL-021", None, None, "EUR 2,100.00"],
                ["Die for FL-042", None, None, "EUR 2,600.00"],
                ["The die has 2 cavities and lasts 40,000 shots"],
                ["Rejects found on receipt are replaced free of charge, usual reject rate 2 %"],
                ["Valid through 12/2026"],
                ["Delivery 10 working days from receipt of order, DAT Zutphen"],
            ]
        ),
        facts=(
            ("quote", "W-52"),
            ("date", "2026-10-20"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
            ("items 2, part", "fl-042"),
            price(200, "3.10 EUR per 1"),
            price(200, "4.40 EUR per 1", 2),
            ("items 1, rejects", "{share: 2 %, found: on receipt, made good: replaced}"),
            ("items 2, rejects", "{share: 2 %, found: on receipt, made good: replaced}"),
            ("valid until", "2026-12-31"),
            ("items 1, lead time", "10 working days"),
            ("items 2, lead time", "10 working days"),
            ("items 1, lead time from", "order"),
            ("items 2, lead time from", "order"),
        ),
        also=(tool("price: 2100 EUR"), tool("price: 2600 EUR", 2)),
        asked=("items 1, tools|notes", "delivery"),
    ),
    Case(
        name="marks-of-parts",
        ending=".csv",
        make=text(
            "Offer P-61,Date 2026-10-12,,\n"
            "Part,Qty,Unit price GBP,Remark\n"
            "FL-021 / B,100,4.20,\n"
            "FL-021 / B,200,3.95,\n"
            "FL-042 Rev. C,100,6.80,as sample\n"
            "FL-042 Rev. C,200,6.10,\n"
            "WM015-A,100,9.10,\n"
            "WM015-A,200,8.70,\n"
            "Quantity tolerance +/-10 %,,,\n"
        ),
        facts=(
            ("quote", "P-61"),
            ("date", "2026-10-12"),
            ("currency", "GBP"),
            ("items 1, part", "fl-021"),
            ("items 1, revision", "B"),
            ("items 2, part", "fl-042"),
            ("items 2, revision", "C"),
            price(100, "4.20 GBP per 1"),
            price(200, "3.95 GBP per 1"),
            price(100, "6.80 GBP per 1", 2),
            price(200, "6.10 GBP per 1", 2),
            price(100, "9.10 GBP per 1", 3),
            price(200, "8.70 GBP per 1", 3),
            ("items 1, quantity tolerance", "10 %"),
            ("items 2, quantity tolerance", "10 %"),
            ("items 3, quantity tolerance", "10 %"),
        ),
        asked=("items 3, part",),
    ),
    Case(
        name="slashes-in-german",
        ending=".txt",
        make=text(
            "Angebot Nr. 77-26 vom 14.10.2026\n"
            "FL-021 Rev. B, Werkstoff siehe Zeichnung\n"
            "1/10/100 Stück: 98 / 45,20 / 31,85 EUR\n"
            "Über- und Unterlieferung bis 10 % vorbehalten\n"
            "Verpackung inklusive, Härten nicht enthalten\n"
            "Lieferzeit 3 Wochen nach Werkzeugfreigabe\n"
            "Gültigkeit: KW 51\n"
            "2 % Skonto bei Zahlung innerhalb 10 Tagen, 30 Tage netto\n"
        ),
        facts=(
            ("quote", "77-26"),
            ("date", "2026-10-14"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
            ("items 1, revision", "B"),
            price(1, "98 EUR per 1"),
            price(10, "45.20 EUR per 1"),
            price(100, "31.85 EUR per 1"),
            ("items 1, quantity tolerance", "10 %"),
            ("items 1, includes", "packing"),
            ("items 1, excludes", "hardening"),
            ("items 1, lead time", "3 weeks"),
            ("payment", "{share: 100 %, when: invoice, days: 30}"),
            (
                "items 1, surcharges",
                (
                    '{what: skonto, rate: 2 %, of: [goods], off: "yes", condition: '
                    '"2 % Skonto bei Zahlung innerhalb 10 Tagen, 30 Tage netto", counted: "no"}'
                ),
            ),
        ),
        asked=("valid until", "items 1, lead time from"),
    ),
    Case(
        name="raw-and-finished",
        ending=".xlsx",
        make=book(
            [
                ["Angebot", "RF-9", "Datum", "15.10.2026"],
                ["Zeichnung FL-021", None, "Index B", None],
                [],
                ["Menge", "Preis/Stk roh EUR", "Preis/Stk bearbeitet EUR"],
                [50, 12.4, 21.8],
                [100, 11.2, 19.9],
                [],
                ["Angebot gültig bis Ende Dezember"],
                ["Mindestbestellmenge 50 Stück, Lieferung in Vielfachen von 25"],
            ]
        ),
        facts=(
            ("quote", "RF-9"),
            ("date", "2026-10-15"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
            ("items 1, revision", "B"),
            ("items 1, minimum", "50"),
            ("items 1, multiple", "25"),
            ("valid until", "2026-12-31"),
        ),
        asked=("items 1, prices",),
    ),
    Case(
        name="two-currencies-side-by-side",
        ending=".csv",
        make=text(
            "Quotation EU-3;Date 2026-10-05;\n"
            "Drawing FL-042;;\n"
            "Qty;Unit price EUR;Unit price USD\n"
            "100;10,40;11,90\n"
            "250;9,80;11,20\n"
            "Offer valid for 30 days;;\n"
        ),
        facts=(
            ("quote", "EU-3"),
            ("date", "2026-10-05"),
            ("items 1, part", "fl-042"),
            ("valid for", "30 days"),
        ),
        asked=("items 1, prices", "currency"),
    ),
    Case(
        name="old-and-new-price",
        ending=".csv",
        make=text(
            "Quotation ON-3;Date 2026-10-05;\n"
            "Drawing FL-042;;\n"
            "Qty;Old price each EUR;New price each EUR\n"
            "100;10,40;11,90\n"
            "250;9,80;11,20\n"
        ),
        facts=(
            ("quote", "ON-3"),
            ("date", "2026-10-05"),
            ("currency", "EUR"),
            ("items 1, part", "fl-042"),
        ),
        asked=("items 1, prices",),
    ),
    Case(
        name="thousand-without-currency",
        ending=".txt",
        make=text(
            "Offer X-10 of 2026-09-30\n"
            "Drawing FL-021\n"
            "\n"
            "Qty    Price each\n"
            "10     1.845\n"
            "\n"
            "Tooling 3.400\n"
        ),
        facts=(("quote", "X-10"), ("date", "2026-09-30"), ("items 1, part", "fl-021")),
        asked=("items 1, prices", "currency", "items 1, tools"),
    ),
    Case(
        name="plates-and-deliveries",
        ending=".xlsx",
        make=book(
            [
                ["Quotation PL-7 of 9 October 2026", None, None],
                ["Part: WM-015", None, None],
                ["Material: 1.4404 powder", None, None],
                [],
                ["Quantity", "Price each EUR", "Total EUR"],
                [24, 31.5, 756],
                [48, 29.9, 1435.2],
                [],
                ["Set-up EUR 60.00 per plate (24 pieces per plate)"],
                ["Minimum value per delivery EUR 150.00"],
                ["Includes stress relief, support removal and EN 10204 3.1 certificate"],
                ["Packing EUR 8.00 per delivery"],
                ["Prices exclude VAT"],
                ["Lead time 8 working days after receipt of order. DDU Zutphen"],
                ["Payment: 30 days end of month"],
            ]
        ),
        facts=(
            ("quote", "PL-7"),
            ("date", "2026-10-09"),
            ("currency", "EUR"),
            ("items 1, part", "wm-015"),
            ("items 1, material", "1.4404 powder"),
            price(24, "31.50 EUR per 1"),
            price(48, "29.90 EUR per 1"),
            ("items 1, charges", "{what: set-up, amount: 60 EUR, per: batch, batch: 24}"),
            ("minimum value", "{value: 150 EUR, per: delivery}"),
            ("items 1, charges", "{what: packing, amount: 8 EUR, per: delivery}"),
            ("items 1, certificates", "EN 10204 3.1"),
            ("tax included", '"no"'),
            ("items 1, lead time", "8 working days"),
            ("items 1, lead time from", "order"),
        ),
        also=(
            ("items 1, includes", "stress relief"),
            ("items 1, includes", "support removal"),
        ),
        asked=("delivery", "payment"),
    ),
    Case(
        name="by-the-kilogram",
        ending=".csv",
        make=text(
            "Angebot KG-15;12.10.2026\n"
            "Zeichnung WM-015;\n"
            "Rohgewicht 0,310 kg, Fertiggewicht 0,235 kg;\n"
            "ab Stück;Preis je kg EUR\n"
            "100;7,40\n"
            "300;6,90\n"
            "Die Preise gelten je kg Rohgussgewicht;\n"
            "Ausschuss bis 3 % ist vom Kunden zu tragen;\n"
            "Mengentoleranz ± 5 %;\n"
        ),
        facts=(
            ("quote", "KG-15"),
            ("date", "2026-10-12"),
            ("currency", "EUR"),
            ("items 1, part", "wm-015"),
            price(100, "7.40 EUR per kg"),
            price(300, "6.90 EUR per kg"),
            ("items 1, mass priced", "310 g"),
            ("items 1, mass shipped", "235 g"),
            ("items 1, quantity tolerance", "5 %"),
        ),
        asked=("items 1, rejects",),
    ),
    Case(
        name="kilogram-of-what",
        ending=".xlsx",
        make=book(
            [
                ["Offer KG-16", "Date", "2026-10-12"],
                ["Drawing", "WM-015", "Rev A"],
                [],
                ["From pcs", "EUR per kg"],
                [100, 7.4],
                [300, 6.9],
                [],
                ["Weight approx. 0.24 kg"],
                ["Pattern EUR 900.00, property of the foundry"],
                ["Terms 14 days net; valid 6 weeks"],
            ]
        ),
        facts=(
            ("quote", "KG-16"),
            ("date", "2026-10-12"),
            ("currency", "EUR"),
            ("items 1, part", "wm-015"),
            ("items 1, revision", "A"),
            price(100, "7.40 EUR per kg"),
            price(300, "6.90 EUR per kg"),
            tool("price: 900 EUR, owner: supplier"),
            ("payment", "{share: 100 %, when: invoice, days: 14}"),
            ("valid for", "6 weeks"),
        ),
        asked=("items 1, mass priced",),
    ),
    Case(
        name="italian",
        ending=".csv",
        make=text(
            "Offerta n. 26/88;Data 13.10.2026\n"
            "Disegno FL-042 rev. D;\n"
            "Materiale: 42CrMo4;\n"
            "Quantità;Prezzo unitario EUR\n"
            "50;12,40\n"
            "100;11,20\n"
            "250;10,35\n"
            "Attrezzatura 1.250,00 EUR una tantum;\n"
            "Consegna 4 settimane dalla ricezione dell'ordine;\n"
            "Pagamento: 30 giorni data fattura;\n"
            "Validità offerta: 60 giorni;\n"
            "Prezzi IVA esclusa;\n"
        ),
        facts=(
            ("quote", "26/88"),
            ("date", "2026-10-13"),
            ("currency", "EUR"),
            ("items 1, part", "fl-042"),
            ("items 1, revision", "D"),
            ("items 1, material", "42CrMo4"),
            price(50, "12.40 EUR per 1"),
            price(100, "11.20 EUR per 1"),
            price(250, "10.35 EUR per 1"),
            tool("price: 1250 EUR"),
            ("items 1, lead time", "4 weeks"),
            ("items 1, lead time from", "order"),
            ("payment", "{share: 100 %, when: invoice, days: 30}"),
            ("valid for", "60 days"),
            ("tax included", '"no"'),
        ),
    ),
    Case(
        name="french-tool",
        ending=".csv",
        make=text(
            "Devis n° DV-26-40;Date 09.10.2026\n"
            "Plan WM-015 indice B;\n"
            "Quantité;Prix unitaire HT EUR\n"
            "100;8,40\n"
            "500;7,25\n"
            "Outillage 2 empreintes : 4 200,00 EUR, propriété du client, durée de vie garantie "
            "80 000 injections;\n"
            "Paiement outillage : 50 % à la commande, 50 % à l'acceptation des échantillons;\n"
            "Paiement des pièces : 45 jours net;\n"
            "Délai 5 semaines après réception de commande;\n"
            "Offre valable 3 mois;\n",
            "utf-8",
        ),
        facts=(
            ("quote", "DV-26-40"),
            ("date", "2026-10-09"),
            ("currency", "EUR"),
            ("items 1, part", "wm-015"),
            ("items 1, revision", "B"),
            price(100, "8.40 EUR per 1"),
            price(500, "7.25 EUR per 1"),
            tool("price: 4200 EUR, cavities: 2, life: 80000, owner: buyer, " + HALVES),
            ("payment", "{share: 100 %, when: invoice, days: 45}"),
            ("items 1, lead time", "5 weeks"),
            ("items 1, lead time from", "order"),
            ("valid for", "3 months"),
            ("tax included", '"no"'),
        ),
    ),
    Case(
        name="polish-tool",
        ending=".txt",
        make=text(
            "Oferta nr OF/26/402 z dnia 12.10.2026\n"
            "Rysunek FL-021\n"
            "\n"
            "Ilość    Cena za szt. PLN\n"
            "100      18,40\n"
            "300      16,90\n"
            "\n"
            "Narzędzie 12 500,00 PLN, własność klienta, trwałość 60 000 wtrysków\n"
            "Termin dostawy 4 tygodnie po akceptacji wzorów\n"
            "Ceny netto bez VAT, oferta ważna 30 dni\n"
        ),
        facts=(
            ("quote", "OF/26/402"),
            ("date", "2026-10-12"),
            ("currency", "PLN"),
            ("items 1, part", "fl-021"),
            price(100, "18.40 PLN per 1"),
            price(300, "16.90 PLN per 1"),
            tool("price: 12500 PLN, life: 60000, owner: buyer"),
            ("items 1, lead time", "4 weeks"),
            ("items 1, lead time from", "approval of samples"),
            ("tax included", '"no"'),
            ("valid for", "30 days"),
        ),
    ),
    Case(
        name="mail-with-a-tool",
        ending=".eml",
        make=mail(
            "Hello,\n"
            "\n"
            "thanks for your enquiry FL-042 / C. Our offer:\n"
            "\n"
            "50/200/1000 pcs: 8.40 / 6.95 / 6.10 GBP each\n"
            "Tool GBP 2,400.00, 1-cavity, 25,000 shots guaranteed, stays our property.\n"
            "The tool is payable 30 % with order, 70 % on approval of samples; parts 30 days net.\n"
            "First parts 5 working days after approval of samples.\n"
            "The offer is good until 30 November 2026.\n"
            "Over/under delivery of 5 % is accepted.\n",
            "Quotation L-2026-14",
        ),
        facts=(
            ("quote", "L-2026-14"),
            ("date", "2026-10-14"),
            ("currency", "GBP"),
            ("items 1, part", "fl-042"),
            ("items 1, revision", "C"),
            ("payment", "{share: 100 %, when: invoice, days: 30}"),
            ("items 1, lead time", "5 working days"),
            ("items 1, lead time from", "approval of samples"),
            ("valid until", "2026-11-30"),
            ("items 1, quantity tolerance", "5 %"),
        ),
        asked=("items 1, prices", "items 1, tools"),
    ),
    Case(
        name="phone-in-german",
        ending=".md",
        make=text(
            "# Telefonat mit der Gießerei, Angebot Nr. TEL-9, 16.10.2026\n\n"
            "- Teil FL-042 / B\n"
            "- 100 Stück zu 6,40 EUR/Stück\n"
            "- 500 Stück zu 5,15 EUR/Stück\n"
            "- 10 Stück 95 EUR gesamt\n"
            "- Rüsten 45,00 EUR je Auftrag, Fracht 25,00 EUR je Lieferung\n"
            "- Mindestbestellwert 250,00 EUR\n"
            "- mit Abnahmeprüfzeugnis 3.1 nach EN 10204, ohne Wärmebehandlung\n"
            "- 5 % Rabatt ab 5.000 EUR Auftragswert\n"
            "- Preis gilt bis KW 50\n"
            "- EXW Musterstadt\n"
        ),
        facts=(
            ("quote", "TEL-9"),
            ("date", "2026-10-16"),
            ("currency", "EUR"),
            ("items 1, part", "fl-042"),
            ("items 1, revision", "B"),
            price(100, "6.40 EUR per 1"),
            price(500, "5.15 EUR per 1"),
            price(10, "95 EUR per 10"),
            ("items 1, charges", "{what: set-up, amount: 45 EUR, per: order}"),
            ("items 1, charges", "{what: carriage, amount: 25 EUR, per: delivery}"),
            ("minimum value", "{value: 250 EUR}"),
            ("items 1, certificates", "EN 10204 3.1"),
            ("items 1, excludes", "heat treatment"),
            ("delivery", "EXW Musterstadt"),
        ),
        asked=("items 1, surcharges", "valid until"),
    ),
    Case(
        name="ubl-with-two-tools",
        ending=".xml",
        make=text(
            ubl(
                "<cbc:Note>Tools remain the property of the buyer.</cbc:Note>"
                "<cac:ValidityPeriod><cbc:DurationMeasure unitCode=\"DAY\">60"
                "</cbc:DurationMeasure></cac:ValidityPeriod>",
                ubl_line(
                    1, "FL-021", "100", "4.20", total="420.00",
                    more='<cac:Delivery><cac:PromisedDeliveryPeriod><cbc:DurationMeasure '
                    'unitCode="WEE">3</cbc:DurationMeasure></cac:PromisedDeliveryPeriod>'
                    "</cac:Delivery>" + _charge("2950.00", "ABF", "Die"),
                )
                + ubl_line(
                    2, "FL-042", "100", "6.80", total="680.00",
                    more=_charge("1800.00", "ABF", "Die"),
                )
                + ubl_line(3, "FL-042", "500", "5.95", total="2957.00"),
            )
        ),
        facts=(
            ("quote", "Q-77/26"),
            ("date", "2026-10-14"),
            ("currency", "EUR"),
            ("valid for", "60 days"),
            ("items 1, part", "fl-021"),
            ("items 2, part", "fl-042"),
            price(100, "4.20 EUR per 1"),
            price(100, "6.80 EUR per 1", 2),
            tool("price: 2950 EUR, owner: buyer"),
            tool("price: 1800 EUR, owner: buyer", 2),
            ("items 1, lead time", "3 weeks"),
        ),
        asked=("items 2, prices",),
    ),
)  # fmt: skip


AGAIN: tuple[Case, ...] = (
    Case(
        name="moulder-in-english",
        ending=".txt",
        make=text(
            "QUOTATION\n"
            "Quotation number: 26-1044\n"
            "Date: 19 October 2026\n"
            "Part number FL-042, drawing revision C\n"
            "Material: EN AC-43500\n"
            "\n"
            "| Batch size | Unit price GBP |\n"
            "| 250 | 3.95 |\n"
            "| 1,000 | 3.20 |\n"
            "| 5,000 | 2.85 |\n"
            "\n"
            "Tooling: one two-cavity mould, GBP 8,750.00, one-off. Tool life guaranteed for "
            "150,000 shots.\n"
            "Ownership of the mould passes to the customer on full payment.\n"
            "Tooling terms: 40 % with order, 40 % on approval of samples, balance 30 days after "
            "approval.\n"
            "Piece part terms: 30 days from date of invoice.\n"
            "Lead time: tooling 8 weeks from receipt of order; parts 4 weeks after approval of "
            "samples.\n"
            "This quotation is open for acceptance until the end of January 2027.\n"
            "Rejects will be credited. Our normal reject rate is 1.5 %.\n"
            "Prices are exclusive of VAT, FCA Wolverhampton.\n"
        ),
        facts=(
            ("quote", "26-1044"),
            ("date", "2026-10-19"),
            ("currency", "GBP"),
            ("items 1, part", "fl-042"),
            ("items 1, revision", "C"),
            ("items 1, material", "EN AC-43500"),
            price(250, "3.95 GBP per 1"),
            price(1000, "3.20 GBP per 1"),
            price(5000, "2.85 GBP per 1"),
            ("payment", "{share: 100 %, when: invoice, days: 30}"),
            ("items 1, lead time", "4 weeks"),
            ("items 1, lead time from", "approval of samples"),
            ("valid until", "2027-01-31"),
            ("items 1, rejects", "{share: 1.5 %, made good: credited}"),
            ("tax included", '"no"'),
            ("delivery", "FCA Wolverhampton"),
        ),
        also=(
            tool(
                "price: 8750 GBP, cavities: 2, life: 150000, owner: buyer, takes: 8 weeks, "
                "payment: [{share: 40 %, when: order}, {share: 40 %, when: approval of samples}, "
                "{share: 20 %, when: approval of samples, days: 30}]"
            ),
        ),
    ),
    Case(
        name="giesserei-book",
        ending=".xlsx",
        make=book(
            [
                ["Angebotsnummer", "AG-2026-0907"],
                ["Angebotsdatum", "07.09.2026"],
                ["Ihre Anfrage vom", "01.09.2026"],
                ["Teilenummer", "FL-021 Index D"],
                ["Werkstoff", "EN-GJL-250"],
                [],
                ["Stückzahl", "Stückpreis [EUR]", "Gesamtpreis [EUR]"],
                [100, 14.8, 1480],
                [250, 13.25, 3312.5],
                [500, 12.4, 6020],
                [],
                ["Modelleinrichtung (1-fach)", None, "2.450,00 EUR"],
                ["Standzeit Modell", None, "20.000 Abgüsse"],
                ["Das Modell geht in das Eigentum des Kunden über."],
                ["Zahlung Modell: 100 % nach Freigabe der Erstmuster"],
                ["Zahlung Teile: 14 Tage 2 % Skonto, 30 Tage netto"],
                ["Mehr-/Minderlieferung +/- 5 %"],
                ["Lieferzeit: 6-8 Wochen nach Auftragserteilung"],
                ["Verpackung: Einweg, im Preis enthalten"],
                ["Lieferung: FCA Musterstadt"],
                ["Bindefrist: 8 Wochen"],
            ]
        ),
        facts=(
            ("quote", "AG-2026-0907"),
            ("date", "2026-09-07"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
            ("items 1, revision", "D"),
            ("items 1, material", "EN-GJL-250"),
            price(100, "14.80 EUR per 1"),
            price(250, "13.25 EUR per 1"),
            tool(
                "price: 2450 EUR, cavities: 1, life: 20000, owner: buyer, payment: "
                "[{share: 100 %, when: approval of samples}]"
            ),
            ("payment", "{share: 100 %, when: invoice, days: 30}"),
            ("items 1, quantity tolerance", "5 %"),
            ("items 1, lead time from", "order"),
            ("items 1, includes", "packing"),
            ("delivery", "FCA Musterstadt"),
            ("valid for", "8 weeks"),
        ),
        also=(
            (
                "items 1, surcharges",
                (
                    '{what: skonto, rate: 2 %, of: [goods], off: "yes", condition: "Zahlung Teile: '
                    '14 Tage 2 % Skonto, 30 Tage netto", counted: "no"}'
                ),
            ),
        ),
        asked=("items 1, prices", "items 1, lead time"),
    ),
    Case(
        name="sheet-shop-matrix",
        ending=".csv",
        make=text(
            "Angebot Nr. B-3381 vom 21.10.2026;;;;\n"
            "Artikel;Rev;10 Stk;50 Stk;200 Stk\n"
            "FL-021;A;12,80;9,40;7,95\n"
            "FL-042;C;22,10;18,30;16,05\n"
            "Preise in EUR/Stück, zzgl. MwSt.;;;;\n"
            "Programmierkosten einmalig je Teil 60,00 EUR;;;;\n"
            "Mindestauftragswert 100,00 EUR;;;;\n"
            "Fracht nach Aufwand;;;;\n"
            "Lieferzeit ca. 10 Arbeitstage nach Zeichnungsfreigabe;;;;\n"
            "gültig 4 Wochen;;;;\n"
        ),
        facts=(
            ("quote", "B-3381"),
            ("date", "2026-10-21"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
            ("items 2, part", "fl-042"),
            ("items 1, revision", "A"),
            ("items 2, revision", "C"),
            price(10, "12.80 EUR per 1"),
            price(50, "9.40 EUR per 1"),
            price(200, "7.95 EUR per 1"),
            price(10, "22.10 EUR per 1", 2),
            price(50, "18.30 EUR per 1", 2),
            price(200, "16.05 EUR per 1", 2),
            ("tax included", '"no"'),
            ("items 1, lead time", "10 working days"),
            ("items 2, lead time", "10 working days"),
            ("items 1, lead time from", "approval of drawings"),
            ("items 2, lead time from", "approval of drawings"),
            ("minimum value", "{value: 100 EUR}"),
            ("valid for", "4 weeks"),
        ),
        asked=("charges|items 1, charges",),
    ),
    Case(
        name="print-bureau-mail",
        ending=".eml",
        make=mail(
            "Hi there,\n"
            "\n"
            "WM-015 rev A in 316L:\n"
            "1 off: 148 EUR\n"
            "5 off: 96.50 EUR each\n"
            "20 off: 71.20 EUR each\n"
            "\n"
            "Prices incl. support removal and bead blasting, excl. heat treatment.\n"
            "3.1 certificate on request EUR 45 per batch.\n"
            "Ready in 6 working days, EXW.\n"
            "Price good for 14 days.\n"
            "Payment in advance.\n"
            "\n"
            "On 12 Oct 2026 workshop wrote:\n"
            "> can you do 20 for EUR 60.00 each?\n",
            "Quote PB-2291",
        ),
        facts=(
            ("quote", "PB-2291"),
            ("date", "2026-10-14"),
            ("currency", "EUR"),
            ("items 1, part", "wm-015"),
            ("items 1, revision", "A"),
            ("items 1, includes", "support removal"),
            ("items 1, includes", "bead blasting"),
            ("items 1, excludes", "heat treatment"),
            ("items 1, lead time", "6 working days"),
            ("payment", "{share: 100 %, when: order}"),
            ("valid for", "14 days"),
        ),
        asked=("items 1, prices", "delivery", "items 1, charges"),
    ),
    Case(
        name="nested-discount",
        ending=".txt",
        make=text(
            "Offer number 8812, 2 November 2026\n"
            "Our reference for your part FL-021 / C\n"
            "Qty 100: 9.85 EUR each\n"
            "Qty 200: 8.90 EUR each\n"
            "Quantity discount of 3 % on the goods value for orders above EUR 3,000.00.\n"
            "Energy surcharge 4.5 % on the net price.\n"
            "Delivery DAP Zutphen, 15 calendar days from order confirmation.\n"
            "Maximum overdelivery 3 %.\n"
            "Valid through 31 December 2026.\n"
        ),
        facts=(
            ("quote", "8812"),
            ("date", "2026-11-02"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
            ("items 1, revision", "C"),
            price(100, "9.85 EUR per 1"),
            price(200, "8.90 EUR per 1"),
            (
                "items 1, surcharges",
                "{what: surcharge, rate: 4.5 %, of: [goods]}",
            ),
            ("delivery", "DAP Zutphen"),
            ("items 1, lead time", "15 days"),
            ("items 1, lead time from", "order"),
            ("items 1, quantity tolerance", "3 %"),
            ("valid until", "2026-12-31"),
        ),
        asked=("items 1, surcharges",),
    ),
    Case(
        name="dutch-book",
        ending=".xlsx",
        make=book(
            [
                ["Offertenummer: OF-26-118", None, "Datum: 22-10-2026"],
                ["Tekening WM-015 rev. B", None, None],
                [],
                ["Aantal", "Prijs per 100 stuks (EUR)", None],
                [500, 185, None],
                [1000, 172, None],
                [],
                ["Matrijs € 3.600,00 eenmalig, 4-voudig, blijft eigendom van de klant"],
                ["Levensduur matrijs 80.000 schoten"],
                ["Betaling matrijs: 50 % bij opdracht, 50 % bij goedkeuring monsters"],
                ["Betaling onderdelen 30 dagen netto"],
                ["Levertijd 5 weken na goedkeuring monsters"],
                ["Prijzen excl. BTW, geldig tot eind november 2026"],
            ]
        ),
        facts=(
            ("quote", "OF-26-118"),
            ("date", "2026-10-22"),
            ("currency", "EUR"),
            ("items 1, part", "wm-015"),
            ("items 1, revision", "B"),
            price(500, "185 EUR per 100"),
            price(1000, "172 EUR per 100"),
            tool(
                "price: 3600 EUR, cavities: 4, life: 80000, owner: buyer, " + HALVES
            ),
            ("payment", "{share: 100 %, when: invoice, days: 30}"),
            ("items 1, lead time", "5 weeks"),
            ("items 1, lead time from", "approval of samples"),
            ("tax included", '"no"'),
            ("valid until", "2026-11-30"),
        ),
    ),
    Case(
        name="note-with-slip",
        ending=".md",
        make=text(
            "# Phone, 20 October 2026, quote no. TEL-12\n"
            "\n"
            "- Drawing FL-021\n"
            "- 50 pcs: 17.40 EUR each\n"
            "- 100 pcs: 61.95 EUR each\n"
            "- 250 pcs: 16.20 EUR each\n"
            "- 500 pcs: 15.10 EUR each = 7,505.00 EUR\n"
            "- tool 900.00 EUR, ours\n"
        ),
        facts=(
            ("quote", "TEL-12"),
            ("date", "2026-10-20"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
            price(50, "17.40 EUR per 1"),
            price(250, "16.20 EUR per 1"),
            tool("price: 900 EUR"),
        ),
        asked=("items 1, prices",),
    ),
    Case(
        name="kg-forge",
        ending=".txt",
        make=text(
            "Devis 2026/77 du 20/10/2026\n"
            "Plan FL-042 indice C\n"
            "Prix : 6,80 EUR/kg à partir de 200 pièces, poids brut 0,540 kg\n"
            "Rebuts remplacés gratuitement, taux habituel 2 %\n"
            "Tolérance sur quantité ± 5 %\n"
            "Livraison 6 semaines après réception de commande, franco\n"
            "Offre valable jusqu'à fin décembre 2026\n"
            "Paiement 45 jours fin de mois\n"
        ),
        facts=(
            ("quote", "2026/77"),
            ("date", "2026-10-20"),
            ("currency", "EUR"),
            ("items 1, part", "fl-042"),
            ("items 1, revision", "C"),
            ("items 1, rejects", "{share: 2 %, made good: replaced}"),
            ("items 1, quantity tolerance", "5 %"),
            ("items 1, lead time", "6 weeks"),
            ("items 1, lead time from", "order"),
            ("valid until", "2026-12-31"),
        ),
        also=(
            price(200, "6.80 EUR per kg"),
            ("items 1, mass priced", "540 g"),
        ),
        asked=("payment", "items 1, prices|items 1, mass priced|charges"),
    ),
    Case(
        name="two-offers-one-sheet",
        ending=".xlsx",
        make=book(
            [
                ["Quote", "S-40", None, "14 Sept 2026"],
                ["Pos", "Part", "Qty", "Price/100 EUR"],
                [1, "FL-021/B", 1000, 410],
                [2, "FL-021/B", 5000, 385],
                [3, "FL-042/A", 1000, 655],
                [None, None, None, None],
                [None, "Pos 1-2: die 3,200 EUR, life 100,000 parts, 8 cavities"],
                [None, "Pos 3: die 2,900 EUR, 4 cavities"],
                [None, "Minimum order quantity 1000 pcs, multiples of 500"],
                [None, "Valid: 60 days. Delivery 4 wks ARO. Net 30."],
            ]
        ),
        facts=(
            ("quote", "S-40"),
            ("date", "2026-09-14"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
            ("items 2, part", "fl-042"),
            ("items 1, revision", "B"),
            ("items 2, revision", "A"),
            price(1000, "410 EUR per 100"),
            price(5000, "385 EUR per 100"),
            price(1000, "655 EUR per 100", 2),
            ("items 1, minimum", "1000"),
            ("items 2, minimum", "1000"),
            ("items 1, multiple", "500"),
            ("items 2, multiple", "500"),
            ("valid for", "60 days"),
            ("items 1, lead time", "4 weeks"),
            ("items 2, lead time", "4 weeks"),
            ("items 1, lead time from", "order"),
            ("items 2, lead time from", "order"),
            ("payment", "{share: 100 %, when: invoice, days: 30}"),
        ),
        also=(
            tool("price: 3200 EUR, cavities: 8"),
            tool("price: 2900 EUR, cavities: 4", 2),
        ),
        asked=("items 1, tools|charges",),
    ),
    Case(
        name="table-of-tools",
        ending=".csv",
        make=text(
            "Quotation U-1;14.10.2026;;;\n"
            "Part;Qty;Unit price EUR;Rev;\n"
            "FL-021;100;4,20;B;\n"
            "FL-042;100;6,80;C;\n"
            ";;;;\n"
            "Tool;Cavities;Life (shots);Price EUR;Owner\n"
            "Die FL-021;2;60.000;2.950,00;customer\n"
            "Die FL-042;1;30.000;1.800,00;supplier\n"
            "Payment of tools: 100 % with order;;;;\n"
        ),
        facts=(
            ("quote", "U-1"),
            ("date", "2026-10-14"),
            ("currency", "EUR"),
            ("items 1, part", "fl-021"),
            ("items 2, part", "fl-042"),
            ("items 1, revision", "B"),
            ("items 2, revision", "C"),
            price(100, "4.20 EUR per 1"),
            price(100, "6.80 EUR per 1", 2),
            tool(
                "price: 2950 EUR, cavities: 2, life: 60000, owner: buyer, "
                "payment: [{share: 100 %, when: order}]"
            ),
            tool(
                "price: 1800 EUR, cavities: 1, life: 30000, owner: supplier, "
                "payment: [{share: 100 %, when: order}]",
                2,
            ),
        ),
    ),
    Case(
        name="ubl-packs",
        ending=".xml",
        make=text(
            ubl(
                "<cbc:PricingCurrencyCode>GBP</cbc:PricingCurrencyCode>",
                ubl_line(
                    1, "FL-021", "100", "4.20", total="420.00", currency="GBP", unit="EA",
                )
                + ubl_line(
                    2, "FL-021", "500", "36.50", currency="GBP", unit="C62", total="1825.00",
                )
                + ubl_line(3, "FL-021", "1000", "3.10", currency="GBP"),
            )
        ),
        facts=(
            ("quote", "Q-77/26"),
            ("date", "2026-10-14"),
            ("currency", "GBP"),
            ("items 1, part", "fl-021"),
            price(100, "4.20 GBP per 1"),
            price(1000, "3.10 GBP per 1"),
        ),
        asked=("items 1, prices", "notes"),
    ),
)  # fmt: skip
