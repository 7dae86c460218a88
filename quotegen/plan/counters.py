"""What a plan must remember of its orders: pieces through tools, towards promises, by supplier."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np

from quotegen.plan.bounds import lives
from quotegen.plan.counting import most_orders
from quotegen.plan.labels import Labels, distinct, undominated
from quotegen.plan.orders import Numbers
from quotegen.plan.problem import Problem, Wear
from quotegen.plan.values import LARGEST


@dataclass(frozen=True, kw_only=True)
class Counters:
    """A column for each wear (pieces so far), each commitment (counted so far, no more than its
    amount; -1 where nothing is ordered) and, with a share, each supplier (good parts so far).
    """

    problem: Problem

    @cached_property
    def unit(self) -> int:
        return most_orders(self.problem)

    @property
    def of_commitments(self) -> int:
        """The first column of the commitments."""
        return len(self.problem.wears)

    @cached_property
    def of_suppliers(self) -> Mapping[str, int]:
        share = self.problem.share
        if share is None:
            return {}
        names = [share.suppliers.get(each.name, each.name) for each in self.problem.sources]
        first = self.of_commitments + len(self.problem.commitments)
        return {name: first + place for place, name in enumerate(sorted(set(names)))}

    def start(self) -> tuple[int, ...]:
        begun = (0,) * len(self.problem.wears) + (-1,) * len(self.problem.commitments)
        return begun + (0,) * len(self.of_suppliers)

    def supplier_of(self, source: str) -> str:
        share = self.problem.share
        return share.suppliers.get(source, source) if share is not None else source

    def replacing(self, counters: Numbers, source: str, month: int, pieces: Numbers) -> Numbers:
        """What an order of so many pieces, one for each row, pays for further tools."""
        found = np.zeros(len(counters), dtype=np.int64)
        for place, wear in enumerate(self.problem.wears):
            if source in wear.sources:
                used = counters[:, place]
                more = lives(used + pieces, wear.life) - lives(used, wear.life)
                found += more * (wear.replacement[month] * self.unit)
        return found

    def after(
        self, counters: Numbers, source: str, pieces: Numbers, good: Numbers, counted: Numbers
    ) -> Numbers:
        """The rows once each has one order more."""
        found = counters.copy()
        for place, wear in enumerate(self.problem.wears):
            if source in wear.sources:
                found[:, place] += pieces
        for place, each in enumerate(self.problem.commitments, self.of_commitments):
            if each.source == source:
                reached = np.maximum(found[:, place], 0) + (counted if each.by_value else pieces)
                found[:, place] = np.minimum(reached, each.amount)
        if self.of_suppliers:
            found[:, self.of_suppliers[self.supplier_of(source)]] += good
        return found

    def closing(self, counters: Numbers) -> Numbers:
        """What each row owes in the end, as Python's own numbers; None where it is not allowed."""
        found = np.zeros(len(counters), dtype=object)
        banned = np.zeros(len(counters), dtype=bool)
        for place, each in enumerate(self.problem.commitments, self.of_commitments):
            column = counters[:, place]
            missing = np.where(column < 0, 0, each.amount - column).astype(object)
            if each.owed is None:
                banned |= missing > 0
            else:
                top, bottom = each.owed.as_integer_ratio()
                found += (2 * top * missing + bottom) // (2 * bottom) * self.unit
        banned |= self.too_much(counters, np.zeros(len(counters), dtype=np.int64))
        found[banned] = None
        return found

    def too_much(self, counters: Numbers, more: Numbers) -> Numbers:
        """Where one supplier has more than its share, also once others have brought more."""
        if self.problem.share is None or not len(counters):
            return np.zeros(len(counters), dtype=bool)
        top, bottom = self.problem.share.most.as_integer_ratio()
        brought = counters[:, list(self.of_suppliers.values())]
        every = brought.sum(axis=1) + more
        if bottom * int(every.max()) >= LARGEST:
            brought, every = brought.astype(object), every.astype(object)
        found: Numbers = brought.max(axis=1) * bottom > every * top
        return found.astype(bool)

    def sifted(self, labels: Labels, month: int) -> Labels:
        """Without plans that another one in the same state beats whatever comes, from month on."""
        labels = distinct(labels)
        for place, wear in enumerate(self.problem.wears):
            if _never_dearer(wear):
                price = (*wear.replacement, 0)[month] * self.unit
                # Fewer pieces so far may mean fewer tools paid; each is paid later, at most so.
                used = labels.counters[:, place]
                worth = labels.cost - lives(used, wear.life) * price
                labels = undominated(labels, place, used, worth)
        for place, _ in enumerate(self.problem.commitments, self.of_commitments):
            labels = undominated(labels, place, -labels.counters[:, place], labels.cost)
        return labels


def _never_dearer(wear: Wear) -> bool:
    return all(later <= price for price, later in pairwise(wear.replacement))
