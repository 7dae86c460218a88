"""What is said of the pieces themselves: rejects, more or fewer than ordered, masses.

Masses stand under keys such as `mass raw` while lines are read; only where a price is by the mass
does the form need one, and then which mass it is of.
"""

from __future__ import annotations

import dataclasses
import re
from fractions import Fraction

from quotegen.basics.money import written
from quotegen.taking.context import Reader
from quotegen.taking.fact import Ask, Fact, Kept, once
from quotegen.taking.figures import NUMBER, readings_of

_REJECTS = re.compile(
    r"(?<!\w)(?:reject(?:s|ed|ion|ions)?|scrap(?: rate)?|ausschuss\w*|fehlteile|schlechtteile\w*|"
    r"fehlerhafte teile|defective\w*|rebuts?|brakow\w*|brak(?:i|ow)|wybrak\w*|scart[oi]|uitval\w*|"
    r"afkeur\w*)(?!\w)"
)
_SHARE = re.compile(r"(?<![\d.,])(?P<share>\d{1,2}(?:[.,]\d{1,2})?) ?%")
_MADE_GOOD = {
    "nothing": r"no (?:claim|replacement|credit)|not (?:be )?(?:replaced|credited)|zu tragen|"
    r"kein(?:e|en)? ersatz|nicht (?:ersetzt|vergutet|gutgeschrieben)|zu lasten des (?:kunden|best)|"
    r"(?:borne|accepted|to be accepted) by (?:the )?(?:buyer|customer)",
    "replaced": r"replac\w*|ersetzt|ersatz\w*|nachgeliefert|remplac\w*|wymian\w*|wymien\w*|"
    r"sostitui\w*|vervang\w*",
    "credited": r"credit\w*|gutgeschrieben|gutschrift\w*|vergutet|avoir|accredit\w*|gecrediteerd",
}
_FOUND = {
    "after completion": r"after (?:machining|completion|finishing)|nach (?:der )?bearbeitung|"
    r"na bewerking|apres usinage",
    "at the supplier": r"at (?:the )?(?:foundry|supplier)|in our works|bei uns|im werk|im haus",
    "on receipt": r"on receipt|incoming|wareneingang\w*|bei (?:anlieferung|eingang)|"
    r"a la reception|przy odbiorze|bij ontvangst|al ricevimento",
}
_USUAL = re.compile(
    r"usual\w*|typical\w*|expected|average|normal\w*|calculat\w*|reject rate|scrap rate|"
    r"ublich\w*|erwartet\w*|kalkulier\w*|ausschuss(?:quote|anteil|rate)|durchschnitt\w*|habituel\w*"
)
_AT_MOST = re.compile(
    r"up to|(?<!\w)(?:bis|max\w*|tot|jusqu\w*|do|fino)(?!\w)|at most|below|under|<|"
    r"hochstens|above|over|more than|uber|mehr als|exceed\w*"
)


def rejects(reader: Reader) -> None:
    """A share of rejects with what the supplier does about them; a ceiling is asked about."""
    if _REJECTS.search(reader.folded) is None:
        return
    shares = list(_SHARE.finditer(reader.folded))
    if len(shares) != 1:
        return
    share = shares[0]["share"].replace(",", ".")
    group = {"share": f"{share} %"}
    found = [name for name, words in _FOUND.items() if re.search(words, reader.folded)]
    good = next((n for n, words in _MADE_GOOD.items() if re.search(words, reader.folded)), None)
    group |= {"found": found[0]} if len(found) == 1 else {}
    group |= {"made good": good} if good is not None else {}
    is_sure = _USUAL.search(reader.folded) is not None and not _AT_MOST.search(reader.folded)
    for index in reader.each_item():
        keys = ("items", index, "rejects")
        if is_sure:
            reader.fact(keys, group, reader.line.text)
        else:
            ask = (
                "Is this the share of rejects to reckon with, or a limit above which something "
                "else holds?"
            )
            reader.ask(keys, (group,), reader.line.text, ask)


_MORE_OR_LESS = re.compile(
    r"(?:quantity tolerance|(?:over|under).{0,14}(?:deliver\w*|shipment|supply)|over ?/ ?under\w*|"
    r"mehr.{0,10}minder\w*|uber.{0,8}unterliefer\w*|mengentoleranz|mengenabweichung\w*|"
    r"meer.{0,10}minderlevering|tolerance (?:de|sur) (?:la )?quantite|tolerancja ilosc\w*|"
    r"tolleranza (?:sulla |di )?quantita|tolerance on (?:the )?quantity|"
    r"(?:quantity|qty|menge|hoeveelheid|quantite|ilosc)(?=\W{0,3}(?:\+ ?/ ?-|\+-|\u00b1)))"
    r"[^%\d+\u00b1-]{0,40}(?P<low>\+ ?/ ?-|\+-|\u00b1|[+-])?\s*(?P<share>\d{1,2}(?:[.,]\d)?) ?%?"
    r"(?:\s?/?\s?(?P<mark>[+-])\s?(?P<other>\d{1,2}(?:[.,]\d)?) ?%)?"
)


def tolerance(reader: Reader) -> None:
    """How many more or fewer pieces than ordered may come; two unlike limits are asked about."""
    match = _MORE_OR_LESS.search(reader.folded)
    if match is None or "%" not in match[0]:
        return
    shares = [each.replace(",", ".") for each in (match["share"], match["other"]) if each]
    readings = once([f"{each} %" for each in sorted(shares, key=Fraction, reverse=True)])
    for index in reader.each_item():
        ask = "More and fewer have limits of their own: which share is to be reckoned with?"
        reader.either(("items", index, "quantity tolerance"), readings, match[0], ask)


