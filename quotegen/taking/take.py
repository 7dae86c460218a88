"""Taking a file in: see it, find facts, ask, write the form beside it, keep the layout."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

from quotegen.basics.place import Place
from quotegen.basics.printed import counted
from quotegen.basics.problem import Problem
from quotegen.intake.answers import BESIDE
from quotegen.intake.files import FORM_BYTES, RawFile, Refused
from quotegen.intake.forms import read_form
from quotegen.intake.yaml_tree import in_words, read_tree
from quotegen.model.question import LEAVE_OUT, Layouts
from quotegen.model.quote import Quote
from quotegen.taking import layout as layouts_of
from quotegen.taking import newer
from quotegen.taking.again import (
    Change,
    carried,
    changes,
    entry_of,
    entry_of_note,
    said_by,
    sums_of,
    with_former,
)
from quotegen.taking.asking import Person, Talk, converse, identity, look_over, rank
from quotegen.taking.assemble import Taken, assemble
from quotegen.taking.comments import Comment, comments_in, with_comments
from quotegen.taking.fact import Ask, Fact, Findings, Sure
from quotegen.taking.finish import finish
from quotegen.taking.form import HEAD, HERE, AnsweredAsk, flow, plain_tree, rendered, tree_of
from quotegen.taking.given import Given
from quotegen.taking.opening import see
from quotegen.taking.screen import WIDTH
from quotegen.taking.seen import Seen
from quotegen.taking.spelling import Around
from quotegen.taking.spot import (
    SUPPLIERS,
    Drafted,
    Spot,
    bytes_of,
    copy_of,
    currency_of,
    drafted_at,
    form_name,
    home_of,
    is_inside,
    names_in,
    raw_of,
    replace,
    spot_of,
)
from quotegen.taking.words import fold

First = Callable[[RawFile, str], Seen | None]

MOST_ROUNDS = 5  # of answers that change how the whole file is read


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """The file to take in, the workshop folder, and whose file it is where that is said.

    instead_of names an earlier file, or its form, whose quote this one replaces. width is that of
    the terminal in which a person is asked.
    """

    file: Path
    folder: Path
    supplier: str | None = None
    instead_of: str | None = None
    width: int = WIDTH


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeResult:
    """What came of it: the form, what is still asked, what changed; or why there is none.

    misused says that the wish does not fit, whatever the file holds. against names the earlier
    quote that changes are held against, where that is another one.
    """

    form: Path | None = None
    refused: str = ""
    misused: bool = False
    problems: tuple[Problem, ...] = ()
    facts: int = 0
    open: tuple[Ask, ...] = ()
    changes: tuple[Change, ...] = ()
    is_again: bool = False
    against: str = ""
    layout_kept: bool = False
    copied: Path | None = None
    has_left: bool = False

    @property
    def told(self) -> tuple[str, ...]:
        """The result in lines for a terminal."""
        if self.form is None:
            return ()
        lines = [f"copied to {self.copied}"] if self.copied is not None else []
        lines += [f"against {self.against}:"] if self.against else []
        lines += [told_of(each) for each in self.changes]
        if (self.is_again or self.against) and not self.changes:
            lines.append("nothing changed")
        lines += [f"open: {in_words(ask.keys)} ({ask.place}): {ask.ask}" for ask in self.open]
        facts, questions = counted(self.facts, "fact"), counted(len(self.open), "open question")
        lines.append(f"wrote {self.form}: {facts}, {questions}")
        if self.has_left and self.open:
            lines.append("Your answers are kept; the same command asks the rest.")
        if self.layout_kept:
            lines.append("The next file of this layout is read the same way.")
        return tuple(lines)


def told_of(change: Change) -> str:
    at = f" ({change.place})" if change.place else ""
    before, now = change.before or "nothing", change.now or "nothing"
    return f"changed: {change.field}: before {before}, now {now}{at}"


def take(wish: Wish, talk: Talk | None = None, first: First | None = None) -> TakeResult:
    """Draft a quote form beside a file, or bring an earlier draft up to date with it.

    talk asks a person; without it the questions stay in the form. first sees files of a kind that
    lies above this floor, such as our own answered request; where it gives None, the kinds of
    opening.py do.
    """
    whose = _whose(wish, talk)
    if whose is None:
        return TakeResult(refused="stopped; nothing was written", misused=True)
    wish = whose
    spot = spot_of(wish.file, wish.folder, wish.supplier)
    if isinstance(spot, str):
        return TakeResult(refused=spot, misused=True)
    record = f"The file {spot.file.name}"
    try:
        raw = raw_of(spot, record)
        seen = (first(raw, record) if first is not None else None) or see(raw, record)
    except Refused as refused:
        return TakeResult(problems=(refused.problem,), refused=refused.problem.message)
    return _Taking(wish, spot, raw, seen, talk).run()


def _whose(wish: Wish, talk: Talk | None) -> Wish | None:
    """The wish with its supplier, who is asked for where a file lies outside; None for a stop."""
    known = names_in(wish.folder / SUPPLIERS)
    is_outside = wish.file.is_file() and not is_inside(wish.file, wish.folder)
    if talk is None or wish.supplier is not None or not is_outside or not known:
        return wish
    lines = ["Whose file is it?", *(f"  {number}  {name}" for number, name in enumerate(known, 1))]
    prompt = "Number or name (Enter: none of these, the form goes beside the file): "
    while True:
        typed = talk([*lines, prompt])
        if typed is None or typed.strip().casefold() == "q":
            return None
        typed = typed.strip()
        if typed.isdigit() and 1 <= int(typed) <= len(known):
            typed = known[int(typed) - 1]
        if not typed or typed in known:
            return dataclasses.replace(wish, supplier=typed or None)
        lines = [f"There is no supplier '{typed[:60]}' under suppliers/."]


class _Taking:
    """One file on its way to a form."""

    def __init__(self, wish: Wish, spot: Spot, raw: RawFile, seen: Seen, talk: Talk | None) -> None:
        self.wish, self.spot, self.raw, self.seen = wish, spot, raw, seen
        kept = bytes_of(spot.below / layouts_of.FILE) if spot.supplier else None
        self.layouts = layouts_of.layouts_in(kept, layouts_of.FILE)
        self.parts = names_in(wish.folder / "parts") if spot.supplier else ()
        self.answers: dict[str, Any] = {}
        self.met = layouts_of.Met()
        self.former: Drafted | None = None
        self.older: Drafted | None = None
        self.settled: tuple[str, ...] = ()
        around = Around(parts=self.parts, heads=_heads_above(seen) if talk else ())
        self.person = (
            Person(talk=talk, seen=seen, width=wish.width, around=around) if talk else None
        )

    def run(self) -> TakeResult:
        taken, found = self._read()
        form = self._form(found)
        if isinstance(form, str):
            return TakeResult(refused=form, misused=True)
        self.former = drafted_at(form)
        if self.former is None and form.exists():
            told = f"{form} is a form of your own; it is not touched"
            return TakeResult(refused=told, misused=True)
        if self.former is not None:
            self._answered_before(self.former.said.answer)
            taken, found = self._read()
        self._older(form, found, taken)
        found, asks = self._joined(found)
        if self.person is not None and not self._is_settled(asks):
            taken, found, asks = self._talk(self.person, taken, found, asks)
        found, asks = _fitting(found, asks)
        return self._write(form, taken, found, asks)

    # reading

    def _given(self) -> Given:
        heads = dict(self.met.heads)
        shown = self.answers.get("layout, heads")
        if isinstance(shown, dict):
            heads |= {fold(str(word)): str(role) for role, word in shown.items()}
        signs = {"comma": ",", "point": "."}
        currency = self.answers.get("currency")
        return Given(
            parts=self.parts,
            currency=currency_of(self.wish.folder, self.spot.supplier) or self.met.currency,
            home=home_of(self.wish.folder),
            currency_said=currency if isinstance(currency, str) else None,
            heads=heads,
            names={fold(word): part for word, part in self.layouts.parts.items()},
            decimal=signs.get(str(self.answers.get("layout, decimal"))),
            layout_decimal=self.met.decimal,
            per=_whole(self.answers.get("layout, price per")),
            layout_per=self.met.per,
            day_first=self.met.day_first,
        )

    def _read(self) -> tuple[Taken, Findings]:
        given = self._given()
        taken = assemble(self.seen, given)
        if self.layouts.layouts:
            self.met = layouts_of.meet(self.layouts.layouts, taken.words, self.raw.place)
            given = self._given()
            taken = assemble(self.seen, given)
            self.met = layouts_of.meet(self.layouts.layouts, taken.words, self.raw.place)
        found = finish(taken.found, given.parts, self.raw.place)
        if self.met.changed is not None:
            found.asks.insert(0, self.met.changed)
        if self.older is not None:
            found.asks.insert(0, newer.question(self.older, self.raw.place))
        return taken, found

    def _answered_before(self, answer: Callable[[str], Any]) -> None:
        """Answers on which the reading of the whole file hangs."""
        for name in (
            "layout, decimal",
            "layout, price per",
            "layout, heads",
            "currency",
            "replaces",
        ):
            said = answer(name)
            if said is not None and said != LEAVE_OUT:
                self.answers[name] = said

    def _joined(self, found: Findings) -> tuple[Findings, list[AnsweredAsk]]:
        """The findings with what the form says already, or a quote that this one replaces."""
        if self.former is not None:
            met = with_former(found, self.former.said)
            self.settled = met.settled
            return met.found, self._carried(self._replacing(list(met.asks)))
        asks = [AnsweredAsk(ask=each) for each in found.asks]
        return found, self._carried(self._replacing(asks))

    def _carried(self, asks: list[AnsweredAsk]) -> list[AnsweredAsk]:
        """Answers of a quote that this one replaces hold for the same questions."""
        is_newer = self.answers.get("replaces") or self.wish.instead_of
        if self.older is None or not is_newer:
            return asks
        before = carried([each.ask for each in asks], self.older.said)
        return [
            each if each.answer is not None else old for each, old in zip(asks, before, strict=True)
        ]

    def _replacing(self, asks: list[AnsweredAsk]) -> list[AnsweredAsk]:
        """A person who named the file that this one replaces has answered about it."""
        if self.wish.instead_of is None:
            return asks
        return [
            dataclasses.replace(each, answer=each.ask.readings[0])
            if each.ask.keys == newer.REPLACES and each.ask.readings else each
            for each in asks
        ]  # fmt: skip

    # which form

    def _form(self, found: Findings) -> Path | str:
        """The form of an earlier file of the same quote, else one by the file's name."""
        own = self.spot.below / form_name(self.spot.file)
        if self.wish.instead_of is None:
            same = newer.same_quote(self.spot, found)
            return same.path if same is not None else own
        older = newer.named(self.spot, self.wish.instead_of)
        if older is None:
            return f"no form in {self.spot.below} was drafted from {self.wish.instead_of}"
        if older.path == own:
            return own
        number = next(iter(found.values("quote")), None)
        if older.said.number is None or number in (None, older.said.number):
            return older.path
        self.older = older
        return own

    def _older(self, form: Path, found: Findings, taken: Taken) -> None:
        """Looks for a quote that this one may replace, where that was not settled before."""
        was_asked = self.former is None or any(
            each.get("field") == "replaces" for each in self.former.said.questions
        )
        if self.older is None and was_asked and self.spot.supplier is not None:
            self.older = newer.looks_newer(self.spot, form, found, taken.words, self._given())
        if self.older is not None:
            found.asks.insert(0, newer.question(self.older, self.raw.place))

    # talking

    def _is_settled(self, asks: Sequence[AnsweredAsk]) -> bool:
        """Whether the same file was taken before and nothing is open: then nobody is asked."""
        same = self.former is not None and self.former.said.sha256 == self.raw.sha256
        return same and all(each.answer is not None for each in asks)

    def _talk(
        self, person: Person, taken: Taken, found: Findings, asks: list[AnsweredAsk]
    ) -> tuple[Taken, Findings, list[AnsweredAsk]]:
        """Questions about the whole file first, since their answers change the others."""
        person.told += self._shown_changes(found, asks)
        for _ in range(MOST_ROUNDS):
            about = [each for each in asks if _is_about_all(each) and _is_open(each, person)]
            if not about or person.has_left:
                break
            said = converse(_none(found), about, person, _more(asks, about, person))
            answers = {in_words(each.ask.keys): each.answer for each in said}
            known = {identity(each.ask): each for each in (*asks, *said)}
            self._answered_before(answers.get)
            if any(answer not in (None, LEAVE_OUT) for answer in answers.values()):
                taken, found = self._read()
                found, asks = self._joined(found)
            asks = _with_answers(asks, known)
        asks = converse(found, asks, person)
        return taken, found, look_over(found, asks, person)

    def _shown_changes(self, found: Findings, asks: Sequence[AnsweredAsk]) -> list[str]:
        """What the file says otherwise than before, shown before anything is asked."""
        against = self.former or self.older
        if against is None:
            return []
        now = said_by(read_tree(_as_form(found, asks), "The form"))
        lines = [told_of(each) for each in changes(against.said, now, found)]
        return [f"Against {against.said.file}:", *lines] if lines else []

    # writing

    def _write(
        self, form: Path, taken: Taken, found: Findings, asks: Sequence[AnsweredAsk]
    ) -> TakeResult:
        form.parent.mkdir(parents=True, exist_ok=True)
        copied = self._copied()
        name = copied.name if copied is not None else self.spot.file.name
        is_beside = self.spot.file.suffix.lower() != ".yaml"
        written = self._taken_keys(name, found) if is_beside else {}
        waiting = [each.ask for each in asks if each.answer is None]
        asks = [each for each in asks if each.ask.keys[0] != "layout" or each.answer is None]
        asks = sorted(asks, key=lambda each: rank(each.ask.keys))
        head = [f"Drafted by quotegen take from {name}.", *HEAD]
        text = rendered(tree_of(found), asks, written, head)
        data = with_comments(text, self._comments(form, found)).encode()
        if len(data) > FORM_BYTES:
            values = {"seen": f"{len(data):,}", "expected": f"{FORM_BYTES:,}"}
            record = f"The draft {form.name}"
            problem = Problem.of("file-too-large", Place(form.name), **values, record=record)
            return TakeResult(problems=(problem,), refused=problem.message)
        now = said_by(read_tree(RawFile(path=form.name, data=data), "The form"))
        replace(form, data)
        against = self.former or self.older
        is_shown = against is not None and (self.former is not None or _is_replaced(asks))
        return TakeResult(
            form=form,
            facts=len(found.facts),
            open=tuple(waiting),
            changes=changes(against.said, now, found) if against is not None and is_shown else (),
            is_again=self.former is not None,
            against=self._against(name) if is_shown else "",
            layout_kept=self._keep_layout(taken, asks, waiting),
            copied=copied,
            has_left=self.person is not None and self.person.has_left,
        )

    def _against(self, name: str) -> str:
        """The earlier file, where it is another than this one."""
        against = self.former or self.older
        if against is None or against.said.file == name:
            return ""
        return f"{against.said.file} (quote {against.said.number or 'without a number'})"

    def _taken_keys(self, name: str, found: Findings) -> dict[str, Any]:
        """What the form keeps of its file: which it is, and what it said beyond doubt."""
        said = [
            entry_of(each) for each in found.facts
            if each.sure is not Sure.BY_HAND and str(each.place) != HERE
        ]  # fmt: skip
        notes = [entry_of_note(each.text) for each in found.kept if str(each.place) != HERE]
        said_of_all = {
            key.removeprefix("layout, "): answer
            for key, answer in self.answers.items()
            if key.startswith("layout, ")
        }
        written: dict[str, Any] = {
            "file": name,
            "file sha256": self.raw.sha256,
            "draft sha256": sums_of((*said, *self.settled, *notes)),
        }
        former = self.former.said if self.former is not None else None
        earlier = (*former.earlier, former.file) if former is not None else ()
        kept = [each for each in dict.fromkeys(earlier) if each != name]
        written |= {"read as": said_of_all} if said_of_all else {}
        return {**written, "instead of": kept} if kept else written

    def _comments(self, form: Path, found: Findings) -> Sequence[Comment]:
        """What a person wrote beside the values of the form that is there."""
        if self.former is None:
            return ()
        said = self.former.said
        every: Sequence[Fact | Ask] = (*found.facts, *found.asks)
        own = {said.file, *said.earlier, self.raw.path, *(each.place.path for each in every)}
        own |= {each.place.path for each in found.kept}
        return comments_in(form.read_text(encoding="utf-8-sig"), tuple(own))

    def _copied(self) -> Path | None:
        """Puts the file into the supplier's folder, where it does not lie there already."""
        path = copy_of(self.spot, self.raw.data)
        if path is not None and not path.exists():
            path.parent.mkdir(parents=True, exist_ok=True)
            replace(path, self.raw.data)
        return path

    def _keep_layout(
        self, taken: Taken, asks: Sequence[AnsweredAsk], waiting: Sequence[Ask]
    ) -> bool:
        """Keeps the layout where a person has answered all that was asked about the file."""
        is_asked = self.person is not None and not self.person.has_left
        confirmed = bool(self.answers) or any(each.answer is not None for each in asks)
        if waiting or self.spot.supplier is None or not (confirmed or is_asked):
            return False
        layouts = self.layouts.layouts
        for words in (each for each in taken.words if len(set(each)) >= 2):
            new = layouts_of.new_layout(words, taken.roles, self._learnt(taken, asks))
            layouts = layouts_of.with_layout(layouts, new)
        parts = {**self.layouts.parts, **layouts_of.parts_named(asks)}
        kept = Layouts(format=1, layouts=layouts, parts=parts)
        data = layouts_of.rendered(kept).encode()
        path = self.spot.below / layouts_of.FILE
        if (not layouts and not parts) or bytes_of(path) == data:
            return False
        replace(path, data)
        return True

    def _learnt(self, taken: Taken, asks: Sequence[AnsweredAsk]) -> layouts_of.Learnt:
        """What a person said about the whole file, by one answer or by several that agree."""
        given, said = self._given(), layouts_of.learnt(asks)
        first = said.day_first if said.day_first is not None else self.met.day_first
        return layouts_of.Learnt(
            decimal=given.decimal or said.decimal or taken.signs.sign or self.met.decimal,
            per=given.per or said.per or self.met.per,
            currency=said.currency or self.met.currency,
            day_first=first,
        )


