"""The figures of a part that a person could be wrong about, each with its place and its range."""

from __future__ import annotations

import bisect
import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from quotegen.basics.money import Money, Price
from quotegen.basics.place import Place
from quotegen.basics.printed import per_cent
from quotegen.basics.quantity import Span
from quotegen.compare.comparison import Comparison, arrives_late
from quotegen.costing.bill import Kind
from quotegen.costing.offer import Offer, currencies_of, quote_wide
from quotegen.judge.futures.outlook import step_from
from quotegen.judge.turning import changes, wavering
from quotegen.judge.turning.figure import Figure, Shape, Sort
from quotegen.model.fields import Counted
from quotegen.model.quote import Tier, Tool

MOST, LEAST = 4, Fraction(1, 2)  # times the present value
MOST_PRICE = 2
MOST_LEAD = 3
MOST_STEPS = 256
SHORTEST_LIFE = Fraction(1, 10)  # of the stated one
PER_CENT = Fraction(1, 100)
TENTH = PER_CENT / 10
MOST_REJECTS = Fraction(25, 100)
MOST_DUTY = Fraction(25, 100)
MOST_MONEY = Fraction(15, 100)
LEAST_STANDS = Fraction(90, 100)  # unless twice the chance of a change is more
FINE_CHANCE = Fraction(1, 100_000)
STANDS = "chance a month that the drawing changes"
MOST_DEMAND = 2  # times the likely demand, and as much below the low one


def figures_of(comparison: Comparison, names: Iterable[str]) -> tuple[Figure, ...]:
    """All figures on which the cost of the named offers depends."""
    wanted = frozenset(names)
    listing = _Listing(comparison, tuple(o for o in comparison.offers if o.name in wanted))
    return tuple(listing.figures())


