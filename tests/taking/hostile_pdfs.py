"""PDFs that mean harm, or are broken; each is small."""

from __future__ import annotations

import io
import zipfile
import zlib
from collections.abc import Callable

from tests.taking.messy_pdf import plain_offer
from tests.taking.pdfs import Page, drawn, of_objects

GIB = 1 << 30


def squeezed_twice(size: int = GIB) -> bytes:
    """Blanks that are squeezed by two Flate filters: 1 GiB in about 3 kB."""
    piece = b" " * (1 << 20)
    squeeze = zlib.compressobj(9)
    start = squeeze.compress(piece) + squeeze.flush(zlib.Z_FULL_FLUSH)
    again = squeeze.compress(piece) + squeeze.flush(zlib.Z_FULL_FLUSH)
    count, check = size >> 20, 1
    for _ in range(count):
        check = zlib.adler32(piece, check)
    inner = start + again * (count - 1) + b"\x03\x00" + check.to_bytes(4, "big")
    return _with_stream(zlib.compress(inner, 9), b"/Filter[/FlateDecode/FlateDecode]")


def _with_stream(data: bytes, kind: bytes = b"/Filter/FlateDecode") -> bytes:
    return of_objects(
        {
            1: b"<</Type/Catalog/Pages 2 0 R>>",
            2: b"<</Type/Pages/Count 1/Kids[3 0 R]>>",
            3: b"<</Type/Page/Parent 2 0 R/MediaBox[0 0 595 842]/Contents 4 0 R"
            b"/Resources<</Font<</F1<</Type/Font/Subtype/Type1/BaseFont/Helvetica>>>>>>>>",
            4: b"<<%s/Length %d>>stream\n%s\nendstream" % (kind, len(data), data),
        }
    )


def operators(one: bytes, count: int) -> bytes:
    return _with_stream(zlib.compress(b"BT /F1 10 Tf 60 700 Td\n" + one * count + b"ET", 9))


def many_lines() -> bytes:
    rules = b"".join(b"%d %d m %d %d l S\n" % (n % 500, n % 800, n % 500 + 9, n % 800 + 1)
                     for n in range(100_000))  # fmt: skip
    return _with_stream(zlib.compress(rules, 9))


