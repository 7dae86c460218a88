"""A small invented workshop on disk and as it is read, for the tests of the record stage."""

from __future__ import annotations

import dataclasses
import datetime
import hashlib
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from typing import TypeVar

import pytest

from quotegen.basics.place import Places
from quotegen.compare.comparison import Comparison, compare
from quotegen.costing.offer import offers_for
from quotegen.costing.rates import rates_on
from quotegen.intake.decisions import read_decisions
from quotegen.intake.files import FORM_BYTES, read_file
from quotegen.intake.forms import read_form
from quotegen.intake.yaml_tree import read_tree
from quotegen.judge.advice import Advice, advise
from quotegen.model.decision import ReopenKind
from quotegen.model.entry import Entry, Folder, QuoteEntry
from quotegen.model.fields import Form
from quotegen.model.orders import Orders
from quotegen.model.part import Part
from quotegen.model.quote import Quote
from quotegen.model.supplier import Supplier
from quotegen.model.workshop import Workshop
from quotegen.plan.planning import plan_part
from quotegen.record.facts import Condition, Facts, RateOnRecord

TODAY = datetime.date(2026, 11, 2)

WORKSHOP = """\
format: 1
name: Testhof
currency: EUR
place: Zutphen
country: NL
planning start: 2027-01-04
planning months: 36
cost of capital: 0 % a year
storage: 0 % a year
rates:
- {one: GBP, is worth: 1.20 EUR, on: 2026-10-30, source: our bank}
delivery:
- {from: NL, carriage: {per order: 10 EUR}, source: invented}
- from: GB
  export clearance: 0 EUR
  carriage: {per order: 10 EUR}
  insurance: 0 %
  import clearance: 0 EUR
  source: invented
duty:
- {goods code: "8448.49", origin: GB, rate: 0 %, since: 2026-01-01, source: invented}
"""
PART = """\
format: 1
name: Pawl of the brake
revision: C
material: steel
mass: 86 g
demand: {low: 40, likely: 60, high: 90}
lot: 60
goods code: "8448.49"
"""
SUPPLIER = "format: 1\nname: {name}\nprocesses: [{process}]\ncountry: {country}\n"
PLAIN_QUOTE = """\
format: 1
quote: M-1
date: 2026-10-20
valid until: 2026-12-31
currency: EUR
delivery: DAP Zutphen
items:
- part: pawl
  revision: C
  breaks: all-units
  prices: [{from: 1, price: 31 EUR per 1}]
  lead time: 20 working days
  lead time from: order
"""
TOOLED_QUOTE = """\
format: 1
quote: F-7
date: 2026-10-20
valid until: 2027-01-31
currency: GBP
delivery: DAP Zutphen
items:
- part: pawl
  revision: C
  breaks: all-units
  prices: [{from: 1, price: 8 GBP per 1}]
  tools: [{tool: die-1, what: die, price: 1500 GBP, owner: buyer, life: 50000 shots}]
  lead time: 30 working days
  lead time from: order
"""

Written = TypeVar("Written", bound=Form)


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """A workshop folder with one part, a machine shop and a foundry."""
    machines = SUPPLIER.format(name="Machine Hall", process="machining", country="NL")
    foundry = SUPPLIER.format(name="Foundry Row", process="investment casting", country="GB")
    texts = {
        "workshop.yaml": WORKSHOP,
        "parts/pawl.yaml": PART,
        "suppliers/hall.yaml": machines,
        "suppliers/row.yaml": foundry,
        "quotes/hall/m-1.yaml": PLAIN_QUOTE,
        "quotes/row/f-7.yaml": TOOLED_QUOTE,
    }
    for path, text in texts.items():
        (tmp_path / path).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / path).write_text(text, encoding="utf-8")
    return tmp_path


def _read(root: Path, path: str, kind: type[Written]) -> tuple[Written, Places]:
    tree = read_tree(read_file(root, path, most=FORM_BYTES, record=path), path)
    record, problems = read_form(kind, tree, path)
    assert problems == ()
    assert record is not None
    return record, tree.places


