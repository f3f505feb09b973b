"""What film leaves of a lamp's light, and the verdict at, above and below each limit."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from configurator.domain.lamps import (
    MARGIN,
    Measured,
    lamp_light,
    light_left,
    needs_acknowledging,
    not_sold,
    status_at,
    submission_faults,
    transmission_of,
)
from configurator.domain.light import LampLight, LightStatus
from configurator.domain.rules import Bound, Limit
from configurator.domain.selection import LAMP_GROUPS, LampFilm
from configurator.loading.light_rules import load_rule_sets
from configurator.loading.price_book import demo_price_book
from tests.domain.light_cases import a_book_with_film, a_scope, a_selection

CHECK, LIKELY, FORBIDDEN = LightStatus.CHECK_LOCALLY, LightStatus.LIKELY_NOT_ROAD_LEGAL, LightStatus.FORBIDDEN_BY_PUBLISHED_RULE
RULES = load_rule_sets()
shares = st.floats(min_value=0.01, max_value=1.0)


def behind(
    group: str, film: LampFilm, transmission: float, *, tolerance: float = 0.0, region: str = "us", measured: Measured | None = None
) -> LampLight:
    """One lamp group behind a film of the given transmission."""
    book = a_book_with_film("lamp", film, transmission, tolerance)
    lamps = {group: film}
    selection = a_selection(lamps=lamps, region=region)
    rows = lamp_light(a_scope(lamps=lamps), selection, RULES, book, measured or Measured())
    return next(row for row in rows if row.lamp == group)


def windshield(transmission: float, *, tolerance: float = 0.0, region: str = "us", glass: float | None = None) -> LampLight:
    book = a_book_with_film("windshield", LampFilm.CLEAR, transmission, tolerance)
    rows = lamp_light(a_scope(windshield=True), a_selection(region=region), RULES, book, Measured(glass=glass))
    return rows[-1]


# --- figures


def test_there_is_one_row_for_each_lamp_group_and_the_windshield() -> None:
    rows = lamp_light(a_scope(), a_selection(), RULES, demo_price_book())

    assert [row.lamp for row in rows] == [*LAMP_GROUPS, "windshield"]


def test_without_film_nothing_changes() -> None:
    rows = lamp_light(a_scope(), a_selection(), RULES, demo_price_book())

    assert {row.status for row in rows} == {LightStatus.NO_CHANGE}
    assert {row.transmission for row in rows} == {1.0}


def test_a_body_without_fog_lamps_has_no_row_for_them() -> None:
    selection = replace(a_selection(), lamps={"headlamps": LampFilm.NONE, "tail_lamps": LampFilm.NONE})

    rows = lamp_light(a_scope(), selection, RULES, demo_price_book())

    assert [row.lamp for row in rows] == ["headlamps", "tail_lamps", "windshield"]


def test_a_group_with_film_chosen_but_no_lamp_on_the_car_is_unchanged() -> None:
    rows = lamp_light(a_scope(), a_selection(lamps={"fog_lamps": LampFilm.SMOKE_DARK}), RULES, demo_price_book())

    assert {row.status for row in rows} == {LightStatus.NO_CHANGE}


def test_figures_are_nominal_and_the_verdict_is_taken_at_the_darker_end() -> None:
    """0.30 alone is near no true bound; 0.30 - 0.10 = 0.20 lies below the stop lamp's 0.2533."""
    nominal, darker = behind("tail_lamps", LampFilm.SMOKE_MEDIUM, 0.30), behind("tail_lamps", LampFilm.SMOKE_MEDIUM, 0.30, tolerance=0.10)

    assert (nominal.transmission, nominal.needs_times_minimum) == (darker.transmission, darker.needs_times_minimum)
    assert darker.transmission_darker == pytest.approx(0.20)
    assert (nominal.status, darker.status) == (LIKELY, FORBIDDEN)


def test_only_tail_lamps_are_taken_to_hold_a_reflector() -> None:
    assert behind("tail_lamps", LampFilm.SMOKE_LIGHT, 0.7).reflector == pytest.approx(0.49)
    assert behind("headlamps", LampFilm.SMOKE_LIGHT, 0.7).reflector is None


@given(st.lists(shares, max_size=5))
def test_another_layer_never_lets_more_light_through(layers: list[float]) -> None:
    assert transmission_of([*layers, 0.9]) <= transmission_of(layers)


@given(st.lists(shares, min_size=2, max_size=5))
def test_the_order_of_layers_does_not_matter(layers: list[float]) -> None:
    assert transmission_of(layers) == pytest.approx(transmission_of(reversed(layers)))


