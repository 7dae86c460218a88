"""At which quantities to ask: where the decision turns, as far as it is known today."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from quotegen.basics.printed import listed
from quotegen.costing.offer import Standing
from quotegen.judge.studied import PartStudy

MOST = 8
APART = 10  # in a hundred: nearer together, the less telling one of two is left out


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A quantity in pieces, and why it is asked; the reasons are for us and not for suppliers."""

    pieces: int
    why: tuple[str, ...]

    @property
    def told(self) -> str:
        return f"{self.pieces:,}: {listed(self.why)}"


def quantities_of(studied: PartStudy) -> tuple[Asked, ...]:
    """At most eight, rising; none where nothing is to be bought any more.

    The most telling come first: planned orders, the lot, break-even, where another route becomes
    cheapest, breaks and minimums of quotes, and a year's demand. One that lies within a tenth of
    a more telling one is left out, and so is one beyond twice the high demand.
    """
    needs = studied.comparison.needs
    if not needs.likely:
        return ()
    most = max(2 * needs.high, needs.lot)
    reasons: dict[int, list[str]] = {}
    for pieces, why in _reasons(studied):
        if 1 <= pieces <= most and why not in reasons.setdefault(pieces, []):
            reasons[pieces].append(why)
    kept: list[int] = []
    for pieces in (each for each, why in reasons.items() if why):
        if len(kept) < MOST and all(_apart(pieces, each) for each in kept):
            kept.append(pieces)
    return tuple(Asked(pieces=each, why=tuple(reasons[each])) for each in sorted(kept))


def _apart(first: int, second: int) -> bool:
    smaller, larger = sorted((first, second))
    return 100 * (larger - smaller) >= APART * larger


def _reasons(studied: PartStudy) -> Iterator[tuple[int, str]]:
    """Quantities with their reasons, the most telling first."""
    comparison, plan = studied.comparison, studied.advice.plan
    orders = sorted(plan.orders, key=lambda each: -each.pieces) if plan is not None else ()
    yield from ((order.pieces, "planned order") for order in orders[:3])
    yield comparison.needs.lot, "lot"
    for even in comparison.break_evens[:2]:
        if even.first_cheaper is not None:
            yield even.first_cheaper, f"{even.tooled.name} is cheaper from here on"
    for span in comparison.envelope.spans[1:]:
        yield span.first, f"{span.route.name} becomes cheapest"
    yield from _of_quotes(studied)
    yield comparison.needs.demand.likely, "a year's demand"
    yield comparison.needs.likely, "all that is wanted"


def _of_quotes(studied: PartStudy) -> Iterator[tuple[int, str]]:
    for offer in studied.comparison.offers:
        if offer.standing is Standing.REPLACED:
            continue
        item = offer.case.item
        if item.minimum > 1:
            yield item.minimum, f"minimum of {offer.name}"
        yield from ((tier.from_, f"break of {offer.name}") for tier in item.prices[1:])
