"""The firm quote on the desk: changed with reasons, sent when everything is settled, kept as it was sent."""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest

from configurator.domain.desk import Person
from configurator.domain.measuring import LampReading, LayerReading, Measurement
from configurator.domain.quoting import Reader
from configurator.domain.review import Actor, Contact, MoveRefused, Need, State
from configurator.errors import InvalidInput
from configurator.services import reviewing
from configurator.services.desk import Desk
from configurator.services.measuring_light import record_measurement
from configurator.services.ports import ChangedMeanwhile
from configurator.services.quotes import adjusting, offering, quoting, rescoping
from configurator.services.quotes.adjusting import Change, TermsChange
from tests.quote_builders import REASON, adjust, advisor, faults_of, mails, offer, quoted, send, settle_all, stands, taken
from tests.services.conftest import Clock
from tests.shops import chosen

SMOKED = {"selection": chosen("coupe", "full_front", lamps={"tail_lamps": "smoke_medium"}), "acknowledged": frozenset({"tail_lamps"})}


def history(reference: str, desk: Desk) -> list[str]:
    with desk.store.reading() as work:
        return [event.kind for event in work.requests.history(stands(reference, desk).id)]


def test_a_quote_goes_out_once_everything_is_settled(desk: Desk, robin: Person) -> None:
    reference, _, quote = quoted(desk, robin)

    assert stands(reference, desk).state is State.QUOTED
    assert (quote.version, quote.sent_by_name) == (1, "Robin Hale")
    assert quote.content.price.total == stands(reference, desk).estimate.price.typical
    assert "quote_sent" in mails(reference, desk)
    with desk.store.reading() as work:
        assert work.quotes.current(quote.request_id) == quote


def test_what_is_missing_is_named_and_nothing_is_sent(desk: Desk, robin: Person) -> None:
    reference, _ = taken(desk, robin, **SMOKED)
    with pytest.raises(MoveRefused) as refused:
        send(reference, robin, desk)

    assert Need.SETTLED_CAUTIONS in refused.value.missing
    assert stands(reference, desk).state is State.IN_REVIEW
    assert "quote_sent" not in mails(reference, desk)


def test_settling_takes_words_and_leaves_the_caution_on_the_quote(desk: Desk, robin: Person) -> None:
    reference, _ = taken(desk, robin, **SMOKED)
    settle_all(reference, robin, desk)
    quote = send(reference, robin, desk)

    assert any(caution.severity == "stop" for caution in quote.content.estimate.cautions)
    assert set(quote.content.settled.values()) == {"Talked it through."}
    key = next(iter(quote.content.settled))
    revision = stands(reference, desk).revision
    assert faults_of(lambda: adjusting.settle(reference, revision, key, "  ", robin, desk)) == [("how", "missing")]
    assert faults_of(lambda: adjusting.settle(reference, revision, "nothing:", "x", robin, desk)) == [("key", "unknown_id")]


@pytest.mark.parametrize("state", ["received", "withdrawn"])
def test_no_quote_is_written_before_somebody_takes_the_request_or_after_its_end(desk: Desk, robin: Person, state: str) -> None:
    reference, token = taken(desk, robin)
    if state == "received":
        from configurator.services.submitting import submit
        from tests.desk_builders import a_draft

        reference = submit(a_draft(selection=chosen("sedan", "full_front"), price_book=desk.book.version), desk).reference
    else:
        reviewing.withdraw(token, desk)
    with pytest.raises(MoveRefused):
        adjust(reference, "labour", "100.00", robin, desk)


def test_an_installer_writes_no_quote(desk: Desk, robin: Person) -> None:
    reference, _ = taken(desk, robin)
    with pytest.raises(MoveRefused) as refused:
        adjust(reference, "labour", "100.00", Person(Actor.INSTALLER, robin.id, "Wen Adair"), desk)

    assert refused.value.reason == "not_yours"


def test_a_change_without_a_reason_is_refused_beside_its_field(desk: Desk, robin: Person) -> None:
    reference, _ = taken(desk, robin)
    revision = stands(reference, desk).revision
    bare = Change(Decimal("100.00"), "   ")

    assert faults_of(lambda: adjusting.adjust(reference, revision, "labour", bare, robin, desk)) == [("reason", "reason_per_change")]
    assert faults_of(lambda: adjusting.strike(reference, revision, "labour", bare, robin, desk)) == [("reason", "reason_per_change")]
    assert faults_of(lambda: adjusting.add_line(reference, revision, "", bare, robin, desk)) == [
        ("label", "missing"),
        ("reason", "reason_per_change"),
    ]
    assert faults_of(lambda: adjusting.adjust(reference, revision, "labour", Change(None, "x"), robin, desk)) == [("amount", "missing")]
    assert stands(reference, desk).revision == revision


