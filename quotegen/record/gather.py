"""From a comparison and its advice to the facts that are put on record."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from quotegen.basics.money import rounded
from quotegen.basics.printed import counted, money
from quotegen.compare.comparison import Comparison
from quotegen.compare.route import CostAt
from quotegen.costing.offer import Offer, currencies_of
from quotegen.intake.files import XLSX_BYTES, read_file
from quotegen.judge.advice import Advice
from quotegen.model.decision import ReopenKind
from quotegen.record.facts import Condition, Facts, RateOnRecord

RATE_DIGITS = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class Agreement:
    """Who agreed to what: route names the quotes in order, empty for the recommended route."""

    agreed_by: str
    tool_version: str
    route: tuple[str, ...] = ()


def facts_of(folder: Path, comparison: Comparison, advice: Advice, agreement: Agreement) -> Facts:
    """The facts of a decision about comparison's part, on the day of the comparison.

    folder is where the files that it rests on lie. Raises ValueError where no route is
    made of the quotes that the agreement names, and Refused where a file cannot be read.
    """
    cost = _decided(comparison, advice, agreement.route)
    advised = _names(advice.cost) if advice.route is not None else ()
    route = _names(cost)
    runner_up = _runner_up(advice, cost)
    workshop = comparison.workshop.record
    return Facts(
        part=comparison.part.name,
        decided_on=comparison.today,
        agreed_by=agreement.agreed_by,
        outcome=advice.outcome.value,
        revision=comparison.part.record.revision,
        route=route,
        advised=advised if route != advised else None,
        bridge=cost.route.bridge if cost else None,
        quantity=comparison.needs.likely,
        planning_months=comparison.needs.months,
        currency=workshop.currency,
        total=cost.total if cost else None,
        committed=cost.committed if cost else None,
        runner_up=runner_up.route.name if runner_up else None,
        lead=advice.present(runner_up) - advice.present(cost) if runner_up and cost else None,
        reopen_if=tuple(_conditions(comparison, advice, cost, runner_up)),
        rates=_rates(comparison),
        assumptions=_assumptions(cost),
        files=_evidence(folder, comparison),
        tool_version=agreement.tool_version,
    )


def _names(cost: CostAt | None) -> tuple[str, ...]:
    return tuple(offer.name for offer in cost.route.offers) if cost is not None else ()


def _decided(comparison: Comparison, advice: Advice, route: tuple[str, ...]) -> CostAt | None:
    """The recommended route, or the one that was named; it must hold, but may come late."""
    if not route:
        return advice.cost if advice.route is not None else None
    known = {}
    for each in (*comparison.routes, *comparison.late):
        cost = comparison.costs.get(each.name)
        if cost is not None:
            known[_names(cost)] = cost
    if route not in known:
        choices = "; ".join(" then ".join(names) for names in sorted(known)) or "none"
        raise ValueError(f"no route by {' then '.join(route)} can be signed; there is: {choices}")
    return known[route]


def _runner_up(advice: Advice, cost: CostAt | None) -> CostAt | None:
    """The cheapest route whose main quote is another one."""
    if cost is None:
        return None
    main = cost.route.main.name
    return next((each for each in advice.ranking if each.route.main.name != main), None)


def _assumptions(cost: CostAt | None) -> tuple[str, ...]:
    if cost is None:
        return ()
    return tuple(
        dict.fromkeys(each.text for leg in cost.legs for each in leg.offer.bill.assumptions)
    )


def _evidence(folder: Path, comparison: Comparison) -> dict[str, str]:
    """The sha256 of every file that the comparison was made from, by path."""
    paths = {*comparison.workshop.files, *comparison.part.files}
    for offer in comparison.offers:
        paths |= {*offer.case.supplier.files, *offer.case.quote_entry.files}
        paths |= {*(offer.case.orders.files if offer.case.orders is not None else ())}
    return {path: fingerprint_of_file(folder, path) for path in sorted(paths)}


def fingerprint_of_file(folder: Path, path: str) -> str:
    """The sha256 of a file's bytes in hexadecimal; raises Refused where it cannot be read."""
    return read_file(folder, path, most=XLSX_BYTES, record="The record").sha256


