"""What the page says of times and prices that were held against others."""

from __future__ import annotations

from pathlib import Path

from quotegen.report.views.plausible import PlausibleView, plausible_view
from quotegen.report.views.report import report_of
from quotegen.study import study
from tests.folders import TODAY, a_quote, an_item, forms, written

THREE = {"oak": "41 EUR per 1", "elm": "38 EUR per 1", "ash": "52 EUR per 1"}


def view_of(prices: dict[str, str], to: Path) -> PlausibleView | None:
    quotes = [a_quote(f"{name}-1", an_item(price)) for name, price in prices.items()]
    found = study(written(forms(*quotes), to), TODAY, only=("p",))
    return plausible_view(found.parts["p"].plausible)


def cells(view: PlausibleView | None, number: int) -> list[str]:
    return [each.text for each in view.table.rows[number].cells] if view is not None else []


def test_where_nothing_is_far_off_it_says_so(tmp_path: Path) -> None:
    view = view_of(THREE, tmp_path)
    assert view is not None
    (told,) = view.told
    assert told == (
        "No stated time is shorter than the fastest published one, and no price is far from the "
        "others of its kind."
    )
    assert cells(view, 0) == [
        "Ash",
        "run 10 working days",
        "24 hours",
        "a piece 1.3 times the median of 2 other quotes for this part",
    ]


def test_what_is_far_off_is_told_with_its_ratio_and_to_whom_it_goes(tmp_path: Path) -> None:
    """41 EUR is the median of the others: a hundred times it."""
    view = view_of(THREE | {"yew": "4100 EUR per 1"}, tmp_path)
    assert view is not None
    assert view.told[0] == (
        "To ask Yew: Your price of 4100 EUR per 1 lies far above what we know of comparable ones. "
        "Is it for 100 pieces and not for each?"
    )
    assert cells(view, 3)[3] == (
        "a piece 100 times the median of 3 other quotes for this part, far off"
    )


def test_the_steps_and_their_confidence_are_named(tmp_path: Path) -> None:
    view = view_of(THREE, tmp_path)
    assert view is not None
    assert (
        "machining: programming and set-up 2*, cutting 2*, deburring and inspection 1*; all steps "
        "24* as published"
    ) in view.sources


def test_the_question_stands_on_the_page_of_the_supplier(tmp_path: Path) -> None:
    """It can be sent with the others, and names nobody else's price."""
    quotes = [
        a_quote(f"{name}-1", an_item(price))
        for name, price in (THREE | {"yew": "4100 EUR per 1"}).items()
    ]
    found = report_of(study(written(forms(*quotes), tmp_path), TODAY), "test")
    asked = {
        name: [
            each.text for to in view.questions for each in to.questions if "lies far" in each.text
        ]
        for name, view in found.suppliers.items()
    }
    assert {name for name, texts in asked.items() if texts} == {"yew"}
