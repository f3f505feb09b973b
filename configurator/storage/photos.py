"""The rows of photos."""

from collections.abc import Collection

from sqlalchemy import delete, func, select
from sqlalchemy.orm import Session

from configurator.domain.desk import Person
from configurator.domain.photos import NewPhoto, Photo, PhotoKind
from configurator.domain.review import Actor
from configurator.storage.models import PhotoRow, RequestRow


class SqlPhotos:
    """The photos of one transaction."""

    def __init__(self, session: Session) -> None:
        self._session = session

    def add(self, photo: NewPhoto) -> Photo:
        row = PhotoRow(
            request_id=photo.request_id,
            kind=photo.kind.value,
            name=photo.name,
            caption=photo.caption,
            width=photo.width,
            height=photo.height,
            size_bytes=photo.size_bytes,
            added_at=photo.added_at,
            actor=photo.by.actor.value,
            user_id=photo.by.id,
        )
        self._session.add(row)
        self._session.flush()
        return _to_photo(row)

    def of(self, request_id: int, kind: PhotoKind | None = None) -> tuple[Photo, ...]:
        """A request's photos, oldest first."""
        statement = select(PhotoRow).where(PhotoRow.request_id == request_id).order_by(PhotoRow.id)
        if kind is not None:
            statement = statement.where(PhotoRow.kind == kind.value)
        return tuple(map(_to_photo, self._session.scalars(statement)))

    def count_holding(self, request_id: int, kind: PhotoKind) -> int:
        """Locks the request's row (PostgreSQL; on SQLite the writer is alone anyway) and counts."""
        self._session.execute(select(RequestRow.id).where(RequestRow.id == request_id).with_for_update())
        mine = (PhotoRow.request_id == request_id, PhotoRow.kind == kind.value)
        return self._session.scalar(select(func.count()).select_from(PhotoRow).where(*mine)) or 0

    def remove(self, photo_id: int) -> None:
        self._session.execute(delete(PhotoRow).where(PhotoRow.id == photo_id))

    def known(self, names: Collection[str]) -> frozenset[str]:
        return frozenset(self._session.scalars(select(PhotoRow.name).where(PhotoRow.name.in_(names))))


def _to_photo(row: PhotoRow) -> Photo:
    return Photo(
        id=row.id,
        request_id=row.request_id,
        kind=PhotoKind(row.kind),
        name=row.name,
        caption=row.caption,
        width=row.width,
        height=row.height,
        size_bytes=row.size_bytes,
        added_at=row.added_at,
        by=Person(Actor(row.actor), row.user_id),
    )
