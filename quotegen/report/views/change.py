"""What would change the answer: the quantity, the money, the currency, the day and the drawing."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from quotegen.basics.days import in_words
from quotegen.basics.printed import counted, listed, per_cent, round_difference, round_money
from quotegen.compare.comparison import Comparison
from quotegen.compare.envelope import Span
from quotegen.compare.route import CostAt, Route, exposure_of
from quotegen.costing.offer import Standing
from quotegen.judge.advice import Advice, Outcome
from quotegen.judge.reasons import saved_by
from quotegen.judge.turning.over_two import Turned
from quotegen.report.views.names import currency_of, imperative, settled_routes, tools_of
from quotegen.report.views.quantity import span_at
from quotegen.report.views.shape import Fact
from quotegen.report.views.turning import turning_facts

MOVE = 20  # one twentieth, 5 %


def changes(
    comparison: Comparison, advice: Advice, turned: Turned | None = None
) -> tuple[Fact, ...]:
    """Each as a condition and what follows, the nearest first.

    Where routes are planned to the piece, figures turn the answer as their plans have it; else
    as the plain comparison has it.
    """
    return tuple(_changes(comparison, advice, turned))


def _changes(comparison: Comparison, advice: Advice, turned: Turned | None) -> Iterator[Fact]:
    if turned is not None and turned.bench is not None:
        yield from turning_facts(comparison, turned)
        yield from _by_answer(comparison, advice)
    else:
        yield from _plainly(comparison, advice)
    yield from _by_sales(advice)
    yield _by_drawing(comparison, advice)
    yield from _by_day(advice)


def _by_sales(advice: Advice) -> Iterator[Fact]:
    """Sales that say that the tool pays (R22), where waiting for them costs less on average."""
    outlook = advice.outlook
    if outlook is None or outlook.staged is None or outlook.trigger is None or advice.cost is None:
        return
    rule, own = outlook.trigger.rule, outlook.routes.get(advice.cost.route.name)
    if rule is not None and rule.count and own is not None and outlook.staged.mean < own.mean:
        label = f"{counted(rule.count, 'piece')} sold by {in_words(rule.last)}"
        yield Fact(label=label, text=f"order the {outlook.trigger.tool}, and not before")


def _plainly(comparison: Comparison, advice: Advice) -> Iterator[Fact]:
    if advice.outcome is Outcome.CHOSEN and advice.route is not None:
        yield from _by_quantity(comparison, advice, advice.route)
        yield from _by_money(comparison, advice)
    yield from _by_answer(comparison, advice)
    if advice.outcome is Outcome.CHOSEN and advice.cost is not None:
        yield from by_currency(comparison, advice.cost)


def _by_quantity(comparison: Comparison, advice: Advice, route: Route) -> Iterator[Fact]:
    """Below and above which number another route is the one to take, where that is one number."""
    months, reach = comparison.needs.months, comparison.envelope.reach
    own = [span for span in comparison.envelope.spans if span.route.name == route.name]
    found = advice.break_even
    if found is not None and found.first_cheaper is not None and found.first_cheaper > 1:
        label = f"fewer than {found.first_cheaper:,} in {months} months"
        yield Fact(label=label, text=_instead(found.untooled))
    elif found is None and len(own) == 1 and own[0].first > 1:
        label = f"fewer than {own[0].first:,} in {months} months"
        yield from _then(label, span_at(comparison, own[0].first - 1))
    if len(own) == 1 and own[0].last < reach:
        label = f"more than {own[0].last:,} in {months} months"
        yield from _then(label, span_at(comparison, own[0].last + 1))


def _then(label: str, span: Span | None) -> Iterator[Fact]:
    if span is not None:
        yield Fact(label=label, text=_instead(span.route))


def _instead(route: Route) -> str:
    return f"{imperative(route)} instead"


def _by_money(comparison: Comparison, advice: Advice) -> Iterator[Fact]:
    if advice.runner_up is None or advice.cost is None or not advice.lead or advice.lead < 0:
        return
    more = round_difference(advice.expected(advice.runner_up), advice.expected(advice.cost))
    step = advice.rounded_to(advice.cost, advice.runner_up).regret
    more = max(step, round(more / step) * step)
    label = f"{more:,} {currency_of(comparison)} more to pay on this route"
    yield Fact(label=label, text=_instead(advice.runner_up.route))


def _by_answer(comparison: Comparison, advice: Advice) -> Iterator[Fact]:
    """What an offer that cannot be signed today would bring."""
    for each in advice.unsettled:
        name = each.offer.supplier_name
        renewed = each.offer.standing is Standing.EXPIRED
        label = f"{name} renews its prices" if renewed else f"an answer from {name}"
        saving = saved_by(each, currency_of(comparison))
        if saving:
            yield Fact(label=label, text=f"up to {saving} less")
        elif each.cost is not None:
            so_far = round_money(each.cost.total, currency_of(comparison))
            yield Fact(label=label, text=f"{so_far} so far, without what is missing")
        else:
            yield Fact(label=label, text="a price to compare")


def by_currency(comparison: Comparison, cost: CostAt) -> Iterator[Fact]:
    """How much of the money is paid in another currency, and what its rate can do (R10)."""
    own = currency_of(comparison)
    for currency, amount in exposure_of(cost).items():
        if currency != own and amount > 0:
            share = per_cent(Fraction(round(100 * amount / cost.total), 100))
            move = round_money(amount / MOVE, own)
            yield Fact(
                label=f"5 % on the rate of {currency}",
                text=f"{move} more or less: {share} is paid in {currency}",
            )


def _by_day(advice: Advice) -> Iterator[Fact]:
    """When the first quote of each route in question ends."""
    routes = settled_routes(advice) or ((advice.cost.route,) if advice.cost else ())
    for route in routes:
        ends = sorted((each.last_day, each.supplier_name) for each in route.offers if each.last_day)
        for last, who in ends[:1]:
            yield Fact(label=f"not signed by {in_words(last)}", text=f"ask {who} for new prices")


def _by_drawing(comparison: Comparison, advice: Advice) -> Fact:
    tools = tools_of(advice.route.offers) if advice.route is not None else []
    lost = f"; the {listed(tools)} may be lost" if tools else ""
    revision, chance = comparison.part.record.revision, chance_that_it_stands(comparison)
    stands = f". Chance that {revision} stands: {chance}" if chance else ""
    return Fact(label=f"a revision later than {revision}", text=f"ask all again{lost}{stands}")


def chance_that_it_stands(comparison: Comparison) -> str:
    """That no new revision comes, in a year and over the plan; nothing where nobody said it."""
    stands, months = comparison.part.record.design_stands, comparison.needs.months
    if stands is None:
        return ""
    chance = Fraction(round(float(stands.share) ** (months / 12) * 100), 100)
    return f"{per_cent(stands.share)} a year, about {per_cent(chance)} over {months} months"
