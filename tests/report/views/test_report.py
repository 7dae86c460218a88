"""What a report says, in finished texts: figures by hand, sentences by agreement with ourselves."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from quotegen.basics.place import Place
from quotegen.basics.printed import printed
from quotegen.basics.problem import Problem
from quotegen.model.entry import QuoteEntry
from quotegen.report.views.bill import printed_lines
from quotegen.report.views.names import labels_of, pages_of
from quotegen.report.views.part import PartView
from quotegen.report.views.report import Report, report_of
from quotegen.report.views.shape import Fact, Figure, Table, figures, row, words
from quotegen.report.views.written import value_text
from tests.folders import a_quote, a_supplier, an_item, forms, records
from tests.report.plans import two_orders
from tests.report.studies import bridged, nothing_quoted, poured_or_machined, study_of


@pytest.fixture(scope="module")
def pawl() -> PartView:
    return report_of(study_of(poured_or_machined()), "0.1.0").parts["p"]


@pytest.fixture(scope="module")
def bridge() -> PartView:
    return report_of(study_of(bridged()), "0.1.0").parts["p"]


def _texts(table: Table | None) -> list[tuple[str, ...]]:
    assert table is not None
    return [tuple(cell.text for cell in each.cells) for each in table.rows]


def test_three_figures_say_what_is_agreed_now_each_and_in_all(pawl: PartView) -> None:
    """The die of 880 and 200 castings at 3; no interest and no storage, so all one money."""
    assert pawl.figures == (
        Figure(
            label="To agree now",
            value="1,480 EUR",
            note="wax die with samples: 880; first 200 castings: 600",
        ),
        Figure(
            label="Each, all in, over 200 good parts",
            value="7.40 EUR",
            note="10.00 by machining at Mill Lane; with the tool paid, a later one is 3.00",
        ),
        Figure(
            label="Paid in 12 months, 200 good parts",
            value="1,480 EUR",
            note="7.40 each; 1,480 EUR in today's money, with storage and what may be lost",
        ),
    )


def test_break_even_has_three_forms_each_under_its_own_name(pawl: PartView) -> None:
    (found,) = pawl.payback.break_evens
    assert [(each.label, each.value) for each in found.forms] == [
        ("Parity", "880/7, about 125.71"),
        ("Cheaper, and stays cheaper, from", "126"),
        ("Crossings before that", "none"),
    ]


def test_what_would_change_it_names_quantity_money_day_and_drawing(pawl: PartView) -> None:
    assert pawl.changes == (
        Fact(label="fewer than 126 in 12 months", text="machine at Mill Lane instead"),
        Fact(label="700 EUR more to pay on this route", text="machine at Mill Lane instead"),
        Fact(label="a revision later than A", text="ask all again; the wax die may be lost"),
        Fact(label="not signed by 31 December 2026", text="ask Foss Castings for new prices"),
    )


def test_sureness_is_told_over_all_futures_and_the_page_and_the_brief_say_the_same(
    pawl: PartView,
) -> None:
    """The figures are those of the outlook, to its steps."""
    assert pawl.sure.sentence == (
        "In 90 of 100 futures no other route costs less; in one future of 100 it costs about 300 "
        "EUR more than the best, or worse."
    )
    assert _texts(pawl.sure.table)[0] == ("Pour", "90", "1,550")
    assert pawl.futures is not None
    assert pawl.futures.told[0] == (
        "In 90 of 100 futures no other route costs less. It costs 1,550 EUR on average, and "
        "between 1,300 and 1,800 EUR in eight futures of ten. On average that is 10 EUR more than "
        "the best route of the same future; in one future of 100 it is about 300 EUR more, or "
        "worse."
    )
    first = _texts(pawl.futures.routes.table)[0]
    assert first[1:5] == ("1,550", "1,300", "1,800", "90")
    assert pawl.futures.routes.table.rows[0].marked
    assert pawl.futures.trigger[0].startswith("Order the wax die at once: ")
    assert "never costs more than" in pawl.futures.trigger[-1]


def test_what_is_agreed_adds_up_to_the_money_in_its_title(pawl: PartView) -> None:
    assert pawl.agree.title == "To agree: 1,480.00 EUR in all"
    assert _texts(pawl.agree.orders) == [
        ("Wax die with samples", "Foss Castings, foss-7", "880.00", "0.00", "880.00"),
        ("First 200 castings, after approval", "Foss Castings, foss-7", "600.00", "0.00", "600.00"),
    ]
    assert pawl.agree.points == (
        (
            "All dates here count from an order on 2 November 2026. The price can be signed until "
            "31 December 2026."
        ),
        "What can still be cancelled is not stated: ask Foss Castings before you sign.",
    )
    assert pawl.agree.to_sign


@pytest.mark.parametrize(
    ("load", "said"),
    [
        ("none", ""),
        ("bears load", "The part bears load: what must be agreed first stands on sheet 2."),
        (
            "a person relies on it",
            "A person relies on the part: what must be agreed first stands on sheet 2.",
        ),
    ],
)
def test_the_sheet_with_the_headline_says_where_the_cautions_of_a_load_stand(
    load: str, said: str
) -> None:
    brief = report_of(study_of(poured_or_machined(load=load)), "0.1.0").parts["p"].brief
    assert brief.of_load == said
    assert ("qualified engineer" in brief.second.cautions) == bool(said)


def test_a_brief_is_about_one_route_in_headline_chart_table_and_signature(
    bridge: PartView,
) -> None:
    """126 is the parity and 133 the quantity for pouring alone; beside 54 prints both are wrong.

    54 x 31.40 + 2,200 = 3,895.60 come before the castings, of which 280 at 13.90 follow.
    """
    brief = bridge.brief
    assert brief.headline == ("Pour the pawl.", "Print the first 54 while the wax die is made.")
    assert "from good part number 187 on" in brief.lead
    assert brief.chart is not None
    assert "from 187 on, cheaper" in brief.chart.svg
    assert brief.routes is not None
    (taken,) = [each for each in brief.routes.rows if each.marked]
    assert [each.text for each in taken.cells][:4] == [
        "Print 54, then pour",
        "3,896",
        "7,788",
        "23.60",
    ]
    assert _texts(brief.second.agree.orders)[0] == (
        "54 prints",
        "Brim Bureau, brim-3",
        "1,695.60",
        "0.00",
        "1,695.60",
    )
    said = " ".join([*brief.headline, brief.lead, *brief.second.texts])
    assert "126" not in said
    assert "133" not in said


def test_a_bridged_route_is_reckoned_with_its_bridge(bridge: PartView) -> None:
    """54 x 31.40 + 2,200 + 280 x 13.90 = 7,787.60 is agreed."""
    assert bridge.figures[0].note == (
        "54 prints: 1,696; wax die with samples: 2,200; first 280 castings: 3,892"
    )
    assert bridge.figures[2].value == "7,788 EUR"
    assert bridge.figures[2].note.startswith("23.60 each; 7,788 EUR in today's money")
    assert _texts(bridge.sure.table)[0][:2] == ("Print 54, then pour", "95")
    (found,) = bridge.payback.break_evens
    assert [each.value for each in found.forms[:2]] == ["880/7, about 125.71", "187"]


def test_the_bill_of_a_bridged_route_has_a_table_for_each_leg(bridge: PartView) -> None:
    first = bridge.money.bills[0]
    assert first.marked
    assert [table.foot.cells[5].text for table in first.tables if table.foot] == [
        "1,695.60",
        "6,092.00",
    ]
    assert first.total == "7,787.60 EUR for 330 good parts"


def test_without_a_quote_the_report_says_so_and_draws_nothing() -> None:
    part = report_of(study_of(nothing_quoted()), "0.1.0").parts["p"]
    assert part.outcome == "no route"
    assert part.headline == "No route for the pawl yet."
    assert part.money.offers is None
    assert part.quantity.total is None
    assert part.brief.chart is None
    assert part.agree.title == "To agree: nothing to order yet"


@pytest.mark.parametrize("on_hand", ["200", "1000"])
def test_with_enough_on_hand_there_is_nothing_to_buy(on_hand: str) -> None:
    part = report_of(study_of(poured_or_machined(on_hand=on_hand)), "0.1.0").parts["p"]
    assert part.outcome == "nothing to buy"
    assert part.figures[2].value == "0"
    assert part.agree.points == ()


def test_a_tie_is_told_by_what_settles_it() -> None:
    quotes = (
        a_quote("ash-1", an_item("10 EUR per 1")),
        a_quote("elm-1", an_item("10.10 EUR per 1", lead_time="20 working days")),
    )
    part = report_of(study_of(forms(*quotes)), "0.1.0").parts["p"]
    assert part.outcome == "too close to call"
    assert [each.value for each in part.figures] == ["10 EUR", "10 EUR", "14 days"]
    assert part.lead == (
        "Machining at Ash and machining at Elm end within 10 EUR of each other over 12 months: "
        "1,000 and 1,010 EUR in today's money for 100 good parts. Cost alone does not decide. "
        "Machining at Ash stands first because it commits no more than the others and is here "
        "first, on 16 November 2026."
    )


def test_a_wrong_revision_that_would_win_is_asked_about_and_not_ordered() -> None:
    quotes = (
        a_quote("ash-1", an_item("10 EUR per 1")),
        a_quote("elm-1", an_item("5 EUR per 1", revision="Z")),
    )
    part = report_of(study_of(forms(*quotes)), "0.1.0").parts["p"]
    assert part.outcome == "not enough known"
    assert [each.value for each in part.figures] == ["1", "1,000 EUR", "500 EUR"]
    assert part.agree.points[0] == (
        "Send the questions to Elm, and order nothing until they answer."
    )
    assert part.brief.second.asked.waiting == (
        "Elm: please quote revision A; your quote is for Z.",
    )
    assert not part.agree.to_sign


def test_the_least_that_can_be_signed_is_in_the_money_of_the_lead() -> None:
    """1,291.50 with the storage of two orders of 60, and not the 1,260 that they are paid with."""
    content = two_orders()
    quotes = [quote for _, quote in content.quotes]
    other = a_quote("elm-1", an_item("5 EUR per 1", revision="Z"))
    form = forms(*quotes, other, workshop=content.workshop, part=content.parts["p"])
    part = report_of(study_of(form), "0.1.0").parts["p"]
    assert part.outcome == "not enough known"
    assert part.figures[1].value == "1,292 EUR"
    assert "costs 1,292 EUR in today's money" in part.lead


def test_money_is_counted_by_the_currency_that_is_paid() -> None:
    """100 at 10 GBP, 1 GBP at 1.20 EUR, and ours: no fee, no freight."""
    content = forms(a_quote("ash-1", an_item("10 GBP per 1"), currency="GBP"))
    workshop = {
        **content.workshop,
        "rates": [{"one": "GBP", "is worth": "1.20 EUR", "on": "2026-11-01", "source": "test"}],
        "bank fee": "14 EUR",
    }
    content = forms(*(quote for _, quote in content.quotes), workshop=workshop)
    part = report_of(study_of(content), "0.1.0").parts["p"]
    assert _texts(part.money.exposure) == [
        ("EUR", "14.00", "1.15 %", "\N{EN DASH}"),
        ("GBP", "1,200.00", "98.85 %", "60.00"),
    ]


def test_printed_lines_add_up_to_the_printed_total() -> None:
    """Three thirds of a cent lost in each line would show."""
    item = an_item(
        "0.3333 EUR per 1",
        charges=[
            {"what": f"charge {number}", "amount": "0.3333 EUR", "per": "order"} for number in "abc"
        ],
    )
    study = study_of(forms(a_quote("ash-1", item)))
    (cost,) = study.parts["p"].comparison.costs.values()
    lines = printed_lines(cost, "EUR")
    assert sum((each.total for each in lines), Fraction(0)) == Fraction("34.33")
    assert printed(cost.total, "EUR") == "34.33"


def test_routes_that_would_be_called_alike_are_told_apart() -> None:
    quotes = (
        a_quote("ash-1", an_item("10 EUR per 1")),
        a_quote("ash-2", an_item("11 EUR per 1")),
        a_quote("elm-1", an_item("12 EUR per 1", process="metal printing")),
    )
    routes = study_of(forms(*quotes)).parts["p"].comparison.routes
    assert sorted(labels_of(routes).values()) == [
        "machine, Ash ash-1",
        "machine, Ash ash-2",
        "print",
    ]


def test_every_quote_gets_a_page_of_its_own() -> None:
    """Two that would share one: supplier a with quote b-c, and supplier a-b with quote c."""
    (entry,) = records(forms(a_quote("ash-1", an_item("10 EUR per 1")))).quotes
    pairs = [("a", "b-c"), ("a-b", "c"), ("a-b", "c--2")]
    entries = [
        QuoteEntry(name=name, record=entry.record, places=entry.places, supplier=supplier)
        for supplier, name in pairs
    ]
    assert sorted(pages_of(entries).quotes.values()) == [
        "quotes/a-b-c--2--2.html",
        "quotes/a-b-c--2.html",
        "quotes/a-b-c.html",
    ]


def test_a_folder_without_a_workshop_still_has_a_report_of_its_problems() -> None:
    study = study_of(forms(a_quote("ash-1", an_item("10 EUR per 1"))))
    problem = Problem.of("file-empty", Place("workshop.yaml"), record="The workshop")
    report = report_of(
        replace(study, folder=replace(study.folder, workshop=None), parts={}, problems=(problem,)),
        "0.1.0",
    )
    assert report.problems.errors == (problem,)
    assert report.index.parts is None
    assert report.index.summary == "0 parts, 1 quote. Compared on 2 November 2026."


def test_suppliers_list_what_they_quoted_and_what_to_ask() -> None:
    report = report_of(study_of(poured_or_machined()), "0.1.0")
    foss = report.suppliers["foss"]
    assert _texts(foss.quotes) == [("foss-7", "Pawl", "holds", "1,480.00 EUR", "yes")]
    assert [each.to for each in foss.questions] == ["Pawl"]


def test_a_quote_page_shows_every_value_that_was_written() -> None:
    report = report_of(study_of(poured_or_machined()), "0.1.0")
    view = report.quotes["quotes/foss-foss-7.html"]
    rows = {cells[0]: cells[1] for cells in _texts(view.written)}
    assert rows["items 1, prices 1, price"] == "3 EUR per 1"
    assert rows["items 1, tools 1, life"] == "not applicable"
    assert rows["valid until"] == "2026-12-31"
    assert "items 1, minimum" not in rows


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (True, "yes"),
        (Fraction(3, 100), "3 %"),
        (("a", "b"), "a, b"),
        ((), "none"),
        (14, "14"),
    ],
)
def test_a_value_is_shown_as_a_person_writes_it(value: object, text: str) -> None:
    assert value_text(value) == text


def test_a_row_that_is_not_as_wide_as_its_table_is_refused() -> None:
    with pytest.raises(ValueError, match="every row needs 2 cells"):
        Table(caption="t", columns=(*words("a"), *figures("b")), rows=(row("one"),))


def test_the_same_study_gives_the_same_report() -> None:
    def made() -> Report:
        return report_of(study_of(bridged()), "0.1.0")

    assert made() == made()


def test_an_unknown_supplier_name_is_kept_as_it_is() -> None:
    content = forms(
        a_quote("ash-1", an_item("10 EUR per 1")),
        suppliers={"ash": a_supplier(name="Żółw & <Söhne>")},
    )
    part = report_of(study_of(content), "0.1.0").parts["p"]
    assert part.headline == "Machine the pawl at Żółw & <Söhne>."
