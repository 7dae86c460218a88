"""Taking a file in: what stands in the form, what is asked, and what another reading changes."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest

from quotegen.taking.take import Wish, take
from tests.taking.drafts import (
    PLAIN,
    SUPPLIER,
    a_folder,
    answered,
    checked,
    codes,
    drafted,
    taken_text,
)

SETUP = PLAIN + "Set-up 48,00 EUR;\n"
NOT_OURS = "Quotation Q-1;2026-10-01\n" + PLAIN.split("\n", 1)[1].replace("FL-021", "ZZ-900")


def home(folder: Path) -> Path:
    return folder / "quotes" / SUPPLIER


def talker(*answers: str) -> tuple[list[str], object]:
    """Somebody who types these answers, and what was shown."""
    shown: list[str] = []
    left = list(answers)

    def talk(lines: Sequence[str]) -> str | None:
        shown.extend(lines)
        return left.pop(0) if left else None

    return shown, talk


def test_every_value_bears_its_place_and_the_text_as_written(tmp_path: Path) -> None:
    text = taken_text(a_folder(tmp_path), "q-12.csv", PLAIN).text
    assert 'quote: Q-12  # q-12.csv:1:1: "Q-12"\n' in text
    assert '  - from: 100  # q-12.csv:5:2: "16,95"\n    price: 16.95 EUR per 1\n' in text


def test_a_file_without_doubt_becomes_a_quote(tmp_path: Path) -> None:
    draft = taken_text(a_folder(tmp_path), "q-12.csv", PLAIN)
    assert draft.result.open == ()
    (entry,) = checked(tmp_path).quotes
    assert [tier.from_ for tier in entry.record.items[0].prices] == [50, 100, 250]
    assert entry.files == (f"quotes/{SUPPLIER}/q-12.yaml", f"quotes/{SUPPLIER}/q-12.csv")


def test_an_open_question_leaves_its_item_out_and_an_answer_brings_it_in(tmp_path: Path) -> None:
    draft = taken_text(a_folder(tmp_path), "q-12.csv", SETUP)
    assert codes(tmp_path) == ["question-open"]
    assert checked(tmp_path).quotes == ()
    answered(draft, "{what: set-up, amount: 48 EUR, per: order}")
    (entry,) = checked(tmp_path).quotes
    assert [charge.what for charge in entry.record.items[0].charges] == ["set-up"]
    place = entry.places.of("items", 0, "charges", 0, "amount")
    assert place.line == draft.text[: draft.text.index("  answer:")].count("\n") + 1


def test_a_question_that_is_deleted_or_left_out_sets_nothing(tmp_path: Path) -> None:
    draft = taken_text(a_folder(tmp_path), "q-12.csv", SETUP)
    answered(draft, "leave out")
    (entry,) = checked(tmp_path).quotes
    assert entry.record.items[0].charges == ()


def test_what_no_field_holds_is_kept_as_a_note(tmp_path: Path) -> None:
    draft = taken_text(a_folder(tmp_path), "q-12.csv", PLAIN + "Parts come in blue boxes.;\n")
    assert "Parts come in blue boxes." in draft.form["notes"]


def test_a_part_that_is_not_ours_is_asked(tmp_path: Path) -> None:
    draft = taken_text(a_folder(tmp_path), "q-1.csv", NOT_OURS)
    assert "items 1, part" in draft.asked


def test_the_same_file_again_changes_nothing(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    first = taken_text(folder, "q-12.csv", SETUP)
    again = taken_text(folder, "q-12.csv", SETUP)
    assert again.text == first.text
    assert again.result.changes == ()


def test_a_corrected_file_shows_what_changed_and_keeps_answers(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    answered(taken_text(folder, "q-12.csv", SETUP), "{what: set-up, amount: 48 EUR, per: order}")
    again = taken_text(folder, "q-12.csv", SETUP.replace("16,20", "15,90"))
    (change,) = again.result.changes
    assert (change.field, change.before, change.now, change.place) == (
        "items 1, prices, from 250",
        "{from: 250, price: 16.20 EUR per 1}",
        "{from: 250, price: 15.90 EUR per 1}",
        "q-12.csv:6:2",
    )
    assert again.result.open == ()
    assert "answer: {what: set-up, amount: 48 EUR, per: order}" in again.text


def test_a_price_that_a_person_changed_is_asked_and_not_overwritten(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    first = taken_text(folder, "q-12.csv", PLAIN)
    assert first.result.form is not None
    first.result.form.write_text(first.text.replace("16.20 EUR", "15.80 EUR"), encoding="utf-8")
    again = taken_text(folder, "q-12.csv", PLAIN.replace("16,20", "15,10"))
    assert ("items 1, prices", "{from: 250, price: 15.80 EUR per 1}") in again.facts
    assert "{from: 250, price: 15.10 EUR per 1}" in again.readings("items 1, prices")
    answered(again, "{from: 250, price: 15.10 EUR per 1}")
    (entry,) = checked(folder).quotes
    assert [str(tier.price) for tier in entry.record.items[0].prices][-1] == "15.10 EUR per 1"


def test_an_answer_that_the_corrected_file_contradicts_is_asked_again(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    slip = PLAIN.replace("16,95", "61,95")
    answered(taken_text(folder, "q-12.csv", slip), "{from: 100, price: 16.95 EUR per 1}")
    again = taken_text(folder, "q-12.csv", PLAIN.replace("16,95", "16,90"))
    assert "You answered {from: 100, price: 16.95 EUR per 1}" in again.asks("items 1, prices")
    assert ("items 1, prices", "{from: 100, price: 16.90 EUR per 1}") not in again.facts


def test_a_changed_file_that_was_not_taken_again_is_told(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    taken_text(folder, "q-12.csv", PLAIN)
    (home(folder) / "q-12.csv").write_text(PLAIN.replace("16,20", "15,10"), encoding="utf-8")
    (problem,) = checked(folder).problems
    assert problem.code == "taken-changed"
    assert problem.message == "taken: 'q-12.csv' is not the file that this form was drafted from."


def test_a_file_from_elsewhere_is_copied_and_nothing_is_overwritten(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    elsewhere = tmp_path / "Angebot 12.CSV"
    elsewhere.write_text(PLAIN, encoding="utf-8")
    drafted(folder, elsewhere, SUPPLIER)
    elsewhere.write_text(PLAIN.replace("16,20", "15,90"), encoding="utf-8")
    again = drafted(folder, elsewhere, SUPPLIER)
    assert (home(folder) / "angebot-12.csv").read_text() == PLAIN
    assert "15,90" in (home(folder) / "angebot-12-2.csv").read_text()
    assert again.result.form == home(folder) / "angebot-12.yaml"
    assert len(again.result.changes) == 1


def test_a_form_of_a_person_is_not_touched(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    (home(folder) / "q-12.csv").write_text(PLAIN, encoding="utf-8")
    (home(folder) / "q-12.yaml").write_text("format: 1\nquote: mine\n", encoding="utf-8")
    result = take(Wish(file=home(folder) / "q-12.csv", folder=folder))
    assert result.misused
    assert (home(folder) / "q-12.yaml").read_text() == "format: 1\nquote: mine\n"


@pytest.mark.parametrize(
    ("name", "supplier", "words"),
    [
        ("none.csv", None, "there is no file"),
        ("a.docx", None, "of a kind that is not read"),
        ("a.csv", "../evil", "cannot be the name of a supplier"),
        ("a.yaml", None, "is brought in with --supplier"),
    ],
)
def test_a_wish_that_does_not_fit_is_misuse(
    name: str, supplier: str | None, words: str, tmp_path: Path
) -> None:
    folder = a_folder(tmp_path)
    if name != "none.csv":
        (tmp_path / name).write_text("x", encoding="utf-8")
    result = take(Wish(file=tmp_path / name, folder=folder, supplier=supplier))
    assert result.misused
    assert words in result.refused


def test_our_own_form_is_brought_in_whole(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    form = tmp_path / "from-a-friend.yaml"
    form.write_text(
        "format: 1\nquote: F-1\ndate: 2026-10-01\ncurrency: EUR\ndelivery: DAP Zutphen\nitems:\n"
        "- part: fl-021\n  prices:\n  - {from: 1, price: 3 EUR per 1}\n"
        "  rejects: {share: 1 %, made good: replaced}\n  includes: [turning]\n",
        encoding="utf-8",
    )
    draft = drafted(folder, form, SUPPLIER)
    assert draft.result.open == ()
    (entry,) = checked(folder).quotes
    assert entry.record.items[0].includes == ("turning",)
    assert entry.record.items[0].rejects is not None


def test_a_person_is_asked_with_the_lines_around(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    file = home(folder) / "q-12.csv"
    file.write_text(SETUP.replace("16,95", "61,95"), encoding="utf-8")
    shown, talk = talker("2", "1", "")
    draft = drafted(folder, file, talk=talk)  # type: ignore[arg-type]
    assert "  > 5  100 | [61,95]" in shown
    assert "    4  50 | 17,40" in shown
    assert draft.result.open == ()
    assert codes(folder) == []


def test_an_answer_that_does_not_fit_is_asked_once_more(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    file = home(folder) / "q-12.csv"
    file.write_text(SETUP, encoding="utf-8")
    shown, talk = talker("forty", "{what: set-up, amount: forty, per: order}", "1", "")
    draft = drafted(folder, file, talk=talk)  # type: ignore[arg-type]
    assert any("the answer does not fit this" in each for each in shown)
    assert any("is not an amount of money" in each for each in shown)
    assert draft.result.open == ()


def test_a_person_corrects_what_was_read(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    file = home(folder) / "q-12.csv"
    file.write_text(PLAIN, encoding="utf-8")
    _, talk = talker("1", "Q-13", "")
    drafted(folder, file, talk=talk)  # type: ignore[arg-type]
    (entry,) = checked(folder).quotes
    assert entry.record.quote == "Q-13"


def test_a_person_who_leaves_loses_nothing(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    file = home(folder) / "q-12.csv"
    file.write_text(SETUP, encoding="utf-8")
    _, talk = talker()
    assert drafted(folder, file, talk=talk).asked == {"items 1, charges"}  # type: ignore[arg-type]


AMBIGUOUS = """\
Quotation Q-20;Date 2026-10-01
Drawing FL-021;
Qty;Price per piece EUR
10;1.845
20;1.745
50;1.645
"""


def test_many_doubtful_numbers_are_one_question_about_the_file(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    draft = taken_text(folder, "q-20.csv", AMBIGUOUS)
    assert draft.asked == {"layout, decimal"}
    answered(draft, "comma")
    assert codes(folder) == ["answer-not-taken"]
    again = taken_text(folder, "q-20.csv", AMBIGUOUS)
    assert ("items 1, prices", "{from: 10, price: 1845 EUR per 1}") in again.facts
    assert codes(folder) == []


def test_a_confirmed_layout_reads_the_next_file(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    answered(taken_text(folder, "q-20.csv", AMBIGUOUS), "point")
    assert taken_text(folder, "q-20.csv", AMBIGUOUS).result.layout_kept
    second = AMBIGUOUS.replace("Q-20", "Q-21").replace("1.845", "1.945")
    draft = taken_text(folder, "q-21.csv", second)
    assert draft.asked == {"replaces"}
    answered(draft, "Q-20")
    assert ("items 1, prices", "{from: 10, price: 1.9450 EUR per 1}") in draft.facts
    assert codes(folder) == []


def test_a_changed_layout_is_noticed(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    answered(taken_text(folder, "q-20.csv", AMBIGUOUS), "point")
    taken_text(folder, "q-20.csv", AMBIGUOUS)
    third = AMBIGUOUS.replace("Q-20", "Q-22").replace("Price per piece EUR", "Price per 100 EUR")
    draft = taken_text(folder, "q-22.csv", third)
    assert "new 'price per 100 eur', gone 'price per piece eur'" in draft.asks("notes")
    assert "layout, decimal" in draft.asked  # what was confirmed does not hold for another head


UNKNOWN_HEADS = """\
Quotation Q-30;Date 2026-10-01
Drawing FL-021;
Brackets run;Ducats EUR
10;18,45
20;17,45
"""


def test_a_person_shows_where_things_stand(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    draft = taken_text(folder, "q-30.csv", UNKNOWN_HEADS)
    assert "layout, heads" in draft.asked
    answered(draft, "{from: Brackets run, price: Ducats EUR}")
    again = taken_text(folder, "q-30.csv", UNKNOWN_HEADS)
    assert ("items 1, prices", "{from: 10, price: 18.45 EUR per 1}") in again.facts
    second = taken_text(folder, "q-31.csv", UNKNOWN_HEADS.replace("Q-30", "Q-31"))
    assert second.asked == {"replaces"}
