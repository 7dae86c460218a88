"""The comparison of one part as tables: CSV for any program, XLSX for a spreadsheet.

Figures are rounded to the digits that the pages print (R18), so that a table and a page never
differ; the lines of a quote add up to its total as printed.
"""

from __future__ import annotations

import datetime
import hashlib
import io
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from functools import cache
from importlib.metadata import version
from typing import Any

from quotegen import __version__
from quotegen.basics.money import minor_digits, written
from quotegen.basics.printed import adding_up, printed
from quotegen.compare.comparison import Comparison
from quotegen.compare.envelope import Span
from quotegen.compare.route import CostAt, LineTotal, Route, cost_at
from quotegen.costing.offer import Offer
from quotegen.judge.studied import PartStudy
from quotegen.plan.plan import Group, Plan
from quotegen.report.views.plan_charts import MonthOfMoney, money_months

Value = str | int | Decimal | datetime.date | None
Row = tuple[Value, ...]

LONGEST_TEXT = 32_767  # letters in one cell of a spreadsheet
WIDEST = 60
# Where a text begins so, a spreadsheet may take it for a formula; a plain signed number is none.
FORMULA = re.compile(
    r"[ \t\r\n]*[=+\-@\N{FULLWIDTH EQUALS SIGN}\N{FULLWIDTH PLUS SIGN}"
    r"\N{FULLWIDTH HYPHEN-MINUS}\N{FULLWIDTH COMMERCIAL AT}]|[\t\r\n]"
)
PLAIN_NUMBER = re.compile(r"[+-]\d+(?:[.,]\d+)*(?: ?%)?")


class Kind(StrEnum):
    """What stands in a column, and so how a spreadsheet shows it."""

    TEXT = "text"
    WHOLE = "whole number"
    COUNT = "count"
    MONEY = "money"
    UNIT_PRICE = "unit price"
    DAY = "day"


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A heading and the kind of what stands below it."""

    head: str
    kind: Kind = Kind.TEXT


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """Rows as wide as the columns; None is an empty cell. currency gives money its digits."""

    name: str
    currency: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheets:
    """All tables of one part, dated by the day of the comparison."""

    part: str
    dated: datetime.date
    tables: tuple[Table, ...]

    @property
    def key(self) -> str:
        """The same for the same files: sha256 over every cell and over what writes them."""
        told = repr((self.part, self.dated, self.tables, writers()))
        return hashlib.sha256(told.encode()).hexdigest()


@cache
def writers() -> tuple[str, ...]:
    return (__version__, version("pandas"), version("xlsxwriter"))


def sheets_of(studied: PartStudy) -> Sheets:
    """What is compared, what it is made of, which route is cheapest; the plan and its money."""
    comparison = studied.comparison
    return Sheets(
        part=studied.part,
        dated=comparison.today,
        tables=(
            _offers(studied),
            _lines(studied),
            _cheapest(comparison),
            _orders(studied),
            _by_month(studied),
        ),
    )


OFFERS: tuple[Column, ...] = (
    Column(head="part"),
    Column(head="revision"),
    Column(head="compared on", kind=Kind.DAY),
    Column(head="quote"),
    Column(head="supplier"),
    Column(head="process"),
    Column(head="standing"),
    Column(head="why"),
    Column(head="in the recommended route"),
    Column(head="currency"),
    Column(head="good parts wanted", kind=Kind.WHOLE),
    Column(head="good parts bought", kind=Kind.WHOLE),
    Column(head="left over", kind=Kind.WHOLE),
    Column(head="paid once", kind=Kind.MONEY),
    Column(head="each later", kind=Kind.UNIT_PRICE),
    Column(head="each, all in", kind=Kind.UNIT_PRICE),
    Column(head="total", kind=Kind.MONEY),
    Column(head="first parts", kind=Kind.DAY),
    Column(head="sign by", kind=Kind.DAY),
    Column(head="place"),
)


def _offers(studied: PartStudy) -> Table:
    comparison, route = studied.comparison, studied.advice.route
    chosen = {offer.name for offer in route.offers} if route is not None else set()
    rows = tuple(_offer(comparison, offer, offer.name in chosen) for offer in comparison.offers)
    return Table(name="offers", currency=_currency(comparison), columns=OFFERS, rows=rows)


NEEDS: tuple[Column, ...] = (*OFFERS[:10], Column(head="need"), *OFFERS[10:])


def needs_of_parts(parts: Sequence[PartStudy]) -> Table:
    """Every offer of every part at each of its needs, all columns of the offers and the need."""
    rows = tuple(row for studied in parts for row in _at_each_need(studied))
    return Table(name="offers", currency=_common_currency(parts), columns=NEEDS, rows=rows)


def _at_each_need(studied: PartStudy) -> Iterator[Row]:
    comparison, route = studied.comparison, studied.advice.route
    chosen = {offer.name for offer in route.offers} if route is not None else set()
    needs = comparison.needs
    counts = {"low": needs.low, "likely": needs.likely, "high": needs.high, "one lot": needs.lot}
    for offer in comparison.offers:
        single = comparison.singles.get(offer.name)
        row = _offer(comparison, offer, offer.name in chosen)
        for need, count in counts.items():
            has = single is not None and count > 0 and single.available(count)
            cost = cost_at(single, count) if single is not None and has else None
            yield (*row[:10], need, count, *_figures(cost, _currency(comparison)), *row[17:])


def orders_of_parts(parts: Sequence[PartStudy]) -> Table:
    """The orders of every part's plan, with the part before each."""
    rows = tuple((studied.part, *row) for studied in parts for row in _orders(studied).rows)
    columns = (Column(head="part"), *ORDERS)
    return Table(name="plans", currency=_common_currency(parts), columns=columns, rows=rows)


