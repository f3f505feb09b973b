"""The customer's side of a quote: seen, printed, accepted or declined on the private page; refusals that say what to do."""

import re
from datetime import timedelta
from pathlib import Path

import pytest
from flask.testing import FlaskClient

from configurator.domain.desk import Person
from configurator.domain.quoting import Quote
from configurator.domain.review import Contact, State
from tests.quote_builders import advisor, quoted, send, stands
from tests.shops import chosen
from tests.web.desk_app import Desk, make_desk


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return make_desk(tmp_path)


@pytest.fixture
def robin(desk: Desk) -> Person:
    return advisor(desk.wiring.desk())


def out(desk: Desk, by: Person, **changes: object) -> tuple[str, str, Quote]:
    with desk.app.app_context():
        return quoted(desk.wiring.desk(), by, **changes)


def form_of(quote: Quote, **changes: object) -> dict[str, object]:
    fields: dict[str, object] = {
        "version": str(quote.version),
        "name": "Mara Ellison",
        "drop_off": quote.content.offers[0].drop_off.isoformat(),
        "consent": list(quote.content.regional.consents),
        "ack": list(quote.content.to_acknowledge),
    }
    return {**fields, **changes}


def state(desk: Desk, reference: str) -> State:
    return stands(reference, desk.wiring.desk()).state


@pytest.fixture
def visitor(desk: Desk) -> FlaskClient:
    return desk.client()


def test_the_page_shows_the_firm_price_and_what_can_be_done(desk: Desk, robin: Person, visitor: FlaskClient) -> None:
    _, token, quote = out(desk, robin)
    text = visitor.get(f"/r/{token}").text

    assert f"${quote.content.price.total:,.2f}" in text
    assert "no payment is taken here" in text
    assert f'href="/r/{token}/accept"' in text
    assert "An estimate, not an offer" not in text


def test_it_is_printed_and_a_pdf_without_a_cookie_or_a_trace(desk: Desk, robin: Person, visitor: FlaskClient) -> None:
    reference, token, _ = out(desk, robin)
    printed, made = visitor.get(f"/r/{token}/quote"), visitor.get(f"/r/{token}/quote.pdf")

    assert "<svg" in printed.text
    assert reference in printed.text
    assert "Page" in printed.text
    assert made.data.startswith(b"%PDF-")
    assert made.headers["Content-Disposition"] == f"inline; filename=quote-{reference}-1.pdf"
    for answer in (printed, made):
        assert answer.headers["Referrer-Policy"] == "no-referrer"
        assert answer.headers["Cache-Control"] == "no-store"
        assert "noindex" in answer.headers["X-Robots-Tag"]


def test_a_german_customer_reads_german_and_the_regions_own_button(desk: Desk, robin: Person, visitor: FlaskClient) -> None:
    contact = Contact("Jona Weiß", "jona@weiss.example", None, None, "de")
    _, token, _ = out(desk, robin, contact=contact, selection=chosen("sedan", "full_front", region="un"))
    text = visitor.get(f"/r/{token}/accept").text

    assert '<html lang="de"' in text
    assert "Zahlungspflichtig bestellen" in text
    assert "binnen 14 Tagen" in text
    assert "Festpreisangebot" in visitor.get(f"/r/{token}/quote").text


def test_accepting_leads_back_to_a_page_that_says_so(desk: Desk, robin: Person, visitor: FlaskClient) -> None:
    reference, token, quote = out(desk, robin)
    done = visitor.post(f"/r/{token}/accept", data=form_of(quote))

    assert done.status_code == 303
    assert state(desk, reference) is State.ACCEPTED
    text = visitor.get(f"/r/{token}").text
    assert "You have accepted the quote" in text
    assert "Accepted by" in text
    printed = visitor.get(f"/r/{token}/quote").text
    assert "Accepted by Mara Ellison" in printed
    assert "I have read" in printed


def test_what_is_missing_stands_beside_its_field(desk: Desk, robin: Person, visitor: FlaskClient) -> None:
    reference, token, quote = out(desk, robin)
    refused = visitor.post(
        f"/r/{token}/accept", data=form_of(quote, name="", consent=[], drop_off=quote.content.offers[1].drop_off.isoformat())
    )

    assert refused.status_code == 422
    assert refused.text.count('aria-invalid="true"') == 2
    assert re.search(rf'value="{re.escape(quote.content.offers[1].drop_off.isoformat())}" checked', refused.text)
    assert state(desk, reference) is State.QUOTED


def test_accepting_twice_says_that_it_is_accepted_already(desk: Desk, robin: Person, visitor: FlaskClient) -> None:
    _, token, quote = out(desk, robin)
    visitor.post(f"/r/{token}/accept", data=form_of(quote))
    for again in (visitor.post(f"/r/{token}/accept", data=form_of(quote)), visitor.get(f"/r/{token}/accept")):
        assert again.status_code == 409
        assert "accepted already" in again.text
        assert f'href="/r/{token}"' in again.text


