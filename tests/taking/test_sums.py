"""What does not add up is asked with both readings and what each costs, in every kind of file."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

import pytest

from tests.taking.drafts import SUPPLIER, Draft, a_folder, drafted
from tests.taking.messy import book, mail, text, ubl, ubl_line

Row = tuple[int, str, str]  # quantity, price each, total of the line or "" for none
Make = Callable[[Sequence[Row], str], tuple[str, Callable[[Path], None]]]


def as_csv(rows: Sequence[Row], grand: str) -> tuple[str, Callable[[Path], None]]:
    head = ["Quotation S-1,Date 2026-10-05,", "Drawing FL-021,,", "Qty,Unit price EUR,Total EUR"]
    lines = [f"{count},{price},{total}" for count, price, total in rows]
    lines += [f"Total,,{grand}"] if grand else []
    return ".csv", text("\n".join([*head, *lines]) + "\n")


def as_book(rows: Sequence[Row], grand: str) -> tuple[str, Callable[[Path], None]]:
    content: list[list[object]] = [
        ["Quotation S-1", "Date 2026-10-05"], ["Drawing FL-021"],
        ["Qty", "Unit price EUR", "Total EUR"],
    ]  # fmt: skip
    content += [[n, float(price), float(total) if total else None] for n, price, total in rows]
    content += [["Total", None, float(grand)]] if grand else []
    return ".xlsx", book(content)


def as_table(rows: Sequence[Row], grand: str) -> tuple[str, Callable[[Path], None]]:
    lines = ["Quotation S-1 of 2026-10-05", "Drawing FL-021", ""]
    lines += ["Qty     Unit price EUR     Total EUR"]
    lines += [f"{count}     {price}     {total or '-'}" for count, price, total in rows]
    lines += ["", f"Total EUR {grand}"] if grand else []
    return ".txt", text("\n".join(lines) + "\n")


def as_notes(rows: Sequence[Row], grand: str) -> tuple[str, Callable[[Path], None]]:
    lines = ["# Call, quote no. S-1, 2026-10-05", "- Drawing FL-021"]
    for count, price, total in rows:
        more = f" = {total} EUR" if total else ""
        lines.append(f"- {count} pcs: {price} EUR each{more}")
    lines += [f"- Total: {grand} EUR"] if grand else []
    return ".md", text("\n".join(lines) + "\n")


def as_mail(rows: Sequence[Row], grand: str) -> tuple[str, Callable[[Path], None]]:
    lines = ["Dear all,", "", "for FL-021 we offer:"]
    for count, price, total in rows:
        more = f", total EUR {total}" if total else ""
        lines.append(f"{count} pcs at EUR {price} each{more}")
    lines += [f"Total: EUR {grand}"] if grand else []
    return ".eml", mail("\n".join(lines) + "\n", "Quotation S-1")


def as_ubl(rows: Sequence[Row], grand: str) -> tuple[str, Callable[[Path], None]]:
    lines = "".join(
        ubl_line(number, "FL-021", str(count), price, total=total)
        for number, (count, price, total) in enumerate(rows, 1)
    )
    document = ubl("", lines)
    return ".xml", text(document.replace("99999.00", grand) if grand else document)


KINDS: dict[str, Make] = {
    "csv": as_csv, "workbook": as_book, "text table": as_table, "notes": as_notes,
    "mail": as_mail, "ubl": as_ubl,
}  # fmt: skip


def draft_of(kind: str, at: Path, rows: Sequence[Row], grand: str = "") -> Draft:
    folder = a_folder(at)
    ending, make = KINDS[kind](rows, grand)
    path = folder / "quotes" / SUPPLIER / f"s-1{ending}"
    make(path)
    return drafted(folder, path)


def tier(count: int, amount: str) -> str:
    return f"{{from: {count}, price: {amount}}}"


@pytest.mark.parametrize("kind", KINDS)
def test_a_line_that_does_not_multiply_shows_both_costs(kind: str, tmp_path: Path) -> None:
    rows = [(50, "10.50", "525.00"), (100, "9.50", "905.00")]
    draft = draft_of(kind, tmp_path, rows)
    readings, asked = draft.readings("items 1, prices"), draft.asks("items 1, prices")
    assert tier(100, "9.50 EUR per 1") in readings
    assert tier(100, "905 EUR per 100") in readings
    assert "950" in asked
    assert "905" in asked


@pytest.mark.parametrize("kind", KINDS)
def test_a_line_that_multiplies_is_not_asked_for_its_sum(kind: str, tmp_path: Path) -> None:
    rows = [(50, "10.50", "525.00"), (100, "9.50", "950.00")]
    draft = draft_of(kind, tmp_path, rows, "950.00")
    assert "cost" not in draft.asks("items 1, prices")
    assert draft.asks("notes") == ""


@pytest.mark.parametrize("kind", KINDS)
def test_a_price_for_a_hundred_read_as_one_for_a_piece_is_named(kind: str, tmp_path: Path) -> None:
    draft = draft_of(kind, tmp_path, [(500, "105.00", "525.00")])
    readings, asked = draft.readings("items 1, prices"), draft.asks("items 1, prices")
    assert tier(500, "105 EUR per 1") in readings
    assert tier(500, "105 EUR per 100") in readings
    assert "525" in asked
    assert any(each in asked for each in ("52,500.00", "52500"))


@pytest.mark.parametrize("kind", KINDS)
def test_two_prices_for_one_quantity_are_one_question(kind: str, tmp_path: Path) -> None:
    draft = draft_of(kind, tmp_path, [(50, "10.50", ""), (100, "9.80", ""), (100, "9.50", "")])
    both = [
        each for each in draft.result.open
        if each.keys[-1] == "prices" and len(each.readings) == 2
    ]  # fmt: skip
    assert [[str(r["price"]) for r in each.readings] for each in both] == [
        ["9.80 EUR per 1", "9.50 EUR per 1"]
    ]
    assert "980.00 EUR or 950.00 EUR" in both[0].ask


@pytest.mark.parametrize("kind", KINDS)
def test_a_likely_typing_error_is_named_with_both_costs(kind: str, tmp_path: Path) -> None:
    rows = [(50, "17.40", ""), (100, "61.95", ""), (250, "16.20", "")]
    draft = draft_of(kind, tmp_path, rows)
    asked = draft.asks("items 1, prices")
    assert "61.95 stands between 17.40 and 16.20: 16.95?" in asked.replace(
        "17.4 ", "17.40 "
    ).replace("16.2:", "16.20:")
    assert "At 100 pieces: 6,195.00 EUR or 1,695.00 EUR." in asked
    readings = draft.readings("items 1, prices")
    assert tier(100, "61.95 EUR per 1") in readings
    assert tier(100, "16.95 EUR per 1") in readings
    assert ("items 1, prices", tier(100, "61.95 EUR per 1")) not in draft.facts


@pytest.mark.parametrize("kind", KINDS)
def test_a_grand_total_that_nothing_explains_is_asked(kind: str, tmp_path: Path) -> None:
    rows = [(50, "10.50", "525.00"), (100, "9.50", "950.00")]
    asked = draft_of(kind, tmp_path, rows, "1745.00").asks("notes")
    assert "1475" in asked.replace(",", "")
    assert "1745" in asked.replace(",", "")


@pytest.mark.parametrize("grand", ["1475.00", "525.00", "950.00"])
@pytest.mark.parametrize("kind", KINDS)
def test_a_grand_total_of_all_lines_or_of_one_break_is_right(
    kind: str, grand: str, tmp_path: Path
) -> None:
    rows = [(50, "10.50", "525.00"), (100, "9.50", "950.00")]
    assert draft_of(kind, tmp_path, rows, grand).asks("notes") == ""


@pytest.mark.parametrize("kind", [each for each in KINDS if each != "ubl"])
def test_a_grand_total_may_hold_tools_charges_and_tax(kind: str, tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    ending, make = KINDS[kind]([(100, "9.50", "950.00")], "")
    path = folder / "quotes" / SUPPLIER / f"s-1{ending}"
    make(path)
    more = ["Set-up EUR 50.00 per order", "VAT 19 % EUR 190.00", "Total EUR 1190.00"]
    if ending == ".xlsx":
        import openpyxl

        workbook = openpyxl.load_workbook(path)
        for line in more:
            workbook.worksheets[0].append([line])
        workbook.save(path)
    else:
        path.write_bytes(path.read_bytes() + b"\n" + "\n".join(more).encode() + b"\n")
    assert "add up" not in drafted(folder, path).asks("notes")


@pytest.mark.parametrize("kind", ["csv", "text table", "notes", "mail"])
def test_a_later_line_that_contradicts_an_earlier_one_is_asked(kind: str, tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    ending, make = KINDS[kind]([(100, "9.50", "")], "")
    path = folder / "quotes" / SUPPLIER / f"s-1{ending}"
    make(path)
    more = ["Valid until 2026-12-31", "Delivery 4 weeks after order", "Valid until 2026-11-30"]
    path.write_bytes(path.read_bytes() + b"\n" + "\n".join(more).encode() + b"\n")
    draft = drafted(folder, path)
    assert draft.readings("valid until") == ["2026-12-31", "2026-11-30"]


def test_a_price_in_a_letter_that_contradicts_its_attachment_is_asked(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    path = folder / "quotes" / SUPPLIER / "s-1.eml"
    table = b"Quotation S-1,Date 2026-10-05\nDrawing FL-021,\nQty,Unit price EUR\n100,9.80\n"
    mail("For FL-021: 100 pcs at EUR 9.50 each.\n", attach=[("offer.csv", table)])(path)
    draft = drafted(folder, path)
    assert ("items 1, prices", tier(100, "9.80 EUR per 1")) not in draft.facts
    (ask,) = [each for each in draft.result.open if each.keys[-1] == "prices"]
    assert "980.00 EUR or 950.00 EUR" in ask.ask