def _entry(root: Path, path: str, kind: type[Written]) -> Entry[Written]:
    record, places = _read(root, path, kind)
    return Entry(name=Path(path).stem, record=record, places=places, files=(path,))


def _quote(root: Path, path: str) -> QuoteEntry:
    record, places = _read(root, path, Quote)
    name = Path(path).stem
    supplier = Path(path).parent.name
    return QuoteEntry(name=name, record=record, places=places, files=(path,), supplier=supplier)


def folder_at(root: Path) -> Folder:
    """The records of the folder as they stand now."""
    found = sorted(path.relative_to(root).as_posix() for path in root.rglob("*.yaml"))
    decisions, problems = read_decisions(root)
    parts = [_entry(root, path, Part) for path in found if path.startswith("parts/")]
    suppliers = [_entry(root, path, Supplier) for path in found if path.startswith("suppliers/")]
    orders = [_entry(root, path, Orders) for path in found if path.startswith("orders/")]
    return Folder(
        workshop=_entry(root, "workshop.yaml", Workshop),
        parts={each.name: each for each in parts},
        suppliers={each.name: each for each in suppliers},
        quotes=tuple(_quote(root, path) for path in found if path.startswith("quotes/")),
        decisions=decisions,
        problems=problems,
        orders={each.name: each for each in orders},
    )


@pytest.fixture
def read_now() -> Callable[[Path], Folder]:
    return folder_at


@pytest.fixture
def studied() -> Callable[[Path], tuple[Comparison, Advice]]:
    """The comparison of the pawl and its advice, as the folder stands now."""

    def study(root: Path) -> tuple[Comparison, Advice]:
        folder = folder_at(root)
        assert folder.workshop is not None
        rates = rates_on(folder.workshop, {"GBP"}, TODAY)
        offers = offers_for(folder, "pawl", rates, TODAY)
        comparison = compare(folder.workshop, folder.parts["pawl"], offers, rates, TODAY)
        planning = plan_part(comparison)
        return comparison, advise(comparison, planning)

    return study


@pytest.fixture
def facts(root: Path, plain_facts: Facts) -> Facts:
    """A decision with something in every field."""
    paths = ("parts/pawl.yaml", "quotes/hall/m-1.yaml", "workshop.yaml")
    files = {path: hashlib.sha256((root / path).read_bytes()).hexdigest() for path in paths}
    return dataclasses.replace(plain_facts, files=files)


@pytest.fixture(scope="session")
def plain_facts() -> Facts:
    """The same, resting on no file."""
    return Facts(
        part="pawl",
        decided_on=TODAY,
        agreed_by="workshop lead",
        outcome="chosen",
        revision="C",
        route=("hall/M-1", "row/F-7"),
        advised=("row/F-7",),
        bridge=52,
        quantity=180,
        planning_months=36,
        currency="EUR",
        total=Fraction(352_801, 100),
        committed=Fraction(1800),
        runner_up="hall/M-1",
        lead=Fraction(-1240, 100),
        reopen_if=(
            Condition(
                kind=ReopenKind.QUOTE_EXPIRES,
                about="hall/M-1",
                value="2026-12-31",
                text="Quote M-1 can be signed until 2026-12-31.",
            ),
            Condition(
                kind=ReopenKind.REVISION_CHANGES,
                about="pawl",
                value="C",
                text="The drawing leaves revision C.",
            ),
            Condition(
                kind=ReopenKind.DEMAND_BELOW,
                about="pawl",
                value="85",
                text="The likely demand falls below 85 good parts.",
            ),
            Condition(
                kind=ReopenKind.RATE_RISES,
                about="GBP",
                value="1.25",
                text="One GBP is worth 1.25 EUR or more.",
            ),
            Condition(kind=ReopenKind.QUOTE_ARRIVES, about="pawl", text="Another quote arrives."),
            Condition(kind=ReopenKind.FILE_CHANGES, about="pawl", text="A file changes."),
        ),
        rates=(
            RateOnRecord(
                one="GBP",
                rate="1 GBP = 1.20 EUR",
                day=datetime.date(2026, 10, 30),
                source="our bank",
            ),
        ),
        assumptions=("Every piece is taken to be good.",),
        files={},
        tool_version="0.1.0",
    )