def test_a_newer_quote_is_shown_instead(desk: Desk, robin: Person, visitor: FlaskClient) -> None:
    reference, token, first = out(desk, robin)
    with desk.app.app_context():
        second = send(reference, robin, desk.wiring.desk())
    refused = visitor.post(f"/r/{token}/accept", data=form_of(first))

    assert refused.status_code == 409
    assert "There is a newer quote" in refused.text
    assert f"${second.content.price.total:,.2f}" in refused.text
    assert state(desk, reference) is State.QUOTED


def test_an_expired_quote_is_not_accepted_and_the_page_notices_by_itself(desk: Desk, robin: Person, visitor: FlaskClient) -> None:
    reference, token, quote = out(desk, robin)
    desk.clock.now = quote.expires_at + timedelta(minutes=1)
    refused = visitor.post(f"/r/{token}/accept", data=form_of(quote))

    assert refused.status_code == 409
    assert "has run out" in refused.text
    assert state(desk, reference) is State.EXPIRED
    text = visitor.get(f"/r/{token}").text
    assert "The quote has run out" in text
    assert f'href="/r/{token}/accept"' not in text


def test_a_taken_date_is_named_with_the_next_free_ones_and_nothing_is_accepted(desk: Desk, robin: Person, visitor: FlaskClient) -> None:
    whole = {"selection": chosen("suv", "full_body")}
    _, first_token, first = out(desk, robin, **whole)
    reference, token, quote = out(desk, robin, **whole)
    day = first.content.offers[0].drop_off.isoformat()
    assert visitor.post(f"/r/{first_token}/accept", data=form_of(first, drop_off=day)).status_code == 303
    refused = visitor.post(f"/r/{token}/accept", data=form_of(quote, drop_off=day, name="Jona Weiß"))

    assert refused.status_code == 409
    assert "has just been taken" in refused.text
    assert "Jona Weiß" in refused.text
    assert state(desk, reference) is State.QUOTED
    free = [value for value in re.findall(r'name="drop_off" value="([^"]+)"', refused.text) if value != "other"]
    assert free
    assert day not in free
    assert visitor.post(f"/r/{token}/accept", data=form_of(quote, drop_off=free[-1])).status_code == 303, (
        "a date that is free beside the offered ones"
    )
    assert state(desk, reference) is State.ACCEPTED


def test_declining_asks_for_a_reason(desk: Desk, robin: Person, visitor: FlaskClient) -> None:
    reference, token, quote = out(desk, robin)
    assert "Decline this quote?" in visitor.get(f"/r/{token}/decline").text
    assert visitor.post(f"/r/{token}/decline", data={"version": "1", "reason": ""}).status_code == 422
    assert visitor.post(f"/r/{token}/decline", data={"version": "1", "reason": "Too dear."}).status_code == 303
    assert state(desk, reference) is State.DECLINED
    assert visitor.post(f"/r/{token}/accept", data=form_of(quote)).status_code == 409


def test_what_was_confirmed_when_sending_stands_on_the_quote_with_its_caution(desk: Desk, robin: Person, visitor: FlaskClient) -> None:
    smoked = chosen("coupe", "full_front", lamps={"tail_lamps": "smoke_medium"})
    _, token, _ = out(desk, robin, selection=smoked, acknowledged=frozenset({"tail_lamps"}))
    printed = visitor.get(f"/r/{token}/quote").text

    assert "Confirmed by you when you sent the request" in printed
    assert "FMVSS 108" in printed
    assert 'name="ack"' not in visitor.get(f"/r/{token}/accept").text


@pytest.mark.parametrize("address", ["quote", "quote.pdf", "accept", "decline"])
def test_before_there_is_a_quote_its_addresses_lead_to_the_page(desk: Desk, visitor: FlaskClient, address: str) -> None:
    _, token = desk.send()

    assert visitor.get(f"/r/{token}/{address}").status_code == 303
    assert visitor.get(f"/r/nobody/{address}").status_code == 404


@pytest.mark.parametrize(
    "fields", [{"version": "x"}, {"version": "99999999999999"}, {"version": "-1"}, {}, {"drop_off": "%00", "version": "1"}]
)
def test_nonsense_is_refused_calmly(desk: Desk, robin: Person, visitor: FlaskClient, fields: dict[str, str]) -> None:
    reference, token, _ = out(desk, robin)

    assert visitor.post(f"/r/{token}/accept", data=fields).status_code in {409, 422}
    assert state(desk, reference) is State.QUOTED
