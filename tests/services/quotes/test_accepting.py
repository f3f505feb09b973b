"""The customer's answer: accepted once, while it holds, with name, ticks and a place; or declined with a reason; or the clock's."""

from datetime import timedelta

import pytest

from configurator.domain.desk import Person
from configurator.domain.review import State
from configurator.services import reviewing
from configurator.services.desk import Desk
from configurator.services.places.placing import PlaceTaken
from configurator.services.quotes import accepting, quoting, rescoping
from configurator.services.quotes.accepting import ANOTHER_DAY, AlreadyAccepted, NoQuote, QuoteChanged, QuoteExpired, agreement_of
from configurator.services.quotes.expiring import expire_due, expire_if_due
from tests.quote_builders import faults_of, mails, offer, quoted, send, settle_all, stands, taken, yes
from tests.services.conftest import Clock
from tests.shops import chosen


def test_accepting_keeps_who_when_which_version_and_every_word(desk: Desk, robin: Person, clock: Clock) -> None:
    reference, token, quote = quoted(desk, robin)
    clock.now += timedelta(hours=3)
    accepting.accept(token, yes(quote, name="  Mara  Ellison "), desk)
    request = stands(reference, desk)
    with desk.store.reading() as work:
        kept = work.quotes.current(request.id)
        booking = work.bookings.of(request)
        moved = work.requests.history(request.id)[-1]

    assert request.state is State.ACCEPTED
    assert kept is not None
    assert kept.accepted_at == clock.now
    assert kept.acceptance is not None
    assert (kept.acceptance.name, kept.acceptance.drop_off) == ("Mara  Ellison", quote.content.offers[0].drop_off)
    assert kept.acceptance.button == "Accept this quote"
    assert "drop-off" in kept.acceptance.terms
    assert set(kept.acceptance.consents) == {"terms"}
    assert kept.acceptance.consents["terms"].startswith("I have read")
    assert (moved.target, moved.facts["version"]) == (State.ACCEPTED, 1)
    assert booking is not None
    assert booking.holds
    assert booking.place.drop_off == quote.content.offers[0].drop_off
    assert {"quote_accepted", "quote_accepted_shop"} <= set(mails(reference, desk))


def test_the_regions_own_wording_is_shown_and_kept(desk: Desk, robin: Person) -> None:
    """Directive 2011/83/EU: article 8(2), the button says that there is something to pay; article 9, 14 days to withdraw."""
    selection = chosen("sedan", "full_front", region="un")
    reference, token, quote = quoted(desk, robin, selection=selection)
    accepting.accept(token, yes(quote), desk)
    with desk.store.reading() as work:
        kept = work.quotes.current(stands(reference, desk).id)

    assert kept is not None
    assert kept.acceptance is not None
    assert kept.acceptance.button == "Order with obligation to pay"
    assert "14 days" in kept.acceptance.withdrawal


def test_name_ticks_and_a_date_are_asked_for(desk: Desk, robin: Person) -> None:
    reference, token, quote = quoted(desk, robin)
    bare = yes(quote, name=" ", drop_off="", consents=frozenset())

    assert faults_of(lambda: accepting.accept(token, bare, desk)) == [
        ("name", "missing"),
        ("consent.terms", "must_be_ticked"),
        ("drop_off", "pick_a_date"),
    ]
    assert faults_of(lambda: accepting.accept(token, yes(quote, drop_off="2027-04-01T08:30:00-04:00"), desk)) == [
        ("drop_off", "pick_a_date")
    ]
    assert stands(reference, desk).state is State.QUOTED


def test_when_no_date_fits_nothing_is_held(desk: Desk, robin: Person) -> None:
    reference, token, quote = quoted(desk, robin)
    accepting.accept(token, yes(quote, drop_off=ANOTHER_DAY), desk)
    with desk.store.reading() as work:
        assert work.bookings.of(stands(reference, desk)) is None
        letter = next(mail.letter.text for mail in work.mails.about(stands(reference, desk).id) if mail.kind == "quote_accepted_shop")

    assert stands(reference, desk).state is State.ACCEPTED
    assert "No date was chosen" in letter


def test_a_lamp_that_the_desk_made_darker_is_confirmed_when_accepting(desk: Desk, robin: Person) -> None:
    reference, token = taken(desk, robin, selection=chosen("coupe", "full_front"))
    smoked = chosen("coupe", "full_front", lamps={"tail_lamps": "smoke_medium"})
    rescoping.rescope(reference, stands(reference, desk).revision, smoked, "Asked for on the phone.", robin, desk)
    settle_all(reference, robin, desk)
    quote = send(reference, robin, desk)

    assert quote.content.to_acknowledge == ("tail_lamps",)
    assert "off-road or show use" in agreement_of(quote).acknowledge["tail_lamps"]
    assert faults_of(lambda: accepting.accept(token, yes(quote, acknowledged=frozenset()), desk)) == [("ack.tail_lamps", "must_be_ticked")]
    accepting.accept(token, yes(quote), desk)
    with desk.store.reading() as work:
        kept = work.quotes.current(stands(reference, desk).id)
    assert kept is not None
    assert kept.acceptance is not None
    assert "Tail lamps" in kept.acceptance.acknowledged["tail_lamps"]
    assert "tail_lamps" in stands(reference, desk).acknowledged, "the work that follows knows it too"


def test_it_is_accepted_once(desk: Desk, robin: Person) -> None:
    reference, token, quote = quoted(desk, robin)
    accepting.accept(token, yes(quote), desk)
    before = mails(reference, desk)
    with pytest.raises(AlreadyAccepted):
        accepting.accept(token, yes(quote, name="Somebody else"), desk)
    with pytest.raises(AlreadyAccepted):
        accepting.decline(token, quote.version, "Changed my mind.", desk)

    assert mails(reference, desk) == before


