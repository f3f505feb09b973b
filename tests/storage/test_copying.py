"""Everything can be copied from one kind of database into the other, and backed up while it is in use."""

import sqlite3
from pathlib import Path

import pytest

from configurator.domain.desk import VISITOR, Event, Letter, NewMail
from configurator.domain.review import State
from configurator.storage.backup import backup
from configurator.storage.copying import NotEmpty, copy_database
from configurator.storage.engine import make_engine
from configurator.storage.store import SqlStore
from tests.desk_builders import NOON, a_new_request


def fill(store: SqlStore, requests: int = 3) -> None:
    with store.writing() as work:
        for number in range(requests):
            kept = work.requests.add(a_new_request(number))
            work.requests.record(kept.id, Event(at=NOON, by=VISITOR, kind="moved", target=State.RECEIVED))
            work.mails.add(NewMail(kind="x", recipient="a@b.example", letter=Letter("s", "t"), locale="en_US", request_id=kept.id), NOON)


def test_a_copy_holds_the_same_and_goes_on_counting(store: SqlStore, empty_url: str) -> None:
    fill(store)

    copied = copy_database(store.engine, make_engine(empty_url))

    there = SqlStore(empty_url)
    assert copied["requests"] == 3
    with store.reading() as before, there.reading() as after:
        for number in range(3):
            reference = f"TST-{number:05d}"
            assert after.requests.by_reference(reference) == before.requests.by_reference(reference)
    with there.writing() as work:
        assert work.requests.add(a_new_request(9)).id == 4
    there.engine.dispose()


def test_nothing_is_copied_over_what_is_there(store: SqlStore, tmp_path: Path) -> None:
    fill(store)
    target = make_engine(f"sqlite:///{tmp_path}/target.db")
    copy_database(store.engine, target)

    with pytest.raises(NotEmpty):
        copy_database(store.engine, target)
    target.dispose()


def test_a_backup_taken_while_somebody_writes_is_one_whole_file(store: SqlStore, tmp_path: Path) -> None:
    fill(store)
    file = tmp_path / "backup.db"
    with store.writing() as work:
        work.requests.add(a_new_request(77))
        backup(store.engine, file)

    with sqlite3.connect(file) as connection:
        assert connection.execute("SELECT COUNT(*) FROM requests").fetchone() == (3,)
        assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    assert file.stat().st_mode & 0o077 == 0
    assert list(tmp_path.glob(".backup.db*")) == []


def test_a_backup_never_overwrites_a_file(store: SqlStore, tmp_path: Path) -> None:
    file = tmp_path / "precious.db"
    file.write_text("precious")

    with pytest.raises(FileExistsError):
        backup(store.engine, file)

    assert file.read_text() == "precious"
