"""As it comes, machined after, asked, or not by this process."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotegen.fit.judging import Judged, Making, Verdict, fit_of
from quotegen.fit.required import Aspect
from quotegen.fit.tables import Confidence
from quotegen.model.ability import Ability
from quotegen.model.fields import Process
from quotegen.model.part import Part
from tests.folders import a_part

INVESTMENT = Process.INVESTMENT_CASTING
CASTINGS = [p for p in Process if p.value.endswith("casting")]
ORDER = [Verdict.AS_IT_COMES, Verdict.ASK, Verdict.AFTER, Verdict.NOT]


def fit(
    process: Process,
    metal: str | None = "steel",
    operations: tuple[str, ...] = (),
    abilities: tuple[Any, ...] = (),
    **part: Any,
) -> dict[Aspect, Judged]:
    made = Making(
        process=process,
        metal=metal,
        operations=operations,
        abilities=tuple(Ability.model_validate(each) for each in abilities),
    )
    found = fit_of(Part.model_validate(a_part(**part)), made)
    return {each.required.aspect: each for each in found}


def toleranced(
    written: str, size: str = "20 mm", process: Process = INVESTMENT, **given: Any
) -> Judged:
    feature = {"name": "bore", "size": size, "tolerance": written}
    return fit(process, features=[feature], **given)[Aspect.TOLERANCE]


@pytest.mark.parametrize(
    ("written", "verdict"),
    [
        ("+/- 0.85 mm", Verdict.AS_IT_COMES),  # DCTG 9 at 20 mm is 1.7 mm in all
        ("+/- 0.84 mm", Verdict.ASK),
        ("+/- 0.127 mm", Verdict.ASK),  # 0.005 in to an inch is the best
        ("+/- 0.126 mm", Verdict.AFTER),
        ("H7", Verdict.AFTER),
        ("+/- 0.004 mm", Verdict.NOT),  # IT5 at 20 mm is 0.009 mm in all
    ],
)
def test_a_casting_is_judged_by_the_widest_and_the_finest_band(
    written: str, verdict: Verdict
) -> None:
    assert toleranced(written).verdict is verdict


def test_the_total_band_is_not_read_as_plus_and_minus() -> None:
    """A foundry that holds DCTG 6 holds 0.58 mm in all at 20 mm, and not to each side."""
    held = ({"tolerance": "DCTG 6"},)
    assert toleranced("0.58 mm total", abilities=held).verdict is Verdict.AS_IT_COMES
    assert toleranced("+/- 0.29 mm", abilities=held).verdict is Verdict.AS_IT_COMES
    assert toleranced("+/- 0.28 mm", abilities=held).verdict is Verdict.AFTER


def test_what_a_supplier_states_counts_alone() -> None:
    assert toleranced("H9", abilities=({"tolerance": "IT9"},)).verdict is Verdict.AS_IT_COMES
    worse = toleranced("+/- 0.85 mm", abilities=({"tolerance": "DCTG 12"},))
    assert worse.verdict is Verdict.AFTER
    assert worse.lacks_machining


@pytest.mark.parametrize(
    "line",
    [
        {"process": "sand casting", "tolerance": "IT9"},
        {"tolerance": "IT9", "up to": "19 mm"},
        {"wall": "1 mm"},
        {"tolerance": "as agreed"},
    ],
)
def test_a_line_for_something_else_says_nothing(line: Any) -> None:
    assert toleranced("H9", abilities=(line,)).verdict is Verdict.AFTER


def test_an_operation_of_the_drawing_or_the_quote_makes_the_feature() -> None:
    by = toleranced("H7", operations=("turning",))
    assert (by.verdict, by.by, by.lacks_machining) == (Verdict.AFTER, "turning", False)
    assert toleranced("H7", operations=("deburring",)).lacks_machining


def test_finer_than_turning_holds_is_asked_about_unless_it_is_ground() -> None:
    assert toleranced("s6", operations=("turning",)).ask == "bore 20 mm s6"
    assert not toleranced("s6", operations=("turning", "grinding")).ask
    machined = {"process": Process.MACHINING}
    assert toleranced("h7", **machined).verdict is Verdict.AS_IT_COMES
    assert toleranced("g6", **machined).verdict is Verdict.ASK
    assert toleranced("g6", operations=("grinding",), **machined).verdict is Verdict.AS_IT_COMES
    assert toleranced("+/- 0.004 mm", **machined).verdict is Verdict.NOT


@pytest.mark.parametrize(
    ("process", "given"),
    [
        (Process.FORGING, {"features": [{"name": "b", "size": "20 mm", "tolerance": "H5"}]}),
        (Process.SHEET, {"features": [{"name": "b", "size": "20 mm", "tolerance": "H5"}]}),
        (Process.STAMPING, {"features": [{"name": "b", "size": "9 mm", "tolerance": "+/- 1 mm"}]}),
        (Process.STAMPING, {"surface": "edge Ra 0.1 um"}),
        (Process.METAL_PRINTING, {"envelope": "900 x 40 x 40 mm"}),
    ],
)
def test_a_number_of_low_confidence_only_asks(process: Process, given: Any) -> None:
    judged = next(
        each
        for each in fit(process, **given).values()
        if each.sources and all(x.confidence is Confidence.LOW for x in each.sources)
    )
    assert judged.verdict is Verdict.ASK
    assert judged.ask


def test_a_doubtful_number_vouches_for_nothing() -> None:
    """The size of a build chamber is from memory: inside it, nothing is said."""
    found = fit(Process.METAL_PRINTING, envelope="60 x 40 x 40 mm")[Aspect.SIZE]
    assert found.verdict is Verdict.NO_NUMBER
    stated = fit(
        Process.METAL_PRINTING, envelope="60 x 40 x 40 mm", abilities=({"longest": "80 mm"},)
    )[Aspect.SIZE]
    assert stated.verdict is Verdict.AS_IT_COMES


def test_a_doubtful_claim_turns_a_refusal_into_a_question() -> None:
    """One print bureau claims 0.05 mm in all; the others hold 0.204 mm."""
    printed = {"process": Process.METAL_PRINTING, "metal": "light metal"}
    assert toleranced("+/- 0.1 mm", **printed).verdict is Verdict.ASK
    assert toleranced("+/- 0.02 mm", **printed).verdict is Verdict.AFTER


@pytest.mark.parametrize(
    ("wall", "verdict"),
    [("2.03 mm", Verdict.AS_IT_COMES), ("2 mm", Verdict.ASK), ("0.5 mm", Verdict.NOT)],
)
def test_a_wall_cannot_be_machined_thinner(wall: str, verdict: Verdict) -> None:
    found = fit(INVESTMENT, operations=("machining",), thinnest_wall=wall)[Aspect.WALL]
    assert found.verdict is verdict


@pytest.mark.parametrize(
    ("mass", "verdict"),
    [("25 kg", Verdict.AS_IT_COMES), ("25.1 kg", Verdict.NOT), ("1 g", Verdict.NOT)],
)
def test_a_mass_outside_the_range_is_not_made(mass: str, verdict: Verdict) -> None:
    assert fit(INVESTMENT, mass=mass)[Aspect.MASS].verdict is verdict
    stated = ({"heaviest": "40 kg"},)
    allowed = fit(INVESTMENT, mass="30 kg", abilities=stated)[Aspect.MASS]
    assert allowed.verdict is Verdict.AS_IT_COMES


@pytest.mark.parametrize(
    ("surface", "verdict"),
    [("Ra 6.3 um", Verdict.AS_IT_COMES), ("Ra 3.2 um", Verdict.ASK), ("Ra 0.8 um", Verdict.AFTER)],
)
def test_surfaces_are_judged_by_their_roughness(surface: str, verdict: Verdict) -> None:
    assert fit(INVESTMENT, surface=surface)[Aspect.SURFACE].verdict is verdict


def test_a_class_for_the_whole_drawing_is_asked_about_and_not_machined() -> None:
    found = fit(Process.SAND_CASTING, general_tolerance="ISO 2768-f", envelope="90 x 60 x 30 mm")
    assert found[Aspect.GENERAL].verdict is Verdict.ASK


def test_a_face_that_the_drawing_has_machined_is_machined_whatever_the_process() -> None:
    face = {"machined faces": [{"name": "sole", "size": "20 mm"}]}
    part = {key.replace(" ", "_"): value for key, value in face.items()}
    assert fit(INVESTMENT, **part)[Aspect.FACE].lacks_machining
    assert fit(Process.MACHINING, **part)[Aspect.FACE].verdict is Verdict.AS_IT_COMES


def test_nothing_is_said_where_no_number_is_published() -> None:
    found = fit(Process.MACHINING, thinnest_wall="0.1 mm")
    assert found[Aspect.WALL].verdict is Verdict.NO_NUMBER
    assert not found[Aspect.WALL].ask
    assert toleranced("flat", process=INVESTMENT).verdict is Verdict.NO_NUMBER


@given(
    st.sampled_from([*CASTINGS, Process.METAL_PRINTING, Process.MACHINING]),
    st.sampled_from(["steel", "copper", "light metal", None]),
    st.integers(1, 400),
    st.integers(1, 4000),
    st.integers(1, 4000),
)
def test_a_wider_tolerance_is_never_judged_worse(
    process: Process, metal: str | None, size: int, one: int, other: int
) -> None:
    """Widths in micrometres, without an operation that would make the feature."""
    tight, wide = (
        toleranced(f"{width} um total", f"{size} mm", process, metal=metal).verdict
        for width in sorted((one, other))
    )
    if Verdict.NO_NUMBER in (tight, wide):
        assert tight is wide  # steel in a pressure die: no width has a number
    else:
        assert ORDER.index(wide) <= ORDER.index(tight)


def test_a_metal_that_is_not_known_still_has_its_bores_machined() -> None:
    """No metal in any mould holds H7, so that this needs no name for the metal."""
    assert toleranced("H7", process=Process.SAND_CASTING, metal=None).lacks_machining
    assert toleranced("H7", process=Process.GRAVITY_DIE_CASTING, metal=None).lacks_machining