def _none(found: Findings) -> Findings:
    """A draft without its values: an answer about the whole file cannot break them."""
    return Findings(facts=[each for each in found.facts if each.keys[-1] == "part"])


def _is_about_all(each: AnsweredAsk) -> bool:
    return each.ask.keys[0] == "layout" or each.ask.keys in (("currency",), newer.REPLACES)


def _is_open(each: AnsweredAsk, person: Person) -> bool:
    return each.answer is None and identity(each.ask) not in person.passed


def _more(
    asks: Sequence[AnsweredAsk], about: Sequence[AnsweredAsk], person: Person
) -> int:  # fmt: skip
    """How many questions wait beside these."""
    return sum(_is_open(each, person) for each in asks) - len(about)


def _with_answers(
    asks: Sequence[AnsweredAsk], known: Mapping[str, AnsweredAsk]
) -> list[AnsweredAsk]:
    """The questions of another reading with answers already given; those about all of it stay."""
    made = [
        known[identity(each.ask)] if each.answer is None and identity(each.ask) in known else each
        for each in asks
    ]
    shown = {identity(each.ask) for each in made}
    settled = [
        each for name, each in known.items()
        if name not in shown and _is_about_all(each) and each.answer is not None
    ]  # fmt: skip
    return [*settled, *made]


