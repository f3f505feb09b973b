"""Which requests a typed search means, found so that no search reads the whole table.

A word that few requests have gives their numbers at once. Words that many have are either crossed with each other until few are left,
or, when many are left, looked up request by request along the list's own order, which then soon has a page full.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import exists, func, intersect, select
from sqlalchemy.orm import Session

from configurator.domain.finding import query_words
from configurator.storage.models import RequestRow, SearchWordRow

FEW = 3000
"""Where looking requests up one by one costs as much as reading along the list until a page is full."""
LEAST_TO_CROSS = 2
"""Letters of a word that is worth crossing: single letters begin half of all words."""
_AFTER_ANY_WORD = "\U0010ffff"


@dataclass(frozen=True)
class Search:
    """`ids`: the only requests it can be, where they are few; `words`: what each of them must still have (beginnings of words)."""

    ids: tuple[int, ...] | None = None
    words: tuple[str, ...] = ()

    @property
    def conditions(self) -> list[Any]:
        """What a request must fulfil."""
        among = [] if self.ids is None else [RequestRow.id.in_(self.ids)]
        return [*among, *map(_has_word, self.words)]

    @property
    def reads_along(self) -> bool:
        """Whether only reading along the list tells who is meant."""
        return self.ids is None and bool(self.words)


def resolve(text: str, session: Session) -> Search:
    """What a typed text means."""
    words = query_words(text)
    if not words:
        return Search()
    sizes = {word: _size(word, session) for word in words}
    rarest = min(words, key=lambda word: sizes[word])
    if sizes[rarest] <= FEW:
        ids = session.scalars(_beginning_with(rarest).distinct())
        return Search(tuple(ids), tuple(word for word in words if word != rarest))
    crossed = _crossed([word for word in words if len(word) >= LEAST_TO_CROSS], session)
    return Search(None, words) if crossed is None else Search(crossed, tuple(word for word in words if len(word) < LEAST_TO_CROSS))


def _size(word: str, session: Session) -> int:
    """How many entries begin like this, counted only so far as it matters."""
    some = _beginning_with(word).limit(FEW + 1).subquery()
    return session.scalar(select(func.count()).select_from(some)) or 0


def _crossed(words: Sequence[str], session: Session) -> tuple[int, ...] | None:
    if len(words) < 2:
        return None
    ids = tuple(session.scalars(intersect(*map(_beginning_with, words)).limit(FEW + 1)))
    return ids if len(ids) <= FEW else None


def _beginning_with(word: str) -> Any:
    """A range instead of LIKE, so that the index answers it on both databases."""
    return select(SearchWordRow.request_id).where(SearchWordRow.word >= word, SearchWordRow.word < word + _AFTER_ANY_WORD)


def _has_word(word: str) -> Any:
    within = (SearchWordRow.word >= word, SearchWordRow.word < word + _AFTER_ANY_WORD)
    return exists().where(SearchWordRow.request_id == RequestRow.id, *within)
