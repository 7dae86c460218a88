"""Amounts in sentences and loose rows: prices, tools, charges, minimum values, percentages.

An amount that nothing claims is a question: a cost that is not asked about would be lost.
"""

from __future__ import annotations

import re
from typing import Any

from quotegen.taking.context import Catcher, Reader
from quotegen.taking.fact import Ask, Fact
from quotegen.taking.figures import amounts_in, basis_in, money_words
from quotegen.taking.listed import listed_in, prices_listed
from quotegen.taking.sentences import (
    NONE,
    OF_ALL,
    QUANTITY,
    Spot,
    kinds_in,
    price_in_words,
    quantities_of,
    spots,
    values_of,
)
from quotegen.taking.sums import against_total
from quotegen.taking.words import KINDS, PIECES, TOTALS

PER: dict[str, str] = {
    "once": r"\bonce\b|one[- ]?off|one[- ]time|einmalig\w*|eenmalig\w*|une fois|jednorazow\w*|"
    r"\bnre\b|non[- ]recurring",
    "order": r"(?:per|each|/|je|pro|par|na|za) ?(?:purchase )?(?:order|auftrag|bestell\w*|opdracht|"
    r"commande|zamowieni\w*)",
    "delivery": r"(?:per|each|/|je|pro|par|na|za) ?(?:delivery|shipment|consignment|lieferung|"
    r"sendung|levering|zending|livraison|expedition|dostaw\w*|wysylk\w*)",
    "batch": r"(?:per|each|/|je|pro|par|na|za) ?(?:batch|lot|los|serie|partij|seri\w*|plate|platte|"
    r"plaat|build)",
    "piece": rf"(?:per|/|je|pro|par|za) ?{PIECES}(?!\w)|\beach\b",
    "year": r"(?:per|a|/|je|pro|par) ?(?:year|jahr|jaar|an\b|annum|rok)",
    "revision": r"(?:per|each|je|pro|par) ?(?:revision|drawing change|anderung|indice)",
}
DOUBTFUL = re.compile(
    r"optional\w*|option\b|if (?:required|needed|wanted)|on request|alternativ\w*|eventual|bedarf|"
    r"auf wunsch|indien gewenst|op verzoek|en option|opcjonaln\w*|approx\w*|\bca\.?\b|circa|about|"
    r"included|enthalten|inbegrepen|comprise?s?\b|incluso|wliczon\w*|"
    r"environ|okolo|estimat\w*|amorti\w*|umgelegt|from\b|ab\b|starting|\bnot\b|waived|free|"
    r"entfallt|\bor\b|\boder\b|of which|davon|anteil\w*|\bhalf\b|halfte|pro rata|waarvan|dont\b"
)
LEFT_OVER = re.compile(r"(?<![\d.,])\d+[.,]\d\d(?![\d.,])")  # a figure like a price, unclaimed


def amounts(reader: Reader) -> None:
    """Each amount of the line as what its words say it is, else as a question."""
    lists = listed_in(reader)
    if lists is not None:
        prices_listed(reader, lists)
        reader.claimed.append((lists.start, lists.end))
    found = [each for each in spots(reader) if not _is_claimed(reader, each)]
    apart = " ; ".join([*(each.before for each in found), *(each.after for each in found[-1:])])
    is_short = (
        len(list(QUANTITY.finditer(apart))) > len(found) or LEFT_OVER.search(apart) is not None
    )
    last: Fact | Ask | None = None
    for spot in found:
        kinds = kinds_in(spot.before) or kinds_in(spot.after)
        if last is not None and not kinds and OF_ALL.search(spot.before):
            each = basis_in(spot.after[:20])
            against_total(reader, last, values_of(reader, spot), spot.seen, each)
            reader.claimed.append((spot.amount.start, spot.amount.end))
            continue
        if TOTALS.match(spot.before.strip(" :")) and not kinds:
            reader.found.kept.clear()
            reader.claimed.append((spot.amount.start, spot.amount.end))
            continue
        if TAX_LINE.match(spot.before.strip()) or _is_threshold(reader, spot):
            reader.claimed.append((spot.amount.start, spot.amount.end))
            continue
        counts, is_told = quantities_of(reader, spot)
        if counts and not kinds_in(spot.before) and _EACH_NEXT.match(spot.after):
            kinds = []  # `100 pcs EUR 4.20 each incl. tooling` is a price
        if counts and not kinds and "total" not in spot.before:
            last = price_in_words(reader, spot, counts, is_short=is_short or not is_told)
        else:
            _charge(reader, spot, kinds)
        reader.claimed.append((spot.amount.start, spot.amount.end))


