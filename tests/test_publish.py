"""From a folder to its report on the disk: what is told, what is written, what is let alone."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from pathlib import Path

import pytest

from quotegen.publish import Published, publish
from tests.commands import a_choice, fingerprints, rewritten
from tests.folders import written

DAY = datetime.date(2026, 11, 2)
CLOCK = datetime.date(2030, 1, 7)
BROKEN = "quotes/mill/mill-2.yaml"


@dataclass(frozen=True, kw_only=True)
class Told:
    """A published folder: the folder, the target, the result and the steps that were shown."""

    folder: Path
    target: Path
    result: Published
    steps: tuple[tuple[int, int, str], ...]


def _publish(folder: Path, target: Path, today: datetime.date | None = DAY) -> Told:
    steps: list[tuple[int, int, str]] = []
    result = publish(folder, target, today, CLOCK, lambda *step: steps.append(step))
    return Told(folder=folder, target=target, result=result, steps=tuple(steps))


@pytest.fixture(scope="module")
def first(tmp_path_factory: pytest.TempPathFactory) -> Told:
    """A folder with one part; one of its two quotes is broken, and so is another part."""
    folder = written(a_choice(), tmp_path_factory.mktemp("first") / "workshop")
    rewritten(folder / BROKEN, "10 EUR per 1", "TBC")
    (folder / "parts/q.yaml").write_text("format: 1\nname: Ratchet\n", encoding="utf-8")
    return _publish(folder, folder / "site")


def test_the_sound_part_is_reported_and_every_problem_is_told(first: Told) -> None:
    codes = {each.code for each in first.result.problems}
    assert {"price-open", "missing-field"} <= codes
    page = (first.target / "parts/p.html").read_text(encoding="utf-8")
    assert "Foss Castings" in page
    assert not (first.target / "parts/q.html").exists()
    assert (first.target / "parts/p-brief.pdf").read_bytes().startswith(b"%PDF-")


def test_the_pages_show_the_problems_of_the_files(first: Told) -> None:
    page = (first.target / "problems.html").read_text(encoding="utf-8")
    assert "price-open" in page
    assert BROKEN in page


def test_what_was_done_is_told_in_one_line(first: Told) -> None:
    count = len([path for path in first.target.rglob("*") if path.is_file()])
    (line,) = first.result.told
    assert line.startswith(f"{first.target / 'index.html'}: ")
    assert line.endswith(" files written, 0 as they were, 0 removed")
    told = int(line.split(": ")[1].split(" ")[0])
    assert 0 <= count - told <= 2  # the list of the files itself, and a lock


def test_progress_counts_up_to_the_last_file(first: Told) -> None:
    done = [step[0] for step in first.steps]
    assert done == list(range(1, len(done) + 1))
    assert {step[1] for step in first.steps} == {len(done)}
    assert first.steps[-1][0] == first.steps[-1][1]


def test_a_second_report_of_the_same_files_writes_none(first: Told) -> None:
    before = fingerprints(first.target)
    again = _publish(first.folder, first.target)
    assert " 0 files written, " in again.result.told[0]
    assert again.result.problems == first.result.problems
    assert fingerprints(first.target) == before


def test_a_page_of_somebody_else_is_told_and_stays(tmp_path: Path) -> None:
    folder = written(a_choice(), tmp_path / "workshop")
    target = tmp_path / "www"
    target.mkdir()
    (target / "index.html").write_text("mine\n", encoding="utf-8")
    (target / "holiday.jpg").write_bytes(b"picture")
    result = _publish(folder, target).result
    foreign = [each for each in result.problems if each.code == "site-file-foreign"]
    assert [str(each.place) for each in foreign] == [str(target / "index.html")]
    assert (target / "index.html").read_text(encoding="utf-8") == "mine\n"
    assert (target / "holiday.jpg").read_bytes() == b"picture"
    assert (target / "parts/p.html").is_file()


def test_a_report_bears_the_day_that_was_asked_for_and_touches_nothing_else(
    tmp_path: Path,
) -> None:
    folder = written(a_choice(), tmp_path)
    before = fingerprints(folder)
    _publish(folder, folder / "site", datetime.date(2026, 12, 24))
    page = (folder / "site/index.html").read_text(encoding="utf-8")
    assert "2026-12-24" in page
    assert "2030-01-07" not in page
    after = fingerprints(folder)
    assert {name: after[name] for name in after if name.split("/")[0] != "site"} == before
