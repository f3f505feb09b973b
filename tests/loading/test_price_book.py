"""A price book is taken whole or refused with every fault named by its path."""

import copy
import math
import re
from collections.abc import Iterator
from datetime import date, time
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from configurator.domain.body.records import EdgeKind
from configurator.domain.selection import LampFilm, Treatment
from configurator.errors import InvalidData
from configurator.loading.price_book import DEMO, demo_price_book, load_price_book, price_book_from
from configurator.loading.yaml_file import parse_yaml, read_yaml

DOCUMENT = read_yaml(DEMO)


@pytest.fixture
def document() -> Any:
    return copy.deepcopy(DOCUMENT)


def _faults(document: object) -> dict[str, str]:
    """path -> code of everything that was refused."""
    with pytest.raises(InvalidData) as refused:
        price_book_from(document, file="book.yaml")
    assert refused.value.file == "book.yaml"
    return {fault.path: fault.code for fault in refused.value.faults}


def _steps(path: str) -> list[str | int]:
    return [int(step) if step.isdigit() else step for step in re.findall(r"[^.\[\]]+", path)]


def _at(document: Any, path: str) -> tuple[Any, str | int]:
    """The container and key of a path."""
    *steps, last = _steps(path)
    for step in steps:
        document = document[step]
    return document, last


def _value_path(path: str) -> str:
    """Where a figure's own number stands: `value` of a single figure, the column of a row."""
    container, key = _at(DOCUMENT, path)
    return f"{path}.value" if isinstance(container[key], dict) else path


FIGURES = [_value_path(figure.path) for figure in demo_price_book().figures]
NUMBERS = [path for path in FIGURES if isinstance((place := _at(DOCUMENT, path))[0][place[1]], int | float)]


# -- the demo book


def test_demo_book_is_the_demo_shop() -> None:
    book = demo_price_book()
    assert (book.version, book.currency, book.shop.name) == ("demo-2027.1", "USD", "Pellwick Film Bay")
    assert book.rates.per_hour == {"installer": 110, "assembler": 115, "advisor": 60}
    assert (book.rates.minimum, book.rates.step, book.terms.respray_wait_days) == (250, 25, 45)
    assert book.time.film.edge_m[Treatment.HIDDEN][EdgeKind.GLASS] == 6.0
    assert book.hours.open[0].start == time(8, 30)
    assert book.hours.reference_drop_off == date(2027, 3, 8)


def test_demo_book_sells_every_lamp_grade_and_a_windshield_film() -> None:
    grades = {film.lamp_grade for film in demo_price_book().films.values() if film.kind == "lamp"}
    assert grades == set(LampFilm) - {LampFilm.NONE}
    assert demo_price_book().films["lamp-smoke-medium"].transmission == 0.35


def test_full_front_suggests_clear_headlamps_in_the_us_and_nothing_under_un_rules() -> None:
    full_front = demo_price_book().packages["full_front"]
    assert full_front.lamps_in("us") == {"headlamps": LampFilm.CLEAR}
    assert full_front.lamps_in("un") == {}


def test_every_figure_states_its_unit_and_its_reason() -> None:
    figures = demo_price_book().figures
    assert len(figures) > 250
    assert all(figure.unit and len(figure.why) > 5 for figure in figures)
    assert len({figure.path for figure in figures}) == len(figures)


def test_money_is_taken_over_digit_by_digit() -> None:
    assert demo_price_book().films["lamp-clear"].widest.cost_per_m == Decimal("45.75")
    assert demo_price_book().films["lamp-clear"].widest.cost_per_m2 == 75


# -- every single figure: all are broken at once, and each must be named


def _set_all(document: Any, paths: list[str], value: object) -> None:
    for path in paths:
        container, key = _at(document, path)
        container[key] = value


@pytest.mark.parametrize("wrong", ["12", True, None, math.nan, math.inf, -math.inf, [1]])
def test_a_figure_must_be_a_finite_number(document: Any, wrong: object) -> None:
    paths = [path for path in NUMBERS if not (wrong is None and path == "tax.rate.value")]
    _set_all(document, paths, wrong)
    faults = _faults(document)
    assert [path for path in paths if path not in faults] == []


def test_a_figure_is_never_below_zero(document: Any) -> None:
    paths = [path for path in NUMBERS if not re.search(r"allowance|k50|k90", path)]
    _set_all(document, paths, -1)
    faults = _faults(document)
    assert [path for path in paths if faults.get(path) != "too_small"] == []


def test_a_figure_that_is_missing_is_named(document: Any) -> None:
    for path in FIGURES:
        container, key = _at(document, path)
        del container[key]
    faults = _faults(document)
    assert [path for path in FIGURES if faults.get(path) != "missing"] == []


def _owners(document: Any, path: str = "") -> Iterator[str]:
    """Paths of everything that states a unit or a reason."""
    if isinstance(document, dict):
        if "why" in document:
            yield path
        for key, value in document.items():
            yield from _owners(value, f"{path}.{key}" if path else key)
    elif isinstance(document, list):
        for index, value in enumerate(document):
            yield from _owners(value, f"{path}[{index}]")


def test_unit_and_reason_are_required(document: Any) -> None:
    expected = {}
    for path in list(_owners(document)):
        container, key = _at(document, path)
        figure = container[key]
        figure["why"] = " "
        expected[f"{path}.why"] = "must_be_text"
        if "unit" in figure:
            figure["unit"] = "fortnight"
            expected[f"{path}.unit"] = "not_a_choice"
        figure["wherefore"] = 1
        expected[f"{path}.wherefore"] = "unknown_key"
    assert _faults(document) == expected


# -- what a value may be


