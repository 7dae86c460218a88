"""What the drawing of a raw casting leaves on machined faces."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from quotegen.fit.judging import Making, fit_of
from quotegen.fit.raw_casting import RawFace, raw_faces_of
from quotegen.model.ability import Ability
from quotegen.model.fields import Process
from quotegen.model.part import Part
from tests.folders import a_part

BORE = {"name": "bore", "size": "20 mm", "tolerance": "H8"}


def faces(
    process: Process, metal: str = "steel", held: str = "", **part: Any
) -> tuple[RawFace, ...]:
    form = a_part(**({"envelope": "62 x 40 x 18 mm", "features": [BORE]} | part))
    abilities = (Ability(tolerance=held),) if held else ()
    making = Making(process=process, metal=metal, abilities=abilities)
    record = Part.model_validate(form)
    return raw_faces_of(record, making, fit_of(record, making))


def test_an_investment_casting_leaves_grade_e_and_half_of_grade_nine() -> None:
    """62 mm has 0.4 mm in E; DCTG 9 at 20 mm is 1.7 mm in all."""
    (face,) = faces(Process.INVESTMENT_CASTING)
    assert (face.grade, face.allowance, face.band) == ("E", Fraction("0.4"), Fraction("1.7"))
    assert face.on_face == Fraction("1.25")
    assert face.raw == 20 - Fraction("0.8") - Fraction("0.85")


def test_the_grade_that_a_foundry_states_counts() -> None:
    (face,) = faces(Process.INVESTMENT_CASTING, held="DCTG 5")
    assert face.on_face == Fraction("0.4") + Fraction("0.42") / 2


def test_steel_in_sand_needs_more_where_it_lies_up() -> None:
    (face,) = faces(Process.SAND_CASTING, envelope="168 x 60 x 60 mm")
    assert face.grade == "K"
    assert "6 mm" in face.note
    (iron,) = faces(Process.SAND_CASTING, metal="ductile iron", envelope="168 x 60 x 60 mm")
    assert (iron.grade, iron.note) == ("H", "")


def test_a_cell_on_which_copies_differ_gives_no_figure() -> None:
    """Steel in sand by hand is called for in grade K, which is not sure up to 63 mm."""
    assert faces(Process.SAND_CASTING) == ()


def test_only_machined_features_of_castings_have_raw_faces() -> None:
    assert faces(Process.METAL_PRINTING) == ()
    assert faces(Process.INVESTMENT_CASTING, features=[]) == ()
    assert faces(Process.INVESTMENT_CASTING, envelope=None) == ()
    sole = [{"name": "sole", "size": "18 mm"}]
    (face,) = faces(Process.INVESTMENT_CASTING, features=[], machined_faces=sole)
    assert face.required.name == "sole"
