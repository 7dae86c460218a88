"""How sure the answer is over all futures, and when to order the tool (R21, R22)."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from quotegen.basics.days import in_words
from quotegen.basics.money import rounded
from quotegen.basics.printed import counted, listed, per_cent, shared_out
from quotegen.compare.comparison import Comparison
from quotegen.compare.route import Route
from quotegen.judge.advice import Advice, Outcome
from quotegen.judge.futures.outlook import Outlook, RouteOutlook, coarsest
from quotegen.judge.futures.trigger import BreakEvenRule, Rule, Trigger
from quotegen.judge.reasons import DOING, at_least_about, doing, route_words, suppliers_of, verb_of
from quotegen.report.charts.ranges import RangeRow, RangeRows
from quotegen.report.views.names import capital, currency_of, is_taken
from quotegen.report.views.shape import Cell, Chart, Row, Table, drawn, figures, row, words

MOST_SHORT = 3  # routes in the brief
FEW = Fraction(1, 200)  # a share that is told as none, or all, nearly
# What other draws would hardly change: futures of 100 in which a route is the cheapest, and in
# which something happens with it; pieces that come late.
OF_HUNDRED, ALONE = 5, 10
LATE = Fraction(1, 2)


@dataclass(frozen=True, slots=True, kw_only=True)
class FuturesView:
    """Sentences and a picture with the table of all routes; then when to order the tool, where
    that may wait."""

    told: tuple[str, ...]
    routes: Chart
    tool: str
    trigger: tuple[str, ...]
    source: str


def futures_view(comparison: Comparison, advice: Advice) -> FuturesView | None:
    """None where the form leaves no doubt about the demand, or nothing is planned."""
    outlook = advice.outlook
    if outlook is None:
        return None
    trigger = outlook.trigger
    told = _trigger(comparison, advice, trigger, outlook) if trigger is not None else ()
    return FuturesView(
        told=tuple(_told(comparison, advice, outlook)),
        routes=_chart(comparison, advice, outlook),
        tool=trigger.tool if trigger is not None else "",
        trigger=tuple(told),
        source=_source(comparison),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Way:
    """A route, or the staged way, as a row: what it is called, its suppliers, its figures.

    when says when the staged way orders its tool.
    """

    name: str
    suppliers: str
    figures: RouteOutlook
    when: str = ""
    is_taken: bool = False


def _routes(comparison: Comparison, outlook: Outlook) -> list[tuple[Route, RouteOutlook]]:
    """Those of the outlook, by mean cost."""
    known = {route.name: route for route in comparison.routes}
    found = [(known[name], each) for name, each in outlook.routes.items() if name in known]
    return sorted(found, key=lambda pair: pair[1].mean)


def _ways(comparison: Comparison, advice: Advice, outlook: Outlook) -> list[_Way]:
    """The routes and the staged way, by mean cost."""
    found = [
        _Way(
            name=capital(route_words(route)),
            suppliers=suppliers_of(route),
            figures=each,
            is_taken=is_taken(route, advice),
        )
        for route, each in _routes(comparison, outlook)
    ]
    if outlook.staged is not None and outlook.trigger is not None:
        found.append(_staged_way(comparison, outlook.staged, outlook.trigger))
    return sorted(found, key=lambda each: each.figures.mean)


def _staged_way(comparison: Comparison, staged: RouteOutlook, trigger: Trigger) -> _Way:
    known = {route.name: route for route in comparison.routes}
    plain, tooled = known[trigger.plain], known[trigger.tooled]
    suppliers = f"{suppliers_of(plain)}, then {tooled.main.supplier_name}"
    name = f"{capital(route_words(plain))}, {trigger.tool} later"
    return _Way(name=name, suppliers=suppliers, figures=staged, when=_when(trigger))


def _when(found: Trigger) -> str:
    """The rule in few words."""
    rule = found.rule
    if rule is None or not rule.count:
        return f"{found.tool} on {in_words(rule.first)}" if rule is not None else ""
    return f"{found.tool} once {rule.count:,} are sold"


def to_step(amount: Fraction, step: int) -> Decimal:
    """Rounded to a whole number of steps."""
    return rounded(amount / step, 0) * step


def in_steps(amount: Fraction, step: int) -> str:
    """In whole steps; what would be printed as nothing is less than one."""
    found = to_step(amount, step)
    return f"{found:,f}" if found or not amount else f"less than {step:,}"


def about(amount: Fraction, step: int, currency: str) -> str:
    return f"{in_steps(amount, step)} {currency}"


def _at_worst(own: RouteOutlook, verb: str, currency: str, than: str = "") -> str:
    """The regret that one future of 100 passes; one that would be told as nothing stays below."""
    step = own.steps.worst
    if to_step(own.worst, step):
        passed = about(own.worst, step, currency)
        return f"in one future of 100 it {verb} about {passed} more{than}, or worse"
    return f"in 99 of 100 it {verb} less than {step:,} {currency} more{than}"


def of_hundred(share: Fraction) -> str:
    """So many futures of 100 in whole steps, never none or all unless it is so."""
    return _of_hundred(share, int(rounded(share * 100 / ALONE, 0)) * ALONE, ALONE)


def cheapest_of_hundred(outlook: Outlook) -> dict[str, str]:
    """In how many futures of 100 each route is the cheapest, so that all together are 100."""
    steps = shared_out([each.cheapest * 100 / OF_HUNDRED for each in outlook.listed], 0)
    return {
        each.name: _of_hundred(each.cheapest, int(step) * OF_HUNDRED, OF_HUNDRED)
        for each, step in zip(outlook.listed, steps, strict=True)
    }


def _of_hundred(share: Fraction, hundredths: int, step: int) -> str:
    if 0 < share < FEW:
        return "fewer than one"
    if 1 - FEW < share < 1:
        return "more than 99"
    if share and not hundredths:
        return f"fewer than {step}"
    return f"more than {100 - step}" if share < 1 and hundredths == 100 else f"{hundredths}"


def how_sure(comparison: Comparison, advice: Advice, outlook: Outlook) -> str:
    """How sure the route is, for the partner."""
    if advice.outcome is Outcome.TIE:
        return _of_tie(advice, outlook)
    own = outlook.routes.get(advice.cost.route.name) if advice.cost is not None else None
    if own is None:
        return ""
    if len({each.main.name for each in comparison.routes}) < 2 or len(outlook.routes) < 2:
        return f"{_alone(own, comparison)} There is no other route to compare with."
    currency, steps = currency_of(comparison), own.steps
    return (
        f"In {cheapest_of_hundred(outlook)[own.name]} of 100 futures no other route costs less. "
        f"{_alone(own, comparison)} On average that is "
        f"{about(own.regret, steps.regret, currency)} more than the best route of the same future; "
        f"{_at_worst(own, 'is', currency)}."
    )


def in_short(comparison: Comparison, advice: Advice, outlook: Outlook) -> str:
    """The same in one sentence, for the brief."""
    own = outlook.routes.get(advice.cost.route.name) if advice.cost is not None else None
    if advice.outcome is Outcome.TIE or own is None or len(outlook.routes) < 2:
        return how_sure(comparison, advice, outlook)
    worst = _at_worst(own, "costs", currency_of(comparison), " than the best")
    return (
        f"In {cheapest_of_hundred(outlook)[own.name]} of 100 futures no other route costs less; "
        f"{worst}."
    )


def _alone(own: RouteOutlook, comparison: Comparison) -> str:
    currency, steps = currency_of(comparison), own.steps
    return (
        f"It costs {about(own.mean, steps.mean, currency)} on average, and between "
        f"{to_step(own.low, steps.tails):,f} and {about(own.high, steps.tails, currency)} in eight "
        "futures of ten."
    )


def _of_tie(advice: Advice, outlook: Outlook) -> str:
    known = [(each, outlook.routes.get(each.route.name)) for each in advice.ties]
    texts = [
        f"{doing(cost.route)} in {cheapest_of_hundred(outlook)[own.name]}"
        for cost, own in known
        if own is not None
    ]
    return f"Of 100 futures no other route costs less than {listed(texts)}."


def _told(comparison: Comparison, advice: Advice, outlook: Outlook) -> Iterator[str]:
    yield how_sure(comparison, advice, outlook)
    pairs = _routes(comparison, outlook)
    known = {each.name: route for route, each in pairs}
    regret = outlook.least_regret
    settled = advice.cost is not None and advice.outcome in (Outcome.CHOSEN, Outcome.TIE)
    if settled and advice.cost is not None and len(pairs) > 1:
        own = outlook.routes.get(advice.cost.route.name)
        if own is not None and regret.worst < own.worst and regret.name in known:
            currency, step = currency_of(comparison), coarsest([regret.steps, own.steps]).regret
            worst = _at_worst(regret, "costs", currency, " than the best")
            more = at_least_about(regret.mean - own.mean, step)
            yield (
                f"Whoever fears the worst most would take {doing(known[regret.name])}: "
                f"{worst}, which is the least of all routes, but {more} {currency} more on average."
            )
        if own is not None and own.runs_short:
            yield (
                f"With this route some pieces come late in {of_hundred(own.runs_short)} of 100 "
                f"futures, {pieces_late(own.late)} pieces on average{_priced(comparison)}."
            )


def pieces_late(pieces: Fraction) -> str:
    """Pieces that come late, to half a piece."""
    found = rounded(pieces / LATE, 0) / 2
    return f"{found:.1f}" if found or not pieces else f"less than {float(LATE):.1f}"


def _priced(comparison: Comparison) -> str:
    priced = comparison.part.record.late_costs is not None
    return ", at the price that the form states" if priced else "; no price is put on that"


def _chart(comparison: Comparison, advice: Advice, outlook: Outlook) -> Chart:
    """The ranges of all ways, and all their figures as the table of the drawing."""
    ways, currency = _ways(comparison, advice, outlook), currency_of(comparison)
    title = "What each route costs on average, and in eight futures of ten"
    chart = RangeRows(
        prefix="ranges",
        title=title,
        description="A line for each route from the cost below which one future in ten lies to "
        "that below which nine do, the mean as a ring. The table holds the same numbers.",
        unit=f"{currency}, present cost",
        rows=tuple(_range(each) for each in ways),
    )
    note = "Ring: the mean. One future in ten lies below each line and one above it."
    found = drawn(title, chart.svg(), (("Route",), ()), note=note)
    return replace(found, table=_table(ways, outlook, currency))


def _range(way: _Way) -> RangeRow:
    """A mean that a few very dear futures carry above the range is drawn at its end."""
    of, steps = way.figures, way.figures.steps
    low, high = to_step(of.low, steps.tails), to_step(of.high, steps.tails)
    return RangeRow(
        name=f"{way.name}: {way.suppliers}",
        low=float(of.low),
        mean=float(min(max(of.mean, of.low), of.high)),
        high=float(of.high),
        text=f"{to_step(of.mean, steps.mean):,f} ({low:,f} to {high:,f})",
        is_taken=way.is_taken,
    )


def _table(ways: Sequence[_Way], outlook: Outlook, currency: str) -> Table:
    return Table(
        caption=f"Present cost in {currency} over {outlook.futures:,} futures",
        columns=(
            *words("Route"),
            *figures("Mean", "One in ten below", "Nine in ten below", "Cheapest, of 100"),
            *figures("Regret, mean", "Regret, one in 100 above", "Pieces late"),
        ),
        rows=tuple(_row(each, outlook) for each in ways),
    )


def short_table(comparison: Comparison, advice: Advice, outlook: Outlook) -> Table:
    """The first ways for the brief."""
    ways = _ways(comparison, advice, outlook)[:MOST_SHORT]
    cheapest = cheapest_of_hundred(outlook)
    return Table(
        caption=f"Present cost in {currency_of(comparison)} over {outlook.futures:,} futures",
        columns=(*words("Route"), *figures("Cheapest, of 100", "Mean cost")),
        rows=tuple(
            row(
                each.name,
                cheapest[each.figures.name],
                f"{to_step(each.figures.mean, each.figures.steps.mean):,f}",
            )
            for each in ways
        ),
    )


def _row(way: _Way, outlook: Outlook) -> Row:
    each, steps = way.figures, way.figures.steps
    return row(
        Cell(text=way.name, small=f"{way.suppliers}: {way.when}" if way.when else way.suppliers),
        f"{to_step(each.mean, steps.mean):,f}",
        f"{to_step(each.low, steps.tails):,f}",
        f"{to_step(each.high, steps.tails):,f}",
        cheapest_of_hundred(outlook)[each.name],
        in_steps(each.regret, steps.regret),
        in_steps(each.worst, steps.worst),
        pieces_late(each.late),
        marked=way.is_taken,
    )


def _source(comparison: Comparison) -> str:
    part = comparison.part
    demand, change = part.record.demand, part.record.design_stands
    law = f"{demand.low:,}, {demand.likely:,} and {demand.high:,} a year, {demand.law.value}"
    if demand.weighed:
        each = [f"{level:,} a year with {per_cent(share)}" for level, share in demand.weighed]
        law = listed(each)
    drawing = (
        f"the drawing stands with {per_cent(change.share)} a year"
        if change is not None
        else "the drawing is taken to stand"
    )
    return (
        f"Demand: {law} ({part.places.of('demand')}). One level holds for a whole future, single "
        f"orders scatter by chance, and {drawing}. Money is rounded, and chances told "
        f"in steps of {OF_HUNDRED} or {ALONE}, so far that other draws would hardly change them."
    )


def _trigger(
    comparison: Comparison, advice: Advice, found: Trigger, outlook: Outlook
) -> Iterator[str]:
    currency = currency_of(comparison)
    known = {route.name: route for route in comparison.routes}
    first, then = (_at(known[name]) for name in (found.plain, found.tooled))
    steps = coarsest(outlook.routes[name].steps for name in (found.plain, found.tooled))
    mean, difference = steps.mean, steps.regret
    now, never = about(found.now, mean, currency), about(found.never, mean, currency)
    yield f"{_what_to_do(found, first, then)} {_why(found, now, never)}"
    if found.rule is not None and not found.is_at_once:
        yield _waiting(found, found.rule, lambda more: about(more, difference, currency))
    if outlook.staged is not None:
        yield _followed(comparison, advice, outlook, outlook.staged)
    if found.rule is not None and found.rule.mean - found.best >= difference:
        saves = about(found.rule.mean - found.best, difference, currency)
        yield f"A count of its own for every month would save another {saves} on average."
    if found.break_even is not None:
        yield _guarantee(found, found.break_even)


def _at(route: Route) -> str:
    return f"{DOING[verb_of(route.main)]} at {route.main.supplier_name}"


def _followed(
    comparison: Comparison, advice: Advice, outlook: Outlook, staged: RouteOutlook
) -> str:
    """The staged way ordered as the routes are, beside the recommended one."""
    currency = currency_of(comparison)
    told = (
        "Followed through all futures as the routes are, this way costs "
        f"{about(staged.mean, staged.steps.mean, currency)} on average"
    )
    own = outlook.routes.get(advice.cost.route.name) if advice.cost is not None else None
    if own is None or advice.cost is None:
        return f"{told}."
    more, step = staged.mean - own.mean, coarsest([staged.steps, own.steps]).regret
    apart = f"{at_least_about(abs(more), step)} {currency} {'more' if more >= 0 else 'less'}"
    return f"{told}, {apart} than {doing(advice.cost.route)}."


def _what_to_do(found: Trigger, first: str, then: str) -> str:
    rule, tool = found.rule, found.tool
    if rule is None:
        return f"Do not order the {tool} within this plan: for the stated demand it costs more."
    if found.is_at_once:
        return f"Order the {tool} at once: waiting for sales would cost more on average."
    ways = f"Of all ways from {first} to {then} this one costs least on average: begin with {first}"
    if not rule.count:
        return f"{ways} and order the {tool} on {in_words(rule.first)}, whatever is sold by then."
    return (
        f"{ways} and order the {tool} once {counted(rule.count, 'piece')} "
        f"{'is' if rule.count == 1 else 'are'} sold, if that is by {in_words(rule.last)}; later "
        "it no longer pays within the plan."
    )


def _why(found: Trigger, now: str, never: str) -> str:
    return (
        f"Ordered on {in_words(found.first_day)}, pieces and {found.tool} come to {now} on "
        f"average; without it the pieces come to {never}."
    )


def _waiting(found: Trigger, rule: Rule, amount: Callable[[Fraction], str]) -> str:
    ordered = of_hundred(rule.ordered)
    return (
        f"By this rule the {found.tool} is ordered in {ordered} of 100 futures. Against ordering "
        f"at once, waiting costs {amount(found.dearer)} on average for dearer pieces and saves "
        f"{amount(found.kept)} on the tool."
    )


def _guarantee(found: Trigger, rule: BreakEvenRule) -> str:
    return (
        f"A rule that rests on no forecast: order the {found.tool} before the order with which "
        f"{rule.count:,} pieces or more will have been bought. Above the price of pieces with the "
        f"tool, that never costs more than {rounded(rule.bound, 2):f} times what somebody who knew "
        f"the demand would pay. It counts {rule.needed:,} pieces that may be needed while the "
        f"{found.tool} is made, and holds as long as prices and drawing stay."
    )
