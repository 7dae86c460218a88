"""Bringing files in by the command line, our own answered request among them."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from tests.asking.forms import READ, filled
from tests.commands import run
from tests.taking.drafts import PLAIN, SUPPLIER, a_folder, codes


def test_an_answered_request_becomes_a_quote_with_no_question(tmp_path: Path) -> None:
    """Every value of the form stands in the quote as it was filled in."""
    folder = a_folder(tmp_path, parts=("p",))
    file = tmp_path / "answer.xlsx"
    file.write_bytes(filled())
    ran = run("take", file, "--folder", folder, "--supplier", SUPPLIER, "--no-input")
    assert ran.code == 0, ran.out + ran.err
    form = folder / "quotes" / SUPPLIER / "answer.yaml"
    said = yaml.load(form.read_text(encoding="utf-8"), yaml.BaseLoader)  # noqa: S506
    del said["taken"]
    assert said == READ
    assert not [code for code in codes(folder) if code == "question-open"]


@pytest.mark.parametrize(
    ("content", "code", "words"),
    [
        (PLAIN, 0, "7 facts, 0 open questions"),
        (PLAIN + "Set-up 48,00 EUR;\n", 1, "open: items 1, charges (q.csv:7:1): "),
        ("\0\0\0", 1, "file-kind"),
    ],
)
def test_the_exit_code_says_whether_something_is_open(
    content: str, code: int, words: str, tmp_path: Path
) -> None:
    folder = a_folder(tmp_path)
    file = tmp_path / "q.csv"
    file.write_text(content, encoding="utf-8")
    ran = run("take", file, "--folder", folder, "--supplier", SUPPLIER, "--no-input")
    assert ran.code == code, ran.out + ran.err
    assert words in ran.out + ran.err


def test_a_file_that_is_not_there_is_misuse(tmp_path: Path) -> None:
    ran = run("take", tmp_path / "none.csv", "--folder", a_folder(tmp_path))
    assert ran.code == 2
    assert "there is no file" in ran.err
