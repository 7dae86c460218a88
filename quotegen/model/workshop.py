"""The workshop: who buys, and the assumptions that fill what a quote leaves open."""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated, Literal

from pydantic import BeforeValidator, Field

from quotegen.model.fields import (
    Count,
    Country,
    Currency,
    Date,
    Footing,
    FootingWord,
    Form,
    MoneyField,
    Months,
    PriceField,
    Share,
    SpanField,
    Text,
    WorthField,
    YearlyRateField,
    YesNo,
)


def _one(value: object) -> object:
    return 1 if value == "1" else value


FormatOne = Annotated[Literal[1], BeforeValidator(_one)]


class Rate(Form):
    """One unit of a foreign currency in the workshop's own, on a day, from a source (R10)."""

    one: Currency
    is_worth: WorthField
    on: Date
    source: Text


class Completion(Form):
    """What the workshop itself pays for an operation that a quote leaves out (R8).

    done here marks an operation that is always ours, so that no supplier is asked about it.
    """

    operation: Text
    price: PriceField | None = None
    minutes: Count | None = None
    labour: Text | None = None
    per_order: MoneyField | None = None
    takes: SpanField | None = None
    done_here: YesNo = False
    source: Text


class Labour(Form):
    """The hourly rate of one kind of work in the workshop."""

    work: Text
    rate: MoneyField
    source: Text


class Carriage(Form):
    """What one delivery costs on one leg."""

    per_order: MoneyField | None = None
    per_kilogram: MoneyField | None = None


class Delivery(Form):
    """What the buyer pays on the way from one country, leg by leg (R6, R7).

    to_border is the share of the main carriage that falls before the customs border.
    """

    from_country: Country = Field(alias="from")
    export_clearance: MoneyField | None = None
    carriage: Carriage | None = None
    to_border: Share = Fraction(1)
    insurance: Share | None = None
    import_clearance: MoneyField | None = None
    on_carriage: Carriage | None = None
    unloading: MoneyField | None = None
    takes: SpanField | None = None
    clearance_takes: SpanField | None = None
    source: Text


class Duty(Form):
    """A rate of import duty for a goods code and an origin from a day on (R7)."""

    goods_code: Text
    origin: Country
    rate: Share
    since: Date
    source: Text


class Workshop(Form):
    """workshop.yaml.

    tooling_budget is the most that may be spent on tools in a year.
    """

    format: FormatOne
    name: Text
    currency: Currency
    place: Text
    country: Country
    customs_territory: tuple[Country, ...] = ()
    customs_value: FootingWord | None = None
    compared_on: Date | None = None
    planning_start: Date
    planning_months: Months
    cost_of_capital: YearlyRateField
    storage: YearlyRateField
    close_call: Share = Fraction(3, 100)
    rates: tuple[Rate, ...] = ()
    bank_fee: MoneyField | None = None
    labour: tuple[Labour, ...] = ()
    completion: tuple[Completion, ...] = ()
    delivery: tuple[Delivery, ...] = ()
    duty: tuple[Duty, ...] = ()
    import_tax: Share = Fraction(0)
    import_tax_comes_back: YesNo = True
    sample_approval: SpanField | None = None
    inspection_takes: SpanField | None = None
    tooling_budget: MoneyField | None = None
    tools_owned: tuple[Text, ...] = ()
    note: Text | None = None

    @property
    def footing(self) -> Footing:
        """The customs value's footing: as written, else FOB for the US and CIF elsewhere (R7)."""
        if self.customs_value is not None:
            return self.customs_value
        return Footing.FOB if self.country == "US" else Footing.CIF
