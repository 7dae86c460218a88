"""Facts in sentences and labelled cells: terms, times, dates and names, each by its own words."""

from __future__ import annotations

import re
from collections.abc import Iterator

from quotegen.model.fields import FORMER_INCOTERMS, Incoterm
from quotegen.taking.context import Catcher, Reader
from quotegen.taking.fact import Sure
from quotegen.taking.figures import NUMBER, dates_in, meant, readings_of, spans_in
from quotegen.taking.lasting import DATE_DOUBT, VALID, validity
from quotegen.taking.paying import payment
from quotegen.taking.pieces import masses, rejects, tolerance
from quotegen.taking.tooling import tool_facts
from quotegen.taking.words import COUNTRIES, DIE, LISTED, PIECES, SPAN, fold

_LABEL = r"[\s-]*(?:no\.?|nr\.?|n\.|number|nummer|numer|numero|#|n°|ref\.?|reference)?\s*[:.#]*\s*"
NUMBERED = re.compile(
    rf"(?i)\b(?:quotation|quote|offer|offre|angebots?(?:nummer)?|offerte(?:nummer)?|offerta|devis|oferta|preventivo|"
    rf"our ref(?:erence)?){_LABEL}(?P<number>[A-Z0-9][A-Z0-9/._-]*\d[A-Z0-9/._-]*)"
)
_DATE_WORDS = (
    r"(?:quot\w*|offer|angebots?|offerte|issue)?\s?(?:date|datum|data|dated|vom|du|van|z dnia|"
    r"del|le|sent|date du devis)"
)
_LEAD = (
    r"(?:lead[ -]?time|deliver\w*|lieferzeit\w*|lieferung|levertijd|levering|delai\w*|livraison|"
    r"termin\w*|dostaw\w*|consegna|dispatch|ready|ex works in|ship\w*)"
)
_FROM = (
    r"(?:after|from|upon|following|nach|ab|na|vanaf|apres|a partir de|a compter de|des|od|po|"
    r"dopo|dalla?|dall'|da)"
)
_ALSO = rf"(?:{_FROM}|(?<!\w)(?:and|und|sowie|et|oraz))"  # before a second event
AFTER = {
    "order": rf"{_FROM} (?:the )?(?:date of )?(?:receipt of )?(?:your |the |an )?(?:written )?"
    r"(?:purchase )?order|(?<!\w)aro(?!\w)|"
    rf"{_FROM} (?:dem |der )?(?:eingang (?:des|ihres|ihrer|der) )?(?:auftrag|bestell)\w*|"
    r"na (?:ontvangst )?(?:van )?(?:de |uw |het )?(?:opdracht|bestelling|order)|"
    r"(?:apres|a compter de|des|a(?= reception)) (?:la )?(?:reception de )?(?:la |votre )?commande|"
    r"od (?:daty )?(?:zlozenia |otrzymania )?zamowienia|"
    rf"{_FROM} ?(?:la )?(?:data )?(?:ricezione |ricevimento )?(?:d?ell'|dell')?ordine",
    "approval of drawings": rf"{_ALSO} .{{0,18}}(?:drawing approval|approval of "
    r"(?:the )?drawings?|zeichnungsfreigabe|tekeninggoedkeuring|validation du plan)",
    "approval of samples": rf"{_ALSO} .{{0,22}}(?:sample approval|approval of "
    r"(?:the )?(?:first )?(?:articles?|samples?)|musterfreigabe|erstmusterfreigabe|"
    r"freigabe der (?:erst)?muster|monsterkeuring|(?:goedkeuring|validation|acceptation|approbation"
    r"|akceptacji|approvazione) .{0,14}(?:monsters?|echantillons?|wzor\w*|campion\w*))",
    "deposit": rf"{_ALSO} .{{0,18}}(?:deposit|down payment|anzahlung|aanbetaling|"
    r"acompte|zaliczk\w*|anticipo)",
}
# Events that are close to one of these and do not name it.
APPROVED = re.compile(
    rf"{_FROM} (?:\w+ ){{0,2}}(?:werkzeugfreigabe|formfreigabe|freigabe|tool(?:ing)? approval|"
    r"approval|goedkeuring|validation|approbation|akceptacji|approvazione)(?!\w)"
)
TOOL_WORDS = re.compile(
    r"\b(?:tool\w*|\w*werkzeug\w*|modell\w*|matrij\w*|gereedschap\w*|outillage\w*|"
    r"moules?|narzedz\w*|"
    r"samples?|(?:erst)?muster(?:teile?n?|s|n|lieferung)?|monsters?|echantillons?|patterns?|"
    rf"{DIE}|fixtures?|vorrichtung\w*|first article\w*|mou?lds?)\b"
)
RULES = "|".join([*(each.value for each in Incoterm), *FORMER_INCOTERMS])
RULE = re.compile(
    rf"\b(?P<rule>{RULES})\b[\s:,]*(?!incoterms)(?P<place>[A-Z\u00c0-\u017d][\w\u00c0-\u017e.'/-]*"
    rf"(?:(?<!\w\w\w\.)[ -](?!Incoterms)[A-Z\u00c0-\u017d][\w\u00c0-\u017e'/-]*){{0,3}})?"
)
TAX = (
    r"(?:vat|gst|mwst\.?|mehrwertsteuer|ust\.?|umsatzsteuer|btw|tva|i\.?v\.?a\.?|podat\w* vat|"
    r"tax(?:es)?|ttc|ht)"
)
NO_TAX = re.compile(
    rf"(?:excl\w*\.?|esclus\w*|zzgl\.?|zuzuglich|plus|ohne|without|exclusief|hors|"
    rf"bez|\+|net of|ex\.?|doliczyc)\s*"
    rf"(?:(?:of|the|ges\.|gesetzlicher|gesetzl\.|jeweils|\d+\s*%)\s*)*{TAX}(?!\w)|"
    rf"\bnetto\b.*preise|(?<!\w)(?:vat|gst|mwst\.?|tva|btw|i\.?v\.?a\.?|tax(?:es)?)\s(?:is |are )?"
    rf"(?:excl\w*|esclus\w*|extra|not included|non comprise?)|"
    rf"\bht\b|\bpreise netto\b|prices? (?:are )?net\b(?! \d)"
)
WITH_TAX = re.compile(
    rf"(?<!\w)(?:incl\w*\.?|inkl\.?|including|inclusief|z|with)\s*(?:\d+\s*%\s*)?{TAX}(?!\w)|\bttc\b"
)
INCLUDED = re.compile(
    r"\b(?:incl(?:uded?s?|uding|usive)?\b\.?|inklusive|inkl\.?|einschliesslich|"
    r"im preis(?: enthalten)?|"
    r"dabei(?=\s*(?:$|[,;.)]))|"
    r"in (?:the )?price|enthalten|beinhalte[nt]\w*|in de prijs|inbegrepen|inclusief|compris\w*|"
    r"comprenant|comprend\b|compres\w*|inclus\w*|wliczon\w*|w cenie|wlacznie|zawiera\w*)"
)
_NOT = r"(?<!\w)(?:not|nicht|niet|non|nie|pas|geen|kein\w*)"
EXCLUDED = re.compile(
    rf"\b(?:excl(?:uded|uding|usive)?\b\.?|not included|without|ohne|exklusive|nicht enthalten|"
    rf"bauseits|exclusief|niet inbegrepen|non compris\w*|hors|bez|nie obejmuje|esclus\w*|"
    rf"zzgl\.|zuzuglich|by (?:the )?(?:customer|buyer|others|you\b)|kundenseitig|"
    rf"(?:not in|outside|out of) (?:our |the )?scope|"
    rf"durch (?:den )?kunden|door (?:de )?klant|par (?:le |votre )?client|po stronie klienta|"
    rf"a cura del cliente)|"
    rf":\s*(?:no|nein|nee|non|nie)\W*$|"
    rf"{_NOT} (?:(?!but |only )\w+ ){{0,3}}?{INCLUDED.pattern[2:]}|{_NOT}\W*$"
)
CERTIFICATE = re.compile(
    r"(?:(?:en )?10204[ -/]*)?(?:\b(?:certificat\w*|cert\.|werkszeugnis|abnahmepru\w*|apz|zeugnis|"
    r"certyfikat\w*|atest\w*|swiadectw\w*|attest\w*)\b)[^\d]{0,25}(?P<first>[23]\.[12])|"
    r"\b(?P<second>[23]\.[12])[ -]*(?:certificat\w*|cert\.|zeugnis|zertifikat|attest|mill cert\w*)|"
    r"10204[^\d]{1,8}(?P<third>[23]\.[12])"
)