@dataclass(frozen=True, slots=True)
class _Listing:
    comparison: Comparison
    offers: tuple[Offer, ...]

    @property
    def every(self) -> frozenset[str]:
        return frozenset(offer.name for offer in self.offers)

    def figures(self) -> Iterator[Figure]:
        yield self.demand()
        for offer in self.offers:
            yield from self.of_offer(offer)
        yield from self.tools()
        yield from self.freights()
        yield from self.duties()
        yield from self.rates()
        yield from self.completions()
        yield self.money()
        yield self.design()

    def demand(self) -> Figure:
        demand = self.comparison.part.record.demand
        low, high = max(1, demand.low // MOST_DEMAND), max(demand.high, MOST_DEMAND * demand.likely)
        wavers = wavering.with_demand(self.comparison)
        return Figure(
            sort=Sort.DEMAND,
            subject="",
            place=self.comparison.part.places.of("demand", "likely"),
            written=f"{demand.likely} a year",
            value=Fraction(demand.likely),
            low=Fraction(low),
            high=Fraction(high),
            step=_whole_step(high - low),
            unit="a year",
            moves=self.every,
            shape=_rising(wavers),
            change=changes.demand_to,
            wavers=wavers,
            jumps=tuple(map(Fraction, wavering.jumps_of(self.comparison, low, high))),
        )

    def of_offer(self, offer: Offer) -> Iterator[Figure]:
        tier = tier_in_force(offer, self.comparison.needs.lot)
        if tier is not None and isinstance(tier[1].price, Price) and tier[1].price.money.amount > 0:
            yield self.price(offer, tier[0], tier[1].price)
        if offer.case.item.minimum > 1:
            yield self.minimum(offer)
        yield from self.minimum_values(offer)
        yield self.rejects(offer)
        yield from self.lead(offer)

    def price(self, offer: Offer, number: int, price: Price) -> Figure:
        value = price.money.amount
        lifted = self._lifted(offer)
        return Figure(
            sort=Sort.PRICE,
            subject=offer.supplier_name,
            place=offer.case.at_item("prices", number, "price"),
            written=str(price),
            value=value,
            low=LEAST * value,
            high=MOST_PRICE * value,
            step=Fraction(1, 100) if value >= 1 else 10 * _fine(value),
            unit=_unit(price),
            moves=frozenset({offer.name}),
            shape=Shape.RISING if self._salvaged or lifted is None else Shape.STRAIGHT,
            change=changes.price_to(offer.name, value),
            lifted=lifted or frozenset(),
        )

    def _shape(self) -> Shape:
        """Salvage is capped by the least that a piece costs, which bends the lines (R13)."""
        return Shape.RISING if self._salvaged else Shape.STRAIGHT

    def _lifted(self, offer: Offer) -> frozenset[str] | None:
        """The offer itself where its orders have a minimum value; None for one of the year (R3)."""
        forms = [offer.case.item.minimum_value, offer.case.quote.minimum_value]
        stated = [each for each in forms if each is not None]
        if any(each.per is Counted.YEAR for each in stated):
            return None
        return frozenset({offer.name}) if stated else frozenset()

    @property
    def _salvaged(self) -> bool:
        return self.comparison.part.record.surplus_is_worth > 0

    def minimum(self, offer: Offer) -> Figure:
        value = offer.case.item.minimum
        most = max(MOST * value, 2 * self.comparison.needs.lot)
        return Figure(
            sort=Sort.MINIMUM,
            subject=offer.supplier_name,
            place=offer.case.at_item("minimum"),
            written=str(value),
            value=Fraction(value),
            low=Fraction(1),
            high=Fraction(most),
            step=Fraction(1),
            unit="pieces",
            moves=frozenset({offer.name}),
            shape=Shape.ANY if self._salvaged else Shape.RISING,
            change=changes.minimum_to(offer.name),
        )

    def minimum_values(self, offer: Offer) -> Iterator[Figure]:
        quote, item = offer.case.quote, offer.case.item
        for of_item, form in ((True, item.minimum_value), (False, quote.minimum_value)):
            if form is None or not form.value.amount:
                continue
            place = offer.case.at_item("minimum value", "value")
            yield Figure(
                sort=Sort.MINIMUM_VALUE,
                subject=offer.supplier_name,
                place=place if of_item else offer.case.at_quote("minimum value", "value"),
                written=str(form.value),
                value=form.value.amount,
                low=Fraction(0),
                high=MOST * form.value.amount,
                step=Fraction(1),
                unit=form.value.currency,
                moves=frozenset({offer.name}),
                shape=Shape.ANY if self._salvaged else Shape.RISING,
                change=changes.minimum_value_to(offer.name, of_item=of_item),
            )
            return

    def rejects(self, offer: Offer) -> Figure:
        stated, seen = offer.case.item.rejects, offer.case.supplier.record.rejects_seen
        share, wavers = offer.case.rejects.share, wavering.with_rejects(self.comparison, offer)
        place = offer.case.at_item("rejects")
        if stated is None and seen is not None:
            place = offer.case.supplier.places.of("rejects seen")
        return Figure(
            sort=Sort.REJECTS,
            subject=offer.supplier_name,
            place=place,
            written=per_cent(share) if stated is not None or seen is not None else "not stated",
            value=share,
            low=Fraction(0),
            high=max(MOST_REJECTS, min(Fraction(9, 10), MOST * share)),
            step=PER_CENT / 2,
            unit="%",
            moves=frozenset({offer.name}),
            shape=_rising(wavers),
            change=changes.rejects_to(offer.name),
            wavers=wavers,
        )

    def lead(self, offer: Offer) -> Iterator[Figure]:
        """Where no day is stated use begins when the slowest can deliver, so that every cost moves
        with a lead time."""
        stated, usual = offer.case.item.lead_time, offer.case.supplier.record.usual_lead_time
        span = stated if isinstance(stated, Span) else usual
        if span is None or not span.count:
            return
        place = offer.case.at_item("lead time")
        if not isinstance(stated, Span):
            place = offer.case.supplier.places.of("usual lead time")
        is_dated = self.comparison.part.record.needed_by is not None
        yield Figure(
            sort=Sort.LEAD,
            subject=offer.supplier_name,
            place=place,
            written=str(span),
            value=Fraction(span.count),
            low=Fraction(0),
            high=Fraction(MOST_LEAD * span.count),
            step=_whole_step(MOST_LEAD * span.count),
            unit=span.unit,
            moves=frozenset({offer.name}) if is_dated else self.every,
            shape=Shape.RISING if is_dated else Shape.ANY,
            change=changes.lead_to(offer.name, span.unit),
            wavers=wavering.with_lead_time(self.comparison, offer),
            jumps=self._late_from(offer, MOST_LEAD * span.count, span.unit),
        )

    def _late_from(self, offer: Offer, most: int, unit: str) -> tuple[Fraction, ...]:
        """The shortest lead time with which the first parts come too late, as long as that asks
        for a bridge; none where none does."""
        change = changes.lead_to(offer.name, unit)

        def is_late(count: int) -> bool:
            there = change(self.comparison, Fraction(count))
            changed = next(each for each in there.offers if each.name == offer.name)
            return arrives_late(there.part.record, there.needs, changed)

        first = bisect.bisect_left(range(most + 1), True, key=is_late)
        return (Fraction(first),) if 0 < first <= most else ()

    def tools(self) -> Iterator[Figure]:
        """Each tool once, wherever several quotes name it; places are those of the first."""
        owned = self.comparison.workshop.record.tools_owned
        found: dict[str, list[tuple[Offer, int, Tool]]] = {}
        for offer in self.offers:
            for number, tool in enumerate(offer.case.item.tools):
                found.setdefault(tool.tool, []).append((offer, number, tool))
        for key, using in found.items():
            names = frozenset(offer.name for offer, _, _ in using)
            if key not in owned:
                yield from self.tool_price(using, key, names)
            yield from self.tool_life(using, key, names)

    def tool_price(
        self, using: list[tuple[Offer, int, Tool]], key: str, names: frozenset[str]
    ) -> Iterator[Figure]:
        for offer, number, tool in using:
            if isinstance(tool.price, Money) and tool.price.amount > 0:
                value = tool.price.amount
                yield Figure(
                    sort=Sort.TOOL,
                    subject=f"the {tool.what} of {offer.supplier_name}",
                    place=offer.case.at_item("tools", number, "price"),
                    written=str(tool.price),
                    value=value,
                    low=Fraction(0),
                    high=MOST * value,
                    step=Fraction(1),
                    unit=tool.price.currency,
                    moves=names,
                    shape=self._shape(),
                    change=changes.tool_price_to(names, key, value),
                )
                return

    def tool_life(
        self, using: list[tuple[Offer, int, Tool]], key: str, names: frozenset[str]
    ) -> Iterator[Figure]:
        for offer, number, tool in using:
            if isinstance(tool.life, int):
                yield Figure(
                    sort=Sort.LIFE,
                    subject=f"the {tool.what} of {offer.supplier_name}",
                    place=offer.case.at_item("tools", number, "life"),
                    written=f"{tool.life} shots",
                    value=Fraction(tool.life),
                    low=Fraction(math.ceil(tool.life * SHORTEST_LIFE)),
                    high=Fraction(MOST * tool.life),
                    step=Fraction(1),
                    unit="shots",
                    moves=names,
                    shape=Shape.FALLING,
                    change=changes.tool_life_to(names, key),
                )
                return

    def freights(self) -> Iterator[Figure]:
        for number, row in enumerate(self.comparison.workshop.record.delivery):
            legs = ("carriage", "on carriage")
            places = {self.comparison.workshop.places.of("delivery", number, leg) for leg in legs}
            using = [
                offer
                for offer in self._using(Kind.DELIVERY, places, legs)
                if offer.case.supplier.record.country == row.from_country
            ]
            carriage = row.carriage or row.on_carriage
            if not using or carriage is None:
                continue
            money = carriage.per_order or carriage.per_kilogram
            if money is None or not money.amount:
                continue
            per = "a delivery" if carriage.per_order is money else "a kilogram"
            yield Figure(
                sort=Sort.FREIGHT,
                subject=row.from_country,
                place=self.comparison.workshop.places.of("delivery", number, "carriage"),
                written=f"{money} {per}",
                value=money.amount,
                low=Fraction(0),
                high=MOST * money.amount,
                step=Fraction(1, 100),
                unit=f"{money.currency} {per}",
                moves=_names(using),
                shape=self._shape(),
                change=changes.freight_to(_names(using), number, money.amount),
            )

    def _using(self, kind: Kind, places: set[Place], words: tuple[str, ...] = ()) -> list[Offer]:
        """The offers whose bills have a line of a kind that is written at one of these places."""
        return [
            offer
            for offer in self.offers
            if any(
                line.kind is kind
                and line.place in places
                and (not words or line.what.startswith(words))
                for line in offer.bill.lines
            )
        ]

    def duties(self) -> Iterator[Figure]:
        for number, row in enumerate(self.comparison.workshop.record.duty):
            place = self.comparison.workshop.places.of("duty", number)
            using = [
                offer
                for offer in self._using(Kind.CUSTOMS, {place})
                if offer.case.origin == row.origin
            ]
            if using:
                yield Figure(
                    sort=Sort.DUTY,
                    subject=row.origin,
                    place=self.comparison.workshop.places.of("duty", number, "rate"),
                    written=per_cent(row.rate),
                    value=row.rate,
                    low=Fraction(0),
                    high=max(MOST_DUTY, min(Fraction(1), MOST * row.rate)),
                    step=Fraction(1, 1000),
                    unit="%",
                    moves=_names(using),
                    shape=self._shape(),
                    change=changes.duty_to(_names(using), number),
                )

    def rates(self) -> Iterator[Figure]:
        ours = (self.comparison.workshop.record, self.comparison.part.record)
        for currency, rate in self.comparison.rates.rates.items():
            is_ours = currency in currencies_of(ours)
            using = [each for each in self.offers if is_ours or currency in _paid_in(each)]
            if using:
                yield Figure(
                    sort=Sort.RATE,
                    subject=currency,
                    place=rate.place,
                    written=rate.written,
                    value=rate.value,
                    low=rate.value / 2,
                    high=2 * rate.value,
                    step=_fine(rate.value),
                    unit=self.comparison.rates.base,
                    moves=_names(using),
                    shape=Shape.RISING if any(map(_is_mixed, using)) else self._shape(),
                    change=changes.rate_to(_names(using), currency),
                )

    def completions(self) -> Iterator[Figure]:
        for number, row in enumerate(self.comparison.workshop.record.completion):
            place = self.comparison.workshop.places.of("completion", number)
            using = self._using(Kind.COMPLETION, {place}, (row.operation,))
            value, unit, said = _completion(row.price, row.minutes, row.per_order)
            if using and value:
                yield Figure(
                    sort=Sort.COMPLETION,
                    subject=row.operation,
                    place=place,
                    written=said,
                    value=value,
                    low=Fraction(0),
                    high=MOST * value,
                    step=Fraction(1, 100),
                    unit=unit,
                    moves=_names(using),
                    shape=self._shape(),
                    change=changes.completion_to(_names(using), number, value),
                )

    def money(self) -> Figure:
        """Money costs less where it is paid later, dearer money the more; salvage grows less."""
        share = self.comparison.workshop.record.cost_of_capital.share
        return Figure(
            sort=Sort.MONEY,
            subject="",
            place=self.comparison.workshop.places.of("cost of capital"),
            written=f"{per_cent(share)} a year",
            value=share,
            low=Fraction(0),
            high=max(MOST_MONEY, min(Fraction(1), 2 * share)),
            step=TENTH,
            unit="%",
            moves=self.every,
            shape=Shape.ANY if self._salvaged else Shape.FALLING,
            change=changes.money_to,
            wavers=wavering.with_money(),
        )

    def design(self) -> Figure:
        """In chances a month that the drawing changes: the cost of a plan is a line over them."""
        stands = self.comparison.part.record.design_stands
        share = stands.share if stands is not None else Fraction(1)
        return Figure(
            sort=Sort.DESIGN,
            subject="",
            place=self.comparison.part.places.of("design stands"),
            written=f"{per_cent(share)} a year" if stands is not None else "not stated",
            value=changes.monthly(share),
            low=Fraction(0),
            high=max(changes.monthly(LEAST_STANDS), 2 * changes.monthly(share)),
            step=FINE_CHANCE,
            unit=STANDS,
            moves=self.every,
            shape=self._shape(),
            change=changes.design_to,
        )


def _whole_step(steps: int) -> Fraction:
    """1, or so many that a wide range has not too many steps to settle."""
    return Fraction(step_from(steps / MOST_STEPS))


def _rising(wavers: wavering.Wavers | None) -> Shape:
    return Shape.ANY if wavers is None else Shape.RISING


def _names(offers: Iterable[Offer]) -> frozenset[str]:
    return frozenset(offer.name for offer in offers)


def _paid_in(offer: Offer) -> frozenset[str]:
    quote = offer.case.quote
    paid = {quote.currency, quote.pay_in or quote.currency}
    return currencies_of((offer.case.item, quote_wide(quote))) | paid


def _fine(value: Fraction) -> Fraction:
    """A step of one in the fifth digit that says something, as exchange rates are told."""
    return Fraction(10) ** (math.floor(math.log10(value)) - 4)


def _is_mixed(offer: Offer) -> bool:
    """Whether a minimum value stands against amounts in another currency than its own (R3)."""
    item, quote = offer.case.item, offer.case.quote
    if item.minimum_value is None and quote.minimum_value is None:
        return False
    return len(currencies_of((item, quote_wide(quote)))) > 1


def _unit(price: Price) -> str:
    per = str(price).partition(" per ")[2]
    return f"{price.money.currency} each" if per == "1" else f"{price.money.currency} per {per}"


def _completion(
    price: Price | None, minutes: int | None, per_order: Money | None
) -> tuple[Fraction, str, str]:
    """The amount that stands for an operation, its unit, and both as written."""
    if price is not None:
        return price.money.amount, _unit(price), str(price)
    if minutes is not None:
        return Fraction(minutes), "minutes a piece", f"{minutes} minutes a piece"
    if per_order is not None:
        return per_order.amount, f"{per_order.currency} an order", f"{per_order} an order"
    return Fraction(0), "", ""


def tier_in_force(offer: Offer, lot: int) -> tuple[int, Tier] | None:
    """The priced tier that a lot reaches, else the first; its number in the form with it."""
    priced = [
        (number, tier)
        for number, tier in enumerate(offer.case.item.prices)
        if isinstance(tier.price, Price)
    ]
    if not priced:
        return None
    pieces = math.ceil(lot / (1 - offer.bill.rejects)) if offer.bill.rejects < 1 else lot
    reached = [each for each in priced if each[1].from_ <= pieces]
    if not reached:
        return min(priced, key=lambda each: each[1].from_)
    return max(reached, key=lambda each: each[1].from_)
