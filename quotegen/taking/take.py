"""Taking a file in: see it, find facts, ask, write the form beside it, keep the layout."""

from __future__ import annotations

import dataclasses
import os
import re
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

from quotegen.basics.place import Place, Places
from quotegen.basics.printed import counted
from quotegen.basics.problem import Problem
from quotegen.intake.answers import BESIDE
from quotegen.intake.files import FORM_BYTES, RawFile, Refused, is_name, read_file
from quotegen.intake.forms import read_form
from quotegen.intake.yaml_tree import Tree, in_words, read_tree
from quotegen.model.question import LEAVE_OUT
from quotegen.model.quote import Quote
from quotegen.taking import layout as layouts_of
from quotegen.taking.again import Before, Change, before, changes, said_by, with_former
from quotegen.taking.asking import Talk, confirm, converse
from quotegen.taking.assemble import Taken, assemble
from quotegen.taking.fact import Ask, Findings
from quotegen.taking.finish import finish
from quotegen.taking.form import AnsweredAsk, draft_sha256, plain_tree, rendered, tree_of
from quotegen.taking.given import Given
from quotegen.taking.opening import KINDS, MAIL_BYTES, see
from quotegen.taking.seen import Seen
from quotegen.taking.words import fold

First = Callable[[RawFile, str], Seen | None]

MOST_OF_A_NAME = 100
MOST_ROUNDS = 5  # of answers that change how the whole file is read


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """The file to take in, the workshop folder, and whose file it is where that is said."""

    file: Path
    folder: Path
    supplier: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeResult:
    """What came of it: the form, what is still asked, what changed; or why there is none.

    misused says that the wish does not fit, whatever the file holds.
    """

    form: Path | None = None
    refused: str = ""
    misused: bool = False
    problems: tuple[Problem, ...] = ()
    facts: int = 0
    open: tuple[Ask, ...] = ()
    changes: tuple[Change, ...] = ()
    is_again: bool = False
    layout_kept: bool = False
    copied: Path | None = None

    @property
    def told(self) -> tuple[str, ...]:
        """The result in lines for a terminal."""
        if self.form is None:
            return ()
        lines = [f"copied to {self.copied}"] if self.copied is not None else []
        for each in self.changes if self.is_again else ():
            at = f" ({each.place})" if each.place else ""
            lines.append(
                f"changed: {each.field}: before {each.before or 'nothing'}, now "
                f"{each.now or 'nothing'}{at}"
            )
        if self.is_again and not self.changes:
            lines.append("nothing changed")
        lines += [f"open: {in_words(ask.keys)} ({ask.place}): {ask.ask}" for ask in self.open]
        facts, questions = counted(self.facts, "fact"), counted(len(self.open), "open question")
        lines.append(f"wrote {self.form}: {facts}, {questions}")
        if self.layout_kept:
            lines.append("The next file of this layout is read the same way.")
        return tuple(lines)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Spot:
    """Where the file lies, or will lie: the folder of a supplier, or any folder."""

    file: Path
    below: Path
    supplier: str | None
    copy_to: Path | None = None


def take(wish: Wish, talk: Talk | None = None, first: First | None = None) -> TakeResult:
    """Draft a quote form beside a file, or bring an earlier draft up to date with it.

    talk asks a person; without it the questions stay in the form. first sees files of a kind that
    lies above this floor, such as our own answered request; where it gives None, the kinds of
    opening.py do.
    """
    spot = _spot(wish)
    if isinstance(spot, str):
        return TakeResult(refused=spot, misused=True)
    record = f"The file {spot.file.name}"
    try:
        raw = _raw(spot, record)
        seen = (first(raw, record) if first is not None else None) or see(raw, record)
    except Refused as refused:
        return TakeResult(problems=(refused.problem,), refused=refused.problem.message)
    return _Taking(wish, spot, raw, seen, talk).run()


