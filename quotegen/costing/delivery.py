"""From the supplier's door to our shelf: the legs that the buyer still pays (R6)."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from quotegen.basics.money import Money
from quotegen.basics.place import Place
from quotegen.costing.bill import Assumption, CostLine, Findings, Gap, Kind
from quotegen.costing.case import Case
from quotegen.costing.customs import crosses_border
from quotegen.costing.goods import deliveries
from quotegen.costing.incoterms import RULES, SELLERS_RISK, Duties
from quotegen.costing.schedule import (
    PIECES,
    Driver,
    Scaled,
    Schedule,
    flat,
    good_pieces,
    rejected_pieces,
)
from quotegen.model.fields import Found, Incoterm, MadeGood
from quotegen.model.workshop import Carriage, Delivery


@dataclass(frozen=True, slots=True, kw_only=True)
class Legs:
    """The delivery rule in force, and the assumptions for this origin, if there are any."""

    rule: Incoterm
    duties: Duties
    ends_here: bool
    assumed: Delivery | None
    number: int


def legs_of(case: Case) -> Legs:
    """A quote without a delivery rule is reckoned as EXW, so that no leg is forgotten."""
    term = case.quote.delivery
    rule = term.rule if term is not None else Incoterm.EXW
    country = case.supplier.record.country
    found = [
        (index, each)
        for index, each in enumerate(case.workshop.record.delivery)
        if each.from_country == country
    ]
    number, assumed = found[0] if found else (-1, None)
    here = rf"\b{re.escape(case.workshop.record.place.casefold())}\b"
    ends_here = term is not None and re.search(here, term.place.casefold()) is not None
    return Legs(rule=rule, duties=RULES[rule], ends_here=ends_here, assumed=assumed, number=number)


def delivery(case: Case, goods: Schedule) -> Findings:
    """Cost lines for the legs that are ours; a leg that nothing fills is a gap."""
    legs = legs_of(case)
    found = _unstated(case)
    for leg in _legs_to_pay(case, legs):
        found += _leg(case, legs, leg)
    return found + _insurance(case, legs, goods)


def _unstated(case: Case) -> Findings:
    if case.quote.delivery is not None:
        return _by_sea(case, RULES[case.quote.delivery.rule])
    place = case.at_quote()
    text = "No delivery rule is stated: costed from the supplier's door (EXW)."
    gap = Gap(
        code="delivery-rule",
        what="delivery rule and place not stated",
        question="On which Incoterms 2020 rule, and to which named place, do you deliver?",
        rule="R6",
        place=place,
        blocks=False,
    )
    return Findings(gaps=(gap,), assumptions=(Assumption(text=text, rule="R6", place=place),))


def _by_sea(case: Case, duties: Duties) -> Findings:
    """Four of the rules are meant for sea and inland waterway; said, since they are misused."""
    if not duties.sea_only or case.quote.delivery is None:
        return Findings()
    rule = case.quote.delivery.rule.value
    text = f"{rule} is a rule for sea and inland waterway; the goods are taken to go that way."
    place = case.at_quote("delivery")
    return Findings(assumptions=(Assumption(text=text, rule="R6", place=place),))


def _legs_to_pay(case: Case, legs: Legs) -> Iterator[str]:
    abroad = crosses_border(case)
    if abroad and not legs.duties.clears_export:
        yield "export clearance"
    if not legs.duties.carries:
        yield "carriage"
    elif not legs.ends_here:
        yield "on carriage"
    if abroad and not legs.duties.clears_import:
        yield "import clearance"
    if legs.assumed is not None and legs.assumed.unloading and not legs.duties.unloads:
        yield "unloading"


def _leg(case: Case, legs: Legs, leg: str) -> Findings:
    value = getattr(legs.assumed, leg.replace(" ", "_")) if legs.assumed is not None else None
    if value is None or value == Carriage():
        return Findings(gaps=(_missing_leg(case, leg),))
    place = case.at_workshop("delivery", legs.number, leg)
    if isinstance(value, Carriage):
        lines = tuple(_carriage(case, value, leg, place)) + _carried_again(case, value, leg, place)
    else:
        lines = (_flat(case, leg, value, place),)
    lines = tuple(replace(line, dutiable=_before_border(legs, leg)) for line in lines)
    text = f"{leg.capitalize()} from {case.supplier.record.country} by {_source(legs)}."
    return Findings(lines=lines, assumptions=(Assumption(text=text, rule="R6", place=place),))


def _source(legs: Legs) -> str:
    return f"our assumption ({legs.assumed.source})" if legs.assumed is not None else "nothing"


def _missing_leg(case: Case, leg: str) -> Gap:
    country = case.supplier.record.country
    return Gap(
        code="leg",
        what=f"{leg} from {country} is ours to pay and not known",
        question=f"What does {leg} from {country} cost us? Add it under `delivery`.",
        rule="R6",
        place=case.at_workshop("delivery"),
        blocks=True,
        asked_of="workshop",
    )


def _carriage(case: Case, carriage: Carriage, leg: str, place: Place) -> Iterator[CostLine]:
    if carriage.per_order is not None:
        yield _flat(case, leg, carriage.per_order, place)
    if carriage.per_kilogram is not None:
        kilograms = case.mass_shipped.kilograms
        counts = shipped(case)
        yield CostLine(
            kind=Kind.DELIVERY,
            what=f"{leg} by mass",
            per="kilogram",
            rule="R6",
            place=place,
            schedule=flat(case.base(carriage.per_kilogram) * kilograms, counts),
            counts=counts,
            scale=kilograms,
            written=f"{carriage.per_kilogram} per kg",
        )


def _carried_again(case: Case, carriage: Carriage, leg: str, place: Place) -> tuple[CostLine, ...]:
    """Replacements of pieces that failed after the way travel it as well (R9)."""
    rejects = case.rejects
    replaced = rejects.made_good is MadeGood.REPLACED and rejects.found is not Found.AT_SUPPLIER
    if carriage.per_kilogram is None or not replaced or not rejects.share:
        return ()
    kilograms, counts = case.mass_shipped.kilograms, rejected_pieces(rejects.share)
    line = CostLine(
        kind=Kind.DELIVERY,
        what=f"{leg} by mass, again for replaced pieces",
        per="kilogram",
        rule="R9",
        place=place,
        schedule=flat(case.base(carriage.per_kilogram) * kilograms, counts),
        counts=counts,
        scale=kilograms,
        written=f"{carriage.per_kilogram} per kg",
    )
    return (line,)


def _flat(case: Case, leg: str, money: Money, place: Place) -> CostLine:
    return CostLine(
        kind=Kind.DELIVERY,
        what=leg,
        per="delivery",
        rule="R6",
        place=place,
        schedule=flat(case.base(money), deliveries(case)),
        counts=deliveries(case),
        written=f"{money} per delivery",
    )


def shipped(case: Case) -> Driver:
    """The pieces that travel: all, unless rejects are found before they leave (R9)."""
    rejects = case.rejects
    kept_back = rejects.found is Found.AT_SUPPLIER and rejects.share > 0
    if rejects.made_good is MadeGood.REPLACED or not kept_back:
        return PIECES
    return good_pieces(rejects.share)


def _insurance(case: Case, legs: Legs, goods: Schedule) -> Findings:
    """A share of the goods' value where they travel at our risk and the seller insures nothing."""
    share = legs.assumed.insurance if legs.assumed is not None else None
    if not share or legs.duties.insures or legs.rule in SELLERS_RISK:
        return Findings()
    line = CostLine(
        kind=Kind.DELIVERY,
        what="insurance of the carriage",
        per="delivery",
        rule="R6",
        place=case.at_workshop("delivery", legs.number, "insurance"),
        schedule=Scaled(goods, share),
        counts=deliveries(case),
        written=f"{float(share * 100):.6g} % of the goods",
        dutiable=_before_border(legs, "carriage"),
    )
    return Findings(lines=(line,))


def _before_border(legs: Legs, leg: str) -> Fraction:
    """The share of a leg that belongs to a customs value on the CIF footing (R7)."""
    if leg == "carriage" and legs.assumed is not None:
        return legs.assumed.to_border
    return Fraction(1) if leg == "export clearance" else Fraction(0)
