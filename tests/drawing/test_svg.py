"""Elements: checked names and values, escaped text, numbers that no locale changes."""

import locale
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from configurator.drawing.svg import Element, document, group, number, path, use, written


@pytest.mark.parametrize(
    ("value", "text"),
    [(1.0, "1"), (0.1 + 0.2, "0.3"), (-0.0, "0"), (-0.004, "0"), (1e7, "10000000"), (12.345, "12.35"), (0.5, "0.5"), (-3.10, "-3.1")],
)
def test_numbers_are_short_and_plain(value: float, text: str) -> None:
    assert number(value) == text


@pytest.mark.parametrize("wrong", [float("nan"), float("inf"), -float("inf")])
def test_a_number_that_is_none_is_refused(wrong: float) -> None:
    with pytest.raises(ValueError, match="coordinate"):
        number(wrong)


@given(st.floats(-1e6, 1e6))
def test_every_number_reads_back_to_within_its_rounding(value: float) -> None:
    assert float(number(value)) == pytest.approx(value, abs=0.0051)


def test_numbers_keep_their_point_under_a_comma_locale() -> None:
    before = locale.setlocale(locale.LC_NUMERIC)
    if not any(_set_numeric(name) for name in ("de_DE.UTF-8", "de_DE.utf8", "fr_FR.UTF-8", "de_DE")):
        pytest.skip("no locale with a decimal comma is installed here")
    try:
        assert 'x="0.5"' in Element("rect", x=0.5).to_string()
    finally:
        locale.setlocale(locale.LC_NUMERIC, before)


def _set_numeric(name: str) -> bool:
    try:
        locale.setlocale(locale.LC_NUMERIC, name)
    except locale.Error:
        return False
    return True


@pytest.mark.parametrize("name", ["onclick", "onload", "style", "xlink:href", "data-", "aria-", "srcdoc"])
def test_an_attribute_that_could_run_or_style_is_refused(name: str) -> None:
    with pytest.raises(ValueError, match="not allowed"):
        Element("path", **{name: "x"})


@pytest.mark.parametrize("tag", ["script", "foreignObject", "a", "image", "animate"])
def test_an_element_that_a_drawing_has_no_need_of_is_refused(tag: str) -> None:
    with pytest.raises(ValueError, match="not allowed"):
        Element(tag)


def test_names_that_svgwrite_itself_refuses_are_written() -> None:
    text = group(role="checkbox", aria_checked="true", tabindex=0, data_panel="hood").to_string()

    assert text == '<g role="checkbox" aria-checked="true" tabindex="0" data-panel="hood"/>'


@given(st.text())
def test_any_label_survives_the_way_through_xml(label: str) -> None:
    read = ElementTree.fromstring(group(written("title", label), aria_label=label).to_string())

    kept = "".join(
        letter
        for letter in label
        if letter in "\t\n\r" or "\x20" <= letter <= "\ud7ff" or "\ue000" <= letter <= "\ufffd" or letter > "\uffff"
    )
    assert read.get("aria-label") == kept
    assert (read[0].text or "") == kept


def test_markup_in_a_label_stays_text() -> None:
    text = group(aria_label='"><script>alert(1)</script>').to_string()

    assert "<script" not in text
    assert len(list(ElementTree.fromstring(text).iter())) == 1


def test_an_attribute_without_a_value_is_left_out() -> None:
    assert use("x", fill=None).to_string() == '<use href="#x"/>'


def test_a_document_says_its_width_and_height() -> None:
    root = ElementTree.fromstring(document(path("M0 0h1"), view_box=(-1, -2, 30, 40), width=300, height=400.0).to_string())

    assert root.tag == "{http://www.w3.org/2000/svg}svg"
    assert (root.get("viewBox"), root.get("width"), root.get("height")) == ("-1 -2 30 40", "300", "400")


@given(st.text(), st.text(), st.floats(-1e5, 1e5))
def test_the_quick_writer_writes_what_the_library_would(label: str, text: str, place: float) -> None:
    element = group(written("title", text), path("M0 0h1", fill="none"), use("x", x=place), aria_label=label)
    ours, library = (_nodes(text) for text in (element.to_string(), ElementTree.tostring(element.get_xml(), encoding="unicode")))

    assert ours == library


def _nodes(text: str) -> list[tuple[str, dict[str, str], str]]:
    """Tags, attributes and texts in order; a carriage return in text is a line end to XML, which the library's writer leaves bare."""
    return [
        (node.tag, node.attrib, (node.text or "").replace("\r\n", "\n").replace("\r", "\n")) for node in ElementTree.fromstring(text).iter()
    ]