def test_lines_that_follow_from_others_or_are_not_there_are_not_adjusted(desk: Desk, robin: Person) -> None:
    reference, _ = taken(desk, robin)
    for line in ("rounding", "tax", "nonsense"):
        assert faults_of(lambda line=line: adjust(reference, line, "1.00", robin, desk)) == [("line", "unknown_id")]


def test_a_price_below_zero_is_refused(desk: Desk, robin: Person) -> None:
    reference, _ = taken(desk, robin)

    assert faults_of(lambda: adjust(reference, "labour", "-1.00", robin, desk)) == [("amount", "line_below_zero")]
    deduction = Change(Decimal(-9000), "Goodwill.")
    adjusting.add_line(reference, stands(reference, desk).revision, "Goodwill", deduction, robin, desk)
    assert quoting.workbench(reference, desk).price.total == desk.book.rates.minimum, "no price goes below the minimum charge by itself"
    assert faults_of(lambda: adjust(reference, "minimum", None, robin, desk)) == [("amount", "price_below_zero")]


def test_every_change_stands_in_the_history_with_figures_and_reason(desk: Desk, robin: Person) -> None:
    reference, _ = taken(desk, robin)
    labour = next(line.typical for line in stands(reference, desk).estimate.lines if line.code == "labour")
    adjust(reference, "labour", str(labour + 68), robin, desk)
    adjust(reference, "consumables", None, robin, desk)
    adjusting.add_line(reference, stands(reference, desk).revision, "Headlamp polish", replace(REASON, amount=Decimal(85)), robin, desk)
    adjusting.put_back(reference, stands(reference, desk).revision, "labour", robin, desk)
    with desk.store.reading() as work:
        events = work.requests.history(stands(reference, desk).id)[-4:]

    assert [event.kind for event in events] == ["line_adjusted", "line_struck", "line_added", "line_restored"]
    assert (events[0].facts["before"], events[0].facts["after"], events[0].reason) == (labour, labour + 68, "Seen on the car.")


def test_two_people_who_change_the_same_quote_notice(desk: Desk, robin: Person) -> None:
    reference, _ = taken(desk, robin)
    ines = advisor(desk, "Ines Calder")
    revision = stands(reference, desk).revision
    adjusting.adjust(reference, revision, "labour", replace(REASON, amount=Decimal(900)), robin, desk)
    with pytest.raises(ChangedMeanwhile):
        adjusting.adjust(reference, revision, "parts", replace(REASON, amount=Decimal(1)), ines, desk)


def test_a_quote_that_was_sent_never_changes_again(desk: Desk, robin: Person) -> None:
    reference, _, first = quoted(desk, robin)
    adjust(reference, "labour", "100.00", robin, desk)
    second = send(reference, robin, desk)
    with desk.store.reading() as work:
        old, new = work.quotes.all(first.request_id)

    assert old.content == first.content
    assert (old.voided_at is not None, new.voided_at) == (True, None)
    assert (second.version, stands(reference, desk).state) == (2, State.QUOTED)
    assert new.content.price.total < old.content.price.total
    assert mails(reference, desk).count("quote_sent") == 2


def test_a_reason_for_the_shop_stays_out_of_the_mail(desk: Desk, robin: Person) -> None:
    reference, _ = taken(desk, robin)
    settle_all(reference, robin, desk)
    adjust(reference, "labour", "100.00", robin, desk, change=Change(None, "Haggler, second car.", Reader.SHOP))
    send(reference, robin, desk)
    with desk.store.reading() as work:
        letters = [mail.letter.text for mail in work.mails.about(stands(reference, desk).id)]

    assert not [text for text in letters if "Haggler" in text]


def test_a_german_customer_is_written_to_in_german_with_the_shops_own_text(desk: Desk, robin: Person) -> None:
    contact = Contact("Jona Weiß", "jona@weiss.example", None, None, "de")
    reference, _, quote = quoted(desk, robin, contact=contact)
    with desk.store.reading() as work:
        letter = next(mail.letter for mail in work.mails.about(quote.request_id) if mail.kind == "quote_sent")

    assert quote.content.locale == "de"
    assert quote.content.terms.cancellation.startswith("Kostenfrei bis fünf Werktage")
    assert "Festpreis" in letter.text
    assert "[[private-link]]" in letter.text
    assert reference in letter.subject


