"""Photos of a request: added, listed, shown, taken away, and what was left over swept up.

A file is written before its row and removed after it: a row always has its files, and a file without a row is swept by the worker.
"""

import logging
import secrets
from dataclasses import dataclass
from datetime import timedelta
from typing import BinaryIO

from configurator.domain.desk import Event, Person
from configurator.domain.photos import LONGEST_CAPTION, NewPhoto, Photo, PhotoKind, PhotoSize, file_name
from configurator.domain.review import Actor
from configurator.errors import Fault, InvalidInput, TucklineError
from configurator.services.contacts import checked_text
from configurator.services.pictures.image_checking import check_photo
from configurator.services.ports import ChangedMeanwhile, Clock, PhotoFiles, Store, Work

log = logging.getLogger("tuckline.photos")

LEFT_OVER_AFTER = timedelta(hours=1)
"""A file without a row is left over once no upload can still be about to write the row."""
SWEEP_BATCH = 200
MANY = 20
"""Left-over files that a few accidents may leave; more than these, and more than half of all, is no accident of one upload."""


class NoSuchPhoto(TucklineError):
    """This request has no photo of this name."""

    code = "not_found"


@dataclass(frozen=True)
class Album:
    """What photos work with; `most` is the price book's bound on the photos of one request and kind."""

    store: Store
    clock: Clock
    files: PhotoFiles
    most: int


def add(request_id: int, kind: PhotoKind, stream: BinaryIO, by: Person, album: Album, *, caption: str = "") -> Photo:
    """Keeps a photo of a request and writes it into its history.

    `stream` is the file as it was sent; `caption` says what it shows. Raises InvalidInput (path `photo` or `caption`: not a photo
    that is taken, too large, one too many), ChangedMeanwhile (a visitor's, and the request has come to its end) and FilesUnavailable.
    """
    faults: list[Fault] = []
    tidy = checked_text(caption, "caption", faults, longest=LONGEST_CAPTION)
    if faults:
        raise InvalidInput(faults)
    _refuse_one_too_many(len(list_of(request_id, kind, album)), album)
    checked = check_photo(stream)
    name = secrets.token_hex(16)
    try:
        album.files.put(file_name(name, PhotoSize.LARGE), checked.large)
        album.files.put(file_name(name, PhotoSize.SMALL), checked.small)
        with album.store.writing() as work:
            _refuse_one_too_many(work.photos.count_holding(request_id, kind), album)
            _refuse_closed(request_id, by, work)
            now = album.clock()
            new = NewPhoto(
                request_id=request_id, kind=kind, name=name, caption=tidy, width=checked.width, height=checked.height,
                size_bytes=len(checked.large), added_at=now, by=by,
            )  # fmt: skip
            kept = work.photos.add(new)
            work.requests.record(request_id, Event(at=now, by=by, kind="photo_added", facts={"of": kind.value}))
    except BaseException:
        remove_files(name, album)
        raise
    return kept


def list_of(request_id: int, kind: PhotoKind | None, album: Album) -> tuple[Photo, ...]:
    """A request's photos (of one kind; None: of all), oldest first."""
    with album.store.reading() as work:
        return work.photos.of(request_id, kind)


def find(request_id: int, name: str, album: Album) -> Photo:
    """One photo of a request. Raises NoSuchPhoto, also for a photo of another request."""
    found = next((photo for photo in list_of(request_id, None, album) if photo.name == name), None)
    if found is None:
        raise NoSuchPhoto
    return found


def content(photo: Photo, size: PhotoSize, album: Album) -> bytes:
    """The file (WebP). Raises NoSuchPhoto when it is gone, FilesUnavailable."""
    found = album.files.get(file_name(photo.name, size))
    if found is None:
        raise NoSuchPhoto
    return found


def remove(photo: Photo, by: Person, album: Album) -> None:
    """Takes a photo away for good; the history keeps that there was one."""
    with album.store.writing() as work:
        work.photos.remove(photo.id)
        event = Event(at=album.clock(), by=by, kind="photo_removed", facts={"of": photo.kind.value})
        work.requests.record(photo.request_id, event)
    remove_files(photo.name, album)


def sweep(album: Album) -> int:
    """Removes files that have no row: of an upload or a removal that died half-way. How many.

    When most of the files have no row, something else is wrong (another shop's database, an old backup): then nothing is touched.
    """
    files = list(album.files.everything())
    left_over = _without_row([file for file, written in files if written < album.clock() - LEFT_OVER_AFTER], album)
    if len(left_over) > max(MANY, len(files) // 2):
        log.warning("%s of %s files of photos have no row; is this the right database? Nothing was removed", len(left_over), len(files))
        return 0
    for file in left_over:
        album.files.remove(file)
    return len(left_over)


def _without_row(files: list[str], album: Album) -> list[str]:
    left_over: list[str] = []
    for start in range(0, len(files), SWEEP_BATCH):
        batch = files[start : start + SWEEP_BATCH]
        with album.store.reading() as work:
            known = work.photos.known({_name(file) for file in batch})
        left_over += [file for file in batch if _name(file) not in known]
    return left_over


def _refuse_closed(request_id: int, by: Person, work: Work) -> None:
    """A visitor's photo that was on its way while the request came to its end, or its person was erased, is not kept."""
    request = work.requests.by_id(request_id)
    if by.actor is Actor.VISITOR and (request is None or not request.state.is_open):
        raise ChangedMeanwhile


def _refuse_one_too_many(there: int, album: Album) -> None:
    if there >= album.most:
        raise InvalidInput([Fault("photo", "photos_too_many", {"most": album.most})])


def remove_files(name: str, album: Album) -> None:
    """Best effort: what can't be removed now is swept later."""
    for size in PhotoSize:
        try:
            album.files.remove(file_name(name, size))
        except TucklineError:
            log.warning("a photo's file could not be removed; it will be swept")


def _name(file: str) -> str:
    return file.partition(".")[0]
