"""A job's cut plan, drawn from what was kept at check-in; the latest are remembered."""

import hashlib
import json
from functools import lru_cache

from configurator.domain.desk import Document
from configurator.services.film.cut_plans import CutPlan, cut_plan
from configurator.wire.film_plan import restored_film_plan
from configurator.wording.words import Words, words_for

REMEMBERED = 8
"""Plans; a full body's drawings are about half a megabyte of text."""


def drawn_plan(kept: Document, words: Words, *, body: str) -> CutPlan:
    """The plan in a reader's language."""
    text = json.dumps(dict(kept), sort_keys=True)
    return _drawn(_Kept(text), words.locale, body)


class _Kept:
    """A kept plan by its digest, so that the cache compares 32 bytes and not 200 kB."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.digest = hashlib.sha256(text.encode()).digest()

    def __hash__(self) -> int:
        return hash(self.digest)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Kept) and other.digest == self.digest


@lru_cache(maxsize=REMEMBERED)
def _drawn(kept: _Kept, locale: str, body: str) -> CutPlan:
    return cut_plan(restored_film_plan(json.loads(kept.text)), words_for(locale), body=body)
