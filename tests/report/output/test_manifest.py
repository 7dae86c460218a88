"""A manifest that was edited, torn or is not ours is refused, and never a crash."""

from __future__ import annotations

import hashlib
import json
import tempfile
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotegen.report.output.manifest import (
    NAME,
    Made,
    Manifest,
    NotBelieved,
    is_site_path,
    manifest_bytes,
    read_manifest,
)

SUM = "0" * 64
FILES = {"parts/a.html": Made(sha256=SUM, key=""), "parts/a.pdf": Made(sha256=None, key="1" * 64)}
MANIFEST = Manifest(files=FILES, whole="2" * 64)


def _sealed(files: object) -> str:
    """A manifest whose seal is right: a seal is no secret."""
    seal = hashlib.sha256(json.dumps([files, ""], sort_keys=True).encode()).hexdigest()
    return json.dumps({"format": 1, "files": files, "whole": "", "seal": seal})


def test_a_manifest_comes_back_as_it_was_written(tmp_path: Path) -> None:
    (tmp_path / NAME).write_bytes(manifest_bytes(MANIFEST))
    assert read_manifest(tmp_path) == MANIFEST


def test_the_bytes_do_not_depend_on_the_order_of_writing() -> None:
    assert manifest_bytes(MANIFEST) == manifest_bytes(
        Manifest(files=dict(reversed(FILES.items())), whole=MANIFEST.whole)
    )


def test_no_manifest_means_that_nothing_is_ours(tmp_path: Path) -> None:
    assert read_manifest(tmp_path) == Manifest(files={})


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "it is not JSON"),
        ("{", "it is not JSON"),
        ("\0\xff", "it is not JSON"),
        ("[" * 100_000, "it is not JSON"),
        ("[]", "it has another format"),
        ('{"format": 2}', "it has another format"),
        ('{"format": 1}', "it was changed after it was written"),
        ('{"format": 1, "files": []}', "it was changed after it was written"),
        ('{"format": 1, "files": {}, "seal": 3}', "it was changed after it was written"),
        (
            manifest_bytes(MANIFEST).decode().replace("a.html", "b.html"),
            "it was changed after it was written",
        ),
        (
            manifest_bytes(MANIFEST).decode().replace("2222", "3333"),
            "it was changed after it was written",
        ),
        (manifest_bytes(MANIFEST).decode()[:-40], "it is not JSON"),
        (_sealed({"../a": {"sha256": SUM, "key": ""}}), "'../a' is no path of a site"),
        (_sealed({"/etc/passwd": {"sha256": SUM, "key": ""}}), "'/etc/passwd' is no path of"),
        (_sealed({NAME: {"sha256": SUM, "key": ""}}), f"'{NAME}' is no path of a site"),
        (_sealed({"a.css": None}), "the line of a.css is not as written"),
        (_sealed({"a.css": {"sha256": SUM}}), "the line of a.css is not as written"),
        (_sealed({"a.css": {"sha256": "x", "key": ""}}), "the line of a.css is not as written"),
        (_sealed({"a.css": {"sha256": 3, "key": ""}}), "the line of a.css is not as written"),
        (_sealed({"a.css": {"sha256": SUM, "key": ["x"]}}), "the line of a.css is not as written"),
    ],
)
def test_a_manifest_that_is_not_as_written_is_refused(text: str, why: str, tmp_path: Path) -> None:
    (tmp_path / NAME).write_text(text, encoding="utf-8")
    with pytest.raises(NotBelieved) as refused:
        read_manifest(tmp_path)
    assert str(refused.value).startswith(why)


def test_a_manifest_that_is_a_folder_or_a_link_is_refused(tmp_path: Path) -> None:
    (tmp_path / "one").mkdir()
    (tmp_path / "one" / NAME).mkdir()
    (tmp_path / "two").mkdir()
    (tmp_path / "two" / NAME).symlink_to(tmp_path / "nowhere")
    for folder in ("one", "two"):
        with pytest.raises(NotBelieved, match="it is not a plain file"):
            read_manifest(tmp_path / folder)


@given(st.binary(max_size=200))
def test_no_bytes_crash_the_reader(data: bytes) -> None:
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / NAME).write_bytes(data)
        with pytest.raises(NotBelieved):
            read_manifest(Path(folder))


@pytest.mark.parametrize(
    "path",
    [
        "",
        "/a",
        "a/",
        "a//b",
        ".",
        "..",
        "../a",
        "a/../b",
        "a/./b",
        "a..b",
        ".hidden",
        "a\\b",
        "a\nb",
        "a b",
        "a\0",
        "c:a",
        "~",
        NAME,
        "a/b/c/d/e/f",
        "a" * 201,
    ],
)
def test_a_path_that_could_lead_out_is_none_of_a_site(path: str) -> None:
    assert not is_site_path(path)


@pytest.mark.parametrize(
    "path", ["quotes.yaml", "README.md", "notes.txt", "parts/p", "assets/fonts/x.yaml", "x.MD"]
)
def test_no_file_that_a_person_writes_by_hand_is_one_of_a_site(path: str) -> None:
    """A manifest whose seal is right could otherwise have the workshop's forms removed."""
    assert not is_site_path(path)


@pytest.mark.parametrize(
    "path", ["index.html", "parts/fl-014-brief.pdf", "a/b/c.d_e.csv", "assets/fonts/LICENCE.md"]
)
def test_a_plain_path_is_one_of_a_site(path: str) -> None:
    assert is_site_path(path)
