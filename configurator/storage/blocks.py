"""Blocked time and the addresses of calendar feeds in the database."""

from collections.abc import Sequence
from datetime import datetime

from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from configurator.domain.appointments import Block
from configurator.storage.models import BlockRow, FeedRow


class SqlBlocks:
    """The blocks of one transaction."""

    def __init__(self, session: Session) -> None:
        self._session = session

    def add(self, block: Block, by: int | None, now: datetime) -> Block:
        row = BlockRow(
            bay=block.bay, person=block.person, start_at=block.start, end_at=block.end, reason=block.reason, made_by=by, made_at=now
        )
        self._session.add(row)
        self._session.flush()
        return _to_block(row)

    def remove(self, block_id: int, now: datetime) -> Block | None:
        row = self._session.get(BlockRow, block_id)
        if row is None or row.removed_at is not None:
            return None
        row.removed_at = now
        self._session.flush()
        return _to_block(row)

    def between(self, start: datetime, end: datetime | None) -> Sequence[Block]:
        statement = select(BlockRow).where(BlockRow.removed_at.is_(None), BlockRow.end_at > start)
        if end is not None:
            statement = statement.where(BlockRow.start_at < end)
        statement = statement.order_by(BlockRow.start_at, BlockRow.id)
        return tuple(_to_block(row) for row in self._session.scalars(statement))


class SqlFeeds:
    """The addresses of calendar feeds of one transaction."""

    def __init__(self, session: Session) -> None:
        self._session = session

    def nonce_of(self, user_id: int) -> str | None:
        return self._session.scalar(select(FeedRow.nonce).where(FeedRow.user_id == user_id))

    def set(self, user_id: int, nonce: str, token_hash: str, now: datetime) -> None:
        self._session.merge(FeedRow(user_id=user_id, nonce=nonce, token_hash=token_hash, made_at=now))

    def end(self, user_id: int) -> None:
        self._session.execute(delete(FeedRow).where(FeedRow.user_id == user_id))

    def user_of(self, token_hash: str) -> int | None:
        return self._session.scalar(select(FeedRow.user_id).where(FeedRow.token_hash == token_hash))


def _to_block(row: BlockRow) -> Block:
    return Block(start=row.start_at, end=row.end_at, bay=row.bay, person=row.person, reason=row.reason, id=row.id)
