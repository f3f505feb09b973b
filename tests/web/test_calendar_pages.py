"""The calendar and placing as people use them: pages, forms, refusals with ways out; the feed and the visitor's own file."""

import re
from datetime import UTC, datetime
from pathlib import Path

import pytest
from flask.testing import FlaskClient
from icalendar import Calendar

from configurator.domain.desk import VISITOR, Event
from configurator.domain.review import Actor, State
from configurator.services.access.people import add_person
from configurator.services.places import placing
from tests.booking_builders import ROBIN, at
from tests.web.desk_app import PASSWORD, Desk, form_token, make_desk, press

WEEK = "/staff/calendar?week=2027-W11"
MONDAY = {"day": "2027-03-15", "time": "08:30", "bay": "1"}


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return make_desk(tmp_path)


def accepted(desk: Desk, **changes: object) -> tuple[str, str]:
    """A request that its visitor has accepted: its reference and token."""
    reference, token = desk.send(**changes)
    with desk.wiring.store.writing() as work:
        kept = work.requests.by_reference(reference)
        assert kept is not None
        event = Event(at=desk.clock(), by=VISITOR, kind="moved", source=State.QUOTED, target=State.ACCEPTED)
        work.requests.move(kept, State.ACCEPTED, event)
    return reference, token


def scheduled(desk: Desk, start: str = "2027-03-15 08:30", bay: int = 1) -> tuple[str, str]:
    reference, token = accepted(desk)
    with desk.wiring.store.reading() as work:
        kept = work.requests.by_reference(reference)
    assert kept is not None
    placing.place(reference, kept.revision, placing.Choice(at(start), bay), ROBIN, desk.wiring.desk())
    return reference, token


def state_of(reference: str, desk: Desk) -> State:
    with desk.wiring.store.reading() as work:
        kept = work.requests.by_reference(reference)
    assert kept is not None
    return kept.state


def words(page: str) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page)).replace("\u202f", " ")


def test_an_empty_week_shows_bays_hands_and_closed_days(desk: Desk) -> None:
    page = desk.client("robin").get(WEEK)
    text = words(page.text)

    assert page.status_code == 200
    for said in ("Mar 15", "Mar 21", "Week 11, 2027", "Bay 1", "Bay 2", "Tomas Reyl, Wen Adair", "0 of 16.5 hr", "not in", "closed"):
        assert said in text, said


def test_a_public_holiday_is_told_apart_from_a_day_that_is_always_closed(desk: Desk) -> None:
    """Memorial Day 2027 is Monday, 31 May (5 U.S.C. 6103: the last Monday in May)."""
    text = words(desk.client("robin").get("/staff/calendar?week=2027-W22").text)

    assert text.count("public holiday") == 2, "in the week and in the list by day"
    assert text.count("closed") >= 4, "Saturday and Sunday"


@pytest.mark.parametrize("week", ["", "2027-W99", "2027-W00", "next", "9999-W52", "0001-W01", "0000-W01", "%00"])
def test_a_week_that_is_none_is_this_week(desk: Desk, week: str) -> None:
    page = desk.client("robin").get("/staff/calendar", query_string={"week": week})

    assert page.status_code == 200
    assert "<title>Calendar" in page.text


def test_jobs_stand_in_their_lanes_with_what_is_to_be_known(desk: Desk) -> None:
    reference, _ = scheduled(desk, bay=2)
    page = desk.client("robin").get(WEEK).text
    lane = page.partition('data-lane="2"')[2].partition("cal-row--hands")[0]

    for said in (reference, "Silver sedan", "Full front", "Mara Ellison", "cal-settle"):
        assert said in lane, said
    assert reference not in page.partition('data-lane="1"')[2].partition('data-lane="2"')[0]
    assert f"#job-{reference}{{--from:0.0;--span:" in page


def test_positions_stand_in_one_style_element_under_the_pages_nonce(desk: Desk) -> None:
    """The policy allows no inline style."""
    scheduled(desk)
    answer = desk.client("robin").get(WEEK)
    nonce = re.search(r'<style nonce="([^"]+)">', answer.text)

    assert nonce is not None
    assert f"'nonce-{nonce[1]}'" in answer.headers["Content-Security-Policy"]
    assert "unsafe-inline" not in answer.headers["Content-Security-Policy"]
    assert " style=" not in answer.text


