"""From a visitor's request to the hand-over with everything that anybody types on the way; then the person is erased.

Nothing of them is left in any table or file, and every page about what happened still opens.
"""

import io
from pathlib import Path

import pytest
from flask.testing import FlaskClient
from PIL import Image
from sqlalchemy import select

from configurator.domain.bay.checks import SECOND
from configurator.domain.desk import Person
from configurator.domain.photos import PhotoKind
from configurator.domain.review import Actor, State
from configurator.services import customers, reviewing
from configurator.services.bay import ticking, using_film, working
from configurator.services.bay.handing_over import hand_over
from configurator.services.bay.office import Office
from configurator.services.customers import TypedCustomer
from configurator.services.mail.sending import send_due
from configurator.services.pictures import photos
from configurator.services.places import placing
from configurator.services.quotes import accepting
from configurator.services.records.erasing import StillNeeded, erase
from configurator.storage.models import Base
from tests.bay_builders import bring_in
from tests.quote_builders import quoted, stands, yes
from tests.shops import chosen
from tests.web.desk_app import Desk, make_desk

EMAIL = "mara@ellison.example"
TRACES = ("ellison", "2025550123", "abc 123", "abc123", "xq-")
"""In lower case; everything that is typed below begins with `xq-`."""


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Desk:
    return make_desk(tmp_path_factory.mktemp("journey"))


@pytest.fixture(scope="module")
def people(desk: Desk) -> dict[str, Person]:
    with desk.wiring.store.reading() as work:
        return {user.name.split()[0].lower(): Person(user.role, user.id, user.name) for user in work.users.all()}


@pytest.fixture(scope="module")
def reference(desk: Desk, people: dict[str, Person]) -> str:
    """A coupe's hood, handed over, with words of the customer and about them at every step."""
    services, robin, ines = desk.wiring.desk(), people["robin"], people["ines"]
    selection = chosen("coupe", add=("hood",), edges="trimmed")
    reference, token, quote = quoted(services, robin, selection=selection, notes="xq-notes")
    reviewing.add_note(reference, "xq-note: Mara Ellison called", robin, services)
    request = stands(reference, services)
    file = io.BytesIO()
    Image.new("RGB", (64, 48)).save(file, "PNG")
    file.seek(0)
    photos.add(request.id, PhotoKind.VISITOR, file, Person(Actor.VISITOR), desk.wiring.album, caption="xq-caption")
    _correct_the_customer(desk, request.customer_id, ines)
    accepting.accept(token, yes(quote, name="Mara xq-Ellison"), services)
    _place(desk, reference, robin)
    office = Office(services)
    bring_in(
        reference, office, robin, notes="xq-check-in", items="xq-items", signed="Mara xq-Ellison", damage=(("hood", "chip", "xq-chip"),)
    )
    _work(reference, office, people)
    hand_over(reference, stands(reference, services).revision, robin, office, received_by="Mara xq-Ellison")
    while send_due(desk.wiring.post_room):
        pass
    return reference


def _correct_the_customer(desk: Desk, customer_id: int, by: Person) -> None:
    with desk.wiring.store.reading() as work:
        customer = customers.find(customer_id, work)
    typed = TypedCustomer("Mara xq-Ellison", "mara.new@ellison.example", "+12025550123", "xq-company", "xq-tax", customer.language)
    customers.change_customer(customer_id, customer.revision, typed, by, desk.wiring.desk(), languages=frozenset({customer.language}))


def _place(desk: Desk, reference: str, by: Person) -> None:
    services = desk.wiring.desk()
    request = stands(reference, services)
    with desk.wiring.store.reading() as work:
        held = work.bookings.of(request)
    assert held is not None
    placing.place(reference, request.revision, placing.Choice(held.place.drop_off, held.place.bay), by, services)


