"""The advice in sentences: a headline, a lead and reasons with figures, nothing said twice."""

from __future__ import annotations

import calendar
from collections.abc import Iterator
from fractions import Fraction

from quotegen.basics.days import in_words
from quotegen.basics.money import rounded
from quotegen.basics.printed import (
    counted,
    listed,
    money,
    per_cent,
    round_difference,
    round_money,
)
from quotegen.compare.break_even import BreakEven
from quotegen.compare.comparison import Comparison
from quotegen.compare.effects import Cause, Effect
from quotegen.compare.route import CostAt, Route
from quotegen.costing.offer import Offer, Standing
from quotegen.judge.advice import Advice, Outcome, Unsettled
from quotegen.judge.names import short_name
from quotegen.model.fields import Process
from quotegen.plan.finding import OverLimit

VERBS = {
    Process.INVESTMENT_CASTING: "pour",
    Process.SAND_CASTING: "pour",
    Process.GRAVITY_DIE_CASTING: "pour",
    Process.PRESSURE_DIE_CASTING: "cast",
    Process.MACHINING: "machine",
    Process.METAL_PRINTING: "print",
    Process.BINDER_JETTING: "print",
    Process.SHEET: "cut and bend",
    Process.FORGING: "forge",
    Process.STAMPING: "press",
}

DOING = {
    "pour": "pouring",
    "cast": "casting",
    "machine": "machining",
    "print": "printing",
    "cut and bend": "cutting and bending",
    "forge": "forging",
    "press": "pressing",
}


MADE = {
    "pour": ("casting", "castings"),
    "cast": ("casting", "castings"),
    "machine": ("machined part", "machined parts"),
    "print": ("print", "prints"),
    "cut and bend": ("sheet part", "sheet parts"),
    "forge": ("forging", "forgings"),
    "press": ("pressing", "pressings"),
}


def verb_of(offer: Offer) -> str:
    return VERBS[offer.process]


def made_by(offer: Offer, pieces: int) -> str:
    """So many pieces by what they are: 60 prints, 1 casting."""
    return counted(pieces, *MADE[verb_of(offer)])


def route_words(route: Route) -> str:
    """A route as a label: print 52, then pour."""
    if not route.bridge:
        return verb_of(route.main)
    return f"{verb_of(route.offers[0])} {route.bridge}, then {verb_of(route.main)}"


def doing(route: Route) -> str:
    """A route in a sentence: printing 52 at Brimmel, then pouring at Aldring."""
    main = f"{DOING[verb_of(route.main)]} at {route.main.supplier_name}"
    if not route.bridge:
        return main
    first = route.offers[0]
    return f"{DOING[verb_of(first)]} {route.bridge} at {first.supplier_name}, then {main}"


def suppliers_of(route: Route) -> str:
    return listed(tuple(dict.fromkeys(offer.supplier_name for offer in route.offers)))


def headline(comparison: Comparison, advice: Advice) -> str:
    """The finding in the imperative."""
    name = short_name(comparison.part.record.name)
    if not comparison.needs.likely:
        return f"Order nothing for the {name}: what is on hand covers the plan."
    if advice.outcome is Outcome.UNKNOWN:
        return f"Ask before you order the {name}."
    if advice.outcome is Outcome.NO_ROUTE or advice.cost is None:
        return f"No route for the {name} yet."
    if advice.outcome is Outcome.TIE:
        return f"The {name}: too close to call."
    return _what_to_do(advice, advice.cost.route, name)


def _what_to_do(advice: Advice, route: Route, name: str) -> str:
    order = f"{verb_of(route.main).capitalize()} the {name}"
    if not route.bridge:
        return f"{order} at {route.main.supplier_name}."
    first = f"{verb_of(route.offers[0]).capitalize()} the first {route.bridge}"
    later = _later_month(advice, route)
    if later:
        return f"{order} from {later}. {first} until then."
    tools = route.main.case.item.tools
    made = f"the {tools[0].what} is made" if route.main.has_tool else "they are made"
    return f"{order}. {first} while {made}."


def _later_month(advice: Advice, route: Route) -> str:
    """The month from which the main offer delivers, where the plan orders from it much later."""
    plan = advice.plan
    if plan is None or route.main.name not in {each.name for each in plan.offers}:
        return ""
    if plan.is_soon(route.main):
        return ""
    starts = plan.months[plan.first_of(route.main).month].starts
    return f"{calendar.month_name[starts.month]} {starts.year}"


def reasons_for(comparison: Comparison, advice: Advice) -> tuple[str, ...]:
    """Why this outcome, in order of weight."""
    return tuple(_reasons(comparison, advice))


