"""Sums held against each other: what does not agree is a question with both readings."""

from __future__ import annotations

import dataclasses
import itertools
import re
from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Any

from quotegen.basics.money import rounded
from quotegen.taking.figures import Basis, price_words
from quotegen.taking.pricing import ONE, Priced

FALLS_TO = Fraction(1, 4)  # a price that falls below a quarter of the one before is looked at


@dataclasses.dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """What is wrong with a price, and the tiers that it can mean beside the one as written."""

    why: str
    others: tuple[dict[str, str], ...] = ()


def doubts_of(tiers: Sequence[Priced]) -> dict[int, Doubt]:
    """The doubtful ones among the prices of one part, by number; sums first, then neighbours."""
    found: dict[int, Doubt] = {}
    for number, tier in enumerate(tiers):
        doubt = _against_total(tier)
        if doubt is not None:
            found[number] = doubt
    for number, doubt in itertools.chain(_twice(tiers), _neighbours(tiers)):
        found.setdefault(number, doubt)
    return found


def _value(tier: Priced) -> Fraction | None:
    return tier.amounts[0] if len(tier.amounts) == 1 else None


def _against_total(tier: Priced) -> Doubt | None:
    """Quantity times price, as the file's own total says it or not."""
    amount = _value(tier)
    basis = tier.basis or ONE
    if tier.total is None or amount is None or basis.unit != "piece" or len(tier.quantities) != 1:
        return None
    count = tier.quantities[0]
    cost = amount * count / basis.count
    if agrees(tier, cost):
        return None
    currency = tier.currency[0] if tier.currency else ""
    implied = _implied(tier, amount, count, currency)
    costs = f"{_shown(cost)} or {_shown(tier.total)}"
    why = (
        f"{count} pieces at {tier.seen} ({basis.words}) cost {_shown(cost)}, but the file says "
        f"{tier.total_seen}. The two readings cost {costs} {currency}."
    )
    return Doubt(why=why, others=(implied,))


def agrees(tier: Priced, cost: Fraction) -> bool:
    """Whether a total fits, the rounding of the price shown allowed for."""
    digits = max(
        2,
        len(re.sub(r"^.*?[.,](?=\d+\D*$)", "", tier.seen).strip())
        if "," in tier.seen or "." in tier.seen
        else 2,
    )
    count = tier.quantities[0] / (tier.basis or ONE).count
    allowed = Fraction(1, 100) + count / (2 * 10 ** min(digits, 6))
    return tier.total is not None and abs(cost - tier.total) <= allowed


def _implied(tier: Priced, amount: Fraction, count: int, currency: str) -> dict[str, str]:
    """The tier that the total implies: the same figure for a hundred, or the total itself."""
    for per in (1, 100, 1000):
        basis = Basis(count=Fraction(per), unit="piece", said="")
        other = dataclasses.replace(tier, basis=basis)
        if agrees(other, amount * count / per):
            return {"from": str(count), "price": price_words(amount, currency, basis)}
    whole = Basis(count=Fraction(count), unit="piece", said="")
    return {"from": str(count), "price": price_words(tier.total or Fraction(0), currency, whole)}


def _shown(amount: Fraction) -> str:
    return format(rounded(amount, 2), ",.2f")


def _twice(tiers: Sequence[Priced]) -> Iterator[tuple[int, Doubt]]:
    """Two prices for one quantity; the same price twice is only said twice."""
    for (one, first), (two, second) in itertools.combinations(enumerate(tiers), 2):
        apart = _is_hidden(first) != _is_hidden(second)  # a hidden one is asked about as such
        if first.quantities != second.quantities or _each(first) == _each(second) or apart:
            continue
        at = f"{second.quantities[0]} pieces"
        costs = " or ".join(_cost(each) for each in (first, second))
        why = (
            f"Two prices stand for {at}: {first.seen} ({first.place}) and {second.seen} "
            f"({second.place})."
        )
        yield one, Doubt(why=f"{why} They cost {costs}.", others=tuple(_tiers(second)))
        yield two, Doubt(why="", others=())


def _is_hidden(tier: Priced) -> bool:
    return any("hidden" in each for each in tier.doubts)


def _tiers(tier: Priced) -> Iterator[dict[str, str]]:
    amount = _value(tier)
    if amount is not None and tier.currency:
        words = price_words(amount, tier.currency[0], tier.basis or ONE)
        yield {"from": str(tier.quantities[0]), "price": words}


def _cost(tier: Priced) -> str:
    each = _each(tier)
    currency = tier.currency[0] if tier.currency else ""
    return f"{_shown(each * tier.quantities[0])} {currency}".strip() if each is not None else "?"


