"""The range band: a dimension line, its mark, its words."""

import pytest

from configurator.drawing.range_band import BandWords, range_band
from tests.drawing.reading import SVG, assert_well_made, by_class, read, share, words

WORDS = BandWords("Between $2,150 and $2,700, usually $2,400.", "usually $2,400")
ENDS = BandWords("x", "usually $2,250", low="$2,150", high="$2,700")


def mark(svg: str) -> float:
    return share(by_class(read(svg), "figure-film")[0], "x")


def test_it_is_one_sentence_to_a_screen_reader_and_well_made() -> None:
    assert_well_made(range_band(2150, 2400, 2700, WORDS, prefix="price"), title=WORDS.title, prefix="price")


def test_the_mark_stands_where_the_typical_figure_lies() -> None:
    assert mark(range_band(2150, 2400, 2700, WORDS, prefix="p")) == pytest.approx(250 / 550, abs=1e-4)
    assert mark(range_band(2150, 2150, 2700, WORDS, prefix="p")) == 0
    assert mark(range_band(2150, 2700, 2700, WORDS, prefix="p")) == 1


def test_from_right_to_left_the_low_end_is_on_the_right() -> None:
    svg = range_band(2150, 2250, 2700, ENDS, prefix="p", rtl=True)
    texts = {node.text: share(node, "x") for node in read(svg).iter(f"{SVG}text")}

    assert mark(svg) == pytest.approx(1 - 100 / 550, abs=1e-4)
    assert (texts["$2,150"], texts["$2,700"]) == (1, 0)
    assert read(svg).get("direction") == "rtl"


@pytest.mark.parametrize(("typical", "anchor"), [(2200, "start"), (2400, "middle"), (2690, "end")])
def test_words_near_an_end_stay_inside_the_drawing(typical: float, anchor: str) -> None:
    svg = range_band(2150, typical, 2700, WORDS, prefix="p")

    assert next(read(svg).iter(f"{SVG}text")).get("text-anchor") == anchor


def test_the_ends_are_lettered_only_where_wanted_and_then_take_room() -> None:
    bare, lettered = (read(range_band(2150, 2250, 2700, each, prefix="p")) for each in (WORDS, ENDS))

    assert words(bare) == ["usually $2,400"]
    assert words(lettered) == ["usually $2,250", "$2,150", "$2,700"]
    assert float(lettered.get("height", "")) > float(bare.get("height", ""))


def test_without_a_range_there_is_a_mark_and_no_line() -> None:
    root = read(range_band(250, 250, 250, BandWords("x", "usually $250"), prefix="p"))

    assert by_class(root, "figure-ink") == []
    assert share(by_class(root, "figure-film")[0], "x") == 0.5


@pytest.mark.parametrize("figures", [(3, 2, 4), (2, 5, 4), (5, 4, 3), (float("nan"), 1, 2)])
def test_figures_out_of_order_are_refused(figures: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match="not a range"):
        range_band(*figures, WORDS, prefix="p")


def test_the_same_range_gives_the_same_bytes_and_words_are_escaped() -> None:
    rude = BandWords("<b>&", "usually <$5>")

    assert range_band(1, 2, 3, rude, prefix="p") == range_band(1, 2, 3, rude, prefix="p")
    assert words(read(range_band(1, 2, 3, rude, prefix="p"))) == ["usually <$5>"]
