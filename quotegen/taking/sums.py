"""Sums held against each other: what does not agree is a question with both readings."""

from __future__ import annotations

import dataclasses
import itertools
import re
from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Any

from quotegen.basics.money import rounded
from quotegen.intake.yaml_tree import Keys
from quotegen.taking.context import Reader
from quotegen.taking.fact import Ask, Fact, once
from quotegen.taking.figures import Basis, price_words
from quotegen.taking.pricing import ONE, Priced

MOST_RIVALS = 12  # prices for one quantity that a question lists
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
    """Several prices for one quantity, all told at the first; one price twice is only said twice.

    A hidden price is asked about as such, beside the ones that a person sees.
    """
    alike: dict[tuple[tuple[int, ...], bool], list[tuple[int, Priced, Fraction | None]]] = {}
    for number, tier in enumerate(tiers):
        alike.setdefault((tier.quantities, _is_hidden(tier)), []).append(
            (number, tier, _each(tier))
        )
    for group in alike.values():
        first: dict[Fraction | None, Priced] = {}
        for _, tier, value in group:
            first.setdefault(value, tier)
        if len(first) == 1:
            continue
        yield group[0][0], _rivals(list(first.values()))
        for number, _, _ in group[1:]:
            yield number, Doubt(why="", others=())


def _rivals(tiers: Sequence[Priced]) -> Doubt:
    """The question about several prices for one quantity; of very many, how many more there are."""
    told = [f"{tier.seen} ({tier.place})" for tier in tiers[:MOST_RIVALS]]
    costs = " or ".join(_cost(tier) for tier in tiers[:MOST_RIVALS])
    count = "Two" if len(tiers) == 2 else f"{len(tiers):,}"
    more = len(tiers) - len(told)
    beyond = f", and {more:,} more that are not listed here" if more else ""
    why = (
        f"{count} prices stand for {tiers[0].quantities[0]} pieces: {', '.join(told[:-1])} and "
        f"{told[-1]}{beyond}. They cost {costs}."
    )
    others = itertools.chain.from_iterable(_tiers(tier) for tier in tiers[1:MOST_RIVALS])
    return Doubt(why=why, others=tuple(others))


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
    rises = sum(two[2] > one[2] for one, two in itertools.pairwise(known))
    for place, (number, tier, value) in enumerate(known):
        before = known[place - 1] if place else None
        after = known[place + 1] if place + 1 < len(known) else None
        if before is None or before[1].quantities == tier.quantities:
            continue
        if value > before[2]:
            is_before = rises <= 2 and _is_odd(known, place - 1) and not _is_odd(known, place)
            culprit = place - 1 if is_before else place
            yield known[culprit][0], _slip(known, culprit)
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


# prices that stand in sentences or elements, whatever the kind of the file

_TIER = re.compile(
    r"(?P<amount>\d+(?:\.\d+)?) (?P<currency>[A-Z]{3}) per (?:(?P<count>\d+(?:\.\d+)?)|"
    r"(?P<mass>kg|[\d.]+ g))"
)


def priced_as(value: Any, seen: str, found: Fact | Ask) -> Priced | None:
    """A tier in form words as what the checks here look at; None where it has no price."""
    match = _TIER.fullmatch(str(value.get("price", ""))) if isinstance(value, dict) else None
    start = str(value.get("from", "")).split(" ")[0] if match is not None else ""
    if match is None or not start.isdigit():
        return None
    grams = {"kg": "1000"}.get(match["mass"] or "", (match["mass"] or "").partition(" ")[0])
    unit = "g" if match["mass"] else "piece"
    count = Fraction(match["count"] or grams)
    return Priced(
        quantities=(int(start),), amounts=(Fraction(match["amount"]),),
        basis=Basis(count=count, unit=unit, said=""), currency=(match["currency"],),
        seen=seen, place=found.place, quantity_place=found.place, quantity_seen=start,
    )  # fmt: skip


def against_total(
    reader: Reader,
    last: Fact | Ask,
    values: Sequence[tuple[Fraction, str]],
    seen: str,
    each: Basis | None = None,
) -> None:
    """The total that a line says for a price, held against it; it may settle what was open.

    each is what the second amount is for, where it is a price again, as in `420 EUR = 4.20 each`.
    """
    tiers = (last.value,) if isinstance(last, Fact) else last.readings
    read = [(tier, made) for tier in tiers if (made := priced_as(tier, last.seen, last))]
    if not read or not values:
        return
    if each is not None and each.unit == "piece":
        count = read[0][1].quantities[0]
        values = [(value * count / each.count, currency) for value, currency in values]
    fitting = [tier for tier, made in read if any(_fits(made, value) for value, _ in values)]
    if isinstance(last, Fact):
        if fitting:
            return
        reader.found.facts[:] = [each for each in reader.found.facts if each is not last]
    else:
        reader.found.asks[:] = [each for each in reader.found.asks if each is not last]
        if len(fitting) == 1 and not reader.is_draft:
            reader.fact(last.keys, fitting[0], reader.line.text)
            return
    if fitting:
        asked = last.ask if isinstance(last, Ask) else ""
        reader.ask(last.keys, tuple(fitting), reader.line.text, asked)
        return
    _, made = read[0]
    doubt = _against_total(dataclasses.replace(made, total=values[0][0], total_seen=seen))
    others = doubt.others if doubt is not None else ()
    why = doubt.why if doubt is not None else "The total does not fit."
    reader.ask(last.keys, (*(each for each, _ in read), *others), reader.line.text, why)


