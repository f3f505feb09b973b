"""The desk's work with a request: found, opened, taken, noted, declined; and two people at once."""

import re
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest

from configurator.domain.review import CarWords, Contact, State
from configurator.services.mail.sending import send_due
from configurator.wire.selection import load_selection
from tests.desk_builders import a_new_request
from tests.web.desk_app import Desk, form_token, later, make_desk, press, revision


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return make_desk(tmp_path)


def state_of(desk: Desk, reference: str) -> State:
    with desk.wiring.store.reading() as work:
        found = work.requests.by_reference(reference)
    assert found is not None
    return found.state


def test_a_new_request_is_unread_until_it_is_opened(desk: Desk) -> None:
    reference, _ = desk.send()
    client = desk.client("robin")
    before = client.get("/staff/inbox").text
    opened = client.get(f"/staff/requests/{reference}").text
    after = client.get("/staff/inbox").text

    assert "unread" in before
    assert "Robin Tester</b> opened it first" in opened
    assert "dk-row--new" not in after


def test_looking_at_the_preview_is_not_opening(desk: Desk) -> None:
    reference, _ = desk.send()
    client = desk.client("robin")

    assert "Mara Ellison" in client.get(f"/staff/inbox/{reference}").text
    assert "dk-row--new" in client.get("/staff/inbox").text


def test_the_page_says_what_was_sent(desk: Desk) -> None:
    reference, _ = desk.send(car=CarWords("Silver <b>sedan</b>", "silver", "ABC 123", "scratch & dent"))
    text = desk.client("robin").get(f"/staff/requests/{reference}").text

    for said in ("Mara Ellison", "mara@ellison.example", "+1 202-555-0123", "ABC 123", "Please call before noon.", "scratch &amp; dent"):
        assert said in text
    assert "Front bumper" in text
    assert "<b>sedan</b>" not in text
    assert text.count('class="car-drawing') == 1


@pytest.mark.parametrize("asked", ["ellison", "MARA", "mara@ell", "555-0123", "abc123", "sedan", "silver mara"])
def test_it_is_found_by_what_people_remember(desk: Desk, asked: str) -> None:
    reference, _ = desk.send()
    desk.send(contact=Contact("Bennet Other", "bennet@other.example"), car=CarWords(), selection=load_selection(COUPE))
    text = desk.client("robin").get("/staff/inbox", query_string={"q": asked}).text

    assert reference in text
    assert "Bennet" not in text


COUPE = {"version": 1, "vehicle": {"body": "coupe"}, "coverage": {"package": "partial_front"}}


def test_it_is_found_by_any_writing_of_its_reference(desk: Desk) -> None:
    reference, _ = desk.send()
    client = desk.client("robin")

    for asked in (reference, reference.lower(), reference.replace("-", ""), reference.split("-")[1]):
        assert reference in client.get("/staff/inbox", query_string={"q": asked}).text


def test_taking_it_starts_the_review_and_is_written_down(desk: Desk) -> None:
    reference, _ = desk.send()
    client = desk.client("robin")
    page = f"/staff/requests/{reference}"
    taken = press(client, page, f"{page}/take")

    assert taken.status_code == 303
    assert state_of(desk, reference) is State.IN_REVIEW
    text = client.get(page).text
    assert "Received → In review" in text
    assert "gave it to Robin Tester" in text
    assert "Robin Tester" in client.get("/staff/inbox?view=mine").text


def test_the_slower_of_two_is_told_what_the_faster_did(desk: Desk) -> None:
    reference, _ = desk.send()
    robin, ines = desk.client("robin"), desk.client("ines")
    page = f"/staff/requests/{reference}"
    text = ines.get(page).text
    press(robin, page, f"{page}/take")
    slow = ines.post(f"{page}/decline", data={"form_token": form_token(text), "revision": revision(text), "reason": "We are full."})

    assert slow.status_code == 409
    assert "Robin Tester" in slow.text
    assert "We are full." in slow.text, "what was typed is given back"
    assert state_of(desk, reference) is State.IN_REVIEW


def test_a_note_never_collides(desk: Desk) -> None:
    reference, _ = desk.send()
    robin, ines = desk.client("robin"), desk.client("ines")
    page = f"/staff/requests/{reference}"
    token = form_token(ines.get(page).text)
    press(robin, page, f"{page}/take")

    assert ines.post(f"{page}/note", data={"form_token": token, "note": "Called, no answer."}).status_code == 303
    assert "Called, no answer." in robin.get(page).text