def _rates(comparison: Comparison) -> tuple[RateOnRecord, ...]:
    """The rates of every currency that the offers or our own assumptions are written in."""
    used = set(currencies_of((comparison.workshop.record, comparison.part.record)))
    for offer in comparison.offers:
        quote = offer.case.quote
        used |= currencies_of((offer.case.item, quote.charges, quote.terms))
        used |= {quote.currency, quote.pay_in or quote.currency}
    return tuple(
        RateOnRecord(one=rate.currency, rate=rate.written, day=rate.on, source=rate.source)
        for currency, rate in sorted(comparison.rates.rates.items())
        if currency in used
    )


def _conditions(
    comparison: Comparison, advice: Advice, cost: CostAt | None, runner_up: CostAt | None
) -> Iterator[Condition]:
    """What would reopen the decision, the likeliest first."""
    if cost is not None:
        yield from _expiries(cost.route.offers)
    part = comparison.part
    yield Condition(
        kind=ReopenKind.REVISION_CHANGES,
        about=part.name,
        value=part.record.revision,
        text=f"The drawing leaves revision {part.record.revision}.",
    )
    if cost is not None and cost is advice.cost:
        yield from _least_demand(comparison, advice)
    if cost is not None and runner_up is not None:
        lead = advice.present(runner_up) - advice.present(cost)
        yield from _rate_moves(comparison, cost, runner_up, lead)
    yield Condition(
        kind=ReopenKind.QUOTE_ARRIVES,
        about=part.name,
        text="Another quote for the part arrives, or a question that was open is answered.",
    )
    yield Condition(
        kind=ReopenKind.FILE_CHANGES,
        about=part.name,
        text="A file that the decision rests on changes.",
    )


def _expiries(offers: Iterable[Offer]) -> Iterator[Condition]:
    dated = [(offer.last_day, offer) for offer in offers if offer.last_day is not None]
    for last_day, offer in sorted(dated, key=lambda each: (each[0], each[1].name)):
        yield Condition(
            kind=ReopenKind.QUOTE_EXPIRES,
            about=offer.name,
            value=last_day.isoformat(),
            text=f"Quote {offer.quote} of {offer.supplier_name} can be signed until {last_day}; "
            "it is not signed by then.",
        )


def _least_demand(comparison: Comparison, advice: Advice) -> Iterator[Condition]:
    """The likely demand no longer reaches the quantity from which the tool pays back (R14)."""
    found = advice.break_even
    first = found.first_cheaper if found is not None else None
    if found is None or first is None or first > comparison.needs.likely:
        return
    yield Condition(
        kind=ReopenKind.DEMAND_BELOW,
        about=comparison.part.name,
        value=str(first),
        text=f"The likely demand over {comparison.needs.months} months falls below "
        f"{counted(first, 'good part')}, from where on the route is cheaper than "
        f"{found.untooled.name}.",
    )


def _rate_moves(
    comparison: Comparison, cost: CostAt, runner_up: CostAt, lead: Fraction
) -> Iterator[Condition]:
    """From which rates the lead over the runner-up could be used up.

    A currency that rises by a share makes the route dearer by at most that share of what its
    quotes in this currency come to; one that falls makes the runner-up cheaper likewise. What
    they come to is not discounted, so that the change which is told is rather too small.
    """
    yield from _moves(comparison, cost, lead, ReopenKind.RATE_RISES)
    yield from _moves(comparison, runner_up, lead, ReopenKind.RATE_FALLS)


def _moves(
    comparison: Comparison, cost: CostAt, lead: Fraction, kind: ReopenKind
) -> Iterator[Condition]:
    base = comparison.workshop.record.currency
    rises = kind is ReopenKind.RATE_RISES
    for currency, total in sorted(_quoted_in(cost).items()):
        if currency == base or lead <= 0 or lead >= total:
            continue
        factor = 1 + lead / total if rises else 1 - lead / total
        value = _rate_text(comparison.rates.rates[currency].value * factor)
        yield Condition(
            kind=kind,
            about=currency,
            value=value,
            text=f"One {currency} is worth {value} {base} or {'more' if rises else 'less'}: then "
            f"the lead of {money(lead, base)} over the runner-up could be used up.",
        )


def _quoted_in(cost: CostAt) -> Mapping[str, Fraction]:
    """What the offers of a route come to, by the currency that each is quoted in."""
    found: dict[str, Fraction] = {}
    for offer in cost.route.offers:
        total = sum((line.total for line in cost.lines if line.offer == offer.name), Fraction(0))
        found[offer.currency] = found.get(offer.currency, Fraction(0)) + total
    return found


def _rate_text(value: Fraction) -> str:
    return f"{rounded(value, RATE_DIGITS).normalize():f}"
