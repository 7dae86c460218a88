"""A workshop folder becomes records: everything that can be read, and every problem in one run."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

from quotegen.basics.place import Place
from quotegen.basics.problem import Problem, Severity, in_order
from quotegen.intake.answers import is_layouts, read_layouts, with_answers
from quotegen.intake.checks import Finding, Known, Record, operations_of, without_lines
from quotegen.intake.draft import Filled
from quotegen.intake.files import FORM_BYTES, Refused, bad_name, is_name, printable, read_file
from quotegen.intake.fit_checks import PART_FIT_CHECKS, what_the_supplier_holds
from quotegen.intake.folder_checks import (
    Numbered,
    chains_end,
    numbers_twice,
    replaced_are_known,
    tools_alike,
)
from quotegen.intake.forms import at_most, read_form
from quotegen.intake.listing import folders_astray, folders_within, is_folder, listed
from quotegen.intake.order_checks import (
    ORDER_CHECKS,
    OrdersCase,
    inspection_stands_once,
    inspector_known,
)
from quotegen.intake.quote_form import read_quote
from quotegen.intake.readers import (
    READERS,
    is_beside,
    is_reading_form,
    quote_in,
    read_through,
)
from quotegen.intake.workshop_checks import (
    PART_CHECKS,
    SUPPLIER_CHECKS,
    WORKSHOP_CHECKS,
    PartCase,
    SupplierCase,
    WorkshopCase,
)
from quotegen.intake.yaml_tree import Tree, read_tree
from quotegen.model.entry import Entry, Folder, QuoteEntry
from quotegen.model.orders import Orders
from quotegen.model.part import Part
from quotegen.model.question import Taken
from quotegen.model.supplier import Supplier
from quotegen.model.workshop import Workshop

WORKSHOP = "workshop.yaml"
QUOTES = "quotes"
ORDERS = "The order list of"
FORM_ENDING = ".yaml"
MOST_TAKEN = 20_000_000  # bytes of a file that a form was drafted from


def read_folder(path: Path) -> Folder:
    """Everything that can be read from a workshop folder, and every problem, sorted.

    Every item of a quote in it is of a part in it, and every quote of a supplier in it. Decisions
    are left empty: the reader of records fills them in (dataclasses.replace).
    """
    return _FolderReader(path).read()


def _shown(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """The problems in order, of each file no more than a person will read, errors first."""
    by_file = itertools.groupby(in_order(problems), key=lambda each: each.place.path)
    shown: list[Problem] = []
    for path, found in by_file:
        worst_first = sorted(found, key=lambda each: each.severity is Severity.NOTICE)
        shown += at_most(worst_first, len(worst_first), Place(path))
    return in_order(shown)


class _FolderReader:
    """Reads the forms of one folder, record kind by record kind, and gathers problems."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self.problems: list[Problem] = []
        self.numbered: dict[tuple[str, str], Numbered] = {}
        self.received: set[str] = set()

    def read(self) -> Folder:
        if not self.root.is_dir():
            place = Place(printable(str(self.root)))
            self.problems.append(Problem.of("folder-missing", place, seen=str(self.root)))
        self.problems += folders_astray(self.root)
        workshop = self._workshop()
        ours = workshop.record if workshop is not None else None
        operations = operations_of(ours)
        months = ours.planning_months if ours is not None else None
        parts, broken_parts = self._parts(operations, months, ours)
        suppliers, broken_suppliers = self._suppliers()
        known = Known(
            parts=frozenset(parts),
            broken_parts=broken_parts,
            suppliers=frozenset(suppliers),
            broken_suppliers=broken_suppliers,
            operations=operations,
        )
        return Folder(
            workshop=workshop,
            parts=parts,
            suppliers=suppliers,
            quotes=self._quotes(known),
            orders=self._orders(known, suppliers),
            decisions=(),
            problems=_shown(self.problems),
        )

    def _workshop(self) -> Entry[Workshop] | None:
        def check(tree: Tree, record: Workshop, called: str) -> Iterator[Finding]:
            case = WorkshopCase(tree=tree, record=called, workshop=record)
            return (finding for each in WORKSHOP_CHECKS for finding in each(case))

        entry = None
        if (self.root / WORKSHOP).exists() or (self.root / WORKSHOP).is_symlink():
            entry = self._entry(Workshop, WORKSHOP, "workshop", "The form workshop.yaml", check)
        if entry is None:
            self.problems.append(Problem.of("workshop-missing", Place(WORKSHOP)))
        return entry

    def _parts(
        self, operations: frozenset[str] | None, months: int | None, ours: Workshop | None
    ) -> tuple[dict[str, Entry[Part]], frozenset[str]]:
        def check(tree: Tree, record: Part, called: str) -> Iterator[Finding]:
            case = PartCase(
                tree=tree, record=called, part=record, operations=operations, months=months
            )
            checks = (*PART_CHECKS, *PART_FIT_CHECKS, inspection_stands_once)
            yield from (finding for each in checks for finding in each(case))
            yield from inspector_known(case, ours)

        return self._entries(Part, "parts", "The part", check)

    def _suppliers(self) -> tuple[dict[str, Entry[Supplier]], frozenset[str]]:
        def check(tree: Tree, record: Supplier, called: str) -> Iterator[Finding]:
            case = SupplierCase(tree=tree, record=called, supplier=record)
            checks = (*SUPPLIER_CHECKS, what_the_supplier_holds)
            return (finding for each in checks for finding in each(case))

        return self._entries(Supplier, "suppliers", "The supplier", check)

    def _orders(
        self, known: Known, suppliers: dict[str, Entry[Supplier]]
    ) -> dict[str, Entry[Orders]]:
        """What was ordered so far, by part."""
        sellers = {name: entry.record for name, entry in suppliers.items()}

        def check(tree: Tree, record: Orders, called: str) -> Iterator[Finding]:
            part = called.removeprefix(f"{ORDERS} ")
            case = OrdersCase(
                tree=tree, record=called, part=part, orders=record, known=known, suppliers=sellers
            )
            return (finding for each in ORDER_CHECKS for finding in each(case))

        return self._entries(Orders, "orders", ORDERS, check)[0]

    def _entries(
        self,
        kind: type[Record],
        below: str,
        called: str,
        check: Callable[[Tree, Record, str], Iterable[Finding]],
    ) -> tuple[dict[str, Entry[Record]], frozenset[str]]:
        """The sound records of a folder of forms by name, and the names of the others."""
        sound: dict[str, Entry[Record]] = {}
        broken: set[str] = set()
        for name, path in self._forms(below, called):
            entry = self._entry(kind, path, name, f"{called} {name}", check)
            if entry is None:
                broken.add(name)
            else:
                sound[name] = entry
        return sound, frozenset(broken)

    def _entry(
        self,
        kind: type[Record],
        path: str,
        name: str,
        called: str,
        check: Callable[[Tree, Record, str], Iterable[Finding]],
    ) -> Entry[Record] | None:
        tree = self._tree(path, called)
        if tree is None:
            return None
        record, problems = read_form(kind, tree, called)
        self.problems += [*tree.problems, *problems]
        if record is None:
            return None
        findings = tuple(check(tree, record, called))
        self.problems += [finding.problem for finding in findings]
        left = without_lines(record, tree.places, findings)
        if left is None or tree.problems:
            return None
        return Entry(name=name, record=left[0], places=left[1], files=(path,))

    def _tree(self, path: str, called: str) -> Tree | None:
        try:
            return read_tree(read_file(self.root, path, most=FORM_BYTES, record=called), called)
        except Refused as refused:
            self.problems.append(refused.problem)
            return None

    # what lies in a folder

    def _forms(self, below: str, called: str) -> Iterator[tuple[str, str]]:
        """The name and path of each form in a folder, by name; other files are looked at too."""
        for path in self._listed(below):
            name, ending = path.stem, path.suffix
            shown = f"{below}/{path.name}"
            if ending.lower() not in {".yaml", ".yml"}:
                continue
            if ending != FORM_ENDING:
                self._note("form-ending", shown, seen=path.name, record=f"{called} {name}")
            elif is_name(name):
                yield name, shown
            else:
                problem = bad_name(name, Place(printable(shown)), f"{called} {name}")
                self.problems.append(problem)

    def _listed(self, below: str) -> list[Path]:
        """What a folder holds, by name; what is wrong with it is noted."""
        found, problems = listed(self.root, below)
        self.problems += problems
        if below != QUOTES:
            self.problems += folders_within(below, found, {FORM_ENDING, *READERS})
        return found

    def _note(self, code: str, path: str, **values: str) -> None:
        self.problems.append(Problem.of(code, Place(printable(path)), **values))

    # quotes

    def _quotes(self, known: Known) -> tuple[QuoteEntry, ...]:
        found = [
            entry
            for supplier in self._supplier_folders()
            for entry in self._quotes_of(supplier, known)
        ]
        numbered = tuple(self.numbered.values())
        spoilt = [*numbers_twice(numbered), *chains_end(found)]
        self.problems += [problem for _, _, problem in spoilt]
        gone = {(supplier, name) for supplier, name, _ in spoilt}
        sound = [entry for entry in found if (entry.supplier, entry.name) not in gone]
        self.problems += replaced_are_known(sound, numbered)
        self.problems += tools_alike(sound)
        return tuple(sound)

    def _supplier_folders(self) -> Iterator[str]:
        for path in self._listed(QUOTES):
            shown = f"{QUOTES}/{path.name}"
            if not is_folder(path):
                if path.suffix.lower() in {".yaml", ".yml", *READERS}:
                    self._note("quote-loose", shown, seen=path.name, record="The quote in it")
            elif is_name(path.name):
                yield path.name
            else:
                record = f"All that lies in {shown}"
                self.problems.append(bad_name(path.name, Place(printable(shown)), record))

    def _quotes_of(self, supplier: str, known: Known) -> Iterator[QuoteEntry]:
        below = f"{QUOTES}/{supplier}"
        for name, path in self._forms(below, "The quote"):
            try:
                entry = self._quote(supplier, name, path, known)
            except Refused as refused:
                self.problems.append(refused.problem)
                continue
            if entry is not None:
                yield entry
        for file in self._listed(below):
            path = f"{below}/{file.name}"
            if file.suffix.lower() in READERS and path not in self.received:
                self._note("file-not-read", path, seen=file.name)

    def _quote(self, supplier: str, name: str, path: str, known: Known) -> QuoteEntry | None:
        """One quote, read from its form or through it; raises Refused."""
        called = f"The quote {name}"
        self.numbered[supplier, name] = Numbered.unread(supplier, name, path)
        tree = read_tree(read_file(self.root, path, most=FORM_BYTES, record=called), called)
        if is_layouts(tree):
            del self.numbered[supplier, name]
            self.problems += [*tree.problems, *read_layouts(tree, called)[1]]
            return None
        if not is_reading_form(tree):
            self._number(supplier, name, tree)
            return self._taken(tree, supplier, name, path, known)
        self._note_received(tree, path)
        self._number(supplier, name, quote_in(tree) or tree)
        filled, problems, received = read_through(self.root, tree, path, name)
        self.problems += problems
        if filled is None or received is None:
            return None
        self._number(supplier, name, filled.tree)
        return self._checked(filled, supplier, name, (path, received), known)

    def _taken(
        self, tree: Tree, supplier: str, name: str, path: str, known: Known
    ) -> QuoteEntry | None:
        """A quote from its own form, the answers to its questions put in their places."""
        said = with_answers(tree, name)
        self.problems += said.problems
        files: tuple[str, ...] = (path,)
        if said.received is not None:
            received = f"{path.rpartition('/')[0]}/{said.received.file}"
            home = path.rpartition("/")[0]
            self.received |= {received, *(f"{home}/{each}" for each in said.received.instead_of)}
            files = (path, received)
            self._hold_against(said.received, received, tree, f"The quote {name}")
        filled = Filled(
            tree=said.tree, broken=said.broken, is_sound=said.is_sound, asked=said.asked
        )
        return self._checked(filled, supplier, name, files, known)

    def _hold_against(self, taken: Taken, path: str, tree: Tree, record: str) -> None:
        """Whether the file that a form was drafted from is still the same; raises Refused."""
        at = tree.places.of("taken", "file")
        values = {"field": "taken, file", "seen": taken.file, "record": record}
        if not is_beside(taken.file):
            raise Refused(Problem.of("file-outside", at, **values))
        raw = read_file(
            self.root, path, most=MOST_TAKEN, record=record, field="taken, file", named_at=at
        )
        if raw.sha256 != taken.file_sha256:
            raise Refused(Problem.of("taken-changed", at, seen=taken.file, record=record))

    def _checked(
        self, filled: Filled, supplier: str, name: str, files: tuple[str, ...], known: Known
    ) -> QuoteEntry | None:
        entry, problems = read_quote(filled, name=name, supplier=supplier, files=files, known=known)
        self.problems += problems
        return entry

    def _note_received(self, tree: Tree, path: str) -> None:
        reads = tree.text("reads")
        if reads is not None:
            self.received.add(f"{path.rpartition('/')[0]}/{reads}")

    def _number(self, supplier: str, name: str, tree: Tree) -> None:
        """Notes the number of a quote; what a file as received says comes later and counts."""
        self.numbered[supplier, name] = Numbered.of(supplier, name, tree)
