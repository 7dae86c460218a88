"""The planning problem of one part: its offers as sources, its months, its limits."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Sequence
from dataclasses import replace
from fractions import Fraction

from quotegen.compare.comparison import Comparison
from quotegen.costing.leadtime import order_day
from quotegen.costing.offer import Offer
from quotegen.plan.horizon import first_use, horizon_of
from quotegen.plan.once import commitments_of, once_costs, wears_of
from quotegen.plan.payments import Discount
from quotegen.plan.problem import UNITS, Late, Problem, Share, Source
from quotegen.plan.sources import Borne, Setting, Supply


def setting_of(
    comparison: Comparison, months: int, begins: datetime.date | None = None
) -> Setting | None:
    """What all plans of a part share; None where no offer holds. begins moves the first use."""
    holding = [offer for offer in comparison.offers if offer.holds]
    if not holding:
        return None
    workshop, part = comparison.workshop.record, comparison.part.record
    ordered = order_day(holding[0].case)
    first, stated = first_use(part, holding, ordered)
    stands = part.design_stands.share if part.design_stands is not None else Fraction(1)
    return Setting(
        horizon=horizon_of(part, months, begins or first, stated),
        discount=Discount(to=ordered, yearly=workshop.cost_of_capital.share),
        ordered=ordered,
        lot=comparison.needs.lot,
        storage=workshop.storage.share / 12,
        change=1 - float(stands) ** (1 / 12),
        salvage=part.surplus_is_worth,
    )


def supplies_of(
    offers: Iterable[Offer], setting: Setting, borne: Iterable[Borne] = ()
) -> tuple[Supply, ...]:
    """The offers as sources, with what they bear of tools.

    One whose days are not known is none where a day was asked for; else its plan leaves out the
    spans that nobody has stated.
    """
    return tuple(
        Supply(offer=offer, setting=setting, borne=_of_its_tools(offer, borne))
        for offer in offers
        if offer.arrival.first_parts is not None or not setting.horizon.stated
    )


def _of_its_tools(offer: Offer, borne: Iterable[Borne]) -> tuple[Borne, ...]:
    tools = {tool.tool for tool in offer.case.item.tools}
    return tuple(each for each in borne if each.tool in tools)


def problem_of(comparison: Comparison, setting: Setting, supplies: Sequence[Supply]) -> Problem:
    """The whole problem; a limit that the part's form does not state is none."""
    part = comparison.part.record
    return Problem(
        demand=setting.horizon.demand,
        opening=setting.horizon.opening,
        sources=tuple(
            _source(supply, supplies, covered=part.late_costs is None) for supply in supplies
        ),
        late=_late(comparison, setting),
        shelf=part.shelf_holds,
        wears=wears_of(supplies),
        commitments=tuple(each for supply in supplies for each in commitments_of(supply)),
        share=_share(part.most_from_one_supplier, supplies),
    )


def _source(supply: Supply, supplies: Sequence[Supply], covered: bool) -> Source:
    """Where a late piece has its price no cover is asked for: what is on hand may be less."""
    with_tools = [month for month, each in supply.timings.items() if each.tools is not None]
    return Source(
        name=supply.offer.name,
        arriving={
            month: each if covered else replace(each, covers=0, covers_first=0)
            for month, each in supply.arriving.items()
        },
        once=once_costs(supply, supplies),
        first=min(with_tools, default=supply.setting.horizon.months),
    )


def _late(comparison: Comparison, setting: Setting) -> Late | None:
    part = comparison.part.record
    if part.late_costs is None:
        return None
    each = float(comparison.rates.convert(part.late_costs))
    return Late(
        cost=tuple(
            round(each * setting.discount.factor(day) * UNITS)
            for day in setting.horizon.starts[:-1]
        ),
        lost=part.late_is_lost,
    )


def _share(most: Fraction | None, supplies: Sequence[Supply]) -> Share | None:
    if most is None:
        return None
    return Share(most=most, suppliers={each.offer.name: each.offer.supplier for each in supplies})
