"""A desk with many requests, made up and written in bulk: what the inbox must stay fast with."""

import random
from collections.abc import Iterator
from datetime import timedelta
from itertools import islice
from typing import Any

from sqlalchemy import insert

from configurator.domain.finding import customer_words, search_words
from configurator.domain.inbox import desk_rank
from configurator.domain.review import State
from configurator.storage.models import CustomerRow, CustomerWordRow, RequestRow, SearchWordRow, VehicleRow
from configurator.storage.requests import _columns
from configurator.storage.store import SqlStore
from tests.desk_builders import NOON, a_new_request

SHARES = {
    State.RECEIVED: 2, State.IN_REVIEW: 2, State.QUOTED: 2, State.ACCEPTED: 1, State.SCHEDULED: 2, State.IN_BAY: 1, State.EXPIRED: 3,
    State.HANDED_OVER: 75, State.DECLINED: 5, State.WITHDRAWN: 7,
}  # fmt: skip
"""Per cent of each state in a shop that has been open for long: one in ten is still open, far more than hands could work on."""
FIRST = ("Mara", "Bennet", "Yuki", "Odile", "Sunniva", "Kofi", "Teodor", "Amara", "Luc", "Ilse", "Ravi", "Noor", "Pia", "Oskar", "June")
LAST = ("Ellison", "Achterberg", "Tanabe", "Marchetti", "Dahl", "Brandt", "Nwosu", "Hennebel", "Okafor", "Lind", "Quist", "Varga", "Sorel")
BODIES = ("coupe", "sedan", "hatchback", "wagon", "suv", "pickup", "van", "convertible")
AT_ONCE = 2000


def fill(store: SqlStore, count: int, *, people: tuple[int, ...] = ()) -> None:
    """Writes `count` requests of half as many customers; `people` are the staff members that open ones are given to."""
    rows = _rows(count, people)
    while chunk := list(islice(rows, AT_ONCE)):
        with store.engine.begin() as connection:
            for table in (CustomerRow, VehicleRow, RequestRow, SearchWordRow, CustomerWordRow):
                values = [value for row in chunk for value in row.get(table, ())]
                if values:
                    connection.execute(insert(table), values)
    with store.engine.begin() as connection:
        connection.exec_driver_sql("ANALYZE")
        if connection.dialect.name == "postgresql":
            for table in ("customers", "vehicles", "requests"):
                connection.exec_driver_sql(f"SELECT setval(pg_get_serial_sequence('{table}', 'id'), (SELECT max(id) FROM {table}))")


def _rows(count: int, people: tuple[int, ...]) -> Iterator[dict[Any, list[dict[str, Any]]]]:
    chance = random.Random(7)
    base = _columns(a_new_request())
    states, weights = list(SHARES), list(SHARES.values())
    for number in range(1, count + 1):
        owner = (number + 1) // 2
        name = f"{FIRST[owner % len(FIRST)]} {LAST[owner // 3 % len(LAST)]}"
        email, phone, plate = f"c{owner}@mail{owner % 97}.example", f"+1202{owner:07d}", f"KX {owner:05d}"
        body, state = BODIES[chance.randrange(8)], chance.choices(states, weights)[0]
        received = NOON - timedelta(minutes=7 * number)
        reference = f"PFB-{number:06d}"
        row: dict[Any, list[dict[str, Any]]] = {}
        if number % 2:
            row[CustomerRow] = [{
                "id": owner, "name": name, "email": email, "email_key": email, "phone": phone, "language": "en_US", "created_at": received,
                "revision": 1,
            }]  # fmt: skip
            row[VehicleRow] = [{
                "id": owner, "customer_id": owner, "body": body, "description": "", "colour": "red", "plate": plate,
                "plate_key": plate.replace(" ", ""), "created_at": received, "revision": 1,
            }]  # fmt: skip
            words = customer_words(name=name, company=None, email=email, phone=phone, plates=[plate])
            row[CustomerWordRow] = [{"word": word, "customer_id": owner} for word in sorted(words)]
        is_quoted, is_open = state is State.QUOTED, state.is_open
        row[RequestRow] = [{
            **base, "id": number, "reference": reference, "link_nonce": f"n{number}", "link_hash": f"h{number}", "state": state.value,
            "desk_rank": desk_rank(state), "received_at": received, "state_since": received, "answer_due": received + timedelta(days=1),
            "opened_at": None if state is State.RECEIVED and number % 3 else received, "name": name, "email": email, "phone": phone,
            "body": body, "customer_id": owner, "vehicle_id": owner, "assigned_to": chance.choice((None, *people)) if is_open else None,
            "quote_expires_at": NOON + timedelta(hours=chance.randrange(-24, 330)) if is_quoted else None,
        }]  # fmt: skip
        found_by = search_words(reference=reference, email=email, phone=phone, plate=plate, texts=(name, body, "red"))
        row[SearchWordRow] = [{"word": word, "request_id": number} for word in sorted(found_by)]
        yield row
