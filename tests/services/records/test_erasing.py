"""Erasing with its files, its moves, its refusals; and retention by the clock."""

import io
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from PIL import Image

from configurator.domain.data_rights import NOBODY
from configurator.domain.desk import Event, Person
from configurator.domain.photos import PhotoKind
from configurator.domain.review import Actor, State
from configurator.services import reviewing
from configurator.services.mail.mailer import FolderMailer
from configurator.services.mail.sending import send_due
from configurator.services.pictures import photos
from configurator.services.ports import ChangedMeanwhile
from configurator.services.records.erasing import Erasure, Records, StillNeeded, erase
from configurator.services.records.exporting import export_person
from configurator.services.records.retention import Housekeeper, erase_overdue, months_before
from configurator.wire.selection import load_selection
from tests.desk_builders import NOON
from tests.web.desk_app import Desk, make_desk

EMAIL = "mara@ellison.example"
INES = Person(Actor.OWNER, 1, "Ines Tester")
TRACES = (b"ellison", b"2025550123", b"abc 123", b"abc123", b"please call before noon", b"a secret note", b"silver sedan")


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return make_desk(tmp_path)


@pytest.fixture
def records(desk: Desk) -> Records:
    return desk.wiring.records


def add_photo(desk: Desk, reference: str) -> None:
    file = io.BytesIO()
    Image.new("RGB", (64, 48), "red").save(file, "PNG")
    file.seek(0)
    with desk.wiring.store.reading() as work:
        request = reviewing.find(reference, work)
    photos.add(request.id, PhotoKind.VISITOR, file, Person(Actor.VISITOR), desk.wiring.album, caption="a secret note")


def state_of(desk: Desk, reference: str) -> State:
    with desk.wiring.store.reading() as work:
        return reviewing.find(reference, work).state


def set_state(desk: Desk, reference: str, state: State) -> None:
    with desk.wiring.store.writing() as work:
        request = reviewing.find(reference, work)
        work.requests.move(request, state, Event(at=desk.clock(), by=INES, kind="moved", source=request.state, target=state))


def test_not_a_byte_is_left_in_the_data_folder(desk: Desk, records: Records, tmp_path: Path) -> None:
    """Database, its log, photos, copies of mail: everything that the shop's machine keeps."""
    reference, _ = desk.send()
    reviewing.add_note(reference, "a secret note about Mara Ellison", INES, desk.wiring.desk())
    add_photo(desk, reference)
    send_due(desk.wiring.post_room)
    assert isinstance(desk.wiring.post_room.mailer, FolderMailer)
    files = [file for file in tmp_path.rglob("*") if file.is_file()]
    assert {file.suffix for file in files} >= {".eml", ".webp", ".db"}
    before = b"".join(file.read_bytes() for file in files).lower()
    assert [trace for trace in TRACES if trace not in before] == []

    erased = erase(EMAIL, INES, records)

    left = {file: file.read_bytes().lower() for file in tmp_path.rglob("*") if file.is_file()}
    assert erased == Erasure(1, 1, 1)
    assert [(file.name, trace) for file, content in left.items() for trace in TRACES if trace in content] == []
    assert [file.name for file in left if file.suffix == ".webp"] == []
    desk.wiring.store.engine.dispose()


def test_the_history_keeps_what_happened(desk: Desk, records: Records) -> None:
    reference, _ = desk.send()
    reviewing.add_note(reference, "a secret note", INES, desk.wiring.desk())
    erase(EMAIL, INES, records)
    with desk.wiring.store.reading() as work:
        request = reviewing.find(reference, work)
        history = work.requests.history(request.id)

    assert [event.kind for event in history] == ["moved", "noted", "moved", "erased"]
    assert history[2].target is State.WITHDRAWN
    assert history[1].by == INES
    assert {event.reason for event in history} == {""}
    assert request.contact.name == NOBODY


def test_doing_it_again_does_nothing(desk: Desk, records: Records) -> None:
    reference, _ = desk.send()
    erase(EMAIL, INES, records)
    with desk.wiring.store.reading() as work:
        before = work.requests.history(reviewing.find(reference, work).id)

    assert erase(EMAIL, INES, records) == Erasure(0, 0, 0)
    assert erase("nobody@ellison.example", INES, records) == Erasure(0, 0, 0)
    with desk.wiring.store.reading() as work:
        assert work.requests.history(reviewing.find(reference, work).id) == before


@pytest.mark.parametrize("state", [State.ACCEPTED, State.SCHEDULED, State.IN_BAY])
def test_a_car_that_is_expected_or_here_stands_in_the_way(desk: Desk, records: Records, state: State) -> None:
    reference, _ = desk.send()
    other, _ = desk.send()
    set_state(desk, reference, state)
    with pytest.raises(StillNeeded) as refused:
        erase(EMAIL, INES, records)

    assert [request.reference for request in refused.value.requests] == [reference]
    assert state_of(desk, other) is State.RECEIVED
    with desk.wiring.store.reading() as work:
        assert reviewing.find(other, work).contact.email == EMAIL


def test_a_photo_on_its_way_comes_too_late(desk: Desk, records: Records) -> None:
    """It was sent before the person was erased and is written after: neither its row nor its files stay."""
    reference, _ = desk.send()
    erase(EMAIL, INES, records)
    with pytest.raises(ChangedMeanwhile):
        add_photo(desk, reference)

    with desk.wiring.store.reading() as work:
        assert work.photos.of(reviewing.find(reference, work).id) == ()
    assert list(desk.wiring.photo_files.everything()) == []


