"""Child processes that print documents: one that crashes or hangs costs its document only."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterable, Iterator
from contextlib import ExitStack
from dataclasses import dataclass
from multiprocessing import Pipe
from multiprocessing.connection import Connection, wait
from pathlib import Path
from typing import Self
from xml.sax.saxutils import escape

from quotegen.report.paper.pdf import Document, Unprinted
from quotegen.templates_folder import templates_folder

LONGEST = 300.0  # seconds for one document; a report of 90 pages takes 14
JOBS = 50  # documents for one child: its memory grows a little with each
LOOK_AGAIN = 1.0  # seconds between looks at the clock

# A child sees the modules that we see and no more, whatever lies in its working folder.
START = "import sys; sys.path[:] = sys.argv[2:]; import quotegen.report.paper.presses as here; "
START += "here.serve(int(sys.argv[1]))"

# Only the bundled font, whatever else the machine has: other fonts would change the bytes.
FONTS = """<?xml version="1.0"?>
<!DOCTYPE fontconfig SYSTEM "urn:fontconfig:fonts.dtd">
<fontconfig>
<dir>{folder}</dir>
<cachedir>{cache}</cachedir>
<selectfont><rejectfont><glob>*.woff2</glob></rejectfont></selectfont>
</fontconfig>
"""


def workers_here() -> int:
    """One for each core that this process may use."""
    return len(os.sched_getaffinity(0))


def print_all(
    documents: Iterable[tuple[str, Document]], workers: int
) -> Iterator[tuple[str, bytes | Unprinted]]:
    """The PDF of each named document, in the order in which they are done.

    Where the native libraries are missing, nothing more is tried. Children end with the
    iterator, also when it is closed early.
    """
    waiting = iter(documents)
    with ExitStack() as stack:
        settings = Path(stack.enter_context(tempfile.TemporaryDirectory(prefix="quotegen-")))
        write_settings(settings)
        room = stack.enter_context(Room(settings, workers))
        while room.fill(waiting):
            for name, outcome in room.finished():
                yield name, outcome
                if isinstance(outcome, Unprinted) and outcome.code == "pdf-libraries-missing":
                    yield from ((name, outcome) for name in room.given_up(waiting))
                    return


def write_settings(folder: Path) -> None:
    """fonts.conf for fontconfig, and a place where it may keep what it found."""
    fonts = escape(str(templates_folder() / "fonts"))
    text = FONTS.format(folder=fonts, cache=escape(str(folder / "cache")))
    (folder / "fonts.conf").write_text(text, encoding="utf-8")


@dataclass(slots=True, kw_only=True)
class Child:
    """A process that prints, and what it is printing now."""

    process: subprocess.Popen[bytes]
    line: Connection
    said: Path
    name: str = ""
    since: float = 0.0
    jobs: int = 0
    too_slow: bool = False

    def give(self, name: str, document: Document) -> None:
        self.name, self.since = name, time.monotonic()
        self.jobs += 1
        try:
            self.line.send(document)
        except OSError:  # it is dead already; taking the outcome tells how
            return

    def outcome(self) -> bytes | Unprinted:
        """What came back, or how the child ended."""
        try:
            received: bytes | Unprinted = self.line.recv()
        except (EOFError, OSError):
            return Unprinted(code="pdf-failed", why=self.ending())
        return received

    def ending(self) -> str:
        """How the process ended, in words, with the last thing it said."""
        if self.too_slow:
            return f"it took longer than {LONGEST:.0f} seconds"
        code = self.process.wait()
        if code < 0:
            return f"the printing process ended by {signal.Signals(-code).name}"
        lines = self.said.read_text(errors="replace").splitlines()
        last = next((line.strip() for line in reversed(lines) if line.strip()), "it said nothing")
        return f"the printing process ended with {code}: {last[:200]}"

    @property
    def can_go_on(self) -> bool:
        return self.jobs < JOBS and not self.line.closed and self.process.poll() is None

    def stop(self) -> None:
        self.line.close()
        self.process.kill()
        self.process.wait()


class Room:
    """The children: those at work and those that wait for work."""

    def __init__(self, settings: Path, workers: int) -> None:
        self._settings = settings
        # What a killed child leaves behind goes with the folder of settings.
        own = {"FONTCONFIG_FILE": str(settings / "fonts.conf"), "TMPDIR": str(settings)}
        self._environment = {**os.environ, **own}
        self._started_so_far = 0
        self._workers = max(1, workers)
        self._busy: list[Child] = []
        self._idle: list[Child] = []

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        for child in (*self._busy, *self._idle):
            child.stop()

    def fill(self, waiting: Iterator[tuple[str, Document]]) -> bool:
        """Give work to every free child; whether anything is being printed."""
        while len(self._busy) < self._workers:
            job = next(waiting, None)
            if job is None:
                break
            child = self._idle.pop() if self._idle else self._started()
            self._busy.append(child)
            child.give(*job)
        return bool(self._busy)

    def finished(self) -> Iterator[tuple[str, bytes | Unprinted]]:
        """The outcome of every child that is done or dead, once there is one."""
        ready = wait([child.line for child in self._busy], timeout=LOOK_AGAIN)
        self._end_slow()
        for child in [each for each in self._busy if each.line in ready]:
            outcome = child.outcome()
            self._busy.remove(child)
            if isinstance(outcome, bytes) and child.can_go_on:
                self._idle.append(child)
            else:
                child.stop()
            yield child.name, outcome

    def given_up(self, waiting: Iterator[tuple[str, Document]]) -> Iterator[str]:
        """Every document that nobody will print."""
        yield from (child.name for child in self._busy)
        yield from (name for name, _ in waiting)

    def _end_slow(self) -> None:
        for child in self._busy:
            if time.monotonic() - child.since > LONGEST:
                child.too_slow = True
                child.process.kill()

    def _started(self) -> Child:
        ours, theirs = Pipe()
        self._started_so_far += 1
        path = self._settings / f"said-{self._started_so_far}"
        with theirs, path.open("wb") as said:
            handle = theirs.fileno()
            process = subprocess.Popen(  # noqa: S603  # our own interpreter, nothing from outside
                [sys.executable, "-c", START, str(handle), *sys.path],
                pass_fds=[handle],
                env=self._environment,
                stdin=subprocess.DEVNULL,
                stdout=subprocess.DEVNULL,
                stderr=said,
            )
        return Child(process=process, line=ours, said=path)


def serve(handle: int) -> None:
    """The child: print what comes down the line until it is closed.

    The first document is taken before anything heavy is loaded, since the sender waits for it.
    """
    with Connection(handle) as line:
        document = line.recv()
        try:
            from quotegen.report.paper.press import Press
        except OSError as error:
            line.send(Unprinted(code="pdf-libraries-missing", why=str(error).split(".  ")[0]))
            return
        press = Press()
        try:
            while True:
                line.send(press.printed(document))
                document = line.recv()
        except EOFError:
            return
