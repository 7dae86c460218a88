"""What must be said before anybody signs: load, duty, and the supplier's trained work."""

from __future__ import annotations

from quotegen.compare.comparison import Comparison
from quotegen.costing.bill import Kind
from quotegen.judge.names import short_name
from quotegen.model.fields import Load


def cautions_for(comparison: Comparison) -> tuple[str, ...]:
    """The cautions that belong to this part, the most serious first."""
    part = comparison.part.record
    found: list[str] = []
    if part.load is not Load.NONE:
        found.append(_who_relies(short_name(part.name), part.load, part.relied_on_for))
        found += [*_differ(comparison), TESTS, CODES]
    if any(line.kind is Kind.CUSTOMS for o in comparison.offers for line in o.bill.lines):
        found.append(
            "Duty and tax are estimates until a customs broker or an accountant confirms them."
        )
    found.append("Terms of contract are ours to read; where much hangs on one, ask a lawyer.")
    return tuple(found)


def _who_relies(name: str, load: Load, relied_on_for: str | None) -> str:
    purpose = f" for {relied_on_for}" if relied_on_for else ""
    if load is Load.PERSON_RELIES:
        return f"A person relies on the {name}{purpose}."
    return f"The {name} bears load" + (f": it is relied on{purpose}." if purpose else ".")


def _differ(comparison: Comparison) -> list[str]:
    """A different process gives different metal; said where more than one is on offer."""
    if len({offer.process for offer in comparison.offers}) < 2:
        return []
    return [METALS]


METALS = (
    "A cast, a printed and a machined part of one drawing are not the same metal: they differ "
    "in strength, ductility, defects and fatigue."
)
TESTS = (
    "Ask for a material certificate (EN 10204) and a first-article inspection, and agree the "
    "tests with a qualified engineer before the process is chosen or changed."
)
CODES = (
    "The codes that apply where the machine is sold come first; this report does not replace them."
)
