"""Money as tables: offers side by side, the bill behind each figure, currencies and rates."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from quotegen.basics.money import minor_digits
from quotegen.basics.printed import (
    adding_up,
    counted,
    day,
    listed,
    money,
    per_cent,
    printed,
    round_money,
    shared_out,
)
from quotegen.compare.comparison import Comparison
from quotegen.compare.route import CostAt, Leg, LineTotal, Route, exposure_of
from quotegen.costing.bill import Kind
from quotegen.costing.offer import Offer, Standing
from quotegen.judge.advice import Advice
from quotegen.judge.reasons import doing, effect_sentence, route_words, suppliers_of, verb_of
from quotegen.report.charts.chart import Bar, Piece, StackedLines
from quotegen.report.views.names import (
    Pages,
    capital,
    currency_of,
    is_taken,
    labels_of,
    quotes_of,
    recommended,
    told_of,
)
from quotegen.report.views.shape import (
    NONE,
    Cell,
    Chart,
    Column,
    Row,
    Table,
    drawn,
    figures,
    row,
    short,
    words,
)

MOST_BARS = 8

GROUPS: Mapping[Kind, str] = {
    Kind.GOODS: "pieces",
    Kind.SURCHARGE: "pieces",
    Kind.REJECTS: "pieces",
    Kind.CHARGE: "charges",
    Kind.TERM: "charges",
    Kind.MINIMUM: "minimum value",
    Kind.TOOL: "tool",
    Kind.COMPLETION: "completion",
    Kind.DELIVERY: "delivery",
    Kind.FEE: "delivery",
    Kind.CUSTOMS: "customs and tax",
    Kind.TAX: "customs and tax",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Bill:
    """The bill of one route or offer at the likely need: every line with its rule and place."""

    anchor: str
    title: str
    tables: tuple[Table, ...]
    total: str
    notes: tuple[str, ...]
    gaps: tuple[str, ...]
    marked: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class MoneyView:
    """The money of one part; None where there is nothing to set side by side."""

    offers: Table | None
    bills: tuple[Bill, ...]
    effects: tuple[str, ...]
    stacked: Chart | None
    exposure: Table | None
    rates: Table | None


def money_view(comparison: Comparison, advice: Advice, pages: Pages) -> MoneyView:
    currency = currency_of(comparison)
    return MoneyView(
        offers=side_by_side(comparison, advice, pages) if comparison.offers else None,
        bills=bills(comparison, advice, pages),
        effects=tuple(effect_sentence(each, currency) for each in comparison.effects),
        stacked=stacked(comparison, advice),
        exposure=_exposure(advice, currency),
        rates=rates_table(comparison),
    )


def _exposure(advice: Advice, currency: str) -> Table | None:
    if advice.cost is None or not advice.cost.total:
        return None
    total = money(advice.cost.total, currency)
    named = "" if recommended(advice) is not None else f" of {doing(advice.cost.route)}"
    caption = f"The {total}{named} by currency"
    return exposure_table(exposure_of(advice.cost), currency, caption)


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintedLine:
    """A cost line and its total as printed: these add up to the printed total of the bill."""

    of: LineTotal
    total: Fraction


def printed_lines(cost: CostAt, currency: str) -> tuple[PrintedLine, ...]:
    totals = shared_out([line.total for line in cost.lines], minor_digits(currency) or 0)
    return tuple(
        PrintedLine(of=line, total=total) for line, total in zip(cost.lines, totals, strict=True)
    )


def side_by_side(comparison: Comparison, advice: Advice, pages: Pages) -> Table:
    """Every offer by itself on one footing: good parts, finished, inspected, on our own shelf."""
    needs, currency = comparison.needs, currency_of(comparison)
    columns = (
        Column(head="Offer"),
        Column(head="Paid once", is_figure=True),
        Column(head="Each, all in", is_figure=True, term="each-all-in"),
        Column(head="A later one", is_figure=True, term="a-later-one"),
        Column(head=f"{needs.likely:,} good parts", is_figure=True),
        *short("First parts"),
        Column(head="Standing"),
    )
    route = recommended(advice)
    taken = {offer.name for offer in route.offers} if route is not None else set()
    return Table(
        caption=f"Offers on one footing, each by itself; amounts in {currency}",
        columns=columns,
        rows=tuple(
            _offer_row(comparison, offer, pages, marked=offer.name in taken)
            for offer in _by_cost(comparison)
        ),
    )


def _by_cost(comparison: Comparison) -> list[Offer]:
    """Offers that can be signed first, then those that cannot, each by total."""

    def key(offer: Offer) -> tuple[bool, bool, Fraction, str]:
        cost = comparison.costs.get(offer.name)
        total = cost.total if cost is not None else Fraction(0)
        return not offer.holds, cost is None, total, offer.name

    return sorted(comparison.offers, key=key)


def _offer_row(comparison: Comparison, offer: Offer, pages: Pages, *, marked: bool) -> Row:
    name = Cell(
        text=f"{capital(verb_of(offer))}, {offer.supplier_name}",
        small=f"quote {offer.quote}, {offer.process.value}",
        href=pages.offer(offer),
    )
    standing = Cell(text=_standing_words(comparison, offer, marked=marked), small=offer.why)
    first = day(offer.arrival.first_parts) if offer.arrival.first_parts else "not known"
    return row(name, *_amounts(comparison, offer), first, standing, marked=marked)


def _amounts(comparison: Comparison, offer: Offer) -> tuple[Cell, ...]:
    cost, currency = comparison.costs.get(offer.name), currency_of(comparison)
    if cost is None:
        why = "" if offer.priced else "no price"
        return (*(Cell(text=NONE),) * 3, Cell(text=NONE, small=why))
    so_far = "as far as it is known" if offer.bill.blocking else ""
    return (
        Cell(text=printed(cost.one_off, currency)),
        Cell(text=printed(cost.each, currency)),
        Cell(text=printed(cost.later_each, currency)),
        Cell(text=printed(cost.total, currency), small=so_far),
    )


def _standing_words(comparison: Comparison, offer: Offer, *, marked: bool) -> str:
    if offer.holds and any(route.main is offer for route in comparison.late):
        return "holds; alone it comes too late" if marked else "holds, but comes too late"
    return "holds" if offer.holds else offer.standing.value


def bills(comparison: Comparison, advice: Advice, pages: Pages) -> tuple[Bill, ...]:
    """The bill of the recommended route, then those of all offers but a replaced one."""
    found: list[Bill] = []
    if advice.cost is not None and advice.route is not None:
        marked = is_taken(advice.route, advice)
        found.append(_bill(comparison, advice.cost, 0, pages, marked=marked))
    for offer in _by_cost(comparison):
        cost = comparison.costs.get(offer.name)
        same = advice.route is not None and advice.route.name == offer.name
        if cost is not None and not same and offer.standing is not Standing.REPLACED:
            found.append(_bill(comparison, cost, len(found), pages, marked=False))
    return tuple(found)


def bill_of_offer(comparison: Comparison, cost: CostAt, number: int, pages: Pages) -> Bill:
    """The bill of one offer for the page of its quote."""
    return _bill(comparison, cost, number, pages, marked=False)


def _bill(comparison: Comparison, cost: CostAt, number: int, pages: Pages, *, marked: bool) -> Bill:
    route, currency = cost.route, currency_of(comparison)
    lines = printed_lines(cost, currency)
    gaps = [gap for offer in route.offers for gap in offer.bill.gaps if gap.blocks]
    whole = printed(cost.total, currency)
    return Bill(
        anchor=f"bill-{number + 1}",
        title=f"{capital(route_words(route))}: {quotes_of(route)}",
        tables=tuple(_leg_table(leg, cost, lines, currency, pages) for leg in cost.legs),
        total=f"{whole} {currency} for {counted(cost.good, 'good part')}",
        notes=tuple(_bill_notes(cost)),
        gaps=tuple(f"Not in this bill: {gap.what}." for gap in gaps),
        marked=marked,
    )


def _leg_table(
    leg: Leg, cost: CostAt, lines: Sequence[PrintedLine], currency: str, pages: Pages
) -> Table:
    """The lines of one offer, with their printed total."""
    own = [each for each in lines if each.of.offer == leg.offer.name]
    total = printed(sum((each.total for each in own), Fraction(0)), currency)
    return Table(
        caption=f"{leg.offer.supplier_name}, quote {leg.offer.quote}; amounts in {currency}",
        columns=BILL_COLUMNS,
        rows=tuple(_bill_row(each, cost, currency, pages) for each in own),
        foot=row("Total", "", "", "", "", total, "", ""),
    )


BILL_COLUMNS = (
    *words("What, and as it is written", "Kind"),
    *figures("Amount"),
    *short("Per"),
    *figures("Count", "Total"),
    *short("Rule"),
    *words("Place"),
)
RULE_COLUMN = 6


def _bill_row(each: PrintedLine, cost: CostAt, currency: str, pages: Pages) -> Row:
    line = each.of.line
    return row(
        Cell(text=capital(line.what), small=line.written),
        line.kind.value,
        printed(each.of.amount, currency, unit_price=True),
        line.per,
        count_text(each.of.count),
        printed(each.total, currency),
        Cell(text=line.rule, href=f"method.html#{line.rule}"),
        Cell(text=str(line.place), href=place_page(cost.route, str(line.place), pages)),
    )


def place_page(route: Route, place: str, pages: Pages) -> str:
    """The page of the quote that a place lies in; places elsewhere have no page."""
    path = place.partition(":")[0]
    for offer in route.offers:
        if path in offer.case.quote_entry.files:
            return pages.offer(offer)
    return ""


def count_text(count: Fraction) -> str:
    """A count as digits: whole where it is whole, else to three decimals."""
    return f"{int(count):,}" if count.denominator == 1 else f"{float(count):,.3f}"


def _bill_notes(cost: CostAt) -> Iterable[str]:
    """How the pieces are ordered, and what is left on the shelf."""
    for leg in cost.legs:
        sizes = leg.orders.sizes
        pieces = listed([f"{size:,}" for size in sizes]) if len(sizes) <= 4 else _many(sizes)
        orders = counted(len(sizes), "order")
        yield f"{leg.offer.supplier_name}: {orders} of {pieces} pieces, {leg.orders.good:,} good."
    if cost.surplus > 0:
        yield f"{cost.surplus:,} good parts more than are needed stay on the shelf."


def _many(sizes: Sequence[int]) -> str:
    last = f" and a last one of {sizes[-1]:,}" if sizes[-1] != sizes[0] else ""
    return f"{sizes[0]:,} each{last}"


def exposure_table(exposure: Mapping[str, Fraction], own: str, caption: str) -> Table:
    """Shares and what a move of 5 % in a rate would do; our own currency moves nothing."""
    total = sum(exposure.values(), Fraction(0))
    names = sorted((x for x in exposure if exposure[x]), key=lambda each: (each != own, each))
    amounts = adding_up([exposure[name] for name in names], own)
    moves = [NONE if name == own else printed(abs(exposure[name]) / 20, own) for name in names]
    return Table(
        caption=caption,
        columns=(*words("Paid in"), *figures(f"In {own}", "Share", "If its rate moves 5 %")),
        rows=tuple(
            row(name, amount, per_cent(exposure[name] / total) if total else NONE, move)
            for name, amount, move in zip(names, amounts, moves, strict=True)
        ),
        foot=row("Total", printed(total, own), "", ""),
    )


def rates_table(comparison: Comparison) -> Table | None:
    """The exchange rates in use, each with its day, age and source."""
    rates = comparison.rates.rates.values()
    if not rates:
        return None
    return Table(
        caption="Exchange rates",
        columns=(*short("Rate", "Day"), *figures("Days old"), *words("Source", "Place")),
        rows=tuple(
            row(
                rate.written,
                day(rate.on),
                Cell(
                    text=str(rate.age_in_days),
                    small="older than a week" if rate.is_old else "",
                ),
                rate.source,
                str(rate.place),
            )
            for rate in rates
        ),
    )


def stacked(comparison: Comparison, advice: Advice) -> Chart | None:
    """What the money of each route and offer is made of, at the likely need."""
    costs = _bars_of(comparison, advice)
    if not costs:
        return None
    currency = currency_of(comparison)
    labels = labels_of([cost.route for cost in costs])
    groups = {
        GROUPS[line.line.kind]: None
        for kind in Kind
        for cost in costs
        for line in cost.lines
        if line.line.kind is kind and line.total
    }
    told = told_of(costs[0].route, [cost.route for cost in costs])
    title = f"{capital(told)}: {_where_it_goes(costs[0], currency)}"
    if advice.ties:
        title = "What the money of each route pays for"
    chart = StackedLines(
        prefix="stacked",
        title=title,
        description=f"Stacked bars of the cost of {comparison.needs.likely:,} good parts by "
        "route, by what the money is paid for. The table holds the same numbers.",
        unit=f"{currency} for {comparison.needs.likely:,} good parts, finished and on our shelf",
        groups=tuple(groups),
        bars=tuple(_bar(cost, labels[cost.route.name], advice, currency) for cost in costs),
        group_head="Paid for",
        total_head="Total",
        absent=NONE,
    )
    return drawn(title, chart.svg(), chart.table())


def _bars_of(comparison: Comparison, advice: Advice) -> list[CostAt]:
    """The route, the rest of the ranking, then priced offers that cannot be signed."""
    first = [] if advice.cost is None else [advice.cost]
    found = {cost.route.name: cost for cost in (*first, *advice.ranking) if cost.total}
    others = [
        comparison.costs.get(offer.name)
        for offer in _by_cost(comparison)
        if offer.standing is not Standing.REPLACED
    ]
    for cost in others:
        if cost is not None and cost.total:
            found.setdefault(cost.route.name, cost)
    return list(found.values())[:MOST_BARS]


def _bar(cost: CostAt, label: str, advice: Advice, currency: str) -> Bar:
    amounts: dict[str, Fraction] = {}
    for each in printed_lines(cost, currency):
        group = GROUPS[each.of.line.kind]
        amounts[group] = amounts.get(group, Fraction(0)) + each.total
    holds = all(offer.holds for offer in cost.route.offers)
    second = "" if label.endswith(quotes_of(cost.route)) else suppliers_of(cost.route)
    second = second if not label.endswith(second) else ""
    return Bar(
        name=capital(label),
        second=second if holds else f"{second}, cannot be signed today".removeprefix(", "),
        pieces=tuple(
            Piece(group=group, amount=float(amount), text=printed(amount, currency))
            for group, amount in amounts.items()
            if amount
        ),
        total_text=printed(cost.total, currency),
        recommended=is_taken(cost.route, advice),
    )


def _where_it_goes(cost: CostAt, currency: str) -> str:
    """What most of the money of a route pays for."""
    amounts: dict[str, Fraction] = {}
    for line in cost.lines:
        group = GROUPS[line.line.kind]
        amounts[group] = amounts.get(group, Fraction(0)) + line.total
    largest = sorted(amounts.items(), key=lambda each: (-each[1], each[0]))[:2]
    shares = [
        f"{per_cent(Fraction(round(amount / cost.total * 100), 100))} for {_PHRASES[group]}"
        for group, amount in largest
        if amount > 0
    ]
    return f"of {round_money(cost.total, currency)}, {listed(shares)}"


_PHRASES = {
    "pieces": "the pieces",
    "charges": "charges",
    "minimum value": "the lift to a minimum value",
    "tool": "the tool",
    "completion": "completion",
    "delivery": "delivery",
    "customs and tax": "customs and tax",
}
