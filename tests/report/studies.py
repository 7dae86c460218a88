"""Small studies in memory: records as plain values in, everything a report needs out."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from quotegen.basics.problem import Problem
from quotegen.judge.studied import PartStudy, Study
from tests.folders import (
    TODAY,
    Forms,
    a_part,
    a_quote,
    a_supplier,
    a_tool,
    a_workshop,
    an_item,
    forms,
    records,
    result_of,
)


def study_of(content: Forms, problems: Iterable[Problem] = ()) -> Study:
    """A study of every part of a folder, with the problems that reading it is said to have met."""
    parts = {}
    for name in content.parts:
        result = result_of(content, name)
        parts[name] = PartStudy(
            part=name,
            comparison=result.comparison,
            planning=result.planning,
            advice=result.advice,
        )
    return Study(folder=records(content), today=TODAY, parts=parts, problems=tuple(problems))


def poured_or_machined(**part: Any) -> Forms:
    """A die of 880 with castings of 3 against machining at 10: parity 880/7, cheaper from 126.

    The demand is 60 to 400 a year, 200 likely, and the plan is one year in one lot.
    """
    casting = an_item("3 EUR per 1", process="investment casting", tools=[a_tool("880 EUR")])
    demand = {"low": "60", "likely": "200", "high": "400"}
    return forms(
        a_quote("foss-7", casting),
        a_quote("mill-2", an_item("10 EUR per 1", process="machining")),
        part=a_part(**{"demand": demand, "lot": "400", **part}),
        suppliers={
            "foss": a_supplier(name="Foss Castings", processes=["investment casting"]),
            "mill": a_supplier(name="Mill Lane"),
        },
    )


def nothing_quoted() -> Forms:
    """A part for which no quote has come in."""
    return forms(part=a_part(), workshop=a_workshop(), suppliers={"mill": a_supplier()})


def bridged() -> Forms:
    """A die of 2,200 and castings of 13.90 in trees of 14 that come 118 days after the need,
    bridged by prints of 31.40: 54 last so long at 160 a year.

    By hand: the castings are planned for the fifth month. 10, 9, 9 and 9 are used before it, 36.42
    of them in the 150 days of waiting, and 160 a year instead of 110 would take 5/11 of that more,
    17: 54 prints, and 276 castings in 20 trees of 14.

    Parity 2200/17.5, about 125.71; pouring alone stays cheaper from 133; with the 54 prints first
    only from 187: 54 x 31.40 + 2,200 + 140 x 13.90 = 5,841.60 < 187 x 31.40 = 5,871.80, and 186
    prints cost 5,840.40.
    """
    castings = an_item(
        "13.90 EUR per 1",
        process="investment casting",
        minimum="56",
        multiple="14",
        tools=[a_tool("2200 EUR")],
        lead_time="150 days",
    )
    prints = an_item("31.40 EUR per 1", process="metal printing")
    return forms(
        a_quote("foss-7", castings),
        a_quote("brim-3", prints),
        workshop=a_workshop(planning_months="36"),
        part=a_part(
            name="Pawl of the warp-beam brake",
            demand={"low": "30", "likely": "110", "high": "160"},
            lot="1000",
            needed_by="2026-12-04",
        ),
        suppliers={
            "foss": a_supplier(name="Foss Castings", processes=["investment casting"]),
            "brim": a_supplier(name="Brim Bureau", processes=["metal printing"]),
        },
    )
