"""Hypothesis strategies for crews, bundles of work, whole jobs and shops."""

from dataclasses import replace
from datetime import timedelta

from hypothesis import strategies as st

from configurator.domain.calendar import ShopCalendar
from configurator.domain.crew import Bundle, Task
from configurator.domain.price_book import Person
from configurator.domain.work import Kind, Operation, Role, Zone
from tests.work_builders import AFTERNOON, MONDAY, MORNING, ROBIN, operation, person, shop

ROLES = (Role.INSTALLER, Role.ASSEMBLER)
HANDS = st.sampled_from([("installer",), ("assembler",), ("installer", "assembler")])
HOUR = 3600


@st.composite
def crews(draw: st.DrawFn) -> list[Person]:
    """One to four people, in on any of the five days, with one role or both."""
    hands = draw(st.lists(st.tuples(HANDS, st.sets(st.integers(0, 4), min_size=1)), min_size=1, max_size=4))
    return [person(f"Person {index}", *roles, weekdays=sorted(days)) for index, (roles, days) in enumerate(hands)]


@st.composite
def bundles(draw: st.DrawFn) -> list[Bundle]:
    pairs = draw(st.lists(st.tuples(st.sampled_from(ROLES), st.integers(0, 14 * HOUR)), min_size=1, max_size=6))
    return [Bundle(role, (Task(f"task {index}", seconds),)) for index, (role, seconds) in enumerate(pairs)]


def limits_of(people: list[Person], installers_at_once: int) -> dict[Role, int]:
    limits = {role: max(1, sum(role in each.roles for each in people)) for role in Role}
    limits[Role.INSTALLER] = min(limits[Role.INSTALLER], installers_at_once)
    return limits


@st.composite
def shops(draw: st.DrawFn) -> ShopCalendar:
    """A shop in which every role is in on at least one open day; spans, breaks, days off and clocks vary."""
    people = [
        ROBIN,
        person("Keeper", "installer", "assembler", weekdays=sorted(draw(st.sets(st.integers(0, 4), min_size=1)))),
        *draw(crews()),
    ]
    off = draw(st.lists(st.integers(0, 30), max_size=4))
    people = [replace(each, days_off=tuple(MONDAY + timedelta(days=day) for day in off[:index])) for index, each in enumerate(people)]
    spans = draw(st.sampled_from([(MORNING, AFTERNOON), (MORNING,), ((MORNING[0], AFTERNOON[1]),)]))
    closed = draw(st.sets(st.integers(0, 40), max_size=6))
    return shop(
        people,
        [MONDAY + timedelta(days=day) for day in closed],
        spans=spans,
        installers_per_car=draw(st.integers(1, 3)),
        time_zone=draw(st.sampled_from(["America/New_York", "Europe/Berlin", "Australia/Sydney"])),
    )


MINUTES = st.integers(0, 300) | st.floats(0, 300)
KINDS_WITH_ZONES = (Kind.REMOVE_FILM, Kind.PARTS_OFF, Kind.FILM, Kind.LAMP, Kind.PARTS_ON)


@st.composite
def jobs(draw: st.DrawFn) -> list[Operation]:
    """A whole job; parts come off and go on by either role, some of them only after others (whoever does those)."""
    middle = [draw(_some(kind, index)) for index, kind in enumerate(draw(st.lists(st.sampled_from(KINDS_WITH_ZONES), max_size=12)))]
    middle.sort(key=lambda each: KINDS_WITH_ZONES.index(each.kind))
    linked = [replace(each, after=draw(_befores(each, middle[:index]))) for index, each in enumerate(middle)]
    corrected = [operation("correction", Kind.CORRECTION, draw(MINUTES))] if draw(st.booleans()) else []
    return [
        operation("check_in", Kind.CHECK_IN, draw(MINUTES), role=Role.ADVISOR),
        operation("wash", Kind.WASH, draw(MINUTES)),
        *linked,
        *corrected,
        operation("settle", Kind.SETTLE, 720, role=None),
        operation("inspect", Kind.INSPECT, draw(MINUTES)),
        operation("hand_over", Kind.HAND_OVER, draw(MINUTES), role=Role.ADVISOR),
    ]


@st.composite
def _some(draw: st.DrawFn, kind: Kind, index: int) -> Operation:
    role = draw(st.sampled_from(ROLES)) if kind in (Kind.PARTS_OFF, Kind.PARTS_ON) else Role.INSTALLER
    usual = draw(MINUTES)
    return operation(f"{kind}_{index}", kind, usual, role=role, zone=draw(st.sampled_from(Zone)), least=0.7 * usual, most=1.9 * usual)


@st.composite
def _befores(draw: st.DrawFn, this: Operation, earlier: list[Operation]) -> tuple[str, ...]:
    near = [each.id for each in earlier if each.kind is this.kind or this.kind in (Kind.FILM, Kind.PARTS_ON)]
    return tuple(draw(st.sets(st.sampled_from(near), max_size=2))) if near else ()


DROP_OFFS = st.integers(0, 25).map(lambda days: MONDAY + timedelta(days=days))
