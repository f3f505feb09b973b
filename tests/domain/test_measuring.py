"""Measurements as records: what they mean for the verdicts, and what can't be measured."""

from configurator.domain.measuring import LampReading, LayerReading, Measurement, measurable, measurement_faults
from configurator.domain.selection import LampFilm
from tests.domain.test_lamps import behind

TAIL = LampReading("tail_lamps", "tail", 6.0)


def test_a_measurement_says_what_the_verdicts_take() -> None:
    measured = Measurement((TAIL,), (LayerReading("tail_lamps", 0.7),), 0.8).measured()

    assert measured.lamp_cd == {("tail_lamps", "tail"): 6.0}
    assert measured.layers == {"tail_lamps": (0.7,)}
    assert measured.glass == 0.8


def test_only_functions_with_a_published_minimum_in_candela_are_worth_measuring() -> None:
    row = behind("tail_lamps", LampFilm.SMOKE_MEDIUM, 0.35)

    found = measurable([row])

    assert ("tail_lamps", "stop") in found
    assert not any("reflector" in function for _, function in found)


def test_what_the_car_has_no_film_on_is_not_measured() -> None:
    bare = behind("tail_lamps", LampFilm.NONE, 1.0)

    assert [fault.code for fault in measurement_faults(Measurement((TAIL,)), [bare])] == ["unknown_id"]
    assert [fault.path for fault in measurement_faults(Measurement(glass=0.7), [bare])] == ["glass"]
