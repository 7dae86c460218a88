"""What a charge is for, by its code: UN/EDIFACT code list 7161 (UNCL 7161)."""

from __future__ import annotations

import pytest

from quotegen.taking.ubl import CHARGES

# The names that the list gives, as the code lists of EN 16931 print them.
NAMES = {
    "AAT": "Rush delivery",
    "ABF": "Tooling",
    "ACH": "Heat treatment",
    "ACI": "Plating treatment",
    "ACJ": "Painting",
    "ACK": "Polishing",
    "CAE": "Certificate of conformance",
    "CAU": "Sorting",
    "DAN": "Minimum order not fulfilled charge",
    "FC": "Freight service",
    "GAA": "Grinding",
    "IF": "Inspection",
    "PC": "Packing",
    "PL": "Palletizing",
    "SM": "Special finish",
    "SU": "Set-up",
    "TAC": "Testing",
}
OUR_WORDS = {"FC": "carriage", "ABF": "tool"}  # words of our own where the list has another


@pytest.mark.parametrize("code", NAMES)
def test_a_charge_is_called_what_the_list_calls_it(code: str) -> None:
    """UN/EDIFACT directory, data element 7161, names as in the code lists of EN 16931."""
    said = CHARGES[code]
    assert said == OUR_WORDS.get(code, said)
    assert code in OUR_WORDS or NAMES[code].lower().startswith(said)


def test_no_code_is_used_that_the_list_does_not_name_here() -> None:
    """UN/EDIFACT directory, data element 7161."""
    assert set(CHARGES) == set(NAMES)


@pytest.mark.parametrize("code", ["SH", "FI", "SA", "CA"])
def test_codes_that_look_alike_are_not_taken_for_one_of_ours(code: str) -> None:
    """UN/EDIFACT 7161: SH is special handling, FI financing, SA salvaging, CA cataloguing."""
    assert code not in CHARGES