def quote_number(reader: Reader) -> None:
    match = NUMBERED.search(reader.line.text)
    if match is None or dates_in(fold(match["number"])):
        return
    if reader.context.named_in(match["number"]):
        return  # `Quotation FL-021` names the part
    if not match["number"].isdigit() or _is_number(reader.line.text, match):
        reader.fact(("quote",), match["number"].rstrip(".,-/"), match["number"])


def _is_number(text: str, match: re.Match[str]) -> bool:
    """Whether bare digits name a quote: `Offer 4471` does, `we offer 100 pcs` does not."""
    behind = fold(text[match.end() :])
    labelled = re.search(
        r"(?i)(?:no|nr|number|nummer|numer|n°|#|ref)\W*$|[:#]\s*$", text[: match.start("number")]
    )
    if SPAN.match(fold(text[match.start("number") :])):
        return False
    if re.match(rf"{PIECES}(?!\w)|%|eur|gbp|usd|x\b", behind):
        return False
    return labelled is not None or not text[: match.start()].strip(" #*-")


_WEAK = re.compile(r"(?:vom|of|du|del|le|van|z dnia|dated|sent)$")
# A day that something lasts until or begins on is not that of the quote.
_AIM = re.compile(
    r"(?<!\w)(?:until|till?|by|before|through|bis|vor|tot|jusqu\w*|do|fino|from|ab|vanaf|after|nach|"
    r"on|am|per|zum|since|seit)(?!\w)"
)


