"""When and in what shares is paid: of the parts, and of a tool where its own plan is named."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from quotegen.intake.yaml_tree import Keys
from quotegen.taking.context import Reader
from quotegen.taking.tooling import is_of_tool
from quotegen.taking.words import SPAN

_PAY = re.compile(
    r"(?:pay\w*|paid|zahl\w*|zahlbar|betal\w*|paiement|reglement|platn\w*|przelew|pagament\w*|"
    r"net(?:to)?|terms|condition)"
)
EVENTS = {
    "order": r"order|up ?front|vorab|im voraus|auftrag|bestell|opdracht|commande|"
    r"zamowien|deposit|anzahlung|acompte|"
    r"zaliczk|ordine|anticipo|advance|vorkasse|vorauskasse",
    "approval of samples": r"sample|muster|monster|echantillon|freigabe|approval|"
    r"acceptation|akceptacj|wzor|campion",
    "acceptance": r"acceptance|abnahme|accettazione|odbior",
    "dispatch": r"dispatch|versand|shipment|shipping|verzending|expedition|wysylk|spedizione",
    "delivery": r"delivery|lieferung|levering|livraison|dostaw|consegna|"
    r"receipt of (?:the )?(?:goods|parts)|wareneingang|erhalt der ware",
    "invoice": r"invoice|rechnung|factuur|facture|faktur|fattura",
}
_REST = re.compile(
    r"(?<!\w)(?:balance|rest(?:betrag|zahlung)?|remainder|remaining|solde|reszta|saldo|resto|"
    r"ubrige\w*)(?!\w)"
)
_SHARE = re.compile(r"(?<![\d.,])(?P<share>\d{1,3}) ?%")
_ADVANCE = re.compile(
    r"in advance|prepay|pro[ -]?forma|vorkasse|vorauskasse|vooruit|d'avance|przedplata|anticipat\w*"
)
_DISCOUNT = re.compile(r"%|skonto|discount|korting|escompte|rabat|sconto")
_LATE = re.compile(
    r"end of month|eom|monthly|fin de mois|monatsende|einde maand|koniec miesiaca|fine mese"
)
# `net 30` is days; `Summe netto 980` and `net 4.102,50` are amounts.
_NET = re.compile(
    r"(?<!\w)(?<!summe )(?<!betrag )(?<!total )(?<!amount )(?<!preis )(?<!price )(?<!value )"
    r"net\w*\s*(\d{1,3})(?![\w%]|\s?%|[.,']\d| \d{3}|\s?(?:eur|gbp|usd|pln|chf|czk|sek|dkk|"
    r"zl|\u20ac|\u00a3|\$))"
)
PARTED = (", ", "; ", ". ", " oder ", " or ", " ou ", " of ", " lub ")
_THIRDS = re.compile(r"(?<![\w/])[12]/[234](?![\w/])")
SMALL = 5  # per cent: a smaller share with days and no event is a discount for paying early


@dataclass(frozen=True, slots=True)
class _Share:
    """A share of a payment: per cent, or None for the rest, what it follows, and days."""

    share: int | None
    events: tuple[str, ...]
    days: int


# A delivery that waits for money is no term of payment: `10 days after receipt of payment`.
_ONCE_PAID = re.compile(
    r"(?<!\w)(?:after|from|upon|following|nach|ab|na|apres|a|po|od|dopo|dal) (?:the )?(?:full )?"
    r"(?:receipt of (?:the |your )?(?:full )?payment|payment received|zahlungseingang|"
    r"eingang (?:der|ihrer) zahlung|ontvangst (?:van )?(?:de |uw )?betaling|reception (?:de |du )?"
    r"(?:votre )?paiement|otrzymaniu (?:platnosci|wplaty)|ricevimento (?:del )?pagamento)"
)


def payment(reader: Reader) -> None:
    """The payment of each clause; one that speaks of a tool is that tool's own."""
    said = _ONCE_PAID.sub(" ", reader.folded)
    clauses = [each for each in re.split(r"; |(?<=[a-z)%])\. ", said) if each.strip()]
    sides = {is_of_tool(each) for each in clauses if _PAY.search(each) or _SHARE.search(each)}
    for clause in clauses if len(sides) == 2 else [said]:
        keys: Keys = ("tool", "payment") if is_of_tool(clause) else ("payment",)
        if keys == ("payment",) and _PAY.search(clause) is None and not _is_plan(clause):
            continue
        _clause(reader, clause, keys)