def _common_currency(parts: Sequence[PartStudy]) -> str:
    """That of the workshop, which all parts share."""
    return next((_currency(each.comparison) for each in parts), "")


def frame_of(table: Table) -> Any:
    """The table as a pandas frame of str, int, Decimal, date and None."""
    return _frame(table, lambda value: value)


def _offer(comparison: Comparison, offer: Offer, chosen: bool) -> Row:
    part, currency = comparison.part, _currency(comparison)
    return (
        part.name,
        part.record.revision,
        comparison.today,
        offer.name,
        offer.supplier_name,
        offer.process.value,
        offer.standing.value,
        offer.why,
        "yes" if chosen else "no",
        currency,
        comparison.needs.likely,
        *_figures(comparison.costs.get(offer.name), currency),
        offer.arrival.first_parts,
        offer.last_day,
        str(offer.place),
    )


def _figures(cost: CostAt | None, currency: str) -> Row:
    """From bought to total; all empty where the offer has no price for so many."""
    if cost is None:
        return (None,) * 6
    return (
        cost.bought,
        cost.surplus,
        _decimal(printed(cost.one_off, currency)),
        _decimal(printed(cost.later_each, currency, unit_price=True)),
        _decimal(printed(cost.each, currency, unit_price=True)),
        _decimal(printed(cost.total, currency)),
    )


LINES: tuple[Column, ...] = (
    Column(head="route"),
    Column(head="quote"),
    Column(head="kind"),
    Column(head="what"),
    Column(head="amount", kind=Kind.UNIT_PRICE),
    Column(head="per"),
    Column(head="times", kind=Kind.COUNT),
    Column(head="total", kind=Kind.MONEY),
    Column(head="currency"),
    Column(head="rule"),
    Column(head="place"),
    Column(head="as written"),
)


def _lines(studied: PartStudy) -> Table:
    """Every cost line of every offer at the needed quantity, then those of a route of several."""
    comparison, currency = studied.comparison, _currency(studied.comparison)
    names = [offer.name for offer in comparison.offers]
    if studied.advice.route is not None and len(studied.advice.route.offers) > 1:
        names.append(studied.advice.route.name)
    rows = [
        row
        for name in names
        if name in comparison.costs
        for row in _lines_of(comparison.costs[name], currency)
    ]
    return Table(name="lines", currency=currency, columns=LINES, rows=tuple(rows))