@pytest.mark.parametrize(("field", "action"), [("note", "note"), ("reason", "decline")])
def test_an_empty_text_is_asked_for_beside_its_field(desk: Desk, field: str, action: str) -> None:
    reference, _ = desk.send()
    page = f"/staff/requests/{reference}"
    refused = press(desk.client("robin"), page, f"{page}/{action}", **{field: "   "})

    assert refused.status_code == 422
    assert f'id="{field}-fault"' in refused.text
    assert state_of(desk, reference) is State.RECEIVED


def test_declining_tells_the_visitor_why(desk: Desk) -> None:
    reference, token = desk.send()
    page = f"/staff/requests/{reference}"
    press(desk.client("robin"), page, f"{page}/decline", reason="We don't do matte paint.")

    assert state_of(desk, reference) is State.DECLINED
    assert "We don&#39;t do matte paint." in desk.client().get(f"/r/{token}").text
    with desk.wiring.store.reading() as work:
        mail = next(mail for mail in work.mails.latest(limit=9) if mail.kind == "request_declined")
    assert mail.recipient == "mara@ellison.example"
    assert "We don't do matte paint." in mail.letter.text


def test_a_closed_request_can_only_be_read(desk: Desk) -> None:
    reference, _ = desk.send()
    client = desk.client("robin")
    page = f"/staff/requests/{reference}"
    press(client, page, f"{page}/decline", reason="No.")
    again = press(client, page, f"{page}/decline", reason="No again.")

    assert again.status_code == 409
    assert "It is closed." in again.text
    assert "/take" not in client.get(page).text


def test_it_can_be_given_to_somebody_else(desk: Desk) -> None:
    reference, _ = desk.send()
    page = f"/staff/requests/{reference}"
    client = desk.client("robin")
    with desk.wiring.store.reading() as work:
        ines = next(one for one in work.users.all() if one.name == "Ines Tester")
    press(client, page, f"{page}/hand-to", to=str(ines.id))

    assert "Ines Tester" in desk.client("ines").get("/staff/inbox?view=mine").text
    assert press(client, page, f"{page}/hand-to", to="987654").status_code in {422, 404}


def test_late_answers_are_marked(desk: Desk) -> None:
    desk.send()
    client = desk.client("robin")
    later(desk, days=1, hours=1)
    late = desk.client("robin").get("/staff/inbox").text

    assert "late" in late
    assert client is not None


def test_more_than_a_page_is_paged_without_a_gap_or_a_double(desk: Desk) -> None:
    with desk.wiring.store.writing() as work:
        for number in range(123):
            work.requests.add(a_new_request(number))
    client = desk.client("robin")
    seen: list[str] = []
    address: str | None = "/staff/inbox"
    while address:
        text = client.get(address).text
        seen += re.findall(r'data-row="(TST-\d+)"', text)
        more = re.search(r'href="([^"]*after=[^"]*)" rel="next"', text)
        address = more[1].replace("&amp;", "&") if more else None

    assert len(seen) == 123
    assert seen == sorted(seen, reverse=True)


STRANGE = ["after=xx", "after=W10", "view=nonsense", "body=<x>", "sort=%00", "q=%00", "q=" + "%F0%9F%98%80" * 40, "row=../../x"]


@pytest.mark.parametrize("query", STRANGE)
def test_a_strange_address_shows_the_list(desk: Desk, query: str) -> None:
    desk.send()

    assert desk.client("robin").get(f"/staff/inbox?{query}").status_code == 200


@pytest.mark.parametrize("reference", ["PFB-NONE", "x" * 300, "%00", "..%2F..", "😀"])
def test_an_unknown_reference_is_a_page_of_its_own(desk: Desk, reference: str) -> None:
    answer = desk.client("robin").get(f"/staff/requests/{reference}")

    assert answer.status_code == 404
    assert "Traceback" not in answer.text


