"""The words of the trade by which values are known, in English, German, Dutch, French and Polish.

All patterns are matched against folded text: small letters, no accents, one space.
"""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

OTHER_LETTERS = str.maketrans({"ł": "l", "ß": "ss", "ø": "o", "æ": "ae", "\u2019": "'"})


@lru_cache(maxsize=4096)
def fold(text: str) -> str:
    """A text as it is compared; never longer or shorter where letters of these languages stand."""
    apart = unicodedata.normalize("NFKD", text.casefold().translate(OTHER_LETTERS))
    bare = "".join(mark for mark in apart if not unicodedata.combining(mark))
    return " ".join(bare.split())


def _any(words: str) -> re.Pattern[str]:
    """A pattern for any of the words, which stand one a line and may be patterns themselves."""
    lines = (line.strip() for line in words.strip().splitlines())
    return re.compile(r"(?<!\w)(?:" + "|".join(line for line in lines if line) + r")(?!\w)")


PIECES = (
    r"(?:pieces?|pcs?|pce|parts?|units?|off|ea|stuck|stk|st|stueck|teile?|stuks?|pieces|pce?s|"
    r"unites?|sztuk[ai]?|szt|h87|c62)\.?"
)
EACH = _any(
    rf"""
    each
    ea\.?
    (?:per|/|je|pro|par|za|na|a|la)\s*(?:1\s*)?{PIECES}
    /\s*{PIECES}
    unit\s?(?:price|cost)
    piece\s?price
    price\s?/\s?(?:each|ea)
    per stuk
    einzelpreis
    stuckpreis
    e-?preis
    stuksprijs
    eenheidsprijs
    prix unitaire
    p\.?u\.?(?: ht)?
    la piece
    cena jedn\w*\.?
    """
)
HEADS: dict[str, re.Pattern[str]] = {
    "position": _any("pos(?:ition)?\\.?\nno\\.?\nline\nitem\\s?no\\.?\nlp\\.?\nligne\nregel"),
    "total": _any(
        r"""
        (?:line |order |net |grand |sub)?total\w*(?: price| amount| value| ht| netto)?
        amount
        ext(?:ended)?\.? (?:price|value)
        value
        gesamt\w*
        summe
        betrag
        gp
        totaal\w*
        bedrag
        montant(?: ht)?
        suma
        wartosc(?: netto)?
        razem
        kwota
        """
    ),
    "discount": _any("discount\nrabatt\nnachlass\nkorting\nremise\nrabat\nupust"),
    "tooling": _any(
        "tool(?:ing)?s?(?: costs?| price)?\nwerkzeug\\w*\nmodell\\w*\ngereedschap\\w*\n"
        "matrijs\\w*\noutillage\nnarzedzi\\w*\nmould\\w*"
    ),
    "setup": _any(
        "set-?\\s?up\\w*(?: costs?| charge)?\nrust\\w*\ninstel\\w*\nreglage\nprzezbroj\\w*"
    ),
    "lead": _any(
        r"""
        lead\s?-?time
        delivery(?: time)?
        lieferzeit\w*
        levertijd
        delai
        termin\w*
        """
    ),
    "currency": _any("curr(?:ency)?\\.?\nwahrung\nvaluta\ndevise\nmonnaie\nwaluta"),
    "basis": _any(
        r"""
        price (?:unit|basis|per)
        per
        preiseinheit
        pe
        prijseenheid
        prijs per
        unite de prix
        j\.?\s?m\.?
        base quantity
        """
    ),
    "price": _any(
        r"""
        (?:unit|piece|net|each|nett)?\s?price\w*.*
        each
        (?:unit|piece) (?:cost|rate)
        rate
        \w*preis\w*.*
        ep
        \w*prijs\w*.*
        prix\w*.*
        p\.?u\.?(?: ht)?
        cena.*
        """
    ),
    "revision": _any(
        "rev(?:ision)?\\.?\nindex\nind\\.?\nissue\nuitgave\nrevisie\nindice\nrewizja\nzmiana\nwersja"
    ),
    "part": _any(
        r"""
        (?:your )?(?:part|drawing|drg|dwg|item|article|art)\.?(?: ?(?:no|nr|number|ref))?\.?
        part\s?#
        (?:zeichnung|teil|artikel|bauteil|sach|zeich)\w*\W{0,2}(?:nr|nummer)?\.?
        tekening\w*
        onderdeel\w*
        (?:plan|reference|ref|numero de plan)\.?
        (?:rysunek|nr rysunku|detal|czesc|indeks)
        """
    ),
    "material": _any("material\\w*\nwerkstoff\nmateriaal\nmatiere\nalloy\nlegierung"),
    "mass": _any("mass\nweight\\w*\ngewicht\\w*\npoids\nmasa\nwaga"),
    "description": _any(
        "desc(?:ription)?\\.?\nbezeichnung\nbenennung\nomschrijving\ndesignation\nopis\nnazwa\nname\n"
        "(?:comment|remark|note)s?\nbemerkung\\w*\nopmerking\\w*\nremarques?\nuwagi\nnotes?"
    ),
    "from": _any(
        rf"""
        (?:from|order|min\.?|break|batch|lot|annual)?\s?(?:qty|quantity|quantities)\.?.*
        {PIECES}
        (?:from|ab|vanaf|od|from:)(?: {PIECES})?
        (?:batch|lot)(?: size)?
        volume
        \w*menge\w*
        anzahl
        stuckzahl\w*
        losgrosse
        staffel\w*
        abnahme\w*
        aantal
        {PIECES} vanaf
        hoeveelheid
        oplage
        quantite\w*
        qte
        a partir de
        nombre.*
        ilosc\w*
        liczba.*
        naklad
        """
    ),
}
# In this order: a header such as `price per` is a basis before it is a price.
ORDER_OF_HEADS = (
    "basis", "currency", "discount", "tooling", "setup", "lead", "mass", "revision",
    "price", "total", "part", "from", "material", "position", "description",
)  # fmt: skip
TOTALS = re.compile(
    r"^(?:grand |sub|net |order )?\s?(?:total|totaal|gesamt|summe|zwischensumme|"
    r"endsumme|suma|razem|"
    r"netto|brutto|montant total|total ht|total ttc|gesamtsumme|nettosumme|subtotaal)\w*\b"
)
ON_REQUEST = re.compile(
    r"^(?:on request|por|p\.o\.r\.|auf anfrage|a\. ?a\.|op aanvraag|sur demande|na zapytanie|"
    r"tbc|tba|tbd|n/?a|to follow|folgt|volgt|-|\?|open|offen|no quote|nicht angeboten)$"
)
MONTHS = {
    name: number
    for number, names in enumerate(
        (
            "january januar januari janvier stycznia styczen jan",
            "february februar februari fevrier lutego luty feb fevr",
            "march marz maerz maart mars marca marzec mar mrz mrt",
            "april avril kwietnia kwiecien apr avr kwi",
            "may mai mei maja maj",
            "june juni juin czerwca czerwiec jun cze",
            "july juli juillet lipca lipiec jul lip",
            "august augustus aout sierpnia sierpien aug sie",
            "september septembre wrzesnia wrzesien sep sept wrz",
            "october oktober octobre pazdziernika pazdziernik oct okt paz",
            "november novembre listopada listopad nov lis",
            "december dezember decembre grudnia grudzien dec dez gru",
        ),
        1,
    )
    for name in names.split()
}
SPANS = {
    "working days": r"(?:working|work|business)\s?days?|wd|arbeitstag\w*|werktag\w*|at|"
    r"werkdagen|werkdag|jours? ouvre\w*|dni robocz\w*|dni rob\.?",
    "weeks": r"weeks?|wks?|wochen?|weken|week|semaines?|tygodni\w*|tyg\.?",
    "months": r"months?|monat\w*|maand\w*|mois|miesi\w*",
    "days": r"(?:calendar )?days?|(?:kalender)?tagen?|dagen?|dag|jours?|dni|dzien",
}
SPAN = re.compile(
    r"(?P<low>\d{1,4})\s*(?:(?:-|\u2013|to|bis|tot|a|do)\s*(?P<high>\d{1,4})\s*)?(?:"
    + "|".join(f"(?P<{unit.replace(' ', '_')}>{words})" for unit, words in SPANS.items())
    + r")(?!\w)"
)
OPERATIONS = {
    "turning": r"turning|turned|dreh\w*|gedreht|draaien|tournage|toczenie",
    "milling": r"milling|milled|fras\w*|gefrast|frezen|fraisage|frezowanie",
    "drilling": r"drilling|drilled|bohren|boren|percage|wiercenie",
    "tapping": r"tapping|gewindeschneiden|tappen|taraudage|gwintowanie",
    "machining": r"machining|machined|zerspan\w*|bearbeitung|verspanen|usinage|obrobka",
    "grinding": r"grinding|ground|schleifen|geschliffen|slijpen|rectification|szlifowanie",
    "deburring": r"deburr\w*|entgrat\w*|ontbram\w*|ebavurage|gratowanie",
    "fettling": r"fettling|fettled|putzen|gussputzen|oczyszczanie",
    "heat treatment": r"heat.?treat\w*|warmebehandl\w*|warmtebehandeling|"
    r"traitement thermique|obrobka cieplna",
    "hardening": r"hardening|hardened|harten|gehartet|trempe|hartowanie",
    "welding": r"welding|welded|schweissen|geschweisst|lassen|soudage|spawanie",
    "bending": r"bending|bent|biegen|abkanten|kanten|zetten|pliage|giecie",
    "laser cutting": r"laser.?cutting|laserschneiden|laserzuschnitt|lasersnijden|"
    r"decoupe laser|ciecie laserowe",
    "shot blasting": r"shot.?blast\w*|strahlen|gestrahlt|stralen|grenaillage|srutowanie",
    "zinc plating": r"zinc.?plat\w*|verzink\w*|zingage|cynkowanie",
    "galvanising": r"galvani[sz]\w*|feuerverzink\w*|thermisch verzink\w*|galvanisation",
    "painting": r"painting|painted|lackier\w*|lakken|peinture|malowanie",
    "powder coating": r"powder.?coat\w*|pulverbeschicht\w*|poedercoat\w*|thermolaquage",
    "anodising": r"anodi[sz]\w*|eloxier\w*|anodiseren|anodisation|anodowanie",
    "packing": r"packing|packaging|packed|verpackung|verpakking|emballage|pakowanie|opakowanie",
    "inspection": r"(?<!article )inspection|prufung|controle|kontrola",
    "marking": r"marking|kennzeichnung|markering|marquage|znakowanie",
    "assembly": r"assembly|montage|montaz",
    "crack testing": r"crack.?test\w*|rissprufung|scheuronderzoek|ressuage",
    "x-ray testing": r"x-?ray\w*|rontgen\w*|radiographie",
}
LISTED = {name: re.compile(rf"(?<!\w)(?:{words})(?!\w)") for name, words in OPERATIONS.items()}
COUNTRIES = {
    "germany": "DE", "deutschland": "DE", "duitsland": "DE", "allemagne": "DE", "niemcy": "DE",
    "netherlands": "NL", "nederland": "NL", "niederlande": "NL", "pays-bas": "NL",
    "poland": "PL", "polska": "PL", "polen": "PL", "pologne": "PL", "france": "FR",
    "frankreich": "FR", "frankrijk": "FR", "francja": "FR", "united kingdom": "GB", "uk": "GB",
    "great britain": "GB", "england": "GB", "belgium": "BE", "belgie": "BE", "belgien": "BE",
    "czechia": "CZ", "czech republic": "CZ", "tschechien": "CZ", "italy": "IT", "italien": "IT",
    "china": "CN", "india": "IN", "indien": "IN", "japan": "JP", "taiwan": "TW", "usa": "US",
    "united states": "US", "austria": "AT", "osterreich": "AT", "switzerland": "CH",
    "schweiz": "CH", "turkey": "TR", "turkiye": "TR", "turkei": "TR", "spain": "ES",
    "spanien": "ES", "sweden": "SE", "schweden": "SE", "denmark": "DK", "hungary": "HU",
    "ungarn": "HU", "slovakia": "SK", "slovenia": "SI", "romania": "RO", "portugal": "PT",
}  # fmt: skip
# What an amount beside the piece price is for, by its words.
KINDS: dict[str, str] = {
    "minimum value": r"minimum (?:order|invoice)? ?(?:value|charge|amount)|min\.? order value|"
    r"mindest(?:bestell|auftrags|rechnungs)wert|minimum ?(?:order|bestel)(?:bedrag|waarde)|"
    r"minimum de (?:commande|facturation)|minimaln\w+ wartosc\w*",
    "first article": r"first article|\bfai\b|\bfair\b|erstmuster\w*|empb|eerste artikel|"
    r"premier article|ppap|initial sample|eerste monster|pierwsz\w+ (?:sztuk|wzor)\w*",
    "set-up": r"set-?\s?up\w*|rust\w*|einricht\w*|instel\w*|omstel\w*|reglage|mise en route|"
    r"przezbroj\w*|uruchomieni\w*|ustawieni\w*|programm\w* (?:cost|charge)",
    "tool": r"tool(?:ing|s)?\b|\bdies?\b|pattern\w*|mou?ld\w*|werkzeug\w*|modell\w*|"
    r"(?:guss|spritz|druckguss)form\w*|matrij\w*|gereedschap\w*|outillage\w*|moule\w*|narzedz\w*|"
    r"oprzyrzadowani\w*|forma\b|fixture\w*|vorrichtung\w*|core ?box\w*|gietmodel\w*",
    "certificate": r"certificat\w*|zeugnis\w*|attest|atest|swiadectw\w*|\bapz\b",
    "packing": r"pack(?:ing|aging)|verpack\w*|verpakking\w*|emballage|opakowani\w*|pakowani\w*",
    "carriage": r"carriage|freight|shipping|transport\w*|fracht\w*|versand\w*|vracht\w*|"
    r"verzend\w*|port\b|dostaw\w*|livraison|lieferkosten|delivery (?:charge|cost)",
    "inspection": r"inspection|prufkosten|keuring|kontrol\w*|measuring|messung\w*|\bcmm\b",
    "programming": r"programming|programmierung|programmeren|programmation",
}
