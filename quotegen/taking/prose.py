"""Facts in sentences and labelled cells: terms, times, dates and names, each by its own words."""

from __future__ import annotations

import re

from quotegen.basics.money import written
from quotegen.model.fields import FORMER_INCOTERMS, Incoterm
from quotegen.taking.context import Catcher, Reader
from quotegen.taking.fact import Sure
from quotegen.taking.figures import NUMBER, dates_in, readings_of, spans_in
from quotegen.taking.words import COUNTRIES, LISTED, PIECES, SPAN, fold

_LABEL = r"\s*(?:no\.?|nr\.?|number|nummer|numer|numero|#|n°|ref\.?|reference)?\s*[:.#]*\s*"
NUMBERED = re.compile(
    rf"(?i)\b(?:quotation|quote|offer|angebots?(?:nummer)?|offerte(?:nummer)?|devis|oferta|"
    rf"our ref(?:erence)?){_LABEL}(?P<number>[A-Z0-9][A-Z0-9/._-]*\d[A-Z0-9/._-]*)"
)
_DATE_WORDS = (
    r"(?:quot\w*|offer|angebots?|offerte|issue)?\s?(?:date|datum|data|dated|vom|du|van|z dnia|"
    r"le|sent|date du devis)"
)
_VALID = (
    r"(?:valid\w*|gult\w*|bindefrist|geldig\w*|valab\w*|valid\w*|wazn\w*|firm|open for acceptance|"
    r"gestanddoening|prix fermes?)"
)
_PAY = r"(?:pay\w*|zahl\w*|betal\w*|paiement|reglement|platn\w*|przelew|net(?:to)?|terms|condition)"
_LEAD = (
    r"(?:lead[ -]?time|deliver\w*|lieferzeit\w*|lieferung|levertijd|levering|delai\w*|livraison|"
    r"termin\w*|dostaw\w*|dispatch|ready|ex works in|ship\w*)"
)
AFTER = {
    "order": r"after (?:receipt of )?(?:your )?(?:written )?(?:purchase )?order|aro|from order|"
    r"(?:nach|ab) (?:auftrag\w*|bestell\w*)|na (?:ontvangst )?(?:opdracht|bestelling|order)|"
    r"apres (?:reception de )?(?:la )?commande|od (?:daty )?(?:zlozenia )?zamowienia|upon order",
    "approval of drawings": r"(?:after|nach|na|apres|od) .{0,18}(?:drawing approval|approval of "
    r"(?:the )?drawings?|zeichnungsfreigabe|tekeninggoedkeuring|validation du plan)",
    "approval of samples": r"(?:after|nach|na|apres|od|ab) .{0,22}(?:sample approval|approval of "
    r"(?:the )?(?:first )?samples?|musterfreigabe|erstmusterfreigabe|freigabe|monsterkeuring|"
    r"goedkeuring|validation|akceptacji)",
    "deposit": r"(?:after|nach|na|apres|od) .{0,18}(?:deposit|down payment|anzahlung|aanbetaling|"
    r"acompte|zaliczk\w*)",
}
TOOL_WORDS = re.compile(
    r"\b(?:tool\w*|\w*werkzeug\w*|modell\w*|matrij\w*|gereedschap\w*|outillage\w*|"
    r"moules?|narzedz\w*|"
    r"samples?|(?:erst)?muster(?:teile?n?|s|n|lieferung)?|monsters?|echantillons?|patterns?|dies?|"
    r"fixtures?|vorrichtung\w*|first article\w*|mou?lds?)\b"
)
RULES = "|".join([*(each.value for each in Incoterm), *FORMER_INCOTERMS])
RULE = re.compile(
    rf"\b(?P<rule>{RULES})\b[\s:,]*(?!incoterms)(?P<place>[A-Z\u00c0-\u017d][\w\u00c0-\u017e.'/-]*"
    rf"(?:[ -](?!Incoterms)[A-Z\u00c0-\u017d][\w\u00c0-\u017e'/-]*){{0,3}})?"
)
TAX = r"(?:vat|mwst\.?|mehrwertsteuer|ust\.?|umsatzsteuer|btw|tva|podat\w* vat|tax(?:es)?|ttc|ht)"
NO_TAX = re.compile(
    rf"(?:excl\w*\.?|zzgl\.?|zuzuglich|plus|ohne|without|exclusief|hors|bez|\+|net of|ex\.?)\s*"
    rf"(?:(?:of|the|ges\.|gesetzlicher|gesetzl\.|jeweils|\d+\s*%)\s*)*{TAX}(?!\w)|"
    rf"\bnetto\b.*preise|"
    rf"\bht\b|\bpreise netto\b|prices? (?:are )?net\b(?! \d)"
)
WITH_TAX = re.compile(
    rf"(?:incl\w*\.?|inkl\.?|including|inclusief|z|with)\s*(?:\d+\s*%\s*)?{TAX}(?!\w)|\bttc\b"
)
INCLUDED = re.compile(
    r"\b(?:incl(?:uded|uding|usive)?\b\.?|inklusive|inkl\.?|einschliesslich|"
    r"im preis(?: enthalten)?|"
    r"in (?:the )?price|enthalten|in de prijs|inbegrepen|inclusief|compris\w*|"
    r"inclus\w*|w cenie|wlacznie)"
)
EXCLUDED = re.compile(
    r"\b(?:excl(?:uded|uding|usive)?\b\.?|not included|without|ohne|exklusive|nicht enthalten|"
    r"bauseits|exclusief|niet inbegrepen|non compris\w*|hors|bez|nie obejmuje)"
)
CERTIFICATE = re.compile(
    r"(?:(?:en )?10204[ -/]*)?(?:\b(?:certificat\w*|cert\.|werkszeugnis|abnahmepru\w*|apz|zeugnis|"
    r"certyfikat|atest|swiadectwo|attest)\b)[^\d]{0,25}(?P<first>[23]\.[12])|"
    r"\b(?P<second>[23]\.[12])[ -]*(?:certificat\w*|cert\.|zeugnis|zertifikat|attest|mill cert\w*)|"
    r"10204[^\d]{1,8}(?P<third>[23]\.[12])"
)


