"""Every page speaks the reader's language: no text is written into a page by hand, and a German page holds no English."""

from collections.abc import Iterator

import pytest
from flask import Flask
from flask.testing import FlaskClient

from configurator.domain.review import Actor
from configurator.services.access.people import add_person
from configurator.services.submitting import submit
from configurator.settings import read_settings
from configurator.storage.migrate import upgrade
from configurator.web.factory import create_app
from configurator.web.wiring import Wiring
from configurator.wording.extracting import read
from configurator.wording.words import words_for
from tests.desk_builders import a_draft
from tests.services.conftest import Clock
from tests.shops import chosen
from tests.wording.pseudo import hard_coded, speak_pseudo, spoken

PASSWORD = "a quiet harbour before dawn"
PLAN = (
    "body=coupe&package=full_front&edges=hidden&lamp.tail_lamps=smoke_medium&lamp.headlamps=clear&windshield=clear"
    "&stripes=2,240,110,0,matte,6,gloss&feature=badges&feature=fog_lamps&feature=front_lip&feature=windshield_camera"
)
STEPS = ("car", "coverage", "finish", "lamps", "edges", "estimate", "send")
VISITOR = ["/", *(f"/configure?step={step}&{PLAN}" for step in STEPS), "/configure", "/configure?body=boat", "/nothing-here"]
STAFF = ["/staff/inbox", "/staff/inbox?view=finished", "/staff/account", "/staff/keys", "/staff/mail", "/staff/requests/{reference}"]
STAFF += ["/staff/calendar", "/staff/requests/{reference}/place", "/staff/requests/{reference}/work"]
STAFF += ["/staff/requests/{reference}/photos", "/staff/bay/photos/{reference}", "/staff/audit", "/staff/export"]
STAFF += ["/staff/person-data?request={reference}"]
STAFF += ["/staff/people", "/staff/people/1", "/staff/devices", "/staff/customers", "/staff/customers/1", "/staff/vehicles/1"]
STAFF += ["/staff/inbox?whose=0", "/staff/inbox?q=zzzz", "/staff/configure?step=send&" + PLAN]


@pytest.fixture(scope="module")
def app(tmp_path_factory: pytest.TempPathFactory) -> Flask:
    folder = tmp_path_factory.mktemp("shop")
    environment = {
        "TUCKLINE_SECRET_KEY": "s" * 40,
        "DATABASE_URL": f"sqlite:///{folder}/shop.db",
        "TUCKLINE_DATA_DIR": str(folder),
    }
    settings = read_settings(environment)
    made = create_app(settings, wiring=Wiring(settings, clock=Clock()))
    made.testing = True
    return made


@pytest.fixture(scope="module")
def addresses(app: Flask) -> dict[str, str]:
    """What there is to look at: a request's reference and its private page."""
    wiring: Wiring = app.extensions["tuckline"]
    upgrade(wiring.store.engine)
    owner = add_person(
        email="ines@pellwick.example", name="Ines Calder", role=Actor.OWNER, password=PASSWORD, store=wiring.store, now=wiring.clock()
    )
    selection = chosen("coupe", "full_front", lamps={"tail_lamps": "smoke_medium"}, edges="hidden")
    draft = a_draft(selection=selection, price_book=wiring.shop.book.version, acknowledged=frozenset({"tail_lamps"}))
    with app.test_request_context("/"):
        sent = submit(draft, wiring.desk())
    return {"reference": sent.reference, "token": sent.token, "owner": owner.name}


@pytest.fixture
def client(app: Flask, addresses: dict[str, str]) -> FlaskClient:
    return app.test_client()


@pytest.fixture(scope="module")
def owner(app: Flask, addresses: dict[str, str]) -> FlaskClient:
    """Logged in as the owner."""
    client = app.test_client()
    page = client.get("/staff/login").text
    token = page.partition('name="form_token" value="')[2].partition('"')[0]
    fields = {"email": "ines@pellwick.example", "password": PASSWORD, "form_token": token}
    answer = client.post("/staff/login", data=fields, headers={"Sec-Fetch-Site": "same-origin"})
    assert answer.status_code == 303
    return client


