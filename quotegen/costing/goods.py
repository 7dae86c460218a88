"""Goods and their charges: tiers (R1), minimum value (R3), charges (R4), surcharges (R11)."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from quotegen.basics.money import Price, written
from quotegen.basics.place import Key
from quotegen.basics.printed import counted
from quotegen.costing.bill import (
    Allowed,
    Assumption,
    CostLine,
    Findings,
    Gap,
    Kind,
    Scope,
    YearlyMinimum,
)
from quotegen.costing.case import Case
from quotegen.costing.schedule import (
    ORDER,
    PIECES,
    Driver,
    Lift,
    Scaled,
    Steps,
    Sum,
    batches,
    flat,
    rejected_pieces,
)
from quotegen.model.fields import Absence, Breaks, Counted, Found, MadeGood, Per
from quotegen.model.quote import Charge, MinimumValue, Surcharge

SCOPES = {Per.YEAR: Scope.YEAR, Per.REVISION: Scope.ONCE, Per.ONCE: Scope.ONCE}
PAID_ONCE = frozenset({Per.REVISION, Per.ONCE})


@dataclass(frozen=True, slots=True, kw_only=True)
class Slice:
    """From this many pieces on, so much for each piece, in the workshop's currency."""

    start: int
    each: Fraction
    price: Price
    number: int


def slices_of(case: Case) -> tuple[Slice, ...]:
    """The quoted tiers by quantity; tiers without a price are not among them."""
    priced = [
        Slice(start=tier.from_, each=case.each(tier.price), price=tier.price, number=index)
        for index, tier in enumerate(case.item.prices)
        if not isinstance(tier.price, Absence)
    ]
    return tuple(sorted(priced, key=lambda each: each.start))


