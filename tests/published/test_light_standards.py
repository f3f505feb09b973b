"""Worked examples of film over lamps and glass, from the figures of the standards.

Sources: 49 CFR 571.108 (FMVSS 108, 2025-10-01 edition; read in a secondary transcription), Tables VII, VIII, IX, XII, XV, XVIII,
XIX; UN R148 and R149 (00 series, secondary transcription); reflector minimum of FMVSS 108 Table XVI-a (from memory) and UN R3
Annex 7 (read in the text); glass: FMVSS 205 with ANSI/SAE Z26.1 Test 2 (70 %), SI 1986/1078 regulation 32 (75 %).
"""

from math import isclose

import pytest

from configurator.domain.lamps import light_left, status_at, transmission_of
from configurator.domain.light import LightStatus
from configurator.domain.rules import Bound, LampRule, Limit
from configurator.domain.selection import LampFilm
from configurator.loading.light_rules import load_rule_sets
from tests.domain.test_lamps import behind, windshield

RULES = load_rule_sets()
CHECK, LIKELY, FORBIDDEN = LightStatus.CHECK_LOCALLY, LightStatus.LIKELY_NOT_ROAD_LEGAL, LightStatus.FORBIDDEN_BY_PUBLISHED_RULE

POINTS = (
    *("5U-20L", "5D-20L", "10U-5L", "10D-5L", "5U-10L", "H-10L", "5D-10L", "5U-V", "H-5L", "H-V", "H-5R", "5D-V", "5U-10R", "H-10R"),
    *("5D-10R", "10U-5R", "10D-5R", "5U-20R", "5D-20R"),
)
GROUP_3 = ("5U-V", "H-5L", "H-V", "H-5R", "5D-V")
TAIL = dict(zip(POINTS, (0.3, 0.3, 0.4, 0.4, 0.8, 0.8, 0.8, 1.8, 2, 2, 2, 1.8, 0.8, 0.8, 0.8, 0.4, 0.4, 0.3, 0.3), strict=True))
STOP = dict(zip(POINTS, (10, 10, 16, 16, 30, 40, 30, 70, 80, 80, 80, 70, 30, 40, 30, 16, 16, 10, 10), strict=True))
"""FMVSS 108 Tables VIII and IX, one lighted section, minima in cd."""


def rule(region: str, function: str) -> LampRule:
    return next(rule for rule in RULES[region].lamps if rule.function == function)


def shares(region: str, function: str) -> dict[Bound, float]:
    return {limit.bound: limit.share for limit in rule(region, function).limits}


def test_group_minima_are_the_sums_of_their_points() -> None:
    """The tables print 9.6 and 380 cd for group 3."""
    assert sum(TAIL[point] for point in GROUP_3) == pytest.approx(9.6)
    assert sum(STOP[point] for point in GROUP_3) == 380
    assert shares("us", "stop")[Bound.TRUE] == pytest.approx(sum(STOP[point] for point in GROUP_3) / (5 * 300))


def test_w1_a_tail_lamp_behind_035_must_give_5714_cd_as_built() -> None:
    tail = next(function for function in behind("tail_lamps", LampFilm.SMOKE_MEDIUM, 0.35).functions if function.function == "tail")

    assert tail.as_built_minimum_cd == pytest.approx(5.714, abs=0.0005)
    assert 4.0 * light_left(0.35) == pytest.approx(1.40)
    assert 4.0 * light_left(0.35) < TAIL["H-V"] < 6.0 * light_left(0.35)


def test_w2_a_tail_lamp_at_its_maximum_has_a_practical_floor_of_one_ninth() -> None:
    assert shares("us", "tail") == {Bound.PRACTICAL: pytest.approx(0.1111, abs=0.00005)}


def test_w3_a_stop_lamp_has_a_practical_floor_and_a_strict_one_from_its_group() -> None:
    assert shares("us", "stop") == {Bound.PRACTICAL: pytest.approx(0.2667, abs=0.00005), Bound.TRUE: pytest.approx(0.2533, abs=0.00005)}
    assert 300 * light_left(0.35) == pytest.approx(105)
    assert 80 / light_left(0.35) == pytest.approx(228.6, abs=0.05)


def test_w4_a_high_mounted_stop_lamp_has_one_floor_by_point_and_by_group() -> None:
    assert shares("us", "stop_high_mounted") == {Bound.TRUE: 0.15625}
    assert 25 / 160 == 125 / (5 * 160) == 0.15625


def test_w5_an_amber_rear_turn_signal() -> None:
    assert shares("us", "turn_rear_amber") == {
        Bound.PRACTICAL: pytest.approx(0.1733, abs=0.00005),
        Bound.TRUE: pytest.approx(0.1627, abs=0.00005),
    }


def test_w6_a_backup_lamp_has_only_a_practical_floor() -> None:
    assert shares("us", "backup") == {Bound.PRACTICAL: pytest.approx(0.2667, abs=0.00005)}


def test_w7_a_lower_beam_behind_clear_085_must_give_17647_cd() -> None:
    beam = next(function for function in behind("headlamps", LampFilm.CLEAR, 0.85).functions if function.function == "lower_beam")

    assert beam.as_built_minimum_cd == pytest.approx(17_647, abs=0.5)


def test_w8_no_headlamp_behind_050_meets_the_upper_beam() -> None:
    assert shares("us", "upper_beam") == {Bound.TRUE: pytest.approx(0.5333, abs=0.00005)}
    assert behind("headlamps", LampFilm.SMOKE_MEDIUM, 0.50).status is FORBIDDEN