def quote_date(reader: Reader) -> None:
    for date in dates_in(reader.folded):
        before = reader.folded[: date.start]
        if VALID.search(before) or re.search(_LEAD, before):
            continue
        other = re.search(
            r"(?<!\w)(your|ihre|uw|votre|request|enquiry|anfrage|rfq|aanvraag|demande|zapytanie|rev\w*|"
            r"index|stand|order|drawing|zeichnung|tekening)\W", before[-45:]
        )  # fmt: skip
        labelled = re.search(rf"{_DATE_WORDS}\W{{0,4}}$", before.rstrip() + " ")
        numbered = NUMBERED.search(reader.line.text) is not None
        bare = not before.strip(" ,.") or (
            re.search(r"^[a-z ]{2,30},?\s*(?:den|le|dnia|,)?\s*$", before) is not None
            and _AIM.search(before) is None
        )
        if other and (labelled is None or _WEAK.match(labelled[0].strip(" .:")) is not None):
            continue
        if labelled or numbered or bare:
            sure = Sure.SAID if labelled else Sure.SHOWN
            readings = meant(date.readings, reader.context.day_first)
            if len(readings) == 1:
                reader.fact(("date",), readings[0], date.seen, sure)
            else:
                reader.ask(("date",), readings, date.seen, DATE_DOUBT)
            return


def lead_time(reader: Reader) -> None:
    """The lead time of the pieces, and from what it counts; that of a tool is its own."""
    where = re.search(_LEAD, reader.folded)
    after = _events(reader.folded)
    if where is None and not after:
        return
    start = where.start() if where is not None else 0
    found: list[tuple[str, tuple[str, ...]]] = []
    own: list[str] = []
    others: list[str] = []
    for match in SPAN.finditer(reader.folded):
        near = start - 40 <= match.start() <= start + 110
        if not near or match.start() in reader.spans_claimed:
            continue
        reader.spans_claimed.add(match.start())
        clause = _clause(reader.folded, match.start())
        bare = APPROVED.sub(" ", re.sub("|".join(AFTER.values()), " ", clause))
        (words,) = spans_in(match[0])
        if TOOL_WORDS.search(bare):
            reader.either(("tool", "takes"), words, match[0], "How long does the tool take?")
            others += _events(clause)
        else:
            found.append((match[0], words))
            own += _events(clause)
    if found:
        events = list(dict.fromkeys(own)) or [each for each in after if each not in others]
        _lead_times(reader, found, events)
    elif not _promised(reader, start) and where is not None and len(after) == 1:
        for index in reader.each_item() if not TOOL_WORDS.search(reader.folded) else ():
            reader.fact(("items", index, "lead time from"), after[0], reader.line.text)


