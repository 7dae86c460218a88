"""Reading forms: the next file of a layout is read by its head words, a changed one is noticed."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from quotegen.basics.money import written
from quotegen.taking.form import flow
from tests.taking.drafts import SUPPLIER, Draft, a_folder, answered, codes, drafted, taken_text
from tests.taking.messy import CASES, Case, price, text

# A head that is known, and a decimal sign that only a person could tell.
FIRST = """\
Quotation Q-20;Date 2026-10-01;
Drawing FL-021;;
Qty;Price per piece EUR;Lead time
10;1.845;3 weeks
20;1.745;3 weeks
50;1.645;3 weeks
"""


def confirmed(at: Path, first: str = FIRST, answer: str = "point") -> Path:
    """A folder in which a person has answered about a first file, and its layout is kept."""
    folder = a_folder(at)
    answered(taken_text(folder, "q-20.csv", first), answer)
    assert taken_text(folder, "q-20.csv", first).result.layout_kept
    return folder


def second(folder: Path, *pairs: tuple[str, str], first: str = FIRST) -> Draft:
    """Another quote, for another part so that it replaces none, with these changes."""
    content = first.replace("Q-20", "Q-21").replace("FL-021", "WM-015")
    for old, new in pairs:
        assert old in content
        content = content.replace(old, new)
    return taken_text(folder, "q-21.csv", content)


def test_the_next_file_of_a_layout_is_read_by_it(tmp_path: Path) -> None:
    draft = second(confirmed(tmp_path), ("1.845", "1.945"))
    assert draft.result.open == ()
    assert price(10, "1.9450 EUR per 1") in draft.facts


def test_columns_that_moved_are_read_by_their_words(tmp_path: Path) -> None:
    moved = "\n".join(
        ";".join(reversed(line.split(";"))) if line[0] in "Q123456789" and ";" in line else line
        for line in FIRST.splitlines()[2:]
    )
    content = "\n".join(FIRST.splitlines()[:2]) + "\n" + moved + "\n"
    draft = second(confirmed(tmp_path), first=content)
    assert draft.result.open == ()
    assert price(10, "1.8450 EUR per 1") in draft.facts
    assert ("items 1, lead time", "3 weeks") in draft.facts


@pytest.mark.parametrize(
    ("pairs", "told"),
    [
        ([(";Lead time", ""), (";3 weeks", "")], "new nothing, gone 'lead time'"),
        (
            [("Lead time", "Lead time;Packing EUR"), ("3 weeks", "3 weeks;0")],
            "new 'packing eur', gone nothing",
        ),
        ([("Qty", "From pcs")], "new 'from pcs', gone 'qty'"),
        (
            [("per piece EUR", "per 100 EUR")],
            "new 'price per 100 eur', gone 'price per piece eur'",
        ),
        ([("EUR", "USD")], "new 'price per piece usd', gone 'price per piece eur'"),
        (
            [("Lead time", "Price per piece EUR"), ("3 weeks", "1.500")],
            "new 'price per piece eur', gone 'lead time'",
        ),
    ],
    ids=["gone", "added", "renamed", "another basis", "another currency", "twice the same"],
)
def test_a_changed_head_is_noticed_and_nothing_confirmed_holds_for_it(
    pairs: Sequence[tuple[str, str]], told: str, tmp_path: Path
) -> None:
    draft = second(confirmed(tmp_path), *pairs)
    assert told in draft.asks("notes")
    assert "layout, decimal" in draft.asked or "items 1, prices" in draft.asked
    assert not any(field == "items 1, prices" for field, _ in draft.facts)


COMMAS = [("1.845", "1,845"), ("1.745", "1,745"), ("1.645", "1,645")]


def test_another_decimal_sign_under_the_same_head_is_asked(tmp_path: Path) -> None:
    """Under the sign of the layout, 1,845 would be a thousand times as much."""
    draft = second(confirmed(tmp_path), *COMMAS)
    assert draft.asked == {"layout, decimal"}


def test_a_file_that_shows_another_decimal_sign_is_read_by_what_it_shows(tmp_path: Path) -> None:
    draft = second(confirmed(tmp_path), ("1.845", "17,45"), ("1.745", "16,45"), ("1.645", "15,45"))
    assert price(10, "17.45 EUR per 1") in draft.facts
    mixed = second(confirmed(tmp_path / "b"), ("1.845", "17,45"), ("1.745", "1,745"))
    assert not any("1745 EUR" in value for _, value in mixed.facts)


BARE = """\
Quotation Q-20;Date 2026-10-05
Drawing FL-021;
Quantity;Price EUR
100;1740,00
"""


def test_what_a_bare_head_means_is_learnt_from_the_answer(tmp_path: Path) -> None:
    folder = confirmed(tmp_path, BARE, "{from: 100, price: 1740 EUR per 1}")
    draft = second(folder, ("1740", "1650"), first=BARE)
    assert draft.result.open == ()
    assert price(100, "1650 EUR per 1") in draft.facts


@pytest.mark.parametrize(
    ("old", "new"),
    [("Drawing", "All prices per 100 pcs;\nDrawing"), ("1740,00", "1740,00 per 100")],
)
def test_what_the_file_itself_says_a_price_is_for_comes_before_the_layout(
    old: str, new: str, tmp_path: Path
) -> None:
    folder = confirmed(tmp_path, BARE, "{from: 100, price: 1740 EUR per 1}")
    draft = second(folder, (old, new), first=BARE)
    assert price(100, "1740 EUR per 1") not in draft.facts
    assert price(100, "1740 EUR per 100") in draft.facts or "items 1, prices" in draft.asked


def test_a_price_for_the_whole_lot_is_no_rule_for_the_next_file(tmp_path: Path) -> None:
    folder = confirmed(tmp_path, BARE, "{from: 100, price: 1740 EUR per 100}")
    assert second(folder, first=BARE).asked == {"items 1, prices"}


DOLLARS = "Quotation Q-20;Date 2026-10-05\nDrawing FL-021;\nQty;Unit price\n50;$10.50\n100;$9.80\n"


def test_a_sign_of_several_currencies_means_in_a_layout_what_a_person_said(tmp_path: Path) -> None:
    folder = confirmed(tmp_path, DOLLARS, "USD")
    assert price(50, "10.50 USD per 1") in second(folder, first=DOLLARS).facts
    named = second(folder, ("$9.80", "9.80 CAD"), first=DOLLARS)
    assert not any("USD" in value for _, value in named.facts)


THEIRS = "Quotation Q-20;Date 2026-10-05;\nArticle;Qty;Price each EUR\nAB-900 K;50;10,50\n"


def test_a_name_of_the_supplier_for_our_part_is_kept(tmp_path: Path) -> None:
    folder = confirmed(tmp_path, THEIRS, "wm-015")
    draft = taken_text(folder, "q-21.csv", THEIRS.replace("Q-20", "Q-21").replace("10,50", "9,50"))
    assert draft.asked == {"replaces"}
    assert ("items 1, part", "wm-015") in draft.facts


MONTHS = FIRST.replace("2026-10-01", "03/04/2026")


def test_whether_the_day_comes_first_is_learnt(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    draft = taken_text(folder, "q-20.csv", MONTHS)
    answered(draft, *("point" if f == "layout, decimal" else "2026-04-03" for f in _fields(draft)))
    assert taken_text(folder, "q-20.csv", MONTHS).result.layout_kept
    later = second(folder, ("03/04/2026", "05/06/2026"), first=MONTHS)
    assert ("date", "2026-06-05") in later.facts


def _fields(draft: Draft) -> list[str]:
    return [each["field"] for each in draft.form.get("questions", ())]


def test_other_quantities_across_the_columns_are_no_other_layout(tmp_path: Path) -> None:
    case = next(each for each in CASES if each.name == "quantities-in-heads")
    folder = a_folder(tmp_path)
    home = folder / "quotes" / SUPPLIER
    drafted(folder, case.build(home), talk=patient)
    content = (home / "quantities-in-heads.csv").read_text(encoding="utf-8").replace("J-1", "J-2")
    draft = taken_text(folder, "j-2.csv", content.replace("Price 250", "Price 300"))
    assert draft.asked == {"replaces"}


def test_a_second_table_that_nobody_confirmed_is_not_read_by_the_layout(tmp_path: Path) -> None:
    more = "\nPart;Quantity;Unit price EUR\nFL-042;30;2.345\nFL-042;60;2.245\nFL-042;90;2.145\n"
    draft = taken_text(
        confirmed(tmp_path),
        "q-21.csv",
        FIRST.replace("Q-20", "Q-21").replace("FL-021", "WM-015") + more,
    )  # fmt: skip
    assert "layout, decimal" in draft.asked
    assert not any("2345" in value or "2.345" in value for _, value in draft.facts)


# Facts right on first reading, without a reading form and with one.

KINDS = (".csv", ".xlsx", ".eml", ".txt", ".md")
EXTRA = (
    Case(name="doubtful-thousands", ending=".csv", make=text(FIRST), facts=()),
    Case(name="bare-price", ending=".csv", make=text(BARE), facts=()),
    Case(name="their-numbers", ending=".csv", make=text(THEIRS), facts=()),
    Case(name="day-or-month", ending=".csv", make=text(MONTHS), facts=()),
    Case(
        name="unknown-heads",
        ending=".csv",
        make=text(
            "Quotation Q-30;Date 2026-10-01\nDrawing FL-021;\nBrackets run;Ducats EUR\n"
            "10;18,45\n20;17,45\n"
        ),
        facts=(),
    ),
)
ENCODED = {"mail-attachment"}  # its amounts cannot be changed in the text of the file
MEASURED = [e for e in (*CASES, *EXTRA) if e.ending in KINDS and e.name not in ENCODED]


def patient(lines: Sequence[str]) -> str:
    """A person who takes the first reading, and knows the few things that no file says."""
    whole = "\n".join(lines)
    if "all is right" in lines[-1]:
        return ""
    if "Which decimal sign" in whole:
        return "point"
    if lines[-1].startswith("Columns of"):
        return "1 2"
    if re.search(r"^  1  ", whole, re.MULTILINE):
        return "1"
    known = {"part": "fl-021", "quote": "N-1", "date": "2026-10-05", "currency": "EUR"}
    field = re.search(r"Question \d+ of \d+: (?:[^:]*: )?([a-z ]+), at", whole)
    return known.get(field[1] if field else "", "-")


def doubled(amount: str) -> str:
    """Twice an amount in the same spelling, so that all sums and orders stay as they are."""
    sign = re.search(r"[.,](?=\d{2,3}$)", amount)
    assert sign is not None
    places = len(amount) - sign.end()
    whole = re.sub(r"\D", "", amount)
    twice = f"{2 * int(whole):0{places + 1}d}"
    head, tail = twice[:-places], twice[-places:]
    if len(re.findall(r"[.,]", amount)) > 1 and len(head) > 3:
        head = head[:-3] + ("." if sign[0] == "," else ",") + head[-3:]
    return head + sign[0] + tail


BEFORE, BEHIND = r"(?<![\w.,/-])", r"(?!\w|[.,/-]\d)"
AMOUNT = re.compile(rf"{BEFORE}(?:\d{{1,3}}(?:[.,]\d{{3}})*|\d{{4}})[.,]\d{{2}}{BEHIND}")
BETWEEN_COMMAS = re.compile(r"(?<![\w.])\d+\.\d{2}(?![\w.])")
THOUSAND = re.compile(r"(?<![\w.,])\d\.\d{3}(?![\w.,])")


def other_numbers(file: Path, number: str) -> Path:
    """A second file of the same layout: every amount twice as high, another quote number."""
    after = file.with_name(f"{file.stem}-2{file.suffix}")
    if file.suffix == ".xlsx":
        _other_book(file, after, number)
    else:
        content = file.read_bytes().decode("latin-1")
        is_split_by_commas = file.suffix == ".csv" and ";" not in content
        amount = BETWEEN_COMMAS if is_split_by_commas else AMOUNT
        content = amount.sub(lambda match: doubled(match[0]), content)
        content = THOUSAND.sub(lambda match: doubled(match[0]), content)
        after.write_bytes(content.replace(number or "\0", f"{number}7").encode("latin-1"))
    return after


def _other_book(file: Path, after: Path, number: str) -> None:
    from openpyxl import load_workbook

    book = load_workbook(file)
    for sheet in book.worksheets:
        for row in sheet.iter_rows():
            counts = [cell for cell in row if isinstance(cell.value, (int, float))]
            has_money = any(isinstance(cell.value, float) for cell in counts)
            for at, cell in enumerate(counts):
                if has_money and (at or isinstance(cell.value, float)):
                    cell.value = round(cell.value * 2, 4)
            for cell in row:
                if isinstance(cell.value, str) and not cell.value.startswith("="):
                    shown = AMOUNT.sub(lambda match: doubled(match[0]), cell.value)
                    cell.value = shown.replace(number or "\0", f"{number}7")
    book.save(after)


MONEY = re.compile(r"(\d+(?:\.\d+)?)(?= (?:EUR|GBP|USD|PLN|AUD|CAD)\b)")


def as_doubled(fact: tuple[str, str], number: str) -> tuple[str, str]:
    """What a second file says where the first one says this."""
    field, value = fact
    if field == "quote":
        return field, f"{number}7"

    def twice(match: re.Match[str]) -> str:
        shown = written(2 * Fraction(match[1]))
        return shown + "0" if re.search(r"\.\d{3}$", shown) else shown

    return field, MONEY.sub(twice, value)


@dataclass(frozen=True, kw_only=True)
class Count:
    """How the facts of a file came out."""

    right: int
    asked: int
    missed: int
    wrong: tuple[tuple[str, str], ...]


def counted(draft: Draft, truth: set[tuple[str, str]]) -> Count:
    facts = {each for each in told(draft) if each[0] != "quote"}
    left = {each for each in truth if each not in facts and each[0] != "quote"}
    asked = {each for each in left if each[0] in draft.asked or _is_held_back(draft)}
    return Count(
        right=len(truth & facts),
        asked=len(asked),
        missed=len(left - asked),
        wrong=tuple(sorted(facts - truth)),
    )


def _is_held_back(draft: Draft) -> bool:
    return any(each.startswith("layout, ") for each in draft.asked)


def told(draft: Draft) -> set[tuple[str, str]]:
    """What a form says: its facts and a person's answers."""
    questions: Sequence[Mapping[str, Any]] = draft.form.get("questions", ())
    answers = {
        (each["field"], flow(each["answer"]))
        for each in questions
        if each.get("answer") not in (None, "", "leave out") and each["field"] != "notes"
    }
    return {each for each in draft.facts | answers if each[1] != "[]"}


