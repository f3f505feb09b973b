"""The invented shop's people, for trying the staff pages on one's own machine. Never part of a shop that is set up by its own commands."""

import secrets
from datetime import datetime

from configurator.domain.review import Actor
from configurator.services.access.people import add_person
from configurator.services.ports import Store
from configurator.services.references import ALPHABET

PEOPLE = (
    ("Ines Calder", Actor.OWNER),
    ("Robin Hale", Actor.ADVISOR),
    ("Tomas Reyl", Actor.INSTALLER),
    ("Wen Adair", Actor.INSTALLER),
    ("Jost Hamel", Actor.ASSEMBLER),
)
DOMAIN = "pellwick.example"


def demo_email(name: str) -> str:
    """The log-in of one of them."""
    return f"{name.split()[0].lower()}@{DOMAIN}"


def new_demo_password() -> str:
    """Three groups of letters that can be read out (54 bits)."""
    return "-".join("".join(secrets.choice(ALPHABET.lower()) for _ in range(4)) for _ in range(3))


def add_demo_people(password: str, store: Store, now: datetime) -> bool:
    """Adds them with one password for all, unless the database has staff already; whether it did."""
    with store.reading() as work:
        if work.users.count():
            return False
    for name, role in PEOPLE:
        add_person(email=demo_email(name), name=name, role=role, password=password, store=store, now=now)
    return True
