"""Hostile PDFs: each ends soon, in a child with little memory, with a message or harmless."""

from __future__ import annotations

import resource
import time

import pytest

from quotegen.intake.files import RawFile, Refused
from quotegen.taking.pdf import LONGEST, see_pdf
from quotegen.taking.pdf_child import MEMORY, SECONDS
from tests.taking.hostile_pdfs import HOSTILE

MESSAGES = {
    "two-million-operators": "The PDF holds more than 200,000 letters.",
    "many-boxes": "The PDF holds more than 25,000 words.",
    "pdf-memory": "The PDF needs more than 1 GiB of memory to be opened.",
    "pdf-time": "The PDF takes more than 10 seconds to be read.",
    "pdf-no-text": "The PDF holds no text: its pages are pictures, as those of a scan, or empty.",
}
# They take some seconds of processor; on a slow machine the limit of time may be met first.
SLOW = ("squeezed-twice", "two-million-operators", "many-lines", "many-boxes", "big-map")


def of_children() -> tuple[float, int]:
    """Seconds of processor that children took, and the most memory of one, in KiB."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime, used.ru_maxrss


# Each runs for as long as it may.
TO_THE_LIMIT = ("forms-in-forms", "two-million-moves")
MARKED = [
    pytest.param(name, marks=pytest.mark.soak) if name in TO_THE_LIMIT else name for name in HOSTILE
]


@pytest.mark.parametrize("name", MARKED)
def test_a_hostile_pdf_ends_soon_and_is_refused_or_harmless(name: str) -> None:
    make, code = HOSTILE[name]
    data = make()
    (before, others), since = of_children(), time.monotonic()
    problem = None
    try:
        see_pdf(RawFile(path=f"{name}.pdf", data=data), "It")
    except Refused as refused:
        problem = refused.problem
    taken, memory = of_children()
    assert time.monotonic() - since < LONGEST + 2
    assert taken - before < SECONDS + 2
    assert memory <= max(others, MEMORY / 1024)  # the most of any child so far
    found = problem.code if problem is not None else ""
    assert found == code or (name in SLOW and found == "pdf-time")
    if problem is not None and found == code:
        assert problem.message == MESSAGES.get(name, MESSAGES.get(code, problem.message))
