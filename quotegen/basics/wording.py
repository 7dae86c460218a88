"""Every sentence that tells a person about a problem, keyed by the problem's code.

A sentence names the field, shows the value as written and says what was expected;
then comes what happens now, then what to do. Names in braces are filled in by the
place that found the problem. Each code stands in one table only.
"""

from __future__ import annotations

from quotegen.basics.sentences import LEFT_OUT, Wording
from quotegen.basics.wording_asking import ASKING
from quotegen.basics.wording_checks import CHECKS
from quotegen.basics.wording_fit import FIT
from quotegen.basics.wording_forms import FORMS
from quotegen.basics.wording_quality import QUALITY
from quotegen.basics.wording_received import RECEIVED
from quotegen.basics.wording_taking import TAKING
from quotegen.basics.wording_written import WRITTEN

COMPARING: dict[str, Wording] = {
    # exchange rates and names
    "rate-missing": Wording(
        "error",
        "currency: no rate for {seen} in {base} at or before {day}.",
        LEFT_OUT,
        "Add a line under `rates` in workshop.yaml, with its day and source.",
    ),
    "rate-old": Wording(
        "notice",
        "rate: {seen} is of {day}, {age} days before the comparison.",
        "It is used all the same.",
        "Add a newer rate under `rates` in workshop.yaml.",
    ),
    "quote-later": Wording(
        "notice",
        "date: the quote is dated {seen}, after the day of the comparison, {day}.",
        "It is not compared.",
        "Compare as of a later day, or correct the date.",
    ),
    "part-unknown": Wording(
        "error",
        "part: there is no part '{seen}'; {hint}",
        "Nothing is compared for it.",
        "Name a file under parts/, without its ending.",
    ),
}

WORDINGS: dict[str, Wording] = (
    FORMS | RECEIVED | CHECKS | FIT | QUALITY | COMPARING | WRITTEN | ASKING | TAKING
)
