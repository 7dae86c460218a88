"""Layouts of a supplier's tables: kept once a person confirmed one, and met again by head words."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import TypeVar

from quotegen.basics.place import Place
from quotegen.intake.answers import read_layouts
from quotegen.intake.files import RawFile, Refused
from quotegen.intake.yaml_tree import read_tree
from quotegen.model.fields import DecimalSign
from quotegen.model.question import LEAVE_OUT, Layout, Layouts
from quotegen.taking.fact import Ask
from quotegen.taking.figures import NUMBER, Signs, money_words, readings_of
from quotegen.taking.form import AnsweredAsk, scalar
from quotegen.taking.pricing import currencies_in
from quotegen.taking.tiers import BARE_HEAD
from quotegen.taking.words import fold

Value = TypeVar("Value")

FILE = "layouts.yaml"
LOOKED_OVER = "The head of the table changed; its prices were looked over."
ALIKE = Fraction(1, 3)  # of the head words, for a layout to be called changed and not another


@dataclass(frozen=True, slots=True, kw_only=True)
class Met:
    """What the layouts of a supplier say about a file, and a question where its head changed."""

    heads: Mapping[str, str] = field(default_factory=dict)
    decimal: str | None = None
    per: Fraction | None = None
    currency: str | None = None
    day_first: bool | None = None
    changed: Ask | None = None
    is_known: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Learnt:
    """What the answers of a person say about every file of a layout; None where they do not."""

    decimal: str | None = None
    per: Fraction | None = None
    currency: str | None = None
    day_first: bool | None = None


def layouts_in(data: bytes | None, path: str) -> Layouts:
    """What a supplier's folder keeps; nothing where the form cannot be read."""
    nothing = Layouts(format=1)
    if data is None:
        return nothing
    try:
        tree = read_tree(RawFile(path=path, data=data), "The layouts")
    except Refused:
        return nothing
    found, _ = read_layouts(tree, "The layouts")
    return found if found is not None else nothing


def meet(layouts: Sequence[Layout], words: Sequence[tuple[str, ...]], file: Place) -> Met:
    """Which layouts the head words of a file's tables are, if all of them are known.

    Head words that a person confirmed are known in every file of the supplier; decimal sign,
    currency and price basis hold only where every table's whole head is the same as before.
    """
    heads = {word: role for each in layouts for word, role in each.heads.items()}
    known = [_known(layouts, shown) for shown in words]
    met = [each for each in known if each is not None]
    if not met or len(met) < len(known):
        return Met(heads=heads, changed=_changed(layouts, words, file))
    decimal = _common(each.decimal.mark if each.decimal is not None else None for each in met)
    per = _common(each.price_per for each in met)
    return Met(
        heads=heads,
        decimal=decimal,
        per=Fraction(per) if per is not None else None,
        currency=_common(each.currency for each in met),
        day_first=_common(each.day_first for each in met),
        is_known=True,
    )


def _known(layouts: Sequence[Layout], words: tuple[str, ...]) -> Layout | None:
    """The layout with the same head words, in whatever order its columns stand."""
    return next((each for each in layouts if sorted(each.words) == sorted(words)), None)


def _common(values: Iterable[Value]) -> Value | None:
    """What all of them say; None where they differ."""
    found = list(values)
    return found[0] if all(each == found[0] for each in found) else None


def _changed(
    layouts: Sequence[Layout], words: Sequence[tuple[str, ...]], file: Place
) -> Ask | None:
    """A question about the first table whose head is like a known one and not the same."""
    for shown in words:
        if _known(layouts, shown) is not None:
            continue
        alike = max(layouts, key=lambda each: _likeness(each, shown), default=None)
        if alike is None or _likeness(alike, shown) < ALIKE:
            continue
        new, gone = _less(shown, alike.words), _less(alike.words, shown)
        told = (
            f"The head of the table is not as it was: new {_listed(new)}, gone {_listed(gone)}. "
            "Its prices are read afresh, without what was confirmed before. Are they right? "
            "Answer in words where they are not."
        )
        seen = ", ".join(shown)
        return Ask(keys=("notes",), seen=seen, place=file, readings=(LOOKED_OVER,), ask=told)
    return None


def _likeness(layout: Layout, words: Sequence[str]) -> Fraction:
    before, now = set(layout.words), set(words)
    return Fraction(len(before & now), max(1, len(before | now)))


def _less(words: Sequence[str], others: Sequence[str]) -> list[str]:
    """The words without those of the others, each as often as it stands."""
    left = list(words)
    for each in others:
        if each in left:
            left.remove(each)
    return sorted(left)


def _listed(words: Sequence[str]) -> str:
    return ", ".join(f"'{word}'" for word in words) or "nothing"


# what a person's answers say about the next file


