"""Every price of the tables as a fact, or as a question with all that it can mean."""

from __future__ import annotations

import dataclasses
import itertools
import re
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from quotegen.basics.money import rounded
from quotegen.intake.yaml_tree import Keys
from quotegen.taking.fact import Ask, Fact, Findings, once
from quotegen.taking.figures import Signs, amounts_in, money_words, readings_of
from quotegen.taking.heads import Laid, Table
from quotegen.taking.items import ItemSeen
from quotegen.taking.pricing import ELSEWHERE, Priced, Setting, number_in, priced, tier_values
from quotegen.taking.seen import Line
from quotegen.taking.sums import Doubt, agrees, doubts_of, priced_as, readings_with
from quotegen.taking.words import TOTALS, fold

BARE_HEAD = "the head of its column does not say whether it is for one piece or for all"
MANY = 3  # so many doubtful decimal signs are one question about the file


def prices_of(laid: Laid, setting: Setting, first: int) -> Iterator[Priced]:
    for number, table in enumerate(laid.tables):
        found = [priced(table, tier, setting, first + number) for tier in table.tiers]
        found = _without_positions(found)
        unsure = _needs_basis(found, table)
        for each in found:
            if unsure and each.bare_head and not each.on_request:
                each = dataclasses.replace(each, doubts=(*each.doubts, BARE_HEAD))  # noqa: PLW2901
            named = "" if each.part else table.around
            yield dataclasses.replace(each, part=each.part or f"\0{named}")


def _without_positions(found: Sequence[Priced]) -> list[Priced]:
    """A column `Item` that only counts 1, 2, 3 names no part."""
    labels = {each.part for each in found}
    if labels and all(re.fullmatch(r"\d{1,3}\.?", label) for label in labels):
        return [dataclasses.replace(each, part="") for each in found]
    return list(found)


def _needs_basis(found: Sequence[Priced], table: Table) -> bool:
    """Whether a head that says only `price` leaves open what for: no total, no falling prices."""
    if not any(each.bare_head for each in found) or "price" not in table.heads:
        return "price" not in table.heads
    for each in found:
        is_whole = each.total is not None and each.amounts and len(each.quantities) == 1
        if is_whole and agrees(each, each.amounts[0] * each.quantities[0]):
            return False
    by_part: dict[str, list[Priced]] = {}
    for each in found:
        by_part.setdefault(each.part, []).append(each)
    for tiers in by_part.values():
        values = [(t.quantities[0], t.amounts[0]) for t in tiers if t.amounts]
        values.sort()
        falls = all(two[1] <= one[1] for one, two in itertools.pairwise(values))
        if len(values) >= 2 and falls:
            return False
    return not all(each.quantities == (1,) and each.quantity_seen for each in found)


def place_tiers(
    items: Sequence[ItemSeen], setting: Setting, found: Findings, *, is_draft: bool
) -> None:
    """Every price as a fact, or as a question with all that it can mean."""
    held = _held_back([tier for item in items for tier in item.tiers], setting, found)
    for index, item in enumerate(items):
        doubts = doubts_of(item.tiers)
        for number, each in enumerate(item.tiers):
            doubt = doubts.get(number)
            if id(each) not in held and (doubt is None or doubt.why):
                keys = ("items", index, "prices")
                if not each.currency and not each.on_request:
                    found.asks.append(_without_currency(keys, each, doubt, setting.home))
                else:
                    _place(keys, each, doubt, found, is_draft=is_draft)


def _held_back(prices: Sequence[Priced], setting: Setting, found: Findings) -> set[int]:
    """Prices that wait for one answer about the whole file, which is asked here."""
    split = [each for each in prices if len(each.amounts) > 1 or len(each.quantities) > 1]
    by_sign = [each for each in split if setting.signs.sign is None and not each.on_request]
    unclear = [each for each in prices if each.amounts and _is_open(each)]
    held: set[int] = set()
    if len(by_sign) >= MANY:
        _ask_sign(by_sign, found)
        held |= {id(each) for each in by_sign}
    if len(unclear) >= MANY:
        _ask_basis(unclear, found)
        held |= {id(each) for each in unclear}
    return held