def quote_number(reader: Reader) -> None:
    match = NUMBERED.search(reader.line.text)
    if match is None or dates_in(fold(match["number"])):
        return
    if not match["number"].isdigit() or _is_number(reader.line.text, match):
        reader.fact(("quote",), match["number"].rstrip(".,-/"), match["number"])


def _is_number(text: str, match: re.Match[str]) -> bool:
    """Whether bare digits name a quote: `Offer 4471` does, `we offer 100 pcs` does not."""
    behind = fold(text[match.end() :])
    labelled = re.search(
        r"(?i)(?:no|nr|number|nummer|numer|n°|#|ref)\W*$|[:#]\s*$", text[: match.start("number")]
    )
    if re.match(rf"{PIECES}(?!\w)|%|eur|gbp|usd|x\b", behind):
        return False
    return labelled is not None or not text[: match.start()].strip(" #*-")


def validity(reader: Reader) -> None:
    where = re.search(_VALID, reader.folded)
    if where is None:
        return
    after = reader.folded[where.start() :]
    for date in dates_in(after):
        reader.either(("valid until",), _meant(reader, date.readings), date.seen, DATE_DOUBT)
        reader.spans_claimed.add(-1)
        return
    found = _span_near(reader, where.start(), 80)
    if found is not None:
        reader.either(("valid for",), found[1], found[0], "Which is meant?")


DATE_DOUBT = (
    "The date can be read in more than one way, or its year has two digits. Which day is meant?"
)


def _meant(reader: Reader, readings: tuple[str, ...]) -> tuple[str, ...]:
    if reader.context.day_first is not None and len(set(readings)) == 2:
        return readings[:1] if reader.context.day_first else readings[1:]
    return readings


