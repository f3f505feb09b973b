"""Photos: their rows in the database, and their files somewhere else."""

from collections.abc import Collection, Iterator
from datetime import datetime
from typing import Protocol

from configurator.domain.photos import NewPhoto, Photo, PhotoKind
from configurator.errors import TucklineError


class FilesUnavailable(TucklineError):
    """The place where photos lie doesn't take or give them just now. Trying again may help."""

    code = "files_unavailable"


class Photos(Protocol):
    """The rows."""

    def add(self, photo: NewPhoto) -> Photo:
        """Keeps a row; its files are there already."""

    def of(self, request_id: int, kind: PhotoKind | None = None) -> tuple[Photo, ...]:
        """A request's photos, oldest first."""

    def count_holding(self, request_id: int, kind: PhotoKind) -> int:
        """How many there are; holds the request until the transaction ends, so that two uploads can't both be the last one."""

    def remove(self, photo_id: int) -> None:
        """Takes a row out; its files go after the transaction."""

    def known(self, names: Collection[str]) -> frozenset[str]:
        """Those of some names that have a row."""


class PhotoFiles(Protocol):
    """The files. A file is there whole or not at all. Every method may raise FilesUnavailable."""

    def put(self, file: str, content: bytes) -> None:
        """Keeps a file."""

    def get(self, file: str) -> bytes | None:
        """A file's content; None when it isn't there."""

    def remove(self, file: str) -> None:
        """Takes a file away, if it is there."""

    def everything(self) -> Iterator[tuple[str, datetime]]:
        """Every file with when it was written."""