def _reasons(comparison: Comparison, advice: Advice) -> Iterator[str]:
    if not comparison.needs.likely:
        yield "What is on hand covers the likely demand of the plan; nothing has to be bought."
        return
    if advice.outcome is Outcome.UNKNOWN:
        yield from _why_unknown(comparison, advice)
    elif advice.outcome is Outcome.NO_ROUTE:
        yield from _why_none(comparison, advice)
    if advice.outcome is Outcome.TIE:
        yield from _why_tie(comparison, advice)
    elif advice.cost is not None:
        yield from _why_cheapest(comparison, advice, advice.cost)
    if advice.break_even is not None:
        yield from _payback(advice.break_even, comparison)
    yield from limit_sentences(comparison, advice)
    if advice.cost is not None:
        yield from _surplus(advice, advice.cost)
    for each in advice.unsettled:
        if not each.blocks:
            yield _would_cost_less(comparison, each)


def _currency(comparison: Comparison) -> str:
    return comparison.workshop.record.currency


def _why_cheapest(comparison: Comparison, advice: Advice, cost: CostAt) -> Iterator[str]:
    currency = _currency(comparison)
    months, wanted = comparison.needs.months, comparison.needs.likely
    signed = "" if advice.outcome is not Outcome.UNKNOWN else " that can be signed today"
    present = advice.present(cost)
    told = (
        f"Over {months} months, {doing(cost.route)} costs "
        f"{round_money(present, currency)}{_money_of(advice, cost)} for "
        f"{counted(wanted, 'good part')}, {money(present / wanted, currency)} each, all in"
    )
    if advice.outlook is not None:
        yield f"{told}."
        yield _on_average(comparison, advice, cost, signed)
        return
    yield f"{told}: the least of the routes{signed}."
    if advice.runner_up is not None:
        yield _against(advice, advice.runner_up, cost, currency)


def _on_average(comparison: Comparison, advice: Advice, cost: CostAt, signed: str) -> str:
    """What the choice rests on where the demand is a range (R21), to whole steps of the outlook."""
    currency = _currency(comparison)
    mean = advice.expected(cost)
    told = (
        "Over all demands that are stated it costs least on average of the routes"
        f"{signed}: {_about(mean, advice.rounded_to(cost).mean)} {currency}"
    )
    if advice.runner_up is None:
        return f"{told}."
    more = advice.expected(advice.runner_up) - mean
    step = advice.rounded_to(cost, advice.runner_up).regret
    share = per_cent(Fraction(round(100 * more / mean), 100)) if mean else ""
    return (
        f"{told}. The next route, {doing(advice.runner_up.route)}, costs "
        f"{at_least_about(more, step)} {currency} more, {share}."
    )


def _about(amount: Fraction, step: int) -> str:
    return f"{rounded(amount / step, 0) * step:,f}"


def at_least_about(more: Fraction, step: int) -> str:
    """A difference in whole steps; one that would be printed as nothing is less than one."""
    return f"less than {step:,}" if 0 < more < Fraction(step, 2) else _about(more, step)


def _money_of(advice: Advice, cost: CostAt) -> str:
    """Which money an amount is in: that of the plan's first day, where there is a plan (R12)."""
    return " in today's money" if cost.route.name in advice.plans else ""


def limit_sentences(comparison: Comparison, advice: Advice) -> Iterator[str]:
    """What each limit that binds costs; routes that break it are not compared."""
    for each in advice.limits:
        if each.costs is not None:
            cost = round_money(each.costs, _currency(comparison))
            yield (
                f"The limit of {each.written} for {each.what} costs {cost} in today's money; "
                "routes that cannot keep it are left out."
            )


def _surplus(advice: Advice, cost: CostAt) -> Iterator[str]:
    bought = advice.plan.bought if advice.plan is not None else cost.bought
    if bought > cost.good:
        yield (
            f"It buys {counted(bought, 'good part')}, {bought - cost.good} more than the plan "
            "needs, because of minimums, multiples or a price break."
        )


def _against(advice: Advice, runner_up: CostAt, cost: CostAt, currency: str) -> str:
    present = advice.present(cost)
    more = round_difference(advice.present(runner_up), present)
    share = f", {per_cent(Fraction(round(1000 * more / present), 1000))}" if present else ""
    return f"The next route, {doing(runner_up.route)}, costs {more:,} {currency} more{share}."