@given(shares)
def test_light_that_crosses_the_film_twice_is_squared(transmission: float) -> None:
    assert light_left(transmission, passes=2) == pytest.approx(transmission * transmission)


def test_a_film_that_is_already_on_the_lamp_multiplies() -> None:
    covered = behind("tail_lamps", LampFilm.CLEAR, 0.92, measured=Measured(layers={"tail_lamps": (0.35,)}))

    assert covered.transmission == pytest.approx(0.322)
    assert covered.status is LIKELY


# --- thresholds


@pytest.mark.parametrize(("bound", "below"), [(Bound.TRUE, FORBIDDEN), (Bound.PRACTICAL, LIKELY)])
@pytest.mark.parametrize("share", [0.1111, 0.2533, 0.5333])
def test_a_limit_speaks_only_when_it_is_missed_by_more_than_the_margin(bound: Bound, below: LightStatus, share: float) -> None:
    limit = [Limit(share, bound)]

    assert status_at(share + MARGIN, limit) is CHECK
    assert status_at(share, limit) is CHECK
    assert status_at(share - MARGIN, limit) is CHECK
    assert status_at(share - MARGIN - 0.001, limit) is below


def test_a_true_bound_outweighs_a_practical_one() -> None:
    limits = [Limit(0.2667, Bound.PRACTICAL), Limit(0.2533, Bound.TRUE)]

    assert [status_at(share, limits) for share in (0.27, 0.24, 0.20)] == [CHECK, LIKELY, FORBIDDEN]


def test_a_reflectors_limit_is_met_by_the_root_of_its_share() -> None:
    """A quarter of the light left after two passes is half of it after one."""
    limit = [Limit(0.25, Bound.PRACTICAL)]

    assert status_at(0.49, limit, passes=2) is CHECK
    assert status_at(0.47, limit, passes=2) is LIKELY


@given(st.floats(min_value=0.05, max_value=1.0), st.floats(min_value=0.05, max_value=1.0), st.sampled_from(sorted(RULES)))
def test_a_darker_film_never_earns_a_milder_status(one: float, other: float, region: str) -> None:
    darker, lighter = sorted((one, other))

    for group in ("tail_lamps", "headlamps"):
        dark = behind(group, LampFilm.SMOKE_MEDIUM, darker, region=region)
        assert dark.status.severity >= behind(group, LampFilm.SMOKE_MEDIUM, lighter, region=region).status.severity


@pytest.mark.parametrize("region", sorted(RULES))
def test_any_smoke_on_a_headlamp_is_likely_not_road_legal_at_least(region: str) -> None:
    assert behind("headlamps", LampFilm.SMOKE_LIGHT, 0.9, region=region).status.severity >= LIKELY.severity


@pytest.mark.parametrize("region", sorted(RULES))
@pytest.mark.parametrize("group", LAMP_GROUPS)
def test_clear_film_is_to_be_checked_locally_and_never_called_more(region: str, group: str) -> None:
    assert behind(group, LampFilm.CLEAR, 0.92, tolerance=0.03, region=region).status is CHECK


def test_the_demo_shops_smoke_grades_on_tail_lamps_in_the_united_states() -> None:
    book = demo_price_book()
    statuses = []
    for grade in (LampFilm.SMOKE_LIGHT, LampFilm.SMOKE_MEDIUM, LampFilm.SMOKE_DARK):
        lamps = {"tail_lamps": grade}
        rows = lamp_light(a_scope(lamps=lamps), a_selection(lamps=lamps), RULES, book)
        statuses.append(next(row.status for row in rows if row.lamp == "tail_lamps"))

    assert statuses == [CHECK, LIKELY, FORBIDDEN]


def test_where_no_rule_is_known_it_says_so_and_judges_nothing() -> None:
    row = behind("tail_lamps", LampFilm.SMOKE_DARK, 0.10, region="none")

    assert (row.status, row.functions) == (CHECK, ())
    assert [message.code for message in row.assumptions] == ["no_rule_known"]


def test_where_a_lamp_has_no_published_minimum_it_says_so() -> None:
    fog, tail = (behind(group, LampFilm.SMOKE_LIGHT, 0.70) for group in ("fog_lamps", "tail_lamps"))

    assert [(message.code, message.facts["lamp"]) for message in fog.assumptions] == [("no_minimum_known", "fog_lamps")]
    assert tail.assumptions == ()


