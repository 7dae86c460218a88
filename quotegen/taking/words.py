"""The words of the trade by which values are known, in six languages.

English, German, Dutch, French, Polish and Italian.

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
    r"unites?|sztuk[ai]?|szt|pezz[io]|pz|h87|c62)\.?"
)
EACH = _any(
    rf"""
    each
    ea\.?
    (?:per|/|je|pro|par|za|na|a|la|al)\s*(?:1\s*)?{PIECES}
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
    prix unitaires?
    p\.?u\.?(?: ht)?
    la piece
    prezzo unitario
    cad(?:auno)?\.?
    cena jedn\w*\.?
    """
)
HEADS: dict[str, re.Pattern[str]] = {
    "position": _any("pos(?:ition)?\\.?\nno\\.?\nline\nitem\\s?no\\.?\nlp\\.?\nligne\nregel\nriga"),
    "total": _any(
        r"""
        (?:line |order |net |grand |sub)?total\w*(?: price| amount| value| ht| netto)?
        amount
        ext(?:ended)?\.?(?: price| value)?
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
        totale
        importo
        prix total\w*
        prezzo totale
        cena (?:laczna|razem|calkowita)
        """
    ),
    "discount": _any("discount\nrabatt\nnachlass\nkorting\nremise\nrabat\nupust\nsconto"),
    "tooling": _any(
        "tool(?:ing)?s?(?: costs?| price)?\nwerkzeug\\w*\nmodell\\w*\ngereedschap\\w*\n"
        "matrijs\\w*\noutillage\nnarzedzi\\w*\nmould\\w*\nattrezzatur\\w*\nstamp[oi]"
    ),
    "setup": _any(
        "set-?\\s?up\\w*(?: costs?| charge)?\nrust\\w*\ninstel\\w*\nreglage\n"
        "przezbroj\\w*\nattrezzaggio"
    ),
    "lead": _any(
        r"""
        lead\s?-?time
        delivery(?: time)?
        lieferzeit\w*
        levertijd
        delai
        termin\w*
        (?:tempi? di )?consegna
        """
    ),
    "least": _any(
        r"""
        moq\b.*
        (?:min\.?|minimum|minimal\w*)\s?(?:order |lot )?(?:qty|quantity|menge|aantal|afname)\b.*
        mindest\w*menge\w*
        mindestabnahme\w*
        lotto minimo
        quantite mini\w*
        """
    ),
    "currency": _any("curr(?:ency)?\\.?\nwahrung\nvaluta\ndevise\nmonnaie\nwaluta\ndivisa"),
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
        (?:unit|piece|net|each|nett|old|new|current|former|previous|raw|rough|finished|machined)?\s?price\w*.*
        each
        (?:unit|piece) (?:cost|rate)
        rate(?:\s?(?:per|/|\().*)?
        e-?preis\w*.*
        (?:alter?|neuer?|bisheriger?|aktueller?|roh|bearbeitet)?\s?(?!gesamt|total|summe)\w*preis\w*.*
        ep
        (?:oude|nieuwe|huidige)?\s?(?!totaal)\w*prijs\w*.*
        (?:ancien|nouveau)?\s?prix(?! tot)\w*.*
        p\.?u\.?(?: ht)?
        (?:stara|nowa)?\s?cena(?! laczna| razem| calkow).*
        (?:vecchio|nuovo)?\s?prezzo(?! total).*
        costo unitario.*
        """
    ),
    "revision": _any(
        "rev(?:ision)?\\.?\nindex\nind\\.?\nissue\nuitgave\nrevisie\nindice\nrewizja\nzmiana\nwersja\nrevisione"
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
        (?:disegno|codice|particolare|articolo)\.?(?: ?n\.?)?
        """
    ),
    "material": _any("material\\w*\nwerkstoff\nmateriaal\nmatiere\nalloy\nlegierung"),
    "mass": _any("mass\nweight\\w*\ngewicht\\w*\npoids\nmasa\nwaga\npeso"),
    "description": _any(
        "desc(?:ription)?\\.?\nbezeichnung\nbenennung\nomschrijving\ndesignation\nopis\nnazwa\nname\n"
        "(?:comment|remark|note)s?\nbemerkung\\w*\nopmerking\\w*\nremarques?\nuwagi\nnotes?\ndescrizione"
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
        quantita\w*
        q\.?\s?ta
        lotto
        """
    ),
}
# In this order: a header such as `price per` is a basis before it is a price.
ORDER_OF_HEADS = (
    "basis", "currency", "discount", "tooling", "setup", "lead", "mass", "revision", "least",
    "price", "total", "part", "from", "material", "position", "description",
)  # fmt: skip
TOTALS = re.compile(
    r"^(?:grand |sub|net |order )?\s?(?:total|totaal|gesamt|summe|zwischensumme|"
    r"endsumme|suma|razem|"
    r"netto|brutto|totale|imponibile|montant total|total ht|total ttc|gesamtsumme|"
    r"nettosumme|subtotaal)\w*\b"
)
ON_REQUEST = re.compile(
    r"^(?:on request|por|p\.o\.r\.|auf anfrage|a\. ?a\.|op aanvraag|sur demande|na zapytanie|"
    r"su richiesta|tbc|tba|tbd|n/?a|to follow|folgt|volgt|-|\?|open|offen|no quote|"
    r"nicht angeboten)$"
)
MONTHS = {
    name: number
    for number, names in enumerate(
        (
            "january januar januari janvier stycznia styczen gennaio jan",
            "february februar februari fevrier lutego luty febbraio feb fevr",
            "march marz maerz maart mars marca marzec marzo mar mrz mrt",
            "april avril kwietnia kwiecien aprile apr avr kwi",
            "may mai mei maja maj maggio",
            "june juni juin czerwca czerwiec giugno jun cze",
            "july juli juillet lipca lipiec luglio jul lip",
            "august augustus aout sierpnia sierpien agosto aug sie",
            "september septembre wrzesnia wrzesien settembre sep sept wrz",
            "october oktober octobre pazdziernika pazdziernik ottobre oct okt paz",
            "november novembre listopada listopad nov lis",
            "december dezember decembre grudnia grudzien dicembre dec dez gru",
        ),
        1,
    )
    for name in names.split()
}
SPANS = {
    "working days": r"(?:working|work|business)\s?days?|wd|arbeitstag\w*|werktag\w*|"
    r"at(?=\s*(?:$|[,;.)]|nach|ab|after))|"
    r"werkdagen|werkdag|jours? ouvre\w*|dni robocz\w*|dni rob\.?|(?:giorni|gg\.?) lavorativi",
    "weeks": r"weeks?|wks?|wochen?|weken|week|semaines?|tygodni\w*|tydzien|tyg\.?|settiman[ae]",
    "months": r"months?|monat\w*|maand\w*|mois|miesi\w*|mes[ei]",
    "days": r"(?:calendar )?days?|(?:kalender)?tagen?|dagen?|dag|jours?|dni|dzien|giorn[oi]|gg\.?",
}
SPAN = re.compile(
    r"(?<![\d])(?<!\d[.,])(?P<low>\d{1,4})\s*(?:(?:-|\u2013|/|to|bis|tot|a|do)\s*(?P<high>\d{1,4})\s*)?(?:"
    + "|".join(f"(?P<{unit.replace(' ', '_')}>{words})" for unit, words in SPANS.items())
    + r")(?!\w)"
)
OPERATIONS = {
    "turning": r"turning|turned|dreh\w*|gedreht|draaien|tournage|toczenie|tornitura",
    "milling": r"milling|milled|fras\w*|gefrast|frezen|fraisage|frezowanie|fresatura",
    "drilling": r"drilling|drilled|bohren|boren|percage|wiercenie|foratura",
    "tapping": r"tapping|gewindeschneiden|tappen|taraudage|gwintowanie|maschiatura",
    "machining": r"machining|machined|zerspan\w*|bearbeitung|verspanen|usinage|obrobka",
    "grinding": r"grinding|ground|schleifen|geschliffen|slijpen|rectification|"
    r"szlifowanie|rettifica",
    "deburring": r"deburr\w*|entgrat\w*|ontbram\w*|ebavurage|gratowanie|sbavatura",
    "fettling": r"fettling|fettled|putzen|gussputzen|oczyszczanie",
    "heat treatment": r"heat.?treat\w*|warmebehandl\w*|warmtebehandeling|"
    r"traitement thermique|obrobka cieplna|trattamento termico",
    "stress relief": r"stress.?reliev\w*|stress.?relief|spannungsarm\w*|ontspannen|"
    r"detensionnement|odprezan\w*|distensione",
    "support removal": r"support removal|removal of supports|stutzen entfernen|"
    r"stutzstrukturen? entfern\w*",
    "hardening": r"hardening|hardened|"
    r"(?:einsatz|induktions?|induktiv|rand(?:schicht)?|vakuum)?harten|gehartet|trempe|hartowanie|tempra",
    "welding": r"welding|welded|schweissen|geschweisst|lassen|soudage|spawanie|saldatura",
    "bending": r"bending|bent|biegen|abkanten|kanten|zetten|pliage|giecie|piegatura",
    "laser cutting": r"laser.?cutting|laserschneiden|laserzuschnitt|lasersnijden|"
    r"decoupe laser|ciecie laserowe|taglio laser",
    "bead blasting": r"bead.?blast\w*|glasperl\w*|glasstral\w*|microbillage",
    "annealing": r"anneal\w*|weichgluh\w*|gegluht",
    "tempering": r"tempering|tempered|anlassen",
    "nitriding": r"nitrid\w*|nitrier\w*",
    "hot isostatic pressing": r"hot isostatic \w+|hip(?:ping)?",
    "straightening": r"straighten\w*|richten",
    "reaming": r"reaming|reamed|reiben|gerieben",
    "thread cutting": r"thread cutting|gewindefrasen",
    "cutting off": r"cut(?:ting)?.?off|abtrennen|absagen",
    "polishing": r"polish\w*|polier\w*|polissage|lucidatura",
    "electropolishing": r"electro.?polish\w*|elektropolier\w*",
    "tumbling": r"tumbl\w*|gleitschl\w*|trowalis\w*|tribofinition",
    "cleaning": r"cleaning|cleaned|reinig\w*|nettoyage|pulizia",
    "passivating": r"passivat\w*|passivier\w*|passivation",
    "pickling": r"pickl\w*|beizen|gebeizt|decapage",
    "nickel plating": r"nickel.?plat\w*|vernickel\w*|nickelage",
    "chrome plating": r"chrome.?plat\w*|verchrom\w*|chromage",
    "blackening": r"blacken\w*|brunier\w*",
    "leak testing": r"leak.?test\w*|dichtheitspruf\w*|dichtprufung",
    "hardness testing": r"hardness.?test\w*|harteprufung",
    "shot blasting": r"shot.?blast\w*|strahlen|gestrahlt|stralen|grenaillage|srutowanie|sabbiatura",
    "zinc plating": r"zinc.?plat\w*|verzink\w*|zingage|ocynk\w*|cynkowanie|zincatura",
    "galvanising": r"galvani[sz]\w*|feuerverzink\w*|thermisch verzink\w*|galvanisation",
    "painting": r"painting|painted|lackier\w*|lakken|peinture|malowanie|verniciatura",
    "powder coating": r"powder.?coat\w*|pulverbeschicht\w*|poedercoat\w*|thermolaquage",
    "anodising": r"anodi[sz]\w*|eloxier\w*|anodiseren|anodisation|anodowanie|anodizzazione",
    "packing": r"packing|packaging|packed|verpackung|verpakking|emballage|pakowanie|"
    r"opakowanie|imball\w*",
    "inspection": r"(?<!article )inspection|prufung|controle|kontrola|collaudo",
    "marking": r"marking|kennzeichnung|markering|marquage|znakowanie|marcatura",
    "assembly": r"assembly|montage|montaz|montaggio",
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
# A die by the words around it: alone, `die` and `dies` are German for `the` and `this`.
DIE = (
    r"(?:the|an?|one|two|new|our|your|this|all|each|per|steel|cavity|cavities|casting|forging|"
    r"trim\w*)[ -]dies?|"
    r"dies?(?= ?(?:[:=(,.;)/]|$|eur\b|gbp\b|usd\b|[\u20ac\u00a3$]|costs?\b|charges?\b|prices?\b|"
    r"life\b|for\b|with\b|has\b|stays?\b|cast\w*|makes?\b|takes?\b|is\b|are\b|will\b|"
    r"remains?\b|belongs?\b|set\b(?!-| up)))|"
    r"(?:^|(?<=- ))dies?(?= \d{1,3}[.,' ]?\d{3}(?:[.,]\d\d)?(?![\d.,])(?! ?" + PIECES + r"))"
)
# What an amount beside the piece price is for, by its words.
KINDS: dict[str, str] = {
    "minimum value": r"moq\W*$|"
    r"minimum (?:order|invoice)? ?(?:value|charge|amount)|min\.? order value|"
    r"mindest(?:bestell|auftrags|rechnungs)wert|minimum ?(?:order|bestel)(?:bedrag|waarde)|"
    r"min(?:imum|dest)?\.? ?(?:order|bestell(?:ung|ing)|auftrag)\W*$|"
    r"minimum de (?:commande|facturation)|minimaln\w+ wartosc\w*|(?:ordine|importo) minimo",
    "first article": r"first article|\bfai\b|\bfair\b|erstmuster\w*|empb|eerste artikel|"
    r"premier article|ppap|initial sample|eerste monster|pierwsz\w+ (?:sztuk|wzor)\w*",
    "set-up": r"set-?\s?up\w*|rust\w*|einricht\w*|instel\w*|omstel\w*|reglage|mise en route|"
    r"attrezzaggio|piazzamento|przezbroj\w*|uruchomieni\w*|ustawieni\w*|"
    r"programm\w* (?:cost|charge)",
    "tool": rf"tool(?:ing|s)?\b|\b(?:{DIE})\b|pattern\w*|mou?ld(?!ings?\b|ed\b)\w*|"
    r"\w*werkzeug\w*|modell\w*|"
    r"(?:guss|spritz|druckguss)form\w*|matrij\w*|gereedschap\w*|outillage\w*|moule\w*|narzedz\w*|"
    r"\w*form(?:en)?kosten|"
    r"attrezzatur\w*|stamp[oi]\b|oprzyrzadowani\w*|(?<!pro )(?<!pro-)forma\b|"
    r"\w*fixture\w*|\w*vorrichtung\w*|core ?box\w*|gietmodel\w*|kokillen?\b|coquille\w*|"
    r"kokila|conchiglia",
    "certificate": r"certificat\w*|zeugnis\w*|attest|atest|swiadectw\w*|\bapz\b",
    "packing": r"pack(?:ing|aging)|verpack\w*|verpakking\w*|emballage|opakowani\w*|pakowani\w*|"
    r"imball\w*",
    "carriage": r"carriage|freight|shipping|transport\w*|fracht\w*|versand\w*|vracht\w*|"
    r"verzend\w*|port\b|dostaw\w*|livraison|trasporto|spedizione|lieferkosten|"
    r"delivery (?:charge|cost)",
    "inspection": r"inspection|prufkosten|keuring|kontrol\w*|measuring|messung\w*|\bcmm\b",
    "programming": r"programming|programmier\w*|programmeren|programmation",
}
