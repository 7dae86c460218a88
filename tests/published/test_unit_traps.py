"""Units that look like a code or a sign and are neither are refused, never guessed."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from quotegen.study import study
from tests.folders import (
    TODAY,
    a_part,
    a_quote,
    a_workshop,
    an_item,
    forms,
    printed_for,
    written,
)


def codes_met(to: Path, **item: Any) -> set[str]:
    """The problems of a quote that cannot be read; nothing of it may be compared."""
    content = forms(a_quote("oak-1", an_item("9000 EUR per 1", **item)))
    found = study(written(content, to), TODAY, only=("p",))
    assert found.parts["p"].comparison.offers == ()
    return {problem.code for problem in found.problems}


@pytest.mark.parametrize("basis", ["mil", "M", "C", "million", "%", "cen", "MIO", "MLN", "TSD"])
def test_a_price_basis_that_is_no_code_is_refused(basis: str, tmp_path: Path) -> None:
    """UN/ECE Rec 20 revision 11e. Traps: MIL is thousand (not million or mil), CEN hundred."""
    tier = {"from": "1", "price": f"9000 EUR per {basis}"}
    assert "unit-unknown" in codes_met(tmp_path, prices=[tier])


@pytest.mark.parametrize("unit", ["MIN", "HUR", "m", "mon", "min", "d"])
def test_a_time_that_is_no_calendar_time_is_refused(unit: str, tmp_path: Path) -> None:
    """UN/ECE Rec 20 revision 11e. Traps: MON month, MIN minute."""
    assert "unit-unknown" in codes_met(tmp_path, lead_time=f"6 {unit}")


def test_minutes_of_labour_are_sixtieths_of_its_hour(tmp_path: Path) -> None:
    """UN/ECE Rec 20 revision 11e: minute MIN, hour HUR."""
    drilling = {"operation": "drilling", "minutes": "45", "labour": "fitter", "source": "test"}
    fitter = {"work": "fitter", "rate": "60 EUR", "source": "test"}
    content = forms(
        a_quote("oak-1", an_item("1 EUR per 1")),
        workshop=a_workshop(completion=[drilling], labour=[fitter]),
        part=a_part(1, operations=["drilling"]),
    )
    (offer,) = printed_for(content, tmp_path)["offers"]
    (drilled,) = (each for each in offer["lines"] if each["kind"] == "completion")
    assert drilled["total"] == "45"
