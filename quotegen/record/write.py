"""Putting a decision on record: a new file each time, whole or not there, never changed after.

The file is written under a temporary name, brought to the disk, and only then given its
number by a link, which fails where the number is taken. A lock keeps two writers of one
folder apart; where locks do not work, the link still gives each number once.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import filelock

from quotegen.intake.decisions import FOLDER, read_numbered, read_record, record_name
from quotegen.intake.files import FORM_BYTES, RawFile, Refused, is_name
from quotegen.intake.record_file import fingerprint_of, prose, rendered
from quotegen.model.decision import State
from quotegen.model.entry import Decision
from quotegen.record.facts import Facts, Link, Reopening, reopened_tree_of, tree_of

LOCK = ".lock"
LONGEST_WAIT = 30  # seconds
MOST_TRIES = 20

Layout = Callable[[Link], dict[str, Any]]


class CannotRecord(ValueError):
    """Nothing was written; the message says why and what to do."""


def decide(folder: Path, facts: Facts, reasons: str) -> Path:
    """Write the next record of facts.part below folder/decisions and return its path.

    It links to the record before it. Raises CannotRecord where there is no reason or nobody
    who agreed, where the record before it cannot be trusted, or where the lock is not free.
    """
    return _append(folder, facts, reasons, lambda link: tree_of(facts, link))


def reopen(folder: Path, reopening: Reopening, reasons: str) -> Path:
    """Write a record that opens the decision in force again; reasons say why.

    Raises CannotRecord as decide does, and where no decision is in force.
    """

    def layout(link: Link) -> dict[str, Any]:
        last = _last_decision(folder, reopening.part)
        if last is None or last.state is not State.DECIDED:
            raise CannotRecord(f"no decision for {reopening.part} is in force; nothing to reopen")
        return reopened_tree_of(reopening, last.number, link)

    return _append(folder, reopening, reasons, layout)


def _append(folder: Path, facts: Facts | Reopening, reasons: str, layout: Layout) -> Path:
    body = prose(reasons)
    _refuse_empty(facts, body)
    home = _home(folder, facts.part)
    with _locked(folder / FOLDER):
        _sweep(folder / FOLDER)
        for _ in range(MOST_TRIES):
            link = _next_link(folder, facts.part)
            path = home / record_name(link.number)
            data = _checked(layout(link), body, facts.part, link.number)
            try:
                _write(path, data)
            except FileExistsError:
                continue
            return path
    raise CannotRecord(f"somebody else is writing records for {facts.part}; try again")


def _refuse_empty(facts: Facts | Reopening, body: str) -> None:
    if not is_name(facts.part):
        raise CannotRecord(f"'{facts.part[:60]}' cannot be the name of a part")
    if not facts.agreed_by.strip():
        raise CannotRecord("a record says who agreed; give a role or a name")
    if not body:
        raise CannotRecord("a record says why; give a reason")


def _home(folder: Path, part: str) -> Path:
    """The part's own folder below decisions, made where it is missing, never outside."""
    home = folder / FOLDER / part
    if not home.resolve().is_relative_to(folder.resolve()):
        raise CannotRecord(f"{FOLDER}/{part} leads out of the workshop folder")
    for made in (folder / FOLDER, home):
        if not made.is_dir():
            made.mkdir(exist_ok=True)
            _sync_folder(made.parent)
    return home


@contextmanager
def _locked(decisions: Path) -> Iterator[None]:
    lock = filelock.FileLock(decisions / LOCK, timeout=LONGEST_WAIT)
    try:
        lock.acquire()
    except filelock.Timeout as error:
        raise CannotRecord(
            f"{decisions / LOCK} is held by another quotegen for {LONGEST_WAIT} s; try again"
        ) from error
    try:
        yield
    finally:
        lock.release()


def _sweep(decisions: Path) -> None:
    """Remove what a killed writer left behind; nobody else is writing while the lock is held."""
    for left in decisions.glob("*/.*.tmp"):
        left.unlink(missing_ok=True)


def _next_link(folder: Path, part: str) -> Link:
    """The number after the highest one, and the fingerprint of the record that bears it."""
    last = _last_decision(folder, part)
    if last is None:
        return Link(number=1, previous=None)
    return Link(number=last.number + 1, previous=last.fingerprint)


def _last_decision(folder: Path, part: str) -> Decision | None:
    """The record with the highest number; a new one must not follow one that was touched."""
    numbered, problems = read_numbered(folder, part)
    if not numbered:
        unread = [each for each in problems if each.code != "record-name"]
        if unread:
            raise CannotRecord(unread[0].sentence)
        return None
    last = numbered[-1]
    if last.problems:
        raise CannotRecord(last.problems[0].sentence)
    return last.decision


def _checked(tree: dict[str, Any], body: str, part: str, number: int) -> bytes:
    """The bytes of a record, held against what a reader will make of them."""
    full = tree | {"fingerprint": fingerprint_of(tree, body)}
    data = rendered(full, body).encode("utf-8")
    if len(data) > FORM_BYTES:
        raise CannotRecord(f"the record would have {len(data):,} bytes; at most {FORM_BYTES:,}")
    raw = RawFile(path=f"{FOLDER}/{part}/{record_name(number)}", data=data)
    try:
        read = read_record(raw, part, number)
    except Refused as refused:
        raise CannotRecord(refused.problem.sentence) from refused
    if read.problems:
        raise CannotRecord(read.problems[0].sentence)
    return data


def _write(path: Path, data: bytes) -> None:
    """Whole or not there; raises FileExistsError where the name is taken.

    The temporary file gets the permissions that the user's umask leaves.
    """
    temporary = path.with_name(f".{path.stem}.{os.getpid()}.tmp")
    handle = os.open(temporary, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666)
    try:
        _write_through(handle, data)
        _give_name(temporary, path)
    finally:
        temporary.unlink(missing_ok=True)
    _sync_folder(path.parent)


def _write_through(handle: int, data: bytes) -> None:
    with os.fdopen(handle, "wb") as stream:
        stream.write(data)
        stream.flush()
        os.fsync(stream.fileno())


def _give_name(temporary: Path, path: Path) -> None:
    """Give the file its number; on a disk without links a rename must do, under the lock."""
    try:
        path.hardlink_to(temporary)
    except FileExistsError:
        raise
    except OSError:
        if path.exists():
            raise FileExistsError(path) from None
        temporary.rename(path)


def _sync_folder(folder: Path) -> None:
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
