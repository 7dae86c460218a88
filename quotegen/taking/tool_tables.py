"""Tables of tools: a row for each, with its price and such columns as cavities, life and owner."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from quotegen.basics.money import written
from quotegen.intake.cells import Cell
from quotegen.taking.context import Context
from quotegen.taking.fact import Ask, Fact, Findings, Kept
from quotegen.taking.figures import money_words, readings_of
from quotegen.taking.heads import Laid, Row, roles_in
from quotegen.taking.pricing import currencies_in, number_in
from quotegen.taking.tooling import OURS, THEIRS
from quotegen.taking.words import fold

_COLUMNS = {
    "cavities": re.compile(r"cavit|fach|nest|empreinte|gniazd|impront|voudig|impression"),
    "life": re.compile(r"life|shots|schuss|standmenge|standzeit|lebensdauer|duree|zywotn|durata"),
    "owner": re.compile(r"owner|eigent|eigend|propri|wlasn|belongs"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class ToolTable:
    """The head of a table of tools and its rows; columns says what each column is for."""

    head: Row
    columns: Mapping[str, int]
    rows: tuple[Row, ...]


def tool_tables_in(laid: Laid, known: Mapping[str, str]) -> list[ToolTable]:
    """The tables of tools among the rows of no price table; their rows are taken out."""
    found: list[ToolTable] = []
    rest: list[Row] = []
    at = 0
    while at < len(laid.loose):
        columns = _columns(laid.loose[at], known)
        end = at + 1
        while columns and end < len(laid.loose) and _is_tool(laid.loose[end], columns):
            end += 1
        if columns and end > at + 1:
            rows = tuple(laid.loose[at + 1 : end])
            found.append(ToolTable(head=laid.loose[at], columns=columns, rows=rows))
        else:
            rest.append(laid.loose[at])
            end = at + 1
        at = end
    laid.loose[:] = rest
    return found


def _columns(row: Row, known: Mapping[str, str]) -> dict[str, int]:
    """What the columns of a head are for; empty where it is none of a table of tools."""
    roles = {role: column for column, role in roles_in(row, known).items()}
    shown = [cell for cell in row if not cell.is_blank and not cell.covered]
    price = roles.get("price", roles.get("total"))
    if "tooling" not in roles or price is None or any(re.search(r"\d", c.text) for c in shown):
        return {}
    columns = {"tool": roles["tooling"], "price": price}
    for column, cell in enumerate(row):
        for key, words in _COLUMNS.items():
            if column not in columns.values() and words.search(fold(cell.text)):
                columns.setdefault(key, column)
    return columns


def _is_tool(row: Row, columns: Mapping[str, int]) -> bool:
    tool, price = _at(row, columns["tool"]), _at(row, columns["price"])
    return tool is not None and price is not None and re.search(r"\d", price.text) is not None


def _at(row: Row, column: int) -> Cell | None:
    cell = row[column] if column < len(row) else None
    return None if cell is None or cell.is_blank else cell


def read_tools(tables: Sequence[ToolTable], context: Context, found: Findings) -> None:
    """Each row as a tool of the part that it names; what is not plain is asked."""
    for table in tables:
        for row in table.rows:
            _tool(table, row, context, found)


def _tool(table: ToolTable, row: Row, context: Context, found: Findings) -> None:
    tool, price = _at(row, table.columns["tool"]), _at(row, table.columns["price"])
    if tool is None or price is None:
        return
    text = "  ".join(cell.text for cell in row if not cell.is_blank and not cell.covered)
    amounts, mark = number_in(price, context.signs)
    head = table.head[table.columns["price"]].text
    currencies = currencies_in(mark) or currencies_in(head) or context.currency
    more = dict(_said(table, row, context))
    readings = tuple(
        {"what": tool.text[:80], "price": money_words(value, currency), **more}
        for value in dict.fromkeys(amounts) for currency in currencies if value >= 0
    )  # fmt: skip
    items = context.items_in(text)
    keys = ("items", items[0], "tools")
    is_plain = not price.hidden and not price.trouble
    if len(readings) == 1 and len(items) == 1 and len(amounts) == 1 and is_plain:
        found.facts.append(Fact(keys=keys, value=readings[0], seen=price.text, place=price.place))
    else:
        ask = "Is this a tool that we pay for, and for which of the parts?"
        found.asks.append(
            Ask(keys=keys, seen=text[:300], place=price.place, readings=readings, ask=ask)
        )
    found.kept.append(Kept(text=text, place=tool.place))


def _said(table: ToolTable, row: Row, context: Context) -> Iterator[tuple[str, str]]:
    """What the other columns say of the tool, where it has one reading."""
    for key in ("cavities", "life"):
        cell = _at(row, table.columns[key]) if key in table.columns else None
        whole = _whole(cell, context) if cell is not None else None
        if whole is not None:
            yield key, written(whole)
    cell = _at(row, table.columns["owner"]) if "owner" in table.columns else None
    if cell is not None:
        ours, theirs = OURS.search(fold(cell.text)), THEIRS.search(fold(cell.text))
        if bool(ours) != bool(theirs):
            yield "owner", "buyer" if ours else "supplier"


def _whole(cell: Cell, context: Context) -> Fraction | None:
    """A number of cavities or shots: they are whole, so that `60.000` has one reading."""
    if cell.number is not None:
        values: tuple[Fraction, ...] = (cell.number,)
    else:
        match = re.match(r"\s*(\d[\d.,' ]*\d|\d)", cell.text)
        values = readings_of(match[1], context.signs) if match is not None else ()
    whole = [each for each in values if each.denominator == 1 and each > 0]
    return max(whole, default=None)
