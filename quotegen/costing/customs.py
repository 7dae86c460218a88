"""Customs: value on the footing of the receiving territory, tools in it, duty and tax (R7)."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from quotegen.basics.money import Money
from quotegen.basics.place import Place
from quotegen.costing.bill import Assumption, CostLine, Findings, Gap, Kind, Scope
from quotegen.costing.case import Case
from quotegen.costing.incoterms import RULES
from quotegen.costing.schedule import ORDER, PIECES, Scaled, Schedule, Steps, Sum
from quotegen.model.fields import Footing
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


def customs(case: Case, invoice: Schedule, lines: tuple[CostLine, ...]) -> Findings:
    """Duty and, where it does not come back, import tax, on goods that cross the border.

    invoice is what the supplier is paid for one order; lines are those of the bill so far,
    of which some join the customs value: carriage on the CIF footing, and tools and samples
    that we paid for (WTO Customs Valuation Agreement, Article 8.1(b)(ii)). The money of a
    tool is counted once, as tooling; only its duty is added here.
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
    value = Sum((invoice, *_joining(case, lines)))
    once = _paid_once(case, lines)
    goods = _duty(case, duty, number, value) + _duty_on_once(duty, once)
    return goods + _tax(case, duty.rate, value, once)


def _joining(case: Case, lines: tuple[CostLine, ...]) -> tuple[Schedule, ...]:
    """Carriage and insurance up to the border belong to the value on the CIF footing only."""
    if case.workshop.record.footing is not Footing.CIF:
        return ()
    return tuple(
        Scaled(line.schedule, line.dutiable)
        for line in lines
        if line.scope is Scope.ORDER and line.dutiable
    )


def _paid_by_seller(case: Case) -> Findings:
    text = "Duty and clearance are in the price (DDP); no import tax is counted."
    place = case.at_quote("delivery")
    return Findings(assumptions=(Assumption(text=text, rule="R7", place=place),))


def _duty_rate(case: Case) -> tuple[Duty, int] | None:
    """The rate with the longest matching goods code, the latest one in force today."""
    code = _digits(case.part.record.goods_code or "")
    found = [
        (len(_digits(duty.goods_code)), duty.since, index, duty)
        for index, duty in enumerate(case.workshop.record.duty)
        if code
        and code.startswith(_digits(duty.goods_code))
        and duty.origin == case.origin
        and duty.since <= case.today
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
    return Findings(lines=(line,), assumptions=(Assumption(text=text, rule="R7", place=place),))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Once:
    """What joins the customs value beside the goods, as a function of all pieces together."""

    what: str
    place: Place
    value: Schedule
    written: str
    tool: str


def _paid_once(case: Case, lines: tuple[CostLine, ...]) -> tuple[_Once, ...]:
    """Tools, samples and the like: with the first shipment, else spread over stated pieces.

    Interpretative note to Article 8, paragraph 1(b)(ii), points 2 to 4.
    """
    found = [
        _Once(
            what=line.what,
            place=line.place,
            value=line.schedule,
            written=line.written,
            tool=line.tool,
        )
        for line in lines
        if line.scope is Scope.ONCE and line.dutiable
    ]
    for index, tool in enumerate(case.item.tools):
        owned = tool.tool in case.workshop.record.tools_owned
        if tool.duty_over is not None and not owned and isinstance(tool.price, Money):
            value = _spread(case.base(tool.price), tool.duty_over)
            written = f"{tool.price}, over {tool.duty_over} pieces"
            place = case.at_item("tools", index)
            found.append(
                _Once(what=tool.what, place=place, value=value, written=written, tool=tool.tool)
            )
    return tuple(found)


def _duty_on_once(duty: Duty, once: tuple[_Once, ...]) -> Findings:
    lines = tuple(
        _line_once(Kind.CUSTOMS, f"duty on the {each.what}", each, duty.rate) for each in once
    )
    return Findings(lines=lines if duty.rate else ())


def _line_once(kind: Kind, what: str, once: _Once, share: Fraction) -> CostLine:
    return CostLine(
        kind=kind,
        what=what,
        per="once",
        rule="R7",
        place=once.place,
        schedule=Scaled(once.value, share),
        scope=Scope.ONCE,
        counts=ORDER,
        written=f"{float(share * 100):.6g} % of {once.written}",
        tool=once.tool,
    )


def _spread(amount: Fraction, over: int) -> Steps:
    return Steps((1, over + 1), (Fraction(0), amount), (amount / over, Fraction(0)), PIECES)


def _tax(case: Case, rate: Fraction, value: Schedule, once: tuple[_Once, ...]) -> Findings:
    workshop = case.workshop.record
    if not workshop.import_tax:
        return Findings()
    place = case.at_workshop("import tax")
    if workshop.import_tax_comes_back:
        text = "Import tax comes back and is no cost; it ties up cash for a while."
        return Findings(assumptions=(Assumption(text=text, rule="R7", place=place),))
    share = workshop.import_tax * (1 + rate)
    line = CostLine(
        kind=Kind.TAX,
        what="import tax that does not come back",
        per="order",
        rule="R7",
        place=place,
        schedule=Scaled(value, share),
        counts=ORDER,
        written=f"{float(workshop.import_tax * 100):.6g} % of customs value and duty",
    )
    more = (_line_once(Kind.TAX, f"import tax on the {each.what}", each, share) for each in once)
    return Findings(lines=(line, *more))
