"""A whole workshop folder: what is found, what is not read, and in which order it is told."""

from __future__ import annotations

import datetime
import random
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from quotegen.intake.folder import read_folder
from quotegen.model.entry import Folder
from quotegen.study import study

QUOTE = "quotes/arden/af-2291.yaml"
Changes = Mapping[str, str | bytes | None]
Told = Callable[[Changes], list[str]]
Write = Callable[[Changes], Path]


def test_a_sound_folder_is_read_whole(write: Write) -> None:
    """No source: records by name, with the files that they stand in."""
    folder = read_folder(write({}))
    assert folder.problems == ()
    assert folder.workshop is not None
    assert folder.workshop.record.name == "Test Loomwrights"
    assert list(folder.parts) == ["pawl", "ratchet"]
    assert folder.parts["pawl"].files == ("parts/pawl.yaml",)
    assert list(folder.suppliers) == ["arden"]
    assert [quote.name for quote in folder.quotes] == ["af-2291"]
    assert folder.decisions == ()


def test_the_demo_has_no_error() -> None:
    """No source: the demo has notices but no errors."""
    folder = read_folder(Path(__file__).parents[2] / "quotes_demo")
    assert [each.sentence for each in folder.problems if each.severity == "error"] == []
    assert len(folder.quotes) >= 26


def test_no_folder_is_told(tmp_path: Path) -> None:
    """No source."""
    problems = read_folder(tmp_path / "nowhere").problems
    assert [problem.code for problem in problems] == ["folder-missing", "workshop-missing"]
    assert problems[0].message == f"There is no folder '{tmp_path / 'nowhere'}'."


def test_no_workshop_is_told_and_the_rest_is_read(write: Write) -> None:
    """No source: the quotes can be checked all the same."""
    folder = read_folder(write({"workshop.yaml": None}))
    assert [f"{each.place}: {each.message}" for each in folder.problems] == [
        "workshop.yaml: There is no workshop.yaml that can be used."
    ]
    assert folder.workshop is None
    assert len(folder.quotes) == 1


def test_a_workshop_that_leads_nowhere_is_told(write: Write) -> None:
    """No source: a dangling link is a file that is missing."""
    root = write({"workshop.yaml": None})
    (root / "workshop.yaml").symlink_to("gone.yaml")
    codes = [problem.code for problem in read_folder(root).problems]
    assert codes == ["file-missing", "workshop-missing"]


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        pytest.param(
            {"parts/Pawl 2.yaml": "format: 1\n"},
            [
                (
                    "parts/Pawl 2.yaml bad-name: 'Pawl 2' cannot be a name here: expected small "
                    "letters, digits, '-', '_' and '.', 64 at most, no '..' and no '/', and not "
                    "what Windows keeps for a device, such as con."
                )
            ],
            id="capitals and a blank",
        ),
        pytest.param(
            {"parts/x.yml": "format: 1\n"},
            [
                (
                    "parts/x.yml form-ending: 'x.yml' is not read: a form ends in .yaml, in small "
                    "letters."
                )
            ],
            id="another ending",
        ),
        pytest.param(
            {"suppliers/x.YAML": "format: 1\n"},
            [
                (
                    "suppliers/x.YAML form-ending: 'x.YAML' is not read: a form ends in .yaml, in "
                    "small letters."
                )
            ],
            id="an ending in capitals",
        ),
        pytest.param(
            {"quotes/loose.yaml": "format: 1\n"},
            [
                (
                    "quotes/loose.yaml quote-loose: 'loose.yaml' does not lie in the folder of a "
                    "supplier."
                )
            ],
            id="a quote of nobody",
        ),
        pytest.param(
            {"quotes/arden/offer.xlsx": b"PK"},
            ["quotes/arden/offer.xlsx file-not-read: No reading form reads 'offer.xlsx'."],
            id="a price table that nobody reads",
        ),
        pytest.param(
            {"quotes/arden/offer.CSV": b"x", "quotes/arden/OFFER.csv": b"x"},
            [
                "quotes/arden/OFFER.csv file-not-read: No reading form reads 'OFFER.csv'.",
                "quotes/arden/offer.CSV file-not-read: No reading form reads 'offer.CSV'.",
                (
                    "quotes/arden/offer.CSV names-collide: 'offer.CSV' and 'OFFER.csv' differ in "
                    "capitals alone."
                ),
            ],
            id="two names that differ in capitals",
        ),
        pytest.param(
            {
                "quotes/arden/letter.pdf": b"%PDF",
                "quotes/arden/~$offer.xlsx": b"x",
                "quotes/arden/Thumbs.db": b"x",
                "quotes/arden/.hidden.csv": b"x",
                "quotes/readme.txt": b"x",
                "parts/drawing.dxf": b"x",
                "notes.yaml": b"x",
                "parts/drawings/pawl.dxf": b"x",
                "drawings/x.yaml": b"x",
            },
            [],
            id="what a folder may hold beside forms",
        ),
        pytest.param(
            {"parts/old/x.yaml": b"x", "quotes/arden/2026/offer.CSV": b"x"},
            [
                (
                    "parts/old folder-not-read: The folder 'old' is not looked into; forms are "
                    "read from 'parts' alone."
                ),
                (
                    "quotes/arden/2026 folder-not-read: The folder '2026' is not looked into; "
                    "forms are read from 'quotes/arden' alone."
                ),
            ],
            id="forms in a folder inside",
        ),
        pytest.param(
            {"Quotes/arden/x.yaml": b"x", "part/x.yaml": b"x"},
            [
                (
                    "Quotes folder-not-read: The folder 'Quotes' is not looked into; forms are "
                    "read from 'quotes' alone."
                ),
                (
                    "part folder-not-read: The folder 'part' is not looked into; forms are read "
                    "from 'parts' alone."
                ),
            ],
            id="forms in a folder whose name is nearly right",
        ),
        pytest.param(
            {QUOTE: b""},
            ["quotes/arden/af-2291.yaml file-empty: The file is empty."],
            id="an empty form",
        ),
        pytest.param(
            {QUOTE: b"#" * 10_000_000},
            [
                (
                    "quotes/arden/af-2291.yaml file-too-large: The file has 10,000,000 bytes; at "
                    "most 1,000,000 are read."
                )
            ],
            id="ten megabytes",
        ),
        pytest.param(
            {QUOTE: "- a\n"},
            ["1:1 not-a-form: form: expected a group of keys, found a list."],
            id="a form that is a list",
        ),
        pytest.param(
            {QUOTE: "hello\n"},
            ["1:1 not-a-form: form: expected a group of keys, found 'hello'."],
            id="a form that is a text",
        ),
    ],
)
def test_what_lies_in_a_folder_is_read_or_told(
    told: Told, changes: Changes, expected: list[str]
) -> None:
    """No source: a form is never passed over in silence."""
    assert told(changes) == expected


