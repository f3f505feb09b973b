"""The quote's page: each change with a reason beside its field, nothing sent before it may be, two editors who notice each other."""

import re
from pathlib import Path

import pytest
from flask.testing import FlaskClient

from configurator.domain.review import State
from tests.shops import chosen
from tests.web.desk_app import Desk, form_token, make_desk, press, revision

SMOKED = {"selection": chosen("coupe", "full_front", lamps={"tail_lamps": "smoke_medium"}), "acknowledged": frozenset({"tail_lamps"})}


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return make_desk(tmp_path)


@pytest.fixture
def robin(desk: Desk) -> FlaskClient:
    return desk.client("robin")


def taken(desk: Desk, client: FlaskClient, **changes: object) -> tuple[str, str]:
    """The quote page's address of a request in review, and the visitor's token."""
    reference, token = desk.send(**changes)
    page = f"/staff/requests/{reference}"
    assert press(client, page, f"{page}/take").status_code == 303
    return f"{page}/quote", token


def change(client: FlaskClient, page: str, form: str, **fields: str):
    return press(client, page, f"{page}/{form}", **fields)


def total(text: str) -> str:
    found = re.search(r'<b id="total">([^<]+)</b>', text)
    assert found
    return found[1]


def state(desk: Desk, page: str) -> State:
    with desk.wiring.store.reading() as work:
        return work.requests.by_reference(page.split("/")[3]).state  # type: ignore[union-attr]


def offers(text: str) -> list[str]:
    return re.findall(r'name="offer" value="([^"]+)"', text)


def send_it(client: FlaskClient, page: str):
    return press(client, f"{page}/send", f"{page}/send")


def test_a_line_is_changed_with_its_reason_and_put_back(desk: Desk, robin: FlaskClient) -> None:
    page, _ = taken(desk, robin)
    before = total(robin.get(page).text)
    assert (
        change(robin, page, "line", line="labour", do="adjust", amount="1,900.00", reason="Two passes.", reader="printed").status_code
        == 303
    )
    text = robin.get(page).text

    assert "$1,900.00" in text
    assert "Two passes." in text
    assert total(text) != before
    assert change(robin, page, "line", line="labour", do="put_back").status_code == 303
    assert total(robin.get(page).text) == before


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"amount": "900", "reason": " "}, "a change without a reason"),
        ({"amount": "nine hundred", "reason": "x"}, "must be a number"),
        ({"amount": "", "reason": "x"}, "This is needed."),
        ({"amount": "-1", "reason": "x"}, "fall below zero"),
        ({"amount": "99999999", "reason": "x"}, "at most"),
    ],
)
def test_what_is_wrong_stands_beside_its_field_and_what_was_typed_stays(
    desk: Desk, robin: FlaskClient, fields: dict[str, str], said: str
) -> None:
    page, _ = taken(desk, robin)
    refused = change(robin, page, "line", line="labour", do="adjust", reader="shop", **fields)

    assert refused.status_code == 422
    assert said in refused.text
    assert 'aria-invalid="true"' in refused.text
    assert f'value="{fields["amount"]}"' in refused.text
    assert '<option value="shop" selected>' in refused.text


def test_lines_of_ones_own_are_added_and_taken_out(desk: Desk, robin: FlaskClient) -> None:
    page, _ = taken(desk, robin)
    assert change(robin, page, "add", label="Headlamp polish", amount="85", reason="Chips.", reader="printed").status_code == 303
    assert "Headlamp polish" in robin.get(page).text
    assert change(robin, page, "line", line="added-1", do="put_back").status_code == 303
    assert "Headlamp polish" not in robin.get(page).text


def test_a_line_that_is_not_there_is_named(desk: Desk, robin: FlaskClient) -> None:
    page, _ = taken(desk, robin)
    refused = change(robin, page, "line", line="rounding", do="adjust", amount="1", reason="x", reader="printed")

    assert refused.status_code == 422
    assert "“rounding” is not known here" in refused.text


