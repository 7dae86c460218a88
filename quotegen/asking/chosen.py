"""Whom to ask: suppliers that quoted the part before, and those whose process makes it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from quotegen.basics.place import Place
from quotegen.basics.problem import Problem, nearest
from quotegen.fit.judging import Making, Verdict, fit_of
from quotegen.model.entry import Folder
from quotegen.model.fields import Process
from quotegen.model.part import Part
from quotegen.model.supplier import Supplier

QUOTED, FITS = "quoted before", "its process makes the part"


def suppliers_for(folder: Folder, part: str) -> Mapping[str, str]:
    """Each supplier to ask by its name, and why; sorted by name."""
    quoted = {
        entry.supplier
        for entry in folder.quotes
        for item in entry.record.items
        if item.part == part
    }
    wanted = folder.parts[part].record
    found = {}
    for name, entry in sorted(folder.suppliers.items()):
        if name in quoted:
            found[name] = QUOTED
        elif any(makes(entry.record, process, wanted) for process in entry.record.processes):
            found[name] = FITS
    return found


def makes(supplier: Supplier, process: Process, part: Part) -> bool:
    """Whether nothing the drawing asks for is known to be out of the process's reach."""
    making = Making(
        process=process,
        metal=part.material,
        operations=part.operations,
        abilities=supplier.can_hold,
    )
    return all(each.verdict is not Verdict.NOT for each in fit_of(part, making))


def unknown(folder: Folder, names: Iterable[str]) -> tuple[Problem, ...]:
    """Named suppliers that the folder does not have."""
    return tuple(
        Problem.of(
            "ask-supplier-unknown",
            Place("suppliers"),
            seen=name,
            hint=nearest(name, folder.suppliers),
        )
        for name in names
        if name not in folder.suppliers
    )
