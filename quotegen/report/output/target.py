"""The folder that a site is written to: whole files only, and never a file of somebody else."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Collection, Iterator
from contextlib import contextmanager
from pathlib import Path

import filelock

from quotegen.report.output.manifest import (
    NAME,
    Made,
    Manifest,
    is_site_path,
    manifest_bytes,
    read_manifest,
)

LOCK = ".quotegen.lock"
MARK = ".quotegen-tmp"


class Busy(Exception):
    """Another report is being written to the same folder."""


class Target:
    """What is ours in the folder, and what was done to it.

    Before a path is written for the first time the manifest claims it, so that what an
    interrupted run left behind is known as ours by the next.
    """

    def __init__(self, folder: Path, manifest_name: str = NAME) -> None:
        """Raises NotBelieved where the folder's manifest is not as we wrote it."""
        self.folder = folder
        self._name = manifest_name
        self.written: list[str] = []
        self.unchanged: list[str] = []
        self.removed: list[str] = []
        manifest = read_manifest(folder, manifest_name)
        self._ours = dict(manifest.files)
        self._whole = manifest.whole
        self._touched: set[Path] = set()

    def is_foreign(self, path: str) -> bool:
        """Whether something stands at the path, or in its way, that we did not write."""
        above = [self.folder / each for each in Path(path).parents]
        if any(each.is_symlink() or (each.exists() and not each.is_dir()) for each in above[:-1]):
            return True
        full = self.folder / path
        if not full.exists() and not full.is_symlink():
            return False
        return path not in self._ours or full.is_symlink() or not full.is_file()

    def claim(self, paths: Collection[str]) -> None:
        """Put on the manifest what is about to be written. Raises ValueError for a way out."""
        if wrong := [path for path in paths if not is_site_path(path)]:
            raise ValueError(f"{wrong[0]!r} is no path of a site")
        missing = [path for path in paths if path not in self._ours]
        self._ours.update({path: Made(sha256=None) for path in missing})
        if missing:
            self.save()

    def holds(self, path: str, key: str) -> bool:
        """Whether the file was made from the same things and is still as it was made."""
        made = self._ours.get(path)
        return (
            made is not None
            and made.key == key
            and made.sha256 is not None
            and made.sha256 == self._sha256_of(path)
        )

    def keep(self, path: str) -> None:
        """Leave the file as it is."""
        self.unchanged.append(path)

    def put(self, path: str, data: bytes, key: str = "") -> None:
        """Write the file unless it has these bytes already. Raises OSError."""
        sha256 = hashlib.sha256(data).hexdigest()
        if self._sha256_of(path) == sha256:
            self.unchanged.append(path)
        else:
            self._write(path, data)
            self.written.append(path)
        self._ours[path] = Made(sha256=sha256, key=key)

    def remove_all_but(self, wanted: Collection[str]) -> Iterator[str]:
        """Remove what we wrote and do not want any more.

        Yields those that somebody has changed since, and those whose bytes nobody noted down,
        as after a run that was broken off: they stay, and are ours no longer.
        """
        for path in sorted(set(self._ours) - set(wanted)):
            if self.is_foreign(path) or not self._is_as_made(path):
                yield path
            else:
                self.remove(path)
            self._ours.pop(path, None)

    def _is_as_made(self, path: str) -> bool:
        now = self._sha256_of(path)
        return now is None or self._ours[path].sha256 == now

    def remove(self, path: str) -> None:
        """Remove one of our files; folders that it leaves empty go too."""
        full = self.folder / path
        if full.is_file():
            full.unlink()
            self.removed.append(path)
            self._touched.add(full.parent)
        self._ours.pop(path, None)
        for above in full.parents:
            if above == self.folder or not above.is_dir() or any(above.iterdir()):
                break
            above.rmdir()

    def is_whole(self, key: str) -> bool:
        """Whether all files were made from what has this key, and are still as they were made."""
        return self._whole == key and all(
            made.sha256 is not None and made.sha256 == self._sha256_of(path)
            for path, made in self._ours.items()
        )

    @property
    def ours(self) -> tuple[str, ...]:
        return tuple(sorted(self._ours))

    def save(self, whole: str = "") -> None:
        """Write the manifest, unless it says the same already; whole as Manifest has it."""
        self._whole = whole
        data = manifest_bytes(Manifest(files=self._ours, whole=whole))
        path = self.folder / self._name
        if not path.is_file() or path.read_bytes() != data:
            self._write(self._name, data)

    def settle(self) -> None:
        """Bring the folders to the disk, so that new names outlast a power cut."""
        for folder in sorted(self._touched):
            if folder.is_dir():
                _sync_folder(folder)
        self._touched.clear()

    def sweep(self) -> None:
        """Remove what a killed run left half-written under a temporary name."""
        folders = {self.folder, *((self.folder / path).parent for path in self._ours)}
        for folder in sorted(folders):
            for left in sorted(folder.glob(f".*{MARK}")):
                left.unlink()

    def _sha256_of(self, path: str) -> str | None:
        full = self.folder / path
        return hashlib.sha256(full.read_bytes()).hexdigest() if full.is_file() else None

    def _write(self, path: str, data: bytes) -> None:
        """Whole or not at all: under a temporary name, brought to the disk, then renamed."""
        full = self.folder / path
        full.parent.mkdir(parents=True, exist_ok=True)
        temporary = full.with_name(f".{full.name}{MARK}")
        handle = os.open(temporary, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_NOFOLLOW, 0o666)
        try:
            with os.fdopen(handle, "wb") as stream:
                stream.write(data)
                stream.flush()
                os.fsync(stream.fileno())
            temporary.replace(full)
        finally:
            temporary.unlink(missing_ok=True)
        self._touched.add(full.parent)


def _sync_folder(folder: Path) -> None:
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


@contextmanager
def locked(folder: Path) -> Iterator[None]:
    """Nobody else writes a report to the folder meanwhile. Raises Busy."""
    lock = filelock.FileLock(folder / LOCK, timeout=0)
    try:
        lock.acquire()
    except filelock.Timeout as error:
        raise Busy from error
    try:
        yield
    finally:
        lock.release()