def test_what_waits_is_offered_and_placed_on_a_proposed_opening(desk: Desk) -> None:
    reference, _ = accepted(desk)
    client = desk.client("robin")
    assert reference in client.get(WEEK).text
    page = client.get(f"/staff/requests/{reference}/place").text
    chosen = dict(re.findall(r'type="hidden" name="(day|time|bay)" value="([^"]+)"', page.partition('id="place-it"')[0]))
    answer = press(client, f"/staff/requests/{reference}/place", f"/staff/requests/{reference}/place", **chosen)

    assert set(chosen) == {"day", "time", "bay"}
    assert answer.status_code == 303
    assert answer.location.endswith(f"#job-{reference}")
    assert state_of(reference, desk) is State.SCHEDULED
    assert "Accepted: waiting" not in client.get(answer.location).text


def test_another_time_is_looked_at_first_and_then_placed(desk: Desk) -> None:
    reference, _ = accepted(desk)
    client, address = desk.client("robin"), f"/staff/requests/{reference}/place"
    page = client.get(address, query_string=MONDAY).text

    assert "It is free: bay and hands." in page
    assert 'class="cal-bar cal-bar--proposed' in page
    answer = press(client, address, address, **MONDAY)
    assert answer.status_code == 303
    history = words(client.get(f"/staff/requests/{reference}").text)
    assert "Accepted → Scheduled: bay 1, Mon, Mar 15, 8:30 AM" in history


def test_a_conflict_is_refused_with_why_and_ways_out(desk: Desk) -> None:
    first, _ = scheduled(desk)
    second, _ = accepted(desk)
    client, address = desk.client("robin"), f"/staff/requests/{second}/place"
    looked = client.get(address, query_string=MONDAY)
    answer = press(client, address, address, **MONDAY)
    text = words(answer.text)

    assert looked.status_code == 200
    assert answer.status_code == 409
    assert state_of(second, desk) is State.ACCEPTED
    for said in ("Nothing was placed.", f"Bay 1 is taken by {first} from Mon, Mar 15, 8:30 AM", "Ways out", "The next free place"):
        assert said in text, said
    assert 'class="cal-bar cal-bar--clash' in answer.text


def test_a_way_out_leads_out(desk: Desk) -> None:
    scheduled(desk)
    second, _ = accepted(desk)
    client, address = desk.client("robin"), f"/staff/requests/{second}/place"
    page = press(client, address, address, **MONDAY).text
    ways = page.partition("Ways out")[2]
    chosen = dict(re.findall(r'type="hidden" name="(day|time|bay)" value="([^"]+)"', ways.partition("</form>")[0]))

    assert press(client, address, address, **chosen).status_code == 303
    assert state_of(second, desk) is State.SCHEDULED


@pytest.mark.parametrize("day", ["0001-01-01", "9999-12-31", "2199-12-31", "2000-01-01"])
def test_the_ends_of_time_break_nothing(desk: Desk, day: str) -> None:
    reference, _ = accepted(desk)
    client, address = desk.client("robin"), f"/staff/requests/{reference}/place"
    looked = client.get(address, query_string={**MONDAY, "day": day})
    placed = press(client, address, address, **{**MONDAY, "day": day})
    blocked = press(client, WEEK, "/staff/calendar/block", **{"what": "person-Wen Adair", "from": day, "until": day, "reason": "x"})

    assert looked.status_code == 200
    assert placed.status_code in {409, 422}
    assert blocked.status_code in {303, 422}


@pytest.mark.parametrize("missing", ["day", "time"])
def test_a_form_without_a_time_says_so_beside_the_field(desk: Desk, missing: str) -> None:
    reference, _ = accepted(desk)
    client, address = desk.client("robin"), f"/staff/requests/{reference}/place"
    answer = press(client, address, address, **{**MONDAY, missing: "soon"})

    assert answer.status_code == 422
    assert f'id="{missing}-fault"' in answer.text


