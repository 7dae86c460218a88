"""Which operation, of those that are asked for or quoted, makes a feature after the process."""

from __future__ import annotations

import re
from collections.abc import Iterable

from quotegen.fit.required import Aspect, Required
from quotegen.fit.tolerances import Side
from quotegen.model.operations import OPERATIONS

FINISH_MACHINING = "finish machining"
GROUND = frozenset({"grinding", "honing", "lapping", "cylindrical grinding", "surface grinding"})
ANYWHERE = frozenset({"finish machining", "grinding", "machining", "milling", "turning"})
IN_HOLES = frozenset({"boring", "broaching", "drilling", "honing", "reaming"})
SMOOTHING = frozenset({"brushing", "electropolishing", "polishing", "tumbling"})
CUTTING = re.compile(r"\b(?:ream|bor|fac|turn|mill|drill|grind|hon|lap|broach|machin|keyway)")
SMALL_WORDS = frozenset({"a", "and", "for", "in", "of", "on", "the", "to", "with"})


def operation_for(required: Required, operations: Iterable[str]) -> str:
    """The first operation that makes this feature, or "" for none.

    The usual words cover what they can reach: turning any face, reaming any hole. A workshop's
    own words, such as `ream pivot bore`, cover the features that they share a word with.
    """
    return next((each for each in operations if _makes(each, required)), "")


def _makes(operation: str, required: Required) -> bool:
    if operation in ANYWHERE:
        return True
    if required.aspect is Aspect.SURFACE and operation in SMOOTHING:
        return True
    if operation in IN_HOLES and required.side is Side.HOLE:
        return True
    is_cut = operation in IN_HOLES or operation not in OPERATIONS
    return is_cut and bool(CUTTING.search(operation) and _words(operation) & _words(required.name))


def _words(text: str) -> frozenset[str]:
    return frozenset(re.findall(r"\w+", text.lower())) - SMALL_WORDS
