"""The section on fit: what comes as it is, what is machined, and the metal to leave."""

from __future__ import annotations

from typing import Any

from quotegen.report.views.fit import FitView, fit_view
from tests.folders import a_part, a_quote, an_item, forms, result_of

BORE = {"name": "bore", "size": "20 mm", "tolerance": "H8"}


def view(*processes: str, part: Any = None, **item: Any) -> FitView | None:
    names = ("oak", "ash", "elm")
    quotes = [
        a_quote(f"{name}-1", an_item("10 EUR per 1", process=process, **item))
        for name, process in zip(names, processes, strict=False)
    ]
    form = a_part(**({"features": [BORE], "envelope": "62 x 40 x 18 mm"} | (part or {})))
    result = result_of(forms(*quotes, part=form))
    return fit_view(result.comparison, result.advice)


def cells(found: FitView) -> list[list[tuple[str, str]]]:
    return [[(cell.text, cell.small) for cell in row.cells] for row in found.table.rows]


def test_one_table_has_the_requirements_below_and_the_offers_beside_each_other() -> None:
    found = view("investment casting", "machining")
    assert found is not None
    heads = [column.head for column in found.table.columns]
    assert heads == ["The drawing asks for", "Ash, machining", "Oak, investment casting"]
    assert cells(found)[0] == [
        ("bore", "20 mm H8"),
        ("as it comes", "usually to 0.021 mm in all"),
        ("machine after, left out", "at best 0.254 mm in all"),
    ]


def test_a_face_that_is_tumbled_is_smoothed_and_not_machined() -> None:
    part = {"surface": "path Ra 0.8 um"}
    found = view("investment casting", part=part, includes=["tumbling", "reaming"])
    assert found is not None
    assert cells(found)[1][1] == ("smooth after", "by tumbling")
    assert found.told[0] == (
        "Investment casting: 1 as it comes, 1 to be machined after and 1 to be smoothed after."
    )


def test_the_metal_to_leave_is_shown_for_castings_alone() -> None:
    found = view("investment casting", "metal printing", includes=["reaming"])
    assert found is not None
    assert found.faces is not None
    (row,) = found.faces.rows
    texts = [cell.text for cell in row.cells]
    assert texts == ["bore", "Oak", "0.40", "1.70", "1.25", "18.35"]
    printed = view("metal printing", includes=["reaming"])
    assert printed is not None
    assert printed.faces is None


def test_a_requirement_without_any_number_has_no_row() -> None:
    found = view("machining", part={"thinnest_wall": "1 mm"})
    assert found is not None
    assert [row.cells[0].text for row in found.table.rows] == ["bore"]
    assert view("machining", part={"features": []}) is None
    assert view() is None


def test_every_source_stands_below_with_how_far_it_can_be_trusted() -> None:
    found = view("metal printing", includes=["reaming"])
    assert found is not None
    assert found.sources.startswith("Tolerances are read by ISO 286-1")
    low = found.sources.partition("Of low confidence: ")[2]
    assert "claim of one print bureau" in low
    assert "medium confidence: general tolerances of print bureaus" in found.sources
