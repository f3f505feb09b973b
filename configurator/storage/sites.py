"""The list of sites in the database, and the notes of where the configurator was asked for."""

from collections.abc import Mapping, Sequence
from datetime import datetime

from sqlalchemy import delete, func, insert, select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from configurator.domain.sites import AllowedSite, TurnedAway
from configurator.services.ports import AlreadyThere
from configurator.storage.models import AllowedSiteRow, RequestRow, SeenSiteRow, UserRow

MOST_TURNED_AWAY = 12
"""Anybody can make up a site's name and be turned away, so only the latest few are kept."""


class SqlSites:
    """The sites of one transaction."""

    def __init__(self, session: Session) -> None:
        self._session = session

    def all(self) -> Sequence[AllowedSite]:
        rows = self._session.execute(
            select(AllowedSiteRow.origin, AllowedSiteRow.added_at, UserRow.name, SeenSiteRow.seen_at)
            .outerjoin(UserRow, UserRow.id == AllowedSiteRow.added_by)
            .outerjoin(SeenSiteRow, (SeenSiteRow.origin == AllowedSiteRow.origin) & SeenSiteRow.turned_away.is_(False))
            .order_by(AllowedSiteRow.origin)
        )
        return tuple(AllowedSite(origin, added_at, name or "", seen_at) for origin, added_at, name, seen_at in rows)

    def origins(self) -> frozenset[str]:
        return frozenset(self._session.scalars(select(AllowedSiteRow.origin)))

    def add(self, origin: str, *, user_id: int | None, now: datetime) -> None:
        """Raises AlreadyThere."""
        try:
            self._session.execute(insert(AllowedSiteRow).values(origin=origin, added_at=now, added_by=user_id))
        except IntegrityError as error:
            raise AlreadyThere("site") from error

    def remove(self, origin: str) -> bool:
        return bool(self._session.execute(delete(AllowedSiteRow).where(AllowedSiteRow.origin == origin)).rowcount)  # type: ignore[attr-defined]

    def note(self, origin: str, *, turned_away: bool, now: datetime) -> None:
        self._session.merge(SeenSiteRow(origin=origin, seen_at=now, turned_away=turned_away))
        self._session.flush()
        if turned_away:
            newest = select(SeenSiteRow.origin).where(SeenSiteRow.turned_away).order_by(SeenSiteRow.seen_at.desc()).limit(MOST_TURNED_AWAY)
            kept = self._session.scalars(newest).all()
            self._session.execute(delete(SeenSiteRow).where(SeenSiteRow.turned_away, SeenSiteRow.origin.not_in(kept)))

    def turned_away(self) -> Sequence[TurnedAway]:
        listed = select(AllowedSiteRow.origin)
        rows = self._session.scalars(
            select(SeenSiteRow)
            .where(SeenSiteRow.turned_away, SeenSiteRow.origin.not_in(listed))
            .order_by(SeenSiteRow.seen_at.desc(), SeenSiteRow.origin)
        )
        return tuple(TurnedAway(row.origin, row.seen_at) for row in rows)

    def last_seen(self) -> Mapping[str, datetime]:
        rows = self._session.scalars(select(SeenSiteRow).where(SeenSiteRow.turned_away.is_(False)))
        return {row.origin: row.seen_at for row in rows}

    def requests_since(self, since: datetime) -> Mapping[str, int]:
        counted = select(RequestRow.source, func.count()).where(RequestRow.received_at >= since).group_by(RequestRow.source)
        return dict(self._session.execute(counted).all())
