"""The list of what a report wrote: only these files may it replace or remove.

It lies in the site as manifest.json. A seal over its lines tells when it was edited by hand or
torn, and then it is not believed.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

NAME = "manifest.json"
LARGEST = 20_000_000  # bytes; 100,000 files take about 15 million
STEP = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,199}")
ENDINGS = frozenset({".html", ".pdf", ".csv", ".xlsx", ".css", ".js", ".woff2", ".xml"})
DIGEST = re.compile(r"[0-9a-f]{64}")
TELLS = "The files that quotegen wrote here and may replace. Do not edit; delete it with them."


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """A file of ours: sha256 of its bytes, None while it is being written for the first time.

    key is the same when nothing changed that goes into the file; "" where the bytes themselves
    are cheap to make and to compare.
    """

    sha256: str | None
    key: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Manifest:
    """Our files by their path, and the key of all that they were made from.

    whole is "" where the last run was broken off, or had something to tell that a person must
    see again.
    """

    files: Mapping[str, Made]
    whole: str = ""


class NotBelieved(ValueError):
    """The manifest cannot be read or was not written by us; the message says why."""


def is_site_path(path: str) -> bool:
    """Whether it names a file such as a report writes: plain names, no way out, no form of ours.

    Whoever writes a manifest of his own cannot make a report take a workshop's forms for its
    files. Under assets a licence goes with the fonts.
    """
    steps = path.split("/")
    plain = all(STEP.fullmatch(step) and ".." not in step for step in steps)
    known = Path(path).suffix in ENDINGS or (steps[0] == "assets" and path.endswith(".md"))
    return plain and known and len(steps) <= 5


def read_manifest(folder: Path, name: str = NAME) -> Manifest:
    """What lies in the folder and is ours; nothing where there is no manifest.

    Raises NotBelieved.
    """
    path = folder / name
    if path.is_symlink() or (path.exists() and not path.is_file()):
        raise NotBelieved("it is not a plain file")
    if not path.exists():
        return Manifest(files={})
    try:
        if path.stat().st_size > LARGEST:
            raise NotBelieved(f"it has more than {LARGEST:,} bytes")
        tree = json.loads(path.read_bytes())
    except OSError as error:
        raise NotBelieved(error.strerror or "it cannot be read") from error
    except (ValueError, RecursionError) as error:
        raise NotBelieved("it is not JSON") from error
    return _believed(tree)


def _believed(tree: Any) -> Manifest:
    if not isinstance(tree, dict) or tree.get("format") != 1:
        raise NotBelieved("it has another format")
    files, whole = tree.get("files"), tree.get("whole")
    if not isinstance(files, dict) or not isinstance(whole, str):
        raise NotBelieved("it was changed after it was written")
    if tree.get("seal") != _seal(files, whole):
        raise NotBelieved("it was changed after it was written")
    made = {path: _made(path, facts) for path, facts in files.items()}
    return Manifest(files=made, whole=whole)


def _made(path: str, facts: Any) -> Made:
    """A seal is no secret: what it covers is looked at all the same."""
    if not is_site_path(path):
        raise NotBelieved(f"'{path[:100]}' is no path of a site")
    if not isinstance(facts, dict) or facts.keys() != {"sha256", "key"}:
        raise NotBelieved(f"the line of {path} is not as written")
    sha256, key = facts["sha256"], facts["key"]
    digests = [each for each in (sha256, key or None) if each is not None]
    if not all(isinstance(each, str) and DIGEST.fullmatch(each) for each in digests):
        raise NotBelieved(f"the line of {path} is not as written")
    return Made(sha256=sha256, key=key or "")


def manifest_bytes(manifest: Manifest) -> bytes:
    """The manifest as it lies on disk, sorted, with its seal."""
    files = {
        path: {"sha256": made.sha256, "key": made.key} for path, made in manifest.files.items()
    }
    seal = _seal(files, manifest.whole)
    tree = {"format": 1, "tells": TELLS, "files": files, "whole": manifest.whole, "seal": seal}
    return (json.dumps(tree, indent=1, sort_keys=True) + "\n").encode()


def _seal(files: Mapping[str, Any], whole: str) -> str:
    return hashlib.sha256(json.dumps([files, whole], sort_keys=True).encode()).hexdigest()
