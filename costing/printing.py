"""Making a printed paper: a page as tagged PDF/A, with the e-invoice that it may carry.

Nothing is fetched: the drawings are part of the page. The same page makes the same bytes each time.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from typing import Any

from django.utils.translation import gettext as _

from costing.einvoices import FILE_NAME

VARIANT = "pdf/a-3a"
"""For keeping (ISO 19005-3): tagged, its fonts and the meaning of its colours inside; it may carry a file."""

ACCESSIBLE = b"""
<rdf:Description rdf:about="" xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/">
<pdfuaid:part>1</pdfuaid:part>
</rdf:Description>
<rdf:Description rdf:about="" xmlns:pdfaExtension="http://www.aiim.org/pdfa/ns/extension/"
 xmlns:pdfaSchema="http://www.aiim.org/pdfa/ns/schema#" xmlns:pdfaProperty="http://www.aiim.org/pdfa/ns/property#">
<pdfaExtension:schemas><rdf:Bag><rdf:li rdf:parseType="Resource">
<pdfaSchema:schema>PDF/UA identification schema</pdfaSchema:schema>
<pdfaSchema:namespaceURI>http://www.aiim.org/pdfua/ns/id/</pdfaSchema:namespaceURI>
<pdfaSchema:prefix>pdfuaid</pdfaSchema:prefix>
<pdfaSchema:property><rdf:Seq><rdf:li rdf:parseType="Resource">
<pdfaProperty:name>part</pdfaProperty:name>
<pdfaProperty:valueType>Integer</pdfaProperty:valueType>
<pdfaProperty:category>internal</pdfaProperty:category>
<pdfaProperty:description>Part of ISO 14289 that the file keeps</pdfaProperty:description>
</rdf:li></rdf:Seq></pdfaSchema:property>
</rdf:li></rdf:Bag></pdfaExtension:schemas>
</rdf:Description>
"""
"""That it is accessible (ISO 14289-1), and the description of that property which ISO 19005-3 asks for."""


@dataclass(frozen=True, slots=True)
class Carried:
    """The e-invoice that a paper carries, and the day that it bears."""

    xml: bytes
    issued_on: date


def print_page(html: str, identifier: str, carried: Carried | None = None) -> bytes:
    """Return a page as PDF; ``identifier`` is that of the file, the same whenever it is made again."""
    # Imported late: it loads a text-layout library that only the making of papers needs.
    from weasyprint import HTML  # noqa: PLC0415  # see above
    from weasyprint.urls import URLFetcher  # noqa: PLC0415  # see above

    # A page holds its pictures itself; whatever a name or an address smuggles in is not fetched.
    inside = URLFetcher(allowed_protocols={"data"})
    made: bytes = HTML(string=html, url_fetcher=inside).write_pdf(
        pdf_identifier=identifier.encode(),
        pdf_variant=VARIANT,
        pdf_tags=True,
        attachments=[_attachment(carried)] if carried else None,
        finisher=_finish,
    )
    return made


def _attachment(carried: Carried) -> Any:
    from weasyprint import Attachment  # noqa: PLC0415  # late, as above

    at = datetime.combine(carried.issued_on, time(), tzinfo=UTC)  # no clock: the same bytes each time
    return Attachment(
        string=carried.xml.decode(),
        name=FILE_NAME,
        description=_("The same paper as an e-invoice (EN 16931, UBL 2.1)"),
        created=at,
        modified=at,
        relationship="Alternative",
    )


def _finish(document: Any, pdf: Any) -> None:
    """Put right what the library leaves: it names one standard only, and an attachment twice."""
    metadata = pdf.objects[int(pdf.catalog["Metadata"].split()[0])]
    whole = b"".join(metadata.stream)
    metadata.stream = [whole.replace(b"</rdf:RDF>", ACCESSIBLE + b"</rdf:RDF>")]
    if "AF" in pdf.catalog:
        pdf.catalog["AF"][:] = dict.fromkeys(pdf.catalog["AF"])
