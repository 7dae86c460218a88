"""What is checked on tolerances and surfaces, and on what suppliers say they hold."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction

from quotegen.basics.number import Unreadable
from quotegen.fit.surfaces import read_surface
from quotegen.fit.tolerances import NO_SIZE, UNREAD, read_tolerance
from quotegen.intake.checks import Finding, Subject
from quotegen.intake.item_checks import ItemCase
from quotegen.intake.workshop_checks import PartCase, SupplierCase
from quotegen.intake.yaml_tree import Keys
from quotegen.model.ability import Ability

SOME_SIZE = Fraction(20)  # mm; every table has a value there, so that only the grade is looked at


def features_have_a_nominal(case: PartCase) -> Iterator[Finding]:
    """A tolerance belongs to a size, else it says nothing."""
    for number, feature in enumerate(case.part.features):
        line = ("features", number)
        if feature.size is None:
            seen = f"{feature.name} {feature.tolerance}"
            yield case.finding("tolerance-nominal", line, line, seen=seen)


def tolerances_are_read(case: PartCase) -> Iterator[Finding]:
    """Each has one meaning and a value at its size; what is no tolerance of a size is told."""
    for number, feature in enumerate(case.part.features):
        if feature.size is not None:
            line = ("features", number)
            try:
                read_tolerance(feature.tolerance, feature.size.millimetres)
            except Unreadable as problem:
                gone = None if problem.code == UNREAD else line
                keys = (*line, "tolerance")
                yield case.finding(problem.code, keys, gone, **problem.values)


def general_tolerance_is_read(case: PartCase) -> Iterator[Finding]:
    """The class of the drawing at each side of the part, as far as the table goes."""
    written, sides = case.part.general_tolerance, case.part.envelope
    for size in sorted({each.millimetres for each in sides or ()}) if written else ():
        try:
            read_tolerance(written or "", size)
        except Unreadable as problem:
            code = UNREAD if problem.code == UNREAD else "tolerance-not-judged"
            values = {"size": f"{float(size):g} mm", **problem.values}
            yield case.finding(code, ("general tolerance",), None, **values)
            return


def surface_is_read(case: PartCase) -> Iterator[Finding]:
    yield from _surface(case, case.part.surface, ("surface",), "roughness-unread")


def _surface(case: Subject, text: str | None, keys: Keys, code: str) -> Iterator[Finding]:
    try:
        read_surface(text or "")
    except Unreadable as problem:
        yield case.finding(code, keys, None, **problem.values)


def _abilities(case: Subject, lines: Sequence[Ability], keys: Keys) -> Iterator[Finding]:
    for number, each in enumerate(lines):
        yield from _ability(case, each, (*keys, number))


def _ability(case: Subject, line: Ability, keys: Keys) -> Iterator[Finding]:
    held = (line.tolerance, line.surface, line.wall, line.heaviest, line.longest)
    if all(each is None for each in held):
        yield case.finding("ability-empty", keys, None)
    if line.tolerance is not None:
        size = line.up_to.millimetres if line.up_to is not None else SOME_SIZE
        try:
            read_tolerance(line.tolerance, size)
        except Unreadable as problem:
            if line.up_to is not None or problem.code != NO_SIZE:
                values = {key: problem.values[key] for key in ("seen", "expected")}
                yield case.finding("ability-unread", (*keys, "tolerance"), None, **values)
    yield from _surface_held(case, line, (*keys, "surface"))


def _surface_held(case: Subject, line: Ability, keys: Keys) -> Iterator[Finding]:
    if line.surface is None:
        return
    found = tuple(_surface(case, line.surface, keys, "ability-unread"))
    if not found and not read_surface(line.surface):
        values = {"seen": line.surface, "expected": "a roughness such as Ra 3.2 um"}
        yield case.finding("ability-unread", keys, None, **values)
    yield from found


def what_the_supplier_holds(case: SupplierCase) -> Iterator[Finding]:
    yield from _abilities(case, case.supplier.can_hold, ("can hold",))


def what_the_quote_holds(case: ItemCase) -> Iterator[Finding]:
    keys: Keys = ("items", case.index, "can hold")
    yield from _abilities(case.quote, case.item.can_hold, keys)


PART_FIT_CHECKS: tuple[Callable[[PartCase], Iterator[Finding]], ...] = (
    features_have_a_nominal,
    tolerances_are_read,
    general_tolerance_is_read,
    surface_is_read,
)
