"""Records are read as they were written; every touch, gap and fork is told, none repaired."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from quotegen.intake.decisions import read_decisions
from quotegen.intake.record_file import fingerprint_of, rendered

NO_HASH = "sha256:" + "0" * 64


@pytest.fixture
def root(tmp_path: Path) -> Path:
    for part in ("pawl", "dog"):
        (tmp_path / "parts").mkdir(exist_ok=True)
        (tmp_path / f"parts/{part}.yaml").write_text("format: 1\n", encoding="utf-8")
    return tmp_path


def _tree(number: int, follows: str, **changes: Any) -> dict[str, Any]:
    tree = {
        "format": "1",
        "part": "pawl",
        "number": str(number),
        "state": "decided",
        "decided on": "2026-11-02",
        "agreed by": "workshop lead",
        "outcome": "chosen",
        "route": ["hall/M-1"],
        "quantity": "180",
        "currency": "EUR",
        "total": "3528.01 EUR",
        "reopen if": [
            {
                "kind": "quote expires",
                "about": "hall/M-1",
                "value": "2026-12-31",
                "text": "Quote M-1 can be signed until 2026-12-31.",
            }
        ],
        "files": {"parts/pawl.yaml": NO_HASH},
        "tool version": "0.1.0",
        "previous": follows,
    }
    return tree | {key.replace("_", " "): value for key, value in changes.items()}


def _put(
    root: Path,
    number: int,
    follows: str,
    *,
    part: str = "pawl",
    body: str = "Why.",
    **changes: Any,
) -> str:
    """Write a record whose fingerprint fits, and return it."""
    tree = _tree(number, follows, **{"part": part, **changes})
    fingerprint = fingerprint_of(tree, body)
    path = root / f"decisions/{part}/{number:04d}.md"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(rendered(tree | {"fingerprint": fingerprint}, body), encoding="utf-8")
    return fingerprint


def _chain(root: Path, length: int) -> list[str]:
    found = ["none"]
    for number in range(1, length + 1):
        found.append(_put(root, number, found[-1]))
    return found


def _path(root: Path, number: int = 1) -> Path:
    return root / f"decisions/pawl/{number:04d}.md"


def _codes(root: Path) -> list[str]:
    return [problem.code for problem in read_decisions(root)[1]]


def _told(root: Path) -> list[str]:
    return [f"{each.place}: {each.code}: {each.message}" for each in read_decisions(root)[1]]


def test_a_folder_without_decisions_has_none(root: Path) -> None:
    assert read_decisions(root) == ((), ())


def test_a_sound_chain_is_read_in_order_with_its_places(root: Path) -> None:
    hashes = _chain(root, 3)
    decisions, problems = read_decisions(root)
    assert problems == ()
    assert [each.number for each in decisions] == [1, 2, 3]
    assert [each.fingerprint for each in decisions] == hashes[1:]
    assert [each.previous for each in decisions] == [None, *hashes[1:3]]
    assert all(each.intact for each in decisions)
    assert str(decisions[2].places.of("total")) == "decisions/pawl/0003.md:13:8"


def test_parts_have_their_own_chains_and_one_can_be_read_alone(root: Path) -> None:
    _chain(root, 2)
    _put(root, 1, "none", part="dog")
    assert [(each.part, each.number) for each in read_decisions(root)[0]] == [
        ("dog", 1),
        ("pawl", 1),
        ("pawl", 2),
    ]
    assert [each.part for each in read_decisions(root, only="dog")[0]] == ["dog"]


def test_reading_changes_nothing_on_disk(root: Path) -> None:
    _chain(root, 2)
    _path(root, 3).write_text("torn", encoding="utf-8")
    (root / "decisions/pawl/.0004.77.tmp").write_text("left over", encoding="utf-8")
    before = {path: path.read_bytes() for path in root.rglob("*") if path.is_file()}
    read_decisions(root)
    assert {path: path.read_bytes() for path in root.rglob("*") if path.is_file()} == before


def test_hidden_files_are_no_records_and_no_problem(root: Path) -> None:
    _chain(root, 1)
    (root / "decisions/.lock").touch()
    (root / "decisions/Thumbs.db").touch()
    (root / "decisions/pawl/desktop.ini").touch()
    (root / "decisions/pawl/.0002.77.tmp").write_text("left over", encoding="utf-8")
    assert _codes(root) == []


def test_one_byte_changed_in_any_line_is_told(root: Path) -> None:
    _put(root, 1, "none", body="The die pays back.\n\n---\n\nIt does.")
    path = _path(root)
    sound = path.read_bytes()
    starts = [0] + [at + 1 for at, byte in enumerate(sound[:-1]) if byte == 0x0A]
    for start in starts:
        for byte in (sound[start] ^ 0x01, 0x20, 0x23, 0xFF):
            if byte != sound[start]:
                path.write_bytes(sound[:start] + bytes([byte]) + sound[start + 1 :])
                assert _codes(root), (sound[start : start + 30], byte)
    path.write_bytes(sound)
    assert _codes(root) == []


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("3528.01", "2528.01"),
        ("Why.", "Why?"),
        ("Why.\n", "Why.\n\n"),
        ("Why.\n", "Why."),
        ("decided\n", "decided  # on second thoughts\n"),
        ("part: pawl", 'part: "pawl"'),
        ("outcome: chosen\nroute:", "outcome: chosen\n\nroute:"),
        ("tool version", "assumptions: []\ntool version"),
    ],
)
def test_an_edit_is_told_and_the_record_is_kept_and_marked(root: Path, old: str, new: str) -> None:
    _put(root, 1, "none")
    text = _path(root).read_text(encoding="utf-8")
    assert old in text
    _path(root).write_text(text.replace(old, new, 1), encoding="utf-8")
    (decision,), problems = read_decisions(root)
    assert [problem.code for problem in problems] == ["record-edited"]
    assert decision.intact is False


def test_an_edit_is_told_with_both_fingerprints_and_a_remedy(root: Path) -> None:
    stated = _put(root, 1, "none")
    text = _path(root).read_text(encoding="utf-8")
    _path(root).write_text(text.replace("3528.01", "2528.01"), encoding="utf-8")
    found = fingerprint_of(_tree(1, "none", total="2528.01 EUR"), "Why.")
    (problem,) = read_decisions(root)[1]
    assert str(problem.place) == "decisions/pawl/0001.md:23:14"
    assert f"expected {found}" in problem.message
    assert f"found '{stated}'" in problem.message
    assert "git or a backup" in problem.remedy


def test_line_ends_of_another_system_are_no_edit(root: Path) -> None:
    _put(root, 1, "none", body="One.\n\nTwo.")
    data = _path(root).read_bytes()
    _path(root).write_bytes(b"\xef\xbb\xbf" + data.replace(b"\n", b"\r\n"))
    (decision,), problems = read_decisions(root)
    assert problems == ()
    assert decision.reasons == "One.\n\nTwo."


def test_a_letter_taken_apart_on_the_way_is_no_edit(root: Path) -> None:
    _put(root, 1, "none", body="Caf\u00e9.")
    text = _path(root).read_text(encoding="utf-8")
    _path(root).write_text(text.replace("\u00e9", "e\u0301"), encoding="utf-8")
    assert _codes(root) == []


@pytest.mark.parametrize(
    ("missing", "told"),
    [
        (
            [1],
            [
                (
                    "decisions/pawl/0002.md: record-gap: 0001: missing among the records of pawl; "
                    "expected every number from 0001 on."
                )
            ],
        ),
        (
            [2, 3],
            [
                (
                    "decisions/pawl/0004.md: record-gap: 0002 to 0003: missing among the records "
                    "of pawl; expected every number from 0001 on."
                )
            ],
        ),
        ([4], []),
    ],
)
def test_a_gap_in_the_numbers_is_told_once(root: Path, missing: list[int], told: list[str]) -> None:
    """Whether the last record was removed cannot be seen from the others."""
    _chain(root, 4)
    for number in missing:
        _path(root, number).unlink()
    assert _told(root) == told


def test_two_records_that_follow_the_same_one_are_told(root: Path) -> None:
    hashes = _chain(root, 2)
    third = _put(root, 3, hashes[1], agreed_by="partner")
    _put(root, 4, third)
    assert _told(root) == [
        (
            "decisions/pawl/0003.md:22:11: record-fork: previous: the same as in 0002.md; "
            "two records follow the same one."
        )
    ]
    assert [each.number for each in read_decisions(root)[0]] == [1, 2, 3, 4]


def test_two_first_records_are_a_fork(root: Path) -> None:
    _chain(root, 1)
    _put(root, 2, "none", agreed_by="partner")
    assert _codes(root) == ["record-fork"]


def test_a_record_that_follows_nothing_known_is_told(root: Path) -> None:
    _chain(root, 1)
    _put(root, 2, NO_HASH)
    assert _told(root) == [
        (
            f"decisions/pawl/0002.md:22:11: record-follows-nothing: previous: '{NO_HASH}' is not "
            "the fingerprint of 0001.md."
        )
    ]


def test_a_first_record_that_follows_another_is_told(root: Path) -> None:
    _put(root, 1, NO_HASH)
    assert _codes(root) == ["record-follows-nothing"]


def test_an_edit_that_brings_its_fingerprint_along_breaks_the_chain(root: Path) -> None:
    _chain(root, 2)
    _put(root, 1, "none", total="1.00 EUR")
    assert [(each.code, each.place.path) for each in read_decisions(root)[1]] == [
        ("record-follows-nothing", "decisions/pawl/0002.md")
    ]


def test_an_edited_record_is_one_problem_and_not_also_one_of_the_next(root: Path) -> None:
    _chain(root, 2)
    text = _path(root, 1).read_text(encoding="utf-8")
    _path(root, 1).write_text(text.replace("Why.", "Why not."), encoding="utf-8")
    assert _codes(root) == ["record-edited"]


@pytest.mark.parametrize(
    ("data", "codes"),
    [
        (b"", ["file-empty"]),
        (b"Because.\n", ["record-front-missing"]),
        (b"---\nformat: 1\nBecause.\n", ["record-front-missing"]),
        (b"---\nformat: [1\n---\n\nWhy.\n", ["yaml-broken"]),
        (b"---\n- 1\n---\n\nWhy.\n", ["not-a-form"]),
        (b"---\n---\n\nWhy.\n", ["not-a-form"]),
        (b"---\nformat: &a 1\npart: *a\n---\n\nWhy.\n", ["yaml-alias"]),
        (b"---\nformat: !!python/name:os.system 1\n---\n\nWhy.\n", ["yaml-alias"]),
        (b'---\nformat: "\\ud800"\n---\n\nWhy.\n', ["yaml-broken"]),
        (b"---\nfiles: " + b"[" * 20 + b"]" * 20 + b"\n---\n\nWhy.\n", ["yaml-too-deep"]),
        (b"---\nfiles: " + b"[" * 5000 + b"\n---\n\nWhy.\n", ["yaml-broken"]),
        (b"---\nformat: 1\n---\n\n\xff\n", ["file-not-text"]),
        (b"\x89PNG\r\n", ["record-front-missing"]),
        (b"---\n" + b"a: 1\n" * 300_000 + b"---\n", ["file-too-large"]),
    ],
    ids=lambda value: repr(value)[:30],
)
def test_what_cannot_be_read_is_told_and_left_out(
    root: Path, data: bytes, codes: list[str]
) -> None:
    _chain(root, 3)
    _path(root, 2).write_bytes(data)
    decisions, problems = read_decisions(root)
    assert [problem.code for problem in problems] == codes
    assert {problem.place.path for problem in problems} == {"decisions/pawl/0002.md"}
    assert [each.number for each in decisions] == [1, 3]


def test_the_place_of_a_bad_byte_is_its_line(root: Path) -> None:
    _chain(root, 1)
    data = _path(root).read_bytes()
    _path(root).write_bytes(data.replace(b"Why.", b"Because\nwh\xff."))
    line = data[: data.index(b"Why.")].count(b"\n") + 2
    assert [str(each.place) for each in read_decisions(root)[1]] == [
        f"decisions/pawl/0001.md:{line}:1"
    ]


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"decided on": "soon"}, "not-a-date"),
        ({"total": "3528"}, "not-money"),
        ({"state": "settled"}, "wrong-value"),
        ({"state": "reopened"}, "wrong-value"),
        ({"quantity": "many"}, "not-a-number"),
        ({"colour": "red"}, "unknown-key"),
        ({"previous": "sha256:12"}, "wrong-value"),
        ({"files": {"parts/pawl.yaml": "12"}}, "wrong-value"),
        ({"runner up costs more": "12 apples"}, "not-money"),
        ({"runner up costs more": ["1 EUR"]}, "wrong-value"),
        ({"reopen if": [{"kind": "moon", "about": "x", "text": "y"}]}, "wrong-value"),
    ],
    ids=lambda value: str(value)[:40],
)
def test_a_fact_that_does_not_fit_is_told_and_the_record_left_out(
    root: Path, changes: dict[str, Any], code: str
) -> None:
    """Its fingerprint fits, so the only problem is the value."""
    _put(root, 1, "none", **{key.replace(" ", "_"): value for key, value in changes.items()})
    decisions, problems = read_decisions(root)
    assert [problem.code for problem in problems] == [code]
    assert decisions == ()


def test_a_later_format_is_not_called_an_edit(root: Path) -> None:
    _put(root, 1, "none")
    text = _path(root).read_text(encoding="utf-8")
    _path(root).write_text(text.replace("format: 1", "format: 2"), encoding="utf-8")
    assert _codes(root) == ["format-unknown"]


def test_a_record_that_was_renamed_no_longer_agrees_with_its_place(root: Path) -> None:
    _chain(root, 1)
    _path(root, 1).rename(_path(root, 2))
    assert _told(root) == [
        (
            "decisions/pawl/0002.md: record-gap: 0001: missing among the records of pawl; "
            "expected every number from 0001 on."
        ),
        (
            "decisions/pawl/0002.md:4:9: record-misplaced: number: the record says '1', its place "
            "in the folder says '2'."
        ),
    ]


def test_a_record_of_another_part_is_told(root: Path) -> None:
    _put(root, 1, "none")
    (root / "decisions/dog").mkdir()
    _path(root).rename(root / "decisions/dog/0001.md")
    assert _codes(root) == ["record-misplaced"]


@pytest.mark.parametrize(
    "name",
    ["notes.md", "1.md", "00001.md", "0001.txt", "0001.md.bak", "0000.md", "-001.md", "٠٠٠٢.md"],
)
def test_a_file_whose_name_is_no_number_is_told(root: Path, name: str) -> None:
    _chain(root, 1)
    (root / "decisions/pawl" / name).write_text("remarks", encoding="utf-8")
    assert [(each.code, each.place.path) for each in read_decisions(root)[1]] == [
        ("record-name", f"decisions/pawl/{name}")
    ]


def test_a_name_that_cannot_be_printed_is_told(root: Path) -> None:
    _chain(root, 1)
    (root / "decisions/pawl" / "\udcff\x1b[2J.md").write_text("remarks", encoding="utf-8")
    (told,) = _told(root)
    assert "\x1b" not in told
    assert "\udcff" not in told


def test_a_folder_of_a_part_that_does_not_exist_is_told_with_the_nearest_name(root: Path) -> None:
    _chain(root, 1)
    (root / "decisions/pawl").rename(root / "decisions/pawls")
    decisions, problems = read_decisions(root)
    assert decisions == ()
    assert [f"{each.place}: {each.message}" for each in problems] == [
        (
            "decisions/pawls: part: there are records for 'pawls', but no such part; "
            "did you mean 'pawl'?"
        )
    ]


def test_what_else_lies_among_the_decisions_is_told(root: Path) -> None:
    _chain(root, 1)
    (root / "decisions/0001.md").write_text("astray", encoding="utf-8")
    (root / "decisions/Dog House").mkdir()
    assert [(each.code, each.place.path) for each in read_decisions(root)[1]] == [
        ("record-stray", "decisions/0001.md"),
        ("bad-name", "decisions/Dog House"),
    ]
    assert len(read_decisions(root)[0]) == 1


@pytest.mark.parametrize("where", ["decisions", "decisions/pawl", "decisions/pawl/0001.md"])
def test_a_link_that_leads_out_of_the_folder_is_not_followed(
    root: Path, where: str, tmp_path_factory: pytest.TempPathFactory
) -> None:
    _chain(root, 1)
    (root / "decisions/notes.txt").touch()
    (root / "decisions/pawl/notes.txt").touch()
    outside = tmp_path_factory.mktemp("outside") / "away"
    (root / where).rename(outside)
    (root / where).symlink_to(outside)
    lying_inside = {"decisions": [], "decisions/pawl": ["record-stray"]}
    both = ["record-stray", "record-name"]
    assert sorted(_codes(root)) == sorted(["file-outside", *lying_inside.get(where, both)])
    assert read_decisions(root)[0] == ()


def test_decisions_that_are_a_file_are_told(root: Path) -> None:
    (root / "decisions").write_text("none yet", encoding="utf-8")
    assert _codes(root) == ["file-kind"]


def test_a_record_that_is_a_folder_is_told(root: Path) -> None:
    _path(root).mkdir(parents=True)
    assert _codes(root) == ["file-kind"]


def test_all_problems_of_all_parts_are_told_in_one_run(root: Path) -> None:
    _chain(root, 3)
    _path(root, 2).unlink()
    _put(root, 1, NO_HASH, part="dog")
    (root / "decisions/notes.txt").write_text("x", encoding="utf-8")
    text = _path(root, 1).read_text(encoding="utf-8")
    _path(root, 1).write_text(text.replace("Why.", "Why not."), encoding="utf-8")
    assert _codes(root) == [
        "record-follows-nothing",
        "record-stray",
        "record-edited",
        "record-gap",
    ]