def quote_date(reader: Reader) -> None:
    for date in dates_in(reader.folded):
        before = reader.folded[: date.start]
        if re.search(_VALID, before) or re.search(_LEAD, before):
            continue
        other = re.search(
            r"(your|ihre|uw|votre|request|enquiry|anfrage|rfq|aanvraag|demande|zapytanie|rev\w*|"
            r"index|stand|order|drawing|zeichnung|tekening)\W", before[-45:]
        )  # fmt: skip
        labelled = re.search(rf"{_DATE_WORDS}\W{{0,4}}$", before.rstrip() + " ")
        numbered = NUMBERED.search(reader.line.text) is not None
        bare = not before.strip(" ,.") or re.search(
            r"^[a-z ]{2,30},?\s*(?:den|le|dnia|,)?\s*$", before
        )
        if other and not labelled:
            continue
        if labelled or numbered or bare:
            sure = Sure.SAID if labelled else Sure.SHOWN
            readings = _meant(reader, date.readings)
            if len(readings) == 1:
                reader.fact(("date",), readings[0], date.seen, sure)
            else:
                reader.ask(("date",), readings, date.seen, DATE_DOUBT)
            return


def _span_near(
    reader: Reader, start: int, reach: int, *, back: int = 0
) -> tuple[str, tuple[str, ...]] | None:
    """The first time span after a spot of the line, or shortly before it, that is not claimed."""
    for match in SPAN.finditer(reader.folded):
        inside = start - back <= match.start() <= start + reach
        if inside and match.start() not in reader.spans_claimed:
            reader.spans_claimed.add(match.start())
            (words,) = spans_in(match[0])
            return match[0], words
    return None


def payment(reader: Reader) -> None:
    where = re.search(_PAY, reader.folded)
    if where is None:
        return
    shares = _shares(reader)
    if shares:
        return
    days = [m for m in SPAN.finditer(reader.folded) if m["days"] and not m["high"]]
    near = [
        m
        for m in days
        if abs(m.start() - where.start()) <= 70 and m.start() not in reader.spans_claimed
    ]
    net = re.search(r"\bnet\w*\s*(\d{1,3})\b(?!\s*%)", reader.folded)
    plain_days = [m for m in near if not _is_discount(reader.folded, m.start(), m.end())]
    if not plain_days and net is not None:
        _pay_in(reader, int(net[1]), net[0])
    elif len(plain_days) == 1:
        reader.spans_claimed.add(plain_days[0].start())
        _pay_in(reader, int(plain_days[0]["low"]), plain_days[0][0])
    elif re.search(
        r"in advance|prepay|vorkasse|vorauskasse|vooruit|d'avance|przedplata", reader.folded
    ):
        group = {"share": "100 %", "when": "order"}
        reader.fact(("payment",), group, reader.line.text)


def _pay_in(reader: Reader, days: int, seen: str) -> None:
    group = {"share": "100 %", "when": "invoice", "days": str(days)}
    late = re.search(
        r"end of month|eom|monthly|fin de mois|monatsende|einde maand|koniec miesiaca",
        reader.folded,
    )
    if late:
        longer = {**group, "days": str(days + 30)}
        ask = "From the end of the month: how many days after the invoice is that at most?"
        reader.ask(("payment",), (longer, group), seen, ask)
    else:
        reader.fact(("payment",), group, seen)


def _is_discount(folded: str, start: int, end: int) -> bool:
    around = folded[max(0, start - 32) : end + 14]
    return re.search(r"%|skonto|discount|korting|escompte", around) is not None


def _shares(reader: Reader) -> bool:
    """Payment in parts, such as 50 % with order, 50 % on delivery."""
    events = {
        "order": r"order|auftrag|bestell|opdracht|commande|zamowien|deposit|anzahlung|acompte|"
        r"zaliczk",
        "approval of samples": r"sample|muster|monster|echantillon|freigabe",
        "dispatch": r"dispatch|versand|shipment|shipping|verzending|expedition|wysylk",
        "delivery": r"delivery|lieferung|levering|livraison|dostaw|receipt",
        "invoice": r"invoice|rechnung|factuur|facture|faktur",
    }
    found = []
    for match in re.finditer(r"(\d{1,3}) ?%([^%]{0,50}?)(?=\d{1,3} ?%|$|[,;.])", reader.folded):
        when = [name for name, words in events.items() if re.search(words, match[2])]
        if when:
            found.append({"share": f"{match[1]} %", "when": when[0]})
    if len(found) < 2:
        return False
    if sum(int(each["share"].split()[0]) for each in found) != 100:
        return False
    for each in found:
        reader.fact(("payment",), each, reader.line.text)
    return True


