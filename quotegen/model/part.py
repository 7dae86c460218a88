"""A part: what the drawing asks for and how many are wanted."""

from __future__ import annotations

import math
from fractions import Fraction

from quotegen.model.fields import (
    AcceptanceField,
    Count,
    Date,
    Envelope,
    Form,
    LawOfDemand,
    LawWord,
    LengthField,
    Load,
    LoadWord,
    MassField,
    MinutesField,
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
    """A toleranced feature of the drawing; without its size a tolerance says nothing."""

    name: Text
    size: LengthField | None = None
    tolerance: Text


class Face(Form):
    """A face that is machined whatever the process; size is how far the opposite one is."""

    name: Text
    size: LengthField


class Sheet(Form):
    """A drawing, model or specification that a quote is for.

    Without a revision it is that of the part.
    """

    number: Text
    title: Text
    revision: Text | None = None


class Scenario(Form):
    """One level that the demand may have, in pieces a year, and how likely it is."""

    a_year: Wanted
    weight: Share | None = None


class Demand(Form):
    """Pieces a year: the least, the likely and the most a person expects.

    by_month is the likely demand of each month, from the first in which the part is needed on:
    12 of them, or at least the planning months. The first 12 add up to the likely demand.
    Without by_month each year may want more than the one before, by growth. law says how likely
    each level between low and high is; scenarios name a few levels instead (R21).
    """

    low: Wanted
    likely: WantedSome
    high: WantedSome
    by_month: tuple[Wanted, ...] = ()
    growth: YearlyRateField | None = None
    law: LawWord = LawOfDemand.PERT
    scenarios: tuple[Scenario, ...] = ()

    @property
    def weighed(self) -> tuple[tuple[int, Fraction], ...]:
        """The scenarios with their weights; none where those do not add up to one."""
        found = tuple((each.a_year, each.weight or Fraction(0)) for each in self.scenarios)
        return found if sum(weight for _, weight in found) == 1 else ()

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
            return Fraction(self.likely, 12) * self._grown(Fraction(months))
        whole = math.floor(months)
        used = sum(self.of_month(number) for number in range(whole))
        return used + self.of_month(whole) * (months - Fraction(whole))

    def _grown(self, months: Fraction) -> Fraction:
        """So many months as months of the first year that want as much."""
        if self.growth is None:
            return months
        years, rest = divmod(months, 12)
        more = 1 + self.growth.share
        whole = sum((more**year for year in range(int(years))), Fraction(0))
        return 12 * whole + rest * more ** int(years)

    def _evenly_for(self, good: Fraction | int) -> Fraction:
        left, months, more = Fraction(good) * 12 / self.likely, Fraction(0), Fraction(1)
        while self.growth is not None and self.growth.share and left > 12 * more:
            left, months, more = left - 12 * more, months + 12, more * (1 + self.growth.share)
        return months + left / more

    def months_for(self, good: Fraction | int) -> Fraction:
        """Months at the likely demand until so many parts are used, the last of them in part.

        NEVER where the months that repeat use none.
        """
        if not self.by_month:
            return self._evenly_for(good)
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

    drawings are those that a quote is for; where none is listed, the one of the part's number.
    late_costs is for each piece and each month that it comes late; without it none may be late.
    late_is_lost means that a late piece is not delivered any more. shelf_holds is the most good
    parts in stock at once. surplus_is_worth is the share of what a part cost that one left over
    at the end still brings (R13). most_from_one_supplier is a share of all good parts bought.
    inspected_by is the workshop's labour that looks at the pieces of a delivery;
    tested_to_destruction counts pieces of each delivery.
    """

    format: FormatOne
    name: Text
    revision: Text
    drawings: tuple[Sheet, ...] = ()
    material: Text
    mass: MassField
    envelope: Envelope | None = None
    thinnest_wall: LengthField | None = None
    features: tuple[Feature, ...] = ()
    general_tolerance: Text | None = None
    machined_faces: tuple[Face, ...] = ()
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
    acceptance_quality: AcceptanceField | None = None
    inspection_takes: MinutesField | None = None
    inspected_by: Text | None = None
    tested_to_destruction: Count | None = None
    design_stands: YearlyRateField | None = None
    goods_code: Text | None = None
    note: Text | None = None

    def pieces_over(self, months: int, a_year: int) -> int:
        """Good parts still to be bought over so many months at a yearly demand.

        Any other demand than the likely one has the same months in proportion.
        """
        wanted = self.demand.likely_over(months) * a_year / self.demand.likely
        return max(0, math.ceil(wanted) - self.on_hand)
