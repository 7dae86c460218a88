"""Nothing that is shown about a bridged route has another route's break-even in it (R14).

By figures of our own: a die of 2,200 and castings of 13.90 in trees of 14, 56 at least, against
prints of 31.40. Alone they stay cheaper from 133, after 60 prints from 193.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from lxml import html

from quotegen.report.pages import brief_html
from quotegen.report.views.report import report_of
from quotegen.study import study
from quotegen.terminal import part_as_text
from tests.folders import (
    TODAY,
    Forms,
    Values,
    a_part,
    a_quote,
    a_supplier,
    a_tool,
    an_item,
    forms,
    printed_by_command,
    printed_for,
    written,
)

Asked = Callable[[Forms, Path], Values]
ALONE, WITH_BRIDGE = 133, 193
WAIT = 52  # days until the castings come
BRIDGE = 60  # 34 in two months, 24 more at the high demand, and 140 castings are whole trees


def poured_or_printed(**part: Any) -> Forms:
    castings = an_item(
        "13.90 EUR per 1",
        minimum="56",
        multiple="14",
        tools=[a_tool("2200 EUR")],
        lead_time=f"{WAIT} days",
    )
    prints = an_item("31.40 EUR per 1", lead_time="0 days")
    demand = {"low": "100", "likely": "200", "high": "365"}
    return forms(
        a_quote("foss-7", castings),
        a_quote("brim-3", prints),
        part=a_part(**{"demand": demand, "lot": "10000", **part}),
        suppliers={
            "foss": a_supplier(name="Foss Castings", processes=["investment casting"]),
            "brim": a_supplier(name="Brim Bureau", processes=["metal printing"]),
        },
    )


def alone() -> Forms:
    """Nobody waits for the parts, and 210 are 15 trees: no print is wanted beside the castings."""
    return poured_or_printed(demand={"low": "100", "likely": "210", "high": "365"})


def bridged() -> Forms:
    """The parts are needed on the day of the order."""
    return poured_or_printed(needed_by=TODAY.isoformat())


def poured(pieces: int) -> Fraction:
    """The castings for so many good parts, in whole trees, with the die."""
    return 2200 + max(56, -(-pieces // 14) * 14) * Fraction("13.90")


def printed(pieces: int) -> Fraction:
    return pieces * Fraction("31.40")


@pytest.mark.parametrize("asked", [printed_for, printed_by_command])
@pytest.mark.parametrize(("content", "first"), [(alone(), ALONE), (bridged(), WITH_BRIDGE)])
def test_each_route_has_a_break_even_of_its_own_and_the_parity_of_its_die(
    content: Forms, first: int, asked: Asked, tmp_path: Path
) -> None:
    found = asked(content, tmp_path)
    (one,) = found["break_even"]
    assert (one["parity"], one["first_cheaper"]) == ("880/7", first)
    assert found["recommendation"]["bridge"] == (BRIDGE if first == WITH_BRIDGE else 0)


@pytest.mark.parametrize(
    ("pieces", "bridge"), [(52, 52), (53, 52), (108, 52), (184, 58), (185, 59), (200, BRIDGE)]
)
def test_the_bridged_route_costs_prints_die_and_whole_trees(
    pieces: int, bridge: int, tmp_path: Path
) -> None:
    """Where all are printed in the end, the bridge is one a day for 52 days, as 365 a year take.

    Else it is as the plan has it, for castings that come on 31 December for the third month: what
    the likely demand uses in two months, 31 of 184 and 185 or 34 of 200, and what the high one
    takes more in the 52 days before, 26.30 x 181/184 or 180/185, so 26, and 28.94 x 165/200, so 24.
    At least 57 and 58, then; 126 and 140 castings, 9 and 10 trees, leave 58, 59 and 60.
    """
    demand = {"low": "1", "likely": str(pieces), "high": "365"}
    content = poured_or_printed(needed_by=TODAY.isoformat(), demand=demand)
    routes = {tuple(each["route"]): each for each in printed_for(content, tmp_path)["routes"]}
    rest = pieces - bridge
    expected = printed(bridge) + (poured(rest) if rest else 0)
    assert Fraction(routes["brim/brim-3", "foss/foss-7"]["total"]) == expected


def every(value: object) -> Iterator[object]:
    """Every value inside a JSON value."""
    if isinstance(value, dict):
        value = list(value.values())
    if isinstance(value, list):
        for each in value:
            yield from every(each)
    else:
        yield value


def shows(texts: Iterable[object], number: int) -> bool:
    """Whether the number stands somewhere by itself, not inside another one."""
    by_itself = re.compile(rf"(?<![\d.,]){number}(?![\d]|[.,]\d)")
    return any(by_itself.search(str(each)) for each in texts)


def json_of(content: Forms, to: Path) -> list[object]:
    """All but the stock of each month, which may be any number of pieces."""
    found = printed_for(content, to)
    del found["plan"]["stock"]
    return list(every(found))


def terminal_of(content: Forms, to: Path) -> list[object]:
    return list(part_as_text(study(written(content, to), TODAY, only=("p",)).parts["p"]))


def brief_of(content: Forms, to: Path) -> list[object]:
    found = study(written(content, to), TODAY, only=("p",))
    page = html.fromstring(brief_html(report_of(found, "0"), "p"))
    for each in page.xpath("//style"):
        each.drop_tree()
    return list(page.itertext())


@pytest.mark.parametrize("shown", [json_of, terminal_of, brief_of])
@pytest.mark.parametrize(
    ("content", "own", "other"), [(bridged(), WITH_BRIDGE, ALONE), (alone(), ALONE, WITH_BRIDGE)]
)
def test_the_break_even_of_the_route_is_shown_and_never_that_of_the_other(
    content: Forms,
    own: int,
    other: int,
    shown: Callable[[Forms, Path], list[object]],
    tmp_path: Path,
) -> None:
    texts = shown(content, tmp_path)
    assert shows(texts, own)
    assert not shows(texts, other)
