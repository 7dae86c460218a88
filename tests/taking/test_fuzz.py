"""Every reader on input that nobody thought of: no crash, and no text of a row lost in silence.

Each property runs as many inputs as EXAMPLES says, times the number of kinds; the soak runs more.
"""

from __future__ import annotations

import io
import itertools
import tempfile
from collections.abc import Callable, Sequence
from email.message import EmailMessage
from pathlib import Path
from typing import Any
from xml.sax.saxutils import escape

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from quotegen.taking.opening import KINDS
from quotegen.taking.take import TakeResult, Wish, take
from tests.taking.bombs import quotation
from tests.taking.drafts import SUPPLIER, a_folder
from tests.taking.messy import CASES

EXAMPLES, SOAK = 60, 3000
QUICK = settings(max_examples=EXAMPLES, deadline=None, suppress_health_check=[HealthCheck.too_slow])
LONG = settings(QUICK, max_examples=SOAK)
NUMBER = itertools.count()


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return a_folder(tmp_path_factory.mktemp("fuzz"))


def took(folder: Path, ending: str, data: bytes) -> TakeResult:
    file = folder / "quotes" / SUPPLIER / f"f{next(NUMBER)}{ending}"
    file.write_bytes(data)
    result = take(Wish(file=file, folder=folder))
    assert result.form is not None or result.problems or result.misused
    for left in (file, result.form):
        if left is not None:
            left.unlink(missing_ok=True)
    return result


SAMPLES: dict[str, list[bytes]] = {}
with tempfile.TemporaryDirectory() as _made:
    for _case in CASES:
        SAMPLES.setdefault(_case.ending, []).append(_case.build(Path(_made)).read_bytes())

WORDS = st.sampled_from(
    "Qty Price each EUR GBP per 100 1.845 12,90 50 pcs Menge Preis je FL-021 set-up Werkzeug 3 "
    "weeks | ; , \t \n \n 03/04/2026 net 30 % EXW DDU Total Summe valid until € £ $ 5 kg // <a> "
    "<cbc:ID> --- > on request n/a -1 0 99999999999 1e9 NaN = + @ ' \" ( ) # : &x *x !!x".split(" ")
)
TEXTS = st.lists(WORDS, max_size=60).map(" ".join)


def _spoilt(data: bytes, cuts: Sequence[tuple[int, bytes]]) -> bytes:
    """A sample with some bytes of it changed."""
    for at, piece in cuts:
        spot = at % (len(data) + 1)
        data = data[:spot] + piece + data[spot + len(piece) :]
    return data


CUTS = st.lists(st.tuples(st.integers(0, 10**6), st.binary(min_size=1, max_size=4)), max_size=8)


@pytest.mark.parametrize("ending", sorted(set(KINDS) - {".yaml"}))
@QUICK
@given(data=st.binary(max_size=600))
def test_any_bytes_are_read_or_refused(folder: Path, ending: str, data: bytes) -> None:
    took(folder, ending, data)


@pytest.mark.parametrize("ending", sorted(SAMPLES))
@QUICK
@given(number=st.integers(0, 100), cuts=CUTS)
def test_a_spoilt_file_is_read_or_refused(
    folder: Path, ending: str, number: int, cuts: list[tuple[int, bytes]]
) -> None:
    samples = SAMPLES[ending]
    took(folder, ending, _spoilt(samples[number % len(samples)], cuts))


@pytest.mark.parametrize("ending", [".csv", ".tsv", ".txt", ".md"])
@QUICK
@given(text=TEXTS)
def test_words_of_the_trade_in_any_order_are_read(folder: Path, ending: str, text: str) -> None:
    took(folder, ending, text.encode())


@QUICK
@given(text=TEXTS, subject=TEXTS)
def test_any_mail_is_read(folder: Path, text: str, subject: str) -> None:
    message = EmailMessage()
    message["Subject"] = " ".join(subject.split())
    message.set_content(text)
    message.add_attachment(text.encode(), maintype="text", subtype="csv", filename="../a.csv")
    took(folder, ".eml", message.as_bytes())


CELLS = st.one_of(
    st.none(), WORDS.map(str.strip), st.integers(-5, 10**6), st.floats(0, 10**6), st.booleans()
)
GRIDS = st.lists(st.lists(CELLS, min_size=1, max_size=6), min_size=1, max_size=12)


def _workbook(rows: list[list[Any]]) -> bytes:
    from openpyxl import Workbook

    workbook = Workbook()
    sheet = workbook.active
    assert sheet is not None
    for row in rows:
        sheet.append(row)
    stream = io.BytesIO()
    workbook.save(stream)
    return stream.getvalue()


@QUICK
@given(rows=GRIDS)
def test_any_grid_is_read(folder: Path, rows: list[list[Any]]) -> None:
    took(folder, ".xlsx", _workbook(rows))


