"""Workbooks made to harm: each is refused at once, before anything is opened."""

from __future__ import annotations

import io
import tracemalloc
import zipfile
import zlib
from collections.abc import Callable

import openpyxl
import pytest

from quotegen.intake.files import RawFile, Refused
from quotegen.intake.xlsx_guard import refuse_bombs

Edit = Callable[[str, bytes], bytes]


def _book(edit: Edit | None = None) -> bytes:
    """A small workbook with a merged cell and a link, each of its parts edited."""
    workbook = openpyxl.Workbook()
    sheet = workbook.active
    sheet.append(["Drawing", "Price"])
    sheet.merge_cells("E1:F2")
    sheet["E9"] = "link"
    sheet["E9"].hyperlink = "https://example.org/"
    stream = io.BytesIO()
    workbook.save(stream)
    return stream.getvalue() if edit is None else _edited(stream.getvalue(), edit)


def _edited(data: bytes, edit: Edit) -> bytes:
    stream = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(data)) as old,
        zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as new,
    ):
        for name in old.namelist():
            new.writestr(name, edit(name, old.read(name)))
    return stream.getvalue()


def _replace(old: bytes, new: bytes) -> Edit:
    return lambda _, data: data.replace(old, new)


def _pad(size: int, mark: bytes = b" ") -> Edit:
    return lambda name, data: data + mark * size if name.endswith("sheet1.xml") else data


def _refusal(data: bytes) -> str:
    with pytest.raises(Refused) as refused:
        refuse_bombs(RawFile(path="x.xlsx", data=data), "The quote x")
    return f"{refused.value.problem.code}: {refused.value.problem.message}"


def test_a_plain_workbook_passes() -> None:
    """No source: what the others spoil passes before."""
    refuse_bombs(RawFile(path="x.xlsx", data=_book()), "The quote x")


KIND = "file-kind: The file is not what its name says: expected an XLSX workbook, found "
TOO_MANY = "table-too-large: The table has more cells; at most 100,000 cells are read."


@pytest.mark.parametrize(
    ("data", "expected"),
    [
        pytest.param(b"hello", KIND + "something else.", id="a text"),
        pytest.param(b"%PDF-1.7", KIND + "a PDF.", id="a PDF"),
        pytest.param(
            b"\xd0\xcf\x11\xe0\xa1\xb1", KIND + "an old or locked office file.", id="an old file"
        ),
        pytest.param(b"PK\x03\x04", KIND + "something else.", id="the beginning of a ZIP"),
        pytest.param(_book()[:-100], KIND + "something else.", id="a file cut short"),
        pytest.param(
            _book(_replace(b"E1:F2", b"A1:XFD1048576")), TOO_MANY, id="a merge of the whole sheet"
        ),
        pytest.param(_book(_replace(b"E1:F2", b"A:XFD")), TOO_MANY, id="a merge of columns"),
        pytest.param(
            _book(_replace(b'ref="E9"', b'ref="A1:XFD1048576"')), TOO_MANY, id="a link on all cells"
        ),
        pytest.param(
            _book(
                _replace(b"</sheetData>", b"<row>" + b"<c/>" * 1_000_000 + b"</row></sheetData>")
            ),
            "file-swells",
            id="a million empty cells",
        ),
        pytest.param(_book(_pad(30_000_000)), "file-swells", id="thirty megabytes of blanks"),
        pytest.param(
            _book(_replace(b"<worksheet ", b'<!DOCTYPE x [<!ENTITY a "b">]><worksheet ')),
            KIND + "a part with a DOCTYPE.",
            id="entities",
        ),
    ],
)
def test_a_workbook_made_to_harm_is_refused(data: bytes, expected: str) -> None:
    """ECMA-376 for merged cells and links; the limits are ours."""
    assert _refusal(data).startswith(expected)


@pytest.mark.parametrize("mark", ['<c r="A%d"/>', '<xf numFmtId="%d"/>'])
def test_more_cells_or_formats_than_the_limit_are_refused_however_small_the_file(mark: str) -> None:
    """No source: packed so that neither the size nor the ratio tells."""
    cells = "".join(mark % number for number in range(100_001)).encode()
    data = _book(_replace(b"</sheetData>", b"<row>" + cells + b"</row></sheetData>"))
    assert _refusal(data) == TOO_MANY


@pytest.mark.parametrize("method", [zipfile.ZIP_DEFLATED, zipfile.ZIP_STORED])
def test_a_part_that_is_longer_than_it_says_is_refused_before_it_is_unpacked(method: int) -> None:
    """The application note of the ZIP format: size and checksum stand in the directory, where
    they fit the beginning of the part alone. 60 million bytes would be unpacked."""
    data, stated = bytearray(_packed(b"\0" * 60_000_000, method)), b"\0" * 1000
    entry = data.rindex(b"PK\x01\x02")
    data[entry + 16 : entry + 20] = zlib.crc32(stated).to_bytes(4, "little")
    data[entry + 24 : entry + 28] = len(stated).to_bytes(4, "little")
    tracemalloc.start()
    assert _refusal(bytes(data)) == KIND + "a damaged or locked file."
    assert tracemalloc.get_traced_memory()[1] < 2 * len(data) + 1_000_000
    tracemalloc.stop()


@pytest.mark.parametrize("method", [zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA])
def test_a_part_that_is_packed_as_no_workbook_is_is_refused(method: int) -> None:
    """ISO/IEC 29500-2, annex on ZIP: stored or deflated; others cannot be unpacked in steps."""
    assert _refusal(_packed(b"x" * 1000, method)) == KIND + "a damaged or locked file."


def _packed(content: bytes, method: int) -> bytes:
    """A small workbook with one part more, which stands last."""
    stream = io.BytesIO(_book())
    with zipfile.ZipFile(stream, "a") as archive:
        archive.writestr("xl/media/last.bin", content, method)
    return stream.getvalue()


def test_a_damaged_part_is_refused() -> None:
    """No source: its checksum tells."""
    data = bytearray(_book())
    name = data.index(b"xl/styles.xml") if b"xl/styles.xml" in data else 60
    data[name + 40 : name + 44] = b"xxxx"
    assert _refusal(bytes(data)) == KIND + "a damaged or locked file."


def test_a_workbook_may_unpack_to_no_more_than_the_limit() -> None:
    """No source: fifty megabytes, whatever the ratio."""
    noise = bytes(range(33, 127)) * 6000
    data = _book(lambda name, part: part + noise * 100 if name.endswith("sheet1.xml") else part)
    assert _refusal(data).startswith("file-swells: The file unpacks to 56,4")