def test_an_appointment_is_moved_and_the_old_place_is_free(desk: Desk) -> None:
    reference, _ = scheduled(desk)
    client, address = desk.client("robin"), f"/staff/requests/{reference}/place"
    assert "This is its appointment now." in client.get(address).text
    answer = press(client, address, address, day="2027-03-17", time="10:00", bay="2")
    page = client.get(answer.location).text

    assert answer.status_code == 303
    assert reference in page.partition('data-lane="2"')[2]
    assert reference not in page.partition('data-lane="1"')[2].partition('data-lane="2"')[0]


def test_two_who_move_the_same_job_the_second_reads_that_somebody_was_faster(desk: Desk) -> None:
    reference, _ = scheduled(desk)
    client, address = desk.client("robin"), f"/staff/requests/{reference}/place"
    page = client.get(address).text
    hidden = dict(re.findall(r'name="(form_token|revision)" value="([^"]+)"', page))
    first = client.post(address, data={**hidden, "day": "2027-03-17", "time": "10:00", "bay": "2"})
    second = client.post(address, data={**hidden, "day": "2027-03-18", "time": "10:00", "bay": "2"})

    assert (first.status_code, second.status_code) == (303, 409)
    assert "Somebody was faster" in second.text


def test_a_no_show_and_a_cancellation_need_a_reason_and_free_the_place(desk: Desk) -> None:
    reference, _ = scheduled(desk)
    client, page = desk.client("robin"), f"/staff/requests/{reference}/place"
    refused = press(client, page, f"/staff/requests/{reference}/no-show", reason=" ")
    missed = press(client, page, f"/staff/requests/{reference}/no-show", reason="did not answer the phone")

    assert refused.status_code == 422
    assert 'id="no_show_reason-fault"' in refused.text
    assert missed.status_code == 303
    assert state_of(reference, desk) is State.ACCEPTED
    assert desk.wiring.shop.book.terms.cancellation in words(client.get(page).text).replace("&#39;", "'")
    cancelled = press(client, page, f"/staff/requests/{reference}/cancel", reason="sold the car")
    assert cancelled.status_code == 303
    assert state_of(reference, desk) is State.WITHDRAWN


def test_a_request_that_is_not_accepted_has_no_buttons_to_place_it(desk: Desk) -> None:
    reference, _ = desk.send()
    client, address = desk.client("robin"), f"/staff/requests/{reference}/place"
    page = client.get(address).text
    token = form_token(client.get("/staff/account").text)
    answer = client.post(address, data={"form_token": token, "revision": "1", **MONDAY})

    assert "A place is given to what is accepted" in page
    assert 'id="place-it"' not in page
    assert answer.status_code == 409


def test_a_request_that_the_price_book_no_longer_knows_says_so(desk: Desk) -> None:
    reference, _ = accepted(desk)
    with desk.wiring.store.writing() as work:
        kept = work.requests.by_reference(reference)
        assert kept is not None
        work.requests.change(kept, {"selection": {**kept.selection, "finish": {"default": "a_finish_of_yesterday", "panels": {}}}})
    client, address = desk.client("robin"), f"/staff/requests/{reference}/place"
    page = client.get(address).text.replace("&#39;", "'")

    assert "Today's price book no longer knows" in page
    assert 'id="place-it"' not in page
    assert press(client, address, address, revision="3", **MONDAY).status_code == 422
    assert client.get(f"/staff/requests/{reference}/work").status_code == 200


def test_a_bay_is_blocked_and_taken_back(desk: Desk) -> None:
    client = desk.client("robin")
    fields = {"what": "bay-2", "from": "2027-03-16", "until": "2027-03-16", "from_time": "08:30", "until_time": "12:30", "reason": "lift"}
    answer = press(client, WEEK, "/staff/calendar/block", week="2027-W11", **fields)
    page = client.get(WEEK).text
    block = re.search(r"/staff/calendar/unblock/(\d+)", page)

    assert answer.status_code == 303
    assert "cal-bar--blocked" in page.partition('data-lane="2"')[2].partition("cal-row--hands")[0]
    assert block is not None
    press(client, WEEK, block[0], week="2027-W11")
    assert "/staff/calendar/unblock/" not in client.get(WEEK).text


def test_somebody_who_is_away_lowers_the_hands_of_the_day(desk: Desk) -> None:
    client = desk.client("robin")
    fields = {"what": "person-Wen Adair", "from": "2027-03-16", "until": "2027-03-17", "reason": "course"}
    press(client, WEEK, "/staff/calendar/block", week="2027-W11", **fields)
    text = words(client.get(WEEK).text)

    assert text.count("0 of 8.3 hr") >= 2
    assert "not in: Wen Adair" in text


