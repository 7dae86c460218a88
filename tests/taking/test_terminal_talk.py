"""What a person lives through in a real terminal: asked, corrected, left for later, stopped."""

from __future__ import annotations

import fcntl
import os
import pty
import re
import select
import signal
import struct
import subprocess
import sys
import termios
import time
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.commands import ROOT, spawn
from tests.taking.drafts import PLAIN, SUPPLIER, a_folder, checked, codes

SLIP = PLAIN.replace("16,95", "61,95") + "Set-up 48,00 EUR;\n"
CTRL_C, CTRL_D = "\x03", "\x04"
PATIENCE = 20  # seconds; far more than a run takes


@dataclass(frozen=True, kw_only=True)
class Session:
    """What a terminal showed, the exit code, and how often it waited for somebody to type."""

    out: str
    code: int
    prompts: int

    @property
    def lines(self) -> list[str]:
        return self.out.replace("\r", "").split("\n")


def typed(arguments: list[object], *keys: str, width: int = 80) -> Session:
    """A command in a terminal of its own; each of the keys is typed at one prompt."""
    pid, terminal = pty.fork()
    if pid == 0:  # pragma: no cover (the child becomes the command)
        os.chdir(ROOT)
        signal.signal(signal.SIGINT, signal.SIG_DFL)  # a job in the background ignores it
        command = [sys.executable, "-m", "quotegen", *(str(each) for each in arguments)]
        env = {"PATH": os.defpath, "HOME": os.devnull, "LANG": "C.UTF-8", "TERM": "dumb"}
        os.execve(sys.executable, command, env)  # noqa: S606
    fcntl.ioctl(terminal, termios.TIOCSWINSZ, struct.pack("HHHH", 50, width, 0, 0))
    left, out, prompts, end = list(keys), b"", 0, time.monotonic() + PATIENCE
    while time.monotonic() < end:
        if not select.select([terminal], [], [], 0.5)[0]:
            continue
        try:
            shown = os.read(terminal, 65536)
        except OSError:  # the command has ended
            break
        out += shown
        if out.endswith(b": ") and not out.endswith(b"\n"):
            prompts += 1
            answer = left.pop(0) if left else CTRL_D
            time.sleep(0.3 if answer == CTRL_C else 0)  # until it reads, as a hand would
            os.write(terminal, (answer if answer in (CTRL_C, CTRL_D) else f"{answer}\n").encode())
    if time.monotonic() >= end:
        os.kill(pid, signal.SIGKILL)
    _, status = os.waitpid(pid, 0)
    os.close(terminal)
    assert left == [], f"nobody asked for {left}: {out.decode()}"
    return Session(out=out.decode(), code=os.waitstatus_to_exitcode(status), prompts=prompts)


def a_file(folder: Path, content: str = SLIP, name: str = "q-12.csv") -> Path:
    file = folder / "quotes" / SUPPLIER / name
    file.write_text(content, encoding="utf-8")
    return file


def form_of(file: Path) -> str:
    return file.with_suffix(".yaml").read_text(encoding="utf-8")


def take(folder: Path, file: Path, *keys: str, width: int = 80) -> Session:
    return typed(["take", file, "--folder", folder], *keys, width=width)


