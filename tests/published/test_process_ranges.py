"""What processes reach: roughness, walls, mass and tolerance, as published.

Sources, case by case, stand in the docstrings; what is from memory says so.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from quotegen.fit.ability import masses_of, roughness_of, tolerances_of, walls_of
from quotegen.fit.judging import Judged, Making, Verdict, fit_of
from quotegen.fit.materials import good_yield, usual_tool_life, yield_of
from quotegen.fit.tables import Confidence, general_tolerances, read
from quotegen.model.fields import Process
from quotegen.model.part import Part
from tests.folders import a_part

INCH = Fraction("25.4")
RMS = INCH / 1000 * Fraction(9, 10)  # micro-inches rms as micrometres Ra


def ra(process: Process, metal: str | None = None) -> list[tuple[float, float, str]]:
    return [(float(x.fine), float(x.coarse), x.source.text) for x in roughness_of(process, metal)]


def judged(process: Process, metal: str, **part: object) -> Judged:
    """The first thing that the drawing asks for, judged for one process."""
    made = Making(process=process, metal=metal)
    return fit_of(Part.model_validate(a_part(**part)), made)[0]


def toleranced(process: Process, metal: str, written: str) -> Judged:
    return judged(
        process, metal, features=[{"name": "bore", "size": "20 mm", "tolerance": written}]
    )


def half_in_inches(process: Process, metal: str | None, inches: int, source: str) -> set[float]:
    """Plus and minus in inches at so many inches, finest and coarsest of the named source."""
    found = tolerances_of(process, metal, inches * INCH)
    halves = {
        each / 2 / INCH for x in found if source in x.source.text for each in (x.fine, x.coarse)
    }
    return {round(float(each), 6) for each in halves}


@pytest.mark.parametrize(
    ("process", "least", "most"),
    [
        (Process.SAND_CASTING, 12.5, 25),
        (Process.FORGING, 3.2, 12.5),
        (Process.GRAVITY_DIE_CASTING, 1.6, 3.2),
        (Process.INVESTMENT_CASTING, 1.6, 3.2),
        (Process.PRESSURE_DIE_CASTING, 0.8, 1.6),
        (Process.SHEET, 0.8, 6.3),
    ],
)
def test_roughness_by_process(process: Process, least: float, most: float) -> None:
    """Source: chart of roughness by production method (ASME B46.1 appendix)."""
    charted = [each[:2] for each in ra(process) if "chart of roughness" in each[2]]
    assert charted == [(least, most)]


def test_roughness_by_method_of_machining() -> None:
    """Source: the same chart."""
    rows = read("processes")["methods"]["roughness"]["rows"]
    assert {name: tuple(map(float, row)) for name, row in rows.items()} == {
        "milling": (0.8, 6.3),
        "boring and turning": (0.4, 6.3),
        "drilling": (1.6, 6.3),
        "reaming": (0.8, 3.2),
        "grinding": (0.1, 1.6),
        "sawing": (1.6, 25),
        "flame cutting": (12.5, 25),
    }
    ((fine, coarse, _),) = ra(Process.MACHINING)
    assert (fine, coarse) == (0.1, 0.8)  # the best of grinding, and what milling holds


def test_grades_by_method_of_machining() -> None:
    """Source: chart of machining tolerances, from memory; the table of ISO 286-1 begins at IT5."""
    rows = read("processes")["methods"]["grades"]["rows"]
    assert {name: tuple(map(int, row)) for name, row in rows.items()} == {
        "lapping and honing": (4, 5),
        "cylindrical grinding": (5, 7),
        "surface grinding": (5, 8),
        "diamond turning": (5, 7),
        "broaching": (5, 8),
        "reaming": (6, 10),
        "turning": (7, 13),
        "boring": (8, 13),
        "milling": (10, 13),
        "planing": (10, 13),
        "drilling": (10, 13),
    }
    (reach,) = tolerances_of(Process.MACHINING, "steel", Fraction(24))
    assert (reach.fine, reach.coarse) == (Fraction("0.009"), Fraction("0.021"))


def test_trap_the_plain_chart_of_milling_does_not_refuse_what_a_good_shop_holds() -> None:
    """IT10 to IT13 is the plain chart; precise milling holds IT7 to IT9 (from memory)."""
    assert toleranced(Process.MACHINING, "steel", "H7").verdict is Verdict.AS_IT_COMES


NORMAL = [0.01, 0.013, 0.016, 0.019, 0.022, 0.025, 0.028, 0.031, 0.034, 0.037]
PREMIUM = [0.005, 0.008, 0.01, 0.012, 0.014, 0.015, 0.016, 0.017, 0.018, 0.019]


@pytest.mark.parametrize("inches", range(1, 11))
def test_investment_castings_are_held_by_the_inch(inches: int) -> None:
    """Source: specification of a foundry. Normal is 0.010 in and 0.003 for each further inch."""
    found = half_in_inches(Process.INVESTMENT_CASTING, None, inches, "foundry, normal")
    assert found == {NORMAL[inches - 1], PREMIUM[inches - 1]}
    assert NORMAL[inches - 1] == pytest.approx(0.010 + 0.003 * (inches - 1))


def test_beyond_ten_inches_the_specification_says_nothing() -> None:
    assert half_in_inches(Process.INVESTMENT_CASTING, None, 11, "foundry, normal") == set()


def test_walls_mass_and_roughness_of_investment_castings() -> None:
    """Source: specifications of foundries: walls 1.02 to 2.03 mm, 0.51 locally; 2 g to 25 kg."""
    (wall,) = walls_of(Process.INVESTMENT_CASTING, "steel")
    assert (wall.fine, wall.coarse) == (Fraction("0.51"), Fraction("2.03"))
    assert wall.source.confidence is Confidence.MEDIUM
    (mass,) = masses_of(Process.INVESTMENT_CASTING)
    assert (mass.least, mass.most) == (Fraction("0.002"), 25)
    assert (3.2, 6.0) in [each[:2] for each in ra(Process.INVESTMENT_CASTING)]


@pytest.mark.parametrize(
    ("moulding", "per_inch", "rms", "section"),
    [("green sand", 0.03, (500, 900), 0.25), ("shell", 0.008, (300, 500), 0.15)],
)
def test_steel_in_sand_and_shell(
    moulding: str, per_inch: float, rms: tuple[int, int], section: float
) -> None:
    """Source: SFSA casting design tutorial. Tolerance grows with the size, inch by inch."""
    for inches in (1, 3):
        found = half_in_inches(Process.SAND_CASTING, "steel", inches, moulding)
        assert found == {round(per_inch * inches, 6)}
    rough = [each[:2] for each in ra(Process.SAND_CASTING, "steel") if moulding in each[2]]
    assert rough == [tuple(float(each * RMS) for each in rms)]
    (wall,) = walls_of(Process.SAND_CASTING, "steel")
    assert Fraction(str(section)) * INCH in (wall.fine, wall.coarse)
    assert walls_of(Process.SAND_CASTING, "ductile iron") == ()


@pytest.mark.parametrize(
    ("process", "source", "first", "further"),
    [
        (Process.PRESSURE_DIE_CASTING, "standards, standard", 0.010, 0.001),
        (Process.PRESSURE_DIE_CASTING, "standards, precision", 0.002, 0.001),
        (Process.GRAVITY_DIE_CASTING, "NADCA", 0.015, 0.002),
    ],
)
def test_metal_moulds_are_held_by_the_inch(
    process: Process, source: str, first: float, further: float
) -> None:
    """Source: NADCA product specification standards as quoted by suppliers."""
    for inches in (1, 2, 5):
        found = half_in_inches(process, None, inches, source)
        assert found == {round(first + further * (inches - 1), 6)}


def test_walls_and_roughness_from_metal_moulds() -> None:
    """Source: NADCA product specification standards as quoted by suppliers."""
    (thin,) = walls_of(Process.PRESSURE_DIE_CASTING, "light metal")
    assert (thin.fine / INCH, thin.coarse / INCH) == (Fraction("0.03"), Fraction("0.06"))
    (wall,) = walls_of(Process.GRAVITY_DIE_CASTING, "copper")
    assert wall.fine / INCH == wall.coarse / INCH == Fraction("0.188")
    for process, metal, rms in (
        (Process.PRESSURE_DIE_CASTING, "zinc", (32, 63)),
        (Process.PRESSURE_DIE_CASTING, "light metal", (63, 250)),
        (Process.GRAVITY_DIE_CASTING, "copper", (150, 300)),
    ):
        found = [each[:2] for each in ra(process, metal)]
        assert tuple(float(each * RMS) for each in rms) in found


@pytest.mark.parametrize(
    ("metal", "up", "side"),
    [
        ("light metal", (6, 10), (30, 40)),
        ("steel", (2.5, 4.5), (15, 40)),
        ("nickel", (4, 6), (20, 50)),
    ],
)
def test_printed_faces_that_look_up_are_smoother_than_sides(
    metal: str, up: tuple[float, float], side: tuple[float, float]
) -> None:
    """Source: data sheets of print bureaus. Both are kept: they differ three to eight times."""
    ((fine, coarse, _),) = ra(Process.METAL_PRINTING, metal)
    assert (fine, coarse) == (up[0], side[1])
    lines = read("processes")["processes"]["metal printing"]["roughness"]
    (line,) = [each for each in lines if metal in each["metals"]]
    assert [tuple(map(float, line[key])) for key in ("up", "side")] == [up, side]


@pytest.mark.parametrize(("surface", "verdict"), [("40", "as it comes"), ("12", "ask")])
def test_trap_the_smooth_face_of_a_print_does_not_speak_for_its_sides(
    surface: str, verdict: str
) -> None:
    """Same sheets: 6 to 10 um where a face looks up, 30 to 40 um at its side."""
    found = judged(Process.METAL_PRINTING, "light metal", surface=f"faces Ra {surface} um")
    assert found.verdict.value == verdict


@pytest.mark.parametrize(
    ("size", "grade_band"), [(20, "0.58"), (30, "0.64"), ("30.1", "1.3"), (400, "2.2")]
)
def test_general_tolerances_of_print_bureaus(size: object, grade_band: str) -> None:
    """Source: print bureaus: DCTG 6 to 30 mm, DCTG 8 to 400 mm, or ISO 2768-1 c."""
    at = Fraction(str(size))
    found = tolerances_of(Process.METAL_PRINTING, "steel", at)
    bands = {x.coarse for x in found if x.source.text == "general tolerances of print bureaus"}
    assert bands == {Fraction(grade_band)}
    (general,) = [x for x in found if "2768-1 c" in x.source.text]
    half = general_tolerances().at("c", at)
    assert half is not None
    assert general.fine == general.coarse == 2 * half  # plus and minus in the table


def test_the_optimistic_claim_of_one_bureau_has_low_confidence() -> None:
    """Source: one print bureau claims +/- 0.025 mm; +/- 0.102 mm is given for AlSi10Mg."""
    found = tolerances_of(Process.METAL_PRINTING, "light metal", Fraction(20))
    by_width = {x.fine: x.source.confidence for x in found if x.fine == x.coarse}
    assert by_width[Fraction("0.05")] is Confidence.LOW
    assert Confidence.MEDIUM in {x.source.confidence for x in found if x.fine == Fraction("0.204")}
    claimed = toleranced(Process.METAL_PRINTING, "light metal", "+/- 0.05 mm")
    assert claimed.verdict is Verdict.ASK
    assert claimed.why == "at best 0.05 mm in all, low confidence"
    walls = walls_of(Process.METAL_PRINTING, "light metal")
    assert {(x.fine, x.coarse) for x in walls} == {
        (Fraction("0.31"), Fraction("0.41")),
        (Fraction("0.4"), Fraction("0.4")),
    }


def test_binder_jetting_is_known_before_the_furnace_only() -> None:
    """Source: Univ. of Trento, J. Manuf. Mater. Process. 2025, 9(11), 363: green IT8 to IT13."""
    found = tolerances_of(Process.BINDER_JETTING, "steel", Fraction(20))
    green = next(each for each in found if "green" in each.source.text)
    assert (green.fine, green.coarse) == (Fraction("0.033"), Fraction("0.33"))
    assert Fraction("0.6") in {each.coarse for each in found}
    (wall,) = walls_of(Process.BINDER_JETTING, "steel")
    assert (wall.fine, wall.coarse) == (1, 2)


@pytest.mark.parametrize(
    ("written", "verdict"), [("+/- 0.3 mm", "as it comes"), ("+/- 0.17 mm", "ask"), ("H8", "ask")]
)
def test_trap_what_is_measured_before_the_furnace_vouches_for_no_finished_part(
    written: str, verdict: str
) -> None:
    """Same paper: green parts hold IT13, 0.33 mm in all at 20 mm, and shrink after that."""
    found = toleranced(Process.BINDER_JETTING, "steel", written)
    assert found.verdict.value == verdict
    if verdict == "ask":
        assert found.why == "at best 0.033 mm in all, before the furnace"


@pytest.mark.parametrize(
    ("casting", "poured", "scrap", "ideal", "actual"),
    [("2.3", "6.7", "0.08", 34.33, 31.58), ("2.72", "3.17", "0.03", 85.8, 83.23)],
)
def test_yield_in_good_castings_counts_the_scrap(
    casting: str, poured: str, scrap: str, ideal: float, actual: float
) -> None:
    """Source: permanent mould casting data, after the ASM Handbook."""
    masses = Fraction(casting), Fraction(poured)
    assert float(good_yield(*masses, Fraction(0)) * 100) == pytest.approx(ideal, abs=0.006)
    assert float(good_yield(*masses, Fraction(scrap)) * 100) == pytest.approx(actual, abs=0.006)


def test_the_yield_of_steel_foundries() -> None:
    """Source: Hardin, Shen, Gu and Beckermann, SFSA casting yield survey of 1997."""
    found = yield_of(Process.SAND_CASTING, "steel")
    assert found is not None
    shares = [float(each * 100) for each in (found.worst, found.mean, found.best)]
    assert shares == [33.2, 53.3, 72.7]
    assert found.source.confidence is Confidence.HIGH


def test_three_tenths_of_what_is_poured_are_gating() -> None:
    """Common practice, no source: of low confidence, and of one order with the survey."""
    found = yield_of(Process.INVESTMENT_CASTING, "steel")
    assert found is not None
    assert 1 - found.mean == Fraction("0.3")
    assert found.source.confidence is Confidence.LOW


@pytest.mark.parametrize(
    ("kind", "least", "most"),
    [
        ("aluminium wax die", 50_000, 200_000),
        ("pressure die, aluminium", 100_000, 150_000),
        ("pressure die, zinc", 500_000, 1_000_000),
        ("gravity die, aluminium", 30_000, 100_000),
    ],
)
def test_how_long_tools_usually_last(kind: str, least: int, most: int) -> None:
    """Trade knowledge, from memory: bounds to ask beyond."""
    found, source = usual_tool_life(kind)
    assert found == (least, most)
    assert source.confidence is Confidence.LOW