_KINDS = {
    "raw": r"raw|rough|as[- ]cast|casting|cast|gross|roh(?:guss|teil)?|guss|abguss|brutto|brut|"
    r"odlew\w*|grezzo|ruw",
    "finished": r"finished|machined|net(?:to)?|fertig(?:teil)?|bearbeitet|fini|gotow\w*|finito|"
    r"delivered|shipping|liefer|versand",
}
_WEIGHT = (
    r"(?:(?<=roh)|(?<=rohguss)|(?<=guss)|(?<=fertig)|(?<=liefer)|(?<=netto)|(?<=brutto)|(?<!\w))"
    r"(?:teile|stuck)?(?:weight|mass|gewicht|masse|poids|waga|masa|peso)(?:es)?(?!\w)"
)
_OWN = re.compile(
    rf"(?P<before>(?:[\w-]+ ){{0,2}}\w*?){_WEIGHT}(?P<between>[^\d;]{{0,28}}?)"
    rf"(?P<number>{NUMBER})\s?(?P<unit>kg|g)(?![\w/])"
)
_BASIS = re.compile(r"(?:per|/|je|pro|par|za|al) ?(?:kg|kilo)(?!\w)(?P<of>[^,.;]{0,30})")
GRAMS = {"kg": 1000, "g": 1}


def masses(reader: Reader) -> None:
    """Masses of the piece, raw or finished, and of which one a price by the kilogram is."""
    for match in _OWN.finditer(reader.folded):
        kind = _kind(f"{match['before']} {match['between']}")
        for value in readings_of(match["number"], reader.context.signs):
            grams = f"{written(value * GRAMS[match['unit']])} g"
            about = "about " if re.search(r"approx|\bca\b|circa|about|env", match[0]) else ""
            for index in reader.each_item():
                keys = ("items", index, f"{about}mass {kind}".strip())
                reader.fact(keys, grams, match[0].strip())
    basis = _BASIS.search(reader.folded)
    if basis is not None and _kind(basis["of"]):
        for index in reader.each_item():
            reader.fact(("items", index, "mass of the price"), _kind(basis["of"]), basis[0])


def _kind(words: str) -> str:
    found = [kind for kind, pattern in _KINDS.items() if re.search(rf"(?<!\w)(?:{pattern})", words)]
    return found[0] if len(found) == 1 else ""


def _is_mass(key: object) -> bool:
    return (
        isinstance(key, str)
        and re.fullmatch(r"(?:about )?mass(?: raw| finished)?", key) is not None
    )


def with_masses(
    facts: list[Fact], asks: list[Ask], kept: list[Kept]
) -> tuple[list[Fact], list[Ask]]:
    """Where a price is by the kilogram: of which mass; other masses are notes."""
    done: list[Fact] = []
    said: dict[int, list[Fact]] = {}
    for each in facts:
        if _is_mass(each.keys[-1]) or each.keys[-1] == "mass of the price":
            said.setdefault(int(each.keys[1]), []).append(each)
        else:
            done.append(each)
    priced = _by_mass(done, asks)
    for index in sorted({*said, *priced}):
        own = said.get(index, [])
        if index not in priced:
            kept += [Kept(text=each.seen, place=each.place) for each in own]
            continue
        known = {*(each.keys for each in done), *(each.keys for each in asks)}
        if ("items", index, "mass priced") not in known:
            more, doubts = _of_which(index, own, priced[index])
            done, asks = [*done, *more], [*asks, *doubts]
    return done, asks


def _by_mass(facts: list[Fact], asks: list[Ask]) -> dict[int, Fact | Ask]:
    """The first price by the mass of each item that has one."""
    found: dict[int, Fact | Ask] = {}
    both: list[Fact | Ask] = [*facts, *asks]
    for each in both:
        if each.keys[-1] == "prices" and len(each.keys) == 3:
            values = [each.value] if isinstance(each, Fact) else each.readings
            if any(_is_by_mass(value) for value in values):
                found.setdefault(int(each.keys[1]), each)
    return found


def _is_by_mass(value: object) -> bool:
    price = str(value.get("price", "")) if isinstance(value, dict) else ""
    return re.search(r" per (?:[\d.]+ )?(?:kg|g|t)$", price) is not None


def _of_which(index: int, said: list[Fact], price: Fact | Ask) -> tuple[list[Fact], list[Ask]]:
    """The mass that a price by the kilogram is of, and that which is shipped."""
    bases = once([each.value for each in said if each.keys[-1] == "mass of the price"])
    named = {key: [f for f in said if f.keys[-1] == f"mass {key}"] for key in ("raw", "finished")}
    facts = []
    for key, name in (
        ("mass priced", bases[0] if len(bases) == 1 else ""),
        ("mass shipped", "finished"),
    ):
        own = named.get(str(name), [])
        if len(once([each.value for each in own])) == 1:
            facts.append(dataclasses.replace(own[0], keys=("items", index, key)))
    if any(each.keys[-1] == "mass priced" for each in facts):
        return facts, []
    readings = once([each.value for each in said if _is_mass(each.keys[-1])])
    shown: Fact | Ask = next(iter(said), price)
    ask = (
        "The price is by the kilogram. Of which mass of a piece: the raw casting or blank, or the "
        "finished part? Answer with the mass, such as 240 g."
    )
    made = Ask(
        keys=("items", index, "mass priced"),
        seen="; ".join(dict.fromkeys(each.seen for each in said)) or price.seen,
        place=shown.place,
        readings=readings,
        ask=ask,
    )
    return facts, [made]
