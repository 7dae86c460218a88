"""Castings: tolerance grades, allowances and what is left on a machined face (ISO 8062).

Sources: ISO 8062-3:2007, Table 2 (tolerances, whole bands) and Table 7 (allowances, E to K as in
ISO 8062:1994, Table 2); ISO 8062-4:2017, Tables 3, B.1 and C.1; ISO/CD 8062-2, Table A.2; SFSA
Supplement 3, Tables 2.2, 3.3 and 3.4.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from quotegen.basics.number import Unreadable
from quotegen.fit.ability import (
    allowance_grades,
    casting_grades,
    cope_face_least,
    finer_for_small,
    tolerances_of,
)
from quotegen.fit.raw_casting import metal_to_leave, raw_size
from quotegen.fit.tables import casting_tolerances, machining_allowances
from quotegen.fit.tolerances import Side, read_tolerance
from quotegen.model.fields import Process

UP_TO = [10, 16, 25, 40, 63, 100, 160, 250, 400, 630, 1000, 1600, 2500, 4000, 6300, 10000]
# A line for each range of sizes, grades 1 to 16 across.
BANDS = """
0.09 0.13 0.18 0.26 0.36 0.52 0.74 1 1.5 2 2.8 4.2 - - - -
0.1 0.14 0.2 0.28 0.38 0.54 0.78 1.1 1.6 2.2 3 4.4 - - - -
0.11 0.15 0.22 0.3 0.42 0.58 0.82 1.2 1.7 2.4 3.2 4.6 6 8 10 12
0.12 0.17 0.24 0.32 0.46 0.64 0.9 1.3 1.8 2.6 3.6 5 7 9 11 14
0.13 0.18 0.26 0.36 0.5 0.7 1 1.4 2 2.8 4 5.6 8 10 12 16
0.14 0.2 0.28 0.4 0.56 0.78 1.1 1.6 2.2 3.2 4.4 6 9 11 14 18
0.15 0.22 0.3 0.44 0.62 0.88 1.2 1.8 2.5 3.6 5 7 10 12 16 20
- 0.24 0.34 0.5 0.7 1 1.4 2 2.8 4 5.6 8 11 14 18 22
- - 0.4 0.56 0.78 1.1 1.6 2.2 3.2 4.4 6.2 9 12 16 20 25
- - - 0.64 0.9 1.2 1.8 2.6 3.6 5 7 10 14 18 22 28
- - - - 1 1.4 2 2.8 4 6 8 11 16 20 25 32
- - - - - 1.6 2.2 3.2 4.6 7 9 13 18 23 29 37
- - - - - - 2.6 3.8 5.4 8 10 15 21 26 33 42
- - - - - - - 4.4 6.2 9 12 17 24 30 38 49
- - - - - - - - 7 10 14 20 28 35 44 56
- - - - - - - - - 11 16 23 32 40 50 64
"""
CELLS = [
    (size, grade, printed)
    for size, line in zip(UP_TO, BANDS.strip().splitlines(), strict=True)
    for grade, printed in enumerate(line.split(), start=1)
]
LONGEST = [40, 63, 100, 160, 250, 400, 630, 1000, 1600, 2500, 4000, 6300, 10000]
ALLOWANCES = {
    "A": "0.1 0.1 0.2 0.3 0.3 0.4 0.5 0.6",
    "B": "0.1 0.2 0.3 0.4 0.5 0.7 0.8 0.9",
    "C": "0.2 0.3 0.4 0.5 0.7 0.9 1.1 1.2",
    "D": "0.3 0.3 0.5 0.8 1 1.3 1.5 1.8",
    "E": "0.4 0.4 0.7 1.1 1.4 1.8 2.2 2.5 2.8 3.2 3.5 4 4.5",
    "F": "0.5 0.5 1 1.5 2 2.5 3 3.5 4 4.5 5 5.5 6",
    "G": "0.5 0.7 1.4 2.2 2.8 3.5 4 5 5.5 6 7 8 9",
    "H": "0.7 1 2 3 4 5 6 7 8 9 10 11 12",
    "J": "1 1.4 2.8 4 5.5 7 9 10 11 13 14 16 17",
    "K": "1.4 2 4 6 8 10 12 14 16 18 20 22 24",
}
NOT_SURE = {("K", 40), ("K", 63)}  # the two copies differ there
USUAL = """
steel         11-14 8-12 -    -   4-9
grey_iron     11-14 8-12 7-9  -   4-9
ductile_iron  11-14 8-12 7-9  -   4-9
copper        10-13 8-10 7-9  6-8 4-9
zinc          10-13 8-10 7-9  3-6 4-9
light_metal   9-12  7-9  6-8  6-9 4-9
nickel        11-14 8-12 -    -   4-9
cobalt        11-14 8-12 -    -   4-9
"""
COLUMNS = [
    (Process.SAND_CASTING, "by hand"),
    (Process.SAND_CASTING, "by machine or in shells"),
    (Process.GRAVITY_DIE_CASTING, "metal mould"),
    (Process.PRESSURE_DIE_CASTING, "pressure die"),
    (Process.INVESTMENT_CASTING, "wax pattern"),
]
SHORT = """
steel         13-15 12-14
grey_iron     13-15 11-14
ductile_iron  13-15 11-14
malleable_iron 13-15 11-14
copper        13-15 10-13
light_metal   11-13 10-13
nickel        13-15 12-14
cobalt        13-15 12-14
"""
CALLED_FOR = """
steel        G-K F-H -   -   E-E
grey_iron    F-H E-G D-F -   E-E
ductile_iron F-H E-G D-F -   E-E
copper       F-H E-G D-F B-D E-E
zinc         F-H E-G D-F A-D -
light_metal  F-H E-G D-F B-D E-E
"""


def _rows(text: str) -> dict[str, list[str]]:
    lines = (line.split() for line in text.strip().splitlines())
    return {name.replace("_", " "): cells for name, *cells in lines}


def _grades(process: Process, metal: str, source: str, moulding: str) -> list[str]:
    return [
        f"{each.finest}-{each.coarsest}"
        for each in casting_grades(process, metal)
        if source in each.source.text and each.moulding == moulding
    ]


def test_every_casting_tolerance_is_that_of_the_table() -> None:
    """203 cells have a value; a dash is none, and nothing is made up for it."""
    found = [casting_tolerances().at(f"DCTG {grade}", Fraction(size)) for size, grade, _ in CELLS]
    assert found == [None if printed == "-" else Fraction(printed) for _, _, printed in CELLS]
    assert sum(1 for each in found if each is not None) == 203


@pytest.mark.parametrize(("size", "grade"), [(c[0], c[1]) for c in CELLS if c[2] == "-"])
def test_a_grade_without_a_value_is_refused_and_never_extended(size: int, grade: int) -> None:
    with pytest.raises(Unreadable) as refused:
        read_tolerance(f"DCTG {grade}", Fraction(size))
    assert refused.value.code == "tolerance-size"


@pytest.mark.parametrize(
    ("size", "grade", "wrong", "right"),
    [(8, 9, "2", "1.5"), (3000, 8, "4", "4.4"), (200, 5, "0.72", "0.7"), (100, 4, "0.26", "0.4")],
)
def test_values_of_other_editions_and_copies_are_not_taken(
    size: int, grade: int, wrong: str, right: str
) -> None:
    """Source: the copy in SFSA Supplement 3, GB/T 6414-1999, and a supplier's guide."""
    width = read_tolerance(f"DCTG {grade}", Fraction(size)).width
    assert width == Fraction(right) != Fraction(wrong)


