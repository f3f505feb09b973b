"""An app with cars in the bay: one scheduled, one in work, one handed over."""

from dataclasses import dataclass

import pytest

from configurator.domain.bay.job import Job
from configurator.domain.desk import Person
from configurator.domain.review import Actor, CarWords, Contact
from configurator.services.access.people import add_person
from configurator.services.bay import ticking, using_film, working
from configurator.services.bay.handing_over import hand_over
from configurator.services.bay.office import Office
from configurator.wire.selection import load_selection
from tests.bay_builders import bring_in, found, schedule
from tests.web.desk_app import PASSWORD, Desk, make_desk

CHOICE = {
    "version": 1,
    "vehicle": {"body": "coupe", "stripes": {"count": 1, "width_mm": 300, "finish": "matte"}},
    "coverage": {"package": "none", "add": ["hood", "mirror_left"]},
    "edges": "hidden",
    "lamps": {"tail_lamps": "smoke_medium"},
}
CONTACT = Contact("Mara Ellison", "mara@ellison.example", "+12025550123", "Ellison Boats", "en_US")


@dataclass
class Bay:
    """The app and its cars."""

    desk: Desk
    office: Office
    people: dict[str, Person]

    def scheduled(self) -> tuple[str, str]:
        """A car that is expected; its reference and private token."""
        car = CarWords("Silver coupe, one stripe", "silver", "ABC 123", "")
        sent = self.desk.send(selection=load_selection(CHOICE), acknowledged=frozenset({"tail_lamps"}), contact=CONTACT, car=car)
        schedule(self.desk.wiring, sent[0])
        return sent

    def at_work(self) -> tuple[str, str]:
        """A car that is checked in."""
        sent = self.scheduled()
        bring_in(sent[0], self.office, self.people["robin"])
        return sent

    def finished(self) -> tuple[str, str]:
        """A car that could go."""
        reference, token = self.at_work()
        for task in self.job(reference).tasks:
            if task.is_asked_for:
                working.finish(reference, task.key, self.people["tomas"], self.office, minutes="40")
        for roll in self.job(reference).rolls:
            name = f"{roll.film}:{roll.roll_width_mm:g}"
            using_film.open_box(
                reference, name, self.people["tomas"], self.office, roll=name, batch=f"LOT-{roll.film}", metres="3", offcut=""
            )
        with self.office.store.reading() as work:
            request = found(reference, work)
        for code in ticking.checks_of(request, self.job(reference), self.office):
            ticking.tick(reference, code, self.people["tomas"], self.office)
        for signature, name in (("installer", "tomas"), ("assembler", "jost"), ("second", "ines")):
            ticking.sign(reference, signature, self.people[name], self.office)
        return reference, token

    def handed_over(self) -> tuple[str, str]:
        """A car that is back with its owner."""
        reference, token = self.finished()
        with self.office.store.reading() as work:
            revision = found(reference, work).revision
        hand_over(reference, revision, self.people["robin"], self.office, received_by="Mara Ellison")
        return reference, token

    def job(self, reference: str) -> Job:
        with self.office.store.reading() as work:
            job = work.bay.job(found(reference, work).id)
        assert job is not None
        return job


@pytest.fixture(scope="module")
def bay(tmp_path_factory: pytest.TempPathFactory) -> Bay:
    desk = make_desk(tmp_path_factory.mktemp("bay"))
    store = desk.wiring.store
    add_person(email="wen@film.example", name="Wen Tester", role=Actor.INSTALLER, password=PASSWORD, store=store, now=desk.clock())
    with store.reading() as work:
        people = {user.name.split()[0].lower(): Person(user.role, user.id, user.name) for user in work.users.all()}
    return Bay(desk, Office(desk.wiring.desk()), people)


@pytest.fixture(scope="module")
def working_on(bay: Bay) -> str:
    """A car in work that tests only look at."""
    return bay.at_work()[0]


@pytest.fixture(scope="module")
def given_back(bay: Bay) -> tuple[str, str]:
    """A car that was handed over, which tests only look at."""
    return bay.handed_over()