def lead_time(reader: Reader) -> None:
    """The lead time of the pieces, and from what it counts; that of a tool is its own."""
    where = re.search(_LEAD, reader.folded)
    after = [name for name, words in AFTER.items() if re.search(words, reader.folded)]
    if where is None and not after:
        return
    start = where.start() if where is not None else 0
    found = []
    for match in SPAN.finditer(reader.folded):
        near = start - 40 <= match.start() <= start + 110
        if near and match.start() not in reader.spans_claimed:
            reader.spans_claimed.add(match.start())
            clause = _clause(reader.folded, match.start())
            bare = re.sub("|".join(AFTER.values()), " ", clause)
            (words,) = spans_in(match[0])
            if TOOL_WORDS.search(bare):
                reader.either(("tool", "takes"), words, match[0], "How long does the tool take?")
            else:
                found.append((match[0], words))
    if not found:
        return
    seen = "; ".join(each for each, _ in found)
    readings = tuple(word for _, words in found for word in words)
    for index in reader.each_item():
        ask = "More than one time is named, or a time from - to: which is to be reckoned with?"
        reader.either(("items", index, "lead time"), readings, seen, ask)
        if len(after) == 1:
            reader.fact(("items", index, "lead time from"), after[0], reader.line.text)
        elif len(after) > 1:
            ask = "Two events are named: from which does the lead time count?"
            reader.ask(("items", index, "lead time from"), tuple(after), reader.line.text, ask)


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
        elif place:
            reader.fact(("delivery",), f"{rule} {place}", match[0])
        else:
            ask = f"{rule} is named without a place. Which place? Write it after the rule."
            reader.ask(("delivery",), (), match[0], ask)


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
        r"(?i)\b(?:rev(?:ision)?|index|ind|uitgave|indice|issue|rew)\.?\s*[:.]?\s*"
        r"(?P<value>[A-Z]{1,2}\d?|\d{1,3})(?![\w.,/-])", reader.line.text
    )  # fmt: skip
    if match is not None and match["value"].lower() not in ("no", "nr", "of", "is", "to"):
        for index in reader.each_item():
            reader.fact(("items", index, "revision"), match["value"], match[0])


def material(reader: Reader) -> None:
    match = re.search(
        r"(?i)^\W*(?:raw )?(?:material|werkstoff|materiaal|mati[eè]re|materia[lł]|alloy|legierung)"
        r"\s*[:=\s]\s*(?P<value>\S.{1,80})$", reader.line.text.strip()
    )  # fmt: skip
    if match is not None and not re.search(
        r"surcharge|zuschlag|toeslag|%|€|\bEUR\b", match["value"]
    ):
        for index in reader.each_item():
            reader.fact(
                ("items", index, "material"), match["value"].strip(), match["value"].strip()
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
        r"(?:moq|minimum (?:order )?(?:quantity|qty)|min\.? ?(?:qty|order qty)|mindest(?:abnahme)?"
        r"(?:bestell)?menge|mindestlos\w*|minimale (?:bestel)?(?:afname|hoeveelheid)|"
        r"minimum aantal|"
        rf"quantite minim\w*|minimalna ilosc)\W{{0,5}}(?:of |is |"
        rf"von )?(?P<count>{NUMBER})", reader.folded
    )  # fmt: skip
    if least is not None:
        _count(reader, "minimum", least["count"], least[0])
    many = re.search(
        r"(?:multiples? of|in (?:packs|boxes|lots) of|vielfache\w* von|\bve\b|vpe|"
        r"verpackungseinheit|"
        r"veelvoud\w* van|verpakt per|multiples? de|wielokrotnosc\w*)\W{0,4}"
        rf"(?P<count>{NUMBER})", reader.folded
    )  # fmt: skip
    if many is not None:
        _count(reader, "multiple", many["count"], many[0])


