"""An answered form becomes the values of a quote form, each with the cell that it was read from."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import pairwise
from pathlib import Path
from typing import Any

from quotegen.asking.facts import facts_in, form_in
from quotegen.asking.form import (
    CHARGES,
    OWN_BREAKS,
    PAYMENTS,
    SHEET,
    SURCHARGES,
    TOOLS,
    Blank,
    Facts,
    Kind,
    blanks_of,
)
from quotegen.asking.printed import texts_of
from quotegen.basics.number import Unreadable
from quotegen.basics.place import Place, Places
from quotegen.basics.problem import Problem, in_order
from quotegen.intake.cells import Cell, Grid, currency_of, number_of, plain, row_and_column
from quotegen.intake.draft import Filled
from quotegen.intake.files import XLSX_BYTES, RawFile, read_file
from quotegen.intake.xlsx_table import NamedSheets, read_sheets
from quotegen.intake.yaml_tree import Keys, Tree
from quotegen.model.text import read_date

RECORD = "What this cell says"
LONGEST_NOTE = 2000
REFERENCE = re.compile(r"\$?'?([^'!]{1,40})'?!\$?([A-Z]{1,3})\$?([1-9]\d{0,6})")


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What an answered form says.

    values are those of a quote form, every number as text with its unit; places has the cell of
    each, written the cell's own text. problems are what a person has to settle; where there is
    one with severity error, the value it is about stands nowhere in values.
    """

    facts: Facts
    values: Mapping[str, Any]
    places: Places
    written: Mapping[Keys, str]
    problems: tuple[Problem, ...]

    @property
    def filled(self) -> Filled:
        """The same as what any reader of files hands over, to be checked like every quote."""
        tree = Tree(value=self.values, places=self.places, keys_at={}, written=self.written)
        return Filled(tree=tree, problems=self.problems)


def is_answer_form(raw: RawFile) -> bool:
    """Whether the bytes are a workbook that carries our form's name; raises Refused as a bomb."""
    return form_in(read_sheets(raw, RECORD)) is not None


def read_answer(path: Path) -> Answer | None:
    """The answer in a workbook, or None where it is no form of ours.

    Raises Refused: file-kind, file-swells, table-too-large, file-missing, file-unreadable,
    answer-not-ours where it is a form of ours whose facts were changed.
    """
    return answer_in(read_file(path.parent, path.name, most=XLSX_BYTES, record="The answer"))


def answer_in(raw: RawFile) -> Answer | None:
    """The same from bytes; places name the path of the raw file."""
    sheets = read_sheets(raw, f"The answer {raw.path}")
    if form_in(sheets) is None:
        return None
    return _Reader(raw=raw, sheets=sheets, facts=facts_in(raw, sheets)).answer()


