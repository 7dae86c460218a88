"""Prices of tables become tiers of items: quantity, price and basis, or a question about them."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from quotegen.basics.money import minor_digits, rounded
from quotegen.basics.place import Place
from quotegen.intake.cells import SIGNS, Cell
from quotegen.model.text import MOST
from quotegen.taking.figures import (
    NUMBER,
    Basis,
    Quantity,
    Signs,
    amounts_in,
    basis_in,
    other_basis,
    price_words,
    quantity_in,
    readings_of,
)
from quotegen.taking.heads import Table, Tier
from quotegen.taking.words import ON_REQUEST, fold

# Codes of ISO 4217 that capitals in a workshop's papers may mean otherwise.
ALSO_WORDS = frozenset("ALL CAD CUP MAD NAD PEN SOS TOP TRY XXX XTS".split())
ONE = Basis(count=Fraction(1), unit="piece", said="")


@dataclass(frozen=True, slots=True, kw_only=True)
class Priced:
    """One price with every reading of it: quantities, amounts, bases, and why it is in doubt.

    total is what the file says for the whole quantity. part is as written. rivals are the tiers
    that other columns of prices say.
    """

    quantities: tuple[int, ...]
    amounts: tuple[Fraction, ...]
    basis: Basis | None
    currency: tuple[str, ...]
    seen: str
    place: Place
    quantity_place: Place
    quantity_seen: str
    total: Fraction | None = None
    total_seen: str = ""
    part: str = ""
    revision: str = ""
    material: str = ""
    called: str = ""
    doubts: tuple[str, ...] = ()
    on_request: bool = False
    bare_head: bool = False
    rivals: tuple[Mapping[str, str], ...] = ()
    table: int = 0

    @property
    def is_sure(self) -> bool:
        return (
            len(self.quantities) == 1 and len(self.amounts) == 1 and self.basis is not None
            and len(self.currency) == 1 and not self.doubts
        )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """What holds for a whole file while its prices are read.

    basis and currency are what the file, the supplier's form or a person said for all; claims
    are what lines outside the tables say that a price is for. by_layout is what a person said of
    another file of the same head; it counts where this file says nothing.
    """

    signs: Signs
    currency: tuple[str, ...] = ()
    home: str | None = None
    basis: Basis | None = None
    is_declared: bool = False
    by_layout: Basis | None = None
    claims: tuple[Basis, ...] = ()


# What no price of a piece is for; kilograms and pieces are known.
OTHER_UNIT = re.compile(
    r"(?:\bper|\bpro|\bpar|\ba|/)\s*"
    r"(lbs?|pound|oz|ounce|ft|foot|feet|inch|met(?:re|er)|mm|cm|m|litre|liter|ton(?:ne)?|hour|hr|h)\b"
)


def number_in(cell: Cell, signs: Signs) -> tuple[tuple[Fraction, ...], str]:
    """The readings of the number in a cell, and the currency mark beside it."""
    if cell.number is not None:
        return (cell.number,), cell.unit
    found = list(amounts_in(cell.text))
    if len(found) == 1:
        return readings_of(found[0].number, signs), found[0].mark
    numbers = re.findall(rf"(?<![\w.,]){NUMBER}(?![\w.,])", cell.text)
    if len(numbers) == 1 and not found:
        marks = [sign for sign in SIGNS if sign in cell.text]
        rest = cell.text.replace(numbers[0], "").strip(" .*")
        plain_words = not rest or bool(marks) or basis_in(rest) is not None
        if plain_words:
            return readings_of(numbers[0], signs), marks[0] if marks else ""
    return (), ""


def priced(table: Table, tier: Tier, setting: Setting, number: int) -> Priced:
    """Every reading of one price of a table."""
    amounts, mark = number_in(tier.price, setting.signs)
    total = number_in(tier.total, setting.signs)[0] if tier.total is not None else ()
    asked = ON_REQUEST.match(fold(tier.price.text)) is not None
    quantity, said = _quantity_of(tier, setting.signs)
    basis = _basis(table, tier, setting)
    currency = _currency(table, tier, mark, setting)
    rivals, contest = _rivals(tier, setting, quantity, basis or ONE, (amounts, currency))
    doubts = [
        *contest,
        *_troubles(tier),
        *(_unread(tier.price) if not amounts and not asked else ()),
        *_of_price(table, tier, amounts),
        *([quantity.doubt] if quantity.doubt else []),
        *_of_basis(table, amounts, mark, basis, setting),
    ]
    where = tier.quantity.place if tier.quantity is not None else tier.price.place
    return Priced(
        quantities=quantity.readings,
        amounts=tuple(dict.fromkeys(amounts)),
        basis=basis or ONE,
        currency=currency,
        seen=tier.price.text,
        place=tier.price.place,
        quantity_place=where,
        quantity_seen=said,
        total=total[0] if len(total) == 1 else None,
        total_seen=tier.total.text if tier.total is not None else "",
        part=tier.part.text if tier.part is not None else "",
        revision=tier.revision.text if tier.revision is not None else "",
        material=tier.material.text if tier.material is not None else "",
        called=tier.description.text if tier.description is not None else "",
        doubts=tuple(doubts),
        on_request=asked,
        bare_head=basis is None,
        rivals=rivals,
        table=number,
    )


def _unread(cell: Cell) -> tuple[str, ...]:
    return ("the cell is empty" if cell.is_blank else "the price cannot be read",)


def _of_price(table: Table, tier: Tier, amounts: Sequence[Fraction]) -> Iterator[str]:
    """What stands beside a price and may change it."""
    other = OTHER_UNIT.search(fold(tier.price.text))
    if other is not None:
        yield f"it is for a {other[1]}, and what a piece costs is not said"
    if len(amounts) == 2 and amounts[0] == amounts[1]:
        yield "it uses another decimal sign than the rest of the file"
    if tier.discount is not None and re.search(r"[1-9]", tier.discount.text):
        yield f"a discount stands beside it: {tier.discount.text}"
    if table.rivals:
        yield f"other columns claim the same: {', '.join(repr(c.text) for c in table.rivals)}"
    unit = other_basis(" ".join(cell.text for cell in (*tier.heads, tier.price)))
    if unit is not None:
        yield f"it is for a {unit}, and how many pieces that is is not said"


def _rivals(
    tier: Tier,
    setting: Setting,
    quantity: Quantity,
    basis: Basis,
    own: tuple[Sequence[Fraction], Sequence[str]],
) -> tuple[tuple[Mapping[str, str], ...], list[str]]:
    """What other columns say that the pieces cost, and the doubt where it is something else."""
    found: list[Mapping[str, str]] = []
    shown: list[tuple[str, str, Fraction, Basis, str]] = []
    amounts, currencies = own
    for head, cell in tier.rivals:
        values, mark = number_in(cell, setting.signs)
        other = basis_in(head.text) or basis
        named = _named(mark, head.text) or currencies
        same = (
            len(values) == len(amounts) == 1 and tuple(named) == tuple(currencies)
            and values[0] / other.count == amounts[0] / basis.count and other.unit == basis.unit
        )  # fmt: skip
        if same or not values:
            continue
        for value in values:
            for code in named or ("",):
                shown.append((head.text, cell.text, value, other, code))
                found += [reading(q, value, other, code) for q in quantity.readings if code]
    if not shown:
        return (), []
    first = tier.heads[0].text if tier.heads else ""
    count = quantity.readings[0]
    costs = [_costs(value, basis, count, code) for value in amounts for code in currencies or ("",)]
    costs += [_costs(value, other, count, code) for _, _, value, other, code in shown]
    columns = " and ".join(dict.fromkeys(f"'{name}' says {text}" for name, text, *_ in shown))
    told = f"'{first}' says {tier.price.text} and {columns}: which holds for us?"
    by_mass = basis.unit != "piece" or any(each[3].unit != "piece" for each in shown)
    more = "" if by_mass else f" At {count} pieces: {' or '.join(dict.fromkeys(costs))}."
    return tuple(found), [told + more]


def _costs(value: Fraction, basis: Basis, count: int, code: str) -> str:
    return f"{format(rounded(value * count / basis.count, 2), ',.2f')} {code}".strip()


def _named(mark: str, head: str) -> tuple[str, ...]:
    return next((codes for text in (mark, head) if (codes := currencies_in(text))), ())


ELSEWHERE = "another line of the file says what prices are for: "


def _of_basis(
    table: Table, amounts: Sequence[Fraction], mark: str, basis: Basis | None, setting: Setting
) -> Sequence[str]:
    """What speaks against taking a price at its word."""
    found = []
    head = table.heads.get("from")
    if head is not None and re.search(
        r"\d|\bkg\b|\bsets?\b|\bsatz\b|\bplat|annual|year|jahr|\bjaar|\bp\.? ?a\b|annuel|roczn",
        fold(head.text),
    ):
        found.append(f"the head of the quantities says {head.text!r}")
    if mark == "%" or any(each <= 0 for each in amounts):
        found.append("it is no price above zero")
    shown = " ".join(cell.text for cell in table.heads.values())
    if re.search(r"(?<!\w)(?:k\u20ac|t\u20ac|keur|teur|k\u00a3)", shown.casefold()):
        found.append("its head may mean thousands of the currency")
    other = [each for each in setting.claims if basis is None or each.count != basis.count]
    if other and not setting.is_declared:
        found.append(f"{ELSEWHERE}{other[0].said!r}")
    return found


def _troubles(tier: Tier) -> Sequence[str]:
    found = []
    for cell in (tier.price, tier.quantity, tier.total):
        if cell is None:
            continue
        if cell.trouble == "cell-error":
            found.append(f"the cell shows the error {cell.text}")
        elif cell.trouble == "formula-empty":
            found.append(f"the cell holds the formula {cell.text} and no value")
        if cell.hidden:
            found.append("it stands in a hidden row or column")
    if tier.price.covered or tier.price.spans[0] > 1 or (tier.price.spans[1] > 1):
        found.append("it stands in a merged cell")
    return tuple(dict.fromkeys(found))


def _quantity_of(tier: Tier, signs: Signs) -> tuple[Quantity, str]:
    """The quantity of a price; a price without one has no reading that is sure."""
    cell = tier.quantity
    if cell is None:
        return Quantity(readings=(1,), doubt="no quantity is named for it"), ""
    if cell.number is not None and cell.number.denominator == 1 and 0 < cell.number <= MOST:
        return Quantity(readings=(int(cell.number),)), cell.text
    found = quantity_in(cell.text, signs)
    if found is None:
        return Quantity(readings=(1,), doubt="its quantity cannot be read"), cell.text
    return found, cell.text


def _basis(table: Table, tier: Tier, setting: Setting) -> Basis | None:
    """What the price is for: by its own cell, its column, its head, the lines above, the file."""
    if setting.is_declared:
        return setting.basis
    if tier.basis is not None:
        own = _counted(tier.basis, setting.signs)
        if own is not None:
            return own
    beside = tier.basis.text if tier.basis is not None else ""
    texts = (tier.price.text, beside, *(cell.text for cell in reversed(tier.heads)))
    for text in texts:
        found = basis_in(text)
        if found is not None:
            return found
    return setting.basis or basis_in(table.around) or setting.by_layout


def _counted(cell: Cell, signs: Signs) -> Basis | None:
    """A column that says how many pieces a price is for."""
    found = quantity_in(cell.text, signs) if cell.number is None else None
    if cell.number is not None and cell.number > 0:
        return Basis(count=cell.number, unit="piece", said=cell.text)
    if found is not None and len(found.readings) == 1:
        return Basis(count=Fraction(found.readings[0]), unit="piece", said=cell.text)
    return None


def _currency(table: Table, tier: Tier, mark: str, setting: Setting) -> tuple[str, ...]:
    """The currencies that a price can be in; the file's own decides between those of one sign."""
    for text in (
        mark,
        tier.currency.text if tier.currency else "",
        *(c.text for c in tier.heads),
        table.around,
    ):
        found = currencies_in(text)
        if found:
            return tuple(c for c in found if c in setting.currency) or found
    return setting.currency


