"""What becomes of one value when its person is erased, by the register of personal columns. Pure."""

import re
import secrets
from collections.abc import Mapping
from typing import Any

from sqlalchemy import JSON, Column
from sqlalchemy.types import TypeDecorator

from configurator.domain.data_rights import NOBODY, Treatment
from configurator.domain.review import Actor
from configurator.storage.personal_columns import FACTS_KEPT, WORDS_IN

_CODE = re.compile(r"[A-Za-z0-9_.:/-]{1,80}")
_HASH_LENGTH = 64


def erased(column: Column[Any], treatment: Treatment, row: Mapping[str, Any], staff: frozenset[str], own_words: frozenset[str]) -> Any:
    """The value that stays. `staff` are names of people of the shop, `own_words` what the person is known by (lower case)."""
    value = row[column.name]
    if treatment is Treatment.NAME:
        return NOBODY
    if treatment is Treatment.EMPTIED:
        return _empty(column, value)
    if treatment is Treatment.KEY:
        return None if column.nullable else secrets.token_hex(_HASH_LENGTH // 2)
    if treatment is Treatment.STAFF:
        return "" if row.get("actor") == Actor.VISITOR.value else value
    if treatment is Treatment.CLEANED:
        words = WORDS_IN.get((column.table.name, column.name))
        return _cleaned_facts(value, staff, own_words) if words is None else _without_words(value, words)
    return value


def _empty(column: Column[Any], value: Any) -> Any:
    if column.nullable:
        return None
    if isinstance(column.type, JSON):
        return type(value)()
    return ""


def _without_words(document: Any, words: frozenset[str]) -> Any:
    """The same document, with every text under one of these names emptied."""
    if isinstance(document, dict):
        return {key: "" if key in words and isinstance(value, str) else _without_words(value, words) for key, value in document.items()}
    return [_without_words(value, words) for value in document] if isinstance(document, list) else document


def _cleaned_facts(facts: Mapping[str, Any], staff: frozenset[str], own_words: frozenset[str]) -> dict[str, Any]:
    """Facts of a history: figures, times, codes and names of the shop's people stay; every other text goes."""

    def may_stay(key: str, text: str) -> bool:
        is_code = key in FACTS_KEPT and text.casefold() not in own_words and _CODE.fullmatch(text) is not None
        return text in staff or is_code

    return {key: "" if isinstance(value, str) and not may_stay(key, value) else value for key, value in facts.items()}


def without_names(value: Any, names: frozenset[str]) -> Any:
    """A JSON value with every text emptied that is one of these names."""
    if isinstance(value, dict):
        return {key: without_names(item, names) for key, item in value.items()}
    if isinstance(value, list):
        return [without_names(item, names) for item in value]
    return "" if isinstance(value, str) and value in names else value


def is_wordy(column: Column[Any]) -> bool:
    """Whether a column can hold words: text or a document."""
    kind = column.type.impl if isinstance(column.type, TypeDecorator) else column.type
    return isinstance(kind, JSON) or getattr(kind, "python_type", None) is str
