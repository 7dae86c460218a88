"""The only module that loads WeasyPrint; it runs in a child process, since that may crash.

Importing it raises OSError where the native libraries are missing.
"""

from __future__ import annotations

import base64
import datetime
import logging
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit
from urllib.request import url2pathname

from weasyprint import HTML
from weasyprint import Attachment as Embedded
from weasyprint.text.fonts import FontConfiguration
from weasyprint.urls import FatalURLFetchingError, URLFetcher

from quotegen.report.paper.pdf import Attachment, Document, Unprinted
from quotegen.templates_folder import templates_folder

VARIANT = "pdf/a-3a"
END_OF_METADATA = b"</rdf:RDF>"

# PDF/UA-1 (ISO 14289-1) has its own property, which PDF/A-3 (ISO 19005-3, 6.6.2.3) lets stand
# only beside a description of its schema.
UA_METADATA = b"""
<rdf:Description rdf:about="" xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/">
<pdfuaid:part>1</pdfuaid:part>
</rdf:Description>
<rdf:Description rdf:about=""
 xmlns:pdfaExtension="http://www.aiim.org/pdfa/ns/extension/"
 xmlns:pdfaSchema="http://www.aiim.org/pdfa/ns/schema#"
 xmlns:pdfaProperty="http://www.aiim.org/pdfa/ns/property#">
<pdfaExtension:schemas><rdf:Bag><rdf:li rdf:parseType="Resource">
<pdfaSchema:schema>PDF/UA identification</pdfaSchema:schema>
<pdfaSchema:namespaceURI>http://www.aiim.org/pdfua/ns/id/</pdfaSchema:namespaceURI>
<pdfaSchema:prefix>pdfuaid</pdfaSchema:prefix>
<pdfaSchema:property><rdf:Seq><rdf:li rdf:parseType="Resource">
<pdfaProperty:name>part</pdfaProperty:name>
<pdfaProperty:valueType>Integer</pdfaProperty:valueType>
<pdfaProperty:category>internal</pdfaProperty:category>
<pdfaProperty:description>The part of ISO 14289 that the file keeps to</pdfaProperty:description>
</rdf:li></rdf:Seq></pdfaSchema:property>
</rdf:li></rdf:Bag></pdfaExtension:schemas>
</rdf:Description>
"""


class FontsOnly(URLFetcher):  # type: ignore[misc]  # WeasyPrint ships no annotations
    """Reads `data:` and files below the folder of fonts; anything else ends the printing."""

    def __init__(self, folder: Path) -> None:
        super().__init__(allowed_protocols={"data", "file"}, allow_redirects=False)
        self._folder = folder.resolve()

    def fetch(self, url: str, headers: dict[str, str] | None = None) -> object:
        """Raises FatalURLFetchingError, which WeasyPrint lets through."""
        if not self._may_read(url):
            raise FatalURLFetchingError(f"nothing may be read from {url[:200]}")
        return super().fetch(url, headers)

    def _may_read(self, url: str) -> bool:
        try:
            parts = urlsplit(url)
            if parts.scheme.lower() == "data":
                return True
            path = Path(url2pathname(parts.path)).resolve(strict=True)
        except (OSError, ValueError, RuntimeError):
            return False
        local = parts.scheme.lower() == "file" and not parts.netloc
        return local and path.is_file() and path.is_relative_to(self._folder)


class Complaints(logging.Handler):
    """Collects what WeasyPrint warns of: a page that is not as written must not be printed."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.seen: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.seen.append(record.getMessage())


class Press:
    """Prints one document after the other; the fonts are read once."""

    def __init__(self) -> None:
        self._fonts = FontConfiguration()
        self._folder = templates_folder()

    def printed(self, document: Document) -> bytes | Unprinted:
        """The PDF, the same bytes for the same document; or why there is none."""
        complaints = Complaints()
        logger = logging.getLogger("weasyprint")
        logger.addHandler(complaints)
        try:
            data = self._write(document)
        except (FatalURLFetchingError, LinkOut) as error:
            return Unprinted(code="pdf-failed", why=str(error))
        finally:
            logger.removeHandler(complaints)
        if complaints.seen:
            return Unprinted(code="pdf-failed", why="; ".join(sorted(set(complaints.seen))))
        return data

    def _write(self, document: Document) -> bytes:
        fetcher = FontsOnly(self._folder / "fonts")
        page = HTML(string=document.html, base_url=f"{self._folder.as_uri()}/", url_fetcher=fetcher)
        data: bytes = page.write_pdf(
            font_config=self._fonts,
            pdf_variant=VARIANT,
            finisher=finish,
            attachments=[embedded(each, document.dated, fetcher) for each in document.in_order],
        )
        return data


class LinkOut(Exception):
    """A link that would name a file on the machine that printed."""


def embedded(attachment: Attachment, dated: datetime.date, fetcher: URLFetcher) -> Embedded:
    """The attachment as WeasyPrint wants it; as a data: URL it keeps its own media type."""
    moment = datetime.datetime.combine(dated, datetime.time(), datetime.UTC)
    data = base64.b64encode(attachment.data).decode("ascii")
    return Embedded(
        url=f"data:{attachment.media_type};base64,{data}",
        url_fetcher=fetcher,
        name=attachment.name,
        description=attachment.description,
        created=moment,
        modified=moment,
        relationship=attachment.relationship,
    )


def finish(_document: object, pdf: Any) -> None:
    """What WeasyPrint leaves to us: PDF/UA-1 beside PDF/A-3a, and no link to a file.

    It also lists every attachment twice as an associated file; once is enough. Raises LinkOut.
    """
    for each in pdf.objects:
        if isinstance(each, dict) and "URI" in each.get("A", {}):
            refuse_file_link(str(each["A"]["URI"].string))
    associated = pdf.catalog.get("AF", [])
    associated[:] = list(dict.fromkeys(associated))
    stream = pdf.objects[int(pdf.catalog["Metadata"].split()[0])].stream
    stream[:] = [part.replace(END_OF_METADATA, UA_METADATA + END_OF_METADATA) for part in stream]


def refuse_file_link(target: str) -> None:
    """Such a link works on one machine only and tells others its folders."""
    if target.lower().startswith("file:"):
        raise LinkOut(f"a link leads to {target[:200]}, which is no address for a reader")
