"""Many plans begun at once, as rows of arrays."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np

from quotegen.plan.orders import Numbers


@dataclass(frozen=True, slots=True, kw_only=True)
class Labels:
    """Plans up to some month, one a row.

    stock is that of now, before that of the month before any arrival; owned a set of things as
    bits; counters what memory.Counters says, a column each; cost in units of
    counting.counting_orders; parent the row of the month before; chosen the place of the order
    among the orders of each source, -1 for none.
    """

    stock: Numbers
    before: Numbers
    owned: Numbers
    counters: Numbers
    cost: Numbers
    parent: Numbers
    chosen: Numbers

    def __len__(self) -> int:
        return len(self.stock)

    def take(self, rows: Numbers) -> Labels:
        """These rows, by place or by truth."""
        return Labels(**{each.name: getattr(self, each.name)[rows] for each in fields(self)})


def begin(stock: int, counters: Sequence[int], sources: int) -> Labels:
    """The one plan without any order."""
    return Labels(
        stock=np.array([stock]),
        before=np.array([stock]),
        owned=np.array([0]),
        counters=np.array([counters], dtype=np.int64).reshape(1, len(counters)),
        cost=np.array([0]),
        parent=np.array([0]),
        chosen=np.full((1, sources), -1, dtype=np.int32),
    )


def joined(parts: Sequence[Labels]) -> Labels:
    return Labels(
        **{
            each.name: np.concatenate([getattr(part, each.name) for part in parts])
            for each in fields(Labels)
        }
    )


def distinct(labels: Labels) -> Labels:
    """Of plans that are alike in all that matters later, the cheapest, the first of equals."""
    keys = _keys(labels, range(labels.counters.shape[1]))
    order = np.lexsort((labels.cost, *keys))
    return labels.take(order[_starts([key[order] for key in keys])])


def undominated(labels: Labels, column: int, falling: Numbers, cost: Numbers) -> Labels:
    """Without the plans that another one beats in this column and in cost, alike in all else.

    falling is the column, or its opposite, so that less is better; cost is the cost with all that
    the column can save taken into account.
    """
    others = [place for place in range(labels.counters.shape[1]) if place != column]
    keys = [*_keys(labels, others), labels.counters[:, column] < 0]
    order = np.lexsort((cost, falling, *keys))
    first = _starts([key[order] for key in keys])
    group = np.cumsum(first) - 1
    rank = np.unique(cost[order], return_inverse=True)[1] - group * len(order)
    least = np.minimum.accumulate(rank)
    kept = first.copy()
    kept[1:] |= rank[1:] < least[:-1]
    return labels.take(order[kept])


def _keys(labels: Labels, columns: Sequence[int]) -> list[Numbers]:
    counted = [labels.counters[:, column] for column in columns]
    return [*counted, labels.before, labels.owned, labels.stock]


def _starts(keys: Sequence[Numbers]) -> Numbers:
    """Where a row differs from the one above it."""
    found = np.ones(len(keys[0]), dtype=bool)
    found[1:] = np.any([key[1:] != key[:-1] for key in keys], axis=0)
    return found