def _count(reader: Reader, key: str, number: str, seen: str) -> None:
    values = tuple(
        str(int(each)) for each in readings_of(number, reader.context.signs)
        if each.denominator == 1 and each > 0
    )  # fmt: skip
    for index in reader.each_item():
        reader.either(("items", index, key), values, seen, "How many pieces?")


def operations(reader: Reader) -> None:
    """Operations that are said to be in the price or not; a line that says both is split."""
    for clause in re.split(r"[.;]|\bbut\b|\baber\b|\bmaar\b|\bmais\b|\bale\b", reader.folded):
        key: str | None = None
        for part in clause.split(",") if _says_both(clause) else [clause]:
            key = _in_or_out(part) or key
            named = [name for name, words in LISTED.items() if words.search(part)]
            if key is None:
                continue
            for index in reader.each_item():
                for name in named:
                    reader.fact(("items", index, key), name, part.strip())


def _in_or_out(words: str) -> str | None:
    if EXCLUDED.search(words):
        return "excludes"
    return "includes" if INCLUDED.search(words) else None


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


def tolerance(reader: Reader) -> None:
    match = re.search(
        r"(?:quantity tolerance|over.{0,12}(?:under)?.{0,4}delivery|"
        r"mehr.{0,10}minder\w*|mengentoleranz|"
        r"meer.{0,10}minderlevering|tolerance (?:de|sur) (?:la )?quantite|tolerancja ilosc\w*)"
        r"[^%\d]{0,25}(?:\+/?-?|\u00b1|\+-)?\s*(?P<share>\d{1,2}(?:[.,]\d)?) ?%", reader.folded
    )  # fmt: skip
    if match is not None:
        for index in reader.each_item():
            share = match["share"].replace(",", ".")
            reader.fact(("items", index, "quantity tolerance"), f"{share} %", match[0])


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


def tool_facts(reader: Reader) -> None:
    """Cavities, life and owner of a tool, wherever they are said."""
    cavities = re.search(
        r"(?P<count>\d{1,3})[ -]*(?:cavit(?:y|ies)|fach\w*|voudig|empreintes?|gniazd\w*|kavitat\w*|"
        r"impressions?)\b|\bcavit(?:y|ies)\W{1,3}(?P<behind>\d{1,3})", reader.folded
    )  # fmt: skip
    if cavities is not None:
        reader.fact(("tool", "cavities"), cavities["count"] or cavities["behind"], cavities[0])
    life = re.search(
        rf"(?P<count>{NUMBER})\s*(?:shots|schuss|abgusse|abgussen|schoten|injections|strzal\w*|"
        r"wtrysk\w*|cycles|zyklen|pours)\b", reader.folded
    )  # fmt: skip
    if life is not None:
        values = readings_of(life["count"], reader.context.signs)
        words = tuple(written(each) for each in values if each.denominator == 1)
        reader.either(("tool", "life"), words, life[0], "How many shots does the tool last?")
    _owner(reader)


def _owner(reader: Reader) -> None:
    owned = re.search(
        r"(?:property|owned by|ownership|eigentum|eigendom|propriete|wlasnosc)\W*(?P<who>.{0,40})",
        reader.folded,
    )
    if owned is None or not TOOL_WORDS.search(reader.folded):
        return
    ours = re.search(
        r"customer|buyer|client|kunde\w*|besteller|klant|yours?|ihr\b|acheteur|klienta",
        reader.folded,
    )
    theirs = re.search(
        r"supplier|seller|\bour\b|\bus\b|\bours\b|unser|lieferant|leverancier|"
        r"fournisseur|dostawcy|foundry",
        reader.folded,
    )
    if bool(ours) != bool(theirs):
        reader.fact(("tool", "owner"), "buyer" if ours else "supplier", owned[0])
    else:
        reader.ask(("tool", "owner"), ("buyer", "supplier"), owned[0], "Who owns the tool?")


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
    revision, material,
    origin, minimum, operations, certificates, tolerance, breaks, tool_facts, left_times,
)  # fmt: skip
