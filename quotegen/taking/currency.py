"""The currency of a file: the only one that it names, else a question."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping

from quotegen.basics.place import Place
from quotegen.intake.cells import SIGNS
from quotegen.taking.fact import Ask, Fact, Findings, once
from quotegen.taking.figures import WORDS_FOR_CURRENCY, amounts_in
from quotegen.taking.given import Given
from quotegen.taking.heads import Laid
from quotegen.taking.pricing import currencies_in
from quotegen.taking.seen import Line, Seen, Sheet


def currency_of_file(
    seen: Seen,
    laid: Iterable[tuple[Sheet, Laid]],
    lines: Iterable[Line],
    given: Given,
    found: Findings,
) -> tuple[str, ...]:
    """The currency of the file: the only one it names, else what its signs and its supplier say."""
    counts: Counter[tuple[str, ...]] = Counter()
    where: dict[tuple[str, ...], tuple[Place, str]] = {}
    for codes, place, text in (*_in_tables(laid), *_in_lines(lines)):
        if codes:
            counts[codes] += 1
            where.setdefault(codes, (place, text))
    return _decided(counts, where, given, found, seen)


Named = tuple[tuple[str, ...], Place, str]  # what a text can mean, where it stands, the text


def _in_tables(laid: Iterable[tuple[Sheet, Laid]]) -> Iterator[Named]:
    for _, result in laid:
        for table in result.tables:
            if table.tiers:
                yield currencies_in(table.around), table.tiers[0].price.place, table.around
            for tier in table.tiers:
                also = (tier.currency,) if tier.currency else ()
                beside = (cell for pair in tier.rivals for cell in pair)
                for cell in (tier.price, *tier.heads, *also, *beside):
                    unit = SIGNS.get(cell.unit, (cell.unit,)) if cell.unit not in ("", "%") else ()
                    yield unit or currencies_in(cell.text), cell.place, cell.text


_LABEL = re.compile(
    r"(?:currency|w\u00e4hrung|waehrung|valuta|devise|waluta|(?:prices?|preise|prijzen|prix|ceny)"
    r"[^.;]{0,30}\b(?:in|en|w))\W{1,4}(?P<code>[A-Z]{3}|\u20ac|\u00a3|euro?)",
    re.IGNORECASE,
)


# A currency by its word, with no amount beside it.
_WORD = re.compile(
    rf"(?<![\w.,-])(?<!\d )(?:{'|'.join(WORDS_FOR_CURRENCY)})(?=\s*(?:$|[,;.)]|sterling))",
    re.IGNORECASE,
)


def _in_lines(lines: Iterable[Line]) -> Iterator[Named]:
    for line in lines:
        if line.quoted:
            continue
        for amount in amounts_in(line.text):
            yield amount.currencies, line.place, line.text
        word = _WORD.search(line.text)
        if word is not None:
            yield (WORDS_FOR_CURRENCY[word[0].lower()],), line.place, line.text
        label = _LABEL.search(line.text)
        if label is not None:
            code = label["code"]
            yield currencies_in(code) or currencies_in(code.upper()), line.place, line.text


def _decided(
    counts: Mapping[tuple[str, ...], int],
    where: Mapping[tuple[str, ...], tuple[Place, str]],
    given: Given,
    found: Findings,
    seen: Seen,
) -> tuple[str, ...]:
    known = {*(each.keys for each in found.facts), *(each.keys for each in found.asks)}
    if ("currency",) in known:
        stated = found.values("currency")
        return (stated[0],) if stated else ()
    sure = list(dict.fromkeys(codes[0] for codes in counts if len(codes) == 1))
    open_ones = [codes for codes in counts if len(codes) > 1 and not set(codes) & set(sure)]
    if given.currency and not sure and all(given.currency in codes for codes in open_ones):
        sure, open_ones = ([given.currency] if open_ones else []), []
    if len(sure) == 1 and not open_ones:
        place, text = where.get((sure[0],), next(iter(where.values()), (seen.place, "")))
        if not seen.is_draft or counts:
            found.facts.append(Fact(keys=("currency",), value=sure[0], seen=text, place=place))
        return (sure[0],)
    if sure or open_ones:
        readings = once([*sure, *(code for codes in open_ones for code in codes)])
        place, text = next(iter(where.values()))
        ask = "More than one currency can be meant, or is named. Which is the quote's?"
        found.asks.append(
            Ask(keys=("currency",), seen=text, place=place, readings=readings, ask=ask)
        )
    is_settled = given.currency_said is not None and set(sure) <= {given.currency_said}
    return (given.currency_said,) if given.currency_said is not None and is_settled else ()
