"""What must be said before anybody signs: load, duty, and the supplier's trained work."""

from __future__ import annotations

from quotegen.compare.comparison import Comparison
from quotegen.costing.bill import Kind
from quotegen.model.fields import Load


def cautions_for(comparison: Comparison) -> tuple[str, ...]:
    """The cautions that belong to this part, the most serious first."""
    part = comparison.part.record
    found: list[str] = []
    if part.load is not Load.NONE:
        found += _load_cautions(part.name, part.load, part.relied_on_for)
    if any(line.kind is Kind.CUSTOMS for o in comparison.offers for line in o.bill.lines):
        found.append("Duty and tax are estimates until a customs broker or an accountant confirms them.")
    found.append("Terms of contract are ours to read; where much hangs on one, ask a lawyer.")
    return tuple(found)


def _load_cautions(name: str, load: Load, relied_on_for: str | None) -> list[str]:
    who = "A person relies on" if load is Load.PERSON_RELIES else "Load is borne by"
    purpose = f" ({relied_on_for})" if relied_on_for else ""
    return [
        f"{who} the {name}{purpose}. A cast, a printed and a machined part of one drawing differ "
        "in strength, ductility, defects and fatigue: they are not the same metal.",
        "Ask for a material certificate (EN 10204) and a first-article inspection, and agree the "
        "testing with a qualified engineer before the process is chosen or changed.",
        "The codes that apply where the machine is sold come first; this report does not replace "
        "them.",
    ]
