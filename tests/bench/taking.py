"""What reading a supplier's file costs, in plain readings of the same bytes by the bare library.

The bare reading keeps no places: csv.reader over the decoded text, lxml's parse and a walk over
the tag and text of all elements, openpyxl opened for values and for formulas with both walked.
`read` goes from the bytes to what the file shows, every cell knowing its place, which is made
when it is asked for; a UBL document is read to its facts, each with its line. `asked` asks every
cell of a table for its text and its place as well, and `drafted` goes on to the text of the form.
"""

from __future__ import annotations

import csv
import functools
import io
import statistics
import time
import warnings
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, Any

from quotegen.intake.files import RawFile

if TYPE_CHECKING:
    from quotegen.taking.seen import Seen

ROWS = 5000
LINES = 2000
WANTED = {"csv": 8, "xml": 8, "xlsx": 3}
HEAD = ("Part", "Rev", "Quantity", "Price each EUR", "Total EUR", "Lead time", "Remark")


def bench_taking(rounds: int = 7) -> None:
    """Ratios of medians of interleaved rounds, for a table of 5,000 rows and 2,000 UBL lines."""
    files: dict[str, tuple[int, RawFile, Callable[[bytes], int]]] = {
        "csv": (ROWS, RawFile(path="quote.csv", data=_csv()), _bare_csv),
        "xml": (LINES, RawFile(path="quote.xml", data=_xml()), _bare_xml),
        "xlsx": (ROWS, RawFile(path="quote.xlsx", data=_xlsx()), _bare_xlsx),
    }
    print("taking: reading a file, places kept, in readings of it by the bare library")
    for kind, (rows, raw, bare) in files.items():
        calls: tuple[Callable[[], object], ...] = (
            functools.partial(bare, raw.data),
            *_ours(raw),
        )
        medians = _medians(calls, rounds if kind != "xlsx" else 3)
        names = ("bare", "read", "asked", "drafted")
        shown = (
            f"{name} {seconds * 1e3:.0f} ms = {seconds / medians[0]:.1f}"
            for name, seconds in zip(names[1:], medians[1:], strict=True)
        )
        print(
            f"  {kind}: {rows} rows, bare {medians[0] * 1e3:.1f} ms;"
            f" {'; '.join(shown)} (wanted of read: {WANTED[kind]});"
            f" {rows / medians[1]:,.0f} rows a second"
        )
    print()


def _ours(raw: RawFile) -> tuple[Callable[[], object], ...]:
    """Reading, reading and asking every cell, and all the way to the form's text."""
    from quotegen.taking.opening import see

    def asked() -> int:
        return sum(len(cell.text) + (cell.place.line or 1) for cell in _cells(see(raw, "x")))

    return lambda: see(raw, "x"), asked, lambda: _drafted(see(raw, "x"))


def _cells(seen: Seen) -> Iterator[Any]:
    for sheet in seen.sheets:
        for row in sheet.grid.rows:
            yield from row


def _drafted(seen: Seen) -> str:
    from quotegen.taking.assemble import assemble
    from quotegen.taking.finish import finish
    from quotegen.taking.form import AnsweredAsk, rendered, tree_of
    from quotegen.taking.given import Given

    taken = assemble(seen, Given())
    found = finish(taken.found, (), seen.place)
    return rendered(tree_of(found), [AnsweredAsk(ask=each) for each in found.asks], {}, ())


def _medians(calls: tuple[Callable[[], object], ...], rounds: int) -> list[float]:
    """Seconds of each call; the calls take turns, so that all see the same machine."""
    times: list[list[float]] = [[] for _ in calls]
    for _ in range(rounds):
        for call, seconds in zip(calls, times, strict=True):
            start = time.perf_counter()
            call()
            seconds.append(time.perf_counter() - start)
    return [statistics.median(each) for each in times]


def _bare_csv(data: bytes) -> int:
    text = data.decode("utf-8")
    return sum(len(row) for row in csv.reader(io.StringIO(text, newline=""), delimiter=";"))


def _bare_xml(data: bytes) -> int:
    from lxml import etree

    shown = ((element.tag, element.text or "") for element in etree.fromstring(data).iter())
    return sum(len(tag) + len(text) for tag, text in shown)


def _bare_xlsx(data: bytes) -> int:
    from openpyxl import load_workbook

    count = 0
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        for data_only in (True, False):
            book = load_workbook(io.BytesIO(data), data_only=data_only)
            count += sum(
                cell.value is not None
                for sheet in book.worksheets
                for row in sheet.iter_rows()
                for cell in row
            )
    return count


def _rows() -> Iterator[tuple[str, str, int, float, float, str, str]]:
    """Parts with five breaks each, their prices falling, their totals right."""
    for number in range(ROWS):
        part, step = divmod(number, 5)
        count = (10, 50, 100, 500, 1000)[step]
        price = round(40 + part % 37 - step * 3.25, 2)
        total = round(price * count, 2)
        yield f"P-{part:04d}", "B", count, price, total, f"{step + 2} weeks", "as drawn"


def _csv() -> bytes:
    lines = [";".join(HEAD)]
    lines += [";".join(str(value) for value in row) for row in list(_rows())[: ROWS - 1]]
    return "\n".join(lines).encode()


def _xlsx() -> bytes:
    from openpyxl import Workbook

    book = Workbook(write_only=True)
    sheet = book.create_sheet("Offer")
    sheet.append(HEAD)
    for row in list(_rows())[: ROWS - 1]:
        sheet.append(row)
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()


def _xml() -> bytes:
    space = "urn:oasis:names:specification:ubl:schema:xsd:"
    lines = "\n".join(
        f"""<cac:QuotationLine><cbc:ID>{number}</cbc:ID><cac:LineItem>
  <cbc:ID>{number}</cbc:ID><cbc:Quantity unitCode="H87">{count}</cbc:Quantity>
  <cbc:LineExtensionAmount currencyID="EUR">{total:.2f}</cbc:LineExtensionAmount>
  <cbc:MinimumQuantity unitCode="H87">{count}</cbc:MinimumQuantity>
  <cac:Price><cbc:PriceAmount currencyID="EUR">{price:.2f}</cbc:PriceAmount>
  <cbc:BaseQuantity unitCode="H87">1</cbc:BaseQuantity></cac:Price>
  <cac:Item><cbc:Name>Housing {part}</cbc:Name>
  <cac:BuyersItemIdentification><cbc:ID>{part}</cbc:ID></cac:BuyersItemIdentification></cac:Item>
</cac:LineItem></cac:QuotationLine>"""
        for number, (part, _, count, price, total, _, _) in enumerate(list(_rows())[:LINES], 1)
    )
    return f"""<Quotation xmlns="{space}Quotation-2" xmlns:cac="{space}CommonAggregateComponents-2"
 xmlns:cbc="{space}CommonBasicComponents-2">
<cbc:ID>Q-1</cbc:ID><cbc:IssueDate>2026-10-01</cbc:IssueDate>
<cbc:PricingCurrencyCode>EUR</cbc:PricingCurrencyCode>
{lines}</Quotation>""".encode()
