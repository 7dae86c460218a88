"""Files as received, read through a reading form: one reader for each kind of file.

The seam for further kinds (PDF, e-mail, UBL): write one module with a function of the type
Reader and name it in READERS. A reader gets the bytes of the file, the tree of the whole
reading form and what it says, and the quote's file name. It returns the tree of an ordinary
quote form, in which every value keeps the place where it stands in the file, together with
the problems met and what these spoil (see draft.Filled; a table is best made a cells.Grid
and handed to tables.fill). Where nothing of the file can be used it raises Refused. It does
not check what the values mean: that is done for every quote alike afterwards. A library that
only this kind needs is imported inside the function that needs it.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping
from pathlib import Path, PurePosixPath

from quotegen.basics.problem import Problem
from quotegen.intake.csv_table import read_csv
from quotegen.intake.draft import Filled, quote_called
from quotegen.intake.files import CSV_BYTES, XLSX_BYTES, RawFile, Refused, read_file
from quotegen.intake.forms import read_form
from quotegen.intake.xlsx_table import read_xlsx
from quotegen.intake.yaml_tree import Tree
from quotegen.model.reading import Reading

Reader = Callable[[RawFile, Tree, Reading, str], Filled]


@dataclasses.dataclass(frozen=True, slots=True, kw_only=True)
class FileKind:
    """How a kind of file is read, and how many bytes of it at most."""

    read: Reader
    most: int


READERS: Mapping[str, FileKind] = {
    ".csv": FileKind(read=read_csv, most=CSV_BYTES),
    ".tsv": FileKind(read=read_csv, most=CSV_BYTES),
    ".xlsx": FileKind(read=read_xlsx, most=XLSX_BYTES),
}


def is_reading_form(tree: Tree) -> bool:
    """Whether a form among the quotes says where values stand instead of saying them."""
    return isinstance(tree.value, dict) and ("reads" in tree.value or "columns" in tree.value)


def quote_in(tree: Tree) -> Tree | None:
    """The quote form inside a reading form, or None where there is none."""
    is_there = isinstance(tree.value, dict) and isinstance(tree.value.get("quote"), dict)
    return tree.within("quote") if is_there else None


def read_through(
    folder: Path, tree: Tree, path: str, name: str
) -> tuple[Filled | None, tuple[Problem, ...], str | None]:
    """The quote that a reading form at a path finds in the file beside it.

    Returns the filled quote form, or None and the problems of the reading form; and the path
    of the file as received. Raises Refused where that file cannot be used.
    """
    quote = quote_in(tree)
    record = quote_called(quote, name) if quote is not None else f"The quote {name}"
    form, problems = read_form(Reading, _without_quote(tree), record)
    if form is None:
        return None, (*tree.problems, *problems), None
    beside, kind = _beside(tree, path, form.reads, record)
    raw = read_file(
        folder,
        beside,
        most=kind.most,
        record=record,
        field="reads",
        named_at=tree.places.of("reads"),
    )
    filled = kind.read(raw, tree, form, name)
    whole = dataclasses.replace(filled.tree, problems=tree.problems)
    return dataclasses.replace(filled, tree=whole), (), beside


def _without_quote(tree: Tree) -> Tree:
    """The reading form with an empty quote in it, which is checked when it is filled."""
    value = tree.value
    if quote_in(tree) is not None:
        value = {**value, "quote": {}}
    return dataclasses.replace(tree, value=value)


def is_beside(name: str) -> bool:
    """Whether a name can only mean a file in the same folder."""
    return "/" not in name and "\\" not in name and name not in {".", ".."} and name.isprintable()


def _beside(tree: Tree, path: str, reads: str, record: str) -> tuple[str, FileKind]:
    place = tree.places.of("reads")
    values = {"field": "reads", "seen": reads, "record": record}
    if not is_beside(reads):
        raise Refused(Problem.of("file-outside", place, **values))
    kind = READERS.get(PurePosixPath(reads).suffix.lower())
    if kind is None:
        raise Refused(Problem.of("file-kind-unknown", place, **values, expected=", ".join(READERS)))
    return str(PurePosixPath(path).parent / reads), kind
