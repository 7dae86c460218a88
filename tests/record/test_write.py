"""Records are written whole or not at all, each number once, the same bytes from the same facts."""

from __future__ import annotations

import dataclasses
import errno
import os
import signal
import stat
import subprocess
import sys
import time
from pathlib import Path
from typing import NoReturn

import filelock
import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotegen.intake.decisions import read_decisions
from quotegen.intake.record_file import one_line, prose
from quotegen.model.decision import State
from quotegen.record import write
from quotegen.record.facts import Facts, Reopening
from quotegen.record.write import CannotRecord, decide, reopen

REASONS = "The die pays back within two years."

# Writes so many records of the pawl. First it may make a disk so slow that a kill lands in
# the middle of a file, or kill itself at a step of the way.
WRITER = """
import datetime, os, signal, sys, time
from pathlib import Path
from quotegen.record import write
from quotegen.record.facts import Facts

folder, agreed_by, records, manner = sys.argv[1:]
opened = os.fdopen

def slow(handle, mode):
    stream = opened(handle, mode, buffering=0)
    class Slow:
        def __enter__(self): return self
        def __exit__(self, *_): stream.close()
        def flush(self): pass
        def fileno(self): return stream.fileno()
        def write(self, data):
            for at in range(0, len(data), 1000):
                stream.write(data[at:at + 1000])
                time.sleep(0.0005)
    return Slow()

def dies(*_, **__):
    os.kill(os.getpid(), signal.SIGKILL)

if manner == "slow":
    os.fdopen = slow
elif manner == "dies with the file written":
    os.fsync = dies
elif manner == "dies with the name given":
    Path.unlink = dies
facts = Facts(
    part="pawl", decided_on=datetime.date(2026, 11, 2), agreed_by=agreed_by, outcome="chosen",
    revision="C", route=("hall/M-1",), bridge=0, quantity=180, planning_months=36,
    currency="EUR", total=None, committed=None, runner_up=None, lead=None, reopen_if=(),
    rates=(), assumptions=(), files={}, tool_version="0.1.0",
)
print("ready", flush=True)
for _ in range(int(records)):
    write.decide(Path(folder), facts, "A reason that is long. " * 2_000)
"""


def _writer(root: Path, agreed_by: str, records: int, manner: str = "") -> subprocess.Popen[str]:
    command = [sys.executable, "-c", WRITER, str(root), agreed_by, str(records), manner]
    started = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
    if started.stdout is None or started.stdout.readline() != "ready\n":
        raise RuntimeError("the writer did not start")
    return started


def _end(writer: subprocess.Popen[str]) -> int:
    writer.communicate(timeout=60)
    return writer.returncode


def _names(root: Path) -> list[str]:
    return sorted(path.name for path in (root / "decisions/pawl").iterdir())


def test_what_was_written_is_what_is_read(root: Path, facts: Facts) -> None:
    path = decide(root, facts, REASONS)
    assert path == root / "decisions/pawl/0001.md"
    (decision,), problems = read_decisions(root)
    assert problems == ()
    assert (decision.part, decision.number, decision.state) == ("pawl", 1, State.DECIDED)
    assert decision.route == ("hall/M-1", "row/F-7")
    assert decision.reasons == REASONS
    assert decision.files == {path: f"sha256:{sha}" for path, sha in facts.files.items()}
    assert decision.previous is None
    read = decision.facts
    assert (read.agreed_by, read.outcome, read.revision) == ("workshop lead", "chosen", "C")
    assert (read.bridge, read.quantity, read.planning_months) == (52, 180, 36)
    assert str(read.total) == "3528.01 EUR"
    assert str(read.committed_up_front) == "1800 EUR"
    assert str(read.runner_up_costs_more) == "-12.40 EUR"
    assert (read.runner_up, read.advised) == ("hall/M-1", ("row/F-7",))
    assert [(each.kind, each.about, each.value, each.text) for each in read.reopen_if] == [
        (each.kind, each.about, each.value, each.text) for each in facts.reopen_if
    ]
    assert [(each.one, each.rate, each.day, each.source) for each in read.rates] == [
        (each.one, each.rate, each.day, each.source) for each in facts.rates
    ]
    assert read.assumptions == facts.assumptions
    assert read.tool_version == "0.1.0"


