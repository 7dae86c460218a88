"""What a process reaches: every published statement that holds for it, and what a supplier says.

Casting grades come by process and metal (ISO 8062), the rest from data sheets and charts. A
supplier's own stated ability is asked first and then alone (fit/judging.py).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Any

from quotegen.fit.tables import (
    INCH,
    Source,
    casting_tolerances,
    general_tolerances,
    number,
    pair,
    read,
    source_of,
    standard_tolerances,
)
from quotegen.model.fields import Process

RMS_TO_RA = Fraction(9, 10)  # of a rough, uneven surface; a rule of the trade, from memory
UNITS = {
    "mm": Fraction(1),
    "in": INCH,
    "um": Fraction(1),
    "uin rms": INCH / 1000 * RMS_TO_RA,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """One statement: what the best reach, and what anybody holds without being asked.

    In millimetres of the whole band, micrometres of Ra, or millimetres of a wall: the smaller,
    the finer. stage says of what it is told where that is not the finished part.
    """

    fine: Fraction
    coarse: Fraction
    source: Source
    stage: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Takes:
    """What a process takes at all: kilograms, or millimetres of the longest side."""

    least: Fraction
    most: Fraction
    source: Source


@dataclass(frozen=True, slots=True, kw_only=True)
class Grades:
    """The casting grades that a kind of moulding usually reaches, finest and coarsest."""

    moulding: str
    series: str
    finest: int
    coarsest: int
    source: Source


@cache
def _processes() -> Mapping[str, Any]:
    processes: Mapping[str, Any] = read("processes")["processes"]
    return processes


@cache
def _castings() -> Mapping[str, Any]:
    tree: Mapping[str, Any] = read("casting_grades")
    return tree


def _lines(process: Process, what: str, metal: str | None) -> Iterator[Mapping[str, Any]]:
    """The statements about a process that hold for the metal; of a metal not known, all."""
    for line in _processes().get(process.value, {}).get(what, ()):
        if metal is None or "metals" not in line or metal in line["metals"]:
            yield line


def tolerances_of(process: Process, metal: str | None, size: Fraction) -> tuple[Reach, ...]:
    """The whole bands in mm that a process reaches at a size in mm, statement by statement."""
    lines = (_tolerance(line, size) for line in _lines(process, "tolerance", metal))
    castings = (_cast(grades, size) for grades in casting_grades(process, metal))
    return tuple(each for each in (*castings, *lines) if each is not None)


def casting_grades(process: Process, metal: str | None) -> tuple[Grades, ...]:
    """The grades for a process and a metal, long and short series alike.

    Of a metal not known, from the finest to the coarsest of all metals.
    """
    return tuple(
        Grades(
            moulding=row["moulding"],
            series=row["series"],
            finest=min(int(finest) for finest, _ in grades),
            coarsest=max(int(coarsest) for _, coarsest in grades),
            source=source_of(row),
        )
        for row in _castings()["usual"]
        if row["process"] == process.value
        and (grades := [g for name, g in row["grades"].items() if metal in (None, name)])
    )


def finer_for_small(size: Fraction) -> int:
    """By how many grades a short series is finer at a small size in mm."""
    finer = _castings()["finer"]
    steps = zip(finer["up to"], finer["grades"], strict=True)
    return next((int(by) for up_to, by in steps if size <= number(up_to)), 0)


def _cast(grades: Grades, size: Fraction) -> Reach | None:
    """The bands of a range of grades; where the standard has no value for one, it is left."""
    by = finer_for_small(size) if grades.series == "short" else 0
    table = casting_tolerances()
    bands = [
        band
        for grade in range(max(1, grades.finest - by), grades.coarsest - by + 1)
        if (band := table.at(f"DCTG {grade}", size)) is not None
    ]
    return Reach(fine=bands[0], coarse=bands[-1], source=grades.source) if bands else None


def _tolerance(line: Mapping[str, Any], size: Fraction) -> Reach | None:
    if "fine grade" in line:
        table = standard_tolerances()
        fine, coarse = (table.at(f"IT{line[key]}", size) for key in ("fine grade", "coarse grade"))
    elif "casting grade" in line:
        above = number(line["from"]) <= size if "from" in line else number(line["over"]) < size
        inside = above and size <= number(line["up to size"])
        grade = f"DCTG {line['casting grade']}"
        fine = coarse = casting_tolerances().at(grade, size) if inside else None
    elif "general class" in line:
        half = general_tolerances().at(line["general class"], size)
        fine = coarse = 2 * half if half is not None else None
    else:
        fine, coarse = _plus_minus(line, size)
    if fine is None or coarse is None:
        return None
    return Reach(fine=fine, coarse=coarse, source=source_of(line), stage=line.get("stage", ""))


def _plus_minus(line: Mapping[str, Any], size: Fraction) -> tuple[Fraction | None, Fraction | None]:
    """The whole band of a statement that gives plus and minus: twice what it says."""
    unit = UNITS[line.get("unit", "mm")]
    if "up to" in line:
        halves = (_step(line["up to"], line[key], size / unit) for key in ("fine", "coarse"))
        fine, coarse = (None if half is None else 2 * half * unit for half in halves)
        return fine, coarse
    if "of the size" in line:
        half = number(line["of the size"]) * size
    elif "first inch" in line:
        further = max(0, math.ceil(size / INCH) - 1)
        half = (number(line["first inch"]) + further * number(line["further inch"])) * INCH
    else:
        half = number(line["fixed"]) * unit
    return 2 * half, 2 * half


def _step(up_to: Any, values: Any, size: Fraction) -> Fraction | None:
    """The value of the first step that reaches a size, None beyond the last one."""
    steps = zip(up_to, values, strict=True)
    return next((number(value) for bound, value in steps if size <= number(bound)), None)


def roughness_of(process: Process, metal: str | None) -> tuple[Reach, ...]:
    """Ra in micrometres, finest and coarsest, statement by statement."""
    return tuple(_range(line) for line in _lines(process, "roughness", metal))


def walls_of(process: Process, metal: str | None) -> tuple[Reach, ...]:
    """The thinnest walls in mm: what the best make, and what all make."""
    return tuple(_range(line) for line in _lines(process, "wall", metal))


def _range(line: Mapping[str, Any]) -> Reach:
    unit = UNITS[line.get("unit", "mm")]
    fine, coarse = pair((line["fine"], line["coarse"]))
    return Reach(fine=fine * unit, coarse=coarse * unit, source=source_of(line))


def masses_of(process: Process) -> tuple[Takes, ...]:
    """Kilograms that a process takes."""
    return tuple(_takes(line) for line in _lines(process, "mass", None))


def sizes_of(process: Process) -> tuple[Takes, ...]:
    """Millimetres of the longest side that a process takes."""
    return tuple(_takes(line) for line in _lines(process, "size", None))


def _takes(line: Mapping[str, Any]) -> Takes:
    least, most = pair((line.get("least", "0"), line["most"]))
    return Takes(least=least, most=most, source=source_of(line))


def allowance_grades(process: Process, metal: str) -> tuple[tuple[str, str, str], ...]:
    """Moulding, finest and coarsest grade of the machining allowance usually called for."""
    kind = "iron" if metal.endswith(" iron") else metal
    return tuple(
        (row["moulding"], row["grades"][kind][0], row["grades"][kind][1])
        for row in _castings()["allowances"]["rows"]
        if row["process"] == process.value and kind in row["grades"]
    )


def allowance_source() -> Source:
    return source_of(_castings()["allowances"])


def cope_face_least() -> Fraction:
    """Millimetres to leave at least on a steel casting's face that lies up in the sand."""
    return number(_castings()["allowances"]["cope face of steel at least"])
