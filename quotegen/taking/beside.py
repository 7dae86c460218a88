"""Columns beside the prices: times are read, amounts are asked about, words are kept."""

from __future__ import annotations

import re
from fractions import Fraction

from quotegen.intake.cells import Cell
from quotegen.taking.context import Context
from quotegen.taking.fact import Ask, Fact, Findings, Kept
from quotegen.taking.figures import amounts_in, money_words, spans_in
from quotegen.taking.heads import Laid
from quotegen.taking.pricing import currencies_in, number_in
from quotegen.taking.words import TOTALS, fold


def read_beside(laid: Laid, context: Context, found: Findings) -> None:
    """Columns that no price needs: amounts are asked about, times are read, words are kept."""
    told: set[tuple[str, str]] = set()
    for table in laid.tables:
        for tier in table.tiers:
            for column, head in table.others.items():
                cell = tier.row[column] if column < len(tier.row) else None
                if (
                    cell is None
                    or cell.is_blank
                    or cell is tier.price
                    or (head.text, cell.text) in told
                ):
                    continue
                told.add((head.text, cell.text))
                _cell_beside(head, cell, tier.part, context, found)
        heads = {text for text, _ in told}
        found.kept += [
            Kept(text=head.text, place=head.place)
            for head in table.others.values()
            if not head.is_blank and not head.covered and head.text not in heads
        ]


def _cell_beside(
    head: Cell, cell: Cell, part: Cell | None, context: Context, found: Findings
) -> None:
    folded, text = fold(head.text), f"{head.text}: {cell.text}".strip(": ")
    index = context.items_in(part.text if part is not None else "")[0]
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
    elif amounts and (money or is_cost) and amounts != (Fraction(0),):
        found.asks.append(_cost(head, cell, amounts, index, context))
    elif not TOTALS.match(folded):
        found.kept.append(Kept(text=text, place=cell.place))


def _cost(
    head: Cell, cell: Cell, amounts: tuple[Fraction, ...], index: int, context: Context
) -> Ask:
    """An amount beside a price is a cost, and what it is paid for is not said."""
    what = head.text[:80] or "charge"
    readings = tuple(
        {"what": what, "amount": money_words(value, currency), "per": per}
        for currency in context.currency[:1]
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
