"""The light gauge: how much is left, how sure that is, and where the film stands."""

import pytest

from configurator.drawing.light_gauge import GaugeRow, light_gauge
from tests.drawing.reading import assert_well_made, by_class, read, spans, words

LIGHT = GaugeRow("Light left", "35%", 0.35, darker=0.3)
REFLECTORS = GaugeRow("Reflectors", "12%", 0.1225)


def gauge(*rows: GaugeRow, rtl: bool = False) -> str:
    return light_gauge(rows, title="Medium smoke leaves 35% of the light, 12% for reflectors.", prefix="tail", rtl=rtl)


def test_it_is_one_sentence_to_a_screen_reader_and_well_made() -> None:
    assert_well_made(gauge(LIGHT, REFLECTORS), title="Medium smoke leaves 35% of the light, 12% for reflectors.", prefix="tail")


def test_the_bright_part_is_the_share_that_is_left() -> None:
    root = read(gauge(LIGHT, REFLECTORS))

    assert spans(by_class(root, "figure-light")) == [(0, 0.35), (0, 0.1225)]
    assert words(root) == ["Light left", "35%", "Reflectors", "12%"]


def test_the_tolerance_is_hatched_from_the_darker_end_to_the_nominal_share() -> None:
    hatched = [node for node in read(gauge(LIGHT)).iter() if node.get("fill") == "url(#tail-may)"]

    assert spans(hatched) == [(0.3, 0.35)]


def test_what_is_lost_is_told_by_a_pattern_too() -> None:
    lost = [node for node in read(gauge(LIGHT)).iter() if node.get("fill") == "url(#tail-lost)"]

    assert spans(lost) == [(0.35, 1)]


def test_without_film_there_is_no_film_line() -> None:
    assert by_class(read(gauge(GaugeRow("Light left", "100%", 1))), "figure-film") == []
    assert len(by_class(read(gauge(LIGHT)), "figure-film")) == 1


def test_from_right_to_left_the_light_is_on_the_right() -> None:
    assert spans(by_class(read(gauge(LIGHT, rtl=True)), "figure-light")) == [(0.65, 1)]


@pytest.mark.parametrize(
    "row", [GaugeRow("x", "x", 1.2), GaugeRow("x", "x", -0.1), GaugeRow("x", "x", 0.3, darker=0.4), GaugeRow("x", "x", float("nan"))]
)
def test_what_isnt_a_share_of_light_is_refused(row: GaugeRow) -> None:
    with pytest.raises(ValueError, match="not shares of light"):
        gauge(row)
