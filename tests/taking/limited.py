"""Commands of quotegen, each in a child of its own with little memory and time.

One process has everything loaded and forks a child for each command, so that a child costs what
its file costs and not the loading.
"""

from __future__ import annotations

import functools
import json
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

MEMORY = 1 << 30
SECONDS = 20
LONGEST = 90  # seconds by the clock
PARENT = f"""\
import json, os, resource, signal, sys, traceback
import lxml.etree, openpyxl, openpyxl.reader.excel
import quotegen.taking.take, quotegen.study
from quotegen.cli import main


def child(words, told):
    signal.alarm({LONGEST})
    resource.setrlimit(resource.RLIMIT_AS, ({MEMORY}, {MEMORY}))
    resource.setrlimit(resource.RLIMIT_CPU, ({SECONDS}, {SECONDS}))
    for number, name in ((1, "out"), (2, "err")):
        os.dup2(os.open(f"{{told}}/{{name}}", os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), number)
    try:
        return main(words)
    except SystemExit as stopped:
        return stopped.code
    except BaseException:
        traceback.print_exc()
        return 70
    finally:
        sys.stdout.flush()
        sys.stderr.flush()


for line in sys.stdin:
    words, told = json.loads(line)
    number = os.fork()
    if not number:
        os._exit(child(words, told) or 0)
    print(os.waitstatus_to_exitcode(os.waitpid(number, 0)[1]), flush=True)
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ended:
    """How a command ended; a negative number is the signal that stopped it."""

    returncode: int
    stdout: str
    stderr: str


@functools.cache
def _parent() -> subprocess.Popen[str]:
    pipe = subprocess.PIPE
    return subprocess.Popen([sys.executable, "-c", PARENT], stdin=pipe, stdout=pipe, text=True)


def limited(*words: str) -> Ended:
    """A command that may use MEMORY bytes and SECONDS of processor."""
    parent = _parent()
    if parent.stdin is None or parent.stdout is None:
        raise ValueError("the parent has no pipes")
    with tempfile.TemporaryDirectory() as told:
        parent.stdin.write(json.dumps([words, told]) + "\n")
        parent.stdin.flush()
        code = int(parent.stdout.readline())
        out, err = (
            Path(told, name).read_text(encoding="utf-8", errors="replace")
            for name in ("out", "err")
        )
    return Ended(returncode=code, stdout=out, stderr=err)
