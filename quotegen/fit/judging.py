"""Whether a process makes what a drawing asks for: as it comes, machined after, or not at all.

Between what anybody holds and what the best reach, the supplier is asked. What a supplier states
of itself counts alone. A number of low confidence never refuses anything, it only asks.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache

from quotegen.basics.number import Unreadable
from quotegen.fit.ability import (
    Reach,
    Takes,
    masses_of,
    roughness_of,
    sizes_of,
    tolerances_of,
    walls_of,
)
from quotegen.fit.operations import GROUND, SMOOTHING, operation_for
from quotegen.fit.required import MICROMETRE, Aspect, Required, millimetres, required_of
from quotegen.fit.surfaces import read_surface
from quotegen.fit.tables import Confidence, Source
from quotegen.fit.tolerances import read_tolerance
from quotegen.model.ability import Ability
from quotegen.model.fields import Process
from quotegen.model.part import Part

MOST_KNOWN = 512  # ways of making a part that are kept, with what becomes of it
STATED = Source(text="stated by the supplier", confidence=Confidence.HIGH)


class Verdict(StrEnum):
    """What becomes of one requirement by one process."""

    AS_IT_COMES = "as it comes"
    ASK = "ask"
    AFTER = "machine after"
    NOT = "not by this process"
    NO_NUMBER = "no number known"


@dataclass(frozen=True, slots=True, kw_only=True)
class Making:
    """How an offer makes the part: process, metal, what is machined and what its supplier says.

    operations are those that the drawing asks for or the quote includes; abilities are the
    supplier's, those of the quote first.
    """

    process: Process
    metal: str | None
    operations: tuple[str, ...] = ()
    abilities: tuple[Ability, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """One requirement with its verdict, why, and what to ask of the supplier, "" for nothing.

    by is the operation that makes it after the process; where it is empty and the verdict is
    machine after, no operation does so far (R8). sources are those of the numbers used.
    """

    required: Required
    verdict: Verdict
    why: str
    by: str = ""
    ask: str = ""
    sources: tuple[Source, ...] = ()

    @property
    def lacks_machining(self) -> bool:
        return self.verdict is Verdict.AFTER and not self.by

    @property
    def is_smoothed(self) -> bool:
        """Whether a face is tumbled or polished: nothing is cut from it."""
        return self.verdict is Verdict.AFTER and self.by in SMOOTHING


def fit_of(part: Part, making: Making) -> tuple[Judged, ...]:
    """Every requirement of a part judged for one way of making it."""
    return _fit(required_of(part), making)


@lru_cache(maxsize=MOST_KNOWN)
def _fit(required: tuple[Required, ...], making: Making) -> tuple[Judged, ...]:
    """Kept, since it is asked again for every bill of an offer, whatever its prices are."""
    return tuple(_judged(each, making) for each in required)


def held_at(required: Required, making: Making) -> Fraction | None:
    """The band in mm that anybody holds as it comes: as stated, else the widest that is usual."""
    stated = _stated(required, making)
    found = (stated,) if stated is not None else _published(required, making)
    trusted = [each.coarse for each in found if each.source.confidence is not Confidence.LOW]
    return max(trusted, default=None)


def _judged(required: Required, making: Making) -> Judged:
    if required.wanted is None:
        return Judged(required=required, verdict=Verdict.NO_NUMBER, why="not read")
    if required.aspect is Aspect.FACE:
        return _face(required, making)
    if required.aspect in (Aspect.MASS, Aspect.SIZE):
        return _taken(required, required.wanted, making)
    stated = _stated(required, making)
    found = (stated,) if stated is not None else _published(required, making)
    if not found:
        return Judged(required=required, verdict=Verdict.NO_NUMBER, why="none is published")
    return _by_reach(required, required.wanted, making, found)


def _face(required: Required, making: Making) -> Judged:
    """A face that is machined in any case."""
    if making.process is Process.MACHINING:
        return Judged(required=required, verdict=Verdict.AS_IT_COMES, why="machined")
    by = _operation(required, making)
    why = f"by {by}" if by else "the drawing says so"
    return Judged(required=required, verdict=Verdict.AFTER, why=why, by=by)


def _published(required: Required, making: Making) -> tuple[Reach, ...]:
    process, metal = making.process, making.metal
    if required.aspect is Aspect.SURFACE:
        return roughness_of(process, metal)
    if required.aspect is Aspect.WALL:
        return walls_of(process, metal)
    return tolerances_of(process, metal, required.size)


def _stated(required: Required, making: Making) -> Reach | None:
    """What the supplier says of itself: the first line that speaks of this aspect and size."""
    held = (_held(required, each) for each in _abilities(making))
    value = next((each for each in held if each is not None), None)
    return Reach(fine=value, coarse=value, source=STATED) if value is not None else None


def _abilities(making: Making) -> Iterator[Ability]:
    return (each for each in making.abilities if each.process in (None, making.process))


def _held(required: Required, ability: Ability) -> Fraction | None:
    """What one line says; where it cannot be read, the folder's problems have its place."""
    try:
        if required.aspect is Aspect.WALL:
            return ability.wall.millimetres if ability.wall is not None else None
        if required.aspect is Aspect.SURFACE:
            return max((each.ra for each in read_surface(ability.surface or "")), default=None)
        beyond = ability.up_to is not None and required.size > ability.up_to.millimetres
        if ability.tolerance is None or beyond:
            return None
        return read_tolerance(ability.tolerance, required.size).width
    except Unreadable:
        return None


