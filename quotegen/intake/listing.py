"""What lies in the folders of a workshop, and a word for whatever is lost from sight there."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from pathlib import Path

from quotegen.basics.place import Place
from quotegen.basics.problem import Problem
from quotegen.intake.files import printable

LEFT_BY_SYSTEMS = frozenset({"Thumbs.db", "desktop.ini"})  # by a desktop, into any folder
FOLDERS = ("parts", "suppliers", "quotes", "orders", "decisions")


def listed(root: Path, below: str) -> tuple[list[Path], list[Problem]]:
    """What a folder holds, by name, less what no person put there.

    Nothing where there is no such folder; a problem where something else bears its name.
    """
    folder, place = root / below, Place(printable(below))
    record = f"All that lies in {below}"
    try:
        wrong = _wrong(root, folder, place, below, record)
        if wrong is not None or not folder.is_dir():
            return [], [wrong] if wrong is not None else []
        found = sorted(folder.iterdir())
    except OSError as error:
        seen = error.strerror or type(error).__name__
        return [], [Problem.of("file-unreadable", place, seen=seen, record=record)]
    shown = [path for path in found if is_shown(path.name)]
    return shown, list(_alike(below, shown))


def is_shown(name: str) -> bool:
    """Whether a person put it there: no hidden file, office program's lock or desktop's trace."""
    return not name.startswith((".", "~$")) and name not in LEFT_BY_SYSTEMS


def _wrong(root: Path, folder: Path, place: Place, below: str, record: str) -> Problem | None:
    """Why a folder cannot be looked into; links are followed only inside the workshop's."""
    if folder.is_dir():
        if folder.resolve().is_relative_to(root.resolve()):
            return None
        return Problem.of("file-outside", place, field="folder", seen=below, record=record)
    if not folder.exists() and not folder.is_symlink():
        return None
    seen = "a file" if folder.exists() else "a link that leads nowhere"
    return Problem.of("file-kind", place, seen=seen, expected="a folder", record=record)


def _alike(below: str, paths: Iterable[Path]) -> Iterator[Problem]:
    first: dict[str, str] = {}
    for path in paths:
        before = first.setdefault(path.name.casefold(), path.name)
        if before != path.name:
            place = Place(printable(f"{below}/{path.name}"))
            yield Problem.of("names-collide", place, seen=path.name, expected=before)


def is_folder(path: Path) -> bool:
    """Whether it is a folder, or would be one if its link led anywhere."""
    return path.is_dir() or (path.is_symlink() and not path.exists())


def folders_within(below: str, paths: Iterable[Path], endings: Collection[str]) -> list[Problem]:
    """Notices of folders, among what lies in one, that hold files which nobody will read."""
    return [
        _not_read(f"{below}/{path.name}", path.name, below)
        for path in paths
        if path.is_dir() and _holds(path, endings)
    ]


def _holds(folder: Path, endings: Collection[str]) -> bool:
    try:
        return any(path.suffix.lower() in endings for path in folder.iterdir())
    except OSError:
        return False


def folders_astray(root: Path) -> list[Problem]:
    """Notices of folders whose name is nearly that of one that is read, such as `Quotes`."""
    try:
        found = sorted(path.name for path in root.iterdir() if path.is_dir())
    except OSError:
        return []
    meant = {each: name for each in found if (name := _meant(root, each)) is not None}
    return [_not_read(each, each, name) for each, name in meant.items()]


def _meant(root: Path, name: str) -> str | None:
    alike = (each for each in FOLDERS if name.casefold() in (each, each.removesuffix("s")))
    meant = next(alike, None)
    if meant is None or name == meant:
        return None
    same = (root / meant).exists() and (root / meant).samefile(root / name)
    return None if same else meant


def _not_read(path: str, name: str, expected: str) -> Problem:
    return Problem.of("folder-not-read", Place(printable(path)), seen=name, expected=expected)