@pytest.mark.parametrize(
    ("path", "value", "code"),
    [
        ("currency", "XYZ", "not_a_choice"),
        ("version", "", "must_be_text"),
        ("regions.default", "mars", "not_a_choice"),
        ("time.correlation.value", 1.5, "too_large"),
        ("time.film.spread.least", 1.2, "too_large"),
        ("time.film.spread.most", 0.9, "too_small"),
        ("parts.catalogue.badge.off", [5, 8], "not_three_times"),
        ("parts.catalogue.badge.off", [8, 5, 15], "times_out_of_order"),
        ("parts.catalogue.badge.role", "advisor", "not_a_choice"),
        ("parts.catalogue.badge.frees", "thin_air", "not_a_choice"),
        ("parts.units.off", "h", "not_a_choice"),
        ("films.gloss-black.colour", "black", "not_a_colour"),
        ("films.gloss-clear.rolls", {}, "must_be_a_list"),
        ("films.gloss-clear.kind", "wallpaper", "not_a_choice"),
        ("hours.time_zone", "America/Ostermere", "unknown_time_zone"),
        ("hours.open.monday", [["12:30", "08:30"]], "times_out_of_order"),
        ("hours.open.monday", [["08:30"]], "not_two_times"),
        ("hours.open.monday", [["8 o'clock", "12:30"]], "must_be_a_time"),
        ("hours.reference_drop_off", "2027-02-30", "must_be_a_date"),
        ("hours.bays.value", 0, "too_small"),
        ("hours.bays.value", 1.5, "must_be_whole"),
        ("packages.full_front.lamp_defaults.us.headlamps", "pink", "not_a_choice"),
        ("packages.track.discount.value", 0.95, "too_large"),
        ("terms.deposit.value", 1.5, "too_large"),
        ("time", None, "must_be_an_object"),
        ("films.gloss-clear.directional", "no", "must_be_true_or_false"),
    ],
)
def test_a_value_out_of_its_kind_is_refused(document: Any, path: str, value: object, code: str) -> None:
    container, key = _at(document, path)
    container[key] = value
    faults = _faults(document)
    assert code in [found for where, found in faults.items() if where.startswith(path)]


def test_all_faults_come_at_once(document: Any) -> None:
    document["currency"] = "dollars"
    document["rates"]["step"]["value"] = -5
    document["hours"]["people"][0]["weekdays"] = ["someday"]
    del document["terms"]
    faults = _faults(document)
    assert {"currency", "rates.step.value", "hours.people[0].weekdays[0]", "terms"} <= set(faults)


def test_a_document_that_is_no_mapping_is_refused() -> None:
    assert "must_be_an_object" in _faults(["a", "book"]).values()


# -- what must hold between values


@pytest.mark.parametrize(
    ("path", "value", "where", "code"),
    [
        ("time.k90.value", -0.5, "time.k90", "not_above"),
        ("time.film.edge_m.glass.wrapped", 9.0, "time.film.edge_m.glass", "edges_out_of_order"),
        ("cutting.allowance.lamp.hidden", 1, "cutting.allowance.lamp", "edges_out_of_order"),
        ("cutting.margin.value", 1, "cutting.allowance.glass.trimmed", "setback_beyond_margin"),
        ("rates.step.value", 0, "rates.step", "not_positive"),
        ("rates.step.value", 0.001, "rates.step", "not_in_currency_units"),
        ("rates.minimum.value", 260, "rates.minimum", "not_a_multiple_of_step"),
        ("tax.shown", "included", "tax.shown", "no_rate_for_included_tax"),
        ("films.gloss-clear.rolls", [], "films.gloss-clear.rolls", "no_rolls"),
        ("films.gloss-black.finish", "gloss", "films.gloss-black", "two_films_alike"),
        ("films.matte-clear.finish", "silk", "films", "no_film_for_finish"),
        ("films.lamp-clear.lamp_grade", "smoke_light", "films", "no_lamp_film"),
        ("parts.catalogue.headlamp.after", ["bonnet"], "parts.catalogue.headlamp.after", "unknown_part"),
        ("parts.catalogue.badge.after", ["headlamp"], "parts.catalogue.badge.after", "chain_of_parts"),
        ("hours.people[4].weekdays", ["sunday"], "hours.people", "nobody_for_role"),
        ("hours.people[4].name", "Wen Adair", "hours.people", "same_name_twice"),
        ("packages.full_front.panels", ["front_bumper"], "packages.full_front", "smaller_package_not_taken_in"),
        ("packages.track.lamp_defaults.us", {}, "packages.track", "smaller_package_not_taken_in"),
    ],
)
def test_contradictions_are_refused(document: Any, path: str, value: object, where: str, code: str) -> None:
    container, key = _at(document, path)
    container[key] = value
    assert (where, code) in _faults(document).items()


def test_a_deeper_strip_may_not_shrink_in_a_larger_package(document: Any) -> None:
    document["packages"]["full_front"]["panels"].remove("hood")
    document["packages"]["full_front"]["strips"] = {"hood": {"value": 500, "unit": "mm", "why": "Less than the partial front."}}
    assert _faults(document)["packages.full_front"] == "smaller_package_not_taken_in"


# -- the file


def test_a_missing_file_is_named(tmp_path: Path) -> None:
    with pytest.raises(InvalidData, match=r"nowhere.yaml.*unreadable_file"):
        load_price_book(tmp_path / "nowhere.yaml")


@pytest.mark.parametrize(
    "text",
    ["a: 1\na: 2", "a: [1", "a: &x 1\nb: *x", "!!python/object/apply:os.system ['true']", "a: \x00", b"a: \xff"],
)
def test_unsound_yaml_is_refused(text: str | bytes) -> None:
    content = text if isinstance(text, bytes) else text.encode()
    with pytest.raises(InvalidData, match=r"book.yaml.*not_yaml"):
        parse_yaml(content, file="book.yaml")
