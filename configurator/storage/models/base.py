"""The declarative base: names for every constraint, so that migrations can name them too."""

from sqlalchemy import MetaData
from sqlalchemy.orm import DeclarativeBase

NAMES = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}


class Base(DeclarativeBase):
    """Root of all tables."""

    metadata = MetaData(naming_convention=NAMES)
