"""A small sound workshop folder, and ways to spoil it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from quotegen.basics.problem import Problem
from quotegen.intake.folder import read_folder

WORKSHOP = """\
format: 1
name: Test Loomwrights
currency: EUR
place: Zutphen
country: NL
planning start: 2026-11-02
planning months: 24
cost of capital: 7 % a year
storage: 6 % a year
rates:
  - {one: GBP, is worth: 1.15 EUR, on: 2026-10-30, source: bank}
  - {one: USD, is worth: 0.86 EUR, on: 2026-10-30, source: bank}
labour:
  - {work: bench, rate: 38 EUR, source: wages}
completion:
  - {operation: deburring, minutes: 2, labour: bench, source: trial}
  - {operation: lapping of the seat, price: 1.20 EUR per 1, source: quote of May}
delivery:
  - {from: NL, carriage: {per order: 0 EUR}, source: own van}
duty:
  - {goods code: "8448", origin: GB, rate: 0 %, since: 2021-01-01, source: tariff}
"""

PART = """\
format: 1
name: Pawl
revision: C
material: steel
mass: 86 g
operations: [heat treatment, deburring]
demand: {low: 100, likely: 200, high: 300}
"""

SUPPLIER = """\
format: 1
name: Arden Foundry
processes: [investment casting]
country: GB
closed:
  - {first: 2026-12-24, last: 2027-01-03, why: winter}
"""

QUOTE = """\
format: 1
quote: AF-2291
date: 2026-10-12
valid until: 2027-01-31
currency: GBP
delivery: FCA Wolverhampton
payment:
  - {share: 100 %, when: invoice, days: 30}
charges:
  - {what: certificate, amount: 40 GBP, per: order}
items:
  - part: pawl
    revision: C
    prices:
      - {from: 50, price: 9.80 GBP per 1}
      - {from: 200, price: 8.90 GBP per 1}
    minimum: 50
    multiple: 14
    charges:
      - {what: set-up, amount: 30 GBP, per: batch}
    tools:
      - {tool: af-die-1, what: wax die, price: 1500 GBP}
    includes: [heat treatment]
    excludes: [finish machining]
    surcharges:
      - {what: alloy, rate: 4 %}
      - {what: energy, rate: 2 %, of: [goods, alloy]}
    lead time: 25 working days
  - part: ratchet
    prices:
      - {from: 1, price: 21.50 GBP per 1}
"""

READING = """\
format: 1
reads: offer.csv
decimal: comma
columns: {part: Teil, from: Menge ab, price: Preis}
rows: {pawl: D-4711}
ends before: Summe
quote:
  quote: {cell: B1}
  date: 2026-10-12
  currency: GBP
  items:
    - part: pawl
      minimum: {cell: C2, unit: pieces}
    - part: ratchet
"""

CSV = """\
Angebot;AF-2291;
Mindestmenge;;50
Teil;Menge ab;Preis
D-4711;50;9,80
D-4711;1.000;8,90
ratchet;1;21,50
;;
Summe;;40
"""

SOUND: Mapping[str, str] = {
    "workshop.yaml": WORKSHOP,
    "parts/pawl.yaml": PART,
    "parts/ratchet.yaml": PART.replace("Pawl", "Ratchet"),
    "suppliers/arden.yaml": SUPPLIER,
    "quotes/arden/af-2291.yaml": QUOTE,
}

Changes = Mapping[str, str | bytes | None]
Write = Callable[[Changes], Path]
Told = Callable[[Changes], list[str]]
ToldOfEdit = Callable[[str, str, str], list[str]]


def shown(problem: Problem) -> str:
    """Place, code and message; the place within the sound folder's quote without its path.

    The whole sentence is filled, so that a value that it lacks fails the test.
    """
    if not problem.sentence.endswith(problem.remedy):
        raise ValueError(problem.sentence)
    place = str(problem.place).removeprefix("quotes/arden/af-2291.yaml:")
    return f"{place} {problem.code}: {problem.message}"


@pytest.fixture
def write(tmp_path: Path) -> Write:
    """Writes the sound folder with some files changed or added; None leaves a file out."""

    def write_files(changes: Changes) -> Path:
        for name, content in (SOUND | dict(changes)).items():
            path = tmp_path / name
            path.parent.mkdir(parents=True, exist_ok=True)
            if content is not None:
                path.write_bytes(content.encode() if isinstance(content, str) else content)
        return tmp_path

    return write_files


@pytest.fixture
def told(write: Write) -> Told:
    """What is said about the sound folder with these files changed."""

    def lines(changes: Changes) -> list[str]:
        return [shown(problem) for problem in read_folder(write(changes)).problems]

    return lines


@pytest.fixture
def told_of_edit(told: Told) -> ToldOfEdit:
    """What is said when one text in one file of the sound folder is replaced by another."""

    def lines(name: str, old: str, new: str) -> list[str]:
        content = SOUND[name]
        if content.count(old) != 1:
            raise ValueError(f"{old!r} does not stand once in {name}")
        return told({name: content.replace(old, new)})

    return lines


@pytest.fixture
def sound() -> Mapping[str, str]:
    """The files of the sound folder by their path."""
    return SOUND


@pytest.fixture
def reading() -> str:
    """A sound reading form for the sound price table, to stand in place of the quote."""
    return READING


@pytest.fixture
def price_table() -> str:
    """The price table as a supplier's CSV file."""
    return CSV


@pytest.fixture
def told_of_table(told: Told) -> Callable[[str, str | bytes], list[str]]:
    """What is said about a reading form and the file offer.csv beside it."""

    def lines(form: str, table: str | bytes) -> list[str]:
        changes = {"quotes/arden/af-2291.yaml": form, "quotes/arden/offer.csv": table}
        return [line.replace("quotes/arden/offer.csv", "csv") for line in told(changes)]

    return lines
