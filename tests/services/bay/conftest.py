"""A bay over a real store (SQLite, and PostgreSQL where its binaries are), the real engine, and a clock that stands still."""

from pathlib import Path
from typing import Any

import pytest

from configurator.domain.desk import Person
from configurator.domain.review import Actor
from configurator.services.access.people import add_person
from configurator.services.bay.office import Office
from configurator.services.submitting import submit
from configurator.settings import read_settings
from configurator.storage.store import SqlStore
from configurator.web.wiring import Wiring
from tests.bay_builders import bring_in, move_on
from tests.desk_builders import a_draft
from tests.services.conftest import Clock
from tests.shops import chosen, demo_shop
from tests.storage.conftest import empty_url, postgres_server, store

__all__ = ["empty_url", "postgres_server", "store"]
SMALL: dict[str, Any] = {"add": ("hood", "mirror_left"), "edges": "hidden"}
"""A coupe's hood and one mirror cap with hidden edges: parts, film, and little to plan."""
PEOPLE = {
    "ines": Actor.OWNER,
    "robin": Actor.ADVISOR,
    "tomas": Actor.INSTALLER,
    "wen": Actor.INSTALLER,
    "jost": Actor.ASSEMBLER,
}


class Bay:
    """The office, and what tests do with it."""

    def __init__(self, office: Office, clock: Clock, people: dict[str, Person]) -> None:
        self.office, self.clock, self.people = office, clock, people

    def __getitem__(self, name: str) -> Person:
        return self.people[name]

    def send(self, **selection: Any) -> str:
        """A visitor's request; its reference."""
        acknowledged = frozenset(selection.pop("acknowledged", ()))
        wanted = chosen("coupe", **{**SMALL, **selection})
        draft = a_draft(selection=wanted, price_book=self.office.book.version, acknowledged=acknowledged)
        return submit(draft, self.office.desk).reference

    def scheduled(self, **selection: Any) -> str:
        """A request with a place in the bay."""
        reference = self.send(**selection)
        move_on(reference, self.office.store, self.clock())
        return reference

    def at_work(self, **selection: Any) -> str:
        """A car that is in the bay."""
        reference = self.scheduled(**selection)
        bring_in(reference, self.office, self["robin"])
        return reference

    def job(self, reference: str) -> Any:
        with self.office.store.reading() as work:
            request = work.requests.by_reference(reference)
            assert request is not None
            return work.bay.job(request.id)

    def request(self, reference: str) -> Any:
        with self.office.store.reading() as work:
            return work.requests.by_reference(reference)


@pytest.fixture
def bay(store: SqlStore, tmp_path: Path) -> Bay:
    clock = Clock()
    settings = read_settings({"TUCKLINE_SECRET_KEY": "s" * 40, "DATABASE_URL": store.url, "TUCKLINE_DATA_DIR": str(tmp_path)})
    wiring = Wiring(settings, clock=clock)
    wiring.__dict__.update(shop=demo_shop(), store=store)
    people = {}
    for name, role in PEOPLE.items():
        user = add_person(email=f"{name}@film.example", name=name.title(), role=role, password=None, store=store, now=clock())
        people[name] = Person(role, user.id, user.name)
    return Bay(Office(wiring.desk()), clock, people)
