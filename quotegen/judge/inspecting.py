"""What looking at the deliveries of each offer means: how many, how long, and what slips through.

A bad lot is one of the part's limiting quality; where none is stated, of 5 in 100, our own choice
among the preferred values of ISO 2859-2. Its bad pieces are rounded up to whole ones.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from quotegen.compare.comparison import Comparison
from quotegen.costing.case import Case
from quotegen.costing.inspection import (
    chance_to_sort,
    inspection_plan,
    is_series,
    share_arriving,
    usual_delivery,
    work_of,
)
from quotegen.costing.offer import Offer, Standing
from quotegen.costing.sampling import (
    SamplingPlan,
    bad_pieces,
    chance_to_pass,
    limiting_sample,
)
from quotegen.model.operations import OWN_INSPECTION

BAD_SHARE = Fraction(5, 100)


@dataclass(frozen=True, slots=True, kw_only=True)
class Inspected:
    """One offer's usual delivery and how it is looked at.

    passes is the chance that a delivery with `bad` bad pieces passes, exact. minutes are for the
    pieces taken, None where nobody stated them. to_sort is how many more are looked at on average
    since a delivery may fail, None where no reject share is known. surer is the sample by which so
    bad a delivery passes at most 10 times in 100.
    """

    offer: Offer
    plan: SamplingPlan
    is_series: bool
    bad: int
    passes: Fraction
    minutes: Fraction | None
    to_sort: Fraction | None
    destroyed: int | None
    surer: int


def bad_share(comparison: Comparison) -> Fraction:
    """The share of bad pieces that makes a lot a bad one."""
    acceptance = comparison.part.record.acceptance_quality
    stated = acceptance.limiting if acceptance is not None else None
    return stated if stated is not None else BAD_SHARE


def inspected_offers(comparison: Comparison) -> tuple[Inspected, ...]:
    """Every offer with a price that is not replaced; nothing where the part asks for no sample."""
    return tuple(
        found
        for offer in comparison.offers
        if offer.priced and offer.standing is not Standing.REPLACED
        if (found := _inspected(comparison, offer)) is not None
    )


def _inspected(comparison: Comparison, offer: Offer) -> Inspected | None:
    case = offer.case
    plan = inspection_plan(case, _delivery(comparison, offer))
    if plan is None:
        return None
    bad, work = bad_pieces(plan.lot, bad_share(comparison)), work_of(case)
    return Inspected(
        offer=offer,
        plan=plan,
        is_series=is_series(case),
        bad=bad,
        passes=chance_to_pass(plan, bad),
        minutes=work.minutes * plan.sample if work is not None else None,
        to_sort=_to_sort(case, plan),
        destroyed=case.part.record.tested_to_destruction,
        surer=limiting_sample(plan.lot, bad_share(comparison)),
    )


def _delivery(comparison: Comparison, offer: Offer) -> int:
    """The pieces that come at once by the plain comparison, else what is usual."""
    size = offer.case.part.record.pieces_a_delivery
    cost = comparison.costs.get(offer.name)
    sizes = [pieces for leg in cost.legs for pieces in leg.orders.sizes] if cost else []
    return max(sizes) if sizes and size is None else usual_delivery(offer.case)


def _to_sort(case: Case, plan: SamplingPlan) -> Fraction | None:
    share = share_arriving(case)
    return chance_to_sort(plan, share) * (plan.lot - plan.sample) if share is not None else None


def inspected_by_operation(comparison: Comparison) -> str:
    """The operation of the part that already stands for looking at pieces; empty for none."""
    words = comparison.part.record.operations
    return next((each for each in words if each in OWN_INSPECTION), "")