def test_the_same_facts_give_the_same_bytes(root: Path, facts: Facts) -> None:
    path = decide(root, facts, REASONS)
    first = path.read_bytes()
    path.unlink()
    assert decide(root, facts, REASONS).read_bytes() == first


def test_a_second_decision_links_to_the_first(root: Path, facts: Facts) -> None:
    decide(root, facts, REASONS)
    assert decide(root, facts, "The pound has fallen.").name == "0002.md"
    (first, second), problems = read_decisions(root)
    assert problems == ()
    assert second.previous == first.fingerprint


def test_a_reopening_names_the_decision_and_says_why(root: Path, facts: Facts) -> None:
    decide(root, facts, REASONS)
    again = Reopening(
        part="pawl", decided_on=facts.decided_on, agreed_by="partner", tool_version="0.1.0"
    )
    reopen(root, again, "The foundry has lost its furnace.")
    (first, second), problems = read_decisions(root)
    assert problems == ()
    assert (second.state, second.facts.reopens, second.previous) == (
        State.REOPENED,
        1,
        first.fingerprint,
    )
    assert second.reasons == "The foundry has lost its furnace."
    with pytest.raises(CannotRecord, match="nothing to reopen"):
        reopen(root, again, "Once more.")


def test_there_is_nothing_to_reopen_before_a_decision(root: Path, facts: Facts) -> None:
    again = Reopening(
        part="pawl", decided_on=facts.decided_on, agreed_by="partner", tool_version="0.1.0"
    )
    with pytest.raises(CannotRecord, match="nothing to reopen"):
        reopen(root, again, "Because.")


@pytest.mark.parametrize(
    ("change", "reasons", "told"),
    [
        ({"agreed_by": "  "}, REASONS, "who agreed"),
        ({}, " \n\t\n ", "give a reason"),
        ({"part": "../pawl"}, REASONS, "cannot be the name of a part"),
        ({}, "x" * 1_000_001, "at most 1,000,000"),
        ({"files": {"p" * 2000: "ab" * 32}}, REASONS, "yaml-broken"),
        ({"outcome": ""}, REASONS, "wrong-value"),
        ({"files": {"parts/pawl.yaml": "ab"}}, REASONS, "wrong-value"),
    ],
)
def test_a_record_that_could_not_be_read_again_is_not_written(
    root: Path, facts: Facts, change: dict[str, object], reasons: str, told: str
) -> None:
    with pytest.raises(CannotRecord, match=told):
        decide(root, dataclasses.replace(facts, **change), reasons)  # type: ignore[arg-type]
    assert list(root.glob("decisions/*/*")) == []


def test_nothing_follows_a_record_that_was_edited(root: Path, facts: Facts) -> None:
    path = decide(root, facts, REASONS)
    path.write_text(path.read_text().replace("two years", "one year"), encoding="utf-8")
    with pytest.raises(CannotRecord, match="record-edited"):
        decide(root, facts, REASONS)
    assert _names(root) == ["0001.md"]


def test_nothing_is_written_through_a_link_that_leads_out(
    root: Path, facts: Facts, tmp_path_factory: pytest.TempPathFactory
) -> None:
    outside = tmp_path_factory.mktemp("outside")
    (root / "decisions").mkdir()
    (root / "decisions/pawl").symlink_to(outside)
    with pytest.raises(CannotRecord, match="leads out"):
        decide(root, facts, REASONS)
    assert list(outside.iterdir()) == []


@pytest.mark.parametrize("umask", [0o022, 0o077, 0o002])
def test_the_file_has_the_permissions_of_any_other(root: Path, facts: Facts, umask: int) -> None:
    before = os.umask(umask)
    try:
        path = decide(root, facts, REASONS)
    finally:
        os.umask(before)
    assert stat.S_IMODE(path.stat().st_mode) == 0o666 & ~umask