def _spot(wish: Wish) -> _Spot | str:
    """The place of the file, or why it cannot be taken."""
    file, quotes = wish.file.resolve(), (wish.folder / "quotes").resolve()
    inside = file.parent.parent == quotes
    refused = _refused(wish, file, is_inside=inside)
    if refused:
        return refused
    if inside:
        return _Spot(file=file, below=file.parent, supplier=file.parent.name)
    if wish.supplier is None:
        return _Spot(file=file, below=file.parent, supplier=None)
    home = quotes / wish.supplier
    return _Spot(file=file, below=home, supplier=wish.supplier, copy_to=home)


def _refused(wish: Wish, file: Path, *, is_inside: bool) -> str:
    """Why a wish does not fit; "" where it does."""
    is_form = file.suffix.lower() == ".yaml"
    owner = file.parent.name
    if not wish.file.is_file():
        told = f"there is no file {wish.file}"
    elif file.suffix.lower() not in KINDS:
        told = f"{wish.file.name} is of a kind that is not read; known: {', '.join(KINDS)}"
    elif wish.supplier is not None and not is_name(wish.supplier):
        told = f"'{wish.supplier}' cannot be the name of a supplier"
    elif is_inside and wish.supplier not in (None, owner):
        told = f"{wish.file} lies in the folder of {owner}, not of {wish.supplier}"
    elif is_inside and is_form:
        told = f"{wish.file} is a form already; `quotegen check` reads it"
    elif is_form and wish.supplier is None:
        told = "a form is brought in with --supplier, which says whose it is"
    else:
        told = ""
    return told


def _raw(spot: _Spot, record: str) -> RawFile:
    """The bytes, under the name that the file has, or will have, beside its form."""
    raw = read_file(spot.file.parent, spot.file.name, most=MAIL_BYTES, record=record)
    copy = _copy_of(spot, raw.data)
    return RawFile(path=copy.name if copy is not None else spot.file.name, data=raw.data)


def _copy_of(spot: _Spot, data: bytes) -> Path | None:
    """Where the file goes in the supplier's folder; one of that name with other content stays."""
    if spot.copy_to is None or spot.file.suffix.lower() == ".yaml":
        return None
    stem = re.sub(r"[^a-z0-9._-]+", "-", fold(spot.file.stem)).strip("-._")[:56] or "file"
    for number in range(1, MOST_OF_A_NAME):
        tail = f"-{number}" if number > 1 else ""
        path = spot.copy_to / f"{stem}{tail}{spot.file.suffix.lower()}"
        if _bytes(path) in (None, data):
            return path
    raise FileExistsError(17, "a hundred files of this name are there", str(spot.copy_to))


