"""Price tables in a grid of cells: which row is the head, and what each column or row is for.

Columns are known by the words of their head, in six languages or as a person confirmed them;
never by their position. Breaks run down the rows or across the columns.
"""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from quotegen.intake.cells import Cell, Grid
from quotegen.model.text import MOST
from quotegen.taking.figures import Quantity, Signs, basis_in, quantity_in
from quotegen.taking.words import HEADS, KINDS, ORDER_OF_HEADS, PIECES, TOTALS, fold

LONGEST_HEAD = 70
Row = tuple[Cell, ...]
Roles = Mapping[int, str]

_ASIDE = re.compile(
    r"\([^)]*\)|\[[^\]]*\]|[€$£¥:*]|(?<!\w)(?:eur|gbp|usd|pln|chf|czk|sek|dkk)(?!\w)"
)


_UNIT_IN = re.compile(  # such as `Unit GBP`
    r"(?:unit|each|ea\.?|piece|einzel|stuks?|unitaire)\s?[(\[]?"
    r"(?:eur|gbp|usd|pln|chf|czk|sek|dkk|[\u20ac\u00a3$])[)\]]?"
)
_CURRENCY_PER = re.compile(  # such as `EUR/kg`, which needs no word for price
    r"[(\[]?(?:eur|gbp|usd|pln|chf|czk|sek|dkk|euro|[\u20ac\u00a3$])\s?(?:/|per|je|pro|par|za|al)\s?"
    rf"(?:\d[\d.,' ]*\s?)?(?:kg|g|{PIECES})?[)\]]?"
    r"(?: (?:netto?|brutto|gross|ht|ttc|excl\.?|incl\.?|exkl\.?|inkl\.?|zzgl\.?)\b.*)?"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tier:
    """One price as a table shows it: the cells for quantity, price and what stands beside.

    description is what the row calls its piece, in a table without a column for parts. rivals
    are the other columns that show a price: head and cell of each.
    """

    price: Cell
    heads: tuple[Cell, ...]
    quantity: Cell | None = None
    part: Cell | None = None
    revision: Cell | None = None
    total: Cell | None = None
    basis: Cell | None = None
    currency: Cell | None = None
    material: Cell | None = None
    discount: Cell | None = None
    description: Cell | None = None
    rivals: tuple[tuple[Cell, Cell], ...] = ()
    row: Row = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A price table: its head words by role, its prices, and what its head left open."""

    heads: Mapping[str, Cell]
    tiers: tuple[Tier, ...]
    number: int
    words: tuple[str, ...]
    rivals: tuple[Cell, ...] = ()
    around: str = ""
    is_across: bool = False
    others: Mapping[int, Cell] = field(default_factory=dict)


@dataclass(slots=True)
class Laid:
    """The tables of one grid and the rows that belong to none."""

    tables: list[Table] = field(default_factory=list)
    loose: list[Row] = field(default_factory=list)


def role_of(text: str, known: Mapping[str, str]) -> str | None:
    """What a header word is for; known are those that a person confirmed, by folded text."""
    folded = fold(text)
    if folded in known:
        return known[folded]
    if not folded or len(folded) > LONGEST_HEAD or not re.search(r"[a-z#]", folded):
        return None
    if _CURRENCY_PER.fullmatch(folded) or _UNIT_IN.fullmatch(folded):
        return "price"
    bare = " ".join(_ASIDE.sub(" ", folded).split()).strip(" .-/")
    without_unit = re.sub(rf"(?<=\w)\s+{PIECES}$", "", bare)
    for shown in dict.fromkeys((bare, folded, without_unit)):
        for role in ORDER_OF_HEADS:
            if HEADS[role].fullmatch(shown):
                return role
    return None


def lay_out(grid: Grid, signs: Signs, known: Mapping[str, str]) -> Laid:
    """Every row of the grid, as part of a table or loose; none is lost."""
    laid, number = Laid(), 0
    rows = grid.rows
    while number < len(rows):
        found = _table_at(rows, number, signs, known, laid)
        if found is None:
            if any(not cell.is_blank for cell in rows[number]):
                laid.loose.append(rows[number])
            number += 1
        else:
            table, number = found
            laid.tables.append(table)
    return laid


def _table_at(
    rows: Sequence[Row], number: int, signs: Signs, known: Mapping[str, str], laid: Laid
) -> tuple[Table, int] | None:
    rows = _with_quantities_apart(rows, number, known)
    row = rows[number]
    across = _across_rows(rows, number, signs, known, laid)
    if across is not None:
        return across
    roles = roles_in(row, known)
    counted = _quantities(row, signs, roles)
    above = roles_in(rows[number - 1], known) if number else {}
    if len(counted) >= 2 and (
        {"part", "price", "description"} & ({*roles.values()} | {*above.values()})
    ):
        return _matrix(rows, number, {**_behind(above, row), **roles}, counted, laid)
    has_price = "price" in roles.values() or "total" in roles.values()
    if not has_price or not {"from", "part", "total", "description"} & set(roles.values()):
        return None
    if len(roles) < 2 or _has_amounts(row, signs, roles):
        return None
    if "from" not in roles.values() and number + 1 < len(rows):
        below = rows[number + 1]
        if len(_quantities(below, signs, roles_in(below, known))) >= 2 and _behind(roles, below):
            return None  # the head of two rows is met in the next one
    return _down(rows, number, roles, signs, known, laid)


_COUNT = re.compile(rf"(?<![\w.,])(?P<count>\d{{1,6}})\s*{PIECES}(?!\w)")


def _with_quantities_apart(
    rows: Sequence[Row], number: int, known: Mapping[str, str]
) -> Sequence[Row]:
    """Heads such as `Price 100 pcs`, of which each column has its own, as their quantities."""
    row, roles = rows[number], roles_in(rows[number], known)
    found = {
        column: match
        for column, role in roles.items()
        if role == "price" and basis_in(row[column].text) is None
        and (match := _COUNT.search(fold(row[column].text))) is not None
    }  # fmt: skip
    if len(found) < 2 or len({match["count"] for match in found.values()}) < len(found):
        return rows
    apart = tuple(
        dataclasses.replace(cell, text=f"{found[column]['count']} pcs") if column in found else cell
        for column, cell in enumerate(row)
    )
    return [*rows[:number], apart, *rows[number + 1 :]]


def roles_in(row: Row, known: Mapping[str, str]) -> dict[int, str]:
    found = {}
    for column, cell in enumerate(row):
        role = None if cell.covered or cell.trouble else role_of(cell.text, known)
        if role is not None:
            found[column] = role
    return found


def _behind(above: Roles, row: Row) -> dict[int, str]:
    """The roles of the row above whose column this row leaves blank: a head of two rows."""
    return {
        column: role
        for column, role in above.items()
        if role not in ("price", "total")
        and column < len(row)
        and (row[column].is_blank or row[column].covered)
    }


def _quantities(row: Row, signs: Signs, roles: Roles) -> dict[int, Quantity]:
    """The quantities of a row, where each is more than the one before it."""
    found: dict[int, Quantity] = {}
    last = 0
    for column, cell in enumerate(row):
        quantity = None if column in roles or cell.covered else _quantity(cell, signs)
        if quantity is None:
            continue
        if quantity.readings[0] <= last:
            return {}
        last = quantity.readings[0]
        found[column] = quantity
    others = [
        cell for column, cell in enumerate(row)
        if column not in roles and column not in found and not cell.is_blank and not cell.covered
    ]  # fmt: skip
    return found if len(others) <= 1 else {}


def _quantity(cell: Cell, signs: Signs) -> Quantity | None:
    if cell.trouble or cell.is_blank:
        return None
    if cell.number is not None:
        whole = cell.number.denominator == 1 and 0 < cell.number <= MOST and not cell.unit
        return Quantity(readings=(int(cell.number),)) if whole else None
    return quantity_in(cell.text, signs)


def _has_amounts(row: Row, signs: Signs, roles: Roles) -> bool:
    """Whether a row shows a number where a head would show words."""
    bare = [cell for column, cell in enumerate(row) if column not in roles]
    return sum(_quantity(cell, signs) is not None or cell.number is not None for cell in bare) > 1


def _down(
    rows: Sequence[Row], number: int, roles: Roles, signs: Signs, known: Mapping[str, str],
    laid: Laid,
) -> tuple[Table, int]:  # fmt: skip
    """A table whose breaks run down its rows."""
    row, under = rows[number], _second_head(rows, number + 1, roles, signs)
    columns, rivals = _by_role(_without_counts(row, roles))
    also = [each for each in rivals if roles[each] == "price"]
    column = columns.get("price", columns.get("total", 0))
    sources = (row,) if under is None else (row, under)
    heads = tuple(_head(source, column) for source in sources)
    part, called, end, is_summed = None, None, number + len(sources), False
    tiers: list[Tier] = []
    while end < len(rows) and not _starts_another(rows, end, signs, known):
        here = rows[end]
        shown = {role: _cell(here, at) for role, at in columns.items()}
        part = shown.get("part") or part
        called = _called(row, shown, columns) or called
        is_summed = (is_summed or _is_sum(here)) and shown.get("part") is None
        if _is_tier(here, shown, columns, signs) and not _is_apart(shown, columns, is_summed):
            price = shown.get("price") or _head(here, column)
            made = _tier(price, heads, {**shown, "description": called}, part, here)
            tiers.append(_with_rivals(made, row, also) if also else made)
        elif _full(here):
            laid.loose.append(here)
        end += 1
    if not tiers:
        laid.loose += [source for source in sources[1:] if _full(source)]
    table = Table(
        heads={role: row[at] for role, at in columns.items()},
        tiers=tuple(tiers),
        number=number,
        words=_words_of(row),
        rivals=tuple(row[column] for column in rivals if column not in also),
        around=_title(rows, number),
        others=_others(row, columns, also),
    )
    return table, end


def _words_of(row: Row) -> tuple[str, ...]:
    return tuple(fold(cell.text) for cell in row if cell.text and not cell.covered)


REMARKS = re.compile(r"(?:comment|remark|note|bemerk|opmerk|remarque|uwagi|osservaz)")


def _called(head: Row, shown: Mapping[str, Cell | None], columns: Mapping[str, int]) -> Cell | None:
    """What a row calls its piece, where no column names parts; a remark is no name."""
    if "part" in columns or "description" not in columns:
        return None
    is_remark = REMARKS.match(fold(head[columns["description"]].text)) is not None
    return None if is_remark else shown.get("description")


def _with_rivals(tier: Tier, head: Row, columns: Iterable[int]) -> Tier:
    """A tier with the prices of its row in other columns than the first, each with its head."""
    shown = ((column, _cell(tier.row, column)) for column in columns)
    rivals = tuple((head[column], cell) for column, cell in shown if cell is not None)
    return dataclasses.replace(tier, rivals=rivals)


def _others(row: Row, columns: Mapping[str, int], rivals: Iterable[int]) -> dict[int, Cell]:
    """The head cells of columns that no price needs, by column: what stands there is kept."""
    needed = {*rivals, *(columns[role] for role in NEEDED if role in columns)}
    needed -= {columns["least"]} if "least" in columns else set()
    return {column: cell for column, cell in enumerate(row) if column not in needed}


NEEDED = ("from", "price", "total", "part", "revision", "basis", "currency", "material", "position")
NEEDED_ACROSS = ("part", "revision", "currency", "material", "position")  # by a row of a matrix


def _head(row: Row, column: int) -> Cell:
    return row[min(column, len(row) - 1)]


def _tier(
    price: Cell,
    heads: tuple[Cell, ...],
    shown: Mapping[str, Cell | None],
    part: Cell | None,
    row: Row,
) -> Tier:
    return Tier(
        price=price,
        heads=heads,
        quantity=shown.get("from"),
        part=part,
        revision=shown.get("revision"),
        total=shown.get("total"),
        basis=shown.get("basis"),
        currency=shown.get("currency"),
        material=shown.get("material"),
        discount=shown.get("discount"),
        description=shown.get("description"),
        row=row,
    )


def _is_tier(
    row: Row, shown: Mapping[str, Cell | None], columns: Mapping[str, int], signs: Signs
) -> bool:
    """Whether a row says a price for a quantity; a row of totals or of set-up does not."""
    first = next((cell for cell in row if not cell.is_blank), None)
    if first is None or TOTALS.match(fold(first.text)):
        return False
    if any(re.match(rf"\W*(?:{words})", fold(first.text)) for words in KINDS.values()):
        return False
    price = shown.get("price") or shown.get("total")
    quantity = shown.get("from")
    if _is_charge(shown, quantity, signs):
        return False
    if "from" in columns:
        return quantity is not None and (
            _quantity(quantity, signs) is not None or bool(quantity.trouble)
        )
    part = shown.get("part") or shown.get("description")
    return (
        price is not None
        and part is not None
        and bool(re.search(r"\d", price.text) or price.trouble)
    )


def _is_sum(row: Row) -> bool:
    return any(TOTALS.match(fold(cell.text)) for cell in row if cell.text and not cell.covered)


def _is_apart(
    shown: Mapping[str, Cell | None], columns: Mapping[str, int], is_summed: bool
) -> bool:
    """Whether a row without a part is of something else.

    Such are those below the sum, and those with a name where others only count their lines.
    """
    if "part" not in columns or shown.get("part") is not None:
        return False
    position = shown.get("position")
    is_named = position is not None and re.search(r"[a-z]{3,}", fold(position.text)) is not None
    return is_summed or is_named


ONCE = re.compile(r"\w*kosten\b|costs?\b|charges?\b|\w*pauschale|einmalig|eenmalig|once|one-?off")


def _is_charge(shown: Mapping[str, Cell | None], quantity: Cell | None, signs: Signs) -> bool:
    """Whether a row that counts one of something names a tool, set-up or the like."""
    called = shown.get("description") or shown.get("part")
    words = fold(called.text) if called is not None else ""
    if not any(re.match(rf"\W*(?:{each})", words) for each in KINDS.values()):
        return False
    count = _quantity(quantity, signs) if quantity is not None else None
    return ONCE.search(words) is not None or (count is not None and count.readings == (1,))


def _starts_another(
    rows: Sequence[Row], number: int, signs: Signs, known: Mapping[str, str]
) -> bool:
    roles = roles_in(rows[number], known)
    kinds = set(roles.values())
    if "price" not in kinds or _has_amounts(rows[number], signs, roles):
        return False
    shown = [cell for cell in rows[number] if not cell.is_blank and not cell.covered]
    is_wordy = len(shown) >= 3 and not any(
        cell.number is not None or re.search(r"\d", cell.text) for cell in shown
    )
    return "from" in kinds or is_wordy


def _second_head(rows: Sequence[Row], number: int, roles: Roles, signs: Signs) -> Row | None:
    """The row below a head, where it only says more about the columns, such as `per 100`."""
    if number >= len(rows):
        return None
    row = rows[number]
    shown = [cell for cell in row if not cell.is_blank and not cell.covered]
    beneath = [
        _cell(row, column) for column, role in roles.items() if role in ("price", "from", "total")
    ]
    wordy = shown and all(cell.number is None and not cell.trouble for cell in shown)
    if not wordy or any(_quantity(cell, signs) is not None for cell in shown):
        return None
    is_beside = any(cell is not None for cell in beneath) and len(shown) <= len(beneath) + 1
    has_money = any(re.search(r"\d[.,]\d", cell.text) for cell in shown)
    return row if is_beside and not has_money else None


def _without_counts(row: Row, roles: Roles) -> dict[int, str]:
    """A column `Item` only counts the lines where another one names the part."""
    parts = [column for column, role in roles.items() if role == "part"]
    counts = [c for c in parts if re.fullmatch(r"item\.?(?: ?no\.?| ?nr\.?)?", fold(row[c].text))]
    if len(counts) < len(parts):
        return {c: "position" if c in counts else role for c, role in roles.items()}
    return dict(roles)


def _by_role(roles: Roles) -> tuple[dict[str, int], list[int]]:
    """The first column of each role, and the others that claim to be a price."""
    first: dict[str, int] = {}
    rivals: list[int] = []
    for column, role in roles.items():
        if role not in first:
            first[role] = column
        elif role in ("price", "from"):
            rivals.append(column)
    if "from" not in first and "least" in first:
        first["from"] = first["least"]  # the price holds from the minimum on
    return first, rivals


def _cell(row: Row, column: int) -> Cell | None:
    cell = row[column] if column < len(row) else None
    return None if cell is None or cell.is_blank else cell


def _title(rows: Sequence[Row], number: int) -> str:
    """What stands in the rows above a head, down from the last blank row but one."""
    above = [cell.text for row in rows[max(0, number - 3) : number] for cell in row if cell.text]
    return " ".join(dict.fromkeys(above))[:400]


def _matrix(
    rows: Sequence[Row], number: int, roles: Roles, counted: Mapping[int, Quantity],
    laid: Laid,
) -> tuple[Table, int]:  # fmt: skip
    """A table with a row for each part and a column for each quantity."""
    head, (columns, _) = rows[number], _by_role(roles)
    part_column = columns.get("part", columns.get("description"))
    tiers: list[Tier] = []
    end = number + 1
    while end < len(rows):
        here = rows[end]
        prices = {column: _cell(here, column) for column in counted}
        shown = {role: _cell(here, column) for role, column in columns.items()}
        label = _cell(here, part_column) if part_column is not None else None
        filled = [cell for cell in prices.values() if cell is not None]
        if not filled and any(not cell.is_blank for cell in here):
            break
        if filled and label is not None and not TOTALS.match(fold(label.text)):
            for column, price in prices.items():
                if price is not None:
                    tiers.append(_across_tier(head, column, price, shown, label, here))
        elif filled:
            laid.loose.append(here)
        end += 1
    needed = {columns[role] for role in NEEDED_ACROSS if role in columns}
    table = Table(
        heads={role: head[column] for role, column in columns.items()},
        tiers=tuple(tiers),
        number=number,
        words=_words_of_matrix(rows, number, counted),
        around=_title(rows, number),
        is_across=True,
        others={
            column: cell for column, cell in enumerate(head)
            if column not in counted and column not in needed and column != part_column
        },
    )  # fmt: skip
    return table, end


def _words_of_matrix(
    rows: Sequence[Row], number: int, counted: Mapping[int, Quantity]
) -> tuple[str, ...]:
    """The head words of both rows of the head; which quantities are quoted is no layout."""
    shown = [
        "#" if column in counted else fold(cell.text)
        for column, cell in enumerate(rows[number])
        if cell.text and not cell.covered
    ]
    above = rows[number - 1] if number else ()
    over = [fold(cell.text) for cell in above if cell.text and not cell.covered]
    is_head = any(role_of(text, {}) in ("price", "part") for text in over)
    return tuple(dict.fromkeys([*(over if is_head else []), *shown]))


def _across_tier(
    head: Row, column: int, price: Cell, shown: Mapping[str, Cell | None], part: Cell, row: Row
) -> Tier:
    made = _tier(price, (head[column],), {**shown, "total": None, "basis": None}, part, row)
    return Tier(
        price=made.price, heads=made.heads, quantity=head[column], part=part,
        revision=made.revision, currency=made.currency, material=made.material, row=row,
    )  # fmt: skip


def _across_rows(
    rows: Sequence[Row], number: int, signs: Signs, known: Mapping[str, str], laid: Laid
) -> tuple[Table, int] | None:
    """A table that lies on its side: a row of quantities, below it a row of prices."""
    counted = _labelled(rows[number], "from", signs, known)
    if counted is None:
        return None
    label, quantities = counted
    for below in range(number + 1, min(number + 5, len(rows))):
        first = next(((c, cell) for c, cell in enumerate(rows[below]) if not cell.is_blank), None)
        if first is None or role_of(first[1].text, known) != "price":
            continue
        totals = _row_of(rows, number, "total", known)
        tiers = [
            Tier(
                price=price, heads=(first[1],), quantity=rows[number][column],
                total=_cell(totals, column) if totals else None, row=rows[below],
            )
            for column in quantities
            if (price := _cell(rows[below], column)) is not None
        ]  # fmt: skip
        end = max(below, _index(rows, totals)) + 1
        taken = (number, below, _index(rows, totals))
        laid.loose += [rows[at] for at in range(number, end) if at not in taken and _full(rows[at])]
        heads = {"from": label, "price": first[1]}
        words = tuple(fold(cell.text) for cell in heads.values())
        table = Table(
            heads=heads, tiers=tuple(tiers), number=number, words=words,
            around=_title(rows, number), is_across=True,
        )  # fmt: skip
        return table, end
    return None


def _full(row: Row) -> bool:
    return any(not cell.is_blank for cell in row)


def _index(rows: Sequence[Row], row: Row | None) -> int:
    return next((at for at, each in enumerate(rows) if each is row), -1)


def _row_of(rows: Sequence[Row], number: int, role: str, known: Mapping[str, str]) -> Row | None:
    for row in rows[number + 1 : number + 6]:
        first = next((cell for cell in row if not cell.is_blank), None)
        if first is not None and role_of(first.text, known) == role:
            return row
    return None


def _labelled(
    row: Row, role: str, signs: Signs, known: Mapping[str, str]
) -> tuple[Cell, Iterable[int]] | None:
    shown = [(column, cell) for column, cell in enumerate(row) if not cell.is_blank]
    if len(shown) < 2 or role_of(shown[0][1].text, known) != role:
        return None
    if any(_quantity(cell, signs) is None for _, cell in shown[1:]):
        return None
    return shown[0][1], [column for column, _ in shown[1:]]