def test_a_folder_of_quotes_with_a_bad_name_is_told(told: Told, sound: Mapping[str, str]) -> None:
    """No source: its quotes are not read."""
    lines = told({"quotes/Arden/x.yaml": sound[QUOTE]})
    assert [line.split(":")[0] for line in lines] == [
        "quotes/Arden bad-name",
        "quotes/arden names-collide",
    ]


def test_a_form_that_links_out_of_the_folder_is_told(write: Write, tmp_path: Path) -> None:
    """No source: the file outside is not read."""
    root = write({"parts/pawl.yaml": None})
    outside = tmp_path.parent / f"{tmp_path.name}-outside.yaml"
    outside.write_text("format: 1\n")
    (root / "parts/pawl.yaml").symlink_to(outside)
    problems = read_folder(root).problems
    assert [f"{each.place} {each.code}" for each in problems] == [
        "parts/pawl.yaml file-outside",
        "quotes/arden/af-2291.yaml:12:11 item-part-broken",
    ]


@pytest.mark.parametrize("below", ["parts", "suppliers", "quotes", "quotes/arden"])
def test_a_folder_that_cannot_be_looked_into_is_told(write: Write, below: str) -> None:
    """No source: forms that are out of sight must not look like forms that are not there."""
    root = write({})
    outside = root.parent / f"{root.name}-outside"
    (root / below).rename(outside)
    what = f"All that lies in {below} is left out."
    (root / below).symlink_to(outside)
    assert _told_of(root, below) == [
        f"file-outside: folder: '{below}' leads out of the workshop folder. {what}"
    ]
    (root / below).unlink()
    (root / below).symlink_to("gone")
    kind = "file-kind: The file is not what its name says: expected a folder, found"
    assert _told_of(root, below) == [f"{kind} a link that leads nowhere. {what}"]
    if below != "quotes/arden":  # there it may be a note of somebody
        (root / below).unlink()
        (root / below).write_text("x")
        assert _told_of(root, below) == [f"{kind} a file. {what}"]


def _told_of(root: Path, below: str) -> list[str]:
    return [
        f"{each.code}: {each.message} {each.happens}"
        for each in read_folder(root).problems
        if str(each.place) == below
    ]


def test_without_a_workshop_no_word_for_an_operation_is_called_unknown(
    write: Write, sound: Mapping[str, str]
) -> None:
    """No source: the workshop that cannot be read may well have the word."""
    quote = sound[QUOTE].replace("[heat treatment]", "[lapping of the seat]")
    workshop = sound["workshop.yaml"].replace("format: 1", "format: 1\nnaem: x")
    folder = read_folder(write({QUOTE: quote, "workshop.yaml": workshop}))
    assert [each.code for each in folder.problems] == ["workshop-missing", "unknown-key"]
    assert len(folder.quotes) == 1


def test_norway_stays_norway(write: Write, sound: Mapping[str, str]) -> None:
    """YAML 1.1 makes false of NO; ISO 3166-1 makes Norway of it."""
    supplier = sound["suppliers/arden.yaml"].replace("country: GB", "country: NO")
    folder = read_folder(write({"suppliers/arden.yaml": supplier}))
    assert folder.suppliers["arden"].record.country == "NO"


