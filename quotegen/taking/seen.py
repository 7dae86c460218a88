"""What a file shows, in one shape for every kind: sheets of cells, lines of text, remarks.

Nothing is understood here. A kind of file is one module that makes a Seen; whoever reads facts
out of it need not know what kind it was.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from quotegen.basics.place import Place
from quotegen.intake.cells import Cell, Grid
from quotegen.taking.fact import Findings


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A line of text, or a row of a sheet that belongs to no table.

    cells are those of the row. quoted says that it repeats an older message; hidden that a
    person who opens the file does not see it.
    """

    text: str
    place: Place
    cells: tuple[Cell, ...] = ()
    quoted: bool = False
    hidden: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Remark:
    """Something beside the values: a comment, a hidden sheet, a guessed character set.

    is_matter says that a price may hang on it, so that a person is asked.
    """

    text: str
    place: Place
    is_matter: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One table-like part of a file; hidden says that the whole sheet is."""

    title: str
    grid: Grid
    hidden: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """All that a file shows.

    found are facts that the file names itself, as UBL and our own form do. is_draft says that
    no amount in it may be taken without a person's word, as in the body of an e-mail. parts are
    the files that came inside it.
    """

    kind: str
    place: Place
    sheets: tuple[Sheet, ...] = ()
    lines: tuple[Line, ...] = ()
    remarks: tuple[Remark, ...] = ()
    found: Findings = field(default_factory=Findings)
    is_draft: bool = False
    parts: tuple[Seen, ...] = ()