def _by_reach(
    required: Required, wanted: Fraction, making: Making, found: Sequence[Reach]
) -> Judged:
    """By what all hold and what the best reach; a doubtful number can only make us ask."""
    trusted = [each for each in found if each.source.confidence is not Confidence.LOW]
    held = max((each.coarse for each in trusted), default=None)
    best = min(found, key=lambda each: (each.fine, each.source.confidence is Confidence.LOW))
    finest = best.fine
    word = "stated:" if found[0].source is STATED else "usually to"
    judged = Judged(
        required=required,
        verdict=Verdict.AS_IT_COMES,
        why=f"{word} {_measure(held if held is not None else finest, required)}",
        sources=tuple(dict.fromkeys(each.source for each in found)),
    )
    if held is not None and wanted >= held:
        return judged
    judged = replace(judged, why=_at_best(best, required))
    if held is None or wanted >= finest:
        return _between(judged, making)
    return _beyond(judged, wanted, making)


def _at_best(best: Reach, required: Required) -> str:
    """The finest number of all, and why it may not be counted on."""
    doubt = "low confidence" if best.source.confidence is Confidence.LOW else ""
    said = (f"at best {_measure(best.fine, required)}", best.stage, doubt)
    return ", ".join(each for each in said if each)


def _measure(value: Fraction, required: Required) -> str:
    """A value as the page has it; a band is the whole one, and says so."""
    if required.aspect is Aspect.SURFACE:
        return f"Ra {float(value):.3g} {MICROMETRE}"
    return millimetres(value) if required.aspect is Aspect.WALL else f"{float(value):.3g} mm in all"


def _between(judged: Judged, making: Making) -> Judged:
    """Where some reach it, its own operation settles it, else the supplier."""
    by = _operation(judged.required, making)
    if by and not _needs_grinding_beside(judged.required, by, making):
        came = making.process is Process.MACHINING
        verdict = Verdict.AS_IT_COMES if came else Verdict.AFTER
        return replace(judged, verdict=verdict, why=f"by {by}", by=by)
    return replace(judged, verdict=Verdict.ASK, ask=judged.required.told)


def _beyond(judged: Judged, wanted: Fraction, making: Making) -> Judged:
    """Finer than the process: machined after where a machine reaches it.

    A wall cannot be, and a class for the whole drawing is agreed and not machined.
    """
    required = judged.required
    if required.aspect is Aspect.GENERAL:
        return replace(judged, verdict=Verdict.ASK, ask=required.told)
    machined = _published(required, Making(process=Process.MACHINING, metal=making.metal))
    in_reach = any(wanted >= each.fine for each in machined)
    if required.aspect is Aspect.WALL or making.process is Process.MACHINING or not in_reach:
        return replace(judged, verdict=Verdict.NOT, ask=required.told)
    by = _operation(required, making)
    beside = _needs_grinding_beside(required, by, making)
    return replace(
        judged,
        verdict=Verdict.AFTER,
        why=f"by {by}" if by else judged.why,
        by=by,
        ask=required.told if beside else "",
    )


def _operation(required: Required, making: Making) -> str:
    """What makes a feature or a face after the process; nothing makes a wall thinner."""
    if required.aspect not in (Aspect.TOLERANCE, Aspect.SURFACE, Aspect.FACE):
        return ""
    ground = [each for each in making.operations if each in GROUND]
    return operation_for(required, (*ground, *making.operations))


def _needs_grinding_beside(required: Required, by: str, making: Making) -> bool:
    """Whether it is finer than turning and milling hold, and nothing named so far is finer."""
    if by in GROUND:
        return False
    if by in SMOOTHING:
        return True  # how smooth it makes a face is published nowhere
    machined = _published(required, Making(process=Process.MACHINING, metal=making.metal))
    return required.wanted is not None and any(required.wanted < each.coarse for each in machined)


def _taken(required: Required, wanted: Fraction, making: Making) -> Judged:
    """Mass and longest side against what is taken at all."""
    found = _stated_most(required, making) or _published_takes(required, making)
    if not found:
        return Judged(required=required, verdict=Verdict.NO_NUMBER, why="none is published")
    sources = tuple(each.source for each in found)
    judged = Judged(
        required=required,
        verdict=Verdict.AS_IT_COMES,
        why=f"{_bounds(found[0], required)}",
        sources=sources,
    )
    outside = [each for each in found if not each.least <= wanted <= each.most]
    if not outside:
        doubtful = all(each.source.confidence is Confidence.LOW for each in found)
        return replace(judged, verdict=Verdict.NO_NUMBER) if doubtful else judged
    sure = any(each.source.confidence is not Confidence.LOW for each in outside)
    verdict = Verdict.NOT if sure else Verdict.ASK
    return replace(judged, verdict=verdict, ask=required.told)


def _published_takes(required: Required, making: Making) -> tuple[Takes, ...]:
    find = masses_of if required.aspect is Aspect.MASS else sizes_of
    return find(making.process)


def _stated_most(required: Required, making: Making) -> tuple[Takes, ...]:
    for each in _abilities(making):
        if required.aspect is Aspect.MASS and each.heaviest is not None:
            return (Takes(least=Fraction(0), most=each.heaviest.kilograms, source=STATED),)
        if required.aspect is Aspect.SIZE and each.longest is not None:
            return (Takes(least=Fraction(0), most=each.longest.millimetres, source=STATED),)
    return ()


def _bounds(takes: Takes, required: Required) -> str:
    most = f"{float(takes.most):.4g}"
    return f"up to {most} {'kg' if required.aspect is Aspect.MASS else 'mm'}"