def test_the_figure_is_the_whole_band_and_not_plus_and_minus() -> None:
    """Source: a supplier's guide. 8 mm in grade 6 is 0.52 mm in all, 0.26 mm to each side."""
    graded = read_tolerance("DCTG 6", Fraction(8)).width
    assert graded == Fraction("0.52")
    assert graded == read_tolerance("+/- 0.26 mm", Fraction(8)).width
    assert graded != read_tolerance("+/- 0.52 mm", Fraction(8)).width


@pytest.mark.parametrize("grade", ALLOWANCES)
def test_each_allowance_is_that_of_the_table(grade: str) -> None:
    """Grades A to D end at 1000 mm."""
    printed = ALLOWANCES[grade].split()
    for number, size in enumerate(LONGEST):
        found = machining_allowances().at(grade, Fraction(size))
        if (grade, size) in NOT_SURE:
            assert found is None
        else:
            assert found == (Fraction(printed[number]) if number < len(printed) else None)


@pytest.mark.parametrize("number", range(12))
def test_trap_a_size_on_a_bound_belongs_to_the_range_below_it(number: int) -> None:
    """Both tables say over so much and up to so much."""
    at, beyond = Fraction(LONGEST[number]), LONGEST[number] + Fraction(1, 1000)
    printed = [Fraction(each) for each in ALLOWANCES["H"].split()]
    found = [machining_allowances().at("H", size) for size in (at, beyond)]
    assert found == printed[number : number + 2]
    row = UP_TO.index(LONGEST[number])
    bands = [Fraction(line.split()[10]) for line in BANDS.strip().splitlines()]
    assert [casting_tolerances().at("DCTG 11", size) for size in (at, beyond)] == (
        bands[row : row + 2]
    )


@pytest.mark.parametrize(("size", "right"), [(2600, "3.5"), (3500, "3.5"), (1700, "3.2")])
def test_trap_the_wider_ranges_of_another_standard_are_not_taken(size: int, right: str) -> None:
    """Above 1000 mm ISO 8062-4:2017 has ranges up to 1600, 3000 and 6300 mm: there 2600 mm would
    have what 1700 mm has, and 3500 mm something else."""
    assert machining_allowances().at("E", Fraction(size)) == Fraction(right)


@pytest.mark.parametrize(("size", "expected"), [(800, "11"), (1200, "12.5")])
def test_what_is_left_on_a_face_is_the_allowance_and_half_the_tolerance(
    size: int, expected: str
) -> None:
    """Source: foundry notes, DCTG 11 with allowance H. The whole tolerance would be too much."""
    allowance = machining_allowances().at("H", Fraction(size))
    band = casting_tolerances().at("DCTG 11", Fraction(size))
    assert allowance is not None
    assert band is not None
    assert metal_to_leave(allowance, band) == Fraction(expected) != allowance + band


