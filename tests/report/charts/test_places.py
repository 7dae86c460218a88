"""Boxes, simplified lines, pieces under an edge, and blocks that keep apart."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotegen.report.charts.places import Box, Point, Trace, below, simplified, spread

UNITS = st.floats(0, 500)
BOX = Box(100, 100, 200, 150)


@st.composite
def broken_lines(draw: st.DrawFn) -> tuple[Point, ...]:
    """Points whose x never falls, steps and stretches of one slope among them."""
    xs = sorted(draw(st.lists(UNITS, min_size=1, max_size=40)))
    ys = draw(st.lists(UNITS, min_size=len(xs), max_size=len(xs)))
    slope = draw(st.sampled_from([None, 0.0, 0.5]))
    return tuple((x, y if slope is None else slope * x) for x, y in zip(xs, ys, strict=True))


def height_at(points: tuple[Point, ...], x: float) -> list[float]:
    """Every height that a broken line has at x."""
    found = [y for at, y in points if at == x]
    for (x1, y1), (x2, y2) in pairwise(points):
        if x1 < x < x2:
            found.append(y1 + (y2 - y1) * (x - x1) / (x2 - x1))
    return found


@given(broken_lines())
def test_no_point_left_out_is_further_off_than_allowed(points: tuple[Point, ...]) -> None:
    """No source: the line drawn may not differ from the line meant by what an eye can see."""
    kept = simplified(points, within=0.1)
    assert set(kept) <= set(points)
    assert (kept[0], kept[-1]) == (points[0], points[-1])
    for x, y in points:
        assert min(abs(y - height) for height in height_at(kept, x)) <= 0.1 + 1e-6


def test_a_straight_line_of_many_points_becomes_two_and_a_stair_keeps_its_corners() -> None:
    """No source: 400 points of one slope say no more than two."""
    assert simplified([(x, 3.0 * x) for x in range(400)]) == ((0, 0), (399, 1197))
    stair = [(x, 20.0 * (x // 14)) for x in range(42)]
    assert simplified(stair) == ((0, 0), (13, 0), (14, 20), (27, 20), (28, 40), (41, 40))


@given(broken_lines(), UNITS)
def test_what_lies_above_the_edge_is_left_out_and_nothing_else(
    points: tuple[Point, ...], top: float
) -> None:
    """No source: y grows downwards; a piece that leaves the frame ends on its edge."""
    pieces = below(points, top)
    assert all(y >= top - 1e-9 for piece in pieces for _, y in piece)
    corners = [point for piece in pieces for point in piece]
    assert {point for point in points if point[1] >= top} <= set(corners)
    assert all(y == top for x, y in corners if (x, y) not in points)


def test_a_line_that_leaves_and_comes_back_is_cut_on_the_edge() -> None:
    points = ((0.0, 10.0), (10.0, 0.0), (20.0, 10.0))
    assert below(points, 5) == (((0, 10), (5, 5)), ((15, 5), (20, 10)))
    assert below(points, 20) == ()


@given(st.lists(st.tuples(st.floats(-50, 600), st.floats(1, 60)), max_size=8))
def test_blocks_that_fit_keep_apart_within_bounds_and_in_order(
    blocks: list[tuple[float, float]],
) -> None:
    """No source: at most 8 blocks of 60 with gaps of 4 fit in 540."""
    blocks.sort()
    starts = spread([start for start, _ in blocks], [size for _, size in blocks], 0, 540, 4)
    spans = [(start, start + size) for start, (_, size) in zip(starts, blocks, strict=True)]
    assert all(start >= -1e-9 and end <= 540 + 1e-9 for start, end in spans)
    assert all(after[0] - before[1] >= 4 - 1e-9 for before, after in pairwise(spans))


@given(st.lists(st.integers(0, 30), min_size=2, max_size=4))
def test_blocks_are_moved_as_little_as_least_squares_allows(wanted: list[int]) -> None:
    """Brute force over every place in half units."""
    wanted.sort()
    sizes = [6] * len(wanted)
    starts = spread(wanted, sizes, 0, 40, 0)
    moved = sum((a - b) ** 2 for a, b in zip(starts, wanted, strict=True))
    assert moved <= least_moved(wanted, 6, 40) + 1e-9


def least_moved(wanted: list[int], size: int, high: int) -> float:
    best = {0.0: 0.0}
    for want in wanted:
        reached: dict[float, float] = {}
        for twice in range(2 * (high - size) + 1):
            start = twice / 2
            earlier = [cost for end, cost in best.items() if end <= start]
            if earlier:
                reached[start + size] = min(earlier) + (start - want) ** 2
        best = reached
    return min(best.values())


def test_blocks_that_are_content_stay_where_they_are() -> None:
    assert spread([10, 50, 100], [20, 20, 20], 0, 200, 4) == (10, 50, 100)
    assert spread([], [], 0, 200, 4) == ()


@given(UNITS, UNITS, UNITS, UNITS)
def test_a_line_meets_a_box_if_one_of_its_points_is_inside(
    x1: float, y1: float, x2: float, y2: float
) -> None:
    """Sampling at a thousand points; a line that only grazes a corner may escape the sample."""
    sampled = any(
        BOX.left <= x1 + (x2 - x1) * n / 1000 <= BOX.right
        and BOX.top <= y1 + (y2 - y1) * n / 1000 <= BOX.bottom
        for n in range(1001)
    )
    if sampled:
        assert BOX.meets((x1, y1), (x2, y2))
    if BOX.meets((x1, y1), (x2, y2)):
        assert any(
            BOX.left - 1 <= x1 + (x2 - x1) * n / 1000 <= BOX.right + 1
            and BOX.top - 1 <= y1 + (y2 - y1) * n / 1000 <= BOX.bottom + 1
            for n in range(1001)
        )


@given(broken_lines())
def test_a_trace_meets_a_box_as_its_segments_do(points: tuple[Point, ...]) -> None:
    """Brute force over all segments."""
    assert Trace(points).meets(BOX) == any(BOX.meets(a, b) for a, b in pairwise(points))


@pytest.mark.parametrize(
    ("other", "answer"),
    [
        (Box(200, 100, 300, 150), False),
        (Box(199, 149, 300, 300), True),
        (Box(120, 110, 130, 120), True),
        (Box(100, 150, 200, 160), False),
    ],
)
def test_boxes_that_only_touch_do_not_overlap(other: Box, answer: bool) -> None:
    assert BOX.overlaps(other) is answer
    assert other.overlaps(BOX) is answer
