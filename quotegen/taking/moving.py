"""Clauses by which a price moves after it is quoted: with a metal, a currency, energy or wages."""

from __future__ import annotations

import re

from quotegen.taking.charges import PERCENT
from quotegen.taking.context import Reader

_MOVES = re.compile(
    r"(?<!\w)(?:prices? variation|price adjust\w*|escalat\w*|currency clause|exchange rate|"
    r"(?:price|prices) (?:to be|will be|may be|are|is|can be) (?:adjusted|revised|changed)|"
    r"preisgleit\w*|preisanpass\w*|gleitklausel|tages(?:kurs|preis|notierung)\w*|wechselkurs\w*|"
    r"(?:material|legierungs|metall|energie)teuerungszuschlag|mtz|ltz|notierung\w*|"
    r"dagprijs\w*|dagkoers\w*|prijswijziging\w*|wisselkoers\w*|"
    r"revision d(?:es|u) prix|revisable\w*|cours du jour|taux de change|"
    r"prices? (?:\+ ?\d|increase|rise|go up)\w*|price (?:increase|rise)\w*|preiserhohung\w*|"
    r"prijsverhoging\w*|hausse d\w+ prix|podwyzk\w*|aumento\w*|"
    r"kurs\w* (?:dnia|walut\w*)|waloryzacj\w*|revisione prezz\w*)(?!\w)"
)


def moving_price(reader: Reader) -> None:
    """A clause that no field holds and that costs money one day: a person says how much."""
    match = _MOVES.search(reader.folded)
    told = {fact.keys[-1] for fact in reader.found.facts}
    told |= {ask.keys[-1] for ask in reader.found.asks}
    if match is None or ("surcharges" in told and PERCENT.search(reader.folded)):
        return
    ask = (
        "The price can move by this clause. Give it an `estimate` in money, or write "
        "`could turn: no` where it does not matter."
    )
    for index in reader.each_item():
        value = {"term": "price clause", "text": " ".join(reader.line.text.split())[:300]}
        reader.ask(("items", index, "terms"), (value,), match[0], ask)
