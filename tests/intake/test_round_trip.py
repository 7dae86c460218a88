"""Every kind of record, written out as a form and read again, is the same record."""

from __future__ import annotations

import datetime
import types
import typing
from decimal import Decimal
from enum import Enum
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from quotegen.basics.money import Money, Price
from quotegen.basics.quantity import Length, Mass, MinutesAPiece, Span, YearlyRate
from quotegen.intake.cells import plain
from quotegen.intake.files import RawFile
from quotegen.intake.folder import read_folder
from quotegen.intake.forms import read_form
from quotegen.intake.yaml_tree import read_tree
from quotegen.model import fields, workshop
from quotegen.model.acceptance import AQLS, LQS, Acceptance
from quotegen.model.fields import Form
from quotegen.model.orders import Orders
from quotegen.model.part import Part
from quotegen.model.quote import DeliveryTerm, Quote
from quotegen.model.supplier import Supplier
from quotegen.model.workshop import Workshop

DEMO = Path(__file__).parents[2] / "quotes_demo"
KINDS = (Workshop, Part, Supplier, Quote, Orders)


def _said(value: Any) -> Any:
    """A value as a person would write it."""
    if isinstance(value, Form):
        return _form(value)
    if isinstance(value, tuple) and value and all(isinstance(each, Length) for each in value):
        return " x ".join(plain(side.millimetres) for side in value) + " mm"
    if isinstance(value, tuple):
        return [_said(each) for each in value]
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, MinutesAPiece):
        return f"{plain(value.minutes)} minutes a piece"
    return _said_alone(value)


def _said_alone(value: Any) -> str:
    match value:
        case Enum():
            return str(value.value)
        case Mass():
            return f"{plain(value.grams)} g"
        case Length():
            return f"{plain(value.millimetres)} mm"
        case Fraction():
            return f"{plain(value * 100)} %"
        case YearlyRate():
            return f"{plain(value.share * 100)} % a year"
        case Money() | Price() | Span() | Acceptance() | datetime.date() | int() | str():
            return str(value)
        case _:
            raise TypeError(f"no way to write {value!r}")


def _form(record: Form) -> dict[str, Any]:
    written = {}
    for name, info in type(record).model_fields.items():
        value = getattr(record, name)
        if value is not None:
            written[str(info.alias)] = _said(value)
    return written


def _read(kind: type[Form], form: dict[str, Any]) -> Form:
    text = yaml.safe_dump(form, allow_unicode=True, sort_keys=False)
    tree = read_tree(RawFile(path="x.yaml", data=text.encode()), "The form")
    record, problems = read_form(kind, tree, "The form")
    assert [problem.sentence for problem in problems] == []
    assert record is not None
    return record


NUMBERS = st.decimals(Decimal("0.01"), Decimal("9999.99"), places=2).map(str)
WHOLES = st.integers(1, 10**6).map(str)
CURRENCIES = st.sampled_from(["EUR", "GBP", "JPY", "KWD"])
WORDS = st.text(alphabet="abc xyz-é:#'\"", min_size=1, max_size=12).filter(
    lambda text: text.strip()
)
DATES = st.dates(datetime.date(2020, 1, 1), datetime.date(2040, 1, 1)).map(str)
SHARES = st.decimals(0, 100, places=2).map(lambda share: f"{share} %")
SPANS = st.builds(
    "{} {}".format, st.integers(1, 500).map(str), st.sampled_from(["days", "weeks", "working days"])
)
AMOUNTS = st.builds("{} {}".format, NUMBERS, CURRENCIES)
PRICES = st.builds("{} per {}".format, AMOUNTS, st.sampled_from(["1", "100", "kg", "100 g"]))
SIDES = st.builds("{} x {} x {} mm".format, NUMBERS, NUMBERS, NUMBERS)


