"""Printed documents: one HTML template is the page to print in a browser, and by WeasyPrint the PDF.

A template extends `documents/layout.html`. Nothing is fetched for a PDF but our own static files and `data:` images. Where the
libraries that WeasyPrint needs (Pango) are missing, people read so and are led to the page they can print.
"""

import logging
import mimetypes
from functools import cache, lru_cache
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from flask import Response, make_response, render_template, request
from werkzeug.security import safe_join

from configurator.drawing.paper import on_paper
from configurator.errors import TucklineError
from configurator.web.assets import ROOT, asset
from configurator.web.wiring import wired

log = logging.getLogger("tuckline.documents")

BASE = "http://documents.invalid"
"""Where a document's addresses begin while it is set; the domain can't exist (RFC 2606), so nothing ever leaves."""
LETTER, A4 = "letter", "a4"
LETTER_COUNTRIES = frozenset(["BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE"])
"""Where US letter is the usual paper; everywhere else A4. Source: CLDR, supplemental measurement data (paperSize), from memory."""


class PdfUnavailable(TucklineError):
    """WeasyPrint or a library it needs is missing on this machine."""

    code = "pdf_unavailable"


def paper() -> str:
    """`letter` or `a4`: what `?paper=` asks for, else what is usual in the shop's country."""
    asked = request.args.get("paper", "")
    if asked in {LETTER, A4}:
        return asked
    return LETTER if wired().shop.book.shop.country in LETTER_COUNTRIES else A4


@lru_cache(maxsize=8)
def to_pdf(html: str) -> bytes:
    """A page made from a document's template as a tagged PDF (ISO 14289, PDF/UA-1). Raises PdfUnavailable.

    The latest are remembered: setting a sheet with a drawing takes a second, and people fetch the same one again.
    """
    weasyprint, fetcher = _weasyprint()
    pdf: bytes = weasyprint.HTML(string=for_paper(html), base_url=BASE, url_fetcher=fetcher).write_pdf(pdf_variant="pdf/ua-1")
    return pdf


def for_paper(html: str) -> str:
    """The page with what only a typesetter understands: the running head, and plain line widths in its drawings."""
    return on_paper(html.replace("</head>", f'<link rel="stylesheet" href="{asset("css/documents-pdf.css")}"></head>', 1))


def pdf_response(html: str, filename: str, *, print_page: str) -> Response:
    """The answer of an address that ends in `.pdf`; without the libraries a page (503) that leads to `print_page`."""
    try:
        response = make_response(to_pdf(html))
    except PdfUnavailable:
        return make_response(render_template("documents/no_pdf.html", print_page=print_page), 503)
    response.content_type = "application/pdf"
    response.headers.set("Content-Disposition", "inline", filename=filename)
    response.headers["Cache-Control"] = "no-store"
    return response


@cache
def _weasyprint() -> tuple[Any, Any]:
    """The library and our fetcher, loaded on first use: it takes half a second and isn't there on every machine."""
    try:
        import weasyprint
        from weasyprint.urls import URLFetcher, URLFetcherResponse
    except (ImportError, OSError) as error:
        log.warning("PDF documents can't be made here: %s", error)
        raise PdfUnavailable from error

    class StaticFilesOnly(URLFetcher):  # type: ignore[misc]
        """Opens nothing but our own static files and data that stands in the document itself."""

        def fetch(self, url: str, headers: dict[str, str] | None = None) -> Any:
            parts = urlsplit(url)
            if parts.scheme == "data":
                return super().fetch(url, headers)
            head, _, name = parts.path.removeprefix("/static/").partition("/")
            path = safe_join(str(ROOT), name) if url.startswith(f"{BASE}/static/") and head else None
            if path is None or not Path(path).is_file():
                raise ValueError(f"a document may not open {url}")
            kind = mimetypes.guess_type(name)[0] or "application/octet-stream"
            return URLFetcherResponse(url, Path(path).read_bytes(), {"Content-Type": kind})

    # What WeasyPrint skips (rules for screens) is not a warning for whoever reads our log.
    logging.getLogger("weasyprint").setLevel(logging.ERROR)
    return weasyprint, StaticFilesOnly()