def many_boxes() -> bytes:
    """Areas and words in such numbers that each against each would take for ever."""
    spots = [(n % 50 * 11, n // 50) for n in range(26_000)]
    boxes = b"".join(b"0.9 g %d %d 9 1 re f\n" % spot for spot in spots)
    words = b"".join(b"BT /F1 1 Tf 3 0 0 1 %d %d Tm (ab) Tj ET\n" % spot for spot in spots)
    return _with_stream(zlib.compress(boxes + words, 9))


def deep_pages(depth: int = 20_000) -> bytes:
    """A tree of pages of which each knot has one child."""
    objects = {1: b"<</Type/Catalog/Pages 2 0 R>>"}
    for number in range(2, depth):
        objects[number] = b"<</Type/Pages/Count 1/Kids[%d 0 R]>>" % (number + 1)
    objects[depth] = b"<</Type/Page/MediaBox[0 0 595 842]>>"
    return of_objects(objects)


def wide_pages(count: int = 100_000) -> bytes:
    """One page that the tree names a hundred thousand times."""
    kids = b"3 0 R " * count
    return of_objects(
        {
            1: b"<</Type/Catalog/Pages 2 0 R>>",
            2: b"<</Type/Pages/Count %d/Kids[%s]>>" % (count, kids),
            3: b"<</Type/Page/Parent 2 0 R/MediaBox[0 0 595 842]>>",
        }
    )


def in_a_circle() -> bytes:
    """Pages, forms, a length and an array that lead back to themselves."""
    form = b"/Fm1 Do " * 50
    return of_objects(
        {
            1: b"<</Type/Catalog/Pages 2 0 R/AcroForm 1 0 R/Names 1 0 R>>",
            2: b"<</Type/Pages/Count 1/Kids[2 0 R 3 0 R]>>",
            3: b"<</Type/Page/Parent 2 0 R/MediaBox[0 0 595 842]/Contents[4 0 R 3 0 R]/Annots 5 0 R"
            b"/Resources<</XObject<</Fm1 6 0 R>>>>>>",
            4: b"<</Length 4 0 R>>stream\n%s\nendstream" % form,
            5: b"[5 0 R 5 0 R 5 0 R 5 0 R]",
            6: b"<</Type/XObject/Subtype/Form/BBox[0 0 9 9]/Resources<</XObject<</Fm1 6 0 R>>>>"
            b"/Length %d>>stream\n%s\nendstream" % (len(form), form),
        }
    )


def forms_in_forms(depth: int = 9, each: int = 9) -> bytes:
    """Nine forms that each draw the next one nine times."""
    objects = {
        1: b"<</Type/Catalog/Pages 2 0 R>>",
        2: b"<</Type/Pages/Count 1/Kids[3 0 R]>>",
        3: b"<</Type/Page/Parent 2 0 R/MediaBox[0 0 595 842]/Contents 4 0 R"
        b"/Resources<</XObject<</F 5 0 R>>>>>>",
        4: b"<</Length 5>>stream\n/F Do\nendstream",
    }
    for number in range(5, 5 + depth):
        data = b"/F Do " * each
        objects[number] = (
            b"<</Type/XObject/Subtype/Form/BBox[0 0 9 9]"
            b"/Resources<</XObject<</F %d 0 R>>>>/Length %d>>stream\n%s\nendstream"
            % (number + 1, len(data), data)
        )
    objects[5 + depth] = (
        b"<</Type/XObject/Subtype/Form/BBox[0 0 9 9]/Length 1>>stream\nn\nendstream"
    )
    return of_objects(objects)


def deep_array(depth: int = 200_000) -> bytes:
    return of_objects(
        {1: b"<</Type/Catalog/Pages 2 0 R/X " + b"[" * depth + b"]" * depth + b">>",
         2: b"<</Type/Pages/Count 0/Kids[]>>"}
    )  # fmt: skip


def locked() -> bytes:
    """Encrypted with a password (ISO 32000-2, 7.6)."""
    import pikepdf

    stream = io.BytesIO()
    with pikepdf.open(io.BytesIO(drawn([plain_offer()]))) as file:
        file.save(stream, encryption=pikepdf.Encryption(owner="owner", user="user"))
    return stream.getvalue()


def scripted() -> bytes:
    """A script that runs on opening, a file inside, and a link that starts a program."""
    page = plain_offer()
    page.annotations.append("<</Type/Annot/Subtype/Link/Rect[0 0 9 9]/A<</S/Launch/F(/bin/sh)>>>>")
    script = "/OpenAction<</S/JavaScript/JS(app.alert\\(1\\))>>"
    inside = "/Names<</EmbeddedFiles<</Names[(a.exe)<</Type/Filespec/F(../../a.exe)>>]>>>>"
    return drawn([page], catalog=script + inside)


def zipped() -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w") as archive:
        archive.writestr("word/document.xml", "<x/>")
    return stream.getvalue()


def big_map() -> bytes:
    """A font whose map from codes to letters names four thousand million of them."""
    table = b"/CIDInit begincmap 1 beginbfrange <00000000> <FFFFFFFF> <0041> endbfrange endcmap"
    font = (
        b"<</Type/Font/Subtype/Type0/BaseFont/A/Encoding/Identity-H/ToUnicode 6 0 R"
        b"/DescendantFonts[<</Type/Font/Subtype/CIDFontType2/BaseFont/A"
        b"/CIDSystemInfo<</Registry(Adobe)/Ordering(Identity)/Supplement 0>>"
        b"/W[0 4000000000 500]>>]>>"
    )
    return of_objects(
        {
            1: b"<</Type/Catalog/Pages 2 0 R>>",
            2: b"<</Type/Pages/Count 1/Kids[3 0 R]>>",
            3: b"<</Type/Page/Parent 2 0 R/MediaBox[0 0 595 842]/Contents 4 0 R"
            b"/Resources<</Font<</F1 5 0 R>>>>>>",
            4: b"<</Length 42>>stream\nBT /F1 10 Tf 60 700 Td <00410042> Tj ET   \nendstream",
            5: font,
            6: b"<</Length %d>>stream\n%s\nendstream" % (len(table), table),
        }
    )


# Each with the code of its refusal; "" where it is read, and the harm has no effect.
HOSTILE: dict[str, tuple[Callable[[], bytes], str]] = {
    "squeezed-twice": (squeezed_twice, "pdf-memory"),
    "two-million-operators": (lambda: operators(b"(a)Tj\n", 2_000_000), "pdf-too-long"),
    "two-million-moves": (lambda: operators(b"1 0 Td\n", 2_000_000), "pdf-time"),
    "many-lines": (many_lines, "pdf-no-text"),
    "many-boxes": (many_boxes, "pdf-too-long"),
    "deep-pages": (deep_pages, "pdf-broken"),
    "wide-pages": (wide_pages, "pdf-no-text"),
    "in-a-circle": (in_a_circle, "pdf-broken"),
    "forms-in-forms": (forms_in_forms, "pdf-time"),
    "deep-array": (deep_array, "pdf-no-text"),
    "big-map": (big_map, "pdf-memory"),
    "locked": (locked, "pdf-encrypted"),
    "scripted": (scripted, ""),
    "cut-off": (lambda: drawn([plain_offer()])[:700], "pdf-broken"),
    "a-zip": (zipped, "file-kind"),
    "only-a-head": (lambda: b"%PDF-1.7\n", "pdf-broken"),
    "noise": (lambda: b"%PDF-1.4\n" + bytes(range(256)) * 400, "pdf-broken"),
    "a-scan": (lambda: drawn([Page().picture(0, 0, 595, 842)]), "pdf-no-text"),
    "many-pages": (lambda: drawn([plain_offer() for _ in range(21)]), "pdf-pages"),
}