def test_a_share_named_by_a_ban_is_a_true_bound() -> None:
    """Australia's ban on headlight covers under 85 per cent luminous transmittance."""
    assert behind("headlamps", LampFilm.CLEAR, 0.84, region="au").status is CHECK
    assert behind("headlamps", LampFilm.CLEAR, 0.82, region="au").status is FORBIDDEN


# --- measured lamps


def test_a_measured_lamp_shows_the_candela_that_are_left() -> None:
    row = behind("tail_lamps", LampFilm.SMOKE_MEDIUM, 0.35, measured=Measured(lamp_cd={("tail_lamps", "stop"): 300.0}))

    stop = next(function for function in row.functions if function.function == "stop")
    assert stop.left_cd == pytest.approx(105.0)
    assert stop.status is CHECK


def test_a_measured_lamp_that_falls_below_its_minimum_is_likely_not_road_legal() -> None:
    row = behind("tail_lamps", LampFilm.SMOKE_LIGHT, 0.70, measured=Measured(lamp_cd={("tail_lamps", "tail"): 2.5}))

    tail = next(function for function in row.functions if function.function == "tail")
    assert tail.left_cd == pytest.approx(1.75)
    assert (tail.status, row.status) == (LIKELY, LIKELY)


def test_a_point_that_its_group_may_make_up_for_fails_only_below_its_floor() -> None:
    """80 cd x 0.6 = 48 cd: a stop lamp measured at 100 cd may lose half, not six tenths."""
    measured = Measured(lamp_cd={("tail_lamps", "stop"): 100.0})
    half, more = (behind("tail_lamps", LampFilm.SMOKE_LIGHT, share, measured=measured) for share in (0.50, 0.40))

    assert [next(f.status for f in row.functions if f.function == "stop") for row in (half, more)] == [CHECK, LIKELY]


# --- windshield


def test_an_assumed_glass_gives_check_locally_at_best_and_is_named_as_an_assumption() -> None:
    row = windshield(0.99)

    assert row.status is CHECK
    assert [(message.code, message.facts["share"]) for message in row.assumptions] == [("glass_assumed", 0.76)]
    assert row.total == pytest.approx(0.76 * 0.99)


def test_a_measured_glass_decides_beyond_the_margin() -> None:
    assert windshield(0.98, glass=0.78).status is CHECK
    assert windshield(0.97, glass=0.72).status is CHECK
    assert windshield(0.90, glass=0.72).status is LIKELY
    assert windshield(0.98, glass=0.78).assumptions == ()


def test_a_film_too_dark_for_any_glass_is_likely_not_road_legal_even_with_an_assumed_glass() -> None:
    assert windshield(0.60).status is LIKELY


def test_where_a_rule_forbids_coating_the_windshield_the_film_does_not_matter() -> None:
    assert windshield(0.99, region="au").status is FORBIDDEN
    assert windshield(0.99, region="au", glass=0.90).status is FORBIDDEN


# --- sending


def test_grave_statuses_need_acknowledging_and_forbidden_ones_are_not_sold() -> None:
    light = [
        replace(behind("tail_lamps", LampFilm.SMOKE_MEDIUM, 0.35), lamp=lamp, status=status)
        for lamp, status in (("headlamps", CHECK), ("fog_lamps", LIKELY), ("tail_lamps", FORBIDDEN))
    ]

    assert needs_acknowledging(light) == ("fog_lamps", "tail_lamps")
    assert not_sold(light, "us", demo_price_book()) == ("tail_lamps",)


def test_a_tick_cannot_cure_what_a_published_rule_forbids() -> None:
    light = [behind("tail_lamps", LampFilm.SMOKE_DARK, 0.10)]

    faults = submission_faults(light, {"tail_lamps"}, "us", demo_price_book())

    assert [(fault.path, fault.code) for fault in faults] == [("selection.lamps.tail_lamps", "forbidden_not_sold")]


def test_where_the_owner_switched_it_on_the_acknowledgement_is_still_needed() -> None:
    light = [behind("tail_lamps", LampFilm.SMOKE_DARK, 0.10)]
    book = replace(demo_price_book(), forbidden_films_sold_in=("us",))

    assert [fault.code for fault in submission_faults(light, set(), "us", book)] == ["acknowledgement_missing"]
    assert submission_faults(light, {"tail_lamps"}, "us", book) == ()


def test_nothing_grave_needs_nothing() -> None:
    assert submission_faults([behind("headlamps", LampFilm.CLEAR, 0.92)], set(), "us", demo_price_book()) == ()
