"""A shop is its price book with everything shipped beside it."""

import copy
from datetime import date
from pathlib import Path

import pytest
import yaml

from configurator.domain.estimating import estimate
from configurator.errors import InvalidData
from configurator.loading.price_book import DEMO
from configurator.loading.shop import load_shop
from configurator.loading.yaml_file import read_yaml
from tests.shops import STYLES, chosen, demo_shop


@pytest.fixture
def book_file(tmp_path: Path):
    """Writes a copy of the demo's book with changes, and gives its path."""

    def write(**changes: object) -> Path:
        document = copy.deepcopy(read_yaml(DEMO))
        path = tmp_path / "own.yaml"
        path.write_text(yaml.safe_dump({**document, **changes}), encoding="utf-8")
        return path

    return write


def test_the_demo_shop_knows_every_body_and_every_region() -> None:
    shop = demo_shop()
    assert set(shop.styles) == set(STYLES)
    assert set(shop.book.regions) <= set(shop.rules)


def test_public_holidays_close_the_demo_shop() -> None:
    """US federal holidays (5 USC 6103): Thanksgiving 2027 is the fourth Thursday of November, the 25th."""
    assert date(2027, 11, 25) in demo_shop().closed_days
    assert not demo_shop().calendar.is_open(date(2027, 11, 25))


def test_a_shop_may_have_a_book_of_its_own(book_file) -> None:
    shop = load_shop(book_file(version="own-1"))
    assert estimate(chosen("coupe", "full_front"), shop).price_book == "own-1"


def test_a_region_without_rules_is_refused_by_file_and_path(book_file) -> None:
    path = book_file(regions={"default": "us", "offered": ["us", "mars"], "forbidden_films_sold_in": []})
    with pytest.raises(InvalidData) as refused:
        load_shop(path)
    assert refused.value.file == "own.yaml"
    assert [(fault.path, fault.code) for fault in refused.value.faults] == [("regions.offered", "no_rules_for_region")]


def test_an_unknown_country_of_holidays_is_refused_by_file_and_path(book_file) -> None:
    hours = {**copy.deepcopy(read_yaml(DEMO))["hours"], "holiday_country": "Ostermere"}
    with pytest.raises(InvalidData) as refused:
        load_shop(book_file(hours=hours))
    assert refused.value.file == "own.yaml"
    assert [fault.path for fault in refused.value.faults] == ["hours.holiday_country"]
