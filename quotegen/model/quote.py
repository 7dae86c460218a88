"""A quote as written: its items, prices, tools, charges and terms."""

from __future__ import annotations

import datetime
from typing import Any

from pydantic import Field, GetJsonSchemaHandler, model_validator
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema

from quotegen.basics.days import calendar_days_after
from quotegen.model.ability import Ability
from quotegen.model.fields import (
    NOT_QUOTED,
    Breaks,
    BreaksWord,
    Count,
    Counted,
    CountedWord,
    Country,
    Currency,
    Date,
    Form,
    Found,
    FoundWord,
    IncotermWord,
    LeadFromWord,
    MadeGood,
    MadeGoodWord,
    MassField,
    MoneyField,
    OwnerWord,
    PaidWhenWord,
    Per,
    PerWord,
    PriceField,
    ProcessWord,
    QuotedCount,
    QuotedMoney,
    QuotedPrice,
    QuotedShare,
    QuotedSpan,
    QuotedText,
    Share,
    SpanField,
    Text,
    Whole,
    YearlyRateField,
    YesNo,
)
from quotegen.model.workshop import FormatOne


class Tier(Form):
    """A price from a quantity on (R1)."""

    from_: Count = Field(alias="from")
    price: QuotedPrice


class MinimumValue(Form):
    """A value below which an invoice is lifted (R3)."""

    value: MoneyField
    per: CountedWord = Counted.ORDER
    counts_charges: YesNo = False


class Charge(Form):
    """An amount beside the piece price, and what it is paid for (R4)."""

    what: Text
    amount: QuotedMoney
    per: PerWord
    batch: Count | None = None
    kind: Text | None = None


class Payment(Form):
    """One share of the invoice and when it is due (R12)."""

    share: Share
    when: PaidWhenWord
    days: Whole = 0


class Tool(Form):
    """A die, pattern or fixture that the buyer pays for (R5).

    life is in shots; each shot gives as many pieces as there are cavities, rejects counted.
    payment is how its price is paid, where that is not as the quote's own (R12).
    """

    tool: Text
    what: Text
    price: QuotedMoney
    cavities: Count = 1
    life: QuotedCount = NOT_QUOTED
    owner: OwnerWord = NOT_QUOTED
    replacement: QuotedMoney = NOT_QUOTED
    samples: QuotedMoney = NOT_QUOTED
    storage: MoneyField | None = None
    transfer: MoneyField | None = None
    takes: QuotedSpan = NOT_QUOTED
    sample_rounds: Count = 1
    sample_takes: SpanField | None = None
    duty_over: Count | None = None
    payment: tuple[Payment, ...] = ()


class SpreadTool(Form):
    """A tool paid inside the piece price (R5): the balance is owed if orders stop early."""

    what: Text
    each: MoneyField
    over: Count


class Rejects(Form):
    """The share of pieces that fail, where that shows, and what the supplier does (R9)."""

    share: Share
    found: FoundWord = Found.ON_RECEIPT
    made_good: MadeGoodWord = MadeGood.NOTHING


class Surcharge(Form):
    """A percentage of named lines, or a price for a mass; a discount is one with `off: yes` (R11).

    of names what the percentage is taken of: goods, charges, or an earlier surcharge.
    """

    what: Text
    rate: Share | None = None
    of: tuple[Text, ...] = ("goods",)
    price: PriceField | None = None
    off: YesNo = False
    condition: Text | None = None
    counted: YesNo = True
    index: Text | None = None
    dated: Date | None = None


class DeliveryTerm(Form):
    """The Incoterms rule and its named place, such as `FCA Wolverhampton` (R6)."""

    rule: IncotermWord
    place: Text

    @model_validator(mode="before")
    @classmethod
    def _from_one_line(cls, value: Any) -> Any:
        if not isinstance(value, str):
            return value
        rule, _, place = value.strip().partition(" ")
        return {"rule": rule, "place": place} if place else {"rule": rule}

    @classmethod
    def __get_pydantic_json_schema__(
        cls, core_schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        one_line = {"type": "string", "examples": ["FCA Wolverhampton"]}
        return {"anyOf": [one_line, handler(core_schema)]}


class Term(Form):
    """A condition that no rule holds, with a person's estimate in money or none (R20)."""

    term: Text
    text: Text
    estimate: MoneyField | None = None
    per: PerWord = Per.ORDER
    could_turn: YesNo = True


class PriceHold(Form):
    """How long a price stands for later orders, and the rise expected after (R15)."""

    until: Date | None = None
    then: YearlyRateField | None = None


class Item(Form):
    """What a quote says about one part."""

    part: Text
    revision: QuotedText = NOT_QUOTED
    process: ProcessWord | None = None
    material: QuotedText = NOT_QUOTED
    prices: tuple[Tier, ...]
    breaks: BreaksWord = NOT_QUOTED
    breaks_count: CountedWord = Counted.ORDER
    agreed_a_year: Count | None = None
    mass_priced: MassField | None = None
    mass_shipped: MassField | None = None
    metal_bought: MassField | None = None
    minimum: Count = 1
    multiple: Count = 1
    multiple_is: Text | None = None
    capacity_a_month: Count | None = None
    minimum_a_year: Count | None = None
    minimum_value: MinimumValue | None = None
    charges: tuple[Charge, ...] = ()
    tools: tuple[Tool, ...] = ()
    spread_tool: SpreadTool | None = None
    rejects: Rejects | None = None
    includes: tuple[Text, ...] = ()
    excludes: tuple[Text, ...] = ()
    surcharges: tuple[Surcharge, ...] = ()
    lead_time: QuotedSpan = NOT_QUOTED
    lead_time_from: LeadFromWord = NOT_QUOTED
    origin: Country | None = None
    certificates: tuple[Text, ...] = ()
    can_hold: tuple[Ability, ...] = ()
    quantity_tolerance: QuotedShare = NOT_QUOTED
    price_hold: PriceHold | None = None
    terms: tuple[Term, ...] = ()
    note: Text | None = None

    @property
    def all_units(self) -> bool:
        """True unless the quote says incremental; saying nothing is taken as all-units (R1)."""
        return self.breaks is not Breaks.INCREMENTAL


class Quote(Form):
    """quotes/<supplier>/<quote>.yaml; charges of the whole quote count in full for each part.

    notes keep what a supplier's file says and no field holds, line by line.
    """

    format: FormatOne
    quote: Text
    date: Date
    valid_until: Date | None = None
    valid_for: SpanField | None = None
    currency: Currency
    pay_in: Currency | None = None
    delivery: DeliveryTerm | None = None
    payment: tuple[Payment, ...] = ()
    tax_included: YesNo | None = None
    replaces: Text | None = None
    charges: tuple[Charge, ...] = ()
    minimum_value: MinimumValue | None = None
    items: tuple[Item, ...]
    terms: tuple[Term, ...] = ()
    note: Text | None = None
    notes: tuple[Text, ...] = ()

    def last_day(self) -> datetime.date | None:
        """The last day on which the quote can be signed; None where it does not say."""
        if self.valid_until is not None or self.valid_for is None:
            return self.valid_until
        return calendar_days_after(self.date, self.valid_for)
