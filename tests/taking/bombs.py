"""Files made to harm whoever reads them: small to send, large or endless to open."""

from __future__ import annotations

import base64
import io
import struct
import zipfile
import zlib
from collections.abc import Callable, Mapping
from email.message import EmailMessage

Makers = Mapping[str, Callable[[], bytes]]
UBL = "urn:oasis:names:specification:ubl:schema:xsd:"
XLSX = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
LINKS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PACKAGE = "http://schemas.openxmlformats.org/package/2006"
OFFICE = "application/vnd.openxmlformats-officedocument.spreadsheetml"


def zipped(parts: Mapping[str, bytes]) -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in parts.items():
            archive.writestr(name, data)
    return stream.getvalue()


def a_workbook(
    sheet: str = "", parts: Mapping[str, bytes] | None = None, sheets: int = 1, book: str = ""
) -> bytes:
    """A workbook of bare parts: the matter of its sheets, and parts beside or instead of others."""
    names = range(1, sheets + 1)
    kinds = "".join(
        f'<Override PartName="/xl/worksheets/sheet{n}.xml" ContentType="{OFFICE}.worksheet+xml"/>'
        for n in names
    )
    targets = "".join(
        f'<Relationship Id="r{n}" Type="{LINKS}/worksheet" Target="worksheets/sheet{n}.xml"/>'
        for n in names
    )
    shown = "".join(f'<sheet name="S{n}" sheetId="{n}" r:id="r{n}"/>' for n in names)
    whole = {
        "[Content_Types].xml": f'<Types xmlns="{PACKAGE}/content-types">'
        '<Default Extension="xml" ContentType="application/xml"/>'
        '<Default Extension="rels"'
        ' ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
        '<Default Extension="png" ContentType="image/png"/>'
        f'<Override PartName="/xl/workbook.xml" ContentType="{OFFICE}.sheet.main+xml"/>'
        f'<Override PartName="/xl/styles.xml" ContentType="{OFFICE}.styles+xml"/>'
        f'<Override PartName="/xl/sharedStrings.xml" ContentType="{OFFICE}.sharedStrings+xml"/>'
        f"{kinds}</Types>",
        "_rels/.rels": f'<Relationships xmlns="{PACKAGE}/relationships"><Relationship Id="r1"'
        f' Type="{LINKS}/officeDocument" Target="xl/workbook.xml"/></Relationships>',
        "xl/workbook.xml": f'<workbook xmlns="{XLSX}" xmlns:r="{LINKS}"><sheets>{shown}</sheets>'
        f"{book}</workbook>",
        "xl/_rels/workbook.xml.rels": f'<Relationships xmlns="{PACKAGE}/relationships">{targets}'
        f'<Relationship Id="rs" Type="{LINKS}/styles" Target="styles.xml"/>'
        f'<Relationship Id="rt" Type="{LINKS}/sharedStrings" Target="sharedStrings.xml"/>'
        "</Relationships>",
        "xl/styles.xml": styles(),
        "xl/sharedStrings.xml": f'<sst xmlns="{XLSX}"><si><t>a text</t></si></sst>',
    }
    whole |= {
        f"xl/worksheets/sheet{n}.xml": f'<worksheet xmlns="{XLSX}" xmlns:r="{LINKS}">'
        f"{sheet or '<sheetData/>'}</worksheet>"
        for n in names
    }
    return zipped({name: text.encode() for name, text in whole.items()} | dict(parts or {}))


def styles(fonts: str = "<font/>", formats: str = "", cells: str = '<xf numFmtId="0"/>') -> str:
    return (
        f'<styleSheet xmlns="{XLSX}"><numFmts>{formats}</numFmts><fonts>{fonts}</fonts>'
        "<fills><fill><patternFill/></fill></fills><borders><border/></borders>"
        f'<cellStyleXfs><xf numFmtId="0"/></cellStyleXfs><cellXfs>{cells}</cellXfs></styleSheet>'
    )


def part(head: str, each: str, count: int, tail: str) -> bytes:
    """An XML part of one element many times over, each a little other than the one before."""
    return (head + "".join(each.replace("#", str(n)) for n in range(count)) + tail).encode()


