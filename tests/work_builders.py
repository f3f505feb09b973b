"""Small made-up shops and jobs for tests of the calendar, the schedule and the openings."""

from collections.abc import Iterable, Sequence
from datetime import date, time
from typing import Any

from configurator.domain.calendar import ShopCalendar, calendar_of
from configurator.domain.price_book import Hours, OpeningSpan, Person
from configurator.domain.work import Kind, Operation, Role, Zone

MONDAY = date(2027, 3, 8)
WEEKDAYS = (0, 1, 2, 3, 4)
TUESDAY_AND_THURSDAY = (1, 3)
MORNING = (time(8, 30), time(12, 30))
AFTERNOON = (time(13, 15), time(17, 30))


def person(name: str, *roles: str, weekdays: Iterable[int] = WEEKDAYS, days_off: Iterable[date] = ()) -> Person:
    return Person(name, roles, tuple(weekdays), tuple(days_off))


ROBIN = person("Robin Hale", "advisor")
TOMAS = person("Tomas Reyl", "installer")
WEN = person("Wen Adair", "installer")
JOST = person("Jost Hamel", "assembler", weekdays=TUESDAY_AND_THURSDAY)


def hours(
    people: Sequence[Person] = (ROBIN, TOMAS, WEN, JOST),
    *,
    spans: Sequence[tuple[time, time]] = (MORNING, AFTERNOON),
    weekdays: Iterable[int] = WEEKDAYS,
    **changes: Any,
) -> Hours:
    """The demo shop's hours: Monday to Friday 08:30-12:30 and 13:15-17:30, two bays, at most two installers on a car."""
    values: dict[str, Any] = {
        "time_zone": "America/New_York",
        "open": tuple(OpeningSpan(day, start, end) for day in weekdays for start, end in spans),
        "holiday_country": "US",
        "holiday_subdivision": None,
        "closed": (),
        "bays": 2,
        "installers_per_car": 2,
        "people": tuple(people),
        "reference_drop_off": MONDAY,
    }
    return Hours(**{**values, **changes})


def shop(people: Sequence[Person] = (ROBIN, TOMAS, WEN, JOST), closed: Iterable[date] = (), **changes: Any) -> ShopCalendar:
    return calendar_of(hours(people, **changes), closed)


def operation(
    name: str,
    kind: Kind,
    minutes: float,
    *,
    role: Role | None = Role.INSTALLER,
    zone: Zone = Zone.ALL,
    after: Iterable[str] = (),
    least: float | None = None,
    most: float | None = None,
) -> Operation:
    """An operation that takes exactly `minutes`, unless it is given a spread."""
    low = minutes if least is None else least
    high = minutes if most is None else most
    return Operation(name, kind, None, role, zone, tuple(after), low, minutes, high)


def worked_example(front: float = 300) -> list[Operation]:
    """Check-in 20, wash 120, parts off 60 and 10, film front / left / right, parts on 75 and 10, settle 720, inspect 30, hand-over 20."""
    return [
        operation("check_in", Kind.CHECK_IN, 20, role=Role.ADVISOR),
        operation("wash", Kind.WASH, 120, after=["check_in"]),
        operation("bumper_off", Kind.PARTS_OFF, 60, role=Role.ASSEMBLER, zone=Zone.NOSE, after=["wash"]),
        operation("badge_off", Kind.PARTS_OFF, 10, zone=Zone.NOSE, after=["wash"]),
        operation("film_front", Kind.FILM, front, zone=Zone.NOSE, after=["bumper_off", "badge_off"]),
        operation("film_left", Kind.FILM, 90, zone=Zone.LEFT, after=["wash"]),
        operation("film_right", Kind.FILM, 90, zone=Zone.RIGHT, after=["wash"]),
        operation("bumper_on", Kind.PARTS_ON, 75, role=Role.ASSEMBLER, zone=Zone.NOSE, after=["film_front"]),
        operation("badge_on", Kind.PARTS_ON, 10, zone=Zone.NOSE, after=["film_front"]),
        operation("settle", Kind.SETTLE, 720, role=None, after=["film_front", "film_left", "film_right"]),
        operation("inspect", Kind.INSPECT, 30, after=["settle", "bumper_on", "badge_on"]),
        operation("hand_over", Kind.HAND_OVER, 20, role=Role.ADVISOR, after=["inspect"]),
    ]