class _Taking:
    """One file on its way to a form."""

    def __init__(
        self, wish: Wish, spot: _Spot, raw: RawFile, seen: Seen, talk: Talk | None
    ) -> None:
        self.wish, self.spot, self.raw, self.seen, self.talk = wish, spot, raw, seen, talk
        self.layouts = layouts_of.layouts_in(_bytes(spot.below / layouts_of.FILE), layouts_of.FILE)
        self.answers: dict[str, Any] = {}
        self.met = layouts_of.Met(heads={})

    def run(self) -> TakeResult:
        taken, found = self._read()
        form = self._form(found)
        tree = _tree_at(form)
        former = before(tree) if tree is not None else None
        if tree is not None and former is None:
            return TakeResult(
                refused=f"{form} is a form of your own; it is not touched", misused=True
            )
        if former is not None:
            self._layout_answers(former.layout_answer)
            taken, found = self._read()
        asks = self._joined(found, former)
        if self.talk is not None:
            taken, found, asks = self._talk(taken, found, asks, former)
        found, asks = _fitting(found, asks)
        return self._write(form, taken, found, asks, former)

    # reading

    def _given(self) -> Given:
        heads = dict(self.met.heads)
        shown = self.answers.get("heads")
        if isinstance(shown, dict):
            heads |= {fold(str(word)): str(role) for role, word in shown.items()}
        decimal = {"comma": ",", "point": "."}.get(
            str(self.answers.get("decimal")), self.met.decimal
        )
        return Given(
            parts=_names_in(self.wish.folder / "parts") if self.spot.supplier else (),
            currency=_currency(self.wish.folder, self.spot.supplier),
            heads=heads,
            decimal=decimal,
            per=_whole(self.answers.get("price per")) or self.met.per,
            day_first=self.met.day_first,
        )

    def _read(self) -> tuple[Taken, Findings]:
        given = self._given()
        taken = assemble(self.seen, given)
        if self.layouts:
            self.met = layouts_of.meet(self.layouts, taken.words, self.raw.place)
            given = self._given()
            taken = assemble(self.seen, given)
            self.met = layouts_of.meet(self.layouts, taken.words, self.raw.place)
        found = finish(taken.found, given.parts, self.raw.place)
        if self.met.changed is not None:
            found.asks.insert(0, self.met.changed)
        return taken, found

    def _layout_answers(self, said: Any) -> None:
        for key in ("decimal", "price per", "heads"):
            answer = said(key)
            if answer is not None and answer != LEAVE_OUT:
                self.answers[key] = answer

    def _joined(self, found: Findings, former: Before | None) -> list[AnsweredAsk]:
        if former is None:
            return [AnsweredAsk(ask=each) for each in found.asks]
        held, asks = with_former(found, former)
        found.facts[:] = held.facts
        found.kept[:] = held.kept
        return list(asks)

    def _talk(
        self, taken: Taken, found: Findings, asks: list[AnsweredAsk], former: Before | None
    ) -> tuple[Taken, Findings, list[AnsweredAsk]]:
        """Questions about the whole file first, since their answers change the others."""
        assert self.talk is not None  # noqa: S101
        for _ in range(MOST_ROUNDS):
            about = [each for each in asks if each.ask.keys[0] == "layout" and each.answer is None]
            if not about:
                break
            said = converse(Findings(), about, self.seen, self.talk)
            answers = {str(each.ask.keys[1]): each.answer for each in said}
            if not any(answer is not None and answer != LEAVE_OUT for answer in answers.values()):
                break
            self._layout_answers(answers.get)
            taken, found = self._read()
            settled = [each for each in said if each.answer is not None]
            asks = [*settled, *self._joined(found, former)]
        corrected = confirm(found, self.talk)
        return taken, found, corrected + converse(found, asks, self.seen, self.talk)

    # writing

    def _form(self, found: Findings) -> Path:
        """The form of an earlier file of the same quote, else one by the file's name."""
        number = next(iter(found.values("quote")), None)
        for path in sorted(self.spot.below.glob("*.yaml")) if self.spot.below.is_dir() else ():
            tree = _tree_at(path) if number is not None and is_name(path.stem) else None
            if tree is not None and before(tree) is not None and tree.text("quote") == number:
                return path
        name = re.sub(r"[^a-z0-9._-]+", "-", fold(self.spot.file.stem)).strip("-._")[:60] or "quote"
        if not is_name(name) or name == "layouts":
            name = f"quote-{name}"[:60].replace("..", "-")
        return self.spot.below / f"{name}.yaml"

    def _write(
        self,
        form: Path,
        taken: Taken,
        found: Findings,
        asks: Sequence[AnsweredAsk],
        former: Before | None,
    ) -> TakeResult:
        form.parent.mkdir(parents=True, exist_ok=True)
        copied = self._copied()
        name = copied.name if copied is not None else self.spot.file.name
        tree = tree_of(found)
        is_beside = self.spot.file.suffix.lower() != ".yaml"
        written = {
            "file": name,
            "file sha256": self.raw.sha256,
            "draft sha256": draft_sha256(plain_tree(tree)),
        }
        if former is not None and former.is_touched:
            written["draft sha256"] = "changed by a person"
        waiting = [each.ask for each in asks if each.answer is None]
        asks = [each for each in asks if each.ask.keys[0] != "layout" or each.answer is None]
        head = [
            f"Drafted by quotegen take from {name}.",
            "Behind each value stands where it was written, and how.",
            "What is in doubt stands under `questions`: answer there, or correct a value above.",
        ]
        data = rendered(tree, asks, written if is_beside else {}, head).encode()
        now = said_by(read_tree(RawFile(path=form.name, data=data), "The form"))
        replace(form, data)
        return TakeResult(
            form=form,
            facts=len(found.facts),
            open=tuple(waiting),
            changes=changes(former, now, found) if former is not None else (),
            is_again=former is not None,
            layout_kept=self._keep_layout(taken, asks, waiting),
            copied=copied,
        )

    def _copied(self) -> Path | None:
        """Puts the file into the supplier's folder, where it does not lie there already."""
        path = _copy_of(self.spot, self.raw.data)
        if path is not None and not path.exists():
            path.parent.mkdir(parents=True, exist_ok=True)
            replace(path, self.raw.data)
        return path

    def _keep_layout(
        self, taken: Taken, asks: Sequence[AnsweredAsk], waiting: Sequence[Ask]
    ) -> bool:
        """Keeps the layout where a person has answered all that was asked about the file."""
        confirmed = bool(self.answers) or any(each.answer is not None for each in asks)
        if waiting or not taken.words or self.spot.supplier is None:
            return False
        if self.met.is_known or not (confirmed or self.talk is not None):
            return False
        given = self._given()
        shown = [each for each in taken.words if len(set(each)) >= 2]
        kept = self.layouts
        for words in shown:
            new = layouts_of.new_layout(
                tuple(dict.fromkeys(words)),
                taken.roles,
                given.decimal or taken.signs.sign,
                given.per,
            )
            kept = layouts_of.with_layout(kept, new)
        if shown:
            replace(self.spot.below / layouts_of.FILE, layouts_of.rendered(kept).encode())
        return bool(shown)