def test_a_struck_line_needs_its_reason_too(desk: Desk, robin: FlaskClient) -> None:
    page, _ = taken(desk, robin)
    assert change(robin, page, "line", line="prep", do="strike", amount="", reason="").status_code == 422
    assert change(robin, page, "line", line="prep", do="strike", amount="", reason="Washed by the dealer.").status_code == 303
    assert "struck" in robin.get(page).text


def test_a_red_caution_blocks_sending_until_it_is_settled(desk: Desk, robin: FlaskClient) -> None:
    page, _ = taken(desk, robin, **SMOKED)
    text = robin.get(page).text
    assert "still to settle" in text
    assert f'href="{page}/send"' not in text
    assert robin.get(f"{page}/send").status_code == 303
    forced = robin.post(f"{page}/send", data={"form_token": form_token(text), "revision": revision(text)})
    assert forced.status_code == 409
    assert "not settled" in forced.text

    for key in set(re.findall(r'name="key" value="([^"]+)"', text)):
        assert change(robin, page, "settle", key=key, how=" ").status_code == 422
        assert change(robin, page, "settle", key=key, how="Show car, comes on a trailer.").status_code == 303
    assert f'href="{page}/send"' in robin.get(page).text


def test_dates_are_offered_and_bound_the_expiry(desk: Desk, robin: FlaskClient) -> None:
    page, _ = taken(desk, robin)
    free = offers(robin.get(page).text)
    assert len(free) >= 4
    many = press(robin, page, f"{page}/terms", expiry="2027-03-10", deposit="300", words="Thank you.", offer=free[:4])  # type: ignore[arg-type]
    assert many.status_code == 422
    assert "at most 3" in many.text
    assert "Thank you." in many.text

    late = press(robin, page, f"{page}/terms", expiry="2027-12-24", deposit="300", words="", offer=free[:2])  # type: ignore[arg-type]
    assert late.status_code == 422
    assert "last offered date" in late.text

    kept = press(robin, page, f"{page}/terms", expiry=free[1][:10], deposit="300", words="Thank you.", offer=free[:2])  # type: ignore[arg-type]
    assert kept.status_code == 303
    text = robin.get(page).text
    assert [value for value in re.findall(r'value="([^"]+)" checked', text) if value in free] == free[:2]
    assert 'value="300"' in text or 'value="300.00"' in text


def test_it_is_sent_once_and_mailed(desk: Desk, robin: FlaskClient) -> None:
    page, token = taken(desk, robin)
    asked = robin.get(f"{page}/send")
    assert "Mara Ellison?" in asked.text
    assert send_it(robin, page).status_code == 303
    assert state(desk, page) is State.QUOTED
    with desk.wiring.store.reading() as work:
        assert [mail.kind for mail in work.mails.latest(limit=1)] == ["quote_sent"]
    assert "not seen yet" in robin.get(page.removesuffix("/quote")).text
    desk.client().get(f"/r/{token}")
    assert "seen " in robin.get(page).text


def test_the_second_of_two_who_send_reads_what_happened(desk: Desk, robin: FlaskClient) -> None:
    page, _ = taken(desk, robin)
    ines = desk.client("ines")
    asked = ines.get(f"{page}/send").text
    send_it(robin, page)
    late = ines.post(f"{page}/send", data={"form_token": form_token(asked), "revision": revision(asked)})

    assert late.status_code == 409
    assert "Robin Tester" in late.text
    assert "sent quote 1" in late.text


