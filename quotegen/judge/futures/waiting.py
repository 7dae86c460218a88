"""When to order a tool that may be waited for: the best policy by dynamic programming (R22).

At the first day and at the start of every month the tool may be ordered, knowing only how many
pieces have been sold. Until it works, pieces are bought without it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from quotegen.judge.futures.law import Floats

Wholes = NDArray[np.int64]


@dataclass(frozen=True, kw_only=True)
class Waiting:
    """What ordering the tool at each time costs, and what the sales tell.

    plain and tooled are what a piece costs that is used in each month, without the tool and with
    it; tool is what is paid for it by the month in which it first delivers, and arrives that
    month for an order at the start of each month, the number of months where it comes too late.
    wanted is the mean demand of each month at level 1, levels are those of the law. posterior
    gives the chance of each level after so many months, a row for each number sold; chances the
    chance of each number wanted in a month, a row for each level.
    """

    plain: Floats
    tooled: Floats
    tool: Floats
    arrives: Wholes
    wanted: Floats
    levels: Floats
    posterior: Callable[[int, Floats], Floats]
    chances: Callable[[int], Floats]
    most_sold: int
    step: int = 1

    @property
    def months(self) -> int:
        return len(self.plain)

    @property
    def sold(self) -> Wholes:
        """The numbers sold that are looked at; between them the value is taken to be straight."""
        return np.arange(0, self.most_sold + self.step, self.step)

    def pieces(self, month: int) -> float:
        """What all pieces from a month on cost at level 1 where the tool is ordered then."""
        here, after = slice(month, self.arrives[month]), slice(self.arrives[month], None)
        plain = self.wanted[here] @ self.plain[here]
        return float(plain + self.wanted[after] @ self.tooled[after])


@dataclass(frozen=True, kw_only=True)
class Policy:
    """What to do at the start of each month, by the number sold; value is its expected cost.

    least has by month the fewest pieces sold with which the tool is ordered, None where it is
    not ordered with any number.
    """

    value: float
    orders: tuple[NDArray[np.bool_], ...]
    least: tuple[int | None, ...]


def best_policy(waiting: Waiting) -> Policy:
    """The least expected cost of all policies that see what has been sold, exactly on the grid."""
    sold = waiting.sold
    ahead = np.zeros(len(sold))
    orders: list[NDArray[np.bool_]] = []
    for month in reversed(range(waiting.months)):
        posterior = waiting.posterior(month, sold.astype(np.float64))
        level = posterior @ waiting.levels
        wait = level * waiting.wanted[month] * waiting.plain[month]
        wait += _expected(waiting, posterior @ waiting.chances(month), ahead)
        order = np.full(len(sold), np.inf)
        arrives = int(waiting.arrives[month])
        if arrives < waiting.months:
            order = waiting.tool[arrives] + level * waiting.pieces(month)
        orders.append(order < wait)
        ahead = np.minimum(order, wait)
    orders.reverse()
    return Policy(
        value=float(ahead[0]),
        orders=tuple(orders),
        least=tuple(int(sold[np.argmax(each)]) if each.any() else None for each in orders),
    )


def _expected(waiting: Waiting, chances: Floats, ahead: Floats) -> Floats:
    """The value of the next month by the number sold, over what this month may want."""
    wanted = chances.shape[1]
    every = np.arange(waiting.most_sold + waiting.step + wanted)
    values = np.interp(every, waiting.sold, ahead)
    windows = np.lib.stride_tricks.sliding_window_view(values, wanted)[waiting.sold]
    found: Floats = np.einsum("ij,ij->i", chances, windows)
    return found
