"""From one case to its bill: the rules in the order in which one builds on the other."""

from __future__ import annotations

from fractions import Fraction

from quotegen.basics.days import in_words
from quotegen.basics.money import Money
from quotegen.basics.printed import per_cent
from quotegen.costing.bill import Assumption, Bill, CostLine, Findings, Gap, Kind, Scope
from quotegen.costing.case import Case
from quotegen.costing.completion import completion
from quotegen.costing.customs import customs
from quotegen.costing.delivery import delivery
from quotegen.costing.fitting import fit_said
from quotegen.costing.goods import (
    SCOPES,
    allowed_orders,
    charges,
    driver_of,
    goods,
    minimum_value,
    surcharges,
    what_travels,
    yearly_minimum,
)
from quotegen.costing.inspection import inspection
from quotegen.costing.limits import beyond_reckoning, less_than_nothing
from quotegen.costing.schedule import ORDER, Sum, flat
from quotegen.costing.tooling import tooling
from quotegen.model.fields import Absence, MadeGood
from quotegen.model.quote import Term


def bill_of(case: Case) -> Bill:
    """Every cost line of the item in the workshop's currency, with gaps and assumptions."""
    invoiced = _invoice(case)
    travels = what_travels(case, invoiced.lines)
    value = Sum(tuple(line.schedule for line in travels))
    paid = invoiced + tooling(case) + delivery(case, value)
    found = (
        paid
        + customs(case, value, paid.lines)
        + completion(case)
        + inspection(case, invoiced.lines)
        + fit_said(case)
        + _fees(case)
        + _terms(case)
        + _rejects_said(case)
        + _tax_said(case)
        + _quantity_said(case)
        + _usual_time_said(case)
        + _later_orders_said(case)
    )
    yearly = yearly_minimum(case, invoiced.lines)
    found += beyond_reckoning(case, found.lines, yearly) + less_than_nothing(case, invoiced.lines)
    replaced = case.rejects.made_good is MadeGood.REPLACED and case.rejects.share < 1
    return Bill(
        lines=found.lines,
        gaps=found.gaps,
        assumptions=found.assumptions,
        allowed=allowed_orders(case),
        rejects=Fraction(0) if replaced else case.rejects.share,
        years=case.years,
        yearly_minimum=yearly,
    )


def _invoice(case: Case) -> Findings:
    """What the supplier's invoice holds: goods, charges, surcharges, the lift to a minimum."""
    found = goods(case) + charges(case)
    found += surcharges(case, found.lines)
    return found + minimum_value(case, found.lines)


def _fees(case: Case) -> Findings:
    """The bank's fee for a payment in a foreign currency (R6)."""
    workshop = case.workshop.record
    currency = case.quote.pay_in or case.quote.currency
    if workshop.bank_fee is None or currency == workshop.currency:
        return Findings()
    line = CostLine(
        kind=Kind.FEE,
        what=f"bank fee for a payment in {currency}",
        per="order",
        rule="R6",
        place=case.at_workshop("bank fee"),
        schedule=flat(case.base(workshop.bank_fee), ORDER),
        counts=ORDER,
        written=f"{workshop.bank_fee} per payment",
    )
    return Findings(lines=(line,))


def _terms(case: Case) -> Findings:
    """Terms that no rule holds: a person's estimate is a cost line, none is a gap (R20)."""
    found = Findings()
    for index, term in enumerate(case.item.terms):
        found += _term(case, term, ("items", case.item_number, "terms", index))
    for index, term in enumerate(case.quote.terms):
        found += _term(case, term, ("terms", index))
    return found


def _term(case: Case, term: Term, keys: tuple[str | int, ...]) -> Findings:
    place = case.at_quote(*keys)
    if term.estimate is not None:
        return Findings(lines=(_estimated(case, term, term.estimate, keys),))
    if not term.could_turn:
        text = f"{term.term.capitalize()} is noted, not costed: {term.text}"
        return Findings(assumptions=(Assumption(text=text, rule="R20", place=place),))
    gap = Gap(
        code="term",
        what=f"{term.term} has no estimate and could turn the answer",
        question=f"What does {term.term} come to in money? ({term.text})",
        rule="R20",
        place=place,
        blocks=True,
    )
    return Findings(gaps=(gap,))