def _lines_of(cost: CostAt, currency: str) -> list[Row]:
    totals = adding_up([each.total for each in cost.lines], currency)
    return [
        _line(cost.route, each, total, currency)
        for each, total in zip(cost.lines, totals, strict=True)
    ]


def _line(route: Route, each: LineTotal, total: str, currency: str) -> Row:
    return (
        route.name,
        each.offer,
        each.line.kind.value,
        each.line.what,
        _decimal(printed(each.amount, currency, unit_price=True)),
        each.line.per,
        _decimal(written(each.count)),
        _decimal(total),
        currency,
        each.line.rule,
        str(each.line.place),
        each.line.written,
    )


CHEAPEST: tuple[Column, ...] = (
    Column(head="from good parts", kind=Kind.WHOLE),
    Column(head="to good parts", kind=Kind.WHOLE),
    Column(head="cheapest route"),
    Column(head="total at the first", kind=Kind.MONEY),
    Column(head="each at the first", kind=Kind.UNIT_PRICE),
    Column(head="currency"),
)


def _cheapest(comparison: Comparison) -> Table:
    """Spans without gaps, unless nobody can deliver; the last is open where its route stays."""
    currency, envelope = _currency(comparison), comparison.envelope
    rows = tuple(
        _span(span, currency, span.last == envelope.reach and span.route is envelope.beyond)
        for span in envelope.spans
    )
    return Table(name="cheapest", currency=currency, columns=CHEAPEST, rows=rows)


def _span(span: Span, currency: str, is_open: bool) -> Row:
    cost = cost_at(span.route, span.first)
    return (
        span.first,
        None if is_open else span.last,
        span.route.name,
        _decimal(printed(cost.total, currency)),
        _decimal(printed(cost.each, currency, unit_price=True)),
        currency,
    )


ORDERS: tuple[Column, ...] = (
    Column(head="order by", kind=Kind.DAY),
    Column(head="order tools by", kind=Kind.DAY),
    Column(head="arrives", kind=Kind.DAY),
    Column(head="quote"),
    Column(head="supplier"),
    Column(head="pieces", kind=Kind.WHOLE),
    Column(head="good parts", kind=Kind.WHOLE),
    Column(head="left when it arrives", kind=Kind.WHOLE),
    Column(head="wanted to be left", kind=Kind.WHOLE),
    Column(head="lasts until", kind=Kind.DAY),
    Column(head="landed each", kind=Kind.UNIT_PRICE),
    Column(head="total", kind=Kind.MONEY),
    Column(head="currency"),
)


def _orders(studied: PartStudy) -> Table:
    """The orders of the plan, without tools; no row where there is no plan."""
    currency, plan = _currency(studied.comparison), _plan(studied)
    rows = tuple(
        (
            order.ordered,
            order.tools_ordered,
            order.arrives,
            order.offer.name,
            order.offer.supplier_name,
            order.pieces,
            order.good,
            order.stock_before,
            order.covers,
            order.lasts_until,
            _decimal(printed(order.landed_each, currency, unit_price=True)),
            _decimal(printed(order.total, currency)),
            currency,
        )
        for order in (plan.orders if plan is not None else ())
    )
    return Table(name="plan", currency=currency, columns=ORDERS, rows=rows)


BY_MONTH: tuple[Column, ...] = (
    Column(head="month", kind=Kind.DAY),
    *(Column(head=group.value, kind=Kind.MONEY) for group in Group),
    Column(head="in all", kind=Kind.MONEY),
    Column(head="so far", kind=Kind.MONEY),
    Column(head="currency"),
)


def _by_month(studied: PartStudy) -> Table:
    """The money of the plan in each calendar month; every column and row adds up as printed."""
    currency, plan = _currency(studied.comparison), _plan(studied)
    months = money_months(plan, currency) if plan is not None else ()
    rows = tuple(_month(month, currency) for month in months)
    return Table(name="money by month", currency=currency, columns=BY_MONTH, rows=rows)


def _month(month: MonthOfMoney, currency: str) -> Row:
    amounts = [month.amounts.get(group, Fraction(0)) for group in Group]
    amounts += [month.total, month.so_far]
    return (month.starts, *(_decimal(printed(each, currency)) for each in amounts), currency)


