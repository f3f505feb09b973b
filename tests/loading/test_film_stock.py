"""The list of film at hand: read as written, and refused with the path of every fault."""

from decimal import Decimal
from pathlib import Path

import pytest

from configurator.domain.film_plan.rolls import stock_of
from configurator.errors import InvalidData
from configurator.loading.film_stock import load_film_stock
from tests.shops import demo_shop

GOOD = """
rolls:
  - {id: R-17, film: gloss-clear, width_mm: 1524, left_m: 9.4}
  - {id: O-3, film: gloss-clear, width_mm: 900, left_m: 2.1, cost_per_m: 20.50}
"""


def written(folder: Path, text: str) -> Path:
    file = folder / "stock.yaml"
    file.write_text(text, encoding="utf-8")
    return file


def test_rolls_come_with_what_is_left_and_what_they_cost(tmp_path: Path) -> None:
    book = demo_shop().book
    first, second, *others = load_film_stock(written(tmp_path, GOOD), book)

    assert (first.id, first.left_mm, first.cost_per_m) == ("R-17", 9400.0, book.films["gloss-clear"].roll(1524).cost_per_m)
    assert (second.width_mm, second.cost_per_m) == (900.0, Decimal("20.5"))
    assert tuple(others) == stock_of(book)


def test_new_rolls_can_be_ruled_out_and_json_is_read_too(tmp_path: Path) -> None:
    text = '{"new_rolls": false, "rolls": [{"id": "R-1", "film": "gloss-clear", "width_mm": 1524, "left_m": 3}]}'

    assert [roll.id for roll in load_film_stock(written(tmp_path, text), demo_shop().book)] == ["R-1"]


@pytest.mark.parametrize(
    ("before", "after", "path", "code"),
    [
        ("gloss-clear", "chrome", "rolls[0].film", "not_a_choice"),
        ("9.4", "-1", "rolls[0].left_m", "too_small"),
        ("9.4", ".inf", "rolls[0].left_m", "must_be_a_number"),
        ("1524", "20", "rolls[0].width_mm", "too_small"),
        ("O-3", "R-17", "rolls[1].id", "same_id_twice"),
        (", cost_per_m: 20.50", "", "rolls[1].width_mm", "width_without_cost"),
        ("left_m: 2.1", "left: 2.1", "rolls[1].left", "unknown_key"),
        ("rolls:", "film:", "rolls", "missing"),
        ("R-17", "{a: b}", "rolls[0].id", "must_be_text"),
    ],
)
def test_what_is_wrong_is_said_with_its_place(tmp_path: Path, before: str, after: str, path: str, code: str) -> None:
    with pytest.raises(InvalidData) as refused:
        load_film_stock(written(tmp_path, GOOD.replace(before, after, 1)), demo_shop().book)

    assert refused.value.file == "stock.yaml"
    assert (path, code) in {(fault.path, fault.code) for fault in refused.value.faults}
