"""Column types that mean the same on SQLite and PostgreSQL."""

from datetime import UTC, datetime

from sqlalchemy import JSON, BigInteger, DateTime, Dialect, Integer, String, TypeDecorator
from sqlalchemy.dialects.postgresql import JSONB

JsonDocument = JSON().with_variant(JSONB(), "postgresql")
"""A JSON document; PostgreSQL keeps it parsed."""

Id = BigInteger().with_variant(Integer(), "sqlite")
"""A row's number: 64 bits on both (SQLite counts by itself only in a column that is called INTEGER)."""


class UtcDateTime(TypeDecorator[datetime]):
    """An aware instant, kept in UTC. SQLite forgets time zones, so none is written there and UTC is put back on reading."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Refuses a naive time: nobody can know what it meant."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("a time without its zone can't be kept")
        in_utc = value.astimezone(UTC)
        return in_utc.replace(tzinfo=None) if dialect.name == "sqlite" else in_utc

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)


def code(length: int = 40) -> String:
    """A short ASCII id or hash, compared byte by byte on both databases."""
    return String(length).with_variant(String(length, collation="C"), "postgresql")