def _lead_times(
    reader: Reader, found: list[tuple[str, tuple[str, ...]]], events: list[str]
) -> None:
    """The times of the pieces and the events from which they count, for each part."""
    seen = "; ".join(each for each, _ in found)
    readings = tuple(word for _, words in found for word in words)
    event = APPROVED.search(reader.folded)
    for index in reader.each_item():
        ask = "More than one time is named, or a time from - to: which is to be reckoned with?"
        reader.either(("items", index, "lead time"), readings, seen, ask)
        keys = ("items", index, "lead time from")
        if not events and event is not None:
            ask = f"`{event[0]}`: is it that of samples, of drawings, or something else?"
            likely = ("approval of samples", "approval of drawings")
            reader.ask(keys, likely, event[0], ask)
        elif len(events) == 1:
            reader.fact(keys, events[0], reader.line.text)
        elif len(events) > 1:
            ask = "Two events are named: from which does the lead time count?"
            reader.ask(keys, tuple(events), reader.line.text, ask)


_WEEK_NAMED = re.compile(r"(?<!\w)(?:kw|cw|calendar week)\.?\s?\d{1,2}(?:\s?[/.]\s?\d{4})?(?!\w)")


def _promised(reader: Reader, start: int) -> bool:
    """A day or a week of delivery: how long that is after the order is for a person to say."""
    behind = reader.folded[start:]
    dates = dates_in(behind)
    week = _WEEK_NAMED.search(behind)
    seen = dates[0].seen if dates else week[0] if week is not None else ""
    if not seen or VALID.search(reader.folded) or NUMBERED.search(reader.line.text):
        return False
    for index in reader.each_item():
        ask = f"Delivery is promised for {seen}. How long is that after the order?"
        reader.ask(("items", index, "lead time"), (), seen, ask)
    return True


def _events(words: str) -> list[str]:
    return [name for name, pattern in AFTER.items() if re.search(pattern, words)]


def _clause(folded: str, start: int) -> str:
    """The words around a spot, up to the next stop or comma on either side."""
    begin = max(folded.rfind(mark, 0, start) for mark in (". ", "; ", ", "))
    end = re.search(r"[.;,] |$", folded[start:])
    return folded[max(0, begin) : start + (end.start() if end is not None else 0)]


def delivery(reader: Reader) -> None:
    for match in RULE.finditer(reader.line.text):
        rule, place = match["rule"], (match["place"] or "").strip(" .,-/")
        if rule in FORMER_INCOTERMS:
            now = FORMER_INCOTERMS[rule]
            ask = (
                f"{rule} ended with an earlier edition of Incoterms; {now} took its place. "
                "Is it meant?"
            )
            reader.ask(("delivery",), (f"{now} {place or 'place'}".strip(),), match[0], ask)
        elif _NO_PLACE.match(fold(place)):
            told = f"`{match[0].strip()}` names no place. Which rule and place? Write both."
            is_theirs = rule == "FOB" and not fold(place).startswith("dest")
            reader.ask(("delivery",), ("FCA place",) if is_theirs else (), match[0], told)
        elif place:
            reader.fact(("delivery",), f"{rule} {place}", match[0])
        else:
            ask = f"{rule} is named without a place. Which place? Write it after the rule."
            reader.ask(("delivery",), (), match[0], ask)


# Behind a rule these say whose place and not which, as in the `FOB origin` of American trade.
_NO_PLACE = re.compile(
    r"(?:origin|destination|dest\.?|factory|shipping point|our|your|works|werk|plant|dock|named)"
    r"(?!\w)"
)
IN_WORDS = re.compile(
    r"\b(?:ex works|ex-works|ab werk|af fabriek|depart usine|franco usine|loco|ex factory)\b|"
    r"\b(?P<free>frei haus|franko|franco domicile|free delivered|carriage paid|delivered free)\b"
)