def test_every_quote_has_its_supplier_and_every_item_its_part(
    write: Write, sound: Mapping[str, str]
) -> None:
    """No source: whoever reads the folder may look them up."""
    changes = {
        "parts/pawl.yaml": "format: 1\n",
        "suppliers/birch.yaml": "format: 1\n",
        "quotes/birch/b-1.yaml": sound[QUOTE],
        "quotes/cedar/c-1.yaml": sound[QUOTE],
    }
    folder = read_folder(write(changes))
    assert [quote.supplier for quote in folder.quotes] == ["arden"]
    assert [item.part for item in folder.quotes[0].record.items] == ["ratchet"]
    assert set(folder.parts) == {"ratchet"}


RATCHET = """\
format: 1
quote: B-1
date: 2026-10-12
currency: EUR
delivery: DAP Zutphen
items:
  - {part: ratchet, revision: C, prices: [{from: 1, price: 20 EUR per 1}], lead time: 6 weeks}
"""
SPOILT = [
    (QUOTE, "share: 100 %", "share: 90 %", "8:3 payment-sum", "The quote AF-2291"),
    (
        QUOTE,
        "price: 1500 GBP",
        "price: 1500 GBP, payment: [{share: 90 %, when: order}]",
        "22:67 payment-sum",
        "Item 1 (part pawl) of the quote AF-2291",
    ),
    (
        QUOTE,
        "time: 25 working days",
        "time: 25",
        "28:16 unit-missing",
        "Item 1 (part pawl) of the quote AF-2291",
    ),
    (
        QUOTE,
        "price: 1500 GBP",
        "price: 1500 GBP, life: 0",
        "22:64 not-positive",
        "Item 1 (part pawl) of the quote AF-2291",
    ),
    ("parts/pawl.yaml", "low: 100", "low: -1", "7:15 not-positive", "The part pawl"),
    ("parts/pawl.yaml", "likely: 200", "likely: 12.5", "7:28 wrong-value", "The part pawl"),
    (
        "parts/pawl.yaml",
        "high: 300",
        "high: 300, by month: [1, 2]",
        "7:54 demand-months-count",
        "The part pawl",
    ),
    (
        "parts/pawl.yaml",
        "high: 300",
        f"high: 300, by month: {[16] * 12}",
        "7:54 demand-months-sum",
        "The part pawl",
    ),
]


@pytest.mark.parametrize(("name", "old", "new", "told_at", "left_out"), SPOILT)
def test_a_slip_says_where_why_and_what_to_do_and_other_parts_are_compared(
    write: Write,
    sound: Mapping[str, str],
    name: str,
    old: str,
    new: str,
    told_at: str,
    left_out: str,
) -> None:
    """No source: one slip leaves out what it spoils, and the ratchet has another quote."""
    changes = {
        name: sound[name].replace(old, new),
        "suppliers/birch.yaml": sound["suppliers/arden.yaml"].replace("Arden", "Birch"),
        "quotes/birch/b-1.yaml": RATCHET,
    }
    found = study(write(changes), datetime.date(2026, 11, 2))
    slip, *_ = (each for each in found.problems if each.code == told_at.partition(" ")[2])
    assert f"{slip.place} {slip.code}" == f"{name}:{told_at}"
    assert slip.happens == f"{left_out} is left out."
    assert len(slip.remedy.split()) > 1
    assert "birch/B-1" in found.parts["ratchet"].comparison.costs
    offers = found.parts["pawl"].comparison.offers if "pawl" in found.parts else ()
    assert offers == ()


@given(seed=st.integers(0, 1000))
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=10)
def test_the_order_of_files_does_not_matter(
    seed: int, write: Write, sound: Mapping[str, str]
) -> None:
    """No source: a folder lists its files in any order, and what is read is the same."""
    changes = {
        "parts/axle.yaml": sound["parts/pawl.yaml"].replace("86 g", "86"),
        "quotes/arden/af-2290.yaml": sound[QUOTE],
        "quotes/arden/af-2300.yaml": sound[QUOTE].replace("AF-2291", "AF-2300"),
        "quotes/arden/offer.csv": "x",
    }
    root = write(changes)
    plain = read_folder(root)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Path, "iterdir", _shuffled(random.Random(seed)))  # noqa: S311
        shuffled = read_folder(root)
    assert _content(shuffled) == _content(plain)


def _shuffled(chance: random.Random) -> Callable[[Path], Iterator[Path]]:
    listed = Path.iterdir

    def iterdir(path: Path) -> Iterator[Path]:
        found = sorted(listed(path))
        chance.shuffle(found)
        return iter(found)

    return iterdir


def _content(folder: Folder) -> tuple[object, ...]:
    return (
        list(folder.parts.items()),
        list(folder.suppliers.items()),
        folder.quotes,
        folder.problems,
    )