def test_the_quote_holds_for_the_books_days_but_not_beyond_its_last_date(desk: Desk, robin: Person, clock: Clock) -> None:
    """Product's state table: expiry not after the last held date. Noon of Monday 8 March 2027 in the shop; 14 days are the 22nd."""
    reference, _ = taken(desk, robin)
    settle_all(reference, robin, desk)
    assert quoting.workbench(reference, desk).expiry == date(2027, 3, 22)

    days = offer(reference, robin, desk)
    bench = quoting.workbench(reference, desk)
    assert bench.expiry == min(date(2027, 3, 22), max(days).date())
    too_long = TermsChange(max(days).date() + timedelta(days=1), None, "", days)
    assert faults_of(lambda: adjusting.set_terms(reference, bench.request.revision, too_long, robin, desk)) == [
        ("expiry", "expiry_after_last_date")
    ]
    clock.now += timedelta(days=30)
    assert quoting.workbench(reference, desk).missing == (Need.EXPIRY_WITHIN_HELD_DATES,)
    with pytest.raises((InvalidInput, MoveRefused)):
        send(reference, robin, desk)


def test_it_runs_out_when_its_last_day_is_over_in_the_shop(desk: Desk, robin: Person) -> None:
    """The shop keeps New York time: midnight after 22 March 2027 is 04:00 UTC (EDT, UTC-4)."""
    reference, _ = taken(desk, robin)
    settle_all(reference, robin, desk)
    quote = send(reference, robin, desk)

    assert quote.expires_at.isoformat() == "2027-03-23T04:00:00+00:00"


def test_a_date_that_is_taken_or_over_is_not_offered(desk: Desk, robin: Person, clock: Clock) -> None:
    reference, _ = taken(desk, robin)
    sunday = desk.clock().replace(day=14)
    terms = TermsChange(None, None, "", (sunday,))
    assert faults_of(lambda: adjusting.set_terms(reference, stands(reference, desk).revision, terms, robin, desk)) == [
        ("offers", "offer_taken")
    ]

    settle_all(reference, robin, desk)
    days = offer(reference, robin, desk, count=1)
    clock.now = max(days) + timedelta(hours=1)
    with pytest.raises((InvalidInput, MoveRefused)):
        send(reference, robin, desk)


def test_free_days_are_offered_now_and_near_the_days_that_were_asked_for(desk: Desk, robin: Person) -> None:
    reference, _ = taken(desk, robin, dates=(date(2027, 5, 19),))
    with desk.store.reading() as work:
        looks = offering.choices(stands(reference, desk), quoting.EMPTY_DRAFT, desk, work)
    days = [look.offer.drop_off.date() for look in looks]

    assert days == sorted(set(days))
    assert len([day for day in days if day < date(2027, 4, 1)]) == offering.SHOWN
    assert days[-2:] == [date(2027, 5, 19), date(2027, 5, 20)], "a Wednesday and the day after: both open"
    assert not any(look.picked or look.why for look in looks)


def test_the_deposit_is_the_books_share_unless_the_desk_says_otherwise(desk: Desk, robin: Person) -> None:
    reference, _ = taken(desk, robin)
    bench = quoting.workbench(reference, desk)

    assert bench.deposit == (bench.price.total * Decimal("0.20")).quantize(Decimal("0.01"))
    adjusting.set_terms(reference, bench.request.revision, TermsChange(None, Decimal(300), "", ()), robin, desk)
    assert quoting.workbench(reference, desk).deposit == Decimal(300)


def test_the_desk_changes_the_scope_and_the_visitors_own_is_kept(desk: Desk, robin: Person) -> None:
    reference, _ = taken(desk, robin)
    before = stands(reference, desk)
    wider = chosen("sedan", "full_front", add=("rocker_left", "rocker_right"))
    after = rescoping.rescope(reference, before.revision, wider, "Asked for the rockers on the phone.", robin, desk)
    with desk.store.reading() as work:
        original = work.scopes.original(after)

    assert after.estimate.price.typical > before.estimate.price.typical
    assert {panel.id for panel in after.estimate.covered} - {panel.id for panel in before.estimate.covered} == {
        "rocker_left",
        "rocker_right",
    }
    assert original is not None
    assert (original.selection, original.estimate) == (before.selection, before.estimate)
    assert history(reference, desk)[-1] == "scope_changed"

    again = rescoping.rescope(reference, after.revision, chosen("sedan", "partial_front"), "Too dear.", robin, desk)
    with desk.store.reading() as work:
        assert work.scopes.original(again) == original, "the visitor's own, not the one in between"
        assert [row.reference for row in work.inbox.page(_open()).rows if row.typical == again.estimate.price.typical] == [reference]


def _open() -> object:
    from configurator.domain.inbox import InboxQuestion

    return InboxQuestion()


def test_another_body_is_found_by_its_name(desk: Desk, robin: Person) -> None:
    reference, _ = taken(desk, robin)
    rescoping.rescope(reference, stands(reference, desk).revision, chosen("wagon", "full_front"), "It is the wagon.", robin, desk)
    from configurator.domain.inbox import InboxQuestion

    with desk.store.reading() as work:
        found = [[row.reference for row in work.inbox.page(InboxQuestion(text=text)).rows] for text in ("wagon", "sedan")]
    assert found == [[reference], []]