def test_a_person_answers_and_the_quote_is_whole(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    file = a_file(folder)
    ran = take(folder, file, "2", "1", "")
    assert ran.code == 0, ran.out
    assert "  > 5  100 | [61,95]" in ran.lines
    assert "    6  250 | 16,20" in ran.lines
    assert codes(folder) == []
    (entry,) = checked(folder).quotes
    assert str(entry.record.items[0].prices[1].price) == "16.95 EUR per 1"


def test_a_wrong_answer_gets_a_message_and_the_question_again(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    ran = take(folder, a_file(folder), "nonsense", "yes", "16,95", "1", "99", "")
    assert "'nonsense' is not an amount. Type it such as 16.95 EUR per 1." in ran.lines
    assert "Which of them? Type its number." in ran.lines
    assert "Taken as: from 100: 16.95 EUR per 1" in ran.lines
    assert "'99' is no number of this list." in ran.lines
    assert ran.code == 0
    assert codes(folder) == []


def test_a_question_is_left_for_later_and_a_value_is_left_out(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    file = a_file(folder)
    ran = take(folder, file, "", "-", "")
    assert ran.code == 1
    assert codes(folder) == ["question-open"]
    assert "answer: leave out" in form_of(file)
    later = take(folder, file, "2", "")
    assert later.code == 0
    assert later.out.count("Question 1 of 1") == 1


@pytest.mark.parametrize("stop", [CTRL_C, CTRL_D, "q"])
def test_whoever_stops_keeps_what_was_answered(stop: str, tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    file = a_file(folder)
    ran = take(folder, file, "2", stop)
    assert ran.code == 1, ran.out
    assert ran.prompts == 2
    assert "Your answers are kept; the same command asks the rest." in ran.lines
    assert "answer: {from: 100, price: 16.95 EUR per 1}" in form_of(file)
    assert codes(folder) == ["question-open"]
    assert not (file.parent / "layouts.yaml").exists()  # nobody has looked all of it over
    assert list(file.parent.glob(".*")) == []
    assert take(folder, file, "1", "").code == 0


def test_whoever_stops_before_the_supplier_is_known_leaves_nothing(tmp_path: Path) -> None:
    folder = a_folder(tmp_path / "w")
    outside = tmp_path / "q-12.csv"
    outside.write_text(SLIP, encoding="utf-8")
    ran = typed(["take", outside, "--folder", folder], CTRL_C)
    assert ran.code == 2
    assert [path.name for path in tmp_path.iterdir() if path.is_file()] == ["q-12.csv"]
    assert typed(["take", outside, "--folder", folder], "foss", "1", "2", "1", "").code == 0
    assert (folder / "quotes" / SUPPLIER / "q-12.yaml").exists()


TWICE_AS_WIDE = "wide \N{CJK UNIFIED IDEOGRAPH-5BBD}"
WIDE = (
    "Quotation Q-12;Date 2026-10-01;;\nDrawing FL-021;;;\n"
    "Qty;Price each EUR;Remark of the seller;Another column of the seller\n"
    f"50;17,40;{'long words ' * 12};{'more of it ' * 12}\n"
    f"100;61,95;{'x' * 200};{'long words ' * 12}\n"
    f"250;16,20;{TWICE_AS_WIDE * 30};end\n"
)


@pytest.mark.parametrize("width", [80, 44])
def test_no_line_is_wider_than_the_terminal(width: int, tmp_path: Path) -> None:
    from quotegen.taking.screen import wide

    folder = a_folder(tmp_path)
    ran = take(folder, a_file(folder, WIDE), "16,95", "", width=width)
    talk = ran.out.replace("\r", "").partition("\nwrote")[0].split("\n")
    assert [line for line in talk if wide(line) > width and ": 16,95" not in line] == []
    assert any("[61,95]" in line for line in talk)


EVIL = "\x1b]0;owned\x07\x1b[2J\x1b[31m\u202e\x9b5n"
HOSTILE = (
    f"Quotation Q-12{EVIL};Date 2026-10-01\nDrawing FL-021{EVIL};\nQty;Price each EUR{EVIL}\n"
    f"50;17,40\n100;61,95 {EVIL}\n250;16,20\nSet-up 48,00 EUR {EVIL};\n"
)


def test_no_escape_sequence_of_a_supplier_reaches_the_terminal(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    file = a_file(folder, HOSTILE)
    ran = take(folder, file, "", "", "1", "", "")
    assert "owned" in ran.out  # the words are shown
    assert re.findall("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u202e]", ran.out) == []
    assert re.findall("[\x00-\x08\x0b-\x1f\x7f-\x9f\u202e]", form_of(file)) == []


def test_a_script_is_never_asked(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    file = a_file(folder)
    told = typed(["take", file, "--folder", folder, "--no-input"])
    assert (told.code, told.prompts) == (1, 0)
    piped = spawn("take", file, "--folder", folder)
    assert piped.code == 1
    assert piped.out.count("open: ") == 2
    assert max(len(line) for line in piped.out.splitlines()) > 80  # one line for each, for scripts


def test_nobody_is_asked_who_could_not_see_the_question(tmp_path: Path) -> None:
    """Where standard output goes into a file, a question would be read by nobody."""
    folder = a_folder(tmp_path)
    command = [sys.executable, "-m", "quotegen", "take", str(a_file(folder)), "--folder", folder]
    master, terminal = pty.openpty()
    with (tmp_path / "log").open("wb") as log:
        done = subprocess.run(
            command, cwd=ROOT, stdin=terminal, stdout=log, check=False, timeout=PATIENCE
        )
    os.close(master)
    os.close(terminal)
    assert done.returncode == 1


def test_the_same_file_again_asks_nothing_that_was_settled(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    file = a_file(folder)
    take(folder, file, "2", "1", "")
    again = take(folder, file)
    assert (again.code, again.prompts) == (0, 0)
    assert "nothing changed" in again.lines


def test_what_changed_is_shown_before_anything_is_asked(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    file = a_file(folder)
    take(folder, file, "2", "1", "")
    file.write_text(SLIP.replace("16,20", "15,90"), encoding="utf-8")
    again = take(folder, file, "", width=200)
    changed = "changed: items 1, prices, from 250: before {from: 250, price: 16.20 EUR per 1}, now"
    first = again.out.index(changed)
    assert first < again.out.index("Enter if all is right")
    assert again.prompts == 1
