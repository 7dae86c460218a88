"""From the supplier's door to our shelf: the legs that the buyer still pays (R6)."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from quotegen.basics.money import Money
from quotegen.basics.place import Place
from quotegen.costing.bill import Assumption, CostLine, Findings, Gap, Kind
from quotegen.costing.case import Case
from quotegen.costing.customs import crosses_border
from quotegen.costing.goods import deliveries
from quotegen.costing.incoterms import RULES, SELLERS_RISK, Duties
from quotegen.costing.schedule import PIECES, Driver, Scaled, Schedule, flat, good_pieces
from quotegen.model.fields import Found, Incoterm
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
    here = case.workshop.record.place.casefold()
    ends_here = term is not None and here in term.place.casefold()
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
        return Findings()
    place = case.at_quote()
    text = "No delivery rule is stated: reckoned from the supplier's door (EXW)."
    gap = Gap(
        code="delivery-rule",
        what="delivery rule and place not stated",
        question="On which Incoterms 2020 rule, and to which named place, do you deliver?",
        rule="R6",
        place=place,
        blocks=False,
    )
    return Findings(gaps=(gap,), assumptions=(Assumption(text=text, rule="R6", place=place),))


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


def _leg(case: Case, legs: Legs, leg: str) -> Findings:
    value = getattr(legs.assumed, leg.replace(" ", "_")) if legs.assumed is not None else None
    if value is None:
        return Findings(gaps=(_missing_leg(case, leg),))
    place = case.at_workshop("delivery", legs.number, leg)
    if isinstance(value, Carriage):
        lines = tuple(_carriage(case, value, leg, place))
    else:
        lines = (_flat(case, leg, value, deliveries(case), "delivery", place),)
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
        yield _flat(case, leg, carriage.per_order, deliveries(case), "delivery", place)
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


def _flat(
    case: Case, leg: str, money: Money, driver: Driver, per: str, place: Place
) -> CostLine:
    return CostLine(
        kind=Kind.DELIVERY,
        what=leg,
        per=per,
        rule="R6",
        place=place,
        schedule=flat(case.base(money), driver),
        counts=driver,
        written=f"{money} per {per}",
    )


def shipped(case: Case) -> Driver:
    """The pieces that travel: all, unless rejects are found before they leave (R9)."""
    rejects = case.rejects
    at_supplier = rejects.found is Found.AT_SUPPLIER and rejects.share > 0
    return good_pieces(rejects.share) if at_supplier else PIECES


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
    )
    return Findings(lines=(line,))


def before_border(case: Case) -> Fraction:
    """The share of our carriage that belongs to a customs value on the CIF footing (R7)."""
    assumed = legs_of(case).assumed
    return assumed.to_border if assumed is not None else Fraction(1)
