"""Where a file lies or will lie in a workshop folder, and what lies there already."""

from __future__ import annotations

import os
import re
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from quotegen.basics.place import Place, Places
from quotegen.intake.files import FORM_BYTES, RawFile, Refused, is_name, read_file
from quotegen.intake.yaml_tree import Tree, read_tree
from quotegen.taking.again import Before, before
from quotegen.taking.opening import KINDS, MAIL_BYTES
from quotegen.taking.words import fold

MOST_OF_A_NAME = 100
QUOTES, SUPPLIERS = "quotes", "suppliers"


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """Where the file lies, or will lie: the folder of a supplier, or any folder."""

    file: Path
    below: Path
    supplier: str | None
    copy_to: Path | None = None


def is_inside(file: Path, folder: Path) -> bool:
    """Whether a file lies in the folder of a supplier."""
    return file.resolve().parent.parent == (folder / QUOTES).resolve()


def spot_of(file: Path, folder: Path, supplier: str | None) -> Spot | str:
    """The place of the file, or why it cannot be taken."""
    refused = _refused(file, folder, supplier)
    if refused:
        return refused
    whole = file.resolve()
    if is_inside(file, folder):
        return Spot(file=whole, below=whole.parent, supplier=whole.parent.name)
    if supplier is None:
        return Spot(file=whole, below=whole.parent, supplier=None)
    home = (folder / QUOTES).resolve() / supplier
    return Spot(file=whole, below=home, supplier=supplier, copy_to=home)


def _refused(file: Path, folder: Path, supplier: str | None) -> str:
    """Why a wish does not fit; "" where it does."""
    is_form, inside = file.suffix.lower() == ".yaml", is_inside(file, folder)
    owner = file.resolve().parent.name
    if not file.is_file():
        told = f"there is no file {file}"
    elif file.suffix.lower() not in KINDS:
        told = f"{file.name} is of a kind that is not read; known: {', '.join(KINDS)}"
    elif supplier is not None and not is_name(supplier):
        told = f"'{supplier}' cannot be the name of a supplier"
    elif inside and supplier not in (None, owner):
        told = f"{file} lies in the folder of {owner}, not of {supplier}"
    elif inside and is_form:
        told = f"{file} is a form already; `quotegen check` reads it"
    elif is_form and supplier is None:
        told = "a form is brought in with --supplier, which says whose it is"
    else:
        told = _unknown(supplier, names_in(folder / SUPPLIERS))
    return told


def _unknown(supplier: str | None, known: tuple[str, ...]) -> str:
    if supplier is None or not known or supplier in known:
        return ""
    return (
        f"there is no supplier '{supplier}'; suppliers/ has {', '.join(known[:12])}. "
        "Write its form first"
    )


def raw_of(spot: Spot, record: str) -> RawFile:
    """The bytes, under the name that the file has, or will have, beside its form."""
    raw = read_file(spot.file.parent, spot.file.name, most=MAIL_BYTES, record=record)
    copy = copy_of(spot, raw.data)
    return RawFile(path=copy.name if copy is not None else spot.file.name, data=raw.data)


def copy_of(spot: Spot, data: bytes) -> Path | None:
    """Where the file goes in the supplier's folder; one of that name with other content stays."""
    if spot.copy_to is None or spot.file.suffix.lower() == ".yaml":
        return None
    stem = re.sub(r"[^a-z0-9._-]+", "-", fold(spot.file.stem)).strip("-._")[:56] or "file"
    for number in range(1, MOST_OF_A_NAME):
        tail = f"-{number}" if number > 1 else ""
        path = spot.copy_to / f"{stem}{tail}{spot.file.suffix.lower()}"
        if bytes_of(path) in (None, data):
            return path
    raise FileExistsError(17, "a hundred files of this name are there", str(spot.copy_to))


@dataclass(frozen=True, slots=True, kw_only=True)
class Drafted:
    """A form that was drafted from a file."""

    path: Path
    said: Before


def drafted_in(below: Path) -> Iterator[Drafted]:
    """The forms of a folder that were drafted from files, by name."""
    for path in sorted(below.glob("*.yaml")) if below.is_dir() else ():
        found = drafted_at(path) if is_name(path.stem) else None
        if found is not None:
            yield found


def drafted_at(path: Path) -> Drafted | None:
    """The draft at a path; None where there is none, or a form of a person's own."""
    tree = tree_at(path)
    said = before(tree, path.read_text(encoding="utf-8")) if tree is not None else None
    return Drafted(path=path, said=said) if said is not None else None


def form_name(file: Path) -> str:
    """The name of the form beside a file."""
    name = re.sub(r"[^a-z0-9._-]+", "-", fold(file.stem)).strip("-._")[:60] or "quote"
    if not is_name(name) or name == "layouts":
        name = f"quote-{name}"[:60].replace("..", "-")
    return f"{name}.yaml"


def replace(path: Path, data: bytes) -> None:
    """Whole or as before: the bytes are on the disk before they get the name."""
    handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=".", suffix=".tmp")
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        mask = os.umask(0)
        os.umask(mask)
        Path(temporary).chmod(0o666 & ~mask)
        Path(temporary).replace(path)
    finally:
        Path(temporary).unlink(missing_ok=True)


def bytes_of(path: Path) -> bytes | None:
    return path.read_bytes() if path.is_file() else None


def tree_at(path: Path) -> Tree | None:
    """The tree of a form; None where there is none. One that cannot be read is a person's own."""
    if not path.exists():
        return None
    try:
        return read_tree(
            read_file(path.parent, path.name, most=FORM_BYTES, record="The form"), "The form"
        )
    except Refused:
        return Tree(value={}, places=Places(Place(path.name), {}), keys_at={})


def names_in(folder: Path) -> tuple[str, ...]:
    """The names of the forms in a folder."""
    if not folder.is_dir():
        return ()
    return tuple(sorted(path.stem for path in folder.glob("*.yaml") if is_name(path.stem)))


def home_of(folder: Path) -> str | None:
    """The workshop's own currency."""
    path = folder / "workshop.yaml"
    tree = tree_at(path) if path.is_file() else None
    return tree.text("currency") if tree is not None else None


def currency_of(folder: Path, supplier: str | None) -> str | None:
    """The currency that a supplier's form names."""
    path = folder / SUPPLIERS / f"{supplier}.yaml"
    tree = tree_at(path) if supplier is not None and path.is_file() else None
    return tree.text("currency") if tree is not None else None
