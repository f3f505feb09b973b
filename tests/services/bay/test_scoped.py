"""A job's selection worked out again: bare panels, and a price book that no longer has what was agreed."""

import pytest

from configurator.services.bay.drawings import drawing, only
from configurator.services.bay.scoped import CannotBeMade, scoped, without
from configurator.wire.selection import dump_selection
from configurator.wording.words import words_for
from tests.shops import chosen, demo_shop

CHOICE = dump_selection(chosen("coupe", add=("hood", "roof"), lamps={"tail_lamps": "clear"}))


def test_a_film_that_left_the_price_book_is_named() -> None:
    with pytest.raises(CannotBeMade) as refused:
        scoped({"version": 1, "vehicle": {"body": "coupe"}, "finish": {"default": "sunset"}}, demo_shop())

    assert [fault.code for fault in refused.value.faults] == ["unknown_finish"]


def test_bare_panels_and_lamps_are_not_covered() -> None:
    scope = without(scoped(CHOICE, demo_shop()).worked.scope, {"roof", "tail_lamp_left"})

    assert [panel.id for panel in scope.covered] == ["hood"]
    assert [lamp.id for lamp in scope.lamps] == ["tail_lamp_right"]


def test_one_panel_by_itself_is_all_but_it_bare() -> None:
    assert only("hood", CHOICE, demo_shop()) == {"roof", "tail_lamp_left", "tail_lamp_right"}


def test_a_drawing_says_what_is_bare_and_carries_its_numbers() -> None:
    words = words_for("en_US")
    svg = drawing(CHOICE, demo_shop(), words, "top", numbers={"hood": "7"}, bare={"roof"})

    assert "7. Hood, covered" in svg
    assert "Roof, can be added" in svg
    assert "Roof, covered" in drawing(CHOICE, demo_shop(), words, "top", numbers={})
