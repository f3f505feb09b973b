"""Sending a request: whole or not at all, worked out again, once per key."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from configurator.domain.desk import LINK
from configurator.domain.light import LightStatus
from configurator.domain.review import CarWords, State
from configurator.errors import Fault, InvalidInput
from configurator.services.desk import Desk
from configurator.services.links import token_hash
from configurator.services.submitting import KeyReused, StaleEstimate, submit
from tests.desk_builders import NOON, a_draft, a_lamp, an_estimate
from tests.services.conftest import with_book

FORBIDDEN = LightStatus.FORBIDDEN_BY_PUBLISHED_RULE
MakeDesk = Callable[..., Desk]


def faults_of(draft: object, desk: Desk) -> list[tuple[str, str]]:
    with pytest.raises(InvalidInput) as refused:
        submit(draft, desk)  # type: ignore[arg-type]
    return [(fault.path, fault.code) for fault in refused.value.faults]


def kept_count(desk: Desk) -> int:
    with desk.store.reading() as work:
        return work.inbox.unopened()


def test_a_request_is_kept_with_its_history_and_its_link(desk: Desk) -> None:
    sent = submit(a_draft(), desk)

    with desk.store.reading() as work:
        kept = work.requests.by_link(token_hash(sent.token))
        history = work.requests.history(kept.id)
    assert kept.reference == sent.reference
    assert kept.reference.startswith("PFB-")
    assert kept.state is State.RECEIVED
    assert kept.contact.email == "Mara@ellison.example"
    assert kept.contact.phone == "+12025550123"
    assert [(event.kind, event.target) for event in history] == [("moved", State.RECEIVED)]


def test_the_token_is_nowhere_in_the_store(desk: Desk) -> None:
    sent = submit(a_draft(), desk)

    with desk.store.reading() as work:
        kept = work.requests.by_reference(sent.reference)
        mails = work.mails.latest(limit=10)
    assert sent.token not in repr(kept)
    assert all(sent.token not in mail.letter.text for mail in mails)


def test_the_visitor_gets_a_mail_with_the_link_and_the_shop_one_without_a_name(desk: Desk) -> None:
    sent = submit(a_draft(), desk)

    with desk.store.reading() as work:
        mails = {mail.kind: mail for mail in work.mails.latest(limit=10)}
    assert mails["request_received"].recipient == "Mara@ellison.example"
    assert LINK in mails["request_received"].letter.text
    assert sent.reference in mails["request_received"].letter.subject
    assert mails["new_request"].recipient == desk.book.shop.email
    assert "Ellison" not in mails["new_request"].letter.text
    assert LINK not in mails["new_request"].letter.text


def test_the_answer_is_promised_for_the_next_working_day(desk: Desk) -> None:
    """Received on Monday noon; Tuesday is closed in this desk's calendar, so it is Wednesday noon (EST, UTC-5)."""
    sent = submit(a_draft(), desk)

    with desk.store.reading() as work:
        kept = work.requests.by_reference(sent.reference)
    assert kept.answer_due == datetime(2027, 3, 10, 17, 0, tzinfo=UTC)


def test_everything_typed_is_checked_at_once(desk: Desk) -> None:
    draft = a_draft(
        contact=replace(a_draft().contact, name=" ", email="not an address", phone="12"),
        car=CarWords(description="x" * 201),
        dates=(date(2027, 3, 7),),
        notes="bell \x07",
    )

    assert faults_of(draft, desk) == [
        ("notes", "unreadable_text"),
        ("contact.name", "missing"),
        ("contact.email", "email_invalid"),
        ("contact.phone", "phone_invalid"),
        ("car.description", "text_too_long"),
        ("dates[0]", "date_past"),
    ]
    assert kept_count(desk) == 0


@pytest.mark.parametrize("address", ["a@b", "a b@c.example", "x@y.example\nBcc: z@z.example", "x@y.example, z@z.example", ""])
def test_an_address_that_could_reach_somebody_else_is_refused(desk: Desk, address: str) -> None:
    """Mail header injection: OWASP ASVS 5.0, 1.3.11."""
    assert [path for path, _ in faults_of(a_draft(contact=replace(a_draft().contact, email=address)), desk)] == ["contact.email"]


@pytest.mark.parametrize(
    ("typed", "country", "expected"),
    [("(202) 555-0123", "US", "+12025550123"), ("020 7946 0018", "GB", "+442079460018"), ("01 99 00 12 34", "FR", "+33199001234")],
)
def test_a_phone_is_kept_as_e164(desk: Desk, typed: str, country: str, expected: str) -> None:
    """ITU-T E.164 section 6: '+', country, number. The numbers are reserved for fiction (NANP 555-01xx, Ofcom's drama numbers, Arcep's)."""
    abroad = with_book(desk, shop=replace(desk.book.shop, country=country))
    sent = submit(a_draft(contact=replace(a_draft().contact, phone=typed)), abroad)

    with desk.store.reading() as work:
        assert work.requests.by_reference(sent.reference).contact.phone == expected


