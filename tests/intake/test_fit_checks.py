"""Bad tolerances, surfaces and abilities: each with its place, and the rest is still judged."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from quotegen.intake.folder import read_folder

PART, SUPPLIER, QUOTE = "parts/pawl.yaml", "suppliers/arden.yaml", "quotes/arden/af-2291.yaml"
Changes = dict[str, str]
Write = Callable[[Changes], Path]
ToldOfEdit = Callable[[str, str, str], list[str]]
KNOWN = "H7, +/- 0.1 mm, +0.1 -0.2 mm, 0.2 mm total, ISO 2768-m or DCTG 6."
SOUND_FEATURE = "{name: seat, size: 12 mm, tolerance: H7}"


@pytest.mark.parametrize(
    ("feature", "said"),
    [
        (
            "{name: bore, tolerance: H7}",
            (
                "tolerance-nominal: features 2: 'bore H7' has no size: a tolerance says nothing "
                "without its nominal."
            ),
        ),
        (
            "{name: bore, size: 10 mm, tolerance: 0.2 mm}",
            (
                "tolerance-two-readings: features 2, tolerance: '0.2 mm' can be read in two ways; "
                "expected `+/- 0.2 mm` or `0.2 mm total`."
            ),
        ),
        (
            "{name: bore, size: 10 mm, tolerance: H19}",
            (
                "tolerance-grade: features 2, tolerance: 'H19' names a grade that the table lacks; "
                "it has IT5 to IT18 (ISO 286-1:2010, Table 1)."
            ),
        ),
        (
            "{name: bore, size: 501 mm, tolerance: H7}",
            (
                "tolerance-size: features 2, tolerance: 'H7' has no value at 501 mm; the table has "
                "0 mm to 500 mm for IT7 (ISO 286-1:2010, Table 1)."
            ),
        ),
        (
            "{name: flatness, size: 10 mm, tolerance: flat to 0.05}",
            (
                "tolerance-unread: features 2, tolerance: 'flat to 0.05' is no tolerance that can "
                f"be judged; expected {KNOWN}"
            ),
        ),
    ],
)
def test_a_bad_tolerance_is_told_and_the_other_features_stay(
    write: Write, sound: Changes, feature: str, said: str
) -> None:
    form = sound[PART] + f"features:\n- {SOUND_FEATURE}\n- {feature}\n"
    folder = read_folder(write({PART: form}))
    (problem,) = folder.problems
    assert f"{problem.code}: {problem.message}" == said
    assert problem.place.line == 10
    assert problem.sentence.endswith(problem.remedy)
    kept = [each.name for each in folder.parts["pawl"].record.features]
    assert kept[0] == "seat"
    assert len(kept) == (2 if problem.severity == "notice" else 1)


@pytest.mark.parametrize(
    ("line", "said"),
    [
        (
            "surface: sole Ra 3.2",
            (
                "roughness-unread: surface: 'Ra 3.2' is not judged; expected Ra with its unit, "
                "such as Ra 3.2 um."
            ),
        ),
        (
            "general tolerance: fine",
            (
                "tolerance-unread: general tolerance: 'fine' is no tolerance that can be judged; "
                f"expected {KNOWN}"
            ),
        ),
        (
            "general tolerance: DCTG 13",
            (
                "tolerance-not-judged: general tolerance: 'DCTG 13' is not judged; expected 16 mm "
                "to 10000 mm for DCTG 13 (ISO 8062-3:2007, Table 2)."
            ),
        ),
    ],
)
def test_what_cannot_be_judged_is_a_notice(told_of_edit: ToldOfEdit, line: str, said: str) -> None:
    sides = "envelope: 12 x 40 x 60 mm\n"
    (found,) = told_of_edit(PART, "mass: 86 g\n", f"mass: 86 g\n{sides}{line}\n")
    assert found.partition(" ")[2] == said


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("{process: sand casting}", "ability-empty: {at}: the line says nothing that is held."),
        (
            "{tolerance: CT 5}",
            (
                "ability-unread: {at}, tolerance: 'CT 5' cannot be held against a drawing; "
                "expected KNOWN"
            ),
        ),
        (
            "{tolerance: H7, up to: 600 mm}",
            (
                "ability-unread: {at}, tolerance: 'H7' cannot be held against a drawing; "
                "expected 0 mm to 500 mm for IT7 (ISO 286-1:2010, Table 1)."
            ),
        ),
        (
            "{surface: smooth}",
            (
                "ability-unread: {at}, surface: 'smooth' cannot be held against a drawing; "
                "expected a roughness such as Ra 3.2 um."
            ),
        ),
        (
            "{surface: Rz 16 um}",
            (
                "ability-unread: {at}, surface: 'Rz 16 um' cannot be held against a drawing; "
                "expected Ra with its unit, such as Ra 3.2 um."
            ),
        ),
        ("{tolerance: DCTG 5, wall: 1 mm, surface: Ra 1.6 um}", None),
        ("{tolerance: DCTG 1}", None),
    ],
)
def test_what_a_supplier_states_is_read_in_both_of_its_places(
    told_of_edit: ToldOfEdit, line: str, said: str | None
) -> None:
    """A notice: the supplier, the quote and its item stay."""
    for name, before, at in (
        (SUPPLIER, "country: GB\n", "can hold 1"),
        (QUOTE, "    lead time: 25 working days\n", "items 1, can hold 1"),
    ):
        indent = " " * (len(before) - len(before.lstrip()))
        added = f"{before}{indent}can hold: [{line}]\n"
        found = [each.partition(" ")[2] for each in told_of_edit(name, before, added)]
        assert found == ([said.replace("{at}", at).replace("KNOWN", KNOWN)] if said else [])
