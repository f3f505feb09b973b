"""The pages and documents of a firm quote speak the reader's language: nothing written into them by hand, no English in German."""

from urllib.parse import urlencode

import pytest
from flask import Flask
from flask.testing import FlaskClient

from configurator.domain.review import Contact
from configurator.wire.query import query_from_selection
from configurator.wording.words import words_for
from tests.quote_builders import advisor, offer, send, settle_all, stands, taken
from tests.shops import chosen
from tests.wording.pseudo import hard_coded, speak_pseudo, spoken
from tests.wording.test_pages_speak import addresses, app, client, english, names, owner, read_page

__all__ = ["addresses", "app", "client", "english", "owner"]
SMOKED = chosen("coupe", "full_front", lamps={"tail_lamps": "smoke_medium"}, edges="hidden")
PLAN = urlencode(list(query_from_selection(chosen("coupe", "track"))))
NOT_WORDS = {"USD", "of"}
"""A currency's code, and what stands between the two numbers of "Page 1 of 2", which is one sentence with its gaps filled."""
STAFF = [
    "/staff/requests/{review}/quote",
    "/staff/requests/{review}/quote?line=labour",
    "/staff/requests/{review}/quote?line=new",
    "/staff/requests/{review}/quote/draft",
    f"/staff/requests/{{review}}/scope?step=send&{PLAN}",
    f"/staff/requests/{{review}}/scope?step=coverage&{PLAN}",
    "/staff/requests/{quoted}/quote",
    "/staff/requests/{quoted}/quote/send",
    "/staff/requests/{quoted}/quote/1",
]
PRIVATE = ["/r/{token}", "/r/{token}/quote", "/r/{token}/accept", "/r/{token}/decline"]


@pytest.fixture(scope="module")
def quotes(app: Flask, addresses: dict[str, str]) -> dict[str, str]:
    """A request in review, and one that waits for its customer, who reads German."""
    desk = app.extensions["tuckline"].desk()
    with app.app_context():
        by = advisor(desk)
        german = Contact("Mara Ellison", "Mara@Ellison.example", None, None, "de")
        review, _ = taken(desk, by, selection=SMOKED, acknowledged=frozenset({"tail_lamps"}), contact=german)
        quoted, token = taken(desk, by, selection=SMOKED, acknowledged=frozenset({"tail_lamps"}), contact=german)
        settle_all(quoted, by, desk)
        offer(quoted, by, desk)
        send(quoted, by, desk)
        assert stands(quoted, desk).locale == "de"
    return {"review": review, "quoted": quoted, "token": token}


def own_texts(app: Flask, quotes: dict[str, str]) -> set[str]:
    """What the shop and its people wrote themselves: the book's own texts, reasons, names, references."""
    terms = app.extensions["tuckline"].shop.book.terms
    texts = [
        terms.cancellation_text,
        *(text for wording in terms.wording.values() for text in (wording.accept, wording.withdrawal, *wording.consents.values())),
    ]
    return {
        *(line for text in texts for line in text.by_language.values()),
        "Talked it through.",
        "Robin Hale",
        *quotes.values(),
        *NOT_WORDS,
    }


@pytest.mark.parametrize("address", STAFF)
def test_no_page_of_the_desk_has_a_text_written_into_it(
    owner: FlaskClient, app: Flask, addresses: dict[str, str], quotes: dict[str, str], monkeypatch: pytest.MonkeyPatch, address: str
) -> None:
    speak_pseudo(monkeypatch)
    try:
        page = read_page(owner, address.format(**quotes))
        assert hard_coded(page, names(app, addresses) | own_texts(app, quotes)) == []
    finally:
        words_for.cache_clear()


@pytest.mark.parametrize("address", PRIVATE)
def test_no_page_of_the_customer_has_a_text_written_into_it(
    client: FlaskClient, app: Flask, addresses: dict[str, str], quotes: dict[str, str], monkeypatch: pytest.MonkeyPatch, address: str
) -> None:
    speak_pseudo(monkeypatch)
    try:
        page = read_page(client, address.format(**quotes))
        assert hard_coded(page, names(app, addresses) | own_texts(app, quotes)) == []
    finally:
        words_for.cache_clear()


@pytest.mark.parametrize("address", STAFF)
def test_a_german_page_of_the_desk_holds_no_english(owner: FlaskClient, english: set[str], quotes: dict[str, str], address: str) -> None:
    assert [text for text in spoken(read_page(owner, address.format(**quotes))) if text in english] == []


@pytest.mark.parametrize("address", PRIVATE)
def test_a_german_customers_page_holds_no_english(client: FlaskClient, english: set[str], quotes: dict[str, str], address: str) -> None:
    page = read_page(client, address.format(**quotes))

    assert '<html lang="de"' in page
    assert [text for text in spoken(page) if text in english] == []