def test_an_extension_is_kept_apart_from_the_number(desk: Desk) -> None:
    """RFC 3966 section 3: `;ext=`; an extension is no part of E.164."""
    sent = submit(a_draft(contact=replace(a_draft().contact, phone="+1 202 555 0123 ext. 45")), desk)

    with desk.store.reading() as work:
        assert work.requests.by_reference(sent.reference).contact.phone == "+12025550123;ext=45"


def test_another_price_book_is_answered_with_the_fresh_estimate(desk: Desk) -> None:
    with pytest.raises(StaleEstimate) as refused:
        submit(a_draft(price_book="test-0"), desk)

    assert refused.value.fresh.price_book == "test-1"
    assert kept_count(desk) == 0


def test_what_a_lamp_needs_must_be_acknowledged(make_desk: MakeDesk) -> None:
    desk = make_desk(light=(a_lamp("tail_lamps"), a_lamp("headlamps", LightStatus.CHECK_LOCALLY)))

    assert faults_of(a_draft(), desk) == [("acknowledged", "acknowledgement_missing")]
    submit(a_draft(acknowledged=frozenset({"tail_lamps"})), desk)
    assert kept_count(desk) == 1


def test_only_what_needed_a_tick_is_kept_as_ticked(make_desk: MakeDesk) -> None:
    desk = make_desk(light=(a_lamp("tail_lamps"),))
    sent = submit(a_draft(acknowledged=frozenset({"tail_lamps", "headlamps", "anything"})), desk)

    with desk.store.reading() as work:
        assert work.requests.by_reference(sent.reference).acknowledged == {"tail_lamps"}


def test_a_forbidden_film_is_not_sold_whatever_is_ticked(make_desk: MakeDesk) -> None:
    desk = make_desk(light=(a_lamp("tail_lamps", FORBIDDEN), a_lamp("windshield", LightStatus.FORBIDDEN_BY_PUBLISHED_RULE)))
    draft = a_draft(acknowledged=frozenset({"tail_lamps", "windshield"}))

    assert faults_of(draft, desk) == [("selection.lamps.tail_lamps", "forbidden_not_sold"), ("selection.windshield", "forbidden_not_sold")]


def test_where_the_owner_sells_it_a_forbidden_film_needs_the_tick(make_desk: MakeDesk) -> None:
    desk = with_book(make_desk(light=(a_lamp("tail_lamps", FORBIDDEN),)), forbidden_films_sold_in=("us",))

    assert faults_of(a_draft(), desk) == [("acknowledged", "acknowledgement_missing")]
    submit(a_draft(acknowledged=frozenset({"tail_lamps"})), desk)


def test_nothing_chosen_is_no_request(make_desk: MakeDesk) -> None:
    desk = make_desk(reason="nothing_chosen", timeline=None)

    assert faults_of(a_draft(), desk) == [("selection", "nothing_chosen")]


def test_faults_of_the_selection_say_where_they_are(desk: Desk) -> None:
    def refuse(selection: object) -> object:
        raise InvalidInput([Fault("vehicle.size.length_mm", "too_small", {"least": 3000})])

    assert faults_of(a_draft(), replace(desk, estimate=refuse)) == [("selection.vehicle.size.length_mm", "too_small")]  # type: ignore[arg-type]


def test_the_same_key_and_content_answer_again_and_keep_nothing_new(desk: Desk) -> None:
    first = submit(a_draft(), desk, idempotency_key="form-1")
    again = submit(a_draft(), desk, idempotency_key="form-1")

    assert (again.reference, again.token, again.replayed) == (first.reference, first.token, True)
    assert kept_count(desk) == 1


def test_a_replay_is_answered_even_after_the_price_book_changed(make_desk: MakeDesk) -> None:
    first = submit(a_draft(), make_desk(), idempotency_key="form-1")
    again = submit(a_draft(), make_desk(price_book="test-2"), idempotency_key="form-1")

    assert again.reference == first.reference


def test_the_same_key_with_other_content_is_refused(desk: Desk) -> None:
    submit(a_draft(), desk, idempotency_key="form-1")

    with pytest.raises(KeyReused):
        submit(a_draft(notes="something else"), desk, idempotency_key="form-1")


def test_without_a_key_two_requests_are_two(desk: Desk) -> None:
    assert submit(a_draft(), desk).reference != submit(a_draft(), desk).reference
    assert kept_count(desk) == 2


def test_a_mail_that_cannot_be_written_keeps_no_request(desk: Desk) -> None:
    class Broken:
        def write(self, kind: str, locale: str, **facts: object) -> object:
            raise RuntimeError("no ink")

    with pytest.raises(RuntimeError):
        submit(a_draft(), replace(desk, letters=Broken()))  # type: ignore[arg-type]

    assert kept_count(desk) == 0


def test_the_estimate_of_the_server_is_the_one_that_is_kept(make_desk: MakeDesk) -> None:
    kept_price = an_estimate().price
    sent = submit(a_draft(), make_desk())

    with make_desk().store.reading() as work:
        kept = work.requests.by_reference(sent.reference)
    assert kept.estimate.price == kept_price
    assert kept.received_at == NOON