def _estimated(case: Case, term: Term, estimate: Money, keys: tuple[str | int, ...]) -> CostLine:
    driver = driver_of(case, term.per)
    return CostLine(
        kind=Kind.TERM,
        what=f"{term.term}, estimated",
        per=term.per.value,
        rule="R20",
        place=case.at_quote(*keys),
        schedule=flat(case.base(estimate), driver),
        scope=SCOPES.get(term.per, Scope.ORDER),
        counts=driver,
        written=f"{estimate} per {term.per.value}, a person's estimate",
    )


def _rejects_said(case: Case) -> Findings:
    """Where the quote is silent about rejects, what was reckoned instead (R9)."""
    received = _received_said(case)
    if case.item.rejects is not None:
        return received
    seen = case.supplier.record.rejects_seen
    place = case.at_item() if seen is None else case.supplier.places.of("rejects seen")
    text = (
        "The quote does not speak of rejects: every piece is taken to be good."
        if seen is None
        else f"Rejects as seen from {case.supplier.record.name} so far: {float(seen * 100):.6g} %."
    )
    gap = Gap(
        code="rejects",
        what="reject share and its remedy not stated",
        question="Which share of rejects do you expect, and do you credit or replace them?",
        rule="R9",
        place=place,
        blocks=False,
    )
    silent = (Assumption(text=text, rule="R9", place=place),)
    return Findings(gaps=(gap,), assumptions=received.assumptions or silent)


def _received_said(case: Case) -> Findings:
    """Where deliveries were looked at, what they and the stated share come to together (R9)."""
    received = case.received
    if received is None:
        return Findings()
    whose = "The quote states" if case.item.rejects else f"{case.supplier.record.name} had"
    text = received.told(case.rejects_stated, case.lot, whose)
    said = Assumption(text=text, rule="R9", place=received.place)
    return Findings(assumptions=(said,))


def _tax_said(case: Case) -> Findings:
    """Prices with tax in them are no footing: how much of it comes back is not known."""
    if not case.quote.tax_included:
        return Findings()
    gap = Gap(
        code="tax",
        what="the prices include tax",
        question="What are the prices without tax?",
        rule="R7",
        place=case.at_quote("tax included"),
        blocks=True,
    )
    return Findings(gaps=(gap,))


def _quantity_said(case: Case) -> Findings:
    """The invoice follows what was delivered; the figures are for what was ordered (R9)."""
    tolerance = case.item.quantity_tolerance
    if isinstance(tolerance, Absence) or not tolerance:
        return Findings()
    text = (
        f"Costed for the pieces ordered: up to {per_cent(tolerance)} more may be invoiced, "
        f"or {per_cent(tolerance)} fewer arrive."
    )
    place = case.at_item("quantity tolerance")
    return Findings(assumptions=(Assumption(text=text, rule="R9", place=place),))


def _usual_time_said(case: Case) -> Findings:
    """Where the quote has no lead time, the supplier's usual one is used and said (R17)."""
    usual = case.supplier.record.usual_lead_time
    if usual is None or case.item.lead_time is not Absence.NOT_QUOTED:
        return Findings()
    text = f"The quote has no lead time; the usual {usual} of {case.supplier.record.name} is used."
    place = case.supplier.places.of("usual lead time")
    return Findings(assumptions=(Assumption(text=text, rule="R17", place=place),))


def _later_orders_said(case: Case) -> Findings:
    """Orders have no date in a plain comparison: all are reckoned at today's price (R15)."""
    hold = case.item.price_hold
    text = "Later orders are costed at today's prices; the quote promises nothing about them."
    if hold is not None:
        until = f" The price is held until {in_words(hold.until)}." if hold.until else ""
        rise = ""
        if hold.then:
            rate = per_cent(hold.then.share)
            rise = f" After that it may rise by {rate} a year; a plan counts it."
        text = f"A plain comparison costs later orders at today's prices.{until}{rise}"
    place = case.at_item("price hold")
    return Findings(assumptions=(Assumption(text=text, rule="R15", place=place),))
