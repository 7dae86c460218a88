"""Customs: value on the footing of the receiving territory, tools in it, duty and tax (R7)."""

from __future__ import annotations

import re
from fractions import Fraction

from quotegen.basics.place import Place
from quotegen.costing.bill import Assumption, CostLine, Findings, Gap, Kind, Scope
from quotegen.costing.case import Case
from quotegen.costing.incoterms import RULES
from quotegen.costing.schedule import ORDER, PIECES, Scaled, Schedule, Steps, Sum, flat
from quotegen.model.fields import Absence, Footing
from quotegen.model.quote import Tool
from quotegen.model.workshop import Duty

# The customs territory of the Union: Regulation (EU) 952/2013, Article 4, by member state
# (Monaco belongs to it as well).
EUROPEAN_UNION = frozenset(
    "AT BE BG HR CY CZ DK EE FI FR DE GR HU IE IT LV LT LU MT NL PL PT RO SK SI ES SE MC".split()
)


def territory(case: Case) -> frozenset[str]:
    """The countries between which the workshop pays no duty."""
    workshop = case.workshop.record
    if workshop.customs_territory:
        return frozenset({workshop.country, *workshop.customs_territory})
    if workshop.country in EUROPEAN_UNION:
        return EUROPEAN_UNION
    return frozenset({workshop.country})


def crosses_border(case: Case) -> bool:
    """Whether the goods come from outside our customs territory."""
    return case.supplier.record.country not in territory(case)


def customs(case: Case, invoice: tuple[CostLine, ...], carriage: tuple[Schedule, ...]) -> Findings:
    """Duty and, where it does not come back, import tax, on goods that cross the border.

    invoice holds the lines that the supplier is paid; carriage the schedules that join them
    on the CIF footing. The value of a tool that we paid for belongs to the customs value
    (WTO Customs Valuation Agreement, Article 8.1(b)(ii)); only its duty is added here.
    """
    if not crosses_border(case):
        return Findings()
    term = case.quote.delivery
    if term is not None and RULES[term.rule].clears_import:
        return _paid_by_seller(case)
    found = _duty_rate(case)
    if found is None:
        return Findings(gaps=(_no_rate(case),))
    duty, number = found
    goods = tuple(line.schedule for line in invoice if line.scope is Scope.ORDER)
    joined = carriage if case.workshop.record.footing is Footing.CIF else ()
    value = Sum(goods + joined)
    return _duty(case, duty, number, value) + _tax(case, duty.rate, value)


def _paid_by_seller(case: Case) -> Findings:
    text = "Duty and clearance are in the price (DDP); no import tax is reckoned."
    place = case.at_quote("delivery")
    return Findings(assumptions=(Assumption(text=text, rule="R7", place=place),))


def _duty_rate(case: Case) -> tuple[Duty, int] | None:
    """The rate with the longest matching goods code, the latest one in force today."""
    code = _digits(case.part.record.goods_code or "")
    found = [
        (len(_digits(duty.goods_code)), duty.since, index, duty)
        for index, duty in enumerate(case.workshop.record.duty)
        if code and code.startswith(_digits(duty.goods_code))
        and duty.origin == case.origin and duty.since <= case.today
    ]
    if not found:
        return None
    _, _, index, duty = max(found, key=lambda each: each[:3])
    return duty, index


def _digits(code: str) -> str:
    return re.sub(r"\D", "", code)


def _no_rate(case: Case) -> Gap:
    code = case.part.record.goods_code
    goods = f"goods code {code}" if code else "this part, which has no goods code,"
    return Gap(
        code="duty",
        what=f"duty on {goods} from {case.origin} not known",
        question=f"Which rate of duty applies to {goods} from {case.origin}? Ask a customs broker.",
        rule="R7",
        place=case.at_workshop("duty"),
        blocks=True,
        asked_of="workshop",
    )


def _duty(case: Case, duty: Duty, number: int, value: Schedule) -> Findings:
    place = case.at_workshop("duty", number)
    rate = f"{float(duty.rate * 100):.6g} %"
    line = CostLine(
        kind=Kind.CUSTOMS,
        what="duty on the goods",
        per="order",
        rule="R7",
        place=place,
        schedule=Scaled(value, duty.rate),
        counts=ORDER,
        written=f"{rate} of the customs value, {case.workshop.record.footing.value} footing",
    )
    text = f"Duty of {rate} on {duty.goods_code} from {duty.origin} ({duty.source})."
    found = Findings(
        lines=(line,), assumptions=(Assumption(text=text, rule="R7", place=place),)
    )
    for index, tool in enumerate(case.item.tools):
        found += _duty_on_tool(case, tool, duty.rate, case.at_item("tools", index))
    return found


def _duty_on_tool(case: Case, tool: Tool, rate: Fraction, place: Place) -> Findings:
    """The duty on the tool's share of the goods' value: with the first shipment, else per piece.

    Interpretative note to Article 8, paragraph 1(b)(ii), points 2 to 4.
    """
    owned = tool.tool in case.workshop.record.tools_owned
    if owned or isinstance(tool.price, Absence) or not rate:
        return Findings()
    amount = case.base(tool.price) * rate
    schedule: Steps = flat(amount, ORDER)
    over = "the first shipment"
    if tool.duty_over is not None:
        share = amount / tool.duty_over
        schedule = Steps((1, tool.duty_over + 1), (Fraction(0), amount), (share, Fraction(0)), PIECES)
        over = f"{tool.duty_over} pieces"
    line = CostLine(
        kind=Kind.CUSTOMS,
        what=f"duty on the value of the {tool.what}",
        per="once",
        rule="R7",
        place=place,
        schedule=schedule,
        scope=Scope.ONCE,
        counts=ORDER,
        written=f"{float(rate * 100):.6g} % of {tool.price}, with {over}",
    )
    return Findings(lines=(line,))


def _tax(case: Case, rate: Fraction, value: Schedule) -> Findings:
    workshop = case.workshop.record
    if not workshop.import_tax:
        return Findings()
    place = case.at_workshop("import tax")
    if workshop.import_tax_comes_back:
        text = "Import tax comes back and is no cost; it ties up cash for a while."
        return Findings(assumptions=(Assumption(text=text, rule="R7", place=place),))
    line = CostLine(
        kind=Kind.TAX,
        what="import tax that does not come back",
        per="order",
        rule="R7",
        place=place,
        schedule=Scaled(value, workshop.import_tax * (1 + rate)),
        counts=ORDER,
        written=f"{float(workshop.import_tax * 100):.6g} % of customs value and duty",
    )
    return Findings(lines=(line,))
