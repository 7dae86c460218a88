"""The answer form as data: its numbered questions, and the blank behind each answer.

A blank has a name that is the workbook's own (a defined name, ISO/IEC 29500-1, 18.2.5), so that an
answer is found wherever its cell has moved to. The sheet, the paper and the reader all go by what
stands here.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from quotegen.model.fields import (
    Breaks,
    Found,
    Incoterm,
    LeadFrom,
    MadeGood,
    Owner,
    PaidWhen,
    Per,
    Process,
)

FORM = "quotegen answer 1"
SHEET = "Answer"
FACTS = "quotegen"  # a sheet that spreadsheets do not show: whose request this answers
WORDS = "quotegen words"  # another one: the words to choose from
FORM_NAME = "quotegen_form"  # the defined name that tells a form of ours from other workbooks
PREFIX = "answer_"

MOST_LINES = 60  # operations, certificates or quantities of one part
OWN_BREAKS, CHARGES, TOOLS, SURCHARGES, PAYMENTS = 4, 4, 3, 2, 3

YES_NO = ("yes", "no")
INCLUDED = ("included", "not included")
BASES = ("1", "100", "1000")
SPANS = ("working days", "days", "weeks", "months")


class Kind(StrEnum):
    """What may stand in a blank."""

    TEXT = "text"
    LONG = "text of several lines"
    DAY = "a date"
    WHOLE = "a whole number"
    AMOUNT = "an amount in your currency"
    SHARE = "a percentage"
    CHOICE = "one of the words in the list"
    CURRENCY = "a currency code"


ABILITIES = ("tolerance", "up to", "surface", "wall")


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """One thing the drawing asks for; ability is the line of `can hold` that a yes stands for."""

    label: str
    ability: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """What a form was made for; it travels inside, so that an answer names its own request."""

    request: str
    part: str
    revision: str
    supplier: str
    quantities: tuple[int, ...]
    operations: tuple[str, ...] = ()
    certificates: tuple[str, ...] = ()
    held: tuple[Held, ...] = ()

    @property
    def rows(self) -> tuple[tuple[str, str], ...]:
        """The facts as lines of a key and a value; the last line tells when one was changed."""
        told = [
            ("form", FORM),
            ("request", self.request),
            ("part", self.part),
            ("revision", self.revision),
            ("supplier", self.supplier),
            *(("quantity", str(each)) for each in self.quantities),
            *(("operation", each) for each in self.operations),
            *(("certificate", each) for each in self.certificates),
            *(("held", json.dumps([each.label, dict(each.ability)])) for each in self.held),
        ]
        return (*told, ("seal", seal_of(told)))


def seal_of(rows: list[tuple[str, str]]) -> str:
    """No secret: it shows a line that was changed by hand, not one that was forged."""
    return hashlib.sha256(json.dumps(rows).encode()).hexdigest()


@dataclass(frozen=True, slots=True, kw_only=True)
class Blank:
    """One cell to fill in; name is unique in the form."""

    name: str
    label: str
    kind: Kind
    choices: tuple[str, ...] = ()

    @property
    def defined(self) -> str:
        return PREFIX + self.name


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A line of a table: what is printed before it, and its blanks."""

    lead: str
    blanks: tuple[Blank, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One numbered question: single blanks, then a table where the answer is one."""

    number: int
    text: str
    blanks: tuple[Blank, ...] = ()
    lead: str = ""
    rows: tuple[Row, ...] = ()

    @property
    def every_blank(self) -> tuple[Blank, ...]:
        return (*self.blanks, *(blank for row in self.rows for blank in row.blanks))


def questions_of(facts: Facts) -> tuple[Question, ...]:
    """The same questions for every supplier, in one order, numbered from 1."""
    made = (
        Question(number=number, text=text, blanks=blanks, lead=lead, rows=rows)
        for number, (text, blanks, lead, rows) in enumerate(_asked(facts), 1)
    )
    return tuple(made)


def blanks_of(facts: Facts) -> tuple[Blank, ...]:
    return tuple(blank for each in questions_of(facts) for blank in each.every_blank)


_Asked = tuple[str, tuple[Blank, ...], str, tuple[Row, ...]]


def _asked(facts: Facts) -> Iterator[_Asked]:
    yield from _about_the_quote(facts)
    yield from _about_prices(facts)
    yield from _about_work(facts)
    yield from _about_terms()


def _about_the_quote(facts: Facts) -> Iterator[_Asked]:
    text = "Which number and date has your quote, and until which day can it be signed?"
    yield text, (_text("quote", "Number of the quote"), *_days(_QUOTE_DAYS)), "", ()
    text = "In which currency are your amounts, and is tax included in them?"
    currency = Blank(name="currency", label="Currency (three letters)", kind=Kind.CURRENCY)
    yield text, (currency, _choice("tax", "Tax included", YES_NO)), "", ()
    text = (
        f"Which revision of the drawing do you quote (we ask for {facts.revision}), "
        "in which process and material?"
    )
    process = _choice("process", "Process", tuple(each.value for each in Process))
    blanks = (_text("revision", "Revision"), process, _text("material", "Material"))
    yield text, blanks, "", ()


_QUOTE_DAYS = (("date", "Date of the quote"), ("valid_until", "Can be signed until"))


def _about_prices(facts: Facts) -> Iterator[_Asked]:
    text = (
        "What is the price of the pieces in an order of each quantity, all work included? "
        "Add quantities at which your price changes."
    )
    basis = _choice("basis", "The prices are for so many pieces", BASES)
    breaks = _choice(
        "breaks",
        "The price of the whole order counts for every piece (all-units), or for those above "
        "each quantity (incremental)",
        tuple(each.value for each in Breaks),
    )
    asked = (
        Row(
            lead=f"{quantity} pieces",
            blanks=(Blank(name=f"price_{number}", label="Price", kind=Kind.AMOUNT),),
        )
        for number, quantity in enumerate(facts.quantities, 1)
    )
    own = (
        Row(
            lead="your own quantity",
            blanks=(
                Blank(name=f"own_price_{number}", label="Price", kind=Kind.AMOUNT),
                Blank(name=f"own_from_{number}", label="from so many pieces", kind=Kind.WHOLE),
            ),
        )
        for number in range(1, OWN_BREAKS + 1)
    )
    yield text, (basis, breaks), "In an order of", (*asked, *own)
    text = "What is the smallest order, and are orders bound to a multiple?"
    blanks = (
        _whole("minimum", "Smallest order, pieces"),
        _whole("multiple", "Multiple, pieces"),
        _amount("minimum_value", "Smallest value of an order"),
    )
    yield text, blanks, "", ()
    yield _charges()
    yield _tools()
    yield _surcharges()


def _charges() -> _Asked:
    text = "What is paid beside the prices? Write 0 where there is no such charge."
    blanks = (
        _amount("set_up", "Set-up, for each order"),
        _amount("packing", "Packing, for each delivery"),
        _amount("first_article", "First-article report, once"),
    )
    per = tuple(each.value for each in Per)
    rows = tuple(
        Row(
            lead=f"other charge {number}",
            blanks=(
                _text(f"charge_what_{number}", "What for"),
                _amount(f"charge_amount_{number}", "Amount"),
                _choice(f"charge_per_{number}", "For each", per),
                _whole(f"charge_batch_{number}", "Pieces in a batch"),
            ),
        )
        for number in range(1, CHARGES + 1)
    )
    return text, blanks, "Other charges", rows


def _tools() -> _Asked:
    text = "Which tools (dies, patterns, fixtures) are to be paid for?"
    none = _choice("no_tools", "No tool is to be paid for", ("none",))
    owners = tuple(each.value for each in Owner)
    rows = tuple(
        Row(
            lead=f"tool {number}",
            blanks=(
                _text(f"tool_what_{number}", "What it is"),
                _amount(f"tool_price_{number}", "Price"),
                _whole(f"tool_cavities_{number}", "Pieces a shot"),
                _whole(f"tool_life_{number}", "Life in shots"),
                _choice(f"tool_owner_{number}", "Owner once paid", owners),
                _amount(f"tool_replacement_{number}", "Replacement"),
                _amount(f"tool_samples_{number}", "Samples"),
                _whole(f"tool_takes_{number}", "Takes"),
                _choice(f"tool_span_{number}", "Unit of time", SPANS),
            ),
        )
        for number in range(1, TOOLS + 1)
    )
    return text, (none,), "Tools", rows


def _surcharges() -> _Asked:
    text = "Which surcharges come on top, such as for metal, and by which index and day?"
    rows = tuple(
        Row(
            lead=f"surcharge {number}",
            blanks=(
                _text(f"surcharge_what_{number}", "What for"),
                _share(f"surcharge_rate_{number}", "% of the goods"),
                _amount(f"surcharge_per_kg_{number}", "or amount a kg"),
                _text(f"surcharge_index_{number}", "Index"),
                Blank(name=f"surcharge_dated_{number}", label="As of", kind=Kind.DAY),
            ),
        )
        for number in range(1, SURCHARGES + 1)
    )
    return text, (), "Surcharges", rows


def _about_work(facts: Facts) -> Iterator[_Asked]:
    text = "Is each of these operations in your price?"
    rows = tuple(
        Row(
            lead=operation,
            blanks=(_choice(f"operation_{number}", "In the price", INCLUDED),),
        )
        for number, operation in enumerate(facts.operations, 1)
    )
    if rows:
        yield text, (), "Operation", rows
    yield from _holding(facts)
    yield from _certificates(facts)


def _holding(facts: Facts) -> Iterator[_Asked]:
    text = "Do you hold each of these, with the work for it in your price?"
    rows = tuple(
        Row(lead=each.label, blanks=(_choice(f"held_{number}", "Held", YES_NO),))
        for number, each in enumerate(facts.held, 1)
    )
    if rows:
        yield text, (), "On the drawing", rows


def _certificates(facts: Facts) -> Iterator[_Asked]:
    text = "Do you supply these certificates, and at what price for each delivery?"
    rows = tuple(
        Row(
            lead=certificate,
            blanks=(
                _choice(f"certificate_{number}", "Supplied", YES_NO),
                _amount(f"certificate_price_{number}", "Price (0: in the price)"),
            ),
        )
        for number, certificate in enumerate(facts.certificates, 1)
    )
    if rows:
        yield text, (), "Certificate", rows


def _about_terms() -> Iterator[_Asked]:
    text = "How long do the pieces take, from which event, and how many can you make a month?"
    events = tuple(each.value for each in LeadFrom)
    blanks: tuple[Blank, ...] = (
        _whole("lead_time", "Lead time"),
        _choice("lead_span", "Unit of time", SPANS),
        _choice("lead_from", "Counted from", events),
        _whole("capacity", "Pieces a month at most"),
    )
    yield text, blanks, "", ()
    text = "By which rule of Incoterms 2020 and to which place do you deliver?"
    blanks = (
        _choice("rule", "Rule", tuple(each.value for each in Incoterm)),
        _text("place", "Named place"),
        _text("origin", "Country of origin (two letters)"),
    )
    yield text, blanks, "", ()
    yield _payment()
    yield from _rejects()
    text = "Until which day do these prices stand for later orders?"
    yield text, tuple(_days((("price_hold", "Prices stand until"),))), "", ()
    text = "What can still be cancelled after the order, and what does it cost?"
    yield text, (Blank(name="cancelling", label="Cancelling", kind=Kind.LONG),), "", ()
    text = "What else should we know?"
    yield text, (Blank(name="note", label="Remarks", kind=Kind.LONG),), "", ()


def _payment() -> _Asked:
    text = "How and when is the invoice to be paid? The shares add up to 100."
    events = tuple(each.value for each in PaidWhen)
    rows = tuple(
        Row(
            lead=f"payment {number}",
            blanks=(
                _share(f"payment_share_{number}", "% of the invoice"),
                _choice(f"payment_when_{number}", "After", events),
                _whole(f"payment_days_{number}", "Days after"),
            ),
        )
        for number in range(1, PAYMENTS + 1)
    )
    return text, (), "Payments", rows


def _rejects() -> Iterator[_Asked]:
    text = "What share of the pieces may be bad, and what do you do about them?"
    blanks = (
        _share("rejects", "Bad pieces, %"),
        _choice("rejects_found", "Found", tuple(each.value for each in Found)),
        _choice("rejects_made_good", "Made good by", tuple(each.value for each in MadeGood)),
        _share("tolerance", "More or fewer pieces than ordered, %"),
    )
    yield text, blanks, "", ()


def _text(name: str, label: str) -> Blank:
    return Blank(name=name, label=label, kind=Kind.TEXT)


def _whole(name: str, label: str) -> Blank:
    return Blank(name=name, label=label, kind=Kind.WHOLE)


def _amount(name: str, label: str) -> Blank:
    return Blank(name=name, label=label, kind=Kind.AMOUNT)


def _share(name: str, label: str) -> Blank:
    return Blank(name=name, label=label, kind=Kind.SHARE)


def _choice(name: str, label: str, choices: tuple[str, ...]) -> Blank:
    return Blank(name=name, label=label, kind=Kind.CHOICE, choices=choices)


def _days(names: tuple[tuple[str, str], ...]) -> Iterator[Blank]:
    return (Blank(name=name, label=label, kind=Kind.DAY) for name, label in names)
