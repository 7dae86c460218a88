"""Columns beside the prices: times are read, amounts are asked about, words are kept."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Sequence
from fractions import Fraction

from quotegen.intake.cells import Cell
from quotegen.taking.context import Context
from quotegen.taking.fact import Ask, Fact, Findings, Kept, once
from quotegen.taking.figures import amounts_in, money_words, spans_in
from quotegen.taking.heads import Laid, Table, Tier
from quotegen.taking.pricing import currencies_in, number_in
from quotegen.taking.prose import EXCLUDED, INCLUDED
from quotegen.taking.tooling import is_of_tool
from quotegen.taking.words import HEADS, LISTED, TOTALS, fold


def read_beside(laid: Laid, context: Context, found: Findings) -> None:
    """Columns that no price needs: amounts are asked about, times are read, words are kept."""
    told: set[tuple[str, str, str]] = set()
    for table in laid.tables:
        by_part: dict[str, list[Tier]] = {}
        for tier in table.tiers:
            by_part.setdefault(_part_of(tier), []).append(tier)
        for part, tiers in by_part.items():
            index = context.items_in(part)[0]
            for tier in tiers:
                _row_beside(table, tier, index, tiers, told, context, found)
        heads = {text for text, *_ in told}
        found.kept += [
            Kept(text=head.text, place=head.place)
            for head in table.others.values()
            if not head.is_blank and not head.covered and head.text not in heads
        ]


def _row_beside(
    table: Table,
    tier: Tier,
    index: int,
    tiers: list[Tier],
    told: set[tuple[str, str, str]],
    context: Context,
    found: Findings,
) -> None:
    """tiers are all of the part that the row is for; told what of it was heard already."""
    for column, head in table.others.items():
        cell = tier.row[column] if column < len(tier.row) else None
        if cell is None or cell.is_blank or cell is tier.price:
            continue
        one = (head.text, cell.text, _part_of(tier))
        if one not in told:
            told.add(one)
            _cell_beside(head, cell, index, context, found)
            _unlike(head, cell, [each.row for each in tiers], column, found)


def _unlike(
    head: Cell, cell: Cell, rows: Sequence[Sequence[Cell]], column: int, found: Findings
) -> None:
    """A cost or a scope that is another one at other quantities: a question says so."""
    last = found.asks[-1] if found.asks else None
    ask = last if last is not None and last.place == cell.place else None
    if ask is None and not _says_scope(cell):
        return
    cells = (row[column] for row in rows if column < len(row))
    others = once([each.text for each in cells if each.text not in ("", cell.text)])
    is_told = any(each.ask.startswith(f"`{head.text}` differs") for each in found.asks)
    if ask is None and others and not is_told:
        asked = (
            f"`{head.text}` differs between the prices: {cell.text}; {'; '.join(others[:6])}. "
            "Which prices hold for what we want? Answer in words, and leave the others out."
        )
        found.asks.append(
            Ask(keys=("notes",), seen=cell.text, place=cell.place, readings=(), ask=asked)
        )
    elif ask is not None and others and ask.keys[-1] == "charges":
        added = f"{ask.ask} At other quantities it is {', '.join(others[:6])}."
        found.asks[-1] = dataclasses.replace(ask, ask=added)


def _part_of(tier: Tier) -> str:
    return tier.part.text if tier.part is not None else ""


def _says_scope(cell: Cell) -> bool:
    """Whether a cell says what is done for a price."""
    folded = fold(cell.text)
    patterns = (INCLUDED, EXCLUDED, *LISTED.values())
    return any(pattern.search(folded) for pattern in patterns)


def _cell_beside(head: Cell, cell: Cell, index: int, context: Context, found: Findings) -> None:
    folded, text = fold(head.text), f"{head.text}: {cell.text}".strip(": ")
    amounts = number_in(cell, context.signs)[0]
    money = bool(list(amounts_in(cell.text))) or bool(amounts and currencies_in(head.text))
    is_cost = re.search(
        r"set.?up|rust|instel|tool|werkzeug|modell|matrijs|cost|kosten|charge|surcharge", folded
    )
    if re.search(r"lead|liefer|lever|delai|termin|delivery", folded) and spans_in(cell.text):
        (first, *_) = spans_in(cell.text)
        keys = ("items", index, "lead time")
        if len(first) == 1:
            found.facts.append(Fact(keys=keys, value=first[0], seen=cell.text, place=cell.place))
        else:
            ask = "Which is to be reckoned with?"
            found.asks.append(
                Ask(keys=keys, seen=cell.text, place=cell.place, readings=first, ask=ask)
            )
    elif HEADS["least"].fullmatch(folded) and _count(cell, amounts):
        keys = ("items", index, "minimum")
        value = str(int(amounts[0]))
        found.facts.append(Fact(keys=keys, value=value, seen=cell.text, place=cell.place))
    elif amounts and is_of_tool(folded) and amounts != (Fraction(0),):
        _tool(head, cell, amounts, index, context, found)
    elif amounts and (money or is_cost) and amounts != (Fraction(0),):
        found.asks.append(_cost(head, cell, amounts, index, context))
    elif not TOTALS.match(folded):
        found.kept.append(Kept(text=text, place=cell.place))


def _count(cell: Cell, amounts: tuple[Fraction, ...]) -> bool:
    is_whole = len(amounts) == 1 and amounts[0].denominator == 1 and amounts[0] > 0
    return is_whole and not cell.unit and not list(amounts_in(cell.text))


def _tool(
    head: Cell,
    cell: Cell,
    amounts: tuple[Fraction, ...],
    index: int,
    context: Context,
    found: Findings,
) -> None:
    """A column of tools: its head says what the amount is for, its row for which part."""
    currencies = currencies_in(cell.text) or currencies_in(head.text) or context.currency
    readings = tuple(
        {"what": head.text[:80], "price": money_words(value, currency)}
        for currency in currencies
        for value in amounts
        if value >= 0
    )
    keys, seen = ("items", index, "tools"), f"{head.text}: {cell.text}"
    if len(readings) == 1:
        found.facts.append(Fact(keys=keys, value=readings[0], seen=cell.text, place=cell.place))
    else:
        ask = "Is this a tool that we pay for?"
        found.asks.append(Ask(keys=keys, seen=seen, place=cell.place, readings=readings, ask=ask))


def _cost(
    head: Cell, cell: Cell, amounts: tuple[Fraction, ...], index: int, context: Context
) -> Ask:
    """An amount beside a price is a cost, and what it is paid for is not said."""
    what = head.text[:80] or "charge"
    readings = tuple(
        {"what": what, "amount": money_words(value, currency), "per": per}
        for currency in (currencies_in(cell.text) or currencies_in(head.text) or context.currency)[
            :1
        ]
        for value in amounts
        for per in ("order", "once")
        if value >= 0
    )
    ask = (
        "A column beside the prices shows this amount. What is it paid for? `leave out` if it "
        "costs nothing."
    )
    return Ask(
        keys=("items", index, "charges"),
        seen=f"{head.text}: {cell.text}".strip(": "),
        place=cell.place,
        readings=readings,
        ask=ask,
    )