def _fitting(found: Findings, asks: list[AnsweredAsk]) -> tuple[Findings, list[AnsweredAsk]]:
    """A fact that the form would refuse is a question; so a draft never breaks a form."""
    tree = plain_tree(tree_of(found))
    text = rendered(tree_of(found), (), {"file": "x"}, ())
    raw = RawFile(path="draft", data=text.encode())
    whole = read_tree(raw, "The draft")
    rest = {key: value for key, value in whole.value.items() if key not in BESIDE}
    _, problems = read_form(Quote, dataclasses.replace(whole, value=rest), "The draft")
    wrong = {}
    for each in problems:
        if each.code not in ("missing-field", "list-empty", "stray-words", "value-empty"):
            wrong[dict(each.values).get("field", "")] = each.message
    if not wrong or not tree:
        return found, asks
    kept, doubted = [], []
    counts: dict[Any, int] = {}
    for fact in found.facts:
        number = counts.get(fact.keys, 0)
        counts[fact.keys] = number + 1
        name = in_words(fact.keys)
        told = [
            m
            for f, m in wrong.items()
            if f == name or f.startswith((f"{name},", f"{name} {number + 1}"))
        ]
        if told:
            ask = f"This cannot stand in a form: {told[0]} What is right?"
            doubted.append(
                Ask(keys=fact.keys, seen=fact.seen, place=fact.place, readings=(), ask=ask)
            )
        else:
            kept.append(fact)
    found.facts[:] = kept
    return found, [*asks, *(AnsweredAsk(ask=each) for each in doubted)]


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


def _bytes(path: Path) -> bytes | None:
    return path.read_bytes() if path.is_file() else None


def _tree_at(path: Path) -> Tree | None:
    """The tree of a form; None where there is none. One that cannot be read is a person's own."""
    if not path.exists():
        return None
    try:
        return read_tree(
            read_file(path.parent, path.name, most=FORM_BYTES, record="The form"), "The form"
        )
    except Refused:
        return Tree(value={}, places=Places(Place(path.name), {}), keys_at={})


def _names_in(folder: Path) -> tuple[str, ...]:
    if not folder.is_dir():
        return ()
    return tuple(sorted(path.stem for path in folder.glob("*.yaml") if is_name(path.stem)))


def _currency(folder: Path, supplier: str | None) -> str | None:
    path = folder / "suppliers" / f"{supplier}.yaml"
    tree = _tree_at(path) if supplier is not None and path.is_file() else None
    return tree.text("currency") if tree is not None else None


def _whole(value: Any) -> Fraction | None:
    text = str(value or "")
    return Fraction(int(text)) if text.isascii() and text.isdigit() and int(text) > 0 else None
