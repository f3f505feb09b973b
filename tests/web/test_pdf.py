"""Printed documents: a PDF that opens nothing outside, in the shop's usual paper, and a page to print where none can be made."""

import re
import sys
from pathlib import Path

import pytest
from flask import render_template_string

from configurator.drawing.paper import on_paper
from configurator.web import pdf
from configurator.web.pdf import BASE, PdfUnavailable, paper, pdf_response, to_pdf
from tests.web.desk_app import Desk, make_desk

DOCUMENT = """{% extends "documents/layout.html" %}{% block name %}A sheet{% endblock %}
{% block content %}<p>{{ text }}</p>{{ more|safe }}{% endblock %}"""


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return make_desk(tmp_path)


@pytest.fixture
def without_libraries(monkeypatch: pytest.MonkeyPatch) -> None:
    """A machine on which WeasyPrint can't be loaded: importing it fails."""
    pdf._weasyprint.cache_clear()
    to_pdf.cache_clear()
    monkeypatch.setitem(sys.modules, "weasyprint", None)


@pytest.fixture(autouse=True)
def forget_libraries() -> object:
    yield
    pdf._weasyprint.cache_clear()
    to_pdf.cache_clear()


def written(desk: Desk, text: str = "Plain words.", more: str = "", size: str = "a4") -> str:
    with desk.app.test_request_context("/"):
        return render_template_string(DOCUMENT, paper=size, reference="PEL-2A7KQ", text=text, more=more)


def sizes(made: bytes) -> set[tuple[int, int]]:
    """Width and height of the pages in points."""
    boxes = re.findall(rb"/MediaBox ?\[ ?0 0 ([0-9.]+) ([0-9.]+) ?\]", made)
    return {(round(float(wide)), round(float(tall))) for wide, tall in boxes}


def uncompressed(html: str, monkeypatch: pytest.MonkeyPatch) -> bytes:
    """The PDF with its objects in the open, so that the test can read them."""
    weasyprint, _ = pdf._weasyprint()
    write = weasyprint.HTML.write_pdf
    monkeypatch.setattr(weasyprint.HTML, "write_pdf", lambda self, **options: write(self, uncompressed_pdf=True, **options))
    return to_pdf(html)


@pytest.mark.parametrize(("size", "points"), [("a4", (595, 842)), ("letter", (612, 792))])
def test_the_paper_has_its_size(desk: Desk, monkeypatch: pytest.MonkeyPatch, size: str, points: tuple[int, int]) -> None:
    """A4 is 210 by 297 mm (ISO 216), letter 8.5 by 11 inches (ANSI X3.151), a point 1/72 inch (ISO 32000-1)."""
    made = uncompressed(written(desk, size=size), monkeypatch)

    assert made.startswith(b"%PDF-")
    assert sizes(made) == {points}


def test_it_is_tagged_and_says_its_language_and_title(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    """What ISO 14289-1 (PDF/UA-1) asks for first: a structure, a language, a title that is shown."""
    made = uncompressed(written(desk), monkeypatch)

    assert b"/MarkInfo" in made
    assert b"/StructTreeRoot" in made
    assert re.search(rb"/Lang ?\(en-US\)", made)
    assert b"pdfuaid:part" in made


def test_the_same_page_gives_the_same_bytes(desk: Desk) -> None:
    html = written(desk)

    assert to_pdf.__wrapped__(html) == to_pdf.__wrapped__(html)


def test_a_long_document_runs_over_several_pages_with_head_and_number_on_each(desk: Desk) -> None:
    weasyprint, fetcher = pdf._weasyprint()
    html = written(desk, more="<p>One more line.</p>" * 120)
    pages = weasyprint.HTML(string=pdf.for_paper(html), base_url=BASE, url_fetcher=fetcher).render().pages
    texts = [" ".join(box.text for box in page._page_box.descendants() if hasattr(box, "text")) for page in pages]

    assert len(texts) > 2
    for place, text in enumerate(texts, start=1):
        assert "PEL-2A7KQ" in text
        assert re.sub(r"\s+", " ", text).count(f"Page {place} of {len(texts)}") == 1


@pytest.mark.parametrize(
    "address",
    [
        "http://127.0.0.1:9/x.png",
        "https://film.example/x.png",
        "file:///etc/passwd",
        "/static/../configurator/settings.py",
        f"{BASE}/static/x/../../configurator/settings.py",
        "ftp://127.0.0.1/x",
        "/staff/inbox",
    ],
)
def test_nothing_but_static_files_is_opened(desk: Desk, address: str) -> None:
    _, fetcher = pdf._weasyprint()
    full = address if "://" in address else BASE + address
    with pytest.raises(ValueError, match="may not open"):
        fetcher.fetch(full)

    assert to_pdf(written(desk, more=f'<img src="{address}" alt="">')).startswith(b"%PDF-")


def test_our_own_style_sheet_and_data_are_opened() -> None:
    _, fetcher = pdf._weasyprint()

    assert b"@page letter" in fetcher.fetch(f"{BASE}/static/0123/css/documents.css").read()
    assert fetcher.fetch("data:text/plain,film").read() == b"film"


def test_typed_markup_stays_text(desk: Desk) -> None:
    html = written(desk, text="<script>alert(1)</script>")

    assert "<script>" not in html
    assert to_pdf(html).startswith(b"%PDF-")


@pytest.mark.parametrize(
    ("country", "asked", "size"),
    [("US", "", "letter"), ("DE", "", "a4"), ("US", "a4", "a4"), ("DE", "letter", "letter"), ("JP", "poster", "a4")],
)
def test_the_paper_is_the_one_of_the_country_unless_another_is_asked_for(
    desk: Desk, monkeypatch: pytest.MonkeyPatch, country: str, asked: str, size: str
) -> None:
    monkeypatch.setattr(pdf, "wired", lambda: _Shop(country))
    with desk.app.test_request_context(f"/?paper={asked}"):
        assert paper() == size


class _Shop:
    """As much of the wiring as `paper` looks at."""

    def __init__(self, country: str) -> None:
        self.shop = self.book = self
        self.country = country


def test_where_the_libraries_are_missing_people_are_led_to_the_page_to_print(desk: Desk, without_libraries: None) -> None:
    html = written(desk)
    with pytest.raises(PdfUnavailable):
        to_pdf(html)
    with desk.app.test_request_context("/"):
        answer = pdf_response(html, "quote.pdf", print_page="/r/x/quote")

    assert answer.status_code == 503
    assert answer.mimetype == "text/html"
    assert 'href="/r/x/quote"' in answer.get_data(as_text=True)


def test_with_them_it_is_a_file_that_nobody_keeps(desk: Desk) -> None:
    html = written(desk)
    with desk.app.test_request_context("/"):
        answer = pdf_response(html, "quote-PEL-2A7KQ.pdf", print_page="/")

    assert answer.status_code == 200
    assert answer.mimetype == "application/pdf"
    assert answer.headers["Content-Disposition"] == "inline; filename=quote-PEL-2A7KQ.pdf"
    assert answer.headers["Cache-Control"] == "no-store"


def test_each_car_drawing_gets_line_widths_in_its_own_measure() -> None:
    """A line of 0.12 mm on a drawing 9000 units wide that stands 180 mm wide is 6 units wide: 50 units a millimetre."""
    drawing = (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9000 400" width="9" height="4" class="car-drawing view-sheet"><g/></svg>'
    )
    made = on_paper(f'<p>{drawing}</p><svg viewBox="0 0 1 1" class="icon"><g/></svg>')

    assert made.count("<style>") == 1
    assert ".line{stroke-width:6.0}" in made
    assert "var(" not in made