REMARKS = st.text(alphabet="abcdefghij klmnop", min_size=1, max_size=20).map(
    lambda text: "zz" + " ".join(text.split())
)
ROWS = st.lists(
    st.tuples(st.integers(1, 9999), st.integers(101, 99999), REMARKS), min_size=1, max_size=8
)


def _as_csv(rows: list[tuple[int, int, str]]) -> bytes:
    lines = [f"{count};{price / 100:.2f};{remark}" for count, price, remark in rows]
    return "\n".join(["Quantity;Price each EUR;Remarks", *lines]).encode()


def _as_workbook(rows: list[tuple[int, int, str]]) -> bytes:
    head: list[list[Any]] = [["Quantity", "Price each EUR", "Remarks"]]
    return _workbook(head + [[count, price / 100, remark] for count, price, remark in rows])


def _as_text(rows: list[tuple[int, int, str]]) -> bytes:
    lines = [f"{count} pcs: {price / 100:.2f} EUR each, {remark}" for count, price, remark in rows]
    return "\n".join(lines).encode()


@pytest.mark.parametrize(
    ("ending", "made"), [(".csv", _as_csv), (".xlsx", _as_workbook), (".txt", _as_text)]
)
@QUICK
@given(rows=ROWS)
def test_no_row_of_a_price_table_is_lost(
    folder: Path, ending: str, made: Callable[..., bytes], rows: list[tuple[int, int, str]]
) -> None:
    """Each quantity, price and remark stands in the form: as a fact, in a question or as a note."""
    file = folder / "quotes" / SUPPLIER / f"f{next(NUMBER)}{ending}"
    file.write_bytes(made(rows))
    form = take(Wish(file=file, folder=folder)).form
    assert form is not None
    text = form.read_text(encoding="utf-8")
    form.unlink()
    file.unlink()
    for count, price, remark in rows:
        shown = f"{price // 100}.{price % 100:02d}" if price % 100 else f"{price // 100}"
        assert f"from: {count}" in text or f"{count} pcs" in text
        assert f"{shown} EUR" in text or f"{price / 100:.2f}" in text
        assert remark in text


# A word of no meaning in every line: where it is not in the form, its line was lost in silence.
MARKED = st.lists(st.tuples(TEXTS, TEXTS), min_size=1, max_size=8).map(
    lambda lines: [
        " ".join(f"{before} zz{chr(97 + at)}qx {after}".split())[:400]
        for at, (before, after) in enumerate(lines)
    ]
)


def _in_mail(lines: list[str]) -> bytes:
    message = EmailMessage()
    message["Subject"] = "Quote"
    message.set_content("\n".join(lines))
    return message.as_bytes()


def _in_xml(lines: list[str]) -> bytes:
    return quotation("".join(f"<cbc:Note>{escape(line)}</cbc:Note>" for line in lines))


HOLDERS: dict[str, Callable[[list[str]], bytes]] = {
    ".csv": lambda lines: "\n".join(lines).encode(),
    ".tsv": lambda lines: "\n".join(line.replace(" ", "\t") for line in lines).encode(),
    ".txt": lambda lines: "\n".join(lines).encode(),
    ".md": lambda lines: "\n".join(f"- {line}" for line in lines).encode(),
    ".eml": _in_mail,
    ".xml": _in_xml,
    ".xlsx": lambda lines: _workbook([line.split(" ")[:20] for line in lines]),
}


@pytest.mark.parametrize("ending", HOLDERS)
@QUICK
@given(lines=MARKED)
def test_no_line_is_lost_in_silence(folder: Path, ending: str, lines: list[str]) -> None:
    """Each line that a file shows leaves its word in the form: in a fact, a question or a note.

    Lines that repeat an older mail are left out by intent.
    """
    file = folder / "quotes" / SUPPLIER / f"f{next(NUMBER)}{ending}"
    data = HOLDERS[ending](lines)
    file.write_bytes(data)
    result = take(Wish(file=file, folder=folder))
    file.unlink()
    if result.form is None:
        assert result.problems
        return
    text = result.form.read_text(encoding="utf-8")
    result.form.unlink()
    own = [line for line in lines if not line.startswith(">")]
    shown = [word for line in own for word in line.split() if word.startswith("zz")]
    if ending == ".xlsx":
        shown = [w for line in lines for w in line.split(" ")[:20] if w.startswith("zz")]
    assert [word for word in shown if word not in text] == []


@pytest.mark.soak
@pytest.mark.parametrize("ending", sorted(SAMPLES))
@LONG
@given(number=st.integers(0, 100), cuts=CUTS, text=TEXTS)
def test_a_long_run_over_spoilt_files(
    folder: Path, ending: str, number: int, cuts: list[tuple[int, bytes]], text: str
) -> None:
    samples = SAMPLES[ending]
    took(folder, ending, _spoilt(samples[number % len(samples)], [*cuts, (0, text.encode()[:20])]))