def _ask_sign(by_sign: Sequence[Priced], found: Findings) -> None:
    first = by_sign[0]
    ask = (
        f"{len(by_sign)} numbers such as {first.seen} or {first.quantity_seen} can be read in "
        "two ways. Which decimal sign does the file use? Then take it again."
    )
    keys = ("layout", "decimal")
    made = Ask(keys=keys, seen=first.seen, place=first.place, readings=("comma", "point"), ask=ask)
    found.asks.append(made)


def _place(
    keys: Keys, each: Priced, doubt: Doubt | None, found: Findings, *, is_draft: bool
) -> None:
    values = (*readings_with(tier_values(each), doubt), *each.rivals)
    is_said = each.on_request and not each.doubts
    is_sure = each.is_sure and doubt is None and not is_draft and len(values) == 1
    if is_said or is_sure:
        found.facts.append(Fact(keys=keys, value=values[0], seen=each.seen, place=each.place))
        return
    readings = once([*values, *_bare_readings(each, values)])
    ask = _why(each, doubt, is_draft=is_draft)
    found.asks.append(Ask(keys=keys, seen=each.seen, place=each.place, readings=readings, ask=ask))


def _without_currency(keys: Keys, each: Priced, doubt: Doubt | None, home: str | None) -> Ask:
    """All readings of the number at once, in the workshop's currency, since the file names none."""
    told = ["The currency is not said."]
    readings: tuple[Mapping[str, str], ...] = ()
    if home is not None:
        told.append(f"The readings are in {home}, the workshop's own: is it that?")
        bare = dataclasses.replace(each, currency=(home,))
        readings = once([*tier_values(bare), *_bare_readings(bare, tier_values(bare))])
    if len(each.amounts) > 1 and len(each.quantities) == 1 and each.basis is not None:
        count = each.quantities[0]
        shown = " or ".join(_shown(amount) for amount in each.amounts)
        costs = " or ".join(_shown(amount * count / each.basis.count) for amount in each.amounts)
        told.append(f"{each.seen} can be {shown}; at {count} pieces that is {costs}.")
    told += [doubt.why] if doubt is not None else []
    told.append("Answer with from and price.")
    return Ask(keys=keys, seen=each.seen, place=each.place, readings=readings, ask=" ".join(told))


def _shown(amount: Fraction) -> str:
    digits = 3 if (amount * 100).denominator != 1 else 2
    return format(rounded(amount, digits), f",.{digits}f")


def _why(each: Priced, doubt: Doubt | None, *, is_draft: bool) -> str:
    """What is in doubt about a price."""
    if doubt is not None:
        return doubt.why
    if is_draft and not each.doubts:
        return "It stands in the body of a letter. Is it the price?"
    told = "; ".join(each.doubts)
    return f"Is this the price? {told[:1].upper()}{told[1:]}." if told else "Is this the price?"


def _is_open(each: Priced) -> bool:
    """Whether it is open for how many pieces a price is."""
    return any(told == BARE_HEAD or told.startswith(ELSEWHERE) for told in each.doubts)


def _ask_basis(bare: Sequence[Priced], found: Findings) -> None:
    """One question for all prices of a column whose head does not say what they are for."""
    first = bare[0]
    ask = (
        f"{len(bare)} prices such as {first.seen}: {'; '.join(first.doubts)}. For how "
        "many pieces is "
        "each? Then take the file again."
    )
    keys = ("layout", "price per")
    found.asks.append(
        Ask(keys=keys, seen=first.seen, place=first.place, readings=("1", "100", "1000"), ask=ask)
    )


def _bare_readings(each: Priced, values: Sequence[Mapping[str, str]]) -> tuple[dict[str, str], ...]:
    """Beside a price for one piece, the same figure for all of them."""
    if (
        not each.bare_head
        or len(each.quantities) != 1
        or each.quantities[0] == 1
        or each.on_request
    ):
        return ()
    count = str(each.quantities[0])
    return tuple(
        {"from": count, "price": re.sub(r" per \S+$", f" per {count}", value["price"])}
        for value in values[:1]
    )


