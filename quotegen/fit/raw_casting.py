"""What the drawing of a raw casting must leave on machined faces (ISO 8062)."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from quotegen.fit.ability import allowance_grades, allowance_source, cope_face_least
from quotegen.fit.judging import Judged, Making, Verdict, held_at
from quotegen.fit.required import Aspect, Required
from quotegen.fit.tables import Source, machining_allowances
from quotegen.fit.tolerances import Side
from quotegen.model.fields import Process
from quotegen.model.part import Part


@dataclass(frozen=True, slots=True, kw_only=True)
class RawFace:
    """One machined feature of a casting, all in millimetres.

    allowance is what is cut from a face at least, band the whole casting tolerance there,
    on_face what the raw face stands proud, and raw the size to cast for a hole or a shaft: None
    where the drawing does not say which it is, 0 where the hole is too small to cast.
    """

    required: Required
    grade: str
    allowance: Fraction
    band: Fraction
    on_face: Fraction
    raw: Fraction | None
    source: Source
    note: str = ""


def metal_to_leave(allowance: Fraction, band: Fraction) -> Fraction:
    """Metal to leave on one machined face: the allowance and half the casting tolerance.

    Source: foundry notes on ISO 8062.
    """
    return allowance + band / 2


def raw_size(nominal: Fraction, allowance: Fraction, band: Fraction, side: Side) -> Fraction | None:
    """The size to cast where both opposite faces are cut: R = F +- (2 RMA + CT/2), from memory.

    A hole is cast smaller, or not at all (0), and a shaft larger.
    """
    more = 2 * allowance + band / 2
    if side is Side.SHAFT:
        return nominal + more
    return max(Fraction(0), nominal - more) if side is Side.HOLE else None


def raw_faces_of(part: Part, making: Making, fit: tuple[Judged, ...]) -> tuple[RawFace, ...]:
    """For each feature that a casting is machined at; none for other processes.

    The allowance is the coarsest grade usually called for, at the longest side of the part; the
    tolerance is what the supplier states, else the widest that is usual.
    """
    grades = allowance_grades(making.process, making.metal or "")
    if not grades or part.envelope is None:
        return ()
    longest = max(each.millimetres for each in part.envelope)
    table, grade = machining_allowances(), max(coarsest for _, _, coarsest in grades)
    allowance = table.at(grade, longest)
    machined = [
        each.required
        for each in fit
        if each.verdict is Verdict.AFTER and each.required.aspect in (Aspect.TOLERANCE, Aspect.FACE)
    ]
    if allowance is None:
        return ()
    bands = {each: held_at(each, making) for each in machined}
    return tuple(
        _raw_face(each, grade, allowance, band, making)
        for each, band in bands.items()
        if band is not None
    )


def _raw_face(
    required: Required, grade: str, allowance: Fraction, band: Fraction, making: Making
) -> RawFace:
    steel_in_sand = making.process is Process.SAND_CASTING and making.metal == "steel"
    least = f"at least {float(cope_face_least()):g} mm where it lies up in the sand"
    return RawFace(
        required=required,
        grade=grade,
        allowance=allowance,
        band=band,
        on_face=metal_to_leave(allowance, band),
        raw=raw_size(required.size, allowance, band, required.side),
        source=allowance_source(),
        note=least if steel_in_sand else "",
    )
