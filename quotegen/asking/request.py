"""A request for a quote as finished values: what one supplier is asked for, and nothing of others.

It names no other quote, no demand, no budget and no note of ours.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass

from quotegen.asking.form import MOST_LINES, Facts, Held, Question, questions_of
from quotegen.basics.days import in_words
from quotegen.basics.money import written
from quotegen.basics.number import Unreadable
from quotegen.basics.quantity import Length
from quotegen.fit.tolerances import read_tolerance
from quotegen.model.fields import Load
from quotegen.model.part import Part
from quotegen.model.supplier import Supplier
from quotegen.model.workshop import Workshop


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """A drawing that the quote is for."""

    number: str
    title: str
    revision: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Detail:
    """One thing that the drawing asks for: name, size and tolerance as written."""

    name: str
    size: str
    tolerance: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Request:
    """All that goes into the pack for one supplier.

    quantities are pieces; answer_by is None where no day is set, wanted where none is known.
    """

    id: str
    dated: datetime.date
    version: str
    buyer: str
    buyer_place: str
    buyer_country: str
    supplier: str
    supplier_name: str
    supplier_place: str
    supplier_country: str
    currency: str
    part: str
    title: str
    facts: tuple[tuple[str, str], ...]
    drawings: tuple[Drawing, ...]
    details: tuple[Detail, ...]
    quantities: tuple[int, ...]
    operations: tuple[str, ...]
    certificates: tuple[str, ...]
    wanted: datetime.date | None
    answer_by: datetime.date | None
    form: Facts

    @property
    def revision(self) -> str:
        return self.form.revision

    @property
    def questions(self) -> tuple[Question, ...]:
        return questions_of(self.form)

    @property
    def delivery_point(self) -> str:
        return f"{self.buyer}, {self.buyer_place}, {self.buyer_country}"

    @property
    def wanted_told(self) -> str:
        return in_words(self.wanted) if self.wanted is not None else "not fixed; state your time"


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """What is the same for every supplier: workshop, part and day."""

    workshop: Workshop
    part_name: str
    part: Part
    today: datetime.date
    version: str
    quantities: tuple[int, ...]
    answer_by: datetime.date | None = None


def request_to(setting: Setting, name: str, supplier: Supplier) -> Request:
    """The request to one supplier; the same setting and supplier give the same one."""
    part, workshop = setting.part, setting.workshop
    number = f"{setting.part_name} {name} {setting.today.isoformat()}"
    operations = _operations(workshop, part)
    facts = Facts(
        request=number,
        part=setting.part_name,
        revision=part.revision,
        supplier=name,
        quantities=setting.quantities,
        operations=operations[:MOST_LINES],
        certificates=part.certificates[:MOST_LINES],
        held=tuple(_held(part))[:MOST_LINES],
    )
    return Request(
        id=number,
        dated=setting.today,
        version=setting.version,
        buyer=workshop.name,
        buyer_place=workshop.place,
        buyer_country=workshop.country,
        supplier=name,
        supplier_name=supplier.name,
        supplier_place=supplier.place or "",
        supplier_country=supplier.country,
        currency=supplier.currency or workshop.currency,
        part=setting.part_name,
        title=part.name,
        facts=tuple(_facts(part)),
        drawings=tuple(_drawings(setting.part_name, part)),
        details=tuple(_details(part)),
        quantities=setting.quantities,
        operations=operations,
        certificates=part.certificates,
        wanted=_wanted(setting),
        answer_by=setting.answer_by,
        form=facts,
    )


def _drawings(name: str, part: Part) -> Iterator[Drawing]:
    """Those that the form lists; else the one of the part's own number."""
    if not part.drawings:
        yield Drawing(number=name, title=part.name, revision=part.revision)
    for each in part.drawings:
        revision = each.revision or part.revision
        yield Drawing(number=each.number, title=each.title, revision=revision)


def _wanted(setting: Setting) -> datetime.date | None:
    """The day the part is needed; one that has gone by is no wish any more."""
    day = setting.part.needed_by
    return day if day is not None and day > setting.today else None


def _operations(workshop: Workshop, part: Part) -> tuple[str, ...]:
    """The operations of the drawing less those that are always done here."""
    ours = {each.operation for each in workshop.completion if each.done_here}
    return tuple(dict.fromkeys(each for each in part.operations if each not in ours))


def _facts(part: Part) -> Iterator[tuple[str, str]]:
    yield "Material", part.material
    yield "Mass", f"{written(part.mass.grams)} g"
    if part.envelope is not None:
        sides = " x ".join(written(each.millimetres) for each in part.envelope)
        yield "Size", f"{sides} mm"
    if part.thinnest_wall is not None:
        yield "Thinnest wall", _length(part.thinnest_wall)
    if part.general_tolerance is not None:
        yield "General tolerance", part.general_tolerance
    if part.surface is not None:
        yield "Surface", part.surface
    if part.acceptance_quality is not None:
        yield "Deliveries are inspected", str(part.acceptance_quality)
    if part.load is not Load.NONE:
        yield "Load", part.load.value


def _length(length: Length) -> str:
    return f"{written(length.millimetres)} mm"


def _details(part: Part) -> Iterator[Detail]:
    for feature in part.features:
        size = _length(feature.size) if feature.size is not None else ""
        yield Detail(name=feature.name, size=size, tolerance=feature.tolerance)
    for face in part.machined_faces:
        yield Detail(name=face.name, size=_length(face.size), tolerance="machined")


def _held(part: Part) -> Iterator[Held]:
    """What a supplier may say it holds, each as the line of `can hold` that a yes stands for.

    Smaller sizes first, since the first line that speaks of a size counts.
    """
    sized = [(each.size, each) for each in part.features if each.size is not None]
    for size, feature in sorted(sized, key=lambda each: each[0].millimetres):
        if _is_read(feature.tolerance, size):
            told = _length(size)
            yield Held(
                label=f"{feature.name} {told} {feature.tolerance}",
                ability=(("tolerance", feature.tolerance), ("up to", told)),
            )
    if part.general_tolerance is not None:
        told = part.general_tolerance
        yield Held(label=f"sizes without a tolerance: {told}", ability=(("tolerance", told),))
    if part.surface is not None:
        yield Held(label=f"surface: {part.surface}", ability=(("surface", part.surface),))
    if part.thinnest_wall is not None:
        wall = _length(part.thinnest_wall)
        yield Held(label=f"thinnest wall {wall}", ability=(("wall", wall),))


def _is_read(tolerance: str, size: Length) -> bool:
    try:
        read_tolerance(tolerance, size.millimetres)
    except Unreadable:
        return False
    return True
