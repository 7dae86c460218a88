"""The field types of every form: a strict reader and a JSON Schema each, three kinds of nothing."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from enum import Enum, StrEnum
from fractions import Fraction
from typing import Annotated, Any, TypeVar

from pydantic import BaseModel, ConfigDict, PlainValidator, WithJsonSchema
from pydantic_core import PydanticCustomError

from quotegen.basics import money, quantity
from quotegen.basics.number import Unreadable
from quotegen.basics.problem import nearest
from quotegen.model import acceptance, text

Value = TypeVar("Value")


class Absence(Enum):
    """A value that is not there; zero is not an absence.

    NOT_QUOTED: the supplier has not said it. NOT_APPLICABLE: there is no such thing here.
    """

    NOT_QUOTED = "not quoted"
    NOT_APPLICABLE = "not applicable"


NOT_QUOTED = Absence.NOT_QUOTED
NOT_APPLICABLE = Absence.NOT_APPLICABLE


def with_spaces(name: str) -> str:
    """A key as it is written in a form: `valid until`, not `valid_until`."""
    return name.replace("_", " ")


class Form(BaseModel):
    """Anything that stands in a form; unknown keys are refused, nothing changes later."""

    model_config = ConfigDict(
        frozen=True,
        extra="forbid",
        alias_generator=with_spaces,
        populate_by_name=True,
        arbitrary_types_allowed=True,
    )


def _checked(read: Callable[[str], Value]) -> Callable[[Any], Any]:
    """A pydantic validator around a reader; it takes text, or a value that was read before."""

    def validate(value: Any) -> Any:
        if not isinstance(value, str):
            if value is None or isinstance(value, (dict, list)):
                raise _error(Unreadable("not-a-form", kind_of(value), "one value"))
            return value
        try:
            return read(value)
        except Unreadable as problem:
            raise _error(problem) from problem

    return validate


def _error(problem: Unreadable) -> PydanticCustomError:
    return PydanticCustomError(problem.code, "{seen}", dict(problem.values))


def kind_of(value: Any) -> str:
    """What a person would call it."""
    if value is None:
        return "nothing"
    if isinstance(value, dict):
        return "a group of keys"
    return "a list" if isinstance(value, (list, tuple)) else f"'{str(value)[:60]}'"


def _or_absent(read: Callable[[str], Value]) -> Callable[[str], Value | Absence]:
    def read_or_absent(value: str) -> Value | Absence:
        for absence in Absence:
            if value.strip() == absence.value:
                return absence
        return read(value)

    return read_or_absent


def _schema(pattern: str, example: str, absent: bool = False) -> WithJsonSchema:
    if absent:
        pattern = f"{pattern}|^not quoted$|^not applicable$"
    return WithJsonSchema({"type": ["string", "number"], "pattern": pattern, "examples": [example]})


def _words(kind: type[StrEnum]) -> Callable[[str], Any]:
    def read_word(value: str) -> StrEnum:
        known = [each.value for each in kind]
        if value.strip() not in known:
            raise Unreadable("unknown-word", value, "a known word", hint=nearest(value, known))
        return kind(value.strip())

    return read_word


def _read_incoterm(value: str) -> Incoterm:
    """A rule of Incoterms 2020; a rule of an earlier edition is named with its successor."""
    successor = FORMER_INCOTERMS.get(value.strip())
    if successor is not None:
        hint = f"it ended with an earlier edition of Incoterms; {successor} took its place."
        raise Unreadable("unknown-word", value, "a known word", hint=hint)
    read: Incoterm = _words(Incoterm)(value)
    return read


def _word_schema(kind: type[StrEnum], absent: bool = False) -> WithJsonSchema:
    absences = [each.value for each in Absence] if absent else []
    return WithJsonSchema({"enum": [each.value for each in kind] + absences})


class Process(StrEnum):
    """The technique by which a part is made."""

    INVESTMENT_CASTING = "investment casting"
    SAND_CASTING = "sand casting"
    GRAVITY_DIE_CASTING = "gravity die casting"
    PRESSURE_DIE_CASTING = "pressure die casting"
    MACHINING = "machining"
    METAL_PRINTING = "metal printing"
    BINDER_JETTING = "binder jetting"
    SHEET = "sheet cutting and bending"
    FORGING = "forging"
    STAMPING = "stamping"


class Per(StrEnum):
    """What a charge is paid for (R4)."""

    PIECE = "piece"
    BATCH = "batch"
    DELIVERY = "delivery"
    ORDER = "order"
    YEAR = "year"
    REVISION = "revision"
    ONCE = "once"


class Load(StrEnum):
    """How a part bears load, and who is hurt if it fails."""

    NONE = "none"
    BEARS_LOAD = "bears load"
    PERSON_RELIES = "a person relies on it"


class Incoterm(StrEnum):
    """The eleven rules of Incoterms 2020 (ICC publication 723)."""

    EXW = "EXW"
    FCA = "FCA"
    CPT = "CPT"
    CIP = "CIP"
    DAP = "DAP"
    DPU = "DPU"
    DDP = "DDP"
    FAS = "FAS"
    FOB = "FOB"
    CFR = "CFR"
    CIF = "CIF"


# Delivered duty unpaid and the like: rules of Incoterms 2000 and 2010, and what replaced them.
FORMER_INCOTERMS = {"DAF": "DAP", "DAT": "DPU", "DDU": "DAP", "DEQ": "DPU", "DES": "DAP"}


class Breaks(StrEnum):
    """Whether the tier of the whole order rules every piece, or each slice has its own (R1)."""

    ALL_UNITS = "all-units"
    INCREMENTAL = "incremental"


class LawOfDemand(StrEnum):
    """How likely each level of demand between low and high is (R21)."""

    PERT = "PERT"
    TRIANGULAR = "triangular"


class Counted(StrEnum):
    """Which quantity chooses the tier (R1)."""

    ORDER = "order"
    DELIVERY = "delivery"
    YEAR = "year"


class Found(StrEnum):
    """Where rejects come to light (R9)."""

    AT_SUPPLIER = "at the supplier"
    ON_RECEIPT = "on receipt"
    AFTER_COMPLETION = "after completion"


class MadeGood(StrEnum):
    """What the supplier does about a reject (R9)."""

    NOTHING = "nothing"
    CREDITED = "credited"
    REPLACED = "replaced"


class Owner(StrEnum):
    """Who owns a tool once it is paid for (R5)."""

    BUYER = "buyer"
    SUPPLIER = "supplier"


class Footing(StrEnum):
    """What the customs value of goods includes (R7)."""

    CIF = "CIF"
    FOB = "FOB"


class PaidWhen(StrEnum):
    """The event that a payment follows."""

    ORDER = "order"
    APPROVAL = "approval of samples"
    DISPATCH = "dispatch"
    DELIVERY = "delivery"
    INVOICE = "invoice"


class LeadFrom(StrEnum):
    """The event from which a lead time counts."""

    ORDER = "order"
    DRAWING = "approval of drawings"
    APPROVAL = "approval of samples"
    DEPOSIT = "deposit"


class DecimalSign(StrEnum):
    """The sign before the decimals in a supplier's file."""

    COMMA = "comma"
    POINT = "point"

    @property
    def mark(self) -> str:
        return "," if self is DecimalSign.COMMA else "."


