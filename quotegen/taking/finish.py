"""What was found is held together: one value for each field, else a question with every reading."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from quotegen.basics.place import Place
from quotegen.intake.answers import LISTS
from quotegen.intake.yaml_tree import Keys
from quotegen.taking.fact import Ask, Fact, Findings, Kept, once
from quotegen.taking.joining import part_guesses
from quotegen.taking.lasting import with_days
from quotegen.taking.pieces import with_masses
from quotegen.taking.sums import check_least, check_steps, two_prices
from quotegen.taking.tooling import resolve
from quotegen.taking.words import fold

WEAK = "Is this the lead time?"
MOST_NOTES = 300
LONGEST_NOTE = 1900
HEAD = ("quote", "date", "valid until", "valid for", "currency")


def finish(found: Findings, parts: Sequence[str], file: Place) -> Findings:
    """The findings as a form can hold them; nothing doubtful is left among the facts."""
    done = Findings()
    _own_parts(found, parts)
    resolve(found)
    facts = [each for each in found.facts if each.keys[0] not in ("supplier", "mailed")]
    done.kept = list(found.kept)
    done.kept += [
        Kept(text=f"Supplier as written: {each.value}", place=each.place)
        for each in found.facts if each.keys == ("supplier",)
    ]  # fmt: skip
    asks = list(found.asks)
    _from_the_mail(found, facts, asks)
    facts, asks = with_days(facts, asks)
    facts, asks = with_masses(facts, asks, done.kept)
    facts, asks = _single(facts, asks)
    facts, asks = _prices(facts, asks)
    facts, asks = check_steps(facts, asks)
    facts, asks = check_least(facts, asks)
    facts, asks = _payments(facts, asks)
    facts, asks = _operations(facts, asks)
    facts, asks = _order_of_days(facts, asks)
    asks += list(_missing(facts, asks, file))
    done.facts = sorted(_without_repeats(facts), key=_rank)
    done.asks = _asked_once(asks)
    done.kept = _packed(done.kept)
    return done


def _own_parts(found: Findings, parts: Sequence[str]) -> None:
    """A part that the file names itself is one of ours, or it is asked about."""
    kept = []
    for fact in found.facts:
        if len(fact.keys) != 3 or fact.keys[2] != "part" or fact.value in parts:
            kept.append(fact)
            continue
        same = [part for part in parts if fold(part) == fold(str(fact.value))]
        guesses = part_guesses(str(fact.value), parts)
        if same or (not parts and guesses):
            value = same[0] if same else guesses[0]
            kept.append(dataclasses.replace(fact, value=value))
        else:
            ask = "Which of our parts is this? Its name is that of a file under parts/."
            found.asks.append(
                Ask(keys=fact.keys, seen=fact.seen, place=fact.place, readings=guesses, ask=ask)
            )
    found.facts[:] = kept


def _from_the_mail(found: Findings, facts: list[Fact], asks: list[Ask]) -> None:
    """The day of a mail is that of the quote, where nothing else says one."""
    if ("date",) in {*(each.keys for each in facts), *(each.keys for each in asks)}:
        return
    mailed = next((each for each in found.facts if each.keys == ("mailed",)), None)
    if mailed is not None:
        facts.append(dataclasses.replace(mailed, keys=("date",)))


def _is_single(keys: Keys) -> bool:
    return keys[-1] not in LISTS


def _single(facts: list[Fact], asks: list[Ask]) -> tuple[list[Fact], list[Ask]]:
    """A field with two values, or with a value and a doubt, becomes one question."""
    kept = [each for each in facts if not _is_single(each.keys)]
    found: dict[Keys, list[Fact]] = {}
    for each in facts:
        if _is_single(each.keys):
            found.setdefault(each.keys, []).append(each)
    left = [each for each in asks if not _is_single(each.keys) or each.keys[0] == "layout"]
    doubted: dict[Keys, list[Ask]] = {}
    for ask in asks:
        if _is_single(ask.keys) and ask.keys[0] != "layout":
            doubted.setdefault(ask.keys, []).append(ask)
    for keys in dict.fromkeys([*found, *doubted]):
        said, open_ones = found.get(keys, []), doubted.get(keys, [])
        strong = [each for each in open_ones if not each.ask.startswith(WEAK)]
        strong = (
            [each for each in strong if not _is_settled(each, said)]
            if said
            else (strong or open_ones[:1])
        )
        values = once([each.value for each in said])
        if len(values) == 1 and not strong:
            kept.append(said[0])
        else:
            left.append(_one_question(keys, said, strong))
    return kept, left


def _is_settled(ask: Ask, said: Sequence[Fact]) -> bool:
    """A doubtful date is no longer one where another place says one of its readings."""
    return bool(said) and said[0].value in ask.readings and len({str(s.value) for s in said}) == 1


def _one_question(keys: Keys, said: Sequence[Fact], asks: Sequence[Ask]) -> Ask:
    if not said and len({str(each.readings) for each in asks}) == 1:
        return asks[0]
    readings = once([*(each.value for each in said), *(r for each in asks for r in each.readings)])
    shown: list[Fact | Ask] = [*said, *asks]
    where = "; ".join(dict.fromkeys(f"{each.seen} ({each.place})" for each in shown))
    first = shown[0]
    told = asks[0].ask if asks and len(said) == 0 else "The file says different things."
    return Ask(
        keys=keys, seen=first.seen, place=first.place, readings=readings,
        ask=f"{told} It shows: {where[:600]}. Which holds?",
    )  # fmt: skip


def _prices(facts: list[Fact], asks: list[Ask]) -> tuple[list[Fact], list[Ask]]:
    """Two prices for one quantity, wherever they stand, are a question; the same twice is one."""
    rest = [each for each in facts if each.keys[-1] != "prices" or not isinstance(each.value, dict)]
    by_start: dict[tuple[Keys, str], list[Fact]] = {}
    for each in facts:
        if each.keys[-1] == "prices" and isinstance(each.value, dict):
            by_start.setdefault((each.keys, str(each.value.get("from"))), []).append(each)
    kept = []
    for (keys, start), tiers in by_start.items():
        values = once([each.value for each in tiers])
        asked = [
            each for each in asks
            if each.keys == keys and start in _starts(each)
        ]  # fmt: skip
        if len(values) == 1 and not any(values[0] in each.readings for each in asked):
            kept.append(tiers[0])
        elif len(values) > 1:
            ask = two_prices(start, tiers, values)
            asks = [
                *asks,
                Ask(keys=keys, seen=tiers[0].seen, place=tiers[0].place, readings=values, ask=ask),
            ]
    return rest + sorted(kept, key=lambda each: (each.keys[1], _start(each))), asks


def _starts(ask: Ask) -> set[str]:
    return {str(each.get("from")) for each in ask.readings if isinstance(each, dict)}


def _start(fact: Fact) -> int:
    text = str(fact.value.get("from", "0")).split(" ")[0]
    return int(text) if text.isdigit() else 0


def _payments(facts: list[Fact], asks: list[Ask]) -> tuple[list[Fact], list[Ask]]:
    """Payments from several lines that do not make one whole are a question."""
    paid = [each for each in facts if each.keys == ("payment",)]
    doubted = [each for each in asks if each.keys == ("payment",)]
    values = once([each.value for each in paid])
    whole = sum(_percent(each) for each in values) == 100
    if not paid or (whole and not doubted):
        first = {
            str(value): fact
            for fact, value in zip(reversed(paid), (f.value for f in reversed(paid)), strict=True)
        }
        return [each for each in facts if each.keys != ("payment",)] + list(
            reversed(first.values())
        ), asks
    by_place: dict[Place, list[Any]] = {}
    for each in paid:
        by_place.setdefault(each.place, []).append(each.value)
    readings = once([*by_place.values(), *([r] for each in doubted for r in each.readings)])
    ask = "The file says more than one way of payment. Which holds?"
    seen = "; ".join(dict.fromkeys(each.seen for each in paid))
    made = Ask(keys=("payment",), seen=seen, place=paid[0].place, readings=readings, ask=ask)
    left = [each for each in asks if each.keys != ("payment",)]
    return [each for each in facts if each.keys != ("payment",)], [*left, made]


def _percent(value: Any) -> int:
    text = str(value.get("share", "0")).split(" ")[0] if isinstance(value, dict) else "0"
    return int(text) if text.isdigit() else 0


def _operations(facts: list[Fact], asks: list[Ask]) -> tuple[list[Fact], list[Ask]]:
    """An operation that is said to be in the price and not in it."""
    sides: dict[tuple[int | str, str], set[str]] = {}
    for each in facts:
        if each.keys[-1] in ("includes", "excludes"):
            sides.setdefault((each.keys[1], str(each.value)), set()).add(str(each.keys[-1]))
    both = {key for key, found in sides.items() if len(found) == 2}
    kept = [
        each for each in facts
        if each.keys[-1] not in ("includes", "excludes")
        or (each.keys[1], str(each.value)) not in both
    ]  # fmt: skip
    for index, operation in both:
        first = next(f for f in facts if f.value == operation and f.keys[1] == index)
        ask = (
            f"The file says of {operation} both that it is in the price and that it is not. Is it?"
        )
        asks = [
            *asks,
            Ask(
                keys=("items", index, "includes"),
                seen=first.seen,
                place=first.place,
                readings=(operation,),
                ask=ask,
            ),
        ]
    return kept, asks


def _order_of_days(facts: list[Fact], asks: list[Ask]) -> tuple[list[Fact], list[Ask]]:
    """A quote that ends before it is made."""
    made = next((each for each in facts if each.keys == ("date",)), None)
    until = next((each for each in facts if each.keys == ("valid until",)), None)
    if made is None or until is None or str(until.value) >= str(made.value):
        return facts, asks
    ask = (
        f"The quote would end on {until.value}, before its own day, {made.value}. Until "
        "when does it hold?"
    )
    doubt = Ask(
        keys=until.keys, seen=until.seen, place=until.place, readings=(until.value,), ask=ask
    )
    return [each for each in facts if each is not until], [*asks, doubt]


def _missing(facts: Sequence[Fact], asks: Sequence[Ask], file: Place) -> Iterator[Ask]:
    """What every quote needs and the file does not say."""
    known = {*(each.keys for each in facts), *(each.keys for each in asks)}
    wanted = {
        ("quote",): "The file shows no number of the quote. What do you call it?",
        ("date",): "The file shows no date of the quote. When was it made?",
        ("currency",): "The file names no currency. Which is it, by its three letters?",
    }
    for keys, ask in wanted.items():
        if keys not in known:
            yield Ask(keys=keys, seen="", place=file, readings=(), ask=ask)
    indexes = sorted({int(keys[1]) for keys in known if keys[0] == "items"} | {0})
    is_held_back = any(keys[0] == "layout" for keys in known)
    for index in indexes:
        part, prices = ("items", index, "part"), ("items", index, "prices")
        if part not in known:
            told = "The file names no part of ours. Which part is it for?"
            yield Ask(keys=part, seen="", place=file, readings=(), ask=told)
        if prices not in known and not is_held_back:
            told = (
                "No price was found for this part. Answer with {from: 1, price: 12.50 EUR per 1}."
            )
            yield Ask(keys=prices, seen="", place=file, readings=(), ask=told)


def _rank(fact: Fact) -> tuple[int, int]:
    """The head of a quote before its items, one item after the other."""
    head = HEAD.index(str(fact.keys[0])) if fact.keys[0] in HEAD else len(HEAD)
    return (head, int(fact.keys[1]) if fact.keys[0] == "items" and len(fact.keys) > 1 else 0)


def _without_repeats(facts: Iterable[Fact]) -> list[Fact]:
    found: dict[str, Fact] = {}
    for each in facts:
        found.setdefault(f"{each.keys}|{each.value}", each)
    return list(found.values())


def _asked_once(asks: Iterable[Ask]) -> list[Ask]:
    found: dict[str, Ask] = {}
    for each in asks:
        found.setdefault(f"{each.keys}|{each.seen}|{each.place}|{each.readings}", each)
    return sorted(found.values(), key=lambda each: each.keys[0] != "layout")


def _packed(kept: Iterable[Kept]) -> list[Kept]:
    """Each text once; of very many, several share a note, so that none is lost."""
    once_each: dict[str, Kept] = {}
    for each in kept:
        text = each.text.strip()
        if text:
            once_each.setdefault(text, each)
    notes = [
        dataclasses.replace(each, text=text[start : start + LONGEST_NOTE])
        for text, each in once_each.items()
        for start in range(0, len(text), LONGEST_NOTE)
    ]
    if len(notes) <= MOST_NOTES:
        return notes
    packed: list[Kept] = []
    for each in notes:
        if packed and len(packed[-1].text) + len(each.text) + 3 <= LONGEST_NOTE:
            packed[-1] = dataclasses.replace(packed[-1], text=f"{packed[-1].text} / {each.text}")
        else:
            packed.append(each)
    return packed
