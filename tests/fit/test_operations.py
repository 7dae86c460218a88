"""Which operation makes a feature."""

from __future__ import annotations

from fractions import Fraction

import pytest

from quotegen.fit.operations import operation_for
from quotegen.fit.required import Aspect, Required
from quotegen.fit.tolerances import Side


def feature(name: str, side: Side = Side.NOT_SAID, aspect: Aspect = Aspect.TOLERANCE) -> Required:
    return Required(
        aspect=aspect, name=name, text="", wanted=Fraction(1), keys=("features", 0), side=side
    )


@pytest.mark.parametrize(
    ("required", "operations", "by"),
    [
        (feature("outside"), ["deburring", "turning"], "turning"),
        (feature("seat", Side.HOLE), ["reaming"], "reaming"),
        (feature("seat", Side.SHAFT), ["reaming"], ""),
        (feature("nose to bore"), ["ream pivot bore"], "ream pivot bore"),
        (feature("outside"), ["ream pivot bore"], ""),
        (feature("keyway"), ["bore and keyway"], "bore and keyway"),
        (feature("the bore"), ["clean the part"], ""),
        (feature("laser slot"), ["laser cutting"], ""),
        (feature("yarn path", aspect=Aspect.SURFACE), ["tumbling"], "tumbling"),
        (feature("yarn path"), ["tumbling"], ""),
    ],
)
def test_an_operation_covers_what_it_reaches_or_names(
    required: Required, operations: list[str], by: str
) -> None:
    assert operation_for(required, operations) == by