def test_blocked_time_over_booked_work_is_refused_with_what_was_typed(desk: Desk) -> None:
    reference, _ = scheduled(desk)
    client = desk.client("robin")
    bay = {"what": "bay-1", "from": "2027-03-15", "until": "2027-03-15", "reason": "lift service"}
    refused = press(client, WEEK, "/staff/calendar/block", week="2027-W11", **bay)
    ill = {"what": "person-Tomas Reyl", "from": "2027-03-15", "until": "2027-03-15", "reason": "ill"}
    asked = press(client, WEEK, "/staff/calendar/block", week="2027-W11", **ill)
    kept = press(client, WEEK, "/staff/calendar/block", week="2027-W11", **ill, anyway="yes")

    assert (refused.status_code, asked.status_code, kept.status_code) == (409, 409, 303)
    assert reference in refused.text
    assert 'value="lift service"' in refused.text
    assert 'name="anyway"' in asked.text
    assert 'name="anyway"' not in refused.text
    assert "too much" in words(client.get(WEEK).text)


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("what", "bay-x"),
        ("from", "soon"),
        ("until", ""),
        ("from_time", "noon"),
        ("reason", ""),
        ("what", "bay-9"),
        ("what", "person-Nobody"),
    ],
)
def test_a_block_that_makes_no_sense_is_told_at_its_field(desk: Desk, field: str, value: str) -> None:
    fields = {"what": "bay-2", "from": "2027-03-16", "until": "2027-03-16", "reason": "lift"}
    answer = press(desk.client("robin"), WEEK, "/staff/calendar/block", week="2027-W11", **{**fields, field: value})

    assert answer.status_code == 422
    assert f'id="{field}-fault"' in answer.text


def feed_address(client: FlaskClient) -> str:
    press(client, WEEK, "/staff/calendar/feed", week="2027-W11")
    found = re.search(r'value="http[^"]+(/calendar/[^"]+\.ics)"', client.get(WEEK).text)
    assert found is not None
    return found[1]


def test_the_feed_needs_no_cookie_sets_none_and_names_no_person(desk: Desk) -> None:
    reference, _ = scheduled(desk)
    address = feed_address(desk.client("robin"))
    answer = desk.client().get(address)
    (event,) = Calendar.from_ical(answer.text).walk("VEVENT")

    assert answer.content_type == "text/calendar; charset=utf-8"
    assert "Set-Cookie" not in answer.headers
    assert answer.headers["X-Robots-Tag"] == "noindex, nofollow"
    assert reference in str(event["SUMMARY"])
    assert "Ellison" not in answer.text
    assert desk.client().get(address, headers={"If-None-Match": answer.headers["ETag"]}).status_code == 304


def test_a_renewed_feed_leaves_the_old_address_dead(desk: Desk) -> None:
    client = desk.client("robin")
    old, new = feed_address(client), feed_address(client)
    press(client, WEEK, "/staff/calendar/feed/end", week="2027-W11")

    assert old != new
    assert [desk.client().get(address).status_code for address in (old, new)] == [404, 404]


def test_a_feed_is_rate_limited(desk: Desk) -> None:
    answers = [desk.client().get("/calendar/guess.ics").status_code for _ in range(61)]

    assert set(answers[:60]) == {404}
    assert answers[60] == 429


def test_the_visitor_sees_the_appointment_and_takes_it_into_a_calendar(desk: Desk) -> None:
    reference, token = scheduled(desk)
    page = desk.client().get(f"/r/{token}").text
    answer = desk.client().get(f"/r/{token}/appointment.ics")
    (event,) = Calendar.from_ical(answer.text).walk("VEVENT")

    assert "Monday, March 15, 2027" in page
    assert f"/r/{token}/appointment.ics" in page
    assert answer.headers["Content-Disposition"] == f'attachment; filename="{reference}.ics"'
    assert answer.headers["Cache-Control"] == "no-store"
    assert event["DTSTART"].dt == datetime(2027, 3, 15, 12, 30, tzinfo=UTC)


