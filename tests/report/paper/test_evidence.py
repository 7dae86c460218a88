"""A PDF carries every file that its figures come from, as it lies in the folder, and no other."""

from __future__ import annotations

import datetime
import shutil
from pathlib import Path

import pytest

from quotegen.compare.comparison import Comparison
from quotegen.report.paper.evidence import evidence_of
from quotegen.study import study

DEMO = Path(__file__).parents[3] / "quotes_demo"
DAY = datetime.date(2026, 11, 2)


@pytest.fixture(scope="module")
def comparison() -> Comparison:
    """The part with a quote that came as a workbook."""
    return study(DEMO, DAY, only=("fl-021",)).parts["fl-021"].comparison


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return Path(shutil.copytree(DEMO, tmp_path / "workshop"))


def test_quotes_as_received_come_with_their_forms(comparison: Comparison) -> None:
    found, problems = evidence_of(comparison, DEMO)
    told = {each.path: (each.description, each.relationship) for each in found}
    assert problems == ()
    quote = "Quote GG-20371 of Glockengrund Bronzeguss"
    assert told["quotes/glockengrund/gg-20371.xlsx"] == (f"{quote}, as received", "Source")
    assert told["quotes/glockengrund/gg-20371.yaml"] == (f"{quote}, form", "Source")
    assert told["parts/fl-021.yaml"] == ("Part fl-021: what is needed", "Data")
    assert {"workshop.yaml", "suppliers/glockengrund.yaml"} <= told.keys()


def test_they_are_the_files_in_the_folder_in_the_order_of_their_paths(
    comparison: Comparison,
) -> None:
    found, _ = evidence_of(comparison, DEMO)
    assert [each.path for each in found] == sorted(each.path for each in found)
    assert all(each.data == (DEMO / each.path).read_bytes() for each in found)


@pytest.mark.parametrize(("change", "code"), [("gone", "file-missing"), ("link", "file-outside")])
def test_a_file_that_cannot_be_read_any_more_is_told_and_left_out(
    change: str, code: str, comparison: Comparison, folder: Path, tmp_path: Path
) -> None:
    lost = folder / "quotes/glockengrund/gg-20371.xlsx"
    whole = {each.path for each in evidence_of(comparison, folder)[0]}
    lost.unlink()
    if change == "link":
        (tmp_path / "secret").write_bytes(b"secret")
        lost.symlink_to(tmp_path / "secret")
    found, problems = evidence_of(comparison, folder)
    assert [problem.code for problem in problems] == [code]
    assert whole - {each.path for each in found} == {"quotes/glockengrund/gg-20371.xlsx"}