def _each(tier: Priced) -> Fraction | None:
    amount = _value(tier)
    return amount / (tier.basis or ONE).count if amount is not None else None


def _neighbours(tiers: Sequence[Priced]) -> Iterator[tuple[int, Doubt]]:
    """A price that rises with the quantity, or falls to a fraction, may be a typing error."""
    known = [
        (number, tier, value) for number, tier in enumerate(tiers)
        if (value := _each(tier)) is not None and len(tier.quantities) == 1
    ]  # fmt: skip
    known.sort(key=lambda each: each[1].quantities[0])
    for place, (number, tier, value) in enumerate(known):
        before = known[place - 1] if place else None
        after = known[place + 1] if place + 1 < len(known) else None
        if before is None or before[1].quantities == tier.quantities:
            continue
        if value > before[2]:
            culprit = (
                before if _is_odd(known, place - 1) and not _is_odd(known, place) else known[place]
            )
            yield culprit[0], _slip(known, known.index(culprit))
        elif value < before[2] * FALLS_TO and (after is None or after[2] <= value):
            yield number, _fallen(tier, before[1])


def _is_odd(known: Sequence[tuple[int, Priced, Fraction]], place: int) -> bool:
    """Whether the prices fall once this one is taken out."""
    rest = [value for at, (_, _, value) in enumerate(known) if at != place]
    return all(one >= two for one, two in itertools.pairwise(rest))


def _slip(known: Sequence[tuple[int, Priced, Fraction]], place: int) -> Doubt:
    """The likeliest typing error: two digits changed about, or one digit, that fits between."""
    _, tier, _ = known[place]
    before = known[place - 1][2] if place else None
    after = known[place + 1][2] if place + 1 < len(known) else None
    basis, currency = tier.basis or ONE, tier.currency[0] if tier.currency else ""
    for text, value in _variants(tier):
        each = value / basis.count
        low = after if after is not None else (before or each) / 2
        high = before if before is not None else each
        if low <= each <= high:
            beside = [known[at][1].seen for at in (place - 1, place + 1) if 0 <= at < len(known)]
            why = (
                f"{tier.seen} stands {'between' if len(beside) > 1 else 'beside'} "
                f"{' and '.join(beside)}: {text}?"
            )
            other = {"from": str(tier.quantities[0]), "price": price_words(value, currency, basis)}
            costs = f"{_cost(tier)} or {_shown(each * tier.quantities[0])} {currency}"
            return Doubt(why=f"{why} At {tier.quantities[0]} pieces: {costs}.", others=(other,))
    why = (
        f"{tier.seen} is dearer than the price of a smaller quantity, or the one beside it "
        "is wrong."
    )
    return Doubt(why=why)


def _variants(tier: Priced) -> Iterator[tuple[str, Fraction]]:
    """Figures that a slip of the finger would turn into the one as written."""
    amount = _value(tier)
    if amount is None:
        return
    shown = re.sub(r"[^\d.,]", "", tier.seen).strip(".,") or str(float(amount))
    spots = [at for at, mark in enumerate(shown) if mark.isdigit()]
    swapped = [_swap(shown, one, two) for one, two in itertools.pairwise(spots)]
    changed = [shown[:at] + digit + shown[at + 1 :] for at in spots for digit in "0123456789"]
    divisor = (
        10 ** len(re.findall(r"\d", re.split(r"[.,]", shown)[-1]))
        if re.search(r"[.,]", shown)
        else 1
    )
    scale = Fraction(int(re.sub(r"\D", "", shown) or 0), divisor)
    if scale != amount:
        return
    for text in dict.fromkeys([*swapped, *changed]):
        value = Fraction(int(re.sub(r"\D", "", text) or 0), divisor)
        if value > 0 and value != amount:
            yield text, value


def _swap(text: str, one: int, two: int) -> str:
    marks = list(text)
    marks[one], marks[two] = marks[two], marks[one]
    return "".join(marks)


def _fallen(tier: Priced, before: Priced) -> Doubt:
    amount = _value(tier) or Fraction(0)
    basis, currency = tier.basis or ONE, tier.currency[0] if tier.currency else ""
    others = tuple(
        {"from": str(tier.quantities[0]), "price": price_words(amount * factor, currency, basis)}
        for factor in (10, 100)
    )
    why = (
        f"{tier.seen} is less than a quarter of {before.seen} for fewer pieces. Is the "
        "decimal sign right?"
    )
    return Doubt(why=why, others=others)


def readings_with(values: Sequence[Any], doubt: Doubt | None) -> tuple[Any, ...]:
    return (*values, *(doubt.others if doubt is not None else ()))