def _payback(found: BreakEven, comparison: Comparison) -> Iterator[str]:
    against = doing(found.untooled)
    if found.first_cheaper is None:
        yield f"Against {against} the tool does not pay back within {found.up_to:,} good parts."
    else:
        months = comparison.needs.months_until(found.first_cheaper)
        yield (
            f"The whole route is cheaper than {against} from good part number "
            f"{found.first_cheaper:,} on and stays so up to {found.up_to:,}: after about "
            f"{counted(months, 'month')} at the likely demand."
        )
    if found.parity is not None:
        yield (
            f"The parity is {rounded(found.parity, 2):,f} pieces: what the tool costs, divided by "
            "what it saves on each piece. Whole orders and bridge pieces are not counted in it."
        )
    if found.crossings:
        yield _crossings(found)


def _crossings(found: BreakEven) -> str:
    changes = [f"{each.at:,}" for each in found.crossings]
    return f"Before that the cheaper side changes at {listed(tuple(changes))}."


def _why_tie(comparison: Comparison, advice: Advice) -> Iterator[str]:
    margin = per_cent(comparison.workshop.record.close_call)
    currency = _currency(comparison)
    names = listed(
        tuple(f"{doing(cost.route)} ({_weighed(advice, cost, currency)})" for cost in advice.ties)
    )
    whose = _money_of(advice, advice.ties[0])
    whose += " on average over all demands that are stated" if advice.outlook is not None else ""
    yield f"Within {margin} of the cheapest{whose}, which is too close to call: {names}."
    first = advice.ties[0]
    yield (
        f"{_capital(doing(first.route))} stands first: of these it commits least money up front "
        f"({round_money(first.committed, currency)}), "
        "and of those that commit as much it is here soonest."
    )


def _weighed(advice: Advice, cost: CostAt, currency: str) -> str:
    """What a route of a tie is weighed by."""
    if advice.outlook is None:
        return round_money(advice.present(cost), currency)
    return f"{_about(advice.expected(cost), advice.rounded_to(cost).mean)} {currency}"


def _why_unknown(comparison: Comparison, advice: Advice) -> Iterator[str]:
    currency = _currency(comparison)
    for each in advice.unsettled:
        if each.blocks:
            yield _unsettled(each, advice, currency)


def saved_by(each: Unsettled, currency: str) -> str:
    """What an offer that cannot be signed would save, as printed; nothing where it is unknown."""
    if each.cost is None or each.saving is None:
        return ""
    return f"{rounded(each.saving, 0):,f} {currency}"


def _unsettled(each: Unsettled, advice: Advice, currency: str) -> str:
    offer = each.offer
    name = f"{DOING[verb_of(offer)].capitalize()} at {offer.supplier_name} (quote {offer.quote})"
    ask = " Ask for a new quote." if offer.standing is Standing.WRONG_REVISION else ""
    if each.cost is None:
        return f"{name} has no price to compare yet. {offer.why}{ask}"
    if each.saving is None:
        so_far = round_money(advice.present(each.cost), currency)
        return f"{name} comes to {so_far} as far as it is known. {offer.why}{ask}"
    saving = saved_by(each, currency)
    return (
        f"{name} would cost {saving} less as far as it is known, but it cannot be signed today. "
        f"{offer.why}{ask}"
    )


def _would_cost_less(comparison: Comparison, each: Unsettled) -> str:
    offer, saving = each.offer, saved_by(each, _currency(comparison))
    if not saving:
        return f"{offer.supplier_name}: {offer.why}"
    return (
        f"{DOING[verb_of(offer)].capitalize()} at {offer.supplier_name} would cost "
        f"{saving} less, but {_decapital(offer.why)}"
    )


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _decapital(text: str) -> str:
    return text[:1].lower() + text[1:]


def _why_none(comparison: Comparison, advice: Advice) -> Iterator[str]:
    if not comparison.offers:
        yield "There is no quote for this part yet."
        return
    if isinstance(advice.no_plan, OverLimit):
        present = round_money(advice.no_plan.free.present, _currency(comparison))
        yield (
            "No plan that was found keeps every limit. Without them the best costs "
            f"{present} in today's money."
        )
        return
    needed = comparison.part.record.needed_by
    for offer in comparison.offers:
        if not offer.holds:
            yield f"{offer.supplier_name}, quote {offer.quote}: {offer.why}"
        elif any(offer is route.main for route in comparison.late):
            first = offer.arrival.first_parts
            when = in_words(first) if first is not None else "a day that is not known"
            late = f"; needed by {in_words(needed)}" if needed is not None else ""
            who = f"{offer.supplier_name}, quote {offer.quote}"
            yield f"{who}: first parts come on {when}{late}."
        else:
            yield (
                f"{offer.supplier_name}, quote {offer.quote}: cannot make "
                f"{comparison.needs.likely} good parts in {comparison.needs.months} months."
            )


