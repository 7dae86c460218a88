"""Where things stand in a drawing: boxes, broken lines, and labels that keep apart."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle in drawing units; y grows downwards."""

    left: float
    top: float
    right: float
    bottom: float

    def grown(self, by: float) -> Box:
        return Box(self.left - by, self.top - by, self.right + by, self.bottom + by)

    def overlaps(self, other: Box) -> bool:
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )

    def holds(self, other: Box) -> bool:
        return (
            self.left <= other.left
            and other.right <= self.right
            and self.top <= other.top
            and other.bottom <= self.bottom
        )

    def nearest(self, point: Point) -> Point:
        """The point of the box that is nearest to another point."""
        x, y = point
        return min(max(x, self.left), self.right), min(max(y, self.top), self.bottom)

    def meets(self, start: Point, end: Point) -> bool:
        """Whether a straight line between two points touches the box (Liang and Barsky, 1984)."""
        enters, leaves = 0.0, 1.0
        for origin, step, low, high in (
            (start[0], end[0] - start[0], self.left, self.right),
            (start[1], end[1] - start[1], self.top, self.bottom),
        ):
            if step == 0:
                if not low <= origin <= high:
                    return False
                continue
            near, far = sorted(((low - origin) / step, (high - origin) / step))
            enters, leaves = max(enters, near), min(leaves, far)
        return enters <= leaves


@dataclass(frozen=True, slots=True)
class Trace:
    """A broken line through points whose x never falls, in drawing units."""

    points: tuple[Point, ...]

    def meets(self, box: Box) -> bool:
        first = max(bisect_left(self.points, box.left, key=_x) - 1, 0)
        last = bisect_right(self.points, box.right, key=_x) + 1
        return any(box.meets(a, b) for a, b in pairwise(self.points[first:last]))


def simplified(points: Sequence[Point], within: float = 0.1) -> tuple[Point, ...]:
    """The points that matter: no point left out is further than `within` off the new line.

    x must not fall. A cone of the slopes that still pass every point is narrowed from the last
    point kept; one pass, so that a hundred thousand quantities cost no more than their number.
    """
    if len(points) < 3:
        return tuple(points)
    kept, held = [points[0]], points[1]
    low, high = _cone(points[0], points[1], within)
    for point in points[2:]:
        slope = _slope(kept[-1], point)
        if slope is not None and low <= slope <= high:
            near, far = _cone(kept[-1], point, within)
            low, high = max(low, near), min(high, far)
        else:
            kept.append(held)
            low, high = _cone(held, point, within)
        held = point
    return (*kept, held)


def height_at(points: Sequence[Point], x: float) -> float:
    """Where a broken line passes x; at an upright stretch, where it leaves it."""
    index = min(max(bisect_right(points, x, key=_x), 1), len(points) - 1)
    (x1, y1), (x2, y2) = points[index - 1], points[index]
    return y2 if x1 == x2 else y1 + (y2 - y1) * (x - x1) / (x2 - x1)


def below(points: Sequence[Point], top: float) -> tuple[tuple[Point, ...], ...]:
    """The pieces of a broken line that lie at or under the edge y = top (y grows downwards)."""
    pieces: list[list[Point]] = []
    inside = False
    for index, point in enumerate(points):
        visible = point[1] >= top
        if visible and not inside:
            pieces.append([_at_height(points[index - 1], point, top)] if index else [])
        elif inside and not visible:
            pieces[-1].append(_at_height(points[index - 1], point, top))
        if visible:
            pieces[-1].append(point)
        inside = visible
    return tuple(tuple(piece) for piece in pieces)


def spread(
    wanted: Sequence[float], sizes: Sequence[float], low: float, high: float, gap: float
) -> tuple[float, ...]:
    """Starts of blocks in a row that keep their order and gap within low..high, moved least.

    wanted are the starts that the blocks would like, in rising order. Least squares with pooled
    neighbours (pool adjacent violators; Ayer and others, 1955), then held within the bounds.
    Where the blocks do not fit, they start at low and leave the bound at high.
    """
    before = [0.0]
    for size in sizes:
        before.append(before[-1] + size + gap)
    pools: list[tuple[float, int]] = []
    for start, offset in zip(wanted, before, strict=False):
        pools.append((start - offset, 1))
        while len(pools) > 1 and pools[-2][0] > pools[-1][0]:
            (late, many), (early, few) = pools.pop(), pools.pop()
            pools.append(((late * many + early * few) / (many + few), many + few))
    shifts = [shift for shift, many in pools for _ in range(many)]
    most = max(high - (before[-1] - gap), low)
    return tuple(
        min(max(shift, low), most) + offset for shift, offset in zip(shifts, before, strict=False)
    )


def _x(point: Point) -> float:
    return point[0]


def _slope(start: Point, end: Point) -> float | None:
    run = end[0] - start[0]
    return (end[1] - start[1]) / run if run > 1e-9 else None


def _cone(start: Point, end: Point, within: float) -> tuple[float, float]:
    """The slopes from start that pass the end no further off than `within`, upright."""
    slope = _slope(start, end)
    if slope is None:
        return math.inf, -math.inf
    slack = within / (end[0] - start[0])
    return slope - slack, slope + slack


def _at_height(start: Point, end: Point, height: float) -> Point:
    share = (height - start[1]) / (end[1] - start[1])
    return start[0] + share * (end[0] - start[0]), height
