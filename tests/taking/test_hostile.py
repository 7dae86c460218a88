"""Hostile files, each in a child process with little memory and time: refused, or harmless."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
import yaml

from quotegen.intake.files import is_name
from tests.taking.bombs import BOMBS, FORMS, LINE, mail, quotation
from tests.taking.drafts import SUPPLIER, a_folder
from tests.taking.limited import Ended, limited


def taken(folder: Path, name: str, data: bytes) -> Ended:
    file = folder / "quotes" / SUPPLIER / name
    file.write_bytes(data)
    return limited("take", str(file), "--folder", str(folder), "--no-input")


@pytest.mark.parametrize("name", BOMBS)
def test_a_bomb_ends_soon_with_a_message_or_a_question(name: str, tmp_path: Path) -> None:
    """One GiB and 20 seconds of processor: neither is reached, and nothing ends in a traceback."""
    ran = taken(a_folder(tmp_path), name, BOMBS[name]())
    assert ran.returncode == 1, (ran.returncode, ran.stdout[-300:], ran.stderr[-600:])
    assert "Traceback" not in ran.stderr
    assert "MemoryError" not in ran.stderr


@pytest.mark.parametrize("name", FORMS)
def test_a_form_made_to_harm_is_refused(name: str, tmp_path: Path) -> None:
    """Under the same limits, as one that is brought in and as a form of a supplier."""
    folder = a_folder(tmp_path / "shop")
    file = tmp_path / name
    file.write_bytes(FORMS[name]())
    words = ("--supplier", SUPPLIER, "--folder", str(folder), "--no-input")
    taken_in = limited("take", str(file), *words)
    file.rename(folder / "quotes" / SUPPLIER / name)
    checked = limited("check", "--folder", str(folder))
    for ran in (taken_in, checked):
        assert ran.returncode == 1, (ran.returncode, ran.stderr[-600:])
        assert "Traceback" not in ran.stderr
    assert f"quotes/{SUPPLIER}/{name}" in checked.stdout


HOSTILE = """\
Quotation <script>alert(1)</script> Q-1;Date 2026-10-01
Drawing FL-021;"=HYPERLINK(""http://evil.test"")"
Qty;Price each EUR
50;17,40
100;16,95
\x1b[2J\u202emalicious;{jndi:ldap}
note: &anchor *alias !!python/object;- x: y
"""


def test_hostile_text_is_only_text_in_the_form(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    ran = taken(folder, "q-1.csv", HOSTILE.encode())
    assert "\x1b" not in ran.stdout + ran.stderr
    text = (folder / "quotes" / SUPPLIER / "q-1.yaml").read_text(encoding="utf-8")
    assert "\x1b" not in text
    assert "\u202e" not in text
    form = yaml.safe_load(text)
    assert any("&anchor *alias !!python/object" in note for note in form["notes"])


def test_a_link_out_of_the_folder_is_not_followed_by_a_name(tmp_path: Path) -> None:
    """A name with `..` or a slash never becomes a path."""
    folder = a_folder(tmp_path)
    form = folder / "quotes" / SUPPLIER / "q.yaml"
    form.write_text(
        "format: 1\nquote: q\ndate: 2026-10-01\ncurrency: EUR\nitems: []\n"
        "taken: {file: ../../../../etc/passwd, file sha256: x, draft sha256: x}\n",
        encoding="utf-8",
    )
    child = [sys.executable, "-m", "quotegen", "check", "--folder", str(folder)]
    ran = subprocess.run(child, capture_output=True, text=True, check=False)
    assert "file-outside" in ran.stdout


NAMES = (
    "a\nb.csv", "\x1b[31mred.csv", "-rf.csv", "--help.csv", "$(echo taken).csv", "con.csv",
    "..csv", ".hidden.csv", "\u202egpj.csv", "'\"<script>.csv", "=1+1.csv", "x" * 240 + ".csv",
)  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_the_name_of_a_file_is_only_a_name(name: str, tmp_path: Path) -> None:
    """Nothing is written but one form beside it, by a name of ours; no mark reaches the screen."""
    folder = a_folder(tmp_path)
    here = folder / "quotes" / SUPPLIER
    ran = taken(folder, name, b"Quantity;Price each EUR\n50;17,40\n100;16,95\n")
    assert ran.returncode in (1, 2)
    assert "Traceback" not in ran.stderr
    assert not {"\x1b", "\u202e"} & set(ran.stdout + ran.stderr)
    made = {path.name for path in here.iterdir()} - {name}
    assert len(made) <= 1
    assert all(is_name(Path(each).stem) and each.endswith(".yaml") for each in made)


WAYS = ("../../evil", "/etc/passwd", "..\\..\\evil", "a/../../b", "evil\n", "~/evil")


@pytest.mark.parametrize("way", WAYS)
def test_no_number_part_or_attachment_leads_out_of_the_folder(way: str, tmp_path: Path) -> None:
    folder = a_folder(tmp_path / "inside")
    line = LINE.replace("P#", way).replace("#", "7")
    named = {"q.xml": quotation(line).replace(b"Q-1", way.encode()), "q.eml": _mailed(way)}
    for name, data in named.items():
        ran = taken(folder, name, data)
        assert "Traceback" not in ran.stderr
    assert {path.name for path in tmp_path.iterdir()} == {"inside"}
    made = {path.name for path in (folder / "quotes" / SUPPLIER).iterdir()}
    assert made <= {"q.xml", "q.eml", "q.yaml"}


def _mailed(way: str) -> bytes:
    body = b'--b\nContent-Type: text/csv; name="%b"\nContent-Disposition: attachment;'
    body += b' filename="%b"\n\n1;2\n--b--\n'
    shown = way.replace("\n", " ").encode() + b".csv"
    return mail(body % (shown, shown), Content_Type='multipart/mixed; boundary="b"')