def _plan(studied: PartStudy) -> Plan | None:
    return studied.planning.plan if studied.planning is not None else None


def _currency(comparison: Comparison) -> str:
    return comparison.workshop.record.currency


def _decimal(shown: str) -> Decimal:
    """The figure behind a printed amount, to exactly its digits."""
    return Decimal(shown.replace(",", ""))


def as_csv(table: Table) -> bytes:
    """UTF-8 with a byte order mark, so that a spreadsheet reads it as such; lines end in CR LF.

    Figures are decimal strings with a point. No text can be taken for a formula.
    """
    frame = _frame(table, _as_text)
    text: str = frame.to_csv(index=False, lineterminator="\r\n")
    return text.encode("utf-8-sig")


def as_xlsx(sheets: Sheets) -> bytes:
    """One sheet for each table; figures are numbers, texts are never a formula or a link."""
    from pandas import ExcelWriter

    stream = io.BytesIO()
    options = {
        "strings_to_formulas": False,
        "strings_to_urls": False,
        "strings_to_numbers": False,
        "in_memory": True,
    }
    with ExcelWriter(
        stream, engine="xlsxwriter", date_format="yyyy-mm-dd", engine_kwargs={"options": options}
    ) as writer:
        moment = datetime.datetime.combine(sheets.dated, datetime.time())
        writer.book.set_properties({"title": f"Quotes for {sheets.part}", "created": moment})
        for table in sheets.tables:
            _write_sheet(writer, table)
    return stream.getvalue()


def _write_sheet(writer: Any, table: Table) -> None:
    """Our own heads instead of the frame's, then widths and formats by column."""
    frame = _frame(table, _as_cell)
    frame.to_excel(writer, sheet_name=table.name, index=False, header=False, startrow=1)
    sheet = writer.sheets[table.name]
    head = writer.book.add_format({"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"})
    for number, column in enumerate(table.columns):
        sheet.write_string(0, number, column.head, head)
        shown = writer.book.add_format(_look(column.kind, table.currency))
        sheet.set_column(number, number, _width(table, number), shown)
    sheet.freeze_panes(1, 0)
    sheet.autofilter(0, 0, len(table.rows), len(table.columns) - 1)


def _look(kind: Kind, currency: str) -> Mapping[str, str]:
    """The number format of a column (ISO/IEC 29500-1, 18.8.31)."""
    digits = "0" * (minor_digits(currency) or 0)
    looks = {
        Kind.TEXT: "@",
        Kind.WHOLE: "#,##0",
        Kind.COUNT: "General",
        Kind.MONEY: f"#,##0.{digits}" if digits else "#,##0",
        Kind.UNIT_PRICE: f"#,##0.{digits.ljust(4, '#')}" if digits else "General",
        Kind.DAY: "yyyy-mm-dd",
    }
    return {"num_format": looks[kind]}


def _width(table: Table, number: int) -> int:
    texts = [table.columns[number].head, *(_as_text(row[number]) for row in table.rows)]
    return min(WIDEST, max(len(text) for text in texts) + 2)


def _frame(table: Table, shown: Callable[[Value], object]) -> Any:
    """The table as a pandas frame of plain objects: nothing becomes a float on the way."""
    from pandas import DataFrame

    rows: Sequence[Sequence[object]] = [[shown(value) for value in row] for row in table.rows]
    return DataFrame(rows, columns=[column.head for column in table.columns], dtype=object)


def _as_cell(value: Value) -> object:
    return value[:LONGEST_TEXT] if isinstance(value, str) else value


def _as_text(value: Value) -> str:
    if value is None:
        return ""
    if isinstance(value, str):
        return guarded(value)
    if isinstance(value, Decimal):
        return format(value, "f")
    return value.isoformat() if isinstance(value, datetime.date) else str(value)


def guarded(text: str) -> str:
    """The text with an apostrophe before what a spreadsheet might take for a formula."""
    if PLAIN_NUMBER.fullmatch(text) or not FORMULA.match(text):
        return text
    return f"'{text}"
