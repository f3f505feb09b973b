"""The visitor's private page: only for whoever has the link, in their language, with a way back out."""

from pathlib import Path

import pytest

from configurator.domain.review import State
from tests.web.desk_app import Desk, make_desk, press


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return make_desk(tmp_path)


def test_it_shows_where_the_request_stands(desk: Desk) -> None:
    reference, token = desk.send()
    text = desk.client().get(f"/r/{token}").text

    for said in (reference, "Your request has arrived", "Mon, Mar 15", "Please call before noon.", "Front bumper"):
        assert said in text
    assert "mara@ellison.example" not in text, "the page shows nothing that whoever finds the link could misuse"


@pytest.mark.parametrize("token", ["x", "a" * 24, "0" * 64, "%00", "..", "é", "A" * 3000])
def test_another_token_opens_nothing(desk: Desk, token: str) -> None:
    desk.send()

    assert desk.client().get(f"/r/{token}").status_code == 404


def test_the_address_stays_to_itself(desk: Desk) -> None:
    _, token = desk.send()
    headers = desk.client().get(f"/r/{token}").headers

    assert headers["Referrer-Policy"] == "no-referrer"
    assert headers["Cache-Control"] == "no-store"
    assert "noindex" in headers["X-Robots-Tag"]
    assert "Set-Cookie" not in headers
    assert "frame-ancestors 'none'" in headers["Content-Security-Policy"]


def test_withdrawing_asks_once_and_then_is_final(desk: Desk) -> None:
    reference, token = desk.send()
    visitor = desk.client()
    asked = visitor.get(f"/r/{token}/withdraw")
    done = visitor.post(f"/r/{token}/withdraw", data={"reason": "Sold the car."})
    again = visitor.post(f"/r/{token}/withdraw")

    assert "Withdraw this request?" in asked.text
    assert done.status_code == 303
    assert again.status_code == 409
    assert "This request is withdrawn" in visitor.get(f"/r/{token}").text
    assert visitor.get(f"/r/{token}/withdraw").status_code == 303
    with desk.wiring.store.reading() as work:
        found = work.requests.by_reference(reference)
        assert found is not None
        assert found.state is State.WITHDRAWN
        kinds = {mail.kind for mail in work.mails.latest(limit=9)}
    assert {"request_withdrawn", "request_withdrawn_shop"} <= kinds
    assert "Sold the car." in desk.client("robin").get(f"/staff/requests/{reference}").text


def test_a_withdrawn_request_cannot_be_taken_by_a_page_made_before(desk: Desk) -> None:
    reference, token = desk.send()
    robin = desk.client("robin")
    page = f"/staff/requests/{reference}"
    robin.get(page)
    desk.client().post(f"/r/{token}/withdraw")

    assert press(robin, page, f"{page}/take").status_code in {303, 409}
    with desk.wiring.store.reading() as work:
        assert work.requests.by_reference(reference).state is State.WITHDRAWN  # type: ignore[union-attr]


def test_a_reason_that_is_too_long_is_kept_and_asked_about(desk: Desk) -> None:
    _, token = desk.send()
    refused = desk.client().post(f"/r/{token}/withdraw", data={"reason": "x" * 501})

    assert refused.status_code == 422
    assert "x" * 501 in refused.text
