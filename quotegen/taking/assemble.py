"""What a file shows becomes facts, questions and notes: tables first, then every line."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from quotegen.basics.place import Place
from quotegen.intake.cells import MOST_ROWS
from quotegen.taking.beside import read_beside
from quotegen.taking.charges import MONEY
from quotegen.taking.context import Context, Reader
from quotegen.taking.currency import currency_of_file
from quotegen.taking.fact import Ask, Findings, Kept
from quotegen.taking.figures import NUMBER, Basis, Signs, amounts_in, basis_in, dates_in, signs_of
from quotegen.taking.given import Given
from quotegen.taking.heads import Laid, Row, lay_out
from quotegen.taking.items import items_of, names_of, our_part
from quotegen.taking.joining import joined
from quotegen.taking.moving import moving_price
from quotegen.taking.older import set_apart
from quotegen.taking.pricing import Priced, Setting
from quotegen.taking.prose import TERMS, tax
from quotegen.taking.seen import Line, Seen, Sheet
from quotegen.taking.tiers import check_totals, place_tiers, prices_of
from quotegen.taking.tool_tables import read_tools, tool_tables_in
from quotegen.taking.tooling import bind
from quotegen.taking.words import PIECES, fold

MOST_LINES = MOST_ROWS
MOST_AMOUNTS = 40  # in one line; a sentence has a handful
MOST_TABLES = 10_000  # in one sheet, by its rows
BARE_NUMBER = re.compile(rf"^\W{{0,3}}({NUMBER})\W{{0,3}}$")


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """What was found, and the head words by which the prices were: they are the layout."""

    found: Findings
    words: tuple[tuple[str, ...], ...] = ()
    roles: Mapping[str, str] = field(default_factory=dict)
    signs: Signs = field(default_factory=Signs)


def assemble(seen: Seen, given: Given) -> Taken:
    """The findings of a file and of the files inside it."""
    whole = _one(seen, given)
    for inside in seen.parts:
        other = assemble(inside, given)
        whole = dataclasses.replace(
            whole,
            found=joined(whole.found, other.found),
            words=whole.words + other.words,
            roles={**whole.roles, **other.roles},
            signs=other.signs if other.words else whole.signs,
        )
    return whole


def _one(seen: Seen, given: Given) -> Taken:
    """The findings of one file, without those inside it."""
    found = Findings()
    found.add(seen.found)
    found.kept.clear()
    signs = _signs(seen, given)
    laid = [(sheet, lay_out(sheet.grid, signs, given.heads)) for sheet in seen.sheets]
    tools = [each for _, result in laid for each in tool_tables_in(result, given.heads)]
    lines = [*_loose(laid), *(set_apart(seen.lines) if seen.kind == "mail" else seen.lines)]
    lines += [Line(text=each.text, place=each.place) for each in seen.found.kept]
    lines = [_readable(line, found) for line in _bounded(lines, found)]
    currency = currency_of_file(seen, laid, lines, given, found)
    setting = _setting(signs, currency, lines, given)
    prices = list(_all_prices(laid, setting))
    items = items_of(prices, seen, given, found, lines)
    place_tiers(items, setting, found, is_draft=seen.is_draft)
    context = Context(
        signs=signs,
        currency=setting.currency,
        home=given.home,
        items=tuple(names_of(items, seen)),
        day_first=_day_first(lines, given),
    )
    mixed = _several_parts(lines, given) if not items else ()
    for line in lines:
        before = len(found.facts)
        _read_line(line, context, found, is_draft=seen.is_draft)
        _doubt_costs(found, before, mixed)
    read_tools(tools, context, found)
    _read_heads(laid, context, found)
    check_totals(prices, lines, signs, found)
    for _, result in laid:
        read_beside(result, context, found)
    if not prices and not found.values("items", 0, "prices"):
        _ask_heads(laid, found)
    _remarks(seen, found)
    return _taken(found, laid, signs)


def _setting(
    signs: Signs, currency: tuple[str, ...], lines: Sequence[Line], given: Given
) -> Setting:
    """What holds for all prices of a file."""
    return Setting(
        signs=signs,
        currency=currency,
        home=given.home,
        basis=_basis_for_all(lines, given),
        is_declared=given.per is not None,
        by_layout=None if given.layout_per is None else _as_said(given.layout_per),
        claims=_claims(lines),
    )


def _taken(found: Findings, laid: Sequence[tuple[Sheet, Laid]], signs: Signs) -> Taken:
    tables = [table for _, result in laid for table in result.tables if table.tiers]
    roles = {fold(cell.text): role for table in tables for role, cell in table.heads.items()}
    words = tuple(table.words for table in tables)
    return Taken(found=found, words=words, roles=roles, signs=signs)


def _bounded(lines: Sequence[Line], found: Findings) -> Sequence[Line]:
    """So many lines as are read; the others are kept, and a person is asked about them."""
    beyond = lines[MOST_LINES:]
    if beyond:
        found.kept += [Kept(text=line.text, place=line.place) for line in beyond]
        ask = (
            f"Only the first {MOST_LINES:,} of {len(lines):,} lines are read for what they say. "
            "Does another change a price or a term? Answer in words, or `leave out`."
        )
        first = beyond[0]
        found.asks.append(
            Ask(keys=("notes",), seen=first.text, place=first.place, readings=(), ask=ask)
        )
    return lines[:MOST_LINES]


_RUN = re.compile(r"\S{101,}")  # longer than any word or number


def _readable(line: Line, found: Findings) -> Line:
    """A line without words that nobody can read, on which a search takes long; it is kept whole."""
    if _RUN.search(line.text) is None:
        return line
    found.kept.append(Kept(text=line.text, place=line.place))
    return dataclasses.replace(line, text=_RUN.sub("\N{HORIZONTAL ELLIPSIS}", line.text))


def _all_prices(laid: Sequence[tuple[Sheet, Laid]], setting: Setting) -> Iterator[Priced]:
    for number, (sheet, result) in enumerate(laid):
        for each in prices_of(result, setting, number * MOST_TABLES):
            hidden = ("it stands on a hidden sheet",) if sheet.hidden else ()
            above = f"\0{sheet.title} {each.part[1:]}" if each.part.startswith("\0") else each.part
            yield dataclasses.replace(each, part=above, doubts=(*each.doubts, *hidden))


def _several_parts(lines: Sequence[Line], given: Given) -> tuple[str, ...]:
    """Our parts that the lines of a file without a table name, where there are several."""
    named = [our_part(line.text, given) for line in lines if not line.quoted]
    found = tuple(dict.fromkeys(part for part in named if part is not None))
    return found if len(found) > 1 else ()


def _doubt_costs(found: Findings, start: int, mixed: Sequence[str]) -> None:
    """Where a file names several parts in its lines, a cost is of one of them: that is asked."""
    for fact in found.facts[start:] if mixed else ():
        if fact.keys[-1] in ("prices", "tools", "charges"):
            ask = f"The file names several parts ({', '.join(mixed)}). For which of them is this?"
            found.facts.remove(fact)
            found.asks.append(
                Ask(
                    keys=fact.keys,
                    seen=fact.seen,
                    place=fact.place,
                    readings=(fact.value,),
                    ask=ask,
                )
            )


def _read_heads(laid: Sequence[tuple[Sheet, Laid]], context: Context, found: Findings) -> None:
    """What the heads of price columns say of tax."""
    told: set[str] = set()
    for _, result in laid:
        for table in result.tables:
            cell = table.heads.get("price")
            if cell is not None and cell.text not in told and table.tiers:
                told.add(cell.text)
                reader = Reader(Line(text=cell.text, place=cell.place), context, is_draft=False)
                tax(reader)
                found.add(reader.found)


def _remarks(seen: Seen, found: Findings) -> None:
    for remark in seen.remarks:
        found.kept.append(Kept(text=remark.text, place=remark.place))
        if remark.is_matter:
            ask = "Does this change a price or a term? Answer in words, or `leave out`."
            found.asks.append(
                Ask(keys=("notes",), seen=remark.text, place=remark.place, readings=(), ask=ask)
            )


def _signs(seen: Seen, given: Given) -> Signs:
    """The decimal sign of a file: as a person said, else as its layout has it.

    A layout's sign counts for nothing where a number of the file can only be read by the other
    one, or where none of them shows it.
    """
    numbers = list(_numbers(seen))
    own, by_layout = signs_of(numbers, given.decimal), given.layout_decimal
    if given.decimal is not None or by_layout is None:
        return own
    against = own.points if by_layout == "," else own.commas
    is_shown = any(by_layout in each for each in numbers)
    return own if against or not is_shown else signs_of(numbers, by_layout)


def _numbers(seen: Seen) -> Iterator[str]:
    """The numbers of a file that show its decimal sign: whole cells, and amounts in lines."""
    for sheet in seen.sheets:
        for row in sheet.grid.rows:
            for cell in row:
                if cell.number is None and not cell.covered and cell.text:
                    yield from _numbers_of(cell.text)
    for line in seen.lines:
        yield from (each.number for each in amounts_in(line.text))


def _numbers_of(text: str) -> Iterator[str]:
    bare = BARE_NUMBER.match(text)
    if bare is not None:
        yield bare[1]
    else:
        yield from (each.number for each in amounts_in(text))


def _loose(laid: Iterable[tuple[object, Laid]]) -> Iterator[Line]:
    for _, result in laid:
        for row in result.loose:
            line = line_of(row)
            if line.text:
                yield line


def line_of(row: Row) -> Line:
    """A row that belongs to no table as a line; the cells of a merged one count once."""
    cells = tuple(cell for cell in row if not cell.is_blank and not cell.covered)
    place = cells[0].place if cells else Place("")
    hidden = bool(cells) and all(cell.hidden for cell in cells)
    text = "  ".join(" ".join(cell.text.split()) for cell in cells)
    return Line(text=text, place=place, cells=cells, hidden=hidden)


def _as_said(count: Fraction) -> Basis:
    return Basis(count=count, unit="piece", said="as a person said")


def _basis_for_all(lines: Iterable[Line], given: Given) -> Basis | None:
    """A sentence that says what all prices are for, such as `Preise je 100 St\u00fcck`."""
    if given.per is not None:
        return _as_said(given.per)
    for line in lines:
        folded = fold(line.text)
        about = re.search(r"(?:all )?(?:prices?|preise|prijzen|prix|ceny)\b", folded)
        if about is not None and not line.quoted and not list(amounts_in(line.text)):
            found = basis_in(folded[about.start() :])
            if found is not None:
                return found
    return None


def _claims(lines: Iterable[Line]) -> tuple[Basis, ...]:
    """What lines without an amount say that something is for, when that is not one piece."""
    found = []
    for line in lines:
        if line.quoted or list(amounts_in(line.text)):
            continue
        basis = basis_in(line.text)
        if basis is not None and (basis.count != 1 and basis.unit == "piece"):
            found.append(basis)
    return tuple(found)


def _day_first(lines: Iterable[Line], given: Given) -> bool | None:
    """Whether dates such as 03/04/2026 begin with the day, where another date shows it."""
    shown = set()
    for line in lines:
        for date in dates_in(fold(line.text)):
            parts = re.fullmatch(r"(\d{1,2})\s?[/-]\s?(\d{1,2})\s?[/-]\s?\d{4}", date.seen)
            if parts and len(date.readings) == 1 and parts[1] != parts[2]:
                shown.add(int(parts[1]) > 12)
    return shown.pop() if len(shown) == 1 else given.day_first


def _ask_heads(laid: Sequence[tuple[Sheet, Laid]], found: Findings) -> None:
    """A sheet with rows of numbers and no table that is understood: a person shows the heads."""
    for _, result in laid:
        if any(table.tiers for table in result.tables):
            return
        rows = [row for row in result.loose if _numbers_in(row) >= 2]
        if len(rows) >= 2:
            ask = (
                "No price table was understood. Which head words stand over quantity, price and "
                "part? Answer {from: its word, price: its word, part: its word}, then "
                "take it again."
            )
            first = line_of(rows[0])
            keys = ("layout", "heads")
            found.asks.append(
                Ask(keys=keys, seen=first.text[:300], place=first.place, readings=(), ask=ask)
            )
            return


def _numbers_in(row: Row) -> int:
    return sum(
        cell.number is not None or BARE_NUMBER.match(cell.text) is not None
        for cell in row if not cell.covered
    )  # fmt: skip


def _read_line(line: Line, context: Context, found: Findings, *, is_draft: bool) -> None:
    """One line by all catchers; what nobody claims is kept as it stands."""
    if line.quoted:
        amount = next(amounts_in(line.text), None)
        if amount is not None:
            found.kept.append(Kept(text=f"In older mail: {line.text}", place=line.place))
        return
    if not re.search(r"\w", line.text):
        return
    if sum(1 for _ in amounts_in(line.text)) > MOST_AMOUNTS:
        ask = f"It holds more than {MOST_AMOUNTS} amounts. What of it matters? Answer in words."
        found.asks.append(
            Ask(keys=("notes",), seen=line.text[:300], place=line.place, readings=(), ask=ask)
        )
        found.kept.append(Kept(text=line.text, place=line.place))
        return
    reader = Reader(line, context, is_draft=is_draft)
    for cell in line.cells:
        if cell.trouble:
            ask = "The cell shows no value that can be used. What is meant?"
            reader.ask(("notes",), (), cell.text, ask)
    for catch in (*TERMS, *MONEY, moving_price):
        catch(reader)
    bind(reader)
    found.add(reader.found)
    if not reader.has_found or _says_more(reader):
        found.kept.append(Kept(text=line.text, place=line.place))


# Words that only name the field, or join; a line that says nothing else is held by its facts.
_LABELS = re.compile(
    r"(?<!\w)(?:quot\w*|offer\w*|angebot\w*|devis|oferta|no|nr|n°|number|date|datum|"
    r"data|dated|of|vom|"
    r"part|drawing|zeichnung|teil|tekening|plan|rysunek|rev\w*|index|indice|material|"
    r"werkstoff|materiaal|"
    r"valid\w*|gultig|geldig|tot|bis|until|jusqu\w*|do|lead|time|lieferzeit|levertijd|"
    r"delai|delivery|"
    r"currency|price|prices|preis\w*|at|each|per|je|pro|par|za|for|from|ab|tooling|"
    r"set-?up|is|are|the|"
    r"payment|zahlung\w*|betaling|net\w*|and|und|en|et|a|pcs|" + PIECES + r")(?!\w)"
)


def _says_more(reader: Reader) -> bool:
    """Whether a line has a word that no fact found in it holds: then it is kept whole."""
    left = reader.folded
    for each in reader.found.facts:
        left = left.replace(fold(str(each.seen)), " ")
    return re.search(r"[a-z]{2,}|%", _LABELS.sub(" ", left)) is not None
