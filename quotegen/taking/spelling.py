"""What a person types as an answer, in the spellings that people use, as a value of the form."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from quotegen.basics.money import minor_digits
from quotegen.basics.place import Place
from quotegen.intake.files import RawFile, Refused
from quotegen.intake.yaml_tree import Keys, read_tree
from quotegen.model.question import LEAVE_OUT
from quotegen.taking.charges import MONEY
from quotegen.taking.context import Context, Reader
from quotegen.taking.fact import once
from quotegen.taking.figures import (
    NUMBER,
    Signs,
    basis_in,
    dates_in,
    money_words,
    price_words,
    readings_of,
    spans_in,
)
from quotegen.taking.pricing import currencies_in
from quotegen.taking.prose import TERMS
from quotegen.taking.seen import Line
from quotegen.taking.words import PIECES, fold

YES = frozenset("y yes ja j oui tak ok right correct".split())
NO = frozenset("n no nein nee non nie".split())
PRICED = re.compile(
    rf"^(?:(?:from|ab|vanaf|od)?\s*(?P<from>\d{{1,7}})\s*(?:{PIECES})?\s*[:=@]\s*)?(?P<rest>.+)$"
)
MONEY_KEYS = ("amount", "price")
SPANS_OF_TIME = ("lead time", "valid for", "takes")


@dataclass(frozen=True, slots=True, kw_only=True)
class Around:
    """What is known beside a question: our parts, the currency, what prices of a file are for.

    heads are the head words that stand over the columns, for a question about them.
    """

    parts: tuple[str, ...] = ()
    currency: str | None = None
    per: str | None = None
    heads: tuple[str, ...] = ()


def understood(typed: str, keys: Keys, choices: Sequence[Any], around: Around) -> Any:
    """What a person typed, as a value of the field; None for nothing.

    Raises ValueError, in words for that person, where it can mean two things or nothing.
    """
    text = typed.strip()
    if not text:
        return None
    for spelling in (_by_a_mark, _by_yes_or_no, _by_a_word):
        found = spelling(text, keys, choices)
        if found is not None:
            return found
    kind = KINDS.get(str(keys[-1]))
    return kind(text, choices, around) if kind is not None else _with_amount(text, choices)


def _by_a_mark(text: str, keys: Keys, choices: Sequence[Any]) -> Any:  # noqa: ARG001
    """A reading by its number, `-` for nothing, or a value as the form writes it."""
    if text == "-" or text.casefold() == LEAVE_OUT:
        return LEAVE_OUT
    if re.fullmatch(r"[1-9]\d?", text) and int(text) <= len(choices):
        return choices[int(text) - 1]
    return _group(text) if text[0] in "{[" else None


def _group(text: str) -> Any:
    try:
        tree = read_tree(RawFile(path="answer", data=f"answer: {text}".encode()), "The answer")
    except Refused as refused:
        raise ValueError(refused.problem.message) from refused
    return tree.value["answer"]


def _by_yes_or_no(text: str, keys: Keys, choices: Sequence[Any]) -> Any:
    word = fold(text).strip(" .!")
    if word not in YES | NO or keys[-1] == "tax included":
        return None
    is_yes = word in YES
    if is_yes and len(choices) == 1:
        return choices[0]
    if is_yes and choices:
        raise ValueError("Which of them? Type its number.")
    if is_yes:
        raise ValueError("Then say in words what it is.")
    raise ValueError("Then type what is right, or - to leave it out.")


def _by_a_word(text: str, keys: Keys, choices: Sequence[Any]) -> Any:  # noqa: ARG001
    """The only reading that is or holds this word, such as `once`, or `EUR`."""
    wanted = fold(text).removeprefix("per ").strip()
    if not re.search(r"[a-z]", wanted):
        return None  # a number alone may be meant for another value of the reading
    found = [
        each for each in choices
        if wanted in [fold(str(v)) for v in (each.values() if isinstance(each, dict) else [each])]
    ]  # fmt: skip
    return found[0] if len(found) == 1 else None


def _price(text: str, choices: Sequence[Any], around: Around) -> Any:
    """A price in any spelling, with the quantity that all the readings share, or its own."""
    match = PRICED.match(text)
    assert match is not None  # noqa: S101 (any text but an empty one)
    groups = [each for each in choices if isinstance(each, dict)]
    starts = [match["from"]] if match["from"] else _all(str(each["from"]) for each in groups)
    rest = match["rest"].strip()
    if fold(rest) in ("not quoted", "on request"):
        amount = "not quoted"
    else:
        amount = _amount(rest, [str(each.get("price", "")) for each in groups], around)
    if len(starts) != 1:
        raise ValueError(f"From how many pieces? Type it before the price, such as 100: {rest}")
    return {"from": starts[0], "price": amount}


def _amount(text: str, shown: Sequence[str], around: Around) -> str:
    """A price such as `16,95`, with the currency and the basis that are not in doubt."""
    number, rest = _number(text)
    codes = currencies_in(rest.upper()) or _all(_word(each, 1) for each in shown)
    codes = codes or ((around.currency,) if around.currency else ())
    if len(codes) != 1:
        raise ValueError(f"In which currency? Type it behind the price, such as {number} EUR")
    bases = _all(" ".join(each.split()[2:]) for each in shown) or ((around.per or ""),)
    said = basis_in(re.sub(r"(?<![A-Za-z])[A-Za-z]{3}(?![A-Za-z])", _unless_a_word, rest))
    if said is None and (len(bases) != 1 or not bases[0]):
        raise ValueError(
            f"For how many pieces? Type it behind the price, such as {number} {codes[0]} per 1"
        )
    value = _one(number)
    if said is None:
        return f"{money_words(value, codes[0])} {bases[0]}"
    return price_words(value, codes[0], said)


def _unless_a_word(match: re.Match[str]) -> str:
    return " " if minor_digits(match[0].upper()) is not None else match[0]


def _number(text: str) -> tuple[str, str]:
    """The number that a text begins with, or that follows its currency, and all other words."""
    match = re.match(rf"^(?P<mark>\D{{0,5}}?)(?P<number>{NUMBER})(?P<rest>.*)$", text)
    if match is None:
        raise ValueError(f"'{text[:40]}' is not an amount. Type it such as 16.95 EUR per 1.")
    return match["number"], f"{match['mark']} {match['rest']}"


def _one(number: str) -> Any:
    """The number that a person typed; one of two readings is a question again."""
    values = readings_of(number, Signs())
    if len(set(values)) != 1:
        both = " or ".join(money_words(each, "").strip() for each in values)
        raise ValueError(f"{number} can be {both or 'nothing'}: type one of these.")
    return values[0]


def _word(text: str, at: int) -> str:
    words = text.split()
    return words[at] if len(words) > at else ""


def _all(values: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(each for each in values if each))


def _currency(text: str, choices: Sequence[Any], around: Around) -> Any:  # noqa: ARG001
    found = currencies_in(text.upper()) or currencies_in(text)
    found = tuple(each for each in found if each in choices) or found
    if len(found) != 1:
        raise ValueError("Type the three letters of the currency, such as EUR.")
    return found[0]


def _day(text: str, choices: Sequence[Any], around: Around) -> Any:  # noqa: ARG001
    """A day in any spelling; a time such as `60 days` goes through where the field takes it."""
    days = dates_in(fold(text))
    if len(days) != 1:
        raise ValueError(f"'{text[:40]}' is not a day. Type it such as 2026-10-05.")
    if len(set(days[0].readings)) != 1 or len(days[0].readings) > 1:
        both = " or ".join(dict.fromkeys(days[0].readings))
        raise ValueError(f"{text} can be read as {both}. Type one in this spelling.")
    return days[0].readings[0]


def _time(text: str, choices: Sequence[Any], around: Around) -> Any:  # noqa: ARG001
    units = _all(str(each).partition(" ")[2].removesuffix("s") for each in choices)
    if text.isdigit() and len(units) == 1:
        text = f"{text} {units[0]}s"
    found = spans_in(text)
    if len(found) != 1 or len(found[0]) != 1:
        raise ValueError(f"'{text[:40]}' is not one time. Type it such as 4 weeks.")
    return found[0][0]


def _part(text: str, choices: Sequence[Any], around: Around) -> Any:  # noqa: ARG001
    same = [each for each in around.parts if fold(each) == fold(text)]
    begun = [each for each in around.parts if fold(each).startswith(fold(text))]
    if same or len(begun) == 1:
        return (same or begun)[0]
    if not around.parts:
        return text
    near = difflib.get_close_matches(fold(text), around.parts, n=3, cutoff=0.5)
    known = ", ".join(near or around.parts[:8])
    raise ValueError(
        f"There is no part '{text[:60]}' in the folder; there is {known}. A new part needs its "
        "form under parts/ first: press Enter to leave the question open."
    )


def _sign(text: str, choices: Sequence[Any], around: Around) -> Any:  # noqa: ARG001
    signs = {"comma": ",", "point": "."}
    words = {"comma": "comma", ",": "comma", "komma": "comma", "point": "point", ".": "point",
             "dot": "point", "punkt": "point", "punt": "point"}  # fmt: skip
    found = words.get(fold(text))
    if found in signs:
        return found
    raise ValueError("Type comma or point.")


def _per(text: str, choices: Sequence[Any], around: Around) -> Any:  # noqa: ARG001
    basis = basis_in(text if re.search(r"[a-zA-Z]", text) else f"per {text}")
    if basis is None or basis.unit != "piece" or basis.count.denominator != 1:
        raise ValueError("Type for how many pieces a price is: 1, 100 or 1000.")
    return str(basis.count)


def _heads(text: str, choices: Sequence[Any], around: Around) -> Any:  # noqa: ARG001
    """Two or three columns, by number or by word: quantity, price and part, in this order."""
    numbers = re.fullmatch(r"\d{1,2}(?:[\s,;]+\d{1,2}){1,2}", text)
    words = re.split(r"[\s,;]+", text) if numbers else [each.strip() for each in text.split(",")]
    if numbers and all(1 <= int(each) <= len(around.heads) for each in words):
        words = [around.heads[int(each) - 1] for each in words]
    known = {fold(each) for each in around.heads}
    if not 2 <= len(words) <= 3 or len(set(words)) < len(words) or (
        known and any(fold(each) not in known for each in words)
    ):  # fmt: skip
        raise ValueError(
            "Type the numbers of two or three columns: that of the quantity, that of the price, "
            "and that of the part where there is one."
        )
    return dict(zip(("from", "price", "part"), words, strict=False))


def _note(text: str, choices: Sequence[Any], around: Around) -> Any:  # noqa: ARG001
    if not re.search(r"[^\W\d_]{2}", text):
        raise ValueError("Say it in words, or type - to leave it out.")
    return text


def _with_amount(text: str, choices: Sequence[Any]) -> Any:
    """Another amount in the only reading there is of a cost; any other text as it stands."""
    groups = [each for each in choices if isinstance(each, dict)]
    keys = [key for key in MONEY_KEYS if groups and key in groups[0]]
    if not keys or not re.match(rf"^\D{{0,5}}?{NUMBER}\D{{0,5}}$", text):
        return text
    rests = {str({k: v for k, v in each.items() if k != keys[0]}) for each in groups}
    if len(rests) != 1:
        raise ValueError("Type the number of a reading first; its amount can be corrected after.")
    number, rest = _number(text)
    codes = currencies_in(rest.upper()) or _all(_word(str(each[keys[0]]), 1) for each in groups)
    if len(codes) != 1:
        raise ValueError(f"In which currency? Type it behind, such as {number} EUR")
    return {**groups[0], keys[0]: money_words(_one(number), codes[0])}


Kind = Callable[[str, Sequence[Any], Around], Any]
KINDS: Mapping[str, Kind] = {
    "prices": _price,
    "notes": _note,
    "currency": _currency,
    "pay in": _currency,
    "date": _day,
    "valid until": _day,
    "part": _part,
    "decimal": _sign,
    "price per": _per,
    "heads": _heads,
    **dict.fromkeys(SPANS_OF_TIME, _time),
}


def in_prose(text: str, keys: Keys) -> Any:
    """A sentence such as `30 days net` as the value that a file would give; None for none."""
    line = Line(text=text, place=Place("answer"))
    found = []
    for catch in (*TERMS, *MONEY):
        reader = Reader(line, Context(signs=Signs()), is_draft=False)
        catch(reader)
        found += [each.value for each in reader.found.facts if each.keys[-1] == keys[-1]]
    values = once(found)
    return values[0] if len(values) == 1 else None
