"""The command line for tests: in this process, or as a process of its own; and what it wrote."""

from __future__ import annotations

import hashlib
import io
import json
import os
import subprocess
import sys
from collections.abc import Callable, Mapping
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any

from quotegen.cli import main
from tests.folders import (
    Forms,
    a_part,
    a_quote,
    a_supplier,
    a_tool,
    a_workshop,
    an_item,
    forms,
)

ROOT = Path(__file__).parents[1]


@dataclass(frozen=True, kw_only=True)
class Ran:
    """The exit code of a command, and what it printed."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        """Standard output as JSON; a number with a point or an exponent is refused."""
        return json.loads(self.out, parse_float=_no_float, parse_constant=_no_float)


def _no_float(text: str) -> None:
    raise ValueError(f"a float in JSON: {text}")


def run(*arguments: object, encoding: str = "utf-8") -> Ran:
    """A command in this process, on streams that have bytes below them as real ones have."""
    out, err = (io.TextIOWrapper(io.BytesIO(), encoding=encoding, newline="") for _ in "oe")
    with redirect_stdout(out), redirect_stderr(err):
        code = main([str(each) for each in arguments])
    return Ran(code=code, out=_printed(out), err=_printed(err))


def _printed(stream: io.TextIOWrapper) -> str:
    stream.flush()
    stream.seek(0)
    return stream.read()


def spawn(
    *arguments: object,
    wrapper: tuple[str, ...] = (),
    env: Mapping[str, str] | None = None,
    stdout: int | IO[bytes] = subprocess.PIPE,
    preexec_fn: Callable[[], None] | None = None,
) -> Ran:
    """A command as a process of its own, with more in its environment; wrapper comes before it."""
    given = {"PATH": os.defpath, "HOME": os.devnull, "LANG": "C.UTF-8", "PYTHONPATH": str(ROOT)}
    given |= dict(env or {})
    command = [*wrapper, sys.executable, "-m", "quotegen", *(str(each) for each in arguments)]
    done = subprocess.run(
        command,
        env=given,
        stdin=subprocess.DEVNULL,
        stdout=stdout,
        stderr=subprocess.PIPE,
        preexec_fn=preexec_fn,
        check=False,
        timeout=120,
    )
    out, err = ((each or b"").decode("utf-8") for each in (done.stdout, done.stderr))
    return Ran(code=done.returncode, out=out, err=err)


def a_choice() -> Forms:
    """A die of 880 with castings of 3 against machining at 10; 200 are wanted in one year.

    By hand: parity 880/7, cheaper from 126; 880 + 200 x 3 = 1480 against 200 x 10 = 2000.
    """
    casting = an_item("3 EUR per 1", process="investment casting", tools=[a_tool("880 EUR")])
    return forms(
        a_quote("foss-1", casting),
        a_quote("mill-2", an_item("10 EUR per 1")),
        workshop=a_workshop(compared_on="2026-11-02"),
        part=a_part(200, lot="400"),
        suppliers={"foss": a_supplier(name="Foss Castings", processes=["investment casting"])},
    )


def rewritten(path: Path, old: str, new: str) -> None:
    """Change a text in a file by hand; it must stand there once."""
    text = path.read_text(encoding="utf-8")
    if text.count(old) != 1:
        raise ValueError(f"{old!r} stands {text.count(old)} times in {path}")
    path.write_text(text.replace(old, new), encoding="utf-8")


def fingerprints(folder: Path) -> dict[str, str]:
    """The sha256 of every file below a folder, and of every folder that is there, by path."""
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(
            path.read_bytes() if path.is_file() else b""
        ).hexdigest()
        for path in sorted(folder.rglob("*"))
    }