def _is_replaced(asks: Sequence[AnsweredAsk]) -> bool:
    return any(e.ask.keys == newer.REPLACES and e.answer not in (None, LEAVE_OUT) for e in asks)


def _as_form(found: Findings, asks: Sequence[AnsweredAsk]) -> RawFile:
    text = rendered(tree_of(found), asks, {"file": "x"}, ())
    return RawFile(path="draft", data=text.encode())


def _heads_above(seen: Seen) -> tuple[str, ...]:
    """The words of the row above the first rows of numbers, for a question about heads."""
    for part in (seen, *seen.parts):
        for sheet in part.sheets:
            for above, row in zip(sheet.grid.rows, sheet.grid.rows[1:], strict=False):
                words = [cell.text for cell in above if cell.text and not cell.covered]
                numbers = [cell for cell in row if any(mark.isdigit() for mark in cell.text)]
                is_head = len(words) >= 2 and not any(any(m.isdigit() for m in w) for w in words)
                if is_head and len(numbers) >= 2:
                    return tuple(words)
    return ()


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
            seen = fact.seen or flow(fact.value)
            doubted.append(Ask(keys=fact.keys, seen=seen, place=fact.place, readings=(), ask=ask))
        else:
            kept.append(fact)
    found.facts[:] = kept
    return found, [*asks, *(AnsweredAsk(ask=each) for each in doubted)]


def _whole(value: Any) -> Fraction | None:
    text = str(value or "")
    return Fraction(int(text)) if text.isascii() and text.isdigit() and int(text) > 0 else None