def _is_plan(clause: str) -> bool:
    """Whether shares that make a whole are a plan of payment, though no word says so."""
    shares = list(_shares(clause))
    told = sum(each.share or 0 for each in shares)
    return len(shares) >= 2 and told == 100 and all(each.events for each in shares)


def _clause(reader: Reader, clause: str, keys: Keys) -> None:
    shares = list(_shares(clause))
    if _THIRDS.search(clause) and any(re.search(each, clause) for each in EVENTS.values()):
        reader.ask(keys, (), reader.line.text, _HOW)
    elif shares:
        _in_shares(reader, clause, keys, shares)
    elif _PAY.search(clause):
        _at_once(reader, clause, keys)


def _shares(clause: str) -> Iterator[_Share]:
    """The shares of a clause, each with the event that stands in the same piece of it."""
    for piece in _pieces(_TAX.sub(" ", clause)):
        found = _SHARE.search(piece)
        rest = _REST.search(piece) if found is None else None
        if found is None and rest is None:
            continue
        events = tuple(name for name, words in EVENTS.items() if re.search(words, piece))
        days = [int(m["low"]) for m in SPAN.finditer(piece) if m["days"] and not m["high"]]
        is_early = found is not None and not events and (days or re.search("skonto", piece))
        if is_early and found is not None and int(found["share"]) <= SMALL:
            continue
        if re.search(r"skonto|discount|korting|escompte|rabatt|sconto|zuschlag|surcharge", piece):
            continue
        if found is not None and not events and not _PAY.search(piece) and not days:
            continue
        share = int(found["share"]) if found is not None else None
        yield _Share(share, events or (("invoice",) if days else ()), days[0] if days else 0)


_TAX = re.compile(
    r"(?:zzgl\.?|plus|excl\w*\.?|incl\w*\.?)?\s?\d{1,2}(?:[.,]\d)? ?% ?"
    r"(?:vat|mwst|ust|umsatzsteuer|mehrwertsteuer|btw|tva|iva|tax)(?!\w)\.?"
)


def _pieces(clause: str) -> Iterator[str]:
    """A clause in pieces of one share each; shares with nothing between them are parted too."""
    for piece in re.split(
        r",\s|;|\s(?:or|oder|otherwise|sonst|and|und|en|et|oraz|e|i|then|dann)\s|\s\+\s", clause
    ):
        found = _SHARE.search(piece)
        if found is None or len(_SHARE.findall(piece)) < 2 or _has_event(piece, found):
            yield piece
        else:
            yield from re.split(r"\s(?=\d{1,3} ?%)", piece[found.start() :])


def _has_event(piece: str, share: re.Match[str]) -> bool:
    """Whether an event stands before the share: then each stands before its own."""
    return any(re.search(words, piece[: share.start()]) for words in EVENTS.values())


def _in_shares(reader: Reader, clause: str, keys: Keys, shares: list[_Share]) -> None:
    """Payment in parts, such as 50 % with order, 50 % on delivery; or a question about it."""
    told = sum(each.share for each in shares if each.share is not None)
    rests = [each for each in shares if each.share is None]
    is_whole = (told == 100 and not rests) or (told < 100 and len(rests) == 1)
    is_clear = all(len(each.events) == 1 and "acceptance" not in each.events for each in shares)
    if len(shares) < 2 and not (told == 100 and is_clear):
        if told >= 10 or not _PAY.search(clause):
            _unclear(reader, clause, keys, shares)
        else:
            _at_once(reader, clause, keys)
        return
    if not is_whole or not is_clear:
        _unclear(reader, clause, keys, shares)
        return
    plan = [_group(each, 100 - told) for each in shares]
    _claim_days(reader, clause)
    if keys == ("payment",):
        for each in plan:
            reader.fact(keys, each, reader.line.text)
    else:
        reader.fact(keys, plan, reader.line.text)


def _group(each: _Share, rest: int) -> dict[str, str]:
    share = each.share if each.share is not None else rest
    group = {"share": f"{share} %", "when": each.events[0]}
    return {**group, "days": str(each.days)} if each.days else group


_HOW = (
    "The shares of this payment, or what they follow, are not clear. How is it paid? Answer "
    "with a list such as [{share: 50 %, when: order}, {share: 50 %, when: delivery}]."
)