class Delimiter(StrEnum):
    """The mark between the cells of a CSV file."""

    COMMA = "comma"
    SEMICOLON = "semicolon"
    TAB = "tab"
    BAR = "bar"

    @property
    def mark(self) -> str:
        return {"comma": ",", "semicolon": ";", "tab": "\t", "bar": "|"}[self.value]


class Charset(StrEnum):
    """The character sets, by their IANA names, in which price tables arrive."""

    UTF_8 = "utf-8"
    UTF_16 = "utf-16"
    WINDOWS_1250 = "windows-1250"
    WINDOWS_1251 = "windows-1251"
    WINDOWS_1252 = "windows-1252"
    WINDOWS_1253 = "windows-1253"
    WINDOWS_1254 = "windows-1254"
    WINDOWS_1257 = "windows-1257"
    ISO_8859_2 = "iso-8859-2"
    ISO_8859_15 = "iso-8859-15"
    GB18030 = "gb18030"
    BIG5 = "big5"
    SHIFT_JIS = "shift_jis"
    EUC_KR = "euc-kr"


class Hidden(StrEnum):
    """What becomes of hidden rows and columns that hold a price."""

    READ = "read"
    LEAVE_OUT = "leave out"


NUMBER = r"-?[\d' ]+(\.\d+)?"
WHOLE = r"^[\d' ]+( [a-z]+)?( a (year|month))?$"
MONEY = rf"{NUMBER} [A-Z]{{3}}"
_ANY_TEXT = WithJsonSchema({"type": ["string", "number"]})  # an editor takes 4711 for a number
Text = Annotated[str, PlainValidator(_checked(text.read_text)), _ANY_TEXT]
Whole = Annotated[int, PlainValidator(_checked(text.read_whole)), _schema(WHOLE, "56")]
Count = Annotated[int, PlainValidator(_checked(text.read_count)), _schema(WHOLE, "56")]
Wanted = Annotated[int, PlainValidator(_checked(text.read_wanted)), _schema(WHOLE, "110")]
WantedSome = Annotated[int, PlainValidator(_checked(text.read_wanted_some)), _schema(WHOLE, "110")]
Months = Annotated[int, PlainValidator(_checked(text.read_months)), _schema(r"^\d+$", "36")]
Currency = Annotated[
    str, PlainValidator(_checked(text.read_currency)), _schema(r"^[A-Z]{3}$", "EUR")
]
Country = Annotated[str, PlainValidator(_checked(text.read_country)), _schema(r"^[A-Z]{2}$", "GB")]
Date = Annotated[
    datetime.date,
    PlainValidator(_checked(text.read_date)),
    _schema(r"^\d{4}-\d{2}-\d{2}$", "2027-03-15"),
]
MoneyField = Annotated[
    money.Money, PlainValidator(_checked(text.read_money)), _schema(rf"^{MONEY}$", "1500 GBP")
]
WorthField = Annotated[
    money.Money, PlainValidator(_checked(text.read_worth)), _schema(rf"^{MONEY}$", "1.1526 EUR")
]
PriceField = Annotated[
    money.Price,
    PlainValidator(_checked(text.read_price)),
    _schema(rf"^{MONEY} per .+$", "9.80 GBP per 1"),
]
MassField = Annotated[
    quantity.Mass, PlainValidator(_checked(text.read_mass)), _schema(rf"^{NUMBER} \w+$", "86 g")
]
LengthField = Annotated[
    quantity.Length, PlainValidator(_checked(text.read_length)), _schema(rf"^{NUMBER} \w+$", "4 mm")
]
Envelope = Annotated[
    tuple[quantity.Length, quantity.Length, quantity.Length],
    PlainValidator(_checked(text.read_envelope)),
    _schema(r"^\S+ x \S+ x \S+ \w+$", "62 x 40 x 18 mm"),
]
Share = Annotated[
    Fraction, PlainValidator(_checked(text.read_share)), _schema(rf"^{NUMBER} ?%$", "4 %")
]
YearlyRateField = Annotated[
    quantity.YearlyRate,
    PlainValidator(_checked(text.read_yearly_rate)),
    _schema(rf"^{NUMBER} ?% a year$", "7 % a year"),
]
SpanField = Annotated[
    quantity.Span,
    PlainValidator(_checked(text.read_span)),
    _schema(r"^\d+ (working )?(day|week|month)s?$", "25 working days"),
]
MinutesField = Annotated[
    quantity.MinutesAPiece,
    PlainValidator(_checked(text.read_minutes)),
    _schema(rf"^{NUMBER} minutes? a piece$", "2 minutes a piece"),
]
AcceptanceField = Annotated[
    acceptance.Acceptance,
    PlainValidator(_checked(acceptance.read_acceptance)),
    _schema(r"^(AQL|LQ) *\d", "AQL 1.0"),
]
YesNo = Annotated[
    bool, PlainValidator(_checked(text.read_yes_no)), WithJsonSchema({"enum": ["yes", "no"]})
]