def delivery_in_words(reader: Reader) -> None:
    """A rule that is described and not named is a question: the words are older than the rules."""
    match = IN_WORDS.search(reader.folded)
    if match is None or RULE.search(reader.line.text):
        return
    rule = "DAP" if match["free"] else "EXW"
    ask = f"`{match[0]}` is close to {rule}. Which rule and place? Write the place behind it."
    reader.ask(("delivery",), (f"{rule} place",), match[0], ask)


def tax(reader: Reader) -> None:
    excluded, included = NO_TAX.search(reader.folded), WITH_TAX.search(reader.folded)
    if excluded and included:
        reader.ask(("tax included",), ("no", "yes"), reader.line.text, "Is tax in the prices?")
    elif excluded:
        reader.fact(("tax included",), "no", excluded[0])
    elif included:
        ask = "Prices here are without tax. Are these with tax? Then ask for net prices."
        reader.ask(("tax included",), ("yes", "no"), included[0], ask)


def revision(reader: Reader) -> None:
    """The drawing's revision, where a label says so and one part alone can be meant."""
    match = re.search(
        r"(?i)\b(?:(?:rev(?:ision)?|index|ind|uitgave|indice|issue|rew)(?:\.\s?|\s?:\s?|\s+)|rev)"
        r"(?P<value>[A-Z]{1,2}\d?|\d{1,3})(?![\w/-]|[.,]\w)", reader.line.text
    )  # fmt: skip
    for index, value, seen in _marked(reader):
        reader.fact(("items", index, "revision"), value, seen)
    if match is not None and match["value"].lower() not in ("no", "nr", "of", "is", "to"):
        for index in reader.each_item():
            reader.fact(("items", index, "revision"), match["value"], match[0])


def _marked(reader: Reader) -> Iterator[tuple[int, str, str]]:
    """Revisions written behind a slash at the part itself, such as `FL-021 / B`."""
    for index in reader.context.named_in(reader.line.text):
        name = re.escape(reader.context.items[index])
        match = re.search(
            rf"(?<![\w-])(?i:{name})\s*/\s*(?P<value>[A-Z]\d?|0\d)(?![\w/-])",
            reader.line.text,
        )
        if match is not None:
            yield index, match["value"], match[0]


def material(reader: Reader) -> None:
    match = re.search(
        r"(?i)^\W*(?:raw )?(?:material|werkstoff|materiaal|mati[eè]re|materia[lł]e?|alloy|"
        r"legierung)"
        r"\s*[:=\s]\s*(?P<value>\S.{1,80})$", reader.line.text.strip()
    ) or _MATERIAL_BEHIND.search(reader.line.text)  # fmt: skip
    if match is not None and not re.search(
        r"surcharge|zuschlag|toeslag|%|€|\bEUR\b", match["value"]
    ):
        value = _MORE.split(match["value"], maxsplit=1)[0].strip(" .;")
        for index in reader.each_item() if not _NO_MATERIAL.match(fold(match["value"])) else ():
            reader.fact(("items", index, "material"), value, value)


_MATERIAL_BEHIND = re.compile(  # such as `FL-021 Rev. B, Werkstoff 1.4404`
    r"(?i)[,;]\s*(?:material|werkstoff|materiaal|mati[eè]re|materia[lł])\s*[:\s]\s*"
    r"(?P<value>(?!surcharge|zuschlag)(?=[^,;%€£]{1,30}\d)[^,;%€£]{2,40}?)(?=[,;]|\.?\s*$)"
)
_NO_MATERIAL = re.compile(  # `Material certificate included` names none
    r"(?:cert\w*|zeugnis\w*|attest\w*|atest\w*|tests?|costs?|prices?|kosten|is|are|ist|wird|will|"
    r"supplied|provided|included|inkl\w*|incl\w*|beistellung|beigestellt|by|von|vom|per)(?!\w)"
)
_MORE = re.compile(  # what a line says behind its material
    r"[,;(]?\s+(?=(?i:(?:z|avec|met|con)\s+(?:at?test|cert|[sś]wiad)\w*|with|mit|incl|inkl|cert|zeugnis|werkszeugnis|abnahme|rev|index|drawing|zeichnung|"
    r"lead|liefer|price|preis|qty|menge)\b)|;"
)