def test_two_opposite_faces_take_the_allowance_twice_and_half_the_tolerance_once() -> None:
    """Source: from memory, R = F + 2 RMA + CT/2 for a shaft, and with minus for a hole."""
    nominal, allowance, band = Fraction(100), Fraction(2), Fraction(3)
    assert raw_size(nominal, allowance, band, Side.SHAFT) == Fraction("105.5")
    assert raw_size(nominal, allowance, band, Side.HOLE) == Fraction("94.5")
    assert raw_size(Fraction(5), allowance, band, Side.HOLE) == 0
    assert raw_size(nominal, allowance, band, Side.NOT_SAID) is None


@pytest.mark.parametrize("metal", _rows(USUAL))
def test_the_grades_usual_in_long_series(metal: str) -> None:
    """Source: ISO 8062-4:2017, Table B.1."""
    found = [
        _grades(process, metal, "Table B.1", moulding) or ["-"] for process, moulding in COLUMNS
    ]
    assert [each for (each,) in found] == _rows(USUAL)[metal]


@pytest.mark.parametrize("metal", _rows(SHORT))
def test_the_grades_usual_in_short_series(metal: str) -> None:
    """Source: ISO/CD 8062-2, Table A.2, as ISO 8062:1994."""
    sand = Process.SAND_CASTING
    bonds = ("by hand, clay bonded", "by hand, chemically bonded")
    found = [_grades(sand, metal, "Table A.2", moulding) for moulding in bonds]
    assert [each for (each,) in found] == _rows(SHORT)[metal]


@pytest.mark.parametrize(
    ("size", "by"), [(10, 3), ("10.1", 2), (16, 2), (25, 1), ("25.1", 0), (40, 0)]
)
def test_a_short_series_is_finer_in_small_sizes(size: object, by: int) -> None:
    """Source: ISO/CD 8062-2, Table A.2: grades hold for sizes over 25 mm."""
    assert finer_for_small(Fraction(str(size))) == by


def test_the_grades_of_steel_castings() -> None:
    """Source: SFSA Supplement 3, Tables 3.3 and 3.4; CT4 to CT6 in wax by a foundry's own word."""
    sand = _sfsa(Process.SAND_CASTING)
    assert sorted(sand) == ["10-12 long", "11-13 short", "12-14 long", "8-10 long"]
    assert _sfsa(Process.GRAVITY_DIE_CASTING) == ["7-9 long"]
    assert _sfsa(Process.INVESTMENT_CASTING) == ["5-7 long"]
    assert _grades(Process.INVESTMENT_CASTING, "steel", "specification", "wax pattern") == ["4-6"]


def test_trap_what_most_foundries_hold_is_not_what_the_best_or_all_of_them_do() -> None:
    """Source: SFSA Supplement 3, Table 3.3: three columns of one table for a long series."""
    found = {
        each.moulding.removeprefix("any, "): (each.finest, each.coarsest)
        for each in casting_grades(Process.SAND_CASTING, "steel")
        if "Table 3.3" in each.source.text
    }
    assert found == {
        "fully capable": (12, 14),
        "most castings": (10, 12),
        "within capability": (8, 10),
    }


def _sfsa(process: Process) -> list[str]:
    return [
        f"{each.finest}-{each.coarsest} {each.series}"
        for each in casting_grades(process, "steel")
        if "SFSA" in each.source.text
    ]


@pytest.mark.parametrize("metal", _rows(CALLED_FOR))
def test_the_allowance_grades_usually_called_for(metal: str) -> None:
    """Source: ISO 8062-4:2017, Table C.1; SFSA Supplement 3, Table 2.2."""
    found = []
    for process, moulding in COLUMNS:
        known = {
            name: f"{fine}-{coarse}" for name, fine, coarse in allowance_grades(process, metal)
        }
        found.append(known.get(moulding, "-"))
    assert found == _rows(CALLED_FOR)[metal]
    assert cope_face_least() == 6


def test_a_process_reaches_the_bands_of_its_grades() -> None:
    """Zinc in a pressure die holds grade 6 of the table at 50 mm, and grade 3 at best."""
    reaches = tolerances_of(Process.PRESSURE_DIE_CASTING, "zinc", Fraction(50))
    graded = next(each for each in reaches if "Table B.1" in each.source.text)
    assert (graded.fine, graded.coarse) == (Fraction("0.26"), Fraction("0.7"))


def test_a_small_size_of_a_short_series_is_held_finer() -> None:
    """Source: ISO/CD 8062-2, Table A.2: 13 to 15 become 10 to 12 up to 10 mm."""
    for size, fine, coarse in ((8, "2", "4.2"), (30, "7", "11")):
        reaches = tolerances_of(Process.SAND_CASTING, "ductile iron", Fraction(size))
        widest = max((x for x in reaches if "Table A.2" in x.source.text), key=lambda x: x.fine)
        assert (widest.fine, widest.coarse) == (Fraction(fine), Fraction(coarse))