def test_the_second_of_two_editors_keeps_what_was_typed(desk: Desk, robin: FlaskClient) -> None:
    page, _ = taken(desk, robin)
    ines = desk.client("ines")
    old = ines.get(page).text
    change(robin, page, "line", line="prep", do="adjust", amount="1", reason="Washed already.", reader="printed")
    fields = {"line": "labour", "do": "adjust", "amount": "950", "reason": "Two passes.", "reader": "shop"}
    late = ines.post(f"{page}/line", data={"form_token": form_token(old), "revision": revision(old), **fields})

    assert late.status_code == 409
    assert "Somebody was faster" in late.text
    assert "Robin Tester changed Preparation" in late.text
    assert 'value="950"' in late.text
    assert 'value="Two passes."' in late.text
    again = ines.post(f"{page}/line", data={"form_token": form_token(late.text), "revision": revision(late.text), **fields})
    assert again.status_code == 303, "the page that says so can be saved from"


def test_no_quote_is_written_before_it_is_taken(desk: Desk, robin: FlaskClient) -> None:
    reference, _ = desk.send()
    page = f"/staff/requests/{reference}/quote"
    text = robin.get(page).text

    assert "taken the request into review" in text
    token = form_token(text)
    refused = robin.post(f"{page}/line", data={"form_token": token, "revision": "1", "line": "labour", "amount": "1", "reason": "x"})
    assert refused.status_code == 409
    assert "Take it first" in refused.text


def test_the_customers_copy_holds_neither_cost_nor_margin_nor_a_reason_for_the_shop(desk: Desk, robin: FlaskClient) -> None:
    page, token = taken(desk, robin)
    change(robin, page, "line", line="labour", do="adjust", amount="900", reason="Second car of a haggler.", reader="shop")
    send_it(robin, page)
    desk_text = robin.get(page).text
    cost = re.search(r"<dt>Cost</dt><dd>([^<]+)</dd>", desk_text)
    assert cost
    visitor = desk.client()
    copies = [
        visitor.get(f"/r/{token}").text,
        visitor.get(f"/r/{token}/quote").text,
        visitor.get(f"/r/{token}/accept").text,
        robin.get(f"{page}/draft").text,
        robin.get(f"{page}/1").text,
    ]

    for copy in copies:
        assert "haggler" not in copy
        assert "argin" not in copy.replace("with their margins", "")
        assert cost[1] not in copy


def test_the_draft_may_be_framed_by_our_own_page_alone(desk: Desk, robin: FlaskClient) -> None:
    page, _ = taken(desk, robin)
    draft = robin.get(f"{page}/draft")

    assert "Draft: not sent" in draft.text
    assert "frame-ancestors 'self'" in draft.headers["Content-Security-Policy"]
    assert "frame-ancestors 'none'" in robin.get(page).headers["Content-Security-Policy"]
    assert robin.get(f"{page}/draft.pdf").data.startswith(b"%PDF-")


def test_a_sent_version_stays_readable_after_it_is_void(desk: Desk, robin: FlaskClient) -> None:
    page, _ = taken(desk, robin)
    send_it(robin, page)
    change(robin, page, "line", line="labour", do="adjust", amount="900", reason="Less to do.", reader="printed")
    send_it(robin, page)

    assert "Void: a newer quote has taken its place" in robin.get(f"{page}/1").text
    assert "Less to do." not in robin.get(f"{page}/1").text
    assert "Less to do." in robin.get(f"{page}/2").text
    assert robin.get(f"{page}/2.pdf").data.startswith(b"%PDF-")
    assert robin.get(f"{page}/3").status_code == 404


def test_typed_markup_stays_text(desk: Desk, robin: FlaskClient) -> None:
    page, _ = taken(desk, robin)
    change(robin, page, "add", label="<b>x</b>", amount="1", reason="<script>alert(1)</script>", reader="printed")

    for address in (page, f"{page}/draft"):
        text = robin.get(address).text
        assert "<script>alert" not in text
        assert "&lt;b&gt;x&lt;/b&gt;" in text


def test_nobody_without_the_right_writes_a_quote(desk: Desk, robin: FlaskClient) -> None:
    page, _ = taken(desk, robin)
    for who in ("tomas", "jost"):
        assert desk.client(who).get(page).status_code == 403
    assert desk.client().get(page).status_code == 303
