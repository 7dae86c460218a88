"""What it costs to have at least so many good parts arrive in a month, from the exact bills.

Every allowed order of every offer in force is looked at (R1, R2, R3, R9); its present cost is the
plan's, payment by payment (R12).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from quotegen.judge.futures.law import Floats
from quotegen.plan.problem import UNITS
from quotegen.plan.segments import Segment
from quotegen.plan.sources import Supply

Wholes = NDArray[np.int64]


@dataclass(frozen=True, kw_only=True)
class Buying:
    """By the number of good parts that are wanted at least, from 0 to most.

    cost is the present cost of the order, good what it brings, pieces what is ordered and source
    the number of the offer that it goes to. keeps is what storing one of these parts costs for a
    month, waits the same with the chance that the drawing changes; worth is what one that is left
    at the end still brings. counted is what the order adds to a yearly value.
    """

    cost: Floats
    good: Wholes
    pieces: Wholes
    source: Wholes
    keeps: Floats
    waits: Floats
    worth: Floats
    counted: Floats

    @cached_property
    def is_of_one(self) -> bool:
        """Whether every order goes to the same offer."""
        return bool((self.source == self.source[0]).all())

    @property
    def most(self) -> int:
        return len(self.cost) - 1


@dataclass(frozen=True, kw_only=True)
class Stall:
    """All orders that one offer allows, in segments, up to the need of the largest future."""

    supply: Supply
    segments: tuple[Segment, ...]

    @cached_property
    def _rows(self) -> Mapping[str, Any]:
        """Pieces, good parts and the columns of money of every order, by good parts."""
        segments = self.segments
        rows: dict[str, Any] = {
            "pieces": _along([(each.pieces, each.pieces_step) for each in segments], segments),
            "good": _along([(each.good, each.good_step) for each in segments], segments),
        }
        for name in self.supply.columns:
            money = [(float(a), float(b)) for a, b in (each.money[name] for each in segments)]
            rows[name] = _along(money, segments)
        order = np.lexsort((rows["pieces"], rows["good"]))
        return {name: row[order] for name, row in rows.items()}

    @cached_property
    def _first(self) -> Wholes:
        """The first order that brings so many good parts at least, from 0 to the most."""
        good = self._rows["good"]
        found: Wholes = np.searchsorted(good, np.arange(int(good[-1]) + 1))
        return found

    def in_month(self, month: int, number: int) -> Buying | None:
        """None where nothing can arrive; number is how the offer is called in `source`."""
        timing = self.supply.timings.get(month)
        if timing is None or not self.segments:
            return None
        rows = self._rows
        shares = self.supply.present(timing)
        cost = sum(rows[name] * share for name, share in shares.items())
        best = _least_after(cost)[self._first]
        ones = np.ones(len(best))
        setting, arriving = self.supply.setting, self.supply.arriving[month]
        waits = arriving.waits / UNITS
        left = arriving.waits * (setting.horizon.months - month) - arriving.left
        storing = float(setting.storage)
        kept = storing / ((storing + setting.change) or 1)
        counted = rows["counted"] if "counted" in rows else np.zeros(len(cost))
        return Buying(
            cost=cost[best],
            good=rows["good"][best],
            pieces=rows["pieces"][best],
            source=np.full(len(best), number),
            keeps=ones * waits * kept,
            waits=ones * waits,
            worth=ones * left / UNITS,
            counted=counted[best],
        )


def _along(even: Sequence[tuple[float, float]], segments: Sequence[Segment]) -> Any:
    """First values and steps of the segments as one row of all their orders."""
    rows = [
        first + step * np.arange(each.count)
        for (first, step), each in zip(even, segments, strict=True)
    ]
    return np.concatenate(rows)


def _least_after(cost: Floats) -> Wholes:
    """For each order the one of least cost at or after it, the first of equals."""
    least = np.minimum.accumulate(cost[::-1])[::-1]
    places = np.where(cost == least, np.arange(len(cost)), len(cost))
    found: Wholes = np.minimum.accumulate(places[::-1])[::-1]
    return found


def cheapest(offers: Sequence[Buying]) -> Buying | None:
    """From whom so many good parts cost least, for each number; the first of equals."""
    if len(offers) < 2:
        return offers[0] if offers else None
    most = max(each.most for each in offers)
    costs = np.full((len(offers), most + 1), np.inf)
    for row, each in enumerate(offers):
        costs[row, : each.most + 1] = each.cost
    chosen = np.argmin(costs, axis=0)

    def taken(name: str) -> Any:
        padded = [np.resize(getattr(each, name), most + 1) for each in offers]
        return np.choose(chosen, padded)

    return Buying(
        cost=costs.min(axis=0),
        good=taken("good"),
        pieces=taken("pieces"),
        source=taken("source"),
        keeps=taken("keeps"),
        waits=taken("waits"),
        worth=taken("worth"),
        counted=taken("counted"),
    )