def learnt(answered: Sequence[AnsweredAsk]) -> Learnt:
    """What the answers about single values say about the whole layout, where all of them agree."""
    done = [each for each in answered if each.answer not in (None, LEAVE_OUT)]
    signs = {sign for each in done for sign in _signs_shown(each)}
    bases = {base for each in done for base in _bases_shown(each)}
    days = {first for each in done for first in _days_shown(each)}
    currencies = {
        str(each.answer)
        for each in done
        if each.ask.keys == ("currency",) and len(currencies_in(each.ask.seen)) > 1
    }
    return Learnt(
        decimal=_only(signs), per=_only(bases), currency=_only(currencies), day_first=_only(days)
    )


def _only(values: set[Value]) -> Value | None:
    return next(iter(values)) if len(values) == 1 else None


def _signs_shown(each: AnsweredAsk) -> Iterator[str]:
    """The decimal sign that the reading of a number shows which has two."""
    numbers = re.findall(rf"(?<![\w.,]){NUMBER}(?![\w.,])", each.ask.seen)
    values = readings_of(numbers[0], Signs()) if len(numbers) == 1 else ()
    if each.ask.keys[-1] != "prices" or len(set(values)) != 2 or not isinstance(each.answer, dict):
        return
    amount = str(each.answer.get("price", "")).split(" ", maxsplit=1)[0]
    for sign, value in zip((".", ","), values, strict=True):
        if money_words(value, "").strip() == amount:
            yield sign


def _bases_shown(each: AnsweredAsk) -> Iterator[Fraction]:
    """What a price is for whose head does not say it; a price for the whole lot says nothing."""
    if each.ask.keys[-1] == "prices" and BARE_HEAD in each.ask.ask.lower():
        price = str(each.answer.get("price", "")) if isinstance(each.answer, dict) else ""
        per = re.search(r" per (\d+)$", price)
        is_lot = per is not None and per[1] == each.answer.get("from")
        yield Fraction(int(per[1])) if per is not None and not is_lot else Fraction(0)


def _days_shown(each: AnsweredAsk) -> Iterator[bool]:
    """Whether the day stands first in dates such as 03/04/2026."""
    shown = re.search(r"(?<!\d)(\d{1,2})\s?[/-]\s?(\d{1,2})\s?[/-]\s?\d{4}", each.ask.seen)
    day = re.fullmatch(r"\d{4}-(\d\d)-(\d\d)", str(each.answer))
    if shown is not None and day is not None and shown[1] != shown[2]:
        if (int(shown[1]), int(shown[2])) == (int(day[2]), int(day[1])):
            yield True
        elif (int(shown[1]), int(shown[2])) == (int(day[1]), int(day[2])):
            yield False


def parts_named(answered: Sequence[AnsweredAsk]) -> dict[str, str]:
    """Words of a supplier, folded, that a person said to be a part of ours."""
    return {
        fold(each.ask.seen): str(each.answer)
        for each in answered
        if each.ask.keys[2:] == ("part",)
        and each.answer not in (None, LEAVE_OUT)
        and each.ask.seen.strip()
    }


# the form that keeps them


def with_layout(layouts: Sequence[Layout], new: Layout) -> tuple[Layout, ...]:
    """The layouts with a new one in place of that of the same head."""
    return (*(each for each in layouts if sorted(each.words) != sorted(new.words)), new)


def new_layout(words: tuple[str, ...], roles: Mapping[str, str], said: Learnt) -> Layout:
    sign = {",": DecimalSign.COMMA, ".": DecimalSign.POINT}.get(said.decimal or "")
    heads = {word: roles[word] for word in words if word in roles}
    count = int(said.per) if said.per is not None and said.per.denominator == 1 else None
    return Layout(
        words=words, heads=heads, decimal=sign, currency=said.currency, price_per=count or None,
        day_first=said.day_first,
    )  # fmt: skip


def rendered(kept: Layouts) -> str:
    """The form that keeps the layouts of one supplier."""
    lines = [
        "# How this supplier's tables are read; written once a person had answered about them.",
        "format: 1",
        "layouts:" if kept.layouts else "layouts: []",
    ]
    for each in kept.layouts:
        lines += _lines(each)
    if kept.parts:
        lines.append("parts:")
        lines += [f"  {_quoted(word)}: {scalar(part)}" for word, part in kept.parts.items()]
    return "\n".join(lines) + "\n"


def _lines(layout: Layout) -> Iterator[str]:
    yield "- words: [" + ", ".join(_quoted(word) for word in layout.words) + "]"
    if layout.heads:
        yield "  heads:"
        yield from (f"    {_quoted(word)}: {scalar(role)}" for word, role in layout.heads.items())
    if layout.decimal is not None:
        yield f"  decimal: {layout.decimal.value}"
    if layout.currency is not None:
        yield f"  currency: {layout.currency}"
    if layout.price_per is not None:
        yield f"  price per: {layout.price_per}"
    if layout.day_first is not None:
        yield f"  day first: {scalar('yes' if layout.day_first else 'no')}"


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)