@dataclass(kw_only=True)
class _Reader:
    """Reads one blank after the other and notes what a person has to settle."""

    raw: RawFile
    sheets: NamedSheets
    facts: Facts
    values: dict[str, Any] = field(default_factory=lambda: {"format": "1"})
    places: dict[Keys, Place] = field(default_factory=dict)
    written: dict[Keys, str] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    currency: str = ""

    def answer(self) -> Answer:
        self.blanks = {each.name: each for each in blanks_of(self.facts)}
        self.cells = dict(self._cells())
        self._head()
        self._item()
        self._beside()
        return Answer(
            facts=self.facts,
            values=self.values,
            places=Places(self.raw.place, self.places),
            written=self.written,
            problems=in_order(self.problems),
        )

    # where the blanks are

    @property
    def grid(self) -> Grid:
        return self.sheets.grids.get(SHEET) or Grid(place=self.raw.place, rows=(), is_typed=True)

    def _cells(self) -> Iterator[tuple[str, Cell]]:
        """The cell of each blank; one that was deleted is told."""
        found: dict[str, str] = {}
        for name, blank in self.blanks.items():
            address = _address(self.sheets.names.get(blank.defined, ""))
            if address is None or address in found.values():
                self._wrong("answer-cell-lost", self.raw.place, blank)
                continue
            found[name] = address
            yield name, self.grid.at(address) or self._empty(address)

    def _empty(self, address: str) -> Cell:
        """A cell beyond the last one that is written."""
        return Cell(text="", place=Place(self.raw.place.path, cell=f"{SHEET}!{address}"))

    def _wrong(self, code: str, place: Place, blank: Blank, **values: str) -> None:
        told = {"field": blank.label, "record": f"{blank.label[0].upper()}{blank.label[1:]}"}
        self.problems.append(Problem.of(code, place, **{**told, **values}))

    # one blank

    def _cell(self, name: str) -> Cell | None:
        """The cell of a blank that says something; what cannot be trusted is told."""
        cell, blank = self.cells.get(name), self.blanks[name]
        if cell is None or cell.is_blank:
            return None
        if cell.trouble:
            self._wrong(cell.trouble, cell.place, blank, seen=cell.text)
            return None
        if cell.hidden:
            self._wrong("answer-hidden", cell.place, blank, seen=cell.text)
            return None
        return cell

    def _read(self, name: str, read: Callable[[Cell], str]) -> str | None:
        """The text of a value, or None where there is none or it cannot be read."""
        cell = self._cell(name)
        if cell is None:
            return None
        try:
            return read(cell)
        except Unreadable as error:
            self._wrong(error.code, cell.place, self.blanks[name], **error.values)
            return None

    def text(self, name: str) -> str | None:
        blank = self.blanks[name]
        readers = {
            Kind.TEXT: _plain_text,
            Kind.LONG: _plain_text,
            Kind.CURRENCY: _plain_text,
            Kind.CHOICE: lambda cell: _chosen(cell, blank.choices),
            Kind.DAY: lambda cell: read_date(cell.text).isoformat(),
            Kind.WHOLE: _whole,
            Kind.SHARE: _share,
            Kind.AMOUNT: self._amount,
        }
        return self._read(name, readers[blank.kind])

    def _amount(self, cell: Cell) -> str:
        """An amount in the currency that the answer names; a mark of another one is refused."""
        number, mark = number_of(cell, None)
        if mark == "%" or (mark and currency_of(mark, self.currency, cell.text) != self.currency):
            raise Unreadable(
                "wrong-value", cell.text, f"an amount in {self.currency or 'currency'}"
            )
        if number < 0:
            raise Unreadable("not-positive", cell.text, "zero or more")
        if not self.currency:
            raise Unreadable("wrong-value", cell.text, "a currency among the answers first")
        return f"{_unmistakable(plain(number))} {self.currency}"

    # into the quote form

    def put(self, keys: Keys, name: str, value: str | None = None, form: str = "{}") -> bool:
        """Put what a blank says under its keys; whether it says anything."""
        told = self.text(name) if value is None else value
        if told is None:
            return False
        holder: Any = self.values
        for key, after in pairwise(keys):
            holder = _within(holder, key, [] if isinstance(after, int) else {})
        _within(holder, keys[-1], form.format(told))
        cell = self.cells[name]
        self.places[keys], self.written[keys] = cell.place, cell.text
        self.places.setdefault(keys[:-1], cell.place)
        return True

    def needed(self, keys: Keys, name: str) -> None:
        """A blank without which there is no quote."""
        cell = self.cells.get(name)
        if cell is not None and cell.is_blank:
            self._wrong("answer-empty", cell.place, self.blanks[name])
        self.put(keys, name)

    def _head(self) -> None:
        self.currency = self.text("currency") or ""
        self.needed(("quote",), "quote")
        self.needed(("date",), "date")
        self.put(("valid until",), "valid_until")
        self.needed(("currency",), "currency")
        if self.put(("delivery", "rule"), "rule"):
            self.put(("delivery", "place"), "place")
        self.put(("tax included",), "tax")
        self._payments()
        self.put(("note",), "note")

    def _payments(self) -> None:
        row = 0
        for number in range(1, PAYMENTS + 1):
            keys = ("payment", row)
            if self._is_used("payment_share", "payment_when", "payment_days", number=number):
                self.put((*keys, "share"), f"payment_share_{number}", form="{} %")
                self.put((*keys, "when"), f"payment_when_{number}")
                self.put((*keys, "days"), f"payment_days_{number}")
                row += row < len(self.values.get("payment", ()))

    def _item(self) -> None:
        at: Keys = ("items", 0)
        self.values["items"] = [{"part": self.facts.part}]
        for key in ("revision", "process", "material"):
            self.put((*at, key), key)
        self._prices((*at, "prices"))
        self.put((*at, "breaks"), "breaks")
        self.put((*at, "minimum"), "minimum")
        self.put((*at, "multiple"), "multiple")
        self._unless_nothing((*at, "minimum value", "value"), "minimum_value")
        self._charges((*at, "charges"))
        self._tools((*at, "tools"))
        self._surcharges((*at, "surcharges"))
        self._work(at)
        self._time(at)
        self.put((*at, "origin"), "origin")
        if self.put((*at, "rejects", "share"), "rejects", form="{} %"):
            self.put((*at, "rejects", "found"), "rejects_found")
            self.put((*at, "rejects", "made good"), "rejects_made_good")
        self.put((*at, "quantity tolerance"), "tolerance", form="{} %")
        self.put((*at, "price hold", "until"), "price_hold")
        self._cancelling((*at, "terms", 0))

    def _prices(self, keys: Keys) -> None:
        """The tiers by rising quantity, whatever the order in which they were written."""
        basis = self.text("basis")
        tiers = sorted(self._tiers(), key=lambda each: each[0])
        for index, (start, name, price) in enumerate(tiers):
            self.put((*keys, index, "price"), name, price, f"{{}} per {basis}")
            place = self._place_of_quantity(name)
            self.values["items"][0]["prices"][index]["from"] = str(start)
            self.places[(*keys, index, "from")] = place
        if tiers and basis is None:
            self._without_a_basis()
        if not tiers:
            self._wrong("answer-no-price", self._place("basis"), self.blanks["basis"])
            self.values["items"][0]["prices"] = [{"from": "1", "price": "not quoted"}]

    def _without_a_basis(self) -> None:
        """An amount for nobody knows how many pieces is no price."""
        self._wrong("answer-empty", self._place("basis"), self.blanks["basis"])
        for tier in self.values["items"][0]["prices"]:
            tier["price"] = "not quoted"

    def _place(self, name: str) -> Place:
        cell = self.cells.get(name)
        return cell.place if cell is not None else self.raw.place

    def _place_of_quantity(self, price: str) -> Place:
        return self._place(price.replace("own_price", "own_from"))

    def _tiers(self) -> Iterator[tuple[int, str, str]]:
        for number, quantity in enumerate(self.facts.quantities, 1):
            price = self.text(f"price_{number}")
            if price is not None:
                yield quantity, f"price_{number}", price
        for number in range(1, OWN_BREAKS + 1):
            start, price = self.text(f"own_from_{number}"), self.text(f"own_price_{number}")
            if start is not None and price is not None:
                yield int(start), f"own_price_{number}", price
            elif start is not None or price is not None:
                missing = f"own_{'price' if price is None else 'from'}_{number}"
                self._wrong("answer-row", self._place(missing), self.blanks[missing])

    def _unless_nothing(self, keys: Keys, name: str) -> None:
        """An amount of 0 says that there is no such thing."""
        amount = self.text(name)
        if amount is not None and not amount.startswith("0 "):
            self.put(keys, name, amount)

    def _is_used(self, *names: str, number: int) -> bool:
        cells = (self.cells.get(f"{name}_{number}") for name in names)
        return any(cell is not None and not cell.is_blank for cell in cells)

    def _has(self, *names: str, number: int) -> bool:
        """Whether a row says all that it must; what it lacks is told."""
        missing = [each for each in names if self.text(f"{each}_{number}") is None]
        for each in missing:
            name = f"{each}_{number}"
            cell = self.cells.get(name)
            if cell is not None and cell.is_blank:
                self._wrong("answer-row", cell.place, self.blanks[name])
        return not missing

    def _charges(self, keys: Keys) -> None:
        row = 0
        for name, what, per in _SINGLE_CHARGES:
            amount = self.text(name)
            if amount is not None and not amount.startswith("0 "):
                self._charge((*keys, row), name, what, per)
                row += 1
        for number in range(1, len(self.facts.certificates) + 1):
            name = f"certificate_price_{number}"
            amount = self.text(name)
            if amount is not None and not amount.startswith("0 "):
                what = self.facts.certificates[number - 1]
                self._charge((*keys, row), name, what, "delivery")
                row += 1
        names = ("charge_what", "charge_amount", "charge_per")
        for number in range(1, CHARGES + 1):
            used = self._is_used(*names, "charge_batch", number=number)
            if used and self._has(*names, number=number):
                for key, name in zip(("what", "amount", "per"), names, strict=True):
                    self.put((*keys, row, key), f"{name}_{number}")
                self.put((*keys, row, "batch"), f"charge_batch_{number}")
                row += 1

    def _charge(self, keys: Keys, name: str, what: str, per: str) -> None:
        self.put((*keys, "amount"), name)
        _within(self.values["items"][0]["charges"], keys[-1], {}).update(what=what, per=per)

    def _tools(self, keys: Keys) -> None:
        row = 0
        every = (*(f"tool_{key}" for key in _TOOL_KEYS), "tool_what", "tool_takes")
        for number in range(1, TOOLS + 1):
            used = self._is_used(*every, "tool_span", number=number)
            if not used or not self._has("tool_what", "tool_price", number=number):
                continue
            self.put((*keys, row, "what"), f"tool_what_{number}")
            called = f"{self.facts.part}-{self.facts.supplier}-tool-{number}"
            self.values["items"][0]["tools"][row]["tool"] = called
            for name, (key, form) in _TOOL_KEYS.items():
                self.put((*keys, row, key), f"tool_{name}_{number}", form=form)
            self._span((*keys, row, "takes"), f"tool_takes_{number}", f"tool_span_{number}")
            row += 1
        if row and self.text("no_tools") is not None:
            self._wrong("answer-both", self._place("no_tools"), self.blanks["no_tools"])

    def _span(self, keys: Keys, count: str, unit: str) -> None:
        """A number with its unit of time; one without the other says nothing."""
        number, word = self.text(count), self.text(unit)
        if number is not None and word is not None:
            self.put(keys, count, f"{number} {word}")
        elif number is not None or word is not None:
            missing = count if number is None else unit
            self._wrong("answer-row", self._place(missing), self.blanks[missing])

    def _surcharges(self, keys: Keys) -> None:
        row = 0
        every = ("what", "rate", "per_kg", "index", "dated")
        for number in range(1, SURCHARGES + 1):
            names = {each: f"surcharge_{each}" for each in every}
            used = self._is_used(*names.values(), number=number)
            if not used or not self._has(names["what"], number=number):
                continue
            rate, each = (self.text(f"{names[key]}_{number}") for key in ("rate", "per_kg"))
            if (rate is None) == (each is None):
                blank = self.blanks[f"{names['rate']}_{number}"]
                self._wrong("answer-one-of", self._place(blank.name), blank)
                continue
            self.put((*keys, row, "what"), f"{names['what']}_{number}")
            self.put((*keys, row, "rate"), f"{names['rate']}_{number}", form="{} %")
            self.put((*keys, row, "price"), f"{names['per_kg']}_{number}", form="{} per kg")
            self.put((*keys, row, "index"), f"{names['index']}_{number}")
            self.put((*keys, row, "dated"), f"{names['dated']}_{number}")
            row += 1

    def _work(self, at: Keys) -> None:
        """Operations, certificates and what is held, by what stands beside each of them."""
        counts = {"includes": 0, "excludes": 0, "certificates": 0, "can hold": 0}

        def add(key: str, name: str, value: Any) -> None:
            self.put((*at, key, counts[key]), name, "")
            self.values["items"][0][key][counts[key]] = value
            counts[key] += 1

        for number, operation in enumerate(self.facts.operations, 1):
            said = self.text(f"operation_{number}")
            if said is not None:
                key = "includes" if said == "included" else "excludes"
                add(key, f"operation_{number}", operation)
        for number, certificate in enumerate(self.facts.certificates, 1):
            if self.text(f"certificate_{number}") == "yes":
                add("certificates", f"certificate_{number}", certificate)
        for number, held in enumerate(self.facts.held, 1):
            said = self.text(f"held_{number}")
            if said == "yes":
                add("can hold", f"held_{number}", dict(held.ability))
            elif said == "no":
                self._not_held(f"held_{number}", held.label)

    def _not_held(self, name: str, label: str) -> None:
        place, blank = self._place(name), self.blanks[name]
        self._wrong("answer-not-held", place, blank, seen=label)

    def _time(self, at: Keys) -> None:
        self._span((*at, "lead time"), "lead_time", "lead_span")
        self.put((*at, "lead time from"), "lead_from")
        self.put((*at, "capacity a month"), "capacity")

    def _cancelling(self, keys: Keys) -> None:
        """What can be cancelled costs nothing unless somebody cancels: it is noted only."""
        if self.put((*keys, "text"), "cancelling"):
            _within(self.values["items"][0]["terms"], 0, {}).update(
                {"term": "cancelling", "could turn": "no"}
            )

    # what no blank holds

    def _beside(self) -> None:
        """Nothing that was written outside the blanks is lost: each is told with its place."""
        ours = texts_of(self.facts)
        blanks = {cell.place for cell in self.cells.values()}
        found = [
            *(each for each in self._written_elsewhere(blanks) if each[1] not in ours),
            *self.sheets.remarks,
        ]
        for place, text in found:
            self.problems.append(Problem.of("answer-beside", place, seen=text))
        if found:
            told = [
                self.values.get("note", ""),
                *(f"({place.cell}) {text}" for place, text in found),
            ]
            self.values["note"] = _shortened(" ".join(each for each in told if each))
            self.places.setdefault(("note",), found[0][0])

    def _written_elsewhere(self, blanks: set[Place]) -> Iterator[tuple[Place, str]]:
        for title in self.sheets.grids:
            if title != SHEET and title not in self.sheets.shown:
                continue
            for row in self.sheets.grids[title].rows:
                for cell in row:
                    if not cell.is_blank and not cell.covered and cell.place not in blanks:
                        yield cell.place, " ".join(cell.text.split())