def currencies_in(text: str) -> tuple[str, ...]:
    """The currencies that a header or a mark can mean; none where it names none."""
    codes = re.findall(r"(?<![A-Za-z])[A-Z]{3}(?![A-Za-z])", text)
    known = [
        code for code in codes
        if minor_digits(code) is not None and (code not in ALSO_WORDS or len(text.strip()) <= 12)
    ]  # fmt: skip
    if known:
        return tuple(dict.fromkeys(known))
    euro = ("EUR",) if re.search(r"\beuros?\b", fold(text)) else ()
    signs = [SIGNS[sign] for sign in SIGNS if _shows(text, sign)]
    return euro or (signs[0] if signs else ())


def _shows(text: str, sign: str) -> bool:
    if sign in text and sign.isalpha():
        return re.search(rf"(?<!\w){re.escape(sign)}(?!\w)", text) is not None
    return sign in text


def reading(quantity: int, amount: Fraction, basis: Basis, currency: str) -> Mapping[str, str]:
    """A tier in form words."""
    return {"from": str(quantity), "price": price_words(amount, currency, basis)}


def tier_values(found: Priced) -> tuple[Mapping[str, str], ...]:
    """Every tier that a price can mean, the likeliest first."""
    basis = found.basis or ONE
    if found.on_request:
        return tuple({"from": str(count), "price": "not quoted"} for count in found.quantities)
    return tuple(
        reading(quantity, amount, basis, currency)
        for quantity in found.quantities
        for amount in found.amounts
        for currency in (found.currency or ("XXX",))
        if currency != "XXX"
    )
