"""The ranges of routes: one scale for all, the taken one heavy, nothing outside the paper."""

from __future__ import annotations

import re

import pytest

from quotegen.report.charts.ranges import RangeRow, RangeRows


def rows(*each: tuple[str, float, float, float]) -> RangeRows:
    return RangeRows(
        prefix="ranges",
        title="What each route costs",
        description="Lines.",
        unit="EUR",
        rows=tuple(
            RangeRow(name=name, low=low, mean=mean, high=high, text="t", is_taken=name == "Print")
            for name, low, mean, high in each
        ),
    )


def lines(svg: str) -> list[tuple[float, float, float]]:
    """From, to and weight of the level lines."""
    names = ("x1", "y1", "x2", "y2", "stroke-width")
    pattern = "[^>]*".join(rf'{name}="([\d.]+)"' for name in names)
    found = re.findall(f"<line {pattern}", svg)
    return [(float(a), float(c), float(w)) for a, y, c, z, w in found if y == z]


def test_every_row_stands_over_one_scale_and_the_taken_one_is_heavy() -> None:
    first, second = lines(rows(("Print", 100, 150, 300), ("Mill", 200, 250, 300)).svg())
    assert first[0] == 8.0
    assert second[0] == pytest.approx((first[0] + first[1]) / 2)
    assert first[1] == second[1]
    assert first[2] > second[2]


def test_one_value_for_all_is_drawn_in_the_middle() -> None:
    ((left, right, _),) = lines(rows(("Mill", 50, 50, 50)).svg())
    assert left == right == 270.0


@pytest.mark.parametrize("bad", [(), (("Mill", 5.0, 4.0, 9.0),), (("Mill", 5.0, 10.0, 9.0),)])
def test_nothing_and_a_mean_outside_its_range_are_refused(
    bad: tuple[tuple[str, float, float, float], ...],
) -> None:
    with pytest.raises(ValueError, match="cannot be drawn"):
        rows(*bad)
