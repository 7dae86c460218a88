"""A form that a person worked in meets the next file: nothing of theirs is lost or overwritten."""

from __future__ import annotations

from pathlib import Path

import pytest

from quotegen.taking.comments import comments_in
from quotegen.taking.take import Wish, take
from tests.taking.drafts import (
    PLAIN,
    SUPPLIER,
    Draft,
    a_folder,
    answered,
    checked,
    codes,
    drafted,
    taken_text,
)
from tests.taking.test_take import SETUP, home


def edited(draft: Draft, *pairs: tuple[str, str]) -> None:
    """Changes a form by hand; each text must stand in it once."""
    assert draft.result.form is not None
    text = draft.text
    for old, new in pairs:
        assert text.count(old) == 1, (old, text)
        text = text.replace(old, new)
    draft.result.form.write_text(text, encoding="utf-8")


NEXT = PLAIN.replace("16,20", "15,90")


def test_comments_of_a_person_stay_where_they_were(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    draft = taken_text(folder, "q-12.csv", SETUP)
    edited(
        draft,
        ("format: 1\n", "# asked Mr X by phone\nformat: 1\n"),
        ('5:2: "16,95"\n', '5:2: "16,95"  # he says it holds\n'),
        ("  - from: 250", "  # the big lot\n  - from: 250"),
        ("  answer:\n", "  answer:  # waits for Tuesday\n"),
    )
    again = taken_text(folder, "q-12.csv", SETUP.replace("16,20", "15,90"))
    assert "# asked Mr X by phone\nformat: 1\n" in again.text
    assert '# q-12.csv:5:2: "16,95"  # he says it holds\n' in again.text
    assert '  # the big lot\n  - from: 250  # q-12.csv:6:2: "15,90"\n' in again.text
    assert "  answer:  # waits for Tuesday\n" in again.text
    assert taken_text(folder, "q-12.csv", SETUP.replace("16,20", "15,90")).text == again.text


def test_a_comment_without_a_place_is_kept_at_the_end_with_what_it_was_about(
    tmp_path: Path,
) -> None:
    folder = a_folder(tmp_path)
    draft = taken_text(folder, "q-12.csv", PLAIN)
    edited(draft, ('6:2: "16,20"\n', '6:2: "16,20"  # too dear\n'))
    again = taken_text(folder, "q-12.csv", PLAIN.replace("250;16,20\n", ""))
    tail = "# Kept from the form before:\n# items, fl-021, prices, 250, from: too dear\n"
    assert again.text.endswith(tail)
    third = taken_text(folder, "q-12.csv", PLAIN)
    assert third.text.endswith(tail)
    assert third.text.count("too dear") == 1


def test_what_looks_like_a_comment_inside_a_value_is_none(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    file = PLAIN + "Colour no # 7 as agreed;\n"
    first = taken_text(folder, "q-12.csv", file)
    assert taken_text(folder, "q-12.csv", file).text == first.text


def test_the_remarks_of_the_tool_are_not_taken_for_a_persons(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    taken_text(folder, "q-12.csv", SETUP)
    again = taken_text(folder, "q-12.csv", SETUP.replace("17,40", "18,40").replace("50;", "60;"))
    assert "Kept from the form before" not in again.text
    assert "17,40" not in again.text


@pytest.mark.parametrize(
    "remark",
    [
        "a.pdf",
        "a.pdf:page 2",
        "a.pdf:page 2:6:1",
        'a.pdf:page 2:6:1: "16,20"',
        'a.xlsx:Sheet 1!B5: "say \\"16,20\\""',
        'by hand; the file: a.xlsx:B!C7: "x # y"',
        "this form",
    ],
)
def test_what_follows_a_remark_of_the_tool_is_a_persons(remark: str) -> None:
    own = ("a.pdf", "a.xlsx")
    assert comments_in(f"quote: Q  # {remark}\n", own) == ()
    (comment,) = comments_in(f'quote: Q  # {remark}  # mine: "so"\n', own)
    assert comment.text == 'mine: "so"'
    (other,) = comments_in("quote: Q  # a.pdfs are unreadable\n", own)
    assert other.text == "a.pdfs are unreadable"


def test_keys_that_a_person_added_stay_and_the_rest_follows_the_file(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    edited(
        taken_text(folder, "q-12.csv", PLAIN),
        ("items:\n", "delivery: DAP Zutphen\nnote: a friend of the house\nitems:\n"),
        ("  prices:\n", "  process: machining\n  prices:\n"),
    )
    again = taken_text(folder, "q-12.csv", NEXT)
    assert again.result.open == ()
    assert {
        ("delivery", "DAP Zutphen"),
        ("note", "a friend of the house"),
        ("items 1, process", "machining"),
        ("items 1, prices", "{from: 250, price: 15.90 EUR per 1}"),
    } <= again.facts
    assert [each.field for each in again.result.changes] == ["items 1, prices, from 250"]


def test_a_key_that_no_form_has_is_asked_about_and_not_lost(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    edited(taken_text(folder, "q-12.csv", PLAIN), ("items:\n", "phone: 030 555\nitems:\n"))
    again = taken_text(folder, "q-12.csv", NEXT)
    assert "phone" in again.asked
    assert "030 555" in again.text


def test_a_fact_corrected_by_hand_stays_and_says_what_the_file_shows(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    edited(taken_text(folder, "q-12.csv", PLAIN), ("16.20 EUR", "15.80 EUR"))
    same = taken_text(folder, "q-12.csv", PLAIN)
    assert same.result.open == ()
    assert (
        '  - from: 250  # by hand; the file: q-12.csv:6:2: "16,20"\n    price: 15.80 EUR per 1\n'
    ) in same.text
    elsewhere = taken_text(folder, "q-12.csv", PLAIN.replace("17,40", "17,10"))
    assert elsewhere.result.open == ()  # the file says of this price what it said
    assert ("items 1, prices", "{from: 250, price: 15.80 EUR per 1}") in elsewhere.facts


@pytest.mark.parametrize("answer", ["{from: 250, price: 15.80 EUR per 1}", "leave out"])
def test_a_fact_that_both_changed_is_asked_until_it_is_answered_and_not_again(
    answer: str, tmp_path: Path
) -> None:
    folder = a_folder(tmp_path)
    edited(taken_text(folder, "q-12.csv", PLAIN), ("16.20 EUR", "15.80 EUR"))
    for _ in range(2):
        asked = taken_text(folder, "q-12.csv", PLAIN.replace("16,20", "15,10"))
        assert asked.asked == {"items 1, prices"}
        assert ("items 1, prices", "{from: 250, price: 15.80 EUR per 1}") in asked.facts
    answered(asked, answer)
    for _ in range(2):
        settled = taken_text(folder, "q-12.csv", PLAIN.replace("16,20", "15,10"))
        assert settled.result.open == ()
        (entry,) = checked(folder).quotes
        assert str(entry.record.items[0].prices[-1].price) == "15.80 EUR per 1"


def test_a_line_that_a_person_took_out_stays_out(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    draft = taken_text(folder, "q-12.csv", PLAIN)
    edited(draft, ('  - from: 250  # q-12.csv:6:2: "16,20"\n    price: 16.20 EUR per 1\n', ""))
    again = taken_text(folder, "q-12.csv", PLAIN.replace("17,40", "17,10"))
    assert again.result.open == ()
    assert not any("from: 250" in value for _, value in again.facts)
    changed = taken_text(folder, "q-12.csv", PLAIN.replace("16,20", "14,90"))
    assert changed.readings("items 1, prices") == ["{from: 250, price: 14.90 EUR per 1}"]


def test_a_new_note_of_the_file_is_kept_beside_a_persons_own(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    draft = taken_text(folder, "q-12.csv", PLAIN + "Parts come in blue boxes.;\n")
    edited(draft, ("notes:\n", "notes:\n- ask about the boxes\n"))
    again = taken_text(folder, "q-12.csv", PLAIN + "Parts come in red boxes.;\n")
    assert "ask about the boxes" in again.form["notes"]
    assert "Parts come in red boxes." in again.form["notes"]
    assert "Parts come in blue boxes." not in again.form["notes"]


# another name


def test_the_same_number_under_another_name_takes_the_place_of_the_older(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    taken_text(folder, "offer.csv", PLAIN)
    newer = taken_text(folder, "offer_v2.csv", NEXT)
    assert newer.result.form == home(folder) / "offer.yaml"
    assert newer.result.against == "offer.csv (quote Q-12)"
    assert newer.form["taken"]["instead of"] == ["offer.csv"]
    assert [each.now for each in newer.result.changes] == ["{from: 250, price: 15.90 EUR per 1}"]
    assert codes(folder) == []  # one live quote, and no file that nobody reads
    assert (home(folder) / "offer.csv").read_text(encoding="utf-8") == PLAIN


RENUMBERED = NEXT.replace("Q-12", "Q-12b").replace("2026-10-01", "2026-10-09")


def test_another_number_for_the_same_part_and_head_is_asked_about(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    taken_text(folder, "offer.csv", PLAIN)
    newer = taken_text(folder, "offer_v2.csv", RENUMBERED)
    assert newer.asks("replaces").startswith(
        "The file looks like a newer version of offer.csv (quote Q-12 of 2026-10-01)"
    )
    assert [entry.record.quote for entry in checked(folder).quotes] == ["Q-12"]
    answered(newer, "Q-12")
    again = taken_text(folder, "offer_v2.csv", RENUMBERED)
    assert again.result.open == ()
    assert [entry.record.replaces for entry in checked(folder).quotes] == [None, "Q-12"]
    assert taken_text(folder, "offer.csv", PLAIN).result.open == ()  # the older asks nothing


def test_a_quote_that_is_replaced_already_is_not_asked_about(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    taken_text(folder, "offer.csv", PLAIN)
    second = PLAIN.replace("Q-12", "Q-11").replace("2026-10-01", "2026-09-01")
    draft = taken_text(folder, "other.csv", second)
    edited(draft, ("items:\n", "replaces: Q-12\nitems:\n"))
    assert taken_text(folder, "offer_v2.csv", RENUMBERED).readings("replaces") == ["Q-11"]


def test_two_quotes_that_both_stand_are_not_asked_about_again(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    taken_text(folder, "offer.csv", PLAIN)
    answered(taken_text(folder, "offer_v2.csv", RENUMBERED), "leave out")
    assert taken_text(folder, "offer_v2.csv", RENUMBERED).result.open == ()
    assert [entry.record.replaces for entry in checked(folder).quotes] == [None, None]


@pytest.mark.parametrize(
    "other",
    [
        RENUMBERED.replace("FL-021", "WM-015"),
        RENUMBERED.replace("Qty;Price each EUR", "Menge;Preis je Stück EUR"),
        RENUMBERED.replace("2026-10-09", "2026-09-01"),
    ],
    ids=["another part", "another head", "an older day"],
)
def test_what_is_no_newer_version_is_not_asked_about(other: str, tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    taken_text(folder, "offer.csv", PLAIN)
    assert taken_text(folder, "offer_v2.csv", other).result.open == ()


def test_a_person_names_the_file_that_is_replaced(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    taken_text(folder, "offer.csv", PLAIN)
    (home(folder) / "other.csv").write_text(
        RENUMBERED.replace("Qty;Price each", "Menge;Preis je Stück"), encoding="utf-8"
    )
    result = take(Wish(file=home(folder) / "other.csv", folder=folder, instead_of="offer.csv"))
    assert result.open == ()
    assert result.against == "offer.csv (quote Q-12)"
    assert any(each.field == "items 1, prices, from 250" for each in result.changes)
    assert [entry.record.replaces for entry in checked(folder).quotes] == [None, "Q-12"]
    wrong = take(Wish(file=home(folder) / "other.csv", folder=folder, instead_of="none.csv"))
    assert wrong.misused
    assert "was drafted from none.csv" in wrong.refused


def test_answers_to_the_same_questions_go_over_to_the_newer_quote(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    answered(taken_text(folder, "offer.csv", SETUP), "{what: set-up, amount: 48 EUR, per: order}")
    newer = taken_text(folder, "offer_v2.csv", RENUMBERED + "Set-up 48,00 EUR;\n")
    assert newer.asked == {"replaces", "items 1, charges"}
    answered(newer, "Q-12")
    again = taken_text(folder, "offer_v2.csv", RENUMBERED + "Set-up 48,00 EUR;\n")
    assert again.result.open == ()


def test_a_supplier_that_is_not_there_is_a_slip(tmp_path: Path) -> None:
    folder = a_folder(tmp_path / "w")
    file = tmp_path / "offer.csv"
    file.write_text(PLAIN, encoding="utf-8")
    result = take(Wish(file=file, folder=folder, supplier="vos"))
    assert result.misused
    assert result.refused.startswith(f"there is no supplier 'vos'; suppliers/ has {SUPPLIER}.")
    assert drafted(folder, file, SUPPLIER).result.open == ()