def _absent(values: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    return values | st.sampled_from(["not quoted", "not applicable"])


def _words(kind: type[Enum]) -> st.SearchStrategy[str]:
    return st.sampled_from([each.value for each in kind])


# The texts of each field type; a field type that is not here fails the test.
ACCEPTANCE = st.sampled_from(
    [*(f"AQL {each}" for each in AQLS), *(f"LQ {each}" for each in LQS), "AQL 1.0, LQ 8"]
)
TEXTS: list[tuple[Any, st.SearchStrategy[str]]] = [
    (workshop.FormatOne, st.just("1")),
    (fields.Text, WORDS),
    (fields.Whole, st.integers(0, 10**6).map(str)),
    (fields.Count, WHOLES),
    (fields.Wanted, st.integers(0, 10**5).map(str)),
    (fields.WantedSome, st.integers(1, 10**5).map(str)),
    (fields.Months, st.integers(1, 120).map(str)),
    (fields.Currency, CURRENCIES),
    (fields.Country, st.sampled_from(["NL", "NO", "GB"])),
    (fields.Date, DATES),
    (fields.MoneyField, AMOUNTS),
    (fields.WorthField, st.sampled_from(["1.212 EUR", "0.0059 EUR", "1 EUR"])),
    (fields.PriceField, PRICES),
    (fields.MassField, st.builds("{} {}".format, NUMBERS, st.sampled_from(["g", "kg", "lb"]))),
    (fields.LengthField, st.builds("{} {}".format, NUMBERS, st.sampled_from(["mm", "in"]))),
    (fields.Envelope, SIDES),
    (fields.Share, SHARES),
    (fields.YearlyRateField, SHARES.map("{} a year".format)),
    (fields.SpanField, SPANS),
    (fields.MinutesField, st.integers(1, 600).map("{} minutes a piece".format)),
    (fields.AcceptanceField, ACCEPTANCE),
    (fields.YesNo, st.sampled_from(["yes", "no"])),
    (fields.QuotedText, _absent(WORDS)),
    (fields.QuotedCount, _absent(WHOLES)),
    (fields.QuotedMoney, _absent(AMOUNTS)),
    (fields.QuotedPrice, _absent(PRICES)),
    (fields.QuotedSpan, _absent(SPANS)),
    (fields.QuotedShare, _absent(SHARES)),
    (fields.ProcessWord, _words(fields.Process)),
    (fields.PerWord, _words(fields.Per)),
    (fields.LoadWord, _words(fields.Load)),
    (fields.LawWord, _words(fields.LawOfDemand)),
    (fields.IncotermWord, _words(fields.Incoterm)),
    (fields.BreaksWord, _absent(_words(fields.Breaks))),
    (fields.CountedWord, _words(fields.Counted)),
    (fields.FoundWord, _words(fields.Found)),
    (fields.MadeGoodWord, _words(fields.MadeGood)),
    (fields.OwnerWord, _absent(_words(fields.Owner))),
    (fields.FootingWord, _words(fields.Footing)),
    (fields.PaidWhenWord, _words(fields.PaidWhen)),
    (fields.LeadFromWord, _absent(_words(fields.LeadFrom))),
    (DeliveryTerm, st.builds("{} {}".format, _words(fields.Incoterm), WORDS.map(str.strip))),
]


def _values(hint: Any) -> st.SearchStrategy[Any]:
    """Texts, lists and groups for one field, by its annotation."""
    for known, texts in TEXTS:
        if hint == known:
            return texts
    origin, inner = typing.get_origin(hint), typing.get_args(hint)
    if origin is tuple:
        return st.lists(_values(inner[0]), max_size=2)
    if origin in (typing.Union, types.UnionType):
        (one,) = (each for each in inner if each is not type(None))
        return _values(one)
    if isinstance(hint, type) and issubclass(hint, Form):
        return _forms(hint)
    raise TypeError(f"no texts for {hint!r}")


def _forms(kind: type[Form]) -> st.SearchStrategy[dict[str, Any]]:
    """Whole forms of a kind, with any of the keys that may be left out."""
    hints = typing.get_type_hints(kind, include_extras=True)
    must: dict[str, st.SearchStrategy[Any]] = {}
    may: dict[str, st.SearchStrategy[Any]] = {}
    for name, info in kind.model_fields.items():
        keys = must if info.is_required() else may
        keys[str(info.alias)] = _values(hints[name])
    return st.fixed_dictionaries(must, optional=may)


@pytest.mark.parametrize("kind", KINDS)
@given(data=st.data())
@settings(suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
def test_any_form_is_read_and_its_record_comes_back(kind: type[Form], data: st.DataObject) -> None:
    """No source: with every field type that a form may hold."""
    record = _read(kind, data.draw(_forms(kind)))
    assert _read(kind, _form(record)) == record


def test_the_records_of_the_demo_come_back() -> None:
    """No source: those that were read from files as received too."""
    folder = read_folder(DEMO)
    assert folder.workshop is not None
    entries = [folder.workshop, *folder.parts.values(), *folder.suppliers.values(), *folder.quotes]
    entries += folder.orders.values()
    assert len({type(entry.record) for entry in entries}) == len(KINDS)
    assert any(len(entry.files) == 2 for entry in entries)
    for entry in entries:
        assert _read(type(entry.record), _form(entry.record)) == entry.record
