"""Bring a site to the disk: only what changed is made again, and only our own files replaced."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from quotegen.basics.place import Place
from quotegen.basics.problem import Problem, in_order
from quotegen.report.output.manifest import NAME, NotBelieved
from quotegen.report.output.target import Busy, Target, locked
from quotegen.report.paper.pdf import Document, Unprinted
from quotegen.report.paper.presses import print_all, workers_here

Progress = Callable[[int, int, str], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Costly:
    """A file that takes long to make; key is the same when the file would be."""

    key: str
    make: Callable[[], bytes]


@dataclass(frozen=True, slots=True, kw_only=True)
class Printable:
    """A document with the letters that its font lacks, and the problems met on the way."""

    document: Document
    lacking: str = ""
    problems: tuple[Problem, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Contents:
    """All files of a site by their path: plain bytes, costly ones, and documents to print.

    plain is told whether there are PDFs on this machine, since pages lead to them; its paths
    are the same in both cases. manifest is the file that lists what is ours in the folder; with
    others_stay, what an earlier run wrote and this one does not stays where it is.
    """

    plain: Callable[[bool], Mapping[str, bytes]]
    costly: Mapping[str, Costly]
    printable: Mapping[str, Callable[[], Printable]]
    manifest: str = NAME
    others_stay: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteResult:
    """What was done in the folder, as sorted paths below it, and what could not be done."""

    written: tuple[str, ...] = ()
    unchanged: tuple[str, ...] = ()
    removed: tuple[str, ...] = ()
    problems: tuple[Problem, ...] = ()


def write_contents(contents: Contents, to: Path, progress: Progress, whole: str = "") -> SiteResult:
    """Write a site to a folder, which is made where it is missing.

    progress is told, for each file, how many are done, how many there are, and its path.
    whole is a key of everything that the contents are made from; where nothing went wrong it
    is kept for is_current. Raises OSError where the folder itself cannot be made or read.
    """
    to.mkdir(parents=True, exist_ok=True)
    try:
        with locked(to):
            return Writer(Target(to, contents.manifest), contents, progress).run(whole)
    except Busy:
        return _nothing(Problem.of("site-busy", Place(str(to))))
    except NotBelieved as error:
        place = Place(str(to / contents.manifest))
        return _nothing(Problem.of("site-manifest", place, seen=str(error)))


def is_current(to: Path, whole: str) -> SiteResult | None:
    """What is left as it is, where a run with this key went well and nobody touched its files."""
    try:
        target = Target(to)
    except NotBelieved:
        return None
    return SiteResult(unchanged=target.ours) if target.is_whole(whole) else None


def _nothing(problem: Problem) -> SiteResult:
    return SiteResult(problems=(problem,))


class Writer:
    """One run over the files of a site; it collects problems and goes on."""

    def __init__(self, target: Target, contents: Contents, progress: Progress) -> None:
        self._target = target
        self._contents = contents
        self._progress = progress
        self._problems: list[Problem] = []
        self._done = 0
        self._has_papers = True
        self._plain = contents.plain(True)
        self._paths = frozenset([*self._plain, *contents.costly, *contents.printable])
        self._free = self._free_paths()

    def run(self, whole: str) -> SiteResult:
        """Papers come first: the pages must know whether there are any."""
        target = self._target
        target.sweep()
        target.claim(sorted(self._free))
        done = False
        try:
            self._print()
            self._write_plain()
            self._write_costly()
            if not self._contents.others_stay:
                self._remove_old()
            done = not self._problems
        finally:
            target.save(whole if done else "")
            target.settle()
        return SiteResult(
            written=tuple(sorted(target.written)),
            unchanged=tuple(sorted(target.unchanged)),
            removed=tuple(sorted(target.removed)),
            problems=in_order(self._problems),
        )

    def _free_paths(self) -> frozenset[str]:
        """The paths where nothing of somebody else stands."""
        foreign = {path for path in self._paths if self._target.is_foreign(path)}
        self._problems += [Problem.of("site-file-foreign", self._place(path)) for path in foreign]
        return self._paths - foreign

    def _write_plain(self) -> None:
        plain = self._plain if self._has_papers else self._contents.plain(False)
        for path in self._in_turn(plain):
            self._put(path, plain[path])

    def _write_costly(self) -> None:
        for path in self._in_turn(self._contents.costly):
            costly = self._contents.costly[path]
            if self._target.holds(path, costly.key):
                self._target.keep(path)
            else:
                self._put(path, costly.make(), costly.key)

    def _print(self) -> None:
        """Documents whose PDF is still good are not printed again; an outdated one goes."""
        keys: dict[str, str] = {}
        for path, outcome in print_all(self._unprinted(keys), workers_here()):
            if isinstance(outcome, Unprinted):
                self._give_up(path, outcome)
            else:
                self._put(path, outcome, keys[path])
            self._step(path)

    def _unprinted(self, keys: dict[str, str]) -> Iterator[tuple[str, Document]]:
        """What must be printed, made one by one; the key of each is noted down."""
        for path in sorted(self._free & self._contents.printable.keys()):
            printable = self._contents.printable[path]()
            self._note(path, printable)
            key = printable.document.key
            if self._target.holds(path, key):
                self._target.keep(path)
                self._step(path)
            else:
                keys[path] = key
                yield path, printable.document

    def _give_up(self, path: str, outcome: Unprinted) -> None:
        """No PDF is better than an old one; missing libraries are one problem of all of them."""
        place = self._place(path)
        if outcome.code == "pdf-libraries-missing":
            self._has_papers = False
            place = Place(str(self._target.folder))
        self._problems.append(Problem.of(outcome.code, place, seen=outcome.why))
        self._target.remove(path)

    def _note(self, path: str, printable: Printable) -> None:
        self._problems += printable.problems
        if printable.lacking:
            seen = " ".join(printable.lacking)
            self._problems.append(Problem.of("pdf-letters", self._place(path), seen=seen))

    def _remove_old(self) -> None:
        for path in self._target.remove_all_but(self._paths):
            self._problems.append(Problem.of("site-file-changed", self._place(path)))

    def _put(self, path: str, data: bytes, key: str = "") -> None:
        try:
            self._target.put(path, data, key)
        except OSError as error:
            seen = error.strerror or type(error).__name__
            self._problems.append(Problem.of("site-not-written", self._place(path), seen=seen))

    def _in_turn(self, paths: Mapping[str, object]) -> Iterator[str]:
        for path in sorted(self._free & paths.keys()):
            yield path
            self._step(path)

    def _step(self, path: str) -> None:
        self._done += 1
        self._progress(self._done, len(self._free), path)

    def _place(self, path: str) -> Place:
        return Place(str(self._target.folder / path))