_EACH_NEXT = re.compile(rf"\W{{0,3}}(?:each|ea|(?:per|/|je|pro|par|za)\s?{PIECES})(?!\w)")
TAX_LINE = re.compile(
    r"\W*(?:plus |zzgl\.? )?(?:\d{1,2} ?% ?)?"
    r"(?:vat|gst|mwst|mehrwertsteuer|ust|umsatzsteuer|btw|tva|iva)(?!\w)[\d .,%:+]*$"
)
_BOUND = re.compile(
    r"(?<!\w)(?:over|above|exceeding|more than|from|less than|below|under|ab|uber|unter|vanaf|"
    r"boven|onder|a partir de|au-dela de|plus de|moins de|od|powyzej|ponizej|oltre|da)\W*$"
)
_WAIVED = re.compile(
    r"(?<!\w)(?:free|frei|franco|franko|paid|gratis|kostenlos|kostenfrei|offert|discount\w*|rabatt\w*|"
    r"korting|remise|sconto|rabat|upust)(?!\w)"
)


def _is_threshold(reader: Reader, spot: Spot) -> bool:
    """Whether an amount is the value of an order from which something is free, and no cost."""
    if not _BOUND.search(spot.before) or not _WAIVED.search(reader.folded):
        return False
    if sum(1 for _ in spots(reader)) == 1:
        ask = "Something changes at this value of an order. Does it matter? Answer in words."
        reader.ask(("notes",), (), reader.line.text, ask)
    return True


def _is_claimed(reader: Reader, spot: Spot) -> bool:
    return any(start <= spot.amount.start < end for start, end in reader.claimed)


def _charge(reader: Reader, spot: Spot, kinds: list[str]) -> None:
    values = values_of(reader, spot)
    is_bare = spot.amount.mark == NONE or _is_one_of_many(reader)
    doubts = DOUBTFUL.search(spot.words) is not None or reader.is_draft or is_bare
    words = [money_words(number, currency) for number, currency in values if number >= 0]
    kind = kinds[0] if len(kinds) == 1 else ""
    if kinds[:2] == ["minimum value", "set-up"]:
        kind = ""
    if kind == "minimum value":
        _minimum_value(reader, spot, words, doubts)
    elif kind == "tool" and _UPKEEP.search(spot.words):
        _upkeep(reader, spot, words, doubts)
    elif kind == "tool":
        _tool(reader, spot, words, doubts)
    elif kind:
        _named(reader, spot, kind, words, doubts)
    else:
        _unnamed(reader, spot, words, kinds)


def _is_one_of_many(reader: Reader) -> bool:
    """Whether a row of a sheet has several bare figures, of which any may be the amount."""
    figures = [
        cell for cell in reader.line.cells if re.fullmatch(r"[\d.,' ]*[.,]\d+|\d{3,}", cell.text)
    ]
    return len(figures) > 1 and not list(amounts_in(reader.line.text))


def _minimum_value(reader: Reader, spot: Spot, words: list[str], doubts: bool) -> None:
    per = {"per": "delivery"} if re.search(PER["delivery"], spot.words) else {}
    readings = tuple({"value": each, **per} for each in words)
    if len(readings) == 1 and not doubts:
        reader.fact(("minimum value",), readings[0], spot.seen)
    else:
        reader.ask(
            ("minimum value",), readings, reader.line.text, "Is this the least value of an order?"
        )


def _tool(reader: Reader, spot: Spot, words: list[str], doubts: bool) -> None:
    what = _what(reader, spot, "tool")
    readings = tuple({"what": what, "price": each} for each in words)
    items = list(reader.each_item())
    if len(readings) == 1 and not doubts and len(items) == 1:
        reader.fact(("items", items[0], "tools"), readings[0], spot.seen)
        return
    ask = "Is this a tool that we pay for?"
    if len(items) > 1:
        ask += " The text does not say for which of the parts."
    numbered = tuple(
        {"tool": f"tool {index + 1}", **each} for each in readings for index in (items[0],)
    )
    reader.ask(("items", items[0], "tools"), numbered, reader.line.text, ask)


# Words by which an amount beside a tool is not its price.
_UPKEEP = re.compile(
    r"(?P<again>replac\w*|ersatz\w*|follow-?up|folgewerkzeug|vervang\w*|remplacement)|mainten\w*|"
    r"wartung\w*|instandh\w*|storage|lager\w*|einlager\w*|repair|reparatur|refurb\w*|transfer\w*|"
    r"insurance|versicherung|onderhoud|entretien|opslag|stockage|modification|anderung\w*|rent\w*|"
    r"miete\w*|manutenzione"
)


def _upkeep(reader: Reader, spot: Spot, words: list[str], doubts: bool) -> None:
    """What a tool costs later: a new one in its place, or what keeps it; never its price."""
    match = _UPKEEP.search(spot.words)
    if match is not None and match["again"] and len(words) == 1 and not doubts:
        reader.fact(("tool", "replacement"), words[0], spot.seen)
    else:
        _unnamed(reader, spot, words, ["tool"])