@pytest.mark.parametrize("state", [State.RECEIVED, State.IN_REVIEW, State.QUOTED])
def test_an_open_request_is_withdrawn_with_its_person(desk: Desk, records: Records, state: State) -> None:
    reference, _ = desk.send()
    if state is not State.RECEIVED:
        set_state(desk, reference, state)
    erase(EMAIL, INES, records)

    assert state_of(desk, reference) is State.WITHDRAWN


def test_a_returning_owner_is_a_new_customer(desk: Desk, records: Records) -> None:
    first, _ = desk.send()
    erase(EMAIL, INES, records)
    second, _ = desk.send(selection=load_selection({"version": 1, "vehicle": {"body": "sedan"}, "coverage": {"package": "full_front"}}))
    with desk.wiring.store.reading() as work:
        old, new = (reviewing.find(reference, work) for reference in (first, second))
        held = work.data_rights.held(EMAIL)

    assert old.customer_id != new.customer_id
    assert [request.reference for request in held.requests] == [second]


def test_retention_forgets_what_ended_long_ago(desk: Desk, records: Records) -> None:
    old, _ = desk.send()
    add_photo(desk, old)
    set_state(desk, old, State.WITHDRAWN)
    desk.clock.now = NOON + timedelta(days=80)
    new, _ = desk.send(dates=())
    keeper = Housekeeper(records, months=3)
    keeper.look_around()
    with desk.wiring.store.reading() as work:
        assert reviewing.find(old, work).contact.email == EMAIL, "three months have not passed"
    desk.clock.now = NOON + timedelta(days=93)

    keeper.look_around()
    keeper.look_around()

    with desk.wiring.store.reading() as work:
        assert reviewing.find(old, work).contact.email == ""
        assert reviewing.find(new, work).contact.email == EMAIL
        erasures = [event for event in work.requests.history(reviewing.find(old, work).id) if event.kind == "erased"]
        assert work.photos.of(reviewing.find(old, work).id) == ()
    assert [event.by.actor for event in erasures] == [Actor.CLOCK]


def test_a_round_that_goes_wrong_stops_neither_the_worker_nor_the_next_round(desk: Desk, records: Records) -> None:
    class Broken:
        def everything(self) -> object:
            raise ZeroDivisionError

    broken = replace(records, album=replace(records.album, files=Broken()))  # type: ignore[arg-type]
    keeper = Housekeeper(broken, months=0)
    keeper.look_around()
    keeper.records = records
    desk.clock.now += timedelta(hours=2)
    desk.wiring.photo_files.put(f"{'a' * 32}.large.webp", b"left over")
    desk.clock.now = max(written for _, written in desk.wiring.photo_files.everything()) + timedelta(hours=2)
    keeper.last = None
    keeper.look_around()

    assert list(desk.wiring.photo_files.everything()) == []


def test_without_the_setting_nothing_is_forgotten(desk: Desk, records: Records) -> None:
    reference, _ = desk.send()
    set_state(desk, reference, State.WITHDRAWN)
    desk.clock.now = NOON + timedelta(days=9000)

    assert desk.wiring.settings.retention_months == 0
    assert erase_overdue(0, records) == 0
    with desk.wiring.store.reading() as work:
        assert reviewing.find(reference, work).contact.email == EMAIL


@pytest.mark.parametrize(
    ("day", "months", "before"), [("2027-03-08", 3, "2026-12-08"), ("2027-03-31", 1, "2027-02-28"), ("2027-01-15", 25, "2024-12-15")]
)
def test_months_are_counted_by_the_calendar(day: str, months: int, before: str) -> None:
    moment = NOON.fromisoformat(f"{day}T12:00:00+00:00")

    assert months_before(moment, months).date().isoformat() == before


def test_the_archive_holds_the_data_and_the_photos(desk: Desk, records: Records) -> None:
    import json
    import zipfile

    reference, _ = desk.send()
    add_photo(desk, reference)
    archive = io.BytesIO()
    found = export_person(EMAIL, records, archive)
    with zipfile.ZipFile(archive) as packed:
        names = packed.namelist()
        document = json.loads(packed.read("data.json"))
        photo = Image.open(io.BytesIO(packed.read(names[-1])))

    assert [request.reference for request in found.requests] == [reference]
    assert names == ["README.txt", "data.json", f"photos/{reference}-01-visitor.webp"]
    assert photo.size == (64, 48)
    assert document["customers"][0]["email"] == EMAIL
    assert document["photos"][0]["caption"] == "a secret note"
    assert "Tester" not in json.dumps(document)


def test_nothing_is_written_for_nobody(records: Records) -> None:
    archive = io.BytesIO()

    assert export_person("nobody@ellison.example", records, archive).is_empty
    assert archive.getvalue() == b""


def test_a_mail_folder_that_cannot_be_reached_stops_nothing(desk: Desk, records: Records, tmp_path: Path) -> None:
    desk.send()
    (tmp_path / "odd").write_text("not a folder")

    assert erase(EMAIL, INES, replace(records, mail_folder=tmp_path / "odd")).requests == 1
