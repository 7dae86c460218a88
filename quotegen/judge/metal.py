"""Metal by route: what is in a part, what is bought for it, and what goes back to be melted."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from quotegen.compare.route import CostAt
from quotegen.costing.fitting import making_of
from quotegen.costing.offer import Offer
from quotegen.fit.materials import density_of, yield_of
from quotegen.fit.tables import Confidence, Source
from quotegen.model.fields import Process
from quotegen.model.part import Part

CASTING = frozenset(
    {
        Process.INVESTMENT_CASTING,
        Process.SAND_CASTING,
        Process.GRAVITY_DIE_CASTING,
        Process.PRESSURE_DIE_CASTING,
    }
)
QUOTED = Source(text="the quote", confidence=Confidence.HIGH)
PI = Fraction(355, 113)  # to six digits, far finer than any density


@dataclass(frozen=True, slots=True, kw_only=True)
class Metal:
    """Grams for one good part, rejects counted; bought is None where nobody has said it.

    least and most bound it where the source gives a range. how says where it comes from.
    """

    in_part: Fraction
    bought: Fraction | None
    least: Fraction | None
    most: Fraction | None
    how: str
    source: Source | None

    @property
    def goes_back(self) -> Fraction | None:
        """What is not in the good part: gating, chips, supports and rejects."""
        return None if self.bought is None else self.bought - self.in_part


@dataclass(frozen=True, slots=True, kw_only=True)
class RouteMetal:
    """A route's metal in grams over all good parts that it buys; None where a leg is not known."""

    cost: CostAt
    good: int
    in_parts: Fraction
    bought: Fraction | None
    legs: tuple[Metal, ...]

    @property
    def goes_back(self) -> Fraction | None:
        return None if self.bought is None else self.bought - self.in_parts


def metal_of_offer(offer: Offer) -> Metal:
    """From the quote where it says so, else from published yields or the bar it is cut from."""
    case = offer.case
    in_part, rejects = case.part.record.mass.grams, case.rejects.share
    quoted = _quoted(offer)
    if quoted is not None:
        return _checked(in_part, quoted, rejects)
    if offer.process in CASTING:
        return _poured(offer, in_part, rejects)
    if offer.process is Process.MACHINING:
        return _cut(offer, in_part, rejects)
    return _unknown(in_part, "not stated: ask")


def _unknown(in_part: Fraction, how: str) -> Metal:
    return Metal(in_part=in_part, bought=None, least=None, most=None, how=how, source=None)


def _quoted(offer: Offer) -> Fraction | None:
    """The metal bought for a piece, or the mass that a price by mass is paid for."""
    item = offer.case.item
    if item.metal_bought is not None:
        return item.metal_bought.grams
    by_mass = any(getattr(tier.price, "unit", "") == "g" for tier in item.prices)
    return item.mass_priced.grams if by_mass and item.mass_priced is not None else None


def _checked(in_part: Fraction, quoted: Fraction, rejects: Fraction) -> Metal:
    if quoted < in_part:
        return _unknown(in_part, "the quote states less than the part weighs: ask")
    return _known(in_part, (quoted, quoted, quoted), rejects, "as quoted", QUOTED)


def _known(
    in_part: Fraction,
    bought: tuple[Fraction, Fraction, Fraction],
    rejects: Fraction,
    how: str,
    source: Source,
) -> Metal:
    """Least, likely and most for a piece become those for a good one."""
    if rejects >= 1:
        return _unknown(in_part, "no good part comes of it")
    least, likely, most = (each / (1 - rejects) for each in bought)
    return Metal(in_part=in_part, bought=likely, least=least, most=most, how=how, source=source)


def _poured(offer: Offer, in_part: Fraction, rejects: Fraction) -> Metal:
    """The raw casting and what is cut off it, by the yield of the process."""
    found = yield_of(offer.process, making_of(offer.case).metal)
    if found is None:
        return _unknown(in_part, "not stated: ask")
    raw = max(in_part, offer.case.mass_shipped.grams)
    bought = (raw / found.best, raw / found.mean, raw / found.worst)
    return _known(in_part, bought, rejects, "published yield of the process", found.source)


def _cut(offer: Offer, in_part: Fraction, rejects: Fraction) -> Metal:
    """The bar that the part's box is cut from: round where two sides are alike."""
    metal, part = making_of(offer.case).metal, offer.case.part.record
    if metal is None or part.envelope is None:
        return _unknown(in_part, "not stated: ask")
    density, source = density_of(metal)
    bar = max(in_part, bar_volume(part) * density)
    how = "the bar around the part, without the saw cut"
    return _known(in_part, (bar, bar, bar), rejects, how, source)


def bar_volume(part: Part) -> Fraction:
    """Cubic millimetres of the box around a part, or of a round bar where two sides are alike.

    Raises ValueError without an envelope.
    """
    if part.envelope is None:
        raise ValueError("a part without an envelope has no bar")
    sides = sorted(each.millimetres for each in part.envelope)
    if sides[1] == sides[2]:
        return PI * sides[1] ** 2 / 4 * sides[0]
    if sides[0] == sides[1]:
        return PI * sides[0] ** 2 / 4 * sides[2]
    return sides[0] * sides[1] * sides[2]


def metal_of_route(cost: CostAt) -> RouteMetal:
    """Every leg's metal for the good parts that it brings."""
    metals = [(metal_of_offer(leg.offer), leg.orders.good) for leg in cost.legs]
    bought = [None if each.bought is None else each.bought * good for each, good in metals]
    known = [each for each in bought if each is not None]
    return RouteMetal(
        cost=cost,
        good=cost.bought,
        in_parts=sum((each.in_part * good for each, good in metals), Fraction(0)),
        bought=sum(known, Fraction(0)) if len(known) == len(bought) else None,
        legs=tuple(each for each, _ in metals),
    )
