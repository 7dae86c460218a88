"""A folder in a notebook: exact decimals, text as text, and HTML that runs nothing."""

from __future__ import annotations

import datetime
import subprocess
import sys
from decimal import Decimal
from pathlib import Path

import pandas
import pytest
from openpyxl import load_workbook

import quotegen
from tests.commands import a_choice
from tests.folders import a_part, a_quote, an_item, forms, written

HOSTILE = "=cmd|'/c calc'!A1 <script>alert(1)</script>"
DAY = datetime.date(2026, 11, 2)


def test_offers_has_a_row_for_each_offer_and_need(tmp_path: Path) -> None:
    """By hand: 880 + 200 x 3 = 1480 and 200 x 10 = 2000; a lot of 400 costs 880 + 1200."""
    frame = quotegen.open(written(a_choice(), tmp_path)).offers()
    assert list(frame["need"]) == ["low", "likely", "high", "one lot"] * 2
    row = frame[(frame["quote"] == "foss/foss-1") & (frame["need"] == "likely")].iloc[0]
    assert (row["total"], row["paid once"]) == (Decimal("1480.00"), Decimal("880.00"))
    lot = frame[(frame["quote"] == "foss/foss-1") & (frame["need"] == "one lot")].iloc[0]
    assert (lot["good parts wanted"], lot["total"]) == (400, Decimal("2080.00"))
    assert {type(each) for each in frame["total"]} == {Decimal}
    assert list(frame["compared on"]) == [DAY] * 8


def test_an_offer_without_a_price_has_none_and_not_zero(tmp_path: Path) -> None:
    frame = quotegen.open(
        written(forms(a_quote("alder-1", an_item("not quoted"))), tmp_path), DAY
    ).offers()
    assert list(frame["total"]) == [None] * 4


def test_plans_has_a_row_for_each_order(tmp_path: Path) -> None:
    frame = quotegen.open(written(a_choice(), tmp_path)).plans()
    assert set(frame["part"]) == {"p"}
    assert sum(frame["good parts"]) >= 200


def test_text_stays_text_in_every_kind_of_file(tmp_path: Path) -> None:
    content = forms(
        a_quote("alder-1", an_item("9 EUR per 1")), part=a_part(name=HOSTILE, revision="A")
    )
    bench = quotegen.open(written(content, tmp_path / "shop"), DAY)
    html = bench._repr_html_()
    assert "<script>" not in html
    assert "&lt;script&gt;" in html
    saved = bench.save(tmp_path / "offers.xlsx")
    sheet = load_workbook(saved)["offers"]
    assert {cell.data_type for row in sheet for cell in row} <= {"s", "n", "d"}
    text = bench.save(tmp_path / "offers.csv").read_text(encoding="utf-8-sig")
    assert "\n=" not in text
    assert ",=" not in text


def test_parquet_keeps_decimals_days_and_counts(tmp_path: Path) -> None:
    bench = quotegen.open(written(a_choice(), tmp_path / "shop"))
    saved = bench.save(tmp_path / "offers.parquet")
    back, frame = pandas.read_parquet(saved), bench.offers()
    assert list(back["total"]) == list(frame["total"])
    assert list(back["compared on"]) == list(frame["compared on"])
    assert str(back["good parts bought"].dtype) == "Int64"
    assert saved.read_bytes() == bench.save(tmp_path / "again.parquet").read_bytes()


def test_another_ending_is_refused(tmp_path: Path) -> None:
    bench = quotegen.open(written(a_choice(), tmp_path / "shop"))
    with pytest.raises(
        ValueError, match=r"expected a name that ends in \.csv, \.xlsx or \.parquet"
    ):
        bench.save(tmp_path / "offers.json")


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(NotADirectoryError, match="there is no folder"):
        quotegen.open(tmp_path / "nowhere")


def test_opening_loads_nothing_heavy() -> None:
    program = (
        "import sys, quotegen; quotegen.open('.');"
        "print(sorted({'pandas', 'pyarrow', 'xlsxwriter', 'lxml'} & set(sys.modules)))"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    assert done.stdout == "[]\n"
