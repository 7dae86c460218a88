"""A first folder: whole, clean, yours to write in; and schemas for an editor."""

from __future__ import annotations

import json
import re
from fractions import Fraction
from pathlib import Path

import pytest

from quotegen import starter
from quotegen.intake.folder import read_folder
from quotegen.starter import start_folder, write_schemas
from tests.commands import fingerprints, run

STARTER = Path(__file__).parents[1] / "templates" / "starter"
TAKEN_IN = re.compile(r"^( *)# ([a-z ]+:(?: .*)?|  - .*)$", re.MULTILINE)


def test_the_forms_are_written_as_they_are_shipped(tmp_path: Path) -> None:
    target = tmp_path / "deep" / "workshop"
    written = start_folder(target)
    assert fingerprints(target) == fingerprints(STARTER)
    assert list(written) == sorted(path for path in target.rglob("*") if path.is_file())


def test_there_is_one_form_of_each_kind(tmp_path: Path) -> None:
    start_folder(tmp_path)
    folder = read_folder(tmp_path)
    assert folder.problems == ()
    assert folder.workshop is not None
    assert (len(folder.parts), len(folder.suppliers), len(folder.quotes)) == (1, 2, 2)


def test_every_line_that_may_be_taken_in_says_something_that_can_be_read(tmp_path: Path) -> None:
    """A key after a comment's sign, in small letters; the words that explain begin with more."""
    start_folder(tmp_path)
    taken = 0
    for path in sorted(tmp_path.rglob("*.yaml")):
        text, count = TAKEN_IN.subn(r"\1\2", path.read_text(encoding="utf-8"))
        path.write_text(text, encoding="utf-8")
        taken += count
    assert taken == 15
    folder = read_folder(tmp_path)
    assert folder.problems == ()
    part, (foundry, _) = folder.parts["bracket"].record, folder.quotes
    assert (part.demand.of_month(0), part.shelf_holds, part.late_is_lost) == (0, 60, True)
    assert (str(part.acceptance_quality), part.inspected_by) == ("AQL 1.0", "bench")
    assert [each.share for each in foundry.record.items[0].tools[0].payment] == [Fraction(1, 2)] * 2


@pytest.mark.parametrize("name", ["notes.txt", ".hidden", "parts"])
def test_nothing_is_written_into_a_folder_with_something_in_it(tmp_path: Path, name: str) -> None:
    (tmp_path / name).mkdir() if name == "parts" else (tmp_path / name).touch()
    before = fingerprints(tmp_path)
    assert start_folder(tmp_path) == ()
    assert fingerprints(tmp_path) == before


def test_forms_may_be_written_in_although_the_shipped_ones_may_not(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A package that root installed is read-only to others."""
    shipped = tmp_path / "templates" / "starter" / "parts"
    shipped.mkdir(parents=True)
    form = shipped / "bracket.yaml"
    form.write_text("format: 1\n", encoding="utf-8")
    form.chmod(0o444)
    shipped.chmod(0o555)
    monkeypatch.setattr(starter, "templates_folder", lambda: tmp_path / "templates")
    (written,) = start_folder(tmp_path / "workshop")
    assert written.stat().st_mode & 0o200
    assert written.parent.stat().st_mode & 0o200
    shipped.chmod(0o755)


def test_the_first_folder_goes_all_the_way(tmp_path: Path) -> None:
    """New, then check, compare, report, decide and history, as the README has it."""
    folder = tmp_path / "my-workshop"
    at = ("--folder", folder)
    new = run("new", folder)
    assert new.out.endswith(f"Now fill the forms in, then: quotegen check --folder {folder}\n")
    assert run("check", *at).out == "no errors, no notices\n"
    compared = run("compare", "bracket", *at)
    assert (compared.code, compared.err) == (0, "")
    assert "chosen: Pour the example bracket at Example Foundry." in compared.out
    reported = run("report", *at)
    assert (reported.code, reported.err) == (0, "")
    assert (folder / "site/parts/bracket.html").is_file()
    assert run("decide", "bracket", *at, "--agreed-by", "workshop lead").code == 0
    assert "1,900.00" in compared.out
    assert "workshop lead" in run("history", "bracket", *at).out
    assert run("check", *at).out == "no errors, no notices\n"


def test_a_schema_is_written_for_each_kind_of_form(tmp_path: Path) -> None:
    written = write_schemas(tmp_path / "schemas")
    kinds = [path.name.removesuffix(".schema.json") for path in written]
    assert kinds == sorted(kinds)
    assert {"workshop", "part", "supplier", "quote"} <= set(kinds)
    for path in written:
        schema = json.loads(path.read_text(encoding="utf-8"))
        assert "2020-12" in schema["$schema"]
        assert b"\r" not in path.read_bytes()


def test_schemas_are_written_again_with_the_same_bytes(tmp_path: Path) -> None:
    write_schemas(tmp_path)
    before = fingerprints(tmp_path)
    write_schemas(tmp_path)
    assert fingerprints(tmp_path) == before
