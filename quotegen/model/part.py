"""A part: what the drawing asks for and how many are wanted."""

from __future__ import annotations

import math
from fractions import Fraction

from quotegen.model.fields import (
    Count,
    Date,
    Envelope,
    Form,
    LengthField,
    Load,
    LoadWord,
    MassField,
    MoneyField,
    Share,
    Text,
    Wanted,
    WantedSome,
    Whole,
    YearlyRateField,
    YesNo,
)
from quotegen.model.workshop import FormatOne

NEVER = Fraction(12_000)  # months


class Feature(Form):
    """A toleranced feature of the drawing."""

    name: Text
    size: LengthField
    tolerance: Text


class Demand(Form):
    """Pieces a year: the least, the likely and the most a person expects.

    by_month is the likely demand of each month, from the first in which the part is needed on:
    12 of them, or at least the planning months. The first 12 add up to the likely demand.
    """

    low: Wanted
    likely: WantedSome
    high: WantedSome
    by_month: tuple[Wanted, ...] = ()

    def of_month(self, number: int) -> int:
        """Good parts that are likely wanted in a month; number counts from 0.

        Months beyond those written repeat the last twelve. Where none is written, the year is
        spread evenly, each part as early as it may be wanted.
        """
        if not self.by_month:
            return math.ceil(self.likely_over(number + 1)) - math.ceil(self.likely_over(number))
        if number < len(self.by_month):
            return self.by_month[number]
        last = self.by_month[-12:]
        return last[(number - len(self.by_month)) % len(last)]

    def likely_over(self, months: Fraction | int) -> Fraction:
        """The likely demand of so many months, the last of them in part where they are not whole;
        without by_month a twelfth of a year for each."""
        if not self.by_month:
            return self.likely * Fraction(months) / 12
        whole = math.floor(months)
        used = sum(self.of_month(number) for number in range(whole))
        return used + self.of_month(whole) * (months - Fraction(whole))

    def months_for(self, good: Fraction | int) -> Fraction:
        """Months at the likely demand until so many parts are used, the last of them in part.

        NEVER where the months that repeat use none.
        """
        if not self.by_month:
            return Fraction(good) * 12 / self.likely
        written = len(self.by_month)
        a_year = sum(self.of_month(written + number) for number in range(12))
        beyond = max(Fraction(0), good - self.likely_over(written))
        years = math.ceil(beyond / a_year) - 1 if beyond and a_year else 0
        number, left = 0, Fraction(good)
        if years > 0:
            number, left = written + 12 * years, beyond - a_year * years
        while left > (wanted := self.of_month(number)):
            if number >= written + 12 and not a_year:
                return NEVER
            left, number = left - wanted, number + 1
        return number + (left / wanted if wanted else Fraction(0))


class Part(Form):
    """parts/<part>.yaml; the file's name is the part's number.

    late_costs is for each piece and each month that it comes late; without it none may be late.
    late_is_lost means that a late piece is not delivered any more. shelf_holds is the most good
    parts in stock at once. surplus_is_worth is the share of what a part cost that one left over
    at the end still brings (R13). most_from_one_supplier is a share of all good parts bought.
    """

    format: FormatOne
    name: Text
    revision: Text
    material: Text
    mass: MassField
    envelope: Envelope | None = None
    thinnest_wall: LengthField | None = None
    features: tuple[Feature, ...] = ()
    surface: Text | None = None
    operations: tuple[Text, ...] = ()
    certificates: tuple[Text, ...] = ()
    load: LoadWord = Load.NONE
    relied_on_for: Text | None = None
    demand: Demand
    lot: WantedSome | None = None
    pieces_a_delivery: Count | None = None
    needed_by: Date | None = None
    on_hand: Whole = 0
    late_costs: MoneyField | None = None
    late_is_lost: YesNo = False
    shelf_holds: Count | None = None
    surplus_is_worth: Share = Fraction(0)
    most_from_one_supplier: Share | None = None
    money_tied_up_at_most: MoneyField | None = None
    acceptance_quality: Text | None = None
    design_stands: YearlyRateField | None = None
    goods_code: Text | None = None
    note: Text | None = None

    def pieces_over(self, months: int, a_year: int) -> int:
        """Good parts still to be bought over so many months at a yearly demand.

        Any other demand than the likely one has the same months in proportion.
        """
        wanted = self.demand.likely_over(months) * a_year / self.demand.likely
        return max(0, math.ceil(wanted) - self.on_hand)
