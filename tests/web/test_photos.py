"""Photos on the pages: who may add and see them, what is refused and how, and that nothing else gets larger bodies."""

import io
from datetime import timedelta
from pathlib import Path

import pytest
from flask.testing import FlaskClient
from PIL import Image
from werkzeug.test import TestResponse

from configurator.domain.desk import Person
from configurator.domain.photos import PhotoKind
from configurator.domain.review import Actor, State
from configurator.services.pictures import photos
from configurator.storage.photo_files import FolderPhotos
from tests.web.desk_app import Desk, form_token, make_desk

ROBIN = Person(Actor.ADVISOR)


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return make_desk(tmp_path)


def a_photo(colour: str = "red") -> bytes:
    file = io.BytesIO()
    Image.new("RGB", (640, 480), colour).save(file, "JPEG")
    return file.getvalue()


def upload(client: FlaskClient, address: str, content: bytes, file_name: str = "IMG_0001.jpg", **more: object) -> TestResponse:
    headers = more.pop("headers", {})
    return client.post(
        address, data={"photo": (io.BytesIO(content), file_name), **more}, headers=headers, content_type="multipart/form-data"
    )  # type: ignore[arg-type, dict-item]


def kept_photos(desk: Desk, reference: str) -> tuple[photos.Photo, ...]:
    with desk.wiring.store.reading() as work:
        request = work.requests.by_reference(reference)
    assert request is not None
    return photos.list_of(request.id, None, desk.wiring.album)


def put(desk: Desk, reference: str, kind: PhotoKind) -> photos.Photo:
    """A photo taken by the shop."""
    with desk.wiring.store.reading() as work:
        request = work.requests.by_reference(reference)
    assert request is not None
    return photos.add(request.id, kind, io.BytesIO(a_photo()), ROBIN, desk.wiring.album)


def hand_over(desk: Desk, reference: str) -> None:
    """Moves a request to its end, past every need: what counts here is who sees what then."""
    from configurator.domain.desk import Event

    with desk.wiring.store.writing() as work:
        request = work.requests.by_reference(reference)
        assert request is not None
        work.requests.move(request, State.HANDED_OVER, Event(at=desk.clock(), by=ROBIN, kind="moved", target=State.HANDED_OVER))


def test_a_visitor_adds_a_photo_and_the_desk_sees_it(desk: Desk) -> None:
    reference, token = desk.send()
    visitor = desk.client()
    sent = upload(visitor, f"/r/{token}/photos", a_photo(), caption="Left <door>")
    [kept] = kept_photos(desk, reference)
    page = visitor.get(f"/r/{token}/photos").text
    at_the_desk = desk.client("robin").get(f"/staff/requests/{reference}").text

    assert (sent.status_code, sent.location) == (303, f"/r/{token}/photos")
    assert "Left &lt;door&gt;" in page
    assert f"/r/{token}/photos/{kept.name}/small.webp" in page
    assert f"/staff/requests/{reference}/photos/{kept.name}/small.webp" in at_the_desk
    assert "added a photo" in at_the_desk
    assert "IMG_0001" not in page + at_the_desk


def test_an_image_can_do_nothing_but_be_looked_at(desk: Desk) -> None:
    reference, token = desk.send()
    upload(desk.client(), f"/r/{token}/photos", a_photo())
    [kept] = kept_photos(desk, reference)
    for client, address in (
        (desk.client(), f"/r/{token}/photos/{kept.name}/large.webp"),
        (desk.client("robin"), f"/staff/requests/{reference}/photos/{kept.name}/small.webp"),
    ):
        answer = client.get(address)
        assert answer.status_code == 200
        assert answer.content_type == "image/webp"
        assert answer.headers["Cache-Control"] == "no-store"
        assert answer.headers["X-Content-Type-Options"] == "nosniff"
        assert answer.headers["Content-Security-Policy"] == "default-src 'none'; frame-ancestors 'none'; sandbox"
        assert Image.open(io.BytesIO(answer.data)).format == "WEBP"


def test_a_photo_opens_only_with_its_own_requests_link(desk: Desk) -> None:
    reference, token = desk.send()
    _, other = desk.send()
    upload(desk.client(), f"/r/{token}/photos", a_photo())
    [kept] = kept_photos(desk, reference)
    stranger = desk.client()

    for address in (
        f"/r/{other}/photos/{kept.name}", f"/r/{other}/photos/{kept.name}/large.webp", f"/r/nobody/photos/{kept.name}/large.webp",
        f"/r/{token}/photos/{kept.name}/huge.webp", f"/r/{token}/photos/{'0' * 32}/large.webp",
        f"/r/{token}/photos/..%2f..%2fshop.db/large.webp",
        f"/static/photos/{kept.name[:2]}/{kept.name}.large.webp",
    ):  # fmt: skip
        assert stranger.get(address).status_code == 404, address
    assert stranger.post(f"/r/{other}/photos/{kept.name}/remove").status_code == 404
    assert stranger.get(f"/staff/requests/{reference}/photos/{kept.name}/large.webp").status_code == 303
    assert len(kept_photos(desk, reference)) == 1


