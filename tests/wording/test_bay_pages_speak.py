"""No page of the bay and no coverage record has a text written into it, and none holds English when it speaks German."""

import re

import pytest
from flask import Flask
from flask.testing import FlaskClient

from configurator.domain.desk import Person
from configurator.services.bay.office import Office
from configurator.web.wiring import Wiring
from tests.bay_builders import bring_in, schedule
from tests.wording.pseudo import hard_coded, spoken
from tests.wording.test_pages_speak import addresses, app, english, names, owner, pseudo, read_page

__all__ = ["addresses", "app", "english", "owner", "pseudo"]
PAGES = ("parts", "parts?way=on", "panels", "cut-plan", "seams", "checks", "film", "hand-over", "check-in", "print")
OTHERS = ("/staff/bay", "/staff/bay/to-order", "/staff/results")


@pytest.fixture(scope="module")
def in_bay(app: Flask, addresses: dict[str, str]) -> str:
    """The request, checked in."""
    wiring: Wiring = app.extensions["tuckline"]
    with app.test_request_context("/"):
        office = Office(wiring.desk())
        schedule(wiring, addresses["reference"])
        with wiring.store.reading() as work:
            ines = next(Person(user.role, user.id, user.name) for user in work.users.all())
        bring_in(addresses["reference"], office, ines)
    return addresses["reference"]


def ours(app: Flask, addresses: dict[str, str]) -> set[str]:
    """Words that are nobody's to translate: what was typed at check-in, placeholders of figures, ids of forms."""
    return names(app, addresses) | {"two, near the badge", "Child seat", "Mara Ellison", "14", "118 121"}


@pytest.mark.parametrize("page", PAGES)
def test_no_page_of_the_work_order_has_a_text_written_into_it(
    owner: FlaskClient,
    app: Flask,
    addresses: dict[str, str],
    in_bay: str,
    pseudo: None,
    page: str,
) -> None:
    text = re.sub(r'<div class="doc-running".*?</div>', "", read_page(owner, f"/staff/bay/{in_bay}/{page}"))  # page x of y, set on paper

    assert hard_coded(text, ours(app, addresses)) == []


@pytest.mark.parametrize("address", OTHERS)
def test_no_other_page_of_the_bay_has_a_text_written_into_it(
    owner: FlaskClient,
    app: Flask,
    addresses: dict[str, str],
    in_bay: str,
    pseudo: None,
    address: str,
) -> None:
    assert hard_coded(read_page(owner, address), ours(app, addresses)) == []


@pytest.mark.parametrize("page", PAGES)
def test_a_german_work_order_holds_no_english(
    owner: FlaskClient,
    english: set[str],
    in_bay: str,
    page: str,
) -> None:
    text = read_page(owner, f"/staff/bay/{in_bay}/{page}")

    assert '<html lang="de"' in text
    assert [said for said in spoken(text) if said in english] == []