@pytest.fixture
def pseudo(app: Flask, addresses: dict[str, str], monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    speak_pseudo(monkeypatch)
    yield
    words_for.cache_clear()


def names(app: Flask, addresses: dict[str, str]) -> set[str]:
    """Words on a page that are nobody's to translate: the shop's own, people's, what the visitor wrote, where a rule stands."""
    shop = app.extensions["tuckline"].shop
    identity, draft = shop.book.shop, a_draft()
    with app.extensions["tuckline"].store.reading() as work:
        letters = [mail.letter for mail in work.mails.latest(limit=10)]
    rules = [
        rule.source for rules in shop.rules.values() for rule in (*rules.lamps, *rules.covers, *([rules.glass] if rules.glass else []))
    ]
    return {
        *(identity.name, identity.town, identity.email, identity.phone, *(person.name for person in shop.book.hours.people)),
        *(
            draft.contact.name,
            draft.contact.email.lower(),
            draft.contact.email,
            "Mara@ellison.example",
            draft.car.description,
            draft.car.plate,
            draft.car.colour,
        ),
        *(draft.notes, addresses["owner"], addresses["reference"], "ines@pellwick.example", shop.book.version, "vehicle.body"),
        *map(str, rules),
        *(letter.subject for letter in letters),
        *(rule.source for rule in shop.cautions if rule.source),
    }


def read_page(client: FlaskClient, address: str) -> str:
    answer = client.get(address, headers={"Accept": "text/html", "Accept-Language": "de"})
    assert answer.status_code in (200, 404, 422), address
    return answer.text


@pytest.mark.parametrize("address", VISITOR)
def test_no_visitors_page_has_a_text_written_into_it(
    client: FlaskClient, app: Flask, addresses: dict[str, str], pseudo: None, address: str
) -> None:
    assert hard_coded(read_page(client, address), names(app, addresses)) == []


def test_the_private_page_has_no_text_written_into_it(client: FlaskClient, app: Flask, addresses: dict[str, str], pseudo: None) -> None:
    for address in (f"/r/{addresses['token']}", f"/r/{addresses['token']}/withdraw", f"/r/{addresses['token']}/photos", "/r/nobody"):
        assert hard_coded(read_page(client, address), names(app, addresses)) == []


def test_the_log_in_has_no_text_written_into_it(client: FlaskClient, app: Flask, addresses: dict[str, str], pseudo: None) -> None:
    for address in ("/staff/login", "/staff/reset"):
        assert hard_coded(read_page(client, address), names(app, addresses)) == []


@pytest.mark.parametrize("address", STAFF)
def test_no_staff_page_has_a_text_written_into_it(
    owner: FlaskClient, app: Flask, addresses: dict[str, str], pseudo: None, address: str
) -> None:
    assert hard_coded(read_page(owner, address.format(**addresses)), names(app, addresses)) == []


@pytest.fixture(scope="module")
def english() -> set[str]:
    """Texts whose German differs: none of them may stand on a German page."""
    return {
        entry.id
        for entry in read("de")
        if isinstance(entry.id, str)
        and entry.id
        and entry.string
        and entry.string != entry.id
        and "%(" not in entry.id
        and "{" not in entry.id
    }


@pytest.mark.parametrize("address", VISITOR)
def test_a_german_visitors_page_holds_no_english(client: FlaskClient, english: set[str], address: str) -> None:
    page = read_page(client, address)

    assert '<html lang="de"' in page
    assert [text for text in spoken(page) if text in english] == []


@pytest.mark.parametrize("address", STAFF)
def test_a_german_staff_page_holds_no_english(owner: FlaskClient, english: set[str], addresses: dict[str, str], address: str) -> None:
    page = read_page(owner, address.format(**addresses))

    assert [text for text in spoken(page) if text in english] == []