def _unclear(reader: Reader, clause: str, keys: Keys, shares: list[_Share]) -> None:
    if not any(each.share and each.share >= 10 and each.events for each in shares):
        return
    _claim_days(reader, clause)
    reader.ask(keys, (), reader.line.text, _HOW)


def _claim_days(reader: Reader, clause: str) -> None:
    """The days of a payment are no lead time."""
    begin = max(0, reader.folded.find(clause))
    for match in SPAN.finditer(reader.folded):
        if begin <= match.start() < begin + len(clause) and match["days"]:
            reader.spans_claimed.add(match.start())


def _at_once(reader: Reader, clause: str, keys: Keys) -> None:
    """The whole at one time, such as 30 days net, or in advance."""
    start = max(0, reader.folded.find(clause))
    for sentence in _SENTENCE.finditer(clause):
        begin = start + sentence.start()
        if _PAY.search(sentence[0]) and _one_day(reader, sentence[0], begin, keys):
            return
    if _ADVANCE.search(clause):
        _say(reader, keys, {"share": "100 %", "when": "order"}, reader.line.text)


_SENTENCE = re.compile(r"(?:[^.;]|\.(?!\s)|;(?!\s))+")


def _one_day(reader: Reader, sentence: str, begin: int, keys: Keys) -> bool:
    """Whether a sentence says one number of days in which all is paid."""
    days = [
        m for m in SPAN.finditer(reader.folded)
        if m["days"] and not m["high"] and begin <= m.start() < begin + len(sentence)
        and m.start() not in reader.spans_claimed
    ]  # fmt: skip
    net = _NET.search(sentence)
    plain = [m for m in days if not _is_discount(reader.folded, m.start(), m.end())]
    if len(plain) > 1:
        plain = [m for m in plain if _PAY.search(_piece(reader.folded, m.start(), m.end()))]
    if not plain and net is not None:
        _pay_in(reader, sentence, keys, int(net[1]), net[0])
    elif len(plain) == 1:
        reader.spans_claimed.add(plain[0].start())
        _pay_in(reader, sentence, keys, int(plain[0]["low"]), plain[0][0])
    return len(plain) == 1 or (not plain and net is not None)


def _piece(folded: str, start: int, end: int) -> str:
    """The piece of a sentence, between commas, in which a time stands."""
    begin = max(folded.rfind(mark, 0, start) for mark in PARTED)
    after = re.search(r"[,;.] |$", folded[end:])
    return folded[max(0, begin) : end + (after.start() if after else 0)]


def _is_discount(folded: str, start: int, end: int) -> bool:
    """Whether days are those of a discount: it stands in the same piece of the sentence."""
    begin = max(folded.rfind(mark, 0, start) for mark in PARTED)
    after = re.search(r"[,;.] | oder | or | ou | of | lub |$", folded[end:])
    piece = folded[max(0, begin, start - 32) : end + min(14, after.start() if after else 14)]
    return _DISCOUNT.search(piece) is not None


def _say(reader: Reader, keys: Keys, group: dict[str, str], seen: str) -> None:
    value: Any = group if keys == ("payment",) else [group]
    reader.fact(keys, value, seen)


_BEHIND = re.compile(
    r"\s*(?:net(?:to)?\s*)?(?:after|from|of|nach|ab|na|apres|od|po|dopo|da)\s(?P<what>.{1,26})"
)


def _event_behind(clause: str, seen: str) -> str:
    """The event that days count from, where one is named behind them; else the invoice."""
    at = clause.find(seen)
    match = _BEHIND.match(clause, at + len(seen)) if at >= 0 else None
    named = [
        n for n, words in EVENTS.items() if match is not None and re.search(words, match["what"])
    ]
    return named[0] if len(named) == 1 and named[0] != "acceptance" else "invoice"


def _pay_in(reader: Reader, clause: str, keys: Keys, days: int, seen: str) -> None:
    group = {"share": "100 %", "when": _event_behind(clause, seen), "days": str(days)}
    if _ADVANCE.search(clause):
        ask = "Payment in advance and in days are both named. Which is to be reckoned with?"
        reader.ask(keys, ({"share": "100 %", "when": "order"}, group), seen, ask)
        return
    if _LATE.search(clause) is None:
        _say(reader, keys, group, seen)
        return
    longer = {**group, "days": str(days + 30)}
    ask = "From the end of the month: how many days after the invoice is that at most?"
    reader.ask(keys, (longer, group), seen, ask)