def test_the_bay_sees_what_the_bay_took_and_nothing_of_the_visitor(desk: Desk) -> None:
    reference, token = desk.send()
    upload(desk.client(), f"/r/{token}/photos", a_photo())
    put(desk, reference, PhotoKind.CHECK_IN)
    visitors, bays = kept_photos(desk, reference)
    tomas = desk.client("tomas")

    assert tomas.get(f"/staff/bay/photos/{reference}/{bays.name}/large.webp").status_code == 200
    assert tomas.get(f"/staff/bay/photos/{reference}/{visitors.name}/large.webp").status_code == 404
    assert tomas.get(f"/staff/requests/{reference}/photos/{bays.name}/large.webp").status_code == 403
    assert "Ellison" not in tomas.get(f"/staff/bay/photos/{reference}").text
    assert desk.client("jost").get(f"/staff/bay/photos/{reference}/{bays.name}/large.webp").status_code == 403


def test_an_installer_adds_one_and_comes_back_to_the_page_it_stood_on(desk: Desk) -> None:
    reference, _ = desk.send()
    tomas = desk.client("tomas")
    token = form_token(tomas.get(f"/staff/bay/photos/{reference}").text)
    address = f"/staff/bay/photos/{reference}"
    added = upload(tomas, address, a_photo(), form_token=token, kind="check_in", back="/staff/bay/somewhere")
    elsewhere = upload(tomas, address, a_photo(), form_token=token, kind="after", back="//evil.example/staff/")
    visitors = upload(tomas, address, a_photo(), form_token=token, kind="visitor")
    unguarded = upload(tomas, address, a_photo(), kind="check_in")

    assert (added.status_code, added.location) == (303, "/staff/bay/somewhere")
    assert elsewhere.location == address
    assert visitors.status_code == 400
    assert unguarded.status_code == 403
    assert [photo.kind for photo in kept_photos(desk, reference)] == [PhotoKind.CHECK_IN, PhotoKind.AFTER]


def test_the_visitor_sees_the_shops_photos_once_the_car_is_back(desk: Desk) -> None:
    reference, token = desk.send()
    put(desk, reference, PhotoKind.CHECK_IN)
    after = put(desk, reference, PhotoKind.AFTER)
    address = f"/r/{token}/photos/{after.name}/large.webp"
    before = desk.client().get(address).status_code
    hand_over(desk, reference)
    page = desk.client().get(f"/r/{token}").text

    assert before == 404
    assert desk.client().get(address).status_code == 200
    assert "Photos at check-in" in page
    assert "Photos after the work" in page


def test_a_visitor_takes_their_own_photo_away_but_not_the_shops(desk: Desk) -> None:
    reference, token = desk.send()
    visitor = desk.client()
    upload(visitor, f"/r/{token}/photos", a_photo())
    shops = put(desk, reference, PhotoKind.AFTER)
    own = kept_photos(desk, reference)[0]
    files = FolderPhotos(desk.wiring.settings.data_path / "photos")

    assert visitor.post(f"/r/{token}/photos/{shops.name}/remove").status_code == 404
    assert visitor.post(f"/r/{token}/photos/{own.name}/remove").status_code == 303
    assert visitor.post(f"/r/{token}/photos/{own.name}/remove").status_code == 404
    assert kept_photos(desk, reference) == (shops,)
    assert {file.partition(".")[0] for file, _ in files.everything()} == {shops.name}
    assert "took a photo away" in desk.client("robin").get(f"/staff/requests/{reference}").text


def test_after_hand_over_the_page_is_for_looking_only(desk: Desk) -> None:
    reference, token = desk.send()
    upload(desk.client(), f"/r/{token}/photos", a_photo())
    [kept] = kept_photos(desk, reference)
    hand_over(desk, reference)
    visitor = desk.client()

    assert upload(visitor, f"/r/{token}/photos", a_photo()).status_code == 409
    assert visitor.post(f"/r/{token}/photos/{kept.name}/remove").status_code == 409
    assert "<form" not in visitor.get(f"/r/{token}/photos").text


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "Please choose a photo first."),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "This is not a photo that we can take."),
        (a_photo()[:900], "damaged"),
    ],
)
def test_what_is_refused_is_said_beside_the_field(desk: Desk, content: bytes, said: str) -> None:
    reference, token = desk.send()
    refused = upload(desk.client(), f"/r/{token}/photos", content, "photo.jpg")

    assert refused.status_code == 422
    assert said in refused.text
    assert 'aria-invalid="true"' in refused.text
    assert kept_photos(desk, reference) == ()