QuotedText = Annotated[
    str | Absence,
    PlainValidator(_checked(_or_absent(text.read_text))),
    _ANY_TEXT,
]
QuotedCount = Annotated[
    int | Absence,
    PlainValidator(_checked(_or_absent(text.read_count))),
    _schema(WHOLE, "56", absent=True),
]
QuotedMoney = Annotated[
    money.Money | Absence,
    PlainValidator(_checked(_or_absent(text.read_money))),
    _schema(rf"^{MONEY}$", "1500 GBP", absent=True),
]
QuotedPrice = Annotated[
    money.Price | Absence,
    PlainValidator(_checked(_or_absent(text.read_price))),
    _schema(rf"^{MONEY} per .+$", "9.80 GBP per 1", absent=True),
]
QuotedSpan = Annotated[
    quantity.Span | Absence,
    PlainValidator(_checked(_or_absent(text.read_span))),
    _schema(r"^\d+ (working )?(day|week|month)s?$", "25 working days", absent=True),
]
QuotedShare = Annotated[
    Fraction | Absence,
    PlainValidator(_checked(_or_absent(text.read_share))),
    _schema(rf"^{NUMBER} ?%$", "4 %", absent=True),
]
ProcessWord = Annotated[Process, PlainValidator(_checked(_words(Process))), _word_schema(Process)]
PerWord = Annotated[Per, PlainValidator(_checked(_words(Per))), _word_schema(Per)]
LoadWord = Annotated[Load, PlainValidator(_checked(_words(Load))), _word_schema(Load)]
IncotermWord = Annotated[Incoterm, PlainValidator(_checked(_read_incoterm)), _word_schema(Incoterm)]
BreaksWord = Annotated[
    Breaks | Absence,
    PlainValidator(_checked(_or_absent(_words(Breaks)))),
    _word_schema(Breaks, absent=True),
]
LawWord = Annotated[
    LawOfDemand, PlainValidator(_checked(_words(LawOfDemand))), _word_schema(LawOfDemand)
]
CountedWord = Annotated[Counted, PlainValidator(_checked(_words(Counted))), _word_schema(Counted)]
FoundWord = Annotated[Found, PlainValidator(_checked(_words(Found))), _word_schema(Found)]
MadeGoodWord = Annotated[
    MadeGood, PlainValidator(_checked(_words(MadeGood))), _word_schema(MadeGood)
]
OwnerWord = Annotated[
    Owner | Absence,
    PlainValidator(_checked(_or_absent(_words(Owner)))),
    _word_schema(Owner, absent=True),
]
FootingWord = Annotated[Footing, PlainValidator(_checked(_words(Footing))), _word_schema(Footing)]
PaidWhenWord = Annotated[
    PaidWhen, PlainValidator(_checked(_words(PaidWhen))), _word_schema(PaidWhen)
]
LeadFromWord = Annotated[
    LeadFrom | Absence,
    PlainValidator(_checked(_or_absent(_words(LeadFrom)))),
    _word_schema(LeadFrom, absent=True),
]
DecimalWord = Annotated[
    DecimalSign, PlainValidator(_checked(_words(DecimalSign))), _word_schema(DecimalSign)
]
DelimiterWord = Annotated[
    Delimiter, PlainValidator(_checked(_words(Delimiter))), _word_schema(Delimiter)
]
CharsetWord = Annotated[Charset, PlainValidator(_checked(_words(Charset))), _word_schema(Charset)]
HiddenWord = Annotated[Hidden, PlainValidator(_checked(_words(Hidden))), _word_schema(Hidden)]
