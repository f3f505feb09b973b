"""Photos' files, in a folder and in a bucket: whole or not at all, gone when removed, found by the sweep; rows on both databases."""

import contextlib
import threading
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import boto3
import pytest

from configurator.domain.desk import Person
from configurator.domain.photos import NewPhoto, PhotoKind
from configurator.domain.review import Actor
from configurator.services.ports import FilesUnavailable, PhotoFiles
from configurator.settings import read_settings
from configurator.storage.photo_bucket import open_bucket
from configurator.storage.photo_files import FolderPhotos
from configurator.storage.store import SqlStore
from configurator.web.wiring import Wiring
from tests.desk_builders import NOON, a_new_request

moto_server = pytest.importorskip("moto.server", reason="moto isn't installed, so the bucket isn't tested")
NAME = "0123456789abcdef0123456789abcdef.large.webp"


@pytest.fixture(scope="module")
def s3() -> Iterator[str]:
    """A server that speaks the S3 protocol, on this machine."""
    server = moto_server.ThreadedMotoServer(ip_address="127.0.0.1", port=0, verbose=False)
    server.start()
    host, port = server.get_host_and_port()
    client = boto3.client(
        "s3", endpoint_url=f"http://{host}:{port}", aws_access_key_id="key", aws_secret_access_key="a/secret", region_name="us-east-1"
    )
    client.create_bucket(Bucket="film-photos")
    yield f"{host}:{port}"
    server.stop()


@pytest.fixture(params=["folder", "bucket"])
def files(request: pytest.FixtureRequest, tmp_path: Path) -> PhotoFiles:
    if request.param == "folder":
        return FolderPhotos(tmp_path / "photos")
    address = request.getfixturevalue("s3")
    return open_bucket(f"http://key:a%2Fsecret@{address}/film-photos/{tmp_path.name}?region=us-east-1")


def test_what_was_put_is_got_and_is_gone_when_removed(files: PhotoFiles) -> None:
    assert files.get(NAME) is None
    files.put(NAME, b"one")
    files.put(NAME, b"two")
    assert files.get(NAME) == b"two"
    files.remove(NAME)
    files.remove(NAME)

    assert files.get(NAME) is None


def test_everything_is_listed_with_when_it_was_written(files: PhotoFiles) -> None:
    for number in range(5):
        files.put(f"{number:032x}.small.webp", b"x")
    listed = dict(files.everything())

    assert set(listed) == {f"{number:032x}.small.webp" for number in range(5)}
    assert all(abs(datetime.now(UTC) - written) < timedelta(minutes=5) for written in listed.values())


def test_a_store_that_does_not_answer_says_so(tmp_path: Path, s3: str) -> None:
    (tmp_path / "in_the_way").write_text("")
    for broken in (
        FolderPhotos(tmp_path / "in_the_way"),
        open_bucket(f"http://key:secret@{s3}/no-such-bucket"),
    ):
        with pytest.raises(FilesUnavailable) as refused:
            broken.put(NAME, b"x")
        assert "secret" not in str(refused.value)


@pytest.mark.parametrize("name", ["../../secret-key", "/etc/passwd", "..", "", "a/../../b.large.webp", "x" * 300])
def test_no_name_leads_out_of_the_folder(tmp_path: Path, name: str) -> None:
    (tmp_path / "secret-key").write_text("secret")
    folder = FolderPhotos(tmp_path / "photos")
    with contextlib.suppress(FilesUnavailable):
        assert folder.get(name) is None
    assert (tmp_path / "secret-key").exists()


def test_a_reader_never_sees_half_a_file(tmp_path: Path) -> None:
    """Written again and again by one, read by another: always one of the two whole contents."""
    folder, whole = FolderPhotos(tmp_path / "photos"), (b"a" * 400_000, b"b" * 400_000)
    folder.put(NAME, whole[0])
    stopping = threading.Event()

    def write() -> None:
        while not stopping.is_set():
            for content in whole:
                folder.put(NAME, content)

    writer = threading.Thread(target=write)
    writer.start()
    try:
        seen = {folder.get(NAME) for _ in range(300)}
    finally:
        stopping.set()
        writer.join()

    assert seen <= set(whole)
    assert [name for name, _ in folder.everything()] == [NAME]


def test_files_are_for_the_servers_own_user(tmp_path: Path) -> None:
    folder = FolderPhotos(tmp_path / "photos")
    folder.put(NAME, b"x")
    [file] = (tmp_path / "photos").glob("*/*.webp")

    assert file.stat().st_mode & 0o077 == 0
    assert file.parent.stat().st_mode & 0o077 == 0


def test_the_setting_chooses_the_bucket(tmp_path: Path, s3: str) -> None:
    address = f"http://key:a%2Fsecret@{s3}/film-photos/{tmp_path.name}"
    wiring = Wiring(read_settings({"TUCKLINE_PHOTO_BUCKET": address, "TUCKLINE_DATA_DIR": str(tmp_path)}))
    wiring.photo_files.put(NAME, b"x")

    assert list(tmp_path.iterdir()) == []
    assert open_bucket(address).get(NAME) == b"x"


def new_photo(request_id: int, name: str, kind: PhotoKind = PhotoKind.VISITOR) -> NewPhoto:
    return NewPhoto(
        request_id=request_id, kind=kind, name=name, caption="", width=4, height=3, size_bytes=9, added_at=NOON,
        by=Person(Actor.VISITOR),
    )  # fmt: skip


def test_two_uploads_cannot_both_be_the_last_one(store: SqlStore) -> None:
    """Counting holds the request, so the second one counts after the first has written."""
    with store.writing() as work:
        request = work.requests.add(a_new_request())
    counted: list[int] = []
    both_ready = threading.Barrier(2)

    def upload(name: str) -> None:
        both_ready.wait()
        with store.writing() as work:
            counted.append(work.photos.count_holding(request.id, PhotoKind.VISITOR))
            work.photos.add(new_photo(request.id, name))

    threads = [threading.Thread(target=upload, args=(name,)) for name in ("a" * 32, "b" * 32)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert sorted(counted) == [0, 1]


def test_rows_come_back_as_they_were_kept_in_order(store: SqlStore) -> None:
    with store.writing() as work:
        first, second = (work.requests.add(a_new_request(number)) for number in (1, 2))
        kept = [work.photos.add(new_photo(first.id, letter * 32, kind)) for letter, kind in zip("abc", PhotoKind, strict=True)]
        work.photos.add(new_photo(second.id, "d" * 32))
    with store.writing() as work:
        assert work.photos.of(first.id) == tuple(kept)
        assert work.photos.of(first.id, PhotoKind.AFTER) == (kept[2],)
        assert work.photos.known(["a" * 32, "d" * 32, "e" * 32]) == {"a" * 32, "d" * 32}
        work.photos.remove(kept[0].id)
        assert work.photos.of(first.id) == tuple(kept[1:])
