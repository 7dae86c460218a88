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
    Text,
    Wanted,
    WantedSome,
    Whole,
    YearlyRateField,
)
from quotegen.model.workshop import FormatOne


class Feature(Form):
    """A toleranced feature of the drawing."""

    name: Text
    size: LengthField
    tolerance: Text


class Demand(Form):
    """Pieces a year: the least, the likely and the most a person expects."""

    low: Wanted
    likely: WantedSome
    high: WantedSome


class Part(Form):
    """parts/<part>.yaml; the file's name is the part's number."""

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
    acceptance_quality: Text | None = None
    design_stands: YearlyRateField | None = None
    goods_code: Text | None = None
    note: Text | None = None

    def pieces_over(self, months: int, a_year: int) -> int:
        """Good parts still to be bought over so many months at a yearly demand."""
        return max(0, math.ceil(Fraction(a_year * months, 12)) - self.on_hand)
