"""PDFs made in two ways: drawn operator by operator here, and printed from HTML by WeasyPrint."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import zlib
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from quotegen.report.paper.presses import write_settings

A4 = (595, 842)
# Widths of Helvetica in thousandths of its size, for what is set from the right.
NARROW = dict.fromkeys(" .,:;/|ijlt!'", 278) | dict.fromkeys("mwMW%", 860)


def width(words: str, size: float) -> float:
    return sum(NARROW.get(mark, 556) for mark in words) * size / 1000


@dataclass(kw_only=True)
class Page:
    """One page: what is drawn, y counted from the top edge; colour is a text of PDF operators."""

    size: tuple[float, float] = A4
    rotate: int = 0
    drawn: list[bytes] = field(default_factory=list)
    annotations: list[str] = field(default_factory=list)

    def text(
        self, x: float, y: float, words: str, *, size: float = 10, font: str = "F1",
        colour: str = "0 g", mode: int = 0,
    ) -> Page:  # fmt: skip
        return self.turned((1, 0, 0, 1, x, self.size[1] - y), words, size, font, colour, mode)

    def turned(
        self, matrix: Sequence[float], words: str, size: float = 10, font: str = "F1",
        colour: str = "0 g", mode: int = 0,
    ) -> Page:  # fmt: skip
        """Text under a matrix, in coordinates of PDF."""
        shown = words.encode("cp1252").replace(b"\\", b"\\\\")
        shown = shown.replace(b"(", b"\\(").replace(b")", b"\\)")
        numbers = " ".join(f"{each:.3f}" for each in matrix)
        start = f"q {colour} BT /{font} {size} Tf {mode} Tr {numbers} Tm (".encode()
        self.drawn.append(start + shown + b") Tj ET Q")
        return self

    def right(self, x: float, y: float, words: str, size: float = 10) -> Page:
        return self.text(x - width(words, size), y, words, size=size)

    def row(self, y: float, cells: Sequence[tuple[float, str]]) -> Page:
        """Cells by their left edge, or by their right edge where it is negative."""
        for x, words in cells:
            if x < 0:
                self.right(-x, y, words)
            else:
                self.text(x, y, words)
        return self

    def lines(self, x: float, y: float, words: Sequence[str], step: float = 13) -> Page:
        for number, line in enumerate(words):
            self.text(x, y + number * step, line)
        return self

    def rule(self, x0: float, y0: float, x1: float, y1: float) -> Page:
        high = self.size[1]
        self.drawn.append(f"0.5 w {x0} {high - y0} m {x1} {high - y1} l S".encode())
        return self

    def box(self, x0: float, y0: float, x1: float, y1: float, colour: str = "0.9 g") -> Page:
        shape = f"{x0} {self.size[1] - y1} {x1 - x0} {y1 - y0} re f"
        self.drawn.append(f"q {colour} {shape} Q".encode())
        return self

    def picture(self, x0: float, y0: float, x1: float, y1: float) -> Page:
        place = f"{x1 - x0} 0 0 {y1 - y0} {x0} {self.size[1] - y1} cm"
        self.drawn.append(f"q {place} /Im1 Do Q".encode())
        return self

    def comment(self, x: float, y: float, words: str) -> Page:
        low = self.size[1] - y
        self.annotations.append(
            f"<</Type/Annot/Subtype/Text/Rect[{x} {low} {x + 18} {low + 18}]/Contents({words})>>"
        )
        return self

    def filled(self, x: float, y: float, words: str, name: str, wide: float = 120) -> Page:
        """A field of a form with what somebody typed into it."""
        low = self.size[1] - y - 3
        self.annotations.append(
            f"<</Type/Annot/Subtype/Widget/FT/Tx/F 4/T({name})/V({words})"
            f"/DA(/F1 10 Tf 0 g)/Rect[{x} {low} {x + wide} {low + 14}]>>"
        )
        return self


FONTS = (
    "/F1<</Type/Font/Subtype/Type1/BaseFont/Helvetica/Encoding/WinAnsiEncoding>>"
    "/F2<</Type/Font/Subtype/Type1/BaseFont/Helvetica-Bold/Encoding/WinAnsiEncoding>>"
    "/F3<</Type/Font/Subtype/Type1/BaseFont/Courier/Encoding/WinAnsiEncoding>>"
    "/F4<</Type/Font/Subtype/Type1/BaseFont/Helvetica/Encoding"
    "<</BaseEncoding/WinAnsiEncoding/Differences[1/fi/fl]>>>>"
)


def drawn(pages: Sequence[Page], *, catalog: str = "", squeezed: bool = True) -> bytes:
    """The file; catalog is added to its root object."""
    objects: dict[int, bytes] = {}
    kids = []
    image = b"<</Type/XObject/Subtype/Image/Width 1/Height 1/BitsPerComponent 8"
    objects[3] = image + b"/ColorSpace/DeviceGray/Length 1>>stream\n\x80\nendstream"
    for page in pages:
        data = b"\n".join(page.drawn)
        data = zlib.compress(data) if squeezed else data
        kind = b"/Filter/FlateDecode" if squeezed else b""
        at = max(objects) + 1
        objects[at] = b"<<%s/Length %d>>stream\n%s\nendstream" % (kind, len(data), data)
        notes = "".join(page.annotations)
        objects[at + 1] = (
            f"<</Type/Page/Parent 2 0 R/MediaBox[0 0 {page.size[0]} {page.size[1]}]"
            f"/Rotate {page.rotate}/Contents {at} 0 R/Annots[{notes}]"
            f"/Resources<</Font<<{FONTS}>>/XObject<</Im1 3 0 R>>>>>>"
        ).encode("cp1252")
        kids.append(at + 1)
    listed = " ".join(f"{kid} 0 R" for kid in kids)
    objects[1] = f"<</Type/Catalog/Pages 2 0 R{catalog}>>".encode()
    objects[2] = f"<</Type/Pages/Count {len(kids)}/Kids[{listed}]>>".encode()
    return of_objects(objects)


def of_objects(objects: dict[int, bytes]) -> bytes:
    """A file of numbered objects, the first of them its root, with a table of where each lies."""
    data, places = b"%PDF-1.7\n", {}
    for number in sorted(objects):
        places[number] = len(data)
        data += b"%d 0 obj\n%s\nendobj\n" % (number, objects[number])
    start, count = len(data), max(objects) + 1
    data += b"xref\n0 %d\n0000000000 65535 f \n" % count
    for number in range(1, count):
        data += b"%010d 00000 %s \n" % (places.get(number, 0), b"n" if number in places else b"f")
    return data + b"trailer<</Size %d/Root 1 0 R>>\nstartxref\n%d\n%%%%EOF\n" % (count, start)


PRINT = "import sys; from weasyprint import HTML; "
PRINT += "sys.stdout.buffer.write(HTML(string=sys.stdin.read()).write_pdf())"
STYLE = """<style>
@page { size: A4; margin: 20mm }
body { font: 10pt 'Source Sans 3', sans-serif } table { border-collapse: collapse }
td, th { padding: 2pt 7pt; text-align: left; vertical-align: top } .n { text-align: right }
.ruled td, .ruled th { border: 0.5pt solid black }
</style>"""


@cache
def printed(html: str) -> bytes:
    """The PDF that WeasyPrint makes of the body of a page, with the bundled font alone."""
    with tempfile.TemporaryDirectory() as folder:
        write_settings(Path(folder))
        settings = {"FONTCONFIG_FILE": str(Path(folder) / "fonts.conf")}
        ran = subprocess.run(
            [sys.executable, "-c", PRINT], input=(STYLE + html).encode(), check=True,
            capture_output=True, env={**os.environ, **settings}, timeout=120,
        )  # fmt: skip
    return ran.stdout
