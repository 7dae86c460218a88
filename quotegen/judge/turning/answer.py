"""The answer that costs lead to: which route is cheapest, and what is advised (R15, R16)."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from quotegen.judge.advice import Outcome


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What one way costs at one value; its family is known by its main offer."""

    family: str
    cost: Fraction
    signable: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """Families by their main offer. cheapest is None where there is no route.

    ties are all that lie within the margin, the cheapest among them.
    """

    outcome: Outcome
    cheapest: str | None
    ties: frozenset[str]

    @property
    def advice(self) -> tuple[Outcome, frozenset[str]]:
        """What is advised: two answers that advise the same are alike."""
        of_outcome = {
            Outcome.CHOSEN: frozenset({self.cheapest or ""}),
            Outcome.TIE: self.ties,
        }
        return self.outcome, of_outcome.get(self.outcome, frozenset())

    @property
    def key(self) -> tuple[object, ...]:
        return self.advice, self.cheapest


@dataclass(frozen=True, slots=True, kw_only=True)
class Judge:
    """How costs are read: the margin of R16, whether an open offer blocks whatever it costs.

    order has the families as a tie is settled: of equal costs the first one's is the cheapest.
    """

    margin: Fraction
    always_blocked: bool
    order: tuple[str, ...] = ()

    def rank(self, family: str) -> int:
        return self.order.index(family) if family in self.order else len(self.order)

    def answer(self, told: Iterable[Told]) -> Answer:
        every = list(told)
        costs: dict[str, Told] = {}
        for each in every:
            known = costs.get(each.family)
            if each.signable and (known is None or each.cost < known.cost):
                costs[each.family] = each
        if not costs:
            blocked = self.always_blocked or any(not each.signable for each in every)
            outcome = Outcome.UNKNOWN if blocked else Outcome.NO_ROUTE
            return Answer(outcome=outcome, cheapest=None, ties=frozenset())
        best = min(costs.values(), key=lambda each: (each.cost, self.rank(each.family)))
        close = best.cost * (1 + self.margin)
        ties = frozenset(name for name, each in costs.items() if each.cost <= close)
        turns = best.cost * (1 - self.margin)
        blocked = any(not each.signable and each.cost < turns for each in every)
        outcome = Outcome.TIE if len(ties) > 1 else Outcome.CHOSEN
        if blocked or self.always_blocked:
            outcome = Outcome.UNKNOWN
        return Answer(outcome=outcome, cheapest=best.family, ties=ties)
