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
    given = {"PATH": os.defpath, "HOME": os.devnull, "LANG": "C.UTF-8"} | dict(env or {})
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


def fingerprints(folder: Path) -> dict[str, str]:
    """The sha256 of every file below a folder, and of every folder that is there, by path."""
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(
            path.read_bytes() if path.is_file() else b""
        ).hexdigest()
        for path in sorted(folder.rglob("*"))
    }