_SINGLE_CHARGES = (
    ("set_up", "set-up", "order"),
    ("packing", "packing", "delivery"),
    ("first_article", "first-article report", "revision"),
)
_TOOL_KEYS = {
    "price": ("price", "{}"),
    "cavities": ("cavities", "{}"),
    "life": ("life", "{} shots"),
    "owner": ("owner", "{}"),
    "replacement": ("replacement", "{}"),
    "samples": ("samples", "{}"),
}


def _address(reference: str) -> str | None:
    """The cell of our sheet that a defined name leads to; None for anything else."""
    match = REFERENCE.fullmatch(reference)
    if match is None or match[1] != SHEET:
        return None
    address = f"{match[2]}{match[3]}"
    row_and_column(address)
    return address


def _within(holder: Any, key: str | int, fresh: Any) -> Any:
    """What a group or list holds under a key, put there first where nothing is."""
    if isinstance(holder, dict):
        return holder.setdefault(key, fresh)
    if key == len(holder):
        holder.append(fresh)
    return holder[key]


def _unmistakable(number: str) -> str:
    """Never three decimals: 1.845 would be a thousand to half of Europe."""
    return f"{number}0" if len(number.partition(".")[2]) == 3 else number


def _shortened(note: str) -> str:
    """What a note can hold; the file has the rest, and each remark has a problem of its own."""
    more = " (cut; the file has more)"
    return note if len(note) <= LONGEST_NOTE else note[: LONGEST_NOTE - len(more)] + more


def _plain_text(cell: Cell) -> str:
    return cell.text.strip()


def _chosen(cell: Cell, choices: tuple[str, ...]) -> str:
    """One of the words of the list; capitals and blanks around it do not matter."""
    said = " ".join(cell.text.split()).casefold()
    for each in choices:
        if said == each.casefold():
            return each
    raise Unreadable("wrong-value", cell.text, "one of: " + ", ".join(choices))


def _whole(cell: Cell) -> str:
    number, mark = number_of(cell, None)
    if mark or number.denominator != 1:
        raise Unreadable("wrong-value", cell.text, "a whole number")
    if number < 0:
        raise Unreadable("not-positive", cell.text, "zero or more")
    return plain(number)


def _share(cell: Cell) -> str:
    number, mark = number_of(cell, None)
    if mark not in ("", "%"):
        raise Unreadable("wrong-value", cell.text, "a percentage")
    if not 0 <= number <= 100:
        raise Unreadable("wrong-value", cell.text, "a percentage from 0 to 100")
    return plain(Fraction(number))