def sheet_of(each: str, count: int, around: tuple[str, str] = ("", "")) -> dict[str, bytes]:
    head, tail = f'<worksheet xmlns="{XLSX}">{around[0]}', f"{around[1]}</worksheet>"
    return {"xl/worksheets/sheet1.xml": part(head, each, count, tail)}


def lying(data: bytes, name: bytes, size: int) -> bytes:
    """An archive whose directory says that a part has another size than it has."""
    at = data.rindex(name) - 46
    return data[: at + 24] + struct.pack("<I", size) + data[at + 28 :]


def picture(width: int, height: int) -> bytes:
    """A PNG of one colour: a few kilobytes for as many points as one likes."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        crc = struct.pack(">I", zlib.crc32(kind + data))
        return struct.pack(">I", len(data)) + kind + data + crc

    head = struct.pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0)
    lines = zlib.compress((b"\0" + b"\0" * ((width + 7) // 8)) * height, 9)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", lines) + chunk(b"IEND", b"")


def with_picture(image: bytes) -> bytes:
    drawing = "http://schemas.openxmlformats.org/drawingml/2006"
    blip = (
        f'<xdr:wsDr xmlns:xdr="{drawing}/spreadsheetDrawing" xmlns:a="{drawing}/main"'
        f' xmlns:r="{LINKS}"><xdr:oneCellAnchor><xdr:from><xdr:col>0</xdr:col>'
        "<xdr:colOff>0</xdr:colOff><xdr:row>0</xdr:row><xdr:rowOff>0</xdr:rowOff></xdr:from>"
        '<xdr:ext cx="1" cy="1"/><xdr:pic><xdr:nvPicPr><xdr:cNvPr id="1" name="p"/><xdr:cNvPicPr/>'
        '</xdr:nvPicPr><xdr:blipFill><a:blip r:embed="r1"/></xdr:blipFill><xdr:spPr/></xdr:pic>'
        "<xdr:clientData/></xdr:oneCellAnchor></xdr:wsDr>"
    )

    def link(kind: str, target: str) -> bytes:
        return (
            f'<Relationships xmlns="{PACKAGE}/relationships"><Relationship Id="r1"'
            f' Type="{LINKS}/{kind}" Target="{target}"/></Relationships>'
        ).encode()

    return a_workbook(
        '<sheetData/><drawing r:id="r1"/>',
        {
            "xl/worksheets/_rels/sheet1.xml.rels": link("drawing", "../drawings/drawing1.xml"),
            "xl/drawings/drawing1.xml": blip.encode(),
            "xl/drawings/_rels/drawing1.xml.rels": link("image", "../media/image1.png"),
            "xl/media/image1.png": image,
        },
    )


def filled(rows: int, columns: int) -> bytes:
    """A workbook with a number in each of so many cells."""
    cells = "<c><v>7</v></c>" * columns
    return a_workbook(parts=sheet_of(f"<row>{cells}</row>", rows, ("<sheetData>", "</sheetData>")))


def quotation(inner: str, head: str = "") -> bytes:
    return (
        f'<?xml version="1.0"?>{head}<Quotation xmlns="{UBL}Quotation-2"'
        f' xmlns:cac="{UBL}CommonAggregateComponents-2" xmlns:cbc="{UBL}CommonBasicComponents-2">'
        f"<cbc:ID>Q-1</cbc:ID><cbc:IssueDate>2026-10-01</cbc:IssueDate>{inner}</Quotation>"
    ).encode()


def mail(body: bytes = b"see attached", /, **headers: str) -> bytes:
    named = {"From": "a@example.test", "Subject": "Quote", **headers}
    heads = "".join(f"{name.replace('_', '-')}: {value}\n" for name, value in named.items())
    return heads.encode("utf-8", "surrogateescape") + b"\n" + body


def mail_with(files: Mapping[str, bytes]) -> bytes:
    message = EmailMessage()
    message["From"] = "a@example.test"
    message.set_content("see attached")
    for name, data in files.items():
        message.add_attachment(data, maintype="application", subtype="x", filename=name)
    return message.as_bytes()


def nested_mail(depth: int) -> bytes:
    text = "From: a@example.test\n"
    for number in range(depth):
        text += f'Content-Type: multipart/mixed; boundary="b{number}"\n\n--b{number}\n'
    return text.encode()


def entities(*, levels: int = 9) -> str:
    return '<!DOCTYPE q [<!ENTITY a "xxxxxxxxxx">' + "".join(
        f'<!ENTITY {chr(98 + n)} "{f"&{chr(97 + n)};" * 10}">' for n in range(levels)
    )


LINE = (
    '<cac:QuotationLine><cac:LineItem><cbc:Quantity unitCode="H87">#</cbc:Quantity><cac:Price>'
    '<cbc:PriceAmount currencyID="EUR">#.5</cbc:PriceAmount></cac:Price><cac:Item><cbc:Name>P#'
    "</cbc:Name></cac:Item></cac:LineItem></cac:QuotationLine>"
)
CHARGE = (
    "<cac:AllowanceCharge><cbc:ChargeIndicator>true</cbc:ChargeIndicator>"
    '<cbc:Amount currencyID="EUR">#</cbc:Amount></cac:AllowanceCharge>'
)


def many(each: str, count: int) -> str:
    return "".join(each.replace("#", str(n + 1)) for n in range(count))


STRINGS = f'<sst xmlns="{XLSX}">'
SHEET = ("<sheetData>", "</sheetData>")

XML: Makers = {
    "entities.xml": lambda: quotation("&j;", entities() + "]>"),
    "quadratic.xml": lambda: quotation(
        "&a;" * 100_000, f'<!DOCTYPE q [<!ENTITY a "{"x" * 50_000}">]>'
    ),
    "parameter.xml": lambda: quotation(
        "", '<!DOCTYPE q [<!ENTITY % a SYSTEM "file:///etc/passwd"> %a;]>'
    ),
    "external.xml": lambda: b'<!DOCTYPE q [<!ENTITY x SYSTEM "file:///etc/passwd">]><q>&x;</q>',
    "outside.xml": lambda: quotation(
        "", '<!DOCTYPE Quotation SYSTEM "http://example.invalid/q.dtd">'
    ),
    "utf7.xml": lambda: b'<?xml version="1.0" encoding="UTF-7"?>+ADw-q+AD4-',
    "charset.xml": lambda: b'<?xml version="1.0" encoding="x-unknown"?><q/>',
    "utf16.xml": lambda: quotation("").decode().encode("utf-16") + b"\0",
    "deep.xml": lambda: b"<a>" * 200_000,
    "deep-inside.xml": lambda: quotation("<cac:X>" * 100_000),
    "large.xml": lambda: b"<a>" + b"<b/>" * 1_500_000 + b"</a>",
    "over.xml": lambda: quotation("<cbc:Note>" + "x" * 20_000_000 + "</cbc:Note>"),
    "attributes.xml": lambda: quotation("<cbc:Note " + many("a#='' ", 400_000) + "/>"),
    "spaces.xml": lambda: quotation("<cbc:Note " + many("xmlns:a#='b' ", 200_000) + "/>"),
    "name.xml": lambda: quotation(f"<{'a' * 4_000_000}/>"),
    "text.xml": lambda: quotation(f"<cbc:Note>{'x' * 4_900_000}</cbc:Note>"),
    "notes.xml": lambda: quotation(many("<cbc:Note>note #</cbc:Note>", 30_000)),
    "lines.xml": lambda: quotation(many("<cac:QuotationLine/>", 240_000)),
    "prices.xml": lambda: quotation(many(LINE, 15_000)),
    "charges.xml": lambda: quotation(many(CHARGE, 12_000)),
    "digits.xml": lambda: quotation(LINE.replace("#", "9" * 2_000_000)),
}
WORKBOOKS: Makers = {
    "swells.xlsx": lambda: zipped({"xl/worksheets/sheet1.xml": b"<row>" * 20_000_000}),
    "empty.xlsx": lambda: zipped({}),
    "broken.xlsx": lambda: b"PK\x03\x04" + b"\0" * 400,
    "lies.xlsx": lambda: lying(a_workbook(parts={"xl/x": b"x" * 9_000_000}), b"xl/x", 10),
    "locked.xlsx": lambda: b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 4000,
    "corner.xlsx": lambda: a_workbook(
        '<sheetData><row r="1048576"><c r="XFD1048576"><v>1</v></c></row></sheetData>'
    ),
    "far.xlsx": lambda: a_workbook(
        '<sheetData><row r="20000"><c r="ZZ20000"><v>1</v></c></row></sheetData>'
    ),
    "entities.xlsx": lambda: a_workbook(
        parts={"xl/sharedStrings.xml": (entities() + f"]><sst xmlns='{XLSX}'>&j;</sst>").encode()}
    ),
    "strings.xlsx": lambda: a_workbook(
        parts={"xl/sharedStrings.xml": part(STRINGS, "<si><t>#</t></si>", 2_000_000, "</sst>")}
    ),
    "string.xlsx": lambda: a_workbook(
        parts={"xl/sharedStrings.xml": part(f"{STRINGS}<si><t>", "#", 6_000_000, "</t></si></sst>")}
    ),
    "sheets.xlsx": lambda: a_workbook(sheets=4000),
    "cells.xlsx": lambda: filled(5000, 21),
    "full.xlsx": lambda: filled(2500, 12),
    "rows.xlsx": lambda: a_workbook(parts=sheet_of('<row r="#1" ht="9"/>', 1_500_000, SHEET)),
    "columns.xlsx": lambda: a_workbook(
        parts=sheet_of('<col min="1" max="16384" hidden="1"/>', 500_000, ("<cols>", "</cols>"))
    ),
    "fonts.xlsx": lambda: a_workbook(
        parts={"xl/styles.xml": styles(fonts=many("<font><sz val='#'/></font>", 900_000)).encode()}
    ),
    "formats.xlsx": lambda: a_workbook(
        parts={"xl/styles.xml": styles(cells=many('<xf numFmtId="#"/>', 300_000)).encode()}
    ),
    "lists.xlsx": lambda: a_workbook(
        parts=sheet_of(
            '<dataValidation type="list" sqref="A1:XFD1048576"><formula1>#</formula1>'
            "</dataValidation>",
            300_000,
            ("<sheetData/><dataValidations>", "</dataValidations>"),
        )
    ),
    "names.xlsx": lambda: a_workbook(
        book="<definedNames>"
        + many("<definedName name='n#'>#</definedName>", 300_000)
        + "</definedNames>"
    ),
    "format.xlsx": lambda: a_workbook(
        '<sheetData><row><c s="0"><v>1.5</v></c></row></sheetData>',
        {
            "xl/styles.xml": styles(
                formats=f'<numFmt numFmtId="200" formatCode="{"[a&quot;" * 2_000_000}"/>',
                cells='<xf numFmtId="200"/>',
            ).encode()
        },
    ),
    "picture.xlsx": lambda: with_picture(picture(20_000, 20_000)),
    "not-a-picture.xlsx": lambda: with_picture(b"\x89PNG\r\n\x1a\n" + b"\0" * 1000),
}
MAILS: Makers = {
    "parts.eml": lambda: nested_mail(3000),
    "many.eml": lambda: mail_with({f"{n}.csv": b"x" for n in range(400)}),
    "workbooks.eml": lambda: mail_with({f"{n}.xlsx": filled(1100, 20) for n in range(12)}),
    "inside.eml": lambda: mail_with({"a.xlsx": zipped({"a": b"x" * 400_000_000})}),
    "headers.eml": lambda: mail(**{f"X_{n}": "y" for n in range(50_000)}),
    "subject.eml": lambda: mail(Subject="=?utf-8?q?" + "=41" * 400_000 + "?="),
    "words.eml": lambda: mail(Subject="=?utf-8?q?a?= " * 40_000),
    "addresses.eml": lambda: mail(To="a@example.test, " * 60_000),
    "brackets.eml": lambda: mail(To="<" * 100_000, Cc="(" * 100_000, Date="(" * 100_000),
    "parameters.eml": lambda: mail(
        Content_Type="text/plain; " + "".join(f"name*{n}=a; " for n in range(20_000))
    ),
    "boundary.eml": lambda: mail(b"--b\n" * 400_000, Content_Type='multipart/mixed; boundary="b"'),
    "charset.eml": lambda: mail(b"50 pcs 12 EUR", Content_Type='text/plain; charset="x-none"'),
    "bytes.eml": lambda: mail(
        bytes(range(128, 256)) * 3000, Content_Type="text/plain; charset=utf-8"
    ),
    "zip-charset.eml": lambda: mail(
        base64.b64encode(b"x" * 900), Content_Type="text/plain; charset=zip"
    ),
    "html.eml": lambda: mail(b"<" * 400_000, Content_Type="text/html"),
    "tags.eml": lambda: mail(b"<script" * 60_000, Content_Type="text/html"),
    "cells.eml": lambda: mail(b"<td>1</td>" * 40_000, Content_Type="text/html"),
    "base64.eml": lambda: mail(b"*" * 400_000, Content_Transfer_Encoding="base64"),
}
TEXTS: Makers = {
    "wide.csv": lambda: b"1;" * 2_000_000,
    "long.csv": lambda: b"a;b\n" * 1_000_000,
    "quotes.csv": lambda: b'"' * 1_000_000,
    "field.csv": lambda: b'Quantity;Price\n"' + b"x" * 4_000_000 + b'";1\n',
    "returns.csv": lambda: b"1;2\r" * 500_000,
    "unbalanced.csv": lambda: b'1;"2\n' * 4900,
    "utf16.csv": lambda: b"\xff\xfe" + "1;2\n".encode("utf-16-le") * 400_000 + b"\x31",
    "binary.csv": lambda: bytes(range(256)) * 100,
    "one-quantity.csv": lambda: (
        b"Part;Quantity;Price each EUR\n" + b"".join(b"P-1;10;%d.17\n" % n for n in range(1, 3000))
    ),
    "rising.csv": lambda: (
        b"Part;Quantity;Price each EUR\n"
        + b"".join(b"P-1;%d;%d.17\n" % (n, 3 * n) for n in range(1, 3000))
    ),
    "tables.csv": lambda: b"".join(
        b"Quantity;Price each EUR\n%d;9.10\n\n" % n for n in range(1, 1600)
    ),
    "prose.csv": lambda: b"".join(
        b"%d pcs at 9.17 EUR, tooling 100 EUR\n" % n for n in range(1, 3000)
    ),
    "nulls.txt": lambda: b"\0" * 5000,
    "line.txt": lambda: b"50 pcs 17.40 EUR each " * 40_000,
    "digits.txt": lambda: b"9" * 900_000,
    "letters.txt": lambda: (b"a" * 1999 + b"\n") * 450,
    "spaces.txt": lambda: b" " * 400_000 + b"x" + b" " * 400_000,
    "dots.txt": lambda: b"1." * 400_000,
    "dotted.txt": lambda: (b"1." * 999 + b"\n") * 450,
    "commas.txt": lambda: b"per 1,000,000,000," * 40_000,
    "prices.txt": lambda: (b"1 EUR " * 300 + b"\n") * 220,
    "stars.md": lambda: b"*" * 900_000,
    "columns.md": lambda: b"a | b | c | 1\n" * 4900,
}
BOMBS: Makers = {**XML, **WORKBOOKS, **MAILS, **TEXTS}
FORMS: Makers = {
    "aliases.yaml": lambda: (
        b"a0: &a0 [x, x]\n"
        + b"".join(
            b"a%d: &a%d [%s]\n" % (n, n, b", ".join([b"*a%d" % (n - 1)] * 9)) for n in range(1, 11)
        )
    ),
    "brackets.yaml": lambda: b"[" * 100_000,
    "deep.yaml": lambda: b"".join(b" " * n + b"a:\n" for n in range(1200)),
    "object.yaml": lambda: b"a: !!python/object/apply:os.system ['echo taken']\n",
    "integer.yaml": lambda: b"format: 1" + b"0" * 900_000,
    "keys.yaml": lambda: b"".join(b"k%d: 1\n" % n for n in range(30_000)),
    "lines.yaml": lambda: b"format: 1\nitems:\n" + b"- part: p\n" * 20_000,
    "word.yaml": lambda: b"forfor",
    "items.yaml": lambda: b"format: 1\nitems:\n- part:x\n",
    "tabs.yaml": lambda: b"\t" * 900_000,
}