# How many pieces a batch or a plate holds, where the line says it.
_BATCH = re.compile(
    rf"(?P<count>\d{{1,5}}) ?{PIECES} ?(?:per|/|je|pro|par|on an?|on one|auf eine[rm]?) ?"
    r"(?:batch|lot|los|serie|plate|platte|plaat|build|partij|plateau)|"
    rf"(?:batch|lot|los|plate|platte|plaat|build|plateau) ?(?:of|zu|mit|van|de|with) ?"
    rf"(?P<behind>\d{{1,5}})(?: ?{PIECES})?(?!\w)"
)


_IS_LOT = re.compile(r"(?<!\w)(?:batch|lot|los|serie|partij)(?!\w)")  # a plate holds what it holds


def _named(reader: Reader, spot: Spot, kind: str, words: list[str], doubts: bool) -> None:
    """A charge that the line names; what it is paid for stands there too, or is asked."""
    pers = [per for per, pattern in PER.items() if re.search(pattern, spot.words)]
    if "once" in pers and len(pers) > 1:
        pers = ["once"]
    items = list(reader.each_item())
    keys = ("items", items[0], "charges") if len(items) == 1 else ("charges",)
    batch = _BATCH.search(reader.folded) if pers == ["batch"] else None
    count = {"batch": batch["count"] or batch["behind"]} if batch is not None else {}
    sure = len(words) == 1 and len(pers) == 1 and not doubts and (pers[0] != "batch" or bool(count))
    if sure and len(items) == 1:
        group = {"what": kind, "amount": words[0], "per": pers[0], **count}
        reader.fact(keys, group, spot.seen)
        return
    guesses = pers or ["order", "once", "delivery" if kind in ("carriage", "packing") else "piece"]
    holds = {"batch": "1", **count}
    readings: tuple[Any, ...] = tuple(
        {
            "what": kind,
            "amount": each,
            "per": per,
            **(holds if per == "batch" else {}),
        }
        for each in words
        for per in guesses
    )
    ask = f"What is this {kind} charge paid for: each order, once, or something else?"
    if len(pers) == 1:
        ask = f"Is this {kind} charge to be paid, and so?"
    if "batch" in pers:
        ask = f"This {kind} charge is for each batch: how many pieces is a batch? Correct `batch`."
        if not count and _IS_LOT.search(spot.words):
            likely = tuple({"what": kind, "amount": each, "per": "order"} for each in words)
            readings = (*likely, *readings)
            ask += " Or is an order one batch?"
    elif len(items) > 1:
        ask += " It is reckoned in full for each part, unless it is moved to one item."
    reader.ask(keys, readings, reader.line.text, ask)


def _unnamed(reader: Reader, spot: Spot, words: list[str], kinds: list[str]) -> None:
    what = " or ".join(kinds) or "charge"
    pers = [
        per for per, pattern in PER.items() if re.search(pattern, spot.words) and per != "batch"
    ]
    readings = tuple(
        {"what": _what(reader, spot, what), "amount": each, "per": per}
        for each in words
        for per in pers or ("order", "once")
    )
    ask = "No field takes this amount by its words. What is it? `leave out` if it costs us nothing."
    reader.ask(("charges",), readings, reader.line.text, ask)


def _what(reader: Reader, spot: Spot, fallback: str) -> str:
    """What the line calls a cost, without the amount itself."""
    text = reader.line.text
    bare = f"{text[: spot.amount.start].rstrip()} {text[spot.amount.end :]}"
    cleaned = re.sub(r"\s+(?=[,;.:)])", "", " ".join(bare.split())).strip(" :;.,-=|")
    return cleaned[:80].rstrip() or fallback


# A cost with a figure that is neither a decimal nor long, such as `tool is 2k`, `carriage 30`.
_SHORT = re.compile(
    rf"(?<!\w)(?:{'|'.join(KINDS[kind] for kind in ('tool', 'set-up', 'carriage', 'packing'))})"
    rf"\W{{1,3}}(?:(?:is|are|costs?|at|about|around|ca\.?|kostet?|kosten|a)\W{{1,3}})?"
    rf"\d{{1,3}}(?:[.,]\d)?(?![.,]?\d)\s?(?:k|tsd\.?)?(?=\s*(?:$|[,;]|\.\s|(?:a|per|each|je|pro)\s))"
)