def measured(case: Case, at: Path) -> tuple[Count, Count]:
    """The second file of a layout, without a reading form and with one."""
    folders = [a_folder(at / name, case.currency) for name in ("first", "without")]
    homes = [folder / "quotes" / SUPPLIER for folder in folders]
    first = drafted(folders[0], case.build(homes[0]), talk=patient)
    number = str(first.form.get("quote", ""))
    truth = {as_doubled(each, number) for each in told(first) | set(case.facts)}
    after = other_numbers(homes[0] / f"{case.name}{case.ending}", number)
    (homes[1] / after.name).write_bytes(after.read_bytes())
    plain = drafted(folders[1], homes[1] / after.name)
    by_form = drafted(folders[0], after)
    return counted(plain, truth), counted(by_form, truth)


@pytest.fixture(scope="module")
def table(tmp_path_factory: pytest.TempPathFactory) -> dict[str, tuple[Count, Count]]:
    at: Callable[[str], Path] = tmp_path_factory.mktemp
    return {case.name: measured(case, at(case.name)) for case in MEASURED}


def test_facts_right_on_first_reading_without_a_form_and_with_one(
    table: Mapping[str, tuple[Count, Count]],
) -> None:
    """Run with -s to see the table."""
    print(f"\n{'file':24}  without: right asked missed wrong   with: right asked missed wrong")
    sums = [[0, 0, 0, 0], [0, 0, 0, 0]]
    for name, both in table.items():
        rows = [[one.right, one.asked, one.missed, len(one.wrong)] for one in both]
        sums = [[a + b for a, b in zip(s, r, strict=True)] for s, r in zip(sums, rows, strict=True)]
        print(_row(name, rows))
    print(_row("all", sums))
    assert {n: one.wrong for n, both in table.items() for one in both if one.wrong} == {}
    assert {n: both for n, both in table.items() if both[1].right < both[0].right} == {}
    assert sum(both[1].right for both in table.values()) > sum(
        both[0].right for both in table.values()
    )


def _row(name: str, rows: Sequence[Sequence[int]]) -> str:
    without, by_form = ("".join(f"{each:6}" for each in row) for row in rows)
    return f"{name:24}         {without}         {by_form}"


@pytest.mark.parametrize("name", [case.name for case in EXTRA if case.name != "one-column"])
def test_what_a_person_answered_once_is_not_asked_again(
    name: str, table: Mapping[str, tuple[Count, Count]]
) -> None:
    without, by_form = table[name]
    assert without.asked > 0
    assert by_form.asked == 0
    assert by_form.missed == 0


def test_a_kept_layout_is_no_problem_of_the_folder(tmp_path: Path) -> None:
    assert codes(confirmed(tmp_path)) == []