def allowed_orders(case: Case) -> Allowed:
    """Which quantities may be ordered (R2); there is no price below the first tier (R1)."""
    item, slices = case.item, slices_of(case)
    first = slices[0].start if slices and item.breaks_count is not Counted.YEAR else 1
    month = item.capacity_a_month
    months = case.workshop.record.planning_months
    yearly = item.minimum_a_year or 0
    return Allowed(
        least=max(item.minimum, first),
        multiple=item.multiple,
        most=month,
        most_in_all=month * months if month else None,
        at_least_in_all=-(-yearly * months // 12),
    )


def goods(case: Case) -> Findings:
    """The price of the pieces, and the credit for rejects where the supplier gives one (R1, R9)."""
    slices = slices_of(case)
    if not slices:
        return Findings(gaps=(_no_price(case),))
    schedule = _priced(case, slices)
    line = CostLine(
        kind=Kind.GOODS,
        what="pieces at the quoted price",
        per="piece",
        rule="R1",
        place=case.at_item("prices", slices[0].number, "price"),
        schedule=schedule,
        written="; ".join(f"from {each.start}: {each.price}" for each in slices),
    )
    found = Findings(
        lines=(line,),
        gaps=_open_tiers(case) + _below_first(case, slices),
        assumptions=_how_read(case, slices),
    )
    if case.rejects.made_good is MadeGood.CREDITED and case.rejects.share:
        found += Findings(lines=(_credit(case, schedule),))
    return found


def _priced(case: Case, slices: tuple[Slice, ...]) -> Steps:
    """The price by the quantity that chooses the tier: the order, unless another is counted.

    A delivery has at most its usual size, and an order that is smaller is one delivery.
    """
    counted = _counted_quantity(case)
    if counted is None:
        return _tiers(slices, case.item.all_units)
    if case.item.breaks_count is Counted.DELIVERY and case.item.all_units:
        reached = tuple(each for each in slices if each.start <= counted)
        return _tiers(reached or slices[:1], all_units=True)
    return flat(_tiers(slices, case.item.all_units).at(counted) / counted)


def _tiers(slices: tuple[Slice, ...], all_units: bool) -> Steps:
    starts = tuple(each.start for each in slices)
    slope = tuple(each.each for each in slices)
    if all_units:
        return Steps(starts, (Fraction(0),) * len(slices), slope)
    fixed = [Fraction(0)]
    for before, here in pairwise(slices):
        fixed.append(fixed[-1] + (before.each - here.each) * (here.start - 1))
    return Steps(starts, tuple(fixed), slope)


def _counted_quantity(case: Case) -> int | None:
    """The year's or the delivery's pieces where they choose the tier; None where the order does."""
    if case.item.breaks_count is Counted.YEAR:
        return case.item.agreed_a_year or case.part.record.demand.likely
    if case.item.breaks_count is Counted.DELIVERY:
        return case.part.record.pieces_a_delivery
    return None


def _below_first(case: Case, slices: tuple[Slice, ...]) -> tuple[Gap, ...]:
    """Below the first tier there is no price, also where the tier counts a year or a delivery."""
    counted, pieces = case.item.breaks_count, _counted_quantity(case)
    if pieces is None or pieces >= slices[0].start:
        return ()
    return (
        Gap(
            code="below-first-tier",
            what=f"no price for {pieces} pieces a {counted.value}: the first is for "
            f"{slices[0].start}",
            question=f"What is the price for {pieces} pieces a {counted.value}?",
            rule="R1",
            place=case.at_item("prices", slices[0].number),
            blocks=True,
        ),
    )


def _credit(case: Case, schedule: Steps) -> CostLine:
    driver = rejected_pieces(case.rejects.share)
    return CostLine(
        kind=Kind.REJECTS,
        what="rejected pieces, credited at their price",
        per="piece",
        rule="R9",
        place=case.at_item("rejects"),
        schedule=Steps(
            schedule.starts,
            (Fraction(0),) * len(schedule.starts),
            tuple(-each for each in schedule.slope),
            driver,
        ),
        counts=driver,
        written="credited",
    )


def _no_price(case: Case) -> Gap:
    return Gap(
        code="price",
        what="no price is quoted",
        question="What is the price for each piece, and at which quantities does it change?",
        rule="R1",
        place=case.at_item("prices"),
        blocks=True,
    )


def _open_tiers(case: Case) -> tuple[Gap, ...]:
    return tuple(
        Gap(
            code="tier",
            what=f"no price from {counted(tier.from_, 'piece')} on",
            question=f"What is the price from {counted(tier.from_, 'piece')} on?",
            rule="R1",
            place=case.at_item("prices", index, "price"),
            blocks=False,
        )
        for index, tier in enumerate(case.item.prices)
        if tier.price is Absence.NOT_QUOTED
    )


def _how_read(case: Case, slices: tuple[Slice, ...]) -> tuple[Assumption, ...]:
    found = []
    if len(slices) > 1 and not isinstance(case.item.breaks, Breaks):
        text = "The quote does not say how its breaks count: the whole order is taken at its tier."
        found.append(Assumption(text=text, rule="R1", place=case.at_item("prices")))
    pieces, counted = _counted_quantity(case), case.item.breaks_count.value
    if pieces is not None and len(slices) > 1 and pieces >= slices[0].start:
        text = f"The tier is chosen by {pieces} pieces a {counted}."
        found.append(Assumption(text=text, rule="R1", place=case.at_item("breaks count")))
    if any(each.price.unit == "g" for each in slices):
        whose = "that the quote names" if case.item.mass_priced else "of the finished part"
        text = (
            f"The price by mass is taken of {written(case.mass_priced.grams)} g, the mass {whose}."
        )
        found.append(Assumption(text=text, rule="R1", place=case.at_item("prices")))
    return tuple(found)


def charges(case: Case) -> Findings:
    """The charges of the item and, in full, those of the whole quote (R4)."""
    found = Findings()
    for index, charge in enumerate(case.item.charges):
        found += _charge(case, charge, ("items", case.item_number, "charges", index))
    for index, charge in enumerate(case.quote.charges):
        found += _charge(case, charge, ("charges", index))
    if case.quote.charges and len(case.quote.items) > 1:
        text = "The charges of the whole quote count in full for this part alone."
        found += Findings(
            assumptions=(Assumption(text=text, rule="R4", place=case.at_quote("charges")),)
        )
    return found


def _charge(case: Case, charge: Charge, keys: tuple[Key, ...]) -> Findings:
    place = case.at_quote(*keys)
    if charge.amount is Absence.NOT_APPLICABLE:
        return Findings()
    if isinstance(charge.amount, Absence):
        question = f"What do you charge for {charge.what}, and is it paid per {charge.per.value}?"
        gap = Gap(
            code="charge",
            what=f"{charge.what} not quoted",
            question=question,
            rule="R4",
            place=place,
            blocks=True,
        )
        return Findings(gaps=(gap,))
    driver = driver_of(case, charge.per, charge.batch)
    return Findings(
        lines=(
            CostLine(
                kind=Kind.CHARGE,
                what=charge.what,
                per=charge.per.value,
                rule="R4",
                place=place,
                schedule=flat(case.base(charge.amount), driver),
                scope=SCOPES.get(charge.per, Scope.ORDER),
                counts=driver,
                written=f"{charge.amount} per {charge.per.value}",
                dutiable=Fraction(charge.per in PAID_ONCE),
            ),
        )
    )


def driver_of(case: Case, per: Per, batch: int | None = None) -> Driver:
    """What is counted for an amount; a batch is the item's multiple (tree, plate) unless stated."""
    if per is Per.PIECE:
        return PIECES
    if per is Per.BATCH:
        return batches(batch or case.item.multiple)
    return deliveries(case) if per is Per.DELIVERY else ORDER


def deliveries(case: Case) -> Driver:
    """How many deliveries an order comes in: one, unless the part says how many pieces each."""
    size = case.part.record.pieces_a_delivery
    return batches(size) if size else ORDER


def surcharges(case: Case, lines: Iterable[CostLine]) -> Findings:
    """Surcharges and discounts, each on the lines that it names (R11)."""
    by_name: dict[str, tuple[CostLine, ...]] = {
        "goods": tuple(line for line in lines if line.kind in (Kind.GOODS, Kind.REJECTS)),
        "charges": tuple(
            line for line in lines if line.kind is Kind.CHARGE and line.scope is Scope.ORDER
        ),
    }
    found = Findings()
    for index, surcharge in enumerate(case.item.surcharges):
        if not surcharge.counted:
            found += _not_counted(case, surcharge, index)
            continue
        line = _surcharge(case, surcharge, index, by_name)
        by_name[surcharge.what] = (line,)
        found += Findings(lines=(line,))
    return found


def _surcharge(
    case: Case, surcharge: Surcharge, index: int, by_name: dict[str, tuple[CostLine, ...]]
) -> CostLine:
    sign = -1 if surcharge.off else 1
    bases = [line.schedule for name in surcharge.of for line in by_name.get(name, ())]
    schedule: Scaled | Steps
    if surcharge.price is not None:
        schedule = flat(case.each(surcharge.price) * sign)
        as_written = str(surcharge.price)
    else:
        rate = surcharge.rate or Fraction(0)
        schedule = Scaled(Sum(tuple(bases)), rate * sign)
        as_written = f"{_per_cent(rate)} of {' and '.join(surcharge.of)}"
    dated = f", {surcharge.index}" if surcharge.index else ""
    dated += f" of {surcharge.dated}" if surcharge.dated else ""
    return CostLine(
        kind=Kind.SURCHARGE,
        what=surcharge.what,
        per="piece" if surcharge.price is not None else "order",
        rule="R11",
        place=case.at_item("surcharges", index),
        schedule=schedule,
        counts=PIECES if surcharge.price is not None else ORDER,
        written=as_written + dated,
    )


def _not_counted(case: Case, surcharge: Surcharge, index: int) -> Findings:
    condition = f" ({surcharge.condition})" if surcharge.condition else ""
    text = f"{surcharge.what.capitalize()} is not counted{condition}."
    place = case.at_item("surcharges", index)
    return Findings(assumptions=(Assumption(text=text, rule="R11", place=place),))


def _per_cent(share: Fraction) -> str:
    return f"{float(share * 100):.6g} %"


def minimum_value(case: Case, lines: tuple[CostLine, ...]) -> Findings:
    """The lift of an order's invoice to the least value that the supplier takes (R3)."""
    stated = _stated_minimum(case)
    if stated is None or stated[0].per is Counted.YEAR:
        return Findings()
    least, keys = stated
    line = CostLine(
        kind=Kind.MINIMUM,
        what="lift to the minimum value",
        per="order",
        rule="R3",
        place=case.at_quote(*keys),
        schedule=_lift(case, least, lines),
        counts=ORDER,
        written=f"{least.value} per {least.per.value} at least",
    )
    return Findings(lines=(line,))


def _lift(case: Case, least: MinimumValue, lines: tuple[CostLine, ...]) -> Lift:
    """The lift of an order; of several deliveries that are alike where a delivery has a minimum."""
    value, base = case.base(least.value), _lifted(case, least, lines)
    if least.per is Counted.DELIVERY and case.part.record.pieces_a_delivery:
        return Lift(Sum((base, flat(-value, deliveries(case)))), Fraction(0))
    return Lift(base, value)


def yearly_minimum(case: Case, lines: tuple[CostLine, ...]) -> YearlyMinimum | None:
    """A minimum value of the year, which is a rule of its own (R2, R3)."""
    stated = _stated_minimum(case)
    if stated is None or stated[0].per is not Counted.YEAR:
        return None
    least, keys = stated
    return YearlyMinimum(
        value=case.base(least.value) * case.years,
        base=_lifted(case, least, lines),
        place=case.at_quote(*keys),
    )


def _stated_minimum(case: Case) -> tuple[MinimumValue, tuple[Key, ...]] | None:
    if case.item.minimum_value is not None:
        return case.item.minimum_value, ("items", case.item_number, "minimum value")
    if case.quote.minimum_value is not None:
        return case.quote.minimum_value, ("minimum value",)
    return None


def _lifted(case: Case, least: MinimumValue, lines: tuple[CostLine, ...]) -> Sum:
    kinds = {Kind.GOODS, Kind.REJECTS}
    if least.counts_charges:
        kinds |= {Kind.CHARGE, Kind.SURCHARGE}
    return Sum(tuple(line.schedule for line in what_travels(case, lines) if line.kind in kinds))


def what_travels(case: Case, lines: Iterable[CostLine]) -> tuple[CostLine, ...]:
    """The lines of an order that are invoiced when the goods leave the supplier (R9).

    A credit for rejects comes later, when freight and duty are paid; it is taken off here only
    where the rejects are found at the supplier and stay there.
    """
    stay = case.rejects.found is Found.AT_SUPPLIER
    return tuple(
        line
        for line in lines
        if line.scope is Scope.ORDER and (stay or line.kind is not Kind.REJECTS)
    )
