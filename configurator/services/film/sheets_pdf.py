"""Sheets drawn as SVG in millimetres, bound into one PDF: a sheet a page, at true size."""

import logging
from collections.abc import Sequence
from functools import cache
from html import escape
from typing import Any

from configurator.drawing.cut_plan_layout import Paper
from configurator.errors import TucklineError


class PdfLibrariesMissing(TucklineError):
    """WeasyPrint, or a library of the system that it needs (Pango), isn't there. The SVG sheets can be printed instead."""

    code = "pdf_unavailable"


def sheets_as_pdf(sheets: Sequence[str], *, title: str, language: str, paper: Paper) -> bytes:
    """A PDF of `sheets` (SVG drawn for `paper`), in their order; the same sheets give the same bytes. Raises PdfLibrariesMissing."""
    page = f"@page{{size:{paper.width_mm}mm {paper.height_mm}mm;margin:{paper.margin_mm}mm}}"
    rules = f"{page}body{{margin:0}}svg{{display:block;break-after:page}}svg:last-child{{break-after:auto}}"
    head = f'<meta charset="utf-8"><title>{escape(title)}</title><style>{rules}</style>'
    html = f'<!DOCTYPE html><html lang="{escape(language)}"><head>{head}</head><body>{"".join(sheets)}</body></html>'
    pdf: bytes = _typesetter().HTML(string=html, url_fetcher=_nothing).write_pdf(pdf_identifier=b"tuckline")
    return pdf


def _nothing(url: str, *_: object, **__: object) -> dict[str, Any]:
    raise ValueError(f"a sheet may not open {url}")


@cache
def _typesetter() -> Any:
    """The library, loaded on first use: it takes half a second and isn't there on every machine."""
    try:
        import weasyprint
    except (ImportError, OSError) as error:
        raise PdfLibrariesMissing from error
    logging.getLogger("weasyprint").setLevel(logging.ERROR)
    return weasyprint