def origin(reader: Reader) -> None:
    match = re.search(
        r"(?:country of origin|made in|ursprung\w*|land van oorsprong|oorsprong|pays d'origine|"
        r"kraj pochodzenia|origin)\W{1,3}(?P<name>[a-z][a-z -]{1,20})", reader.folded
    )  # fmt: skip
    if match is None:
        return
    name = match["name"].strip()
    code = COUNTRIES.get(name) or (name.upper() if re.fullmatch(r"[a-z]{2}", name) else None)
    for index in reader.each_item():
        if code is not None:
            reader.fact(("items", index, "origin"), {"UK": "GB"}.get(code, code), match[0])
        else:
            ask = "Which country is that? Its two letters are wanted."
            reader.ask(("items", index, "origin"), (), match[0], ask)


def minimum(reader: Reader) -> None:
    """A minimum or a multiple in pieces; one in money is a charge's matter."""
    least = re.search(
        r"(?:moq|minimum (?:order |delivery |call-?off )?(?:quantity|qty)|"
        r"min\.? ?(?:qty|order qty)|mindest(?:abnahme)?"
        r"(?:bestell)?menge|mindestlos\w*|minimale (?:bestel)?(?:afname|hoeveelheid)|"
        r"minimum aantal|"
        rf"minimum (?:delivery|call-?off)|mindest(?:liefer|abruf)\w*|quantita minima|"
        r"lotto minimo|"
        rf"quantite minim\w*|minimaln\w+ (?:ilosc|zamowieni)\w*)(?: (?:per|je) \w+)?\W{{0,5}}"
        rf"(?:of |is |von )?(?P<count>{NUMBER})", reader.folded
    )  # fmt: skip
    pack = _PACK.match(reader.folded[least.end() :]) if least is not None else None
    if least is not None and pack is not None:
        ask = f"The minimum is {least['count']} {pack[0].strip()}. How many pieces is that?"
        for index in reader.each_item():
            reader.ask(("items", index, "minimum"), (), reader.line.text, ask)
    elif least is not None and _MONEY_BEHIND.match(reader.folded[least.end() :]) is None:
        each = _EACH_DELIVERY.search(reader.folded)
        _count(reader, "minimum", least["count"], least[0], each[0] if each is not None else "")
    many = re.search(
        r"(?:multiples? of|spq|in (?:packs|boxes|lots) of|vielfache\w* von|\bve\b|vpe|"
        r"verpackungseinheit|"
        r"veelvoud\w* van|verpakt per|multiples? de|multipli di|wielokrotnosc\w*)\W{0,4}"
        rf"(?P<count>{NUMBER})", reader.folded
    )  # fmt: skip
    if many is not None:
        _count(reader, "multiple", many["count"], many[0])


_PACK = re.compile(
    r"\s?(?:ve|vpe|packs?|packungen|boxes|box|karton\w*|pallet\w*|palett\w*|trays?|plates?|platten?|"
    r"platen?|sets?|satz|dozen|doos|dozen|heats?|chargen?|batch\w*|lots?|lose?|trees?)(?!\w)"
)
_MONEY_BEHIND = re.compile(r"\s?(?:eur|gbp|usd|pln|chf|[\u20ac\u00a3$])(?!\w)")
_EACH_DELIVERY = re.compile(
    r"(?:per|each|/|je|pro|par|na|za) ?(?:delivery|shipment|call-?off|lieferung|abruf|levering|"
    r"livraison|dostaw\w*|consegna)"
)


def _count(reader: Reader, key: str, number: str, seen: str, each_delivery: str = "") -> None:
    values = tuple(
        str(int(each)) for each in readings_of(number, reader.context.signs)
        if each.denominator == 1 and each > 0
    )  # fmt: skip
    for index in reader.each_item():
        if each_delivery:
            ask = (
                f"It is said {each_delivery}; a form holds what an order must have. At least this?"
            )
            reader.ask(("items", index, key), values, f"{seen} {each_delivery}", ask)
        else:
            reader.either(("items", index, key), values, seen, "How many pieces?")