def test_a_scope_needs_a_reason_something_in_it_and_films_that_are_sold(desk: Desk, robin: Person) -> None:
    reference, _ = taken(desk, robin)
    revision = stands(reference, desk).revision

    def refused(selection: object, reason: str = "Asked for.") -> list[tuple[str, str]]:
        return faults_of(lambda: rescoping.rescope(reference, revision, selection, reason, robin, desk))  # type: ignore[arg-type]

    assert refused(chosen("sedan", "track"), " ") == [("reason", "reason_per_change")]
    assert refused(chosen("sedan")) == [("selection", "nothing_chosen")]
    assert ("selection.lamps.headlamps", "forbidden_not_sold") in refused(
        chosen("sedan", "full_front", lamps={"headlamps": "smoke_dark"}, region="un")
    )
    assert stands(reference, desk).revision == revision


def test_the_same_scope_again_changes_nothing(desk: Desk, robin: Person) -> None:
    reference, _ = taken(desk, robin)
    before = stands(reference, desk)
    after = rescoping.rescope(reference, before.revision, chosen("sedan", "full_front"), "Just looking.", robin, desk)

    assert after.revision == before.revision
    assert history(reference, desk)[-1] != "scope_changed"


def test_an_adjusted_line_must_be_looked_at_again_when_the_scope_moved_its_figure(desk: Desk, robin: Person) -> None:
    reference, _ = taken(desk, robin)
    settle_all(reference, robin, desk)
    adjust(reference, "labour", "950.00", robin, desk)
    rescoping.rescope(reference, stands(reference, desk).revision, chosen("sedan", "track"), "More.", robin, desk)
    settle_all(reference, robin, desk)

    assert quoting.workbench(reference, desk).missing == (Need.REASON_PER_CHANGE,)
    adjust(reference, "labour", "1150.00", robin, desk)
    assert quoting.workbench(reference, desk).missing == ()


def test_another_film_must_be_acknowledged_again(desk: Desk, robin: Person) -> None:
    reference, _ = taken(desk, robin, **SMOKED)
    bench = quoting.workbench(reference, desk)
    assert (bench.acknowledged, bench.to_acknowledge) == (("tail_lamps",), ())

    lighter = chosen("coupe", "full_front", lamps={"tail_lamps": "smoke_light"})
    rescoping.rescope(reference, bench.request.revision, lighter, "Asked for.", robin, desk)
    bench = quoting.workbench(reference, desk)
    assert bench.acknowledged == (), "confirmed was another film"

    back = rescoping.rescope(reference, bench.request.revision, SMOKED["selection"], "Back again.", robin, desk)  # type: ignore[arg-type]
    assert back.acknowledged == {"tail_lamps"}, "what the visitor confirmed holds for the film they confirmed it for"


def smoked(robin: Person, desk: Desk, film: str) -> str:
    """A request with film on its tail lamps, settled and with a date to offer."""
    selection = chosen("sedan", add=("hood",), lamps={"tail_lamps": film, "headlamps": "none"})
    reference, _ = taken(desk, robin, selection=selection, acknowledged=frozenset({"tail_lamps"}))
    settle_all(reference, robin, desk)
    offer(reference, robin, desk)
    return reference


def test_a_lamp_that_is_measured_too_dark_for_a_published_rule_is_not_quoted(desk: Desk, robin: Person) -> None:
    """Two layers multiply: 0.35 x 0.5 = 0.175, below the 0.2533 that FMVSS 108, Table IX, group 3 leaves even the brightest stop lamp."""
    reference = smoked(robin, desk, "smoke_medium")
    layers = Measurement(layers=(LayerReading("tail_lamps", 0.5),))
    record_measurement(reference, stands(reference, desk).revision, layers, robin, desk)

    assert faults_of(lambda: send(reference, robin, desk)) == [("light", "forbidden_not_sold")]


def test_a_lamp_that_is_measured_dim_is_confirmed_anew(desk: Desk, robin: Person) -> None:
    """Clear film, 0.92: a tail lamp measured at 2.05 cd keeps 1.89 cd of the 2.0 cd of FMVSS 108, Table VIII."""
    reference = smoked(robin, desk, "clear")
    before = quoting.workbench(reference, desk)
    dim = Measurement((LampReading("tail_lamps", "tail", 2.05),))
    record_measurement(reference, before.request.revision, dim, robin, desk)

    assert before.light != quoting.workbench(reference, desk).light
    assert send(reference, robin, desk).content.to_acknowledge == ("tail_lamps",)