def test_a_place_that_is_only_held_is_shown_as_such_and_is_no_event_yet(desk: Desk) -> None:
    reference, token = accepted(desk)
    with desk.wiring.store.writing() as work:
        kept = work.requests.by_reference(reference)
        assert kept is not None
        placing.reserve(kept, placing.Choice(at("2027-03-15 08:30"), 1), desk.wiring.desk(), work)

    assert "We hold this place for you" in desk.client().get(f"/r/{token}").text
    assert desk.client().get(f"/r/{token}/appointment.ics").status_code == 404
    assert "holds bay 1" in words(desk.client("robin").get(WEEK).text)


@pytest.mark.parametrize("token", ["x", "x" * 24, "%00"])
def test_a_wrong_link_gives_no_appointment(desk: Desk, token: str) -> None:
    assert desk.client().get(f"/r/{token}/appointment.ics").status_code == 404


def test_openings_and_the_visitors_pages_go_round_what_is_booked(desk: Desk) -> None:
    query = "body=sedan&package=full_front"
    before = desk.client().get(f"/api/v1/openings?{query}").json["openings"][0]["drop_off"]
    day = before[:10]
    scheduled(desk, f"{day} 08:30", bay=1)
    after = desk.client().get(f"/api/v1/openings?{query}").json["openings"]
    page = desk.client().get(f"/configure?step=estimate&{query}").text

    assert after[0]["drop_off"] != before, "the first car takes both installers of that day"
    assert f'value="{day}"' not in page
    assert f'value="{after[0]["drop_off"][:10]}"' in page


def test_without_a_database_there_are_no_dates_but_an_estimate(desk: Desk, tmp_path: Path) -> None:
    (tmp_path / "shop.db").unlink()
    desk.wiring.store.engine.dispose()
    query = "body=sedan&package=full_front"

    assert desk.client().get(f"/configure?step=estimate&{query}").status_code == 200
    assert desk.client().get(f"/api/v1/openings?{query}").status_code == 503


def test_the_work_is_drawn_and_told_by_role(desk: Desk) -> None:
    reference, _ = scheduled(desk)
    page = desk.client("robin").get(f"/staff/requests/{reference}/work")
    text = words(page.text)

    assert "figure-work" in page.text
    for said in (
        "At its place in the calendar: from Mon, Mar 15, 8:30 AM",
        "Wash and decontaminate",
        "Film: Hood",
        "Tomas Reyl",
        "Hand-over",
    ):
        assert said in text, said
    late = words(desk.client("robin").get(f"/staff/requests/{reference}/work?case=late").text)
    assert late != text


def test_work_without_a_place_is_worked_out_for_the_day_that_was_wished(desk: Desk) -> None:
    reference, _ = desk.send()
    text = words(desk.client("robin").get(f"/staff/requests/{reference}/work").text)

    assert "It has no place yet; worked out as if the car came on Mon, Mar 15, 8:30 AM" in text


def test_who_speaks_german_reads_german(desk: Desk) -> None:
    reference, _ = scheduled(desk)
    add_person(
        email="uwe@film.example", name="Uwe", role=Actor.OWNER, password=PASSWORD, store=desk.wiring.store, now=desk.clock()
    )  # fmt: skip
    text = words(desk.client("uwe").get(f"{WEEK}&lang=de").text)

    assert "Platz 1" in text
    assert "Zeit sperren" in text
    assert reference in text


def test_a_car_that_should_have_left_is_marked_and_its_bay_is_not_given_away_today(desk: Desk) -> None:
    reference, _ = scheduled(desk)
    with desk.wiring.store.writing() as work:
        kept = work.requests.by_reference(reference)
        assert kept is not None
        work.requests.move(kept, State.IN_BAY, Event(at=desk.clock(), by=ROBIN, kind="moved", target=State.IN_BAY))
    other, _ = accepted(desk)
    desk.clock.now = at("2027-03-19 09:00")
    client = desk.client("robin")

    assert "should have left" in client.get(WEEK).text
    today = client.get(f"/staff/requests/{other}/place?day=2027-03-19&time=13:15&bay=1").text
    assert f"Bay 1 is taken by {reference}" in today
    assert "It is free: bay and hands." in client.get(f"/staff/requests/{other}/place?day=2027-03-19&time=13:15&bay=2").text