def operations(reader: Reader) -> None:
    """Operations that are said to be in the price or not; a line that says both is split."""
    for clause in re.split(
        r"(?<!cl|kl|gl)\.(?=\s|$)|;|\bbut\b|\baber\b|\bmaar\b|\bmais\b|\bale\b", reader.folded
    ):
        key = None if _says_both(clause) else _in_or_out(clause)
        for part in re.split(r",|\band\b(?=.{0,3}ex)", clause):
            key = _in_or_out(part) or key
            for name, words in LISTED.items():
                if words.search(part):
                    own = "excludes" if _undone(part, words) else key
                    _operation(reader, own, name, part.strip())


def _undone(part: str, words: re.Pattern[str]) -> bool:
    """Whether a part says of an operation that it is not done, such as `not deburred`."""
    return re.search(rf"(?:{_NOT}|(?<!\w)no) (?:further )?{words.pattern}", part) is not None


# What makes a question of what a line says: it wonders, or it makes an offer for more money.
_UNSURE = re.compile(
    r"\?|(?<!\w)(?:can|could|may|optional\w*|option|if (?:required|needed|wanted)|on request|"
    r"auf wunsch|bei bedarf|gegen (?:aufpreis|mehrpreis)|moglich|indien gewenst|op verzoek|tegen "
    r"meerprijs|en option|sur demande|opcjonaln\w*|na zyczenie|su richiesta|"
    r"tbc|to be (?:confirmed|checked|clarified)|to check|zu (?:klaren|prufen)|offen|"
    r"noch unklar|na te vragen|te controleren|a (?:verifier|confirmer|preciser)|do (?:ustalenia|"
    r"potwierdzenia)|da (?:verificare|confermare))(?!\w)"
)


def _operation(reader: Reader, key: str | None, name: str, seen: str) -> None:
    """An operation as the line says it, in the price or not; what it leaves open is asked."""
    if key is None:
        return
    for index in reader.each_item():
        if _UNSURE.search(seen):
            ask = f"The line leaves open whether {name} is in the price. Is it?"
            reader.ask(("items", index, "includes"), (name,), reader.line.text, ask)
        else:
            reader.fact(("items", index, key), name, seen)


def _in_or_out(words: str) -> str | None:
    if EXCLUDED.search(words):
        return "excludes"
    return "includes" if INCLUDED.search(words) or _YES.search(words) else None


_YES = re.compile(r":\s*(?:yes|ja|oui|tak|si)\W*$")


def _says_both(clause: str) -> bool:
    return (
        EXCLUDED.search(clause) is not None
        and INCLUDED.search(EXCLUDED.sub(" ", clause)) is not None
    )


def certificates(reader: Reader) -> None:
    match = CERTIFICATE.search(reader.folded)
    if match is not None and not re.search(r"\d[.,]\d\d\b|€|\beur\b|£", reader.folded):
        kind = match["first"] or match["second"] or match["third"]
        for index in reader.each_item():
            reader.fact(("items", index, "certificates"), f"EN 10204 {kind}", match[0])


def breaks(reader: Reader) -> None:
    slices = re.search(
        r"incremental|only for the (?:pieces|quantity) above|nur fur die mehrmenge|each slice|"
        r"alleen voor de meerdere", reader.folded
    )  # fmt: skip
    whole = re.search(
        r"all[- ]units|for the whole (?:order|quantity)|gilt fur die gesamte|fur die gesamtmenge|"
        r"voor de hele", reader.folded
    )  # fmt: skip
    for index in reader.each_item():
        if slices and not whole:
            reader.fact(("items", index, "breaks"), "incremental", slices[0])
        elif whole and not slices:
            reader.fact(("items", index, "breaks"), "all-units", whole[0])


def left_times(reader: Reader) -> None:
    """A time that no fact took may be the lead time: that is asked, not dropped."""
    if reader.spans_claimed:
        return
    for match in SPAN.finditer(reader.folded):
        if not match["days"] and not match["months"]:
            (words,) = spans_in(match[0])
            ask = "Is this the lead time? `leave out` if it is not."
            reader.ask(("items", next(reader.each_item()), "lead time"), words, match[0], ask)
            return


TERMS: tuple[Catcher, ...] = (
    quote_number, validity, quote_date, payment, lead_time, delivery, delivery_in_words, tax,
    revision, material, origin, minimum, operations, certificates, rejects, tolerance, masses,
    breaks, tool_facts, left_times,
)  # fmt: skip