def effect_sentence(effect: Effect, currency: str) -> str:
    """What a minimum does to one order, with the money it ties up."""
    who = effect.offer.supplier_name
    whose = who + ("'" if who.endswith("s") else "'s")
    tied = money(effect.money, currency)
    left = f"{effect.surplus} {'piece' if effect.surplus == 1 else 'pieces'}"
    if effect.cause is Cause.LARGER_LOT:
        return (
            f"In orders of {effect.limit:,} pieces {who} would cost {tied} less for the "
            f"{counted(effect.wanted, 'good part')} of the plan; our lot is smaller."
        )
    if effect.cause is Cause.VALUE:
        same = f" {effect.same_invoice} pieces come to the same invoice, before carriage and duty."
        more = same if effect.same_invoice else ""
        return f"{whose} minimum value lifts an order of {effect.limit} by {tied}.{more}"
    if effect.cause is Cause.BREAK:
        return (
            f"At {who} it costs less to buy {effect.limit} and reach the next price: "
            f"{left} stay on the shelf, {tied} tied up."
        )
    what = (
        f"minimum of {effect.limit}"
        if effect.cause is Cause.MINIMUM
        else f"multiple of {effect.limit}"
    )
    verb = "leaves" if effect.surplus else "leave"
    return f"{whose} {what} {verb} {left} on the shelf, {tied} tied up."


def lead(comparison: Comparison, advice: Advice) -> str:
    """The money against the alternatives, in two or three sentences for the partner."""
    if advice.cost is None or advice.outcome in (Outcome.NO_ROUTE, Outcome.UNKNOWN):
        return " ".join(reasons_for(comparison, advice)[:2])
    if advice.outcome is Outcome.TIE:
        return _lead_of_tie(comparison, advice)
    currency, cost = _currency(comparison), advice.cost
    months, present = comparison.needs.months, advice.present(cost)
    text = (
        f"Over {months} months this costs {round_money(present, currency)}"
        f"{_money_of(advice, cost)} for {counted(comparison.needs.likely, 'good part')}"
    )
    less = [
        f"{abs(round_difference(advice.present(each), present)):,} {currency} "
        f"{'less' if advice.present(each) >= present else 'more'} than {doing(each.route)}"
        for each in rivals(advice, cost)
    ]
    text += ": " + ", ".join(less) + "." if less else "."
    text += "".join(f" {each}" for each in limit_sentences(comparison, advice))
    if cost.route.main.has_tool and cost.committed:
        paid, main = round_money(cost.committed, currency), cost.route.main
        made = MADE[verb_of(main)][1]
        text += f" We commit {paid} before the first {made} are ordered at {main.supplier_name}."
    return text + _payback_words(advice, comparison)


def rivals(advice: Advice, cost: CostAt) -> list[CostAt]:
    """The next best route, and the best of another process where there is one."""
    rest = [each for each in advice.ranking if each is not cost]
    verbs = {verb_of(each.route.main) for each in rest[:1]}
    others = [each for each in rest[1:] if verb_of(each.route.main) not in verbs]
    return [*rest[:1], *(others or rest[1:])[:1]]


def _lead_of_tie(comparison: Comparison, advice: Advice) -> str:
    """How near they end, and what settles the order where the money does not (R16)."""
    currency, ties, needs = _currency(comparison), advice.ties, comparison.needs
    totals = [advice.expected(each) for each in ties]
    apart = f"{round_difference(max(totals), min(totals)):,} {currency}"
    text = (
        f"{_capital(listed([doing(each.route) for each in ties]))} end within {apart} of each "
        f"other over {needs.months} months: {listed([f'{rounded(t, 0):,f}' for t in totals])} "
        f"{currency}{_money_of(advice, ties[0])} {_for_what(comparison, advice)}. "
        "Cost alone does not decide."
    )
    first, second = ties[0], ties[1]
    if first.committed != second.committed:
        why = f"it commits least up front, {round_money(first.committed, currency)}"
    elif first.route.first_parts is not None:
        day = in_words(first.route.first_parts)
        why = f"it commits no more than the others and is here first, on {day}"
    else:
        why = "its name does, and nothing else speaks for it"
    return f"{text} {_capital(doing(first.route))} stands first because {why}."


def _for_what(comparison: Comparison, advice: Advice) -> str:
    if advice.outlook is not None:
        return "on average over all demands that are stated"
    return f"for {counted(comparison.needs.likely, 'good part')}"


def _payback_words(advice: Advice, comparison: Comparison) -> str:
    found = advice.break_even
    if found is None or found.first_cheaper is None:
        return ""
    months = comparison.needs.months_until(found.first_cheaper)
    return (
        f" The whole route is cheaper than {doing(found.untooled)} from good part "
        f"number {found.first_cheaper:,} on, after about {counted(months, 'month')}."
    )