@pytest.mark.parametrize(
    ("function", "least", "most", "share"),
    [
        ("tail", 4, 17, 0.2353),
        ("stop", 60, 260, 0.2308),
        ("stop_high_mounted", 25, 110, 0.2273),
        ("turn_rear_amber", 50, 500, 0.1000),
        ("turn_front", 175, 1000, 0.175),
    ],
)
@pytest.mark.parametrize("region", ["un", "uk", "au", "jp"])
def test_w9_floors_of_the_un_regulations_are_true_bounds(region: str, function: str, least: float, most: float, share: float) -> None:
    asked = rule(region, function)

    assert (asked.minimum, asked.maximum) == (least, most)
    assert shares(region, function) == {Bound.TRUE: pytest.approx(share, abs=0.00005)}


def test_w10_a_red_reflector_behind_035_keeps_an_eighth() -> None:
    assert light_left(0.35, passes=2) == pytest.approx(0.1225)
    assert light_left(0.70, passes=2) == pytest.approx(0.49)
    assert 4.5 / light_left(0.35, passes=2) == pytest.approx(36.7, abs=0.05)


def test_w10_the_two_units_of_the_reflector_minimum_agree() -> None:
    """4.5 cd per foot-candle; 1 foot-candle = 10.764 lx (NIST SP 811): 418 mcd/lx, printed as 420."""
    assert rule("us", "reflector_red").minimum == pytest.approx(4.5 / 10.764 * 1000, rel=0.01)


def test_w11_two_layers_multiply() -> None:
    assert transmission_of((0.35, 0.92)) == pytest.approx(0.322)
    assert 2.0 / transmission_of((0.35, 0.92)) == pytest.approx(6.211, abs=0.0005)


@pytest.mark.parametrize("transmission", [0.05, 0.35, 0.92])
def test_w12_one_film_over_stop_and_tail_keeps_their_ratio(transmission: float) -> None:
    assert isclose(90 * light_left(transmission) / (15 * light_left(transmission)), 6.0)


def test_w13_a_single_point_may_fall_to_sixty_per_cent() -> None:
    assert rule("us", "stop").point_floor * STOP["H-V"] == pytest.approx(48)


def test_one_surface_of_polymer_reflects_four_per_cent() -> None:
    """Fresnel at normal incidence ((n - 1) / (n + 1))^2: a free film's data-sheet 0.35 is 0.380 laid on a lens of like index.

    The product keeps the data-sheet figure, the darker one.
    """
    reflected = ((1.5 - 1) / (1.5 + 1)) ** 2

    assert reflected == pytest.approx(0.0400)
    assert 0.35 / (1 - reflected) ** 2 == pytest.approx(0.380, abs=0.0005)


STACKS = [
    (0.78, 0.98, 0.7644, "pass", "pass"),
    (0.78, 0.90, 0.7020, "measure", "fail"),
    (0.75, 0.95, 0.7125, "measure", "fail"),
    (0.72, 0.97, 0.6984, "measure", "fail"),
    (0.715, 0.98, 0.7007, "measure", "fail"),
    (0.80, 0.70, 0.5600, "fail", "fail"),
    (0.70, 0.99, 0.6930, "measure", "fail"),
]
"""Glass, film, product, verdict at 70 % and at 75 %; within 0.02 of the limit only a measurement of the finished pane tells."""


@pytest.mark.parametrize(("glass", "film", "product", "at_70", "at_75"), STACKS)
def test_glass_and_film_multiply_against_the_least_of_the_region(glass: float, film: float, product: float, at_70: str, at_75: str) -> None:
    expected = {"pass": CHECK, "measure": CHECK, "fail": LIKELY}

    assert windshield(film, glass=glass).total == pytest.approx(product, abs=0.00005)
    assert windshield(film, glass=glass, region="us").status is expected[at_70]
    assert windshield(film, glass=glass, region="uk").status is expected[at_75]


@pytest.mark.parametrize(
    ("least", "glass", "film"),
    [
        *((0.70, *pair) for pair in ((0.72, 0.9722), (0.75, 0.9333), (0.78, 0.8974), (0.80, 0.8750), (0.82, 0.8537), (0.85, 0.8235))),
        *((0.75, *pair) for pair in ((0.76, 0.9868), (0.78, 0.9615), (0.80, 0.9375), (0.82, 0.9146), (0.85, 0.8824), (0.88, 0.8523))),
    ],
)
def test_the_darkest_film_that_still_gives_the_limit(least: float, glass: float, film: float) -> None:
    assert transmission_of((glass, film)) == pytest.approx(least, abs=0.00005)
    assert status_at(transmission_of((glass, film - 0.03)), [Limit(least, Bound.PRACTICAL)]) is LIKELY


def test_glass_minima_of_the_regions() -> None:
    """FMVSS 205: 70 %; SI 1986/1078 reg. 32: 75 % for windscreens; R43 01 series, ADR 8/01, Japan's article 29: 70 %."""
    minima = {region: rules.glass.minimum for region, rules in RULES.items() if rules.glass is not None}

    assert minima == {"us": 0.70, "ca": 0.70, "un": 0.70, "uk": 0.75, "au": 0.70, "jp": 0.70}


def test_the_rows_of_the_tail_lamp_name_what_the_contract_shows() -> None:
    """The contract's own example: a tail lamp behind 0.35 has 0.1225 for the reflector, needs 2.857 times its minimum, 2.0 cd."""
    row = behind("tail_lamps", LampFilm.SMOKE_MEDIUM, 0.35)

    assert (row.transmission, round(row.reflector or 0, 4), round(row.needs_times_minimum or 0, 3)) == (0.35, 0.1225, 2.857)
    assert next(function.minimum_cd for function in row.functions if function.function == "tail") == 2.0
    assert row.status is LIKELY