_MARKED = re.compile(  # an amount with a currency that cannot be read, such as `EUR 1.2k`
    r"(?:[\u20ac\u00a3$\u20b9]|(?<![A-Za-z])(?<![A-Z]{3}/)(?:EUR|GBP|USD|PLN|CHF|CZK|SEK|DKK|NOK|CNY|INR|Rs\.?))\s?\d|"
    r"\d\s?k?\s?(?:[\u20ac\u00a3$\u20b9]|(?:EUR|GBP|USD|PLN|CHF|CZK|SEK|DKK|NOK|CNY|INR)(?![A-Za-z]))"
)


_MONEY_KEYS = {"tools", "charges", "prices", "minimum value", "surcharges"}


def short_costs(reader: Reader) -> None:
    """A cost that the line names with a figure that no other catcher takes for an amount."""
    text = reader.line.text
    match = _SHORT.search(reader.folded) or (
        _MARKED.search(text) if next(amounts_in(text), None) is None else None
    )
    held = {fact.keys[-1] for fact in reader.found.facts}
    held |= {ask.keys[-1] for ask in reader.found.asks}
    if match is not None and not held & _MONEY_KEYS:
        ask = (
            "It names a cost, and its amount is not plain. What is it? Answer with it, or in words."
        )
        reader.ask(("charges",), (), reader.line.text, ask)


PERCENT = re.compile(r"(?P<sign>[-+\u2212])?\s*(?P<share>\d{1,3}(?:[.,]\d{1,2})?)\s*%")
DISCOUNT = re.compile(r"discount|rabatt\w*|nachlass|korting|remise|rabat\b|upust|skonto|rebate")
SURCHARGE = re.compile(
    r"surcharge|\w*zuschlag\w*|\w*toeslag\w*|majoration|supplement|dodatek|doplat\w*|levy|umlage"
)
OF_GOODS = re.compile(
    r"(?:of|on|auf|op|sur|na|vom|der|des) .{0,14}(?:goods|value|price|waren\w*|"
    r"netto\w*|preis\w*|prijs|"
    r"goederen|prix|wartosc\w*|ceny?)"
)


def percentages(reader: Reader) -> None:
    """Surcharges and discounts in per cent, with their base where it is said."""
    discount, surcharge = DISCOUNT.search(reader.folded), SURCHARGE.search(reader.folded)
    _early(reader)
    if discount is None and surcharge is None:
        surcharge = _SHARE_OF_COST.search(reader.folded)
    if bool(discount) == bool(surcharge):
        return
    for match in PERCENT.finditer(reader.folded):
        share = f"{match['share'].replace(',', '.')} %"
        early = re.search(
            r"skonto|within|innerhalb|binnen|sous|w ciagu|cash|early|prompt", reader.folded
        )
        group = {"what": _what_share(discount or surcharge), "rate": share, "of": ["goods"]}
        if discount:
            group |= {"off": "yes"}
        if discount and early:
            group |= {"condition": reader.line.text[:150], "counted": "no"}
        condition = re.search(
            r"\b(?:from|ab|vanaf|bei|if|wenn|over|above|a partir|od|for orders)\b", reader.folded
        )
        based = OF_GOODS.search(reader.folded)
        sure = based is not None and not condition and not reader.is_draft
        for index in reader.each_item():
            keys = ("items", index, "surcharges")
            if sure or (discount and early and not reader.is_draft):
                reader.fact(keys, group, match[0])
            else:
                ask = "Does it apply, and what is the percentage taken of?"
                reader.ask(keys, (group, {**group, "counted": "no"}), reader.line.text, ask)
        break


_SHARE_OF_COST = re.compile(  # such as `packing 2 %`
    r"(?:packing|packaging|verpackung\w*|verpakking\w*|emballage|opakowani\w*|imballo|freight|"
    r"carriage|fracht\w*|vracht\w*|insurance|versicherung|handling)"
    r"(?=\W{0,4}(?:of )?\d{1,2}(?:[.,]\d+)? ?%)"
)
_EARLY = re.compile(  # such as `2% 10, net 30` and `2/10 net 30`
    r"(?<![\d.,/])(?P<share>\d(?:\.\d)?)\s?(?:%|/|% ?/)\s?\d{1,2}(?: days)?\W{1,3}n(?:et)?"
    r"\W?\s?\d{2,3}(?!\w)"
)


def _early(reader: Reader) -> None:
    """A discount for paying early in the short hand of American trade."""
    match = _EARLY.search(reader.folded)
    if match is None:
        return
    group = {
        "what": "early payment", "rate": f"{match['share']} %", "of": ["goods"], "off": "yes",
        "condition": reader.line.text[:150], "counted": "no",
    }  # fmt: skip
    for index in reader.each_item():
        reader.fact(("items", index, "surcharges"), group, match[0])


def _what_share(match: re.Match[str] | None) -> str:
    return match[0] if match is not None else "surcharge"


MONEY: tuple[Catcher, ...] = (percentages, amounts, short_costs)
