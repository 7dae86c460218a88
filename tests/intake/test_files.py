"""Reading bytes under limits: names, links, sizes and kinds."""

from __future__ import annotations

import hashlib
import os
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotegen.intake.files import FORM_BYTES, NAME, Refused, is_name, printable, read_file

RECORD = "The part pawl"


@pytest.mark.parametrize(
    "name", ["pawl", "fl-014", "a", "0", "a.b", "a_b", "x" * 64, "console", "com", "com10"]
)
def test_plain_names_are_names(name: str) -> None:
    """Windows naming rules of its file system documentation, from memory."""
    assert is_name(name)


@pytest.mark.parametrize(
    "name",
    [
        "",
        "..",
        ".",
        "a..b",
        "../pawl",
        "a/b",
        "a\\b",
        "/etc/passwd",
        "Pawl",
        "pawl ",
        "-pawl",
        "pawl.",
        "pawl\n",
        "pa\0wl",
        "pähl",
        "x" * 65,
        "con",
        "con.v2",
        "nul",
        "com1",
        "lpt9.old",
    ],
)
def test_what_could_lead_elsewhere_is_no_name(name: str) -> None:
    """Windows naming rules of its file system documentation, from memory."""
    assert not is_name(name)


@given(st.text(alphabet="ab./\\-_ \n\0", max_size=8))
def test_a_name_never_leaves_its_folder(name: str) -> None:
    """No source: a name below a folder stands directly in it."""
    if is_name(name):
        assert Path("/base", name).resolve().parent == Path("/base")


@given(st.from_regex(NAME, fullmatch=True))
def test_a_name_is_short(name: str) -> None:
    """No source: 64 characters at most."""
    assert len(name) <= 64


def test_a_file_is_read_with_the_hash_of_its_bytes(tmp_path: Path) -> None:
    """FIPS 180-4 by hashlib."""
    (tmp_path / "a.yaml").write_bytes(b"one\r\n")
    raw = read_file(tmp_path, "a.yaml", most=100, record=RECORD)
    assert (raw.path, raw.data) == ("a.yaml", b"one\r\n")
    assert raw.sha256 == hashlib.sha256(b"one\r\n").hexdigest()


def _refusal(folder: Path, path: str, most: int = FORM_BYTES) -> str:
    with pytest.raises(Refused) as refused:
        read_file(folder, path, most=most, record=RECORD)
    problem = refused.value.problem
    return f"{problem.place} {problem.code}: {problem.message}"


def test_a_file_may_be_as_large_as_the_limit_and_no_larger(tmp_path: Path) -> None:
    """No source: the limit itself is allowed."""
    (tmp_path / "a").write_bytes(b"x" * 10)
    assert len(read_file(tmp_path, "a", most=10, record=RECORD).data) == 10
    expected = "a file-too-large: The file has 10 bytes; at most 9 are read."
    assert _refusal(tmp_path, "a", most=9) == expected


def test_an_empty_file_is_told(tmp_path: Path) -> None:
    """No source: blanks alone are nothing."""
    (tmp_path / "a").write_bytes(b" \n\t\n")
    assert _refusal(tmp_path, "a") == "a file-empty: The file is empty."


def test_a_missing_file_is_told(tmp_path: Path) -> None:
    """No source."""
    assert _refusal(tmp_path, "a") == "a file-missing: file: there is no file 'a'."


def test_a_folder_in_place_of_a_file_is_told(tmp_path: Path) -> None:
    """No source."""
    (tmp_path / "a").mkdir()
    expected = "a file-kind: The file is not what its name says: expected a file, found a folder."
    assert _refusal(tmp_path, "a") == expected


def test_a_pipe_is_told_and_does_not_hang(tmp_path: Path) -> None:
    """No source: opening a pipe that nobody writes to would wait for ever."""
    os.mkfifo(tmp_path / "a")
    expected = "a file-kind: The file is not what its name says: expected a file, found a device."
    assert _refusal(tmp_path, "a") == expected


@pytest.mark.parametrize("path", ["../secret", "link", "linked/secret"])
def test_nothing_outside_the_folder_is_read(tmp_path: Path, path: str) -> None:
    """No source: by a way up, by a link to a file and by a link to a folder."""
    (tmp_path / "secret").write_text("secret")
    folder = tmp_path / "folder"
    folder.mkdir()
    (folder / "link").symlink_to(tmp_path / "secret")
    (folder / "linked").symlink_to(tmp_path)
    expected = f"{path} file-outside: file: '{path}' leads out of the workshop folder."
    assert _refusal(folder, path) == expected


def test_a_link_inside_the_folder_is_followed(tmp_path: Path) -> None:
    """No source."""
    (tmp_path / "real").write_text("here")
    (tmp_path / "link").symlink_to("real")
    assert read_file(tmp_path, "link", most=10, record=RECORD).data == b"here"


def test_links_in_a_circle_are_a_missing_file(tmp_path: Path) -> None:
    """No source."""
    (tmp_path / "a").symlink_to("b")
    (tmp_path / "b").symlink_to("a")
    assert _refusal(tmp_path, "a") == "a file-missing: file: there is no file 'a'."


def test_a_file_that_may_not_be_read_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No source: root may read everything, so the refusal is played."""
    (tmp_path / "a").write_text("x")

    def refuse(*_: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)
    expected = "a file-unreadable: The file cannot be read: Permission denied."
    assert _refusal(tmp_path, "a") == expected


def test_what_cannot_be_shown_is_replaced() -> None:
    """No source: a line end in a name would forge a line of output."""
    assert printable("a\nb\x1b[31m\udcff") == "a�b�[31m�"
