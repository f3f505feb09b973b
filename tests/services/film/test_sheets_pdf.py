"""Sheets bound into a PDF: one a page, at the size of the paper; the same bytes every time; nothing fetched."""

import re
import zlib
from collections.abc import Iterator
from contextlib import suppress

import pytest

from configurator.drawing.cut_plan_layout import A4_PAPER, LETTER_PAPER, Paper
from configurator.services.film.cut_plan_files import cut_plan_pdf
from configurator.services.film.cut_plans import cut_plan
from configurator.services.film.film_planning import plan_film
from configurator.services.film.sheets_pdf import sheets_as_pdf
from configurator.wording.words import Words
from tests.shops import chosen, demo_shop

POINT_MM = 25.4 / 72
"""PDF's unit (ISO 32000), 1/72 inch."""


def pages(pdf: bytes) -> list[tuple[float, float]]:
    """Width and height of each page in mm."""
    boxes = re.findall(rb"/MediaBox ?\[ ?0 0 ([\d.]+) ([\d.]+) ?\]", b"".join([pdf, *_unpacked(pdf)]))
    return [(float(width) * POINT_MM, float(height) * POINT_MM) for width, height in boxes]


def _unpacked(pdf: bytes) -> Iterator[bytes]:
    for packed in re.findall(rb"stream\n(.*?)\nendstream", pdf, re.DOTALL):
        with suppress(zlib.error):
            yield zlib.decompress(packed)


@pytest.mark.parametrize("paper", [A4_PAPER, LETTER_PAPER], ids=["a4", "letter"])
def test_a_sheet_is_a_page_of_the_paper_asked_for(paper: Paper) -> None:
    plan = plan_film(demo_shop(), chosen("sedan", "full_front"))
    sheets = sum(len(roll.sheets) for roll in cut_plan(plan, Words(), body="sedan", sheet=paper.sheet).rolls)
    pdf = cut_plan_pdf(plan, Words(), body="sedan", job="PFB-0042", paper=paper)

    assert pdf.startswith(b"%PDF-")
    assert len(pages(pdf)) == sheets
    for size in pages(pdf):
        assert size == pytest.approx((paper.width_mm, paper.height_mm), abs=0.1)


def test_the_same_plan_gives_the_same_bytes() -> None:
    plan = plan_film(demo_shop(), chosen("coupe", "partial_front"))

    assert cut_plan_pdf(plan, Words("de"), body="coupe") == cut_plan_pdf(plan, Words("de"), body="coupe")


def test_nothing_is_fetched_for_a_sheet() -> None:
    outside = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="10mm" height="10mm"><image href="file:///etc/hostname" width="5" height="5"/></svg>'
    )

    assert len(pages(sheets_as_pdf([outside], title="x", language="en", paper=A4_PAPER))) == 1