def test_what_a_killed_writer_left_is_swept_away(root: Path, facts: Facts) -> None:
    for part in ("pawl", "other"):
        (root / "decisions" / part).mkdir(parents=True)
        (root / "decisions" / part / ".0001.77.tmp").write_text("torn", encoding="utf-8")
    decide(root, facts, REASONS)
    assert list(root.rglob("decisions/*/.*")) == []


def test_a_number_that_was_taken_meanwhile_is_not_overwritten(
    root: Path, facts: Facts, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As on a network disk whose locks do nothing: another writer comes between."""
    link = Path.hardlink_to

    def late(path: Path, target: Path) -> None:
        monkeypatch.setattr(Path, "hardlink_to", link)
        other = dataclasses.replace(facts, agreed_by="somebody else")
        target.rename(target.with_suffix(".kept"))  # our file is safe from the other's sweep
        decide(root, other, REASONS)
        target.with_suffix(".kept").rename(target)
        link(path, target)

    monkeypatch.setattr(filelock, "FileLock", _NoLock)
    monkeypatch.setattr(Path, "hardlink_to", late)
    assert decide(root, facts, REASONS).name == "0002.md"
    (first, second), problems = read_decisions(root)
    assert problems == ()
    assert (first.facts.agreed_by, second.facts.agreed_by) == ("somebody else", "workshop lead")


class _NoLock:
    def __init__(self, *_: object, **__: object) -> None: ...

    def acquire(self) -> None: ...

    def release(self) -> None: ...


def test_a_disk_without_links_gets_its_records_too(
    root: Path, facts: Facts, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(*_: object) -> NoReturn:
        raise OSError(errno.EPERM, "Operation not permitted")

    monkeypatch.setattr(Path, "hardlink_to", refused)
    assert [decide(root, facts, REASONS).name for _ in range(2)] == ["0001.md", "0002.md"]
    assert _names(root) == ["0001.md", "0002.md"]
    assert read_decisions(root)[1] == ()


def test_a_lock_that_stays_held_is_told_and_nothing_is_written(
    root: Path, facts: Facts, monkeypatch: pytest.MonkeyPatch
) -> None:
    (root / "decisions").mkdir()
    monkeypatch.setattr(write, "LONGEST_WAIT", 0.1)
    with (
        filelock.FileLock(root / "decisions/.lock"),
        pytest.raises(CannotRecord, match="held by another"),
    ):
        decide(root, facts, REASONS)
    assert list(root.glob("decisions/pawl/*")) == []


@pytest.mark.parametrize(("fails_at", "written"), [(1, 1), (2, 2)])
def test_a_disk_that_fails_leaves_no_torn_record(
    root: Path, facts: Facts, monkeypatch: pytest.MonkeyPatch, fails_at: int, written: int
) -> None:
    """First the file is brought to the disk, then, with its name, the folder."""
    decide(root, facts, REASONS)
    calls: list[int] = []

    def fsync(handle: int) -> None:
        calls.append(handle)
        if len(calls) == fails_at:
            raise OSError(errno.EIO, "Input/output error")

    monkeypatch.setattr(os, "fsync", fsync)
    with pytest.raises(OSError, match="Input/output"):
        decide(root, facts, REASONS)
    assert list(root.rglob("decisions/pawl/.*")) == []
    decisions, problems = read_decisions(root)
    assert problems == ()
    assert len(decisions) == written


def test_a_writer_that_is_killed_never_leaves_a_torn_record(root: Path) -> None:
    for run in range(5):
        writer = _writer(root, "killed", 10_000, "slow")
        time.sleep(0.05 + 0.013 * run)
        writer.send_signal(signal.SIGKILL)
        assert _end(writer) == -signal.SIGKILL
        decisions, problems = read_decisions(root)
        assert problems == ()
        assert [each.number for each in decisions] == list(range(1, len(decisions) + 1))
    assert _end(_writer(root, "after", 1)) == 0
    assert list(root.rglob("decisions/pawl/.*")) == []
    assert read_decisions(root)[0][-1].facts.agreed_by == "after"


@pytest.mark.parametrize(
    ("manner", "written"), [("dies with the file written", 0), ("dies with the name given", 1)]
)
def test_a_writer_that_dies_between_two_steps_leaves_a_sound_folder(
    root: Path, facts: Facts, manner: str, written: int
) -> None:
    (root / "decisions/pawl").mkdir(parents=True)
    assert _end(_writer(root, "killed", 1, manner)) == -signal.SIGKILL
    assert len(list(root.glob("decisions/pawl/.*.tmp"))) == 1
    decisions, problems = read_decisions(root)
    assert (len(decisions), problems) == (written, ())
    decide(root, facts, REASONS)
    assert _names(root) == [f"{number:04d}.md" for number in range(1, written + 2)]


def test_two_writers_at_once_share_no_number(root: Path) -> None:
    writers = [_writer(root, name, 8) for name in ("lead", "partner")]
    assert [_end(writer) for writer in writers] == [0, 0]
    decisions, problems = read_decisions(root)
    assert problems == ()
    assert [each.number for each in decisions] == list(range(1, 17))
    agreed = [each.facts.agreed_by for each in decisions]
    assert (agreed.count("lead"), agreed.count("partner")) == (8, 8)


HARD = st.one_of(
    st.text(),
    st.text(alphabet="-\n: #'\"{}[]&*!|>%@`\\,?\t\r ~"),
    st.sampled_from(
        [
            "---",
            "...\n---\n...",
            "no",
            "1.10",
            "0x1F",
            "8:30",
            "<<",
            "null",
            "~",
            "2026-11-02",
            "<script>alert(1)</script>",
            "- a\n- b",
            "key: value # remark",
            "!!python/object/apply:os.system ['true']",
            "&a *a",
            "\ud800 alone",
            "\u202eturned",
            "\N{BYTE ORDER MARK}marked",
            "e\u0301 \u212b",
            "\x00\x07\x1b[31m",
            "=SUM(A1)",
            "word " * 3000,
        ]
    ),
)


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = tmp_path_factory.mktemp("shared")
    (root / "parts").mkdir()
    (root / "parts/pawl.yaml").write_text("format: 1\n", encoding="utf-8")
    return root


@given(reasons=HARD, agreed_by=HARD, text=HARD, route=HARD)
def test_any_text_comes_back_as_it_was_cleaned(
    shared: Path, plain_facts: Facts, reasons: str, agreed_by: str, text: str, route: str
) -> None:
    facts = dataclasses.replace(
        plain_facts, agreed_by=agreed_by, assumptions=(text, "last"), route=(route, "hall/M-1")
    )
    if not agreed_by.strip() or not prose(reasons):
        with pytest.raises(CannotRecord):
            decide(shared, facts, reasons)
        return
    path = decide(shared, facts, reasons)
    (decision,), problems = read_decisions(shared)
    path.unlink()
    assert problems == ()
    assert decision.reasons == prose(reasons)
    assert decision.facts.agreed_by == one_line(agreed_by)
    assert decision.facts.assumptions == tuple(each for each in (one_line(text), "last") if each)
    assert decision.route == tuple(each for each in (one_line(route), "hall/M-1") if each)


@given(text=HARD)
def test_cleaning_twice_changes_nothing_more(text: str) -> None:
    assert one_line(one_line(text)) == one_line(text)
    assert prose(prose(text)) == prose(text)


def test_html_in_a_reason_stays_a_text_for_the_page_to_escape(root: Path, facts: Facts) -> None:
    reasons = '<script>alert("1")</script> <img src=x onerror=alert(1)>'
    decide(root, facts, reasons)
    assert read_decisions(root)[0][0].reasons == reasons
