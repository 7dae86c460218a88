"""What a drawing asks of whoever makes the part: tolerances, surfaces, wall, mass and size."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from quotegen.basics.number import Unreadable
from quotegen.basics.place import Key
from quotegen.fit.surfaces import read_surface
from quotegen.fit.tolerances import Side, read_tolerance
from quotegen.model.part import Feature, Part

MICROMETRE = "\N{MICRO SIGN}m"


class Aspect(StrEnum):
    """What kind of thing is asked for."""

    TOLERANCE = "tolerance"
    FACE = "machined face"
    GENERAL = "general tolerance"
    SURFACE = "surface"
    WALL = "wall"
    MASS = "mass"
    SIZE = "size"


@dataclass(frozen=True, slots=True, kw_only=True)
class Required:
    """One thing that the drawing asks for.

    wanted is a whole band in mm, Ra in micrometres, mm of a wall or of the longest side, or kg.
    size is the nominal size in mm of a tolerance, 0 for anything else; keys lead to it in the
    part's form. wanted is None where what is written cannot be read, and is not judged.
    """

    aspect: Aspect
    name: str
    text: str
    wanted: Fraction | None
    keys: tuple[Key, ...]
    size: Fraction = Fraction(0)
    side: Side = Side.NOT_SAID

    @property
    def told(self) -> str:
        """As a sentence has it: bore 22 mm H8."""
        return f"{self.name} {self.text}".strip()


def required_of(part: Part) -> tuple[Required, ...]:
    """Everything of a part that a process may or may not reach, in the order of its form."""
    return tuple(_required(part))


def _required(part: Part) -> Iterator[Required]:
    for number, feature in enumerate(part.features):
        if feature.size is not None:
            yield _feature(feature, feature.size.millimetres, number)
    for number, face in enumerate(part.machined_faces):
        yield Required(
            aspect=Aspect.FACE,
            name=face.name,
            text="machined",
            wanted=Fraction(0),
            keys=("machined faces", number),
            size=face.size.millimetres,
        )
    if part.general_tolerance is not None and part.envelope is not None:
        yield from _general(part, part.general_tolerance)
    yield from _surfaces(part)
    if part.thinnest_wall is not None:
        wall = part.thinnest_wall.millimetres
        yield _plain(Aspect.WALL, "thinnest wall", f"{millimetres(wall)}", wall, "thinnest wall")
    kilograms = part.mass.kilograms
    yield _plain(Aspect.MASS, "mass", f"{float(part.mass.grams):,.6g} g", kilograms, "mass")
    if part.envelope is not None:
        longest = max(each.millimetres for each in part.envelope)
        yield _plain(Aspect.SIZE, "longest side", millimetres(longest), longest, "envelope")


def millimetres(length: Fraction) -> str:
    return f"{float(length):.6g} mm"


def _plain(aspect: Aspect, name: str, text: str, wanted: Fraction, key: str) -> Required:
    return Required(aspect=aspect, name=name, text=text, wanted=wanted, keys=(key,))


def _feature(feature: Feature, size: Fraction, number: int) -> Required:
    wanted, side = None, Side.NOT_SAID
    try:
        found = read_tolerance(feature.tolerance, size)
        wanted, side = found.width, found.side
    except Unreadable:
        pass  # the folder's problems say so, with its place
    return Required(
        aspect=Aspect.TOLERANCE,
        name=feature.name,
        text=f"{millimetres(size)} {feature.tolerance}",
        wanted=wanted,
        keys=("features", number),
        size=size,
        side=side,
    )


def _general(part: Part, written: str) -> Iterator[Required]:
    """The drawing's class at each side of the part, since other sizes are not in its form."""
    for size in sorted({each.millimetres for each in part.envelope or ()}):
        try:
            width = read_tolerance(written, size).width
        except Unreadable:
            continue
        yield Required(
            aspect=Aspect.GENERAL,
            name="size without a tolerance",
            text=f"{millimetres(size)} {written}",
            wanted=width,
            keys=("general tolerance",),
            size=size,
        )


def _surfaces(part: Part) -> Iterator[Required]:
    try:
        found = read_surface(part.surface or "")
    except Unreadable:
        return
    for each in found:
        text = f"Ra {float(each.ra):.4g} {MICROMETRE}"
        yield Required(
            aspect=Aspect.SURFACE, name=each.name, text=text, wanted=each.ra, keys=("surface",)
        )