def check_totals(
    prices: Sequence[Priced], lines: Sequence[Line], signs: Signs, found: Findings
) -> None:
    """A sum that a line says, held against the prices: as they are added up, or any one of them.

    Tools and charges may be in it, and the tax that a line of its own names.
    """
    apart = list(_in_sentences(prices, found))
    if not prices and not apart:
        return
    whole, sums = _sums([*prices, *apart], found, _taxes(lines, signs))
    for line in lines:
        if line.quoted or not TOTALS.match(fold(line.text)):
            continue
        values = list(_amounts_of(line, signs))
        if len(values) == 1 and min(abs(values[0] - each) for each in sums) > Fraction(5, 100):
            ask = (
                f"The prices of the file add up to {money_words(whole, '').strip()}, "
                "this line says "
                f"{money_words(values[0], '').strip()}. What is missing or wrong? Answer in words."
            )
            found.asks.append(
                Ask(keys=("notes",), seen=line.text, place=line.place, readings=(), ask=ask)
            )


def _amounts_of(line: Line, signs: Signs) -> Iterator[Fraction]:
    if line.cells:
        yield from (value for cell in line.cells for value in number_in(cell, signs)[0][:1])
    else:
        for each in amounts_in(line.text):
            yield from readings_of(each.number, signs)[:1]


def _taxes(lines: Sequence[Line], signs: Signs) -> set[Fraction]:
    """Amounts of tax that lines name; nothing is one too."""
    named = [line for line in lines if not line.quoted and _TAX.search(fold(line.text))]
    return {Fraction(0), *(value for line in named for value in _amounts_of(line, signs))}


_TAX = re.compile(r"(?<!\w)(?:vat|mwst|mehrwertsteuer|ust|umsatzsteuer|btw|tva|iva|tax)(?!\w)")


def _in_sentences(prices: Sequence[Priced], found: Findings) -> Iterator[Priced]:
    """The prices of the file that stand in no table."""
    known = {each.place for each in prices}
    both: list[Fact | Ask] = [*found.facts, *found.asks]
    for each in both:
        if each.keys[-1] == "prices" and each.place not in known:
            value = each.value if isinstance(each, Fact) else next(iter(each.readings), None)
            made = priced_as(value, each.seen, each)
            if made is not None:
                yield made


def _sums(
    prices: Sequence[Priced], found: Findings, taxes: set[Fraction]
) -> tuple[Fraction, set[Fraction]]:
    """All prices together, and every sum that a line may rightly say."""
    sums: set[Fraction] = set()
    for number in {each.table for each in prices}:
        costs = [_cost(each) for each in prices if each.table == number]
        totals = [each.total for each in prices if each.table == number and each.total is not None]
        sums |= {sum(costs, Fraction(0)), sum(totals, Fraction(0)), *costs, *totals}
    whole = sum((_cost(each) for each in prices), Fraction(0))
    tools, charges = _beside(found, "tools", "price"), _beside(found, "charges", "amount")
    more = {Fraction(0), tools, charges, tools + charges}
    return whole, {one + two + tax for one in {*sums, whole} for two in more for tax in taxes}


def _beside(found: Findings, key: str, inner: str) -> Fraction:
    """What the tools or the charges of the file cost together."""
    both: list[Fact | Ask] = [*found.facts, *found.asks]
    amounts = []
    for each in both:
        value = each.value if isinstance(each, Fact) else next(iter(each.readings), None)
        if each.keys[-1] == key and isinstance(value, dict):
            match = re.match(r"\d+(?:\.\d+)?", str(value.get(inner, "")))
            amounts += [Fraction(match[0])] if match is not None else []
    return sum(amounts, Fraction(0))


def _cost(each: Priced) -> Fraction:
    if not each.amounts or each.basis is None:
        return Fraction(0)
    return each.amounts[0] * each.quantities[0] / each.basis.count