def _work(reference: str, office: Office, people: dict[str, Person]) -> None:
    def job() -> object:
        with office.store.reading() as work:
            request = work.requests.by_reference(reference)
            assert request is not None
            return request, work.bay.job(request.id)

    request, at_hand = job()  # type: ignore[misc]
    asked = [task for task in at_hand.tasks if task.is_asked_for]
    for task in asked:
        working.finish(reference, task.key, people["tomas"], office, minutes="30")
    for roll in at_hand.rolls:
        name = f"{roll.film}:{roll.roll_width_mm:g}"
        using_film.open_box(reference, name, people["tomas"], office, roll=name, batch="B-1", metres="4.5", offcut="0.3")
    request, at_hand = job()  # type: ignore[misc]
    for code in ticking.checks_of(request, at_hand, office):
        ticking.tick(reference, code, people["tomas"], office, note="xq-found")
    ticking.sign(reference, "installer", people["tomas"], office)
    ticking.sign(reference, SECOND, people["ines"], office)


def found_in(desk: Desk, folder: Path) -> list[str]:
    """Where a trace is: table and column, or a file."""
    found = []
    with desk.wiring.store.engine.connect() as connection:
        for table in Base.metadata.sorted_tables:
            for row in connection.execute(select(table)).mappings():
                found += [f"{table.name}.{name}" for name, value in row.items() for trace in TRACES if trace in str(value).casefold()]
    for file in folder.rglob("*"):
        if file.is_file():
            content = file.read_bytes().lower()
            found += [str(file.relative_to(folder)) for trace in TRACES if trace.encode() in content]
    return sorted(set(found))


def pages_about(desk: Desk, reference: str) -> list[str]:
    """Every staff page that takes a reference, and the lists."""
    addresses = []
    with desk.app.test_request_context():
        for rule in desk.app.url_map.iter_rules():
            if rule.endpoint.startswith("staff.") and "GET" in rule.methods and rule.arguments <= {"reference"}:  # type: ignore[operator]
                addresses.append(rule.build({"reference": reference} if rule.arguments else {})[1])  # type: ignore[index]
    return sorted(address for address in addresses if "logout" not in address)


def opened(client: FlaskClient, addresses: list[str]) -> dict[str, int]:
    return {address: client.get(address).status_code for address in addresses}


def test_a_person_who_was_here_from_beginning_to_end_is_gone(desk: Desk, people: dict[str, Person], reference: str) -> None:
    folder = desk.wiring.settings.data_path
    before = found_in(desk, folder)
    for place in (
        "bay_jobs.check_in", "bay_jobs.coverage", "bay_marks.note", "customer_changes.fields", "customers.company", "events.reason",
        "mails.recipient", "mails.text", "photos.caption", "quotes.acceptance", "requests.car", "search_words.word", "customer_words.word",
        "vehicles.plate",
    ):  # fmt: skip
        assert place in before, "the journey leaves words there, or this test proves less than it says"
    ines = desk.client("ines")
    pages = pages_about(desk, reference)
    status_before = opened(ines, pages)

    erased = erase(EMAIL, people["ines"], desk.wiring.records)

    assert (erased.customers, erased.requests, erased.photos) == (1, 1, 1)
    assert found_in(desk, folder) == []
    assert stands(reference, desk.wiring.desk()).state is State.HANDED_OVER
    status_after = opened(ines, pages)
    assert {address: status for address, status in status_after.items() if status >= 500} == {}
    assert {address for address in pages if status_before[address] == 200 and status_after[address] != 200} == set()
    assert erase(EMAIL, people["ines"], desk.wiring.records).requests == 0


def test_while_the_car_is_here_nothing_is_erased(tmp_path: Path) -> None:
    here = make_desk(tmp_path)
    with here.wiring.store.reading() as work:
        robin = next(Person(user.role, user.id, user.name) for user in work.users.all() if user.role is Actor.ADVISOR)
    services = here.wiring.desk()
    reference, token, quote = quoted(services, robin, selection=chosen("coupe", add=("hood",), edges="trimmed"))
    accepting.accept(token, yes(quote), services)
    with pytest.raises(StillNeeded):
        erase(EMAIL, robin, here.wiring.records)
    _place(here, reference, robin)
    bring_in(reference, Office(services), robin)

    with pytest.raises(StillNeeded) as refused:
        erase(EMAIL, robin, here.wiring.records)

    assert [(held.reference, held.state) for held in refused.value.requests] == [(reference, State.IN_BAY)]
    assert stands(reference, services).contact.email.casefold() == EMAIL
