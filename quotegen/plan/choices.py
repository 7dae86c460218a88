"""The orders of one source in one month, each by itself, as far as they can be of use."""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np

from quotegen.plan.orders import Numbers
from quotegen.plan.problem import Arriving, Run
from quotegen.plan.values import LARGEST


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """How far a run is followed: to the first order that brings all three, and so many orders."""

    good: int
    pieces: int
    counted: int
    orders: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Choices:
    """A place for each order. less_* are of the next smaller order of its run, 0 for none.

    last marks the one with larger ones of its run that are left out.
    """

    pieces: Numbers
    good: Numbers
    counted: Numbers
    cost: Numbers
    less_good: Numbers
    less_pieces: Numbers
    less_counted: Numbers
    last: Numbers

    def take(self, places: Numbers) -> Choices:
        return Choices(**{each.name: getattr(self, each.name)[places] for each in fields(self)})


def choices_of(arriving: Arriving, reach: Reach, piece: int) -> Choices | None:
    """None where a figure may be too large; piece is the most a piece costs in further tools."""
    rows = [row for run in arriving.runs for row in _rows(run, reach)]
    largest = max((max(row) for row in rows), default=0)
    dearest = max((max(row[0] * piece, row[1] * abs(arriving.left)) for row in rows), default=0)
    if max(largest, dearest) >= LARGEST // 4:
        return None
    columns = list(zip(*rows, strict=True)) or [()] * 8
    numbers = [np.array(column, dtype=np.int64) for column in columns]
    pieces, good, counted, cost, less_good, less_pieces, less_counted, last = numbers
    return Choices(
        pieces=pieces,
        good=good,
        counted=counted,
        cost=cost,
        less_good=less_good,
        less_pieces=less_pieces,
        less_counted=less_counted,
        last=last.astype(bool),
    )


def _rows(run: Run, reach: Reach) -> list[tuple[int, ...]]:
    count = _count(run, reach)
    found, less = list[tuple[int, ...]](), (0, 0, 0)
    for step in range(count):
        pieces = run.pieces + step * run.pieces_step
        good = run.good + step * run.good_step
        counted = run.counted + step * run.counted_step
        cost = run.cost + step * run.cost_step
        last = step == count - 1 < run.count - 1
        found.append((pieces, good, counted, cost, *less, int(last)))
        less = (good, pieces, counted)
    return found


def _count(run: Run, reach: Reach) -> int:
    steps = max(
        _steps(reach.good - run.good, run.good_step),
        _steps(reach.pieces - run.pieces, run.pieces_step),
        _steps(reach.counted - run.counted, run.counted_step),
    )
    return min(run.count, max(steps + 1, reach.orders))


def _steps(lacking: int, step: int) -> int:
    return -(-lacking // step) if lacking > 0 and step > 0 else 0
