"""The files that a comparison rests on, as they lie in the workshop folder, to go with its PDF."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from quotegen.basics.problem import Problem
from quotegen.compare.comparison import Comparison
from quotegen.intake.files import XLSX_BYTES, Refused, read_file
from quotegen.report.paper.pdf import Attachment

SOURCE, DATA = "Source", "Data"


def evidence_of(
    comparison: Comparison, folder: Path
) -> tuple[tuple[Attachment, ...], tuple[Problem, ...]]:
    """Quotes as received with their forms, their suppliers, the part and the workshop.

    A file that cannot be read any more is a problem and stays out.
    """
    told = dict(_told(comparison))
    found, problems = [], []
    for path in sorted(told):
        description, relationship = told[path]
        try:
            raw = read_file(folder, path, most=XLSX_BYTES, record="It as an attachment")
        except Refused as refused:
            problems.append(refused.problem)
            continue
        found.append(
            Attachment(path=path, data=raw.data, description=description, relationship=relationship)
        )
    return tuple(found), tuple(problems)


def _told(comparison: Comparison) -> Iterator[tuple[str, tuple[str, str]]]:
    """Each path with what it is and how it relates to the figures."""
    for path in comparison.workshop.files:
        yield path, ("Workshop: currency, rates and assumptions", DATA)
    for path in comparison.part.files:
        yield path, (f"Part {comparison.part.name}: what is needed", DATA)
    for offer in comparison.offers:
        for path in offer.case.orders.files if offer.case.orders is not None else ():
            yield path, (f"Orders of {comparison.part.name} so far", DATA)
        for path in offer.case.supplier.files:
            yield path, (f"Supplier {offer.supplier_name}", DATA)
        for path in offer.case.quote_entry.files:
            kind = "form" if path.endswith(".yaml") else "as received"
            yield path, (f"Quote {offer.quote} of {offer.supplier_name}, {kind}", SOURCE)
