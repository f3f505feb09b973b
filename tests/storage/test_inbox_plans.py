"""Every view, filter and search of the inbox is answered by an index on both databases, and all of them give the right rows.

What is right is worked out here in plain Python over the same rows, not by the database.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest
from sqlalchemy import event, select

from configurator.domain.finding import folded, query_words, search_words
from configurator.domain.inbox import NO_ONE, InboxPage, InboxQuestion, Place, View, desk_rank
from configurator.domain.review import Actor, State
from configurator.services.access.people import add_person
from configurator.storage import searching
from configurator.storage.models import RequestRow
from configurator.storage.store import SqlStore
from tests.bench.many_requests import fill
from tests.desk_builders import NOON
from tests.storage import postgres

COUNT = 4000
SOON = NOON + timedelta(days=3)
QUESTIONS = {
    "open": InboxQuestion(),
    "mine": InboxQuestion(view=View.MINE, assigned_to=1),
    "nobody's": InboxQuestion(assigned_to=NO_ONE),
    "needs an answer": InboxQuestion(view=View.NEEDS_ANSWER),
    "running out": InboxQuestion(view=View.RUNNING_OUT, expires_before=SOON),
    "finished": InboxQuestion(view=View.FINISHED),
    "longest first": InboxQuestion(view=View.FINISHED, longest_first=True),
    "body": InboxQuestion(body="van"),
    "body and person": InboxQuestion(body="suv", assigned_to=2),
    "reference": InboxQuestion(text="PFB-000123", view=View.FINISHED),
    "reference, new": InboxQuestion(text="pfb 000123"),
    "rare": InboxQuestion(text="c77@mail"),
    "plate": InboxQuestion(text="kx 00123", view=View.FINISHED),
    "phone": InboxQuestion(text="555 0000"),
    "phone end": InboxQuestion(text="0000123", view=View.FINISHED),
    "many": InboxQuestion(text="mara"),
    "many, finished": InboxQuestion(text="red", view=View.FINISHED),
    "two that many have": InboxQuestion(text="mara ellison"),
    "two, finished": InboxQuestion(text="ellison mara", view=View.FINISHED),
    "a letter": InboxQuestion(text="m"),
    "two letters": InboxQuestion(text="m e", view=View.FINISHED),
    "nothing": InboxQuestion(text="zzzz"),
    "everything at once": InboxQuestion(view=View.MINE, assigned_to=1, body="suv", text="mara"),
    "after a place": InboxQuestion(view=View.FINISHED, after=Place(7, NOON - timedelta(minutes=7 * 2000), 2000)),
    "a search after a place": InboxQuestion(text="ellison", view=View.FINISHED, after=Place(7, NOON - timedelta(minutes=7 * 2000), 2000)),
}


@pytest.fixture(scope="module", params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgres)])
def filled(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[SqlStore]:
    """Some thousand requests; written once for all of these tests."""
    server: postgres.Server | None = None
    if request.param == "postgresql":
        server = request.getfixturevalue("postgres_server")
        store = SqlStore(server.new_database())  # type: ignore[union-attr]
    else:
        store = SqlStore(f"sqlite:///{tmp_path_factory.mktemp('inbox')}/many.db")
        from configurator.storage.migrate import upgrade

        upgrade(store.engine)
    people = tuple(
        add_person(email=f"p{n}@film.example", name=f"P{n}", role=Actor.ADVISOR, password=None, store=store, now=NOON).id for n in (1, 2)
    )
    fill(store, COUNT, people=people)
    yield store
    store.engine.dispose()
    if server is not None:
        server.drop(store.url)


@pytest.fixture
def few(monkeypatch: pytest.MonkeyPatch) -> None:
    """With so few rows, few must be fewer, or no search would ever read along."""
    monkeypatch.setattr(searching, "FEW", 60)


@contextmanager
def overheard(store: SqlStore) -> Iterator[list[tuple[str, Any]]]:
    """The statements that are run meanwhile."""
    heard: list[tuple[str, Any]] = []

    def note(_connection: Any, _cursor: Any, statement: str, parameters: Any, _context: Any, _many: bool) -> None:
        if statement.lstrip().startswith(("SELECT", "(SELECT")):
            heard.append((statement, parameters))

    event.listen(store.engine, "before_cursor_execute", note)
    yield heard
    event.remove(store.engine, "before_cursor_execute", note)


def read_whole(store: SqlStore, heard: list[tuple[str, Any]]) -> list[str]:
    """The steps of the plans that read a whole table."""
    steps: list[str] = []
    with store.engine.connect() as connection:
        if store.engine.dialect.name == "postgresql":
            connection.exec_driver_sql("SET enable_seqscan = off")
            for statement, parameters in heard:
                steps += [row[0] for row in connection.exec_driver_sql(f"EXPLAIN {statement}", parameters) if "Seq Scan" in row[0]]
        else:
            for statement, parameters in heard:
                plan = connection.exec_driver_sql(f"EXPLAIN QUERY PLAN {statement}", parameters)
                steps += [row[3] for row in plan if row[3].startswith(("SCAN requests", "SCAN search_words"))]
    return steps


@pytest.mark.parametrize("name", QUESTIONS)
def test_an_index_answers(filled: SqlStore, few: None, name: str) -> None:
    question = QUESTIONS[name]
    with overheard(filled) as heard, filled.reading() as work:
        work.inbox.page(question)
        work.inbox.counts(replace(question, view=View.OPEN, expires_before=None, after=None))

    assert heard
    assert read_whole(filled, heard) == []


def test_so_it_does_what_stands_around_the_list(filled: SqlStore) -> None:
    with overheard(filled) as heard, filled.reading() as work:
        work.inbox.unopened()
        newest = work.inbox.newest_id()
        assert newest == COUNT
        assert work.inbox.arrived_after(newest - 3) == 3

    assert read_whole(filled, heard) == []


@pytest.fixture(scope="module")
def rows(filled: SqlStore) -> list[Any]:
    columns = (
        RequestRow.id, RequestRow.reference, RequestRow.state, RequestRow.received_at, RequestRow.name, RequestRow.email, RequestRow.phone,
        RequestRow.body, RequestRow.car, RequestRow.assigned_to, RequestRow.quote_expires_at,
    )  # fmt: skip
    with filled.engine.connect() as connection:
        return list(connection.execute(select(*columns)))


def fits(row: Any, question: InboxQuestion) -> bool:
    owner = (row.id + 1) // 2
    words = search_words(
        reference=row.reference, email=row.email, phone=row.phone, plate=f"KX {owner:05d}", texts=(row.name, row.body, "red")
    )
    checks: list[Callable[[], bool]] = [
        lambda: State(row.state) in question.view.states,
        lambda: all(any(word.startswith(asked) for word in words) for asked in query_words(question.text)),
        lambda: not question.body or row.body == question.body,
        lambda: question.assigned_to is None or (row.assigned_to or NO_ONE) == question.assigned_to,
        lambda: question.expires_before is None or (row.quote_expires_at is not None and row.quote_expires_at < question.expires_before),
    ]
    return all(check() for check in checks)


def expected(rows: list[Any], question: InboxQuestion) -> list[str]:
    fitting = [row for row in rows if fits(row, question)]
    turn = 1 if question.longest_first else -1
    fitting.sort(key=lambda row: (desk_rank(State(row.state)), turn * row.received_at.timestamp(), turn * row.id))
    if question.after is not None:
        place = question.after
        start = (place.rank, turn * place.received_at.timestamp(), turn * place.id)
        fitting = [row for row in fitting if (desk_rank(State(row.state)), turn * row.received_at.timestamp(), turn * row.id) > start]
    return [row.reference for row in fitting]


@pytest.mark.parametrize("name", QUESTIONS)
def test_the_right_rows_in_the_right_order_page_by_page(filled: SqlStore, rows: list[Any], few: None, name: str) -> None:
    question = replace(QUESTIONS[name], rows=40)
    wanted = expected(rows, question)
    seen: list[str] = []
    for _ in range(4):
        with filled.reading() as work:
            page: InboxPage = work.inbox.page(question)
        seen += [row.reference for row in page.rows]
        if not page.has_more:
            break
        question = replace(question, after=page.rows[-1].place)

    assert seen == wanted[: len(seen)]
    assert len(seen) == min(len(wanted), 160)


@pytest.mark.parametrize("name", [name for name, question in QUESTIONS.items() if question.after is None])
def test_counts_are_right_where_they_are_given(filled: SqlStore, rows: list[Any], few: None, name: str) -> None:
    question = replace(QUESTIONS[name], view=View.OPEN, expires_before=None)
    with filled.reading() as work:
        counts = work.inbox.counts(question)

    if counts:
        assert counts == {state: sum(row.state == state and fits(row, question) for row in rows) for state in View.OPEN.states}
    else:
        assert name in {"many", "many, finished", "a letter", "two letters", "everything at once"}


def test_folding_is_what_the_search_rests_on() -> None:
    assert folded("Jürgen ÉLAN") == "jurgen elan"
