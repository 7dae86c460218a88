"""The cheapest route for every quantity, exactly, and what happens beyond the last one shown."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from quotegen.compare.lots import Curve
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
    """Spans in order, gaps only where no route can deliver; beyond names the winner later."""

    spans: tuple[Span, ...]
    reach: int
    beyond: Route | None


def _winners(curves: Sequence[Curve]) -> Numbers:
    """For each quantity the number of the cheapest curve, the first of equals; -1 for none."""
    kind = np.result_type(*(curve.costs for curve in curves))
    least = curves[0].costs.astype(kind)
    none_yet = ~curves[0].available
    winner = np.zeros(len(least), dtype=np.int16)
    for number, curve in enumerate(curves[1:], 1):
        cheaper = ((curve.costs < least) | none_yet) & curve.available
        np.copyto(least, curve.costs, where=cheaper)
        np.copyto(winner, np.int16(number), where=cheaper)
        none_yet &= ~curve.available
    winner[none_yet] = -1
    return winner


def envelope_of(routes: Sequence[Route]) -> Envelope:
    """The cheapest route at every quantity from 1 on.

    routes come in the order in which a tie is settled (R16): the first of equals wins.
    All curves have one unit and one reach.
    """
    if not routes:
        return Envelope(spans=(), reach=0, beyond=None)
    winner = _winners([route.curve for route in routes])
    spans = tuple(
        Span(first=first, last=last, route=routes[int(winner[first])])
        for first, last in _runs(winner[1:])
        if winner[first] >= 0
    )
    return Envelope(spans=spans, reach=len(winner) - 1, beyond=_beyond(routes))


def _runs(values: Numbers) -> list[tuple[int, int]]:
    """First and last index (from 1) of each run of equal values."""
    edges = np.flatnonzero(np.diff(values)) + 1
    firsts = [0, *edges.tolist()]
    lasts = [*edges.tolist(), len(values)]
    return [(first + 1, last) for first, last in zip(firsts, lasts, strict=True)]


def _beyond(routes: Sequence[Route]) -> Route | None:
    """The route with the least cost of one part more, among those that capacity does not end."""
    endless = [
        route
        for route in routes
        if route.main.bill.allowed.most_in_all is None and route.available(route.curve.reach)
    ]
    return min(endless, key=beyond_each, default=None)
