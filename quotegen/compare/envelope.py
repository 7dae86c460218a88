"""The cheapest route for every quantity, exactly, and what happens beyond the last one shown."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from quotegen.compare.route import Route, beyond_each
from quotegen.costing.schedule import Numbers


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """From so many good parts to so many (both count), this route is cheapest."""

    first: int
    last: int
    route: Route


@dataclass(frozen=True, slots=True, kw_only=True)
class Envelope:
    """Spans in order without gaps, but where no route can deliver; beyond names the winner later."""

    spans: tuple[Span, ...]
    reach: int
    beyond: Route | None


def stacked(curves: Sequence[Any]) -> Numbers:
    """Costs by route and quantity; a quantity that a route cannot deliver costs more than all."""
    kinds = {curve.costs.dtype for curve in curves}
    kind: Any = object if np.dtype(object) in kinds else np.int64
    rows = np.stack([curve.costs.astype(kind, copy=False) for curve in curves])
    missing = ~np.stack([curve.available for curve in curves])
    if missing.any():
        rows[missing] = max(int(row[-1]) for row in rows) + 1
    return rows


def envelope_of(routes: Sequence[Route]) -> Envelope:
    """The cheapest route at every quantity from 1 on.

    routes come in the order in which a tie is settled (R16): the first of equals wins.
    All curves have one unit and one reach.
    """
    if not routes:
        return Envelope(spans=(), reach=0, beyond=None)
    rows = stacked([route.curve for route in routes])
    winner = np.argmin(rows, axis=0)
    any_route = np.any(np.stack([route.curve.available for route in routes]), axis=0)
    reach = len(winner) - 1
    spans = []
    for first, last in _runs(np.where(any_route, winner, -1)[1:]):
        if any_route[first]:
            spans.append(Span(first=first, last=last, route=routes[int(winner[first])]))
    return Envelope(spans=tuple(spans), reach=reach, beyond=_beyond(routes))


def _runs(values: Numbers) -> list[tuple[int, int]]:
    """First and last index (from 1) of each run of equal values."""
    edges = np.flatnonzero(np.diff(values)) + 1
    firsts = [0, *edges.tolist()]
    lasts = [*edges.tolist(), len(values)]
    return [(first + 1, last) for first, last in zip(firsts, lasts, strict=True)]


def _beyond(routes: Sequence[Route]) -> Route | None:
    """The route with the least cost of one part more, among those without an end of capacity."""
    endless = [route for route in routes if route.main.bill.allowed.most_in_all is None]
    return min(endless, key=beyond_each, default=None)
