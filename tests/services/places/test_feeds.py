"""The calendar's secret addresses: one for each person, renewed, ended, and dead with the account."""

from datetime import timedelta

import pytest
from icalendar import Calendar

from configurator.domain.appointments import Choice
from configurator.domain.review import Actor
from configurator.services.desk import Desk
from configurator.services.places import feeds
from configurator.services.places.placing import place
from tests.booking_builders import ROBIN, accept, at


def a_user(desk: Desk, role: Actor = Actor.ADVISOR, name: str = "robin") -> int:
    with desk.store.writing() as work:
        user = work.users.add(email=f"{name}@film.example", name=name, role=role, password_hash=None, now=desk.clock())
    return user.id


def test_there_is_no_address_until_somebody_makes_one(desk: Desk) -> None:
    assert feeds.token_of(a_user(desk), desk) is None
    assert feeds.read("", desk) is None
    assert feeds.read("x" * 24, desk) is None


def test_an_address_reads_the_bookings(desk: Desk) -> None:
    request = accept(desk.store)
    place(request.reference, request.revision, Choice(at("2027-03-15 08:30"), 2), ROBIN, desk)
    token = feeds.renew(a_user(desk), desk)
    text = feeds.read(token, desk)

    assert text is not None
    (found,) = Calendar.from_ical(text).walk("VEVENT")
    assert request.reference in str(found["SUMMARY"])
    assert found["DTSTART"].dt == at("2027-03-15 08:30")


def test_a_new_address_ends_the_old_one_and_is_shown_again(desk: Desk) -> None:
    user = a_user(desk)
    old, new = feeds.renew(user, desk), feeds.renew(user, desk)

    assert old != new
    assert len(new) == 24, "144 bits"
    assert feeds.read(old, desk) is None
    assert feeds.read(new, desk) is not None
    assert feeds.token_of(user, desk) == new


def test_the_database_holds_no_token(desk: Desk) -> None:
    """A stolen copy of it opens no feed."""
    token = feeds.renew(a_user(desk), desk)
    path = desk.store.url.removeprefix("sqlite:///")  # type: ignore[attr-defined]
    desk.store.engine.dispose()  # type: ignore[attr-defined]

    with open(path, "rb") as file:
        assert token.encode() not in file.read()


@pytest.mark.parametrize("change", [{"is_active": False}, {"role": "installer"}])
def test_an_address_dies_with_the_right_to_see_the_calendar(desk: Desk, change: dict[str, object]) -> None:
    user = a_user(desk)
    token = feeds.renew(user, desk)
    with desk.store.writing() as work:
        work.users.set(user, **change)

    assert feeds.read(token, desk) is None


def test_an_ended_address_opens_nothing(desk: Desk) -> None:
    user = a_user(desk)
    token = feeds.renew(user, desk)
    feeds.end(user, desk)

    assert feeds.read(token, desk) is None
    assert feeds.token_of(user, desk) is None


def test_a_feed_holds_the_last_month_and_the_next_year(desk: Desk, clock: object) -> None:
    request = accept(desk.store)
    place(request.reference, request.revision, Choice(at("2027-03-15 08:30"), 2), ROBIN, desk)
    token = feeds.renew(a_user(desk), desk)
    clock.now += timedelta(days=30)  # type: ignore[attr-defined]
    soon = feeds.read(token, desk)
    clock.now += timedelta(days=30)  # type: ignore[attr-defined]
    later = feeds.read(token, desk)

    assert soon is not None
    assert later is not None
    assert (request.reference in soon, request.reference in later) == (True, False)
