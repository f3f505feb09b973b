"""What the pages with photos share: how one comes in, how one goes out, and how a list of them is shown."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from io import BytesIO
from typing import BinaryIO, cast

from flask import Blueprint, Response, abort, make_response, request

from configurator.domain.photos import LARGEST_FILE_BYTES, Photo, PhotoSize
from configurator.services.pictures import photos
from configurator.services.ports import FilesUnavailable
from configurator.web.i18n import words
from configurator.web.request_reading import shop_time
from configurator.web.wiring import wired

LARGEST_UPLOAD_BYTES = LARGEST_FILE_BYTES + 500_000
"""One photo and the rest of its form. Only the addresses that take photos accept a body of this size."""
TAKEN = "image/jpeg,image/png,image/webp,image/heic,image/heif,.heic,.heif"


@dataclass(frozen=True)
class PhotoCard:
    """A photo as a page shows it. `href` leads to its own page; `small` and `large` are the images."""

    number: int
    name: str
    text: str
    at: str
    href: str
    small: str
    large: str
    width: int
    height: int


def let_photos_in(blueprint: Blueprint, *endpoints: str) -> None:
    """Raises the bound on the body for these addresses, before anything reads the form."""
    names = {f"{blueprint.name}.{endpoint}" for endpoint in endpoints}

    @blueprint.url_value_preprocessor
    def more_room(endpoint: str | None, _values: dict[str, object] | None) -> None:
        if endpoint in names and request.method == "POST":
            request.max_content_length = LARGEST_UPLOAD_BYTES


def sent_photo() -> BinaryIO:
    """The file of the form; an empty one when none was chosen."""
    sent = request.files.get("photo")
    return cast(BinaryIO, sent.stream) if sent is not None else BytesIO()


def image(photo: Photo, size: str) -> Response:
    """The file itself: never kept by the browser, never taken for anything but an image, unable to do anything if opened alone."""
    if size not in set(PhotoSize):
        abort(404)
    try:
        content = photos.content(photo, PhotoSize(size), wired().album)
    except photos.NoSuchPhoto:
        abort(404)
    except FilesUnavailable:
        abort(503)
    response = make_response(content)
    response.content_type = "image/webp"
    response.headers["Cache-Control"] = "no-store"
    response.headers["X-Content-Type-Options"] = "nosniff"
    response.headers["Content-Security-Policy"] = "default-src 'none'; frame-ancestors 'none'; sandbox"
    response.headers["Content-Disposition"] = 'inline; filename="photo.webp"'
    response.headers["Cross-Origin-Resource-Policy"] = "same-origin"
    return response


def cards(found: Iterable[Photo], page: Callable[[Photo], str], file: Callable[[Photo, PhotoSize], str]) -> tuple[PhotoCard, ...]:
    """Photos for a page; `page` and `file` give addresses."""
    say = words()
    return tuple(
        PhotoCard(
            number=number,
            name=photo.name,
            text=photo.caption or say.gettext("Photo %(number)s") % {"number": say.number(number)},
            at=say.datetime(shop_time(photo.added_at), "medium"),
            href=page(photo),
            small=file(photo, PhotoSize.SMALL),
            large=file(photo, PhotoSize.LARGE),
            width=photo.width,
            height=photo.height,
        )
        for number, photo in enumerate(found, 1)
    )


@dataclass(frozen=True)
class Shown:
    """One photo on a page of its own, with its neighbours."""

    card: PhotoCard
    before: PhotoCard | None
    after: PhotoCard | None
    of: int


def shown(all_cards: tuple[PhotoCard, ...], name: str) -> Shown:
    """The photo of this name among its kind; 404 when it isn't there."""
    place = next((place for place, card in enumerate(all_cards) if card.name == name), None)
    if place is None:
        abort(404)
    before = all_cards[place - 1] if place else None
    after = all_cards[place + 1] if place + 1 < len(all_cards) else None
    return Shown(all_cards[place], before, after, len(all_cards))


def wants_json() -> bool:
    """Whether the sender is a program that asks for JSON rather than for the next page."""
    return request.accept_mimetypes.best_match(("text/html", "application/json")) == "application/json"