def test_the_mail_page_shows_what_went_out(desk: Desk) -> None:
    reference, token = desk.send()
    client = desk.client("robin")
    send_due(desk.wiring.post_room)
    listed = client.get("/staff/mail").text

    assert f"Your request {reference} at Pellwick Film Bay" in listed
    assert "mara@ellison.example" in listed
    assert "No mail server is set" in listed
    first = client.get("/staff/mail/1").text
    assert f"/r/{token}" in first
    assert client.get("/staff/mail/999").status_code == 404


def test_a_request_in_another_language_is_answered_in_it(desk: Desk) -> None:
    contact = replace(Contact("Odile Marchetti", "odile@marchetti.example"), language="de")
    reference, token = desk.send(contact=contact, dates=(date(2027, 3, 15),))

    page = desk.client().get(f"/r/{token}").text
    assert 'lang="de"' in page
    assert reference in page


def test_a_filter_by_person_and_by_nobody(desk: Desk) -> None:
    mine, nobodys = desk.send()[0], desk.send()[0]
    client = desk.client("robin")
    press(client, f"/staff/requests/{mine}", f"/staff/requests/{mine}/take")
    with desk.wiring.store.reading() as work:
        robin = next(one.id for one in work.users.all() if one.name == "Robin Tester")
    hers, free = (client.get(f"/staff/inbox?whose={whose}").text for whose in (robin, 0))

    assert f'data-row="{mine}"' in hers
    assert f'data-row="{nobodys}"' not in hers
    assert f'data-row="{nobodys}"' in free
    assert f'data-row="{mine}"' not in free
    assert "Only what Robin Tester has." in hers


def test_news_count_what_came_in_since_and_keep_no_session_alive(desk: Desk) -> None:
    desk.send()
    client = desk.client("robin")
    found = re.search(r'data-after="(\d+)"', client.get("/staff/inbox").text)
    assert found
    quiet = client.get(f"/staff/inbox/news.json?after={found[1]}").json
    desk.send()
    desk.send()
    told = client.get(f"/staff/inbox/news.json?after={found[1]}").json

    assert quiet == {"arrived": 0, "text": "", "unread": 1}
    assert told == {"arrived": 2, "text": "2 new requests have come in.", "unread": 3}
    for _ in range(13):
        later(desk, minutes=10)
        answer = client.get(f"/staff/inbox/news.json?after={found[1]}")
    assert answer.status_code == 303, "after two hours of nothing but the page's own questions the session is over"


@pytest.mark.parametrize("after", ["", "x", "-1", "9" * 30, "1.5"])
def test_strange_news_are_answered(desk: Desk, after: str) -> None:
    desk.send()

    assert desk.client("robin").get("/staff/inbox/news.json", query_string={"after": after}).json["arrived"] == 1


def test_an_empty_inbox_says_why_and_proves_that_it_works(desk: Desk) -> None:
    client = desk.client("robin")
    first = client.get("/staff/inbox").text
    with desk.wiring.store.writing() as work:
        work.sites.note("https://pellwick.example", turned_away=False, now=desk.clock.now)
    later(desk, minutes=5)
    seen = client.get("/staff/inbox").text
    send_due(desk.wiring.post_room)
    with_worker = client.get("/staff/inbox").text
    reference, _ = desk.send()
    press(client, f"/staff/requests/{reference}", f"/staff/requests/{reference}/decline", reason="No.")
    later_on = client.get("/staff/inbox").text

    assert "No visitor has sent anything yet." in first
    assert re.search(r"The configurator works. Tried just now: \w+, Full front, \$[\d,]+ – \$[\d,]+\.", first)
    assert "the outbox worker is silent" in first
    assert "Mail is written into a folder" in with_worker
    assert "Last seen by a visitor" not in first
    assert "Last seen by a visitor on https://pellwick.example (5 min)." in seen
    assert "Every request has an answer." in later_on


def test_a_quote_that_runs_out_says_so_in_the_list(desk: Desk) -> None:
    with desk.wiring.store.writing() as work:
        for number, hours in enumerate((20, 60, 200)):
            kept = work.requests.add(a_new_request(number))
            work.requests.change(kept, {"state": "quoted", "desk_rank": 3, "quote_expires_at": desk.clock.now + timedelta(hours=hours)})
    client = desk.client("robin")
    text = client.get("/staff/inbox?view=running_out").text

    assert 'class="dk-late">runs out in 20 hr' in text
    assert "runs out in 2 days" in text
    assert "TST-00002" not in text, "there is more than a week left"
