"""The records of rules: what they include, and how a source is printed."""

import pytest

from configurator.domain.rules import Citation, Films, Known, LampRule, RuleSet
from configurator.domain.selection import LampFilm

CITATION = Citation("FMVSS 108 (49 CFR 571.108)", "Table VIII", "2025-10-01", Known.TRANSCRIPTION)


def test_a_citation_prints_standard_place_and_date() -> None:
    assert str(CITATION) == "FMVSS 108 (49 CFR 571.108), Table VIII (2025-10-01)"


@pytest.mark.parametrize(
    ("films", "included"),
    [
        (Films.ANY, {LampFilm.CLEAR, LampFilm.SMOKE_LIGHT, LampFilm.SMOKE_MEDIUM, LampFilm.SMOKE_DARK}),
        (Films.SMOKE, {LampFilm.SMOKE_LIGHT, LampFilm.SMOKE_MEDIUM, LampFilm.SMOKE_DARK}),
    ],
)
def test_a_rule_about_covers_speaks_of_some_films_and_never_of_none(films: Films, included: set[LampFilm]) -> None:
    assert {film for film in LampFilm if films.include(film)} == included


def test_a_rule_whose_light_crosses_twice_is_a_reflectors() -> None:
    twice, once = (LampRule("tail_lamps", "any", 420.0, None, (), CITATION, passes=passes) for passes in (2, 1))

    assert (twice.reflects, once.reflects) == (True, False)


def test_an_empty_rule_set_knows_nothing() -> None:
    assert RuleSet("none", 0.76).knows_nothing
    assert not RuleSet("us", 0.76, lamps=(LampRule("tail_lamps", "tail", 2.0, 18.0, (), CITATION),)).knows_nothing