def test_sixteen_megabytes_are_refused_and_the_other_pages_take_no_more_than_before(desk: Desk) -> None:
    _, token = desk.send()
    visitor = desk.client()
    sixteen = bytes(16 * 2**20)
    large = upload(visitor, f"/r/{token}/photos", a_photo() + sixteen)
    elsewhere = visitor.post(f"/r/{token}/withdraw", data={"reason": "x" * 1_200_000})
    for_a_program = upload(visitor, f"/r/{token}/photos", sixteen, headers={"Accept": "application/json"})

    assert large.status_code == 413
    assert "larger than 15 MB" in large.text
    assert elsewhere.status_code == 413
    assert for_a_program.status_code == 413
    assert for_a_program.json["errors"][0]["code"] == "photo_too_large"


def test_twelve_fit_and_the_thirteenth_is_told_so(desk: Desk) -> None:
    _, token = desk.send()
    visitor = desk.client()
    answers = [upload(visitor, f"/r/{token}/photos", a_photo(), headers={"Accept": "application/json"}) for _ in range(13)]

    assert [answer.status_code for answer in answers] == [201] * 12 + [422]
    assert [answer.json["left"] for answer in answers[:12]] == list(range(11, -1, -1))
    assert answers[12].content_type == "application/problem+json"
    assert "There are 12 photos already" in answers[12].json["errors"][0]["message"]
    assert "There are 12 photos, as many as fit." in visitor.get(f"/r/{token}/photos").text


def test_photos_are_counted_per_address(tmp_path: Path) -> None:
    desk = make_desk(tmp_path, TUCKLINE_RATE_PHOTOS="2/hour")
    _, token = desk.send()
    visitor = desk.client()

    assert [upload(visitor, f"/r/{token}/photos", a_photo()).status_code for _ in range(3)] == [303, 303, 429]


def test_a_file_that_lost_its_row_is_swept_and_no_other(desk: Desk) -> None:
    reference, token = desk.send()
    upload(desk.client(), f"/r/{token}/photos", a_photo())
    [kept] = kept_photos(desk, reference)
    files = FolderPhotos(desk.wiring.settings.data_path / "photos")
    files.put(f"{'a' * 32}.large.webp", b"left over")
    (files.folder / "unfinished").mkdir(exist_ok=True)
    (files.folder / "unfinished" / "half").write_bytes(b"half")

    newest = max(written for _, written in files.everything())

    desk.clock.now = min(written for _, written in files.everything()) + photos.LEFT_OVER_AFTER
    assert photos.sweep(desk.wiring.album) == 0, "an upload may still be about to write its row"
    desk.clock.now = newest + photos.LEFT_OVER_AFTER + timedelta(seconds=1)
    assert photos.sweep(desk.wiring.album) == 2
    assert {file.partition(".")[0] for file, _ in files.everything()} == {kept.name}
    assert desk.client().get(f"/r/{token}/photos/{kept.name}/large.webp").status_code == 200


def test_another_shops_database_costs_no_photo(desk: Desk) -> None:
    """A folder full of photos that the database has never heard of is left alone."""
    files = FolderPhotos(desk.wiring.settings.data_path / "photos")
    for number in range(photos.MANY + 1):
        files.put(f"{number:032x}.large.webp", b"x")
    desk.clock.now = max(written for _, written in files.everything()) + photos.LEFT_OVER_AFTER + timedelta(seconds=1)

    assert photos.sweep(desk.wiring.album) == 0
    assert len(list(files.everything())) == photos.MANY + 1


@pytest.mark.parametrize("name", ["photo.exe", "photo.svg", "../../photo.jpg", "photo.jpg.php", "photo", "фото.jpg", "x" * 400])
def test_the_name_of_a_file_means_nothing(desk: Desk, name: str) -> None:
    reference, token = desk.send()

    assert upload(desk.client(), f"/r/{token}/photos", a_photo(), name).status_code == 303
    assert len(kept_photos(desk, reference)) == 1
    assert upload(desk.client(), f"/r/{token}/photos", b"<svg xmlns='http://www.w3.org/2000/svg'/>", "photo.jpg").status_code == 422


def test_a_folder_that_takes_nothing_leaves_no_row_and_says_so(desk: Desk) -> None:
    reference, token = desk.send()
    (desk.wiring.settings.data_path / "photos").write_text("in the way")
    answer = upload(desk.client(), f"/r/{token}/photos", a_photo())

    assert answer.status_code == 503
    assert kept_photos(desk, reference) == ()
