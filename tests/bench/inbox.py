"""The inbox with a hundred thousand requests beside the same pages with a thousand: ratios near 1 mean that size costs nothing."""

import tempfile
import time
from pathlib import Path
from statistics import quantiles

from flask.testing import FlaskClient

from configurator.domain.review import Actor
from configurator.services.access.people import add_person
from configurator.settings import read_settings
from configurator.storage.migrate import upgrade
from configurator.web.factory import create_app
from configurator.web.wiring import Wiring
from tests.bench.many_requests import fill
from tests.bench.timing import Figures
from tests.desk_builders import NOON
from tests.shops import demo_shop

PASSWORD = "quiet river stones"
SMALL, LARGE = 1_000, 100_000
TIMES = 20
PAGES = {
    "open": "",
    "mine": "?view=mine",
    "needs an answer": "?view=needs_answer",
    "running out": "?view=running_out",
    "finished": "?view=finished",
    "longest first": "?view=finished&sort=longest",
    "one body": "?body=van",
    "nobody's": "?whose=0",
    "a common name": "?q=mara",
    "first and last name": "?q=mara+ellison",
    "one letter": "?q=m",
    "reference": "?view=finished&q=PFB-000123",
    "plate": "?view=finished&q=kx+00123",
    "end of a phone number": "?view=finished&q=0000123",
    "nothing": "?q=zzzz",
}


def bench_inbox() -> Figures:
    """95th percentile of each page, large to small, and of all pages of the large one in milliseconds."""
    small, large = (_measured(count) for count in (SMALL, LARGE))
    figures = {f"inbox, {name}: {LARGE:,} requests to {SMALL:,}": _p95(large[name]) / _p95(small[name]) for name in PAGES}
    return {**figures, "inbox, 95th percentile over all pages, ms": _p95([spent for all_of_one in large.values() for spent in all_of_one])}


def _measured(count: int) -> dict[str, list[float]]:
    with tempfile.TemporaryDirectory() as folder:
        environment = {"TUCKLINE_SECRET_KEY": "b" * 40, "DATABASE_URL": f"sqlite:///{folder}/bench.db", "TUCKLINE_DATA_DIR": folder}
        wiring = Wiring(read_settings(environment), clock=lambda: NOON)
        wiring.__dict__["shop"] = demo_shop()
        upgrade(wiring.store.engine)
        people = tuple(
            add_person(email=f"p{n}@film.example", name=f"P {n}", role=Actor.ADVISOR, password=PASSWORD, store=wiring.store, now=NOON).id
            for n in (1, 2, 3)
        )
        fill(wiring.store, count, people=people)
        client = create_app(wiring.settings, wiring=wiring).test_client()
        _log_in(client)
        spent = {name: [_ms(client, f"/staff/inbox{query}") for _ in range(TIMES)] for name, query in PAGES.items()}
        wiring.store.engine.dispose()
        Path(folder, "bench.db").unlink(missing_ok=True)
    return spent


def _log_in(client: FlaskClient) -> None:
    token = client.get("/staff/login").text.partition('name="form_token" value="')[2].partition('"')[0]
    answer = client.post("/staff/login", data={"email": "p1@film.example", "password": PASSWORD, "form_token": token})
    assert answer.status_code == 303
    client.get("/staff/inbox")


def _ms(client: FlaskClient, address: str) -> float:
    start = time.process_time()
    assert client.get(address).status_code == 200
    return (time.process_time() - start) * 1000


def _p95(spent: list[float]) -> float:
    return quantiles(spent, n=20)[-1]