def _fits(made: Priced, total: Fraction) -> bool:
    basis = made.basis or ONE
    cost = made.amounts[0] * made.quantities[0] / basis.count
    return agrees(dataclasses.replace(made, total=total), cost)


def check_steps(facts: list[Fact], asks: list[Ask]) -> tuple[list[Fact], list[Ask]]:
    """The prices of each part held against each other: a likely slip is asked about.

    Questions with one reading, as of a letter, take part; two of them for one quantity are one.
    """
    asks = _joined(facts, asks)
    held: dict[Keys, list[tuple[Fact | Ask, Priced]]] = {}
    both: list[Fact | Ask] = [*facts, *asks]
    for each in both:
        values = (each.value,) if isinstance(each, Fact) else each.readings
        made = priced_as(values[0], _figure(values[0]), each) if len(values) == 1 else None
        if each.keys[-1] == "prices" and made is not None and not _is_out_of_sight(each):
            held.setdefault(each.keys, []).append((each, made))
    for tiers in held.values():
        for number, doubt in _neighbours([made for _, made in tiers]):
            facts, asks = _doubted(facts, asks, tiers[number][0], doubt)
    return facts, asks


def _is_out_of_sight(each: Fact | Ask) -> bool:
    """Whether a price stands on a hidden row or sheet: it speaks against none that is shown."""
    return isinstance(each, Ask) and re.search(r"hidden|does not see it", each.ask) is not None


def _figure(value: Any) -> str:
    """The number of a tier; the checks show it as it stands in the form."""
    return str(value.get("price", "")).partition(" ")[0] if isinstance(value, dict) else ""


def _doubted(
    facts: list[Fact], asks: list[Ask], each: Fact | Ask, doubt: Doubt
) -> tuple[list[Fact], list[Ask]]:
    first = each.value if isinstance(each, Fact) else each.readings[0]
    before = f"{each.ask} " if isinstance(each, Ask) else ""
    made = Ask(
        keys=each.keys,
        seen=each.seen,
        place=each.place,
        readings=once([first, *doubt.others]),
        ask=f"{before}{doubt.why}",
    )
    kept = [made if one is each else one for one in asks]
    if isinstance(each, Fact):
        kept.append(made)
    return [one for one in facts if one is not each], kept


def _joined(facts: list[Fact], asks: list[Ask]) -> list[Ask]:
    """Questions about one quantity of one part that say different prices become one question."""
    groups: dict[tuple[Keys, str], list[Ask]] = {}
    for each in asks:
        starts = {str(r.get("from")) for r in each.readings if isinstance(r, dict)}
        is_one = len(each.readings) == 1 and len(starts) == 1
        if each.keys[-1] == "prices" and is_one and not _is_out_of_sight(each):
            groups.setdefault((each.keys, starts.pop()), []).append(each)
    done = list(asks)
    for (keys, start), same in groups.items():
        stated = [
            each for each in facts
            if each.keys == keys and str(dict(each.value).get("from")) == start
        ]  # fmt: skip
        values = once([*(each.value for each in stated), *(each.readings[0] for each in same)])
        if len(values) < 2:
            continue
        shown: list[Fact | Ask] = [*stated, *same]
        made = Ask(
            keys=keys, seen=same[0].seen, place=same[0].place, readings=values,
            ask=two_prices(start, shown, values),
        )  # fmt: skip
        facts[:] = [each for each in facts if each not in stated]
        done = [made if each is same[0] else each for each in done if each not in same[1:]]
    return done


def check_least(facts: list[Fact], asks: list[Ask]) -> tuple[list[Fact], list[Ask]]:
    """A price for fewer pieces than the file's own minimum is a question, with what they cost."""
    least = [each for each in facts if each.keys[-1] == "minimum"]
    kept, more = list(facts), list(asks)
    for each in least:
        keys = (*each.keys[:2], "prices")
        priced = [
            made for one in facts if one.keys == keys
            if (made := priced_as(one.value, one.seen, one)) is not None
        ]  # fmt: skip
        below = [one for one in priced if one.quantities[0] < int(each.value)]
        if not below:
            continue
        first = min(below, key=lambda one: one.quantities[0])
        start = first.quantities[0]
        ask = (
            f"The file asks for at least {each.value} pieces and names a price from {start} "
            f"({first.place}). Which is the least? {start} pieces cost {_cost(first)}."
        )
        readings = (each.value, str(start))
        kept.remove(each)
        more.append(
            Ask(keys=each.keys, seen=each.seen, place=each.place, readings=readings, ask=ask)
        )
    return kept, more


def two_prices(start: str, shown: Sequence[Fact | Ask], values: Sequence[Any]) -> str:
    """What is asked where two prices stand for one quantity, and what each would cost."""
    where = " and ".join(dict.fromkeys(f"{each.seen} ({each.place})" for each in shown))
    made = [priced_as(value, _figure(value), shown[0]) for value in values]
    pieces = [each for each in made if each is not None and (each.basis or ONE).unit == "piece"]
    costs = " or ".join(_cost(each) for each in pieces)
    cost = f" They cost {costs}." if len(pieces) == len(values) else ""
    return f"Two prices stand for {start} pieces: {where}. Which holds?{cost}"