def test_a_changed_quote_voids_the_one_before(desk: Desk, robin: Person) -> None:
    reference, token, first = quoted(desk, robin)
    second = send(reference, robin, desk)
    with pytest.raises(QuoteChanged):
        accepting.accept(token, yes(first), desk)
    assert stands(reference, desk).state is State.QUOTED

    accepting.accept(token, yes(second), desk)
    assert stands(reference, desk).state is State.ACCEPTED


def test_an_expired_quote_is_not_accepted_even_before_anybody_noticed(desk: Desk, robin: Person, clock: Clock) -> None:
    reference, token, quote = quoted(desk, robin)
    clock.now = quote.expires_at
    with pytest.raises(QuoteExpired):
        accepting.accept(token, yes(quote), desk)
    with pytest.raises(QuoteExpired):
        accepting.decline(token, quote.version, "Too late anyway.", desk)

    assert expire_if_due(stands(reference, desk), desk).state is State.EXPIRED
    with pytest.raises(QuoteExpired):
        accepting.accept(token, yes(quote), desk)
    assert {"quote_expired", "quote_expired_shop"} <= set(mails(reference, desk))


def test_to_the_last_moment_of_its_last_day_it_holds(desk: Desk, robin: Person, clock: Clock) -> None:
    reference, token = taken(desk, robin)
    settle_all(reference, robin, desk)
    quote = send(reference, robin, desk)
    clock.now = quote.expires_at - timedelta(seconds=1)
    accepting.accept(token, yes(quote), desk)

    assert stands(reference, desk).state is State.ACCEPTED


def test_the_clock_expires_what_has_run_out_and_nothing_else(desk: Desk, robin: Person, clock: Clock) -> None:
    late, _, quote = quoted(desk, robin)
    accepted, token, other = quoted(desk, robin)
    accepting.accept(token, yes(other, drop_off=ANOTHER_DAY), desk)
    assert expire_due(desk) == 0

    clock.now = quote.expires_at
    assert expire_due(desk) == 1
    assert expire_due(desk) == 0
    assert stands(late, desk).state is State.EXPIRED
    assert stands(accepted, desk).state is State.ACCEPTED


def test_after_it_ran_out_the_desk_writes_a_new_one(desk: Desk, robin: Person, clock: Clock) -> None:
    reference, token, quote = quoted(desk, robin)
    clock.now = quote.expires_at
    expire_due(desk)
    reviewing.take(reference, stands(reference, desk).revision, robin, desk)
    offer(reference, robin, desk)
    second = send(reference, robin, desk)
    accepting.accept(token, yes(second), desk)

    assert (second.version, stands(reference, desk).state) == (2, State.ACCEPTED)


def test_declining_takes_a_reason_and_tells_the_shop(desk: Desk, robin: Person) -> None:
    reference, token, quote = quoted(desk, robin)
    assert faults_of(lambda: accepting.decline(token, quote.version, "  ", desk)) == [("reason", "missing")]
    accepting.decline(token, quote.version, "Sold the car.", desk)
    with desk.store.reading() as work:
        kept = work.quotes.current(stands(reference, desk).id)
        letter = next(mail.letter.text for mail in work.mails.about(stands(reference, desk).id) if mail.kind == "quote_declined_shop")

    assert stands(reference, desk).state is State.DECLINED
    assert kept is not None
    assert kept.declined_at is not None
    assert "Sold the car." in letter
    with pytest.raises(NoQuote):
        accepting.accept(token, yes(quote), desk)


def test_there_is_nothing_to_accept_before_a_quote(desk: Desk, robin: Person) -> None:
    _, token = taken(desk, robin)
    with pytest.raises(NoQuote):
        accepting.accept(token, accepting.Answer(1, "Mara"), desk)


def test_a_place_that_went_to_somebody_else_leaves_everything_as_it_was(desk: Desk, robin: Person) -> None:
    """Two whole bodies from the same day on are more than the shop's hands. Nothing is accepted, the next free dates are named."""
    (_, first_token, first), (reference, token, quote) = (quoted(desk, robin, selection=chosen("suv", "full_body")) for _ in range(2))
    day = first.content.offers[0].drop_off.isoformat()
    accepting.accept(first_token, yes(first, drop_off=day), desk)
    with pytest.raises(PlaceTaken) as refused:
        accepting.accept(token, yes(quote, drop_off=day), desk)
    with desk.store.reading() as work:
        kept = work.quotes.current(stands(reference, desk).id)
        assert work.bookings.of(stands(reference, desk)) is None

    assert refused.value.places
    assert kept is not None
    assert (kept.accepted_at, kept.acceptance) == (None, None)
    assert stands(reference, desk).state is State.QUOTED
    assert "quote_accepted" not in mails(reference, desk)


def test_that_the_customer_has_seen_it_is_noted_once(desk: Desk, robin: Person) -> None:
    reference, _, quote = quoted(desk, robin)
    revision = stands(reference, desk).revision
    for _ in range(2):
        quoting.note_opened(stands(reference, desk), quote, reviewing.VISITOR, desk)
    with desk.store.reading() as work:
        kinds = [event.kind for event in work.requests.history(stands(reference, desk).id)]
        kept = work.quotes.current(stands(reference, desk).id)

    assert kinds.count("quote_opened") == 1
    assert kept is not None
    assert kept.opened_at is not None
    assert stands(reference, desk).revision == revision, "looking at it takes nothing from whoever is writing"
